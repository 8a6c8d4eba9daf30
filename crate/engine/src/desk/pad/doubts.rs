//! What is doubtful about an entry before it is made.
//!
//! Enters: an entry. Leaves: sentences to ask about, once.
//! Always true: the rules are those of `check`: the entry is made on a copy of the book and looked over.
//! Never: changes the book.

use super::Task;
use super::entry::Entry;
use crate::animals::plain::plain;
use crate::animals::{Among, Deed, Found};
use crate::check::check;
use crate::desk::{Desk, computed};
use crate::error::Error;
use crate::note::{Note, Severity};
use crate::results::Results;
use crate::sheet::apply::apply;
use crate::sheet::resolve::resolve;

impl Desk {
    /// Sentences about what is unlikely, twice, or written over.
    ///
    /// # Errors
    /// Those of [`Desk::pad_command`], and `sheet.*` when the entry would be refused.
    pub fn pad_doubts(&self, entry: &Entry) -> Result<Vec<String>, Error> {
        let command = resolve(self.book(), self.pad_command(entry)?, computed)?;
        let mut sentences = self.written_over(entry);
        let mut book = self.book().clone();
        let _way_back = apply(&mut book, command)?;
        let results = Results::recalculate(&book);
        let findings = check(&book, &results);
        let sheet = entry.task.sheet();
        let row = match entry.task {
            Task::Weaning | Task::Birth | Task::Yearling => entry.row,
            _ => u32::try_from(book.sheet(sheet).n_rows().saturating_sub(1)).ok(),
        };
        let entered = |note: &Note| {
            note.place.sheet == Some(sheet)
                && note.place.row == row
                && note.place.column.as_ref().is_some_and(|column| {
                    entry
                        .cells
                        .iter()
                        .any(|(key, text)| key == column && !text.trim().is_empty())
                })
        };
        let before: Vec<Note> = self.findings().notes(self.book(), self.results()).collect();
        sentences.extend(
            findings
                .notes(&book, &results)
                .filter(|note| note.severity > Severity::Remark && entered(note))
                .filter(|note| !before.contains(note))
                .map(|note| note.message),
        );
        sentences.extend(self.done_already(entry));
        Ok(sentences)
    }

    /// What stands in the cell that the entry would replace.
    fn written_over(&self, entry: &Entry) -> Vec<String> {
        let (Some(row), Task::Weaning | Task::Birth | Task::Yearling) = (entry.row, entry.task)
        else {
            return Vec::new();
        };
        let (key, _) = entry.task.columns();
        let Some(cell) = self.shown_cell(entry.task.sheet(), key, row as usize) else {
            return Vec::new();
        };
        if cell.text.is_empty() {
            return Vec::new();
        }
        let unit = self.book().settings.weight_unit.symbol();
        vec![format!("{} {unit} is written there already.", cell.text)]
    }

    /// A check or a weighing of the same animal on the same day.
    fn done_already(&self, entry: &Entry) -> Option<String> {
        let (animal_key, words) = match entry.task {
            Task::Weighing => ("animal", "was weighed"),
            Task::Pregnancy => ("cow", "was checked"),
            _ => return None,
        };
        let (_, animal) = entry.cells.iter().find(|(key, _)| key == animal_key)?;
        let table = self.book().sheet(entry.task.sheet());
        let animals = table.known(animal_key).texts()?;
        let days = table.known("date").days()?;
        let who = |name: &str| {
            let found = self
                .animals()
                .find(self.book(), Among::All, name, Deed::OnHand, entry.day);
            match found {
                Found::One(one) => Some(one),
                _ => None,
            }
        };
        let (name, one) = (plain(animal), who(animal));
        let twice = (0..animals.len())
            .filter(|&row| days.get(row) == Some(&entry.day))
            .filter_map(|row| animals.get(row))
            .any(|other| plain(other) == name || (one.is_some() && who(other) == one));
        twice.then(|| format!("{} {words} on this day already.", animal.trim()))
    }
}
