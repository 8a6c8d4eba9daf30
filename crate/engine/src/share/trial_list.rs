//! The list of a planned trial as CSV, to print or to load into a phone.
//!
//! Enters: a plan. Leaves: UTF-8 bytes of a CSV file, one line per cow, place by place in order of tag; cows left over
//! come last with an empty place.
//! Always true: every cow of the plan stands in it once; text cells pass
//! [`super::text_safety::guard_formula`]; missing is an empty cell, dates are `2026-03-14`.
//! Never: carries a number that the plan does not hold.

use csv::{Terminator, WriterBuilder};

use super::text_safety::guard_formula;
use crate::trial::{Plan, TrialCow};

/// Columns of [`trial_csv`].
pub const TRIAL_COLUMNS: [&str; 8] = [
    "place",
    "cow",
    "eid",
    "age_class",
    "bulls",
    "expected_calving",
    "expected_from",
    "now_in",
];

/// One line per cow.
pub fn trial_csv(plan: &Plan) -> Vec<u8> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::Any(b'\n'))
        .from_writer(Vec::new());
    let mut line = |cells: &[&str]| {
        let cells: Vec<_> = cells.iter().map(|cell| guard_formula(cell)).collect();
        writer
            .write_record(cells.iter().map(|cell| cell.as_bytes()))
            .expect("memory takes every line, and all lines are as long");
    };
    line(&TRIAL_COLUMNS);
    let mut cow = |place: &str, cow: &TrialCow| {
        line(&[
            place,
            &cow.tag,
            &cow.eid,
            cow.age_class.as_deref().unwrap_or(""),
            cow.service.as_deref().unwrap_or(""),
            &cow.due.map_or_else(String::new, |day| day.iso()),
            match cow.due {
                Some(_) => cow.due_from.words(),
                None => "",
            },
            cow.place.as_deref().unwrap_or(""),
        ]);
    };
    for place in &plan.places {
        for &at in &place.cows {
            cow(&place.name, &plan.cows[at]);
        }
    }
    for &at in &plan.left_over {
        cow("", &plan.cows[at]);
    }
    writer
        .into_inner()
        .expect("memory takes what is left to write")
}
