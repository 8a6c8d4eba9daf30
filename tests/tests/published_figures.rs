//! The arithmetic held against the trade's published worked examples and tables.
//!
//! Every number compared comes from a file in `tests/reference`, which names its source beside it. A worked
//! example is checked to the rounding its source printed.

use std::collections::BTreeMap;

use fairpen_engine::adjust::adjust;
use fairpen_engine::results::Results;
use fairpen_engine::trade::factors::FactorTable;
use fairpen_tests::books::{calves, day};
use fairpen_tests::reference::{Row, number, rows};

fn example(id: &str) -> Row {
    rows("worked-examples.csv")
        .into_iter()
        .find(|row| row["id"] == id)
        .unwrap_or_else(|| panic!("no example {id}"))
}

fn inputs(example: &Row) -> BTreeMap<String, serde_json::Value> {
    serde_json::from_str(&example["inputs"]).expect("inputs are JSON")
}

fn input(example: &Row, key: &str) -> f64 {
    inputs(example)[key].as_f64().expect("a number")
}

/// Half a unit of the last printed digit, and the arithmetic's own rounding.
fn rounded_to(example: &Row) -> f64 {
    match example["rounding_in_source"].as_str() {
        "2 decimals" => 0.005 + 1e-9,
        "1 decimals" => 0.05 + 1e-9,
        "nearest 1" | "0 decimals" => 0.5 + 1e-9,
        other => panic!("rounding {other}"),
    }
}

fn agrees(example: &Row, made: f64) {
    let expected = number(example, "expected").expect("an answer");
    assert!(
        (made - expected).abs() <= rounded_to(example),
        "{} {}: made {made}, published {expected}",
        example["id"],
        example["topic"]
    );
}

fn born_days_before(days: f64) -> String {
    let weighed = day("2026-10-01");
    weighed.plus(-(days as i32)).iso()
}

#[test]
fn weight_per_day_of_age() {
    for (id, weight) in [("W02", "weight"), ("W05", "weaning_wt"), ("W06", "weight")] {
        let example = example(id);
        let book = calves(&format!(
            "tag,sex,birth_date,wean_date,wean_weight\n1,bull,{},2026-10-01,{}",
            born_days_before(input(&example, "age_d")),
            input(&example, weight)
        ));
        agrees(&example, adjust(&book).weight_per_day[0]);
    }
}

#[test]
fn gain_per_day_from_birth() {
    let example = example("W03");
    let book = calves(&format!(
        "tag,sex,birth_date,birth_weight,wean_date,wean_weight\n1,bull,{},{},2026-10-01,{}",
        born_days_before(input(&example, "age_d")),
        input(&example, "birth_wt"),
        input(&example, "weaning_wt")
    ));
    agrees(&example, adjust(&book).gain_per_day[0]);
}

#[test]
fn age_across_a_leap_day() {
    let example = example("W07");
    let inputs = inputs(&example);
    let text = |key: &str| inputs[key].as_str().expect("a date").to_owned();
    let book = calves(&format!(
        "tag,sex,birth_date,wean_date,wean_weight\n1,bull,{},{},500",
        text("born"),
        text("weaned")
    ));
    agrees(&example, f64::from(adjust(&book).age_days[0]));
}

/// A calf of an example, its dam at the first day of the class the example names.
fn calf_of(example: &Row) -> String {
    let inputs = inputs(example);
    let class = inputs["dam_class"].as_str().expect("a class");
    let table = FactorTable::guideline();
    let class = table
        .classes
        .iter()
        .find(|known| known.name == class)
        .unwrap_or_else(|| panic!("no class {class}"));
    let born = day("2026-03-01");
    let sex = match inputs.get("calf_sex").and_then(|sex| sex.as_str()) {
        Some("female") => "heifer",
        _ => "steer",
    };
    format!(
        "tag,sex,birth_date,birth_weight,dam_birth_date,wean_date,wean_weight\n1,{sex},{},{},{},{},{}",
        born.iso(),
        input(example, "birth_wt"),
        born.plus(-class.from_days).iso(),
        inputs
            .get("age_d")
            .and_then(serde_json::Value::as_f64)
            .map_or_else(String::new, |age| born.plus(age as i32).iso()),
        inputs
            .get("weaning_wt")
            .map_or_else(String::new, ToString::to_string)
    )
}

#[test]
fn adjusted_205_day_weight_with_a_dam_age_factor() {
    for id in ["C01", "C02"] {
        let example = example(id);
        let adjusted = adjust(&calves(&calf_of(&example)));
        assert_eq!(adjusted.dam_age_factor[0], input(&example, "aod_adj"));
        agrees(&example, adjusted.adj_205[0]);
    }
}

#[test]
fn adjusted_birth_weight() {
    let example = example("C06");
    agrees(
        &example,
        adjust(&calves(&calf_of(&example))).adj_birth_weight[0],
    );
}

/// Two calves of 205 days of mature dams, whose adjusted weights are their own: one as in the example, the
/// other such that the mean is the example's.
#[test]
fn ratio_to_the_mean_of_the_group() {
    let example = example("C03");
    let (own, mean) = (input(&example, "adj_wt"), input(&example, "group_avg"));
    let book = calves(&format!(
        "tag,sex,birth_date,birth_weight,dam_age,wean_date,wean_weight
         1,steer,2026-03-01,80,6,2026-09-22,{own}
         2,steer,2026-03-01,80,6,2026-09-22,{}",
        2.0 * mean - own
    ));
    let results = Results::recalculate(&book);
    assert!((results.groups.groups[0].mean_adj_205 - mean).abs() < 1e-9);
    agrees(&example, results.groups.ratio[0]);
}

#[test]
fn factors_are_those_of_the_published_table() {
    let table = FactorTable::guideline();
    let mut n_checked = 0;
    for row in rows("age-of-dam-adjustments.csv") {
        if row["scheme"] != "BIF standard" {
            continue;
        }
        let class = table
            .classes
            .iter()
            .find(|class| class.name == row["dam_class"])
            .unwrap_or_else(|| panic!("no class {}", row["dam_class"]));
        let made = match (row["trait"].as_str(), row["calf_sex"].as_str()) {
            ("birth_weight", "any") => class.birth_lb,
            ("weaning_205", "male") => class.weaning_male_lb,
            ("weaning_205", "female") => class.weaning_female_lb,
            other => panic!("{other:?}"),
        };
        assert_eq!(Some(made), number(&row, "add_lb"), "{row:?}");
        assert_eq!(Some(f64::from(class.from_days)), number(&row, "low_days"));
        if let Some(high) = number(&row, "high_days") {
            assert_eq!(f64::from(class.to_days), high, "{row:?}");
        }
        n_checked += 1;
    }
    assert_eq!(
        n_checked, 15,
        "five classes, birth and two weaning factors each"
    );
}

/// The published classes are narrower at the ends (5-9 and 10; 11, 12 and 13 and over); each must lie inside
/// the class whose factor it takes.
#[test]
fn classes_are_those_of_the_published_days() {
    let table = FactorTable::guideline();
    for row in rows("aod-classes-days.csv") {
        let inside = match row["class"].as_str() {
            "5-9" | "10" => "5-10",
            "11" | "12" | "13+" => "11+",
            same => same,
        };
        let low = number(&row, "low_days").expect("a first day") as i32;
        let high = number(&row, "high_days").map_or(i32::MAX, |high| high as i32);
        for days in [low, high] {
            let class = table.class_of(days).expect("a class");
            assert_eq!(table.classes[class].name, inside, "{days} days");
        }
    }
    let youngest = number(&rows("aod-classes-days.csv")[0], "low_days").expect("a first day");
    assert_eq!(table.class_of(youngest as i32 - 1), None);
}
