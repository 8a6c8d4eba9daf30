//! The results file: one HTML file that shows chosen figures and can do its sums again.
//!
//! Enters: a book, its results, a choice, and the viewer's template. Leaves: the file's text.
//! Always true: the payload is versioned; every figure says what it rests on; nothing of a column that was
//! not chosen is in the file; the engine in the file gets the figures marked so, or says loudly that they
//! do not match.
//! Never: proves a weight or where a file comes from, and says so in the file itself.

pub mod basis;
pub mod behind;
mod body;
mod choices_record;
mod comparison;
mod comparison_body;
pub mod digest;
mod groups;
mod guard;
mod markup;
pub mod method;
pub mod payload;
pub mod rebuild;
pub mod render;
mod same;
mod settings;
pub mod shown;
pub mod verify;

use payload::{DigestRecord, FORMAT, Payload, ProblemsRecord, VERSION};

use super::choice::Choice;
use crate::adjust::columns::{CalfColumns, texts};
use crate::adjust::dam_age::{DamAgeFrom, DamAges};
use crate::adjust::marks::Marks;
use crate::check::check;
use crate::compare::result::Comparison;
use crate::error::Error;
use crate::group::key::kinds_by_name;
use crate::note::Severity;
use crate::results::{ResultColumn, Results};
use crate::sheet::codes::PLACE_KIND;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// Builds the payload of a results file.
///
/// # Errors
///
/// `share.choice.no_columns`, `share.choice.no_calves`, `share.choice.made_on`, and what
/// [`crate::compare::compare`] refuses.
pub fn build(book: &Workbook, results: &Results, choice: &Choice) -> Result<Payload, Error> {
    let rows = choice.rows_of(book);
    refuse_empty(book, choice, &rows)?;
    let guard = guard::Guard::new(book, choice);
    let named = groups::Named::new(book, results, choice, &rows);
    let compared = match &choice.compare {
        Some(spec) if choice.compare_goes(book, spec) => {
            Some(crate::compare::compare(book, results, spec)?)
        }
        _ => None,
    };
    let problems = still_doubtful(book, results, &rows);
    let unit = book.settings.weight_unit;
    let mut payload = Payload {
        format: FORMAT.to_owned(),
        version: VERSION,
        program: env!("CARGO_PKG_VERSION").to_owned(),
        title: book.settings.title.clone(),
        message: choice.message.clone(),
        made_on: choice.made_on.clone(),
        weight_unit: unit.symbol().to_owned(),
        settings: settings::record(&book.settings),
        every_calf: rows.len() == book.calves().n_rows(),
        n_calves: u32::try_from(rows.len()).unwrap_or(u32::MAX),
        columns: columns(book, results, choice, &guard, &named, &rows),
        place_kinds: if choice.has("place") {
            place_kinds(book, &rows)
        } else {
            Vec::new()
        },
        raising_ages: raising_ages(book, results, choice, &rows),
        groups: choice
            .groups
            .then(|| named.table(book, results, &guard, &rows)),
        method: Vec::new(),
        cautions: method::cautions(book, results, &rows, problems.errors + problems.doubtful),
        stays_home: choice.stays_home(book, results),
        comparison: compared.as_ref().map(|compared: &Comparison| {
            let reached_goes =
                choice.is_open(book, "left_because") && choice.is_open(book, "left_on");
            let mut record = comparison::record(compared, unit, &guard, reached_goes);
            record
                .cautions
                .extend(comparison::stays_stated(compared, book, choice));
            record
        }),
        problems,
        digest: DigestRecord::default(),
    };
    payload.method = method::lines(
        &book.settings,
        payload
            .comparison
            .as_ref()
            .map(|comparison| comparison.method.as_str()),
    );
    let formulas = payload
        .columns
        .iter()
        .filter(|column| column.origin == shown::CALCULATED)
        .map(|column| (column.label.clone(), column.help.clone()))
        .collect::<Vec<_>>();
    payload.method.extend(formulas);
    basis::assign(book, results, choice, &rows, &mut payload);
    payload.digest = digest::of(&payload);
    Ok(payload)
}

/// What a choice would hand over, before the file is made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Preview {
    /// Calves that go.
    pub n_calves: u32,
    /// What stays home, a sentence each.
    pub stays_home: Vec<String>,
    /// What the engine in the file will find.
    pub counts: verify::Counts,
}

/// Looks ahead. A choice without columns or calves is shown as it is.
///
/// # Errors
///
/// What [`build`] refuses, but for empty choices.
pub fn preview(book: &Workbook, results: &Results, choice: &Choice) -> Result<Preview, Error> {
    let n_calves = u32::try_from(choice.rows_of(book).len()).unwrap_or(u32::MAX);
    let stays_home = choice.stays_home(book, results);
    let counts = match build(book, results, choice) {
        Ok(payload) => verify::verify(&payload).counts,
        Err(refusal)
            if matches!(
                refusal.code(),
                "share.choice.no_columns" | "share.choice.no_calves"
            ) =>
        {
            verify::Counts::default()
        }
        Err(refusal) => return Err(refusal),
    };
    Ok(Preview {
        n_calves,
        stays_home,
        counts,
    })
}

fn refuse_empty(book: &Workbook, choice: &Choice, rows: &[u32]) -> Result<(), Error> {
    let known =
        |key: &String| book.calves().column(key).is_some() || ResultColumn::from_key(key).is_some();
    if !choice.columns.iter().any(known) {
        return Err(Error::new(
            "share.choice.no_columns",
            "No column was chosen, so the file would be empty.",
            "Choose at least one column to hand over.",
        ));
    }
    if rows.is_empty() {
        return Err(Error::new(
            "share.choice.no_calves",
            "No calf was chosen, so the file would be empty.",
            "Choose at least one calf, or take a filter off.",
        ));
    }
    if !choice.made_on.is_empty() && rebuild::iso_day(&choice.made_on).is_missing() {
        return Err(Error::new(
            "share.choice.made_on",
            format!("\"{}\" is not a day.", choice.made_on),
            "Write the day of the hand-over like 2026-11-25, or leave it blank.",
        ));
    }
    Ok(())
}

fn columns(
    book: &Workbook,
    results: &Results,
    choice: &Choice,
    guard: &guard::Guard,
    named: &groups::Named,
    rows: &[u32],
) -> Vec<payload::ColumnRecord> {
    let mut records: Vec<payload::ColumnRecord> = Vec::new();
    for key in &choice.columns {
        if records.iter().any(|record| record.key == *key) {
            continue;
        }
        if let Some(column) = book.calves().column(key) {
            records.push(if column.formula.is_some() {
                shown::calculated(column, results, rows)
            } else {
                shown::entered(book, column, rows)
            });
        } else if let Some(column) = ResultColumn::from_key(key) {
            let mut record = shown::computed(book, results, column, rows);
            match column {
                ResultColumn::ContemporaryGroup => named.rename(results, rows, &mut record),
                ResultColumn::Flags => {
                    for (cell, &row) in record.cells.iter_mut().zip(rows) {
                        let row = row as usize;
                        let has_figure = !results.adjusted.adj_205[row].is_nan();
                        let flags = guard.flags(results.adjusted.marks[row], has_figure);
                        *cell = if flags.is_empty() {
                            payload::Cell::Missing
                        } else {
                            payload::Cell::Text(flags)
                        };
                    }
                }
                _ => {}
            }
            records.push(record);
        }
    }
    records
}

/// The kinds of the places that calves of the file name, by name.
fn place_kinds(book: &Workbook, rows: &[u32]) -> Vec<(String, String)> {
    let kinds = kinds_by_name(book);
    let places = texts(book.sheet(SheetKind::Calves), "place");
    let mut named: Vec<&str> = rows
        .iter()
        .filter_map(|&row| places.get(row as usize))
        .collect();
    fairpen_stats::in_order::order(&mut named);
    named.dedup();
    named
        .into_iter()
        .filter_map(|name| {
            let kind = kinds.get(name).and_then(|kind| PLACE_KIND.key(*kind))?;
            Some((name.to_owned(), kind.to_owned()))
        })
        .collect()
}

/// Ages of the cows that raised foster calves of the file, where they are on record and may go.
fn raising_ages(
    book: &Workbook,
    results: &Results,
    choice: &Choice,
    rows: &[u32],
) -> Vec<(u32, i32)> {
    if !choice.has(ResultColumn::DamAgeDays.key()) || !choice.is_open(book, "raised_by") {
        return Vec::new();
    }
    let calves = CalfColumns::of(book);
    let dams = DamAges::of(book, &calves);
    (0_u32..)
        .zip(rows)
        .filter(|(_, row)| results.adjusted.marks[**row as usize].has(Marks::FOSTER))
        .map(|(at, &row)| (at, dams.raising_cow(&calves, row as usize)))
        .filter(|(_, cow)| cow.from != DamAgeFrom::Unknown)
        .map(|(at, cow)| (at, cow.days))
        .collect()
}

/// What `check` finds about the calves of the file.
fn still_doubtful(book: &Workbook, results: &Results, rows: &[u32]) -> ProblemsRecord {
    let mut here = vec![false; book.calves().n_rows()];
    for &row in rows {
        here[row as usize] = true;
    }
    let mut problems = ProblemsRecord::default();
    for finding in check(book, results).list {
        let of_a_calf_here = finding.sheet == SheetKind::Calves
            && here.get(finding.row as usize).copied().unwrap_or(false);
        if of_a_calf_here {
            match finding.code.severity() {
                Severity::Error => problems.errors += 1,
                Severity::Doubtful => problems.doubtful += 1,
                Severity::Remark => problems.remarks += 1,
            }
        }
    }
    problems
}
