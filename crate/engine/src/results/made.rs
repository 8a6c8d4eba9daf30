//! The columns that the engine makes beside those of a sheet, whichever sheet it is.
//!
//! Enters: a sheet and a key. Leaves: what people must know of the column, and its values.
//! Always true: keys are unique in a sheet, and none is a key of the sheet's own columns.
//! Never: computes; each kind of column does that in its own file.

use super::as_calf::AsCalfColumn;
use super::checked::CheckColumn;
use super::{ResultColumn, Results, Shown};
use crate::sheet::column::Value;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::Settings;
use crate::sheet::workbook::Workbook;

/// A column that the engine makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    /// Of the calves: weights on a common footing, groups, ratios.
    Calf(ResultColumn),
    /// Of the pregnancy checks: days bred, days due.
    Check(CheckColumn),
    /// Of a sheet of grown animals: what they did as calves.
    AsCalf(SheetKind, AsCalfColumn),
}

/// What people must know of a column that the engine makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AboutMade {
    /// Stable key.
    pub key: &'static str,
    /// Header.
    pub label: &'static str,
    /// How its values are shown.
    pub shown: Shown,
    /// One sentence.
    pub help: &'static str,
}

impl Made {
    /// All columns that the engine makes for a sheet, in the order in which they are shown.
    pub fn all(sheet: SheetKind) -> Vec<Made> {
        match sheet {
            SheetKind::Calves => ResultColumn::ALL.map(Made::Calf).to_vec(),
            SheetKind::Checks => CheckColumn::ALL.map(Made::Check).to_vec(),
            SheetKind::Cows | SheetKind::Bulls => AsCalfColumn::ALL
                .map(|column| Made::AsCalf(sheet, column))
                .to_vec(),
            _ => Vec::new(),
        }
    }

    /// The column of a sheet with this key.
    pub fn from_key(sheet: SheetKind, key: &str) -> Option<Made> {
        match sheet {
            SheetKind::Calves => ResultColumn::from_key(key).map(Made::Calf),
            SheetKind::Checks => CheckColumn::from_key(key).map(Made::Check),
            SheetKind::Cows | SheetKind::Bulls => {
                AsCalfColumn::from_key(key).map(|column| Made::AsCalf(sheet, column))
            }
            _ => None,
        }
    }

    /// What people must know of it.
    pub const fn about(self) -> AboutMade {
        let (key, label, shown, help) = match self {
            Made::Calf(column) => column.about(),
            Made::Check(column) => {
                let (key, label, help) = column.about();
                let shown = if column.is_date() {
                    Shown::Date
                } else {
                    Shown::Whole
                };
                (key, label, shown, help)
            }
            Made::AsCalf(_, column) => column.about(),
        };
        AboutMade {
            key,
            label,
            shown,
            help,
        }
    }

    /// Its unit: `lb`, `kg/day`, `days`, or empty.
    pub fn unit(self, settings: &Settings) -> String {
        let symbol = settings.weight_unit.symbol();
        match (self.about().shown, self) {
            (Shown::Weight, _) => symbol.to_owned(),
            (Shown::WeightPerDay, _) => format!("{symbol}/day"),
            (_, Made::Calf(ResultColumn::AgeDays | ResultColumn::DamAgeDays))
            | (Shown::Whole, Made::Check(_)) => "days".to_owned(),
            _ => String::new(),
        }
    }

    /// The value of a row; numbers in the book's unit, unrounded.
    pub fn value(self, book: &Workbook, results: &Results, row: usize) -> Value {
        match self {
            Made::Calf(column) => column.value(book, results, row),
            Made::Check(column) => column.value(book, row),
            Made::AsCalf(sheet, column) => column.value(book, results, sheet, row),
        }
    }
}
