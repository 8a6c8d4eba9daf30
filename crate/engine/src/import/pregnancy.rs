//! A list of pregnancy checks: stages in days, weeks or months, and columns of calving months.
//!
//! Enters: headers, and the typed table of a file of checks. Leaves: the same table with what the headers and the
//! person's answers say, and the questions that are left.
//! Always true: the stage stays as it was written; a letter alone is not read before the person said what it means.
//! Never: makes a cow open that was not checked; a blank says nothing.

use super::check_day::{self, Due, is_due_header};
use super::match_header::Guess;
use super::notes::{Lines, Notes};
use super::plan::{ImportPlan, Question, Target};
use super::result_words::{self, BRED};
use crate::note::{Severity, counted};
use crate::sheet::codes::NO_CODE;
use crate::sheet::column::{Cells, Column, Value};
use crate::sheet::day::Day;
use crate::sheet::interned::Interned;
use crate::sheet::read::stage::{StageUnit, is_bare_number, month_of};
use crate::sheet::table::Table;

/// The unit that a header gives to stages: `Days bred`, `Mos. preg`, `Stage (months)`, `Months`.
pub fn stage_unit_of(header: &str) -> Option<StageUnit> {
    let mut unit = None;
    for word in header
        .to_lowercase()
        .split(|ch: char| !ch.is_alphanumeric())
        .filter(|word| !word.is_empty())
    {
        match word {
            "days" => unit = unit.or(Some(StageUnit::Days)),
            "weeks" | "wks" => unit = unit.or(Some(StageUnit::Weeks)),
            "months" | "mos" | "mo" => unit = unit.or(Some(StageUnit::Months)),
            "bred" | "preg" | "pregnant" | "pregnancy" | "along" | "stage" | "gestation" | "of"
            | "in" | "far" | "how" | "carried" => {}
            _ => return None,
        }
    }
    unit
}

/// Gives a column of days or months bred to the stage, and columns of months to the month of calving.
pub(super) fn guess_stage(guess: &mut Guess, headers: &[String], rows: &[Vec<String>]) {
    let stage = Target::Known("stage".to_owned());
    if !guess.columns.iter().any(|column| column.target == stage)
        && let Some(at) = (0..headers.len()).find(|&at| {
            guess.columns[at].target == Target::Own && stage_unit_of(&headers[at]).is_some()
        })
    {
        guess.columns[at].target = stage;
        guess.columns[at].because = format!("\"{}\" says how far along she is", headers[at]);
    }
    if let Some(at) = (0..headers.len())
        .find(|&at| guess.columns[at].target == Target::Own && is_due_header(&headers[at]))
    {
        guess.columns[at].target = Target::DueDay;
        guess.columns[at].because = format!(
            "\"{}\" says when she is due: it stands as her stage",
            headers[at]
        );
    }
    let months: Vec<usize> = (0..headers.len())
        .filter(|&at| guess.columns[at].target == Target::Own && month_of(&headers[at]).is_some())
        .collect();
    let cells = rows
        .iter()
        .flat_map(|row| months.iter().filter_map(|&at| row.get(at)))
        .map(|cell| cell.trim())
        .filter(|cell| !cell.is_empty());
    let (mut n_marks, mut n_filled) = (0, 0);
    for cell in cells {
        n_filled += 1;
        n_marks += usize::from(is_mark(cell));
    }
    // One month alone may be a column of anything that was done in it; a line of totals may stand at the foot.
    if months.len() < 2 || n_marks * 2 <= n_filled {
        return;
    }
    for at in months {
        guess.columns[at].target = Target::CalvingMonth;
        guess.columns[at].because = format!(
            "\"{}\" is one of several months with marks: taken as the month in which she calves",
            headers[at]
        );
    }
}

/// True for a sign that stands for yes under a header.
fn is_mark(text: &str) -> bool {
    matches!(
        text.to_lowercase().as_str(),
        "x" | "xx" | "✓" | "✔" | "√" | "*" | "+" | "1" | "y" | "yes"
    )
}

/// What of a file of checks goes into no column of its own.
#[derive(Default)]
pub(super) struct Beside {
    /// Columns of months, by their positions in the file.
    pub months: Vec<(usize, Cells)>,
    /// Columns of days due.
    pub due: Vec<Due>,
    /// A day that stands above the headers or in the name of the file, with its text.
    pub suggested: Option<(Day, String)>,
}

/// Everything that is said of a file of checks.
pub(super) fn settle(
    table: &mut Table,
    plan: &ImportPlan,
    beside: Beside,
    notes: &mut Notes,
    questions: &mut Vec<Question>,
) {
    let header_of = |key: &str| {
        plan.columns
            .iter()
            .find(|column| column.target == Target::Known(key.to_owned()))
            .map_or(String::new(), |column| column.header.clone())
    };
    let suggested = beside.suggested.unwrap_or((Day::MISSING, String::new()));
    check_day::settle_day(table, plan, suggested, questions);
    let beside_result = result_words::settle(table, plan, &header_of("result"), notes, questions);
    calving_months(table, plan, &beside.months, notes, questions);
    check_day::settle_due(table, plan, &beside.due, notes);
    let bare = table
        .column("stage")
        .and_then(Column::texts)
        .map(bare_numbers)
        .unwrap_or_default();
    let (of_result, of_stage): (Vec<u32>, Vec<u32>) = bare
        .into_iter()
        .partition(|row| beside_result.binary_search(row).is_ok());
    let of_stage = (of_stage, header_of("stage"));
    stage_units(
        table,
        plan,
        of_stage,
        (of_result, header_of("result")),
        notes,
        questions,
    );
}

/// Marks under months of calving become the stage where it is blank.
fn calving_months(
    table: &mut Table,
    plan: &ImportPlan,
    months: &[(usize, Cells)],
    notes: &mut Notes,
    questions: &mut Vec<Question>,
) {
    if months.is_empty() {
        return;
    }
    let n_rows = table.n_rows();
    let line = |table: &Table, row: usize| table.source_line.get(row).copied().unwrap_or(0);
    let (mut marked, mut two, mut other) = (Vec::new(), Lines::default(), Lines::default());
    let mut stages: Vec<String> = vec![String::new(); n_rows];
    for (row, stage) in stages.iter_mut().enumerate() {
        let mut said: Vec<String> = Vec::new();
        for (at, cells) in months {
            let Cells::Text(texts) = cells else { continue };
            let text = texts.get(row).unwrap_or("");
            let header = &plan.columns[*at].header;
            if text.is_empty() {
            } else if is_mark(text) {
                said.push(format!("calves in {header}"));
            } else {
                other.add(line(table, row), || format!("{header}: {text}"));
                said.push(format!("{header}: {text}"));
            }
        }
        if said.is_empty() {
            continue;
        }
        if said.len() > 1 {
            two.add(line(table, row), || said.join("; "));
        }
        marked.push(row);
        *stage = said.join("; ");
    }
    if let Some(column) = table.column_mut("stage") {
        put_where_blank(column, &stages);
    }
    let mut n_blank = 0;
    if let Some(column) = table.column_mut("result")
        && let Cells::Code(codes) = &mut column.cells
    {
        for &row in &marked {
            let is_blank = codes[row] == NO_CODE
                && u32::try_from(row).is_ok_and(|row| !column.unreadable.contains_key(&row));
            if is_blank {
                n_blank += 1;
                if plan.checks.marks_mean_bred {
                    codes[row] = BRED;
                }
            }
        }
    }
    let headers: Vec<String> = months
        .iter()
        .map(|(at, _)| plan.columns[*at].header.clone())
        .collect();
    if !marked.is_empty() {
        notes.file(
            "import.checks.month",
            Severity::Remark,
            format!(
                "{} a mark under a month ({}). It was taken as the month in which she calves and stands as her stage.",
                if marked.len() == 1 {
                    "1 line has".to_owned()
                } else {
                    format!("{} lines have", marked.len())
                },
                headers.join(", ")
            ),
            "If the months are those in which they were bred, keep these columns as your own.",
        );
    }
    notes.lines(
        "import.checks.two_months",
        Severity::Doubtful,
        &two,
        "The line has more than one month marked; all of them stand as the stage, and no days are worked out from it.",
        "Leave one month in the stage.",
    );
    notes.lines(
        "import.checks.no_mark",
        Severity::Doubtful,
        &other,
        "The cell under a month of calving holds something else than a mark; it stands in the stage as it was.",
        "Say in the stage what is meant: calves in April.",
    );
    if n_blank > 0 {
        questions.push(Question::MonthMarks {
            headers,
            n: n_blank,
        });
    }
}

fn put_where_blank(column: &mut Column, texts: &[String]) {
    for (row, text) in (0_u32..).zip(texts) {
        if !text.is_empty() && column.value(row as usize) == Value::Missing {
            let _missing = column.put(row, Value::Text(text.clone()));
        }
    }
}

/// The unit of stages that are bare numbers: of those in their own column, and of those that stood beside a result.
/// The header says the unit of the first alone.
fn stage_units(
    table: &mut Table,
    plan: &ImportPlan,
    (of_stage, header): (Vec<u32>, String),
    (of_result, result_header): (Vec<u32>, String),
    notes: &mut Notes,
    questions: &mut Vec<Question>,
) {
    let by_header = stage_unit_of(&header);
    let (said, asked, asked_header) = match by_header {
        Some(_) => (of_stage, of_result, result_header),
        None if of_stage.is_empty() => (Vec::new(), of_result, result_header),
        None => {
            let mut both = of_stage;
            both.extend(of_result);
            both.sort_unstable();
            (Vec::new(), both, header.clone())
        }
    };
    if let Some(&first) = asked.first() {
        let example = table
            .column("stage")
            .and_then(Column::texts)
            .and_then(|texts| texts.get(first as usize))
            .unwrap_or("");
        questions.push(Question::StageUnit {
            header: asked_header,
            example: example.to_owned(),
            n: u32::try_from(asked.len()).unwrap_or(u32::MAX),
        });
    }
    if let Some(unit) = plan.checks.stage_unit {
        put_unit(table, &asked, unit);
    }
    let Some(unit) = by_header else { return };
    let n = put_unit(table, &said, unit);
    if n > 0 {
        let word = match unit {
            StageUnit::Days => "days",
            StageUnit::Weeks => "weeks",
            StageUnit::Months => "months",
        };
        notes.column(
            "import.checks.stage_unit",
            Severity::Remark,
            &header,
            String::new(),
            format!(
                "{} of \"{header}\" {} a bare number, of {word} by the header.",
                counted(n, "stage"),
                if n == 1 { "is" } else { "are" }
            ),
            "Nothing to mend, if that is what was meant.",
        );
    }
}

/// Puts the unit to rows that have none; gives how many.
fn put_unit(table: &mut Table, rows: &[u32], unit: StageUnit) -> usize {
    let Some(column) = table.column_mut("stage_unit") else {
        return 0;
    };
    let Cells::Code(codes) = &mut column.cells else {
        return 0;
    };
    let mut n = 0;
    for &row in rows {
        let code = &mut codes[row as usize];
        if *code == NO_CODE && !column.unreadable.contains_key(&row) {
            *code = unit.position();
            n += 1;
        }
    }
    n
}

/// Rows whose stage is a number without a unit. Few different stages stand in a file: each is looked at once.
fn bare_numbers(texts: &Interned) -> Vec<u32> {
    let is_bare: Vec<bool> = texts.texts().map(is_bare_number).collect();
    (0_u32..)
        .zip(texts.codes())
        .filter(|(_, code)| is_bare.get(**code as usize).copied().unwrap_or(false))
        .map(|(row, _)| row)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headers_give_the_unit_of_stages() {
        for (header, unit) in [
            ("Days bred", Some(StageUnit::Days)),
            ("days_bred", Some(StageUnit::Days)),
            ("Stage (months)", Some(StageUnit::Months)),
            ("Mos. preg", Some(StageUnit::Months)),
            ("Months", Some(StageUnit::Months)),
            ("Weeks along", Some(StageUnit::Weeks)),
            ("Day", None),
            ("Days on feed", None),
            ("Stage", None),
            ("bred", None),
        ] {
            assert_eq!(stage_unit_of(header), unit, "{header}");
        }
    }
}
