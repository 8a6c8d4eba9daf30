//! What the names in a cell stand for.
//!
//! Enters: a cell. Leaves: for each name in it the row it stands for, or why there is none and what can be done.
//! Always true: a choice between two is the whole text that the cell would get.
//! Never: looks where the column names nothing.

use super::Place;
use super::words::naming;
use crate::animals::links::{StandsFor, day_of, names_in, stands_for};
use crate::animals::off_record::OffRecord;
use crate::animals::plain::plain;
use crate::animals::{Animal, Found};
use crate::desk::Desk;
use crate::sheet::column::{Column, Kind};
use crate::sheet::day::Day;
use crate::sheet::read::list::is_unknown;
use crate::sheet::schema::SheetKind;

/// What a name is to the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It stands for one row.
    One,
    /// It is on no sheet.
    NotThere,
    /// It is on record, and cannot be meant that day.
    NoneFits,
    /// It fits several.
    Several,
    /// It is of an animal that was taken off the record.
    TakenOff,
    /// It is the word for a bull that nobody knows.
    Unknown,
}

impl Standing {
    /// Stable key.
    pub const fn key(self) -> &'static str {
        match self {
            Standing::One => "one",
            Standing::NotThere => "not_there",
            Standing::NoneFits => "none_fits",
            Standing::Several => "several",
            Standing::TakenOff => "taken_off",
            Standing::Unknown => "unknown",
        }
    }
}

/// A name in a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// As written.
    pub name: String,
    /// What it is to the book.
    pub standing: Standing,
    /// One sentence.
    pub words: String,
    /// The row, or those that might be meant (for a name taken off, those on record that carry it), each with the text the cell would get if it is chosen.
    pub places: Vec<(Place, String)>,
    /// Rows taken off the record that may be meant: sheet, permanent key, and what tells each apart.
    pub taken_off: Vec<(SheetKind, u32, String)>,
    /// Sheets on which a row for the name can be added.
    pub add_to: Vec<SheetKind>,
}

/// A cell that names something.
struct Cell<'a> {
    sheet: SheetKind,
    row: u32,
    column: &'a Column,
    stands_for: StandsFor,
    names: Vec<&'a str>,
}

impl Desk {
    /// The names in a cell; none where the column names nothing or the cell is blank.
    pub fn names_at(&self, sheet: SheetKind, row: u32, key: &str) -> Vec<Named> {
        let table = self.book().sheet(sheet);
        let (Some(stands_for), Some(column)) = (stands_for(sheet, key), table.column(key)) else {
            return Vec::new();
        };
        let names: Vec<&str> = names_in(column, row as usize).collect();
        let cell = Cell {
            sheet,
            row,
            column,
            stands_for,
            names,
        };
        (0..cell.names.len())
            .map(|nth| self.named(&cell, nth))
            .collect()
    }

    fn named(&self, cell: &Cell, nth: usize) -> Named {
        let (name, column, stands_for) = (cell.names[nth], cell.column, cell.stands_for);
        let found = match stands_for {
            StandsFor::Animal(..) if matches!(column.kind, Kind::List) && is_unknown(name) => {
                return Named {
                    name: name.to_owned(),
                    standing: Standing::Unknown,
                    words: "Nobody knows which bull it was; that is said, and not asked again."
                        .to_owned(),
                    places: Vec::new(),
                    taken_off: Vec::new(),
                    add_to: Vec::new(),
                };
            }
            StandsFor::Animal(among, deed) => {
                let day = self.day_of_cell(cell);
                self.animals().find(self.book(), among, name, deed, day)
            }
            StandsFor::Place => self.places_named(name),
        };
        let add_to = match stands_for.home() {
            Some(home) => vec![home],
            None => vec![SheetKind::Cows, SheetKind::Calves, SheetKind::Bulls],
        };
        let off = self.off_record_of(cell, name, &found);
        let (standing, words, animals) = match found {
            Found::NotThere | Found::NoneFits(_) if !off.is_empty() => {
                let (so, known) = match found {
                    Found::NoneFits(animals) => (
                        "Who is called so on the record now cannot be meant that day.",
                        animals,
                    ),
                    _ => ("So nothing is known of it here.", Vec::new()),
                };
                (
                    Standing::TakenOff,
                    format!("{name} was taken off this record. {so}"),
                    known,
                )
            }
            Found::One(animal) => (Standing::One, String::new(), vec![animal]),
            Found::NotThere => (
                Standing::NotThere,
                format!("{name} is not on the {} sheet.", home_words(&add_to)),
                Vec::new(),
            ),
            Found::NoneFits(animals) => (
                Standing::NoneFits,
                format!(
                    "{name} is on record, but cannot be meant that day: born later, gone, not yet there, or not called so then."
                ),
                animals,
            ),
            Found::Several(animals) => (
                Standing::Several,
                format!(
                    "{name} fits {}. Choose one.",
                    crate::note::counted(animals.len(), "row")
                ),
                animals,
            ),
        };
        let places = animals
            .into_iter()
            .map(|animal| {
                let place = self.place_of(animal.sheet, animal.row);
                let text = self.cell_with(cell, nth, animal);
                (place, text)
            })
            .collect();
        Named {
            name: name.to_owned(),
            standing,
            words,
            places,
            taken_off: off
                .into_iter()
                .map(|one| (one.sheet, one.key, self.off_words(one.sheet, one.key)))
                .collect(),
            add_to,
        }
    }

    /// Rows taken off that a name which stands for nobody on record may be of.
    fn off_record_of(&self, cell: &Cell, name: &str, found: &Found) -> Vec<OffRecord> {
        let StandsFor::Animal(among, deed) = cell.stands_for else {
            return Vec::new();
        };
        if !matches!(found, Found::NotThere | Found::NoneFits(_)) {
            return Vec::new();
        }
        let day = self.day_of_cell(cell);
        let off = self
            .animals()
            .off_record(self.book(), among, name, deed, day);
        if off.fitting.is_empty() && *found == Found::NotThere {
            return off.others;
        }
        off.fitting
    }

    /// The text of the cell with the nth name written so that it stands for this row and no other.
    fn cell_with(&self, cell: &Cell, nth: usize, chosen: Animal) -> String {
        let mut written = cell.names.clone();
        let call;
        if let StandsFor::Animal(among, deed) = cell.stands_for {
            let day = self.day_of_cell(cell);
            call = self.animals().call(self.book(), chosen, among, deed, day);
            written[nth] = &call;
        }
        written.join("; ")
    }

    fn day_of_cell(&self, cell: &Cell) -> Day {
        day_of(
            self.book().sheet(cell.sheet),
            &cell.column.key,
            cell.row as usize,
        )
    }

    pub(super) fn places_named(&self, name: &str) -> Found {
        let places = self.book().sheet(SheetKind::Places);
        let wanted = plain(name);
        let rows: Vec<Animal> = (0_u32..)
            .zip(0..places.n_rows())
            .filter(|&(_, at)| {
                places
                    .column(naming(SheetKind::Places))
                    .and_then(Column::texts)
                    .and_then(|names| names.get(at))
                    .is_some_and(|name| plain(name) == wanted)
            })
            .map(|(row, _)| Animal {
                sheet: SheetKind::Places,
                row,
            })
            .collect();
        match rows[..] {
            [] => Found::NotThere,
            [one] => Found::One(one),
            _ => Found::Several(rows),
        }
    }
}

fn home_words(sheets: &[SheetKind]) -> String {
    let mut words: Vec<String> = sheets
        .iter()
        .map(|sheet| sheet.label().to_lowercase())
        .collect();
    let last = words.pop().unwrap_or_default();
    if words.is_empty() {
        last
    } else {
        format!("{} or {last}", words.join(", "))
    }
}
