//! Rules of adjusting one by one: windows, dam classes, sexes, fosters, standard weights, reused tags.

use fairpen_engine::adjust::Adjusted;
use fairpen_engine::adjust::adjust;
use fairpen_engine::adjust::marks::Marks;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::OutsideWindow;
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_tests::books::{calves, day, fill};

/// One calf born 2026-03-01, weighed at an age, of a dam of an age in days.
fn calf(sex: &str, age_days: i32, dam_days: i32) -> Workbook {
    let born = day("2026-03-01");
    calves(&format!(
        "tag,sex,birth_date,birth_weight,dam_birth_date,wean_date,wean_weight\n1,{sex},{},80,{},{},500",
        born.iso(),
        born.plus(-dam_days).iso(),
        born.plus(age_days).iso()
    ))
}

fn words(adjusted: &Adjusted, row: usize) -> Vec<&'static str> {
    adjusted.marks[row].words().collect()
}

#[test]
fn the_window_holds_both_its_ends() {
    for (age, mark) in [
        (159, Marks::UNDER_WINDOW),
        (160, Marks::NONE),
        (250, Marks::NONE),
        (251, Marks::OVER_WINDOW),
    ] {
        let adjusted = adjust(&calf("steer", age, 2000));
        assert_eq!(adjusted.marks[0], mark, "{age} days");
        assert_eq!(
            adjusted.adj_205[0].is_nan(),
            mark != Marks::NONE,
            "{age} days"
        );
        assert!(
            !adjusted.gain_per_day[0].is_nan(),
            "the gain is shown anyway"
        );
        assert_eq!(adjusted.age_days[0], age);
    }
}

#[test]
fn outside_the_window_a_setting_adjusts_for_age_alone() {
    let mut book = calf("steer", 251, 700);
    book.settings.outside_window = OutsideWindow::StraightAge;
    let adjusted = adjust(&book);
    assert_eq!(words(&adjusted, 0), ["straight age only"]);
    assert_eq!(adjusted.dam_age_factor[0], 0.0);
    let expected = 420.0 / 251.0 * 205.0 + 80.0;
    assert!((adjusted.adj_205[0] - expected).abs() < 1e-9);
}

#[test]
fn dam_classes_hold_both_their_ends() {
    for (dam_days, class, steer_lb, heifer_lb) in [
        (638, None, 0.0, 0.0),
        (639, Some(0), 60.0, 54.0),
        (1003, Some(0), 60.0, 54.0),
        (1004, Some(1), 40.0, 36.0),
        (1369, Some(1), 40.0, 36.0),
        (1370, Some(2), 20.0, 18.0),
        (1734, Some(2), 20.0, 18.0),
        (1735, Some(3), 0.0, 0.0),
        (3925, Some(3), 0.0, 0.0),
        (3926, Some(4), 20.0, 18.0),
    ] {
        for (sex, pounds) in [
            ("steer", steer_lb),
            ("bull", steer_lb),
            ("male", steer_lb),
            ("heifer", heifer_lb),
        ] {
            let adjusted = adjust(&calf(sex, 205, dam_days));
            assert_eq!(adjusted.dam_age_class[0], class.unwrap_or(u8::MAX));
            assert_eq!(
                adjusted.dam_age_factor[0], pounds,
                "{sex}, dam {dam_days} days"
            );
            assert!((adjusted.adj_205[0] - 500.0 - pounds).abs() < 1e-9);
            assert_eq!(
                adjusted.marks[0].has(Marks::DAM_TOO_YOUNG),
                class.is_none(),
                "dam {dam_days} days"
            );
        }
    }
}

#[test]
fn ages_count_leap_days() {
    let book = calves(
        "tag,sex,birth_date,birth_weight,dam_birth_date,wean_date,wean_weight
         1,steer,2024-02-01,80,2022-02-28,2024-08-01,500
         2,steer,2023-02-01,80,2020-02-29,2023-08-01,500",
    );
    let adjusted = adjust(&book);
    assert_eq!(adjusted.age_days, [182, 181]);
    assert_eq!(adjusted.dam_age_days, [703, 1068]);
}

#[test]
fn a_calf_of_unknown_sex_has_no_adjusted_weight() {
    let adjusted = adjust(&calf("", 205, 2000));
    assert!(adjusted.adj_205[0].is_nan() && adjusted.dam_age_factor[0].is_nan());
    assert_eq!(words(&adjusted, 0), ["sex not known"]);
}

#[test]
fn an_unknown_dam_is_never_mature() {
    let adjusted = adjust(&calves(
        "tag,sex,birth_date,birth_weight,wean_date,wean_weight\n1,steer,2026-03-01,80,2026-09-22,500",
    ));
    assert_eq!(adjusted.dam_age_class[0], u8::MAX);
    assert_eq!(adjusted.dam_age_days[0], i32::MIN);
    assert_eq!(words(&adjusted, 0), ["dam age not known"]);
    assert!(
        (adjusted.adj_205[0] - 500.0).abs() < 1e-9,
        "no factor, and it stays"
    );
}

#[test]
fn a_standard_birth_weight_is_marked_and_never_adjusted() {
    for (sex, pounds) in [
        ("bull", 75.0),
        ("steer", 75.0),
        ("male", 75.0),
        ("heifer", 70.0),
    ] {
        let adjusted = adjust(&calves(&format!(
            "tag,sex,birth_date,dam_age,wean_date,wean_weight\n1,{sex},2026-03-01,2,2026-09-22,500"
        )));
        assert_eq!(adjusted.birth_weight_used[0], pounds, "{sex}");
        assert!(adjusted.adj_birth_weight[0].is_nan());
        assert!(adjusted.marks[0].has(Marks::STANDARD_BIRTH_WEIGHT));
    }
}

#[test]
fn zero_is_no_weight() {
    let adjusted = adjust(&calves(
        "tag,sex,birth_date,birth_weight,dam_age,wean_date,wean_weight
         1,steer,2026-03-01,0,5,2026-09-22,500
         2,steer,2026-03-01,80,5,2026-09-22,0",
    ));
    assert_eq!(
        words(&adjusted, 0),
        [
            "standard birth weight",
            "dam age as stated",
            "weight out of range"
        ]
    );
    assert!(adjusted.adj_205[1].is_nan());
}

#[test]
fn the_cow_on_record_beats_what_is_stated() {
    let mut book = calves(
        "tag,sex,birth_date,birth_weight,dam,dam_age,dam_birth_year,wean_date,wean_weight
         1,steer,2026-03-01,80,C1,9,2017,2026-09-22,500
         2,steer,2026-03-01,80,C2,9,2017,2026-09-22,500
         3,steer,2026-03-01,80,C3,9,2017,2026-09-22,500
         4,steer,2026-03-01,80,C4,9,,2026-09-22,500",
    );
    fill(
        &mut book,
        SheetKind::Cows,
        "tag,birth_date,birth_year\nC1,2024-03-01,2020\nC2,,2023\nC3,,",
    );
    let adjusted = adjust(&book);
    // Two years; three calendar years x 365.25; nine by stated year; nine as stated, x 365.25.
    assert_eq!(adjusted.dam_age_days, [730, 1096, 3287, 3287]);
    assert_eq!(adjusted.dam_age_factor, [60.0, 40.0, 0.0, 0.0]);
    assert_eq!(words(&adjusted, 0), Vec::<&str>::new());
    assert_eq!(words(&adjusted, 1), ["dam age from birth year"]);
    assert_eq!(words(&adjusted, 2), ["dam age from birth year"]);
    assert_eq!(words(&adjusted, 3), ["dam age as stated"]);
}

#[test]
fn a_tag_used_again_leads_to_the_cow_that_was_there() {
    let mut book = calves(
        "tag,sex,birth_date,dam,wean_date,wean_weight
         1,steer,2016-03-01,7,2016-09-22,500
         2,steer,2026-03-01,7,2026-09-22,500
         3,steer,2026-03-01,8,2026-09-22,500
         4,steer,2026-03-01,9,2026-09-22,500",
    );
    fill(
        &mut book,
        SheetKind::Cows,
        "tag,birth_date,came_on,came_as,left_on
         7,2012-03-01,,,2018-10-01
         7,2022-03-01,2023-05-01,,
         8,2020-03-01,,,
         8,2021-03-01,,,
         9,2020-03-01,2026-04-10,pair,",
    );
    let adjusted = adjust(&book);
    assert_eq!(adjusted.dam_age_days[0], 1461);
    assert_eq!(adjusted.dam_age_days[1], 1461);
    assert_eq!(
        adjusted.dam_age_days[2],
        i32::MIN,
        "two cows of different age: neither"
    );
    assert_eq!(adjusted.dam_age_days[3], 2191, "bought with her calf");
}

#[test]
fn a_foster_takes_its_weaning_factor_from_the_cow_that_raised_it() {
    let mut book = calves(
        "tag,sex,birth_date,birth_weight,dam,raised_by,raised_dam,wean_date,wean_weight
         1,steer,2026-03-01,80,old,foster,young,2026-09-22,500
         2,steer,2026-03-01,80,young,,old,2026-09-22,500
         3,steer,2026-03-01,80,young,foster,,2026-09-22,500
         4,steer,2026-03-01,80,young,own dam,,2026-09-22,500
         5,steer,2026-03-01,80,young,bottle,,2026-09-22,500",
    );
    fill(
        &mut book,
        SheetKind::Cows,
        "tag,birth_date\nold,2019-03-01\nyoung,2024-03-01",
    );
    let adjusted = adjust(&book);
    assert_eq!(adjusted.dam_age_factor[..4], [60.0, 0.0, 0.0, 60.0]);
    assert_eq!(adjusted.adj_birth_weight, [80.0, 88.0, 88.0, 88.0, 88.0]);
    assert_eq!(words(&adjusted, 1), ["foster"]);
    assert_eq!(words(&adjusted, 2), ["foster", "foster cow age not known"]);
    assert!(adjusted.adj_205[4].is_nan() && adjusted.age_adj_205[4].is_nan());
    assert!(!adjusted.gain_per_day[4].is_nan());
    assert_eq!(words(&adjusted, 4), ["bottle"]);
}

#[test]
fn a_calf_not_born_alive_has_nothing() {
    let adjusted = adjust(&calves(
        "tag,sex,birth_date,birth_weight,dam_age,wean_date,wean_weight,left_because
         1,steer,2026-03-01,80,5,2026-09-22,500,born dead
         2,steer,2026-03-01,80,5,2026-09-22,500,aborted",
    ));
    for row in 0..2 {
        assert_eq!(adjusted.marks[row], Marks::NONE);
        assert_eq!(adjusted.age_days[row], i32::MIN);
        assert!(adjusted.adj_birth_weight[row].is_nan() && adjusted.adj_205[row].is_nan());
    }
}

#[test]
fn an_impossible_dam_age_is_not_used() {
    let adjusted = adjust(&calves(
        "tag,sex,birth_date,dam_age,wean_date,wean_weight
         1,steer,2026-03-01,730,2026-09-22,500
         2,steer,2026-03-01,-2,2026-09-22,500
         3,steer,2026-03-01,0,2026-09-22,500",
    ));
    for row in 0..3 {
        assert_eq!(adjusted.dam_age_class[row], u8::MAX);
        assert!(adjusted.marks[row].has(Marks::DAM_AGE_UNKNOWN), "row {row}");
    }
}
