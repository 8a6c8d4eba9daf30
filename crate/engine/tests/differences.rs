//! An earlier state of a book held against the present one.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::{act, deed, desk_with_rows};
use fairpen_engine::book::difference::{CellDifference, difference};
use fairpen_engine::book::{open::open, save::save};
use fairpen_engine::desk::Desk;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;
use proptest::prelude::*;

const FIRST: &str = "tag,sex,birth_date,wean_weight\n1,heifer,2026-03-01,500\n2,steer,2026-03-02,520\n2,steer,2026-03-02,520\n3,bull,2026-03-03,540\n";

fn desk_of(csv: &str) -> Desk {
    let mut desk = Desk::new();
    desk.import_begin("calves.csv");
    desk.import_push(csv.as_bytes()).expect("plain text");
    desk.import_finish().expect("a table");
    let digest = desk.provide_file(csv.as_bytes().to_vec());
    desk.import_commit(&digest)
        .expect("an empty sheet takes it");
    desk
}

fn counts(then: &Desk, now: &Desk) -> (usize, usize, usize) {
    let found = difference(then.book(), now.book());
    let calves = found
        .sheets
        .iter()
        .find(|sheet| sheet.sheet == SheetKind::Calves)
        .expect("there are calves");
    (calves.n_then, calves.n_now, calves.n_same)
}

#[test]
fn rows_are_paired_one_to_one_wherever_they_stand() {
    let first = desk_of(FIRST);
    let turned = desk_of(
        "tag,sex,birth_date,wean_weight\n3,bull,2026-03-03,540\n2,steer,2026-03-02,520\n1,heifer,2026-03-01,500\n2,steer,2026-03-02,520\n",
    );
    assert_eq!(counts(&first, &turned), (4, 4, 4));
    let one_of_two = desk_of("tag,sex,birth_date,wean_weight\n2,steer,2026-03-02,520\n");
    assert_eq!(counts(&first, &one_of_two), (4, 1, 1));
    let changed = desk_of(
        &FIRST
            .replace("540", "541")
            .replace("\n1,heifer", "\n1,steer"),
    );
    assert_eq!(counts(&first, &changed), (4, 4, 2));
}

#[test]
fn a_weight_moved_to_another_column_is_a_difference() {
    let weaned = desk_of("tag,wean_weight\n1,500\n");
    let yearling = desk_of("tag,yearling_weight\n1,500\n");
    assert_eq!(counts(&weaned, &yearling), (1, 1, 0));
}

#[test]
fn changed_cells_and_rows_that_came_or_went_are_named() {
    let mut desk = desk_of(FIRST);
    let then = desk.save().expect("saved");
    desk.change(Command::Together(vec![
        Command::SetCells {
            sheet: SheetKind::Calves,
            cells: vec![CellEdit {
                row: 3,
                column: "wean_weight".to_owned(),
                text: "541".to_owned(),
            }],
        },
        Command::AddRows {
            sheet: SheetKind::Calves,
            n_rows: 1,
        },
        Command::SetCells {
            sheet: SheetKind::Calves,
            cells: vec![CellEdit {
                row: 4,
                column: "tag".to_owned(),
                text: "9".to_owned(),
            }],
        },
        Command::TakeOff {
            sheet: SheetKind::Calves,
            rows: vec![0],
        },
    ]))
    .expect("sound");
    let found = difference(&open(&then).expect("opened"), desk.book());
    let calves = &found.sheets[0];
    assert_eq!(calves.cells.n, 1);
    assert_eq!(
        calves.cells.listed,
        [CellDifference {
            row: "3".to_owned(),
            column: "Weaning weight".to_owned(),
            then: "540".to_owned(),
            now: "541".to_owned(),
        }]
    );
    assert_eq!(
        (&calves.gone.listed[..], &calves.came.listed[..]),
        (&["1".to_owned()][..], &["9".to_owned()][..])
    );
}

#[test]
fn own_columns_and_settings_are_named() {
    let then = desk_of("tag,brand\n1,left\n");
    let now = desk_of("tag,colour\n1,left\n");
    let found = difference(then.book(), now.book());
    let calves = &found.sheets[0];
    assert_eq!(calves.columns_then, ["brand"]);
    assert_eq!(calves.columns_now, ["colour"]);
    assert!(!found.settings);
    let mut renamed = now.book().clone();
    renamed.settings.title = "Another".to_owned();
    assert!(difference(then.book(), &renamed).settings);
}

proptest! {
    #[test]
    fn a_saved_book_does_not_differ_from_itself(deeds in prop::collection::vec(deed(), 0..25)) {
        let mut desk = desk_with_rows();
        for deed in &deeds {
            let _refused = act(&mut desk, deed);
        }
        let opened = open(&save(desk.book()).expect("it fits in memory")).expect("our own bytes open");
        let found = difference(&opened, desk.book());
        prop_assert!(!found.settings);
        for sheet in &found.sheets {
            prop_assert_eq!((sheet.n_then, sheet.n_same), (sheet.n_now, sheet.n_now));
            prop_assert!(sheet.columns_then.is_empty() && sheet.formulas.is_empty());
        }
    }
}
