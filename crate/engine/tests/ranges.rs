//! Ranges of a sheet: their facts, and finding and replacing in them.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::picture;
use fairpen_engine::desk::Desk;
use fairpen_engine::desk::replace::{ReplaceCount, Replacement};
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::view::{SortKey, ViewSpec};

const CALVES: SheetKind = SheetKind::Calves;

/// A desk with these calves: tag, sex, birth date, weaning weight, note.
fn desk(calves: &[[&str; 5]]) -> Desk {
    let mut desk = Desk::new();
    desk.change(Command::AddRows {
        sheet: CALVES,
        n_rows: calves.len() as u32,
    })
    .expect("rows can be added");
    let keys = ["tag", "sex", "birth_date", "wean_weight", "note"];
    let cells = (0_u32..)
        .zip(calves)
        .flat_map(|(row, texts)| {
            keys.iter().zip(texts).map(move |(key, text)| CellEdit {
                row,
                column: (*key).to_owned(),
                text: (*text).to_owned(),
            })
        })
        .collect();
    desk.change(Command::SetCells {
        sheet: CALVES,
        cells,
    })
    .expect("the columns can be typed into");
    desk
}

fn five() -> Desk {
    desk(&[
        ["101", "heifer", "2026-03-14", "500", "creek"],
        ["102", "steer", "2026-03-20", "610.5", "Creek gate"],
        ["103", "heifer", "", "", "hill"],
        ["104", "steer", "2026-04-02", "abt 500", ""],
        ["105", "bull calf", "2026-02-28", "1,204", "hill"],
    ])
}

fn facts(desk: &Desk, first: usize, last: usize, columns: &[&str]) -> Vec<String> {
    let columns: Vec<String> = columns.iter().map(|key| (*key).to_owned()).collect();
    desk.range_facts(CALVES, first, last, &columns)
        .into_iter()
        .map(|fact| format!("{} {}", fact.label, fact.value))
        .collect()
}

#[test]
fn numbers_are_summed_with_their_unit_and_the_rest_is_counted_apart() {
    // Sum and spread of 500, 610.5 and 1204, worked out by hand: mean 771.5, squares about it 73712.25,
    // 25921 and 187056.25, together 286689.5 over 2 degrees of freedom.
    assert_eq!(
        facts(&five(), 0, 4, &["wean_weight"]),
        [
            "Cells 5",
            "Filled 3",
            "Sum 2,314.5 lb",
            "Mean 771.5 lb",
            "SD 378.61 lb",
            "Least 500 lb",
            "Greatest 1,204 lb",
            "Missing 1",
            "Not readable 1",
        ]
    );
}

#[test]
fn texts_and_dates_have_their_own_facts() {
    let desk = five();
    assert_eq!(
        facts(&desk, 0, 4, &["note"]),
        ["Cells 5", "Filled 4", "Distinct 3", "Missing 1"]
    );
    assert_eq!(
        facts(&desk, 0, 3, &["sex"]),
        ["Cells 4", "Filled 4", "Distinct 2"]
    );
    assert_eq!(
        facts(&desk, 0, 4, &["birth_date"]),
        [
            "Cells 5",
            "Filled 4",
            "First 2026-02-28",
            "Last 2026-04-02",
            "Missing 1"
        ]
    );
    assert_eq!(facts(&desk, 0, 4, &["not_there"]), Vec::<String>::new());
    assert_eq!(facts(&desk, 9, 12, &["tag"]), Vec::<String>::new());
}

#[test]
fn different_units_are_never_added() {
    let desk = five();
    let said = facts(&desk, 0, 1, &["wean_weight", "age_days"]);
    assert!(
        said.iter().any(|fact| fact.starts_with("Units differ")),
        "{said:?}"
    );
    assert!(!said.iter().any(|fact| fact.starts_with("Sum")), "{said:?}");
}

#[test]
fn a_range_goes_by_the_rows_as_they_are_shown() {
    let mut desk = five();
    desk.set_view(
        CALVES,
        &ViewSpec {
            sort: vec![SortKey {
                column: "wean_weight".to_owned(),
                descending: true,
            }],
            ..ViewSpec::default()
        },
    );
    let said = facts(&desk, 0, 1, &["wean_weight"]);
    assert!(said.contains(&"Sum 1,814.5 lb".to_owned()), "{said:?}");
}

fn replacement(find: &str, with: &str, columns: &[&str]) -> Replacement {
    Replacement {
        find: find.to_owned(),
        with: with.to_owned(),
        first: 0,
        last: 99,
        columns: columns.iter().map(|key| (*key).to_owned()).collect(),
        ..Replacement::default()
    }
}

fn note(desk: &Desk, row: usize) -> String {
    desk.raw_cell(CALVES, "note", row)
}

#[test]
fn what_was_counted_is_replaced_and_one_undo_takes_it_back() {
    let mut desk = five();
    let wanted = replacement("CREEK", "North", &["tag", "note"]);
    assert_eq!(
        desk.count_replace(CALVES, &wanted),
        ReplaceCount {
            n_cells: 2,
            n_rows: 2,
            n_left_alone: 0,
            n_not_understood: 0,
            first: Some(0),
        }
    );
    let before = picture(desk.book());
    assert!(
        !desk
            .replace(CALVES, &wanted)
            .expect("can be replaced")
            .is_empty()
    );
    assert_eq!(note(&desk, 0), "North");
    assert_eq!(note(&desk, 1), "North gate");
    assert_eq!(
        desk.history().undo_words(),
        Some("replacing \"CREEK\" in 2 cells")
    );
    desk.undo().expect("the way back is open");
    assert_eq!(picture(desk.book()), before);
}

#[test]
fn whole_cells_and_capitals_can_be_asked_for() {
    let mut desk = five();
    let whole = Replacement {
        whole_cell: true,
        ..replacement("creek", "N", &["note"])
    };
    assert_eq!(desk.count_replace(CALVES, &whole).n_cells, 1);
    let exact = Replacement {
        match_case: true,
        ..replacement("Creek", "N", &["note"])
    };
    assert_eq!(desk.count_replace(CALVES, &exact).n_cells, 1);
    desk.replace(CALVES, &exact).expect("can be replaced");
    assert_eq!(
        (note(&desk, 0), note(&desk, 1)),
        ("creek".into(), "N gate".into())
    );
}

#[test]
fn new_text_is_read_as_if_it_had_been_typed() {
    let mut desk = five();
    desk.replace(CALVES, &replacement("abt ", "", &["wean_weight"]))
        .expect("can be replaced");
    let shown = desk
        .shown_cell(CALVES, "wean_weight", 3)
        .expect("there is such a column");
    assert_eq!((shown.text.as_str(), shown.unreadable), ("500", false));
    let heavy = replacement("500", "heavy", &["wean_weight"]);
    let count = desk.count_replace(CALVES, &heavy);
    assert!(count.n_cells > 0);
    assert_eq!(count.n_not_understood, count.n_cells);
    desk.replace(CALVES, &heavy).expect("can be replaced");
    let shown = desk
        .shown_cell(CALVES, "wean_weight", 0)
        .expect("there is such a column");
    assert_eq!((shown.text.as_str(), shown.unreadable), ("heavy", true));
}

#[test]
fn columns_that_are_worked_out_are_left_alone_and_said_so() {
    let mut desk = five();
    desk.change(Command::AddCalculated {
        sheet: CALVES,
        label: "Where".to_owned(),
        formula: "note".to_owned(),
    })
    .expect("the formula can be read");
    let wanted = replacement("hill", "flat", &["note", "where"]);
    let count = desk.count_replace(CALVES, &wanted);
    assert_eq!((count.n_cells, count.n_left_alone), (2, 2));
    desk.replace(CALVES, &wanted).expect("can be replaced");
    assert_eq!(
        desk.raw_cell(CALVES, "where", 2),
        "flat",
        "follows from the note"
    );
}

#[test]
fn nothing_to_find_is_refused_and_nothing_found_is_no_step() {
    let mut desk = five();
    let refusal = desk
        .replace(CALVES, &replacement("", "x", &["note"]))
        .expect_err("there is nothing to look for");
    assert_eq!(refusal.code(), "sheet.replace.nothing");
    let undo = desk.history().undo_words().map(str::to_owned);
    assert!(
        desk.replace(CALVES, &replacement("zz", "x", &["note"]))
            .expect("no refusal")
            .is_empty()
    );
    assert_eq!(desk.history().undo_words().map(str::to_owned), undo);
}

#[test]
fn letters_of_other_alphabets_keep_their_places() {
    let mut desk = desk(&[["1", "", "", "", "İx ÉTÉ été 牛 x"]]);
    desk.replace(CALVES, &replacement("été", "s", &["note"]))
        .expect("can be replaced");
    assert_eq!(note(&desk, 0), "İx s s 牛 x");
}

#[test]
fn a_date_without_its_year_takes_that_of_the_book() {
    let typed = |desk: &mut Desk, text: &str| {
        desk.change(Command::SetCells {
            sheet: CALVES,
            cells: vec![CellEdit {
                row: 0,
                column: "wean_date".to_owned(),
                text: text.to_owned(),
            }],
        })
        .expect("can be typed");
        desk.raw_cell(CALVES, "wean_date", 0)
    };
    // No weaning date yet and no day of the book: the latest date of the sheet says the year.
    let mut of_dates = five();
    assert_eq!(typed(&mut of_dates, "10/3"), "2026-10-03");
    assert_eq!(typed(&mut of_dates, "3 Oct"), "2026-10-03");
    let mut of_book = five();
    let mut settings = of_book.book().settings.clone();
    settings.as_of = fairpen_engine::sheet::day::Day::from_ymd(2025, 11, 1).expect("a day");
    of_book
        .change(Command::SetSettings(Box::new(settings)))
        .expect("the settings are good");
    assert_eq!(typed(&mut of_book, "October 3"), "2025-10-03");
    // Nothing says which year: the text stays and is marked.
    let mut blank = desk(&[["1", "", "", "", ""]]);
    assert_eq!(typed(&mut blank, "10/3"), "10/3");
    assert!(
        blank
            .shown_cell(CALVES, "wean_date", 0)
            .expect("a column")
            .unreadable
    );
}
