//! Rows of totals and means at the foot of a file.
//!
//! Enters: the filled columns of a file. Leaves: the columns without those rows, and what was set aside.
//! Always true: only rows at the very end are looked at, and only one whose first filled cell is such a word and
//! nothing else, without a sex and an electronic ID: a calf tagged "Total 5" is a row, and so is one called Max
//! with a birth date, a dam or a sire. What is set aside is named line by line, and comes in when the plan
//! says so.
//! Never: looks at the figures themselves.

use super::fill::{CellSeen, Filling};
use super::plan::{ImportPlan, Target};
use crate::sheet::schema::SheetKind;

/// So many rows at the end are looked at.
const MOST_ROWS: u32 = 12;

/// Words for a figure about other rows.
const FIGURES: [&str; 22] = [
    "total",
    "totals",
    "subtotal",
    "subtotals",
    "average",
    "averages",
    "avg",
    "avgs",
    "ave",
    "mean",
    "means",
    "median",
    "count",
    "counts",
    "sum",
    "sums",
    "min",
    "minimum",
    "max",
    "maximum",
    "std",
    "stdev",
];

/// Words that may stand beside one.
const BESIDE: [&str; 20] = [
    "herd", "grand", "overall", "sub", "group", "ranch", "all", "the", "of", "for", "and", "calf",
    "calves", "cows", "animals", "head", "hd", "weight", "weights", "dev",
];

/// Figures that are names of animals too, when they stand alone.
const NAMES_TOO: [&str; 5] = ["max", "min", "sum", "count", "ave"];

/// Columns that make the row an animal's when they could be read: a mean has no sex and no electronic ID.
const NAMING: [&str; 2] = ["sex", "eid"];

/// Columns that do so where the first cell may be a name: the first or mean day of birth is no animal's.
const NAMING_TOO: [&str; 7] = [
    "birth_date",
    "dam",
    "sire",
    "wean_date",
    "weigh_date",
    "birth_year",
    "date",
];

/// A row at the foot that looks like a total.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SummaryRow {
    /// Its line in the file.
    pub line: u32,
    /// Its first filled cell, as read.
    pub word: String,
    /// Its other filled cells.
    pub n_others: u32,
}

/// The rows at the foot that look like totals, first to last.
pub(super) fn at_the_foot(
    plan: &ImportPlan,
    columns: &[Filling],
    source_line: &[u32],
) -> Vec<SummaryRow> {
    if plan.sheet == SheetKind::Places {
        return Vec::new();
    }
    let n_rows = u32::try_from(source_line.len()).unwrap_or(u32::MAX);
    let mut foot: Vec<Looks> = (n_rows.saturating_sub(MOST_ROWS)..n_rows)
        .rev()
        .map_while(|row| looks(plan, columns, source_line, row))
        .collect();
    foot.reverse();
    // Under a row that is surely a total there are no animals any more; above it Max may be a calf.
    let mut under_total = false;
    let mut found = Vec::new();
    for Looks {
        row,
        sure,
        may_be_named,
    } in foot
    {
        under_total |= sure;
        if may_be_named && !under_total {
            found.clear();
        } else {
            found.push(row);
        }
    }
    found
}

/// A row that begins with a word for a total and has no sex and no electronic ID.
struct Looks {
    row: SummaryRow,
    /// The first cell is no name of an animal.
    sure: bool,
    /// Another cell could name an animal.
    may_be_named: bool,
}

fn looks(plan: &ImportPlan, columns: &[Filling], source_line: &[u32], row: u32) -> Option<Looks> {
    let mut word: Option<String> = None;
    let mut n_others = 0;
    let mut may_be_named = false;
    for (at, column) in columns.iter().enumerate() {
        let (text, was_read) = match column.cell(row) {
            CellSeen::Missing => continue,
            CellSeen::Read(text) => (text, true),
            CellSeen::Unreadable(text) => (text, false),
        };
        if word.is_none() {
            if !is_summary(&text) {
                return None;
            }
            word = Some(text);
            continue;
        }
        n_others += 1;
        if let Some(Target::Known(key)) = plan.columns.get(at).map(|planned| &planned.target)
            && was_read
        {
            if NAMING.contains(&key.as_str()) {
                return None;
            }
            may_be_named |= NAMING_TOO.contains(&key.as_str());
        }
    }
    let word = word?;
    Some(Looks {
        sure: !NAMES_TOO.iter().any(|name| word.eq_ignore_ascii_case(name)),
        may_be_named,
        row: SummaryRow {
            line: source_line.get(row as usize).copied().unwrap_or(0),
            word,
            n_others,
        },
    })
}

/// True for `Total`, `Herd average:`, `Grand total of all calves`; false as soon as there is any other word or a
/// digit.
fn is_summary(text: &str) -> bool {
    let mut named = false;
    let plain = text.to_lowercase();
    let words = plain
        .split(|ch: char| !ch.is_alphanumeric())
        .filter(|word| !word.is_empty());
    for word in words {
        if FIGURES.contains(&word) {
            named = true;
        } else if !BESIDE.contains(&word) {
            return false;
        }
    }
    named
}

#[cfg(test)]
mod tests {
    use super::is_summary;

    #[test]
    fn words_of_totals_and_nothing_else() {
        for text in [
            "Total",
            "TOTALS:",
            "Herd average",
            "Grand total",
            "Avg.",
            "Mean of all calves",
            "Std. dev.",
            "min",
            "Sub-total",
        ] {
            assert!(is_summary(text), "{text}");
        }
        for text in [
            "Total 5",
            "5",
            "Max's calf",
            "Herd",
            "Maxine",
            "",
            "calf",
            "A-1 total",
        ] {
            assert!(!is_summary(text), "{text}");
        }
    }
}
