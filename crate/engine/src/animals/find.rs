//! The look-up itself: a name, what it is said of, and a day, to an animal.
//!
//! Enters: a book and names. Leaves: [`Found`].
//! Always true: a sheet is read when a name is first looked for on it; an animal that stands on two sheets is
//! found once, on the sheet it stood on that day.
//! Never: takes one of two animals that both fit.

use std::cell::OnceCell;

use super::facts::{Facts, Presence};
use super::kept;
use super::register::Register;
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
        let name = name.trim();
        let mut known: Vec<Animal> = Vec::new();
        let mut there: Vec<Animal> = Vec::new();
        let mut came_after: Vec<Animal> = Vec::new();
        for &sheet in among.sheets() {
            let register = self.register(book, sheet);
            let link = register.link_of(name);
            let facts = Facts::of(book, sheet);
            known.extend(register.rows(&facts, link).map(|row| Animal { sheet, row }));
            for (row, presence) in register.fitting(&facts, link, deed, on) {
                match presence {
                    Presence::Yes => there.push(Animal { sheet, row }),
                    Presence::CameAfter => came_after.push(Animal { sheet, row }),
                    Presence::No => {}
                }
            }
        }
        let mut fitting = if there.is_empty() { came_after } else { there };
        kept::leave_out_calf_rows(book, &mut fitting);
        match (fitting.len(), known.is_empty()) {
            (0, true) => Found::NotThere,
            (0, false) => Found::NoneFits(known),
            (1, _) => Found::One(fitting[0]),
            _ => Found::Several(fitting),
        }
    }
}
