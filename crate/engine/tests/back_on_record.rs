//! Animals taken off the record that rows still name, rows that come back, and tags typed over while others name them.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::office::Office;
use fairpen_engine::check::code::Code;
use fairpen_engine::desk::animal::named::Standing;
use fairpen_engine::desk::animal::retag::NameKind;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;

const COWS: &str =
    "tag,eid,born\n008,840003000000008,2019-04-02\n009,,2020-03-05\n010,,2018-02-20\n";
const CALVES: &str = "tag,sex,born,dam\n1,steer,2024-03-04,008\n2,steer,2025-03-04,008\n3,steer,2025-03-05,009\n4,heifer,2025-03-09,077\n";

fn herd() -> Office {
    let mut office = Office::new();
    office.bring("cows.csv", COWS);
    office.bring("calves.csv", CALVES);
    office.bring(
        "weights.csv",
        "tag,date,weight\n008,2024-05-01,1210\n840003000000008,2024-06-01,1220\n010,2024-06-01,1190\n",
    );
    office
}

fn type_in(office: &mut Office, sheet: SheetKind, row: u32, column: &str, text: &str) {
    office.change(Command::SetCells {
        sheet,
        cells: vec![CellEdit {
            row,
            column: column.to_owned(),
            text: text.to_owned(),
        }],
    });
}

/// Codes of names on no sheet in the dam's column, each with its row and how many rows hold the name.
fn dams(office: &Office) -> Vec<(Code, u32, u32)> {
    let dam = office
        .desk
        .book()
        .calves()
        .column_position("dam")
        .expect("a known column");
    office
        .desk
        .findings()
        .list
        .iter()
        .filter(|one| one.sheet == SheetKind::Calves && usize::from(one.column) == dam)
        .map(|one| (one.code, one.row, one.other))
        .filter(|(code, ..)| matches!(code, Code::NameUnknown | Code::NameTakenOff))
        .collect()
}

/// Adds a cow as row `row`.
fn add_cow(office: &mut Office, row: u32, cells: &[(&str, &str)]) {
    office.change(Command::Together(vec![
        Command::AddRows {
            sheet: SheetKind::Cows,
            n_rows: 1,
        },
        Command::SetCells {
            sheet: SheetKind::Cows,
            cells: cells
                .iter()
                .map(|(column, text)| CellEdit {
                    row,
                    column: (*column).to_owned(),
                    text: (*text).to_owned(),
                })
                .collect(),
        },
    ]));
}

#[test]
fn a_dam_that_was_taken_off_is_no_stranger() {
    let mut office = herd();
    assert_eq!(dams(&office), [(Code::NameUnknown, 3, 1)]);
    office.take_off(SheetKind::Cows, &[0]);
    assert_eq!(
        dams(&office),
        [(Code::NameTakenOff, 0, 2), (Code::NameUnknown, 3, 1)]
    );
    let note = office
        .desk
        .problems(5)
        .into_iter()
        .find(|kind| kind.code == "check.name.taken_off")
        .expect("it is said");
    assert_eq!(
        note.first[0].message,
        "008 was taken off this record; it stands in 2 rows, so nothing is known of it here. The name is kept as it is."
    );
    let named = office.desk.names_at(SheetKind::Calves, 0, "dam");
    assert_eq!(named[0].standing, Standing::TakenOff);
    assert_eq!(
        named[0].taken_off,
        [(SheetKind::Cows, 0, "Cow 008, born 2019-04-02".to_owned())]
    );
    assert_eq!(named[0].add_to, [SheetKind::Cows]);
    // A name that never was on record is a stranger still.
    let stranger = office.desk.names_at(SheetKind::Calves, 3, "dam");
    assert_eq!(stranger[0].standing, Standing::NotThere);
    assert!(stranger[0].taken_off.is_empty());
    // She comes back, and is found again.
    let (record, words) = office
        .desk
        .bring_back(SheetKind::Cows, vec![0])
        .expect("she is off");
    office.journal.extend(record);
    assert_eq!(words, "1 cow brought back.");
    let named = office.desk.names_at(SheetKind::Calves, 0, "dam");
    assert_eq!(named[0].standing, Standing::One);
    office.holds_together();
}

#[test]
fn a_dam_typed_in_or_from_a_file_after_she_was_taken_off_is_said_too() {
    let mut office = herd();
    office.take_off(SheetKind::Cows, &[1]);
    type_in(&mut office, SheetKind::Calves, 3, "dam", " 009");
    assert_eq!(dams(&office), [(Code::NameTakenOff, 2, 2)]);
    office.bring("calves.csv", "tag,sex,born,dam\n5,heifer,2025-03-20,009\n");
    assert_eq!(dams(&office), [(Code::NameTakenOff, 2, 3)]);
}

#[test]
fn when_all_cows_were_taken_off_only_they_are_named() {
    let mut office = herd();
    office.take_off(SheetKind::Cows, &[0, 1, 2]);
    // The sheet is not in use any more, so a dam that never stood there is not spoken of.
    assert_eq!(
        dams(&office),
        [(Code::NameTakenOff, 0, 2), (Code::NameTakenOff, 2, 1)]
    );
}

#[test]
fn an_older_animal_of_a_tag_used_again_is_offered_where_the_new_one_cannot_be_meant() {
    let mut office = herd();
    office.take_off(SheetKind::Cows, &[0]);
    add_cow(
        &mut office,
        3,
        &[("tag", "008"), ("birth_date", "2025-01-02")],
    );
    let named = office.desk.names_at(SheetKind::Calves, 0, "dam");
    assert_eq!(named[0].standing, Standing::TakenOff);
    assert_eq!(named[0].taken_off.len(), 1);
    assert_eq!(named[0].places.len(), 1);
    // The weighing of 2024 names the one taken off as well.
    let weight = office.desk.names_at(SheetKind::Weights, 0, "animal");
    assert_eq!(weight[0].standing, Standing::TakenOff);
    assert!(office.desk.findings().list.iter().any(|one| {
        one.sheet == SheetKind::Weights && one.code == Code::NameTakenOff && one.row == 0
    }));
}

#[test]
fn a_row_that_would_stand_twice_is_said_before_it_comes_back() {
    let mut office = herd();
    office.take_off(SheetKind::Cows, &[0, 1, 2]);
    assert!(office.desk.doubles(SheetKind::Cows, &[0, 1, 2]).is_empty());
    let add = |office: &mut Office, row: u32, cells: &[(&str, &str)]| {
        office.change(Command::Together(vec![
            Command::AddRows {
                sheet: SheetKind::Cows,
                n_rows: 1,
            },
            Command::SetCells {
                sheet: SheetKind::Cows,
                cells: cells
                    .iter()
                    .map(|(column, text)| CellEdit {
                        row,
                        column: (*column).to_owned(),
                        text: (*text).to_owned(),
                    })
                    .collect(),
            },
        ]));
    };
    // Her electronic ID under another tag; the same tag and year; the same tag of another year.
    add(
        &mut office,
        3,
        &[("tag", "88"), ("eid", "840 003 000 000 008")],
    );
    add(
        &mut office,
        4,
        &[("tag", "009"), ("birth_date", "2020-04-01")],
    );
    add(
        &mut office,
        5,
        &[("tag", "010"), ("birth_date", "2023-04-01")],
    );
    let said: Vec<(u32, String, &str)> = office
        .desk
        .doubles(SheetKind::Cows, &[0, 1, 2])
        .into_iter()
        .map(|one| (one.key, one.other_words, one.same))
        .collect();
    assert_eq!(
        said,
        [
            (0, "Cow 88".to_owned(), "the same electronic ID"),
            (
                1,
                "Cow 009, born 2020-04-01".to_owned(),
                "the same tag and year of birth"
            ),
        ]
    );
    // She decides: one comes back all the same, and the journal keeps it.
    let (record, _) = office
        .desk
        .bring_back(SheetKind::Cows, vec![1])
        .expect("she is off");
    office.journal.extend(record);
    assert_eq!(office.desk.taken_off_keys(SheetKind::Cows), [0, 2]);
    office.holds_together();
}

#[test]
fn two_that_come_back_together_are_held_against_each_other() {
    let mut office = herd();
    office.take_off(SheetKind::Cows, &[1]);
    add_cow(&mut office, 3, &[("tag", "009"), ("birth_year", "2020")]);
    office.take_off(SheetKind::Cows, &[3]);
    let said = office.desk.doubles(SheetKind::Cows, &[1, 3]);
    assert_eq!(said.len(), 1);
    assert_eq!((said[0].key, &said[0].other), (3, &None));
    assert_eq!(said[0].other_words, "Cow 009, born 2020-03-05");
    assert!(office.desk.doubles(SheetKind::Cows, &[1]).is_empty());
}

#[test]
fn a_tag_typed_over_says_who_names_it() {
    let mut office = herd();
    let by = |office: &Office, what: NameKind, text: &str| {
        office
            .desk
            .named_by(SheetKind::Cows, 0, what, text)
            .map(|by| (by.n, by.words))
    };
    assert_eq!(
        by(&office, NameKind::Tag, "018"),
        Some((
            // The weighing under her electronic ID got her tag when it came in.
            4,
            "2 rows of Calves (Dam), 2 rows of Weights (Animal)".to_owned()
        ))
    );
    assert_eq!(by(&office, NameKind::Tag, " 008 "), None);
    assert_eq!(by(&office, NameKind::ElectronicId, "1"), None);
    assert_eq!(
        office
            .desk
            .named_by(SheetKind::Cows, 2, NameKind::Tag, "")
            .map(|by| (by.title, by.name, by.n)),
        Some(("Cow 010".to_owned(), "010".to_owned(), 1))
    );
    // A new tag from a day on keeps them; the cell alone corrected leaves them without her.
    let from = Day::from_ymd(2026, 1, 5).expect("a real day");
    let record = office
        .desk
        .retag(SheetKind::Cows, 0, NameKind::Tag, "018", from)
        .expect("a new tag");
    office.journal.extend(record);
    assert_eq!(dams(&office), [(Code::NameUnknown, 3, 1)]);
    office.journal.extend(office.desk.undo().expect("one step"));
    type_in(&mut office, SheetKind::Cows, 0, "tag", "018");
    assert_eq!(
        dams(&office),
        [(Code::NameUnknown, 0, 2), (Code::NameUnknown, 3, 1)]
    );
    office.holds_together();
}
