//! The commands that change a book.
//!
//! Enters: a command. Leaves: the changed book and the command that takes it back.
//! Always true: every command is reversible and a refused one changes nothing; a cell's text is kept even
//! when it cannot be read as the column's kind.
//! Never: touches the clock, the screen or storage.

use std::sync::Arc;

use super::schema::SheetKind;
use super::settings::Settings;
use super::table::Table;

/// One cell's new text, as typed. Empty text makes it missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellEdit {
    /// Permanent key of the row.
    pub row: u32,
    /// Key of the column.
    pub column: String,
    /// What was typed.
    pub text: String,
}

/// Where imported rows come from, enough to read them again from the kept file.
#[derive(Clone, Debug, PartialEq)]
pub struct ImportOrigin {
    /// SHA-256 of the file, hexadecimal; the key under which the file is kept.
    pub digest: String,
    /// Name of the file, for people.
    pub file_name: String,
    /// How it was read.
    pub plan: crate::import::plan::ImportPlan,
}

/// A change of a book.
#[derive(Clone)]
pub enum Command {
    /// Types texts into cells.
    SetCells {
        /// The sheet.
        sheet: SheetKind,
        /// The cells.
        cells: Vec<CellEdit>,
    },
    /// Adds blank rows at the end.
    AddRows {
        /// The sheet.
        sheet: SheetKind,
        /// How many.
        n_rows: u32,
    },
    /// Takes the last rows off (the way back from `AddRows` and `Import`).
    DropRows {
        /// The sheet.
        sheet: SheetKind,
        /// How many.
        n_rows: u32,
        /// Own columns to take away with them.
        columns: Vec<String>,
    },
    /// Adds the rows of an imported table at the end, with its own columns.
    Import {
        /// The rows, already read by `import`. Shared: undo keeps them for redo.
        table: Arc<Table>,
        /// Where they come from.
        origin: ImportOrigin,
    },
    /// Adds a column of the person's own.
    AddColumn {
        /// The sheet.
        sheet: SheetKind,
        /// What people read on top; the key is made from it.
        label: String,
    },
    /// Takes a column of the person's own away. Refused while it holds anything.
    DropColumn {
        /// The sheet.
        sheet: SheetKind,
        /// Its key.
        column: String,
    },
    /// Replaces the settings.
    SetSettings(Box<Settings>),
}
