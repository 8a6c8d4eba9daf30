//! Find and replace in a range of a sheet.
//!
//! Enters: a text, what stands in its place, positions of a view and column keys. Leaves: counts before, one
//! change after.
//! Always true: what is looked at is the text as it is typed over, in full; what is counted is what is
//! replaced; the new text is read as if it had been typed; it is one step to undo.
//! Never: touches a column that is worked out; such cells are counted apart.

use super::Desk;
use super::columns::Found;
use crate::error::Error;
use crate::note::counted;
use crate::sheet::column::Value;
use crate::sheet::edit::{ColumnValues, Command};
use crate::sheet::put::value_of;
use crate::sheet::resolve::typing_options;
use crate::sheet::schema::SheetKind;

/// What to replace, and where.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Replacement {
    /// The text to look for.
    pub find: String,
    /// What stands in its place; empty takes it away.
    pub with: String,
    /// Only cells that hold nothing else.
    pub whole_cell: bool,
    /// Capital and small letters are told apart.
    pub match_case: bool,
    /// First position of the view.
    pub first: usize,
    /// Last position of the view, which is in.
    pub last: usize,
    /// Keys of the columns.
    pub columns: Vec<String>,
}

/// What a replacement would do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ReplaceCount {
    /// Cells that hold the text and can be changed.
    pub n_cells: usize,
    /// Rows with such cells.
    pub n_rows: usize,
    /// Cells that hold the text in columns that are worked out; they are left alone.
    pub n_left_alone: usize,
    /// Cells whose new text would not be understood in their column, such as a word that is no sex.
    pub n_not_understood: usize,
    /// Position of the first row with such a cell.
    pub first: Option<usize>,
}

impl Desk {
    /// Counts what a replacement would change.
    pub fn count_replace(&self, sheet: SheetKind, wanted: &Replacement) -> ReplaceCount {
        let mut count = ReplaceCount::default();
        if wanted.find.is_empty() {
            return count;
        }
        let rows = self.rows_between(sheet, wanted);
        let pattern = Pattern::new(wanted);
        let mut holding = vec![false; rows.len()];
        for key in &wanted.columns {
            let Some(series) = self.series(sheet, key) else {
                continue;
            };
            let typed = match self.find_column(sheet, key) {
                Some(Found::Entered(column)) => Some((
                    column.kind,
                    typing_options(&self.book, self.book.sheet(sheet), column),
                )),
                _ => None,
            };
            for (at, &row) in rows.iter().enumerate() {
                if series.is_blank(row as usize) {
                    continue;
                }
                let Some(new) = pattern.replaced(&series.raw(row as usize), &wanted.with) else {
                    continue;
                };
                let Some((kind, options)) = &typed else {
                    count.n_left_alone += 1;
                    continue;
                };
                count.n_cells += 1;
                holding[at] = true;
                if matches!(value_of(*kind, &new, options), Value::Unreadable(_)) {
                    count.n_not_understood += 1;
                }
            }
        }
        count.n_rows = holding.iter().filter(|&&holds| holds).count();
        count.first = holding
            .iter()
            .position(|&holds| holds)
            .map(|at| wanted.first + at);
        count
    }

    /// Replaces, and gives the journal record to append; no bytes when no cell holds the text.
    ///
    /// # Errors
    /// `sheet.replace.nothing` without a text to look for; `sheet.*` as for any change.
    pub fn replace(&mut self, sheet: SheetKind, wanted: &Replacement) -> Result<Vec<u8>, Error> {
        if wanted.find.is_empty() {
            return Err(Error::new(
                "sheet.replace.nothing",
                "There is no text to look for.",
                "Type the text to find first. To fill blank cells, choose them and press Ctrl+Enter.",
            ));
        }
        let rows = self.rows_between(sheet, wanted);
        let pattern = Pattern::new(wanted);
        let table = self.book.sheet(sheet);
        let mut columns = Vec::new();
        let mut n_cells = 0;
        for key in &wanted.columns {
            let Some(Found::Entered(column)) = self.find_column(sheet, key) else {
                continue;
            };
            let options = typing_options(&self.book, table, column);
            let mut values = ColumnValues {
                column: key.clone(),
                rows: Vec::new(),
                values: Vec::new(),
            };
            for &row in &rows {
                let text = column.raw(row as usize);
                if let Some(new) = pattern.replaced(&text, &wanted.with) {
                    values.rows.push(table.key_of(row));
                    values.values.push(value_of(column.kind, &new, &options));
                }
            }
            n_cells += values.rows.len();
            if !values.rows.is_empty() {
                columns.push(values);
            }
        }
        if columns.is_empty() {
            return Ok(Vec::new());
        }
        let words = format!(
            "replacing \"{}\" in {}",
            shortened(&wanted.find),
            counted(n_cells, "cell")
        );
        self.change_called(Command::PutCells { sheet, columns }, words)
    }

    fn rows_between(&self, sheet: SheetKind, wanted: &Replacement) -> Vec<u32> {
        let end = wanted.last.saturating_add(1).min(self.n_shown(sheet));
        (wanted.first..end)
            .filter_map(|position| self.row_at(sheet, position))
            .collect()
    }
}

fn shortened(text: &str) -> String {
    if text.chars().count() > 24 {
        text.chars().take(23).chain(['…']).collect()
    } else {
        text.to_owned()
    }
}

/// A text to look for.
struct Pattern {
    letters: Vec<char>,
    whole_cell: bool,
    match_case: bool,
}

impl Pattern {
    fn new(wanted: &Replacement) -> Pattern {
        Pattern {
            letters: wanted
                .find
                .chars()
                .map(|letter| folded(letter, wanted.match_case))
                .collect(),
            whole_cell: wanted.whole_cell,
            match_case: wanted.match_case,
        }
    }

    /// The text with each place replaced, from the left, places that do not overlap; `None` without one.
    fn replaced(&self, text: &str, with: &str) -> Option<String> {
        // Letters are compared one for one, so that a place in the folded text is a place in the text.
        let letters: Vec<(usize, char)> = text
            .char_indices()
            .map(|(at, letter)| (at, folded(letter, self.match_case)))
            .collect();
        let n = self.letters.len();
        if n > letters.len() {
            return None;
        }
        let same = |from: usize| {
            letters[from..from + n]
                .iter()
                .zip(&self.letters)
                .all(|((_, here), wanted)| here == wanted)
        };
        if self.whole_cell {
            return (letters.len() == n && same(0)).then(|| with.to_owned());
        }
        let mut new = String::new();
        let (mut from, mut kept, mut any) = (0, 0, false);
        while from + n <= letters.len() {
            if same(from) {
                any = true;
                new.push_str(&text[kept..letters[from].0]);
                new.push_str(with);
                from += n;
                kept = letters.get(from).map_or(text.len(), |(at, _)| *at);
            } else {
                from += 1;
            }
        }
        any.then(|| {
            new.push_str(&text[kept..]);
            new
        })
    }
}

/// A letter as it is compared. A letter whose small form is several letters stays as it is.
fn folded(letter: char, match_case: bool) -> char {
    if match_case {
        return letter;
    }
    let mut small = letter.to_lowercase();
    match (small.next(), small.next()) {
        (Some(one), None) => one,
        _ => letter,
    }
}
