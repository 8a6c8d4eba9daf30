//! The sample books against an independent computation (`tests/reference/sample-books/expected.py`:
//! Python's standard library, keyed by the line of the file, knowing nothing of this program).

mod run;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use run::{Report, Rows, csv_rows, json, number, repository, same};

/// The computation apart counts lines from 2, and these books have no blank lines.
fn beside<'a>(
    found: &'a Rows,
    expected: &'a Rows,
) -> impl Iterator<
    Item = (
        String,
        &'a BTreeMap<String, String>,
        &'a BTreeMap<String, String>,
    ),
> {
    assert_eq!(found.len(), expected.len());
    found
        .iter()
        .zip(expected)
        .enumerate()
        .map(|(at, (found, expected))| {
            assert_eq!(expected["line"], (at + 2).to_string());
            (
                format!("line {}, calf {}", at + 2, found["tag"]),
                found,
                expected,
            )
        })
}

fn agrees(book: &str) {
    let report = Report::of(&repository("sample-books").join(book), &[]);
    let found = report.csv("adjusted.csv");
    let expected =
        csv_rows(&repository("tests/reference/sample-books").join(format!("{book}.csv")));
    let (mut n_adjusted, mut groups, mut back) = (0, BTreeMap::new(), BTreeMap::new());
    for (what, found, expected) in beside(&found, &expected) {
        assert_eq!(found["tag"], expected["tag"], "{what}");
        // The computation apart gives no age to a calf without a weight.
        if !expected["age_days"].is_empty() {
            same(
                &format!("{what}: age"),
                number(&found["age_days"]),
                number(&expected["age_days"]),
            );
        }
        for column in ["adj_205_weight", "group_size", "ratio"] {
            same(
                &format!("{what}: {column}"),
                number(&found[column]),
                number(&expected[column]),
            );
        }
        if found["adj_205_weight"].is_empty() {
            assert_ne!(
                found["flags"], "",
                "{what}: no adjusted weight and no word why"
            );
            continue;
        }
        n_adjusted += 1;
        same(
            &format!("{what}: birth weight"),
            number(&found["birth_weight_used"]),
            number(&expected["birth_weight_used"]),
        );
        // The computation apart gives the class of the cow that raised the calf.
        if !found["flags"].contains("foster") {
            assert_eq!(found["dam_age_class"], expected["dam_age_class"], "{what}");
        }
        // The same parts, whatever the groups are called.
        let number = groups
            .entry(found["contemporary_group"].clone())
            .or_insert(&expected["group_number"]);
        assert_eq!(
            *number, &expected["group_number"],
            "{what}: {}",
            found["contemporary_group"]
        );
        let name = back
            .entry(expected["group_number"].clone())
            .or_insert(&found["contemporary_group"]);
        assert_eq!(*name, &found["contemporary_group"], "{what}");
    }
    assert!(n_adjusted > 150, "{n_adjusted}");
    assert_eq!(report.csv("groups.csv").len(), groups.len());
    ratios_average_100(&found, &report.csv("groups.csv"));
}

/// In every group of two or more, and `groups.csv` tells the same size and mean.
fn ratios_average_100(calves: &Rows, groups: &Rows) {
    for group in groups {
        let name = &group["contemporary_group"];
        let members: Vec<_> = calves
            .iter()
            .filter(|calf| calf["contemporary_group"] == *name)
            .collect();
        assert_eq!(group["n"], members.len().to_string(), "{name}");
        let mean = |column: &str| {
            let values: Vec<f64> = members
                .iter()
                .filter_map(|calf| number(&calf[column]))
                .collect();
            (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
        };
        same(name, number(&group["mean_adj_205"]), mean("adj_205_weight"));
        same(name, mean("ratio"), (members.len() > 1).then_some(100.0));
        let best: Vec<_> = members
            .iter()
            .filter(|calf| calf["rank_in_group"] == "1")
            .collect();
        assert_eq!(best.is_empty(), members.len() == 1, "{name}");
    }
}

#[test]
fn two_barns_agrees_with_the_computation_apart() {
    agrees("two-barns");
}

#[test]
fn five_years_agrees_with_the_computation_apart() {
    agrees("five-years");
}

#[test]
fn one_file_holds_the_same_calves_as_the_folder() {
    let one = Report::of(
        &repository("sample-books/one-file.csv"),
        &["--compare", "management"],
    );
    let folder = Report::of(&repository("sample-books/two-barns"), &[]);
    let (one_rows, folder_rows) = (one.csv("adjusted.csv"), folder.csv("adjusted.csv"));
    ratios_average_100(&one_rows, &one.csv("groups.csv"));
    assert_eq!(one_rows.len(), folder_rows.len());
    let mut n_same_class = 0;
    for (one, folder) in one_rows.iter().zip(&folder_rows) {
        assert_eq!(
            (&one["tag"], &one["age_days"]),
            (&folder["tag"], &folder["age_days"])
        );
        // The one file gives dams' ages in whole years, the folder in days; where both come to the same class
        // so does the weight. A foster's factor comes from a class that is not in this table.
        if one["dam_age_class"] == folder["dam_age_class"] && !one["flags"].contains("foster") {
            n_same_class += 1;
            same(
                &one["tag"],
                number(&one["adj_205_weight"]),
                number(&folder["adj_205_weight"]),
            );
        }
    }
    assert!(n_same_class > 150, "{n_same_class}");
    assert_eq!(
        one.json("comparison.json")["pairs"][0]["verdict"]["kind"],
        "differs"
    );
}

/// Copies the book without the calves whose raising cow's age is not known. The computation apart leaves
/// them out of the model; the engine keeps them as a level of their own.
fn with_known_cows_only(folder: &Path) {
    let book = repository("sample-books/two-barns");
    for name in ["cows.csv", "places.csv"] {
        fs::copy(book.join(name), folder.join(name)).expect("copied");
    }
    let expected = csv_rows(&repository("tests/reference/sample-books/two-barns.csv"));
    let mut reader = csv::Reader::from_path(book.join("calves.csv")).expect("readable");
    let mut writer = csv::Writer::from_path(folder.join("calves.csv")).expect("writable");
    writer
        .write_record(reader.headers().expect("headers"))
        .expect("written");
    let mut n_out = 0;
    for (record, expected) in reader.records().zip(&expected) {
        if expected["dam_age_class"].is_empty() {
            n_out += 1;
        } else {
            writer
                .write_record(&record.expect("a record"))
                .expect("written");
        }
    }
    writer.flush().expect("written");
    assert!(n_out > 0);
}

#[test]
fn the_comparison_agrees_with_exact_least_squares() {
    let folder = tempfile::tempdir().expect("a folder");
    with_known_cows_only(folder.path());
    let asked = ["--compare", "management", "--random", "none"];
    let found = Report::of(folder.path(), &asked).json("comparison.json");
    let expected = json(&repository(
        "tests/reference/sample-books/two-barns-comparison.json",
    ));
    let levels = found["levels"].as_array().expect("levels");
    assert_eq!(levels.len(), 2);
    for level in levels {
        let name = level["name"].as_str().expect("a name");
        for column in ["n", "raw_mean", "age_adjusted_mean", "adjusted_mean"] {
            same(
                &format!("{name}: {column}"),
                level[column].as_f64(),
                expected["levels"][name][column].as_f64(),
            );
        }
    }
    assert_eq!(found["n_used"], expected["calves"]);
    let pair = &found["pairs"][0];
    assert_eq!(
        (&pair["first"], &pair["second"]),
        (&"bedded pen".into(), &"pasture".into())
    );
    let difference = &pair["difference"];
    same(
        "difference",
        difference["estimate"].as_f64(),
        expected["pens_minus_pastures"].as_f64(),
    );
    same(
        "standard error",
        difference["se"].as_f64(),
        expected["standard_error"].as_f64(),
    );
    same(
        "degrees of freedom",
        difference["df"].as_f64(),
        expected["residual_degrees_of_freedom"].as_f64(),
    );
    let variance = found["residual"]["sd"].as_f64().map(|sd| sd * sd);
    same(
        "residual variance",
        variance,
        expected["residual_variance"].as_f64(),
    );
    assert_eq!(pair["verdict"]["kind"], "differs");
    assert_eq!(pair["verdict"]["heavier"], "bedded pen");
}

/// What was asked for, what the model is made of and how far it reaches stand in the document.
#[test]
fn the_choices_of_a_comparison_are_in_its_document() {
    let book = repository("sample-books/two-barns");
    let asked = [
        "--compare",
        "place",
        "--of",
        "gain",
        "--against",
        "Hill pasture",
        "--within",
        "sex",
        "--margins",
        "observed",
        "--degrees",
        "satterthwaite",
    ];
    let found = Report::of(&book, &asked).json("comparison.json");
    let choices = &found["choices"];
    assert_eq!(choices["response"], "gain");
    assert_eq!(
        (&choices["several"], &choices["against"]),
        (&"against_one".into(), &"Hill pasture".into())
    );
    assert_eq!(
        (&choices["by_sex"], &choices["by_dam_age"]),
        (&true.into(), &false.into())
    );
    assert_eq!(found["measure"]["unit"], "lb a day");
    let model = &found["model"];
    assert_eq!(
        (&model["margins"], &model["several"]),
        (&"observed".into(), &"dunnett".into())
    );
    assert_eq!(model["degrees"], "satterthwaite");
    let random = model["random"].as_array().expect("a list");
    let keys: Vec<&str> = random
        .iter()
        .filter_map(|effect| effect["key"].as_str())
        .collect();
    assert_eq!(keys, ["dam", "sire", "place", "contemporary_group"]);
    assert_eq!(random[2]["because"], "it is what is compared");
    assert!(
        random[1]["sd"].as_f64().expect("a spread") < 1.0,
        "in lb a day"
    );
    let pairs = found["pairs"].as_array().expect("a list");
    assert_eq!(pairs.len(), 6, "seven places, each against one");
    for pair in pairs {
        assert_eq!(pair["second"], "Hill pasture");
        let (together, alone) = (&pair["difference"], &pair["alone"]);
        assert_eq!(together["estimate"], alone["estimate"]);
        assert!(together["lower"].as_f64() < alone["lower"].as_f64());
        assert!(pair["such"].is_null());
    }
    // Not every place has calves of every sex, so the product is left out and says so.
    let terms = found["terms"].as_array().expect("a list");
    let product = terms
        .iter()
        .find(|term| term["words"] == "place by sex")
        .expect("listed");
    let why = product["because"].as_str().expect("said");
    assert!(why.starts_with("there is no calf used of sex"), "{why}");
    let because = found["scope"]["because"].as_str().expect("said");
    assert!(because.contains("each place is there once"), "{because}");
}

/// The same weights in kilograms: ratios, ranks and groups stay, weights are the same weights.
#[test]
fn kilograms_give_the_same_ratios() {
    let folder = tempfile::tempdir().expect("a folder");
    let source = repository("sample-books/one-file.csv");
    let mut reader = csv::Reader::from_path(&source).expect("readable");
    let headers = reader.headers().expect("headers").clone();
    let path = folder.path().join("calves.csv");
    let mut writer = csv::Writer::from_path(&path).expect("writable");
    writer.write_record(&headers).expect("written");
    for record in reader.records() {
        let record = record.expect("a record");
        let cells = headers.iter().zip(&record).map(|(header, cell)| {
            match number_if_weight(header, cell) {
                Some(pounds) => (pounds * 0.453_592_37).to_string(),
                None => cell.to_owned(),
            }
        });
        writer.write_record(cells).expect("written");
    }
    writer.flush().expect("written");
    let pounds = Report::of(&source, &["--compare", "management"]);
    let kilograms = Report::of(&path, &["--unit", "kg", "--compare", "management"]);
    assert_eq!(kilograms.json("report.json")["weight_unit"], "kg");
    for (kg, lb) in kilograms
        .csv("adjusted.csv")
        .iter()
        .zip(&pounds.csv("adjusted.csv"))
    {
        same("ratio", number(&kg["ratio"]), number(&lb["ratio"]));
        let in_kilograms = number(&lb["adj_205_weight"]).map(|pounds| pounds * 0.453_592_37);
        same("weight", number(&kg["adj_205_weight"]), in_kilograms);
        for column in ["contemporary_group", "rank_in_group", "group_size", "flags"] {
            assert_eq!(kg[column], lb[column], "{column} of {}", kg["tag"]);
        }
    }
    let (kg, lb) = (
        kilograms.json("comparison.json"),
        pounds.json("comparison.json"),
    );
    let difference =
        |document: &serde_json::Value| document["pairs"][0]["difference"]["estimate"].as_f64();
    same(
        "difference",
        difference(&kg),
        difference(&lb).map(|pounds| pounds * 0.453_592_37),
    );
    same(
        "p",
        kg["pairs"][0]["difference"]["p"].as_f64(),
        lb["pairs"][0]["difference"]["p"].as_f64(),
    );
}

fn number_if_weight(header: &str, cell: &str) -> Option<f64> {
    header.ends_with("weight").then(|| number(cell)).flatten()
}
