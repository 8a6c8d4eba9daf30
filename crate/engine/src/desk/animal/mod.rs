//! Animals in hand: what a name in a cell stands for, where else an animal or a place stands, and what can be done
//! with it.
//!
//! Enters: a cell or a row. Leaves: rows to open, names to offer, commands.
//! Always true: every look-up is that of [`crate::animals`]; where two fit both are offered and neither is taken.
//! Never: changes the book by itself.

pub mod back;
pub mod card;
pub mod keep;
pub mod named;
pub mod offers;
pub mod retag;
pub mod retyped;
mod words;

use crate::sheet::schema::SheetKind;

/// A row that can be opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The sheet.
    pub sheet: SheetKind,
    /// The row, as it is numbered in its table.
    pub row: u32,
    /// The column to go to.
    pub column: &'static str,
    /// What tells it apart: `cow 17, born 2018-04-02`.
    pub words: String,
}
