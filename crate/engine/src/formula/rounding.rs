//! Rounding as people expect it of decimal numbers.
//!
//! Enters: numbers. Leaves: numbers.
//! Always true: a number that is a decimal to 15 digits is rounded as that decimal: 2.675 to two places is
//! 2.68, though the nearest double lies below it.
//! Never: gives minus zero.

/// The nearest double may lie a little to one side of the decimal it stands for.
const SLACK: f64 = 1.0 / (1_u64 << 50) as f64;

/// Which way.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// To the nearest, halves away from zero.
    Nearest,
    /// Away from zero.
    Away,
    /// Towards zero.
    Towards,
}

/// A number to `places` decimal places, or to tens, hundreds ... when negative.
pub fn round(number: f64, places: f64, way: Way) -> f64 {
    let places = places.clamp(-400.0, 400.0) as i32;
    // Beyond its own digits there is nothing to round, and below its first digit nothing is left.
    if places > 308 || number == 0.0 || !number.is_finite() {
        return number;
    }
    let power = libm::exp10(f64::from(places.abs()));
    if !power.is_finite() {
        return 0.0;
    }
    let scaled = if places >= 0 {
        number * power
    } else {
        number / power
    };
    if !scaled.is_finite() || scaled.abs() >= 1e15 {
        return number;
    }
    let whole = whole(scaled, way);
    let rounded = if places >= 0 {
        whole / power
    } else {
        whole * power
    };
    rounded + 0.0
}

/// A number to so many digits that count.
pub fn significant(number: f64, digits: f64) -> f64 {
    if number == 0.0 {
        return number;
    }
    let places = digits - 1.0 - libm::log10(number.abs()).floor();
    round(number, places, Way::Nearest)
}

/// A number as a whole one.
pub fn whole(number: f64, way: Way) -> f64 {
    let size = number.abs();
    let rounded = match way {
        Way::Nearest => (size + 0.5 + size * SLACK).floor(),
        Way::Away => near_whole(size).ceil(),
        Way::Towards => near_whole(size).floor(),
    };
    rounded.copysign(number) + 0.0
}

/// The whole number a number stands for when it is one to 15 digits, else the number itself.
pub fn near_whole(number: f64) -> f64 {
    let nearest = number.round();
    if (number - nearest).abs() <= number.abs() * SLACK {
        nearest
    } else {
        number
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_rounded_as_decimals() {
        assert_eq!(round(2.675, 2.0, Way::Nearest), 2.68);
        assert_eq!(round(1.005, 2.0, Way::Nearest), 1.01);
        assert_eq!(round(-2.5, 0.0, Way::Nearest), -3.0);
        assert_eq!(round(574.5, -1.0, Way::Nearest), 570.0);
        assert_eq!(round(0.333, 1.0, Way::Away), 0.4);
        assert_eq!(round(4.35, 2.0, Way::Away), 4.35);
        assert_eq!(round(4.35, 2.0, Way::Towards), 4.35);
        assert_eq!(round(-0.2, 0.0, Way::Nearest).to_bits(), 0.0_f64.to_bits());
        assert_eq!(round(1e300, 20.0, Way::Nearest), 1e300);
        assert_eq!(round(123.0, -400.0, Way::Nearest), 0.0);
    }
}
