//! How a comparison in a results file was made.
//!
//! Enters: choices. Leaves: their record by stable keys, and back.
//! Always true: the usual choices have an empty record, which is not written at all.
//! Never: refuses a file of an earlier program.

use serde::{Deserialize, Serialize};

use crate::compare::choices::{Choices, Degrees, Margins, Places, RandomPart, Response, Several};

/// How a comparison is made, by stable keys; empty for the usual.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", default)]
pub struct ChoicesRecord {
    /// What is compared.
    pub response: String,
    /// How means are weighed.
    pub margins: String,
    /// How several pairs are judged.
    pub several: String,
    /// The level the others are compared with.
    pub against: String,
    /// Differences by sex.
    pub by_sex: bool,
    /// Differences by dam-age class.
    pub by_dam_age: bool,
    /// What is random.
    pub random: String,
    /// How degrees of freedom are had.
    pub degrees: String,
    /// What the model speaks of.
    pub places: String,
}

impl ChoicesRecord {
    /// True when everything is as usual.
    pub fn is_usual(&self) -> bool {
        *self == ChoicesRecord::default()
    }

    /// The record of some choices.
    pub fn of(choices: &Choices) -> ChoicesRecord {
        let usual = |key: &str, usual: &str| {
            if key == usual {
                String::new()
            } else {
                key.to_owned()
            }
        };
        ChoicesRecord {
            response: usual(choices.response.key(), Response::default().key()),
            margins: usual(choices.margins.key(), Margins::default().key()),
            several: usual(choices.several.key(), Several::default().key()),
            against: choices.several.against().unwrap_or("").to_owned(),
            by_sex: choices.by_sex,
            by_dam_age: choices.by_dam_age,
            random: usual(choices.random.key(), RandomPart::default().key()),
            degrees: usual(choices.degrees.key(), Degrees::default().key()),
            places: usual(choices.places.key(), Places::default().key()),
        }
    }

    /// The choices; `None` where a key is not known.
    pub fn choices(&self) -> Option<Choices> {
        Some(Choices {
            response: Response::from_key(&self.response),
            margins: Margins::from_key(&self.margins)?,
            several: Several::from_key(&self.several, &self.against)?,
            by_sex: self.by_sex,
            by_dam_age: self.by_dam_age,
            random: RandomPart::from_key(&self.random)?,
            degrees: Degrees::from_key(&self.degrees)?,
            places: Places::from_key(&self.places)?,
        })
    }
}
