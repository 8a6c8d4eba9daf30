//! The adjusted weaning weight and the gains.
//!
//! Enters: weight, birth weight, age, sex, class of the cow that raised the calf. Leaves: gain per day,
//! weight per day of age, the straight age adjustment and the adjusted 205-day weight, all lb.
//!
//! `adjusted = (weaning weight - birth weight) / age x 205 + birth weight + dam-age factor`, from the Beef
//! Improvement Federation guideline as printed by Michigan State University Extension, "Calculating
//! calf-adjusted weaning weights and herd indexes".
//!
//! Always true: missing in, missing out. Outside the window there is no dam-age factor.
//! Never: rounds.

use crate::sheet::codes::{BULL, HEIFER, MALE, STEER};
use crate::trade::factors::FactorTable;

/// The figures of one calf, lb; NaN where missing.
#[derive(Clone, Copy, Debug)]
pub struct Gains {
    /// Gain per day from birth to weighing.
    pub gain_per_day: f64,
    /// Weight per day of age.
    pub weight_per_day: f64,
}

/// Gains from weights in lb and an age in days; an age under one day gives none.
pub fn gains(wean_weight: f64, birth_weight: f64, age_days: i32) -> Gains {
    if age_days < 1 {
        return Gains {
            gain_per_day: f64::NAN,
            weight_per_day: f64::NAN,
        };
    }
    let age = f64::from(age_days);
    Gains {
        gain_per_day: (wean_weight - birth_weight) / age,
        weight_per_day: wean_weight / age,
    }
}

/// The straight age adjustment, lb: gain per day x standard age + birth weight.
pub fn straight(gain_per_day: f64, birth_weight: f64, standard_age_days: i32) -> f64 {
    gain_per_day * f64::from(standard_age_days) + birth_weight
}

/// The weaning factor of a class for a sex, lb; 0 without a class, NaN without a sex.
pub fn factor(factors: &FactorTable, class: u8, sex: u8) -> f64 {
    let class = factors.classes.get(usize::from(class));
    match sex {
        BULL | STEER | MALE => class.map_or(0.0, |class| class.weaning_male_lb),
        HEIFER => class.map_or(0.0, |class| class.weaning_female_lb),
        _ => f64::NAN,
    }
}
