//! Which columns name something that stands on another sheet.
//!
//! Enters: a sheet and the key of a column. Leaves: what its cells stand for, and the day they speak of.
//! Always true: every column of the schema that names an animal or a place is listed here, and nowhere else.
//! Never: looks a name up.

use super::{Among, Deed};
use crate::sheet::column::{Column, Kind};
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;

/// What the cells of a column stand for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StandsFor {
    /// Animals of these sheets, that did this on the day.
    Animal(Among, Deed),
    /// A pen or pasture of the places sheet.
    Place,
}

impl StandsFor {
    /// The sheet on which a name that is nowhere would be added; `None` where it cannot be told.
    pub const fn home(self) -> Option<SheetKind> {
        match self {
            StandsFor::Animal(Among::Cows, _) => Some(SheetKind::Cows),
            StandsFor::Animal(Among::Bulls, _) => Some(SheetKind::Bulls),
            StandsFor::Animal(Among::All, _) => None,
            StandsFor::Place => Some(SheetKind::Places),
        }
    }
}

const DAM: StandsFor = StandsFor::Animal(Among::Cows, Deed::Bore);
const SIRE: StandsFor = StandsFor::Animal(Among::Bulls, Deed::Sired);
const COW: StandsFor = StandsFor::Animal(Among::Cows, Deed::OnHand);
const BULL: StandsFor = StandsFor::Animal(Among::Bulls, Deed::OnHand);
const ANY: StandsFor = StandsFor::Animal(Among::All, Deed::OnHand);
const PLACE: StandsFor = StandsFor::Place;

/// Every column that names something, with the columns that hold its day, the first that is filled.
const COLUMNS: &[(SheetKind, &str, StandsFor, &[&str])] = &[
    (SheetKind::Calves, "dam", DAM, &["birth_date"]),
    (SheetKind::Calves, "sire", SIRE, &["birth_date"]),
    (SheetKind::Calves, "raised_dam", DAM, &["birth_date"]),
    (SheetKind::Calves, "place", PLACE, &[]),
    (SheetKind::Cows, "sire", SIRE, &["birth_date"]),
    (SheetKind::Cows, "dam", DAM, &["birth_date"]),
    (SheetKind::Bulls, "sire", SIRE, &["birth_date"]),
    (SheetKind::Bulls, "dam", DAM, &["birth_date"]),
    (SheetKind::Exposures, "cow", COW, &["from", "ai_date", "to"]),
    (
        SheetKind::Exposures,
        "bulls",
        BULL,
        &["from", "ai_date", "to"],
    ),
    (SheetKind::Checks, "cow", COW, &["date"]),
    (SheetKind::Stays, "animal", ANY, &["from", "to"]),
    (SheetKind::Stays, "place", PLACE, &[]),
    (SheetKind::Weights, "animal", ANY, &["date"]),
    (SheetKind::WeighDays, "places", PLACE, &[]),
    (SheetKind::Scores, "animal", ANY, &["date"]),
    (SheetKind::Treatments, "animal", ANY, &["date"]),
    (SheetKind::Treatments, "place", PLACE, &[]),
];

/// What the cells of a column stand for; `None` where they stand for nothing on another sheet.
pub fn stands_for(sheet: SheetKind, column: &str) -> Option<StandsFor> {
    COLUMNS
        .iter()
        .find(|(at, key, _, _)| *at == sheet && *key == column)
        .map(|(_, _, stands_for, _)| *stands_for)
}

/// The columns of a sheet that name something.
pub fn columns_of(sheet: SheetKind) -> impl Iterator<Item = (&'static str, StandsFor)> {
    COLUMNS
        .iter()
        .filter(move |(at, _, _, _)| *at == sheet)
        .map(|(_, key, stands_for, _)| (*key, *stands_for))
}

/// The day a cell of a column speaks of; missing where none is given.
pub fn day_of(table: &Table, column: &str, row: usize) -> Day {
    COLUMNS
        .iter()
        .find(|(at, key, _, _)| *at == table.kind && *key == column)
        .into_iter()
        .flat_map(|(_, _, _, days)| days.iter())
        .filter_map(|key| table.column(key)?.days()?.get(row).copied())
        .find(|day| !day.is_missing())
        .unwrap_or(Day::MISSING)
}

/// The names in a cell: one, or those of a list.
pub fn names_in(column: &Column, row: usize) -> impl Iterator<Item = &str> {
    let text = column
        .texts()
        .and_then(|texts| texts.get(row))
        .unwrap_or("");
    let list = matches!(column.kind, Kind::List);
    text.split(move |ch| list && ch == ';')
        .map(str::trim)
        .filter(|name| !name.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_listed_column_and_day_is_in_the_schema() {
        for (sheet, key, _, days) in COLUMNS {
            assert!(sheet.column(key).is_some(), "{sheet:?} {key}");
            for day in *days {
                let column = sheet
                    .column(day)
                    .unwrap_or_else(|| panic!("{sheet:?} {day}"));
                assert!(matches!(column.kind, Kind::Date), "{sheet:?} {day}");
            }
        }
    }

    #[test]
    fn every_column_that_is_named_after_an_animal_or_a_place_is_listed() {
        let names = [
            "dam",
            "sire",
            "raised_dam",
            "cow",
            "bulls",
            "animal",
            "place",
            "places",
        ];
        for sheet in SheetKind::ALL {
            for column in sheet.columns() {
                if names.contains(&column.key) {
                    assert!(
                        stands_for(sheet, column.key).is_some(),
                        "{sheet:?} {}",
                        column.key
                    );
                }
            }
        }
    }
}
