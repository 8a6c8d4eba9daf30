//! Other people's headers: every file runs unattended, and its figures are those worked out apart
//! (`tests/suite/import/headers/expected.py`, which knows nothing of this program).

mod run;

use std::fs;
use std::path::PathBuf;

use run::{Report, number, repository, same};
use serde_json::Value;

fn header_files() -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = fs::read_dir(repository("tests/suite/import/headers"))
        .expect("the folder is there")
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "csv"))
        .collect();
    files.sort();
    files
}

#[test]
fn every_header_style_is_understood_and_computed() {
    let files = header_files();
    assert!(files.len() >= 16, "{files:?}");
    for file in files {
        let name = file
            .file_stem()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let expected = run::json(&file.with_file_name(format!("{name}.expect.json")));
        let report = Report::of(&file, &[]);
        mapping(&name, &report, &expected);
        figures(&name, &report, &expected);
    }
}

fn mapping(name: &str, report: &Report, expected: &Value) {
    let document = report.json("report.json");
    assert_eq!(document["weight_unit"], expected["weight_unit"], "{name}");
    assert_eq!(document["calves"]["rows"], expected["rows"], "{name}");
    let headers = document["files"][0]["read_as"]["headers"]
        .as_array()
        .expect("headers");
    let expected = expected["mapping"].as_object().expect("a mapping");
    assert_eq!(headers.len(), expected.len(), "{name}");
    for header in headers {
        let text = header["header"].as_str().expect("a header");
        let right = expected
            .get(text)
            .and_then(Value::as_str)
            .unwrap_or_else(|| panic!("{name}: {text}"));
        if right == "own" {
            assert_eq!(header["kept_as"], "own", "{name}: {text}");
        } else {
            assert_eq!(
                (&header["kept_as"], &header["column"]),
                (&"known".into(), &right.into()),
                "{name}: {text}"
            );
        }
    }
}

fn figures(name: &str, report: &Report, expected: &Value) {
    let rows = report.csv("adjusted.csv");
    let weights: Vec<f64> = rows
        .iter()
        .filter_map(|row| number(&row["adj_205_weight"]))
        .collect();
    let mean = weights.iter().sum::<f64>() / weights.len() as f64;
    same(
        &format!("{name}: mean"),
        Some(mean),
        expected["mean_adj_205"].as_f64(),
    );
    let calves = expected["calves"].as_object().expect("calves");
    assert_eq!(calves.len(), 3, "{name}");
    for (tag, calf) in calves {
        let row = rows
            .iter()
            .find(|row| row["tag"] == *tag)
            .unwrap_or_else(|| panic!("{name}: {tag}"));
        let what = |column: &str| format!("{name}, calf {tag}, {column}");
        assert_eq!(row["sex"], calf["sex"], "{}", what("sex"));
        assert_eq!(
            row["dam_age_class"],
            calf["dam_age_class"].as_str().unwrap_or(""),
            "{}",
            what("dam_age_class")
        );
        for (column, key) in [
            ("age_days", "age_days"),
            ("birth_weight_used", "birth_weight_used"),
            ("adj_205_weight", "adj_205"),
            ("group_size", "group_size"),
            ("ratio", "ratio"),
        ] {
            same(&what(column), number(&row[column]), calf[key].as_f64());
        }
        let stated = !row["flags"].contains("standard birth weight");
        assert_eq!(
            stated,
            calf["birth_weight_stated"].as_bool().expect("yes or no"),
            "{}",
            what("flags")
        );
    }
}

/// Both ways of naming a column lead to the same comparison.
#[test]
fn a_comparison_takes_the_key_or_the_files_own_header() {
    let file = repository("tests/suite/import/headers/pen-and-management.csv");
    let by_key = Report::of(&file, &["--compare", "management"]).json("comparison.json");
    let by_header = Report::of(&file, &["--compare", "Mgmt"]).json("comparison.json");
    assert_eq!(by_key["levels"].as_array().expect("levels").len(), 2);
    assert_eq!(by_key["levels"], by_header["levels"]);
    assert_eq!(by_key["pairs"], by_header["pairs"]);
}
