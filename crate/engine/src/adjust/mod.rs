//! Weights on a common footing.
//!
//! Enters: the calves, cows and settings of a book. Leaves: [`Adjusted`], one entry per calf row.
//! Always true: missing in, missing out; nothing here changes a source column; every assumption made for
//! a calf is one of its [`marks`]. Weights inside are pounds.
//! Never: drops a row.

pub mod marks;

use marks::Marks;

/// The adjusted figures of every calf row. NaN is missing; weights in lb, gains in lb per day.
#[derive(Clone, Debug, Default)]
pub struct Adjusted {
    /// Age of the dam that counts for the birth factor, days at calving; `i32::MIN` unknown.
    pub dam_age_days: Vec<i32>,
    /// Her class in `settings.factors.classes`; `u8::MAX` none.
    pub dam_age_class: Vec<u8>,
    /// Class of the cow that raised the calf, which the weaning factor uses; `u8::MAX` none.
    pub raising_class: Vec<u8>,
    /// Age at weighing, days; `i32::MIN` unknown.
    pub age_days: Vec<i32>,
    /// Birth weight in the formula: the calf's own or the stated standard.
    pub birth_weight_used: Vec<f64>,
    /// Adjusted birth weight (own weight only, never a standard one).
    pub adj_birth_weight: Vec<f64>,
    /// Weaning weight as weighed.
    pub wean_weight: Vec<f64>,
    /// Gain per day from birth to weighing.
    pub gain_per_day: Vec<f64>,
    /// Weight per day of age.
    pub weight_per_day: Vec<f64>,
    /// Straight age adjustment to 205 days, without a dam-age factor.
    pub age_adj_205: Vec<f64>,
    /// The dam-age factor added; 0 where marked as not known; NaN when there is no adjusted weight.
    pub dam_age_factor: Vec<f64>,
    /// Adjusted 205-day weight.
    pub adj_205: Vec<f64>,
    /// What was assumed or is out of line.
    pub marks: Vec<Marks>,
}
