//! What stands beside the model, as it crosses: calves matched like with like, and what records could have shown.
//!
//! Enters: parts of a comparison, in pounds; a difference that is asked about. Leaves: texts for people in the book's
//! unit.
//! Always true: a chance is told as so many in 100, a number of calves with the word.
//! Never: compares.

use fairpen_engine::compare::power::seen;
use fairpen_engine::compare::result::{CouldSee, Estimate, Matched, Seen};
use fairpen_engine::sheet::settings::WeightUnit;
use fairpen_engine::sheet::write::{spoken, up_to};
use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::refusal::{Answer, give, refused, take};
use crate::session::Session;
use crate::types::{CouldSeeInfo, MatchedInfo, SeenInfo, SeenRequest};

#[wasm_bindgen]
impl Session {
    /// The chance that records like those of a pair show a difference, and about how many calves it would take.
    pub fn could_see(&self, r: Ts<SeenRequest>) -> Answer<Ts<SeenInfo>> {
        let request: SeenRequest = take(r)?;
        let settings = &self.desk.book().settings;
        let unit = settings.weight_unit;
        let pounds = |weight: f64| unit.to_pounds(weight);
        let estimate = Estimate {
            value: pounds(f64::midpoint(request.lower, request.upper)),
            se: pounds(request.se),
            df: request.df,
            lower: pounds(request.lower),
            upper: pounds(request.upper),
            p: f64::NAN,
        };
        let difference = pounds(request.difference);
        let found = (difference > 0.0)
            .then(|| seen(&estimate, request.n, difference, settings.confidence))
            .flatten();
        let found = found.ok_or_else(|| {
            refused(&fairpen_engine::error::Error::new(
                "boundary.difference",
                "Type a difference in weight above zero.",
                "For example 15.",
            ))
        })?;
        give(seen_of(unit, &request.units, &found))
    }
}

/// Two levels, like with like.
pub fn matched_of(matched: &Matched) -> MatchedInfo {
    let position = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    MatchedInfo {
        first: position(matched.first),
        second: position(matched.second),
        model_is_off: matched.model_is_off_by.is_some(),
        sentence: matched.sentence.clone(),
    }
}

/// What a pair could have shown.
pub fn could_see_of(unit: WeightUnit, could_see: &CouldSee) -> CouldSeeInfo {
    let position = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    CouldSeeInfo {
        first: position(could_see.first),
        second: position(could_see.second),
        units: could_see.units.to_owned(),
        n: could_see.n,
        sentence: could_see.sentence.clone(),
        at: could_see
            .at
            .iter()
            .map(|seen| seen_of(unit, could_see.units, seen))
            .collect(),
        asks: could_see.difference.map(|estimate| SeenRequest {
            se: unit.from_pounds(estimate.se),
            df: estimate.df,
            lower: unit.from_pounds(estimate.lower),
            upper: unit.from_pounds(estimate.upper),
            units: could_see.units.to_owned(),
            n: could_see.n,
            difference: 0.0,
        }),
    }
}

fn seen_of(unit: WeightUnit, units: &str, seen: &Seen) -> SeenInfo {
    let in_hundred = spoken(seen.chance * 100.0, 0);
    SeenInfo {
        difference_text: format!(
            "{} {}",
            up_to(unit.from_pounds(seen.difference), 1),
            unit.symbol()
        ),
        chance_text: match in_hundred.as_str() {
            "100" => "over 99 in 100".to_owned(),
            n => format!("{n} in 100"),
        },
        needed_text: seen.needed.map_or_else(
            || format!("more than a million {units}"),
            |n| format!("about {} {units}", rough(n)),
        ),
    }
}

/// Rounded up to two figures: the numbers are rough.
fn rough(n: u32) -> u32 {
    let mut step = 1;
    while n / step >= 100 {
        step *= 10;
    }
    n.div_ceil(step) * step
}
