//! What is said about a file as a whole, in words.
//!
//! Enters: the filled columns, the headers, the plan. Leaves: notes.
//! Always true: each note says where, what was read and how to mend it.
//! Never: changes a column or a plan.

use super::about_years::short_years;
use super::day_count;
use super::fill::{CellSeen, Counted, Filling};
use super::notes::{Lines, Notes};
use super::order::Evidence;
use super::plan::{DateOrder, DayCount, ImportPlan, PlannedColumn, Question, Target};
use super::reader::Rows;
use super::words;
use crate::note::{Severity, counted};
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;

pub(super) fn about_lines(notes: &mut Notes, rows: &Rows, unclosed: Option<u32>) {
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
        "The line has bytes that are letters neither in UTF-8 nor in Windows-1252; the sign for a lost letter stands in their place.",
        "Save the file as CSV (UTF-8) and bring it in again.",
    );
    if let (n, Some((line, text))) = &rows.windows_1252 {
        notes.line_read(
            "import.encoding.windows_1252",
            Severity::Remark,
            *line,
            text.clone(),
            format!(
                "{} letters that are not UTF-8, first \"{text}\" in line {line}. They were read as Windows-1252.",
                if *n == 1 { "1 line has".to_owned() } else { format!("{n} lines have") }
            ),
            "Nothing to mend, if the letters look right.",
        );
    }
    if let Some(n_lost) = rows.utf16_lost {
        let (severity, lost) = match n_lost {
            0 => (Severity::Remark, String::new()),
            n => (
                Severity::Doubtful,
                format!(
                    " {} no letter; the sign for a lost letter stands there.",
                    if n == 1 {
                        "1 sign was".to_owned()
                    } else {
                        format!("{n} signs were")
                    }
                ),
            ),
        };
        notes.file(
            "import.encoding.utf16",
            severity,
            format!("The file is text in UTF-16 and was read so.{lost}"),
            "Nothing to mend, if the letters look right.",
        );
    }
    notes.lines(
        "import.header.above",
        Severity::Remark,
        &rows.above_header,
        "The line stands above the headers and was left out.",
        "Nothing to mend, if it is a title.",
    );
    notes.lines(
        "import.rows.header_again",
        Severity::Remark,
        &rows.header_again,
        "The line is the line of headers again; it was set aside.",
        "Nothing to mend.",
    );
    notes.lines(
        "import.rows.units",
        Severity::Remark,
        &rows.units,
        "The line under the headers holds units and no animal; it was set aside, and its units were used where the header gives none.",
        "Nothing to mend.",
    );
    if rows.n_blank > 0 {
        notes.line(
            "import.rows.blank",
            Severity::Remark,
            rows.first_blank,
            format!(
                "{} {} passed over{}.",
                counted(rows.n_blank as usize, "blank line"),
                if rows.n_blank == 1 { "was" } else { "were" },
                match rows.first_blank {
                    Some(line) if rows.n_blank > 1 => format!(", the first in line {line}"),
                    _ => String::new(),
                }
            ),
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

pub(super) fn about_headers(notes: &mut Notes, headers: &[String], rows: &Rows) {
    for (at, header) in headers.iter().enumerate() {
        if header.is_empty() {
            let first = rows.columns.get(at).and_then(|column| {
                rows.source_line
                    .iter()
                    .zip(0_u32..)
                    .find_map(|(&line, row)| match column.cell(row) {
                        CellSeen::Missing => None,
                        CellSeen::Read(text) | CellSeen::Unreadable(text) => Some((line, text)),
                    })
            });
            let (line, read) =
                first.map_or((None, String::new()), |(line, text)| (Some(line), text));
            notes.cell(
                "import.header.blank",
                Severity::Remark,
                header,
                line,
                read,
                match line {
                    Some(line) => format!(
                        "Column {} has no header; the first line with something in it is {line}.",
                        at + 1
                    ),
                    None => format!("Column {} has no header and holds nothing.", at + 1),
                },
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

pub(super) fn about_dates(
    notes: &mut Notes,
    questions: &mut Vec<Question>,
    evidence: &Evidence,
    plan: &ImportPlan,
    source_line: &[u32],
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
                "Dates are written in both orders, like \"{month_first}\" and \"{day_first}\". They are read with the {order} first, as most are; {} cannot be read so.",
                counted(others as usize, "date")
            ),
            "Look at the dates that could not be read and type them as year-month-day.",
        );
    }
    if evidence.order().is_none() && evidence.n_open > 0 {
        let example = evidence.open_example.clone().unwrap_or_default();
        if plan.date_order.is_none() {
            let (column, row) = evidence.open_place;
            notes.cell(
                "import.date.ambiguous",
                Severity::Doubtful,
                plan.columns.get(column).map_or("", |column| &column.header),
                source_line.get(row as usize).copied(),
                example.clone(),
                format!(
                    "{} like \"{example}\" could have the month or the day first. {} read with the month first.",
                    counted(evidence.n_open as usize, "date"),
                    if evidence.n_open == 1 { "It is" } else { "They are" }
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

/// Numbers where dates are due: asked about once for the file.
pub(super) fn about_day_counts(questions: &mut Vec<Question>, columns: &[Filling]) {
    let n = columns.iter().map(|column| column.day_counts.n).sum();
    let first = columns
        .iter()
        .find_map(|column| column.day_counts.first.as_ref());
    if let Some((_, example)) = first
        && let Some((serial, _)) = day_count::read(example)
    {
        let day = |base| day_count::day(serial, base).unwrap_or(Day::MISSING);
        questions.push(Question::DayCount {
            example: example.clone(),
            days: [day(DayCount::From1900), day(DayCount::From1904)],
            n,
        });
    }
}

pub(super) fn about_column(
    notes: &mut Notes,
    planned: &PlannedColumn,
    filling: &Filling,
    day_count: Option<DayCount>,
    source_line: &[u32],
) {
    let header = &planned.header;
    let line = |row: u32| source_line.get(row as usize).copied().unwrap_or(0);
    let mut first_of =
        |code, counted_cells: &Counted, words: &dyn Fn(usize, &str, u32) -> String, hint| {
            if let Some((row, text)) = &counted_cells.first {
                let at = line(*row);
                let message = words(counted_cells.n as usize, text, at);
                notes.cell(
                    code,
                    Severity::Remark,
                    header,
                    Some(at),
                    text.clone(),
                    message,
                    hint,
                );
            }
        };
    first_of(
        "import.weight.unit_mixed",
        &filling.other_unit,
        &|n, text, at| match n {
            1 => format!(
                "1 weight in \"{header}\" gives another unit than the column, \"{text}\" in line {at}. It was converted."
            ),
            n => format!(
                "{n} weights in \"{header}\" give another unit than the column, first \"{text}\" in line {at}. They were converted."
            ),
        },
        "Check that the unit is right.",
    );
    first_of(
        "import.number.thousands",
        &filling.thousands,
        &|n, text, at| {
            let number = filling.thousands_as_read;
            match n {
                1 => format!("\"{text}\" in \"{header}\", line {at}, was read as {number}."),
                n => format!(
                    "{n} numbers in \"{header}\" have a sign between thousands: \"{text}\" in line {at} was read as {number}, and so on."
                ),
            }
        },
        "Nothing to mend, if that is what was meant.",
    );
    first_of(
        "import.missing.word",
        &filling.missing_words,
        &|n, text, at| match n {
            1 => format!(
                "1 cell of \"{header}\" holds a word for missing, \"{text}\" in line {at}, and counts as missing."
            ),
            n => format!(
                "{n} cells of \"{header}\" hold a word for missing, first \"{text}\" in line {at}, and count as missing."
            ),
        },
        "Nothing to mend, if nothing was known there.",
    );
    first_of(
        "import.date.time",
        &filling.times,
        &|n, text, at| match n {
            1 => format!(
                "1 date in \"{header}\" has a time of day, \"{text}\" in line {at}. The day was kept."
            ),
            n => format!(
                "{n} dates in \"{header}\" have a time of day, first \"{text}\" in line {at}. The days were kept."
            ),
        },
        "Nothing to mend: only whole days are used.",
    );
    if day_count != Some(DayCount::NotDates) {
        let base = day_count.unwrap_or(DayCount::From1900);
        first_of(
            "import.date.serial",
            &filling.day_counts,
            &|n, text, at| {
                let day = day_count::read(text)
                    .and_then(|(serial, _)| day_count::day(serial, base))
                    .map_or_else(String::new, Day::iso);
                match n {
                    1 => format!(
                        "\"{text}\" in \"{header}\", line {at}, is the day count that a spreadsheet keeps inside. It was read as {day}."
                    ),
                    n => format!(
                        "{n} cells of \"{header}\" hold the day count that a spreadsheet keeps inside: \"{text}\" in line {at} was read as {day}, and so on."
                    ),
                }
            },
            "Check one of the days. If they are off by four years and a day, say so when you are asked.",
        );
    }
    short_years(notes, planned, filling, line);
    if planned.target == Target::LeaveOut && filling.n_filled > 0 {
        notes.column(
            "import.column.left_out",
            Severity::Remark,
            header,
            String::new(),
            format!(
                "\"{header}\" is left out by your choice; {} of it held something.",
                counted(filling.n_filled as usize, "cell")
            ),
            "Nothing to mend, if you do not need them.",
        );
    }
}

/// Something the arithmetic needs that no column was taken for.
pub(super) struct MissingColumn {
    /// In words, to stand after "for".
    pub words: &'static str,
    /// Keys of the columns of which one would do.
    pub keys: &'static [&'static str],
    /// A header that is understood.
    header: &'static str,
}

/// What the arithmetic needs and no column was taken for; none where no column is known at all, which
/// `import.header.unknown` says.
pub(super) fn missing_columns(plan: &ImportPlan) -> Vec<MissingColumn> {
    const NEEDED: [(&str, &[&str], &str); 4] = [
        ("Sex", &["sex"], "Sex"),
        ("Born", &["birth_date"], "Birth date"),
        (
            "the day of weighing or weaning",
            &["weigh_date", "wean_date"],
            "Weigh date",
        ),
        ("Weaning weight", &["wean_weight"], "Weaning weight"),
    ];
    let taken = |key: &str| {
        plan.columns
            .iter()
            .any(|column| matches!(&column.target, Target::Known(known) if known == key))
    };
    let any_known = SheetKind::Calves
        .columns()
        .iter()
        .any(|column| taken(column.key));
    if plan.sheet != SheetKind::Calves || !any_known {
        return Vec::new();
    }
    NEEDED
        .into_iter()
        .filter(|(_, keys, _)| !keys.iter().any(|key| taken(key)))
        .map(|(words, keys, header)| MissingColumn {
            words,
            keys,
            header,
        })
        .collect()
}

/// Message and hint about something that none of the calves of a file has.
pub(super) fn words_of_missing(missing: &MissingColumn) -> (String, String) {
    let MissingColumn { words, header, .. } = missing;
    (
        format!(
            "No column was taken for {words}; without it these calves get no adjusted 205-day weight."
        ),
        format!("If the file has it, say which column it is, or head that column \"{header}\"."),
    )
}

/// Says what the arithmetic needs and no column was taken for.
pub(super) fn about_needed_columns(notes: &mut Notes, plan: &ImportPlan) {
    for missing in missing_columns(plan) {
        let (message, hint) = words_of_missing(&missing);
        notes.file("import.column.none", Severity::Doubtful, message, &hint);
    }
}
