//! What the README of the sample books says of them is so.

use std::collections::{BTreeMap, BTreeSet};

type Row = BTreeMap<String, String>;

fn sheet(path: &str) -> Vec<Row> {
    let file = fairpen_samples::sample_books()
        .into_iter()
        .find(|file| file.path == path)
        .unwrap_or_else(|| panic!("{path} is not among the sample books"));
    let mut reader = csv::Reader::from_reader(file.bytes.as_slice());
    let header = reader.headers().expect("a header").clone();
    reader
        .records()
        .map(|record| {
            let record = record.expect("the book is even");
            header
                .iter()
                .map(str::to_owned)
                .zip(record.iter().map(str::to_owned))
                .collect()
        })
        .collect()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

#[test]
fn raw_weights_of_the_two_barns_point_the_wrong_way() {
    let kinds: BTreeMap<String, String> = sheet("two-barns/places.csv")
        .into_iter()
        .map(|place| (place["name"].clone(), place["kind"].clone()))
        .collect();
    let mut raw: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    let calves = sheet("two-barns/calves.csv");
    for calf in calves.iter().filter(|calf| !calf["wean_weight"].is_empty()) {
        let weight = calf["wean_weight"].parse().expect("a weight");
        raw.entry(&kinds[&calf["place"]]).or_default().push(weight);
    }
    let (pens, pastures) = (mean(&raw["bedded pen"]), mean(&raw["pasture"]));
    assert!(pastures - pens > 10.0, "pens {pens}, pastures {pastures}");
    const { assert!(fairpen_samples::two_barns::truth::PEN_ABOVE_PASTURE > 0) };
}

#[test]
fn every_dam_age_has_calves_in_pens_and_on_grass() {
    let mut seen: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut heifers_in_pens = 0;
    let mut heifers = 0;
    for calf in sheet("one-file.csv") {
        let class = match calf["dam_age"].parse::<u32>() {
            Ok(years @ 2..=4) => years.to_string(),
            Ok(5..=10) => "5-10".to_owned(),
            Ok(11..) => "11+".to_owned(),
            _ => continue,
        };
        if class == "2" {
            heifers += 1;
            heifers_in_pens += usize::from(calf["management"] == "bedded pen");
        }
        seen.entry(class)
            .or_default()
            .insert(calf["management"].clone());
    }
    assert_eq!(seen.len(), 5);
    assert!(seen.values().all(|kinds| kinds.len() == 2), "{seen:?}");
    assert!(
        heifers_in_pens * 10 > heifers * 7,
        "{heifers_in_pens} of {heifers}"
    );
}

#[test]
fn every_electronic_tag_is_a_test_number_worn_once() {
    for path in [
        "two-barns/calves.csv",
        "five-years/calves.csv",
        "rounded-scale/calves.csv",
    ] {
        let mut seen = BTreeSet::new();
        for calf in sheet(path)
            .into_iter()
            .filter(|calf| !calf["eid"].is_empty())
        {
            let eid = &calf["eid"];
            assert!(eid.len() == 15 && eid.starts_with("999"), "{path}: {eid}");
            assert!(seen.insert(eid.clone()), "{path}: {eid} twice");
        }
    }
}

#[test]
fn the_five_years_hold_what_the_readme_names() {
    let calves = sheet("five-years/calves.csv");
    let count =
        |column: &str, value: &str| calves.iter().filter(|calf| calf[column] == value).count();
    assert!(count("born_as", "twin") >= 10);
    assert!(count("raised_by", "foster") >= 3);
    assert!(count("raised_by", "bottle") >= 3);
    assert!(count("left_because", "born dead") >= 20);
    let cows = sheet("five-years/cows.csv");
    let tags: BTreeSet<&String> = cows.iter().map(|cow| &cow["tag"]).collect();
    assert!(tags.len() < cows.len(), "some tags come back");
    let came = |how: &str, year: &str| {
        cows.iter()
            .filter(|cow| cow["came_as"] == how && cow["came_on"].starts_with(year))
            .count()
    };
    assert_eq!((came("bred", "2023"), came("pair", "2025")), (12, 2));
    assert_eq!(
        cows.iter()
            .filter(|cow| cow["left_because"] == "sold bred")
            .count(),
        6
    );
    let seasons: BTreeSet<String> = sheet("five-years/exposures.csv")
        .into_iter()
        .map(|row| row["season"].clone())
        .collect();
    assert_eq!(seasons.len(), 6);
}
