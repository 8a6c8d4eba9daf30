//! The end of a file: its table, its notes and what it leaves open.
//!
//! Enters: the filled columns. Leaves: what `reader` hands out.
//! Always true: see `reader`.
//! Never: reads a byte.

use super::fill::Filling;
use super::notes::{Lines, Notes};
use super::order::Evidence;
use super::own_column::{key_for, label_for};
use super::plan::{AgeUnit, DateOrder, ImportPlan, PlannedColumn, Question, Target};
use super::reader::{ColumnReport, Imported, Open, Rows};
use super::words;
use crate::note::Severity;
use crate::sheet::codes::{MALE, SEX};
use crate::sheet::column::{Cells, Column, Kind, Origin};
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;
use crate::sheet::table::Table;

pub(super) fn finish(open: Open, unclosed: Option<u32>) -> Imported {
    let Open {
        mut rows,
        mut plan,
        sniffed,
        guessed,
        book_unit,
        table_unit,
        ..
    } = open;
    let mut notes = Notes::new(plan.sheet);
    let mut questions = guessed;
    about_lines(&mut notes, &rows, unclosed);
    about_headers(&mut notes, &sniffed.headers);

    let mut evidence = Evidence::default();
    for column in &rows.columns {
        evidence.add(&column.waiting);
    }
    let date_order = plan.date_order.or(evidence.order());
    about_dates(&mut notes, &mut questions, &evidence, &plan);

    add_columns_beyond(&mut plan, &rows);
    let n_rows = rows.n_rows() as usize;
    let mut table = Table::new(plan.sheet);
    let mut reports = Vec::with_capacity(rows.columns.len());
    let mut own = Vec::new();
    for (at, filling) in rows.columns.iter_mut().enumerate() {
        let planned = &plan.columns[at];
        let cells = filling.finish(date_order.unwrap_or(DateOrder::MonthFirst));
        about_column(&mut notes, planned, filling, &rows.source_line);
        let mut report = ColumnReport {
            key: None,
            examples: std::mem::take(&mut filling.examples),
            n_filled: filling.n_filled,
            n_unreadable: u32::try_from(filling.unreadable.len()).unwrap_or(u32::MAX),
        };
        match (&planned.target, cells) {
            (Target::Known(key), Some(cells)) => {
                if let Some(column) = table.column_mut(key) {
                    column.cells = cells;
                    column.unreadable = std::mem::take(&mut filling.unreadable);
                    column.header = Some(planned.header.clone());
                }
                report.key = Some(key.clone());
            }
            (Target::Own, Some(cells)) => own.push((at, cells)),
            (_, _) => {}
        }
        reports.push(report);
    }
    table.resize(n_rows);
    for (at, cells) in own {
        let header = &plan.columns[at].header;
        let label = label_for(&table, header, at);
        let key = key_for(plan.sheet, &table, &label);
        let mut column = Column::new(&key, &label, Kind::Text, Origin::Own);
        column.header = Some(header.clone());
        column.cells = cells;
        table.add_column(column);
        reports[at].key = Some(key);
    }
    table.source_line = std::mem::take(&mut rows.source_line);

    if plan.sheet == SheetKind::Calves {
        about_males(&mut table, &plan, &mut questions);
        about_weight_units(
            &table,
            &plan,
            (book_unit, table_unit),
            &mut notes,
            &mut questions,
        );
    }
    let saw_waiting = evidence.n_open + evidence.n_day_first + evidence.n_month_first > 0;
    Imported {
        table,
        table_unit,
        plan,
        columns: reports,
        notes: notes.notes,
        questions,
        date_order: saw_waiting.then_some(date_order.unwrap_or(DateOrder::MonthFirst)),
        n_blank: rows.n_blank,
        n_above_header: rows.above_header.n,
    }
}

/// Cells beyond the header get own columns without a header.
fn add_columns_beyond(plan: &mut ImportPlan, rows: &Rows) {
    for _ in plan.columns.len()..rows.columns.len() {
        plan.columns.push(PlannedColumn {
            header: String::new(),
            target: Target::Own,
            because: "rows have more cells than there are headers; they are kept as your own"
                .to_owned(),
            weight_unit: None,
            age_unit: AgeUnit::Years,
        });
    }
}

fn about_lines(notes: &mut Notes, rows: &Rows, unclosed: Option<u32>) {
    if let Some(line) = unclosed {
        let mut lines = Lines::default();
        lines.add(line, String::new);
        notes.lines(
            "import.quote.unclosed",
            Severity::Error,
            &lines,
            "A quotation mark opens here and never closes: everything after it was read as one cell.",
            "Close or remove the quotation mark in the file and bring it in again.",
        );
    }
    notes.lines(
        "import.cells.too_few",
        Severity::Doubtful,
        &rows.too_few,
        "The line has fewer cells than there are headers; the ones at its end count as missing.",
        "Look at the line: a separator may be missing in it.",
    );
    notes.lines(
        "import.cells.too_many",
        Severity::Doubtful,
        &rows.too_many,
        "The line has more cells than there are headers; they are kept in columns of their own.",
        "Look at the line: a text with a separator in it needs quotation marks around it.",
    );
    notes.lines(
        "import.encoding.invalid",
        Severity::Doubtful,
        &rows.broken_text,
        "The line has letters that are not UTF-8; the sign for a lost letter stands in their place.",
        "Save the file as CSV (UTF-8) and bring it in again.",
    );
    notes.lines(
        "import.header.above",
        Severity::Remark,
        &rows.above_header,
        "The line stands above the headers and was left out.",
        "Nothing to mend, if it is a title.",
    );
    if rows.n_blank > 0 {
        notes.file(
            "import.rows.blank",
            Severity::Remark,
            format!("{} blank lines were passed over.", rows.n_blank),
            "Nothing to mend.",
        );
    }
    if rows.n_rows() == 0 {
        notes.file(
            "import.rows.none",
            Severity::Doubtful,
            "The file has headers and no rows.".to_owned(),
            "Check that this is the right file.",
        );
    }
}

fn about_headers(notes: &mut Notes, headers: &[String]) {
    for (at, header) in headers.iter().enumerate() {
        if header.is_empty() {
            notes.column(
                "import.header.blank",
                Severity::Remark,
                header,
                String::new(),
                format!("Column {} has no header.", at + 1),
                "Give it a header in the file, or a label here.",
            );
        } else if headers[..at].contains(header) {
            notes.column(
                "import.header.twice",
                Severity::Remark,
                header,
                String::new(),
                format!("The header \"{header}\" stands there more than once."),
                "Check which of the columns is the right one.",
            );
        }
    }
    let none_known = headers.iter().all(|header| {
        let found = words::read(header);
        found.concepts == 0 || found.concepts & words::concept::UNKNOWN != 0
    });
    if none_known {
        notes.file(
            "import.header.unknown",
            Severity::Doubtful,
            "None of the headers is known; the first line may not be a line of headers.".to_owned(),
            "Put a line of headers on top of the file, or say for each column what it is.",
        );
    }
}

fn about_dates(
    notes: &mut Notes,
    questions: &mut Vec<Question>,
    evidence: &Evidence,
    plan: &ImportPlan,
) {
    if evidence.contradicts_itself() && plan.date_order.is_none() {
        let [month_first, day_first] = evidence.speaking.clone().map(Option::unwrap_or_default);
        let (order, others) = match evidence.order() {
            Some(DateOrder::DayFirst) => ("day", evidence.n_month_first),
            _ => ("month", evidence.n_day_first),
        };
        notes.file(
            "import.date.order",
            Severity::Doubtful,
            format!(
                "Dates are written in both orders, like \"{month_first}\" and \"{day_first}\". They are read with the {order} first, as most are; {others} cannot be read so."
            ),
            "Look at the dates that could not be read and type them as year-month-day.",
        );
    }
    if evidence.order().is_none() && evidence.n_open > 0 {
        let example = evidence.open_example.clone().unwrap_or_default();
        if plan.date_order.is_none() {
            notes.file(
                "import.date.ambiguous",
                Severity::Doubtful,
                format!(
                    "{} dates like \"{example}\" could have the month or the day first. They are read with the month first.",
                    evidence.n_open
                ),
                "Say which comes first.",
            );
        }
        questions.push(Question::DateOrder {
            example,
            n: evidence.n_open,
        });
    }
}

fn about_column(
    notes: &mut Notes,
    planned: &PlannedColumn,
    filling: &Filling,
    source_line: &[u32],
) {
    let header = &planned.header;
    let line = |row: u32| source_line.get(row as usize).copied().unwrap_or(0);
    if let Some((row, text)) = &filling.other_unit.first {
        notes.column(
            "import.weight.unit_mixed",
            Severity::Remark,
            header,
            text.clone(),
            format!(
                "{} weights in \"{header}\" give another unit than the column, first \"{text}\" in line {}. They were converted.",
                filling.other_unit.n,
                line(*row)
            ),
            "Check that those units are right.",
        );
    }
    if let Some((row, text)) = &filling.short_years.first {
        notes.column(
            "import.date.two_digit_year",
            Severity::Remark,
            header,
            text.clone(),
            format!(
                "{} dates in \"{header}\" have years with two digits, first \"{text}\" in line {}.",
                filling.short_years.n,
                line(*row)
            ),
            "Check that the century is right.",
        );
    }
    if planned.target == Target::LeaveOut && filling.n_filled > 0 {
        notes.column(
            "import.column.left_out",
            Severity::Remark,
            header,
            String::new(),
            format!(
                "\"{header}\" is left out by your choice; {} cells of it held something.",
                filling.n_filled
            ),
            "Nothing to mend, if you do not need them.",
        );
    }
}

/// Males not said to be bulls or steers: counted, asked about, and read as the plan says.
fn about_males(table: &mut Table, plan: &ImportPlan, questions: &mut Vec<Question>) {
    let Some(column) = table.column_mut("sex") else {
        return;
    };
    let Cells::Code(codes) = &mut column.cells else {
        return;
    };
    let n = codes.iter().filter(|&&code| code == MALE).count();
    if n == 0 {
        return;
    }
    questions.push(Question::Male {
        n: u32::try_from(n).unwrap_or(u32::MAX),
    });
    if let Some(means) = plan.male_means.filter(|&means| SEX.key(means).is_some()) {
        for code in codes.iter_mut().filter(|code| **code == MALE) {
            *code = means;
        }
    }
}

/// Weights without a unit that would be strange in the unit of the book as it was and usual in the other.
fn about_weight_units(
    table: &Table,
    plan: &ImportPlan,
    (book_unit, table_unit): (WeightUnit, WeightUnit),
    notes: &mut Notes,
    questions: &mut Vec<Question>,
) {
    // Usual calves, in pounds: 60 to 110 at birth, 350 to 750 at weaning (common practice, no source); the
    // limits leave room, since this only decides whether to ask.
    let looks_like_other = |key: &str, median: f64| match (key, book_unit) {
        ("wean_weight", WeightUnit::Pound) => (120.0..330.0).contains(&median),
        ("wean_weight", WeightUnit::Kilogram) => median > 380.0,
        (_, WeightUnit::Pound) => (20.0..52.0).contains(&median),
        (_, WeightUnit::Kilogram) => median > 55.0,
    };
    for key in ["wean_weight", "birth_weight"] {
        let planned = plan
            .columns
            .iter()
            .find(|column| column.target == Target::Known(key.to_owned()));
        let Some(planned) = planned else { continue };
        if words::read(&planned.header).weight_unit.is_some() {
            continue;
        }
        let unit = planned.weight_unit.unwrap_or(plan.weight_unit);
        let Some(median) = table.column(key).and_then(Column::numbers).and_then(median) else {
            continue;
        };
        let median = crate::sheet::read::convert_weight(median, table_unit, unit);
        if !looks_like_other(key, median) {
            continue;
        }
        let question = Question::WeightUnit {
            header: planned.header.clone(),
            median,
        };
        if unit == book_unit && !plan.answers(&question) {
            let other = match book_unit {
                WeightUnit::Pound => "kilograms",
                WeightUnit::Kilogram => "pounds",
            };
            notes.column(
                "import.weight.unit_unclear",
                Severity::Doubtful,
                &planned.header,
                String::new(),
                format!(
                    "The weights in \"{}\" say no unit and look like {other}: half of them are under {median:.0}. They are read as {}.",
                    planned.header,
                    unit.symbol()
                ),
                "Say which unit they are in.",
            );
        }
        questions.push(question);
        return;
    }
}

/// The middle of the numbers that are there.
fn median(numbers: &[f64]) -> Option<f64> {
    let mut there: Vec<f64> = numbers
        .iter()
        .copied()
        .filter(|number| !number.is_nan())
        .collect();
    if there.is_empty() {
        return None;
    }
    let middle = there.len() / 2;
    let (_, median, _) = there.select_nth_unstable_by(middle, f64::total_cmp);
    Some(*median)
}
