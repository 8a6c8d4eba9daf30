//! Could these records have seen it?
//!
//! Enters: the difference of two levels with its interval, and how many calves it rests on. Leaves: the smallest
//! true difference that would show eight times in ten, the chance of having seen one of a given size, and about
//! how many calves, places or seasons that would take.
//! Always true: only the width of the interval counts, never the difference that was found; "to be seen" is what
//! the verdict calls `differs`, so an interval made wider for several pairs is the harder one to leave zero out.
//! Never: looks at the records; reads a found difference as a true one.
//!
//! Method: both tails of the noncentral t beyond the interval's own multiplier ([`fairpen_stats::power`]). For
//! more calves the standard error is taken to fall with the root of their number and the degrees of freedom to
//! grow with it: so it is when the further calves are shared out between the groups, sexes, dam ages and birth
//! dates as these are.

use fairpen_stats::distribution::{ConfidenceLevel, StudentT};
use fairpen_stats::power::{chance_of_seeing, seen_with_chance};

use super::result::{Estimate, Level, Pair, RepeatBy};
use super::words::Words;
use crate::sheet::settings::WeightUnit;

/// "Could have seen it" means this often.
pub const OFTEN: f64 = 0.8;

/// More than this is no plan for a herd.
const MOST_NEEDED: u32 = 1_000_000;

/// What one pair of levels could have shown. Differences in lb.
#[derive(Clone, Debug, PartialEq)]
pub struct CouldSee {
    /// Position of the first level.
    pub first: usize,
    /// Position of the second level.
    pub second: usize,
    /// What the interval rests on, in the plural: `calves`; or `places` or `seasons`, for what may be said of such.
    pub units: &'static str,
    /// How many of them both levels have.
    pub n: u32,
    /// The difference whose interval it is; `None` where there is none.
    pub difference: Option<Estimate>,
    /// The smallest true difference that would have shown with [`OFTEN`]; `None` without an interval.
    pub smallest: Option<f64>,
    /// The usual differences asked about.
    pub at: Vec<Seen>,
    /// In plain words.
    pub sentence: String,
}

/// A difference asked about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// The true difference, lb.
    pub difference: f64,
    /// The chance that records like these show it, 0 to 1.
    pub chance: f64,
    /// About how many calves in all it takes to show it with [`OFTEN`]; `None` above a million.
    pub needed: Option<u32>,
}

/// The differences that are listed without being asked, lb: round figures of the book's unit.
pub fn usual_differences(unit: WeightUnit) -> [f64; 3] {
    match unit {
        WeightUnit::Pound => [10.0, 20.0, 40.0],
        WeightUnit::Kilogram => [5.0, 10.0, 20.0].map(|kilograms| unit.to_pounds(kilograms)),
    }
}

/// What the records could have shown, for every pair: by its own interval, and where places or seasons can be
/// counted by the interval that speaks of such places.
pub(super) fn could_see(
    pairs: &[Pair],
    levels: &[Level],
    words: &Words,
    unit: WeightUnit,
    confidence: f64,
) -> Vec<CouldSee> {
    let one = |pair: &Pair, difference: Option<Estimate>, units: &'static str, n: u32| {
        let smallest = difference.as_ref().and_then(smallest);
        // Ten, twenty and forty mean something for weights only.
        let listed = difference.filter(|_| words.of_weights());
        let at = listed.map_or_else(Vec::new, |estimate| {
            usual_differences(unit)
                .iter()
                .filter_map(|&difference| seen(&estimate, n, difference, confidence))
                .collect()
        });
        let records = match units {
            "calves" => "Records like these show".to_owned(),
            _ => format!("Of such places in general, {n} {units} like these show"),
        };
        CouldSee {
            first: pair.first,
            second: pair.second,
            units,
            n,
            difference,
            smallest,
            at,
            sentence: smallest.map_or_else(
                || {
                    "Without an interval there is no telling what these records could have shown."
                        .to_owned()
                },
                |smallest| {
                    format!(
                        "{records} a true difference of {} about eight times in ten; a smaller one is likelier to be missed.",
                        words.weight(smallest)
                    )
                },
            ),
        }
    };
    let mut found = Vec::with_capacity(pairs.len());
    for pair in pairs {
        let n = levels[pair.first].n + levels[pair.second].n;
        found.push(one(pair, pair.difference, "calves", n));
        if let Some(such) = &pair.such {
            let (units, n) = match such.by {
                RepeatBy::Places => ("places", such.n_first + such.n_second),
                RepeatBy::WithinPlaces => ("places", such.n_first),
                RepeatBy::Seasons => ("seasons", such.n_first),
            };
            found.push(one(pair, Some(such.difference), units, n));
        }
    }
    found
}

/// The smallest true difference, lb, that would have shown with [`OFTEN`].
fn smallest(estimate: &Estimate) -> Option<f64> {
    let critical = multiplier(estimate)?;
    let standard_errors = seen_with_chance(OFTEN, estimate.df, critical).ok()?;
    Some(standard_errors * estimate.se)
}

/// The chance of having seen a true difference (lb), and the calves it would take, for a difference estimated
/// from `n` calves at a confidence. `None` when there is no interval to judge by.
pub fn seen(estimate: &Estimate, n: u32, difference: f64, confidence: f64) -> Option<Seen> {
    let critical = multiplier(estimate)?;
    let size = difference.abs();
    if !size.is_finite() {
        return None;
    }
    let chance = chance_of_seeing(size / estimate.se, estimate.df, critical).ok()?;
    Some(Seen {
        difference: size,
        chance,
        needed: needed(estimate, n, size, critical, confidence),
    })
}

/// Half the width of the interval in standard errors.
fn multiplier(estimate: &Estimate) -> Option<f64> {
    let critical = (estimate.upper - estimate.lower) / (2.0 * estimate.se);
    (estimate.se > 0.0 && critical.is_finite()).then_some(critical)
}

fn needed(estimate: &Estimate, n: u32, size: f64, critical: f64, confidence: f64) -> Option<u32> {
    let level = ConfidenceLevel::new(confidence).ok()?;
    let own = StudentT::new(estimate.df).ok()?.two_sided_quantile(level);
    let enough = |wanted: u32| {
        let times = f64::from(wanted) / f64::from(n);
        let df = estimate.df * times;
        let Ok(student) = StudentT::new(df) else {
            return false;
        };
        // Where the interval is wider than t alone makes it, it stays so in proportion.
        let wider = critical * student.two_sided_quantile(level) / own;
        chance_of_seeing(size * times.sqrt() / estimate.se, df, wider)
            .is_ok_and(|chance| chance >= OFTEN)
    };
    // Two calves in each group at least: with fewer there is no spread to judge by.
    let (mut low, mut high) = (3_u32, 4_u32.max(n));
    if n == 0 || size == 0.0 {
        return None;
    }
    while !enough(high) {
        if high >= MOST_NEEDED {
            return None;
        }
        low = high;
        high = high.saturating_mul(2).min(MOST_NEEDED);
    }
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if enough(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}
