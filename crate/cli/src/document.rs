//! What the JSON documents share.
//!
//! Enters: figures of the engine. Leaves: parts of documented JSON.
//! Always true: a figure that is missing is `null`; the first field says which program wrote the document.
//! Never: writes `NaN` or rounds.

use serde::Serialize;

use fairpen_engine::compare::result::{Estimate, Measure};
use fairpen_engine::sheet::settings::WeightUnit;

use crate::failure::Failure;
use crate::output::Mark;

/// Program and version: the first field of every document.
pub const MADE_BY: &str = concat!("fairpen ", env!("CARGO_PKG_VERSION"));

/// How a document of an earlier run, or an earlier version, is known.
pub const MARK: Mark = Mark::Holds("\"made_by\": \"fairpen ");

/// A figure, or `None` when it is missing.
pub fn present(figure: f64) -> Option<f64> {
    figure.is_finite().then_some(figure)
}

/// An estimate with its interval, in the unit of the document.
#[derive(Debug, Serialize)]
pub struct EstimateDocument {
    estimate: Option<f64>,
    se: Option<f64>,
    df: Option<f64>,
    lower: Option<f64>,
    upper: Option<f64>,
    /// Two-sided, against no difference. Means have none.
    #[serde(skip_serializing_if = "Option::is_none")]
    p: Option<f64>,
}

impl EstimateDocument {
    /// An estimate in the unit people read.
    pub fn of(estimate: &Estimate, measure: &Measure, unit: WeightUnit) -> EstimateDocument {
        let weight = |number: f64| present(measure.shown(unit, number));
        EstimateDocument {
            estimate: weight(estimate.value),
            se: weight(estimate.se),
            df: present(estimate.df),
            lower: weight(estimate.lower),
            upper: weight(estimate.upper),
            p: present(estimate.p),
        }
    }
}

/// A reason and how many calves it holds for.
#[derive(Debug, Serialize)]
pub struct CountDocument {
    reason: String,
    n: u32,
}

impl CountDocument {
    /// Reasons with their counts.
    pub fn list(counts: &[(String, u32)]) -> Vec<CountDocument> {
        counts
            .iter()
            .map(|(reason, n)| CountDocument {
                reason: reason.clone(),
                n: *n,
            })
            .collect()
    }
}

/// The bytes of a document: two blanks to a level, a line feed at the end.
pub fn to_bytes(document: &impl Serialize) -> Result<Vec<u8>, Failure> {
    let mut bytes = serde_json::to_vec_pretty(document).map_err(|error| {
        Failure::new(
            format!("A document could not be put into JSON: {error}."),
            "This is a fault of the program.",
        )
    })?;
    bytes.push(b'\n');
    Ok(bytes)
}
