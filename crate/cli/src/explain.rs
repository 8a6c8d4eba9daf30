//! `fairpen explain`: how the numbers of one calf were made.
//!
//! Enters: an input and a tag. Leaves: the working behind each number, as text.
//! Always true: every calf that wears the tag is shown, with its birth year; the words are the engine's.
//! Never: computes.

use std::fmt::Write as _;

use fairpen_engine::results::ResultColumn;
use fairpen_engine::share::working::{Working, working};
use fairpen_engine::sheet::column::Value;

use crate::args::ExplainArguments;
use crate::failure::{DONE, Failure};
use crate::output;
use crate::reading::{Opened, open_input};
use crate::summary::{self, count};

/// Shows the working.
pub fn run(arguments: &ExplainArguments) -> Result<u8, Failure> {
    let columns = columns(arguments.number.as_deref())?;
    let opened = open_input(&arguments.input, &arguments.reading)?;
    let rows = rows_with_tag(&opened, &arguments.tag)?;
    let mut text = String::new();
    summary::read(&mut text, &opened);
    if rows.len() > 1 {
        let _ = writeln!(
            text,
            "\n{} with the tag {}.",
            count(rows.len(), "calf"),
            arguments.tag
        );
    }
    for row in rows {
        let _ = writeln!(text, "\n{}", heading(&opened, row));
        for column in &columns {
            if let Some(working) = working(&opened.book, &opened.results, row, *column) {
                let _ = writeln!(text, "\n{}", in_words(&working));
            }
        }
    }
    output::say(&text)?;
    Ok(DONE)
}

fn columns(key: Option<&str>) -> Result<Vec<ResultColumn>, Failure> {
    let Some(key) = key else {
        return Ok(ResultColumn::ALL.to_vec());
    };
    ResultColumn::from_key(key)
        .map(|column| vec![column])
        .ok_or_else(|| {
            let keys: Vec<&str> = ResultColumn::ALL
                .iter()
                .map(|column| column.key())
                .collect();
            Failure::new(
                format!("\"{key}\" is not a computed column."),
                format!("They are {}.", keys.join(", ")),
            )
        })
}

/// Rows of the calves that wear the tag: exactly so, or else but for case and zeros in front.
fn rows_with_tag(opened: &Opened, tag: &str) -> Result<Vec<usize>, Failure> {
    let tag = tag.trim();
    let calves = opened.book.calves();
    let tags = calves.known("tag").texts();
    let rows = |fits: &dyn Fn(&str) -> bool| -> Vec<usize> {
        (0..calves.n_rows())
            .filter(|&row| tags.and_then(|tags| tags.get(row)).is_some_and(fits))
            .collect()
    };
    let exact = rows(&|other| other == tag);
    if !exact.is_empty() {
        return Ok(exact);
    }
    let loose = |tag: &str| tag.trim_start_matches('0').to_lowercase();
    let close = rows(&|other| loose(other) == loose(tag));
    if !close.is_empty() {
        return Ok(close);
    }
    Err(Failure::new(
        format!(
            "No calf with the tag {tag} is among the {}.",
            count(calves.n_rows(), "calf")
        ),
        "Look at the spelling; adjusted.csv of a report lists every tag.",
    ))
}

fn heading(opened: &Opened, row: usize) -> String {
    let calves = opened.book.calves();
    let tag = match calves.known("tag").value(row) {
        Value::Text(tag) => tag,
        _ => "without a tag".to_owned(),
    };
    let born = match calves.known("birth_date").value(row) {
        Value::Day(day) => day
            .year()
            .map_or_else(String::new, |year| format!(", born {year}")),
        _ => ", birth date not recorded".to_owned(),
    };
    let line = match calves.source_line.get(row) {
        Some(&line) if line > 0 => format!(", line {line} of the file"),
        _ => String::new(),
    };
    let title = format!("Calf {tag}{born}{line}");
    let rule = "=".repeat(title.chars().count());
    format!("{title}\n{rule}")
}

fn in_words(working: &Working) -> String {
    let mut text = format!("{}: {}\n", working.title, working.result);
    for input in &working.inputs {
        let _ = writeln!(text, "  {}: {}", input.words, input.value);
    }
    for (words, line) in [
        ("Formula", &working.formula),
        ("With numbers", &working.with_numbers),
        ("Source", &working.source),
    ] {
        if !line.is_empty() {
            let _ = writeln!(text, "  {words}: {line}");
        }
    }
    for (words, lines) in [
        ("Assumed", &working.assumed),
        ("Would change it", &working.would_change),
    ] {
        for line in lines {
            let _ = writeln!(text, "  {words}: {line}");
        }
    }
    text.truncate(text.trim_end().len());
    text
}
