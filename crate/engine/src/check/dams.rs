//! Dams and sires: named, known, and possible.
//!
//! Enters: the calves and the cows sheet. Leaves: findings.
//! Always true: where most calves of a herd wear their dam's number, that is the herd's way and no finding.
//! Never: decides which cow it was.

use std::collections::BTreeMap;

use super::Look;
use super::code::Code;
use crate::adjust::dam_age::{self, DamAgeFrom, DamAges, believable};
use crate::adjust::dam_on_record::OnRecord;
use crate::adjust::marks::Marks;
use crate::sheet::codes::{ABORTED, TWIN};
use crate::sheet::day::Day;
use crate::sheet::interned::NO_TEXT;
use crate::sheet::schema::SheetKind;
use crate::trade::plausible::{DAYS_PER_YEAR, FEWEST_DAYS_BETWEEN_CALVINGS, TWINS_WITHIN_DAYS};

pub(super) fn look(look: &mut Look) {
    let calves = look.calves;
    let lived = |row: usize| !calves.never_lived(row);
    look.missing(
        Code::DamMissing,
        "dam",
        |row| calves.dam.codes()[row] == NO_TEXT,
        lived,
    );
    look.missing(
        Code::SireMissing,
        "sire",
        |row| calves.sire.codes()[row] == NO_TEXT,
        lived,
    );
    own_tags(look);
    ages(look);
    calvings(look);
}

/// The calf's own tag where a parent's belongs.
fn own_tags(look: &mut Look) {
    let calves = look.calves;
    let is_own = |row: usize, other: Option<&str>| other.is_some() && calves.tag.get(row) == other;
    let wearing = look
        .rows()
        .filter(|&(row, _)| is_own(row, calves.dam.get(row)))
        .count();
    let herds_way = wearing > 1 && wearing * 2 > look.rows().count();
    let (dam, raised, sire) = (
        look.column("dam"),
        look.column("raised_dam"),
        look.column("sire"),
    );
    for (row, key) in look.rows() {
        if !herds_way && is_own(row, calves.dam.get(row)) {
            look.add(Code::DamIsCalf, dam, key, 0);
        }
        if !herds_way && is_own(row, calves.raised_dam.get(row)) {
            look.add(Code::RaisedDamIsCalf, raised, key, 0);
        }
        for bull in calves
            .sire
            .get(row)
            .into_iter()
            .flat_map(|text| text.split(';'))
        {
            let bull = bull.trim();
            if calves.dam.get(row) == Some(bull) {
                look.add(Code::SireIsDam, sire, key, 0);
            }
            if !herds_way && is_own(row, Some(bull)) {
                look.add(Code::SireIsCalf, sire, key, 0);
            }
        }
    }
}

fn ages(look: &mut Look) {
    let (calves, adjusted, book) = (look.calves, look.adjusted, look.book);
    let dams = DamAges::of(book, calves);
    let (dam_at, age_at, raised_at) = (
        look.column("dam"),
        look.column("dam_age"),
        look.column("raised_dam"),
    );
    look.missing(
        Code::DamAgeUnknown,
        "dam_age",
        |row| adjusted.dam_age_days[row] == i32::MIN,
        |row| {
            calves.dam.codes()[row] != NO_TEXT
                && !calves.birth[row].is_missing()
                && !calves.wean_weight[row].is_nan()
        },
    );
    // Said on the cow's row too, once: by the calf born first.
    let mut disagreeing: BTreeMap<u32, (Day, u32)> = BTreeMap::new();
    for (row, key) in look.rows() {
        if !look.lived(row) {
            continue;
        }
        let dam = dams.birth_dam(calves, row);
        if let Some(fits) = in_doubt(dam.on_record) {
            look.add(Code::DamAmbiguous, dam_at, key, fits);
        }
        if dam.days != i32::MIN {
            let class = adjusted.dam_age_class[row];
            // The cell to mend is the one the age came from.
            let from_at = match dam.from {
                DamAgeFrom::RecordDate | DamAgeFrom::RecordYear => dam_at,
                DamAgeFrom::StatedDate => look.column("dam_birth_date"),
                DamAgeFrom::StatedYear => look.column("dam_birth_year"),
                DamAgeFrom::StatedAge | DamAgeFrom::Unknown => age_at,
            };
            if !believable(dam.days) {
                look.add(Code::DamAgeRange, from_at, key, 0);
            } else if class == u8::MAX {
                look.add(Code::DamAgeTooYoung, from_at, key, dam.days.unsigned_abs());
            }
        }
        if disagrees(look, dam, row) {
            look.add(Code::DamAgeDisagrees, age_at, key, 0);
            if let OnRecord::Row(cow) = dam.on_record {
                let earliest = disagreeing.entry(cow).or_insert((calves.birth[row], key));
                *earliest = (*earliest).min((calves.birth[row], key));
            }
        }
        if adjusted.marks[row].has(Marks::FOSTER) {
            let raising = dams.raising_cow(calves, row);
            if let Some(fits) = in_doubt(raising.on_record) {
                look.add(Code::DamAmbiguous, raised_at, key, fits);
            } else if adjusted.marks[row].has(Marks::RAISING_AGE_UNKNOWN)
                && calves.raised_dam.codes()[row] != NO_TEXT
            {
                look.add(Code::DamAgeUnknown, raised_at, key, 0);
            }
        }
    }
    let dated = crate::animals::facts::Facts::of(book, SheetKind::Cows);
    for (cow, (_, calf)) in disagreeing {
        let at = if dated.born(cow).0.is_missing() {
            "birth_year"
        } else {
            "birth_date"
        };
        look.add_in(Code::CowAgeDisagrees, SheetKind::Cows, at, cow, calf);
    }
}

/// Why a tag names no cow for sure, for the sentence: 0 none fits, 1 several of different age, 2 several of one age.
fn in_doubt(on_record: OnRecord) -> Option<u32> {
    match on_record {
        OnRecord::NoneFits => Some(0),
        OnRecord::Several { same_age, .. } => Some(if same_age { 2 } else { 1 }),
        OnRecord::NotThere | OnRecord::Row(_) => None,
    }
}

/// Two sources of the dam's age say different things: two dates that differ at all, or anything else that
/// differs by more than a year, since ages in years are given loosely.
fn disagrees(look: &Look, used: dam_age::DamAge, row: usize) -> bool {
    if used.from == DamAgeFrom::Unknown {
        return false;
    }
    let calves = look.calves;
    let year = DAYS_PER_YEAR;
    let apart = |days: i32| (f64::from(days) - f64::from(used.days)).abs();
    let dated = calves.birth[row].days_since(calves.dam_birth[row]);
    if let Some(days) = dated {
        let both_dates = used.from == DamAgeFrom::RecordDate;
        if (both_dates && days != used.days) || apart(days) > year {
            return true;
        }
    }
    let born_year = calves.dam_birth_year[row];
    let by_year = calves.birth[row]
        .year()
        .map(|calved| dam_age::days_of_years(f64::from(calved) - born_year));
    let by_age = dam_age::days_of_years(calves.dam_age[row]);
    by_year
        .into_iter()
        .chain([by_age])
        .any(|days| days != i32::MIN && apart(days) > year + 1.0)
}

/// Calvings of one dam too close together, and twins without a partner.
fn calvings(look: &mut Look) {
    let calves = look.calves;
    let dams = DamAges::of(look.book, calves);
    // A tag that was used again stands for another cow: the row on record tells them apart.
    let cow = |row: usize| match dams.birth_dam(calves, row).on_record {
        OnRecord::Row(record) => record,
        _ => u32::MAX,
    };
    let mut births: Vec<(u32, u32, i32, u32)> = look
        .rows()
        .filter(|&(row, _)| {
            calves.dam.codes()[row] != NO_TEXT
                && !calves.birth[row].is_missing()
                && calves.left_because[row] != ABORTED
        })
        .map(|(row, key)| {
            (
                calves.dam.codes()[row],
                cow(row),
                calves.birth[row].count(),
                key,
            )
        })
        .collect();
    births.sort_unstable();
    let (dam_at, born_as_at) = (look.column("dam"), look.column("born_as"));
    let is_twin = |key: u32| calves.born_as[key as usize] == TWIN;
    let mut partnered = vec![false; births.len()];
    for at in 1..births.len() {
        let (before, this) = (births[at - 1], births[at]);
        if (before.0, before.1) != (this.0, this.1) {
            continue;
        }
        let apart = this.2 - before.2;
        if apart <= TWINS_WITHIN_DAYS && is_twin(before.3) && is_twin(this.3) {
            partnered[at - 1] = true;
            partnered[at] = true;
        } else if apart < FEWEST_DAYS_BETWEEN_CALVINGS {
            look.add(Code::DamCalvedTwice, dam_at, this.3, before.3);
        }
    }
    for (birth, partnered) in births.iter().zip(partnered) {
        if is_twin(birth.3) && !partnered {
            look.add(Code::TwinAlone, born_as_at, birth.3, 0);
        }
    }
}
