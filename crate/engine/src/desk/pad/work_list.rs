//! A work list: a small book with the animals to expect, for a phone in the alley.
//!
//! Enters: the book, and a place or none for all. Leaves: a book of its own, ready to save, marked as a work list.
//! Always true: animals that left stay at home, and so do treatments, notes and the person's own columns. Calves of
//! other places go along, so that one that strayed is known; they are not on the list.
//! Never: carries results; they follow from the records at home.

use crate::desk::Desk;
use crate::sheet::column::Value;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
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
    /// The animals still here as a book of its own; on the list are the calves of one place, or of all.
    pub fn work_list(&self, place: Option<&str>) -> Workbook {
        let book = self.book();
        let mut list = Workbook::new();
        list.settings = book.settings.clone();
        list.settings.title = match place {
            Some(place) => format!("Work list: {place}"),
            None => "Work list".to_owned(),
        };
        list.work_list = Some(place.unwrap_or_default().to_owned());
        for (sheet, keys) in [
            (SheetKind::Calves, &CALF[..]),
            (SheetKind::Cows, &COW[..]),
            (SheetKind::Bulls, &["tag", "name"][..]),
            (SheetKind::Places, &["name", "kind"][..]),
        ] {
            copy_rows(book, &mut list, sheet, keys);
        }
        list
    }

    /// Places of calves that are here, for choosing a work list, and how many calves each list would hold.
    pub fn work_list_places(&self) -> Vec<(String, u32)> {
        let calves = self.book().calves();
        let here = still_here(calves);
        self.values(SheetKind::Calves, "place")
            .into_iter()
            .filter_map(|(name, _)| {
                let n = here
                    .iter()
                    .filter(|&&row| is_of_place(calves, row, &name))
                    .count();
                let n = u32::try_from(n).unwrap_or(u32::MAX);
                (!name.is_empty() && n > 0).then_some((name, n))
            })
            .collect()
    }

    /// Whether an animal is one to expect: every one in a book that is no work list.
    pub(super) fn is_on_list(&self, sheet: SheetKind, row: u32) -> bool {
        match self.book().work_list.as_deref() {
            None | Some("") => true,
            Some(place) => {
                sheet != SheetKind::Calves || is_of_place(self.book().calves(), row as usize, place)
            }
        }
    }
}

fn is_of_place(calves: &Table, row: usize, place: &str) -> bool {
    let here = calves
        .known("place")
        .texts()
        .and_then(|places| places.get(row));
    here.is_some_and(|here| here == place)
}

/// The rows without a day under "Left on".
fn still_here(table: &Table) -> Vec<usize> {
    let left = table.column("left_on").and_then(|column| column.days());
    (0..table.n_rows())
        .filter(|&row| left.is_none_or(|days| days[row].is_missing()))
        .collect()
}

fn copy_rows(book: &Workbook, list: &mut Workbook, sheet: SheetKind, keys: &[&str]) {
    let table = book.sheet(sheet);
    let rows = still_here(table);
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
