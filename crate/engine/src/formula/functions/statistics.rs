//! Describing a list of numbers, and a number's place in it.
//!
//! Enters: lists, or whole columns. Leaves: numbers.
//! Always true: blanks and texts of a column are left out, never zero; a column is put in order once.
//! Never: gives a figure where there are too few numbers for it.

use std::rc::Rc;

use fairpen_stats::distribution::Normal;

use super::super::cell::{Answer, Cell, finite, nearly_equal};
use super::super::error_value::ErrorValue;
use super::super::evaluate::Now;
use super::super::function::{Function, Gives, Group, Run, function};
use super::super::held::Held;
use super::super::rounding;
use super::super::sample::Sample;
use super::pairs::{correl, covar, forecast, intercept, rsq, slope, steyx};
use super::{number, number_or};

/// The group.
pub const GROUP: (Group, &[Function]) = (
    Group {
        key: "statistics",
        label: "Describing a column",
    },
    &[
        function!("AVERAGE" ("value" List) repeats 1 -> Gives::Like(0), "6.18.3", Run::List(average),
            "The mean.", "wean_weight - AVERAGE(wean_weight)"),
        function!("CORREL" ("one" Array, "other" Array) -> Gives::Number, "6.18.17", Run::Arrays(correl),
            "How closely two columns go together, from -1 to 1.", "CORREL(birth_weight; wean_weight)"),
        function!("COVAR" ("one" Array, "other" Array) -> Gives::Number, "6.18.18", Run::Arrays(covar),
            "The mean product of the deviations of two columns.", "COVAR(birth_weight; wean_weight)"),
        function!("DEVSQ" ("value" List) repeats 1 -> Gives::Number, "6.18.20", Run::List(devsq),
            "The sum of squared deviations from the mean.", "DEVSQ(wean_weight)"),
        function!("FORECAST" ("at" Number, "predicted" Array, "from" Array) -> Gives::Number, "6.18.28", Run::Whole(forecast),
            "The value a straight line through two columns gives at a number.", "FORECAST(80; wean_weight; birth_weight)"),
        function!("GEOMEAN" ("value" List) repeats 1 -> Gives::Number, "6.18.34", Run::List(geomean),
            "The geometric mean of numbers above zero.", "GEOMEAN(gain)"),
        function!("HARMEAN" ("value" List) repeats 1 -> Gives::Number, "6.18.36", Run::List(harmean),
            "The harmonic mean of numbers above zero.", "HARMEAN(gain)"),
        function!("INTERCEPT" ("predicted" Array, "from" Array) -> Gives::Number, "6.18.38", Run::Arrays(intercept),
            "Where a straight line through two columns stands at zero.", "INTERCEPT(wean_weight; age_days)"),
        function!("LARGE" ("column" Column, "place" Number) -> Gives::Like(0), "6.18.40", Run::Columns(large),
            "The largest number, the second largest, and so on.", "LARGE(wean_weight; 3)"),
        function!("MAX" ("value" List) repeats 1 -> Gives::Like(0), "6.18.45", Run::List(max),
            "The largest number; 0 when there is none.", "MAX(wean_weight)"),
        function!("MEDIAN" ("value" List) repeats 1 -> Gives::Like(0), "6.18.47", Run::List(median),
            "The middle number.", "MEDIAN(wean_weight)"),
        function!("MIN" ("value" List) repeats 1 -> Gives::Like(0), "6.18.48", Run::List(min),
            "The smallest number; 0 when there is none.", "MIN(birth_date)"),
        function!("MODE" ("value" List) repeats 1 -> Gives::Like(0), "6.18.50", Run::List(mode),
            "The number that stands most often; of several the smallest.", "MODE(dam_age)"),
        function!("NORMSDIST" ("z" Number) -> Gives::Number, "6.18.54 (LEGACY.NORMSDIST)", Run::Rows(normsdist),
            "The share of a standard normal distribution below a number.", "NORMSDIST(1.96)"),
        function!("NORMSINV" ("share" Number) -> Gives::Number, "6.18.55 (LEGACY.NORMSINV)", Run::Rows(normsinv),
            "The number below which a share of a standard normal distribution lies.", "NORMSINV(0.975)"),
        function!("PEARSON" ("one" Array, "other" Array) -> Gives::Number, "6.18.56", Run::Arrays(correl),
            "The same as CORREL.", "PEARSON(birth_weight; wean_weight)"),
        function!("PERCENTILE" ("column" Column, "share" Number) -> Gives::Like(0), "6.18.57", Run::Columns(percentile),
            "The number with a share of the column below it, from 0 to 1.", "PERCENTILE(wean_weight; 0.9)"),
        function!("PERCENTRANK" ("column" Column, "value" Number, "digits" Number optional) -> Gives::Number, "6.18.58", Run::Columns(percentrank),
            "The share of the column below a number, to three digits unless said.", "PERCENTRANK(wean_weight; wean_weight)"),
        function!("QUARTILE" ("column" Column, "quarter" Number) -> Gives::Like(0), "6.18.64", Run::Columns(quartile),
            "The number a quarter, half or three quarters of the column lie below; 0 and 4 are the ends.", "QUARTILE(wean_weight; 1)"),
        function!("RANK" ("value" Number, "column" Column, "upward" Number optional) -> Gives::Number, "6.18.65", Run::Columns(rank),
            "Place in the column, 1 for the largest; with 1 as the last argument, 1 for the smallest.", "RANK(wean_weight; wean_weight)"),
        function!("RSQ" ("predicted" Array, "from" Array) -> Gives::Number, "6.18.66", Run::Arrays(rsq),
            "The share of the variation of one column that a straight line on another accounts for.", "RSQ(wean_weight; birth_weight)"),
        function!("SLOPE" ("predicted" Array, "from" Array) -> Gives::Number, "6.18.69", Run::Arrays(slope),
            "How much one column grows with each unit of another, on a straight line.", "SLOPE(wean_weight; age_days)"),
        function!("SMALL" ("column" Column, "place" Number) -> Gives::Like(0), "6.18.70", Run::Columns(small),
            "The smallest number, the second smallest, and so on.", "SMALL(birth_date; 3)"),
        function!("STANDARDIZE" ("value" Number, "mean" Number, "deviation" Number) -> Gives::Number, "6.18.71", Run::Rows(standardize),
            "How many standard deviations a number lies from a mean.", "STANDARDIZE(ratio; AVERAGE(ratio); STDEV(ratio))"),
        function!("STDEV" ("value" List) repeats 1 -> Gives::Number, "6.18.72", Run::List(stdev),
            "The standard deviation of a sample (over n - 1).", "STDEV(wean_weight)"),
        function!("STDEVP" ("value" List) repeats 1 -> Gives::Number, "6.18.74", Run::List(stdevp),
            "The standard deviation of the numbers themselves (over n).", "STDEVP(wean_weight)"),
        function!("STEYX" ("predicted" Array, "from" Array) -> Gives::Number, "6.18.76", Run::Arrays(steyx),
            "The standard error about a straight line through two columns.", "STEYX(wean_weight; age_days)"),
        function!("VAR" ("value" List) repeats 1 -> Gives::Number, "6.18.82", Run::List(var),
            "The variance of a sample (over n - 1).", "VAR(wean_weight)"),
        function!("VARP" ("value" List) repeats 1 -> Gives::Number, "6.18.84", Run::List(varp),
            "The variance of the numbers themselves (over n).", "VARP(wean_weight)"),
    ],
);

fn average(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    sample.mean()
}

fn devsq(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    Ok(sample.about_mean())
}

fn above_zero(sample: &Sample<'_>) -> Result<(), ErrorValue> {
    match sample.smallest() {
        Some(smallest) if smallest > 0.0 => Ok(()),
        Some(_) => Err(ErrorValue::Number),
        None => Err(ErrorValue::Value),
    }
}

fn geomean(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    above_zero(sample)?;
    let logarithms: f64 = sample.numbers().map(libm::log).sum();
    Ok(libm::exp(logarithms / sample.count()))
}

fn harmean(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    above_zero(sample)?;
    let inverses: f64 = sample.numbers().map(|number| 1.0 / number).sum();
    Ok(sample.count() / inverses)
}

fn max(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    Ok(sample.largest().unwrap_or(0.0))
}

fn min(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    Ok(sample.smallest().unwrap_or(0.0))
}

fn median(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    sample.quantile(0.5)
}

fn mode(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    sample.mode()
}

fn stdev(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    sample.variance(1).map(f64::sqrt)
}

fn stdevp(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    sample.variance(0).map(f64::sqrt)
}

fn var(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    sample.variance(1)
}

fn varp(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    sample.variance(0)
}

/// A place in the order of a column, counted from 1; it must be a whole number the column has.
fn place(sorted: &[f64], row: &[Cell<'_>]) -> Result<usize, ErrorValue> {
    let place = number(row, 0)?;
    if place.fract() != 0.0 {
        return Err(ErrorValue::Number);
    }
    if !(1.0..=sorted.len() as f64).contains(&place) {
        return Err(ErrorValue::Value);
    }
    Ok(place as usize)
}

fn large<'a>(_: &Now, columns: &[Rc<Held<'a>>], row: &[Cell<'a>]) -> Answer<'a> {
    let sorted = columns[0].sorted()?;
    finite(sorted[sorted.len() - place(sorted, row)?])
}

fn small<'a>(_: &Now, columns: &[Rc<Held<'a>>], row: &[Cell<'a>]) -> Answer<'a> {
    let sorted = columns[0].sorted()?;
    finite(sorted[place(sorted, row)? - 1])
}

fn quantile<'a>(sorted: &[f64], share: f64) -> Answer<'a> {
    if !(0.0..=1.0).contains(&share) {
        return Err(ErrorValue::Number);
    }
    let last = sorted.len().checked_sub(1).ok_or(ErrorValue::Value)?;
    let at = last as f64 * share;
    let below = (at.floor() as usize).min(last);
    let above = (below + 1).min(last);
    finite(sorted[below] + (sorted[above] - sorted[below]) * (at - below as f64))
}

fn percentile<'a>(_: &Now, columns: &[Rc<Held<'a>>], row: &[Cell<'a>]) -> Answer<'a> {
    quantile(columns[0].sorted()?, number(row, 0)?)
}

fn quartile<'a>(_: &Now, columns: &[Rc<Held<'a>>], row: &[Cell<'a>]) -> Answer<'a> {
    quantile(columns[0].sorted()?, number(row, 0)?.trunc() / 4.0)
}

/// The numbers of a column nearly equal to one: from, up to.
///
/// Nearly all numbers have no near neighbour, so the plain order is searched and the costlier nearness is asked
/// only at its edges.
fn same(sorted: &[f64], value: f64) -> (usize, usize) {
    let mut from = sorted.partition_point(|other| *other < value);
    if from > 0 && nearly_equal(sorted[from - 1], value) {
        from = sorted[..from].partition_point(|other| !nearly_equal(*other, value));
    }
    let near = |other: &f64| nearly_equal(*other, value);
    // Equal numbers are few, but for columns of few different ones: steps that double find the end of both.
    let rest = &sorted[from..];
    let mut step = 1;
    while step < rest.len() && near(&rest[step]) {
        step *= 2;
    }
    let n = rest[..rest.len().min(step + 1)].partition_point(near);
    (from, from + n)
}

fn rank<'a>(_: &Now, columns: &[Rc<Held<'a>>], row: &[Cell<'a>]) -> Answer<'a> {
    let sorted = columns[0].sorted()?;
    // A blank has no place among the others.
    if row[0] == Cell::Empty {
        return Err(ErrorValue::NotAvailable);
    }
    let (from, to) = same(sorted, row[0].number()?);
    if from == to {
        return Err(ErrorValue::Value);
    }
    let upward = number_or(row, 1, 0.0)? != 0.0;
    finite(1.0 + if upward { from } else { sorted.len() - to } as f64)
}

fn percentrank<'a>(_: &Now, columns: &[Rc<Held<'a>>], row: &[Cell<'a>]) -> Answer<'a> {
    let sorted = columns[0].sorted()?;
    if row[0] == Cell::Empty {
        return Err(ErrorValue::NotAvailable);
    }
    let value = row[0].number()?;
    let digits = number_or(row, 1, 3.0)?.trunc();
    if digits < 1.0 {
        return Err(ErrorValue::Number);
    }
    let (from, to) = same(sorted, value);
    let last = sorted.len().checked_sub(1).ok_or(ErrorValue::Value)?;
    let at = if from < to {
        from as f64
    } else if from == 0 || from > last {
        return Err(ErrorValue::Value);
    } else {
        let (below, above) = (sorted[from - 1], sorted[from]);
        // Equal numbers below share the first of their places.
        let (first, _) = same(sorted, below);
        first as f64 + (from - first) as f64 * (value - below) / (above - below)
    };
    let share = if last == 0 { 1.0 } else { at / last as f64 };
    finite(rounding::significant(share, digits))
}

fn normsdist<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(Normal::cdf(number(row, 0)?))
}

fn normsinv<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(Normal::quantile(number(row, 0)?).map_err(|_| ErrorValue::Value)?)
}

fn standardize<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let deviation = number(row, 2)?;
    if deviation == 0.0 {
        return Err(ErrorValue::DivisionByZero);
    }
    if deviation < 0.0 {
        return Err(ErrorValue::Number);
    }
    finite((number(row, 0)? - number(row, 1)?) / deviation)
}

#[cfg(test)]
mod tests {
    use proptest::strategy::Strategy;

    use super::*;

    proptest::proptest! {
        #[test]
        fn the_same_numbers_are_those_that_are_nearly_equal(
            mut numbers in proptest::collection::vec(
                proptest::prop_oneof![
                    (0..6_u8).prop_map(|n| f64::from(n) / 10.0),
                    (0..6_u8).prop_map(|n| f64::from(n) / 10.0 + 1e-16 * f64::from(n)),
                    -1.0..1.0_f64,
                ],
                0..60,
            ),
            place in 0..60_usize,
        ) {
            numbers.sort_unstable_by(f64::total_cmp);
            let value = numbers.get(place).copied().unwrap_or(0.3);
            let near: Vec<usize> = (0..numbers.len()).filter(|&at| nearly_equal(numbers[at], value)).collect();
            let (from, to) = same(&numbers, value);
            proptest::prop_assert_eq!((from..to).collect::<Vec<usize>>(), near);
        }
    }
}
