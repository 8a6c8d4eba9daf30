//! What is doubtful in a book, named with its place and how to mend it.
//!
//! Enters: a book and its results. Leaves: [`Findings`], a few numbers each, put into words on demand.
//! Always true: findings are in the order of sheets, rows and codes; something that holds for a whole column
//! is said once; a cell that could not be read is not also called missing.
//! Never: changes a figure, or stops one from being computed.

pub mod code;
mod dams;
mod dates;
mod far;
mod identity;
mod leaving;
mod named;
mod sentences;
mod sentences_sheets;
mod sheets;
mod spelling;
mod unreadable;
mod weights;
pub mod words;

use code::Code;

use crate::adjust::Adjusted;
use crate::adjust::columns::{CalfColumns, days, numbers};
use crate::note::{Note, Severity};
use crate::results::Results;
use crate::sheet::accepted::Doubt;
use crate::sheet::codes::NO_CODE;
use crate::sheet::column::Cells;
use crate::sheet::day::Day;
use crate::sheet::interned::NO_TEXT;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::Settings;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// The row of a finding about a whole column.
pub const WHOLE_COLUMN: u32 = u32::MAX;

/// Something doubtful, in numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Finding {
    /// What.
    pub code: Code,
    /// The sheet.
    pub sheet: SheetKind,
    /// Position of the column in its table.
    pub column: u16,
    /// The row, or [`WHOLE_COLUMN`].
    pub row: u32,
    /// Another row it is about, the code of another text, or a count, as the code needs.
    pub other: u32,
}

/// Everything doubtful in a book.
#[derive(Clone, Debug, Default)]
pub struct Findings {
    /// In the order of sheets, rows and codes; those of whole columns first.
    pub list: Vec<Finding>,
    /// Those that were looked at and accepted, in the same order; none of them is in `list`.
    pub accepted: Vec<Finding>,
}

impl Findings {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// True when nothing is doubtful.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// How many matter this much.
    pub fn count(&self, severity: Severity) -> usize {
        self.list
            .iter()
            .filter(|finding| finding.code.severity() == severity)
            .count()
    }

    /// A finding in words; `None` beyond the end or when the book has changed under it.
    pub fn note(&self, book: &Workbook, results: &Results, at: usize) -> Option<Note> {
        self.list
            .get(at)
            .and_then(|finding| words::note(book, results, finding))
    }

    /// The accepted findings in words.
    pub fn accepted_notes<'a>(
        &'a self,
        book: &'a Workbook,
        results: &'a Results,
    ) -> impl Iterator<Item = Note> + 'a {
        self.accepted
            .iter()
            .filter_map(|finding| words::note(book, results, finding))
    }

    /// All findings in words.
    pub fn notes<'a>(
        &'a self,
        book: &'a Workbook,
        results: &'a Results,
    ) -> impl Iterator<Item = Note> + 'a {
        self.list
            .iter()
            .filter_map(|finding| words::note(book, results, finding))
    }
}

/// Looks a book over.
pub fn check(book: &Workbook, results: &Results) -> Findings {
    let calves = CalfColumns::of(book);
    let mut look = Look::new(book, &calves, &results.adjusted);
    unreadable::look(&mut look);
    identity::look(&mut look);
    dates::look(&mut look);
    weights::look(&mut look);
    dams::look(&mut look);
    leaving::look(&mut look);
    spelling::look(&mut look);
    sheets::look(&mut look);
    named::look(&mut look);
    let mut list = look.found;
    list.sort_by_key(|finding| {
        let whole_first = finding.row.wrapping_add(1);
        (finding.sheet, whole_first, finding.column, finding.code)
    });
    let (accepted, list) = if book.accepted.is_empty() {
        (Vec::new(), list)
    } else {
        list.into_iter()
            .partition(|finding| is_accepted(book, results, finding))
    };
    Findings { list, accepted }
}

/// Whether a finding was accepted as it reads now.
fn is_accepted(book: &Workbook, results: &Results, finding: &Finding) -> bool {
    let Some(note) = words::note(book, results, finding) else {
        return false;
    };
    doubt_of(book, &note).is_some_and(|doubt| book.accepted.get(&doubt) == Some(&note.read))
}

/// What accepting a note of this book means; `None` for one that is about no sheet.
pub fn doubt_of(book: &Workbook, note: &Note) -> Option<Doubt> {
    let sheet = note.place.sheet?;
    Some(Doubt {
        sheet,
        row: note.place.row.map(|row| book.sheet(sheet).key_of(row)),
        column: note.place.column.clone().unwrap_or_default(),
        code: note.code.to_owned(),
    })
}

/// What every check reads, and where it puts what it found.
struct Look<'a> {
    book: &'a Workbook,
    settings: &'a Settings,
    calves: &'a CalfColumns<'a>,
    adjusted: &'a Adjusted,
    yearling_date: &'a [Day],
    yearling_weight: &'a [f64],
    calving_ease: &'a [f64],
    /// Rows that hold anything at all.
    filled: Vec<bool>,
    /// The last day that is not far ahead.
    latest: Day,
    found: Vec<Finding>,
}

impl<'a> Look<'a> {
    fn new(book: &'a Workbook, calves: &'a CalfColumns<'a>, adjusted: &'a Adjusted) -> Look<'a> {
        Look {
            book,
            settings: &book.settings,
            calves,
            adjusted,
            yearling_date: days(calves.table, "yearling_date"),
            yearling_weight: numbers(calves.table, "yearling_weight"),
            calving_ease: numbers(calves.table, "calving_ease"),
            filled: filled_rows(calves.table),
            latest: far::latest(book),
            found: Vec::new(),
        }
    }

    /// Rows that hold anything, as (position, permanent key).
    fn rows(&self) -> impl Iterator<Item = (usize, u32)> + use<> {
        self.filled
            .clone()
            .into_iter()
            .enumerate()
            .filter(|(_, filled)| *filled)
            .map(|(row, _)| (row, u32::try_from(row).expect("row keys are u32")))
    }

    /// True when the calf was born alive and stood in the herd: only then a blank matters.
    fn lived(&self, row: usize) -> bool {
        !self.calves.never_lived(row)
    }

    fn column(&self, key: &str) -> u16 {
        column_position(self.calves.table, key)
    }

    /// Adds a finding in any sheet.
    fn add_in(&mut self, code: Code, sheet: SheetKind, key: &str, row: u32, other: u32) {
        let column = column_position(self.book.sheet(sheet), key);
        self.found.push(Finding {
            code,
            sheet,
            column,
            row,
            other,
        });
    }

    fn add(&mut self, code: Code, column: u16, row: u32, other: u32) {
        self.found.push(Finding {
            code,
            sheet: SheetKind::Calves,
            column,
            row,
            other,
        });
    }

    /// Adds a finding for every row where a cell is missing though it is needed, or one for the column when
    /// nothing stands in it at all.
    fn missing(
        &mut self,
        code: Code,
        key: &'static str,
        is_missing: impl Fn(usize) -> bool,
        is_needed: impl Fn(usize) -> bool,
    ) {
        let at = self.column(key);
        let unreadable = &self.calves.table.known(key).unreadable;
        let all_missing = unreadable.is_empty() && (0..self.calves.n_rows).all(&is_missing);
        let needed: Vec<u32> = self
            .rows()
            .filter(|&(row, key)| {
                is_missing(row) && is_needed(row) && !unreadable.contains_key(&key)
            })
            .map(|(_, key)| key)
            .collect();
        if all_missing && needed.len() > 1 {
            let n = u32::try_from(needed.len()).unwrap_or(u32::MAX);
            self.add(code, at, WHOLE_COLUMN, n);
        } else {
            for row in needed {
                self.add(code, at, row, 0);
            }
        }
    }
}

/// Position of a column in its table; the columns of the schema are always there.
fn column_position(table: &Table, key: &str) -> u16 {
    table
        .columns()
        .iter()
        .position(|column| column.key == key)
        .and_then(|at| u16::try_from(at).ok())
        .unwrap_or(u16::MAX)
}

/// Which rows hold anything: a row just added is blank, not a calf without a tag.
fn filled_rows(table: &Table) -> Vec<bool> {
    let mut filled = vec![false; table.n_rows()];
    for column in table.columns() {
        match &column.cells {
            Cells::Text(cells) => {
                for (filled, code) in filled.iter_mut().zip(cells.codes()) {
                    *filled |= *code != NO_TEXT;
                }
            }
            Cells::Number(cells) => {
                for (filled, number) in filled.iter_mut().zip(cells) {
                    *filled |= !number.is_nan();
                }
            }
            Cells::Day(cells) => {
                for (filled, day) in filled.iter_mut().zip(cells) {
                    *filled |= !day.is_missing();
                }
            }
            Cells::Code(cells) => {
                for (filled, code) in filled.iter_mut().zip(cells) {
                    *filled |= *code != NO_CODE;
                }
            }
        }
        for row in column.unreadable.keys() {
            if let Some(filled) = filled.get_mut(*row as usize) {
                *filled = true;
            }
        }
    }
    filled
}
