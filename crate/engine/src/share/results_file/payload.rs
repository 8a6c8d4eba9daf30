//! What a results file holds, as it is written down: versioned JSON.
//!
//! Enters: chosen cells, settings, summaries. Leaves: the same, as serde structs of this module alone.
//! Always true: a file of version 1 reads the same in every later program; weights stand in the file's
//! `weight_unit` unless a field's name says `lb`; a missing cell is `null`, never zero.
//! Never: holds a cell, a name or a count of a column that was not chosen.

use serde::{Deserialize, Serialize};

pub use super::choices_record::ChoicesRecord;

/// The word that opens every payload.
pub const FORMAT: &str = "fairpen-results";

/// The version written by this program.
pub const VERSION: u32 = 1;

/// One results file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Payload {
    /// [`FORMAT`].
    pub format: String,
    /// [`VERSION`].
    pub version: u32,
    /// Version of the program that made it.
    pub program: String,
    /// The book's name.
    pub title: String,
    /// A line from the ranch.
    pub message: String,
    /// ISO date, or empty.
    pub made_on: String,
    /// `lb` or `kg`: unit of every weight below.
    pub weight_unit: String,
    /// The settings the figures depend on.
    pub settings: SettingsRecord,
    /// True when no calf of the book was left out.
    pub every_calf: bool,
    /// Calves in the file.
    pub n_calves: u32,
    /// The chosen columns with their cells.
    pub columns: Vec<ColumnRecord>,
    /// Kind of each place named in the `place` column, where it is on record (`Pen 1` is a `bedded pen`).
    pub place_kinds: Vec<(String, String)>,
    /// Ages at calving, days, of cows that raised calves not their own, by position of the calf. Only where
    /// the ages of dams and who raised a calf go along.
    pub raising_ages: Vec<(u32, i32)>,
    /// The groups, if chosen.
    pub groups: Option<GroupsRecord>,
    /// The comparison, if chosen and if its column goes along.
    pub comparison: Option<ComparisonRecord>,
    /// How the figures were made: heading and text.
    pub method: Vec<(String, String)>,
    /// What to mind, most important first.
    pub cautions: Vec<String>,
    /// What stays home, a sentence each.
    pub stays_home: Vec<String>,
    /// What is still doubtful among the calves shown.
    pub problems: ProblemsRecord,
    /// Fingerprints.
    pub digest: DigestRecord,
}

/// Settings, as they stood when the file was made. Weights in lb, as published.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct SettingsRecord {
    /// Age window, days.
    pub window_from_days: i32,
    /// Age window, days, inclusive.
    pub window_to_days: i32,
    /// `actual_only` or `straight_age`.
    pub outside_window: String,
    /// Days that weights are put on.
    pub standard_age_days: i32,
    /// Used where a male was not weighed at birth.
    pub standard_birth_weight_male_lb: f64,
    /// Used where a female was not weighed at birth.
    pub standard_birth_weight_female_lb: f64,
    /// Days.
    pub weighed_after_weaning_days: i32,
    /// Days.
    pub birth_window_days: i32,
    /// Days.
    pub weigh_window_days: i32,
    /// Name, month, day of each calving season's start.
    pub seasons: Vec<(String, u32, u32)>,
    /// Confidence of intervals.
    pub confidence: f64,
    /// Dam-age factors.
    pub factors: FactorsRecord,
}

/// A table of dam-age factors.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FactorsRecord {
    /// Stable key.
    pub key: String,
    /// For people.
    pub name: String,
    /// Where it was published.
    pub source: String,
    /// The classes, youngest first.
    pub classes: Vec<FactorRecord>,
}

/// One class of dam age.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FactorRecord {
    /// For people.
    pub name: String,
    /// Days at calving.
    pub from_days: i32,
    /// Days at calving, inclusive.
    pub to_days: i32,
    /// lb.
    pub birth_lb: f64,
    /// lb.
    pub weaning_male_lb: f64,
    /// lb.
    pub weaning_female_lb: f64,
}

/// One chosen column.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ColumnRecord {
    /// Stable key.
    pub key: String,
    /// For people.
    pub label: String,
    /// `lb`, `kg`, `days`, `lb/day` ... or empty.
    pub unit: String,
    /// `text`, `list`, `weight`, `number`, `date` or `code`.
    pub kind: String,
    /// `entered`, `own` or `engine`.
    pub origin: String,
    /// What it is, one sentence.
    pub help: String,
    /// One per calf, unrounded.
    pub cells: Vec<Cell>,
    /// The same for people; `None` when the cells are texts that are shown as they are.
    pub shown: Option<Vec<String>>,
    /// For computed columns what each figure rests on, one letter per calf: see [`super::basis::Basis`].
    pub basis: Option<String>,
}

/// One cell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Cell {
    /// Nothing there.
    Missing,
    /// A number; weights in the file's unit.
    Number(f64),
    /// A text, a code's key, or an ISO date.
    Text(String),
    /// What was read did not fit the column; it counts as missing.
    Unreadable {
        /// As it was read.
        unreadable: String,
    },
}

/// The groups that calves of the file stand in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct GroupsRecord {
    /// How groups are formed, a sentence each.
    pub rule: Vec<String>,
    /// One per group.
    pub groups: Vec<GroupRecord>,
}

/// One group. Its totals are of all its calves, also those that stay home.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct GroupRecord {
    /// Its name; a number where the name would tell what stays home.
    pub name: String,
    /// What made it, in words: label and value, chosen columns only.
    pub parts: Vec<(String, String)>,
    /// Calves.
    pub n: u32,
    /// Mean adjusted 205-day weight.
    pub mean: f64,
    /// For people.
    pub mean_shown: String,
    /// Standard deviation; `None` for one calf.
    pub sd: Option<f64>,
    /// For people.
    pub sd_shown: String,
    /// What to mind.
    pub flags: Vec<String>,
    /// Positions of its calves in this file.
    pub rows: Vec<u32>,
    /// What its totals rest on: one letter, see [`super::basis::Basis`].
    pub basis: String,
}

/// An estimate with its interval.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct EstimateRecord {
    /// The estimate.
    pub value: f64,
    /// Standard error.
    pub se: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// Lower end.
    pub lower: f64,
    /// Upper end.
    pub upper: f64,
    /// p value; `None` for means.
    pub p: Option<f64>,
    /// `14 (3 to 25)`.
    pub shown: String,
}

/// One level of a comparison.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct LevelRecord {
    /// Its name.
    pub name: String,
    /// Calves used.
    pub n: u32,
    /// Calves left out, by reason.
    pub left_out: Vec<(String, u32)>,
    /// Mean weaning weight as weighed.
    pub raw_mean: Option<f64>,
    /// Mean adjusted for age alone.
    pub age_adjusted_mean: Option<f64>,
    /// Mean adjusted 205-day weight.
    pub adjusted_mean: Option<f64>,
    /// The three means for people, in that order.
    pub shown: [String; 3],
    /// Least-squares mean.
    pub ls_mean: Option<EstimateRecord>,
}

/// One step from raw to fair.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct StepRecord {
    /// Stable key.
    pub key: String,
    /// What it holds equal.
    pub words: String,
    /// First minus second.
    pub difference: Option<EstimateRecord>,
}

/// Two levels against each other.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PairRecord {
    /// Position of the first level.
    pub first: u32,
    /// Position of the second level.
    pub second: u32,
    /// First minus second, in the model.
    pub difference: Option<EstimateRecord>,
    /// From raw to fair.
    pub steps: Vec<StepRecord>,
    /// `differs`, `not_shown`, `cannot_separate` or `too_few`.
    pub verdict: String,
    /// In plain words.
    pub sentence: String,
}

/// One line of the balance table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct BalanceRecord {
    /// In words.
    pub words: String,
    /// One per level, for people.
    pub shown: Vec<String>,
    /// Largest standardised difference.
    pub standardised_difference: Option<f64>,
}

/// What became of the calves of a level.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ReachedRecord {
    /// Level.
    pub level: String,
    /// Calves that started.
    pub started: u32,
    /// Born dead or aborted.
    pub born_dead: u32,
    /// Died before weaning.
    pub died: u32,
    /// Sold or moved before weaning.
    pub sold_early: u32,
    /// Weighed.
    pub weighed: u32,
    /// Weaned but not weighed, or not known.
    pub no_weight: u32,
}

/// A comparison.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ComparisonRecord {
    /// Compared column.
    pub column: String,
    /// Its label.
    pub column_label: String,
    /// Levels asked for; empty for all.
    pub asked_levels: Vec<String>,
    /// Seasons asked for; empty for all.
    pub asked_seasons: Vec<String>,
    /// Further columns held equal.
    pub hold: Vec<String>,
    /// How it was made; the usual way where nothing is said.
    #[serde(default, skip_serializing_if = "ChoicesRecord::is_usual")]
    pub choices: ChoicesRecord,
    /// Unit of its numbers where it is not the file's unit of weights.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Headline.
    pub sentence: String,
    /// Levels.
    pub levels: Vec<LevelRecord>,
    /// Pairs.
    pub pairs: Vec<PairRecord>,
    /// What differs between the levels, chosen columns only.
    pub balance: Vec<BalanceRecord>,
    /// What became of the others; empty when the column `left_because` stays home.
    pub reached: Vec<ReachedRecord>,
    /// What cannot be separated.
    pub aliased: Vec<String>,
    /// What to mind.
    pub cautions: Vec<String>,
    /// One line of method.
    pub method: String,
    /// Calves in the model.
    pub n_used: u32,
    /// What it rests on: one letter, see [`super::basis::Basis`].
    pub basis: String,
}

/// How many things are doubtful.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ProblemsRecord {
    /// Figures that cannot be computed.
    pub errors: u32,
    /// Figures that may be wrong.
    pub doubtful: u32,
    /// Worth knowing.
    pub remarks: u32,
}

/// SHA-256, hexadecimal.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct DigestRecord {
    /// Of the entered cells and settings in the file.
    pub inputs: String,
    /// Of everything in the file but this line.
    pub contents: String,
}

impl Payload {
    /// The JSON text.
    pub fn to_json(&self) -> String {
        serde_json::to_string(self).expect("every field has a form in JSON")
    }

    /// Reads a payload.
    ///
    /// # Errors
    ///
    /// `share.results.damaged` when it is not one, `share.results.newer` when a later program made it.
    pub fn from_json(text: &str) -> Result<Payload, crate::error::Error> {
        use crate::error::Error;
        let damaged = || {
            Error::new(
                "share.results.damaged",
                "This results file is damaged and cannot be read.",
                "Ask for the file again.",
            )
        };
        #[derive(Deserialize)]
        struct Head {
            format: String,
            version: u32,
        }
        let head: Head = serde_json::from_str(text).map_err(|_| damaged())?;
        if head.format != FORMAT {
            return Err(damaged());
        }
        if head.version > VERSION {
            return Err(Error::new(
                "share.results.newer",
                format!(
                    "This results file is of version {}, which is newer than this program.",
                    head.version
                ),
                "Open it with the program it carries, or with a newer one.",
            ));
        }
        let payload: Payload = serde_json::from_str(text).map_err(|_| damaged())?;
        if payload.is_whole() {
            Ok(payload)
        } else {
            Err(damaged())
        }
    }

    /// True when every column has a cell for every calf and every position named exists.
    fn is_whole(&self) -> bool {
        let n = self.n_calves as usize;
        let columns = self.columns.iter().all(|column| {
            column.cells.len() == n
                && column.shown.as_ref().is_none_or(|shown| shown.len() == n)
                && column
                    .basis
                    .as_ref()
                    .is_none_or(|basis| basis.is_ascii() && basis.len() == n)
        });
        let groups = self.groups.iter().flat_map(|groups| &groups.groups);
        let rows = groups
            .flat_map(|group| &group.rows)
            .all(|row| *row < self.n_calves);
        let pairs = self.comparison.as_ref().is_none_or(|comparison| {
            comparison.pairs.iter().all(|pair| {
                (pair.first as usize) < comparison.levels.len()
                    && (pair.second as usize) < comparison.levels.len()
            })
        });
        let raised = self
            .raising_ages
            .iter()
            .all(|(row, _)| *row < self.n_calves);
        columns && rows && pairs && raised
    }

    /// The column with this key.
    pub fn column(&self, key: &str) -> Option<&ColumnRecord> {
        self.columns.iter().find(|column| column.key == key)
    }
}

impl ColumnRecord {
    /// The cell as people read it.
    pub fn shown(&self, row: usize) -> &str {
        match &self.shown {
            Some(shown) => shown.get(row).map_or("", String::as_str),
            None => match self.cells.get(row) {
                Some(Cell::Text(text) | Cell::Unreadable { unreadable: text }) => text,
                _ => "",
            },
        }
    }

    /// The cell as a number; NaN when it is not one.
    pub fn number(&self, row: usize) -> f64 {
        match self.cells.get(row) {
            Some(Cell::Number(number)) => *number,
            _ => f64::NAN,
        }
    }
}
