//! Which animal on record a row of a file is: calves, cows and bulls.
//!
//! Enters: the sheet and the table. Leaves: for each row of the table the rows it may be.
//! Always true: an electronic ID goes before a tag; a tag counts with the year of birth, since tags are used again;
//! where the year cannot tell, the only animal with the tag is taken and several are asked about.
//! Never: takes two animals for one because of a tag alone when their years or electronic IDs say otherwise.

use std::collections::HashMap;

use super::{Found, Why};
use crate::animals::names;
use crate::animals::plain::{name_form, plain, plain_electronic_id};
use crate::sheet::column::{Column, Value};
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::table::Table;

/// Ages at which a calf is weighed at weaning or weaned, days: wide enough for any herd and shorter than the year
/// after which a tag is used again.
const AT_WEANING: std::ops::RangeInclusive<i32> = 20..=400;
/// Ages at a yearling weighing, days.
const AT_A_YEAR: std::ops::RangeInclusive<i32> = 250..=600;

/// The rows on record for each row of the table; `None` for sheets whose rows are no animals.
pub(super) fn find(here: &Table, incoming: &Table) -> Option<Vec<Found>> {
    if !matches!(
        here.kind,
        SheetKind::Calves | SheetKind::Cows | SheetKind::Bulls
    ) {
        return None;
    }
    let there: Vec<Animal> = animals(here);
    let earlier = earlier_names(here);
    let mut by_eid: HashMap<&str, Vec<u32>> = HashMap::new();
    let mut by_tag: HashMap<&str, Vec<u32>> = HashMap::new();
    let mut by_birth: HashMap<(&str, Day), Vec<u32>> = HashMap::new();
    for (row, animal) in (0_u32..).zip(&there) {
        if !animal.eid.is_empty() {
            by_eid.entry(&animal.eid).or_default().push(row);
        }
        if animal.tag.is_empty() {
            by_birth
                .entry((&animal.dam, animal.birth))
                .or_default()
                .push(row);
        } else {
            by_tag.entry(&animal.tag).or_default().push(row);
        }
    }
    // A file may still call an animal what it was called before.
    for (name, row) in &earlier {
        for by_name in [&mut by_eid, &mut by_tag] {
            let rows = by_name.entry(name.as_str()).or_default();
            if !rows.contains(row) {
                rows.push(*row);
            }
        }
    }
    let found = |animal: &Animal| {
        if let Some(rows) = by_eid.get(animal.eid.as_str()) {
            return Found {
                rows: rows.clone(),
                why: Why::ElectronicId,
            };
        }
        if animal.tag.is_empty() {
            let rows = by_birth.get(&(animal.dam.as_str(), animal.birth));
            let known = !animal.dam.is_empty() && !animal.birth.is_missing();
            return Found {
                rows: rows.cloned().unwrap_or_default(),
                why: if known {
                    Why::DamAndBirth
                } else {
                    Why::KeyMissing
                },
            };
        }
        by_tag.get(animal.tag.as_str()).map_or_else(
            || Found::none(Why::Nothing),
            |rows| by_years(animal, rows, &there),
        )
    };
    Some(animals(incoming).iter().map(found).collect())
}

/// Names that rows carried before, in the form they are compared by.
fn earlier_names(table: &Table) -> Vec<(String, u32)> {
    let Some(cells) = table.column("names_before").and_then(Column::texts) else {
        return Vec::new();
    };
    (0_u32..)
        .zip(0..cells.len())
        .flat_map(|(row, at)| {
            names::read(cells.get(at).unwrap_or(""))
                .flatten()
                .map(move |name| (name_form(&name.name), row))
        })
        .collect()
}

fn by_years(animal: &Animal, rows: &[u32], there: &[Animal]) -> Found {
    let with = |fit: Fit| -> Vec<u32> {
        rows.iter()
            .copied()
            .filter(|&row| animal.fits(&there[row as usize]) == fit)
            .collect()
    };
    let yes = with(Fit::Yes);
    let open = with(Fit::Open);
    let (other_eid, other_year) = (with(Fit::OtherElectronicId), with(Fit::OtherYear));
    match (&yes[..], &open[..]) {
        ([one], _) => Found::one(*one, Why::TagAndYear),
        ([], [one]) if other_eid.is_empty() && other_year.is_empty() => {
            Found::one(*one, Why::TagAlone)
        }
        ([], []) if !other_eid.is_empty() => Found {
            rows: other_eid,
            why: Why::OtherElectronicId,
        },
        ([], []) if !other_year.is_empty() => Found {
            rows: other_year,
            why: Why::OtherYear,
        },
        ([], []) => Found::none(Why::Nothing),
        ([], open) => Found {
            rows: [open, &other_eid[..], &other_year[..]].concat(),
            why: Why::Several,
        },
        (yes, _) => Found {
            rows: yes.to_vec(),
            why: Why::Several,
        },
    }
}

/// What names an animal in a row.
struct Animal {
    is_calf: bool,
    eid: String,
    tag: String,
    dam: String,
    birth: Day,
    birth_year: Option<i32>,
    /// Day of the weaning weight, or of weaning.
    weaning: Day,
    yearling: Day,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Fit {
    Yes,
    /// Nothing tells.
    Open,
    OtherYear,
    OtherElectronicId,
    No,
}

impl Animal {
    /// How an animal with the same tag fits.
    fn fits(&self, other: &Animal) -> Fit {
        let by_year = if self.is_calf {
            self.fits_calf(other)
        } else {
            match (self.birth_year, other.birth_year) {
                // A cow keeps her tag for life: another year is more often a mistake than another cow.
                (Some(one), Some(two)) if one != two => Fit::OtherYear,
                (Some(_), Some(_)) => Fit::Yes,
                _ => Fit::Open,
            }
        };
        let other_eid = !self.eid.is_empty() && !other.eid.is_empty() && self.eid != other.eid;
        match by_year {
            Fit::Yes | Fit::Open if other_eid => Fit::OtherElectronicId,
            by_year => by_year,
        }
    }

    /// Calves get the tags of last year's: another year is another calf.
    fn fits_calf(&self, other: &Animal) -> Fit {
        let yes = |fits: bool| if fits { Fit::Yes } else { Fit::No };
        match (self.birth_year, other.birth_year) {
            (Some(one), Some(two)) => return yes(one == two),
            (Some(_), None) => return other.weighed_of(self.birth),
            (None, Some(_)) => return self.weighed_of(other.birth),
            (None, None) => {}
        }
        match self.weaning.days_since(other.weaning) {
            Some(days) => yes(days.abs() < 200),
            None => Fit::Open,
        }
    }

    /// Whether the days of weighing are those of a calf born then.
    fn weighed_of(&self, birth: Day) -> Fit {
        let at = |day: Day, ages: &std::ops::RangeInclusive<i32>| {
            day.days_since(birth).map(|age| ages.contains(&age))
        };
        match at(self.weaning, &AT_WEANING).or(at(self.yearling, &AT_A_YEAR)) {
            Some(true) => Fit::Yes,
            Some(false) => Fit::No,
            None => Fit::Open,
        }
    }
}

fn animals(table: &Table) -> Vec<Animal> {
    (0..table.n_rows()).map(|row| animal(table, row)).collect()
}

fn animal(table: &Table, row: usize) -> Animal {
    let text = |key: &str| {
        table
            .column(key)
            .and_then(Column::texts)
            .and_then(|texts| texts.get(row))
            .unwrap_or("")
    };
    let day = |key: &str| {
        table
            .column(key)
            .and_then(Column::days)
            .map_or(Day::MISSING, |days| days[row])
    };
    let birth = day("birth_date");
    let stated_year = match table.column("birth_year").map(|column| column.value(row)) {
        Some(Value::Number(year)) => Some(year as i32),
        _ => None,
    };
    let weighed = day("weigh_date");
    Animal {
        is_calf: table.kind == SheetKind::Calves,
        eid: plain_electronic_id(text("eid")),
        tag: plain(text("tag")),
        dam: plain(text("dam")),
        birth,
        birth_year: birth.year().or(stated_year),
        weaning: if weighed.is_missing() {
            day("wean_date")
        } else {
            weighed
        },
        yearling: day("yearling_date"),
    }
}

/// Whether two rows with the same tag are the same animal, as far as years and electronic IDs tell.
pub(super) fn may_be_same(table: &Table, one: u32, other: u32) -> bool {
    let (one, other) = (animal(table, one as usize), animal(table, other as usize));
    matches!(one.fits(&other), Fit::Yes | Fit::Open)
}
