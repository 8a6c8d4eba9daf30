//! Names to offer while one is typed.
//!
//! Enters: a column that names something, and what stands in the field so far. Leaves: texts the field could get.
//! Always true: each text stands for exactly the row its words tell of; those on hand come first, then by name.
//! Never: keeps anybody from typing another name.

use super::words::naming;
use crate::animals::facts::{Facts, Presence};
use crate::animals::links::{StandsFor, day_of, stands_for};
use crate::animals::{Animal, Deed};
use crate::desk::Desk;
use crate::sheet::column::{Column, Kind};
use crate::sheet::day::Day;
use crate::sheet::natural::natural_order;
use crate::sheet::read::list::UNKNOWN;
use crate::sheet::schema::SheetKind;

/// A text for a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// What the whole cell would hold.
    pub text: String,
    /// What it stands for, in words.
    pub words: String,
}

impl Desk {
    /// At most `most` names that fit what is typed. `row` is missing for a row to come.
    pub fn names_like(
        &self,
        sheet: SheetKind,
        key: &str,
        row: Option<u32>,
        typed: &str,
        most: usize,
    ) -> Vec<Offer> {
        let table = self.book().sheet(sheet);
        let (Some(stands_for), Some(column)) = (stands_for(sheet, key), table.column(key)) else {
            return Vec::new();
        };
        let list = matches!(column.kind, Kind::List);
        let (before, typed) = match typed.rfind(';').filter(|_| list) {
            Some(at) => (
                format!("{}; ", typed[..at].trim_end()),
                typed[at + 1..].trim(),
            ),
            None => (String::new(), typed.trim()),
        };
        let wanted = typed.to_lowercase();
        let day = row.map_or(Day::MISSING, |row| day_of(table, key, row as usize));
        let (sheets, deed): (&[SheetKind], Deed) = match stands_for {
            StandsFor::Animal(among, deed) => (among.sheets(), deed),
            StandsFor::Place => (&[SheetKind::Places], Deed::OnHand),
        };
        let mut found: Vec<(bool, bool, String, Animal)> = Vec::new();
        for &sheet in sheets {
            let facts = Facts::of(self.book(), sheet);
            for (row, name) in self.naming_texts(sheet, &wanted) {
                let starts = name.to_lowercase().starts_with(&wanted);
                let here = facts.presence(row, deed, day) != Presence::No
                    && (!day.is_missing() || facts.left_on(row).is_missing());
                found.push((!here, !starts, name, Animal { sheet, row }));
            }
        }
        found.sort_by(|one, other| {
            (one.0, one.1)
                .cmp(&(other.0, other.1))
                .then_with(|| natural_order(&one.2, &other.2))
                .then_with(|| one.3.cmp(&other.3))
        });
        found.truncate(most);
        let mut offers: Vec<Offer> = found
            .into_iter()
            .map(|(_, _, name, one)| {
                let call = match stands_for {
                    StandsFor::Animal(among, deed) => {
                        self.animals().call(self.book(), one, among, deed, day)
                    }
                    StandsFor::Place => name,
                };
                Offer {
                    text: format!("{before}{call}"),
                    words: self.place_of(one.sheet, one.row).words,
                }
            })
            .filter(|offer| offer.text.len() > before.len())
            .collect();
        offers.dedup_by(|one, other| one.text == other.text);
        if list && deed == Deed::Sired && before.is_empty() && UNKNOWN.starts_with(&wanted) {
            offers.push(Offer {
                text: UNKNOWN.to_owned(),
                words: "nobody knows which bull".to_owned(),
            });
        }
        offers
    }

    /// Rows whose tag, name or electronic ID holds a text, each with its name.
    fn naming_texts(&self, sheet: SheetKind, wanted: &str) -> Vec<(u32, String)> {
        let table = self.book().sheet(sheet);
        let mut found: Vec<(u32, String)> = Vec::new();
        for key in [naming(sheet), "name", "eid"] {
            let Some(texts) = table.column(key).and_then(Column::texts) else {
                continue;
            };
            let holds: Vec<bool> = texts
                .texts()
                .map(|text| text.to_lowercase().contains(wanted))
                .collect();
            for (row, &code) in (0_u32..).zip(texts.codes()) {
                if holds.get(code as usize) == Some(&true)
                    && !(key == "eid" && wanted.len() < 3)
                    && let Some(text) = texts.text_of(code)
                {
                    found.push((row, text.to_owned()));
                }
            }
        }
        found.sort_by_key(|(row, _)| *row);
        found.dedup_by_key(|(row, _)| *row);
        found
    }
}
