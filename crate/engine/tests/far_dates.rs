//! Dates that cannot be right for their year, and years that were left out.

use fairpen_engine::check::check;
use fairpen_engine::desk::Desk;
use fairpen_engine::results::Results;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;

/// A book with these texts typed under one column of a sheet.
fn typed(sheet: SheetKind, column: &str, texts: &[&str], as_of: &str) -> Desk {
    let mut desk = Desk::new();
    let mut settings = desk.book().settings.clone();
    settings.as_of = fairpen_engine::book::form::day_from(as_of).unwrap_or(Day::MISSING);
    desk.change(Command::SetSettings(Box::new(settings)))
        .expect("sound settings");
    desk.change(Command::AddRows {
        sheet,
        n_rows: u32::try_from(texts.len()).expect("few"),
    })
    .expect("rows");
    for (row, text) in (0_u32..).zip(texts) {
        desk.change(Command::SetCells {
            sheet,
            cells: vec![CellEdit {
                row,
                column: column.to_owned(),
                text: (*text).to_owned(),
            }],
        })
        .expect("typed");
    }
    desk
}

/// Codes and rows of what is said about dates.
fn found(desk: &Desk) -> Vec<(&'static str, u32)> {
    let results = Results::recalculate(desk.book());
    check(desk.book(), &results)
        .list
        .iter()
        .filter(|finding| {
            finding.code.key().contains("date.f") || finding.code.key().contains("long_ago")
        })
        .map(|finding| (finding.code.key(), finding.row))
        .collect()
}

#[test]
fn a_birth_in_2062_is_a_problem_even_alone() {
    let alone = typed(SheetKind::Calves, "birth_date", &["2062-03-14"], "");
    assert_eq!(found(&alone), [("check.date.far_ahead", 0)]);
    let among = [
        "2025-03-14",
        "2025-03-20",
        "2026-03-14",
        "2062-03-14",
        "2030-03-14",
    ];
    let among = typed(SheetKind::Cows, "birth_date", &among, "");
    // 2030 has half as many dates as 2025 has, so it may be a year of the book.
    assert_eq!(found(&among), [("check.date.far_ahead", 3)]);
    let mut many = vec!["2026-03-14"; 21];
    many.extend(["2028-03-14", "2027-12-31", "1969-12-31"]);
    let many = typed(SheetKind::Calves, "birth_date", &many, "");
    assert_eq!(
        found(&many),
        [("check.date.far_ahead", 21), ("check.date.long_ago", 23)]
    );
}

#[test]
fn a_year_after_the_books_day_may_be_planned() {
    let planned = ["2027-06-01", "2027-11-26", "2027-11-27"];
    let planned = typed(SheetKind::Exposures, "from", &planned, "2026-11-25");
    assert_eq!(found(&planned), [("check.date.far_ahead", 2)]);
    let born = typed(
        SheetKind::Calves,
        "birth_date",
        &["2062-03-14"],
        "2026-11-25",
    );
    assert_eq!(found(&born), [("check.birth_date.future", 0)], "said once");
}

#[test]
fn a_year_left_out_is_never_that_of_a_stray_date() {
    let texts = [
        "2025-12-24",
        "2026-12-20",
        "2026-12-21",
        "2062-12-24",
        "12/25",
    ];
    let desk = typed(SheetKind::Calves, "birth_date", &texts, "");
    let days = desk
        .book()
        .calves()
        .known("birth_date")
        .days()
        .expect("days");
    assert_eq!(days[4].iso(), "2026-12-25");
    let stray = typed(
        SheetKind::Calves,
        "birth_date",
        &["2062-12-24", "12/25", "3/14/62"],
        "",
    );
    let column = stray.book().calves().known("birth_date");
    assert_eq!(
        column.unreadable.get(&1).map(String::as_str),
        Some("12/25"),
        "nothing gives the year"
    );
    assert_eq!(column.days().expect("days")[2].iso(), "1962-03-14");
    let with_day = typed(SheetKind::Calves, "birth_date", &["3/14"], "2026-11-25");
    let column = with_day.book().calves().known("birth_date");
    assert_eq!(column.days().expect("days")[0].iso(), "2026-03-14");
}
