//! Which row on record a row of a file is, in the sheets whose rows are no animals.
//!
//! Enters: the sheet and the table. Leaves: for each row of the table the rows it may be.
//! Always true: a row is named by its animal and its day, and by what was done where several things are done on a
//! day; a row that lacks one of these is found only word for word.
//! Never: takes a weighing for another day's.

use std::collections::HashMap;

use super::by_record::{ByRecord, day_of};
use super::{Found, Why};
use crate::animals::plain::{plain, plain_electronic_id};
use crate::sheet::column::Value;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// Columns that name a row, all of them needed.
const fn names(sheet: SheetKind) -> &'static [&'static str] {
    match sheet {
        SheetKind::Exposures => &["cow", "from|ai_date|season"],
        SheetKind::Checks => &["cow", "date"],
        SheetKind::Stays => &["animal", "from"],
        SheetKind::Weights => &["animal", "date"],
        SheetKind::WeighDays => &["date"],
        SheetKind::Scores => &["animal", "date", "what"],
        SheetKind::Treatments => &["animal|place", "date", "product"],
        SheetKind::Places => &["name"],
        SheetKind::Calves | SheetKind::Cows | SheetKind::Bulls => &["tag"],
    }
}

pub(super) fn find(book: &Workbook, here: &Table, incoming: &Table) -> Vec<Found> {
    let by_record = ByRecord::new(book);
    let mut by_name: HashMap<String, Vec<u32>> = HashMap::new();
    for row in 0..here.n_rows() {
        let (name, _) = name_of(here, row, &by_record);
        by_name
            .entry(name)
            .or_default()
            .push(u32::try_from(row).expect("a table has fewer rows than u32 counts"));
    }
    (0..incoming.n_rows())
        .map(|row| {
            let (name, whole) = name_of(incoming, row, &by_record);
            let rows = by_name.get(&name).cloned().unwrap_or_default();
            let why = match (whole, rows.is_empty()) {
                (false, _) => Why::KeyMissing,
                (true, true) => Why::Nothing,
                (true, false) => Why::Key,
            };
            Found { rows, why }
        })
        .collect()
}

/// The name of a row, and whether nothing is missing in it.
fn name_of(table: &Table, row: usize, by_record: &ByRecord) -> (String, bool) {
    let mut name = String::new();
    let mut whole = true;
    for part in names(table.kind) {
        let mut value = part
            .split('|')
            .map(|key| cell(table, key, row))
            .find(|text| !text.is_empty())
            .unwrap_or_default();
        if value.is_empty() && part.starts_with("animal") {
            // A scale that was given no tag still knows the electronic ID.
            value = plain_electronic_id(&cell(table, "eid", row));
        }
        if (part.starts_with("animal") || *part == "cow")
            && let Some(tag) = by_record.tag_of(&value, day_of(table, row))
        {
            value = plain(&tag);
        }
        whole &= !value.is_empty();
        name.push_str(&value);
        // A sign that no cell can hold, so that parts cannot run together.
        name.push('\u{1}');
    }
    (name, whole)
}

fn cell(table: &Table, key: &str, row: usize) -> String {
    match table.column(key).map(|column| column.value(row)) {
        Some(Value::Text(text)) => plain(&text),
        Some(Value::Day(day)) => day.iso(),
        Some(Value::Number(number)) => number.to_string(),
        _ => String::new(),
    }
}
