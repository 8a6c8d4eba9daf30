//! Who carries which name on one sheet, and from when to when.
//!
//! Enters: a sheet of animals: the columns `tag`, `eid`, `tag_from`, `names_before`, and the bulls' `name`.
//! Leaves: for a name the rows that carry or carried it, with the days.
//! Always true: the rows of a name are in the order of their keys; two ways of writing a name are one name.
//! Never: keeps a part of the book; it belongs to one state of it.

use std::collections::HashMap;

use super::facts::{Facts, Presence, carried};
use super::plain::name_form;
use super::spoken::{self, Born};
use super::{Deed, names};
use crate::sheet::column::Column;
use crate::sheet::day::Day;
use crate::sheet::interned::{Interned, NO_TEXT};
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

/// A row that carries a name, on days `from <= d < to`; a missing end is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wearing {
    /// Permanent key of the row.
    pub row: u32,
    /// First day; missing: from the beginning.
    pub from: Day,
    /// The day it was carried no more; missing: carried still.
    pub to: Day,
}

/// A name of a register, with what was said about the birth of who carries it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Link {
    number: u32,
    born: Born,
}

impl Link {
    /// A name that nobody carries.
    pub const NOBODY: Link = Link {
        number: u32::MAX,
        born: Born::Unsaid,
    };
}

/// The names of one sheet.
#[derive(Clone, Debug)]
pub struct Register {
    sheet: SheetKind,
    numbers: HashMap<String, u32>,
    /// For each name where its wearings start, and one more at the end.
    starts: Vec<u32>,
    wearings: Vec<Wearing>,
}

impl Register {
    /// Reads a sheet of animals.
    pub fn of(book: &Workbook, sheet: SheetKind) -> Register {
        Register::of_table(book.sheet(sheet))
    }

    /// Reads a table of animals.
    pub fn of_table(table: &Table) -> Register {
        let sheet = table.kind;
        let mut building = Building {
            sheet,
            numbers: HashMap::new(),
            found: Vec::new(),
        };
        let from = table.column("tag_from").and_then(Column::days);
        let day = |row: usize| {
            from.and_then(|days| days.get(row).copied())
                .unwrap_or(Day::MISSING)
        };
        let texts = |key: &str| table.column(key).and_then(Column::texts);
        if let Some(tags) = texts("tag") {
            building.add(tags, day);
        }
        if let Some(ids) = texts("eid") {
            building.add(ids, |_| Day::MISSING);
        }
        if let Some(called) = (sheet == SheetKind::Bulls).then(|| texts("name")).flatten() {
            building.add(called, |_| Day::MISSING);
        }
        if let Some(before) = texts("names_before") {
            building.add_earlier(before);
        }
        building.done()
    }

    /// The sheet it is of.
    pub const fn sheet(&self) -> SheetKind {
        self.sheet
    }

    /// True when the sheet names nobody.
    pub fn is_empty(&self) -> bool {
        self.wearings.is_empty()
    }

    /// What a text stands for: a name as it is, or told apart by words: `cow 17 born 2018`.
    pub fn link_of(&self, text: &str) -> Link {
        if self.is_empty() || text.is_empty() {
            return Link::NOBODY;
        }
        if let Some(number) = self.number_of(text) {
            return Link {
                number,
                born: Born::Unsaid,
            };
        }
        let told = spoken::read(text).filter(|told| told.sheet == self.sheet);
        told.and_then(|told| {
            let number = self.number_of(told.name)?;
            Some(Link {
                number,
                born: told.born,
            })
        })
        .unwrap_or(Link::NOBODY)
    }

    /// The number of a name that a row carries or carried. A column may keep texts that no cell holds any more.
    fn number_of(&self, name: &str) -> Option<u32> {
        let number = *self.numbers.get(&name_form(name))?;
        let at = number as usize;
        (self.starts.get(at) < self.starts.get(at + 1)).then_some(number)
    }

    /// Rows that carry or carried a name and are born as was said, whatever the day.
    pub fn rows<'a>(&'a self, facts: &'a Facts, link: Link) -> impl Iterator<Item = u32> + 'a {
        let mut last = None;
        self.wearings(link)
            .iter()
            .map(|wearing| wearing.row)
            .filter(move |&row| last.replace(row) != Some(row) && link.born.fits(facts, row))
    }

    /// Rows that carried a name when the deed was done, each with how sure it is that it was there.
    pub fn fitting<'a>(
        &'a self,
        facts: &'a Facts,
        link: Link,
        deed: Deed,
        on: Day,
    ) -> impl Iterator<Item = (u32, Presence)> + 'a {
        let mut last = None;
        self.wearings(link)
            .iter()
            .filter(move |wearing| carried(wearing.from, wearing.to, deed, on))
            .map(|wearing| wearing.row)
            .filter(move |&row| last.replace(row) != Some(row) && link.born.fits(facts, row))
            .map(move |row| (row, facts.presence(row, deed, on)))
    }

    /// The names that more than one row carries or carried, each with all its wearings.
    pub fn shared(&self) -> impl Iterator<Item = &[Wearing]> {
        self.starts
            .windows(2)
            .map(|ends| &self.wearings[ends[0] as usize..ends[1] as usize])
            .filter(|wearings| wearings.len() > 1)
    }

    fn wearings(&self, link: Link) -> &[Wearing] {
        let at = link.number as usize;
        match (self.starts.get(at), self.starts.get(at.wrapping_add(1))) {
            (Some(&start), Some(&end)) if start <= end => {
                &self.wearings[start as usize..end as usize]
            }
            _ => &[],
        }
    }

    /// What every distinct text of a column stands for, each looked up once.
    pub fn links(&self, column: &Interned) -> Links {
        if self.is_empty() {
            return Links::All(Vec::new());
        }
        Links::All(column.texts().map(|text| self.link_of(text)).collect())
    }

    /// What a text of a column stands for.
    pub fn linked(&self, links: &Links, column: &Interned, text: u32) -> Link {
        if text == NO_TEXT {
            return Link::NOBODY;
        }
        match links {
            Links::All(links) => links.get(text as usize).copied().unwrap_or(Link::NOBODY),
            Links::WhenAsked => column
                .text_of(text)
                .map_or(Link::NOBODY, |text| self.link_of(text)),
        }
    }
}

/// How the texts of a column lead to names of a register.
pub enum Links {
    /// For each text its name: for looking up all rows.
    All(Vec<Link>),
    /// Looked up when asked: for a few rows.
    WhenAsked,
}

struct Building {
    sheet: SheetKind,
    numbers: HashMap<String, u32>,
    found: Vec<(u32, Wearing)>,
}

impl Building {
    fn number(&mut self, name: String) -> Option<u32> {
        if name.is_empty() {
            return None;
        }
        let next = u32::try_from(self.numbers.len()).ok()?;
        Some(*self.numbers.entry(name).or_insert(next))
    }

    /// The names carried now.
    fn add(&mut self, names: &Interned, from: impl Fn(usize) -> Day) {
        let numbers: Vec<Option<u32>> = names
            .texts()
            .map(|name| self.number(name_form(name)))
            .collect();
        for (row, &code) in (0_u32..).zip(names.codes()) {
            if let Some(Some(number)) = numbers.get(code as usize) {
                let wearing = Wearing {
                    row,
                    from: from(row as usize),
                    to: Day::MISSING,
                };
                self.found.push((*number, wearing));
            }
        }
    }

    /// The names carried before.
    fn add_earlier(&mut self, cells: &Interned) {
        let read: Vec<Vec<(Option<u32>, Day, Day)>> = cells
            .texts()
            .map(|cell| {
                names::read(cell)
                    .flatten()
                    .map(|name| (self.number(name_form(&name.name)), name.from, name.to))
                    .collect()
            })
            .collect();
        for (row, &code) in (0_u32..).zip(cells.codes()) {
            for &(number, from, to) in read.get(code as usize).into_iter().flatten() {
                if let Some(number) = number {
                    self.found.push((number, Wearing { row, from, to }));
                }
            }
        }
    }

    fn done(mut self) -> Register {
        self.found
            .sort_by_key(|(number, wearing)| (*number, wearing.row, wearing.from, wearing.to));
        let mut starts = vec![0_u32; self.numbers.len() + 1];
        for &(number, _) in &self.found {
            starts[number as usize + 1] += 1;
        }
        for at in 1..starts.len() {
            starts[at] += starts[at - 1];
        }
        Register {
            sheet: self.sheet,
            numbers: self.numbers,
            starts,
            wearings: self.found.into_iter().map(|(_, wearing)| wearing).collect(),
        }
    }
}
