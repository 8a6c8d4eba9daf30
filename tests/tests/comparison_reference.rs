//! A sample book's comparison against lme4 and pbkrtest.
//!
//! Expected: `tests/reference/sample-books/five-years-mixed.json`, made by `scripts/mixed_comparison.R` from rows
//! that `scripts/mixed_comparison_rows.py` works out apart from Fairpen. Tolerances: relative 1e-6 for estimates and
//! t tests of closed form, 1e-4 for spreads found by search and for standard errors, 1e-3 for degrees of freedom
//! and F.

use fairpen_engine::compare::choices::Choices;
use fairpen_engine::compare::compare;
use fairpen_engine::compare::result::{CompareSpec, Comparison, Estimate, RepeatBy, TermTest};
use fairpen_engine::results::Results;
use fairpen_tests::books::folder;
use fairpen_tests::reference::repository;
use serde_json::Value;

const CLOSED: f64 = 1e-6;
const SEARCHED: f64 = 1e-4;
const DEGREES: f64 = 1e-3;

fn near(what: &str, made: f64, expected: &Value, relative: f64) {
    let want = expected.as_f64().expect("a number");
    assert!(
        (made - want).abs() <= relative * want.abs().max(1e-12),
        "{what}: {made}, expected {want}"
    );
}

fn check(what: &str, made: Option<Estimate>, expected: &Value) {
    let made = made.expect("can be estimated");
    near(what, made.value, &expected["estimate"], CLOSED);
    near(what, made.se, &expected["se"], SEARCHED);
    near(what, made.df, &expected["df"], DEGREES);
}

fn by_management(choices: Choices) -> Comparison {
    let book = folder(&repository("sample-books").join("five-years"));
    let results = Results::recalculate(&book);
    let spec = CompareSpec {
        column: "management".to_owned(),
        choices,
        ..CompareSpec::default()
    };
    compare(&book, &results, &spec).expect("can be compared")
}

fn expected() -> Value {
    let path = repository("tests/reference/sample-books/five-years-mixed.json");
    serde_json::from_str(&std::fs::read_to_string(path).expect("readable")).expect("JSON")
}

#[test]
fn five_years_of_cows_and_shared_bulls() {
    let (found, want) = (by_management(Choices::default()), expected());
    assert_eq!(f64::from(found.n_used), want["calves"]);
    assert_eq!(found.model.degrees, "kenward_roger");
    let effect = |key: &str| {
        let effect = found.model.random.iter().find(|effect| effect.key == key);
        effect.expect("listed").clone()
    };
    let (cow, sire) = (effect("dam"), effect("sire"));
    assert_eq!(f64::from(cow.levels), want["cows"]);
    assert_eq!(f64::from(sire.levels), want["sires"]);
    near("cow", cow.sd.expect("used"), &want["sd"]["cow"], SEARCHED);
    near(
        "sire",
        sire.sd.expect("used"),
        &want["sd"]["sire"],
        SEARCHED,
    );
    let residual = found.residual.expect("there is spread").0;
    near("residual", residual, &want["sd"]["residual"], SEARCHED);
    for level in &found.levels {
        check(&level.name, level.ls_mean, &want[&level.name]);
    }
    check("difference", found.pairs[0].difference, &want["difference"]);
    let tests = |words: &str| -> TermTest {
        let term = found.terms.iter().find(|term| term.words == words);
        term.and_then(|term| term.test).expect("tested")
    };
    for (words, key) in [
        ("sex", "sex"),
        ("dam-age class", "class"),
        ("birth date", "day"),
    ] {
        let (test, want) = (tests(words), &want[key]);
        near(words, test.f, &want["f"], DEGREES);
        near(words, test.df, &want["df"], CLOSED);
        near(words, test.denominator_df, &want["denominator_df"], DEGREES);
        near(words, test.p, &want["p"], 1e-2);
    }
}

#[test]
fn five_years_judged_by_places() {
    let (found, want) = (by_management(Choices::default()), expected());
    let want = &want["such_places"];
    let such = found.pairs[0].such.as_ref().expect("two places and more");
    assert_eq!(
        (such.by, such.n_first, such.n_second),
        (RepeatBy::Places, 2, 4)
    );
    let made = such.difference;
    near("difference", made.value, &want["estimate"], CLOSED);
    near("standard error", made.se, &want["se"], CLOSED);
    near("degrees of freedom", made.df, &want["df"], CLOSED);
    near("lower", made.lower, &want["lower"], CLOSED);
    near("upper", made.upper, &want["upper"], CLOSED);
    near("p", made.p, &want["p"], CLOSED);
    assert!(such.differs);
}
