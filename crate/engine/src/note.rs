//! What is doubtful, said so that it can be mended.
//!
//! Enters: a code, a place and what was read. Leaves: a note a person can act on.
//! Always true: a note says where, what was read, and how to mend it. Codes are dotted words, stable,
//! each explained in `docs/errors.md`.
//! Never: stops the work; a refused operation is a [`crate::error::Error`].

use crate::sheet::schema::SheetKind;

/// A count with its noun: `1 blank line`, `3 blank lines`, `2 calves`. The noun takes an s, or is calf.
pub fn counted(n: usize, noun: &str) -> String {
    match (n, noun.strip_suffix("calf")) {
        (1, _) => format!("1 {noun}"),
        (n, Some(before)) => format!("{n} {before}calves"),
        (n, None) => format!("{n} {noun}s"),
    }
}

/// Words with a capital first letter.
pub fn upper_first(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// How much it matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth knowing; the figure stands, marked with what was assumed.
    Remark,
    /// The figure may be wrong.
    Doubtful,
    /// The figure cannot be computed, or the file was not understood here.
    Error,
}

impl Severity {
    /// Stable word: `remark`, `doubtful` or `error`.
    pub const fn key(self) -> &'static str {
        match self {
            Severity::Remark => "remark",
            Severity::Doubtful => "doubtful",
            Severity::Error => "error",
        }
    }
}

/// Where in the book or the file.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Place {
    /// The sheet.
    pub sheet: Option<SheetKind>,
    /// The row, as it is numbered in its table.
    pub row: Option<u32>,
    /// Line in the file it came from; 1 is the first line.
    pub line: Option<u32>,
    /// The animal's tag, when the row has one.
    pub tag: Option<String>,
    /// Key of the column.
    pub column: Option<String>,
    /// The file's own header of that column.
    pub header: Option<String>,
}

/// Something doubtful.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// Stable dotted code: `check.dam_age.unknown`.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// Where.
    pub place: Place,
    /// What was read, as it stands in the cell or the file; empty when nothing.
    pub read: String,
    /// What is wrong, one plain sentence.
    pub message: String,
    /// How to mend it, one plain sentence.
    pub hint: String,
}
