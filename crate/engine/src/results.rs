//! Everything computed from a book, and the columns it becomes.
//!
//! Enters: a book. Leaves: [`Results`], and [`ResultColumn`]s that sheets, exports and pictures read.
//! Always true: the same book gives the same results; a result column has one value per calf row.
//! Never: writes into a sheet.

pub mod as_calf;
pub mod calculated;
pub mod checked;
pub mod formula_check;
pub mod made;
pub mod rests_on;

use calculated::{Calculated, calculate};

use crate::adjust::{Adjusted, adjust};
use crate::group::{Groups, NO_GROUP, group};
use crate::sheet::column::Value;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;
use crate::sheet::workbook::Workbook;

/// Adjusted weights, groups and what is doubtful, for one revision of a book.
#[derive(Clone, Debug, Default)]
pub struct Results {
    /// Weights on a common footing.
    pub adjusted: Adjusted,
    /// Contemporary groups, ratios, ranks.
    pub groups: Groups,
    /// The columns that people calculate by a formula of their own.
    pub calculated: Calculated,
    calf_rows: as_calf::CalfRows,
}

impl Results {
    /// Everything that follows from a book: one pass, no state kept from earlier ones.
    pub fn recalculate(book: &Workbook) -> Results {
        let mut results = Results::of_records(book);
        results.calculated = calculate(book, &results);
        results
    }

    /// What follows from the records alone, without the columns that people calculate.
    pub fn of_records(book: &Workbook) -> Results {
        let mut adjusted = adjust(book);
        let groups = group(book, &mut adjusted);
        Results {
            adjusted,
            groups,
            calculated: Calculated::default(),
            calf_rows: as_calf::CalfRows::default(),
        }
    }

    /// The row of the calves that a cow or a bull had; `None` when there is none, or more than one fits. `book`
    /// must be the one these results are of.
    pub fn calf_row(&self, book: &Workbook, sheet: SheetKind, row: usize) -> Option<u32> {
        self.calf_rows.of(book, sheet, row)
    }
}

/// How the values of a result column are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// Text.
    Text,
    /// Whole number.
    Whole,
    /// A weight, one decimal, in the book's unit.
    Weight,
    /// Weight per day, two decimals, in the book's unit.
    WeightPerDay,
    /// One decimal.
    OneDecimal,
    /// A date.
    Date,
}

/// A column that the engine makes for every calf.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ResultColumn {
    /// Age of the dam at calving, days.
    DamAgeDays,
    /// Class of the dam's age.
    DamAgeClass,
    /// Age at weighing, days.
    AgeDays,
    /// Birth weight in the formula.
    BirthWeightUsed,
    /// Adjusted birth weight.
    AdjBirthWeight,
    /// Gain per day from birth to weighing.
    GainPerDay,
    /// Weight per day of age.
    WeightPerDay,
    /// Adjusted 205-day weight.
    Adj205Weight,
    /// Contemporary group.
    ContemporaryGroup,
    /// Calves in it.
    GroupSize,
    /// Ratio.
    Ratio,
    /// Rank in group.
    RankInGroup,
    /// What was assumed or is out of line.
    Flags,
}

impl ResultColumn {
    /// All, in the order in which they are shown.
    pub const ALL: [ResultColumn; 13] = [
        ResultColumn::DamAgeDays,
        ResultColumn::DamAgeClass,
        ResultColumn::AgeDays,
        ResultColumn::BirthWeightUsed,
        ResultColumn::AdjBirthWeight,
        ResultColumn::GainPerDay,
        ResultColumn::WeightPerDay,
        ResultColumn::Adj205Weight,
        ResultColumn::ContemporaryGroup,
        ResultColumn::GroupSize,
        ResultColumn::Ratio,
        ResultColumn::RankInGroup,
        ResultColumn::Flags,
    ];

    /// Key, label, how it is shown, help.
    pub const fn about(self) -> (&'static str, &'static str, Shown, &'static str) {
        match self {
            ResultColumn::DamAgeDays => (
                "dam_age_days",
                "Dam age (days)",
                Shown::Whole,
                "Age of the dam when the calf was born.",
            ),
            ResultColumn::DamAgeClass => (
                "dam_age_class",
                "Dam age class",
                Shown::Text,
                "Class of the dam's age in the table of factors in use.",
            ),
            ResultColumn::AgeDays => (
                "age_days",
                "Age (days)",
                Shown::Whole,
                "Age on the day of weighing.",
            ),
            ResultColumn::BirthWeightUsed => (
                "birth_weight_used",
                "Birth weight used",
                Shown::Weight,
                "The calf's own birth weight, or the stated standard one.",
            ),
            ResultColumn::AdjBirthWeight => (
                "adj_birth_weight",
                "Adjusted birth weight",
                Shown::Weight,
                "Birth weight on the footing of a mature dam.",
            ),
            ResultColumn::GainPerDay => (
                "gain_per_day",
                "Gain per day",
                Shown::WeightPerDay,
                "Gain per day from birth to weighing.",
            ),
            ResultColumn::WeightPerDay => (
                "weight_per_day",
                "Weight per day of age",
                Shown::WeightPerDay,
                "Weaning weight over age.",
            ),
            ResultColumn::Adj205Weight => (
                "adj_205_weight",
                "Adjusted 205-day weight",
                Shown::Weight,
                "Weaning weight on the footing of 205 days and a mature dam.",
            ),
            ResultColumn::ContemporaryGroup => (
                "contemporary_group",
                "Contemporary group",
                Shown::Text,
                "The calves this one can fairly be compared with.",
            ),
            ResultColumn::GroupSize => (
                "group_size",
                "Group size",
                Shown::Whole,
                "Calves in the contemporary group.",
            ),
            ResultColumn::Ratio => (
                "ratio",
                "Ratio",
                Shown::OneDecimal,
                "100 times the adjusted weight over the mean of its group.",
            ),
            ResultColumn::RankInGroup => (
                "rank_in_group",
                "Rank in group",
                Shown::Whole,
                "1 is the heaviest of its group.",
            ),
            ResultColumn::Flags => (
                "flags",
                "Flags",
                Shown::Text,
                "What was assumed, or is out of line.",
            ),
        }
    }

    /// Stable key.
    pub const fn key(self) -> &'static str {
        self.about().0
    }

    /// The column with this key.
    pub fn from_key(key: &str) -> Option<ResultColumn> {
        ResultColumn::ALL
            .into_iter()
            .find(|column| column.key() == key)
    }

    /// The number of a row in the book's unit, NaN when missing or when the column holds text.
    pub fn number(self, book: &Workbook, results: &Results, row: usize) -> f64 {
        let whole = |value: Option<&i32>| {
            value
                .filter(|v| **v != i32::MIN)
                .map_or(f64::NAN, |v| f64::from(*v))
        };
        let weight = |values: &[f64]| {
            let unit: WeightUnit = book.settings.weight_unit;
            values
                .get(row)
                .map_or(f64::NAN, |pounds| unit.from_pounds(*pounds))
        };
        let adjusted = &results.adjusted;
        match self {
            ResultColumn::DamAgeDays => whole(adjusted.dam_age_days.get(row)),
            ResultColumn::AgeDays => whole(adjusted.age_days.get(row)),
            ResultColumn::BirthWeightUsed => weight(&adjusted.birth_weight_used),
            ResultColumn::AdjBirthWeight => weight(&adjusted.adj_birth_weight),
            ResultColumn::GainPerDay => weight(&adjusted.gain_per_day),
            ResultColumn::WeightPerDay => weight(&adjusted.weight_per_day),
            ResultColumn::Adj205Weight => weight(&adjusted.adj_205),
            ResultColumn::GroupSize => match results.groups.group_of.get(row) {
                Some(&group) if group != NO_GROUP => {
                    results.groups.groups[group as usize].rows.len() as f64
                }
                _ => f64::NAN,
            },
            ResultColumn::Ratio => results.groups.ratio.get(row).copied().unwrap_or(f64::NAN),
            ResultColumn::RankInGroup => match results.groups.rank.get(row) {
                Some(&rank) if rank > 0 => f64::from(rank),
                _ => f64::NAN,
            },
            ResultColumn::DamAgeClass | ResultColumn::ContemporaryGroup | ResultColumn::Flags => {
                f64::NAN
            }
        }
    }

    /// The value of a row; numbers in the book's unit, unrounded.
    pub fn value(self, book: &Workbook, results: &Results, row: usize) -> Value {
        let text = |text: Option<String>| match text {
            Some(text) if !text.is_empty() => Value::Text(text),
            _ => Value::Missing,
        };
        match self {
            ResultColumn::DamAgeClass => text(
                results
                    .adjusted
                    .dam_age_class
                    .get(row)
                    .and_then(|&class| book.settings.factors.classes.get(usize::from(class)))
                    .map(|class| class.name.clone()),
            ),
            ResultColumn::ContemporaryGroup => text(
                results
                    .groups
                    .group_of
                    .get(row)
                    .and_then(|&group| results.groups.groups.get(group as usize))
                    .map(|group| group.name.clone()),
            ),
            ResultColumn::Flags => text(
                results
                    .adjusted
                    .marks
                    .get(row)
                    .map(|marks| marks.words().collect::<Vec<_>>().join("; ")),
            ),
            _ => {
                let number = self.number(book, results, row);
                if number.is_nan() {
                    Value::Missing
                } else {
                    Value::Number(number)
                }
            }
        }
    }
}
