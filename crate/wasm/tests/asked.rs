//! What is asked on the way in, through the boundary: rows taken off, names that fit two, tags typed over.
#![cfg(target_arch = "wasm32")]

mod crossing;

use crossing::{read, ts};
use fairpen_wasm::session::Session;
use fairpen_wasm::types::{CellText, Change, ImportPreview, RowsRequest};
use tsify::{Ts, Tsify};
use wasm_bindgen::JsValue;
use wasm_bindgen_test::wasm_bindgen_test;

const COWS: &str = "tag,born,breed\n008,2019-04-02,\n010,2018-02-20,\n";
const CALVES: &str = "tag,sex,born,dam\n010,steer,2025-03-04,008\n";

fn first<T>(values: Result<Vec<Ts<T>>, JsValue>) -> T
where
    T: Tsify + serde::de::DeserializeOwned,
    T::JsType: Clone,
{
    values.expect("not refused")[0]
        .to_rust()
        .expect("the shape it says")
}

fn show(session: &mut Session, name: &str, text: &str) -> ImportPreview {
    session.import_begin(name);
    session.import_push(text.as_bytes()).expect("not refused");
    read(session.import_finish())
}

fn bring(session: &mut Session, name: &str, text: &str) {
    show(session, name, text);
    commit(session, text);
}

fn commit(session: &mut Session, text: &str) {
    session
        .import_commit(&Session::digest(text.as_bytes()))
        .expect("not refused");
}

/// Cow 008 taken off; her calf wears the number of cow 010.
fn herd() -> Session {
    let mut session = Session::new();
    bring(&mut session, "cows.csv", COWS);
    bring(&mut session, "calves.csv", CALVES);
    session
        .take_off_rows(ts(RowsRequest {
            sheet: "cows".to_owned(),
            first: 0,
            last: 0,
            first_key: 0,
            last_key: 0,
        }))
        .expect("it is there");
    session
}

#[wasm_bindgen_test]
fn rows_taken_off_are_asked_about_and_come_back() {
    let mut session = herd();
    let file = "tag,born,breed\n008,2019-04-02,Hereford\n";
    let preview = show(&mut session, "cows.csv", file);
    let merge = preview.merge.expect("the sheet has rows");
    assert_eq!((merge.taken_off_rows, merge.will_leave), (1, 1));
    assert_eq!(merge.choices.taken_off, "");
    let row = first(session.import_rows(0, 10, "taken_off"));
    assert_eq!((row.against, row.against_taken_off), (None, Some(0)));
    assert_eq!(row.taken_off[0].words, "Tag 008, Born 2019-04-02");
    let mut choices = merge.choices;
    choices.taken_off = "bring_back".to_owned();
    let merge = read(session.import_merge(ts(choices)))
        .merge
        .expect("the sheet has rows");
    assert_eq!((merge.will_add, merge.will_bring_back), (0, 1));
    assert_eq!(
        merge.summary,
        "0 rows will come in as new, 0 rows on record will change, 1 row taken off will come back, and nothing stays out."
    );
    commit(&mut session, file);
    assert_eq!(session.raw("cows", 0, "breed").as_deref(), Ok("Hereford"));
    session.undo().expect("not refused");
    assert_eq!(session.taken_off_keys("cows"), Ok(vec![0]));
}

#[wasm_bindgen_test]
fn a_name_that_fits_two_is_chosen_before_it_comes_in() {
    let mut session = herd();
    let file = "tag,date,weight\n010,2025-10-01,512\n";
    let preview = show(&mut session, "weights.csv", file);
    assert_eq!((preview.names_asked, preview.names_chosen), (1, 0));
    let name = first(session.import_names(0, 10));
    assert_eq!((name.line, name.label.as_str()), (2, "Animal"));
    assert_eq!(name.may_mean[1].text.as_deref(), Some("calf 010"));
    let preview = read(session.import_name(name.row, &name.column, name.nth, Some(1)));
    assert_eq!(preview.names_chosen, 1);
    commit(&mut session, file);
    assert_eq!(
        session.raw("weights", 0, "animal").as_deref(),
        Ok("calf 010")
    );
}

#[wasm_bindgen_test]
fn a_dam_taken_off_a_double_and_a_tag_typed_over_are_said() {
    let mut session = herd();
    let named = first(session.names_at("calves", 0, "dam"));
    assert_eq!(named.standing, "taken_off");
    assert_eq!(
        (
            named.taken_off[0].row_key,
            named.taken_off[0].words.as_str()
        ),
        (0, "Cow 008, born 2019-04-02")
    );
    let card = first(session.card("calves", 0));
    assert_eq!(card.names_taken_off.len(), 1);
    let none = session.doubles("cows", vec![0]).expect("not refused");
    assert!(none.is_empty());
    session
        .change(ts(Change::AddRows {
            sheet: "cows".to_owned(),
            n_rows: 1,
            cells: [("tag", "008"), ("birth_date", "2019-05-01")]
                .map(|(column, text)| CellText {
                    row_key: 0,
                    column: column.to_owned(),
                    text: text.to_owned(),
                })
                .to_vec(),
            existing: Vec::new(),
        }))
        .expect("not refused");
    let double = first(session.doubles("cows", vec![0]));
    assert_eq!(
        (
            double.other.map(|other| other.row_key),
            double.same.as_str()
        ),
        (Some(2), "the same tag and year of birth")
    );
    let by = first(session.named_by("cows", 2, "tag", "018"));
    assert_eq!((by.n, by.words.as_str()), (1, "1 row of Calves (Dam)"));
    let nobody = session
        .named_by("cows", 2, "breed", "018")
        .expect("not refused");
    assert!(nobody.is_empty());
}
