//! The cells of a sheet as CSV text.
//!
//! Enters: cells with their places, and merged regions. Leaves: CSV bytes and remarks.
//! Always true: line `n` is row `n` of the sheet, blank rows included; empty columns to the left of the
//! first that holds something are left out; a cell merged over several rows stands in each of them.
//! Never: makes room for cells that are not there, however far apart two cells stand.

use std::collections::BTreeMap;

use crate::refusal::{Refused, too_large, unreadable};

/// Most rows and columns of a sheet (ECMA-376 and OpenDocument programs agree on these).
const MOST_ROWS: u32 = 1_048_576;
/// Columns beyond this are no table of a herd.
const MOST_COLUMNS: u32 = 2_000;
/// Most text of a sheet, bytes.
const MOST_TEXT: usize = 256 << 20;

/// A merged region: rows and columns from and to, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Merged {
    /// First and last row, from 0.
    pub rows: (u32, u32),
    /// First and last column, from 0.
    pub columns: (u32, u32),
}

/// Cells that hold something.
#[derive(Clone, Debug, Default)]
pub struct Grid {
    rows: BTreeMap<u32, BTreeMap<u32, String>>,
    n_bytes: usize,
}

/// A sheet as text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetText {
    /// CSV in UTF-8.
    pub bytes: Vec<u8>,
    /// What was done, in sentences.
    pub remarks: Vec<String>,
}

impl Grid {
    /// Puts a text in a place; an empty one is no cell.
    ///
    /// # Errors
    /// `import.spreadsheet.too_large`.
    pub fn put(&mut self, row: u32, column: u32, text: String) -> Result<(), Refused> {
        if text.trim().is_empty() {
            return Ok(());
        }
        self.n_bytes += text.len() + 1;
        if row >= MOST_ROWS || column >= MOST_COLUMNS || self.n_bytes > MOST_TEXT {
            return Err(too_large());
        }
        self.rows.entry(row).or_default().insert(column, text);
        Ok(())
    }

    /// Rows up to the last that holds something, and columns from the first to the last that do.
    pub fn size(&self) -> (u32, u32) {
        let n_rows = self.rows.keys().next_back().map_or(0, |row| row + 1);
        let n_columns = self.columns().map_or(0, |(first, last)| last - first + 1);
        (n_rows, n_columns)
    }

    /// Texts of the first row that holds at least two.
    pub fn first_texts(&self) -> Vec<String> {
        let row = self.rows.values().find(|row| row.len() > 1);
        row.map(|row| row.values().cloned().collect())
            .unwrap_or_default()
    }

    fn columns(&self) -> Option<(u32, u32)> {
        let firsts = self.rows.values().filter_map(|row| row.keys().next());
        let lasts = self.rows.values().filter_map(|row| row.keys().next_back());
        Some((*firsts.min()?, *lasts.max()?))
    }

    /// Puts the text of each region merged over several rows into all of them.
    ///
    /// # Errors
    /// `import.spreadsheet.too_large`.
    pub fn spread(&mut self, merged: &[Merged]) -> Result<Vec<String>, Refused> {
        let mut remarks = Vec::new();
        for region in merged {
            let (first, last) = region.rows;
            let column = region.columns.0;
            let Some(text) = self
                .rows
                .get(&first)
                .and_then(|row| row.get(&column))
                .cloned()
            else {
                continue;
            };
            // Below the last row of the sheet a region reaches into nothing.
            let last = last.min(self.size().0.saturating_sub(1));
            if last <= first {
                continue;
            }
            for row in first + 1..=last {
                self.put(row, column, text.clone())?;
            }
            remarks.push(format!(
                "Rows {} to {} of column {} are one merged cell; \"{text}\" was read in each of them.",
                first + 1,
                last + 1,
                letters(column),
            ));
        }
        Ok(remarks)
    }

    /// The text.
    ///
    /// # Errors
    /// `import.spreadsheet.too_large`.
    pub fn to_csv(&self) -> Result<Vec<u8>, Refused> {
        let Some((first, last)) = self.columns() else {
            return Ok(Vec::new());
        };
        let width = (last - first + 1) as usize;
        let full = self
            .n_bytes
            .saturating_add(self.rows.len().saturating_mul(width));
        if full > MOST_TEXT {
            return Err(too_large());
        }
        let mut bytes = Vec::with_capacity(full);
        let mut next = 0;
        for (&row, cells) in &self.rows {
            bytes.extend(std::iter::repeat_n(b'\n', (row - next) as usize));
            next = row + 1;
            let mut line = csv::WriterBuilder::new().from_writer(bytes);
            let fields = (first..=last).map(|column| cells.get(&column).map_or("", String::as_str));
            line.write_record(fields)
                .map_err(|cause| unreadable(&cause.to_string()))?;
            bytes = line
                .into_inner()
                .map_err(|cause| unreadable(&cause.to_string()))?;
        }
        Ok(bytes)
    }
}

/// The letters of a column: 0 is A, 26 is AA.
pub fn letters(column: u32) -> String {
    let mut rest = column + 1;
    let mut letters = Vec::new();
    while rest > 0 {
        rest -= 1;
        letters.push(char::from(b'A' + (rest % 26) as u8));
        rest /= 26;
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(cells: &[(u32, u32, &str)]) -> Grid {
        let mut grid = Grid::default();
        for (row, column, text) in cells {
            grid.put(*row, *column, (*text).to_owned()).expect("small");
        }
        grid
    }

    fn check(grid: &Grid, expected: &str) {
        let bytes = grid.to_csv().expect("small");
        assert_eq!(String::from_utf8(bytes).expect("UTF-8"), expected);
    }

    #[test]
    fn lines_are_rows_and_empty_columns_on_the_left_are_left_out() {
        let cells = [
            (1, 2, "Tag"),
            (1, 3, "Note"),
            (4, 2, "12"),
            (4, 3, "red, \"wild\""),
        ];
        check(&grid(&cells), "\nTag,Note\n\n\n12,\"red, \"\"wild\"\"\"\n");
        assert_eq!(grid(&cells).size(), (5, 2));
    }

    #[test]
    fn a_pen_merged_over_its_calves_stands_beside_each() {
        let mut pens = grid(&[
            (0, 0, "Pen"),
            (0, 1, "Tag"),
            (1, 0, "East"),
            (1, 1, "1"),
            (2, 1, "2"),
        ]);
        let merged = Merged {
            rows: (1, 9),
            columns: (0, 0),
        };
        let remarks = pens.spread(&[merged]).expect("small");
        check(&pens, "Pen,Tag\nEast,1\nEast,2\n");
        assert_eq!(
            remarks,
            ["Rows 2 to 3 of column A are one merged cell; \"East\" was read in each of them."]
        );
    }

    #[test]
    fn cells_far_apart_cost_little() {
        let far = grid(&[(0, 0, "a"), (MOST_ROWS - 1, MOST_COLUMNS - 1, "b")]);
        assert!(far.to_csv().expect("small").len() < 3 << 20);
        let mut beyond = Grid::default();
        assert!(beyond.put(MOST_ROWS, 0, "c".to_owned()).is_err());
    }

    #[test]
    fn columns_have_letters() {
        assert_eq!(
            [0, 25, 26, 701, 702].map(letters),
            ["A", "Z", "AA", "ZZ", "AAA"]
        );
    }
}
