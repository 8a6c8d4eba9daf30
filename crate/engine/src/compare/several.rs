//! Several pairs judged together.
//!
//! Enters: the pairs' estimates and the method asked for. Leaves: for each pair the interval that decides.
//! Always true: the method is picked by how many levels there are and by what was asked, never by a result.
//! Never: narrows an interval.

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::Estimate;
use fairpen_stats::multiple::{Adjusted, against_one_nearly, holm, tukey_kramer};

use super::choices::Several;

/// Correlations closer than this to products are as good as products.
const EXACT_TO: f64 = 1e-3;

/// The method used, with why it is not the one asked for.
pub(super) struct Judged {
    pub method: &'static str,
    pub because: String,
    /// For each pair the adjusted p and interval; `None` where there is no uncertainty, or nothing is adjusted.
    pub adjusted: Vec<Option<Adjusted>>,
}

/// Judges pairs of `n_levels` levels. `pairs` are (first, second); `estimates` theirs, `None` where there is none.
/// `standard_error` gives that of the difference of any two levels, for how comparisons with one level hang
/// together.
pub(super) fn judge(
    asked: &Several,
    n_levels: usize,
    pairs: &[(usize, usize)],
    estimates: &[Option<Estimate>],
    standard_error: &dyn Fn(usize, usize) -> Option<f64>,
    level: ConfidenceLevel,
) -> Judged {
    let plain = |method, because: &str| Judged {
        method,
        because: because.to_owned(),
        adjusted: vec![None; pairs.len()],
    };
    let n_estimated = estimates.iter().flatten().count();
    let method = match asked {
        Several::Usual if n_levels <= 2 => return plain("unadjusted", ""),
        Several::Usual => &Several::TukeyKramer,
        other => other,
    };
    if n_estimated < 2 && !matches!(method, Several::Unadjusted) {
        return plain("unadjusted", "there is one difference only");
    }
    match method {
        Several::Usual | Several::Unadjusted => plain("unadjusted", ""),
        Several::TukeyKramer => Judged {
            method: "tukey_kramer",
            because: String::new(),
            adjusted: estimates
                .iter()
                .map(|estimate| tukey_kramer(estimate.as_ref()?, n_levels, level))
                .collect(),
        },
        Several::Holm => Judged {
            method: "holm",
            because: String::new(),
            adjusted: by_holm(estimates, level),
        },
        Several::AgainstOne(_) => by_dunnett(pairs, estimates, standard_error, level)
            .unwrap_or_else(|| Judged {
                method: "holm",
                because:
                    "the differences hang together in a way that Dunnett's method does not allow"
                        .to_owned(),
                adjusted: by_holm(estimates, level),
            }),
    }
}

fn by_holm(estimates: &[Option<Estimate>], level: ConfidenceLevel) -> Vec<Option<Adjusted>> {
    let there: Vec<Estimate> = estimates.iter().flatten().copied().collect();
    let mut adjusted = holm(&there, level).into_iter();
    estimates
        .iter()
        .map(|estimate| estimate.and_then(|_| adjusted.next().flatten()))
        .collect()
}

/// With c the level compared with, the covariance of a - c and b - c is half of var(a - c) + var(b - c) -
/// var(a - b).
fn by_dunnett(
    pairs: &[(usize, usize)],
    estimates: &[Option<Estimate>],
    standard_error: &dyn Fn(usize, usize) -> Option<f64>,
    level: ConfidenceLevel,
) -> Option<Judged> {
    let there: Vec<usize> = (0..pairs.len())
        .filter(|&at| estimates[at].is_some_and(|estimate| estimate.uncertainty.is_some()))
        .collect();
    let chosen: Vec<Estimate> = there.iter().filter_map(|&at| estimates[at]).collect();
    let error_of = |at: usize| Some(estimates[at]?.uncertainty?.standard_error);
    let mut correlation = Vec::with_capacity(there.len() * there.len());
    for &one in &there {
        for &other in &there {
            correlation.push(if one == other {
                1.0
            } else {
                let (a, b) = (error_of(one)?, error_of(other)?);
                let between = standard_error(pairs[one].0, pairs[other].0)?;
                ((a * a + b * b - between * between) / (2.0 * a * b)).clamp(-1.0, 1.0)
            });
        }
    }
    let (found, off) = against_one_nearly(&chosen, &correlation, level).ok()?;
    let mut found = found.into_iter();
    let mut adjusted = vec![None; pairs.len()];
    for at in there {
        adjusted[at] = found.next().flatten();
    }
    Some(Judged {
        method: "dunnett",
        because: if off > EXACT_TO {
            format!("with the correlations taken as products, off by at most {off:.2}")
        } else {
            String::new()
        },
        adjusted,
    })
}
