//! Matching, what records could have shown, and what became of the calves: small cases worked by hand.

use fairpen_engine::compare::compare;
use fairpen_engine::compare::power::seen;
use fairpen_engine::compare::result::{CompareSpec, Comparison, Matched};
use fairpen_engine::results::Results;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_stats::power::chance_of_seeing;
use fairpen_tests::books::{calves, fill};
use proptest::prelude::*;

const HEADER: &str =
    "tag,sex,birth_date,birth_weight,dam,dam_age,sire,management,wean_date,wean_weight";

/// A calf of 205 days, so that its weight on age is its weight.
fn line(
    tag: &str,
    sex: &str,
    dam: &str,
    dam_age: &str,
    sire: &str,
    management: &str,
    weight: f64,
) -> String {
    format!("{tag},{sex},2026-03-01,80,{dam},{dam_age},{sire},{management},2026-09-22,{weight}")
}

fn book(lines: &[String]) -> Workbook {
    calves(&format!("{HEADER}\n{}", lines.join("\n")))
}

fn by_management(book: &Workbook) -> Comparison {
    by_management_holding(book, &[])
}

fn by_management_holding(book: &Workbook, hold: &[&str]) -> Comparison {
    let spec = CompareSpec {
        column: "management".to_owned(),
        hold: hold.iter().map(|key| (*key).to_owned()).collect(),
        ..CompareSpec::default()
    };
    compare(book, &Results::recalculate(book), &spec).expect("can be compared")
}

fn near(got: f64, want: f64) {
    assert!((got - want).abs() < 1e-6, "{got}, not {want}");
}

/// Two kinds. Steers: pens 500 and 520, grass 490, a difference of 20; heifers: pens 460, grass 450 and 440, a
/// difference of 15. Each weighs 2 x 1 / (2 + 1), so the mean is 17.5.
fn two_kinds() -> Vec<String> {
    vec![
        line("1", "steer", "a", "6", "X", "pens", 500.0),
        line("2", "steer", "b", "6", "X", "pens", 520.0),
        line("3", "steer", "c", "6", "Y", "grass", 490.0),
        line("4", "heifer", "d", "6", "X", "pens", 460.0),
        line("5", "heifer", "e", "6", "X", "grass", 450.0),
        line("6", "heifer", "f", "6", "Y", "grass", 440.0),
        // No partner: a bull; a cow of unknown age.
        line("7", "bull", "g", "6", "X", "pens", 700.0),
        line("8", "steer", "h", "", "X", "grass", 300.0),
    ]
}

/// Leaving a cow out gives, for pens less grass: 150/7, 90/7, 15, 20, 20 and 110/7, whose mean is 17.5. The squares
/// about it come to 58.928571; times 5/6 and the root, 7.007649. Of it 36.033163 is the pens' and 13.073980 the
/// grass's, with 2 degrees of freedom each: 3.282491 together.
#[test]
fn two_kinds_by_hand() {
    let found = by_management(&book(&two_kinds()));
    let matched = &found.matched[0];
    assert_eq!((matched.partners, matched.used), ((3, 3), (4, 4)));
    assert_eq!((matched.n_kinds, matched.n_cows), (2, 6));
    assert_eq!(
        matched.by,
        ["season", "sex", "dam-age class", "21 days of birth"]
    );
    // Grass is the first level.
    near(matched.difference.expect("partners"), -17.5);
    let estimate = matched.estimate.expect("six cows");
    near(estimate.se, 7.007_649_0);
    assert!((estimate.df - 3.282_491).abs() < 1e-5, "{}", estimate.df);
    assert!(
        matched.sentence.starts_with("3 of 4 grass calves and 3 of 4 pens calves have a partner alike in season, sex, dam-age class and 21 days of birth. Among them pens calves were on average 18 lb heavier than grass calves, likely between "),
        "{}",
        matched.sentence
    );
}

/// By sire too only the heifers 4 and 5, both by X, are alike: two cows, and without either of them nothing.
#[test]
fn by_sire_too_all_hangs_on_two_calves() {
    let found = by_management(&book(&two_kinds()));
    let matched = &found.matched[1];
    assert_eq!(matched.by.last().map(String::as_str), Some("sire"));
    assert_eq!((matched.partners, matched.n_kinds), ((1, 1), 1));
    near(matched.difference.expect("partners"), -10.0);
    assert_eq!(matched.estimate, None);
    assert!(
        matched.sentence.contains("no interval"),
        "{}",
        matched.sentence
    );
    // Held equal in the model, the sire is a trait of the first matching, and there is no second one.
    let held = by_management_holding(&book(&two_kinds()), &["sire"]);
    assert_eq!(held.matched.len(), 1);
    near(held.matched[0].difference.expect("partners"), -10.0);
}

#[test]
fn no_partners_is_said() {
    let lines = [
        line("1", "steer", "a", "6", "unknown", "pens", 500.0),
        line("2", "steer", "b", "6", "", "pens", 520.0),
        line("3", "heifer", "c", "6", "", "grass", 450.0),
        line("4", "heifer", "d", "6", "", "grass", 460.0),
    ];
    let found = by_management(&book(&lines));
    // No bull is known, so there is no matching by sire.
    assert_eq!(found.matched.len(), 1);
    assert_eq!(found.matched[0].difference, None);
    assert!(
        found.matched[0]
            .sentence
            .starts_with("No partners: none of the grass calves"),
        "{}",
        found.matched[0].sentence
    );
}

/// Two calves of one cow leave together: cow a raised one steer in the pens in each of two seasons.
#[test]
fn a_cow_leaves_with_all_her_calves() {
    let two_years = |dam: &str| {
        let mut lines = Vec::new();
        for (year, weights) in [
            (2025, [500.0, 520.0, 470.0, 480.0]),
            (2026, [530.0, 510.0, 500.0, 490.0]),
        ] {
            for (at, weight) in weights.into_iter().enumerate() {
                let management = if at < 2 { "pens" } else { "grass" };
                let name = if at == 0 {
                    dam.to_owned()
                } else {
                    format!("{year}-{at}")
                };
                lines.push(format!(
                    "{year}{at},steer,{year}-03-01,80,{name},6,,{management},{year}-09-22,{weight}"
                ));
            }
        }
        by_management(&book(&lines)).matched[0].clone()
    };
    let (one_cow, no_dam) = (two_years("a"), two_years(""));
    assert_eq!((one_cow.n_cows, no_dam.n_cows), (7, 8));
    assert_eq!(one_cow.difference, no_dam.difference);
    assert_ne!(one_cow.estimate, no_dam.estimate);
}

/// Steers of both groups are alike and weigh alike; heifers have no partners and differ widely.
#[test]
fn the_model_and_the_partners_disagree_and_it_is_said() {
    let mut lines = Vec::new();
    // Alike: no difference at all, but for a little scatter.
    for at in 0..8 {
        let scatter = f64::from(at % 4) - 1.5;
        lines.push(line(
            &format!("p{at}"),
            "steer",
            "",
            "6",
            "",
            "pens",
            500.0 + scatter,
        ));
        lines.push(line(
            &format!("g{at}"),
            "steer",
            "",
            "6",
            "",
            "grass",
            500.0 - scatter,
        ));
    }
    // Heifers stand in the first and the third birth period in the pens, and between them on grass: no partners, a
    // wide difference, and no straight line of the birth date to take it up.
    for at in 0..8 {
        let scatter = f64::from(at % 3);
        let (born, weaned) = [("03-01", "09-22"), ("04-28", "11-19")][at as usize % 2];
        lines.push(format!(
            "hp{at},heifer,2026-{born},80,,6,,pens,2026-{weaned},{}",
            560.0 + scatter
        ));
        lines.push(format!(
            "hg{at},heifer,2026-03-30,80,,6,,grass,2026-10-21,{}",
            440.0 + scatter
        ));
    }
    let found = by_management(&book(&lines));
    let matched = &found.matched[0];
    assert_eq!(matched.partners, (8, 8));
    let model = found.pairs[0].difference.expect("estimated").value;
    let off = matched.model_is_off_by.expect("far apart");
    near(off, model - matched.difference.expect("partners"));
    assert!(
        found.cautions[0].starts_with("Like with like says otherwise"),
        "{:?}",
        found.cautions
    );
    // With the heifers born alike the two agree, and nothing is said.
    let agreeing: Vec<String> = lines[..16].to_vec();
    let found = by_management(&book(&agreeing));
    assert_eq!(found.matched[0].model_is_off_by, None);
    assert!(
        !found
            .cautions
            .iter()
            .any(|caution| caution.contains("Like with like"))
    );
}

fn scattered(n: usize) -> Vec<String> {
    (0..n)
        .map(|at| {
            #[allow(clippy::cast_precision_loss)] // a few dozen
            let weight = 500.0 + (at * 37 % 41) as f64 + if at % 2 == 0 { 12.0 } else { 0.0 };
            let (sex, management) = (["steer", "heifer"][at / 2 % 2], ["pens", "grass"][at % 2]);
            line(
                &format!("{at}"),
                sex,
                &format!("d{at}"),
                "6",
                "",
                management,
                weight,
            )
        })
        .collect()
}

#[test]
fn what_could_have_been_seen_agrees_with_its_definition() {
    let book = book(&scattered(40));
    let found = by_management(&book);
    let estimate = found.pairs[0].difference.expect("estimated");
    let could = &found.could_see[0];
    assert_eq!(could.n, 40);
    let multiplier = (estimate.upper - estimate.value) / estimate.se;
    let smallest = could.smallest.expect("an interval");
    let chance =
        chance_of_seeing(smallest / estimate.se, estimate.df, multiplier).expect("in range");
    near(chance, 0.8);
    assert_eq!(
        could
            .at
            .iter()
            .map(|seen| seen.difference)
            .collect::<Vec<_>>(),
        [10.0, 20.0, 40.0]
    );
    for seen in &could.at {
        let chance = chance_of_seeing(seen.difference / estimate.se, estimate.df, multiplier)
            .expect("in range");
        near(seen.chance, chance);
        // As many calves as there are is enough exactly when the chance is four in five already.
        let needed = seen.needed.expect("below a million");
        assert_eq!(needed <= could.n, chance >= 0.8, "{seen:?}");
    }
    // A fourth of the difference takes about sixteen times the calves.
    let at = |difference: f64| {
        seen(&estimate, 40, difference, 0.95)
            .and_then(|seen| seen.needed)
            .expect("below a million")
    };
    let times = f64::from(at(1.25)) / f64::from(at(5.0));
    assert!((15.0..16.1).contains(&times), "{times}");
    assert_eq!(
        seen(&estimate, 40, 0.0, 0.95).and_then(|seen| seen.needed),
        None
    );
    assert_eq!(seen(&estimate, 40, f64::NAN, 0.95), None);
}

/// Two pens against two pastures: how many places it would take is told beside how many calves.
#[test]
fn places_are_counted_where_there_are_several() {
    let mut lines = Vec::new();
    for at in 0..48 {
        let place = at % 4;
        let management = ["pens", "pens", "grass", "grass"][place];
        #[allow(clippy::cast_precision_loss)] // a few dozen
        let weight = 500.0 + (at * 37 % 41) as f64 + [0.0, 9.0, 3.0, 7.0][place];
        let sex = ["steer", "heifer"][at / 4 % 2];
        lines.push(format!(
            "{at},{sex},2026-03-01,80,d{at},6,,{management},2026-09-22,{weight},P{place}"
        ));
    }
    let book = calves(&format!("{HEADER},place\n{}", lines.join("\n")));
    let found = by_management(&book);
    let [calves, places] = found.could_see.as_slice() else {
        panic!("{:?}", found.could_see)
    };
    assert_eq!((calves.units, calves.n), ("calves", 48));
    assert_eq!((places.units, places.n), ("places", 4));
    assert!(places.smallest > calves.smallest, "four places tell less");
    let estimate = places.difference.expect("two and two");
    assert!(places.at.iter().all(|seen| {
        let chance = chance_of_seeing(
            seen.difference / estimate.se,
            estimate.df,
            (estimate.upper - estimate.value) / estimate.se,
        );
        (seen.chance - chance.expect("in range")).abs() < 1e-9
    }));
    assert!(
        places
            .sentence
            .starts_with("Of such places in general, 4 places like these show"),
        "{}",
        places.sentence
    );
}

#[test]
fn cows_started_and_calves_treated() {
    let lines = vec![
        // A cow with twins started once; a calf without a dam is one cow's.
        "1,steer,2026-03-01,80,a,6,,pens,2026-09-22,500".to_owned(),
        "2,steer,2026-03-01,70,a,6,,pens,2026-09-22,460".to_owned(),
        "3,heifer,2026-03-01,80,,6,,pens,2026-09-22,480".to_owned(),
        "4,heifer,2026-03-02,80,b,6,,pens,,".to_owned(),
        // The same cow again the year before.
        "5,steer,2025-03-01,80,a,5,,pens,2025-09-22,520".to_owned(),
        "6,steer,2025-03-01,80,c,5,,grass,2025-09-22,500".to_owned(),
        "7,steer,2026-03-01,80,c,6,,grass,2026-09-22,500".to_owned(),
    ];
    let mut book = book(&lines);
    let reached = |book: &Workbook| by_management(book).reached;
    let before = reached(&book);
    assert_eq!(before[1].cows_started, 4);
    near(
        before[1].pounds_weaned_per_cow,
        (500.0 + 460.0 + 480.0 + 520.0) / 4.0,
    );
    assert_eq!((before[0].treated, before[1].treated), (None, None));
    fill(
        &mut book,
        SheetKind::Treatments,
        "animal,place,date,product
         1,,2026-05-01,x
         1,,2026-06-01,x
         2,,2026-11-01,x
         ,Pen 1,2026-05-01,x
         nobody,,2026-05-01,x",
    );
    let after = reached(&book);
    // Calf 1 once; calf 2 only after it was weaned; the place and the unknown name count for no calf.
    assert_eq!((after[0].treated, after[1].treated), (Some(0), Some(1)));
}

#[test]
fn earlier_ratios_and_weigh_conditions_are_in_the_balance() {
    let mut lines = Vec::new();
    for year in [2025, 2026] {
        for at in 0..8 {
            // The first year they all stood together.
            let management = match (year, at) {
                (2025, _) => "",
                (_, 0..4) => "pens",
                _ => "grass",
            };
            lines.push(format!(
                "{year}{at},steer,{year}-03-01,80,d{at},6,,{management},{year}-09-22,{}",
                500 + at * 10 + (year - 2025) * 3
            ));
        }
    }
    let mut book = book(&lines);
    let row = |book: &Workbook, key: &str| {
        by_management(book)
            .balance
            .into_iter()
            .find(|row| row.key == key)
    };
    // The mean of 2025 is 535, that of the cows then in the pens 515.
    let earlier = row(&book, "earlier_ratio").expect("a second season");
    near(earlier.values[0], 100.0 * 555.0 / 535.0);
    near(earlier.values[1], 100.0 * 515.0 / 535.0);
    assert!(earlier.standardised_difference > 1.0);
    assert_eq!(row(&book, "hours_off_feed"), None);
    fill(
        &mut book,
        SheetKind::WeighDays,
        "date,places,hours_off_feed,hours_off_water,hauled,scale
         2025-09-22,,12,,no,barn
         2026-09-22,,16,4,yes,barn",
    );
    near(row(&book, "hours_off_feed").expect("told").values[0], 16.0);
    near(row(&book, "hours_off_water").expect("told").values[0], 4.0);
    // All were hauled, and weighed on one scale: nothing differs.
    assert_eq!(row(&book, "hauled:yes"), None);
    // Two rows for one day and no place to tell them by: neither counts.
    fill(
        &mut book,
        SheetKind::WeighDays,
        "date,places,hours_off_feed\n2026-09-22,,30",
    );
    assert_eq!(row(&book, "hours_off_feed"), None);
}

#[test]
fn no_overlap_names_the_cows() {
    let mut lines = scattered(24);
    for at in 0..6 {
        lines.push(line(&format!("y{at}"), "steer", "", "2", "", "pens", 480.0));
    }
    let cautions = by_management(&book(&lines)).cautions;
    assert!(
        cautions.iter().any(|caution| caution.starts_with(
            "No overlap: none of the grass calves was raised by cows of age class 2."
        )),
        "{cautions:?}"
    );
}

fn shown(matched: &[Matched]) -> String {
    format!("{matched:?}")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Row order changes nothing, and partners are counted on both sides or on none.
    #[test]
    fn the_order_of_rows_changes_nothing(
        cells in prop::collection::vec((0..2_usize, 0..2_usize, 0..6_usize, 0..3_usize, 400.0..600.0_f64), 6..40),
        swaps in prop::collection::vec(0..40_usize, 40),
    ) {
        let mut lines: Vec<String> = cells.iter().enumerate().map(|(at, &(sex, management, dam, sire, weight))| {
            line(
                &format!("t{at}"), ["steer", "heifer"][sex], &format!("d{dam}"), ["2", "6"][dam % 2],
                ["X", "Y", "unknown"][sire], ["pens", "grass"][management], weight,
            )
        }).collect();
        prop_assume!(cells.iter().any(|cell| cell.1 == 0) && cells.iter().any(|cell| cell.1 == 1));
        let found = by_management(&book(&lines)).matched;
        for matched in &found {
            prop_assert_eq!(matched.partners.0 > 0, matched.partners.1 > 0);
            prop_assert_eq!(matched.partners.0 > 0, matched.difference.is_some());
            prop_assert!(matched.partners.0 <= matched.used.0 && matched.partners.1 <= matched.used.1);
            if let (Some(estimate), Some(difference)) = (matched.estimate, matched.difference) {
                prop_assert_eq!(estimate.value, difference);
                prop_assert!(estimate.lower < difference && difference < estimate.upper && estimate.df >= 1.0);
            }
        }
        let n = lines.len();
        for (at, to) in swaps.into_iter().enumerate() {
            lines.swap(at % n, to % n);
        }
        prop_assert_eq!(shown(&found), shown(&by_management(&book(&lines)).matched));
    }
}
