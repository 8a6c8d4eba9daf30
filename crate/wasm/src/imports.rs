//! A file being brought in, as the page shows it.
//!
//! Enters: what was understood of a file, and choices. Leaves: [`ImportPreview`], a changed plan.
//! Always true: a question keeps its key whatever is answered; the answer in use is always one of those
//! offered.

use fairpen_engine::desk::Desk;
use fairpen_engine::error::Error;
use fairpen_engine::import::Imported;
use fairpen_engine::import::plan::{AgeUnit, DateOrder, DayCount, ImportPlan, Question, Target};
use fairpen_engine::note::counted;
use fairpen_engine::sheet::codes::{BULL, STEER};
use fairpen_engine::sheet::column::{Kind, Value};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::WeightUnit;
use fairpen_engine::sheet::write::up_to;

use crate::merging::merge_of;
use crate::problems::groups_of_notes;
use crate::remembered::recalled_of;
use crate::types::{ImportAnswer, ImportChoices, ImportColumn, ImportPreview, ImportQuestion};

const OWN: &str = "own";
const LEAVE_OUT: &str = "leave_out";
const N_FIRST_ROWS: usize = 8;
const MOST_PROBLEMS: usize = 20;

/// What was understood of a file.
pub fn preview_of(desk: &Desk, file_name: &str, imported: &Imported) -> ImportPreview {
    let plan = &imported.plan;
    let (merge, left) = merge_of(desk).unzip();
    let notes = [&imported.notes[..], &left.unwrap_or_default()].concat();
    ImportPreview {
        file_name: file_name.to_owned(),
        sheet: plan.sheet.key().to_owned(),
        separator: match plan.delimiter {
            b';' => "semicolon",
            b'\t' => "tab",
            _ => "comma",
        }
        .to_owned(),
        weight_unit: plan.weight_unit.symbol().to_owned(),
        book_unit: imported.table_unit.symbol().to_owned(),
        n_rows: u32::try_from(imported.table.n_rows()).unwrap_or(u32::MAX),
        columns: columns_of(imported),
        questions: imported
            .open_questions()
            .map(|question| question_of(imported, question))
            .collect(),
        answered: imported
            .questions
            .iter()
            .filter(|question| plan.answers(question))
            .map(|question| question_of(imported, question))
            .collect(),
        problems: groups_of_notes(&notes, MOST_PROBLEMS),
        targets: targets_of(plan.sheet),
        summary: summary_of(file_name, imported),
        first_rows: first_rows_of(imported),
        merge,
        remembered: recalled_of(desk),
        will_be_remembered: desk.import_will_be_remembered(),
    }
}

fn columns_of(imported: &Imported) -> Vec<ImportColumn> {
    let plan = &imported.plan;
    plan.columns
        .iter()
        .zip(&imported.columns)
        .map(|(planned, report)| {
            let kind = match &planned.target {
                Target::Known(key) => plan.sheet.column(key).map(|known| known.kind),
                Target::Own | Target::LeaveOut => None,
            };
            ImportColumn {
                header: planned.header.clone(),
                target: match &planned.target {
                    Target::Known(key) => key.clone(),
                    Target::Own => OWN.to_owned(),
                    Target::LeaveOut => LEAVE_OUT.to_owned(),
                },
                because: planned.because.clone(),
                weight_unit: match (kind, planned.weight_unit) {
                    (Some(Kind::Weight), Some(unit)) => unit.symbol().to_owned(),
                    _ => String::new(),
                },
                shown_unit: match kind {
                    Some(Kind::Weight) => imported.table_unit.symbol(),
                    Some(Kind::Number("years")) => "years",
                    _ => "",
                }
                .to_owned(),
                age_unit: match (kind, planned.age_unit) {
                    (Some(Kind::Number("years")), AgeUnit::Years) => "years",
                    (Some(Kind::Number("years")), AgeUnit::Months) => "months",
                    (Some(Kind::Number("years")), AgeUnit::Days) => "days",
                    _ => "",
                }
                .to_owned(),
                examples: report.examples.clone(),
                n_filled: report.n_filled,
                n_unreadable: report.n_unreadable,
            }
        })
        .collect()
}

fn targets_of(sheet: SheetKind) -> Vec<ImportAnswer> {
    let fixed = [
        (OWN, "Keep as a column of your own"),
        (LEAVE_OUT, "Leave out"),
    ];
    sheet
        .columns()
        .iter()
        .map(|known| (known.key, known.label))
        .chain(fixed)
        .map(|(key, words)| answer(key, words))
        .collect()
}

fn answer(key: &str, words: &str) -> ImportAnswer {
    ImportAnswer {
        key: key.to_owned(),
        words: words.to_owned(),
    }
}

fn question_of(imported: &Imported, question: &Question) -> ImportQuestion {
    let plan = &imported.plan;
    let (words, answers, current) = match question {
        Question::DateOrder { example, n } => (
            format!(
                "{} like {example} can be read two ways. Which part comes first?",
                counted(*n as usize, "date")
            ),
            vec![
                answer("month_first", "The month comes first"),
                answer("day_first", "The day comes first"),
            ],
            match plan.date_order.or(imported.date_order) {
                Some(DateOrder::DayFirst) => "day_first",
                _ => "month_first",
            }
            .to_owned(),
        ),
        Question::DayCount { example, days, n } => (
            format!(
                "{} like {example} where a date is due. A spreadsheet keeps dates as a count of days. Which day is {example}?",
                if *n == 1 {
                    "There is a number".to_owned()
                } else {
                    format!("There are {n} numbers")
                },
            ),
            vec![
                answer(
                    "1900",
                    &format!("{} (as nearly every file counts)", days[0].iso()),
                ),
                answer(
                    "1904",
                    &format!("{} (as some older files count)", days[1].iso()),
                ),
                answer("not_dates", "None: the numbers are no dates"),
            ],
            match plan.day_count {
                Some(DayCount::From1904) => "1904",
                Some(DayCount::NotDates) => "not_dates",
                _ => "1900",
            }
            .to_owned(),
        ),
        Question::WeightUnit { header, median } => (
            format!(
                "\"{header}\" does not say its unit, and half of its weights are under {}. Are they pounds or kilograms?",
                up_to(*median, 1)
            ),
            vec![answer("lb", "Pounds (lb)"), answer("kg", "Kilograms (kg)")],
            plan.weight_unit.symbol().to_owned(),
        ),
        Question::Male { n } => (
            if *n == 1 {
                "1 calf is only said to be male. Was it a bull or a steer when weighed?".to_owned()
            } else {
                format!(
                    "{n} calves are only said to be male. Were they bulls or steers when weighed?"
                )
            },
            vec![
                answer("bull", "Bulls"),
                answer("steer", "Steers"),
                answer("not_said", "Some of each, or not known"),
            ],
            match plan.male_means {
                Some(BULL) => "bull",
                Some(STEER) => "steer",
                _ => "not_said",
            }
            .to_owned(),
        ),
        Question::SummaryRows { n, line, word } => (
            format!(
                "{} at the foot of the file {} with a word for a total or a mean, first \"{word}\" in line {line}. {}",
                counted(*n as usize, "row"),
                if *n == 1 { "begins" } else { "begin" },
                if *n == 1 {
                    "Is it an animal?"
                } else {
                    "Are they animals?"
                },
            ),
            vec![
                answer("set_aside", "No, set aside"),
                answer("keep", "Yes, bring in"),
            ],
            if plan.keep_summary_rows {
                "keep"
            } else {
                "set_aside"
            }
            .to_owned(),
        ),
        Question::TwoColumns { column, headers } => {
            let label = plan
                .sheet
                .column(column)
                .map_or(column.as_str(), |k| k.label);
            let claiming: Vec<(usize, &str)> = plan
                .columns
                .iter()
                .enumerate()
                .filter(|(_, planned)| headers.contains(&planned.header))
                .map(|(position, planned)| (position, planned.header.as_str()))
                .collect();
            let current = claiming
                .iter()
                .find(|(position, _)| {
                    plan.columns[*position].target == Target::Known(column.clone())
                })
                .map_or_else(|| "none".to_owned(), |(position, _)| position.to_string());
            let mut answers: Vec<ImportAnswer> = claiming
                .iter()
                .map(|(position, header)| answer(&position.to_string(), header))
                .collect();
            answers.push(answer("none", "None of them"));
            (
                format!(
                    "Which of these columns is {label}? The other is kept as a column of your own."
                ),
                answers,
                current,
            )
        }
    };
    ImportQuestion {
        key: question.key(),
        question: words,
        answers,
        current,
    }
}

fn summary_of(file_name: &str, imported: &Imported) -> String {
    let plan = &imported.plan;
    let n_rows = imported.table.n_rows();
    let known = plan
        .columns
        .iter()
        .filter(|column| matches!(column.target, Target::Known(_)))
        .count();
    let own = plan
        .columns
        .iter()
        .filter(|column| column.target == Target::Own)
        .count();
    let own_words = match own {
        0 => String::new(),
        1 => " 1 more is kept as a column of your own.".to_owned(),
        n => format!(" {n} more are kept as columns of your own."),
    };
    format!(
        "{file_name}: {} for {}. {known} of {} {} understood.{own_words}",
        counted(n_rows, "row"),
        plan.sheet.label(),
        counted(plan.columns.len(), "column"),
        if known == 1 { "was" } else { "were" },
    )
}

fn first_rows_of(imported: &Imported) -> Vec<Vec<String>> {
    let n_rows = imported.table.n_rows().min(N_FIRST_ROWS);
    let columns: Vec<_> = imported
        .columns
        .iter()
        .map(|report| {
            let key = report.key.as_deref()?;
            imported.table.column(key)
        })
        .collect();
    (0..n_rows)
        .map(|row| {
            columns
                .iter()
                .map(|column| {
                    column.map_or_else(String::new, |column| match column.value(row) {
                        Value::Missing => String::new(),
                        value => column.shown_value(&value),
                    })
                })
                .collect()
        })
        .collect()
}

/// The plan as changed by choices, or the sheet chosen, for which everything is guessed anew.
pub enum Chosen {
    /// Read again by this plan.
    Plan(Box<ImportPlan>),
    /// Read again for this sheet.
    Sheet(SheetKind),
}

/// What choices come to.
pub fn chosen_of(plan: &ImportPlan, choices: &ImportChoices) -> Result<Chosen, Error> {
    if let Some(key) = &choices.sheet {
        let sheet = SheetKind::from_key(key).ok_or_else(|| unknown("sheet", key))?;
        if sheet != plan.sheet {
            return Ok(Chosen::Sheet(sheet));
        }
    }
    let mut plan = plan.clone();
    for choice in &choices.targets {
        let position = choice.position as usize;
        if position >= plan.columns.len() {
            return Err(unknown("column", &choice.position.to_string()));
        }
        let target = match choice.target.as_str() {
            OWN => Target::Own,
            LEAVE_OUT => Target::LeaveOut,
            key if plan.sheet.column(key).is_some() => Target::Known(key.to_owned()),
            key => return Err(unknown("target", key)),
        };
        plan.choose(position, target);
    }
    for choice in &choices.answers {
        match (choice.question.as_str(), choice.answer.as_str()) {
            ("date_order", "month_first") => plan.choose_date_order(DateOrder::MonthFirst),
            ("date_order", "day_first") => plan.choose_date_order(DateOrder::DayFirst),
            ("weight_unit", "lb") => plan.choose_weight_unit(WeightUnit::Pound),
            ("weight_unit", "kg") => plan.choose_weight_unit(WeightUnit::Kilogram),
            ("day_count", "1900") => plan.choose_day_count(DayCount::From1900),
            ("day_count", "1904") => plan.choose_day_count(DayCount::From1904),
            ("day_count", "not_dates") => plan.choose_day_count(DayCount::NotDates),
            ("male", "bull") => plan.choose_male(Some(BULL)),
            ("male", "steer") => plan.choose_male(Some(STEER)),
            ("male", "not_said") => plan.choose_male(None),
            ("summary_rows", "keep") => plan.choose_summary_rows(true),
            ("summary_rows", "set_aside") => plan.choose_summary_rows(false),
            (question, answer) => {
                let column = question
                    .strip_prefix("two_columns:")
                    .filter(|key| plan.sheet.column(key).is_some())
                    .ok_or_else(|| unknown("question", question))?;
                choose_between(&mut plan, column, answer)?;
            }
        }
    }
    Ok(Chosen::Plan(Box::new(plan)))
}

fn choose_between(plan: &mut ImportPlan, column: &str, answer: &str) -> Result<(), Error> {
    if answer == "none" {
        plan.choose_none(column);
        return Ok(());
    }
    let position = answer
        .parse::<usize>()
        .ok()
        .filter(|&position| position < plan.columns.len())
        .ok_or_else(|| unknown("answer", answer))?;
    plan.choose(position, Target::Known(column.to_owned()));
    Ok(())
}

fn unknown(what: &str, key: &str) -> Error {
    Error::new(
        "boundary.choice",
        format!("There is no {what} called {key} in this import."),
        "Choose one of those shown.",
    )
}
