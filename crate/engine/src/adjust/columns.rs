//! The columns of the calves sheet, as slices.
//!
//! Enters: a book. Leaves: typed slices, one value per calf row, weights still in the book's unit.
//! Always true: every slice has `n_rows` values.
//! Never: copies a cell.

use crate::sheet::day::Day;
use crate::sheet::interned::Interned;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// The columns that weights, groups and checks read.
pub struct CalfColumns<'a> {
    /// The sheet itself.
    pub table: &'a Table,
    /// Number of rows.
    pub n_rows: usize,
    /// Tags.
    pub tag: &'a Interned,
    /// Electronic IDs.
    pub eid: &'a Interned,
    /// Sex, positions in `codes::SEX`.
    pub sex: &'a [u8],
    /// Birth dates.
    pub birth: &'a [Day],
    /// Birth weights, book unit.
    pub birth_weight: &'a [f64],
    /// Tags of the birth dams.
    pub dam: &'a Interned,
    /// Stated dam age, years.
    pub dam_age: &'a [f64],
    /// Stated birth date of the dam.
    pub dam_birth: &'a [Day],
    /// Stated birth year of the dam.
    pub dam_birth_year: &'a [f64],
    /// Sire, or possible sires with `;`.
    pub sire: &'a Interned,
    /// Breed.
    pub breed: &'a Interned,
    /// Positions in `codes::BORN_AS`.
    pub born_as: &'a [u8],
    /// Positions in `codes::RAISED_BY`.
    pub raised_by: &'a [u8],
    /// Tags of the cows that raised calves not their own.
    pub raised_dam: &'a Interned,
    /// Place.
    pub place: &'a Interned,
    /// Management, as typed.
    pub management: &'a Interned,
    /// Positions in `codes::YES_NO`.
    pub creep: &'a [u8],
    /// Reason for being set apart.
    pub set_apart: &'a Interned,
    /// Weaning dates.
    pub wean_date: &'a [Day],
    /// Weigh dates where they differ.
    pub weigh_date: &'a [Day],
    /// Weaning weights, book unit.
    pub wean_weight: &'a [f64],
    /// Day the calf left.
    pub left_on: &'a [Day],
    /// Positions in `codes::LEFT_BECAUSE`.
    pub left_because: &'a [u8],
}

impl<'a> CalfColumns<'a> {
    /// The columns of the calves of a book.
    pub fn of(book: &'a Workbook) -> CalfColumns<'a> {
        let table = book.calves();
        CalfColumns {
            table,
            n_rows: table.n_rows(),
            tag: texts(table, "tag"),
            eid: texts(table, "eid"),
            sex: codes(table, "sex"),
            birth: days(table, "birth_date"),
            birth_weight: numbers(table, "birth_weight"),
            dam: texts(table, "dam"),
            dam_age: numbers(table, "dam_age"),
            dam_birth: days(table, "dam_birth_date"),
            dam_birth_year: numbers(table, "dam_birth_year"),
            sire: texts(table, "sire"),
            breed: texts(table, "breed"),
            born_as: codes(table, "born_as"),
            raised_by: codes(table, "raised_by"),
            raised_dam: texts(table, "raised_dam"),
            place: texts(table, "place"),
            management: texts(table, "management"),
            creep: codes(table, "creep"),
            set_apart: texts(table, "set_apart"),
            wean_date: days(table, "wean_date"),
            weigh_date: days(table, "weigh_date"),
            wean_weight: numbers(table, "wean_weight"),
            left_on: days(table, "left_on"),
            left_because: codes(table, "left_because"),
        }
    }

    /// The day of the weaning weight: the weigh date, else the weaning date.
    pub fn weighed_on(&self, row: usize) -> Day {
        let own = self.weigh_date[row];
        if own.is_missing() {
            self.wean_date[row]
        } else {
            own
        }
    }

    /// True for a calf that was born dead or aborted, which has no figures.
    pub fn never_lived(&self, row: usize) -> bool {
        matches!(
            self.left_because[row],
            crate::sheet::codes::BORN_DEAD | crate::sheet::codes::ABORTED
        )
    }
}

/// A known text column.
pub fn texts<'a>(table: &'a Table, key: &'static str) -> &'a Interned {
    table
        .known(key)
        .texts()
        .expect("the schema says this column holds text")
}

/// A known coded column.
pub fn codes<'a>(table: &'a Table, key: &'static str) -> &'a [u8] {
    table
        .known(key)
        .codes()
        .expect("the schema says this column is coded")
}

/// A known date column.
pub fn days<'a>(table: &'a Table, key: &'static str) -> &'a [Day] {
    table
        .known(key)
        .days()
        .expect("the schema says this column holds dates")
}

/// A known number column.
pub fn numbers<'a>(table: &'a Table, key: &'static str) -> &'a [f64] {
    table
        .known(key)
        .numbers()
        .expect("the schema says this column holds numbers")
}
