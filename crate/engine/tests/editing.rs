//! Editing: what is done can be undone, cell for cell, and a refusal changes nothing.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::{Deed, FILES, act, deed, desk_with_rows, picture};
use fairpen_engine::book::digest::Digest;
use fairpen_engine::check::doubt_of;
use fairpen_engine::desk::Desk;
use fairpen_engine::import::Imported;
use fairpen_engine::import::merge::MergeChoices;
use fairpen_engine::import::plan::{DateOrder, ImportPlan, Question, Target};
use fairpen_engine::results::Results;
use fairpen_engine::sheet::accepted::Acceptance;
use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::WeightUnit;
use proptest::prelude::*;

fn type_in(desk: &mut Desk, row: u32, column: &str, text: &str) -> Result<Vec<u8>, String> {
    desk.change(Command::SetCells {
        sheet: SheetKind::Calves,
        cells: vec![CellEdit {
            row,
            column: column.to_owned(),
            text: text.to_owned(),
        }],
    })
    .map_err(|refusal| refusal.code().to_owned())
}

proptest! {
    #[test]
    fn undo_takes_every_deed_back(deeds in prop::collection::vec(deed(), 1..25)) {
        let mut desk = desk_with_rows();
        let mut pictures = vec![picture(desk.book())];
        for deed in &deeds {
            if matches!(deed, Deed::Undo | Deed::Redo) {
                continue;
            }
            let before = picture(desk.book());
            match act(&mut desk, deed) {
                Ok(_) => pictures.push(picture(desk.book())),
                Err(_) => prop_assert_eq!(picture(desk.book()), before, "a refusal changed the book"),
            }
        }
        let last = pictures.clone();
        while let Some(now) = pictures.pop() {
            prop_assert_eq!(picture(desk.book()), now);
            if !pictures.is_empty() {
                prop_assert!(!desk.undo().expect("the way back is open").is_empty());
            }
        }
        for then in &last[1..] {
            prop_assert!(!desk.redo().expect("the way on is open").is_empty());
            prop_assert_eq!(&picture(desk.book()), then);
        }
        prop_assert!(desk.redo().expect("nothing left").is_empty());
    }

    #[test]
    fn any_sequence_keeps_the_book_sound(deeds in prop::collection::vec(deed(), 1..40)) {
        let mut desk = desk_with_rows();
        for deed in &deeds {
            let before = picture(desk.book());
            if act(&mut desk, deed).is_err() {
                prop_assert_eq!(picture(desk.book()), before);
            }
            let fresh = Results::recalculate(desk.book());
            prop_assert_eq!(
                format!("{:?}", fresh.adjusted),
                format!("{:?}", desk.results().adjusted),
                "results belong to the book as it stands"
            );
            prop_assert_eq!(
                format!("{:?}", fresh.calculated),
                format!("{:?}", desk.results().calculated)
            );
            prop_assert_eq!(desk.results().adjusted.marks.len(), desk.book().calves().n_rows());
        }
    }

    #[test]
    fn raw_text_read_again_is_the_same_value(deeds in prop::collection::vec(deed(), 1..15)) {
        let mut desk = desk_with_rows();
        for deed in &deeds {
            let _refused = act(&mut desk, deed);
        }
        let book = desk.book().clone();
        for column in book.calves().columns() {
            if column.formula.is_some() {
                continue; // cannot be typed into
            }
            for row in 0..book.calves().n_rows() {
                let before = column.value(row);
                let raw = column.raw(row);
                type_in(&mut desk, book.calves().key_of(row as u32), &column.key, &raw).expect("typing what stands there");
                let after = desk.book().calves().column(&column.key).expect("still there").value(row);
                match (&before, &after) {
                    // What was not understood in a file may be understood when typed; nothing is lost.
                    (Value::Unreadable(text), _) => prop_assert_eq!(text, &raw),
                    _ => prop_assert_eq!(before, after, "{} {}", column.key, raw),
                }
            }
        }
    }
}

#[test]
fn columns_of_the_engine_say_where_to_change_them() {
    let mut desk = desk_with_rows();
    assert_eq!(
        type_in(&mut desk, 0, "ratio", "104"),
        Err("sheet.column.computed".to_owned())
    );
    assert_eq!(
        type_in(&mut desk, 0, "no such", "1"),
        Err("sheet.column.unknown".to_owned())
    );
    assert_eq!(
        type_in(&mut desk, 99, "tag", "1"),
        Err("sheet.row.unknown".to_owned())
    );
}

#[test]
fn a_batch_that_is_refused_halfway_changes_nothing() {
    let mut desk = desk_with_rows();
    let before = picture(desk.book());
    let refused = desk.change(Command::Together(vec![
        Command::AddRows {
            sheet: SheetKind::Cows,
            n_rows: 2,
        },
        Command::DropColumn {
            sheet: SheetKind::Calves,
            column: "tag".to_owned(),
        },
    ]));
    assert_eq!(
        refused.map_err(|refusal| refusal.code()),
        Err("sheet.column.known")
    );
    assert_eq!(picture(desk.book()), before);
}

#[test]
fn text_that_is_not_understood_is_kept_and_counts_as_missing() {
    let mut desk = desk_with_rows();
    type_in(&mut desk, 0, "wean_weight", "abt 500").expect("kept");
    let column = desk.book().calves().known("wean_weight");
    assert_eq!(column.value(0), Value::Unreadable("abt 500".to_owned()));
    assert!(column.numbers().expect("a weight")[0].is_nan());
    assert!(desk.results().adjusted.adj_205[0].is_nan());
    assert!(
        desk.remark(SheetKind::Calves, 0, "wean_weight")
            .contains("abt 500")
    );
    desk.undo().expect("the way back is open");
    assert_eq!(
        desk.book().calves().known("wean_weight").value(0),
        Value::Number(512.0)
    );
}

#[test]
fn no_animal_gets_heavier_by_a_setting() {
    let mut desk = desk_with_rows();
    let before = desk.results().adjusted.adj_205.clone();
    let settings = fairpen_engine::sheet::settings::Settings {
        weight_unit: fairpen_engine::sheet::settings::WeightUnit::Kilogram,
        ..desk.book().settings.clone()
    };
    desk.change(Command::SetSettings(Box::new(settings)))
        .expect("sound settings");
    let cell = desk
        .shown_cell(SheetKind::Calves, "wean_weight", 0)
        .expect("a known column");
    assert_eq!(cell.text, "232.2");
    for (then, now) in before.iter().zip(&desk.results().adjusted.adj_205) {
        assert!((then.is_nan() && now.is_nan()) || (then - now).abs() < 1e-9);
    }
}

#[test]
fn an_import_undone_and_done_again_keeps_its_own_columns_and_headers() {
    let mut desk = Desk::new();
    act(&mut desk, &Deed::Import(0)).expect("a sound file");
    let with_rows = picture(desk.book());
    assert_eq!(
        desk.history().undo_words(),
        Some("bringing in calves.csv (2 rows)")
    );
    let header = |desk: &Desk| desk.book().calves().known("wean_weight").header.clone();
    assert_eq!(header(&desk), Some("Wean Wt".to_owned()));
    assert!(desk.book().calves().column("temper_1_5").is_some());
    desk.undo().expect("the way back is open");
    assert_eq!(picture(desk.book()), picture(Desk::new().book()));
    desk.redo().expect("the way on is open");
    assert_eq!(picture(desk.book()), with_rows);
    // A second file with the same own column fills the one that is there.
    let (name, text) = FILES[0];
    desk.import_begin(name);
    desk.import_push(text.as_bytes()).expect("a text file");
    desk.import_finish().expect("a table");
    desk.import_merge(MergeChoices {
        match_rows: false,
        ..MergeChoices::default()
    })
    .expect("a file is being brought in");
    desk.import_commit(&Digest::of(text.as_bytes()))
        .expect("a sound file");
    assert_eq!(desk.book().calves().n_rows(), 4);
    assert!(desk.book().calves().column("temper_1_5_2").is_none());
}

fn bring_in(desk: &mut Desk, text: &str) -> Vec<u8> {
    desk.import_begin("calves.csv");
    desk.import_push(text.as_bytes()).expect("a text file");
    desk.import_finish().expect("a table");
    desk.import_commit(&Digest::of(text.as_bytes()))
        .expect("rows")
}

fn read_by_plan<'a>(desk: &'a mut Desk, text: &str, plan: ImportPlan) -> &'a Imported {
    desk.import_by_plan(plan).expect("a file is being read");
    desk.import_push(text.as_bytes()).expect("a text file");
    desk.import_finish().expect("a table")
}

fn weight_at(desk: &Desk, row: usize) -> f64 {
    desk.book()
        .calves()
        .known("wean_weight")
        .numbers()
        .expect("weights")[row]
}

#[test]
fn a_book_without_weights_takes_the_unit_of_its_first_file() {
    const KILOGRAMS: &str =
        "tag,sex,born,weaned,wean wt (kg)\n1,steer,2026-03-01,2026-09-28,232.5\n";
    const POUNDS: &str = "tag,sex,born,weaned,wean wt (lb)\n2,steer,2026-03-01,2026-09-28,500\n";
    let mut desk = Desk::new();
    let records = bring_in(&mut desk, KILOGRAMS);
    assert_eq!(desk.book().settings.weight_unit, WeightUnit::Kilogram);
    assert_eq!(
        weight_at(&desk, 0).to_bits(),
        232.5_f64.to_bits(),
        "not converted at all"
    );

    desk.undo().expect("the way back is open");
    assert_eq!(desk.book().settings.weight_unit, WeightUnit::Pound);
    desk.redo().expect("the way on is open");
    assert_eq!(desk.book().settings.weight_unit, WeightUnit::Kilogram);
    assert_eq!(weight_at(&desk, 0).to_bits(), 232.5_f64.to_bits());

    // From then on a file in the other unit is converted.
    bring_in(&mut desk, POUNDS);
    assert_eq!(desk.book().settings.weight_unit, WeightUnit::Kilogram);
    assert!((weight_at(&desk, 1) - 226.796_185).abs() < 1e-9);

    let mut again = Desk::new();
    again.provide_file(KILOGRAMS.as_bytes().to_vec());
    assert_eq!(again.replay(&records).message, "");
    assert_eq!(again.book().settings.weight_unit, WeightUnit::Kilogram);
    assert_eq!(weight_at(&again, 0).to_bits(), 232.5_f64.to_bits());
    again.undo().expect("the way back is open");
    assert_eq!(again.book().settings.weight_unit, WeightUnit::Pound);

    let mut pounds = Desk::new();
    bring_in(&mut pounds, POUNDS);
    bring_in(&mut pounds, KILOGRAMS);
    assert_eq!(pounds.book().settings.weight_unit, WeightUnit::Pound);
    assert!((weight_at(&pounds, 1) - 232.5 / 0.453_592_37).abs() < 1e-9);
}

#[test]
fn an_answered_question_leaves_the_list_and_keeps_its_answer() {
    const FILE: &str = "tag,pen,pasture,born,weaned,wean wt\n\
        1,A,East,3/4/2026,10/2/2026,232\n2,A,East,5/4/2026,10/2/2026,240\n";
    let mut desk = Desk::new();
    desk.import_begin("calves.csv");
    desk.import_push(FILE.as_bytes()).expect("a text file");
    let shown = desk.import_finish().expect("a table");
    let open =
        |shown: &Imported| -> Vec<String> { shown.open_questions().map(Question::key).collect() };
    assert_eq!(
        open(shown),
        ["two_columns:place", "date_order", "weight_unit"]
    );
    let mut plan = shown.plan.clone();
    plan.choose(1, Target::Known("place".to_owned()));
    plan.choose_weight_unit(WeightUnit::Kilogram);
    let shown = read_by_plan(&mut desk, FILE, plan);
    assert_eq!(open(shown), ["date_order"]);
    assert_eq!(shown.questions.len(), 3, "answered ones can still be shown");
    assert_eq!(shown.table_unit, WeightUnit::Kilogram);
    let mut plan = shown.plan.clone();
    plan.choose_date_order(DateOrder::DayFirst);
    let shown = read_by_plan(&mut desk, FILE, plan);
    assert!(open(shown).is_empty());
    desk.import_commit(&Digest::of(FILE.as_bytes()))
        .expect("rows");
    assert_eq!(weight_at(&desk, 0).to_bits(), 232.0_f64.to_bits());
}

/// Accepting is for what stands in the cell: it lapses with another text, and holds again when the old one
/// comes back.
#[test]
fn an_accepted_doubt_stands_until_the_cell_says_something_else() {
    let mut desk = Desk::new();
    act(&mut desk, &Deed::Import(1)).expect("a sound file");
    type_in(&mut desk, 0, "birth_weight", "abt 85").expect("typed");
    let note = desk
        .findings()
        .notes(desk.book(), desk.results())
        .find(|note| note.read == "abt 85")
        .expect("it is no number");
    let doubts = |desk: &Desk| (desk.findings().len(), desk.findings().accepted.len());
    let (n, none) = doubts(&desk);
    assert_eq!(none, 0);
    desk.change(Command::Accept(vec![Acceptance {
        doubt: doubt_of(desk.book(), &note).expect("it is in a sheet"),
        read: Some(note.read.clone()),
    }]))
    .expect("it stands there");
    assert_eq!(doubts(&desk), (n - 1, 1));
    let bytes = desk.save().expect("saved");
    let mut opened = Desk::new();
    opened.open(&bytes).expect("a book");
    assert_eq!(doubts(&opened), (n - 1, 1), "it is kept with the book");
    type_in(&mut desk, 0, "birth_weight", "abt 90").expect("typed");
    assert_eq!(doubts(&desk), (n, 0), "this is a new doubt");
    type_in(&mut desk, 0, "birth_weight", "abt 85").expect("typed");
    assert_eq!(doubts(&desk), (n - 1, 1));
    for _ in 0..3 {
        desk.undo().expect("the way back is open");
    }
    assert_eq!(doubts(&desk), (n, 0), "accepting was undone");
}

/// A file may name a column of the person's own another way and fill none of its cells in the rows that are
/// new.
#[test]
fn an_import_done_again_names_a_blank_own_column_as_it_did() {
    let mut desk = desk_with_rows();
    for deed in [
        Deed::Import(4),
        Deed::Import(2),
        Deed::Type(0, vec![(6, 0, "0.0".to_owned())]),
        Deed::Import(1),
    ] {
        act(&mut desk, &deed).expect("a sound file");
    }
    let done = picture(desk.book());
    desk.undo().expect("the way back is open");
    desk.redo().expect("the way on is open");
    assert_eq!(picture(desk.book()), done);
}
