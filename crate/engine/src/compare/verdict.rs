//! What was found for a pair: a value, never a text.
//!
//! Enters: a contrast. Leaves: a [`Verdict`].
//! Always true: `Differs` exactly when the contrast can be estimated and its interval excludes zero, decided
//! on values rounded to 1e-6 (lb for weights) so that every machine decides alike.
//! Never: reads a sentence.

use super::model::Contrast;
use super::result::{Level, Verdict};

/// Ends of intervals are compared with zero at this rounding.
const DECIDED_AT: f64 = 1e6;

fn rounded(value: f64) -> f64 {
    (value * DECIDED_AT).round() / DECIDED_AT
}

/// True when an interval lies on one side of zero.
pub(super) fn leaves_out_zero(lower: f64, upper: f64) -> bool {
    rounded(lower) > 0.0 || rounded(upper) < 0.0
}

pub(super) fn verdict(contrast: &Contrast, levels: &[Level], pair: (usize, usize)) -> Verdict {
    let Some(estimate) = contrast.estimate else {
        if contrast.tangled.is_empty() {
            return Verdict::TooFew {
                n_first: levels[pair.0].n,
                n_second: levels[pair.1].n,
            };
        }
        return Verdict::CannotSeparate {
            with: contrast.tangled.clone(),
        };
    };
    let (lower, upper) = (rounded(estimate.lower), rounded(estimate.upper));
    if lower > 0.0 {
        Verdict::Differs {
            heavier: pair.0,
            by: estimate.value,
            lower: estimate.lower,
            upper: estimate.upper,
        }
    } else if upper < 0.0 {
        Verdict::Differs {
            heavier: pair.1,
            by: -estimate.value,
            lower: -estimate.upper,
            upper: -estimate.lower,
        }
    } else {
        Verdict::NotShown {
            lower: estimate.lower,
            upper: estimate.upper,
        }
    }
}
