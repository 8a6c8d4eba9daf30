//! Arithmetic and rounding.
//!
//! Enters: one row's numbers, or a list. Leaves: numbers.
//! Always true: what has no answer is `#NUM!` or `#DIV/0!`; rounding is that of [`super::super::rounding`].
//! Never: takes a function from the platform where platforms differ.

use super::super::cell::{Answer, Cell, finite, nearly_equal};
use super::super::error_value::ErrorValue;
use super::super::evaluate::Now;
use super::super::function::{Function, Gives, Group, Run, function};
use super::super::operators::power as to_power;
use super::super::rounding::{self, Way};
use super::super::sample::Sample;
use super::pairs::sumproduct;
use super::{number, number_or};

/// The group.
pub const GROUP: (Group, &[Function]) = (
    Group {
        key: "math",
        label: "Arithmetic",
    },
    &[
        function!("ABS" ("number" Number) -> Gives::Number, "6.16.2", Run::Rows(abs),
            "The number without its sign.", "ABS(wean_weight-550)"),
        function!("CEILING" ("number" Number, "step" Number optional, "away" Number optional) -> Gives::Number, "6.17.1", Run::Rows(ceiling),
            "Up to the next multiple of a step; with a third argument, away from zero.", "CEILING(wean_weight; 50)"),
        function!("EVEN" ("number" Number) -> Gives::Number, "6.16.30", Run::Rows(even),
            "Away from zero to the next even whole number.", "EVEN(3)"),
        function!("EXP" ("number" Number) -> Gives::Number, "6.16.31", Run::Rows(exp),
            "The number e to a power.", "EXP(1)"),
        function!("FACT" ("number" Number) -> Gives::Number, "6.16.32", Run::Rows(fact),
            "The product of all whole numbers up to one.", "FACT(5)"),
        function!("FLOOR" ("number" Number, "step" Number optional, "towards" Number optional) -> Gives::Number, "6.17.3", Run::Rows(floor),
            "Down to the next multiple of a step; with a third argument, towards zero.", "FLOOR(wean_weight; 50)"),
        function!("INT" ("number" Number) -> Gives::Number, "6.17.2", Run::Rows(int),
            "Down to the next whole number.", "INT(age_days/7)"),
        function!("LN" ("number" Number) -> Gives::Number, "6.16.39", Run::Rows(ln),
            "The natural logarithm.", "LN(wean_weight)"),
        function!("LOG" ("number" Number, "base" Number optional) -> Gives::Number, "6.16.40", Run::Rows(log),
            "The logarithm to a base, 10 unless said.", "LOG(8; 2)"),
        function!("LOG10" ("number" Number) -> Gives::Number, "6.16.41", Run::Rows(log10),
            "The logarithm to base 10.", "LOG10(1000)"),
        function!("MOD" ("number" Number, "divisor" Number) -> Gives::Number, "6.16.42", Run::Rows(modulo),
            "What is left of a division; it has the sign of the divisor.", "MOD(17; 5)"),
        function!("MROUND" ("number" Number, "step" Number) -> Gives::Number, "6.17.4", Run::Rows(mround),
            "To the nearest multiple of a step.", "MROUND(wean_weight; 25)"),
        function!("ODD" ("number" Number) -> Gives::Number, "6.16.44", Run::Rows(odd),
            "Away from zero to the next odd whole number.", "ODD(4)"),
        function!("PI" () -> Gives::Number, "6.16.45", Run::Rows(pi), "The number pi.", "PI()"),
        function!("POWER" ("number" Number, "exponent" Number) -> Gives::Number, "6.16.46", Run::Rows(power),
            "A number to a power.", "POWER(wean_weight; 0.75)"),
        function!("PRODUCT" ("value" List) repeats 1 -> Gives::Number, "6.16.47", Run::List(product),
            "The product of numbers.", "PRODUCT(2; 3; 4)"),
        function!("QUOTIENT" ("number" Number, "divisor" Number) -> Gives::Number, "6.16.48", Run::Rows(quotient),
            "The whole part of a division.", "QUOTIENT(age_days; 21)"),
        function!("ROUND" ("number" Number, "digits" Number optional) -> Gives::Number, "6.17.5", Run::Rows(round),
            "To the nearest number with so many decimals; halves go away from zero.", "ROUND(wean_weight/2.2046; 1)"),
        function!("ROUNDDOWN" ("number" Number, "digits" Number optional) -> Gives::Number, "6.17.6", Run::Rows(round_down),
            "Towards zero to so many decimals.", "ROUNDDOWN(gain; 1)"),
        function!("ROUNDUP" ("number" Number, "digits" Number optional) -> Gives::Number, "6.17.7", Run::Rows(round_up),
            "Away from zero to so many decimals.", "ROUNDUP(gain; 1)"),
        function!("SIGN" ("number" Number) -> Gives::Number, "6.16.54", Run::Rows(sign),
            "1 for a number above zero, -1 below, 0 for zero.", "SIGN(gain)"),
        function!("SQRT" ("number" Number) -> Gives::Number, "6.16.58", Run::Rows(sqrt),
            "The square root.", "SQRT(wean_weight)"),
        function!("SUM" ("value" List) repeats 1 -> Gives::Number, "6.16.61", Run::List(sum),
            "The sum.", "100*wean_weight/SUM(wean_weight)"),
        function!("SUMPRODUCT" ("column" Array) repeats 1 -> Gives::Number, "6.16.64", Run::Arrays(sumproduct),
            "The sum of products, row by row; column keys inside stand for whole columns.", "SUMPRODUCT((sex=\"heifer\")*wean_weight)"),
        function!("SUMSQ" ("value" List) repeats 1 -> Gives::Number, "6.16.65", Run::List(sumsq),
            "The sum of squares.", "SUMSQ(3; 4)"),
        function!("TRUNC" ("number" Number, "digits" Number optional) -> Gives::Number, "6.17.8", Run::Rows(round_down),
            "Cuts off the decimals after so many.", "TRUNC(gain; 1)"),
    ],
);

fn abs<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(number(row, 0)?.abs())
}

/// The multiple of a step on one side; `up` away from minus infinity.
fn to_step<'a>(row: &[Cell<'a>], up: bool) -> Answer<'a> {
    let value = number(row, 0)?;
    let step = number_or(row, 1, if value < 0.0 { -1.0 } else { 1.0 })?;
    if value == 0.0 || step == 0.0 {
        return finite(0.0);
    }
    if (value < 0.0) != (step < 0.0) {
        return Err(ErrorValue::Number);
    }
    let by_size = number_or(row, 2, 0.0)? != 0.0;
    let steps = rounding::near_whole(value / step);
    // Both are positive now: a negative number's steps grow away from zero.
    let grow = if value < 0.0 && !by_size { !up } else { up };
    finite(step * if grow { steps.ceil() } else { steps.floor() })
}

fn ceiling<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    to_step(row, true)
}

fn floor<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    to_step(row, false)
}

fn even<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(2.0 * rounding::whole(number(row, 0)? / 2.0, Way::Away))
}

fn odd<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let value = number(row, 0)?;
    let size = 2.0
        * ((rounding::near_whole(value.abs()) - 1.0) / 2.0)
            .ceil()
            .max(0.0)
        + 1.0;
    finite(if value < 0.0 { -size } else { size })
}

fn exp<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(libm::exp(number(row, 0)?))
}

fn fact<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let value = number(row, 0)?.trunc();
    if !(0.0..=170.0).contains(&value) {
        return Err(ErrorValue::Number);
    }
    finite((1..=value as u32).map(f64::from).product())
}

fn int<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(rounding::near_whole(number(row, 0)?).floor())
}

fn logarithm(value: f64) -> Result<f64, ErrorValue> {
    if value > 0.0 {
        Ok(libm::log(value))
    } else {
        Err(ErrorValue::Number)
    }
}

fn ln<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(logarithm(number(row, 0)?)?)
}

fn log<'a>(now: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let base = number_or(row, 1, 10.0)?;
    if base == 10.0 {
        return log10(now, row);
    }
    let below = logarithm(base)?;
    if below == 0.0 {
        return Err(ErrorValue::DivisionByZero);
    }
    finite(logarithm(number(row, 0)?)? / below)
}

fn log10<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let value = number(row, 0)?;
    logarithm(value)?;
    finite(libm::log10(value))
}

fn modulo<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let (value, divisor) = (number(row, 0)?, number(row, 1)?);
    if divisor == 0.0 {
        return Err(ErrorValue::DivisionByZero);
    }
    let left = value % divisor;
    finite(if left != 0.0 && (left < 0.0) != (divisor < 0.0) {
        left + divisor
    } else {
        left
    })
}

fn mround<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let (value, step) = (number(row, 0)?, number(row, 1)?);
    if step == 0.0 {
        return finite(0.0);
    }
    finite(step * rounding::whole(value / step, Way::Nearest))
}

fn pi<'a>(_: &Now, _: &[Cell<'a>]) -> Answer<'a> {
    finite(std::f64::consts::PI)
}

fn power<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(to_power(number(row, 0)?, number(row, 1)?))
}

fn product(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    Ok(if sample.n() == 0 {
        0.0
    } else {
        sample.numbers().product()
    })
}

fn quotient<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let divisor = number(row, 1)?;
    if divisor == 0.0 {
        return Err(ErrorValue::DivisionByZero);
    }
    finite(rounding::whole(number(row, 0)? / divisor, Way::Towards))
}

fn round<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(rounding::round(
        number(row, 0)?,
        number(row, 1)?.trunc(),
        Way::Nearest,
    ))
}

fn round_down<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(rounding::round(
        number(row, 0)?,
        number(row, 1)?.trunc(),
        Way::Towards,
    ))
}

fn round_up<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    finite(rounding::round(
        number(row, 0)?,
        number(row, 1)?.trunc(),
        Way::Away,
    ))
}

fn sign<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let value = number(row, 0)?;
    finite(if nearly_equal(value, 0.0) {
        0.0
    } else {
        value.signum()
    })
}

fn sqrt<'a>(_: &Now, row: &[Cell<'a>]) -> Answer<'a> {
    let value = number(row, 0)?;
    if value < 0.0 {
        return Err(ErrorValue::Number);
    }
    finite(value.sqrt())
}

fn sum(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    Ok(sample.sum())
}

fn sumsq(sample: &Sample<'_>) -> Result<f64, ErrorValue> {
    Ok(sample.numbers().map(|number| number * number).sum())
}
