//! Names that stand for something on another sheet: is it there, was it there that day, and is it one?
//!
//! Enters: every column that names an animal or a place. Leaves: findings.
//! Always true: a name that is on no sheet is said once in a column, with how often it stands there, and only when
//! that sheet is in use, or had a row of that name that was taken off; a calf's dams are looked at by `dams`, which also knows their ages.
//! Never: chooses between two.

use std::collections::HashMap;

use super::Look;
use super::code::Code;
use crate::animals::find::Animals;
use crate::animals::kept;
use crate::animals::links::{StandsFor, columns_of, day_of, names_in};
use crate::animals::plain::plain;
use crate::animals::register::Link;
use crate::animals::{Among, Animal, Deed, Found};
use crate::sheet::column::Column;
use crate::sheet::interned::NO_TEXT;
use crate::sheet::read::list::is_unknown;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;

pub(super) fn look(look: &mut Look) {
    let book = look.book;
    let animals = Animals::new();
    for sheet in SheetKind::ALL {
        let table = book.sheet(sheet);
        if table.n_rows() == 0 {
            continue;
        }
        for (key, stands_for) in columns_of(sheet) {
            match stands_for {
                StandsFor::Animal(among, deed)
                    if in_use(look, among) || taken_off_from(look, among) =>
                {
                    named_animals(look, &animals, table, key, among, deed);
                }
                StandsFor::Place if book.sheet(SheetKind::Places).n_rows() > 0 => {
                    named_places(look, table, key);
                }
                _ => {}
            }
        }
    }
    kept_animals(look, &animals);
}

fn in_use(look: &Look, among: Among) -> bool {
    among
        .sheets()
        .iter()
        .any(|sheet| look.book.sheet(*sheet).n_rows() > 0)
}

fn taken_off_from(look: &Look, among: Among) -> bool {
    among
        .sheets()
        .iter()
        .any(|sheet| look.book.sheet(*sheet).n_taken_off() > 0)
}

/// For each distinct text of a column what its names are, and how many rows hold it.
fn named_animals(
    look: &mut Look,
    animals: &Animals,
    table: &Table,
    key: &'static str,
    among: Among,
    deed: Deed,
) {
    let column = table.known(key);
    let Some(texts) = column.texts() else { return };
    let lookup = animals.among(look.book, among);
    let mut of_text: Vec<Option<Vec<Vec<Link>>>> = vec![None; texts.n_texts()];
    let mut unknown = Unknown::default();
    // What the dam's column says of cows is found with their ages.
    let only_unknown = table.kind == SheetKind::Calves && among == Among::Cows;
    for (row, &code) in (0_u32..).zip(texts.codes()) {
        if code == NO_TEXT {
            continue;
        }
        let at = row as usize;
        let links = of_text[code as usize].get_or_insert_with(|| {
            names_in(column, at)
                .filter(|name| !is_unknown(name))
                .map(|name| lookup.links(name))
                .collect()
        });
        for (nth, links) in links.iter().enumerate() {
            if links.iter().all(|link| *link == Link::NOBODY) {
                unknown.add((code, nth), row);
                continue;
            }
            if only_unknown {
                continue;
            }
            match lookup.find(links, deed, day_of(table, key, at)) {
                Found::One(_) => {}
                Found::NotThere => unknown.add((code, nth), row),
                Found::NoneFits(_) => {
                    let name = nth_name(column, at, nth);
                    let day = day_of(table, key, at);
                    let off = animals.off_record(look.book, among, name, deed, day);
                    let code = if off.fitting.is_empty() {
                        Code::NameNotThere
                    } else {
                        Code::NameTakenOff
                    };
                    look.add_in(code, table.kind, key, row, 0);
                }
                Found::Several(found) => {
                    let n = u32::try_from(found.len()).unwrap_or(u32::MAX);
                    look.add_in(Code::NameSeveral, table.kind, key, row, n);
                }
            }
        }
    }
    let (book, used) = (look.book, in_use(look, among));
    unknown.say(look, table.kind, key, |nth, row| {
        let at = row as usize;
        let name = nth_name(column, at, nth);
        let off = animals.off_record(book, among, name, deed, day_of(table, key, at));
        if off.fitting.is_empty() && off.others.is_empty() {
            used.then_some(Code::NameUnknown)
        } else {
            Some(Code::NameTakenOff)
        }
    });
}

/// A name of a cell, the word for a bull that nobody knows not counted.
fn nth_name(column: &Column, row: usize, nth: usize) -> &str {
    names_in(column, row)
        .filter(|name| !is_unknown(name))
        .nth(nth)
        .unwrap_or("")
}

fn named_places(look: &mut Look, table: &Table, key: &'static str) {
    let places = look.book.sheet(SheetKind::Places).known("name").texts();
    let mut n_with: HashMap<String, u32> = HashMap::new();
    if let Some(places) = places {
        for row in 0..places.len() {
            if let Some(name) = places.get(row) {
                *n_with.entry(plain(name)).or_default() += 1;
            }
        }
    }
    let column = table.known(key);
    let Some(texts) = column.texts() else { return };
    let mut of_text: Vec<Option<Vec<u32>>> = vec![None; texts.n_texts()];
    let mut unknown = Unknown::default();
    for (row, &code) in (0_u32..).zip(texts.codes()) {
        if code == NO_TEXT {
            continue;
        }
        let found = of_text[code as usize].get_or_insert_with(|| {
            names_in(column, row as usize)
                .map(|name| n_with.get(&plain(name)).copied().unwrap_or(0))
                .collect()
        });
        for (nth, &n) in found.iter().enumerate() {
            if n == 0 {
                unknown.add((code, nth), row);
            }
        }
    }
    unknown.say(look, table.kind, key, |_, _| Some(Code::NameUnknown));
    if table.kind == SheetKind::Calves {
        places_twice(look, &n_with);
    }
}

/// Two rows of one place: a name that fits two.
fn places_twice(look: &mut Look, n_with: &HashMap<String, u32>) {
    let table = look.book.sheet(SheetKind::Places);
    let Some(names) = table.column("name").and_then(Column::texts) else {
        return;
    };
    for row in 0..names.len() {
        let n = names.get(row).and_then(|name| n_with.get(&plain(name)));
        if let (Some(&n), Ok(row)) = (n, u32::try_from(row))
            && n > 1
        {
            look.add_in(Code::NameSeveral, SheetKind::Places, "name", row, n);
        }
    }
}

/// Names on no sheet: the first row of each, and how many rows there are.
#[derive(Default)]
struct Unknown {
    rows: HashMap<(u32, usize), (u32, u32)>,
}

impl Unknown {
    fn add(&mut self, name: (u32, usize), row: u32) {
        self.rows.entry(name).or_insert((row, 0)).1 += 1;
    }

    /// `code_of` tells what the nth name of a row is said to be, if anything.
    fn say(
        self,
        look: &mut Look,
        sheet: SheetKind,
        key: &str,
        code_of: impl Fn(usize, u32) -> Option<Code>,
    ) {
        // The list of findings is sorted afterwards; the order here does not matter.
        for ((_, nth), (row, n)) in self.rows {
            if let Some(code) = code_of(nth, row) {
                look.add_in(code, sheet, key, row, n);
            }
        }
    }
}

/// Cows and bulls that could be either of two calves on record.
fn kept_animals(look: &mut Look, animals: &Animals) {
    let book = look.book;
    if book.calves().n_rows() == 0 {
        return;
    }
    for sheet in [SheetKind::Cows, SheetKind::Bulls] {
        let n_rows = u32::try_from(book.sheet(sheet).n_rows()).unwrap_or(u32::MAX);
        for row in 0..n_rows {
            let calves = kept::calf_rows(book, animals, Animal { sheet, row });
            if calves.len() > 1 {
                let n = u32::try_from(calves.len()).unwrap_or(u32::MAX);
                look.add_in(Code::KeptSeveral, sheet, "tag", row, n);
            }
        }
    }
}
