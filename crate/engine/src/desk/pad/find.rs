//! The animals that a few digits may mean.
//!
//! Enters: a task, the day, and what was typed: a tag, its last digits, or an EID's. Leaves: animals, likeliest
//! first, each with the text that names it and no other that day.
//! Always true: whole tags come before endings, endings before beginnings, tags before electronic IDs, which are
//! said; among equals the youngest first, since tags are used again. Animals that had left by the day are not
//! offered. Those that are not on the work list come last, and only when the text names them whole.
//! Never: offers more than was asked for.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use super::Task;
use crate::animals::plain::plain_electronic_id;
use crate::animals::{self, Among, Deed};
use crate::desk::Desk;
use crate::sheet::day::Day;
use crate::sheet::interned::Interned;
use crate::sheet::natural::natural_order;
use crate::sheet::schema::SheetKind;

/// An animal to tap.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Animal {
    /// The sheet it is on.
    pub sheet: SheetKind,
    /// Its row there; `None` for a cow known only as a dam.
    pub row: Option<u32>,
    /// Its tag.
    pub tag: String,
    /// What to write where it is named: the tag where that is enough, else its electronic ID, or words.
    pub call: String,
    /// What tells it apart: `heifer, born 2026-03-04, dam C31, East barn`.
    pub words: String,
    /// What is known of the thing being done: `last 512 lb on 2026-09-28`; empty when nothing.
    pub last: String,
    /// The book is a work list, and the animal is not on it.
    pub off_list: bool,
}

/// How well a text fits, best first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    Whole,
    End,
    Start,
    Within,
    WholeElectronicId,
    EndOfElectronicId,
}

impl Fit {
    fn by_electronic_id(self) -> bool {
        self >= Fit::WholeElectronicId
    }

    fn is_whole(self) -> bool {
        matches!(self, Fit::Whole | Fit::WholeElectronicId)
    }
}

/// Digits of an electronic ID that are said when it was found by them, at least.
const FEWEST_SAID: usize = 4;

fn fit(name: &str, wanted: &str) -> Option<Fit> {
    let name = name.to_lowercase();
    if name == wanted {
        Some(Fit::Whole)
    } else if name.ends_with(wanted) {
        Some(Fit::End)
    } else if name.starts_with(wanted) {
        Some(Fit::Start)
    } else if name.contains(wanted) {
        Some(Fit::Within)
    } else {
        None
    }
}

fn fit_of_electronic_id(id: &str, wanted: &str) -> Option<Fit> {
    let (id, wanted) = (plain_electronic_id(id), plain_electronic_id(wanted));
    if wanted.is_empty() || !id.ends_with(&wanted) {
        None
    } else if id == wanted {
        Some(Fit::WholeElectronicId)
    } else {
        Some(Fit::EndOfElectronicId)
    }
}

/// `EID ...0117`, with all digits that were typed.
fn electronic_id_words(id: &str, wanted: &str) -> String {
    let id: Vec<char> = plain_electronic_id(id).chars().collect();
    let n_said = plain_electronic_id(wanted).chars().count().max(FEWEST_SAID);
    match id.len().checked_sub(n_said) {
        None | Some(0) => format!("EID {}", String::from_iter(id)),
        Some(n_left) => format!("EID ...{}", String::from_iter(&id[n_left..])),
    }
}

impl Desk {
    /// Animals that fit on a day, at most `most`; none for a blank text. A missing day is any day.
    pub fn pad_animals(&self, task: Task, text: &str, on: Day, most: usize) -> Vec<Animal> {
        let wanted = text.trim().to_lowercase();
        if wanted.is_empty() {
            return Vec::new();
        }
        let sheets: &[SheetKind] = match task {
            Task::Weaning | Task::Birth | Task::Yearling => &[SheetKind::Calves],
            Task::Weighing => &[SheetKind::Calves, SheetKind::Cows, SheetKind::Bulls],
            Task::Calving | Task::Pregnancy => &[SheetKind::Cows],
        };
        let mut found: Vec<(Fit, Reverse<Day>, SheetKind, u32)> = Vec::new();
        for &sheet in sheets {
            found.extend(self.rows_that_fit(sheet, &wanted, on));
        }
        let mut animals: Vec<(Fit, Reverse<Day>, Animal)> = found
            .into_iter()
            .map(|(fit, born, sheet, row)| (fit, born, self.animal(task, sheet, row)))
            .filter(|(fit, _, animal)| !animal.off_list || fit.is_whole())
            .collect();
        if matches!(task, Task::Calving | Task::Pregnancy) {
            animals.extend(self.dams_by_name(&wanted));
        }
        animals.sort_by(|one, other| {
            (one.2.off_list, one.0, one.1)
                .cmp(&(other.2.off_list, other.0, other.1))
                .then_with(|| natural_order(&one.2.tag, &other.2.tag))
        });
        // However many fit, one that is not expected but named whole is not lost among them.
        let expected = animals.partition_point(|(_, _, animal)| !animal.off_list);
        let off_list = animals.split_off(expected);
        animals.truncate(most);
        animals.extend(off_list.into_iter().take(most));
        animals
            .into_iter()
            .map(|(fit, _, mut animal)| {
                if fit.by_electronic_id() {
                    let id = animal
                        .row
                        .and_then(|row| self.shown_cell(animal.sheet, "eid", row as usize))
                        .map_or_else(String::new, |cell| cell.text);
                    animal.words =
                        format!("{}, {}", electronic_id_words(&id, &wanted), animal.words);
                }
                self.called(task, animal, on)
            })
            .collect()
    }

    /// With the text that names it in the sheet the task writes to.
    fn called(&self, task: Task, animal: Animal, on: Day) -> Animal {
        let (among, deed) = match task {
            Task::Calving => (Among::Cows, Deed::Bore),
            Task::Pregnancy => (Among::Cows, Deed::OnHand),
            Task::Weighing => (Among::All, Deed::OnHand),
            // The calf's own row is written to.
            Task::Weaning | Task::Birth | Task::Yearling => return animal,
        };
        let Some(row) = animal.row else {
            return animal;
        };
        let one = animals::Animal {
            sheet: animal.sheet,
            row,
        };
        let call = self.animals().call(self.book(), one, among, deed, on);
        Animal { call, ..animal }
    }

    fn rows_that_fit(
        &self,
        sheet: SheetKind,
        wanted: &str,
        on: Day,
    ) -> Vec<(Fit, Reverse<Day>, SheetKind, u32)> {
        let table = self.book().sheet(sheet);
        let texts = |key: &str| table.column(key).and_then(|column| column.texts());
        let days = |key: &str| table.column(key).and_then(|column| column.days());
        let fits = |names: Option<&Interned>, fit: fn(&str, &str) -> Option<Fit>| {
            names.map_or_else(Vec::new, |names| {
                names.texts().map(|name| fit(name, wanted)).collect()
            })
        };
        // Each distinct text is looked at once.
        let (tags, eids) = (texts("tag"), texts("eid"));
        let tag_fits: Vec<Option<Fit>> = fits(tags, fit);
        let eid_fits: Vec<Option<Fit>> = fits(eids, fit_of_electronic_id);
        let of_row = |names: Option<&Interned>, fits: &[Option<Fit>], row: usize| {
            let code = *names?.codes().get(row)?;
            fits.get(code as usize).copied().flatten()
        };
        let left = days("left_on");
        let born = days("birth_date");
        let day = |days: Option<&[Day]>, row: usize| {
            days.and_then(|days| days.get(row).copied())
                .unwrap_or(Day::MISSING)
        };
        (0..table.n_rows())
            .filter(|&row| {
                let left = day(left, row);
                left.is_missing() || (!on.is_missing() && left >= on)
            })
            .filter_map(|row| {
                let fit = of_row(tags, &tag_fits, row)
                    .into_iter()
                    .chain(of_row(eids, &eid_fits, row))
                    .min()?;
                let key = u32::try_from(row).ok()?;
                Some((fit, Reverse(day(born, row)), sheet, key))
            })
            .collect()
    }

    /// Cows that stand only as dams of calves.
    fn dams_by_name(&self, wanted: &str) -> Vec<(Fit, Reverse<Day>, Animal)> {
        let cows: BTreeSet<&str> = self
            .book()
            .sheet(SheetKind::Cows)
            .known("tag")
            .texts()
            .map_or_else(BTreeSet::new, |tags| tags.texts_in_use().collect());
        let Some(dams) = self.book().calves().known("dam").texts() else {
            return Vec::new();
        };
        dams.texts_in_use()
            .filter(|name| !cows.contains(name))
            .filter_map(|name| {
                let animal = Animal {
                    sheet: SheetKind::Cows,
                    row: None,
                    tag: name.to_owned(),
                    call: name.to_owned(),
                    words: "named as a dam, not on the cows sheet".to_owned(),
                    last: String::new(),
                    off_list: false,
                };
                Some((fit(name, wanted)?, Reverse(Day::MISSING), animal))
            })
            .collect()
    }

    pub(super) fn animal(&self, task: Task, sheet: SheetKind, row: u32) -> Animal {
        let cell = |key: &str| {
            self.shown_cell(sheet, key, row as usize)
                .map(|cell| cell.text)
                .filter(|text| !text.is_empty())
        };
        let with = |before: &str, key: &str| cell(key).map(|text| format!("{before}{text}"));
        let mut words: Vec<String> = match sheet {
            SheetKind::Calves => [
                cell("sex"),
                with("born ", "birth_date"),
                with("dam ", "dam"),
                cell("place"),
            ]
            .into_iter()
            .flatten()
            .collect(),
            _ => {
                let kind = if sheet == SheetKind::Cows {
                    "cow"
                } else {
                    "bull"
                };
                let born = with("born ", "birth_date").or_else(|| with("born ", "birth_year"));
                [Some(kind.to_owned()), cell("name"), born]
                    .into_iter()
                    .flatten()
                    .collect()
            }
        };
        if words.is_empty() {
            words.push(sheet.label().to_lowercase());
        }
        let unit = self.book().settings.weight_unit.symbol();
        let last = self.written(task, row).map(|(weight, day)| match day {
            Some(day) => format!("{weight} {unit} on {day}"),
            None => format!("{weight} {unit}"),
        });
        Animal {
            sheet,
            row: Some(row),
            tag: cell("tag").unwrap_or_default(),
            call: cell("tag").unwrap_or_default(),
            words: words.join(", "),
            last: last.unwrap_or_default(),
            off_list: !self.is_on_list(sheet, row),
        }
    }
    /// The weight that stands in a calf's row already, and its day where that is known; none for entries that make a
    /// row of their own.
    pub(super) fn written(&self, task: Task, row: u32) -> Option<(String, Option<String>)> {
        let cell = |key: &str| {
            self.shown_cell(task.sheet(), key, row as usize)
                .map(|cell| cell.text)
                .filter(|text| !text.is_empty())
        };
        let (key, day) = task.columns();
        let day = match task {
            Task::Weaning => cell(day).or_else(|| cell("wean_date")),
            Task::Yearling => cell(day),
            // A birth weight has no day of its own.
            Task::Birth => None,
            Task::Weighing | Task::Calving | Task::Pregnancy => return None,
        };
        Some((cell(key)?, day))
    }
}
