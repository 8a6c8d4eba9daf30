//! The working behind one number.
//!
//! Enters: a row and the key of a computed column. Leaves: inputs, formula with the numbers put in, factor
//! and source, what was assumed, what would change it. The same value serves the page, the results file
//! and the command line.

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
#[derive(Clone, Debug, PartialEq)]
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
