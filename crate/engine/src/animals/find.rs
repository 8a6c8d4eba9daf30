//! The look-up itself: a name, what it is said of, and a day, to an animal.
//!
//! Enters: a book and names. Leaves: [`Found`].
//! Always true: a sheet is read when a name is first looked for on it; an animal that stands on two sheets is
//! found once, on the sheet it stood on that day.
//! Never: takes one of two animals that both fit.

use std::cell::OnceCell;

use super::facts::{Facts, Presence};
use super::kept;
use super::register::{Link, Register};
use super::{Among, Animal, Deed, Found};
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// The names of all animals of one state of a book.
#[derive(Default)]
pub struct Animals {
    cows: OnceCell<Register>,
    bulls: OnceCell<Register>,
    calves: OnceCell<Register>,
    /// Names of the rows that were taken off, by sheet; read when first asked for.
    off: OnceCell<Vec<Register>>,
}

impl Animals {
    /// Nothing read yet.
    pub fn new() -> Animals {
        Animals::default()
    }

    /// The names of a sheet of animals. `book` must be the same state at every call.
    pub fn register(&self, book: &Workbook, sheet: SheetKind) -> &Register {
        let cell = match sheet {
            SheetKind::Calves => &self.calves,
            SheetKind::Bulls => &self.bulls,
            _ => &self.cows,
        };
        cell.get_or_init(|| Register::of(book, sheet))
    }

    /// What a name stands for. A missing day rules nobody out.
    pub fn find(&self, book: &Workbook, among: Among, name: &str, deed: Deed, on: Day) -> Found {
        let lookup = self.among(book, among);
        lookup.find(&lookup.links(name), deed, on)
    }

    /// The names of rows that were taken off: one register for each sheet that has such rows.
    pub(super) fn off_registers(&self, book: &Workbook) -> &[Register] {
        self.off.get_or_init(|| {
            Among::All
                .sheets()
                .iter()
                .filter_map(|&sheet| book.sheet(sheet).taken_off())
                .map(|off| Register::of_table(off.rows()))
                .collect()
        })
    }

    /// The sheets to look through, for many names.
    pub fn among<'a>(&'a self, book: &'a Workbook, among: Among) -> Lookup<'a> {
        Lookup {
            book,
            sheets: among
                .sheets()
                .iter()
                .map(|&sheet| OneSheet {
                    sheet,
                    facts: Facts::of(book, sheet),
                    register: self.register(book, sheet),
                })
                .collect(),
        }
    }
}

struct OneSheet<'a> {
    sheet: SheetKind,
    facts: Facts<'a>,
    register: &'a Register,
}

/// The sheets that a name is looked for on.
pub struct Lookup<'a> {
    book: &'a Workbook,
    sheets: Vec<OneSheet<'a>>,
}

impl Lookup<'_> {
    /// What a name is on each of the sheets, to be looked up once.
    pub fn links(&self, name: &str) -> Vec<Link> {
        let name = name.trim();
        self.sheets
            .iter()
            .map(|one| one.register.link_of(name))
            .collect()
    }

    /// What the links of a name stand for on a day.
    pub fn find(&self, links: &[Link], deed: Deed, on: Day) -> Found {
        let mut there: Vec<Animal> = Vec::new();
        let mut came_after: Vec<Animal> = Vec::new();
        for (one, &link) in self.sheets.iter().zip(links) {
            let sheet = one.sheet;
            for (row, presence) in one.register.fitting(&one.facts, link, deed, on) {
                match presence {
                    Presence::Yes => there.push(Animal { sheet, row }),
                    Presence::CameAfter => came_after.push(Animal { sheet, row }),
                    Presence::No => {}
                }
            }
        }
        let mut fitting = if there.is_empty() { came_after } else { there };
        kept::leave_out_calf_rows(self.book, &mut fitting);
        match fitting[..] {
            [] => self.nobody(links),
            [one] => Found::One(one),
            _ => Found::Several(fitting),
        }
    }

    /// Whether one of these rows carries or carried the name.
    pub fn may_be(&self, links: &[Link], rows: &[Animal]) -> bool {
        self.sheets.iter().zip(links).any(|(one, &link)| {
            one.register.rows(&one.facts, link).any(|row| {
                rows.contains(&Animal {
                    sheet: one.sheet,
                    row,
                })
            })
        })
    }

    fn nobody(&self, links: &[Link]) -> Found {
        let mut known: Vec<Animal> = Vec::new();
        for (one, &link) in self.sheets.iter().zip(links) {
            let sheet = one.sheet;
            known.extend(
                one.register
                    .rows(&one.facts, link)
                    .map(|row| Animal { sheet, row }),
            );
        }
        if known.is_empty() {
            Found::NotThere
        } else {
            Found::NoneFits(known)
        }
    }
}
