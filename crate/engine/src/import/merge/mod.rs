//! Rows of a file held against the rows that are there.
//!
//! Enters: a book and a table that was read, its own columns under the keys they will have. Leaves: for each row
//! what it is to the book: new, the same, filling blanks, differing, unclear, or a row that was taken off; and, by choices, what is done.
//! Always true: every row has exactly one outcome; a row that fits two animals is asked about and not taken until
//! that is answered.
//! Never: guesses between animals; changes the book.

pub mod by_record;
mod carry_out;
mod compare;
mod identity;
mod keyed;
mod measured;
mod still_needed;
mod taken_off;

pub use carry_out::{Plan, carry_out};
pub use compare::{CellState, Columns, ComparedCell};
pub use still_needed::still_needed;

use crate::animals::plain::{plain, plain_electronic_id};
pub use crate::sheet::merge_choices::{MergeChoices, RowChoice, TakenOffChoice};
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// What a row of the file is to the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RowKind {
    /// Nothing on record fits it.
    New,
    /// It says nothing that is not on record.
    Same,
    /// It fills blanks of one row on record.
    Fills,
    /// It says other values than one row on record; it may fill blanks too.
    Differs,
    /// Which row it belongs to is not clear: it is asked.
    Unclear,
    /// It fits a row that was taken off the record: it is asked.
    TakenOff,
}

impl RowKind {
    /// All kinds, in order.
    pub const ALL: [RowKind; 6] = [
        RowKind::New,
        RowKind::Same,
        RowKind::Fills,
        RowKind::Differs,
        RowKind::Unclear,
        RowKind::TakenOff,
    ];

    /// Stable key.
    pub const fn key(self) -> &'static str {
        match self {
            RowKind::New => "new",
            RowKind::Same => "same",
            RowKind::Fills => "fills",
            RowKind::Differs => "differs",
            RowKind::Unclear => "unclear",
            RowKind::TakenOff => "taken_off",
        }
    }
}

/// What a row was matched by, or why it is unclear.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Nothing fits.
    Nothing,
    /// The electronic ID.
    ElectronicId,
    /// The tag and the year of birth, or the season by the day of weighing.
    TagAndYear,
    /// The tag; no year to tell by, and only one animal carries it.
    TagAlone,
    /// Dam and birth date of a calf without a tag.
    DamAndBirth,
    /// The columns that name a row of this sheet, such as animal and date.
    Key,
    /// Some of the columns that name a row are missing in the file.
    KeyMissing,
    /// Several rows fit.
    Several,
    /// The tag is there with another birth year.
    OtherYear,
    /// The tag is there with another electronic ID.
    OtherElectronicId,
    /// Another line of the file fits the same row.
    TwoLines,
}

impl Why {
    /// In words, to stand after the line: `same tag and year of birth`.
    pub const fn words(self) -> &'static str {
        match self {
            Why::Nothing => "nothing on record fits it",
            Why::ElectronicId => "the same electronic ID",
            Why::TagAndYear => "the same tag and season",
            Why::TagAlone => "the only one with this tag; no year to tell by",
            Why::DamAndBirth => "the same dam and birth date, no tag",
            Why::Key => "the same animal and day",
            Why::KeyMissing => "not enough in the line to find it on record",
            Why::Several => "several rows on record fit it",
            Why::OtherYear => "the tag is on record with another birth year",
            Why::OtherElectronicId => "the tag is on record with another electronic ID",
            Why::TwoLines => "another line of the file fits the same row",
        }
    }
}

impl Why {
    /// The same of a row that was taken off: `taken off the record, the same electronic ID`.
    pub const fn words_of_taken_off(self) -> &'static str {
        match self {
            Why::Nothing | Why::KeyMissing => "nothing that was taken off fits it",
            Why::ElectronicId => "taken off the record, the same electronic ID",
            Why::TagAndYear => "taken off the record, the same tag and season",
            Why::TagAlone => "taken off the record, the only one with this tag; no year to tell by",
            Why::DamAndBirth => "taken off the record, the same dam and birth date, no tag",
            Why::Key => "taken off the record, the same animal and day",
            Why::Several => "several rows that were taken off fit it",
            Why::OtherYear => "the tag was taken off the record, with another birth year",
            Why::OtherElectronicId => {
                "the tag was taken off the record, with another electronic ID"
            }
            Why::TwoLines => "another line of the file fits the same row taken off",
        }
    }

    /// True when one row that fits so can be taken without asking which.
    const fn is_sure(self) -> bool {
        matches!(
            self,
            Why::ElectronicId | Why::TagAndYear | Why::TagAlone | Why::DamAndBirth | Why::Key
        )
    }
}

/// A row of the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MergeRow {
    /// What it is to the book.
    pub kind: RowKind,
    /// By what, or why not.
    pub why: Why,
    /// The row on record; `None` when new or unclear.
    pub target: Option<u32>,
    /// Rows on record it may belong to, when unclear.
    pub candidates: Vec<u32>,
    /// Permanent keys of rows taken off the record that it fits.
    pub taken_off: Vec<u32>,
}

/// All rows of a file.
#[derive(Clone, Debug, Default)]
pub struct Merge {
    /// One per row of the table.
    pub rows: Vec<MergeRow>,
}

impl Merge {
    /// How many rows are of a kind.
    pub fn count(&self, kind: RowKind) -> usize {
        self.rows.iter().filter(|row| row.kind == kind).count()
    }
}

/// Rows on record that a row of the file may be.
pub(super) struct Found {
    rows: Vec<u32>,
    why: Why,
}

impl Found {
    fn one(row: u32, why: Why) -> Found {
        Found {
            rows: vec![row],
            why,
        }
    }

    fn none(why: Why) -> Found {
        Found {
            rows: Vec::new(),
            why,
        }
    }
}

/// A name to compare by: of an electronic ID its digits, of others the text in lower case with single spaces.
pub(super) fn plain_name(key: &str, text: &str) -> String {
    if key == "eid" {
        plain_electronic_id(text)
    } else {
        plain(text)
    }
}

/// Whether two rows of a table of animals that have the same tag are the same animal.
pub(super) fn same_animal(table: &Table, one: u32, other: u32) -> bool {
    identity::may_be_same(table, one, other)
}

/// Holds every row of the table against the sheet.
pub fn find(book: &Workbook, incoming: &Table) -> Merge {
    let here = book.sheet(incoming.kind);
    let columns = Columns::of(here, incoming);
    let found = identity::find(here, incoming).unwrap_or_else(|| keyed::find(book, here, incoming));
    let mut rows: Vec<MergeRow> = (0_u32..)
        .zip(found)
        .map(|(row, found)| settle(&columns, row, found))
        .collect();
    ask_where_two_lines_meet(&mut rows);
    taken_off::ask(book, here, incoming, &mut rows);
    Merge { rows }
}

/// For each row of a table of animals the rows of another that are the same animal, with what both have. Rows of sheets
/// that hold no animals have none.
pub fn doubles(here: &Table, rows: &Table) -> Vec<Vec<(u32, &'static str)>> {
    let found = identity::find(here, rows).unwrap_or_default();
    found
        .into_iter()
        .map(|Found { rows, why }| {
            let same = match why {
                Why::ElectronicId => "the same electronic ID",
                Why::TagAndYear | Why::Several => "the same tag and year of birth",
                Why::TagAlone => "the same tag, and no year to tell by",
                Why::OtherElectronicId => "the same tag, with another electronic ID",
                _ => return Vec::new(),
            };
            rows.into_iter().map(|row| (row, same)).collect()
        })
        .collect()
}

fn settle(columns: &Columns, row: u32, found: Found) -> MergeRow {
    let Found { rows, why } = found;
    let sure = why.is_sure();
    // Whatever else fits: a row that is there word for word is that row.
    if let Some(&same) = rows
        .iter()
        .find(|&&there| columns.kind(row, there) == RowKind::Same)
        .filter(|_| !sure || rows.len() > 1)
    {
        return MergeRow {
            kind: RowKind::Same,
            why,
            target: Some(same),
            candidates: Vec::new(),
            taken_off: Vec::new(),
        };
    }
    match rows[..] {
        [] => MergeRow {
            kind: RowKind::New,
            why,
            target: None,
            candidates: rows,
            taken_off: Vec::new(),
        },
        [there] if sure => MergeRow {
            kind: columns.kind(row, there),
            why,
            target: Some(there),
            candidates: Vec::new(),
            taken_off: Vec::new(),
        },
        // Without the columns that name it, a row that is not there word for word is new.
        _ if why == Why::KeyMissing => MergeRow {
            kind: RowKind::New,
            why,
            target: None,
            candidates: Vec::new(),
            taken_off: Vec::new(),
        },
        _ => MergeRow {
            kind: RowKind::Unclear,
            why: if sure { Why::Several } else { why },
            target: None,
            candidates: rows,
            taken_off: Vec::new(),
        },
    }
}

/// Two lines for one row: neither is the better one.
fn ask_where_two_lines_meet(rows: &mut [MergeRow]) {
    let mut taken: Vec<u32> = rows
        .iter()
        .filter(|row| matches!(row.kind, RowKind::Fills | RowKind::Differs))
        .filter_map(|row| row.target)
        .collect();
    fairpen_stats::in_order::order(&mut taken);
    let twice: Vec<u32> = taken
        .chunk_by(|one, next| one == next)
        .filter(|alike| alike.len() > 1)
        .map(|alike| alike[0])
        .collect();
    for row in rows {
        if let Some(target) = row.target
            && row.kind != RowKind::Same
            && twice.binary_search(&target).is_ok()
        {
            *row = MergeRow {
                kind: RowKind::Unclear,
                why: Why::TwoLines,
                target: None,
                candidates: vec![target],
                taken_off: Vec::new(),
            };
        }
    }
}
