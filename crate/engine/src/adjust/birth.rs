//! Birth weights.
//!
//! Enters: the weight as recorded, the sex, the class of the birth dam. Leaves: the weight that stands in
//! the formulas, and the adjusted birth weight, lb.
//! Always true: a standard weight is marked, and never becomes an adjusted birth weight.
//! Never: takes zero or less for a weight.

use super::marks::Marks;
use crate::sheet::codes::{BULL, HEIFER, MALE, STEER};
use crate::sheet::settings::Settings;
use crate::trade::plausible::BIRTH_WEIGHT_LB;

/// The calf's own birth weight, lb; NaN when it was not weighed.
pub fn own(settings: &Settings, recorded: f64) -> f64 {
    if recorded > 0.0 && recorded.is_finite() {
        settings.weight_unit.to_pounds(recorded)
    } else {
        f64::NAN
    }
}

/// Birth weight in the formulas, lb, with its marks. NaN when there is none and the sex is not known.
pub fn used(settings: &Settings, recorded: f64, sex: u8) -> (f64, Marks) {
    let own = own(settings, recorded);
    if !own.is_nan() {
        let marks = if BIRTH_WEIGHT_LB.holds(own) {
            Marks::NONE
        } else {
            Marks::IMPLAUSIBLE_WEIGHT
        };
        return (own, marks);
    }
    let mut marks = Marks::STANDARD_BIRTH_WEIGHT;
    if !recorded.is_nan() {
        marks.set(Marks::IMPLAUSIBLE_WEIGHT);
    }
    match sex {
        BULL | STEER | MALE => (settings.standard_birth_weight_male_lb, marks),
        HEIFER => (settings.standard_birth_weight_female_lb, marks),
        _ => (f64::NAN, Marks::NONE),
    }
}

/// Adjusted birth weight, lb: own weight plus the factor of the birth dam's class (none when unknown).
pub fn adjusted(settings: &Settings, recorded: f64, dam_class: u8) -> f64 {
    let factor = settings
        .factors
        .classes
        .get(usize::from(dam_class))
        .map_or(0.0, |class| class.birth_lb);
    own(settings, recorded) + factor
}
