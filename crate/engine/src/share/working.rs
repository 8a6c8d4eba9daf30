//! The working behind one number.
//!
//! Enters: a book, its results, a row and a result column. Leaves: inputs, formula, formula with the numbers
//! put in, factor and source, what was assumed, what would change it. The same value serves the page, the
//! results file and the command line.
//! Always true: numbers are those of the results, rounded for people, with their unit; where there is no
//! result it says why, and what would give one.
//! Never: computes a result of its own.

pub mod as_calf;
pub mod calculated;
pub mod checked;
mod dam;
mod groups;
mod marks;
mod says;
mod weights;

use crate::results::{ResultColumn, Results};
use crate::sheet::workbook::Workbook;
use says::Says;

/// Words of the input that counts the bulls of a group.
pub const BULLS_NAMED: &str = "Bulls named in the group";

/// One input of a number.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkingInput {
    /// In words: `Weaning weight`.
    pub words: String,
    /// With its unit: `512 lb`; `not recorded` when missing.
    pub value: String,
    /// The cell it stands in: sheet key, row, column key; `None` for settings and group figures.
    pub cell: Option<(String, u32, String)>,
}

/// The working behind one number.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Working {
    /// Key of the computed column.
    pub column: String,
    /// In words: `Adjusted 205-day weight of 4017`.
    pub title: String,
    /// The result with its unit, or why there is none.
    pub result: String,
    /// What went in.
    pub inputs: Vec<WorkingInput>,
    /// The formula in words: `(weaning weight - birth weight) / age x 205 + birth weight + dam-age factor`.
    pub formula: String,
    /// The formula with the numbers put in: `(512 - 80) / 215 x 205 + 80 + 60 = 551.9`.
    pub with_numbers: String,
    /// Factor and where it was published.
    pub source: String,
    /// What was assumed, a sentence each.
    pub assumed: Vec<String>,
    /// What would change it, a sentence each.
    pub would_change: Vec<String>,
}

/// The working behind the figure of a calf. `None` when the sheet has no such row.
pub fn working(
    book: &Workbook,
    results: &Results,
    row: usize,
    column: ResultColumn,
) -> Option<Working> {
    if row >= book.calves().n_rows() || row >= results.adjusted.marks.len() {
        return None;
    }
    let says = Says::of(book, results, row);
    let mut working = match column {
        ResultColumn::DamAgeDays => dam::age(&says),
        ResultColumn::DamAgeClass => dam::class(&says),
        ResultColumn::AgeDays => weights::age(&says),
        ResultColumn::BirthWeightUsed => weights::birth_weight_used(&says),
        ResultColumn::AdjBirthWeight => weights::adjusted_birth_weight(&says),
        ResultColumn::GainPerDay => weights::gain_per_day(&says),
        ResultColumn::WeightPerDay => weights::weight_per_day(&says),
        ResultColumn::Adj205Weight => weights::adjusted_weight(&says),
        ResultColumn::ContemporaryGroup => groups::group(&says),
        ResultColumn::GroupSize => groups::size(&says),
        ResultColumn::Ratio => groups::ratio(&says),
        ResultColumn::RankInGroup => groups::rank(&says),
        ResultColumn::Flags => marks::flags(&says),
    };
    working.column = column.key().to_owned();
    working.title = format!("{} of {}", column.about().1, says.calf());
    Some(working)
}
