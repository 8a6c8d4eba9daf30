//! What a check finds, and what it leaves alone.

use super::super::names::{ColumnAbout, Holds, Names};
use super::super::parse::parse;
use super::check;

struct Herd;

impl Names for Herd {
    fn sheets(&self) -> Vec<String> {
        vec!["calves".to_owned(), "cows".to_owned()]
    }

    fn columns(&self, sheet: &str) -> Vec<ColumnAbout> {
        let column = |key: &str, holds, words, n_blank| ColumnAbout {
            key: key.to_owned(),
            label: key.replace('_', " "),
            holds,
            words,
            n_blank,
            ..ColumnAbout::default()
        };
        match sheet {
            "calves" => vec![
                column("tag", Holds::TEXTS, false, 0),
                column("dam", Holds::TEXTS, false, 2),
                column("sex", Holds::TEXTS, true, 0),
                column("birth_date", Holds::DATES, false, 0),
                column("birth_weight", Holds::NUMBERS, false, 3),
                column("wean_weight", Holds::NUMBERS, false, 0),
                column("wean_date", Holds::DATES, false, 0),
            ],
            "cows" => vec![
                column("tag", Holds::TEXTS, false, 0),
                column("birth_date", Holds::DATES, false, 0),
            ],
            _ => Vec::new(),
        }
    }
}

fn codes(formula: &str) -> Vec<(&'static str, String)> {
    let tree = parse(formula).expect("a formula");
    check("calves", &tree, &Herd)
        .troubles
        .into_iter()
        .map(|trouble| {
            let place = formula[trouble.span.start..trouble.span.end].to_owned();
            (trouble.code, place)
        })
        .collect()
}

fn given(formula: &str) -> Holds {
    check("calves", &parse(formula).expect("a formula"), &Herd).gives
}

#[test]
fn what_cannot_work_is_named_with_its_place() {
    for (formula, code, place) in [
        ("wean_wieght+1", "formula.column.unknown", "wean_wieght"),
        ("TRUE", "formula.column.unknown", "TRUE"),
        ("'bulls'.tag", "formula.sheet.unknown", "'bulls'.tag"),
        (
            "1+AVRAGE(wean_weight)",
            "formula.function.unknown",
            "AVRAGE",
        ),
        ("ROUND()", "formula.arguments", "ROUND()"),
        (
            "SUMIFS(wean_weight; sex)",
            "formula.arguments",
            "SUMIFS(wean_weight; sex)",
        ),
        (
            "wean_date-'cows'.birth_date",
            "formula.column.other_sheet",
            "'cows'.birth_date",
        ),
        ("sex*2", "formula.kind", "sex"),
        ("wean_weight+\"lb\"", "formula.kind", "\"lb\""),
        ("wean_weight-birth_weight", "formula.blank", "birth_weight"),
        ("IF(birth_weight<70;1;2)", "formula.blank", "birth_weight"),
        ("60 >= birth_weight", "formula.blank", "birth_weight"),
        (
            "MATCH(4017; 'cows'.tag; 0)",
            "formula.text_by_number",
            "4017",
        ),
        ("COUNTIF(dam; 12)", "formula.text_by_number", "12"),
    ] {
        assert_eq!(codes(formula), [(code, place.to_owned())], "{formula}");
    }
}

#[test]
fn what_works_is_left_alone() {
    for formula in [
        "wean_weight-AVERAGE(birth_weight)",
        "IF(ISBLANK(birth_weight);NA();wean_weight-birth_weight)",
        "INDEX('cows'.birth_date; MATCH(dam; 'cows'.tag; 0))",
        "SUMPRODUCT(('cows'.birth_date>0)*1)",
        "\"2026-03-01\"-birth_date",
        "COUNTIFS(sex; sex; wean_weight; \">\" & wean_weight) + 1",
    ] {
        assert_eq!(codes(formula), [], "{formula}");
    }
}

#[test]
fn dates_stay_dates() {
    for (formula, holds) in [
        ("birth_date+205", Holds::DATES),
        ("wean_date-birth_date", Holds::NUMBERS),
        ("MIN(birth_date)", Holds::DATES),
        ("IF(wean_weight>500;birth_date;wean_date)", Holds::DATES),
        ("IF(wean_weight>500;birth_date;0)", Holds::NUMBERS),
        ("INDEX('cows'.birth_date;1)", Holds::DATES),
        ("LARGE(birth_date; 2)", Holds::DATES),
        ("MAXIFS(birth_date; sex; sex)", Holds::DATES),
        ("EDATE(birth_date; 12)", Holds::DATES),
        ("YEAR(birth_date)", Holds::NUMBERS),
        ("sex&\"x\"", Holds::TEXTS),
        (
            "IFERROR(birth_date;\"none\")",
            Holds::DATES.or(Holds::TEXTS),
        ),
        ("sex=\"bull\"", Holds::LOGICALS),
    ] {
        assert_eq!(given(formula), holds, "{formula}");
    }
}
