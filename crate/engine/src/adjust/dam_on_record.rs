//! Which row of the cows sheet a calf's dam is.
//!
//! Enters: the cows sheet and a column of cow tags in the calves sheet. Leaves: for a tag and the day of a
//! birth the row of the cow, or why there is none.
//! Always true: names are looked up as [`crate::animals`] has it; a cow that had come beats one that came after
//! the birth, and only a cow bought with her calf did.
//! Never: guesses between two cows.

use crate::animals::Deed;
use crate::animals::facts::{Facts, Presence};
use crate::animals::register::{Link, Links, Register};
use crate::sheet::day::Day;
use crate::sheet::interned::Interned;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// What the cows sheet says about a tag on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OnRecord {
    /// No cow has this tag.
    NotThere,
    /// The cow in this row.
    Row(u32),
    /// Cows have this tag, but none can have borne a calf on that day: born later, gone before, or not called
    /// so then.
    NoneFits,
    /// More than one cow with this tag can have.
    Several {
        /// The first of them.
        first: u32,
        /// They were all born on the same day, or in the same year: the age is known, the cow is not.
        same_age: bool,
    },
}

/// The cows sheet, by name.
pub struct CowsByTag<'a> {
    facts: Facts<'a>,
    register: Register,
}

impl<'a> CowsByTag<'a> {
    /// Reads the cows sheet of a book.
    pub fn of(book: &'a Workbook) -> CowsByTag<'a> {
        CowsByTag {
            facts: Facts::of(book, SheetKind::Cows),
            register: Register::of(book, SheetKind::Cows),
        }
    }

    /// Looks every distinct text of a column up once.
    pub fn links(&self, column: &Interned) -> Links {
        self.register.links(column)
    }

    /// The cow whose tag a text of a column is, for a calf born on a day.
    pub fn find(&self, links: &Links, column: &Interned, text: u32, born: Day) -> OnRecord {
        let link = self.register.linked(links, column, text);
        if link == Link::NOBODY {
            return OnRecord::NotThere;
        }
        let had_come = self.the_one(link, born, Presence::Yes);
        if had_come != OnRecord::NoneFits {
            return had_come;
        }
        match self.the_one(link, born, Presence::CameAfter) {
            OnRecord::NoneFits if self.register.rows(&self.facts, link).next().is_none() => {
                OnRecord::NotThere
            }
            found => found,
        }
    }

    /// Birth date and birth year of a cow as given.
    pub fn born(&self, row: u32) -> (Day, f64) {
        self.facts.born(row)
    }

    fn the_one(&self, link: Link, born: Day, presence: Presence) -> OnRecord {
        let mut found = OnRecord::NoneFits;
        for (row, there) in self.register.fitting(&self.facts, link, Deed::Bore, born) {
            if there != presence {
                continue;
            }
            found = match found {
                OnRecord::Row(first) => OnRecord::Several {
                    first,
                    same_age: self.facts.same_age(first, row),
                },
                OnRecord::Several { first, same_age } => OnRecord::Several {
                    first,
                    same_age: same_age && self.facts.same_age(first, row),
                },
                _ => OnRecord::Row(row),
            };
        }
        found
    }
}
