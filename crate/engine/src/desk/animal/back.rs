//! Rows taken off that come back, and whom they would double.
//!
//! Enters: permanent keys of rows taken off. Leaves: the rows on record that are the same animal by electronic ID, or
//! by tag and year; the command.
//! Always true: a double is said before anything changes; whoever asked decides.
//! Never: keeps a row from coming back.

use super::Place;
use crate::desk::Desk;
use crate::desk::rows::rows_words;
use crate::error::Error;
use crate::import::merge;
use crate::sheet::edit::Command;
use crate::sheet::schema::SheetKind;

/// A row that would stand twice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Double {
    /// Permanent key of the row that would come back.
    pub key: u32,
    /// The row in words.
    pub words: String,
    /// The row on record that it would double; `None` where that would come back with it.
    pub other: Option<Place>,
    /// The other row in words.
    pub other_words: String,
    /// What both have: `the same electronic ID`.
    pub same: &'static str,
}

impl Desk {
    /// The permanent keys of all rows taken off a sheet.
    pub fn taken_off_keys(&self, sheet: SheetKind) -> Vec<u32> {
        let off = self.book().sheet(sheet).taken_off();
        off.map_or_else(Vec::new, |off| off.keys().to_vec())
    }

    /// Which of these rows would stand twice if they came back.
    pub fn doubles(&self, sheet: SheetKind, keys: &[u32]) -> Vec<Double> {
        let here = self.book().sheet(sheet);
        let Some(off) = here.taken_off() else {
            return Vec::new();
        };
        let there: Vec<(u32, u32)> = keys
            .iter()
            .filter_map(|&key| {
                let at = off.keys().binary_search(&key).ok()?;
                Some((u32::try_from(at).ok()?, key))
            })
            .collect();
        let rows: Vec<u32> = there.iter().map(|(at, _)| *at).collect();
        let coming = off.rows().select(&rows);
        let mut found = Vec::new();
        for (nth, others) in merge::doubles(here, &coming).into_iter().enumerate() {
            let key = there[nth].1;
            found.extend(others.into_iter().map(|(row, same)| {
                let place = self.place_of(sheet, row);
                Double {
                    key,
                    words: self.off_words(sheet, key),
                    other_words: place.words.clone(),
                    other: Some(place),
                    same,
                }
            }));
        }
        for (nth, others) in merge::doubles(&coming, &coming).into_iter().enumerate() {
            let key = there[nth].1;
            found.extend(
                others
                    .into_iter()
                    // Each pair once.
                    .filter(|(other, _)| (*other as usize) < nth)
                    .map(|(other, same)| Double {
                        key,
                        words: self.off_words(sheet, key),
                        other: None,
                        other_words: self.off_words(sheet, there[other as usize].1),
                        same,
                    }),
            );
        }
        found
    }

    /// Brings rows back by their permanent keys; gives the journal record and what to say.
    ///
    /// # Errors
    /// `sheet.row.none` when there are none, `sheet.row.on_record`, `sheet.row.unknown`.
    pub fn bring_back(
        &mut self,
        sheet: SheetKind,
        rows: Vec<u32>,
    ) -> Result<(Vec<u8>, String), Error> {
        let words = format!("{} brought back.", rows_words(sheet, rows.len()));
        let record = self.change(Command::BringBack { sheet, rows })?;
        Ok((record, words))
    }
}
