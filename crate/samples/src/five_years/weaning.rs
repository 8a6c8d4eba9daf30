//! Fall: weaning weights, heifers that stay, calves that are sold; and next May, heifers that join.
//!
//! Enters: the calves of one spring, and draws. Leaves: their finished rows, and new cows. Always
//! true: a heifer that joins the cows is one animal, with one tag, electronic tag and birth date in
//! both sheets. Never: a weight for a calf that did not reach the scale.

use chrono::{Datelike, Days};

use super::Herd;
use super::animals::{Born, Cow};
use super::truth;
use crate::calf::{Sex, day};
use crate::draw::Draws;
use crate::growth;

/// Weans the calves of `year`.
pub fn fall(herd: &mut Herd, year: i32, draws: &mut Draws) {
    // The dry year was weaned two weeks early.
    let early = if year == 2024 { 14 } else { 0 };
    let first = day(year, 9, 30) - Days::new(early);
    let second = day(year, 10, 20) - Days::new(early);
    for position in 0..herd.calves.len() {
        let calf = &herd.calves[position].calf;
        if calf.birth_date.year() != year || calf.left_on.is_some() {
            continue;
        }
        let first_batch =
            ["Pen 1", "North pasture", "Ridge pasture"].contains(&calf.place.as_str());
        let old_enough = (first - calf.birth_date).num_days() >= 160;
        let weaned = if first_batch && old_enough {
            first
        } else {
            second
        };
        let weight = weight(
            herd,
            &herd.calves[position],
            (weaned - calf.birth_date).num_days(),
            draws,
        );
        let calf = &mut herd.calves[position].calf;
        calf.wean_date = Some(weaned);
        calf.wean_weight = Some(weight);
    }
}

fn weight(herd: &Herd, born: &Born, age_days: i64, draws: &mut Draws) -> i64 {
    let calf = &born.calf;
    let place = truth::PLACES
        .iter()
        .find(|place| place.0 == calf.place)
        .expect("every calf stands in a place of the book");
    let season = truth::SEASONS
        .iter()
        .find(|season| season.0 == calf.birth_date.year())
        .expect("every calf is born in a season of the book");
    let from_cow = born.raiser.map_or(truth::BOTTLE, |position| {
        let cow = &herd.cows[position];
        let days = (calf.birth_date - cow.birth_date).num_days();
        growth::dam_age_effect(days, calf.sex.is_male()) + cow.genes.milk + cow.permanent
    });
    let at_205 = truth::BASE_AT_205
        + if calf.sex == Sex::Steer {
            truth::STEER_ABOVE_HEIFER
        } else {
            0
        }
        + if calf.born_as == "twin" {
            truth::TWIN
        } else {
            0
        }
        + from_cow
        + born.genes.growth
        + place.3
        + season.1
        + draws.bell(truth::RESIDUAL);
    growth::weight_at(born.birth, at_205, age_days)
}

/// Chooses the heifers that stay, sells the rest of the calves of `year`.
pub fn keep_and_sell(herd: &mut Herd, year: i32, draws: &mut Draws) {
    let cows = herd
        .cows
        .iter()
        .filter(|cow| cow.on_hand(day(year, 12, 31)))
        .count();
    // Three more than are needed: some are sold in spring.
    let wanted = (truth::EXPOSED_GOAL + 3).saturating_sub(cows);
    let mut candidates: Vec<(i64, usize)> = herd
        .calves
        .iter()
        .enumerate()
        .filter(|(_, born)| {
            let calf = &born.calf;
            calf.birth_date.year() == year
                && calf.sex == Sex::Heifer
                && calf.left_on.is_none()
                && calf.born_as == "single"
                && calf.raised_by == "own dam"
                && calf.birth_date < day(year, 4, 25)
        })
        .filter_map(|(position, born)| {
            let age = (born.calf.weighed_on()? - born.calf.birth_date).num_days();
            Some((born.calf.wean_weight? * 1_000 / age, position))
        })
        .collect();
    // Heaviest for their age first; equal ones in order of birth.
    candidates.sort_by_key(|(gain, position)| (-gain, *position));
    for (_, position) in candidates.iter().take(wanted) {
        herd.calves[*position].kept = true;
    }
    for born in herd
        .calves
        .iter_mut()
        .filter(|born| born.calf.birth_date.year() == year)
    {
        let calf = &mut born.calf;
        if calf.left_on.is_some() {
            continue;
        }
        if !born.kept {
            let on = if calf.sex == Sex::Steer {
                day(year, 11, 12)
            } else {
                day(year, 11, 19)
            };
            calf.left_on = Some(on);
            calf.left_because = "sold";
        } else if year < truth::LAST_YEAR {
            let yearling = day(year + 1, 3, 24);
            let days =
                (yearling - calf.weighed_on().expect("kept heifers were weighed")).num_days();
            let gain = 120 + draws.bell(15);
            let weight = calf.wean_weight.expect("kept heifers were weighed") + days * gain / 100;
            calf.yearling_date = Some(yearling);
            calf.yearling_weight = Some(weight);
            if draws.percent(5) {
                calf.left_on = Some(day(year + 1, 4, 14));
                calf.left_because = "sold";
                calf.note = "pelvis too small".to_owned();
            }
        }
    }
}

/// In May of `year` the heifers of the year before join the cows.
pub fn join(herd: &mut Herd, year: i32, draws: &mut Draws) {
    let on = day(year, 5, 20);
    let mut joining = Vec::new();
    for born in &mut herd.calves {
        let calf = &mut born.calf;
        if born.kept && calf.birth_date.year() == year - 1 && calf.left_on.is_none() {
            calf.left_on = Some(on);
            calf.left_because = "moved to cows";
            joining.push(Cow {
                tag: calf.tag.clone(),
                eid: calf.eid.clone(),
                birth_date: calf.birth_date,
                only_year: false,
                sire: calf.sire.clone(),
                dam: calf.dam.clone(),
                true_sire: born.true_sire,
                came_on: on,
                came_as: "raised",
                left_on: None,
                left_because: "",
                note: "",
                genes: born.genes,
                permanent: draws.bell(truth::PERMANENT_SPREAD),
                calved: None,
                carries: None,
            });
        }
    }
    herd.cows.extend(joining);
}
