//! How a list of pregnancy checks was read, as it is written.
//!
//! Enters: ways. Leaves: a serde struct, and back.
//! Always true: words of lists stand by their keys.
//! Never: stands in a plan that says nothing of it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::import::plan::CheckWays;
use crate::sheet::codes::{RESULT, STAGE_UNIT};
use crate::sheet::day::Day;
use crate::sheet::read::date::iso;
use crate::sheet::read::stage::StageUnit;

/// As it is written.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct CheckWaysForm {
    /// Each word with the key of the result it means, or `null`.
    #[serde(default)]
    words: BTreeMap<String, Option<String>>,
    /// `days`, `weeks` or `months`.
    #[serde(default)]
    stage_unit: Option<String>,
    #[serde(default)]
    marks_mean_bred: bool,
    /// Year-month-day; none where it was not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    checked_on: Option<String>,
}

/// As it is written; `None` when nothing was said.
pub fn check_ways_form(ways: &CheckWays) -> Option<CheckWaysForm> {
    (*ways != CheckWays::default()).then(|| CheckWaysForm {
        words: ways
            .words
            .iter()
            .map(|(word, means)| {
                let key = means.and_then(|position| RESULT.key(position));
                (word.clone(), key.map(str::to_owned))
            })
            .collect(),
        stage_unit: ways
            .stage_unit
            .and_then(|unit| STAGE_UNIT.key(unit.position()))
            .map(str::to_owned),
        marks_mean_bred: ways.marks_mean_bred,
        checked_on: (!ways.checked_on.is_missing()).then(|| ways.checked_on.iso()),
    })
}

/// As it was written; `None` when a word in it is not known.
pub fn check_ways_from(form: Option<CheckWaysForm>) -> Option<CheckWays> {
    let Some(form) = form else {
        return Some(CheckWays::default());
    };
    Some(CheckWays {
        words: form
            .words
            .into_iter()
            .map(|(word, key)| {
                Some(match key {
                    None => (word, None),
                    Some(key) => (word, Some(RESULT.position(&key)?)),
                })
            })
            .collect::<Option<_>>()?,
        stage_unit: match form.stage_unit {
            None => None,
            Some(key) => Some(StageUnit::at(STAGE_UNIT.position(&key)?)?),
        },
        marks_mean_bred: form.marks_mean_bred,
        checked_on: match form.checked_on {
            None => Day::MISSING,
            Some(text) => iso(text.as_bytes())?,
        },
    })
}
