//! Any text as a formula, and any formula as text.

use fairpen_engine::formula::cell::Cell;
use fairpen_engine::formula::evaluate::Evaluation;
use fairpen_engine::formula::function::{Takes, all};
use fairpen_engine::formula::parse::parse;
use fairpen_engine::formula::print::print;
use fairpen_engine::formula::tree::{ColumnName, DEEPEST, Form, Node, Operator, Sign};
use fairpen_engine::formula::trouble::Span;
use fairpen_tests::any_formula::{KEYS, hold_to_promises, hold_tree};
use fairpen_tests::formula_columns::JsonColumns;
use proptest::prelude::*;

fn node(form: Form) -> Node {
    Node::new(Span::default(), form)
}

fn operator() -> impl Strategy<Value = Operator> {
    prop::sample::select(vec![
        Operator::Power,
        Operator::Times,
        Operator::Divide,
        Operator::Plus,
        Operator::Minus,
        Operator::Join,
        Operator::Equal,
        Operator::NotEqual,
        Operator::Less,
        Operator::AtMost,
        Operator::More,
        Operator::AtLeast,
    ])
}

fn leaf() -> impl Strategy<Value = Node> {
    prop_oneof![
        3 => (0_u32..60).prop_map(|number| node(Form::Number(f64::from(number) / 4.0))),
        1 => any::<f64>().prop_filter("finite", |n| n.is_finite()).prop_map(|n| node(Form::Number(n.abs()))),
        2 => "[ -~]{0,5}".prop_map(|text| node(Form::Text(text))),
        1 => prop::sample::select(vec!["bull", ">1", "<>", "=", "*l", "12", "2026-03-14", "d", "0.0", "é\"'"])
            .prop_map(|text| node(Form::Text(text.to_owned()))),
        6 => prop::sample::select(KEYS.to_vec()).prop_map(|key| node(Form::Column(ColumnName {
            sheet: None,
            key: key.to_owned(),
        }))),
        1 => ("[a-z'. ]{1,4}", "\\PC{1,3}").prop_map(|(sheet, key)| node(Form::Column(ColumnName {
            sheet: Some(sheet),
            key,
        }))),
    ]
}

fn tree() -> impl Strategy<Value = Node> {
    let names: Vec<(&str, usize, usize)> = all()
        .map(|(_, function)| {
            (
                function.name,
                function.fewest(),
                function
                    .most()
                    .unwrap_or(function.parameters.len() + 2 * function.repeats),
            )
        })
        .collect();
    leaf().prop_recursive(5, 40, 4, move |inner| {
        let names = names.clone();
        prop_oneof![
            3 => (operator(), inner.clone(), inner.clone()).prop_map(|(operator, left, right)| node(
                Form::Binary(operator, Box::new(left), Box::new(right))
            )),
            1 => (any::<bool>(), inner.clone()).prop_map(|(minus, inner)| node(Form::Prefix(
                if minus { Sign::Minus } else { Sign::Plus },
                Box::new(inner)
            ))),
            1 => inner.clone().prop_map(|inner| node(Form::Percent(Box::new(inner)))),
            6 => (prop::sample::select(names), prop::collection::vec(prop::option::weighted(0.9, inner), 6))
                .prop_map(|((name, fewest, most), mut arguments)| {
                    arguments.truncate(most.max(fewest).min(6));
                    if let [None] = arguments.as_slice() {
                        // One empty argument cannot be told from none.
                        arguments.clear();
                    }
                    node(Form::Call {
                        function: name.to_owned(),
                        arguments,
                    })
                }),
        ]
    })
}

/// Pieces that formulas are made of, in no order.
fn soup() -> impl Strategy<Value = String> {
    let pieces = prop::collection::vec(
        prop_oneof![
            prop::sample::select(vec![
                "n", "t", "d", "(", ")", ";", ",", "{", "}", "|", "+", "-", "*", "/", "^", "&",
                "=", "<>", "<", "%", "\"", "'", "$", "$$", ".", "1", "1e3", ".5", "#N/A", "#",
                "IF(", "SUM(", "COUNTIF(", "MATCH(", "'cows'.", " ", "é", "x.y", "1a"
            ])
            .prop_map(str::to_owned),
            "\\PC{0,2}",
        ],
        0..25,
    );
    pieces.prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    #[test]
    fn text_of_any_kind(text in "\\PC{0,60}") {
        hold_to_promises(&text);
    }

    #[test]
    fn pieces_of_formulas(text in soup()) {
        hold_to_promises(&text);
    }

    #[test]
    fn trees_of_any_shape(tree in tree()) {
        let text = print(&tree);
        hold_to_promises(&text);
        hold_tree(&parse(&text).expect("what is printed can be read"), &text);
    }
}

/// Criteria that differ from row to row, worked out all at once, against the same asked one row at a time.
mod criteria {
    use super::*;

    fn json(values: &[Option<i32>]) -> String {
        serde_json::to_string(values).expect("numbers are JSON")
    }

    fn texts(values: &[Option<i32>]) -> String {
        let texts: Vec<Option<String>> = values
            .iter()
            .map(|value| {
                value.map(|value| {
                    ["a", "B", "b", "12", "x*"][value.unsigned_abs() as usize % 5].to_owned()
                })
            })
            .collect();
        serde_json::to_string(&texts).expect("texts are JSON")
    }

    /// The formula with each scalar key replaced by the value of a row.
    fn at_row(formula: &str, columns: &JsonColumns, row: usize) -> String {
        let mut made = formula.to_owned();
        for key in ["a", "b", "w", "t"] {
            let value = Evaluation::new(columns, None)
                .evaluate("calves", &parse(key).expect("a key"))
                .at(row);
            let written = match value {
                Cell::Number(number) => format!("{number}"),
                Cell::Text(text) => format!("\"{}\"", &*text),
                // A blank criterion counts as 0, and joined to a text as nothing.
                _ if made.contains(&format!("&{{{key}}}")) => "\"\"".to_owned(),
                _ => "0".to_owned(),
            };
            made = made.replace(&format!("{{{key}}}"), &written);
        }
        made
    }

    /// Values of the columns `a`, `b`, `w` and `t`.
    type Four = (Option<i32>, Option<i32>, Option<i32>, Option<i32>);

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        #[test]
        fn all_at_once_is_as_one_by_one(
            rows in prop::collection::vec(
                (
                    prop::option::weighted(0.85, -2_i32..4),
                    prop::option::weighted(0.85, 0_i32..3),
                    prop::option::weighted(0.8, -9_i32..9),
                    prop::option::weighted(0.85, 0_i32..5),
                ),
                1..12,
            ),
        ) {
            let column = |of: &dyn Fn(&Four) -> Option<i32>| {
                rows.iter().map(of).collect::<Vec<_>>()
            };
            let columns = JsonColumns::new(
                &format!(
                    "{{\"a\":{},\"b\":{},\"w\":{},\"t\":{}}}",
                    json(&column(&|row| row.0)),
                    json(&column(&|row| row.1)),
                    json(&column(&|row| row.2)),
                    texts(&column(&|row| row.3)),
                ),
                rows.len(),
            );
            for formula in [
                "COUNTIFS(a;{a})",
                "COUNTIFS(t;{t};b;{b})",
                "SUMIFS(w;t;{t})",
                "AVERAGEIFS(w;b;{b};a;{a})",
                "COUNTIFS(b;{b};w;\">\"&{w})",
                "SUMIFS(a;w;\">=\"&{w};w;\"<\"&{a})",
                "AVERAGEIFS(w;t;{t};a;\"<=\"&{a})",
                "MAXIFS(w;b;{b};a;\"<\"&{a})",
                "MINIFS(w;a;\">=\"&{a})",
                "MINIFS(w;a;\">=\"&{a};b;\"<=\"&{b})",
                "COUNTIF(t;{t})",
                "COUNTIF(t;\"<>\"&{t})",
                "SUMIF(t;{t};w)",
                "COUNTIFS(t;{t};w;\"<>\"&{w};b;\">0\")",
            ] {
                let whole = formula.replace(['{', '}'], "");
                let mut evaluation = Evaluation::new(&columns, None);
                let all = evaluation.evaluate("calves", &parse(&whole).expect("a formula"));
                for row in 0..rows.len() {
                    let single = at_row(formula, &columns, row);
                    let one = Evaluation::new(&columns, None)
                        .evaluate("calves", &parse(&single).expect("a formula"))
                        .at(row);
                    match (all.at(row), one) {
                        (Cell::Number(all), Cell::Number(one)) => {
                            prop_assert!((all - one).abs() < 1e-9, "{} {}: {} {}", whole, single, all, one);
                        }
                        (all, one) => prop_assert_eq!(all, one, "{} {}", whole, single),
                    }
                }
            }
        }
    }
}

#[test]
fn depth_and_length_are_bounded() {
    for text in [
        "(".repeat(5_000),
        "-".repeat(5_000) + "1",
        "1".to_owned() + &"%".repeat(5_000),
        "1".to_owned() + &"+1".repeat(3_000),
        "SUM(".repeat(1_500),
        "IF(1;".repeat(DEEPEST + 1),
        "{".repeat(3_000),
        "1".repeat(9_000),
        format!("SUM(1{})", ";1".repeat(100)),
    ] {
        let refused = parse(&text).expect_err("too much of it");
        assert!(!refused.hint.is_empty(), "{}", refused.code);
    }
    let deep = format!("{}1{}", "ABS(".repeat(DEEPEST - 1), ")".repeat(DEEPEST - 1));
    hold_to_promises(&deep);
    let long = "1".to_owned() + &"+n".repeat(DEEPEST - 1);
    hold_to_promises(&long);
}

#[test]
fn the_catalogue_is_complete_and_its_examples_can_be_read() {
    let mut names: Vec<&str> = all().map(|(_, function)| function.name).collect();
    assert!(names.len() >= 80, "{} functions", names.len());
    let n = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), n, "a name stands twice");
    for (_, function) in all() {
        assert!(function.help.ends_with('.'), "{}", function.name);
        let example = parse(function.example)
            .unwrap_or_else(|trouble| panic!("{}: {}", function.example, trouble.message));
        let mut ahead = vec![&example];
        let mut shown = false;
        while let Some(node) = ahead.pop() {
            if let Form::Call {
                function: name,
                arguments,
                ..
            } = &node.form
                && name == function.name
            {
                shown |= function.takes_count(arguments.len());
            }
            ahead.extend(node.parts());
        }
        assert!(shown, "{} is not in its example", function.name);
        assert!(function.repeats <= function.parameters.len());
        let criteria = function
            .parameters
            .iter()
            .filter(|parameter| parameter.takes == Takes::Criterion);
        assert!(criteria.count() <= 1, "{}", function.name);
    }
}
