//! Contemporary groups, ratios and ranks, from small herds.

use fairpen_engine::group::NO_GROUP;
use fairpen_engine::results::Results;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_tests::books::{calves, fill};

const HEADER: &str = "tag,sex,birth_date,birth_weight,dam_age,place,wean_date,wean_weight,sire,born_as,weigh_date,set_apart\n";

fn results(rows: &str) -> Results {
    Results::recalculate(&calves(&format!("{HEADER}{rows}")))
}

fn names(results: &Results) -> Vec<&str> {
    results
        .groups
        .groups
        .iter()
        .map(|group| group.name.as_str())
        .collect()
}

#[test]
fn sexes_and_places_part_and_ratios_average_100() {
    let results = results(
        "1,heifer,2026-03-01,80,5,Pen 1,2026-09-28,500,A,,,
         2,heifer,2026-03-02,80,5,Pen 1,2026-09-28,540,A,,,
         3,heifer,2026-03-02,80,5,Hill,2026-09-28,540,A,,,
         4,steer,2026-03-02,80,5,Pen 1,2026-09-28,540,,,,",
    );
    assert_eq!(
        names(&results),
        [
            "2026 spring heifers, Hill, weaned 2026-09-28",
            "2026 spring heifers, Pen 1, weaned 2026-09-28",
            "2026 spring steers, Pen 1, weaned 2026-09-28"
        ]
    );
    let groups = &results.groups;
    assert_eq!(groups.rank, [2, 1, 0, 0]);
    assert!((groups.ratio[0] + groups.ratio[1] - 200.0).abs() < 1e-9);
    assert!(groups.ratio[2].is_nan());
    assert_eq!(groups.groups[0].flags, ["group of one"]);
    assert_eq!(groups.groups[1].flags, ["one-sire group", "small group"]);
    assert_eq!(groups.groups[1].n_sires, 1);
    assert_eq!(groups.groups[2].n_sire_missing, 1);
}

#[test]
fn births_more_than_90_days_after_the_first_start_a_group() {
    // 2026-03-01 + 90 days is 2026-05-30.
    let results = results(
        "1,steer,2026-03-01,80,5,Hill,2026-11-05,500,,,,
         2,steer,2026-05-30,80,5,Hill,2026-11-07,500,,,,
         3,steer,2026-05-31,80,5,Hill,2026-11-08,500,,,,
         4,steer,2026-05-31,80,5,Hill,2026-11-12,500,,,,",
    );
    let of = &results.groups.group_of;
    assert_eq!(of[0], of[1]);
    assert_ne!(of[1], of[2]);
    assert_ne!(of[2], of[3], "weighed 4 days after the first of the group");
}

#[test]
fn twins_late_weighings_and_those_set_apart_stand_apart() {
    let results = results(
        "1,steer,2026-03-01,80,5,Hill,2026-09-20,500,,,,
         2,steer,2026-03-01,80,5,Hill,2026-09-20,500,,twin,,
         3,steer,2026-03-01,80,5,Hill,2026-09-12,500,,,2026-09-20,
         4,steer,2026-03-01,80,5,Hill,2026-09-20,500,,,,sick
         5,steer,2026-03-01,80,5,Hill,2026-09-13,500,,,2026-09-20,",
    );
    assert_eq!(
        names(&results),
        [
            "2026 spring steers, Hill, set apart: sick, weaned 2026-09-20",
            "2026 spring steers, Hill, twins, weaned 2026-09-20",
            "2026 spring steers, Hill, weighed 2026-09-20",
            "2026 spring steers, Hill, weighed late 2026-09-20",
        ]
    );
    assert_eq!(
        results.groups.group_of[0], results.groups.group_of[4],
        "7 days is not late"
    );
}

#[test]
fn calves_without_an_adjusted_weight_have_no_group() {
    let results = results(
        "1,,2026-03-01,80,5,Hill,2026-09-20,500,,,,
         2,steer,2026-03-01,80,5,Hill,2026-08-01,500,,,,
         3,steer,2026-03-01,80,5,Hill,2026-09-20,,,,,",
    );
    assert_eq!(results.groups.group_of, [NO_GROUP; 3]);
    assert!(results.groups.groups.is_empty());
}

#[test]
fn ties_share_the_better_rank() {
    let results = results(
        "1,steer,2026-03-01,80,5,Hill,2026-09-20,500,,,,
         2,steer,2026-03-01,80,5,Hill,2026-09-20,500,,,,
         3,steer,2026-03-01,80,5,Hill,2026-09-20,490,,,,",
    );
    assert_eq!(results.groups.rank, [1, 1, 3]);
}

#[test]
fn the_kind_of_the_place_stands_in_for_management() {
    let mut book = calves(
        "tag,sex,birth_date,place,management,wean_date,wean_weight
         1,steer,2026-03-01,Hill,,2026-09-20,500
         2,steer,2026-03-01,Hill,pasture,2026-09-20,500
         3,steer,2026-03-01,Hill,lot,2026-09-20,500",
    );
    fill(&mut book, SheetKind::Places, "name,kind\nHill,pasture");
    let results = Results::recalculate(&book);
    let of = &results.groups.group_of;
    assert_eq!(of[0], of[1]);
    assert_ne!(of[0], of[2]);
    assert_eq!(
        names(&results)[0],
        "2026 spring steers, Hill, lot, weaned 2026-09-20"
    );
}
