//! Formulas held against results of an independent engine and the words of the standard.
//!
//! `tests/reference/openformula-cases.csv` names the source beside each case. Where the standard leaves a
//! result to the program (`impl-defined`), Fairpen may differ, and `docs/formulas.md` says how: those cases
//! are listed here with what Fairpen gives.

use fairpen_engine::formula::cell::Cell;
use fairpen_engine::formula::error_value::ErrorValue;
use fairpen_engine::formula::evaluate::Evaluation;
use fairpen_engine::formula::parse::parse;
use fairpen_engine::formula::print::print;
use fairpen_tests::formula_columns::JsonColumns;
use fairpen_tests::reference::{Row, rows};

/// Cases the standard leaves open and Fairpen answers in another way, with its answer.
const DIFFERENT: [(&str, &str); 1] = [
    // A formula that only passes a blank cell on: a blank stays blank and does not become 0.
    ("F095", "blank"),
];

/// How many cases the file holds: none may be lost.
const N_CASES: usize = 564;

fn made(case: &Row) -> String {
    let row: usize = case["row"].parse().expect("a row");
    let columns = JsonColumns::new(&case["columns"], row + 1);
    let formula = match parse(&case["formula"]) {
        Ok(formula) => formula,
        Err(trouble) => return format!("not read: {}", trouble.message),
    };
    assert_eq!(
        parse(&print(&formula)).as_ref(),
        Ok(&formula),
        "{}: {}",
        case["id"],
        print(&formula)
    );
    let mut evaluation = Evaluation::new(&columns, None);
    match evaluation.evaluate("calves", &formula).at(row) {
        Cell::Empty => "blank".to_owned(),
        Cell::Number(number) => format!("number {number}"),
        Cell::Logical(logical) => format!("logical {}", logical.to_string().to_uppercase()),
        Cell::Text(text) => format!("text {}", &*text),
        Cell::Error(error) => format!("error {error}"),
    }
}

fn agrees(case: &Row, made: &str) -> bool {
    let (kind, value) = made.split_once(' ').unwrap_or((made, ""));
    if kind != case["expected_type"] {
        return false;
    }
    match kind {
        "number" => {
            let number = |text: &str| text.parse::<f64>().expect("a number");
            let tolerance = number(&case["tolerance"]);
            (number(value) - number(&case["expected"])).abs() <= tolerance
        }
        // Where the standard only asks for an error, the file's choice of name binds nobody.
        "error" if case["note"].contains("any-error") => {
            ErrorValue::ALL.iter().any(|error| error.name() == value)
        }
        _ => value == case["expected"],
    }
}

#[test]
fn every_case_of_the_reference_agrees() {
    let cases = rows("openformula-cases.csv");
    assert_eq!(cases.len(), N_CASES);
    let mut wrong = Vec::new();
    let mut n_different = 0;
    for case in &cases {
        let made = made(case);
        let different = DIFFERENT.iter().find(|(id, _)| *id == case["id"]);
        let right = match different {
            Some((_, ours)) => {
                assert!(
                    case["note"].contains("impl-defined"),
                    "{}: only what the standard leaves open may differ",
                    case["id"]
                );
                n_different += 1;
                made == *ours
            }
            None => agrees(case, &made),
        };
        if !right {
            wrong.push(format!(
                "{} {} (row {}): made {made}, expected {} {} [{}]",
                case["id"],
                case["formula"],
                case["row"],
                case["expected_type"],
                case["expected"],
                case["note"]
            ));
        }
    }
    assert_eq!(n_different, DIFFERENT.len());
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}
