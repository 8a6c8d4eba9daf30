//! Entry in the alley as it crosses.
//!
//! Enters: what was tapped and typed. Leaves: animals, doubts, entries, journal records.
//! Always true: texts cross as typed; the engine reads them.

use fairpen_engine::book::form::day_from;
use fairpen_engine::book::save::save;
use fairpen_engine::desk::pad::Task;
use fairpen_engine::desk::pad::entry::Entry;
use fairpen_engine::error::Error;
use fairpen_engine::sheet::day::Day;
use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::refusal::{Answer, give, give_all, refused as thrown, take};
use crate::session::Session;
use crate::types::{PadAnimal, PadCell, PadDone, PadDoubts, PadEntry, ValueCount};

#[wasm_bindgen]
impl Session {
    /// Animals that a tag, its last digits or an EID's may mean on a day (ISO), likeliest first.
    pub fn pad_animals(
        &self,
        task_key: &str,
        text: &str,
        day_text: &str,
        most: u32,
    ) -> Answer<Vec<Ts<PadAnimal>>> {
        let animals = self
            .desk
            .pad_animals(task(task_key)?, text, day(day_text), most as usize);
        give_all(
            animals
                .into_iter()
                .map(|animal| PadAnimal {
                    sheet: animal.sheet.key().to_owned(),
                    row_key: animal
                        .row
                        .map(|row| self.desk.book().sheet(animal.sheet).key_of(row)),
                    tag: animal.tag,
                    call: animal.call,
                    words: animal.words,
                    last: animal.last,
                    off_list: animal.off_list,
                })
                .collect(),
        )
    }

    /// What is to be asked before an entry is made.
    pub fn pad_doubts(&self, e: Ts<PadEntry>) -> Answer<Ts<PadDoubts>> {
        let doubts = self
            .desk
            .pad_doubts(&self.entry_of(take(e)?)?)
            .map_err(|refusal| thrown(&refusal))?;
        let (replaces, keep_both) = doubts
            .replaced
            .map(|replaced| (replaced.deed, replaced.keep_both))
            .unwrap_or_default();
        let (keep_both, other_entry) = keep_both.unzip();
        give(PadDoubts {
            sentences: doubts.sentences,
            replaces,
            keep_both: keep_both.unwrap_or_default(),
            other_entry: other_entry.map(entry_form),
        })
    }

    /// Makes an entry; gives its journal record.
    pub fn pad_enter(&mut self, e: Ts<PadEntry>) -> Answer<Vec<u8>> {
        let entry = self.entry_of(take(e)?)?;
        self.desk
            .pad_command(&entry)
            .and_then(|command| self.desk.change(command))
            .map_err(|refusal| thrown(&refusal))
    }

    /// Takes an entry away; gives its journal record.
    pub fn pad_take_back(&mut self, task_key: &str, row_key: u32) -> Answer<Vec<u8>> {
        let task = task(task_key)?;
        let row = self.desk.book().sheet(task.sheet()).row_of(row_key);
        let row = row.ok_or_else(|| {
            thrown(&Error::new(
                "sheet.row.taken_off",
                "The row of this entry was taken off.",
                "Nothing to mend: it counts in nothing.",
            ))
        })?;
        let command = self.desk.pad_take_back(task, row);
        self.desk
            .change(command)
            .map_err(|refusal| thrown(&refusal))
    }

    /// What was entered for a day (ISO), latest first.
    pub fn pad_today(&self, task_key: &str, day_text: &str) -> Answer<Vec<Ts<PadDone>>> {
        let task = task(task_key)?;
        let table = self.desk.book().sheet(task.sheet());
        let done = self.desk.pad_today(task, day(day_text));
        give_all(
            done.into_iter()
                .map(|done| PadDone {
                    row_key: table.key_of(done.row),
                    tag: done.tag,
                    words: done.words,
                })
                .collect(),
        )
    }

    /// Places of calves that are here, with how many each has.
    pub fn work_list_places(&self) -> Answer<Vec<Ts<ValueCount>>> {
        let places = self.desk.work_list_places();
        give_all(
            places
                .into_iter()
                .map(|(text, n)| ValueCount { text, n })
                .collect(),
        )
    }

    /// A small book with the animals to expect, of one place or (with an empty name) of all.
    pub fn work_list(&self, place: &str) -> Answer<Vec<u8>> {
        let list = self
            .desk
            .work_list(Some(place).filter(|place| !place.is_empty()));
        save(&list).map_err(|refusal| thrown(&refusal))
    }

    /// The entries of a day as CSV, for the book that sent the work list.
    pub fn pad_csv(&self, task_key: &str, day_text: &str) -> Answer<Vec<u8>> {
        Ok(self.desk.pad_csv(task(task_key)?, day(day_text)))
    }
}

fn task(key: &str) -> Answer<Task> {
    Task::from_key(key).ok_or_else(|| {
        thrown(&Error::new(
            "sheet.not_resolved",
            format!("There is nothing called \"{key}\" to enter."),
            "This is a fault in the program: please report it.",
        ))
    })
}

/// An entry that goes into a row of its own.
fn entry_form(entry: Entry) -> PadEntry {
    PadEntry {
        task: entry.task.key().to_owned(),
        row_key: None,
        day: entry.day.iso(),
        cells: entry
            .cells
            .into_iter()
            .map(|(column, text)| PadCell { column, text })
            .collect(),
    }
}

fn day(text: &str) -> Day {
    day_from(text).unwrap_or(Day::MISSING)
}

impl Session {
    fn entry_of(&self, entry: PadEntry) -> Answer<Entry> {
        let task = task(&entry.task)?;
        Ok(Entry {
            task,
            row: entry
                .row_key
                .and_then(|key| self.desk.book().calves().row_of(key)),
            day: day(&entry.day),
            cells: entry
                .cells
                .into_iter()
                .map(|cell| (cell.column, cell.text))
                .collect(),
        })
    }
}
