//! What to mind about a comparison, most important first.
//!
//! Enters: the model, the balance and the verdicts. Leaves: plain sentences.
//! Always true: how far a finding reaches is said every time: these calves, in these places.
//! Never: repeats what the sentence already says.

use crate::note::counted;
use std::collections::BTreeSet;

use super::levels::Chosen;
use super::model::Fitted;
use super::result::{BalanceRow, Level, Pair, Verdict};
use super::rows::Rows;
use super::words::{Words, list};

/// A standardised difference over this is worth naming (0.25: Imbens and Rubin 2015, Causal Inference for
/// Statistics, Social, and Biomedical Sciences, chapter 14; from memory).
pub const LARGE_STANDARDISED_DIFFERENCE: f64 = 0.25;

/// Fewer calves than this in a level and the mean moves a lot with each calf (common practice, no source).
const FEW_CALVES: u32 = 10;

/// More gaps than this are counted, not listed.
const MOST_GAPS: usize = 3;

pub(super) fn cautions(
    words: &Words,
    rows: &Rows,
    chosen: &Chosen,
    fitted: &Fitted,
    levels: &[Level],
    pairs: &[Pair],
    balance: &[BalanceRow],
) -> Vec<String> {
    let mut cautions = Vec::new();
    made_from_the_weight(&mut cautions, words);
    replication(&mut cautions, words, levels);
    weigh_days(&mut cautions, rows, chosen, levels);
    no_overlap(&mut cautions, words, levels, balance);
    unheld(&mut cautions, fitted, balance);
    if pairs.len() > 1 {
        cautions.push(format!(
            "{} pairs are compared, each by itself: about one pair in twenty would look different by chance alone.",
            pairs.len()
        ));
    }
    let few: Vec<String> = levels
        .iter()
        .filter(|level| level.n < FEW_CALVES)
        .map(|level| format!("{} ({})", level.name, level.n))
        .collect();
    if !few.is_empty() {
        cautions.push(format!(
            "Few calves: {}. A mean of so few moves a lot with each calf.",
            list(&few)
        ));
    }
    if pairs
        .iter()
        .any(|pair| matches!(pair.verdict, Verdict::NotShown { .. }))
    {
        cautions.push(
            "Not shown is not the same as equal: look at how wide the interval is.".to_owned(),
        );
    }
    cautions
}

/// Groups that a formula makes from the weights differ in weight by that alone.
fn made_from_the_weight(cautions: &mut Vec<String>, words: &Words) {
    if !words.rests_on().is_empty() {
        cautions.push(format!(
            "The formula of {} uses {}: groups made from the weights differ in weight for that reason alone, whatever was done.",
            words.label(),
            list(words.rests_on()),
        ));
    }
}

/// One pen against one pasture is one comparison, however many calves stand in it.
fn replication(cautions: &mut Vec<String>, words: &Words, levels: &[Level]) {
    if words.key() == "place" {
        cautions.push(
            "Each place is there once: the difference holds for these calves in these places this time, and is no proof about such places in general."
                .to_owned(),
        );
        return;
    }
    let mut seen = BTreeSet::new();
    let constant_within_places = levels
        .iter()
        .flat_map(|level| &level.places)
        .all(|place| seen.insert(place.clone()));
    if !constant_within_places || seen.is_empty() {
        return;
    }
    let counts: Vec<String> = levels
        .iter()
        .filter(|level| !level.places.is_empty())
        .map(|level| {
            let places = counted(level.places.len(), "place");
            format!("{places} for {}", level.name)
        })
        .collect();
    cautions.push(format!(
        "Every place has one {} only ({}), so this is a difference between places. The interval speaks of these calves in these places, not of such places in general.",
        words.label(),
        list(&counts),
    ));
}

/// Weigh days that follow the level cannot be told from it.
fn weigh_days(cautions: &mut Vec<String>, rows: &Rows, chosen: &Chosen, levels: &[Level]) {
    let days: Vec<BTreeSet<i32>> = (0..levels.len())
        .map(|level| {
            chosen
                .used_rows(level)
                .map(|row| rows.calves.weighed_on(row).count())
                .collect()
        })
        .collect();
    let with_calves: Vec<&BTreeSet<i32>> = days.iter().filter(|days| !days.is_empty()).collect();
    let apart = with_calves.len() > 1
        && with_calves.iter().enumerate().all(|(at, one)| {
            with_calves[at + 1..]
                .iter()
                .all(|other| one.is_disjoint(other))
        });
    if apart {
        cautions.push(
            "The groups were weighed on different days. Scale, fill and shrink of the day cannot be separated from the difference."
                .to_owned(),
        );
    }
}

/// A dam-age class, sex or season that stands in some levels only.
fn no_overlap(cautions: &mut Vec<String>, words: &Words, levels: &[Level], balance: &[BalanceRow]) {
    let classes: Vec<&BalanceRow> = balance
        .iter()
        .filter(|row| {
            let trait_of = row.key.split(':').next().unwrap_or("");
            ["dam_age_class", "sex", "season"].contains(&trait_of)
                && trait_of != words.key()
                && !row.key.ends_with(":not recorded")
        })
        .collect();
    let gaps: Vec<String> = levels
        .iter()
        .enumerate()
        .filter_map(|(at, level)| {
            let missing = |of_cows: bool| -> Vec<String> {
                let here = classes.iter().filter(|row| row.values[at] == 0.0);
                here.filter(|row| row.key.starts_with("dam_age_class:") == of_cows)
                    .map(|row| row.words.clone())
                    .collect()
            };
            let calves = words.calves(&level.name);
            let (cows, others) = (missing(true), missing(false));
            let mut parts = Vec::new();
            if !cows.is_empty() {
                parts.push(format!(
                    "none of the {calves} was raised by {}",
                    list(&cows)
                ));
            }
            if !others.is_empty() {
                parts.push(format!("there are no {} among {calves}", list(&others)));
            }
            (!parts.is_empty()).then(|| parts.join(", and "))
        })
        .collect();
    if gaps.is_empty() {
        return;
    }
    let shown = &gaps[..gaps.len().min(MOST_GAPS)];
    let more = match gaps.len() - shown.len() {
        0 => String::new(),
        n => format!("; and gaps in {}", counted(n, "more group")),
    };
    cautions.push(format!(
        "No overlap: {}{more}. There the model leans on the other calves.",
        shown.join("; "),
    ));
}

/// What differs a lot between the levels and is not held equal.
fn unheld(cautions: &mut Vec<String>, fitted: &Fitted, balance: &[BalanceRow]) {
    let held = fitted.held_words();
    for (prefix, term, sentence) in [
        (
            "creep:",
            "creep",
            "Creep feed is not shared out alike and is not held equal, so the difference takes in the creep.",
        ),
        (
            "sire:",
            "sire",
            "The bulls are not shared out alike and are not held equal, so part of the difference may be the bulls.",
        ),
        (
            "breed:",
            "breed",
            "Breeds are not shared out alike and are not held equal, so part of the difference may be the breed.",
        ),
    ] {
        let large = balance.iter().any(|row| {
            row.key.starts_with(prefix)
                && row.standardised_difference > LARGE_STANDARDISED_DIFFERENCE
        });
        if large && !held.iter().any(|words| words == term) {
            cautions.push(sentence.to_owned());
        }
    }
}
