//! The sheets beside the calves, each by itself: rows that name nothing, dates, numbers, and names carried twice.
//!
//! Enters: a book. Leaves: findings.
//! Always true: a blank row is no finding; every range is wide enough that a sound record is rarely doubted.
//! Never: looks from one sheet into another; that is `named`.

use super::code::Code;
use super::{Look, filled_rows};
use crate::animals::facts::Facts;
use crate::animals::names;
use crate::animals::register::{Register, Wearing};
use crate::sheet::column::{Column, Origin, Value};
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::trade::plausible::{EARLIEST_YEAR, number_range};

/// What a row of a sheet must say, one of each list.
const NEEDED: &[(SheetKind, &[&str])] = &[
    (SheetKind::Cows, &["tag", "eid"]),
    (SheetKind::Bulls, &["tag", "name", "eid"]),
    (SheetKind::Exposures, &["cow"]),
    (SheetKind::Exposures, &["from", "ai_date", "season"]),
    (SheetKind::Checks, &["cow"]),
    (SheetKind::Checks, &["date"]),
    (SheetKind::Checks, &["result"]),
    (SheetKind::Places, &["name"]),
    (SheetKind::Stays, &["animal"]),
    (SheetKind::Stays, &["place"]),
    (SheetKind::Stays, &["from"]),
    (SheetKind::Weights, &["animal"]),
    (SheetKind::Weights, &["date"]),
    (SheetKind::WeighDays, &["date"]),
    (SheetKind::Scores, &["animal"]),
    (SheetKind::Scores, &["date"]),
    (SheetKind::Scores, &["what"]),
    (SheetKind::Treatments, &["animal", "place"]),
    (SheetKind::Treatments, &["date"]),
    (SheetKind::Treatments, &["product"]),
];

/// Days of things done, which cannot lie after the book's day.
pub(super) const DONE: &[(SheetKind, &str)] = &[
    (SheetKind::Cows, "birth_date"),
    (SheetKind::Cows, "left_on"),
    (SheetKind::Bulls, "birth_date"),
    (SheetKind::Exposures, "ai_date"),
    (SheetKind::Checks, "date"),
    (SheetKind::Weights, "date"),
    (SheetKind::WeighDays, "date"),
    (SheetKind::Scores, "date"),
    (SheetKind::Treatments, "date"),
];

/// A day and another that cannot lie before it.
const IN_ORDER: &[(SheetKind, &str, &str)] = &[
    (SheetKind::Cows, "birth_date", "came_on"),
    (SheetKind::Cows, "birth_date", "left_on"),
    (SheetKind::Cows, "birth_date", "tag_from"),
    (SheetKind::Cows, "came_on", "left_on"),
    (SheetKind::Bulls, "birth_date", "tag_from"),
    (SheetKind::Calves, "birth_date", "tag_from"),
    (SheetKind::Exposures, "from", "to"),
    (SheetKind::Stays, "from", "to"),
];

pub(super) fn look(look: &mut Look) {
    for sheet in SheetKind::ALL {
        let table = look.book.sheet(sheet);
        if table.n_rows() == 0 {
            continue;
        }
        needed(look, table);
        dates(look, table);
        numbers(look, table);
        earlier_names(look, table);
    }
    for sheet in [SheetKind::Cows, SheetKind::Bulls] {
        twice_at_once(look, sheet);
    }
    birth_years(look);
}

fn needed(look: &mut Look, table: &Table) {
    let sheet = table.kind;
    let wanted: Vec<&[&str]> = NEEDED
        .iter()
        .filter(|(at, _)| *at == sheet)
        .map(|(_, keys)| *keys)
        .collect();
    if wanted.is_empty() {
        return;
    }
    let filled = filled_rows(table);
    for keys in wanted {
        let columns: Vec<&Column> = keys.iter().filter_map(|key| table.column(key)).collect();
        for (row, _) in (0_u32..).zip(&filled).filter(|(_, filled)| **filled) {
            if columns
                .iter()
                .all(|column| column.value(row as usize) == Value::Missing)
            {
                look.add_in(Code::RowNamesNothing, sheet, keys[0], row, 0);
            }
        }
    }
}

fn days<'a>(table: &'a Table, key: &str) -> &'a [Day] {
    table.column(key).and_then(Column::days).unwrap_or(&[])
}

fn dates(look: &mut Look, table: &Table) {
    let (sheet, as_of) = (table.kind, look.settings.as_of);
    let Some(earliest) = Day::from_ymd(EARLIEST_YEAR, 1, 1) else {
        return;
    };
    for column in table.columns() {
        for (row, &day) in (0_u32..).zip(column.days().unwrap_or(&[])) {
            if !day.is_missing() && day < earliest {
                look.add_in(Code::DateLongAgo, sheet, &column.key, row, 0);
            }
        }
    }
    far_ahead(look, table);
    if !as_of.is_missing() {
        for (_, key) in DONE.iter().filter(|(at, _)| *at == sheet) {
            for (row, &day) in (0_u32..).zip(days(table, key)) {
                if day > as_of {
                    look.add_in(Code::DateFuture, sheet, key, row, 0);
                }
            }
        }
    }
    for (_, earlier, later) in IN_ORDER.iter().filter(|(at, _, _)| *at == sheet) {
        let other = u32::from(super::column_position(table, earlier));
        let pairs = days(table, earlier).iter().zip(days(table, later));
        for (row, (&earlier, &day)) in (0_u32..).zip(pairs) {
            if day.days_since(earlier).is_some_and(|days| days < 0) {
                look.add_in(Code::DateOrder, sheet, later, row, other);
            }
        }
    }
}

/// Days more than a year after the book's day; where it has none, after the years of its other dates.
fn far_ahead(look: &mut Look, table: &Table) {
    let (sheet, as_of) = (table.kind, look.settings.as_of);
    let latest = look.latest;
    // After the book's day at all is said of these already.
    let is_said = |key: &str| {
        !as_of.is_missing()
            && (DONE.contains(&(sheet, key))
                || sheet == SheetKind::Calves
                    && matches!(key, "birth_date" | "wean_date" | "weigh_date"))
    };
    for column in table.columns() {
        if column.origin != Origin::Known || is_said(&column.key) {
            continue;
        }
        for (row, &day) in (0_u32..).zip(column.days().unwrap_or(&[])) {
            if !day.is_missing() && day > latest {
                look.add_in(Code::DateFarAhead, sheet, &column.key, row, 0);
            }
        }
    }
}

fn numbers(look: &mut Look, table: &Table) {
    let sheet = table.kind;
    // The calves' weights and ages have findings of their own.
    if sheet == SheetKind::Calves {
        return;
    }
    let what = table.column("what").and_then(Column::texts);
    for column in table.columns() {
        let Some(numbers) = column.numbers() else {
            continue;
        };
        for (row, &number) in (0_u32..).zip(numbers) {
            let scored = what.and_then(|what| what.get(row as usize)).unwrap_or("");
            let range = number_range(sheet, &column.key, scored, look.settings.weight_unit);
            if !number.is_nan() && range.is_some_and(|range| !range.holds(number)) {
                look.add_in(Code::NumberRange, sheet, &column.key, row, 0);
            }
        }
    }
}

fn earlier_names(look: &mut Look, table: &Table) {
    let Some(cells) = table.column("names_before").and_then(Column::texts) else {
        return;
    };
    let wrong: Vec<bool> = cells
        .texts()
        .map(|cell| names::read(cell).any(|name| name.is_err()))
        .collect();
    for (row, &code) in (0_u32..).zip(cells.codes()) {
        if wrong.get(code as usize) == Some(&true) {
            look.add_in(Code::NamesBeforeForm, table.kind, "names_before", row, 0);
        }
    }
}

/// Rows that carry one name on the same day; the later row is named, with the first beside it.
fn twice_at_once(look: &mut Look, sheet: SheetKind) {
    let register = Register::of(look.book, sheet);
    let facts = Facts::of(look.book, sheet);
    // From the day it was there, or born, or got the name, to the day it left or lost the name.
    let span = |wearing: &Wearing| {
        let first = [
            wearing.from,
            facts.came_on(wearing.row),
            facts.born(wearing.row).0,
        ]
        .into_iter()
        .max()
        .unwrap_or(Day::MISSING);
        let last = [wearing.to, facts.left_on(wearing.row)]
            .into_iter()
            .filter(|day| !day.is_missing())
            .min()
            .unwrap_or(Day::from_count(i32::MAX));
        (first, last)
    };
    for wearings in register.shared() {
        for (at, one) in wearings.iter().enumerate() {
            let overlapping = wearings[..at].iter().find(|other| {
                let ((first, last), (other_first, other_last)) = (span(one), span(other));
                other.row != one.row && first < other_last && other_first < last
            });
            if let Some(other) = overlapping {
                look.add_in(Code::TagTwiceAtOnce, sheet, "tag", one.row, other.row);
            }
        }
    }
}

fn birth_years(look: &mut Look) {
    let facts = Facts::of(look.book, SheetKind::Cows);
    let n_rows = look.book.sheet(SheetKind::Cows).n_rows();
    for row in 0..u32::try_from(n_rows).unwrap_or(u32::MAX) {
        let (birth, year) = facts.born(row);
        if birth
            .year()
            .is_some_and(|born| !year.is_nan() && f64::from(born) != year)
        {
            look.add_in(
                Code::BirthYearDisagrees,
                SheetKind::Cows,
                "birth_year",
                row,
                0,
            );
        }
    }
}
