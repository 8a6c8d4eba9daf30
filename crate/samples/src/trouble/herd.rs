//! The sane rows that troubles are put into.
//!
//! Enters: how many rows. Leaves: the header and the rows as cells. Always true: without a trouble a
//! row draws no note: every cell that could be missed is filled, ages lie in the window, no dam
//! calved twice. Never: a trouble.

use chrono::Days;

use crate::calf::{COLUMNS, Calf, Sex, day};
use crate::draw::Draws;
use crate::growth;

const SEED: u64 = 20_250_310;

/// The header: the known columns, the dam's birth year, a second note column, a column without a name.
pub fn header() -> Vec<String> {
    let mut header: Vec<String> = COLUMNS.iter().map(|name| (*name).to_owned()).collect();
    header.extend([
        "dam_birth_year".to_owned(),
        "note".to_owned(),
        String::new(),
    ]);
    header
}

/// Position of a column in the header (the first of that name).
pub fn position(column: &str) -> usize {
    header()
        .iter()
        .position(|name| name == column)
        .expect("troubles name columns of the header")
}

/// Sane rows.
pub fn calves(count: usize) -> Vec<Vec<String>> {
    let mut draws = Draws::new(SEED, 1);
    (0..count).map(|number| row(number, &mut draws)).collect()
}

fn row(number: usize, draws: &mut Draws) -> Vec<String> {
    // The 14th to the 30th of a month read one way only, so no date here is in doubt by itself.
    let birth_date = day(2025, 3, 14) + Days::new(u64::from(draws.below(17)));
    let sex = draws.choose_weighted(&[(Sex::Heifer, 50), (Sex::Steer, 50)]);
    let dam_age = i64::from(draws.choose_weighted(&[(2, 2), (3, 2), (4, 2), (6, 4)]));
    let mut calf = Calf::born(
        format!("5{:03}", number + 1),
        sex,
        birth_date,
        format!("{}{:03}", (2025 - dam_age) % 10, 201 + number),
    );
    let birth = 7_700 + draws.bell(500);
    let at_205 = 51_000
        + if sex.is_male() { 2_600 } else { 0 }
        + growth::dam_age_effect(dam_age * 36_525 / 100, sex.is_male())
        + draws.bell(2_400);
    let weaned = day(2025, 9, 24);
    let age = (weaned - birth_date).num_days();
    let weaning = growth::weight_at(birth, at_205, age);
    // Weights that end in 0 or 5 are moved by 1 lb, so that this column is not a rounded one.
    let weaning = if weaning % 5 == 0 {
        weaning + 1
    } else {
        weaning
    };
    calf.eid = format!("999000000{:06}", 51_000 + number * 11);
    calf.birth_weight = Some(growth::to_pounds(birth));
    calf.calving_ease = Some(1);
    calf.breed = "Angus x Hereford".to_owned();
    calf.dam_age = Some(dam_age);
    calf.sire = draws
        .choose_weighted(&[("17D", 1), ("41C", 1), ("52F", 1)])
        .to_owned();
    calf.place = draws
        .choose_weighted(&[("Pen 1", 1), ("Hill pasture", 1)])
        .to_owned();
    calf.management = if calf.place == "Pen 1" {
        "bedded pen"
    } else {
        "pasture"
    }
    .to_owned();
    calf.creep = "no";
    calf.wean_date = Some(weaned);
    calf.wean_weight = Some(weaning);
    calf.yearling_date = Some(day(2026, 3, 18));
    let yearling = weaning + 300 + draws.between(-40, 40);
    calf.yearling_weight = Some(if yearling % 5 == 0 {
        yearling + 2
    } else {
        yearling
    });
    let mut cells = calf.cells();
    cells.extend([String::new(), String::new(), String::new()]);
    cells
}
