//! What goes into the book with the rows of a file.
//!
//! Enters: a file that was read, and the book. Leaves: tags for animals that the file names by their electronic IDs,
//! names told apart, and the way of reading to remember.
//! Always true: all of it goes into the journal with the rows, as one step.
//! Never: changes the book.

use std::collections::BTreeMap;

use super::BringingIn;
use super::asked_names::AsFileHas;
use crate::import::merge::by_record::{Renamed, names_in};
use crate::sheet::column::{Column, Value};
use crate::sheet::day::Day;
use crate::sheet::edit::{ColumnValues, Command};
use crate::sheet::remembered::{Remembering, Shape, Way, with_room};
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// Names put over those of the file: tags on record, and names told apart.
pub(super) struct NamesPut {
    /// For each column the rows of the file, ascending, and what is put there.
    columns: BTreeMap<&'static str, BTreeMap<u32, String>>,
}

impl NamesPut {
    /// `table` holds the names that were told apart, `as_file_has` where they stand.
    pub fn of(renamed: &[Renamed], as_file_has: &AsFileHas, table: &Table) -> NamesPut {
        let mut columns: BTreeMap<&'static str, BTreeMap<u32, String>> = BTreeMap::new();
        if let Some(column) = names_in(table.kind) {
            for one in renamed {
                let rows = columns.entry(column).or_default();
                rows.insert(one.row, one.tag.clone());
            }
        }
        for &(row, column) in as_file_has.keys() {
            let texts = table.column(column).and_then(Column::texts);
            if let Some(text) = texts.and_then(|texts| texts.get(row as usize)) {
                let rows = columns.entry(column).or_default();
                rows.insert(row, text.to_owned());
            }
        }
        NamesPut { columns }
    }

    /// Puts them over the rows that came in: all, or those added.
    pub fn command(
        self,
        sheet: SheetKind,
        first_key: u32,
        added: Option<&[u32]>,
    ) -> Option<Command> {
        let columns: Vec<ColumnValues> = self
            .columns
            .into_iter()
            .filter_map(|(column, names)| {
                let mut put = ColumnValues {
                    column: column.to_owned(),
                    rows: Vec::new(),
                    values: Vec::new(),
                };
                for (row, name) in names {
                    let at = match added.map(|added| added.binary_search(&row)) {
                        None => row,
                        Some(Ok(at)) => u32::try_from(at).ok()?,
                        Some(Err(_)) => continue,
                    };
                    put.rows.push(first_key.saturating_add(at));
                    put.values.push(Value::Text(name));
                }
                (!put.rows.is_empty()).then_some(put)
            })
            .collect();
        // In a batch of its own, so that the rows are not counted as changed ones.
        (!columns.is_empty()).then(|| Command::Together(vec![Command::PutCells { sheet, columns }]))
    }
}

impl BringingIn {
    /// What the book remembers of how this file is read, when it comes in.
    pub(super) fn to_remember(&self, book: &Workbook) -> Option<Vec<Remembering>> {
        let plan = &self.imported.as_ref()?.plan;
        let shape = Shape::of(&self.part, plan.columns.iter().map(|c| c.header.as_str()));
        let not_quite = self
            .recalled
            .as_ref()
            .is_some_and(|recalled| recalled.shape != shape);
        if shape.headers.is_empty() || !(self.changed || not_quite) {
            return None;
        }
        let mut plan = plan.clone();
        for column in &mut plan.columns {
            column.because.clear();
        }
        // Rows at the foot and the day of the checks are this file's own.
        plan.keep_summary_rows = false;
        plan.checks.checked_on = Day::MISSING;
        plan.answered
            .retain(|key| !matches!(key.as_str(), "summary_rows" | "check_day"));
        let list = with_room(
            &book.remembered,
            shape,
            Way {
                file_name: self.file_name.clone(),
                on: self.today,
                plan,
            },
        );
        (!list.is_empty()).then_some(list)
    }
}
