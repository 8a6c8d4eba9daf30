//! Rows taken off and put in: a book that rows were taken off is in everything a book that never had them.

// long because: the book that never had a row, and all that is said of a book, serve every one of these tests.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::{Deed, act, deed, desk_with_rows, picture, picture_of};
use fairpen_engine::book::digest::Digest;
use fairpen_engine::book::save::save;
use fairpen_engine::compare::result::CompareSpec;
use fairpen_engine::compare::{comparable_columns, compare};
use fairpen_engine::desk::Desk;
use fairpen_engine::desk::pad::Task;
use fairpen_engine::desk::rows::RowRange;
use fairpen_engine::import::merge::{MergeChoices, TakenOffChoice};
use fairpen_engine::share::choice::Choice;
use fairpen_engine::share::results_file::build;
use fairpen_engine::share::tables;
use fairpen_engine::sheet::accepted::Doubt;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::view::{SortKey, ViewSpec};
use fairpen_engine::sheet::workbook::Workbook;
use proptest::prelude::*;

/// The book with the rows on the record alone, made from the cells: nothing in it ever had another row.
fn never_had(book: &Workbook) -> Workbook {
    let mut other = Workbook::new();
    other.settings = book.settings.clone();
    other.remembered = book.remembered.clone();
    for kind in SheetKind::ALL {
        let table = book.sheet(kind);
        let rows: Vec<u32> = (0..table.n_rows() as u32).collect();
        let mut copy = table.select(&rows);
        for column in table.columns() {
            let there = copy.column_mut(&column.key).expect("the same columns");
            there.formula.clone_from(&column.formula);
        }
        *other.sheet_mut(kind) = copy;
    }
    for (doubt, read) in &book.accepted {
        let table = book.sheet(doubt.sheet);
        let row = match doubt.row {
            None => None,
            Some(key) => match table.row_of(key) {
                Some(row) => Some(row),
                None => continue,
            },
        };
        other.accepted.insert(
            Doubt {
                row,
                ..doubt.clone()
            },
            read.clone(),
        );
    }
    other
}

/// A desk on a book, by way of its saved bytes.
fn desk_of(book: &Workbook) -> Desk {
    let mut desk = Desk::new();
    desk.open(&save(book).expect("it fits in memory"))
        .expect("our own bytes open");
    desk
}

/// What is said of a name that stands for nobody on record.
const NAMES: [&str; 3] = [
    "check.name.unknown",
    "check.name.not_there",
    "check.name.taken_off",
];

/// Everything that is said of a book, but for names of nobody on record, and for files, which ask about rows taken off.
fn all_that_is_said(desk: &mut Desk) -> Vec<String> {
    let mut said = vec![desk.summary(), format!("{:?}", desk.left_out())];
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("CSV is text");
    {
        let (book, results) = (desk.book(), desk.results());
        said.push(text(tables::adjusted_csv(book, results)));
        said.push(text(tables::groups_csv(book, results)));
        let findings = desk.findings();
        // Where a row still names one that was taken off, that is said, in place of "on no sheet".
        let notes: Vec<_> = findings
            .notes(book, results)
            .filter(|note| !NAMES.contains(&note.code))
            .collect();
        let accepted: Vec<_> = findings.accepted_notes(book, results).collect();
        said.push(text(tables::problems_csv(&notes, &accepted)));
        for kind in SheetKind::ALL {
            said.push(text(tables::sheet_csv(book, results, kind)));
        }
        for column in comparable_columns(book, results) {
            let spec = CompareSpec {
                column: column.key.clone(),
                ..CompareSpec::default()
            };
            said.push(match compare(book, results, &spec) {
                Ok(comparison) => format!("{comparison:?}"),
                Err(refusal) => refusal.message().to_owned(),
            });
        }
        let choice = Choice {
            groups: true,
            made_on: "2026-10-01".to_owned(),
            ..Choice::default()
        };
        said.push(match build(book, results, &choice) {
            Ok(payload) => payload.to_json(),
            Err(refusal) => refusal.message().to_owned(),
        });
        let day = Day::from_ymd(2026, 10, 1).expect("a day");
        for task in [Task::Weaning, Task::Calving, Task::Weighing] {
            said.push(format!("{:?}", desk.pad_animals(task, "1", day, 50)));
            said.push(format!("{:?}", desk.work_list_places()));
        }
        said.push(format!("{:?}", picture(&desk.work_list(None))));
    }
    for kind in [SheetKind::Calves, SheetKind::Cows, SheetKind::Places] {
        for column in desk.column_keys(kind) {
            said.push(format!("{column} {:?}", desk.values(kind, &column)));
            let spec = ViewSpec {
                sort: vec![SortKey {
                    column: column.clone(),
                    descending: false,
                }],
                text: "1".to_owned(),
                ..ViewSpec::default()
            };
            let n = desk.set_view(kind, &spec);
            let columns = desk.column_keys(kind);
            let window = desk.window(kind, 0, n, &columns);
            said.push(format!("{:?} {:?}", window.texts, window.errors));
            let facts = desk.range_facts(kind, 0, n.saturating_sub(1), &columns);
            said.push(format!("{facts:?}"));
            said.push(format!("{:?}", desk.find(kind, "2", None, &columns)));
        }
        desk.set_view(kind, &ViewSpec::default());
    }
    let (name, file) = common::FILES[0];
    desk.import_begin(name);
    desk.import_push(file.as_bytes()).expect("a sound file");
    desk.import_finish().expect("a sound file");
    // With that question answered, the file meets the record alone.
    desk.import_merge(MergeChoices {
        taken_off: Some(TakenOffChoice::Add),
        ..MergeChoices::default()
    })
    .expect("a choice for all rows");
    said.push(format!(
        "{:?}",
        desk.import_merge_shown().map(|shown| (
            shown.plan.added,
            shown.plan.notes,
            shown.plan.n_changed
        ))
    ));
    desk.import_cancel();
    said
}

proptest! {
    #[test]
    fn what_was_taken_off_is_met_nowhere(deeds in prop::collection::vec(deed(), 0..25)) {
        let mut desk = desk_with_rows();
        for deed in &deeds {
            let _refused = act(&mut desk, deed);
        }
        let mut other = desk_of(&never_had(desk.book()));
        let (one, other) = (all_that_is_said(&mut desk), all_that_is_said(&mut other));
        for (one, other) in one.iter().zip(&other) {
            prop_assert_eq!(one, other);
        }
        prop_assert_eq!(one.len(), other.len());
    }

    #[test]
    fn taking_off_leaves_the_other_rows_as_they_were(
        deeds in prop::collection::vec(deed(), 0..12),
        off in prop::collection::vec(0_u32..12, 1..6),
    ) {
        let mut desk = desk_with_rows();
        for deed in &deeds {
            let _refused = act(&mut desk, deed);
        }
        let before = desk.book().clone();
        let calves = before.calves();
        let off: Vec<u32> = off.into_iter().filter(|&key| calves.row_of(key).is_some()).collect();
        prop_assume!(!off.is_empty());
        let stay: Vec<u32> = (0..calves.n_rows() as u32)
            .filter(|&row| !off.contains(&calves.key_of(row)))
            .collect();
        desk.change(Command::TakeOff { sheet: SheetKind::Calves, rows: off.clone() })
            .expect("they are there");
        let after = desk.book().calves();
        let mut expected = calves.select(&stay);
        for column in calves.columns() {
            expected.column_mut(&column.key).expect("the same columns").formula.clone_from(&column.formula);
        }
        prop_assert_eq!(picture_of(after), picture_of(&expected));
        for (row, &was) in stay.iter().enumerate() {
            prop_assert_eq!(after.key_of(row as u32), calves.key_of(was));
            prop_assert_eq!(after.row_of(calves.key_of(was)), Some(row as u32));
        }
        prop_assert!(off.iter().all(|&key| after.row_of(key).is_none() && after.is_taken_off(key)));
        desk.undo().expect("the way back is open");
        prop_assert_eq!(picture(desk.book()), picture(&before));
    }

    #[test]
    fn a_view_shows_each_row_on_the_record_once(deeds in prop::collection::vec(deed(), 0..20), at in 0_usize..6) {
        let mut desk = desk_with_rows();
        desk.set_view(SheetKind::Calves, &ViewSpec {
            sort: vec![SortKey { column: "tag".to_owned(), descending: true }],
            ..ViewSpec::default()
        });
        for (nth, deed) in deeds.iter().enumerate() {
            if nth % 4 == 1 {
                desk.insert_rows(SheetKind::Calves, at, 2).expect("few rows");
            }
            let _refused = act(&mut desk, deed);
            let n = desk.n_shown(SheetKind::Calves);
            let mut keys = desk.window(SheetKind::Calves, 0, n, &[]).row_keys;
            prop_assert_eq!(keys.len(), n);
            keys.sort_unstable();
            let calves = desk.book().calves();
            let all: Vec<u32> = (0..calves.n_rows() as u32).map(|row| calves.key_of(row)).collect();
            prop_assert_eq!(keys, all);
        }
    }
}

fn keys_shown(desk: &Desk) -> Vec<u32> {
    let n = desk.n_shown(SheetKind::Calves);
    desk.window(SheetKind::Calves, 0, n, &[]).row_keys
}

fn range(desk: &Desk, first: usize, last: usize) -> RowRange {
    let keys = keys_shown(desk);
    RowRange {
        first,
        last,
        first_key: keys[first],
        last_key: keys[last],
    }
}

#[test]
fn rows_put_in_stand_where_they_were_put_until_the_sheet_is_sorted_anew() {
    let mut desk = desk_with_rows();
    assert_eq!(keys_shown(&desk), [0, 1, 2, 3, 4]);
    desk.insert_rows(SheetKind::Calves, 2, 2).expect("few rows");
    assert_eq!(keys_shown(&desk), [0, 1, 5, 6, 2, 3, 4]);
    desk.insert_rows(SheetKind::Calves, 0, 1).expect("few rows");
    assert_eq!(keys_shown(&desk), [7, 0, 1, 5, 6, 2, 3, 4]);
    // Typing into one does not move it, nor does taking another off.
    desk.change(Command::SetCells {
        sheet: SheetKind::Calves,
        cells: vec![CellEdit {
            row: 6,
            column: "tag".to_owned(),
            text: "1A".to_owned(),
        }],
    })
    .expect("it is there");
    let first = range(&desk, 1, 1);
    let (_, words) = desk
        .take_off(SheetKind::Calves, first)
        .expect("it is there");
    assert_eq!(words, "1 calf taken off.");
    desk.set_view(SheetKind::Calves, &ViewSpec::default());
    assert_eq!(keys_shown(&desk), [7, 1, 5, 6, 2, 3, 4]);
    // The row they stand under goes: they hold on to the one above it.
    let second = range(&desk, 1, 1);
    desk.take_off(SheetKind::Calves, second)
        .expect("it is there");
    desk.set_view(SheetKind::Calves, &ViewSpec::default());
    assert_eq!(keys_shown(&desk), [7, 5, 6, 2, 3, 4]);
    desk.undo().expect("the way back is open");
    desk.set_view(SheetKind::Calves, &ViewSpec::default());
    assert_eq!(keys_shown(&desk), [7, 5, 6, 1, 2, 3, 4]);
    let by_tag = ViewSpec {
        sort: vec![SortKey {
            column: "tag".to_owned(),
            descending: false,
        }],
        ..ViewSpec::default()
    };
    desk.set_view(SheetKind::Calves, &by_tag);
    assert_eq!(keys_shown(&desk), [6, 1, 2, 3, 4, 5, 7]);
    desk.set_view(SheetKind::Calves, &ViewSpec::default());
    assert_eq!(keys_shown(&desk), [1, 2, 3, 4, 5, 6, 7]);
}

#[test]
fn hidden_rows_are_out_of_the_view_and_in_every_result() {
    let mut desk = desk_with_rows();
    let summary = desk.summary();
    let two = range(&desk, 1, 2);
    assert_eq!(desk.hide_rows(SheetKind::Calves, two), Ok(2));
    assert_eq!(keys_shown(&desk), [0, 3, 4]);
    assert_eq!(desk.summary(), summary);
    // Sorting keeps them hidden; a row taken off is not counted as hidden.
    desk.set_view(
        SheetKind::Calves,
        &ViewSpec {
            sort: vec![SortKey {
                column: "tag".to_owned(),
                descending: true,
            }],
            ..ViewSpec::default()
        },
    );
    assert_eq!(desk.n_shown(SheetKind::Calves), 3);
    desk.change(Command::TakeOff {
        sheet: SheetKind::Calves,
        rows: vec![1],
    })
    .expect("it is there");
    assert_eq!(desk.n_hidden(SheetKind::Calves), 1);
    desk.show_hidden(SheetKind::Calves);
    assert_eq!(desk.n_shown(SheetKind::Calves), 4);
}

#[test]
fn rows_put_in_under_a_hidden_row_are_under_it_when_it_is_shown() {
    let mut desk = desk_with_rows();
    desk.insert_rows(SheetKind::Calves, 1, 2).expect("few rows");
    let first = range(&desk, 0, 0);
    assert_eq!(desk.hide_rows(SheetKind::Calves, first), Ok(1));
    assert_eq!(keys_shown(&desk), [5, 6, 1, 2, 3, 4]);
    desk.show_hidden(SheetKind::Calves);
    assert_eq!(keys_shown(&desk), [0, 5, 6, 1, 2, 3, 4]);
}

#[test]
fn a_range_that_moved_is_refused() {
    let mut desk = desk_with_rows();
    let chosen = range(&desk, 1, 2);
    desk.take_off(SheetKind::Calves, chosen)
        .expect("they are there");
    let before = picture(desk.book());
    let refused = desk.take_off(SheetKind::Calves, chosen);
    assert_eq!(
        refused.map_err(|refusal| refusal.code()),
        Err("sheet.row.moved")
    );
    assert_eq!(picture(desk.book()), before);
}

#[test]
fn rows_that_are_off_the_record_cannot_be_typed_into() {
    let mut desk = desk_with_rows();
    desk.change(Command::TakeOff {
        sheet: SheetKind::Calves,
        rows: vec![1],
    })
    .expect("it is there");
    let code = |result: Result<Vec<u8>, fairpen_engine::error::Error>| {
        result.map_err(|refusal| refusal.code()).err()
    };
    let typed = Command::SetCells {
        sheet: SheetKind::Calves,
        cells: vec![CellEdit {
            row: 1,
            column: "tag".to_owned(),
            text: "x".to_owned(),
        }],
    };
    assert_eq!(code(desk.change(typed)), Some("sheet.row.taken_off"));
    let again = |rows| Command::TakeOff {
        sheet: SheetKind::Calves,
        rows,
    };
    assert_eq!(
        code(desk.change(again(vec![1]))),
        Some("sheet.row.taken_off")
    );
    assert_eq!(
        code(desk.change(again(vec![99]))),
        Some("sheet.row.unknown")
    );
    assert_eq!(code(desk.change(again(vec![]))), Some("sheet.row.none"));
    let back = Command::BringBack {
        sheet: SheetKind::Calves,
        rows: vec![0],
    };
    assert_eq!(code(desk.change(back)), Some("sheet.row.on_record"));
}

#[test]
fn a_column_that_rows_off_the_record_fill_is_not_dropped() {
    let mut desk = desk_with_rows();
    act(&mut desk, &Deed::Type(0, vec![(3, 13, "kept".to_owned())])).expect("an own column");
    desk.change(Command::TakeOff {
        sheet: SheetKind::Calves,
        rows: vec![3],
    })
    .expect("it is there");
    let refused = desk.change(Command::DropColumn {
        sheet: SheetKind::Calves,
        column: "a".to_owned(),
    });
    assert_eq!(
        refused.map_err(|refusal| refusal.code()),
        Err("sheet.column.taken_off_rows")
    );
}

#[test]
fn taking_off_says_who_still_names_them() {
    let mut desk = Desk::new();
    let rows = |sheet, n_rows, cells: &[(u32, &str, &str)]| {
        Command::Together(vec![
            Command::AddRows { sheet, n_rows },
            Command::SetCells {
                sheet,
                cells: cells
                    .iter()
                    .map(|&(row, column, text)| CellEdit {
                        row,
                        column: column.to_owned(),
                        text: text.to_owned(),
                    })
                    .collect(),
            },
        ])
    };
    for command in [
        rows(
            SheetKind::Cows,
            3,
            &[(0, "tag", "12"), (1, "tag", "13"), (2, "tag", "13")],
        ),
        rows(
            SheetKind::Calves,
            3,
            &[(0, "dam", "12"), (1, "dam", "12"), (2, "dam", "13")],
        ),
        rows(SheetKind::Weights, 1, &[(0, "animal", "12")]),
        rows(SheetKind::Checks, 1, &[(0, "cow", "14")]),
    ] {
        desk.change(command).expect("sound");
    }
    let cows = |first, last| RowRange {
        first,
        last,
        first_key: first as u32,
        last_key: last as u32,
    };
    let (_, words) = desk
        .take_off(SheetKind::Cows, cows(0, 1))
        .expect("they are there");
    // Another cow with tag 13 stays.
    assert_eq!(
        words,
        "2 cows taken off. Still naming them: 2 calves (Dam), 1 row of Weights (Animal)."
    );
    let (_, words) = desk
        .bring_back(SheetKind::Cows, desk.taken_off_keys(SheetKind::Cows))
        .expect("two are off");
    assert_eq!(words, "2 cows brought back.");
    assert_eq!(desk.book().sheet(SheetKind::Cows).n_rows(), 3);
}

/// The sample herd, with some of its rows only.
fn two_barns(keep: impl Fn(&str, usize) -> bool) -> Desk {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../sample-books/two-barns/");
    let mut desk = Desk::new();
    for name in ["calves.csv", "cows.csv", "places.csv"] {
        let text = std::fs::read_to_string(format!("{folder}{name}")).expect("a sample book");
        let text: String = text
            .lines()
            .enumerate()
            .filter(|(line, _)| *line == 0 || keep(name, line - 1))
            .map(|(_, line)| format!("{line}\n"))
            .collect();
        desk.import_begin(name);
        desk.import_push(text.as_bytes()).expect("a sound file");
        desk.import_finish().expect("a sound file");
        desk.import_commit(&Digest::of(text.as_bytes()))
            .expect("a sound file");
    }
    desk.change(Command::AddCalculated {
        sheet: SheetKind::Calves,
        label: "Mates".to_owned(),
        formula: "COUNTIF('calves'.place; place) & \" of \" & COUNTA('calves'.tag)".to_owned(),
    })
    .expect("a sound formula");
    desk
}

#[test]
fn a_herd_that_rows_were_taken_off_is_the_herd_of_a_file_without_them() {
    let goes = |name: &str, row: usize| match name {
        "calves.csv" => row % 3 == 1,
        "cows.csv" => row.is_multiple_of(5),
        _ => false,
    };
    let mut desk = two_barns(|_, _| true);
    for (sheet, name) in [
        (SheetKind::Calves, "calves.csv"),
        (SheetKind::Cows, "cows.csv"),
    ] {
        let n_rows = desk.book().sheet(sheet).n_rows();
        let rows: Vec<u32> = (0..n_rows)
            .filter(|&row| goes(name, row))
            .map(|row| row as u32)
            .collect();
        assert!(rows.len() > 20, "enough to make a difference");
        desk.change(Command::TakeOff { sheet, rows })
            .expect("they are there");
    }
    let other = two_barns(|name, row| !goes(name, row));
    let same_lines = |desk: &Desk| {
        // The lines of the shorter file are numbered otherwise; nothing else is told by them.
        let mut book = never_had(desk.book());
        for table in book.sheets_mut() {
            table.source_line.fill(0);
        }
        desk_of(&book)
    };
    let (one, other) = (
        all_that_is_said(&mut same_lines(&desk)),
        all_that_is_said(&mut same_lines(&other)),
    );
    assert_eq!(one, other);
    assert!(one[0].contains("contemporary groups"), "{}", one[0]);
    // And through the table itself, not a copy of what stays in it.
    let mut never = desk_of(&never_had(desk.book()));
    assert_eq!(all_that_is_said(&mut desk), all_that_is_said(&mut never));
}
