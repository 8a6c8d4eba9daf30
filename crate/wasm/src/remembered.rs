//! Remembered ways of reading, as the page shows them.
//!
//! Enters: the ways of a book, and the key of one. Leaves: [`RememberedFile`], and the command that forgets one.
//! Always true: the key of a way is its shape, so that it names the same way whatever else is remembered.
//! Never: changes a way.

use fairpen_engine::desk::Desk;
use fairpen_engine::import::plan::{DateOrder, DayCount, ImportPlan, Repeated, Target};
use fairpen_engine::sheet::codes::{RESULT, SEX, STAGE_UNIT};
use fairpen_engine::sheet::edit::Command;
use fairpen_engine::sheet::remembered::{Remembering, Shape};
use fairpen_engine::sheet::workbook::Workbook;

use crate::types::{ImportRemembered, RememberedFile};

/// Stands in no header and no name of a sheet: both are one line of text.
const BETWEEN: &str = "\u{1f}";

/// Key of a shape.
fn key_of(shape: &Shape) -> String {
    format!("{}{BETWEEN}{}", shape.part, shape.headers.join(BETWEEN))
}

/// The ways of a book, the latest first.
pub fn remembered_of(book: &Workbook) -> Vec<RememberedFile> {
    let mut ways: Vec<_> = book.remembered.iter().collect();
    ways.sort_by_key(|(_, way)| std::cmp::Reverse(way.on));
    ways.into_iter()
        .map(|(shape, way)| RememberedFile {
            key: key_of(shape),
            file_name: way.file_name.clone(),
            part: shape.part.clone(),
            on: way.on.iso(),
            sheet: way.plan.sheet.label().to_owned(),
            headers: way
                .plan
                .columns
                .iter()
                .map(|column| column.header.clone())
                .filter(|header| !header.is_empty())
                .collect(),
            choices: choices_of(&way.plan),
        })
        .collect()
}

/// What a way says, in short sentences.
fn choices_of(plan: &ImportPlan) -> Vec<String> {
    let label = |key: &str| {
        plan.sheet
            .column(key)
            .map_or(key, |column| column.label)
            .to_owned()
    };
    let mut choices: Vec<String> = plan
        .columns
        .iter()
        .filter(|column| !column.header.is_empty())
        .map(|column| match &column.target {
            Target::Known(key) => format!("\"{}\" goes to {}.", column.header, label(key)),
            Target::Own => format!("\"{}\" is kept as a column of your own.", column.header),
            Target::LeaveOut => format!("\"{}\" is left out.", column.header),
            Target::CalvingMonth => {
                format!("\"{}\" is the month in which she calves.", column.header)
            }
            Target::DueDay => format!("\"{}\" is the day she is due.", column.header),
        })
        .collect();
    choices.push(format!(
        "Weights without a unit are in {}.",
        plan.weight_unit.symbol()
    ));
    choices.extend(plan.date_order.map(|order| {
        match order {
            DateOrder::MonthFirst => "In dates the month comes first.",
            DateOrder::DayFirst => "In dates the day comes first.",
        }
        .to_owned()
    }));
    choices.extend(plan.day_count.map(|count| {
        match count {
            DayCount::From1900 => "Numbers in place of dates are days counted from 1900.",
            DayCount::From1904 => "Numbers in place of dates are days counted from 1904.",
            DayCount::NotDates => "Numbers in place of dates are no dates.",
        }
        .to_owned()
    }));
    choices.extend(
        plan.male_means
            .and_then(|code| SEX.key(code))
            .map(|sex| format!("A male is a {sex}.")),
    );
    choices.extend(plan.checks.words.iter().map(|(word, means)| {
        match means.and_then(|position| RESULT.key(position)) {
            Some(result) => format!("\"{word}\" means {result}."),
            None => format!("\"{word}\" stays as it stands."),
        }
    }));
    choices.extend(
        plan.checks
            .stage_unit
            .and_then(|unit| STAGE_UNIT.key(unit.position()))
            .map(|unit| format!("A stage that is a bare number counts {unit}.")),
    );
    if plan.checks.marks_mean_bred {
        choices.push("A mark under a month means bred.".to_owned());
    }
    match plan.repeated {
        Repeated::All => {}
        Repeated::First => {
            choices.push("Of rows that name the same animal the first holds.".to_owned())
        }
        Repeated::Last => {
            choices.push("Of rows that name the same animal the last holds.".to_owned())
        }
    }
    choices
}

/// The way that the file on the screen was read by.
pub fn recalled_of(desk: &Desk) -> Option<ImportRemembered> {
    let shown = desk.import_recalled()?;
    Some(ImportRemembered {
        key: key_of(&shown.way.shape),
        file_name: shown.way.file_name.clone(),
        on: shown.way.on.iso(),
        misfits: shown.way.misfits.clone(),
        changed: shown.changed,
    })
}

/// The command that forgets a way.
pub fn forget(book: &Workbook, key: &str) -> Command {
    Command::Remember(
        book.remembered
            .keys()
            .filter(|shape| key_of(shape) == key)
            .map(|shape| Remembering {
                shape: shape.clone(),
                way: None,
            })
            .collect(),
    )
}
