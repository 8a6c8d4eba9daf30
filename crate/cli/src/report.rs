//! `fairpen report`: everything computed, written to a folder.
//!
//! Enters: an input, a folder, and what to compare. Leaves: the documented files and a summary.
//! Always true: what can be refused is refused before anything is computed or written.
//! Never: changes an input, or a file that this command did not write.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use fairpen_engine::compare::compare;
use fairpen_engine::compare::result::CompareSpec;
use fairpen_engine::note::{Note, Severity};
use fairpen_engine::share::tables::{
    ADJUSTED_COLUMNS, GROUPS_COLUMNS, PROBLEMS_COLUMNS, adjusted_csv, groups_csv, problems_csv,
};
use serde::Serialize;
use serde_json::Value;

use crate::args::ReportArguments;
use crate::choosing::choices;
use crate::comparison::ComparisonDocument;
use crate::document::{self, MADE_BY, to_bytes};
use crate::failure::{DONE, Failure};
use crate::output::{self, Mark, OutputFile};
use crate::reading::{FileRead, Opened, open_input};
use crate::today::today;
use crate::{results_file, settings, summary};

const COMPARISON: &str = "comparison.json";
const REPORT: &str = "report.json";

/// Computes and writes everything.
pub fn run(arguments: &ReportArguments) -> Result<u8, Failure> {
    if let Some(path) = &arguments.results {
        results_file::must_be_possible(path)?;
    }
    let opened = open_input(&arguments.input, &arguments.reading)?;
    let spec = spec(arguments);
    let comparison = match &spec {
        Some(spec) => Some(compare(&opened.book, &opened.results, spec)?),
        None => None,
    };
    let mut files = tables(&arguments.out, &opened);
    if let Some(comparison) = &comparison {
        let unit = opened.book.settings.weight_unit;
        let confidence = opened.book.settings.confidence;
        let document =
            ComparisonDocument::new(comparison, unit, confidence, &arguments.differences);
        files.push(file(
            &arguments.out,
            COMPARISON,
            document::MARK,
            to_bytes(&document)?,
        ));
    }
    if let Some(path) = &arguments.results {
        let made_on = arguments.reading.as_of.unwrap_or_else(today);
        let bytes = results_file::write(&opened, spec.as_ref(), made_on)?;
        files.push(OutputFile {
            path: path.clone(),
            bytes,
            mark: results_file::MARK,
        });
    }
    let report = ReportDocument::new(&opened, &files, comparison.is_some())?;
    files.push(file(
        &arguments.out,
        REPORT,
        document::MARK,
        to_bytes(&report)?,
    ));

    for file in &files {
        output::may_write(&file.path, &file.mark, &opened.paths)?;
    }
    output::make_folder(&arguments.out)?;
    output::write_all(&files)?;
    let removed = match comparison {
        Some(_) => false,
        None => output::remove_stale(
            &arguments.out.join(COMPARISON),
            &document::MARK,
            &opened.paths,
        )?,
    };
    let written: Vec<PathBuf> = files.into_iter().map(|file| file.path).collect();
    let text = summary::of(
        &opened,
        comparison.as_ref(),
        &written,
        removed.then_some(COMPARISON),
    );
    output::say(&text)?;
    Ok(DONE)
}

/// What to compare, when anything.
fn spec(arguments: &ReportArguments) -> Option<CompareSpec> {
    arguments.compare.as_ref().map(|column| CompareSpec {
        column: column.clone(),
        levels: arguments.levels.clone(),
        seasons: Vec::new(),
        hold: arguments.hold.clone(),
        choices: choices(&arguments.choosing),
    })
}

fn file(folder: &Path, name: &str, mark: Mark, bytes: Vec<u8>) -> OutputFile {
    OutputFile {
        path: folder.join(name),
        bytes,
        mark,
    }
}

fn tables(folder: &Path, opened: &Opened) -> Vec<OutputFile> {
    // By its first columns: a later version may add some at the end.
    let mark = |columns: &[&str]| Mark::BeginsWith(format!("{},", columns[..5].join(",")));
    let (book, results) = (&opened.book, &opened.results);
    vec![
        file(
            folder,
            "adjusted.csv",
            mark(&ADJUSTED_COLUMNS),
            adjusted_csv(book, results),
        ),
        file(
            folder,
            "groups.csv",
            mark(&GROUPS_COLUMNS),
            groups_csv(book, results),
        ),
        file(
            folder,
            "problems.csv",
            mark(&PROBLEMS_COLUMNS),
            problems_csv(&opened.notes, &opened.accepted),
        ),
    ]
}

/// `report.json`; its fields are explained in `docs/output-files.md`.
#[derive(Serialize)]
struct ReportDocument<'a> {
    made_by: &'static str,
    weight_unit: &'static str,
    as_of: String,
    as_of_from: &'static str,
    files: Vec<FileDocument<'a>>,
    not_read: &'a [String],
    calves: CalvesDocument,
    problems: ProblemsDocument<'a>,
    compared: bool,
    written: Vec<String>,
    settings: Value,
}

#[derive(Serialize)]
struct CalvesDocument {
    rows: usize,
    adjusted: usize,
    with_ratio: usize,
    groups: usize,
    without_adjusted: BTreeMap<&'static str, usize>,
}

#[derive(Serialize)]
struct ProblemsDocument<'a> {
    error: usize,
    doubtful: usize,
    remark: usize,
    accepted: usize,
    by_code: BTreeMap<&'a str, usize>,
}

#[derive(Serialize)]
struct FileDocument<'a> {
    name: &'a str,
    sha256: &'a str,
    rows: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    read_as: Option<ReadAsDocument<'a>>,
}

#[derive(Serialize)]
struct ReadAsDocument<'a> {
    sheet: &'static str,
    separator: &'static str,
    header_line: u32,
    lines_above_header: u32,
    blank_lines: u32,
    decimal_comma: bool,
    weight_unit: &'static str,
    headers: Vec<HeaderDocument<'a>>,
    questions: Vec<QuestionDocument<'a>>,
}

#[derive(Serialize)]
struct HeaderDocument<'a> {
    header: &'a str,
    column: Option<&'a str>,
    kept_as: &'static str,
    because: &'a str,
    unit: Option<&'static str>,
    filled: u32,
    unreadable: u32,
}

#[derive(Serialize)]
struct QuestionDocument<'a> {
    question: &'a str,
    read_as: &'a str,
    answer_with: &'a str,
}

impl<'a> ReportDocument<'a> {
    fn new(
        opened: &'a Opened,
        files: &[OutputFile],
        compared: bool,
    ) -> Result<ReportDocument<'a>, Failure> {
        let mut written: Vec<String> = files
            .iter()
            .filter_map(|file| file.path.file_name())
            .map(|name| name.to_string_lossy().into_owned())
            .collect();
        written.push(REPORT.to_owned());
        Ok(ReportDocument {
            made_by: MADE_BY,
            weight_unit: opened.book.settings.weight_unit.symbol(),
            as_of: opened.book.settings.as_of.iso(),
            as_of_from: opened.as_of_from,
            files: opened.files.iter().map(file_document).collect(),
            not_read: &opened.not_read,
            calves: calves(opened),
            problems: problems(&opened.notes, opened.accepted.len()),
            compared,
            written,
            settings: settings::to_json(&opened.book.settings)?,
        })
    }
}

fn calves(opened: &Opened) -> CalvesDocument {
    let results = &opened.results;
    let there = |values: &[f64]| values.iter().filter(|value| !value.is_nan()).count();
    let mut without_adjusted = BTreeMap::new();
    for (weight, marks) in results.adjusted.adj_205.iter().zip(&results.adjusted.marks) {
        if weight.is_nan() {
            for word in marks.words() {
                *without_adjusted.entry(word).or_insert(0) += 1;
            }
        }
    }
    CalvesDocument {
        rows: opened.book.calves().n_rows(),
        adjusted: there(&results.adjusted.adj_205),
        with_ratio: there(&results.groups.ratio),
        groups: results.groups.groups.len(),
        without_adjusted,
    }
}

fn problems(notes: &[Note], accepted: usize) -> ProblemsDocument<'_> {
    let count = |severity| {
        notes
            .iter()
            .filter(|note| note.severity == severity)
            .count()
    };
    let mut by_code = BTreeMap::new();
    for note in notes {
        *by_code.entry(note.code).or_insert(0) += 1;
    }
    ProblemsDocument {
        error: count(Severity::Error),
        doubtful: count(Severity::Doubtful),
        remark: count(Severity::Remark),
        accepted,
        by_code,
    }
}

fn file_document(file: &FileRead) -> FileDocument<'_> {
    FileDocument {
        name: &file.name,
        sha256: &file.sha256,
        rows: file.n_rows,
        read_as: file.understood.as_ref().map(read_as),
    }
}

fn read_as(understood: &crate::reading::Understood) -> ReadAsDocument<'_> {
    let plan = &understood.plan;
    ReadAsDocument {
        sheet: plan.sheet.key(),
        separator: match plan.delimiter {
            b';' => "semicolon",
            b'\t' => "tab",
            _ => "comma",
        },
        header_line: plan.header_line,
        lines_above_header: understood.n_above_header,
        blank_lines: understood.n_blank,
        decimal_comma: plan.decimal_comma,
        weight_unit: plan.weight_unit.symbol(),
        headers: plan
            .columns
            .iter()
            .zip(&understood.columns)
            .map(|(planned, (key, filled, unreadable))| HeaderDocument {
                header: &planned.header,
                column: key.as_deref(),
                kept_as: match planned.target {
                    fairpen_engine::import::plan::Target::Known(_) => "known",
                    fairpen_engine::import::plan::Target::Own => "own",
                    fairpen_engine::import::plan::Target::LeaveOut => "left_out",
                    fairpen_engine::import::plan::Target::CalvingMonth => "calving_month",
                    fairpen_engine::import::plan::Target::DueDay => "due_day",
                },
                because: &planned.because,
                unit: planned.weight_unit.map(|unit| unit.symbol()),
                filled: *filled,
                unreadable: *unreadable,
            })
            .collect(),
        questions: understood
            .questions
            .iter()
            .map(|question| QuestionDocument {
                question: &question.question,
                read_as: &question.read_as,
                answer_with: &question.answer_with,
            })
            .collect(),
    }
}
