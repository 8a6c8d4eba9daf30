//! What a file leaves open, as the page asks it.
//!
//! Enters: a question, and the plan that the file was read by. Leaves: [`ImportQuestion`].
//! Always true: a question keeps its key whatever is answered; the answer in use is one of those offered, or none.
//! Never: answers one.

use fairpen_engine::import::Imported;
use fairpen_engine::import::plan::{DateOrder, DayCount, Question, Repeated, Target};
use fairpen_engine::note::counted;
use fairpen_engine::sheet::codes::{BULL, RESULT, STAGE_UNIT, STEER};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::write::up_to;

use crate::imports::NOT_SAID;
use crate::types::{ImportAnswer, ImportQuestion};

/// The question in words, with its answers.
pub fn question_of(imported: &Imported, question: &Question) -> ImportQuestion {
    let plan = &imported.plan;
    // An answer that says something of a cow is never chosen beforehand.
    let unless_open = |key: &str| {
        if plan.answers(question) {
            key.to_owned()
        } else {
            String::new()
        }
    };
    let (words, answers, current) = match question {
        Question::Sheet { sheets } => (
            "The headers do not say for certain what these rows are. Which sheet do they belong to?"
                .to_owned(),
            sheets
                .iter()
                .map(|&sheet| answer(sheet.key(), &sheet_words(sheet)))
                .collect(),
            if plan.answers(question) {
                plan.sheet.key()
            } else {
                ""
            }
            .to_owned(),
        ),
        Question::CheckDay { suggested, n } => {
            let (day, text) = suggested;
            let chosen = plan.checks.checked_on;
            let mut answers = Vec::new();
            if !day.is_missing() {
                answers.push(answer(
                    &day.iso(),
                    &format!("{} (\"{text}\" stands above the list or in its name)", day.iso()),
                ));
            }
            if !chosen.is_missing() && chosen != *day {
                answers.push(answer(&chosen.iso(), &chosen.iso()));
            }
            answers.push(answer(NOT_SAID, "Not known: the day stays blank"));
            (
                format!(
                    "The list has no column of days. On which day {} checked?",
                    if *n == 1 { "was the cow".to_owned() } else { format!("were the {n} cows") }
                ),
                answers,
                match (plan.answers(question), chosen.is_missing()) {
                    (false, _) => String::new(),
                    (true, true) => NOT_SAID.to_owned(),
                    (true, false) => chosen.iso(),
                },
            )
        }
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
        Question::Repeated { n, lines, name } => (
            format!(
                "{} name the same animal{} as another line, first \"{name}\" in lines {} and {}. Which of them hold?",
                counted(*n as usize, "row"),
                match plan.sheet {
                    SheetKind::Calves | SheetKind::Cows | SheetKind::Bulls => "",
                    _ => " and day",
                },
                lines[0],
                lines[1]
            ),
            vec![
                answer("all", "All of them: bring in every row, and mark them"),
                answer("first", "The first of each, the others are set aside"),
                answer("last", "The last of each, the others are set aside"),
            ],
            match plan.repeated {
                Repeated::All => "all",
                Repeated::First => "first",
                Repeated::Last => "last",
            }
            .to_owned(),
        ),
        Question::Word { header, word, n } => {
            let mut answers: Vec<ImportAnswer> = RESULT
                .words
                .iter()
                .map(|result| answer(result.key, result.key))
                .collect();
            answers.push(answer(
                NOT_SAID,
                "Not known: it stays as it stands and counts as nothing",
            ));
            (
                format!(
                    "{} of \"{header}\" {} {}. What did the veterinarian mean by it?",
                    counted(*n as usize, "cell"),
                    if *n == 1 { "says" } else { "say" },
                    if word.is_empty() {
                        "only how far along she is".to_owned()
                    } else {
                        format!("\"{word}\"")
                    }
                ),
                answers,
                match plan.checks.words.get(word) {
                    // Nothing is chosen before it is said.
                    None => "",
                    Some(means) => means
                        .and_then(|position| RESULT.key(position))
                        .unwrap_or(NOT_SAID),
                }
                .to_owned(),
            )
        }
        Question::StageUnit { header, example, n } => (
            format!(
                "{} of \"{header}\" {} a bare number, like {example}. What does it count?",
                counted(*n as usize, "stage"),
                if *n == 1 { "is" } else { "are" }
            ),
            vec![
                answer("days", "Days bred"),
                answer("weeks", "Weeks bred"),
                answer("months", "Months bred"),
                answer(NOT_SAID, "Not known: no days are worked out"),
            ],
            unless_open(
                plan.checks
                    .stage_unit
                    .and_then(|unit| STAGE_UNIT.key(unit.position()))
                    .unwrap_or(NOT_SAID),
            ),
        ),
        Question::MonthMarks { headers, n } => (
            format!(
                "{} marked under a month ({}) and {} no result. Does the mark mean that she is bred?",
                if *n == 1 {
                    "1 cow is".to_owned()
                } else {
                    format!("{n} cows are")
                },
                headers.join(", "),
                if *n == 1 { "has" } else { "have" }
            ),
            vec![
                answer("bred", "Yes: bred, and due in that month"),
                answer(
                    "stage_only",
                    "Not said: the month stands as the stage, the result stays blank",
                ),
            ],
            unless_open(if plan.checks.marks_mean_bred {
                "bred"
            } else {
                "stage_only"
            }),
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
        takes_day: matches!(question, Question::CheckDay { .. }),
        answers,
        current,
    }
}

/// A sheet with what one of its rows is.
fn sheet_words(sheet: SheetKind) -> String {
    match sheet {
        SheetKind::Calves => {
            "Calves: one calf in each row; a weight is its weaning weight".to_owned()
        }
        sheet => format!("{}: {} in each row", sheet.label(), sheet.a_row_is()),
    }
}

/// An answer to choose.
pub fn answer(key: &str, words: &str) -> ImportAnswer {
    ImportAnswer {
        key: key.to_owned(),
        words: words.to_owned(),
    }
}
