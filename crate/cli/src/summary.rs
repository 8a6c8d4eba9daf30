//! What `report` says on the screen: a summary for people.
//!
//! Enters: an opened input, a comparison, the files written. Leaves: lines of text.
//! Always true: weights carry their unit; what was assumed is said before what was found.
//! Never: gives a number that the files do not hold.

use std::fmt::Write as _;
use std::path::PathBuf;

use fairpen_engine::compare::result::Comparison;
use fairpen_engine::import::plan::Target;
use fairpen_engine::note::Severity;

use crate::reading::Opened;

/// So many cautions are said on the screen, the most important first.
const MOST_CAUTIONS: usize = 6;

/// The summary.
pub fn of(
    opened: &Opened,
    comparison: Option<&Comparison>,
    written: &[PathBuf],
    removed: Option<&str>,
) -> String {
    let mut text = String::new();
    read(&mut text, opened);
    found(&mut text, opened);
    if let Some(comparison) = comparison {
        compared(&mut text, comparison);
    }
    let _ = writeln!(text, "\nWritten");
    for path in written {
        let _ = writeln!(text, "  {}", path.display());
    }
    if let Some(name) = removed {
        let _ = writeln!(
            text,
            "Taken away: the {name} of an earlier run, since nothing was compared now."
        );
    }
    text
}

/// What was read and how. Also opens the output of the other commands.
pub fn read(text: &mut String, opened: &Opened) {
    let _ = writeln!(text, "Read");
    for file in &opened.files {
        let what = match &file.understood {
            Some(understood) => format!(
                "{} for the sheet {}",
                count(file.n_rows, "row"),
                understood.plan.sheet.key()
            ),
            None => format!("a saved book with {}", count(file.n_rows, "row")),
        };
        let _ = writeln!(text, "  {}: {what}", file.name);
        let own: Vec<&str> = file
            .understood
            .iter()
            .flat_map(|understood| &understood.plan.columns)
            .filter(|column| column.target == Target::Own)
            .map(|column| column.header.as_str())
            .collect();
        if !own.is_empty() {
            let _ = writeln!(
                text,
                "    Kept as columns of your own and not used in the sums: {}",
                own.join(", ")
            );
        }
        for question in file
            .understood
            .iter()
            .flat_map(|understood| &understood.questions)
        {
            let _ = writeln!(
                text,
                "    Open: {} Read as {}. To settle it: {}.",
                question.question, question.read_as, question.answer_with
            );
        }
    }
    if !opened.not_read.is_empty() {
        let _ = writeln!(text, "  Not read: {}", opened.not_read.join(", "));
    }
    let settings = &opened.book.settings;
    let _ = writeln!(
        text,
        "  Weights in {}; counted as of {} ({}).",
        settings.weight_unit.symbol(),
        settings.as_of.iso(),
        opened.as_of_from
    );
}

fn found(text: &mut String, opened: &Opened) {
    let results = &opened.results;
    let there = |values: &[f64]| values.iter().filter(|value| !value.is_nan()).count();
    let _ = writeln!(
        text,
        "\nFound\n  {}: {} with an adjusted weight, {} with a ratio, in {}.",
        count(opened.book.calves().n_rows(), "calf"),
        there(&results.adjusted.adj_205),
        there(&results.groups.ratio),
        count(results.groups.groups.len(), "contemporary group"),
    );
    let _ = writeln!(text, "  Problems: {}.", problems(opened));
}

/// The counts of problems in words.
pub fn problems(opened: &Opened) -> String {
    format!(
        "{}, {} doubtful, {}{}",
        count(opened.count(Severity::Error), "error"),
        opened.count(Severity::Doubtful),
        count(opened.count(Severity::Remark), "remark"),
        match opened.accepted.len() {
            0 => String::new(),
            n => format!("; {n} accepted in the book"),
        },
    )
}

fn compared(text: &mut String, comparison: &Comparison) {
    let _ = writeln!(text, "\nCompared by {}", comparison.column_label);
    let _ = writeln!(text, "  {}", comparison.sentence);
    // Of many pairs the file tells.
    if let [could_see] = comparison.could_see.as_slice() {
        for matched in &comparison.matched {
            let _ = writeln!(text, "  Like with like: {}", matched.sentence);
        }
        let _ = writeln!(text, "  {}", could_see.sentence);
    }
    for caution in comparison.cautions.iter().take(MOST_CAUTIONS) {
        let _ = writeln!(text, "  Mind: {caution}");
    }
    let more = comparison.cautions.len().saturating_sub(MOST_CAUTIONS);
    if more > 0 {
        let _ = writeln!(
            text,
            "  {} more in comparison.json.",
            count(more, "caution")
        );
    }
}

pub use fairpen_engine::note::counted as count;
