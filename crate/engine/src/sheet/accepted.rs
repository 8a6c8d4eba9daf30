//! Doubts that a person has looked at and lets stand.
//!
//! Enters: a place, the code of a doubt, and what stood there. Leaves: whether it was accepted.
//! Always true: an acceptance holds for what was read when it was given; another text in the cell is a new
//! doubt.
//! Never: changes a figure. An accepted doubt is still counted and listed, apart.

use std::collections::BTreeMap;

use super::schema::SheetKind;

/// Where and what was doubted.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Doubt {
    /// The sheet.
    pub sheet: SheetKind,
    /// Permanent key of the row; `None` for a whole column.
    pub row: Option<u32>,
    /// Key of the column; empty for the whole row.
    pub column: String,
    /// Stable dotted code.
    pub code: String,
}

/// All accepted doubts of a book, each with what was read when it was accepted.
pub type Accepted = BTreeMap<Doubt, String>;

/// A doubt accepted with what was read, or no longer accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Acceptance {
    /// Where and what.
    pub doubt: Doubt,
    /// What stands there; `None` takes an acceptance back.
    pub read: Option<String>,
}
