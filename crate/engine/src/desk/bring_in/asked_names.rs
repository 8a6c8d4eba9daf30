//! Names in the rows of a file that fit two animals, and which of them was meant.
//!
//! Enters: a file that was read, the book, choices. Leaves: the names to ask about, the file's rows with the names told
//! apart.
//! Always true: what is written for a choice stands for exactly that animal on the day of the row; a name that nobody
//! chose for stays as the file has it, and is marked in the book.
//! Never: chooses; asks about a row that is on record word for word.

use std::collections::BTreeMap;

use super::not_begun;
use crate::animals::facts::Facts;
use crate::animals::links::{StandsFor, columns_of, day_of, names_in, stands_for};
use crate::animals::register::Link;
use crate::animals::{Animal, Found};
use crate::desk::Desk;
use crate::desk::animal::Place;
use crate::error::Error;
use crate::import::merge::{self, Merge, RowKind};
use crate::sheet::column::{Column, Value};
use crate::sheet::interned::NO_TEXT;
use crate::sheet::read::list::is_unknown;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;

/// A name of a row that fits several animals.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AskedName {
    /// Position among the rows of the file.
    pub row: u32,
    /// The column it stands in.
    pub column: &'static str,
    /// Which name of the cell it is, from 0.
    pub nth: u32,
    /// As the file has it.
    pub name: String,
    /// The animals it fits, by sheet and permanent key.
    pub fits: Vec<(SheetKind, u32)>,
    /// The one that was meant, by its place in `fits`; `None` while nobody has said.
    pub chosen: Option<u32>,
}

/// An animal that a name may mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MayMean {
    /// Where it stands, and what tells it apart: tag, birth, pen.
    pub place: Place,
    /// What would be written for it; `None` where no words tell it from the others.
    pub text: Option<String>,
}

/// A name to ask about, as it is shown.
#[derive(Clone, Debug)]
pub struct ShownName<'a> {
    /// The name.
    pub asked: &'a AskedName,
    /// Line of the row in the file.
    pub line: u32,
    /// The day the row speaks of, ISO, or empty.
    pub on: String,
    /// The animals, in the order of `asked.fits`.
    pub may_mean: Vec<MayMean>,
}

/// The cells in which a name was told apart, with what the file has there.
pub(super) type AsFileHas = BTreeMap<(u32, &'static str), String>;

fn text_of(table: &Table, column: &str, row: u32) -> String {
    let texts = table.column(column).and_then(Column::texts);
    texts
        .and_then(|texts| texts.get(row as usize))
        .unwrap_or("")
        .to_owned()
}

pub(super) fn put(table: &mut Table, column: &str, row: u32, text: &str) {
    if let Some(column) = table.column_mut(column) {
        let _before = column.put(row, Value::Text(text.to_owned()));
    }
}

impl Desk {
    /// The names of a table that fit several animals on record, but for rows that are on record word for word.
    pub(super) fn names_to_ask(&self, table: &Table, merge: Option<&Merge>) -> Vec<AskedName> {
        let mut asked = Vec::new();
        for (key, stands_for) in columns_of(table.kind) {
            let StandsFor::Animal(among, deed) = stands_for else {
                continue;
            };
            let Some((column, texts)) = table
                .column(key)
                .and_then(|column| Some((column, column.texts()?)))
            else {
                continue;
            };
            let lookup = self.animals().among(self.book(), among);
            let mut of_text: Vec<Option<Vec<Vec<Link>>>> = vec![None; texts.n_texts()];
            for (row, &code) in (0_u32..).zip(texts.codes()) {
                let is_there = |merge: &Merge| {
                    merge
                        .rows
                        .get(row as usize)
                        .is_some_and(|row| row.kind == RowKind::Same)
                };
                if code == NO_TEXT || merge.is_some_and(is_there) {
                    continue;
                }
                let at = row as usize;
                let links = of_text[code as usize].get_or_insert_with(|| {
                    names_in(column, at)
                        .map(|name| match is_unknown(name) {
                            true => Vec::new(),
                            false => lookup.links(name),
                        })
                        .collect()
                });
                for (nth, links) in (0_u32..).zip(links.iter()) {
                    let day = day_of(table, key, at);
                    if let Found::Several(fits) = lookup.find(links, deed, day) {
                        let name = names_in(column, at).nth(nth as usize).unwrap_or("");
                        asked.push(AskedName {
                            row,
                            column: key,
                            nth,
                            name: name.to_owned(),
                            fits: fits
                                .iter()
                                .map(|one| {
                                    (one.sheet, self.book().sheet(one.sheet).key_of(one.row))
                                })
                                .collect(),
                            chosen: None,
                        });
                    }
                }
            }
        }
        asked.sort_by_key(|one| (one.row, one.column, one.nth));
        asked
    }

    /// How many names fit several animals, and for how many of them one was chosen.
    pub fn import_names_asked(&self) -> (usize, usize) {
        self.bringing_in.as_ref().map_or((0, 0), |file| {
            let chosen = file.asked.iter().filter(|one| one.chosen.is_some());
            (file.asked.len(), chosen.count())
        })
    }

    /// Names that fit several animals, from the `first` on, at most `n`.
    pub fn import_names(&self, first: usize, n: usize) -> Vec<ShownName<'_>> {
        let Some((file, imported)) = self
            .bringing_in
            .as_ref()
            .and_then(|file| Some((file, file.imported.as_ref()?)))
        else {
            return Vec::new();
        };
        file.asked
            .iter()
            .skip(first)
            .take(n)
            .map(|asked| {
                let day = day_of(&imported.table, asked.column, asked.row as usize);
                ShownName {
                    line: imported
                        .table
                        .source_line
                        .get(asked.row as usize)
                        .copied()
                        .unwrap_or(0),
                    on: if day.is_missing() {
                        String::new()
                    } else {
                        day.iso()
                    },
                    may_mean: asked
                        .fits
                        .iter()
                        .filter_map(|&one| self.may_mean(&imported.table, asked, one))
                        .collect(),
                    asked,
                }
            })
            .collect()
    }

    fn may_mean(
        &self,
        table: &Table,
        asked: &AskedName,
        (sheet, key): (SheetKind, u32),
    ) -> Option<MayMean> {
        let row = self.book().sheet(sheet).row_of(key)?;
        let mut place = self.place_of(sheet, row);
        if let Some(year) = Facts::of(self.book(), sheet).year_of_birth(row)
            && !place.words.contains(&year.to_string())
        {
            place.words.push_str(&format!(", born in {year}"));
        }
        if let Some(pen) = self.where_it_is(Animal { sheet, row }) {
            place.words.push_str(&format!(", in {pen}"));
        }
        Some(MayMean {
            place,
            text: self.told_by(table, asked, Animal { sheet, row }),
        })
    }

    /// The place of a calf, else of the last stay that names the animal.
    fn where_it_is(&self, animal: Animal) -> Option<String> {
        if let Some(pen) = self.said(animal.sheet, animal.row, "place") {
            return Some(pen);
        }
        let row = self.last_stay(animal)?;
        self.said(SheetKind::Stays, row, "place")
    }

    /// What names this animal and no other in a cell; `None` where nothing does.
    fn told_by(&self, table: &Table, asked: &AskedName, animal: Animal) -> Option<String> {
        let StandsFor::Animal(among, deed) = stands_for(table.kind, asked.column)? else {
            return None;
        };
        let day = day_of(table, asked.column, asked.row as usize);
        let call = self.animals().call(self.book(), animal, among, deed, day);
        let found = self.animals().find(self.book(), among, &call, deed, day);
        (found == Found::One(animal)).then_some(call)
    }

    /// Says which animal a name of a row means, by its place among those it fits; `None` leaves it for later. The file
    /// need not be read again.
    ///
    /// # Errors
    /// `import.not_begun`; `import.name.row` when no such name is asked about; `import.name.alike` when no words tell
    /// the animal from the others.
    pub fn import_name(
        &mut self,
        row: u32,
        column: &str,
        nth: u32,
        choice: Option<u32>,
    ) -> Result<(), Error> {
        let not_there = || {
            Error::new(
                "import.name.row",
                "A choice was made for a name that is not asked about.",
                "Choose one of those shown.",
            )
        };
        let file = self.bringing_in.as_ref().ok_or_else(not_begun)?;
        let imported = file.imported.as_ref().ok_or_else(not_begun)?;
        let at = file
            .asked
            .iter()
            .position(|one| (one.row, one.column, one.nth) == (row, column, nth))
            .ok_or_else(not_there)?;
        let asked = &file.asked[at];
        if let Some(choice) = choice {
            let &(sheet, key) = asked.fits.get(choice as usize).ok_or_else(not_there)?;
            let row = self.book().sheet(sheet).row_of(key).ok_or_else(not_there)?;
            if self
                .told_by(&imported.table, asked, Animal { sheet, row })
                .is_none()
            {
                return Err(Error::new(
                    "import.name.alike",
                    format!(
                        "{} cannot be told from the others by words: same tag and birth, no electronic ID.",
                        self.title_of(sheet, row)
                    ),
                    "Leave the line for later, give one of them its birth year or electronic ID, then choose in the cell.",
                ));
            }
        }
        let column = asked.column;
        if let Some(file) = &mut self.bringing_in {
            file.asked[at].chosen = choice;
        }
        self.tell_apart(row, column);
        Ok(())
    }

    /// Writes a cell with the names that were chosen for it, and holds the rows against the record again.
    fn tell_apart(&mut self, row: u32, column: &'static str) {
        let Some((file, imported)) = self
            .bringing_in
            .as_ref()
            .and_then(|file| Some((file, file.imported.as_ref()?)))
        else {
            return;
        };
        let before = file
            .as_file_has
            .get(&(row, column))
            .cloned()
            .unwrap_or_else(|| text_of(&imported.table, column, row));
        let is_list = imported
            .table
            .column(column)
            .is_some_and(|column| matches!(column.kind, crate::sheet::column::Kind::List));
        let mut names: Vec<String> = before
            .split(|ch| is_list && ch == ';')
            .map(|name| name.trim().to_owned())
            .filter(|name| !name.is_empty())
            .collect();
        for asked in file
            .asked
            .iter()
            .filter(|one| (one.row, one.column) == (row, column))
        {
            let call = asked
                .chosen
                .and_then(|choice| asked.fits.get(choice as usize))
                .and_then(|&(sheet, key)| {
                    let row = self.book().sheet(sheet).row_of(key)?;
                    self.told_by(&imported.table, asked, Animal { sheet, row })
                });
            if let (Some(call), Some(name)) = (call, names.get_mut(asked.nth as usize)) {
                *name = call;
            }
        }
        let text = names.join("; ");
        let Some(file) = &mut self.bringing_in else {
            return;
        };
        let Some(imported) = &mut file.imported else {
            return;
        };
        file.as_file_has.insert((row, column), before.clone());
        if file
            .asked
            .iter()
            .all(|one| (one.row, one.column) != (row, column) || one.chosen.is_none())
        {
            file.as_file_has.remove(&(row, column));
            put(&mut imported.table, column, row, &before);
        } else {
            put(&mut imported.table, column, row, &text);
        }
        if file.merge.is_some() {
            file.merge = Some(merge::find(&self.book, &imported.table));
            // What was chosen for this row was chosen for another animal.
            file.choices.rows.remove(&row);
        }
    }
}
