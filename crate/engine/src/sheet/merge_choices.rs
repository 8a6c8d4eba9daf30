//! What the person chose for rows that meet a sheet with rows.
//!
//! Enters: choices. Leaves: the same choices, kept with the import.
//! Always true: without any choice new rows come in, blanks are filled, nothing on record is overwritten, and an
//! unclear row, or one that fits a row taken off the record, stays out.

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
    /// A row that was taken off comes back and the row of the file goes into it, as with `Into`.
    BringBack {
        /// Permanent key of the row that was taken off.
        key: u32,
        /// Whether values that differ are overwritten.
        overwrite: bool,
    },
}

/// What becomes of all rows that fit a row taken off the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TakenOffChoice {
    /// The rows that were taken off come back, and are filled and overwritten as the others are. A row of the file that
    /// fits several is asked about all the same.
    BringBack,
    /// They come in as new rows.
    Add,
    /// They stay out.
    LeaveOut,
}

impl TakenOffChoice {
    /// All, in the order in which they are offered.
    pub const ALL: [TakenOffChoice; 3] = [
        TakenOffChoice::BringBack,
        TakenOffChoice::Add,
        TakenOffChoice::LeaveOut,
    ];

    /// Stable key.
    pub const fn key(self) -> &'static str {
        match self {
            TakenOffChoice::BringBack => "bring_back",
            TakenOffChoice::Add => "add",
            TakenOffChoice::LeaveOut => "leave_out",
        }
    }

    /// The choice with this key.
    pub fn from_key(key: &str) -> Option<TakenOffChoice> {
        TakenOffChoice::ALL
            .into_iter()
            .find(|choice| choice.key() == key)
    }
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
    /// What becomes of rows that fit a row taken off the record; `None` while nobody has said.
    pub taken_off: Option<TakenOffChoice>,
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
            taken_off: None,
            rows: BTreeMap::new(),
        }
    }
}
