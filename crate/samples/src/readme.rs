//! The README of the sample books, with the true effects filled in from the constants that grew them.
//!
//! Enters: the text in `readme.md`, with names in double braces. Leaves: the finished text. Always
//! true: a figure in the README is the figure the generator used. Never: a name left unfilled.

use crate::five_years::truth as five;
use crate::growth::{DAM_AGE_EFFECT, DAM_AGE_EFFECT_AT_BIRTH};
use crate::table::WrittenFile;
use crate::two_barns::truth;

/// The finished README.
pub fn file() -> WrittenFile {
    let mut text = include_str!("readme.md").to_owned();
    for (name, value) in values() {
        text = text.replace(&format!("{{{{{name}}}}}"), &value);
    }
    assert!(!text.contains("{{"), "the README has a name nothing fills");
    WrittenFile {
        path: "README.md".to_owned(),
        bytes: text.into_bytes(),
    }
}

fn values() -> Vec<(&'static str, String)> {
    vec![
        ("two_barns_seed", truth::SEED.to_string()),
        ("two_barns_pen", pounds(truth::PEN_ABOVE_PASTURE)),
        ("two_barns_creep", pounds(truth::CREEP_ABOVE_NONE)),
        ("two_barns_bull", pounds(truth::BULL_ABOVE_HEIFER)),
        ("two_barns_steer", pounds(truth::STEER_ABOVE_HEIFER)),
        ("two_barns_twin", pounds(truth::TWIN)),
        ("two_barns_bottle", pounds(truth::BOTTLE)),
        ("two_barns_sick", pounds(truth::SICK)),
        ("two_barns_base", pounds(truth::BASE_AT_205)),
        ("two_barns_base_birth", pounds(truth::BASE_AT_BIRTH)),
        ("two_barns_male_birth", pounds(truth::MALE_AT_BIRTH)),
        ("two_barns_residual", pounds(truth::RESIDUAL)),
        ("two_barns_residual_birth", pounds(truth::RESIDUAL_AT_BIRTH)),
        ("two_barns_bulls", bulls()),
        ("two_barns_places", places()),
        ("dam_age", dam_age()),
        ("five_years_seed", five::SEED.to_string()),
        ("five_years_goal", five::EXPOSED_GOAL.to_string()),
        ("five_years_base", pounds(five::BASE_AT_205)),
        ("five_years_base_birth", pounds(five::BASE_AT_BIRTH)),
        ("five_years_growth", pounds(five::GROWTH_SPREAD)),
        ("five_years_milk", pounds(five::MILK_SPREAD)),
        ("five_years_permanent", pounds(five::PERMANENT_SPREAD)),
        ("five_years_residual", pounds(five::RESIDUAL)),
        ("five_years_steer", pounds(five::STEER_ABOVE_HEIFER)),
        ("five_years_twin", pounds(five::TWIN)),
        ("five_years_bottle", pounds(five::BOTTLE)),
        ("five_years_birth_spread", pounds(five::BIRTH_SPREAD)),
        ("five_years_residual_birth", pounds(five::RESIDUAL_AT_BIRTH)),
        ("five_years_male_birth", pounds(five::MALE_AT_BIRTH)),
        ("five_years_places", five_years_places()),
        ("five_years_seasons", five_years_seasons()),
    ]
}

fn five_years_places() -> String {
    lines(five::PLACES.iter().map(|(name, kind, creep, effect)| {
        format!("| {name} | {kind} | {creep} | {} |", pounds(*effect))
    }))
}

fn five_years_seasons() -> String {
    lines(
        five::SEASONS
            .iter()
            .map(|(year, effect)| format!("| {year} | {} |", pounds(*effect))),
    )
}

fn bulls() -> String {
    lines(truth::BULLS.iter().map(|(tag, weaning, birth)| {
        format!("| {tag} | {} | {} |", pounds(*weaning), pounds(*birth))
    }))
}

fn places() -> String {
    lines(
        truth::PLACES
            .iter()
            .map(|(name, kind, creep, batch, effect)| {
                let weaned = if *batch == 1 {
                    "2026-09-22"
                } else {
                    "2026-10-13"
                };
                format!(
                    "| {name} | {kind} | {creep} | {weaned} | {} |",
                    pounds(*effect)
                )
            }),
    )
}

fn dam_age() -> String {
    lines(DAM_AGE_EFFECT.iter().zip(DAM_AGE_EFFECT_AT_BIRTH).map(
        |((class, male, female), birth)| {
            format!(
                "| {class} | {} | {} | {} |",
                pounds(*male),
                pounds(*female),
                pounds(birth)
            )
        },
    ))
}

fn lines(lines: impl Iterator<Item = String>) -> String {
    lines.collect::<Vec<_>>().join("\n")
}

/// Hundredths of a pound as pounds, with a sign where below zero and no needless zeros.
pub fn pounds(hundredths: i64) -> String {
    let sign = if hundredths < 0 { "-" } else { "" };
    let size = hundredths.abs();
    match (size / 100, size % 100) {
        (whole, 0) => format!("{sign}{whole}"),
        (whole, part) if part % 10 == 0 => format!("{sign}{whole}.{}", part / 10),
        (whole, part) => format!("{sign}{whole}.{part:02}"),
    }
}
