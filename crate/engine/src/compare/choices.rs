//! How a comparison is made: what a person may choose beside the column and its levels.
//!
//! Enters and leaves: plain values with stable keys, the same on the command line, at the boundary and in files.
//! Always true: the default of every choice is the usual one, so that a plain comparison stays plain.
//! Never: reads a book.

use crate::error::Error;

/// Says that there is no such choice.
pub fn unknown(word: &str) -> Error {
    Error::new(
        "compare.choice.unknown",
        format!("\"{word}\" is no way to make a comparison."),
        "Choose one of the ways that are listed.",
    )
}

/// What is compared of the calves.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Response {
    /// Weaning weight put on the standard age by age alone; calves outside the age window are left out.
    #[default]
    AgeAdjusted,
    /// Weaning weight as weighed, with age at weighing in the model in place of birth date; calves outside the
    /// age window stay.
    ActualWithAge,
    /// Birth weight, as weighed.
    BirthWeight,
    /// Gain per day from birth to weaning.
    Gain,
    /// Weight at 365 days, by age alone.
    Yearling,
    /// The numbers of a calves column, by key, header or label.
    Column(String),
}

impl Response {
    /// Stable key; a column's own key for a column.
    pub fn key(&self) -> &str {
        match self {
            Response::AgeAdjusted => "age_adjusted",
            Response::ActualWithAge => "actual_with_age",
            Response::BirthWeight => "birth_weight",
            Response::Gain => "gain",
            Response::Yearling => "yearling",
            Response::Column(key) => key,
        }
    }

    /// The response with this key; any other text names a column. Empty is the usual one.
    pub fn from_key(key: &str) -> Response {
        match key.trim() {
            "" | "age_adjusted" => Response::AgeAdjusted,
            "actual_with_age" => Response::ActualWithAge,
            "birth_weight" => Response::BirthWeight,
            "gain" => Response::Gain,
            "yearling" => Response::Yearling,
            column => Response::Column(column.to_owned()),
        }
    }
}

/// A choice with a stable key for each of its values, the usual one first.
macro_rules! keyed {
    ($(#[$about:meta])* $name:ident { $( $(#[$help:meta])* $value:ident = $key:literal ),+ $(,)? }) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
        pub enum $name { $( $(#[$help])* $value ),+ }

        impl $name {
            /// Every value with its stable key, the usual one first.
            pub const ALL: &'static [($name, &'static str)] = &[$( ($name::$value, $key) ),+];

            /// Stable key.
            pub fn key(self) -> &'static str {
                match self { $( $name::$value => $key ),+ }
            }

            /// The value with this key; the usual one where the key is empty.
            pub fn from_key(key: &str) -> Option<$name> {
                match key.trim() {
                    "" => Some($name::default()),
                    key => $name::ALL.iter().find(|(_, known)| *known == key).map(|(value, _)| *value),
                }
            }
        }
    };
}

keyed! {
    /// How a mean weighs the classes it is taken over.
    Margins {
        /// Every class counts the same.
        #[default]
        Equal = "equal",
        /// Every class counts as often as it occurs among the calves used.
        Observed = "observed",
    }
}

keyed! {
    /// What the model takes as drawn at random.
    RandomPart {
        /// Dam, sire, place and contemporary group, whichever the records support.
        #[default]
        Supported = "supported",
        /// Nothing: calves count as independent.
        None = "none",
    }
}

keyed! {
    /// How degrees of freedom are had when something is random.
    Degrees {
        /// Kenward and Roger's method, and Satterthwaite's above 3,000 random levels.
        #[default]
        Usual = "usual",
        /// Kenward and Roger's.
        KenwardRoger = "kenward_roger",
        /// Satterthwaite's.
        Satterthwaite = "satterthwaite",
    }
}

keyed! {
    /// What the difference in the model speaks of where each place has one level only.
    Places {
        /// These places: what differs between them is part of the difference.
        #[default]
        These = "these",
        /// Such places: each place is one draw of its kind, so the model judges by places.
        Such = "such",
    }
}

/// How several pairs are judged together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Several {
    /// Nothing for two levels, Tukey and Kramer's for more.
    #[default]
    Usual,
    /// Each pair by itself.
    Unadjusted,
    /// All pairs by Tukey and Kramer's method.
    TukeyKramer,
    /// All pairs by Holm's method.
    Holm,
    /// Each level against this one, by Dunnett's method.
    AgainstOne(String),
}

impl Several {
    /// Stable key; the level of [`Several::AgainstOne`] stands beside it.
    pub fn key(&self) -> &'static str {
        match self {
            Several::Usual => "usual",
            Several::Unadjusted => "unadjusted",
            Several::TukeyKramer => "tukey_kramer",
            Several::Holm => "holm",
            Several::AgainstOne(_) => "against_one",
        }
    }

    /// The level that the others are compared with.
    pub fn against(&self) -> Option<&str> {
        match self {
            Several::AgainstOne(level) => Some(level),
            _ => None,
        }
    }

    /// The value with this key and, for `against_one`, this level; the usual one where the key is empty.
    pub fn from_key(key: &str, against: &str) -> Option<Several> {
        Some(match key.trim() {
            "" if !against.is_empty() => Several::AgainstOne(against.to_owned()),
            "" | "usual" => Several::Usual,
            "unadjusted" => Several::Unadjusted,
            "tukey_kramer" => Several::TukeyKramer,
            "holm" => Several::Holm,
            "against_one" if !against.is_empty() => Several::AgainstOne(against.to_owned()),
            _ => return None,
        })
    }
}

/// Everything that may be chosen.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choices {
    /// What is compared.
    pub response: Response,
    /// How means are weighed.
    pub margins: Margins,
    /// How several pairs are judged.
    pub several: Several,
    /// Whether the difference may itself differ between the sexes, told for each.
    pub by_sex: bool,
    /// Whether it may differ between dam-age classes, told for each.
    pub by_dam_age: bool,
    /// What is drawn at random.
    pub random: RandomPart,
    /// How degrees of freedom are had.
    pub degrees: Degrees,
    /// What the model's difference speaks of.
    pub places: Places,
}

#[cfg(test)]
mod tests {
    use super::{Degrees, Margins, Places, RandomPart, Response, Several};

    #[test]
    fn every_key_leads_back_to_its_value_and_blank_to_the_usual() {
        for (value, key) in Margins::ALL {
            assert_eq!((value.key(), Margins::from_key(key)), (*key, Some(*value)));
        }
        for (value, key) in Degrees::ALL {
            assert_eq!(Degrees::from_key(key), Some(*value));
        }
        assert_eq!(RandomPart::from_key(""), Some(RandomPart::Supported));
        assert_eq!(Places::from_key("such"), Some(Places::Such));
        assert_eq!(Places::from_key("all"), None);
        for key in ["unadjusted", "tukey_kramer", "holm", "usual"] {
            assert_eq!(
                Several::from_key(key, "").map(|several| several.key()),
                Some(key)
            );
        }
        assert_eq!(Several::from_key("against_one", ""), None);
        let hill = Several::from_key("", "Hill").expect("a level alone says it");
        assert_eq!((hill.key(), hill.against()), ("against_one", Some("Hill")));
        for key in [
            "age_adjusted",
            "actual_with_age",
            "birth_weight",
            "gain",
            "yearling",
            "frame",
        ] {
            assert_eq!(Response::from_key(key).key(), key);
        }
    }
}
