//! A file being brought in, as the page shows it.
//!
//! Enters: what was understood of a file, and choices. Leaves: [`ImportPreview`], a changed plan.
//! Always true: a question keeps its key whatever is answered; the answer in use is always one of those
//! offered, or none.

use fairpen_engine::desk::Desk;
use fairpen_engine::error::Error;
use fairpen_engine::import::Imported;
use fairpen_engine::import::plan::{AgeUnit, DateOrder, DayCount, ImportPlan, Repeated, Target};
use fairpen_engine::note::counted;
use fairpen_engine::sheet::codes::{BULL, RESULT, STAGE_UNIT, STEER};
use fairpen_engine::sheet::column::{Kind, Value};
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::read::date::iso;
use fairpen_engine::sheet::read::stage::{StageUnit, month_of};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::WeightUnit;

use crate::merging::merge_of;
use crate::problems::groups_of_notes;
use crate::questions::{answer, question_of};
use crate::remembered::recalled_of;
use crate::types::{ImportAnswer, ImportChoices, ImportColumn, ImportPreview};

const OWN: &str = "own";
const LEAVE_OUT: &str = "leave_out";
const CALVING_MONTH: &str = "calving_month";
const DUE_DAY: &str = "due_day";
/// Answer that leaves a thing open.
pub const NOT_SAID: &str = "not_said";
const N_FIRST_ROWS: usize = 8;
const MOST_PROBLEMS: usize = 20;

/// What was understood of a file.
pub fn preview_of(desk: &Desk, file_name: &str, imported: &Imported) -> ImportPreview {
    let plan = &imported.plan;
    let (merge, left) = merge_of(desk).unzip();
    let (names_asked, names_chosen) = desk.import_names_asked();
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
        names_asked: u32::try_from(names_asked).unwrap_or(u32::MAX),
        names_chosen: u32::try_from(names_chosen).unwrap_or(u32::MAX),
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
                Target::Own | Target::LeaveOut | Target::CalvingMonth | Target::DueDay => None,
            };
            ImportColumn {
                header: planned.header.clone(),
                target: match &planned.target {
                    Target::Known(key) => key.clone(),
                    Target::Own => OWN.to_owned(),
                    Target::LeaveOut => LEAVE_OUT.to_owned(),
                    Target::CalvingMonth => CALVING_MONTH.to_owned(),
                    Target::DueDay => DUE_DAY.to_owned(),
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
    const OF_CHECKS: [(&str, &str); 2] = [
        (CALVING_MONTH, "Stage: calves in the month of the header"),
        (DUE_DAY, "Stage: the day she is due"),
    ];
    let of_checks: &[(&str, &str)] = match sheet {
        SheetKind::Checks => &OF_CHECKS,
        _ => &[],
    };
    sheet
        .columns()
        .iter()
        .map(|known| (known.key, known.label))
        .chain(of_checks.iter().copied())
        .chain(fixed)
        .map(|(key, words)| answer(key, words))
        .collect()
}

fn summary_of(file_name: &str, imported: &Imported) -> String {
    let plan = &imported.plan;
    let n_rows = imported.table.n_rows();
    let known = plan
        .columns
        .iter()
        .filter(|column| !matches!(column.target, Target::Own | Target::LeaveOut))
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
    for choice in &choices.answers {
        if choice.question == "sheet" {
            let key = &choice.answer;
            let sheet = SheetKind::from_key(key).ok_or_else(|| unknown("sheet", key))?;
            if sheet != plan.sheet {
                return Ok(Chosen::Sheet(sheet));
            }
        }
    }
    let mut plan = plan.clone();
    if choices.sheet.is_some() {
        plan.choose_this_sheet();
    }
    for choice in &choices.targets {
        let position = choice.position as usize;
        if position >= plan.columns.len() {
            return Err(unknown("column", &choice.position.to_string()));
        }
        let target = match choice.target.as_str() {
            OWN => Target::Own,
            LEAVE_OUT => Target::LeaveOut,
            DUE_DAY if plan.sheet == SheetKind::Checks => Target::DueDay,
            CALVING_MONTH if month_of(&plan.columns[position].header).is_some() => {
                Target::CalvingMonth
            }
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
            ("repeated", "all") => plan.choose_repeated(Repeated::All),
            ("repeated", "first") => plan.choose_repeated(Repeated::First),
            ("repeated", "last") => plan.choose_repeated(Repeated::Last),
            ("stage_unit", "not_said") => plan.choose_stage_unit(None),
            ("stage_unit", unit) => {
                let unit = STAGE_UNIT
                    .position(unit)
                    .and_then(StageUnit::at)
                    .ok_or_else(|| unknown("answer", unit))?;
                plan.choose_stage_unit(Some(unit));
            }
            ("sheet", _) => plan.choose_this_sheet(),
            ("check_day", NOT_SAID) => plan.choose_check_day(Day::MISSING),
            ("check_day", day) => {
                let day = iso(day.as_bytes()).ok_or_else(|| unknown("day", day))?;
                plan.choose_check_day(day);
            }
            ("month_marks", "bred") => plan.choose_marks(true),
            ("month_marks", "stage_only") => plan.choose_marks(false),
            ("summary_rows", "keep") => plan.choose_summary_rows(true),
            ("summary_rows", "set_aside") => plan.choose_summary_rows(false),
            (question, answer) if question.starts_with("word:") => {
                let word = question.trim_start_matches("word:");
                let means = match answer {
                    NOT_SAID => None,
                    key => Some(RESULT.position(key).ok_or_else(|| unknown("answer", key))?),
                };
                plan.choose_word(word, means);
            }
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
