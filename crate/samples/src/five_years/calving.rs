//! Spring: births, losses, twins, grafts.
//!
//! Enters: the pregnancies of the herd, and draws. Leaves: calf rows as they stand in June. Always
//! true: a tag is worn by one living animal at a time; a graft goes on a cow that lost her own calf in
//! the ten days before. Never: a weight after birth.

use chrono::{Datelike, Days, NaiveDate};

use super::Herd;
use super::animals::{Born, Genes, Pregnancy, bought};
use super::breeding;
use super::truth;
use crate::calf::{Calf, Sex, day};
use crate::draw::Draws;
use crate::growth;

/// Breed of the whole invented herd.
pub const BREED: &str = "Angus x Hereford";

/// The calving of `year`, by cows that were on hand and carried a calf.
pub fn spring(herd: &mut Herd, year: i32, draws: &mut Draws) {
    let mut births: Vec<(NaiveDate, usize, Pregnancy)> = Vec::new();
    for (position, cow) in herd.cows.iter_mut().enumerate() {
        if let Some(carried) = cow.carries.take() {
            let gestation = u64::try_from(283 + draws.bell(4)).expect("gestation is long");
            births.push((carried.conceived + Days::new(gestation), position, carried));
        }
    }
    births.sort_by_key(|(date, position, _)| (*date, *position));
    let first = herd.calves.len();
    // Cows without a calf, and since when.
    let mut bereft: Vec<(NaiveDate, usize)> = Vec::new();
    for (date, dam, carried) in births {
        let place = place_of(year - herd.cows[dam].birth_date.year(), draws);
        let twins = draws.below(1000) < 14;
        herd.cows[dam].calved = Some(date);
        for second in [false, true] {
            if second && !twins {
                continue;
            }
            let mut born = birth(herd, dam, date, carried, twins, draws);
            born.calf.place = truth::PLACES[place].0.to_owned();
            born.calf.creep = truth::PLACES[place].2;
            losses(herd, &mut born, dam, draws);
            if second {
                raise_second_twin(herd, &mut born, date, &mut bereft, draws);
            } else if born
                .calf
                .left_on
                .is_some_and(|left| (left - date).num_days() <= 2)
                && !twins
            {
                bereft.push((date, dam));
            }
            herd.calves.push(born);
        }
        // A dam that dies calving leaves an orphan.
        if draws.below(1000) < 4 {
            herd.cows[dam].leave(date + Days::new(1), "died");
            herd.cows[dam].note = "calving";
            let orphan = herd.calves.last_mut().expect("she has just calved");
            if orphan.calf.left_on.is_none() {
                orphan.calf.raised_by = "bottle";
                orphan.raiser = None;
            }
        }
    }
    if year == 2025 {
        bought_pairs(herd, draws);
    }
    name(herd, first, year, draws);
}

fn place_of(dam_years: i32, draws: &mut Draws) -> usize {
    let shares: [(usize, u32); 6] = match dam_years {
        ..=2 => [(0, 33), (1, 33), (2, 10), (3, 10), (4, 7), (5, 7)],
        3 => [(0, 18), (1, 18), (2, 18), (3, 18), (4, 14), (5, 14)],
        _ => [(0, 9), (1, 9), (2, 22), (3, 22), (4, 19), (5, 19)],
    };
    draws.choose_weighted(&shares)
}

/// A calf on the day of its birth.
fn birth(
    herd: &Herd,
    dam: usize,
    date: NaiveDate,
    carried: Pregnancy,
    twin: bool,
    draws: &mut Draws,
) -> Born {
    let cow = &herd.cows[dam];
    let sex = if draws.percent(51) {
        Sex::Steer
    } else {
        Sex::Heifer
    };
    let sire_genes = match carried.bull {
        Some(bull) => herd.bulls[bull].genes,
        None => Genes::founder(draws),
    };
    let genes = Genes::child(sire_genes, cow.genes, draws);
    let dam_days = (date - cow.birth_date).num_days();
    let birth = truth::BASE_AT_BIRTH
        + if sex.is_male() {
            truth::MALE_AT_BIRTH
        } else {
            0
        }
        + growth::DAM_AGE_EFFECT_AT_BIRTH[growth::dam_class(dam_days)]
        + if twin { truth::TWIN_AT_BIRTH } else { 0 }
        + genes.birth
        + draws.bell(truth::RESIDUAL_AT_BIRTH);
    let mut calf = Calf::born(String::new(), sex, date, cow.tag.clone());
    calf.birth_weight = Some(growth::to_pounds(birth));
    calf.calving_ease = Some(if dam_days < 1_004 {
        draws.choose_weighted(&[(1, 84), (2, 11), (3, 4), (5, 1)])
    } else {
        draws.choose_weighted(&[(1, 97), (2, 2), (5, 1)])
    });
    calf.breed = BREED.to_owned();
    calf.sire = recorded_sire(carried);
    if twin {
        calf.born_as = "twin";
    }
    Born {
        calf,
        true_sire: carried.bull,
        genes,
        raiser: Some(dam),
        birth,
        kept: false,
    }
}

/// What the book says of the sire: the AI bull, or every bull that stood with the group.
fn recorded_sire(carried: Pregnancy) -> String {
    match carried.bull {
        None => String::new(),
        Some(bull) if carried.by_insemination => truth::BULLS[bull].0.to_owned(),
        Some(bull) => {
            let group = truth::BULLS[bull].6;
            breeding::bull_list(&breeding::group_bulls(group, carried.conceived.year()))
        }
    }
}

/// Calves born dead or lost before weaning.
fn losses(herd: &Herd, born: &mut Born, dam: usize, draws: &mut Draws) {
    let date = born.calf.birth_date;
    let first_calf = (date - herd.cows[dam].birth_date).num_days() < 1_004;
    // In a thousand: dead at birth, then lost in the first two days, by three weeks, by weaning.
    let dead_at_birth = if first_calf { 50 } else { 20 };
    let [first_days, three_weeks, later] = [10, 24, 36].map(|more| dead_at_birth + more);
    let drawn = draws.below(1000);
    let (on, because) = if drawn < dead_at_birth {
        (date, "born dead")
    } else if drawn < first_days {
        (date + Days::new(u64::from(draws.below(2))), "died")
    } else if drawn < three_weeks {
        (date + Days::new(u64::from(2 + draws.below(20))), "died")
    } else if drawn < later {
        (date + Days::new(u64::from(22 + draws.below(120))), "died")
    } else {
        return;
    };
    born.calf.left_on = Some(on);
    born.calf.left_because = because;
}

/// A second twin goes on a cow that lost hers, or on the bottle, or stays.
fn raise_second_twin(
    herd: &Herd,
    born: &mut Born,
    date: NaiveDate,
    bereft: &mut Vec<(NaiveDate, usize)>,
    draws: &mut Draws,
) {
    if born.calf.left_on.is_some() {
        return;
    }
    bereft.retain(|(since, cow)| (date - *since).num_days() <= 10 && herd.cows[*cow].on_hand(date));
    if let Some((_, cow)) = bereft.pop() {
        born.calf.raised_by = "foster";
        born.calf.raised_dam = herd.cows[cow].tag.clone();
        born.raiser = Some(cow);
    } else if draws.percent(40) {
        born.calf.raised_by = "bottle";
        born.raiser = None;
    }
}

/// Two pairs came in April 2025, calves at foot.
fn bought_pairs(herd: &mut Herd, draws: &mut Draws) {
    for (tag, born_on) in [("8311", day(2025, 4, 2)), ("9312", day(2025, 4, 9))] {
        let birth_year = if tag.starts_with('8') { 2018 } else { 2019 };
        let cow = bought(
            tag.to_owned(),
            day(birth_year, 3, 28),
            day(2025, 4, 22),
            "pair",
            draws,
        );
        herd.cows.push(cow);
        let dam = herd.cows.len() - 1;
        let carried = Pregnancy {
            conceived: born_on - Days::new(283),
            bull: None,
            by_insemination: false,
        };
        let mut born = birth(herd, dam, born_on, carried, false, draws);
        herd.cows[dam].calved = Some(born_on);
        born.calf.birth_weight = None;
        born.calf.calving_ease = None;
        born.calf.place = truth::PLACES[4].0.to_owned();
        born.calf.creep = truth::PLACES[4].2;
        born.calf.note = "came with its dam on 2025-04-22".to_owned();
        herd.calves.push(born);
    }
}

/// Hangs tags in order of birth. A number a living cow wears is passed over; a calf that died in its
/// first two days has no tag.
fn name(herd: &mut Herd, first: usize, year: i32, draws: &mut Draws) {
    herd.calves[first..]
        .sort_by(|a, b| (a.calf.birth_date, &a.calf.dam).cmp(&(b.calf.birth_date, &b.calf.dam)));
    let mut number = 0;
    for position in first..herd.calves.len() {
        let calf = &herd.calves[position].calf;
        if calf
            .left_on
            .is_some_and(|left| (left - calf.birth_date).num_days() <= 2)
        {
            continue;
        }
        let born = calf.birth_date;
        let tag = loop {
            number += 1;
            let tag = format!("{}{number:03}", year % 10);
            let worn = herd.cows.iter().any(|cow| {
                cow.tag == tag
                    && cow.birth_date < born
                    && cow.left_on.is_none_or(|left| left > born)
            });
            if !worn {
                break tag;
            }
        };
        let calf = &mut herd.calves[position].calf;
        calf.tag = tag;
        calf.eid = format!("99900000{:03}{number:04}", year % 1000);
        if draws.percent(4) {
            calf.birth_weight = None;
        }
    }
}
