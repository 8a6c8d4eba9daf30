//! What puts two calves in different groups, before birth and weigh dates are looked at.
//!
//! Enters: the columns of the rule. Leaves: a key per calf, of numbers.
//! Always true: two calves have equal keys exactly when every part of the rule reads the same.
//! Never: builds a text per calf.

use std::collections::HashMap;
use std::hash::Hasher;

use super::season::{Season, Seasons};
use crate::adjust::columns::{CalfColumns, codes, texts};
use crate::adjust::marks::Marks;
use crate::sheet::codes::{NO_CODE, PLACE_KIND};
use crate::sheet::interned::NO_TEXT;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// The parts of the rule that must be equal within a group.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Key {
    /// Season of birth.
    pub season: Season,
    /// Sex at weighing, position in `codes::SEX`.
    pub sex: u8,
    /// Position in `codes::YES_NO`; `NO_CODE` not recorded.
    pub creep: u8,
    /// Twin, foster, weighed late, set apart, straight age: the marks of these.
    pub marks: u32,
    /// Code of the breed's text.
    pub breed: u32,
    /// Code of the place's text.
    pub place: u32,
    /// Position in [`Keys::managements`]; `NO_TEXT` not recorded.
    pub management: u32,
    /// Code of the reason for being set apart.
    pub set_apart: u32,
}

/// The marks that part groups.
pub const PARTING: Marks =
    Marks(Marks::TWIN.0 | Marks::FOSTER.0 | Marks::WEIGHED_LATE.0 | Marks::STRAIGHT_AGE.0);

/// A fast hash for keys (multiply and rotate, the FxHash scheme used by rustc, from memory). The order of a
/// map is never used, so the hash cannot influence a result.
#[derive(Clone, Default)]
pub struct KeyHash(u64);

impl KeyHash {
    fn add(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(5) ^ word).wrapping_mul(0x517c_c1b7_2722_0a95);
    }
}

impl Hasher for KeyHash {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 29)
    }

    fn write(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.add(u64::from(byte));
        }
    }

    fn write_u8(&mut self, number: u8) {
        self.add(u64::from(number));
    }

    fn write_u16(&mut self, number: u16) {
        self.add(u64::from(number));
    }

    fn write_u32(&mut self, number: u32) {
        self.add(u64::from(number));
    }

    fn write_i32(&mut self, number: i32) {
        self.add(u64::from(number.cast_unsigned()));
    }
}

/// Makes keys for the calves of a book.
pub struct Keys<'a> {
    calves: &'a CalfColumns<'a>,
    season_of_row: Vec<Option<Season>>,
    /// Words of the managements: those typed, then the kinds of places not among them.
    pub managements: Vec<String>,
    kind_of_place: Vec<u32>,
}

impl<'a> Keys<'a> {
    /// Reads what keys need from a book.
    pub fn of(book: &Workbook, calves: &'a CalfColumns<'a>) -> Keys<'a> {
        let mut managements: Vec<String> = calves.management.texts().map(str::to_owned).collect();
        let kinds = kinds_by_name(book);
        let kind_of_place = calves
            .place
            .texts()
            .map(|name| {
                let Some(kind) = kinds.get(name).and_then(|kind| PLACE_KIND.key(*kind)) else {
                    return NO_TEXT;
                };
                let at = managements.iter().position(|words| words == kind);
                let at = at.unwrap_or_else(|| {
                    managements.push(kind.to_owned());
                    managements.len() - 1
                });
                u32::try_from(at).expect("fewer managements than u32 counts")
            })
            .collect();
        Keys {
            calves,
            season_of_row: Seasons::of(&book.settings).of_all(calves.birth),
            managements,
            kind_of_place,
        }
    }

    /// Position of a row's management in [`Keys::managements`]: as typed, else the kind of its place;
    /// `NO_TEXT` not recorded.
    pub fn management(&self, row: usize) -> u32 {
        let typed = self.calves.management.codes()[row];
        if typed == NO_TEXT {
            let place = self.calves.place.codes()[row];
            self.kind_of_place
                .get(place as usize)
                .copied()
                .unwrap_or(NO_TEXT)
        } else {
            typed
        }
    }

    /// A row's management in words.
    pub fn management_words(&self, row: usize) -> Option<&str> {
        self.managements
            .get(self.management(row) as usize)
            .map(String::as_str)
    }

    /// The key of a row; `None` without a birth date.
    pub fn of_row(&self, row: usize, marks: Marks) -> Option<Key> {
        let calves = self.calves;
        Some(Key {
            season: self.season_of_row[row]?,
            sex: calves.sex[row],
            creep: calves.creep[row],
            marks: marks.0 & PARTING.0,
            breed: calves.breed.codes()[row],
            place: calves.place.codes()[row],
            management: self.management(row),
            set_apart: calves.set_apart.codes()[row],
        })
    }
}

/// The kind of each named place; a name that stands twice with different kinds has none.
pub fn kinds_by_name(book: &Workbook) -> HashMap<&str, u8> {
    let places = book.sheet(SheetKind::Places);
    let kind = codes(places, "kind");
    let names = texts(places, "name");
    let mut kinds: HashMap<&str, u8> = HashMap::new();
    for (row, &kind) in kind.iter().enumerate() {
        if let (Some(name), true) = (names.get(row), kind != NO_CODE) {
            kinds
                .entry(name)
                .and_modify(|known| {
                    if *known != kind {
                        *known = NO_CODE;
                    }
                })
                .or_insert(kind);
        }
    }
    kinds
}
