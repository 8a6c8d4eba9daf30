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
use crate::adjust::marks::Marks;

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
    replication(&mut cautions, words, fitted, levels, pairs);
    tangled_animals(&mut cautions, words, fitted);
    birth_weights_stood_in(&mut cautions, rows, chosen, fitted, words.measure_key());
    weigh_days(&mut cautions, rows, chosen, levels);
    no_overlap(&mut cautions, words, levels, balance);
    unheld(&mut cautions, fitted, balance);
    if pairs.len() > 1 && fitted.facts.several == "unadjusted" {
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
fn replication(
    cautions: &mut Vec<String>,
    words: &Words,
    fitted: &Fitted,
    levels: &[Level],
    pairs: &[Pair],
) {
    let scope = &fitted.scope;
    let beyond = pairs.iter().any(|pair| pair.such.is_some());
    if words.key() == "place" {
        cautions.push(if beyond {
            "Each place is there once, so the difference is one between these places. Over the seasons it can be judged for seasons like these, not for places like these."
        } else {
            "Each place is there once: the difference holds for these calves in these places this time, and is no proof about such places in general."
        }.to_owned());
        return;
    }
    if !scope.between_places {
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
    let what = if scope.model_counts_places {
        "The model counts each place as one draw, so its interval speaks of such places and is wide where they are few."
    } else if beyond {
        "The first interval speaks of these calves in these places; only the one judged by places or seasons speaks of such places in general."
    } else {
        "The interval speaks of these calves in these places, not of such places in general."
    };
    cautions.push(format!(
        "Every place has one {} only ({}), so this is a difference between places. {what}",
        words.label(),
        list(&counts),
    ));
}

/// Bulls, or cows, that go with the level: their part of the difference cannot be taken out.
fn tangled_animals(cautions: &mut Vec<String>, words: &Words, fitted: &Fitted) {
    let each_its_own = fitted
        .facts
        .random
        .iter()
        .any(|effect| effect.key == "sire" && effect.because == super::mixed::TOLD_APART);
    if each_its_own {
        cautions.push(format!(
            "Each {} has its own bulls, so what the bulls do is part of the difference.",
            words.label()
        ));
    }
}

/// Gains counted from a birth weight that nobody took.
fn birth_weights_stood_in(
    cautions: &mut Vec<String>,
    rows: &Rows,
    chosen: &Chosen,
    fitted: &Fitted,
    measure: &str,
) {
    if measure != "gain" {
        return;
    }
    let n = chosen
        .all_used(rows)
        .filter(|&row| rows.adjusted.marks[row].has(Marks::STANDARD_BIRTH_WEIGHT))
        .count();
    if n > 0 {
        cautions.push(format!(
            "{n} of the {} calves used {} not weighed at birth; there the gain is counted from the standard birth weight.",
            fitted.n_used(),
            if n == 1 { "was" } else { "were" },
        ));
    }
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
    let mut held = fitted.held_words();
    held.extend(
        fitted
            .facts
            .random
            .iter()
            .filter(|effect| effect.used)
            .map(|effect| effect.words.clone()),
    );
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
