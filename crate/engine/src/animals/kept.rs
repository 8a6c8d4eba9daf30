//! Animals that stand on two sheets: kept heifers, and bull calves kept as bulls.
//!
//! Enters: the calves and the cows or bulls. Leaves: which calf's row is whose.
//! Always true: a row of the cows and a row of the calves are one animal when their electronic IDs are the same, or
//! when they carry, or carried, one name and were born on the same day (house rule 4); the link follows from what
//! is written, so it is in every copy of the book and opens in any program.
//! Never: links a row to two; where two calves fit, none is linked, and it is said.

use super::facts::Facts;
use super::find::Animals;
use super::plain::name_form;
use super::{Animal, names};
use crate::sheet::codes::{BULL, HEIFER, MALE, NO_CODE, STEER};
use crate::sheet::column::Column;
use crate::sheet::interned::Interned;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// The rows of the calves that may be this cow or bull; one when it is linked.
pub fn calf_rows(book: &Workbook, animals: &Animals, grown: Animal) -> Vec<u32> {
    if !matches!(grown.sheet, SheetKind::Cows | SheetKind::Bulls) {
        return Vec::new();
    }
    let table = book.sheet(grown.sheet);
    let calves = Facts::of(book, SheetKind::Calves);
    let register = animals.register(book, SheetKind::Calves);
    let mut rows: Vec<u32> = names_of(table, grown.row)
        .iter()
        .flat_map(|name| {
            register
                .rows(&calves, register.link_of(name))
                .collect::<Vec<_>>()
        })
        .filter(|&row| same(book, grown, row))
        .collect();
    rows.sort_unstable();
    rows.dedup();
    by_electronic_id(book, grown, rows)
}

/// The cow or the bull that a calf became, if any; several where more than one row fits.
pub fn grown_rows(book: &Workbook, animals: &Animals, calf: u32) -> Vec<Animal> {
    let mut found: Vec<Animal> = Vec::new();
    for sheet in [SheetKind::Cows, SheetKind::Bulls] {
        let facts = Facts::of(book, sheet);
        let register = animals.register(book, sheet);
        for name in names_of(book.calves(), calf) {
            found.extend(
                register
                    .rows(&facts, register.link_of(&name))
                    .map(|row| Animal { sheet, row })
                    .filter(|&grown| calf_rows(book, animals, grown) == [calf]),
            );
        }
    }
    found.sort_unstable();
    found.dedup();
    found
}

/// Takes out the row of the calf where the row of what it became is there too.
pub(super) fn leave_out_calf_rows(book: &Workbook, fitting: &mut Vec<Animal>) {
    if fitting.len() < 2 {
        return;
    }
    let grown: Vec<Animal> = fitting
        .iter()
        .copied()
        .filter(|animal| animal.sheet != SheetKind::Calves)
        .collect();
    fitting.retain(|animal| {
        animal.sheet != SheetKind::Calves
            || !grown.iter().any(|&grown| same(book, grown, animal.row))
    });
}

/// Whether a calf's row and a grown animal's may be one animal; they carry one name.
fn same(book: &Workbook, grown: Animal, calf: u32) -> bool {
    let (calves, table) = (book.calves(), book.sheet(grown.sheet));
    let sex = calves
        .known("sex")
        .codes()
        .and_then(|codes| codes.get(calf as usize));
    let sex = sex.copied().unwrap_or(NO_CODE);
    let fits_sex = match grown.sheet {
        SheetKind::Cows => matches!(sex, HEIFER | NO_CODE),
        _ => matches!(sex, BULL | MALE | NO_CODE) && sex != STEER,
    };
    let (id, calf_id) = (electronic_id(table, grown.row), electronic_id(calves, calf));
    if let (Some(id), Some(calf_id)) = (id, calf_id) {
        // Electronic IDs that differ may still be one animal that got a new one: her earlier names say so.
        if id == calf_id {
            return fits_sex;
        }
        let earlier = earlier_names(table, grown.row).any(|name| name == calf_id);
        if !earlier {
            return false;
        }
    }
    let birth = Facts::of(book, grown.sheet).born(grown.row).0;
    fits_sex && !birth.is_missing() && birth == Facts::of(book, SheetKind::Calves).born(calf).0
}

/// An electronic ID beats a tag and a birth date.
fn by_electronic_id(book: &Workbook, grown: Animal, rows: Vec<u32>) -> Vec<u32> {
    let Some(id) = electronic_id(book.sheet(grown.sheet), grown.row) else {
        return rows;
    };
    let same_id: Vec<u32> = rows
        .iter()
        .copied()
        .filter(|&row| electronic_id(book.calves(), row).as_ref() == Some(&id))
        .collect();
    if same_id.is_empty() { rows } else { same_id }
}

fn electronic_id(table: &Table, row: u32) -> Option<String> {
    text(table, "eid", row).map(name_form)
}

fn earlier_names(table: &Table, row: u32) -> impl Iterator<Item = String> + '_ {
    text(table, "names_before", row)
        .into_iter()
        .flat_map(names::read)
        .flatten()
        .map(|name| name_form(&name.name))
}

/// All names a row carries or carried.
fn names_of(table: &Table, row: u32) -> Vec<String> {
    ["tag", "eid"]
        .into_iter()
        .filter_map(|key| text(table, key, row).map(str::to_owned))
        .chain(earlier_names(table, row))
        .collect()
}

fn text<'a>(table: &'a Table, key: &str, row: u32) -> Option<&'a str> {
    table
        .column(key)
        .and_then(Column::texts)
        .and_then(|texts: &Interned| texts.get(row as usize))
}
