//! Animals that a file names by their electronic ID, named by the tag they have on record.
//!
//! Enters: the book, and a table of weights, checks, scores or stays. Leaves: the table with tags where an electronic
//! ID stood, and what stood there.
//! Always true: an electronic ID that nobody, or more than one animal, carries that day is left as it stands, and so is
//! one whose tag would not name that animal alone.
//! Never: changes a row whose name is no electronic ID on record.

use crate::animals::find::Animals;
use crate::animals::plain::plain_electronic_id;
use crate::animals::{Among, Deed, Found};
use crate::sheet::column::{Column, Value};
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// Shorter numbers are tags.
const FEWEST_DIGITS: usize = 10;

/// A row whose animal got its tag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Renamed {
    /// Row of the table.
    pub row: u32,
    /// The electronic ID as it stood there.
    pub electronic_id: String,
    /// The tag on record.
    pub tag: String,
}

/// Column that names the animal of a row.
pub fn names_in(sheet: SheetKind) -> Option<&'static str> {
    match sheet {
        SheetKind::Checks => Some("cow"),
        SheetKind::Weights | SheetKind::Scores | SheetKind::Stays => Some("animal"),
        _ => None,
    }
}

/// The day that a row speaks of; may be missing.
pub(super) fn day_of(table: &Table, row: usize) -> Day {
    ["date", "from"]
        .iter()
        .filter_map(|key| table.column(key).and_then(Column::days))
        .filter_map(|days| days.get(row).copied())
        .find(|day| !day.is_missing())
        .unwrap_or(Day::MISSING)
}

/// The animals on record, looked up by electronic ID.
pub(super) struct ByRecord<'a> {
    book: &'a Workbook,
    animals: Animals,
}

impl<'a> ByRecord<'a> {
    /// The animals of a book.
    pub fn new(book: &'a Workbook) -> ByRecord<'a> {
        ByRecord {
            book,
            animals: Animals::new(),
        }
    }

    /// The tag of the one animal that carries this electronic ID on the day; `None` for names that are none.
    pub fn tag_of(&self, name: &str, on: Day) -> Option<String> {
        if !is_electronic(name) {
            return None;
        }
        let found = self
            .animals
            .find(self.book, Among::All, name, Deed::OnHand, on);
        let Found::One(animal) = found else {
            return None;
        };
        let tags = self.book.sheet(animal.sheet).column("tag")?.texts()?;
        let tag = tags
            .get(animal.row as usize)
            .filter(|tag| !tag.is_empty())?;
        let alone = self
            .animals
            .find(self.book, Among::All, tag, Deed::OnHand, on);
        (alone == Found::One(animal)).then(|| tag.to_owned())
    }
}

fn is_electronic(name: &str) -> bool {
    let plain = plain_electronic_id(name);
    plain.len() >= FEWEST_DIGITS && plain.bytes().all(|byte| byte.is_ascii_digit())
}

/// Gives animals that are named by an electronic ID on record their tags.
pub fn name_by_record(book: &Workbook, table: &mut Table) -> Vec<Renamed> {
    let Some(texts) = names_in(table.kind)
        .and_then(|key| table.column(key))
        .and_then(Column::texts)
    else {
        return Vec::new();
    };
    let by_record = ByRecord::new(book);
    let renamed: Vec<Renamed> = (0_u32..)
        .zip(0..table.n_rows())
        .filter_map(|(row, at)| {
            let electronic_id = texts.get(at)?;
            let tag = by_record.tag_of(electronic_id, day_of(table, at))?;
            Some(Renamed {
                row,
                electronic_id: electronic_id.to_owned(),
                tag,
            })
        })
        .collect();
    put(table, renamed.iter().map(|one| (one.row, one.tag.as_str())));
    renamed
}

/// Puts the electronic IDs back, as the file has them.
pub fn as_in_file(table: &mut Table, renamed: &[Renamed]) {
    put(
        table,
        renamed
            .iter()
            .map(|one| (one.row, one.electronic_id.as_str())),
    );
}

fn put<'a>(table: &mut Table, names: impl Iterator<Item = (u32, &'a str)>) {
    if let Some(column) = names_in(table.kind).and_then(|key| table.column_mut(key)) {
        for (row, name) in names {
            let _before = column.put(row, Value::Text(name.to_owned()));
        }
    }
}
