//! Two values and what stands between them.
//!
//! Enters: an operator and the values on its sides, single or a column of them. Leaves: values.
//! Always true: the quick way for plain numbers gives what the slow way gives, or nothing.
//! Never: counts a blank as anything but 0 in arithmetic and nothing in text.

use std::borrow::Cow;

use super::cell::{Answer, Cell, finite, nearly_equal};
use super::error_value::ErrorValue;
use super::evaluate::Now;
use super::tree::Operator;
use super::vector::Vector;

/// Two values and what stands between them (6.4).
pub fn combine<'a>(now: &Now, operator: Operator, left: &Cell<'a>, right: &Cell<'a>) -> Answer<'a> {
    if let Some(error) = left.error().or_else(|| right.error()) {
        return Err(error);
    }
    match operator {
        Operator::Join => {
            let (left, right) = (left.text()?, right.text()?);
            now.text([&*left, &*right].concat())
        }
        Operator::Plus | Operator::Minus | Operator::Times | Operator::Divide | Operator::Power => {
            let (left, right) = (left.number()?, right.number()?);
            if operator == Operator::Divide && right == 0.0 {
                return Err(ErrorValue::DivisionByZero);
            }
            finite(arithmetic(operator, left, right))
        }
        _ => {
            let order = left.compare(right)?;
            Ok(Cell::Logical(match operator {
                Operator::Equal => order.is_eq(),
                Operator::NotEqual => order.is_ne(),
                Operator::Less => order.is_lt(),
                Operator::AtMost => order.is_le(),
                Operator::More => order.is_gt(),
                _ => order.is_ge(),
            }))
        }
    }
}

/// Arithmetic on numbers; not finite where it has no answer.
fn arithmetic(operator: Operator, left: f64, right: f64) -> f64 {
    match operator {
        Operator::Plus => left + right,
        Operator::Minus => left - right,
        Operator::Times => left * right,
        Operator::Divide => left / right,
        _ => power(left, right),
    }
}

/// A power; of a negative number to one over an odd whole number, the negative root.
pub fn power(base: f64, exponent: f64) -> f64 {
    let made = libm::pow(base, exponent);
    if made.is_nan() && base < 0.0 {
        let root = (1.0 / exponent).round();
        if nearly_equal(1.0 / root, exponent) && root.rem_euclid(2.0) == 1.0 {
            return -libm::pow(-base, exponent);
        }
    }
    made
}

/// Numbers and nothing else.
enum Plain<'v> {
    One(f64),
    Many(&'v [f64]),
    Made(Vec<f64>),
}

impl<'v> Plain<'v> {
    fn of(vector: &'v Vector<'_>) -> Option<Plain<'v>> {
        match vector {
            Vector::One(Cell::Number(number)) => Some(Plain::One(*number)),
            Vector::Numbers(numbers) => Some(Plain::Many(numbers)),
            Vector::Logicals(logicals) => Some(Plain::Made(
                logicals
                    .iter()
                    .map(|logical| f64::from(u8::from(*logical)))
                    .collect(),
            )),
            _ => None,
        }
    }

    fn many(&self) -> Option<&[f64]> {
        match self {
            Plain::One(_) => None,
            Plain::Many(numbers) => Some(numbers),
            Plain::Made(numbers) => Some(numbers),
        }
    }

    fn one(&self) -> f64 {
        match self {
            Plain::One(number) => *number,
            _ => 0.0,
        }
    }
}

/// The quick way for numbers; `None` when a row has no answer, so that the slow way finds the error.
pub fn plain<'a>(
    operator: Operator,
    left: &Vector<'_>,
    right: &Vector<'_>,
    n_rows: usize,
) -> Option<Vector<'a>> {
    let (left, right) = (&Plain::of(left)?, &Plain::of(right)?);
    // A blank counts as 0.
    let known = |number: f64| if number.is_nan() { 0.0 } else { number };
    fn pairs<T>(
        left: &Plain<'_>,
        right: &Plain<'_>,
        n_rows: usize,
        combine: impl Fn(f64, f64) -> T,
    ) -> Option<Vec<T>> {
        Some(match (left.many(), right.many()) {
            (None, None) => return None,
            (Some(left), None) => {
                let right = right.one();
                left.iter().map(|&left| combine(left, right)).collect()
            }
            (None, Some(right)) => {
                let left = left.one();
                right.iter().map(|&right| combine(left, right)).collect()
            }
            (Some(left), Some(right)) if left.len() == n_rows && right.len() == n_rows => left
                .iter()
                .zip(right)
                .map(|(&left, &right)| combine(left, right))
                .collect(),
            _ => return None,
        })
    }
    macro_rules! numbers {
        ($combine:expr) => {{
            let numbers = pairs(left, right, n_rows, |left, right| {
                $combine(known(left), known(right)) + 0.0
            })?;
            numbers
                .iter()
                .all(|number: &f64| number.is_finite())
                .then(|| Vector::Numbers(Cow::Owned(numbers)))
        }};
    }
    macro_rules! logicals {
        ($combine:expr) => {
            Some(Vector::Logicals(pairs(
                left,
                right,
                n_rows,
                |left, right| $combine(known(left), known(right)),
            )?))
        };
    }
    match operator {
        Operator::Plus => numbers!(|left: f64, right: f64| left + right),
        Operator::Minus => numbers!(|left: f64, right: f64| left - right),
        Operator::Times => numbers!(|left: f64, right: f64| left * right),
        Operator::Divide => numbers!(|left: f64, right: f64| left / right),
        Operator::Power => numbers!(|left: f64, right: f64| power(left, right)),
        Operator::Equal => logicals!(nearly_equal),
        Operator::NotEqual => logicals!(|left, right| !nearly_equal(left, right)),
        Operator::Less => logicals!(|left, right| left < right && !nearly_equal(left, right)),
        Operator::AtMost => logicals!(|left, right| left <= right || nearly_equal(left, right)),
        Operator::More => logicals!(|left, right| left > right && !nearly_equal(left, right)),
        Operator::AtLeast => logicals!(|left, right| left >= right || nearly_equal(left, right)),
        Operator::Join => None,
    }
}
