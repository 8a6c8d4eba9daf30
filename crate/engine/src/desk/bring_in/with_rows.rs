//! What goes into the book with the rows of a file.
//!
//! Enters: a file that was read, and the book. Leaves: tags for animals that the file names by their electronic IDs,
//! and the way of reading to remember.
//! Always true: both go into the journal with the rows, as one step.
//! Never: changes the book.

use super::BringingIn;
use crate::import::merge::by_record::{Renamed, names_in};
use crate::sheet::column::Value;
use crate::sheet::edit::{ColumnValues, Command};
use crate::sheet::remembered::{Remembering, Shape, Way, with_room};
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// The tags on record, put over the electronic IDs of the rows that came in: all, or those added.
pub(super) fn tags_of(
    sheet: SheetKind,
    first_row: u32,
    renamed: &[Renamed],
    added: Option<&[u32]>,
) -> Option<Command> {
    let mut names = ColumnValues {
        column: names_in(sheet)?.to_owned(),
        rows: Vec::new(),
        values: Vec::new(),
    };
    for one in renamed {
        let at = match added {
            None => one.row,
            Some(added) => match added.binary_search(&one.row) {
                Ok(at) => u32::try_from(at).ok()?,
                Err(_) => continue,
            },
        };
        names.rows.push(first_row.saturating_add(at));
        names.values.push(Value::Text(one.tag.clone()));
    }
    // In a batch of its own, so that the rows are not counted as changed ones.
    (!names.rows.is_empty()).then(|| {
        Command::Together(vec![Command::PutCells {
            sheet,
            columns: vec![names],
        }])
    })
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
        // Rows at the foot are this file's own.
        plan.keep_summary_rows = false;
        plan.answered.retain(|key| key != "summary_rows");
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
