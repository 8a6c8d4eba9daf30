//! The shortest text that names one animal and no other.
//!
//! Enters: an animal, where it is to be named, and the day. Leaves: what to write into the cell.
//! Always true: what is written is found again as this animal, or the tag alone is given and the check says so.
//! Never: writes a name that another animal would answer to while a better one is there.

use super::facts::Facts;
use super::find::Animals;
use super::spoken::{self, Born};
use super::{Among, Animal, Deed, Found};
use crate::sheet::column::Column;
use crate::sheet::day::Day;
use crate::sheet::workbook::Workbook;

impl Animals {
    /// Its tag where that is enough, else its electronic ID, else words: `calf 17 born 2026`.
    pub fn call(
        &self,
        book: &Workbook,
        animal: Animal,
        among: Among,
        deed: Deed,
        on: Day,
    ) -> String {
        let table = book.sheet(animal.sheet);
        let text = |key: &str| {
            table
                .column(key)
                .and_then(Column::texts)
                .and_then(|texts| texts.get(animal.row as usize))
                .unwrap_or("")
                .to_owned()
        };
        let (tag, eid) = (text("tag"), text("eid"));
        let facts = Facts::of(book, animal.sheet);
        let birth = facts.born(animal.row).0;
        let mut ways = vec![tag.clone(), eid];
        if !tag.is_empty() {
            ways.push(spoken::write(animal.sheet, &tag, Born::Unsaid));
            if let Some(year) = facts.year_of_birth(animal.row) {
                ways.push(spoken::write(animal.sheet, &tag, Born::Year(year)));
            }
            if !birth.is_missing() {
                ways.push(spoken::write(animal.sheet, &tag, Born::On(birth)));
            }
        }
        ways.into_iter()
            .filter(|way| !way.is_empty())
            .find(|way| self.find(book, among, way, deed, on) == Found::One(animal))
            .unwrap_or(tag)
    }
}
