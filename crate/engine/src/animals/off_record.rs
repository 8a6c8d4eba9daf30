//! Names of animals that were taken off the record.
//!
//! Enters: a name, what it is said of, and the day. Leaves: the rows taken off that carry, or carried, it.
//! Always true: rows are told by their permanent keys; those that can have been there that day go before the others.
//! Never: takes a row off the record for one that is on it; who asks has looked there first.

use super::facts::{Facts, Presence};
use super::find::Animals;
use super::register::Link;
use super::{Among, Deed};
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// An animal that was taken off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OffRecord {
    /// Calves, cows or bulls.
    pub sheet: SheetKind,
    /// Permanent key of its row.
    pub key: u32,
}

/// What a name is among the rows taken off.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OffRecordFound {
    /// Those that could be meant if they were on the record.
    pub fitting: Vec<OffRecord>,
    /// Others that carry or carried the name: born later, gone before, or not called so that day.
    pub others: Vec<OffRecord>,
}

impl Animals {
    /// The rows taken off that a name may stand for.
    pub fn off_record(
        &self,
        book: &Workbook,
        among: Among,
        name: &str,
        deed: Deed,
        on: Day,
    ) -> OffRecordFound {
        let mut found = OffRecordFound::default();
        for register in self.off_registers(book) {
            let sheet = register.sheet();
            let link = register.link_of(name.trim());
            let Some(off) = book
                .sheet(sheet)
                .taken_off()
                .filter(|_| link != Link::NOBODY && among.sheets().contains(&sheet))
            else {
                continue;
            };
            let facts = Facts::of_table(off.rows());
            let fitting: Vec<u32> = register
                .fitting(&facts, link, deed, on)
                .filter(|(_, presence)| *presence != Presence::No)
                .map(|(row, _)| row)
                .collect();
            let of = |row: u32| {
                let key = off.keys().get(row as usize).copied()?;
                Some(OffRecord { sheet, key })
            };
            found.others.extend(
                register
                    .rows(&facts, link)
                    .filter(|row| !fitting.contains(row))
                    .filter_map(of),
            );
            found.fitting.extend(fitting.into_iter().filter_map(of));
        }
        found
    }
}
