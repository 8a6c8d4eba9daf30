//! Heifer calves that are kept: each gets a row of the cows, linked to her row as a calf.
//!
//! Enters: rows of the calves and the day they join the cows. Leaves: one command.
//! Always true: the row of the cow carries the calf's tag, electronic ID and birth date, which is what links them
//! (see `animals::kept`), and her breed, sire and dam; the calf's row says when she left the calves and why. One
//! undo takes all of it back.
//! Never: keeps a steer, a calf that died or was sold, or one that is a cow already.

use crate::animals::kept::grown_rows;
use crate::desk::Desk;
use crate::error::Error;
use crate::note::counted;
use crate::sheet::codes::{HEIFER, LEFT_BECAUSE, SEX};
use crate::sheet::day::Day;
use crate::sheet::edit::{CellEdit, Command};
use crate::sheet::schema::SheetKind;
use crate::sheet::write::raw;

/// Columns of the cow that are filled from the calf.
pub const FROM_THE_CALF: [&str; 7] = [
    "tag",
    "eid",
    "birth_date",
    "breed",
    "sire",
    "dam",
    "tag_from",
];

impl Desk {
    /// Keeps heifers as cows from a day on; gives the journal record.
    ///
    /// # Errors
    /// `sheet.keep.nobody`, `sheet.keep.day`, `sheet.keep.heifer`, `sheet.keep.left`, `sheet.keep.already`,
    /// `sheet.keep.name`, and `sheet.*`. Nobody is kept then.
    pub fn keep_as_cows(&mut self, rows: &[u32], from: Day) -> Result<Vec<u8>, Error> {
        let mut rows = rows.to_vec();
        rows.sort_unstable();
        rows.dedup();
        let command = self.keep_command(&rows, from)?;
        let command = self.resolved(command)?;
        let words = match rows[..] {
            [one] => format!(
                "keeping {} as a cow",
                lower_first(&self.title_of(SheetKind::Calves, one))
            ),
            _ => format!("keeping {} as cows", counted(rows.len(), "heifer")),
        };
        self.change_called(command, words)
    }

    fn keep_command(&self, rows: &[u32], from: Day) -> Result<Command, Error> {
        if rows.is_empty() {
            return Err(Error::new(
                "sheet.keep.nobody",
                "No heifer was chosen.",
                "Select the rows of the heifers that stay.",
            ));
        }
        if from.is_missing() {
            return Err(Error::new(
                "sheet.keep.day",
                "The day they join the cows is needed.",
                "Type the day; as near as it is known.",
            ));
        }
        for &row in rows {
            self.refuse_keeping(row, from)?;
        }
        let calves = self.book().calves();
        let first = u32::try_from(self.book().sheet(SheetKind::Cows).n_keys()).unwrap_or(u32::MAX);
        let mut cows: Vec<CellEdit> = Vec::new();
        let mut left: Vec<CellEdit> = Vec::new();
        for (&calf, cow) in rows.iter().zip(first..) {
            let mut put = |column: &str, text: String| {
                if !text.is_empty() {
                    cows.push(CellEdit {
                        row: cow,
                        column: column.to_owned(),
                        text,
                    });
                }
            };
            for key in FROM_THE_CALF {
                let text = calves
                    .column(key)
                    .map(|column| raw(&column.value(calf as usize)))
                    .unwrap_or_default();
                put(key, text);
            }
            put(
                "names_before",
                calves
                    .column("names_before")
                    .map(|column| raw(&column.value(calf as usize)))
                    .unwrap_or_default(),
            );
            put("came_on", from.iso());
            put("came_as", "raised".to_owned());
            for (key, text) in [
                ("left_on", from.iso()),
                ("left_because", "moved to cows".to_owned()),
            ] {
                left.push(CellEdit {
                    row: calves.key_of(calf),
                    column: key.to_owned(),
                    text,
                });
            }
        }
        Ok(Command::Together(vec![
            Command::AddRows {
                sheet: SheetKind::Cows,
                n_rows: u32::try_from(rows.len()).unwrap_or(u32::MAX),
            },
            Command::SetCells {
                sheet: SheetKind::Cows,
                cells: cows,
            },
            Command::SetCells {
                sheet: SheetKind::Calves,
                cells: left,
            },
        ]))
    }

    fn refuse_keeping(&self, row: u32, from: Day) -> Result<(), Error> {
        let calves = self.book().calves();
        if row as usize >= calves.n_rows() {
            return Err(Error::new(
                "sheet.animal.row",
                "There is no such animal.",
                "Choose a row of the calves, cows or bulls.",
            ));
        }
        let title = self.title_of(SheetKind::Calves, row);
        let code = |key: &'static str| {
            calves
                .known(key)
                .codes()
                .and_then(|codes| codes.get(row as usize).copied())
        };
        let day = |key: &'static str| {
            calves
                .known(key)
                .days()
                .and_then(|days| days.get(row as usize).copied())
                .unwrap_or(Day::MISSING)
        };
        if code("sex") != Some(HEIFER) {
            let sex = code("sex").and_then(|sex| SEX.key(sex)).unwrap_or("blank");
            return Err(Error::new(
                "sheet.keep.heifer",
                format!("{title} is no heifer: the sex is {sex}."),
                "Correct the sex, or choose other rows. Nobody was kept.",
            ));
        }
        let named = self.said(SheetKind::Calves, row, "tag").is_some()
            || self.said(SheetKind::Calves, row, "eid").is_some();
        let born = day("birth_date");
        if !named || born.is_missing() {
            return Err(Error::new(
                "sheet.keep.name",
                format!(
                    "{title} has no tag or no birth date, by which the cow would be known again."
                ),
                "Fill them in first. Nobody was kept.",
            ));
        }
        if from <= born {
            return Err(Error::new(
                "sheet.keep.day",
                format!("{title} was born on {}, after that day.", born.iso()),
                "Correct the day. Nobody was kept.",
            ));
        }
        let because = code("left_because").and_then(|code| LEFT_BECAUSE.key(code));
        if because.is_some_and(|because| because != "moved to cows") {
            return Err(Error::new(
                "sheet.keep.left",
                format!("{title} left: {}.", because.unwrap_or("")),
                "Correct why it left, or choose other rows. Nobody was kept.",
            ));
        }
        if !grown_rows(self.book(), self.animals(), row).is_empty() {
            return Err(Error::new(
                "sheet.keep.already",
                format!("{title} is on the cows sheet already."),
                "Choose other rows. Nobody was kept.",
            ));
        }
        Ok(())
    }
}

fn lower_first(text: &str) -> String {
    let mut text = text.to_owned();
    if let Some(first) = text.get_mut(0..1) {
        first.make_ascii_lowercase();
    }
    text
}
