//! Shapes of how a comparison is chosen and what its model is.
//!
//! Enters and leaves: plain values, camelCase on the other side.
//! Always true: keys are the engine's stable ones; an empty key is the usual choice.
//! Never: holds a rule.

use serde::{Deserialize, Serialize};
use tsify::Tsify;

use crate::types::EstimateInfo;

/// How a comparison is made; empty for the usual.
#[derive(Clone, Debug, Default, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase", default)]
pub struct CompareChoices {
    /// `age_adjusted`, `actual_with_age`, `birth_weight`, `gain`, `yearling`, or the key of a column of numbers.
    pub response: String,
    /// `equal` or `observed`.
    pub margins: String,
    /// `usual`, `unadjusted`, `tukey_kramer`, `holm` or `against_one`.
    pub several: String,
    /// The level that the others are compared with.
    pub against: String,
    /// Tell the difference for each sex.
    pub by_sex: bool,
    /// Tell it for each dam-age class.
    pub by_dam_age: bool,
    /// `supported` or `none`.
    pub random: String,
    /// `usual`, `kenward_roger` or `satterthwaite`.
    pub degrees: String,
    /// `these` or `such`.
    pub places: String,
}

/// Something that can be compared of calves.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ResponseOption {
    /// Key.
    pub key: String,
    /// In words.
    pub words: String,
    /// Calves that have it.
    pub n: u32,
}

/// Something random, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct RandomInfo {
    /// In words.
    pub words: String,
    /// In the model.
    pub used: bool,
    /// Why not.
    pub because: String,
    /// How many there are.
    pub levels: u32,
    /// `18.2 lb`, `no spread found`, or empty.
    pub spread_text: String,
    /// Calves without a name for it, and with several, in words; may be empty.
    pub note: String,
}

/// A difference within one class, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct WithinInfo {
    /// `sex: heifer`.
    pub words: String,
    /// First minus second, or `undefined`.
    pub difference: Option<EstimateInfo>,
}

/// A difference judged by places or seasons, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct SuchInfo {
    /// `2 places against 3`, `4 seasons`.
    pub judged_by: String,
    /// First minus second.
    pub difference: EstimateInfo,
    /// Its interval leaves out zero.
    pub differs: bool,
}

/// What was compared and how, as shown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ModelInfo {
    /// What is compared, in words.
    pub measure: String,
    /// What the marks of the picture are: `Adjusted 205-day weight`.
    pub marks: String,
    /// True where the mean has a step put on one age.
    pub has_age_step: bool,
    /// True where it has a step with published factors.
    pub has_published_step: bool,
    /// Everything random that was thought of.
    pub random: Vec<RandomInfo>,
    /// True when intervals hold for several pairs together.
    pub several_together: bool,
    /// Why there is no interval for such places; empty when there is one.
    pub no_such_because: String,
}
