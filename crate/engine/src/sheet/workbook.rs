//! A book: its sheets and the settings that results depend on.
//!
//! Enters: commands (`super::edit`) and imported tables. Leaves: sheets to read.
//! Always true: all eleven sheets exist, some without rows; the revision grows with every change.
//! Never: computes a result.

use super::accepted::Accepted;
use super::column::{Column, Kind};
use super::look::Looks;
use super::remembered::Remembered;
use super::schema::SheetKind;
use super::settings::Settings;
use super::table::Table;

/// A book.
#[derive(Clone)]
pub struct Workbook {
    /// What results depend on beside the rows.
    pub settings: Settings,
    /// Doubts that were looked at and stand.
    pub accepted: Accepted,
    /// How files of one shape are read.
    pub remembered: Remembered,
    /// How the sheets look; no result depends on it.
    pub looks: Looks,
    /// In a work list for the alley the place whose calves are expected (empty: every place); `None` in other books.
    /// No result depends on it.
    pub work_list: Option<String>,
    tables: Vec<Table>,
    revision: u64,
}

impl Default for Workbook {
    fn default() -> Workbook {
        Workbook::new()
    }
}

impl Workbook {
    /// A book without rows.
    pub fn new() -> Workbook {
        Workbook {
            settings: Settings::default(),
            accepted: Accepted::new(),
            remembered: Remembered::new(),
            looks: Looks::default(),
            work_list: None,
            tables: SheetKind::ALL.into_iter().map(Table::new).collect(),
            revision: 0,
        }
    }

    /// A sheet.
    pub fn sheet(&self, kind: SheetKind) -> &Table {
        &self.tables[kind.position()]
    }

    /// A sheet, to change it. Counts as a change of the book.
    pub fn sheet_mut(&mut self, kind: SheetKind) -> &mut Table {
        self.revision += 1;
        &mut self.tables[kind.position()]
    }

    /// All sheets, to change them. Counts as a change of the book.
    pub fn sheets_mut(&mut self) -> impl Iterator<Item = &mut Table> {
        self.revision += 1;
        self.tables.iter_mut()
    }

    /// The calves.
    pub fn calves(&self) -> &Table {
        self.sheet(SheetKind::Calves)
    }

    /// True when any sheet holds a weight, also one that could not be read. Until then the unit of the book
    /// is open: nothing is measured in it.
    pub fn holds_weights(&self) -> bool {
        let is_weight = |column: &&Column| matches!(column.kind, Kind::Weight);
        self.tables
            .iter()
            .flat_map(|table| table.columns().iter().filter(is_weight))
            .any(|column| !column.holds_nothing())
    }

    /// Counts the changes made since the book was opened.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Says that the settings were changed.
    pub fn touch(&mut self) {
        self.revision += 1;
    }
}
