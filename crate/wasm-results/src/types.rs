//! The shapes that cross between the engine in a results file and its page.
//!
//! Enters: engine values. Leaves: plain structs that become TypeScript types.
//! Always true: texts are ready to show.
//! Never: holds logic.

use serde::{Deserialize, Serialize};
use tsify::Tsify;

/// A refusal, as it is thrown.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct Refusal {
    /// Stable dotted code.
    pub code: String,
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub hint: String,
}

/// One input behind a figure.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct FigureInput {
    /// In words.
    pub words: String,
    /// With its unit.
    pub value: String,
}

/// The working behind a figure.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct FigureWorking {
    /// In words.
    pub title: String,
    /// The figure with its unit.
    pub result: String,
    /// What went in.
    pub inputs: Vec<FigureInput>,
    /// In words.
    pub formula: String,
    /// With the numbers put in.
    pub with_numbers: String,
    /// Where the factor was published.
    pub source: String,
    /// A sentence each.
    pub assumed: Vec<String>,
}

/// Marks of one computed column of a results file.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct ColumnMarksView {
    /// Key of the column.
    pub key: String,
    /// One letter per calf: `h` recomputed here, `t` from group totals, `s` stated only, `x` does not match,
    /// `-` no figure.
    pub marks: String,
}

/// A figure of a results file that does not match.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct DifferenceView {
    /// What it is.
    pub what: String,
    /// As the file states it.
    pub stated: String,
    /// As the engine gets it; empty when it gets none.
    pub recomputed: String,
}

/// What came of computing a results file again.
#[derive(Clone, Debug, Serialize, Deserialize, Tsify)]
#[serde(rename_all = "camelCase")]
pub struct VerificationView {
    /// Marks by column.
    pub columns: Vec<ColumnMarksView>,
    /// One letter per line of the groups table.
    pub groups: String,
    /// The comparison's letter; `-` without one.
    pub comparison: String,
    /// Figures recomputed here.
    pub recomputed: u32,
    /// Figures recomputed from group totals.
    pub from_totals: u32,
    /// Figures stated only.
    pub stated: u32,
    /// Figures that do not match.
    pub differ: u32,
    /// What does not match.
    pub differences: Vec<DifferenceView>,
    /// The fingerprint of the entries is theirs.
    pub inputs_as_stated: bool,
    /// The fingerprint of the whole file is its own.
    pub contents_as_stated: bool,
}
