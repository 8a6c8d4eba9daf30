//! What must hold for any text as a formula.
//!
//! Enters: text. Leaves: nothing; a broken promise ends the run with a message.
//! Always true: the property test and the fuzzer ask for the same promises.
//! Never: asks that the text makes sense.

use fairpen_engine::formula::cell::Cell;
use fairpen_engine::formula::check::check;
use fairpen_engine::formula::complete::complete;
use fairpen_engine::formula::evaluate::Evaluation;
use fairpen_engine::formula::names::{ColumnAbout, Holds, Names};
use fairpen_engine::formula::parse::parse;
use fairpen_engine::formula::print::print;
use fairpen_engine::formula::tree::Node;

use crate::formula_columns::JsonColumns;

/// Four rows with something of everything.
const COLUMNS: &str = r#"{
    "n": [3, -1.5, null, 1e300],
    "m": [2, 2, 7, 0],
    "t": ["bull", "A*1", null, "2026-03-14"],
    "u": ["bull", "", "12", ">3"],
    "d": [{"date": "2026-02-11"}, null, {"date": "2024-02-29"}, {"date": "1999-12-31"}],
    "b": [true, false, null, true],
    "z": [null, null, null, null]
}"#;

/// Keys of the columns that any formula is computed with.
pub const KEYS: [&str; 7] = ["n", "m", "t", "u", "d", "b", "z"];

struct Known;

impl Names for Known {
    fn sheets(&self) -> Vec<String> {
        vec!["calves".to_owned(), "cows".to_owned()]
    }

    fn columns(&self, sheet: &str) -> Vec<ColumnAbout> {
        if sheet != "calves" {
            return Vec::new();
        }
        KEYS.iter()
            .map(|key| ColumnAbout {
                key: (*key).to_owned(),
                label: (*key).to_owned(),
                holds: match *key {
                    "t" | "u" => Holds::TEXTS,
                    "d" => Holds::DATES,
                    "b" => Holds::LOGICALS,
                    _ => Holds::NUMBERS,
                },
                n_blank: 1,
                ..ColumnAbout::default()
            })
            .collect()
    }
}

/// Reads a text as a formula and holds what comes of it against what is promised.
///
/// # Panics
/// When a promise is broken.
pub fn hold_to_promises(text: &str) {
    for cursor in [0, text.len() / 2, text.len()] {
        let completion = complete("calves", text, cursor, &Known);
        assert!(completion.replaces.end <= text.len());
        assert!(text.is_char_boundary(completion.replaces.start));
        assert!(text.is_char_boundary(completion.replaces.end));
    }
    match parse(text) {
        Ok(formula) => hold_tree(&formula, text),
        Err(trouble) => {
            assert!(trouble.code.starts_with("formula."));
            assert!(!trouble.message.is_empty() && !trouble.hint.is_empty());
            assert!(trouble.span.start <= trouble.span.end && trouble.span.end <= text.len());
            assert!(text.is_char_boundary(trouble.span.start));
            assert!(text.is_char_boundary(trouble.span.end));
        }
    }
}

/// Prints, checks and computes a formula.
///
/// # Panics
/// When a promise is broken.
pub fn hold_tree(formula: &Node, text: &str) {
    let printed = print(formula);
    if printed.len() <= fairpen_engine::formula::parse::LONGEST {
        assert_eq!(parse(&printed).as_ref(), Ok(formula), "{text} as {printed}");
    }
    for trouble in check("calves", formula, &Known).troubles {
        assert!(trouble.span.end <= text.len() && !trouble.hint.is_empty());
    }
    let columns = JsonColumns::new(COLUMNS, 4);
    let mut evaluation = Evaluation::new(&columns, Some(46_095.0));
    let values = evaluation.evaluate("calves", formula);
    for row in 0..4 {
        match values.at(row) {
            Cell::Number(number) => assert!(number.is_finite(), "{printed}: {number}"),
            Cell::Text(text) => assert!(text.chars().count() <= 32_767, "{printed}"),
            _ => {}
        }
    }
}
