//! Summer and fall: breeding groups, insemination, pregnancy checks, culling.
//!
//! Enters: the herd in one year, and draws. Leaves: rows of exposures and checks, pregnancies, cows
//! that left. Always true: only females on hand are exposed or checked; no female stands with her
//! own sire. Never: a calf.

use chrono::{Datelike, Days, NaiveDate};

use super::Herd;
use super::animals::Pregnancy;
use super::truth;
use crate::calf::day;
use crate::draw::Draws;

/// Breeding groups: 0 is the heifers (inseminated, then two bulls), 1 and 2 have one bull each, 3 and
/// 4 have two.
const GROUP_SHARES: [(usize, u32); 4] = [(1, 30), (2, 30), (3, 60), (4, 60)];

/// Bulls that stand with a group in a summer, by position, without the AI bull.
pub fn group_bulls(group: usize, year: i32) -> Vec<usize> {
    in_use(group, year, "natural")
}

fn in_use(group: usize, year: i32, service: &str) -> Vec<usize> {
    truth::BULLS
        .iter()
        .enumerate()
        .filter(|(_, bull)| {
            bull.6 == group && bull.3 == service && (bull.4..=bull.5).contains(&year)
        })
        .map(|(position, _)| position)
        .collect()
}

/// The summer of `year`: every female on hand is exposed.
pub fn summer(herd: &mut Herd, year: i32, draws: &mut Draws) {
    let season = format!("{} spring", year + 1);
    for position in 0..herd.cows.len() {
        let cow = &herd.cows[position];
        if !cow.on_hand(day(year, 6, 1)) {
            continue;
        }
        let heifer = cow.birth_date.year() == year - 1;
        let group = if heifer {
            0
        } else {
            let mut group = draws.choose_weighted(&GROUP_SHARES);
            while cow
                .true_sire
                .is_some_and(|sire| group_bulls(group, year).contains(&sire))
            {
                group = draws.choose_weighted(&GROUP_SHARES);
            }
            group
        };
        // Heifers' own sires served older cows, so only the mature groups need the check above.
        let bulls = group_bulls(group, year);
        let names = bull_list(&bulls);
        let tag = cow.tag.clone();
        let ready = cow.calved.map(|date| date + Days::new(50));
        let mut pregnancy = None;
        let (from, to) = if heifer {
            let on = day(year, 5, 24);
            let bull = in_use(0, year, "ai")[0];
            let clean = cow.true_sire != Some(bull);
            if clean {
                herd.exposures.push(vec![
                    season.clone(),
                    tag.clone(),
                    String::new(),
                    String::new(),
                    truth::BULLS[bull].0.to_owned(),
                    on.to_string(),
                    String::new(),
                ]);
                if draws.percent(54) {
                    pregnancy = Some(Pregnancy {
                        conceived: on,
                        bull: Some(bull),
                        by_insemination: true,
                    });
                }
            }
            (day(year, 6, 3), day(year, 7, 20))
        } else {
            (day(year, 6, 4), day(year, 8, 8))
        };
        herd.exposures.push(vec![
            season.clone(),
            tag,
            from.to_string(),
            to.to_string(),
            names,
            String::new(),
            String::new(),
        ]);
        let mut heat = from.max(ready.unwrap_or(from)) + Days::new(u64::from(draws.below(21)));
        while pregnancy.is_none() && heat < to {
            if draws.percent(58) {
                let bull = *draws.choose(&bulls);
                pregnancy = Some(Pregnancy {
                    conceived: heat,
                    bull: Some(bull),
                    by_insemination: false,
                });
            }
            heat = heat + Days::new(21);
        }
        herd.cows[position].carries = pregnancy;
        // About one cow in a hundred dies between breeding and the check.
        if draws.below(1000) < 8 {
            let on = day(year, 8, 12) + Days::new(u64::from(draws.below(50)));
            lose_calf_at_foot(herd, position, on);
            herd.cows[position].leave(on, "died");
        }
    }
}

/// A cow that dies in summer leaves a calf that is old enough to go on without her; the row says so.
fn lose_calf_at_foot(herd: &mut Herd, position: usize, on: NaiveDate) {
    for born in herd.calves.iter_mut().filter(|born| {
        born.raiser == Some(position)
            && born.calf.left_on.is_none()
            && born.calf.wean_date.is_none()
    }) {
        born.calf.note = format!("dam died {on}; stayed with the group");
    }
}

/// The tags of `bulls` as one cell.
pub fn bull_list(bulls: &[usize]) -> String {
    bulls
        .iter()
        .map(|position| truth::BULLS[*position].0)
        .collect::<Vec<_>>()
        .join(";")
}

/// The fall of `year`: pregnancy checks, then the cows that leave.
pub fn fall(herd: &mut Herd, year: i32, draws: &mut Draws) {
    let checked = day(year, 10, 28);
    let leaving = day(year, 11, 5);
    let mut missed = 0;
    for position in 0..herd.cows.len() {
        let cow = &mut herd.cows[position];
        if !cow.on_hand(checked) {
            continue;
        }
        // One cow a year is not found on the day of the check.
        if missed == 0 && draws.below(100) < 2 {
            missed += 1;
            continue;
        }
        let days = cow
            .carries
            .map(|carried| (checked - carried.conceived).num_days());
        // Early pregnancies are not sure by hand: looked at again three weeks later.
        let again = days.filter(|days| *days < 85 && draws.percent(30));
        let (result, read) = match days {
            Some(_) if again.is_some() => ("recheck", String::new()),
            Some(days) => ("bred", stage(days + draws.bell(5))),
            None => ("open", String::new()),
        };
        herd.checks.push(check_row(&cow.tag, checked, result, read));
        let age = year + 1 - cow.birth_date.year();
        let open = cow.carries.is_none();
        if open && !(age <= 3 && draws.percent(8)) {
            cow.leave(leaving, "culled");
            cow.note = "open";
        } else if age >= 14 || (age >= 12 && draws.percent(40)) {
            cow.leave(leaving, "culled");
            cow.note = "old";
        } else if draws.percent(3) {
            cow.leave(leaving, "culled");
            cow.note = draws.choose_weighted(&[("bad udder", 4), ("feet", 4), ("wild", 2)]);
        } else if draws.below(1000) < 15 {
            // Lost between the check and calving, and nobody saw it.
            cow.carries = None;
        }
        if let Some(days) = again.filter(|_| cow.left_on.is_none()) {
            let later = checked + Days::new(21);
            herd.checks
                .push(check_row(&cow.tag, later, "bred", stage(days + 21)));
        }
    }
}

fn stage(days: i64) -> String {
    format!("{} days", (days + 2).div_euclid(5) * 5)
}

fn check_row(tag: &str, date: NaiveDate, result: &str, stage: String) -> Vec<String> {
    vec![
        tag.to_owned(),
        date.to_string(),
        result.to_owned(),
        stage,
        "hand".to_owned(),
        "the vet".to_owned(),
        String::new(),
    ]
}
