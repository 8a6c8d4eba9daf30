//! Cows allotted to places: who is on hand, what is known of each, and that the lists are whole and even.

use std::collections::BTreeSet;

use fairpen_engine::results::Results;
use fairpen_engine::share::trial_list::trial_csv;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_engine::trial::{DueFrom, Plan, TrialPlace, TrialSpec, plan};
use fairpen_tests::books::fill;
use proptest::prelude::*;

fn place(name: &str, head: Option<u32>) -> TrialPlace {
    TrialPlace {
        name: name.to_owned(),
        head,
    }
}

fn spec(places: &[(&str, Option<u32>)], seed: u32) -> TrialSpec {
    TrialSpec {
        places: places
            .iter()
            .map(|(name, head)| place(name, *head))
            .collect(),
        seed,
        today: Day::MISSING,
    }
}

fn planned(book: &Workbook, spec: &TrialSpec) -> Plan {
    plan(book, &Results::recalculate(book), spec).expect("can be planned")
}

fn refused(book: &Workbook, spec: &TrialSpec) -> &'static str {
    plan(book, &Results::recalculate(book), spec)
        .expect_err("refused")
        .code()
}

fn day(year: i32, month: u32, day: u32) -> Day {
    Day::from_ymd(year, month, day).expect("a day of the calendar")
}

/// Eight cows as of 25 November 2026, one of each sort.
fn herd() -> Workbook {
    let mut book = Workbook::new();
    book.settings.as_of = day(2026, 11, 25);
    fill(
        &mut book,
        SheetKind::Cows,
        "tag,birth_date,birth_year,came_on,left_on,left_because
         1,2020-03-01,,,,
         2,2021-03-01,,,,
         3,,2022,,,
         4,2024-03-01,,,,
         5,2020-03-01,,,2026-11-01,culled
         6,2020-03-01,,2026-12-24,,
         7,2020-03-01,,,,
         8,,,,,
         9,2019-03-01,,,,sold",
    );
    fill(
        &mut book,
        SheetKind::Exposures,
        "cow,from,to,bulls,ai_date
         1,2026-06-01,2026-08-01,12B; 44F,
         2,2026-06-10,2026-08-01,44F,2026-06-05
         3,2025-06-01,2025-08-01,12B,
         4,2026-06-01,2026-08-01,unknown,
         7,2026-06-01,2026-08-01,12B,",
    );
    fill(
        &mut book,
        SheetKind::Checks,
        "cow,date,result,stage
         1,2026-10-01,bred,100 days
         7,2026-10-01,open,
         4,2025-10-01,open,",
    );
    fill(
        &mut book,
        SheetKind::Calves,
        "tag,sex,birth_date,dam,place
         c3,steer,2026-03-10,3,Hill",
    );
    book
}

#[test]
fn who_is_on_hand_and_what_is_known() {
    let plan = planned(&herd(), &spec(&[("Hill", None), ("Pen", None)], 1));
    let tags: Vec<&str> = plan.cows.iter().map(|cow| cow.tag.as_str()).collect();
    assert_eq!(tags, ["1", "2", "3", "4", "8"]);
    assert_eq!(
        plan.set_aside,
        [
            ("had not come yet".to_owned(), 1),
            ("left the herd".to_owned(), 2),
            ("open at the last check".to_owned(), 1)
        ]
    );
    let known: Vec<(Option<Day>, DueFrom)> = plan
        .cows
        .iter()
        .map(|cow| (cow.due, cow.due_from))
        .collect();
    assert_eq!(
        known,
        [
            // 100 days bred on 1 October: 183 days to go.
            (Some(day(2027, 4, 2)), DueFrom::Check),
            // 283 days after 5 June.
            (Some(day(2027, 3, 15)), DueFrom::Insemination),
            // She calved to the service of 2025, so only her last calf is left to go by.
            (Some(day(2027, 3, 10)), DueFrom::LastCalf),
            // Found open a year earlier, and served since: 283 days after 1 June.
            (Some(day(2027, 3, 11)), DueFrom::FirstDayWithBulls),
            (None, DueFrom::Unknown),
        ]
    );
    let services: Vec<Option<&str>> = plan.cows.iter().map(|cow| cow.service.as_deref()).collect();
    assert_eq!(services, [Some("12B; 44F"), Some("44F"), None, None, None]);
    let classes: Vec<Option<&str>> = plan
        .cows
        .iter()
        .map(|cow| cow.age_class.as_deref())
        .collect();
    // Seven, six, five years by the calendar, three years and ten days; the last is not known.
    assert_eq!(
        classes,
        [Some("5-10"), Some("5-10"), Some("5-10"), Some("3"), None]
    );
    assert_eq!(plan.cows[2].place.as_deref(), Some("Hill"));
    assert!(
        plan.cautions
            .iter()
            .any(|caution| caution.contains("1 cow is expected a year after"))
    );
    assert!(plan.cautions[0].contains("yours to judge"));
}

/// Without a day of its own the book stands at the day that is given.
#[test]
fn the_day_counts_where_the_book_has_none() {
    let mut book = herd();
    let spec = spec(&[("Hill", None), ("Pen", None)], 1);
    let with = planned(&book, &spec);
    book.settings.as_of = Day::MISSING;
    let today = TrialSpec {
        today: day(2026, 11, 25),
        ..spec.clone()
    };
    // Shown, since a ratio that is missing is not equal to itself.
    let shown = |plan: &Plan| format!("{:?}", plan.cows);
    assert_eq!(shown(&planned(&book, &today)), shown(&with));
    // Without any day, the cow that comes in December is no cow to come.
    assert_eq!(
        planned(&book, &spec).set_aside,
        [
            ("left the herd".to_owned(), 2),
            ("open at the last check".to_owned(), 1)
        ]
    );
}

#[test]
fn the_same_seed_gives_the_same_list_and_another_another() {
    let book = large(60);
    let lists = |seed| planned(&book, &spec(&[("A", None), ("B", None)], seed)).places;
    assert_eq!(lists(5), lists(5));
    assert_ne!(lists(5), lists(6));
}

#[test]
fn head_counts_are_kept_and_the_rest_is_left_over_by_lot() {
    let book = large(60);
    let plan = planned(&book, &spec(&[("A", Some(20)), ("B", Some(11))], 3));
    assert_eq!(
        (
            plan.places[0].cows.len(),
            plan.places[1].cows.len(),
            plan.left_over.len()
        ),
        (20, 11, 29)
    );
    assert!(plan.kinds.iter().all(|kind| kind.per_place.len() == 3));
    let shared = planned(
        &book,
        &spec(&[("A", Some(20)), ("B", None), ("C", None)], 3),
    );
    assert_eq!(
        shared
            .places
            .iter()
            .map(|place| place.cows.len())
            .collect::<Vec<_>>(),
        [20, 20, 20]
    );
    assert!(shared.left_over.is_empty());
}

#[test]
fn what_cannot_be_planned_is_refused() {
    let book = large(10);
    assert_eq!(refused(&book, &spec(&[("A", None)], 1)), "trial.places.few");
    assert_eq!(
        refused(&book, &spec(&[("A", None), (" a ", None)], 1)),
        "trial.places.same"
    );
    assert_eq!(
        refused(&book, &spec(&[("A", None), ("", None)], 1)),
        "trial.places.unnamed"
    );
    assert_eq!(
        refused(&book, &spec(&[("A", Some(6)), ("B", Some(5))], 1)),
        "trial.heads.many"
    );
    assert_eq!(
        refused(&book, &spec(&[("A", Some(10)), ("B", None)], 1)),
        "trial.heads.many"
    );
    assert_eq!(
        refused(&Workbook::new(), &spec(&[("A", None), ("B", None)], 1)),
        "trial.cows.few"
    );
    let many: Vec<String> = (0..21).map(|at| at.to_string()).collect();
    let many: Vec<(&str, Option<u32>)> = many.iter().map(|name| (name.as_str(), None)).collect();
    assert_eq!(refused(&book, &spec(&many, 1)), "trial.places.many");
}

/// Before: all young cows stand in one place. After: shared out.
#[test]
fn the_places_are_more_alike_than_they_were() {
    let mut book = Workbook::new();
    book.settings.as_of = day(2026, 11, 25);
    let mut cows = "tag,birth_date".to_owned();
    let mut stays = "animal,place,from".to_owned();
    for at in 0..40 {
        let (born, place) = if at < 20 {
            ("2025-03-01", "Pen")
        } else {
            ("2019-03-01", "Hill")
        };
        cows.push_str(&format!("\nk{at},{born}"));
        stays.push_str(&format!("\nk{at},{place},2026-05-01"));
    }
    fill(&mut book, SheetKind::Cows, &cows);
    fill(&mut book, SheetKind::Stays, &stays);
    let plan = planned(&book, &spec(&[("Pen", None), ("hill", None)], 9));
    let age = plan
        .balance
        .iter()
        .find(|line| line.key == "age")
        .expect("ages are known");
    assert!(
        age.after.abs() < 1e-9,
        "ten and ten of either age: {}",
        age.after
    );
    // No spread within either place now, so the difference has no scale: it is not called none.
    assert!(age.before.is_nan() || age.before > 10.0, "{}", age.before);
    let share = plan
        .balance
        .iter()
        .find(|line| line.key == "age_class:5-10")
        .expect("two classes");
    assert_eq!(share.values, [0.5, 0.5]);
}

fn large(n: usize) -> Workbook {
    let lines: Vec<(usize, usize, usize)> =
        (0..n).map(|at| (at % 4, at / 3 % 3, at * 7 % 40)).collect();
    of_lines(&lines)
}

/// Cows by year of birth, bull and day of AI.
fn of_lines(lines: &[(usize, usize, usize)]) -> Workbook {
    let mut book = Workbook::new();
    book.settings.as_of = day(2026, 11, 25);
    let mut cows = "tag,birth_date".to_owned();
    let mut exposures = "cow,bulls,ai_date".to_owned();
    for (at, (age, bull, ai)) in lines.iter().enumerate() {
        cows.push_str(&format!("\nk{at},{}-03-01", 2024 - age));
        let bulls = ["12B", "44F", ""][*bull];
        let ai = day(2026, 6, 1)
            .plus(i32::try_from(*ai).expect("small"))
            .iso();
        exposures.push_str(&format!("\nk{at},{bulls},{ai}"));
    }
    fill(&mut book, SheetKind::Cows, &cows);
    fill(&mut book, SheetKind::Exposures, &exposures);
    book
}

fn names(plan: &Plan) -> Vec<BTreeSet<String>> {
    plan.places
        .iter()
        .map(|place| &place.cows)
        .chain([&plan.left_over])
        .map(|cows| cows.iter().map(|&at| plan.cows[at].tag.clone()).collect())
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Every cow once; equal places of every kind, and of every age class, differ by one at most; the order of rows
    /// and of sheets changes nothing.
    #[test]
    fn lists_are_whole_and_even(
        lines in prop::collection::vec((0..4_usize, 0..3_usize, 0..60_usize), 4..60),
        n_places in 2..4_usize,
        seed in any::<u32>(),
    ) {
        let places: Vec<(&str, Option<u32>)> = ["A", "B", "C"][..n_places].iter().map(|name| (*name, None)).collect();
        let spec = spec(&places, seed);
        let plan = planned(&of_lines(&lines), &spec);
        let mut all: Vec<usize> = plan.places.iter().flat_map(|place| place.cows.clone()).collect();
        prop_assert!(plan.left_over.is_empty());
        all.sort_unstable();
        prop_assert_eq!(all, (0..lines.len()).collect::<Vec<_>>());
        let differ = |counts: &[u32]| counts.iter().max().zip(counts.iter().min()).map_or(0, |(most, least)| most - least);
        for kind in &plan.kinds {
            prop_assert!(differ(&kind.per_place) <= 1, "{:?}", kind);
        }
        let sizes: Vec<u32> = plan.places.iter().map(|place| u32::try_from(place.cows.len()).expect("few")).collect();
        prop_assert!(differ(&sizes) <= 1, "{sizes:?}");
        for class in ["2", "3", "4", "5-10", "11+"] {
            let mut counts = vec![0; n_places];
            for kind in plan.kinds.iter().filter(|kind| kind.words[0] == class) {
                for (count, n) in counts.iter_mut().zip(&kind.per_place) {
                    *count += n;
                }
            }
            prop_assert!(differ(&counts) <= 1, "{class}: {counts:?}");
        }
        // One line of the file per cow, and a header.
        let csv = String::from_utf8(trial_csv(&plan)).expect("text");
        prop_assert_eq!(csv.lines().count(), lines.len() + 1);
    }

    #[test]
    fn the_order_of_rows_changes_nothing(seed in any::<u32>(), turn in 1..29_usize) {
        let spec = spec(&[("A", None), ("B", Some(9))], seed);
        let book = large(30);
        let mut turned = Workbook::new();
        turned.settings = book.settings.clone();
        for sheet in [SheetKind::Cows, SheetKind::Exposures] {
            let rows: Vec<u32> = (0..30).map(|at| u32::try_from((at + turn) % 30).expect("few")).collect();
            *turned.sheet_mut(sheet) = book.sheet(sheet).select(&rows);
        }
        prop_assert_eq!(names(&planned(&book, &spec)), names(&planned(&turned, &spec)));
    }
}
