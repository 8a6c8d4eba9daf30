//! What a cow or a bull did as a calf here, shown on its own row.
//!
//! Enters: a book, its results, and a row of the cows or the bulls. Leaves: the figures of its row as a calf.
//! Always true: a figure is the very one of the calves sheet; it stands only where exactly one calf's row is this
//! animal's (house rule 4: one electronic ID, or one name and birth date).
//! Never: keeps a figure of its own, or takes one from a calf that may be another's.

use std::cell::OnceCell;

use super::{ResultColumn, Results, Shown};
use crate::animals::Animal;
use crate::animals::find::Animals;
use crate::animals::kept::calf_rows;
use crate::sheet::column::{Column, Value};
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// A figure of an animal as a calf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AsCalfColumn {
    /// Birth weight as recorded.
    BirthWeight,
    /// Adjusted 205-day weight.
    Adj205Weight,
    /// Ratio in its contemporary group.
    Ratio,
    /// The contemporary group.
    ContemporaryGroup,
}

impl AsCalfColumn {
    /// All of them, in the order in which they are shown.
    pub const ALL: [AsCalfColumn; 4] = [
        AsCalfColumn::BirthWeight,
        AsCalfColumn::Adj205Weight,
        AsCalfColumn::Ratio,
        AsCalfColumn::ContemporaryGroup,
    ];

    /// Stable key, label, how it is shown, help.
    pub const fn about(self) -> (&'static str, &'static str, Shown, &'static str) {
        match self {
            AsCalfColumn::BirthWeight => (
                "own_birth_weight",
                "Own birth weight",
                Shown::Weight,
                "The animal's own birth weight, from its row as a calf.",
            ),
            AsCalfColumn::Adj205Weight => (
                "own_adj_205_weight",
                "Own adjusted 205-day weight",
                Shown::Weight,
                "The animal's own adjusted 205-day weight, from its row as a calf.",
            ),
            AsCalfColumn::Ratio => (
                "own_ratio",
                "Own ratio",
                Shown::OneDecimal,
                "The animal's own ratio among the calves it was weaned with.",
            ),
            AsCalfColumn::ContemporaryGroup => (
                "own_contemporary_group",
                "Own contemporary group",
                Shown::Text,
                "The calves that the animal's own ratio goes by.",
            ),
        }
    }

    /// The column of the calves sheet that it comes from.
    pub const fn of_calf(self) -> &'static str {
        match self {
            AsCalfColumn::BirthWeight => "birth_weight",
            AsCalfColumn::Adj205Weight => ResultColumn::Adj205Weight.key(),
            AsCalfColumn::Ratio => ResultColumn::Ratio.key(),
            AsCalfColumn::ContemporaryGroup => ResultColumn::ContemporaryGroup.key(),
        }
    }

    /// The column with this key.
    pub fn from_key(key: &str) -> Option<AsCalfColumn> {
        AsCalfColumn::ALL
            .into_iter()
            .find(|column| column.about().0 == key)
    }

    /// Its value in a row of the cows or the bulls; weights in the book's unit, unrounded.
    pub fn value(self, book: &Workbook, results: &Results, sheet: SheetKind, row: usize) -> Value {
        let Some(calf) = results.calf_row(book, sheet, row) else {
            return Value::Missing;
        };
        let calf = calf as usize;
        match ResultColumn::from_key(self.of_calf()) {
            Some(column) => column.value(book, results, calf),
            None => book
                .calves()
                .column(self.of_calf())
                .map_or(Value::Missing, |column: &Column| column.value(calf)),
        }
    }
}

/// The calf's row of each cow and each bull; found when first asked for.
#[derive(Clone, Debug, Default)]
pub(super) struct CalfRows {
    cows: OnceCell<Vec<Option<u32>>>,
    bulls: OnceCell<Vec<Option<u32>>>,
}

impl CalfRows {
    pub(super) fn of(&self, book: &Workbook, sheet: SheetKind, row: usize) -> Option<u32> {
        let cell = match sheet {
            SheetKind::Cows => &self.cows,
            SheetKind::Bulls => &self.bulls,
            _ => return None,
        };
        let rows = cell.get_or_init(|| {
            let animals = Animals::new();
            (0_u32..)
                .take(book.sheet(sheet).n_rows())
                .map(
                    |row| match calf_rows(book, &animals, Animal { sheet, row })[..] {
                        [calf] => Some(calf),
                        _ => None,
                    },
                )
                .collect()
        });
        rows.get(row).copied().flatten()
    }
}
