//! The counts of the five-years book must close.
//!
//! Enters: the herd. Leaves: passed or failed tests. Always true: nothing here is read by the
//! generator. Never: a number that the herd was made to fit.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Datelike, NaiveDate};

use super::{Herd, herd, truth};
use crate::calf::day;

fn cows_on(herd: &Herd, date: NaiveDate) -> usize {
    herd.cows.iter().filter(|cow| cow.on_hand(date)).count()
}

#[test]
fn cows_close_every_calendar_year() {
    let herd = herd();
    for year in truth::FIRST_YEAR + 1..=truth::LAST_YEAR {
        let came = |how: &[&str]| {
            herd.cows
                .iter()
                .filter(|cow| cow.came_on.year() == year && how.contains(&cow.came_as))
                .count()
        };
        let left = |why: &[&str]| {
            herd.cows
                .iter()
                .filter(|cow| {
                    cow.left_on.is_some_and(|on| on.year() == year)
                        && why.contains(&cow.left_because)
                })
                .count()
        };
        let opening = cows_on(&herd, day(year - 1, 12, 31));
        let closing = cows_on(&herd, day(year, 12, 31));
        assert_eq!(
            opening + came(&["raised"]) + came(&["bred", "pair"]),
            closing + left(&["died"]) + left(&["culled", "sold", "sold bred"]),
            "{year}"
        );
        assert!((180..260).contains(&closing), "{year}: {closing}");
    }
}

#[test]
fn about_240_are_exposed_every_summer() {
    let herd = herd();
    let mut exposed: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for row in &herd.exposures {
        exposed.entry(&row[0]).or_default().insert(&row[1]);
    }
    assert_eq!(exposed.len(), 6);
    for (season, cows) in exposed {
        assert!(
            (225..=262).contains(&cows.len()),
            "{season}: {}",
            cows.len()
        );
    }
}

#[test]
fn every_calf_has_a_dam_on_hand_unless_it_came_with_her() {
    let herd = herd();
    let mut came_with_her = 0;
    for born in &herd.calves {
        let calf = &born.calf;
        let on_hand = herd
            .cows
            .iter()
            .any(|cow| cow.tag == calf.dam && cow.on_hand(calf.birth_date));
        if !on_hand {
            came_with_her += 1;
            assert!(
                calf.note.starts_with("came with"),
                "{} {}",
                calf.tag,
                calf.dam
            );
        }
    }
    assert_eq!(came_with_her, 2);
}

#[test]
fn a_tag_is_worn_by_one_living_animal_at_a_time() {
    let herd = herd();
    // (tag, from, to): a heifer that joined wears hers on as a cow.
    let mut worn: Vec<(String, NaiveDate, NaiveDate)> = Vec::new();
    let end = day(2099, 1, 1);
    let joined: BTreeSet<(&str, NaiveDate)> = herd
        .calves
        .iter()
        .filter(|born| born.calf.left_because == "moved to cows")
        .map(|born| (born.calf.tag.as_str(), born.calf.birth_date))
        .collect();
    for cow in &herd.cows {
        worn.push((cow.tag.clone(), cow.birth_date, cow.left_on.unwrap_or(end)));
    }
    for born in &herd.calves {
        let calf = &born.calf;
        if !calf.tag.is_empty() && !joined.contains(&(calf.tag.as_str(), calf.birth_date)) {
            worn.push((
                calf.tag.clone(),
                calf.birth_date,
                calf.left_on.unwrap_or(end),
            ));
        }
    }
    worn.sort();
    let mut reused = 0;
    for pair in worn.windows(2) {
        if pair[0].0 == pair[1].0 {
            assert!(pair[0].2 <= pair[1].1, "{pair:?}");
            reused += 1;
        }
    }
    assert!(reused > 10, "tags are reused after years: {reused}");
}

#[test]
fn a_kept_heifer_is_one_animal() {
    let herd = herd();
    let mut joined = 0;
    for born in herd
        .calves
        .iter()
        .filter(|born| born.calf.left_because == "moved to cows")
    {
        let rows = herd
            .cows
            .iter()
            .filter(|cow| {
                cow.tag == born.calf.tag
                    && cow.birth_date == born.calf.birth_date
                    && Some(cow.came_on) == born.calf.left_on
            })
            .count();
        assert_eq!(rows, 1, "{}", born.calf.tag);
        joined += 1;
    }
    assert!(joined > 100, "{joined}");
}

#[test]
fn nobody_is_bred_or_checked_after_leaving() {
    let herd = herd();
    let on_hand = |tag: &str, text: &str| {
        let date: NaiveDate = text.parse().expect("the generator writes dates");
        herd.cows.iter().any(|cow| {
            cow.tag == tag && cow.came_on <= date && cow.left_on.is_none_or(|left| left >= date)
        })
    };
    for row in &herd.exposures {
        let date = if row[2].is_empty() { &row[5] } else { &row[2] };
        assert!(on_hand(&row[1], date), "{row:?}");
    }
    for row in &herd.checks {
        assert!(on_hand(&row[0], &row[1]), "{row:?}");
    }
}
