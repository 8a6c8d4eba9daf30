//! How the sheets of the book in hand look.
//!
//! Enters: parts of a look. Leaves: journal records, and the looks to show.
//! Always true: hiding, showing, moving, freezing, and choosing a view are changes like any other and can be
//! undone. Widths, sorting and filters are kept aside: they are written down, and undo passes over them, since a
//! person who resizes a column and then undoes means the cell she typed before.
//! Never: changes a cell, or computes a figure anew.

use super::Desk;
use crate::book::record::Way;
use crate::error::Error;
use crate::sheet::apply::apply;
use crate::sheet::edit::Command;
use crate::sheet::look::{LookChange, SheetLooks};
use crate::sheet::schema::SheetKind;

impl Desk {
    /// The present look of a sheet and its saved views.
    pub fn looks(&self, sheet: SheetKind) -> &SheetLooks {
        self.book.looks.of(sheet)
    }

    /// Changes parts of the present look and gives the journal record; no step of undo. No bytes when nothing
    /// differs.
    ///
    /// # Errors
    /// `sheet.look.*`; nothing changed then.
    pub fn keep_look(&mut self, sheet: SheetKind, change: LookChange) -> Result<Vec<u8>, Error> {
        let mut after = self.looks(sheet).present.clone();
        let before = after.take(change.clone());
        if before == change {
            return Ok(Vec::new());
        }
        let command = Command::SetLook {
            sheet,
            change: Box::new(change),
            view: None,
        };
        let words = command.words(&self.book);
        let record = self.record(Way::Aside, &words, &command)?;
        let _before = apply(&mut self.book, command)?;
        Ok(record)
    }
}
