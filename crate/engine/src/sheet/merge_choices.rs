//! What the person chose for rows that meet a sheet with rows.
//!
//! Enters: choices. Leaves: the same choices, kept with the import.
//! Always true: without any choice new rows come in, blanks are filled, nothing on record is overwritten, and an
//! unclear row stays out.

use std::collections::BTreeMap;

/// What becomes of one row of the file, whatever is chosen for its kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowChoice {
    /// It comes in as a new row.
    Add,
    /// It stays out.
    LeaveOut,
    /// It goes into a row on record: blanks are filled, and what differs is overwritten when `overwrite`.
    Into {
        /// Key of the row on record.
        row: u32,
        /// Whether values that differ are overwritten.
        overwrite: bool,
    },
}

/// What becomes of the rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MergeChoices {
    /// False: nothing is held against the record, and every row comes in as a new one.
    pub match_rows: bool,
    /// New rows come in.
    pub add_new: bool,
    /// Blank cells on record are filled.
    pub fill_blanks: bool,
    /// Cells on record with other values are overwritten.
    pub overwrite: bool,
    /// Choices for single rows, by their position in the table that was read.
    pub rows: BTreeMap<u32, RowChoice>,
}

impl Default for MergeChoices {
    fn default() -> MergeChoices {
        MergeChoices {
            match_rows: true,
            add_new: true,
            fill_blanks: true,
            overwrite: false,
            rows: BTreeMap::new(),
        }
    }
}
