//! What must hold for any herd: order, unit and weight; and that nothing typed can stop a recalculation.

use fairpen_engine::check::check;
use fairpen_engine::results::{ResultColumn, Results};
use fairpen_engine::share::working::working;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::{KILOGRAMS_PER_POUND, WeightUnit};
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_tests::books::{calves, day, fill, put};
use proptest::prelude::*;

const HEADER: &str = "tag,sex,birth_date,birth_weight,dam,dam_age,sire,place,born_as,raised_by,wean_date,wean_weight";

/// A calf as a line of cells, without its tag.
#[derive(Clone, Debug)]
struct Calf {
    cells: Vec<String>,
    birth_lb: Option<f64>,
    wean_lb: Option<f64>,
}

prop_compose! {
    fn calf()(
        sex in prop::sample::select(vec!["bull", "steer", "heifer", "male", ""]),
        birth in 0..140_i32,
        birth_lb in prop::option::of(50.0..110.0_f64),
        dam in 0..6_u32,
        dam_age in prop::option::of(1..14_u32),
        sire in prop::sample::select(vec!["A", "B", "A;B", ""]),
        place in prop::sample::select(vec!["Pen 1", "Hill", ""]),
        born_as in prop::sample::select(vec!["", "single", "twin"]),
        raised_by in prop::sample::select(vec!["", "foster", "bottle"]),
        age in 140..270_i32,
        wean_lb in prop::option::weighted(0.9, 300.0..700.0_f64),
    ) -> Calf {
        let born = day("2026-01-20").plus(birth);
        // Most herds are weaned on a few days: rounding makes groups of more than one.
        let weaned = born.plus(age - (birth + age) % 5);
        let cells = vec![
            sex.to_owned(), born.iso(), String::new(), format!("C{dam}"),
            dam_age.map_or_else(String::new, |years| years.to_string()),
            sire.to_owned(), place.to_owned(), born_as.to_owned(), raised_by.to_owned(),
            weaned.iso(), String::new(),
        ];
        Calf { cells, birth_lb, wean_lb }
    }
}

/// The book of these calves, tagged by their place in the list, in the order given, weights in a unit.
fn book(herd: &[Calf], order: &[usize], unit: WeightUnit) -> Workbook {
    let weight = |pounds: Option<f64>| {
        pounds.map_or_else(String::new, |pounds| match unit {
            WeightUnit::Pound => pounds.to_string(),
            WeightUnit::Kilogram => (pounds * KILOGRAMS_PER_POUND).to_string(),
        })
    };
    let mut text = HEADER.to_owned();
    for &at in order {
        let calf = &herd[at];
        let mut cells = calf.cells.clone();
        cells[2] = weight(calf.birth_lb);
        cells[10] = weight(calf.wean_lb);
        text.push_str(&format!("\nT{at},{}", cells.join(",")));
    }
    let mut book = Workbook::new();
    book.settings.weight_unit = unit;
    fill(&mut book, SheetKind::Calves, &text);
    fill(
        &mut book,
        SheetKind::Cows,
        "tag,birth_date\nC1,2021-04-01\nC2,2024-02-20",
    );
    book
}

fn near(one: f64, other: f64) -> bool {
    (one.is_nan() && other.is_nan()) || (one - other).abs() <= 1e-9 * one.abs().max(1.0)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn the_order_of_rows_changes_nothing(
        herd in prop::collection::vec(calf(), 1..40),
        seed in any::<u64>(),
    ) {
        let straight: Vec<usize> = (0..herd.len()).collect();
        let mut shuffled = straight.clone();
        shuffled.sort_by_key(|at| (*at as u64 + 1).wrapping_mul(seed | 1).rotate_left(17));
        let one = Results::recalculate(&book(&herd, &straight, WeightUnit::Pound));
        let other = Results::recalculate(&book(&herd, &shuffled, WeightUnit::Pound));
        prop_assert_eq!(one.groups.groups.len(), other.groups.groups.len());
        for (row, &at) in shuffled.iter().enumerate() {
            let bits = |results: &Results, row: usize| (
                results.adjusted.adj_205[row].to_bits(),
                results.groups.ratio[row].to_bits(),
                results.groups.rank[row],
                results.adjusted.marks[row],
                results.groups.group_of[row],
            );
            prop_assert_eq!(bits(&one, at), bits(&other, row), "calf T{}", at);
        }
        for (a, b) in one.groups.groups.iter().zip(&other.groups.groups) {
            prop_assert_eq!(&a.name, &b.name);
            prop_assert_eq!(a.mean_adj_205.to_bits(), b.mean_adj_205.to_bits());
            prop_assert_eq!(&a.flags, &b.flags);
        }
    }

    #[test]
    fn the_unit_of_weight_changes_nothing(herd in prop::collection::vec(calf(), 1..30)) {
        let order: Vec<usize> = (0..herd.len()).collect();
        let pounds = Results::recalculate(&book(&herd, &order, WeightUnit::Pound));
        let kilograms = Results::recalculate(&book(&herd, &order, WeightUnit::Kilogram));
        for row in 0..herd.len() {
            prop_assert!(near(pounds.adjusted.adj_205[row], kilograms.adjusted.adj_205[row]));
            prop_assert!(near(pounds.adjusted.gain_per_day[row], kilograms.adjusted.gain_per_day[row]));
            prop_assert!(near(pounds.groups.ratio[row], kilograms.groups.ratio[row]));
            prop_assert_eq!(pounds.groups.rank[row], kilograms.groups.rank[row]);
            prop_assert_eq!(pounds.adjusted.marks[row], kilograms.adjusted.marks[row]);
        }
    }

    #[test]
    fn ratios_average_100_and_names_are_unique(herd in prop::collection::vec(calf(), 1..60)) {
        let order: Vec<usize> = (0..herd.len()).collect();
        let results = Results::recalculate(&book(&herd, &order, WeightUnit::Pound));
        let groups = &results.groups;
        let mut names: Vec<&str> = groups.groups.iter().map(|group| group.name.as_str()).collect();
        names.dedup();
        prop_assert_eq!(names.len(), groups.groups.len());
        let mut n_grouped = 0;
        for group in &groups.groups {
            n_grouped += group.rows.len();
            let ratios: Vec<f64> = group.rows.iter().map(|row| groups.ratio[*row as usize]).collect();
            if ratios.len() == 1 {
                prop_assert!(ratios[0].is_nan());
            } else {
                let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
                prop_assert!((mean - 100.0).abs() < 1e-9);
            }
            let spread = |day: &dyn Fn(usize) -> i32| {
                let days = || group.rows.iter().map(|row| day(*row as usize));
                days().max().unwrap_or(0) - days().min().unwrap_or(0)
            };
            let calves = book(&herd, &order, WeightUnit::Pound);
            let births = calves.calves().known("birth_date").days().expect("dates");
            let weighings = calves.calves().known("wean_date").days().expect("dates");
            prop_assert!(spread(&|row| births[row].count()) <= 90);
            prop_assert!(spread(&|row| weighings[row].count()) <= 3);
        }
        let n_adjusted = results.adjusted.adj_205.iter().filter(|value| !value.is_nan()).count();
        prop_assert_eq!(n_grouped, n_adjusted, "every adjusted calf stands in one group");
    }

    /// Within one birth weight and factor the adjusted weight is a straight line in the weaning weight with
    /// slope 205 / age.
    #[test]
    fn adjusting_is_linear_in_the_weight(calf in calf(), low in 300.0..500.0_f64, more in 1.0..200.0_f64) {
        let at = |pounds: f64| {
            let calf = Calf { wean_lb: Some(pounds), ..calf.clone() };
            let results = Results::recalculate(&book(&[calf], &[0], WeightUnit::Pound));
            (results.adjusted.adj_205[0], results.adjusted.age_days[0])
        };
        let ((one, age), (other, _)) = (at(low), at(low + more));
        prop_assert_eq!(one.is_nan(), other.is_nan());
        if !one.is_nan() {
            prop_assert!((other - one - more * 205.0 / f64::from(age)).abs() < 1e-9 * other);
        }
    }

    #[test]
    fn missing_in_gives_missing_out(calf in calf(), blank in prop::sample::select(vec!["sex", "birth_date", "wean_date", "wean_weight"])) {
        let mut book = book(&[Calf { wean_lb: Some(500.0), ..calf }], &[0], WeightUnit::Pound);
        let table = book.sheet_mut(SheetKind::Calves);
        let column = table.column_mut(blank).expect("a known column");
        column.cells = fairpen_engine::sheet::column::Cells::empty(column.kind);
        column.cells.resize(1);
        let results = Results::recalculate(&book);
        prop_assert!(results.adjusted.adj_205[0].is_nan());
        prop_assert!(results.adjusted.age_adj_205[0].is_nan());
        prop_assert_eq!(results.groups.rank[0], 0);
    }

    /// Any text in any cell of the calves and cows: figures, checks and workings come out.
    #[test]
    fn nothing_typed_stops_a_recalculation(
        cells in prop::collection::vec(
            (0..6_usize, 0..27_usize, prop_oneof![
                "[0-9]{1,6}", "-?[0-9]{1,3}(\\.[0-9])?", "[0-9]{1,4}-[0-9]{1,2}-[0-9]{1,2}", "\\PC{0,6}",
                Just("9999-12-31".to_owned()), Just("0001-01-01".to_owned()), Just("1e300".to_owned()),
                Just("twin".to_owned()), Just("steer".to_owned()), Just("A;B;;A".to_owned()),
            ]),
            0..80,
        ),
        cows in prop::collection::vec((0..4_usize, 0..13_usize, "[0-9]{1,4}(-[0-9]{2}-[0-9]{2})?"), 0..20),
    ) {
        let mut book = calves("tag\n1\n2\n3\n4\n5\n6");
        fill(&mut book, SheetKind::Cows, "tag\n1\n1\n2\n3");
        for (row, column, text) in cells {
            let key = SheetKind::Calves.columns()[column].key;
            put(&mut book, SheetKind::Calves, row, key, &text);
        }
        for (row, column, text) in cows {
            put(&mut book, SheetKind::Cows, row, SheetKind::Cows.columns()[column].key, &text);
        }
        book.settings.as_of = day("2026-11-25");
        let results = Results::recalculate(&book);
        let findings = check(&book, &results);
        prop_assert_eq!(findings.notes(&book, &results).count(), findings.len());
        for row in 0..6 {
            for column in ResultColumn::ALL {
                prop_assert!(working(&book, &results, row, column).is_some());
            }
        }
    }
}
