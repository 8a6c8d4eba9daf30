//! The end of a file: its table, its notes and what it leaves open.
//!
//! Enters: the filled columns. Leaves: what `reader` hands out.
//! Always true: see `reader`.
//! Never: reads a byte.

use super::about_file::{
    about_column, about_dates, about_day_counts, about_headers, about_lines, about_needed_columns,
};
use super::about_years::about_far_days;
use super::check_day::day_in;
use super::notes::{Lines, Notes};
use super::order::Evidence;
use super::own_column::{key_for, label_for};
use super::own_kind::own_kind;
use super::plan::{AgeUnit, DateOrder, ImportPlan, PlannedColumn, Question, Repeated, Target};
use super::pregnancy;
use super::reader::{ColumnReport, Imported, Open, Rows};
use super::recall::Recalled;
use super::repeated;
use super::summary_rows::at_the_foot;
use super::words;
use crate::note::{Severity, counted};
use crate::sheet::codes::{MALE, SEX};
use crate::sheet::column::{Cells, Column, Origin, Value};
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;
use crate::sheet::table::Table;

pub(super) fn finish(open: Open, unclosed: Option<u32>) -> Imported {
    let Open {
        mut rows,
        mut plan,
        sniffed,
        guessed,
        mut recalled,
        file_name,
        as_of,
        book_unit,
        table_unit,
        ..
    } = open;
    let mut notes = Notes::new(plan.sheet);
    let mut questions = guessed;
    if let Some(line) = unclosed {
        // It has fewer cells because the rest went into one.
        rows.too_few.forget(line);
    }
    let n_read = rows.n_rows() + rows.header_again.n + rows.units.n;
    about_summary_rows(&mut notes, &mut questions, &mut rows, &plan);
    let n_set_aside = n_read - rows.n_rows();
    about_lines(&mut notes, &rows, unclosed);
    about_headers(&mut notes, &sniffed.headers, &rows);

    let mut evidence = Evidence::default();
    for (at, column) in rows.columns.iter().enumerate() {
        evidence.add(at, &column.waiting);
    }
    if let Some(recalled) = &mut recalled {
        keep_to_evidence(&mut plan, &evidence, recalled);
    }
    let date_order = plan.date_order.or(evidence.order());
    about_dates(
        &mut notes,
        &mut questions,
        &evidence,
        &plan,
        &rows.source_line,
    );

    about_day_counts(&mut questions, &rows.columns);

    add_columns_beyond(&mut plan, &rows);
    let n_rows = rows.n_rows() as usize;
    let mut table = Table::new(plan.sheet);
    let mut reports = Vec::with_capacity(rows.columns.len());
    let mut own = Vec::new();
    let mut beside = pregnancy::Beside::default();
    for (at, filling) in rows.columns.iter_mut().enumerate() {
        let planned = &plan.columns[at];
        let cells = filling.finish(date_order.unwrap_or(DateOrder::MonthFirst));
        about_column(
            &mut notes,
            planned,
            filling,
            plan.day_count,
            &rows.source_line,
        );
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
            (Target::CalvingMonth, Some(cells)) => {
                beside.months.push((at, cells));
                report.key = Some("stage".to_owned());
            }
            (Target::DueDay, Some(cells)) => {
                let unreadable = std::mem::take(&mut filling.unreadable);
                beside.due.push((at, cells, unreadable));
                report.n_unreadable = 0;
                report.key = Some("stage".to_owned());
            }
            (_, _) => {}
        }
        reports.push(report);
    }
    table.resize(n_rows);
    for (at, cells) in own {
        let header = &plan.columns[at].header;
        let label = label_for(&table, header, at);
        let key = key_for(plan.sheet, &table, &label);
        let (kind, cells) = own_kind(cells, &plan, date_order);
        let mut column = Column::new(&key, &label, kind, Origin::Own);
        column.header = Some(header.clone());
        column.cells = cells;
        table.add_column(column);
        reports[at].key = Some(key);
    }
    table.source_line = std::mem::take(&mut rows.source_line);

    about_far_days(&mut notes, &table, as_of);
    if plan.sheet == SheetKind::Calves {
        about_needed_columns(&mut notes, &plan);
        about_males(&mut table, &plan, &mut questions);
        about_weight_units(
            &table,
            &plan,
            (book_unit, table_unit),
            &mut notes,
            &mut questions,
        );
    }
    if plan.sheet == SheetKind::Checks {
        let above = rows
            .above_header
            .first
            .iter()
            .map(|(_, text)| text.as_str());
        let texts = above.chain(std::iter::once(file_stem(&file_name)));
        beside.suggested = Some(day_in(texts, date_order, plan.two_digit_year_to));
        pregnancy::settle(&mut table, &plan, beside, &mut notes, &mut questions);
        for (report, planned) in reports.iter_mut().zip(&plan.columns) {
            if planned.target == Target::Known("result".to_owned())
                && let Some(column) = table.column("result")
            {
                report.n_unreadable = u32::try_from(column.unreadable.len()).unwrap_or(u32::MAX);
            }
        }
    }
    name_by_electronic_id(&mut table, &mut notes);
    let (table, n_repeated) = about_repeated(table, &plan, &mut notes, &mut questions);
    let saw_waiting = evidence.n_open + evidence.n_day_first + evidence.n_month_first > 0;
    let notes = notes.finish(&plan);
    Imported {
        table,
        table_unit,
        recalled,
        plan,
        columns: reports,
        notes,
        questions,
        date_order: saw_waiting.then_some(date_order.unwrap_or(DateOrder::MonthFirst)),
        n_blank: rows.n_blank,
        n_above_header: rows.above_header.n,
        n_set_aside: n_set_aside + n_repeated,
    }
}

/// The name of a file without its folder and its ending.
fn file_stem(name: &str) -> &str {
    let name = name.rsplit(['/', '\\']).next().unwrap_or(name);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}

/// A remembered order of dates gives way to what the file's own dates say.
fn keep_to_evidence(plan: &mut ImportPlan, evidence: &Evidence, recalled: &mut Recalled) {
    let (Some(remembered), Some(order)) = (plan.date_order, evidence.order()) else {
        return;
    };
    if remembered == order {
        return;
    }
    plan.date_order = None;
    plan.answered.retain(|key| key != "date_order");
    let (then, now) = match remembered {
        DateOrder::MonthFirst => ("month", "day"),
        DateOrder::DayFirst => ("day", "month"),
    };
    recalled.misfits.push(format!(
        "Its dates had the {then} first; in this file the {now} comes first."
    ));
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

/// Rows of totals at the foot: set aside and named, unless the plan keeps them.
fn about_summary_rows(
    notes: &mut Notes,
    questions: &mut Vec<Question>,
    rows: &mut Rows,
    plan: &ImportPlan,
) {
    let found = at_the_foot(plan, &rows.columns, &rows.source_line);
    let Some(first) = found.first() else { return };
    let n = u32::try_from(found.len()).unwrap_or(u32::MAX);
    questions.push(Question::SummaryRows {
        n,
        line: first.line,
        word: first.word.clone(),
    });
    if plan.keep_summary_rows {
        return;
    }
    let n_kept = rows.n_rows() - n;
    for column in &mut rows.columns {
        column.drop_from(n_kept);
    }
    rows.source_line.truncate(n_kept as usize);
    let mut lines = Lines::default();
    for row in &found {
        rows.too_few.forget(row.line);
        lines.add(row.line, || {
            format!(
                "{}, and {}",
                row.word,
                counted(row.n_others as usize, "more cell")
            )
        });
    }
    notes.lines(
        "import.rows.summary",
        Severity::Remark,
        &lines,
        "The line stands at the foot, begins with a word for a total or a mean, and has no sex: it was set aside.",
        "Nothing to mend, if it is a total. If it is an animal, answer so when you are asked, or give it a sex in the file.",
    );
}

/// In a sheet whose rows name an animal, a row without a tag is named by its electronic ID, which stands in a column
/// of its own.
fn name_by_electronic_id(table: &mut Table, notes: &mut Notes) {
    let key = match table.kind {
        SheetKind::Checks => "cow",
        SheetKind::Weights | SheetKind::Scores | SheetKind::Stays => "animal",
        _ => return,
    };
    let Some(electronic) = table
        .columns()
        .iter()
        .find(|column| {
            column.origin == Origin::Own
                && column.header.as_deref().is_some_and(|header| {
                    words::read(header).concepts & !words::concept::ID == words::concept::ELECTRONIC
                })
        })
        .and_then(Column::texts)
        .cloned()
    else {
        return;
    };
    let lines = table.source_line.clone();
    let Some(column) = table.column_mut(key) else {
        return;
    };
    let mut named = Lines::default();
    for (row, line) in (0_u32..).zip(lines) {
        let Some(text) = electronic.get(row as usize).filter(|text| !text.is_empty()) else {
            continue;
        };
        if column.value(row as usize) == Value::Missing {
            let _missing = column.put(row, Value::Text(text.to_owned()));
            named.add(line, || text.to_owned());
        }
    }
    notes.lines(
        "import.animal.by_eid",
        Severity::Remark,
        &named,
        "The line has no tag; the animal is named by its electronic ID.",
        "Nothing to mend, if the animal is on record with this electronic ID.",
    );
}

/// Rows that name the same animal: asked about; all come in, or the first or last of them, as the plan says. Gives
/// how many were set aside.
fn about_repeated(
    table: Table,
    plan: &ImportPlan,
    notes: &mut Notes,
    questions: &mut Vec<Question>,
) -> (Table, u32) {
    let groups = repeated::find(&table);
    let Some(first) = groups.first() else {
        return (table, 0);
    };
    let line = |row: u32| table.source_line.get(row as usize).copied().unwrap_or(0);
    let name = |row: u32| {
        ["tag", "animal", "cow", "eid"]
            .iter()
            .filter_map(|key| table.column(key))
            .map(|column| column.shown_value(&column.value(row as usize)))
            .find(|text| !text.is_empty())
            .unwrap_or_default()
    };
    let n: usize = groups.iter().map(Vec::len).sum();
    questions.push(Question::Repeated {
        n: u32::try_from(n).unwrap_or(u32::MAX),
        lines: [line(first[0]), line(first[1])],
        name: name(first[0]),
    });
    let mut out: Vec<u32> = Vec::new();
    let (mut kept, mut aside) = (Lines::default(), Lines::default());
    for rows in &groups {
        let stays = match plan.repeated {
            Repeated::All => None,
            Repeated::First => rows.first(),
            Repeated::Last => rows.last(),
        };
        for &row in rows {
            let lines = match stays {
                None => &mut kept,
                Some(&stays) if stays == row => continue,
                Some(_) => {
                    out.push(row);
                    &mut aside
                }
            };
            lines.add(line(row), || name(row));
        }
    }
    notes.lines(
        "import.rows.repeated",
        Severity::Doubtful,
        &kept,
        "Another line of the file names the same animal, on the same day where lines have a day. All of them come in.",
        "Say when you are asked whether the first or the last of them holds, or mend the tag.",
    );
    notes.lines(
        "import.rows.repeated_aside",
        Severity::Remark,
        &aside,
        "Another line of the file names the same animal and holds by your choice; this one was set aside.",
        "Nothing to mend, if you do not need it.",
    );
    if out.is_empty() {
        return (table, 0);
    }
    out.sort_unstable();
    let n_rows = u32::try_from(table.n_rows()).unwrap_or(u32::MAX);
    let stay: Vec<u32> = (0..n_rows)
        .filter(|row| out.binary_search(row).is_err())
        .collect();
    let n_out = u32::try_from(out.len()).unwrap_or(u32::MAX);
    (table.select(&stay), n_out)
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
        // Said by the header, or by the line of units under it.
        if planned.weight_unit.is_some() {
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
