//! A small herd for one header style.
//!
//! Enters: how many calves, and draws. Leaves: everything any style may want to write about them.
//! Always true: ages at weighing lie inside the 160 to 250 day window. Never: a cell's spelling.

use chrono::{Datelike, Days, NaiveDate};

use crate::calf::{Calf, Sex, day};
use crate::draw::Draws;
use crate::growth;

/// Seed of all styles; each style has its own stream.
pub const SEED: u64 = 20_260_401;

/// A calf, its dam's birth date, and the odds and ends people write beside it.
#[derive(Debug)]
pub struct Entry {
    /// The calf.
    pub calf: Calf,
    /// Birth date of the dam.
    pub dam_birth: NaiveDate,
    /// Pen number, 1 to 3.
    pub pen: usize,
    /// A temper word of its own.
    pub temper: &'static str,
    /// A coat colour.
    pub color: &'static str,
    /// True in the pens where creep is fed.
    pub creep: bool,
}

const REMARKS: [&str; 6] = [
    "",
    "",
    "short ear, left",
    "called \"Pest\" by the kids",
    "scours in May,\ntreated once",
    "quiet; good feet",
];

/// Draws the calves of one file, all taken off the cows on `weaned`.
pub fn calves(count: usize, weaned: NaiveDate, draws: &mut Draws) -> Vec<Entry> {
    let mut entries: Vec<Entry> = (0..count)
        .map(|number| entry(number, weaned, draws))
        .collect();
    entries.sort_by_key(|entry| entry.calf.birth_date);
    for (number, entry) in entries.iter_mut().enumerate() {
        entry.calf.tag = format!("{}", 501 + number);
        entry.calf.eid = format!("999000000{:06}", 41_000 + number * 13);
    }
    entries
}

fn entry(number: usize, weaned: NaiveDate, draws: &mut Draws) -> Entry {
    let birth_date = day(2025, 3, 1) + Days::new(u64::from(draws.below(45)));
    let dam_years = draws.choose_weighted(&[(2, 20), (3, 18), (4, 16), (6, 20), (8, 16), (12, 10)]);
    let dam_birth = day(2025 - dam_years, 3, 1) + Days::new(u64::from(draws.below(50)));
    let sex = draws.choose_weighted(&[(Sex::Heifer, 50), (Sex::Steer, 35), (Sex::Bull, 15)]);
    let pen = draws.choose_weighted(&[(1, 34), (2, 33), (3, 33)]);
    let dam_tag = format!("{}{:02}", dam_birth.year() % 10, 10 + number);
    let mut calf = Calf::born(String::new(), sex, birth_date, dam_tag);

    let age_of_dam = (birth_date - dam_birth).num_days();
    let birth = 7_600
        + if sex.is_male() { 500 } else { 0 }
        + growth::DAM_AGE_EFFECT_AT_BIRTH[growth::dam_class(age_of_dam)]
        + draws.bell(650);
    let at_205 = 51_000
        + if sex.is_male() { 2_800 } else { 0 }
        + growth::dam_age_effect(age_of_dam, sex.is_male())
        + draws.bell(3_000);
    let weighed = if draws.percent(25) {
        weaned + Days::new(1)
    } else {
        weaned
    };
    calf.birth_weight = if draws.percent(8) {
        None
    } else {
        Some(growth::to_pounds(birth))
    };
    calf.calving_ease = Some(draws.choose_weighted(&[(1, 92), (2, 6), (3, 2)]));
    calf.breed = "Angus x Hereford".to_owned();
    calf.sire = (*draws.choose(&["17D", "41C", "52F"])).to_owned();
    calf.dam_age = Some(i64::from(birth_date.year() - dam_birth.year()));
    calf.wean_date = Some(weaned);
    calf.weigh_date = Some(weighed);
    let age = (weighed - birth_date).num_days();
    calf.wean_weight = Some(growth::weight_at(birth, at_205, age));
    let yearling = day(2026, 3, 20);
    let yearling_age = (yearling - birth_date).num_days();
    calf.yearling_date = Some(yearling);
    calf.yearling_weight = Some(
        growth::weight_at(birth, at_205, age) + (yearling_age - age) * 2 + draws.between(-30, 30),
    );
    calf.note = (*draws.choose(&REMARKS)).to_owned();
    Entry {
        calf,
        dam_birth,
        pen,
        temper: draws.choose_weighted(&[("calm", 2), ("flighty", 1), ("restless", 1)]),
        color: draws.choose_weighted(&[
            ("black", 2),
            ("black baldy", 1),
            ("red", 1),
            ("red baldy", 1),
        ]),
        creep: pen == 2,
    }
}
