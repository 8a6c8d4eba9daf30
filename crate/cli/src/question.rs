//! What a file leaves open, in words, with the reading that was used.
//!
//! Enters: a file that was read, and the plan it was read by. Leaves: questions.
//! Always true: a question that an option answered is not asked again.
//! Never: decides a reading; the import did, by its stated rule.

use fairpen_engine::import::plan::{DateOrder, Question, Target};
use fairpen_engine::import::reader::Imported;
use fairpen_engine::note::counted;

use crate::reading::OpenQuestion;

/// The questions that nothing answered.
pub fn left_open(imported: &Imported) -> Vec<OpenQuestion> {
    imported
        .open_questions()
        .map(|question| in_words(question, imported))
        .collect()
}

fn in_words(question: &Question, imported: &Imported) -> OpenQuestion {
    match question {
        Question::Sheet { sheets } => {
            let sheets: Vec<&str> = sheets.iter().map(|sheet| sheet.label()).collect();
            OpenQuestion {
                question: format!(
                    "The headers do not say for certain which sheet the rows belong to: {}?",
                    sheets.join(", ")
                ),
                read_as: imported.plan.sheet.label().to_owned(),
                answer_with: "a folder in which the file has the name of its sheet".to_owned(),
            }
        }
        Question::CheckDay { suggested, n } => OpenQuestion {
            question: format!(
                "The list of {} has no column of days{}.",
                count(*n, "check"),
                if suggested.0.is_missing() {
                    String::new()
                } else {
                    format!("; \"{}\" stands above it or in its name", suggested.1)
                }
            ),
            read_as: "no day".to_owned(),
            answer_with: "a column Date in the file".to_owned(),
        },
        Question::DateOrder { example, n } => OpenQuestion {
            question: format!(
                "{} like {example} can be read with the month or the day first.",
                count(*n, "date")
            ),
            read_as: match imported.date_order {
                Some(DateOrder::DayFirst) => "day first",
                Some(DateOrder::MonthFirst) | None => "month first",
            }
            .to_owned(),
            answer_with: "--date-order month-first or --date-order day-first".to_owned(),
        },
        Question::DayCount { example, days, n } => OpenQuestion {
            question: format!(
                "{} like {example} stand where dates are due: the day count that a spreadsheet keeps inside.",
                count(*n, "number")
            ),
            read_as: format!("days counted from 1900, {example} as {}", days[0].iso()),
            answer_with: "dates like 2026-03-14 in the file, if another day was meant".to_owned(),
        },
        Question::WeightUnit { header, median } => OpenQuestion {
            question: format!(
                "The weights under \"{header}\" carry no unit; half of them are under {median}."
            ),
            read_as: imported.plan.weight_unit.symbol().to_owned(),
            answer_with: "--unit lb or --unit kg".to_owned(),
        },
        Question::Male { n } => OpenQuestion {
            question: format!(
                "{} not said to be bull or steer.",
                if *n == 1 {
                    "1 male is".to_owned()
                } else {
                    format!("{n} males are")
                }
            ),
            read_as: "males, grouped apart from bulls and from steers".to_owned(),
            answer_with: "bull or steer in the sex column".to_owned(),
        },
        Question::SummaryRows { n, line, word } => OpenQuestion {
            question: format!(
                "{} at the foot of the file {} with a word for a total or a mean, first \"{word}\" in line {line}.",
                count(*n, "row"),
                if *n == 1 { "begins" } else { "begin" }
            ),
            read_as: "totals; they are set aside".to_owned(),
            answer_with: "a sex in the row, if it is an animal".to_owned(),
        },
        Question::Repeated { n, lines, name } => OpenQuestion {
            question: format!(
                "{} name the same animal, first \"{name}\" in lines {} and {}.",
                count(*n, "row"),
                lines[0],
                lines[1]
            ),
            read_as: "all of them come in".to_owned(),
            answer_with: "one line per animal in the file, or another tag".to_owned(),
        },
        Question::Word { header, word, n } => OpenQuestion {
            question: format!(
                "{} of \"{header}\" {} \"{word}\", which can be meant several ways.",
                count(*n, "cell"),
                if *n == 1 { "says" } else { "say" }
            ),
            read_as: "text that was not understood".to_owned(),
            answer_with: "bred, open, recheck or not checked in the file".to_owned(),
        },
        Question::StageUnit { header, example, n } => OpenQuestion {
            question: format!(
                "{} of \"{header}\" {} a bare number, like {example}: of days, weeks or months?",
                count(*n, "stage"),
                if *n == 1 { "is" } else { "are" }
            ),
            read_as: "text; no days are worked out".to_owned(),
            answer_with: "the unit in the header or in the cells".to_owned(),
        },
        Question::MonthMarks { headers, n } => OpenQuestion {
            question: format!(
                "{} marked under a month ({}) without a result.",
                if *n == 1 {
                    "1 cow is".to_owned()
                } else {
                    format!("{n} cows are")
                },
                headers.join(", ")
            ),
            read_as: "the month in which she calves; the result stays blank".to_owned(),
            answer_with: "a column of results in the file".to_owned(),
        },
        Question::TwoColumns { column, headers } => {
            let taken = imported
                .plan
                .columns
                .iter()
                .find(|planned| matches!(&planned.target, Target::Known(key) if key == column));
            OpenQuestion {
                question: format!(
                    "More than one column could be {column}: {}.",
                    headers.join(", ")
                ),
                read_as: taken.map_or_else(
                    || "none of them; all are kept as your own columns".to_owned(),
                    |planned| {
                        format!(
                            "\"{}\"; the others are kept as your own columns",
                            planned.header
                        )
                    },
                ),
                answer_with: "another header on the columns that are something else".to_owned(),
            }
        }
    }
}

fn count(n: u32, what: &str) -> String {
    counted(n as usize, what)
}
