//! What was typed, as a command.
//!
//! Enters: an [`Entry`]. Leaves: the command.
//! Always true: texts are read by the sheet's own rules, as if typed into its cells; a weight and its day are written
//! together; a calf that is not on record gets a row of its own, with a note that says so.
//! Never: writes over the day of weaning; a later weighing gets a day of its own.

use super::Task;
use crate::desk::Desk;
use crate::error::Error;
use crate::sheet::day::Day;
use crate::sheet::edit::{CellEdit, Command};
use crate::sheet::schema::SheetKind;

/// One fact about one animal.
#[derive(Clone, Debug)]
pub struct Entry {
    /// What is being done.
    pub task: Task,
    /// The calf's row for weaning, birth and yearling weights; none, with a tag among the cells, for a calf that is
    /// not on record.
    pub row: Option<u32>,
    /// The day it was done.
    pub day: Day,
    /// Texts by column of the task's sheet.
    pub cells: Vec<(String, String)>,
}

/// How the note of a row begins that was made because nothing on record had the tag.
pub(super) const NOT_ON_RECORD: &str = "Not on record when entered in the alley";

impl Entry {
    /// The text of a cell, without spaces around it.
    pub(super) fn text(&self, key: &str) -> &str {
        self.cells
            .iter()
            .find(|(column, _)| column == key)
            .map_or("", |(_, text)| text.trim())
    }

    /// Whether it makes a row for a calf that is not on record.
    pub(super) fn is_of_unknown_calf(&self) -> bool {
        matches!(self.task, Task::Weaning | Task::Birth | Task::Yearling)
            && self.row.is_none()
            && !self.text("tag").is_empty()
    }
}

impl Desk {
    /// The command of an entry.
    ///
    /// # Errors
    /// `sheet.pad.animal` without an animal, `sheet.pad.nothing` when nothing was typed, `sheet.pad.day`
    /// without a day.
    pub fn pad_command(&self, entry: &Entry) -> Result<Command, Error> {
        if entry.day.is_missing() {
            return Err(Error::new(
                "sheet.pad.day",
                "There is no day for this entry.",
                "Choose the day at the top.",
            ));
        }
        let named_only = |key: &str| entry.is_of_unknown_calf() && key == "tag";
        if entry
            .cells
            .iter()
            .all(|(key, text)| text.trim().is_empty() || named_only(key))
        {
            return Err(Error::new(
                "sheet.pad.nothing",
                "Nothing was typed yet.",
                "Type it, then press Done.",
            ));
        }
        match entry.task {
            Task::Weaning | Task::Birth | Task::Yearling if !entry.is_of_unknown_calf() => {
                self.calf_command(entry)
            }
            _ => Ok(self.new_row_command(entry)),
        }
    }

    fn calf_command(&self, entry: &Entry) -> Result<Command, Error> {
        let calves = self.book().calves();
        let row = entry
            .row
            .filter(|&row| (row as usize) < calves.n_rows())
            .ok_or_else(|| {
                Error::new(
                    "sheet.pad.animal",
                    "No calf was chosen.",
                    "Find the calf by its tag and tap it.",
                )
            })?;
        let day_of = |key: &'static str| {
            calves
                .known(key)
                .days()
                .and_then(|days| days.get(row as usize).copied())
                .unwrap_or(Day::MISSING)
        };
        let mut cells = entry.cells.clone();
        let iso = entry.day.iso();
        match entry.task {
            Task::Weaning => {
                let weaned = day_of("wean_date");
                if weaned.is_missing() && day_of("weigh_date").is_missing() {
                    cells.push(("wean_date".to_owned(), iso));
                } else if weaned != entry.day {
                    cells.push(("weigh_date".to_owned(), iso));
                } else if !day_of("weigh_date").is_missing() {
                    cells.push(("weigh_date".to_owned(), String::new()));
                }
            }
            Task::Yearling => cells.push(("yearling_date".to_owned(), iso)),
            _ => {}
        }
        Ok(Command::SetCells {
            sheet: SheetKind::Calves,
            cells: edits(calves.key_of(row), cells),
        })
    }

    fn new_row_command(&self, entry: &Entry) -> Command {
        let sheet = entry.task.sheet();
        let row = u32::try_from(self.book().sheet(sheet).n_keys()).unwrap_or(u32::MAX);
        let day = match entry.task {
            Task::Weaning => "wean_date",
            task => task.columns().1,
        };
        let mut cells = entry.cells.clone();
        if !cells.iter().any(|(key, _)| key == day) {
            cells.push((day.to_owned(), entry.day.iso()));
        }
        if entry.is_of_unknown_calf() {
            cells.push((
                "note".to_owned(),
                format!("{NOT_ON_RECORD} on {}.", entry.day.iso()),
            ));
        }
        Command::Together(vec![
            Command::AddRows { sheet, n_rows: 1 },
            Command::SetCells {
                sheet,
                cells: edits(row, cells),
            },
        ])
    }
}

/// Texts for the row with this permanent key.
fn edits(row: u32, cells: Vec<(String, String)>) -> Vec<CellEdit> {
    cells
        .into_iter()
        .map(|(column, text)| CellEdit { row, column, text })
        .collect()
}
