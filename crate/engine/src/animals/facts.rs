//! What tells whether an animal can be meant: when it was born, came and left.
//!
//! Enters: a sheet of animals. Leaves: for a row and a day whether the animal can have been there.
//! Always true: what is not known speaks against nobody.
//! Never: copies a cell.

use super::Deed;
use crate::sheet::codes::CAME_AS;
use crate::sheet::column::Column;
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// Longest time a calf is carried, days: the 283 days of trade gestation tables and ten days more (house rule 31).
const CARRIED_DAYS: i32 = 293;

/// The dates of a sheet of animals. A sheet without such a column has an empty slice.
#[derive(Clone, Copy)]
pub struct Facts<'a> {
    birth: &'a [Day],
    birth_year: &'a [f64],
    came_on: &'a [Day],
    came_as: &'a [u8],
    left_on: &'a [Day],
}

/// How sure it is that an animal was there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Presence {
    /// It cannot have been.
    No,
    /// It came after the day; a cow bought with her calf did.
    CameAfter,
    /// It can.
    Yes,
}

impl<'a> Facts<'a> {
    /// The dates of a sheet.
    pub fn of(book: &'a Workbook, sheet: SheetKind) -> Facts<'a> {
        Facts::of_table(book.sheet(sheet))
    }

    /// The dates of a table of animals.
    pub fn of_table(table: &'a Table) -> Facts<'a> {
        let days = |key: &str| table.column(key).and_then(Column::days).unwrap_or(&[]);
        Facts {
            birth: days("birth_date"),
            birth_year: table
                .column("birth_year")
                .and_then(Column::numbers)
                .unwrap_or(&[]),
            came_on: days("came_on"),
            came_as: table
                .column("came_as")
                .and_then(Column::codes)
                .unwrap_or(&[]),
            left_on: days("left_on"),
        }
    }

    /// Birth date and birth year as given; missing and NaN where they are not.
    pub fn born(&self, row: u32) -> (Day, f64) {
        let year = self.birth_year.get(row as usize).copied();
        (day(self.birth, row), year.unwrap_or(f64::NAN))
    }

    /// Year of birth, from the date or as given.
    pub fn year_of_birth(&self, row: u32) -> Option<i32> {
        let (birth, year) = self.born(row);
        birth.year().or_else(|| {
            (year.is_finite() && year.abs() < 10_000.0).then(|| libm::trunc(year) as i32)
        })
    }

    /// True when the two rows give the same birth.
    pub fn same_age(&self, row: u32, other: u32) -> bool {
        let ((birth, year), (other_birth, other_year)) = (self.born(row), self.born(other));
        birth == other_birth && (year == other_year || (year.is_nan() && other_year.is_nan()))
    }

    /// Day it came, missing where not given.
    pub fn came_on(&self, row: u32) -> Day {
        day(self.came_on, row)
    }

    /// Day it left, missing where not given.
    pub fn left_on(&self, row: u32) -> Day {
        day(self.left_on, row)
    }

    /// Whether the animal of a row can have been there.
    pub fn presence(&self, row: u32, deed: Deed, on: Day) -> Presence {
        if on.is_missing() {
            return Presence::Yes;
        }
        if !self.born_by(row, deed, on) {
            return Presence::No;
        }
        let left = self.left_on(row);
        // On the day it leaves it is still weighed and treated. A bull that is gone may have sired.
        if deed != Deed::Sired && !left.is_missing() && left < on {
            return Presence::No;
        }
        let came = self.came_on(row);
        if deed == Deed::Sired || came.is_missing() || came <= on {
            return Presence::Yes;
        }
        match deed {
            Deed::Bore if self.came_as_pair(row) => Presence::Yes,
            Deed::Bore => Presence::CameAfter,
            _ => Presence::No,
        }
    }

    fn came_as_pair(&self, row: u32) -> bool {
        self.came_as
            .get(row as usize)
            .is_some_and(|&code| CAME_AS.key(code) == Some("pair"))
    }

    fn born_by(&self, row: u32, deed: Deed, on: Day) -> bool {
        let (birth, year) = self.born(row);
        let of_young = deed != Deed::OnHand;
        if !birth.is_missing() {
            return if of_young { birth < on } else { birth <= on };
        }
        let Some(on_year) = on.year().filter(|_| !year.is_nan()) else {
            return true;
        };
        // A parent is not born in the year of its young.
        let on_year = f64::from(on_year);
        if of_young {
            year < on_year
        } else {
            year <= on_year
        }
    }
}

/// Whether a name carried on days `from <= d < to` was carried when the deed was done.
pub fn carried(from: Day, to: Day, deed: Deed, on: Day) -> bool {
    if on.is_missing() {
        return true;
    }
    // A calf's row may name the bull as he was called at breeding or at birth.
    let earliest = if deed == Deed::Sired {
        on.plus(-CARRIED_DAYS)
    } else {
        on
    };
    (from.is_missing() || from <= on) && (to.is_missing() || earliest < to)
}

fn day(days: &[Day], row: u32) -> Day {
    days.get(row as usize).copied().unwrap_or(Day::MISSING)
}
