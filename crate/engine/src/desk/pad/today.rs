//! What was entered for a day.
//!
//! Enters: a task and a day. Leaves: the entries that the sheets hold for it, a table to give back, and the
//! command that takes one away.
//! Always true: read from the records, so that it survives the page.
//! Never: counts an entry of another day.

use super::Task;
use super::entry::NOT_ON_RECORD;
use crate::desk::Desk;
use crate::share::text_safety::guard_formula;
use crate::sheet::day::Day;
use crate::sheet::edit::{CellEdit, Command};
use crate::sheet::schema::SheetKind;

/// One entry as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Done {
    /// Its row on the task's sheet.
    pub row: u32,
    /// The animal's tag.
    pub tag: String,
    /// What was entered: `512 lb`, `bred, 90 days`.
    pub words: String,
}

impl Desk {
    /// The entries of a day, latest row first.
    pub fn pad_today(&self, task: Task, day: Day) -> Vec<Done> {
        let mut rows = self.rows_of_day(task, day);
        rows.reverse();
        rows.into_iter()
            .map(|row| Done {
                row,
                tag: self.pad_cell(task, self.animal_column(task), row),
                words: self.pad_words(task, row),
            })
            .collect()
    }

    /// The entries of a day as CSV, for the book that sent the work list: names to find the animal by, and
    /// what was entered.
    pub fn pad_csv(&self, task: Task, day: Day) -> Vec<u8> {
        let columns: &[&str] = match task {
            Task::Weaning => &[
                "tag",
                "eid",
                "sex",
                "birth_date",
                "dam",
                "wean_date",
                "weigh_date",
                "wean_weight",
            ],
            Task::Birth => &["tag", "eid", "sex", "birth_date", "dam", "birth_weight"],
            Task::Yearling => &[
                "tag",
                "eid",
                "sex",
                "birth_date",
                "dam",
                "yearling_date",
                "yearling_weight",
            ],
            Task::Weighing => &["animal", "date", "weight"],
            Task::Calving => &[
                "tag",
                "eid",
                "sex",
                "birth_date",
                "birth_weight",
                "calving_ease",
                "dam",
                "born_as",
                "place",
                "left_on",
                "left_because",
                "note",
            ],
            Task::Pregnancy => &[
                "cow",
                "date",
                "result",
                "stage",
                "method",
                "checked_by",
                "remarks",
            ],
        };
        let unit = self.book().settings.weight_unit.symbol();
        let head = columns.iter().map(|key| match *key {
            "wean_weight" | "birth_weight" | "yearling_weight" | "weight" => {
                format!("{key} ({unit})")
            }
            key => key.to_owned(),
        });
        let mut table = csv::Writer::from_writer(Vec::new());
        // Writing to memory does not fail.
        let _ = table.write_record(head);
        for row in self.rows_of_day(task, day) {
            let cells = columns.iter().map(|key| {
                let sheet = self.book().sheet(task.sheet());
                sheet.column(key).map_or_else(String::new, |column| {
                    guard_formula(&column.raw(row as usize)).into_owned()
                })
            });
            let _ = table.write_record(cells);
        }
        table.into_inner().unwrap_or_default()
    }

    /// The command that takes an entry away: its cells, or the whole of a row that was made for it.
    pub fn pad_take_back(&self, task: Task, row: u32) -> Command {
        let sheet = task.sheet();
        let table = self.book().sheet(sheet);
        let columns: Vec<String> = match task {
            Task::Weaning | Task::Birth | Task::Yearling if !self.is_of_unknown_calf(row) => {
                let (weight, day) = task.columns();
                // A day without its weight would be taken for that of the next one.
                let day = Some(day).filter(|_| task != Task::Birth);
                [Some(weight), day]
                    .into_iter()
                    .flatten()
                    .map(str::to_owned)
                    .collect()
            }
            _ => table
                .columns()
                .iter()
                .filter(|column| !column.raw(row as usize).is_empty())
                .map(|column| column.key.clone())
                .collect(),
        };
        Command::SetCells {
            sheet,
            cells: columns
                .into_iter()
                .map(|column| CellEdit {
                    row: table.key_of(row),
                    column,
                    text: String::new(),
                })
                .collect(),
        }
    }

    /// Whether a calf's row was made in the alley because nothing on record had its tag.
    fn is_of_unknown_calf(&self, row: u32) -> bool {
        self.pad_cell(Task::Calving, "note", row)
            .starts_with(NOT_ON_RECORD)
    }

    fn rows_of_day(&self, task: Task, day: Day) -> Vec<u32> {
        let table = self.book().sheet(task.sheet());
        let (value, day_key) = task.columns();
        let days = |key: &'static str| table.known(key).days().unwrap_or_default();
        let (own, weaned) = (
            days(day_key),
            match task {
                Task::Weaning => days("wean_date"),
                _ => &[],
            },
        );
        let entered = table.known(value);
        (0..table.n_rows())
            .filter(|&row| {
                let own = own.get(row).copied().unwrap_or(Day::MISSING);
                let then = if own.is_missing() {
                    weaned.get(row).copied().unwrap_or(Day::MISSING)
                } else {
                    own
                };
                let holds =
                    matches!(task, Task::Calving | Task::Pregnancy) || !entered.raw(row).is_empty();
                !then.is_missing() && then == day && holds
            })
            .filter_map(|row| u32::try_from(row).ok())
            .collect()
    }

    fn animal_column(&self, task: Task) -> &'static str {
        match task.sheet() {
            SheetKind::Weights => "animal",
            SheetKind::Checks => "cow",
            _ => "tag",
        }
    }

    fn pad_cell(&self, task: Task, key: &str, row: u32) -> String {
        self.shown_cell(task.sheet(), key, row as usize)
            .map_or_else(String::new, |cell| cell.text)
    }

    fn pad_words(&self, task: Task, row: u32) -> String {
        let unit = self.book().settings.weight_unit.symbol();
        let cell = |key: &str| Some(self.pad_cell(task, key, row)).filter(|text| !text.is_empty());
        let weight = |key: &str| cell(key).map(|text| format!("{text} {unit}"));
        let parts = match task {
            Task::Weaning | Task::Birth | Task::Yearling => {
                let marked = self
                    .is_of_unknown_calf(row)
                    .then(|| "not on record".to_owned());
                vec![weight(task.columns().0), marked]
            }
            Task::Weighing => vec![weight("weight")],
            Task::Calving => vec![
                cell("sex"),
                cell("dam").map(|dam| format!("dam {dam}")),
                weight("birth_weight"),
                cell("left_because"),
            ],
            Task::Pregnancy => vec![cell("result"), cell("stage"), cell("remarks")],
        };
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}
