//! Which of the candidates stay random, and the fit with those.
//!
//! Enters: the fixed part and the candidates. Leaves: a fit, and for each candidate whether it stayed and why not.
//! Always true: a candidate goes only when the rows cannot carry it, which is judged without the compared numbers
//! but for a residual that runs to zero or a search that does not settle; a spread of zero stays and is said.
//! Never: picks a model by its result for the compared column.

use std::ops::ControlFlow;

use fairpen_stats::mixed::{
    Approximation, Inference, MixedError, MixedFit, MixedSettings, RandomFactor, fit_mixed,
};

use super::choices::Degrees;
use super::progress::{Stopped, Watch};
use super::random::Candidate;
use super::terms::FixedPart;
use super::words::list;

/// Above this many random levels the usual method for degrees of freedom is Satterthwaite's.
const MOST_LEVELS_FOR_KENWARD_ROGER: u32 = 3_000;

/// Why a candidate is not random whose levels the fixed terms tell apart.
pub(super) const TOLD_APART: &str = "the terms of the model already tell every one apart";

/// Tries all candidates together and lets go of one at a time; `None` when nothing stays random.
pub(super) fn fit_random(
    part: &FixedPart,
    candidates: &mut [Candidate],
    watch: &mut Watch,
) -> Result<Option<MixedFit>, Stopped> {
    let terms = part.terms();
    let mut kept: Vec<usize> = (0..candidates.len())
        .filter(|&at| candidates[at].tried())
        .collect();
    while !kept.is_empty() {
        let fitted = part.with_data(|data| {
            let random: Vec<RandomFactor<'_>> =
                kept.iter().map(|&at| candidates[at].as_random()).collect();
            fit_mixed(
                data,
                &terms,
                &random,
                MixedSettings::default(),
                &mut |search| watch.searching(search.iteration),
            )
        });
        let error = match fitted {
            Ok(fit) => {
                let components = fit.components();
                for (&at, component) in kept.iter().zip(&components) {
                    let effect = &mut candidates[at].effect;
                    effect.used = true;
                    effect.sd = Some(component.variance.max(0.0).sqrt());
                    effect.at_zero = component.at_zero;
                }
                return Ok(Some(fit));
            }
            Err(MixedError::Cancelled) => return Err(Stopped),
            Err(error) => error,
        };
        let (gone, because) = let_go(&error, &kept, candidates);
        match gone {
            Some(place) => {
                candidates[kept.remove(place)].effect.because = because;
            }
            None => {
                for at in kept.drain(..) {
                    candidates[at].effect.because.clone_from(&because);
                }
            }
        }
    }
    Ok(None)
}

/// Which of the kept ones an error speaks against (`None`: all), and why in words.
fn let_go(error: &MixedError, kept: &[usize], candidates: &[Candidate]) -> (Option<usize>, String) {
    let levels = |place: &usize| candidates[kept[*place]].effect.levels;
    let most_levels =
        || (0..kept.len()).max_by_key(|place| (levels(place), std::cmp::Reverse(*place)));
    match error {
        MixedError::ExplainedByFixed { random } => (Some(random.0), TOLD_APART.to_owned()),
        MixedError::NotSeparable { random, from } if from.is_empty() => (
            Some(random.0),
            "its spread cannot be told from that of single calves".to_owned(),
        ),
        MixedError::NotSeparable { random, from } => {
            let others: Vec<String> = from
                .iter()
                .map(|other| candidates[kept[other.0]].effect.words.clone())
                .collect();
            (
                Some(random.0),
                format!("its spread cannot be told from that of {}", list(&others)),
            )
        }
        MixedError::ResidualVanishes => (
            most_levels(),
            "with it no spread would be left between calves".to_owned(),
        ),
        MixedError::TooManyColumns { limit, .. } => {
            // The one with the most levels takes no room; the next is what is too large.
            let largest = most_levels();
            let next = (0..kept.len())
                .filter(|place| Some(*place) != largest)
                .max_by_key(|place| (levels(place), std::cmp::Reverse(*place)));
            (
                next.or(largest),
                format!("it has too many levels beside the others, over {limit} together"),
            )
        }
        MixedError::NotConverged { .. } => (
            kept.len().checked_sub(1),
            "the search for its spread did not settle".to_owned(),
        ),
        _ => (None, "the model leaves no spread to divide".to_owned()),
    }
}

/// How degrees of freedom are had, and why not by the method asked for.
pub(super) struct Method<'a> {
    pub inference: Inference<'a>,
    pub because: String,
}

/// Prepares answers by the method asked for, or the other where it cannot be had.
pub(super) fn method<'a>(
    fit: &'a MixedFit,
    degrees: Degrees,
    random_levels: u32,
) -> Option<Method<'a>> {
    let many = random_levels > MOST_LEVELS_FOR_KENWARD_ROGER;
    let (first, because) = match degrees {
        Degrees::KenwardRoger => (Approximation::KenwardRoger, String::new()),
        Degrees::Satterthwaite => (Approximation::Satterthwaite, String::new()),
        Degrees::Usual if many => (
            Approximation::Satterthwaite,
            format!(
                "there are {random_levels} random levels, over {MOST_LEVELS_FOR_KENWARD_ROGER}, where the two methods come to nearly the same"
            ),
        ),
        Degrees::Usual => (Approximation::KenwardRoger, String::new()),
    };
    let second = match first {
        Approximation::KenwardRoger => Approximation::Satterthwaite,
        Approximation::Satterthwaite => Approximation::KenwardRoger,
    };
    match fit.inference(first) {
        Ok(inference) => Some(Method { inference, because }),
        Err(_) => fit.inference(second).ok().map(|inference| Method {
            inference,
            because: "the records say too little of the spreads for the other method".to_owned(),
        }),
    }
}

impl Watch<'_> {
    fn searching(&mut self, iteration: usize) -> ControlFlow<()> {
        self.tell(super::progress::Stage::Spreads, iteration)
    }
}
