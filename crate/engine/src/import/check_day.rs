//! The days of a list of pregnancy checks that stand in no column of their own: the day of the checks, and the day on
//! which each cow is due.
//!
//! Enters: the typed table of a file of checks, and the lines above its headers. Leaves: the same table with the day
//! that was said, days due as stages, and a question.
//! Always true: a day above the headers is offered and not used before the person says so; a stage that was written
//! stays, and the day due beside it goes to the remarks.
//! Never: works out a day.

use std::collections::BTreeMap;

use super::notes::{Lines, Notes};
use super::plan::{DateOrder, ImportPlan, Question, Target};
use super::result_words::add_remark;
use crate::note::Severity;
use crate::sheet::column::{Cells, Value};
use crate::sheet::day::Day;
use crate::sheet::read::date::{DateText, parse};
use crate::sheet::table::Table;

/// A column of days on which cows are due: its position in the file, its cells, and the texts that are no dates.
pub(super) type Due = (usize, Cells, BTreeMap<u32, String>);

/// True for a header that says when she calves: `Due date`, `Due`, `Expected calving date`.
pub fn is_due_header(header: &str) -> bool {
    let (mut due, mut expected, mut calving) = (false, false, false);
    for word in header
        .to_lowercase()
        .split(|ch: char| !ch.is_alphanumeric())
        .filter(|word| !word.is_empty())
    {
        match word {
            "due" => due = true,
            "expected" | "exp" | "est" | "estimated" => expected = true,
            "calve" | "calving" => calving = true,
            "date" | "day" | "to" | "she" | "is" | "on" | "cow" => {}
            _ => return false,
        }
    }
    due || expected && calving
}

/// The first day that stands in one of the texts and reads one way, with its text; missing when none does.
pub(super) fn day_in<'a>(
    texts: impl Iterator<Item = &'a str>,
    order: Option<DateOrder>,
    two_digit_year_to: u8,
) -> (Day, String) {
    for text in texts {
        let words: Vec<&str> = text
            .split(|ch: char| ch.is_whitespace() || matches!(ch, '_' | '(' | ')' | ':' | ';'))
            .map(|word| word.trim_matches(|ch: char| matches!(ch, ',' | '.')))
            .filter(|word| !word.is_empty())
            .collect();
        for n in [3, 1] {
            for some in words.windows(n) {
                let said = some.join(" ");
                if let Some(day) = one_way(&said, order, two_digit_year_to) {
                    return (day, said);
                }
            }
        }
    }
    (Day::MISSING, String::new())
}

fn one_way(text: &str, order: Option<DateOrder>, two_digit_year_to: u8) -> Option<Day> {
    match parse(text.as_bytes(), two_digit_year_to).ok()? {
        DateText::Day { day, .. } => Some(day),
        DateText::Numeric(date) => {
            let both = [DateOrder::MonthFirst, DateOrder::DayFirst].map(|order| date.day(order));
            match (both, order) {
                (_, Some(order)) => date.day(order),
                ([Some(one), Some(other)], None) => (one == other).then_some(one),
                ([one, other], None) => one.or(other),
            }
        }
    }
}

/// Asks for the day where the list has no column of days, and puts it to the rows when it was said.
pub(super) fn settle_day(
    table: &mut Table,
    plan: &ImportPlan,
    suggested: (Day, String),
    questions: &mut Vec<Question>,
) {
    let has_days = plan
        .columns
        .iter()
        .any(|column| column.target == Target::Known("date".to_owned()));
    if has_days || table.n_rows() == 0 {
        return;
    }
    questions.push(Question::CheckDay {
        suggested,
        n: u32::try_from(table.n_rows()).unwrap_or(u32::MAX),
    });
    if plan.checks.checked_on.is_missing() {
        return;
    }
    if let Some(column) = table.column_mut("date")
        && let Cells::Day(days) = &mut column.cells
    {
        days.fill(plan.checks.checked_on);
    }
}

/// Days on which cows are due become their stages.
pub(super) fn settle_due(table: &mut Table, plan: &ImportPlan, due: &[Due], notes: &mut Notes) {
    for (at, cells, unreadable) in due {
        let header = &plan.columns[*at].header;
        let Cells::Day(days) = cells else { continue };
        let (mut n, mut beside, mut words) = (0_u32, Lines::default(), Lines::default());
        for (row, day) in (0_u32..).zip(days) {
            let line = table.source_line.get(row as usize).copied().unwrap_or(0);
            let text = match unreadable.get(&row) {
                Some(text) => {
                    words.add(line, || text.clone());
                    if text.to_lowercase().starts_with("due ") {
                        text.clone()
                    } else {
                        format!("due {text}")
                    }
                }
                None if day.is_missing() => continue,
                None => format!("due {}", day.iso()),
            };
            n += 1;
            let stage = table.column("stage").map(|stage| stage.value(row as usize));
            if stage == Some(Value::Missing) {
                if let Some(stage) = table.column_mut("stage") {
                    let _missing = stage.put(row, Value::Text(text));
                }
            } else {
                beside.add(line, || text.clone());
                add_remark(table, row, &text);
            }
        }
        if n > 0 {
            notes.column(
                "import.checks.due",
                Severity::Remark,
                header,
                String::new(),
                format!(
                    "{} under \"{header}\" when she is due. It stands as her stage, like due 2027-03-14; her days bred are 283 less the days from the check to that day.",
                    if n == 1 { "1 line says".to_owned() } else { format!("{n} lines say") }
                ),
                "Nothing to mend. The days bred need the day of the check.",
            );
        }
        notes.lines(
            "import.checks.due_beside",
            Severity::Remark,
            &beside,
            "The line has a stage and a day due; the stage stands, and the day due was added to the remarks.",
            "Nothing to mend, if the two agree.",
        );
        notes.lines(
            "import.checks.due_words",
            Severity::Doubtful,
            &words,
            "This is not a date; it stands in the stage as it was, after the word due.",
            "Type the stage as due and a day, like due 2027-03-14, or as calves in April.",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headers_of_the_day_due() {
        for header in [
            "Due date",
            "DUE",
            "Due to calve",
            "Expected calving date",
            "est. calving",
        ] {
            assert!(is_due_header(header), "{header}");
        }
        for header in ["Date", "Calving date", "Vaccine due", "Expected", ""] {
            assert!(!is_due_header(header), "{header}");
        }
    }

    #[test]
    fn a_day_in_a_title_is_found_when_it_reads_one_way() {
        let found = |text: &str| day_in([text].into_iter(), None, 27).0.iso();
        for (text, day) in [
            ("Preg check at the North place, Oct 28 2026", "2026-10-28"),
            ("Checked 28 October 2026, 45 cows", "2026-10-28"),
            ("preg_2026-10-28", "2026-10-28"),
            ("10/28/26 herd 2", "2026-10-28"),
            ("10/8/26", ""),
            ("Pen 3 of 12", ""),
            ("October 2026", ""),
        ] {
            assert_eq!(found(text), day, "{text}");
        }
    }
}
