//! Rows taken off, through the boundary: what crosses are permanent keys, also where the numbers of the rows
//! inside are others.
#![cfg(target_arch = "wasm32")]

mod crossing;

use crossing::{code_of, read, ts};
use fairpen_wasm::session::Session;
use fairpen_wasm::types::{CellText, Change, HandOverRequest, PadEntry, RowsRequest};
use tsify::Ts;
use wasm_bindgen_test::wasm_bindgen_test;

const HERD: &str = "Tag,Sex,Born,Birth Wt,Dam,Dam age,Pen,Weaned,Wean Wt\n\
    4017,heifer,2026-03-01,80,12,5,Pen 1,2026-09-28,512\n\
    4018,heifer,2026-03-04,78,13,6,Pen 1,2026-09-28,530.5\n\
    9,heifer,2026-03-06,82,14,3,Pen 1,2026-09-28,abt 500\n\
    10,heifer,2026-03-10,88,15,2,Pen 1,2026-09-28,498\n";

fn herd() -> (Session, Vec<u8>) {
    let mut session = Session::new();
    session.import_begin("herd.csv");
    session.import_push(HERD.as_bytes()).expect("not refused");
    read(session.import_finish());
    let digest = session.provide_file("herd.csv".to_owned(), HERD.as_bytes().to_vec());
    let record = session.import_commit(&digest).expect("not refused");
    (session, record)
}

fn first_row(first_key: u32) -> Ts<RowsRequest> {
    ts(RowsRequest {
        sheet: "calves".to_owned(),
        first: 0,
        last: 0,
        first_key,
        last_key: first_key,
    })
}

fn keys(session: &Session) -> Vec<u32> {
    session
        .window("calves", 0, 50, Vec::new())
        .expect("not refused")
        .row_keys()
}

#[wasm_bindgen_test]
fn keys_stay_when_rows_before_them_are_taken_off() {
    let (mut session, mut records) = herd();
    assert_eq!(keys(&session), [0, 1, 2, 3]);
    let done = session.take_off_rows(first_row(0)).expect("it is there");
    assert_eq!(done.words(), "1 calf taken off.");
    records.extend(done.record());
    assert_eq!(keys(&session), [1, 2, 3]);

    let raw = |session: &Session, key| session.raw("calves", key, "tag").expect("not refused");
    assert_eq!(raw(&session, 1), "4018");
    assert_eq!(raw(&session, 0), "", "it is not on the record");
    assert!(
        session
            .remark("calves", 2, "wean_weight")
            .expect("not refused")
            .contains("abt 500")
    );
    let window = session
        .window("calves", 1, 1, vec!["wean_weight".to_owned()])
        .expect("not refused");
    assert_eq!(window.flags()[0] & 2, 2, "not understood");
    assert_eq!(session.position("calves", 3), Ok(2));
    assert_eq!(session.position("calves", 0), Ok(-1));

    // Typing, working, groups, problems, the pad and what is handed over go by the key.
    let type_in = |session: &mut Session, row_key| {
        session.change(ts(Change::SetCells {
            sheet: "calves".to_owned(),
            cells: vec![CellText {
                row_key,
                column: "note".to_owned(),
                text: "here".to_owned(),
            }],
        }))
    };
    records.extend(type_in(&mut session, 3).expect("it is there"));
    assert_eq!(
        session.raw("calves", 3, "note").expect("not refused"),
        "here"
    );
    assert_eq!(code_of(type_in(&mut session, 0)), "sheet.row.taken_off");
    let working = read(session.working(1, "adj_205_weight"));
    assert!(
        working
            .inputs
            .iter()
            .any(|input| input.sheet == "calves" && input.row_key == Some(1)),
        "the cells behind it are named by key"
    );
    assert_eq!(
        code_of(session.working(0, "adj_205_weight")),
        "share.working.unknown"
    );
    let groups = read(session.groups());
    let mut members = groups.groups[0].row_keys.clone();
    members.sort_unstable();
    assert_eq!(members, [1, 3]);
    let problems = session.problems(20).expect("not refused");
    let unread = problems
        .into_iter()
        .map(|group| group.to_rust().expect("its shape"))
        .flat_map(|group| group.problems)
        .find(|problem| problem.read == "abt 500")
        .expect("a weight that was not understood");
    assert_eq!(unread.row_key, Some(2));
    let animals = session
        .pad_animals("weaning", "10", "2026-10-01", 5)
        .expect("not refused");
    let animal = animals[0].to_rust().expect("its shape");
    assert_eq!((animal.tag.as_str(), animal.row_key), ("10", Some(3)));
    records.extend(
        session
            .pad_enter(ts(PadEntry {
                task: "yearling".to_owned(),
                row_key: Some(3),
                day: "2027-03-01".to_owned(),
                cells: vec![fairpen_wasm::types::PadCell {
                    column: "yearling_weight".to_owned(),
                    text: "800".to_owned(),
                }],
            }))
            .expect("it is there"),
    );
    assert_eq!(
        session
            .raw("calves", 3, "yearling_weight")
            .expect("not refused"),
        "800"
    );
    let preview = read(session.hand_over_preview(ts(HandOverRequest {
        columns: vec!["tag".to_owned()],
        row_keys: Some(vec![0, 1, 3]),
        groups: false,
        compare: None,
        message: String::new(),
        made_on: "2026-10-01".to_owned(),
    })));
    assert_eq!(preview.n_calves, 2, "the calf taken off does not go");

    // A stale choice is refused; the way back and a replay give the same keys.
    assert_eq!(
        code_of(session.take_off_rows(first_row(0))),
        "sheet.row.moved"
    );
    let aside = read(session.rows_aside("calves"));
    assert_eq!((aside.shown, aside.hidden, aside.taken_off), (3, 0, 1));
    let mut again = Session::new();
    again.provide_file("herd.csv".to_owned(), HERD.as_bytes().to_vec());
    let report = read(again.replay(&records));
    assert_eq!(report.set_aside, 0, "{}", report.message);
    assert_eq!(keys(&again), [1, 2, 3]);
    assert_eq!(again.save(), session.save());
    let mut opened = Session::new();
    opened
        .open(&session.save().expect("not refused"))
        .expect("our own bytes");
    assert_eq!(keys(&opened), [1, 2, 3]);
    let off = opened.taken_off_keys("calves").expect("a sheet");
    assert_eq!(off, [0]);
    opened.bring_back("calves", off).expect("one is off");
    assert_eq!(keys(&opened), [0, 1, 2, 3]);
    assert_eq!(opened.raw("calves", 0, "tag").expect("not refused"), "4017");
}

#[wasm_bindgen_test]
fn rows_are_put_in_and_hidden_by_their_place_in_the_view() {
    let (mut session, _) = herd();
    session.insert_rows("calves", 1, 2).expect("few rows");
    assert_eq!(keys(&session), [0, 4, 5, 1, 2, 3]);
    assert_eq!(session.hide_rows(first_row(0)), Ok(1));
    assert_eq!(keys(&session), [4, 5, 1, 2, 3]);
    assert_eq!(read(session.rows_aside("calves")).hidden, 1);
    session.show_hidden_rows("calves").expect("a sheet");
    assert_eq!(keys(&session), [0, 4, 5, 1, 2, 3]);
}
