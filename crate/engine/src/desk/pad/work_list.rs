//! A work list: a small book with the animals to expect, for a phone in the alley.
//!
//! Enters: the book, and a place or none for all. Leaves: a book of its own, ready to save.
//! Always true: animals that left stay at home, and so do treatments, notes and the person's own columns.
//! Never: carries results; they follow from the records at home.

use super::Task;
use crate::desk::Desk;
use crate::sheet::column::Value;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// What of a calf and of a cow goes along: what tells it apart and what is weighed.
const CALF: [&str; 15] = [
    "tag",
    "eid",
    "sex",
    "birth_date",
    "birth_weight",
    "dam",
    "sire",
    "born_as",
    "raised_by",
    "place",
    "wean_date",
    "weigh_date",
    "wean_weight",
    "yearling_date",
    "yearling_weight",
];
const COW: [&str; 4] = ["tag", "eid", "birth_date", "birth_year"];

impl Desk {
    /// The animals still here, calves of one place or of all, as a book of its own.
    pub fn work_list(&self, place: Option<&str>) -> Workbook {
        let book = self.book();
        let mut list = Workbook::new();
        list.settings = book.settings.clone();
        list.settings.title = match place {
            Some(place) => format!("Work list: {place}"),
            None => "Work list".to_owned(),
        };
        copy_rows(book, &mut list, SheetKind::Calves, &CALF, |row| {
            let here = book
                .calves()
                .known("place")
                .texts()
                .and_then(|places| places.get(row));
            place.is_none() || here == place
        });
        copy_rows(book, &mut list, SheetKind::Cows, &COW, |_| true);
        copy_rows(book, &mut list, SheetKind::Bulls, &["tag", "name"], |_| {
            true
        });
        copy_rows(
            book,
            &mut list,
            SheetKind::Places,
            &["name", "kind"],
            |_| true,
        );
        list
    }

    /// Places of calves that are here, for choosing a work list, and how many calves each has.
    pub fn work_list_places(&self) -> Vec<(String, u32)> {
        self.values(Task::Weaning.sheet(), "place")
            .into_iter()
            .filter(|(name, _)| !name.is_empty())
            .collect()
    }
}

fn copy_rows(
    book: &Workbook,
    list: &mut Workbook,
    sheet: SheetKind,
    keys: &[&str],
    goes: impl Fn(usize) -> bool,
) {
    let table = book.sheet(sheet);
    let left = table.column("left_on").and_then(|column| column.days());
    let rows: Vec<usize> = (0..table.n_rows())
        .filter(|&row| left.is_none_or(|days| days[row].is_missing()))
        .filter(|&row| goes(row))
        .collect();
    let copy = list.sheet_mut(sheet);
    copy.resize(rows.len());
    for key in keys {
        let (Some(from), Some(to)) = (table.column(key), copy.column_mut(key)) else {
            continue;
        };
        for (new, &row) in (0_u32..).zip(&rows) {
            let value = from.value(row);
            if value != Value::Missing {
                to.put(new, value);
            }
        }
    }
}
