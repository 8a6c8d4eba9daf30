//! The sixteen header styles, and further ones that no fixture has: every file must map by itself.

use std::path::PathBuf;

use fairpen_engine::import::plan::{Question, Target};
use fairpen_engine::import::{ImportOptions, Imported, read_all};
use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::settings::WeightUnit;
use serde_json::Value as Json;

fn headers_folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/suite/import/headers")
}

fn imported(text: &str, name: &str, unit: WeightUnit) -> Imported {
    let as_of = Day::from_ymd(2026, 11, 1).expect("a real day");
    read_all(text.as_bytes(), name, ImportOptions::of_book(unit, as_of)).expect("a table")
}

fn targets(imported: &Imported) -> Vec<(String, String)> {
    imported
        .plan
        .columns
        .iter()
        .map(|column| {
            let target = match &column.target {
                Target::Known(key) => key.clone(),
                Target::Own => "own".to_owned(),
                Target::CalvingMonth => "calving_month".to_owned(),
                Target::DueDay => "due_day".to_owned(),
                Target::LeaveOut => "leave_out".to_owned(),
            };
            assert!(!column.because.is_empty(), "{}", column.header);
            (column.header.clone(), target)
        })
        .collect()
}

#[test]
fn every_fixture_is_understood_without_help() {
    let mut n_files = 0;
    for entry in std::fs::read_dir(headers_folder()).expect("the fixtures") {
        let path = entry.expect("a file").path();
        if path.extension().is_none_or(|extension| extension != "csv") {
            continue;
        }
        n_files += 1;
        let name = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let text = std::fs::read_to_string(&path).expect("text");
        let expected = std::fs::read_to_string(path.with_extension("expect.json")).expect("text");
        let expected: Json = serde_json::from_str(&expected).expect("JSON");
        let unit = match expected["weight_unit"].as_str() {
            Some("kg") => WeightUnit::Kilogram,
            _ => WeightUnit::Pound,
        };
        let imported = imported(&text, &name, unit);

        for (header, target) in targets(&imported) {
            assert_eq!(
                Some(target.as_str()),
                expected["mapping"][&header].as_str(),
                "{name}: {header}"
            );
        }
        assert_eq!(
            Some(imported.table.n_rows() as u64),
            expected["rows"].as_u64(),
            "{name}"
        );
        assert!(
            imported
                .columns
                .iter()
                .all(|column| column.n_unreadable == 0),
            "{name}: {:?}",
            imported.columns
        );
        for question in &imported.questions {
            assert!(
                matches!(question, Question::Male { .. }),
                "{name}: {question:?}"
            );
        }

        let day = |key, row| match imported.table.known(key).value(row) {
            Value::Day(day) => Some(day),
            _ => None,
        };
        for (tag, calf) in expected["calves"].as_object().expect("calves") {
            let row = (0..imported.table.n_rows())
                .find(|&row| imported.table.known("tag").value(row) == Value::Text(tag.clone()))
                .expect("the calf");
            let weighed = day("weigh_date", row)
                .or(day("wean_date", row))
                .expect("a day");
            let age = weighed.days_since(day("birth_date", row).expect("a day"));
            assert_eq!(
                age.map(i64::from),
                calf["age_days"].as_i64(),
                "{name} {tag}"
            );
            let birth_weight = match imported.table.known("birth_weight").value(row) {
                Value::Number(weight) => Some(weight),
                _ => None,
            };
            if calf["birth_weight_stated"].as_bool() == Some(true) {
                assert_eq!(
                    birth_weight,
                    calf["birth_weight_used"].as_f64(),
                    "{name} {tag}"
                );
            } else {
                assert_eq!(birth_weight, None, "{name} {tag}");
            }
            if let Some(sex) = calf["sex"].as_str() {
                assert_eq!(
                    imported.table.known("sex").value(row),
                    Value::Text(sex.to_owned()),
                    "{name} {tag}"
                );
            }
        }
    }
    assert_eq!(n_files, 16);
}

/// Headers, one row, and the columns they must come to.
const UNSEEN: &[(&str, &str, &[&str])] = &[
    (
        "CalfNo|Mother's No.|Father's Name|Birth Date (mm/dd/yyyy)|Sex (B/S/H)|Wt. at Birth (lbs.)|Date Weaned|Wt. at Weaning (lbs.)",
        "12|7|41C|3/14/2025|H|81|10/2/2025|512",
        &[
            "tag",
            "dam",
            "sire",
            "birth_date",
            "own?sex",
            "birth_weight",
            "wean_date",
            "wean_weight",
        ],
    ),
    (
        "Ear Tag Number|Cow Number|Cow Age (Years)|Bull Number|Calving Date|BWT|Sex|Weaning Weight|Weigh Date|Adj. WW|WW Ratio",
        "12|7|5|3|2025-03-14|81|S|512|2025-10-02|530|101",
        &[
            "tag",
            "dam",
            "dam_age",
            "sire",
            "birth_date",
            "birth_weight",
            "sex",
            "wean_weight",
            "weigh_date",
            "own",
            "own",
        ],
    ),
    (
        "ranch_tag|dam_tag|dam_dob|sire|calf_dob|calf_sex|birth_wt_lb|wean_dt|wean_wt_lb|wean_age|adj_205_wt",
        "12|7|2019-04-01|3|2025-03-14|steer|81|2025-10-02|512|202|530",
        &[
            "tag",
            "dam",
            "dam_birth_date",
            "sire",
            "birth_date",
            "sex",
            "birth_weight",
            "wean_date",
            "wean_weight",
            "own",
            "own",
        ],
    ),
    (
        "Tag|Dam|Cow Birth Year|Sire|Born|Sex|Birth Weight|Weaned|Weight|Pasture|How Raised",
        "12|7|2019|3|2025-03-14|steer|81|2025-10-02|512|East|grass",
        &[
            "tag",
            "dam",
            "dam_birth_year",
            "sire",
            "birth_date",
            "sex",
            "birth_weight",
            "wean_date",
            "wean_weight",
            "place",
            "management",
        ],
    ),
    (
        "ID|Mother|Age of Dam (months)|Birthdate|Gender|Weight|Date|Comments",
        "12|7|60|2025-03-14|steer|512|2025-10-02|x",
        &[
            "tag",
            "dam",
            "dam_age",
            "birth_date",
            "sex",
            "wean_weight",
            "wean_date",
            "note",
        ],
    ),
    (
        "EID|VID|Sex|DOB|Dam ID|Sire ID|WN WT|WN DATE|YRLG WT|YRLG DATE|Year",
        "999000000041000|12|B|2025-03-14|7|3|512|2025-10-02|921|2026-03-20|2025",
        &[
            "eid",
            "tag",
            "sex",
            "birth_date",
            "dam",
            "sire",
            "wean_weight",
            "wean_date",
            "yearling_weight",
            "yearling_date",
            "own",
        ],
    ),
    (
        "Calf Tag|Cow Tag|Cow Weight|Sire Breed|Dam Breed|Breed of Calf|Calving Ease Score|Date of Birth|Sex|Twin|Death Date|Reason Died",
        "12|7|1310|Angus|Hereford|Angus|1|2025-03-14|H|single|2025-04-01|died",
        &[
            "tag",
            "dam",
            "own",
            "own",
            "own",
            "breed",
            "calving_ease",
            "birth_date",
            "sex",
            "born_as",
            "left_on",
            "left_because",
        ],
    ),
    (
        "Animal ID|Dam's ID|Dam yr born|Pen No.|Treatment Group|Creep|Weaning Wt (kg)|Weaning Day|Birth Day|Birth Wt (kg)|sex",
        "12|7|2019|4|indoor|y|232|2025-10-02|2025-03-14|36|heifer",
        &[
            "tag",
            "dam",
            "dam_birth_year",
            "place",
            "management",
            "creep",
            "wean_weight",
            "wean_date",
            "birth_date",
            "birth_weight",
            "sex",
        ],
    ),
    (
        "Weight weaned|Weight birth|Date birth|Date weaned|Tag calf|Tag dam|Tag sire|Sex calf|Group",
        "512|81|2025-03-14|2025-10-02|12|7|3|bull|A",
        &[
            "wean_weight",
            "birth_weight",
            "birth_date",
            "wean_date",
            "tag",
            "dam",
            "sire",
            "sex",
            "management",
        ],
    ),
    (
        "Name|Tag|Tag Color|Paddock|Lot|Cow age at calving|Age|Gain|205 day wt|Avg wt|Born as|Foster dam|Raised by|Hip height",
        "Pest|12|red|East|2|5|200|1.9|530|500|twin|44|foster|46",
        &[
            "own",
            "tag",
            "own",
            "place",
            "own",
            "dam_age",
            "own",
            "own",
            "own",
            "own",
            "born_as",
            "raised_dam",
            "raised_by",
            "own",
        ],
    ),
];

/// Single headers with what they name, and ones that look alike and must be kept apart.
const SINGLE: &[(&str, &str)] = &[
    (
        "Calf's Tag, CalfID#, Vis ID, Tag (calf), Animal ID#, Calf ear tag no.",
        "tag",
    ),
    ("RFID tag, EID number, Calf EID", "eid"),
    ("Cow #, Cow's tag, Mom, Dam (tag), dam tag no", "dam"),
    (
        "Cow age (yr), Age of Cow, Dam age at calving, Age of dam (mos), DamAge, AOD",
        "dam_age",
    ),
    (
        "Cow DOB, Dam's birth date, Cow birthdate, Dam born",
        "dam_birth_date",
    ),
    ("Dam YOB, Birth yr of dam, Cow year born", "dam_birth_year"),
    (
        "Sire #, Bull ID, Sire(s), Possible sires, Bull used",
        "sire",
    ),
    (
        "Sex of calf, Bull/Steer/Heifer, Calf sex (B;S;H), Sex code, SEX_CD, M/F",
        "sex",
    ),
    (
        "D.O.B., Birth Dt, Bdate, Date calved, Calving date, calfBirthDate",
        "birth_date",
    ),
    (
        "B. Wt, BW, BirthWt, Actual birth weight, birth_weight_lb, Wt at birth",
        "birth_weight",
    ),
    (
        "W Date, Date of weaning, Wean Day, wean_dt, WDT",
        "wean_date",
    ),
    (
        "Weigh date, Wean weigh date, Weaning weight date, date weighed",
        "weigh_date",
    ),
    (
        "Wean Wt, WW, Actual WW, Weaning Wgt, weight_wean, weaning weight pounds, Weaned_Kg, Weaned (lb)",
        "wean_weight",
    ),
    ("YW, Yrlg Wt, yearling_weight_lbs", "yearling_weight"),
    ("Pen/Pasture, Pasture name, Lot #, Location", "place"),
    (
        "Mgmt group, Management code, Treatment group, Weaning group",
        "management",
    ),
    ("Creep (Y/N), Creep feed?, Creep fed", "creep"),
    ("Calving Ease (1-5), CE score", "calving_ease"),
    (
        "Dam EID, AI sire, 205 wt, Adj. 205, Adj WW, WW adj, adjusted weaning weight, WW ratio, ADG, Wean age, \
         Age (days), 365 wt, Contemporary Group, Dam breed, Sire breed, Year, Status, Cow wt, Frame, BCS, \
         Weight (205), avg wean wt, Weight, Date, Tag color, Sire of dam",
        "own",
    ),
];

#[test]
fn single_headers_name_one_column_or_none() {
    for (headers, key) in SINGLE {
        for header in headers.split(", ") {
            let imported = imported(&format!("{header}\tz\n"), "calves.txt", WeightUnit::Pound);
            assert_eq!(targets(&imported)[0].1, *key, "{header}");
        }
    }
}

#[test]
fn headers_no_fixture_has_are_understood() {
    for (headers, row, expected) in UNSEEN {
        let text = format!(
            "{}\n{}\n",
            headers.replace('|', "\t"),
            row.replace('|', "\t")
        );
        let imported = imported(&text, "herd.txt", WeightUnit::Pound);
        for ((header, target), expected) in targets(&imported).iter().zip(*expected) {
            // A header with a word beside the sex may be kept apart, but never land on another column.
            match expected.strip_prefix("own?") {
                Some(key) => assert!(target == "own" || target == key, "{header}: {target}"),
                None => assert_eq!(target, expected, "{header} in {headers}"),
            }
        }
        assert_eq!(imported.plan.columns.len(), expected.len());
    }
}

#[test]
fn years_of_a_dam_are_her_age_or_her_birth_year_by_the_cells() {
    let target = |cells: &str| {
        let text = format!("Tag\tCow yrs\n{cells}\n");
        targets(&imported(&text, "herd.txt", WeightUnit::Pound))[1]
            .1
            .clone()
    };
    assert_eq!(target("1\t2\n2\t11\n3\t5"), "dam_age");
    assert_eq!(target("1\t2019\n2\t2021\n3\t2015"), "dam_birth_year");
}
