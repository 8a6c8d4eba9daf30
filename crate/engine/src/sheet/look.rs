//! How a sheet looks: which columns are shown, in which order and how wide, how many stay in sight, and how
//! the rows are sorted and filtered.
//!
//! Enters: what a person arranged. Leaves: the present look of each sheet, and the views saved by name.
//! Always true: a look names columns by their keys and may name some that are not there: it waits for them.
//! Columns that a look does not name stand behind those it names. The revision grows with every change.
//! Never: changes a cell, a row or a figure.

use std::collections::BTreeMap;

use super::schema::SheetKind;
use super::view::{ColumnFilter, SortKey};

/// Most saved views of a sheet.
pub const MOST_VIEWS: usize = 40;
/// Most characters of a view's name.
pub const LONGEST_NAME: usize = 60;
/// Most columns that a look may name.
pub const MOST_COLUMNS: usize = 1000;
/// Most bytes of text in a look, as it is written: a filter by value may list many values.
pub const MOST_BYTES: usize = 128 << 10;
/// Widest column, in CSS pixels.
pub const WIDEST_PX: u16 = 2000;

/// A column's place in a look.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnPlace {
    /// Key of the column.
    pub column: String,
    /// Shown or hidden by choice; `None` shows it when it is in use.
    pub shown: Option<bool>,
}

/// How a sheet looks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Look {
    /// Columns from left to right; those not named follow in the order of the sheet.
    pub columns: Vec<ColumnPlace>,
    /// Widths that were chosen, CSS pixels.
    pub widths: BTreeMap<String, u16>,
    /// Leading columns that stay in sight; the first always does, so 0 and 1 mean the same.
    pub n_frozen: u16,
    /// Sort keys, most important first.
    pub sort: Vec<SortKey>,
    /// All must hold.
    pub filters: Vec<ColumnFilter>,
}

/// Parts of a look that take the place of those there were. `None` leaves a part as it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LookChange {
    /// Columns from left to right.
    pub columns: Option<Vec<ColumnPlace>>,
    /// Widths that were chosen.
    pub widths: Option<BTreeMap<String, u16>>,
    /// Leading columns that stay in sight.
    pub n_frozen: Option<u16>,
    /// Sort keys.
    pub sort: Option<Vec<SortKey>>,
    /// Filters.
    pub filters: Option<Vec<ColumnFilter>>,
}

impl From<Look> for LookChange {
    /// A change of every part.
    fn from(look: Look) -> LookChange {
        LookChange {
            columns: Some(look.columns),
            widths: Some(look.widths),
            n_frozen: Some(look.n_frozen),
            sort: Some(look.sort),
            filters: Some(look.filters),
        }
    }
}

impl Look {
    /// Puts the parts of a change in place and hands back the parts they took the place of.
    pub fn take(&mut self, change: LookChange) -> LookChange {
        fn swap<T>(here: &mut T, new: Option<T>) -> Option<T> {
            new.map(|new| std::mem::replace(here, new))
        }
        LookChange {
            columns: swap(&mut self.columns, change.columns),
            widths: swap(&mut self.widths, change.widths),
            n_frozen: swap(&mut self.n_frozen, change.n_frozen),
            sort: swap(&mut self.sort, change.sort),
            filters: swap(&mut self.filters, change.filters),
        }
    }

    /// True when nothing was arranged.
    pub fn is_plain(&self) -> bool {
        *self == Look::default()
    }

    /// Keys of columns that it names and that are not among these, each once, in the order of the look.
    pub fn missing(&self, there: &[String]) -> Vec<String> {
        let named = self
            .columns
            .iter()
            .map(|place| &place.column)
            .chain(self.sort.iter().map(|key| &key.column))
            .chain(self.filters.iter().map(|filter| &filter.column));
        let mut missing: Vec<String> = Vec::new();
        for key in named {
            if !there.contains(key) && !missing.contains(key) {
                missing.push(key.clone());
            }
        }
        missing
    }

    /// True when both look the same; no frozen column and one mean the same.
    pub fn shows_the_same(&self, other: &Look) -> bool {
        self.n_frozen.max(1) == other.n_frozen.max(1)
            && self.columns == other.columns
            && self.widths == other.widths
            && self.sort == other.sort
            && self.filters == other.filters
    }
}

/// The looks of one sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetLooks {
    /// How it looks now.
    pub present: Look,
    /// Saved views, by name.
    pub views: BTreeMap<String, Look>,
}

/// The looks of a book.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Looks {
    sheets: BTreeMap<SheetKind, SheetLooks>,
    revision: u64,
}

/// A look where none was arranged.
static PLAIN: SheetLooks = SheetLooks {
    present: Look {
        columns: Vec::new(),
        widths: BTreeMap::new(),
        n_frozen: 0,
        sort: Vec::new(),
        filters: Vec::new(),
    },
    views: BTreeMap::new(),
};

impl Looks {
    /// The looks of a sheet.
    pub fn of(&self, sheet: SheetKind) -> &SheetLooks {
        self.sheets.get(&sheet).unwrap_or(&PLAIN)
    }

    /// The looks of a sheet, to change them. Counts as a change of the looks.
    pub fn of_mut(&mut self, sheet: SheetKind) -> &mut SheetLooks {
        self.revision += 1;
        self.sheets.entry(sheet).or_default()
    }

    /// Counts the changes made since the book was opened. Apart from that of the book, as no figure depends
    /// on a look.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Sheets of which anything was arranged or saved, in order.
    pub fn arranged(&self) -> impl Iterator<Item = (SheetKind, &SheetLooks)> {
        self.sheets
            .iter()
            .map(|(sheet, looks)| (*sheet, looks))
            .filter(|(_, looks)| !looks.present.is_plain() || !looks.views.is_empty())
    }
}
