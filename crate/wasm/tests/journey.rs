//! A herd's way through the boundary, as JavaScript sees it: bring in, look, type, take back, save, open,
//! play the journal again. Runs in Node and, when told to, in a browser.
#![cfg(target_arch = "wasm32")]

mod crossing;

use crossing::{HERD, bring_in, code_of, read, texts, ts};
use fairpen_wasm::session::Session;
use fairpen_wasm::types::{
    CellText, Change, ColumnFilter, ImportAnswerChoice, ImportChoices, ImportTargetChoice, SortKey,
    ViewSpec,
};
use tsify::Ts;
use wasm_bindgen::JsValue;
use wasm_bindgen_test::wasm_bindgen_test;

fn type_in(
    session: &mut Session,
    row_key: u32,
    column: &str,
    text: &str,
) -> Result<Vec<u8>, JsValue> {
    session.change(ts(Change::SetCells {
        sheet: "calves".to_owned(),
        cells: vec![CellText {
            row_key,
            column: column.to_owned(),
            text: text.to_owned(),
        }],
    }))
}

#[wasm_bindgen_test]
fn a_herd_comes_in_is_corrected_kept_and_comes_back() {
    let mut session = Session::new();
    let mut records = bring_in(&mut session);
    let state = read(session.state());
    assert_eq!(state.sheets[0].n_rows, 5);
    assert_eq!(state.undo.as_deref(), Some("bringing in herd.csv (5 rows)"));
    assert!(state.problems.errors >= 1, "a weight was not understood");
    assert!(
        state.summary.starts_with("4 of 5 calves"),
        "{}",
        state.summary
    );

    // (512 - 80) / 211 x 205 + 80 = 499.7; a dam of five adds nothing.
    let before = texts(&session, &["tag", "wean_weight", "adj_205_weight", "ratio"]);
    assert_eq!(before[0][..3], ["4017", "512", "499.7"]);
    assert_eq!(before[2], ["9", "abt 500", "", ""]);
    let window = session
        .window(
            "calves",
            2,
            1,
            vec!["wean_weight".to_owned(), "ratio".to_owned()],
        )
        .expect("not refused");
    assert_eq!(window.flags()[0] & 2, 2, "not understood");
    assert_eq!(window.flags()[1] & 1, 1, "missing");
    assert!(window.values().iter().all(|value| value.is_nan()));
    assert!(
        session
            .remark("calves", 2, "wean_weight")
            .expect("not refused")
            .contains("abt 500")
    );

    records.extend(type_in(&mut session, 2, "wean_weight", "500").expect("not refused"));
    let after = texts(&session, &["tag", "wean_weight", "adj_205_weight", "ratio"]);
    assert_eq!(after[2][1], "500");
    assert_ne!(after[2][2], "");
    assert_ne!(after[0][3], before[0][3], "the ratio follows the group");
    assert_eq!(read(session.state()).summary.get(..5), Some("All 5"));

    records.extend(session.undo().expect("not refused"));
    assert_eq!(
        texts(&session, &["tag", "wean_weight", "adj_205_weight", "ratio"]),
        before
    );
    records.extend(session.redo().expect("not refused"));
    assert_eq!(
        texts(&session, &["tag", "wean_weight", "adj_205_weight", "ratio"]),
        after
    );
    assert!(session.redo().expect("not refused").is_empty());

    // Killed and opened again: the journal alone, then a saved copy alone.
    let mut again = Session::new();
    assert_eq!(again.need_files(&records).len(), 1);
    again.provide_file("herd.csv".to_owned(), HERD.as_bytes().to_vec());
    let report = read(again.replay(&records));
    assert_eq!(
        (report.applied, report.set_aside, report.message.as_str()),
        (4, 0, "")
    );
    assert_eq!(
        texts(&again, &["tag", "wean_weight", "adj_205_weight", "ratio"]),
        after
    );
    assert_eq!(read(again.state()).undo, read(session.state()).undo);

    let saved = session.save().expect("not refused");
    let mut opened = Session::new();
    opened.open(&saved).expect("our own bytes open");
    assert_eq!(
        texts(&opened, &["tag", "wean_weight", "adj_205_weight", "ratio"]),
        after
    );
    assert_eq!(read(opened.state()).undo, None);
    assert_eq!(opened.save().expect("not refused"), saved);
}

#[wasm_bindgen_test]
fn refusals_are_thrown_with_code_message_and_hint_and_change_nothing() {
    let mut session = Session::new();
    bring_in(&mut session);
    let before = session.save().expect("not refused");
    assert_eq!(
        code_of(type_in(&mut session, 0, "ratio", "104")),
        "sheet.column.computed"
    );
    assert_eq!(
        code_of(type_in(&mut session, 99, "tag", "1")),
        "sheet.row.unknown"
    );
    assert_eq!(code_of(session.open(b"no book")), "book.not_a_book");
    assert_eq!(code_of(session.columns("horses")), "boundary.sheet");
    assert_eq!(code_of(session.import_commit("")), "import.not_begun");
    assert_eq!(code_of(session.working(0, "tag")), "share.working.unknown");
    let wrong_shape: Ts<Change> = Ts::new_unchecked(JsValue::from_str("no change"));
    assert_eq!(code_of(session.change(wrong_shape)), "boundary.shape");
    assert_eq!(session.save().expect("not refused"), before);
}

#[wasm_bindgen_test]
fn a_sheet_is_sorted_filtered_and_searched() {
    let mut session = Session::new();
    bring_in(&mut session);
    let by = |column: &str, descending| ViewSpec {
        sheet: "calves".to_owned(),
        sort: vec![SortKey {
            column: column.to_owned(),
            descending,
        }],
        ..ViewSpec::default()
    };
    let tags = |session: &Session| -> Vec<String> {
        texts(session, &["tag"])
            .into_iter()
            .map(|mut row| row.remove(0))
            .collect()
    };
    assert_eq!(session.set_view(ts(by("tag", false))), Ok(5));
    assert_eq!(tags(&session), ["9", "10", "4017", "4017A", "4018"]);
    assert_eq!(session.set_view(ts(by("wean_weight", true))), Ok(5));
    assert_eq!(
        tags(&session),
        ["4017A", "4018", "4017", "10", "9"],
        "missing is last"
    );
    assert_eq!(session.set_view(ts(by("wean_weight", false))), Ok(5));
    assert_eq!(
        tags(&session),
        ["10", "4017", "4018", "4017A", "9"],
        "missing is last"
    );
    assert_eq!(session.position("calves", 0), Ok(1));

    let heifers = ViewSpec {
        filters: vec![ColumnFilter {
            column: "sex".to_owned(),
            contains: String::new(),
            values: Some(vec!["heifer".to_owned()]),
        }],
        ..by("adj_205_weight", true)
    };
    assert_eq!(session.set_view(ts(heifers)), Ok(3));
    assert_eq!(session.position("calves", 3), Ok(-1));
    let shown = || vec!["tag".to_owned(), "sex".to_owned()];
    assert_eq!(session.find("calves", "4018", -1, shown()), Ok(0));
    assert_eq!(session.find("calves", "no such", -1, shown()), Ok(-1));
    let counts = session.values("calves", "place").expect("not refused");
    let counts: Vec<(String, u32)> = counts
        .into_iter()
        .map(|count| count.to_rust().expect("its shape"))
        .map(|count| (count.text, count.n))
        .collect();
    assert_eq!(counts, [("Pen 1".to_owned(), 3), ("Pen 2".to_owned(), 2)]);

    // New rows stand at the end of a view that was made before them.
    session
        .change(ts(Change::AddRows {
            sheet: "calves".to_owned(),
            n_rows: 1,
            cells: vec![CellText {
                row_key: 0,
                column: "tag".to_owned(),
                text: "1".to_owned(),
            }],
            existing: vec![CellText {
                row_key: 0,
                column: "note".to_owned(),
                text: "pasted with it".to_owned(),
            }],
        }))
        .expect("not refused");
    assert_eq!(tags(&session).last().map(String::as_str), Some("1"));
    assert_eq!(session.raw("calves", 5, "tag").as_deref(), Ok("1"));
    assert_eq!(
        session.raw("calves", 0, "note").as_deref(),
        Ok("pasted with it")
    );
    // One act, one undo: the new row and the cell that was there before it.
    session.undo().expect("not refused");
    assert_eq!(tags(&session).len(), 3);
    assert_eq!(session.raw("calves", 0, "note").as_deref(), Ok(""));
}

#[wasm_bindgen_test]
fn choices_read_the_file_again_before_anything_changes() {
    let mut session = Session::new();
    session.import_begin("barn.csv");
    let file =
        "Tag,Sex,Born,Weaned,Wean Wt\n1,M,3/4/2026,10/2/2026,232\n2,M,5/4/2026,10/2/2026,240\n";
    session.import_push(file.as_bytes()).expect("not refused");
    let preview = read(session.import_finish());
    let keys: Vec<&str> = preview.questions.iter().map(|q| q.key.as_str()).collect();
    assert!(
        keys.contains(&"date_order") && keys.contains(&"male"),
        "{keys:?}"
    );
    assert_eq!(preview.first_rows[0][2], "2026-03-04");
    let answer = |question: &str, answer: &str| ImportAnswerChoice {
        question: question.to_owned(),
        answer: answer.to_owned(),
    };
    let choices = ImportChoices {
        targets: vec![ImportTargetChoice {
            position: 4,
            target: "yearling_weight".to_owned(),
        }],
        answers: vec![answer("date_order", "day_first"), answer("male", "steer")],
        sheet: None,
    };
    session.import_choose(ts(choices)).expect("not refused");
    let digest = Session::digest(file.as_bytes());
    assert_eq!(
        code_of(session.import_commit(&digest)),
        "import.still_reading"
    );
    session.import_push(file.as_bytes()).expect("not refused");
    let preview = read(session.import_finish());
    assert_eq!(preview.first_rows[0][2], "2026-04-03");
    assert_eq!(preview.columns[4].target, "yearling_weight");
    let answered: Vec<&str> = preview.answered.iter().map(|q| q.key.as_str()).collect();
    assert_eq!(answered, ["date_order", "male"]);
    assert!(
        preview
            .questions
            .iter()
            .all(|q| !answered.contains(&q.key.as_str()))
    );
    assert_eq!(preview.columns[4].shown_unit, preview.book_unit);
    assert_eq!(
        read(session.state()).sheets[0].n_rows,
        0,
        "nothing changed yet"
    );
    assert_eq!(
        code_of(session.import_commit("herd")),
        "import.digest.malformed"
    );
    session.import_commit(&digest).expect("not refused");
    assert_eq!(session.raw("calves", 0, "sex").as_deref(), Ok("steer"));
    assert_eq!(
        session.raw("calves", 1, "yearling_weight").as_deref(),
        Ok("240")
    );
}

#[wasm_bindgen_test]
fn the_working_the_groups_and_the_tables_agree() {
    let mut session = Session::new();
    bring_in(&mut session);
    let working = read(session.working(0, "adj_205_weight"));
    assert!(
        working.with_numbers.contains("512"),
        "{}",
        working.with_numbers
    );
    let groups = read(session.groups());
    assert_eq!(groups.groups.len(), 2);
    assert_eq!(groups.unit, "lb");
    assert_eq!(
        groups.left_out.iter().map(|reason| reason.n).sum::<u32>(),
        1
    );
    let csv = session.csv("adjusted").expect("not refused");
    assert_eq!(csv.lines().count(), 6);
    let settings = read(session.settings());
    session
        .change(ts(Change::SetSettings {
            settings: fairpen_wasm::types::SettingsForm {
                weight_unit: "kg".to_owned(),
                ..settings
            },
        }))
        .expect("not refused");
    assert_eq!(texts(&session, &["wean_weight"])[0], ["232.2"]);
    assert_eq!(read(session.groups()).unit, "kg");
    let comparable = session.comparable().expect("not refused");
    assert!(!comparable.is_empty());
}

#[wasm_bindgen_test]
fn a_column_is_calculated() {
    let mut session = Session::new();
    bring_in(&mut session);
    let check = |session: &Session, text: &str, rows: Vec<u32>| {
        read(session.check_formula("calves", "", text, rows))
    };
    let found = check(&session, "\"é\" & wean_wieght", Vec::new());
    assert!(!found.usable && found.troubles[0].error);
    assert_eq!(found.troubles[0].code, "formula.column.unknown");
    // Places are counted as JavaScript counts.
    assert_eq!((found.troubles[0].start, found.troubles[0].end), (6, 17));
    let found = check(&session, "wean_weight - birth_weight", vec![1, 2]);
    assert!(found.usable);
    assert_eq!(found.gives, "number");
    assert_eq!(found.preview, ["452.5", "#VALUE!"]);
    assert_eq!(
        check(&session, "birth_date + 205", Vec::new()).gives,
        "date"
    );

    let completion = read(session.complete_formula("calves", "ROUND(adj_2", 11));
    assert_eq!((completion.start, completion.end), (6, 11));
    assert_eq!(completion.offers[0].insert, "adj_205_weight");
    let inside = completion.inside.expect("inside a function");
    assert_eq!((inside.name.as_str(), completion.argument), ("ROUND", 0));
    assert!(session.formula_functions().expect("not refused").len() >= 80);

    let add = Change::AddCalculated {
        sheet: "calves".to_owned(),
        label: "Gain".to_owned(),
        formula: "wean_weight - birth_weight".to_owned(),
    };
    assert!(!session.change(ts(add)).expect("not refused").is_empty());
    let window = session
        .window("calves", 0, 3, vec!["gain".to_owned()])
        .expect("not refused");
    assert_eq!(window.text(), "432\u{1f}452.5\u{1f}#VALUE!");
    assert_eq!(window.flags(), [0, 0, 8]);
    let working = read(session.working(0, "gain"));
    assert_eq!(working.with_numbers, "512 - 80 = 432");
    let set = Change::SetFormula {
        sheet: "calves".to_owned(),
        column: "gain".to_owned(),
        formula: "gain + 1".to_owned(),
    };
    assert_eq!(code_of(session.change(ts(set))), "formula.cycle");
    // The deepest formula there is does not exhaust the stack.
    let deep = format!("{}1{}", "ABS(".repeat(119), ")".repeat(119));
    assert_eq!(check(&session, &deep, vec![0]).preview, ["1"]);
}

#[wasm_bindgen_test]
fn rows_of_a_second_file_stand_beside_the_record_before_they_come_in() {
    let mut session = Session::new();
    bring_in(&mut session);
    let file = "Tag,Born,Breed,Pen\n4017,2026-03-01,Angus,Pen 9\n4018,2026-03-04,Angus,\n77,2026-04-01,,\n";
    session.import_begin("more calves.csv");
    session.import_push(file.as_bytes()).expect("not refused");
    let merge = read(session.import_finish())
        .merge
        .expect("the sheet has rows");
    assert_eq!(
        (
            merge.new_rows,
            merge.changed_rows,
            merge.conflict_rows,
            merge.unclear_rows
        ),
        (1, 1, 1, 0)
    );
    let rows = session.import_rows(0, 10, "differs").expect("not refused");
    let row = rows[0].to_rust().expect("the shape it says");
    assert_eq!((row.line, row.against), (2, Some(0)));
    let place = row
        .cells
        .iter()
        .find(|cell| cell.column == "place")
        .expect("the pen");
    assert_eq!(
        (
            place.incoming.as_str(),
            place.on_record.as_str(),
            place.state.as_str()
        ),
        ("Pen 9", "Pen 1", "differs")
    );
    let mut choices = merge.choices;
    choices.add_new = false;
    choices.overwrite = true;
    let merge = read(session.import_merge(ts(choices)))
        .merge
        .expect("the sheet has rows");
    assert_eq!(
        (merge.will_add, merge.will_change, merge.will_leave),
        (0, 2, 1)
    );
    session
        .import_commit(&Session::digest(file.as_bytes()))
        .expect("not refused");
    assert_eq!(session.raw("calves", 0, "place").as_deref(), Ok("Pen 9"));
    assert_eq!(read(session.state()).sheets[0].n_rows, 5);
    session.undo().expect("not refused");
    assert_eq!(session.raw("calves", 0, "place").as_deref(), Ok("Pen 1"));
}
