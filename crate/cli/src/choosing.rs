//! From the words of the command line to the choices of a comparison.
//!
//! Enters: the arguments. Leaves: choices; what was not said is as usual.
//! Always true: the words are those of the documents.
//! Never: refuses what the parser let through.

use fairpen_engine::compare::choices::{
    Choices, Degrees, Margins, Places, RandomPart, Response, Several,
};

use crate::args::ChoosingArguments;

/// The choices that the arguments say.
pub fn choices(arguments: &ChoosingArguments) -> Choices {
    let word = |said: &Option<String>| said.clone().unwrap_or_default();
    let within = |key: &str| arguments.within.iter().any(|said| said == key);
    Choices {
        response: Response::from_key(&word(&arguments.of)),
        margins: Margins::from_key(&word(&arguments.margins)).unwrap_or_default(),
        several: Several::from_key(&word(&arguments.pairs), &word(&arguments.against))
            .unwrap_or_default(),
        by_sex: within("sex"),
        by_dam_age: within("dam_age_class"),
        random: RandomPart::from_key(&word(&arguments.random)).unwrap_or_default(),
        degrees: Degrees::from_key(&word(&arguments.degrees)).unwrap_or_default(),
        places: Places::from_key(&word(&arguments.places)).unwrap_or_default(),
    }
}
