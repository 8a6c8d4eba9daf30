//! The sample books, held against figures worked out apart in Python with exact fractions.
//!
//! Expected: `tests/reference/sample-books/*.csv`, made by `expected.py` there (its sources are named at its
//! top). Tolerance: relative 1e-9, since both sides use the same closed formulas.

use std::collections::{BTreeMap, BTreeSet};

use fairpen_engine::group::NO_GROUP;
use fairpen_engine::results::Results;
use fairpen_tests::books::folder;
use fairpen_tests::reference::{number, repository, rows};

fn check(name: &str) {
    let book = folder(&repository("sample-books").join(name));
    let results = Results::recalculate(&book);
    let expected = rows(&format!("sample-books/{name}.csv"));
    assert_eq!(expected.len(), book.calves().n_rows());
    let mut numbered: BTreeMap<String, BTreeSet<u32>> = BTreeMap::new();
    for (row, expected) in expected.iter().enumerate() {
        let line = &expected["line"];
        let near = |made: f64, key: &str| {
            let want = number(expected, key).unwrap_or(f64::NAN);
            let same = (made.is_nan() && want.is_nan())
                || (made - want).abs() <= 1e-9 * want.abs().max(1.0);
            assert!(same, "{name} line {line}, {key}: {made}, expected {want}");
        };
        let adjusted = &results.adjusted;
        let whole = |value: i32| {
            if value == i32::MIN {
                f64::NAN
            } else {
                f64::from(value)
            }
        };
        near(adjusted.adj_205[row], "adj_205_weight");
        near(results.groups.ratio[row], "ratio");
        if !expected["adj_205_weight"].is_empty() {
            near(whole(adjusted.age_days[row]), "age_days");
            near(adjusted.birth_weight_used[row], "birth_weight_used");
            near(adjusted.dam_age_factor[row], "dam_age_factor");
        }
        let group = results.groups.group_of[row];
        assert_eq!(
            group == NO_GROUP,
            expected["group_number"].is_empty(),
            "{name} line {line}: in a group or not"
        );
        if group != NO_GROUP {
            let size = results.groups.groups[group as usize].rows.len() as f64;
            near(size, "group_size");
            numbered
                .entry(expected["group_number"].clone())
                .or_default()
                .insert(group);
        }
    }
    assert!(
        numbered.values().all(|groups| groups.len() == 1),
        "{name}: a group is split"
    );
    assert_eq!(
        numbered.len(),
        results.groups.groups.len(),
        "{name}: groups are joined or too many"
    );
}

#[test]
fn two_barns() {
    check("two-barns");
}

#[test]
fn five_years() {
    check("five-years");
}
