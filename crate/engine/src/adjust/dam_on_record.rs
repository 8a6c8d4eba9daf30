//! Which row of the cows sheet a calf's dam is.
//!
//! Enters: the cows sheet and a column of cow tags in the calves sheet. Leaves: for a tag and the day of a
//! birth the row of the cow, or why there is none.
//! Always true: tags are used again, so a row is taken only when its cow can have been there; two cows that
//! both can are told apart by nothing here, and neither is used.
//! Never: guesses between two cows of different age.

use super::columns::{codes, days, numbers, texts};
use crate::sheet::codes::CAME_AS;
use crate::sheet::day::Day;
use crate::sheet::interned::{Interned, NO_TEXT};
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// What the cows sheet says about a tag on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OnRecord {
    /// No cow has this tag.
    NotThere,
    /// The cow in this row.
    Row(u32),
    /// Cows have this tag, but none can have borne a calf on that day: born later, or gone before.
    NoneFits,
    /// More than one cow with this tag can have, and their ages differ.
    Ambiguous,
}

/// The cows sheet, by tag.
pub struct CowsByTag<'a> {
    tag: &'a Interned,
    birth: &'a [Day],
    birth_year: &'a [f64],
    came_on: &'a [Day],
    came_as: &'a [u8],
    left_on: &'a [Day],
    /// Rows sorted by the code of their tag.
    rows: Vec<u32>,
    /// For each code where its rows start, and one more at the end.
    starts: Vec<u32>,
}

/// How the texts of a column of tags in the calves sheet lead to codes of tags in the cows sheet.
pub enum TagLinks {
    /// For each text its code, `NO_TEXT` where no cow has it: for looking up all rows.
    All(Vec<u32>),
    /// Looked up when asked: for a few rows.
    WhenAsked,
}

impl<'a> CowsByTag<'a> {
    /// Reads the cows sheet of a book.
    pub fn of(book: &'a Workbook) -> CowsByTag<'a> {
        let table = book.sheet(SheetKind::Cows);
        let tag = texts(table, "tag");
        let mut starts = vec![0_u32; tag.n_texts() + 1];
        for &code in tag.codes().iter().filter(|code| **code != NO_TEXT) {
            starts[code as usize + 1] += 1;
        }
        for at in 1..starts.len() {
            starts[at] += starts[at - 1];
        }
        let mut next = starts.clone();
        let mut rows = vec![0_u32; starts.last().copied().unwrap_or(0) as usize];
        for (row, &code) in (0_u32..).zip(tag.codes()) {
            if code != NO_TEXT {
                let at = &mut next[code as usize];
                rows[*at as usize] = row;
                *at += 1;
            }
        }
        CowsByTag {
            tag,
            birth: days(table, "birth_date"),
            birth_year: numbers(table, "birth_year"),
            came_on: days(table, "came_on"),
            came_as: codes(table, "came_as"),
            left_on: days(table, "left_on"),
            rows,
            starts,
        }
    }

    /// Looks every distinct text of a column up once.
    pub fn links(&self, column: &Interned) -> TagLinks {
        if self.rows.is_empty() {
            return TagLinks::All(Vec::new());
        }
        TagLinks::All(
            column
                .texts()
                .map(|text| self.tag.code_of(text).unwrap_or(NO_TEXT))
                .collect(),
        )
    }

    /// Rows of the cows with the tag that a text of a column is.
    fn rows_of(&self, links: &TagLinks, column: &Interned, text: u32) -> &[u32] {
        let code = match links {
            TagLinks::All(codes) => codes.get(text as usize).copied(),
            TagLinks::WhenAsked => column.text_of(text).and_then(|text| self.tag.code_of(text)),
        };
        let Some(code) = code.filter(|code| *code != NO_TEXT) else {
            return &[];
        };
        let code = code as usize;
        &self.rows[self.starts[code] as usize..self.starts[code + 1] as usize]
    }

    /// The cow whose tag a text of a column is, for a calf born on a day.
    pub fn find(&self, links: &TagLinks, column: &Interned, text: u32, born: Day) -> OnRecord {
        let rows = self.rows_of(links, column, text);
        if rows.is_empty() {
            return OnRecord::NotThere;
        }
        if born.is_missing() {
            return if rows.len() == 1 {
                OnRecord::Row(rows[0])
            } else {
                OnRecord::Ambiguous
            };
        }
        let present = rows
            .iter()
            .copied()
            .filter(|&row| self.can_have_borne(row, born) && self.had_come(row, born));
        match self.the_one(present) {
            // A cow bought with her calf came after its birth.
            OnRecord::NoneFits => self.the_one(
                rows.iter()
                    .copied()
                    .filter(|&row| self.can_have_borne(row, born)),
            ),
            found => found,
        }
    }

    /// Birth date and birth year of the cow in a row; either may be missing.
    pub fn born(&self, row: u32) -> (Day, f64) {
        (self.birth[row as usize], self.birth_year[row as usize])
    }

    /// The row, when all of the rows give the same age.
    fn the_one(&self, rows: impl Iterator<Item = u32>) -> OnRecord {
        let mut found = OnRecord::NoneFits;
        for row in rows {
            match found {
                OnRecord::Row(other) if !self.same_age(row, other) => return OnRecord::Ambiguous,
                OnRecord::Row(_) => {}
                _ => found = OnRecord::Row(row),
            }
        }
        found
    }

    fn same_age(&self, row: u32, other: u32) -> bool {
        let ((birth, year), (other_birth, other_year)) = (self.born(row), self.born(other));
        birth == other_birth && (year == other_year || (year.is_nan() && other_year.is_nan()))
    }

    fn can_have_borne(&self, row: u32, born: Day) -> bool {
        let row = row as usize;
        let born_before = if self.birth[row].is_missing() {
            !self.birth_year[row].is_nan()
                && born
                    .year()
                    .is_some_and(|year| self.birth_year[row] < f64::from(year))
                || self.birth_year[row].is_nan()
        } else {
            self.birth[row] < born
        };
        born_before && (self.left_on[row].is_missing() || self.left_on[row] >= born)
    }

    fn had_come(&self, row: u32, born: Day) -> bool {
        let row = row as usize;
        self.came_on[row].is_missing()
            || self.came_on[row] <= born
            || CAME_AS.key(self.came_as[row]) == Some("pair")
    }
}
