//! What engines answer.
//!
//! - Enters: lines of JSON.
//! - Leaves: milliseconds, their median, and whether two engines came to the same ratios and ranks.
//! - Always true: sums of a million ratios may differ in the order in which they were added, and in no more.
//! - Never: compares a figure that one side does not give.

use anyhow::{Context, Result, bail};
use serde_json::Value;

/// Sums of a million doubles added in another order differ by some 1e-12; this leaves room for no calf.
const RELATIVE_TOLERANCE: f64 = 1e-9;

const FIGURES: [&str; 6] = [
    "n_rows",
    "n_groups",
    "n_ratios",
    "sum_of_ratios",
    "sum_of_squares",
    "sum_of_ranks",
];

/// Fails when an engine's answer is not the expected one.
pub fn agree(who: &str, said: &Value, expected: &Value) -> Result<()> {
    let mut compared = 0;
    for figure in FIGURES {
        let (Some(one), Some(other)) = (said[figure].as_f64(), expected[figure].as_f64()) else {
            continue;
        };
        compared += 1;
        if (one - other).abs() > RELATIVE_TOLERANCE * other.abs() {
            bail!(
                "{who} and Fairpen on this machine do not agree: {figure} is {one} there and {other} here.\n\
                 Times of different work cannot be compared; mend this first."
            );
        }
    }
    // Counts, ratios, their squares, ranks.
    if compared < 4 {
        bail!("{who} gave too few figures to compare: {said}");
    }
    Ok(())
}

/// The time of a run.
pub fn milliseconds(said: &Value) -> Result<f64> {
    said["ms"]
        .as_f64()
        .with_context(|| format!("An engine gave no time: {said}"))
}

/// The middle one; `None` without any.
pub fn median(times: &[f64]) -> Option<f64> {
    let mut times = times.to_vec();
    times.sort_by(f64::total_cmp);
    match times.len() {
        0 => None,
        n if n % 2 == 1 => Some(times[n / 2]),
        n => Some((times[n / 2 - 1] + times[n / 2]) / 2.0),
    }
}

/// The median of the ratios round by round: both halves of a ratio met the same state of the machine.
pub fn median_ratio(ours: &[f64], theirs: &[f64]) -> Option<f64> {
    let ratios: Vec<f64> = ours
        .iter()
        .zip(theirs)
        .map(|(one, other)| one / other)
        .collect();
    median(&ratios)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn the_middle_and_the_ratio_round_by_round() {
        assert_eq!(median(&[]), None);
        assert_eq!(median(&[3.0, 1.0, 2.0]), Some(2.0));
        assert_eq!(median(&[4.0, 1.0, 2.0, 3.0]), Some(2.5));
        assert_eq!(
            median_ratio(&[1.0, 10.0, 3.0], &[2.0, 20.0, 3.0]),
            Some(0.5)
        );
    }

    #[test]
    fn a_ratio_that_differs_is_refused_and_the_order_of_a_sum_is_not() {
        let answer = json!({"n_ratios": 9, "sum_of_ratios": 900.0, "sum_of_squares": 9e4, "sum_of_ranks": 45.0});
        let mut close = answer.clone();
        close["sum_of_ratios"] = json!(900.000_000_000_1);
        assert!(agree("close", &close, &answer).is_ok());
        let mut other = answer.clone();
        other["sum_of_ranks"] = json!(46.0);
        assert!(agree("other", &other, &answer).is_err());
        assert!(agree("silent", &json!({"n_ratios": 9}), &answer).is_err());
    }
}
