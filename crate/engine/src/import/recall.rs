//! A file read as an earlier one of its shape was.
//!
//! Enters: the ways a book remembers, and the headers of a file. Leaves: the way that fits best, laid over what is
//! guessed of the file itself.
//! Always true: separator, line of headers and decimal comma are the file's own; a choice whose column is gone, or
//! that the file speaks against, is named.
//! Never: takes a way for a file that shares less than two thirds of the headers.

use super::plan::{ImportPlan, PlannedColumn, Target};
use crate::note::{Note, Place, Severity};
use crate::sheet::codes::plain_words;
use crate::sheet::day::Day;
use crate::sheet::remembered::{Remembered, Shape, Way};
use crate::sheet::schema::SheetKind;

/// The way that a file is read by.
#[derive(Clone, Debug, PartialEq)]
pub struct Recalled {
    /// Under which the way is remembered.
    pub shape: Shape,
    /// Name of the file it was made for.
    pub file_name: String,
    /// Day on which that file came in; may be missing.
    pub on: Day,
    /// What of the way does not fit this file, in sentences.
    pub misfits: Vec<String>,
}

impl Recalled {
    /// What is said of it where nobody is asked.
    pub fn note(&self, sheet: SheetKind) -> Note {
        let on = if self.on.is_missing() {
            String::new()
        } else {
            format!(" on {}", self.on.iso())
        };
        let misfits: String = self
            .misfits
            .iter()
            .map(|misfit| format!(" {misfit}"))
            .collect();
        Note {
            code: "import.recalled",
            severity: if self.misfits.is_empty() {
                Severity::Remark
            } else {
                Severity::Doubtful
            },
            place: Place {
                sheet: Some(sheet),
                ..Place::default()
            },
            read: String::new(),
            message: format!("The file was read as \"{}\" was{on}.{misfits}", self.file_name),
            hint: "Nothing to mend, if that is how it is meant; leave --like out to have it looked at anew."
                .to_owned(),
        }
    }
}

/// The way to read a file with these headers by, when one is remembered: for `sheet` alone, when it was chosen.
pub(super) fn best<'a>(
    remembered: &'a Remembered,
    part: &str,
    headers: &[String],
    sheet: Option<SheetKind>,
) -> Option<(&'a Shape, &'a Way)> {
    let shape = Shape::of(part, headers.iter().map(String::as_str));
    if shape.headers.is_empty() {
        return None;
    }
    remembered
        .iter()
        .filter(|(_, way)| sheet.is_none_or(|sheet| way.plan.sheet == sheet))
        .filter_map(|(other, way)| {
            let n_shared = n_shared(&shape.headers, &other.headers);
            let n_all = shape.headers.len() + other.headers.len() - n_shared;
            // Of those that share most: the same sheet of a spreadsheet file, then the latest.
            let close = n_shared * 1_000_000 / n_all;
            (n_shared * 3 >= n_all * 2)
                .then_some(((close, other.part == shape.part, way.on), (other, way)))
        })
        .max_by(|(one, _), (other, _)| one.cmp(other))
        .map(|(_, found)| found)
}

/// How many headers stand in both sorted lists.
fn n_shared(one: &[String], other: &[String]) -> usize {
    let (mut at, mut against, mut n) = (0, 0, 0);
    while at < one.len() && against < other.len() {
        match one[at].cmp(&other[against]) {
            std::cmp::Ordering::Less => at += 1,
            std::cmp::Ordering::Greater => against += 1,
            std::cmp::Ordering::Equal => {
                n += 1;
                at += 1;
                against += 1;
            }
        }
    }
    n
}

/// Lays the remembered way over the plan that was guessed for the file.
pub(super) fn lay_over(plan: &mut ImportPlan, shape: &Shape, way: &Way) -> Recalled {
    let known = &way.plan;
    let mut misfits = Vec::new();
    let mut taken: Vec<Option<usize>> = vec![None; known.columns.len()];
    for at in 0..plan.columns.len() {
        let words = plain_words(&plan.columns[at].header);
        // Of several columns with one header the first is read as the first was, the second as the second.
        let Some(from) = (0..known.columns.len()).find(|&from| {
            taken[from].is_none() && plain_words(&known.columns[from].header) == words
        }) else {
            continue;
        };
        taken[from] = Some(at);
    }
    let mut settled = vec![false; plan.columns.len()];
    for (column, at) in known.columns.iter().zip(&taken) {
        match at {
            Some(at) => {
                settled[*at] = true;
                if let Some(misfit) = take_over(plan, *at, column, &way.file_name) {
                    misfits.push(misfit);
                }
            }
            None if !column.header.is_empty() => {
                misfits.push(format!("There is no column \"{}\" now.", column.header));
            }
            None => {}
        }
    }
    free_taken_targets(plan, &settled);
    for (at, column) in plan.columns.iter().enumerate() {
        if !settled[at] && !column.header.is_empty() {
            misfits.push(format!(
                "\"{}\" was not there then: {}.",
                column.header,
                match column.target {
                    Target::Known(_) => "it is read as its header says",
                    _ => "it is kept as a column of your own",
                }
            ));
        }
    }
    plan.date_order = known.date_order;
    plan.male_means = known.male_means;
    plan.day_count = known.day_count;
    plan.weight_unit = known.weight_unit;
    plan.repeated = known.repeated;
    plan.checks = known.checks.clone();
    // The day of that list is not the day of this one.
    plan.checks.checked_on = Day::MISSING;
    // Rows at the foot and the day are this file's own.
    plan.answered = known
        .answered
        .iter()
        .filter(|key| !matches!(key.as_str(), "summary_rows" | "check_day"))
        .cloned()
        .collect();
    Recalled {
        shape: shape.clone(),
        file_name: way.file_name.clone(),
        on: way.on,
        misfits,
    }
}

/// The column of the file becomes what the remembered one did. Gives what does not fit.
fn take_over(
    plan: &mut ImportPlan,
    at: usize,
    known: &PlannedColumn,
    file_name: &str,
) -> Option<String> {
    let column = &mut plan.columns[at];
    if let Target::Known(key) = &known.target
        && plan.sheet.column(key).is_none()
    {
        return Some(format!(
            "\"{}\" went to a column that is not there any more.",
            column.header
        ));
    }
    if column.target != known.target {
        column.because = format!("as you read \"{file_name}\"");
        column.target = known.target.clone();
    }
    column.weight_unit = known.weight_unit;
    column.age_unit = known.age_unit;
    None
}

/// No two columns become the same known one: the remembered one goes first, then the one further left.
fn free_taken_targets(plan: &mut ImportPlan, settled: &[bool]) {
    for at in 0..plan.columns.len() {
        let target = plan.columns[at].target.clone();
        if !matches!(target, Target::Known(_) | Target::DueDay) {
            continue;
        }
        let rival = (0..plan.columns.len()).any(|other| {
            other != at
                && plan.columns[other].target == target
                && (settled[other] && !settled[at] || settled[other] == settled[at] && other < at)
        });
        if rival {
            plan.columns[at].target = Target::Own;
            "another column was chosen in its place".clone_into(&mut plan.columns[at].because);
        }
    }
}
