//! A new tag or electronic ID from a day on; the old one stays on record with its days.
//!
//! Enters: a row, what is changed, the new name, the day. Leaves: the command.
//! Always true: nothing is lost: the old name goes to `names_before` with the day it was carried to.
//! Never: moves a name from one animal to another.

use crate::animals::names::{DatedName, with};
use crate::animals::plain::name_form;
use crate::desk::Desk;
use crate::error::Error;
use crate::sheet::column::Column;
use crate::sheet::day::Day;
use crate::sheet::edit::{CellEdit, Command};
use crate::sheet::schema::SheetKind;

/// Which of an animal's names changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NameKind {
    /// The tag.
    Tag,
    /// The electronic ID.
    ElectronicId,
}

impl NameKind {
    /// Key of its column.
    pub const fn key(self) -> &'static str {
        match self {
            NameKind::Tag => "tag",
            NameKind::ElectronicId => "eid",
        }
    }

    /// The kind with this key.
    pub fn from_key(key: &str) -> Option<NameKind> {
        [NameKind::Tag, NameKind::ElectronicId]
            .into_iter()
            .find(|kind| kind.key() == key)
    }
}

impl Desk {
    /// Gives an animal a new name from a day on; gives the journal record.
    ///
    /// # Errors
    /// `sheet.animal.row`, `sheet.retag.name`, `sheet.retag.day`, `sheet.retag.same`, and `sheet.*`.
    pub fn retag(
        &mut self,
        sheet: SheetKind,
        row: u32,
        what: NameKind,
        name: &str,
        from: Day,
    ) -> Result<Vec<u8>, Error> {
        let command = self.retag_command(sheet, row, what, name, from)?;
        let command = self.resolved(command)?;
        let mut title = self.title_of(sheet, row);
        title.make_ascii_lowercase();
        let kind = if what == NameKind::Tag {
            "tag"
        } else {
            "electronic ID"
        };
        self.change_called(
            command,
            format!("giving {title} the {kind} {}", name.trim()),
        )
    }

    fn retag_command(
        &self,
        sheet: SheetKind,
        row: u32,
        what: NameKind,
        name: &str,
        from: Day,
    ) -> Result<Command, Error> {
        let name = name.trim();
        let table = self.book().sheet(sheet);
        if table.column("names_before").is_none() || row as usize >= table.n_rows() {
            return Err(Error::new(
                "sheet.animal.row",
                "There is no such animal.",
                "Choose a row of the calves, cows or bulls.",
            ));
        }
        if name.is_empty() || name.contains(';') {
            return Err(Error::new(
                "sheet.retag.name",
                "A new name is needed, without a semicolon.",
                "Type the new tag or electronic ID.",
            ));
        }
        if from.is_missing() {
            return Err(Error::new(
                "sheet.retag.day",
                "The day of the change is needed.",
                "Type the day it got the new name; as near as it is known.",
            ));
        }
        let text = |key: &str| {
            table
                .column(key)
                .and_then(Column::texts)
                .and_then(|texts| texts.get(row as usize))
                .unwrap_or("")
        };
        let day = |key: &str| {
            table
                .column(key)
                .and_then(Column::days)
                .and_then(|days| days.get(row as usize).copied())
                .unwrap_or(Day::MISSING)
        };
        let old = text(what.key());
        if name_form(old) == name_form(name) {
            return Err(Error::new(
                "sheet.retag.same",
                format!("It carries {name} already."),
                "Type another name, or leave it as it is.",
            ));
        }
        let since = if what == NameKind::Tag {
            day("tag_from")
        } else {
            Day::MISSING
        };
        if !since.is_missing() && since > from {
            return Err(Error::new(
                "sheet.retag.day",
                format!("It got the tag {old} on {}, after that day.", since.iso()),
                "Correct the day.",
            ));
        }
        let edit = |column: &str, text: String| CellEdit {
            row: table.key_of(row),
            column: column.to_owned(),
            text,
        };
        let mut cells = vec![edit(what.key(), name.to_owned())];
        if what == NameKind::Tag {
            cells.push(edit("tag_from", from.iso()));
        }
        if !old.is_empty() {
            let earlier = DatedName {
                name: old.to_owned(),
                from: since,
                to: from,
            };
            cells.push(edit("names_before", with(text("names_before"), &earlier)));
        }
        Ok(Command::SetCells { sheet, cells })
    }
}
