//! Comparisons of small made-up herds.

use proptest::prelude::*;

use super::result::{CompareSpec, Verdict};
use super::{comparable_columns, compare};
use crate::results::Results;
use crate::sheet::codes::{LEFT_BECAUSE, SEX};
use crate::sheet::column::Cells;
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;
use crate::sheet::workbook::Workbook;

#[derive(Clone, Debug)]
struct Calf {
    tag: String,
    sex: &'static str,
    born: i32,
    dam_age: f64,
    place: &'static str,
    management: &'static str,
    weight: f64,
    left: &'static str,
}

const SPRING: i32 = 20_500; // a day in February 2026
const WEANED: i32 = SPRING + 215;

fn calf(
    tag: usize,
    sex: &'static str,
    born: i32,
    dam_age: f64,
    management: &'static str,
    weight: f64,
) -> Calf {
    Calf {
        tag: tag.to_string(),
        sex,
        born: SPRING + born,
        dam_age,
        place: "",
        management,
        weight,
        left: "",
    }
}

fn book(calves: &[Calf]) -> Workbook {
    let mut book = Workbook::new();
    let table = book.sheet_mut(SheetKind::Calves);
    table.resize(calves.len());
    for (row, calf) in calves.iter().enumerate() {
        for (key, text) in [
            ("tag", calf.tag.as_str()),
            ("place", calf.place),
            ("management", calf.management),
            ("dam", calf.tag.as_str()),
        ] {
            if let Some(Cells::Text(cells)) = table.column_mut(key).map(|column| &mut column.cells)
            {
                cells.set(row, text);
            }
        }
        for (key, number) in [
            ("dam_age", calf.dam_age),
            ("wean_weight", calf.weight),
            ("birth_weight", 80.0),
        ] {
            if let Some(Cells::Number(cells)) =
                table.column_mut(key).map(|column| &mut column.cells)
            {
                cells[row] = number;
            }
        }
        let weaned = if calf.weight.is_nan() {
            Day::MISSING
        } else {
            Day::from_count(WEANED)
        };
        for (key, day) in [
            ("birth_date", Day::from_count(calf.born)),
            ("wean_date", weaned),
        ] {
            if let Some(Cells::Day(cells)) = table.column_mut(key).map(|column| &mut column.cells) {
                cells[row] = day;
            }
        }
        for (key, position) in [
            ("sex", SEX.position(calf.sex)),
            ("left_because", LEFT_BECAUSE.position(calf.left)),
        ] {
            if let (Some(Cells::Code(cells)), Some(position)) = (
                table.column_mut(key).map(|column| &mut column.cells),
                position,
            ) {
                cells[row] = position;
            }
        }
    }
    book
}

fn by_management(calves: &[Calf]) -> super::result::Comparison {
    by(calves, "management")
}

fn by(calves: &[Calf], column: &str) -> super::result::Comparison {
    let book = book(calves);
    let results = Results::recalculate(&book);
    compare(
        &book,
        &results,
        &CompareSpec {
            column: column.to_owned(),
            ..CompareSpec::default()
        },
    )
    .expect("can be compared")
}

/// Twenty-four calves, balanced but for noise: pens are `gain` lb heavier.
fn balanced(gain: f64) -> Vec<Calf> {
    let mut calves = Vec::new();
    for at in 0..24 {
        let pen = at % 2 == 0;
        let sex = if at % 4 < 2 { "steer" } else { "heifer" };
        // A small fixed scatter with mean zero in every cell.
        let noise = [3.0, -3.0, 6.0, -6.0, 1.0, -1.0][at / 4];
        let weight =
            520.0 + noise + if pen { gain } else { 0.0 } + if sex == "steer" { 30.0 } else { 0.0 };
        calves.push(calf(
            at + 1,
            sex,
            i32::try_from(at / 4).expect("small"),
            6.0,
            if pen { "pens" } else { "grass" },
            weight,
        ));
    }
    calves
}

#[test]
fn a_clear_difference_is_said_with_its_interval() {
    let found = by_management(&balanced(25.0));
    let pair = &found.pairs[0];
    assert_eq!(
        (
            found.levels[pair.first].name.as_str(),
            found.levels[pair.second].name.as_str()
        ),
        ("grass", "pens")
    );
    let Verdict::Differs {
        heavier,
        by,
        lower,
        upper,
    } = pair.verdict
    else {
        panic!("{:?}", pair.verdict)
    };
    assert_eq!(heavier, pair.second);
    // Weaned at 210 to 215 days, so 25 lb at the scale is a little less at 205 days.
    assert!((23.0..25.0).contains(&by), "{by}");
    assert!(0.0 < lower && lower < by && by < upper);
    assert!(
        pair.sentence
            .contains("pens calves were about 24 lb heavier than grass calves, likely between"),
        "{}",
        pair.sentence
    );
    assert!(
        pair.sentence.contains("sex") && !pair.sentence.contains("dam-age"),
        "{}",
        pair.sentence
    );
    assert_eq!(found.sentence, pair.sentence);
}

#[test]
fn no_difference_is_never_called_equal() {
    let found = by_management(&balanced(0.0));
    assert!(
        matches!(found.pairs[0].verdict, Verdict::NotShown { lower, upper } if lower < 0.0 && upper > 0.0)
    );
    assert!(found.sentence.contains("do not show"), "{}", found.sentence);
    assert!(
        found
            .cautions
            .iter()
            .any(|caution| caution.contains("not the same as equal"))
    );
}

#[test]
fn every_heifers_calf_in_a_pen_cannot_be_separated() {
    // All calves of two-year-old dams in pens, all others on grass.
    let calves: Vec<Calf> = balanced(25.0)
        .into_iter()
        .map(|calf| Calf {
            dam_age: if calf.management == "pens" { 2.0 } else { 6.0 },
            ..calf
        })
        .collect();
    let found = by_management(&calves);
    let pair = &found.pairs[0];
    assert_eq!(pair.difference, None);
    let Verdict::CannotSeparate { with } = &pair.verdict else {
        panic!("{:?}", pair.verdict)
    };
    assert!(
        with.iter().any(|with| with.contains("dam-age class")),
        "{with:?}"
    );
    assert!(
        pair.sentence.contains("cannot separate"),
        "{}",
        pair.sentence
    );
    assert!(!found.aliased.is_empty());
    // The earlier steps still show what the scale said.
    assert!(
        pair.steps
            .iter()
            .any(|step| step.key == "raw" && step.difference.is_some())
    );
}

#[test]
fn the_calves_that_never_reached_the_scale_are_counted_and_the_count_closes() {
    let mut calves = balanced(10.0);
    let lost = |tag, left| Calf {
        weight: f64::NAN,
        left,
        ..calf(tag, "heifer", 3, 6.0, "pens", f64::NAN)
    };
    calves.extend([
        lost(90, "died"),
        lost(91, "sold"),
        lost(92, "born dead"),
        lost(93, ""),
    ]);
    let found = by_management(&calves);
    let pens = &found.reached[1];
    assert_eq!(
        (
            pens.started,
            pens.born_dead,
            pens.died,
            pens.sold_early,
            pens.weighed,
            pens.no_weight
        ),
        (16, 1, 1, 1, 12, 1)
    );
    for level in &found.reached {
        assert_eq!(
            level.started,
            level.born_dead + level.died + level.sold_early + level.weighed + level.no_weight
        );
    }
    assert_eq!(found.levels[1].n, 12);
    let left_out: u32 = found.levels[1].left_out.iter().map(|(_, n)| n).sum();
    assert_eq!(left_out, 4);
}

#[test]
fn one_calf_against_one_gives_no_difference() {
    let calves = [
        calf(1, "steer", 0, 6.0, "pens", 500.0),
        calf(2, "steer", 0, 6.0, "grass", 480.0),
    ];
    let found = by_management(&calves);
    assert_eq!(
        found.pairs[0].verdict,
        Verdict::TooFew {
            n_first: 1,
            n_second: 1
        }
    );
}

#[test]
fn a_place_is_said_to_be_one_comparison() {
    let calves: Vec<Calf> = balanced(25.0)
        .into_iter()
        .map(|calf| Calf {
            place: if calf.management == "pens" {
                "Pen 1"
            } else {
                "Hill"
            },
            ..calf
        })
        .collect();
    let by_place = by(&calves, "place");
    assert!(
        by_place.cautions[0].contains("Each place is there once"),
        "{:?}",
        by_place.cautions
    );
    let by_kind = by_management(&calves);
    assert!(
        by_kind.cautions[0].contains("difference between places"),
        "{:?}",
        by_kind.cautions
    );
}

#[test]
fn unknown_columns_and_single_levels_are_refused_with_a_hint() {
    let book = book(&balanced(0.0));
    let results = Results::recalculate(&book);
    let code = |column: &str, levels: &[&str]| {
        let spec = CompareSpec {
            column: column.to_owned(),
            levels: levels.iter().map(|level| (*level).to_owned()).collect(),
            ..CompareSpec::default()
        };
        compare(&book, &results, &spec)
            .map(|_| ())
            .map_err(|error| error.code())
    };
    assert_eq!(code("nosuch", &[]), Err("compare.column.unknown"));
    assert_eq!(code("wean_weight", &[]), Err("compare.column.unknown"));
    assert_eq!(code("place", &[]), Err("compare.levels.too_few"));
    assert_eq!(
        code("management", &["pens", "barn"]),
        Err("compare.level.unknown")
    );
    assert_eq!(code("Management", &[]), Ok(()));
    let keys: Vec<String> = comparable_columns(&book, &results)
        .into_iter()
        .map(|column| column.key)
        .collect();
    assert_eq!(keys[0], "management");
    assert!(!keys.contains(&"place".to_owned()) && !keys.contains(&"tag".to_owned()));
}

#[test]
fn kilograms_say_the_same() {
    let pounds = book(&balanced(25.0));
    let mut kilograms = pounds.clone();
    kilograms.settings.weight_unit = WeightUnit::Kilogram;
    for key in ["birth_weight", "wean_weight"] {
        if let Some(Cells::Number(cells)) = kilograms
            .sheet_mut(SheetKind::Calves)
            .column_mut(key)
            .map(|column| &mut column.cells)
        {
            cells
                .iter_mut()
                .for_each(|weight| *weight = WeightUnit::Kilogram.from_pounds(*weight));
        }
    }
    let spec = CompareSpec {
        column: "management".to_owned(),
        ..CompareSpec::default()
    };
    let one = compare(&pounds, &Results::recalculate(&pounds), &spec).expect("can be compared");
    let other =
        compare(&kilograms, &Results::recalculate(&kilograms), &spec).expect("can be compared");
    let value = |found: &super::result::Comparison| {
        found.pairs[0].difference.map(|difference| difference.value)
    };
    assert!((value(&one).expect("estimated") - value(&other).expect("estimated")).abs() < 1e-9);
    assert!(
        other.sentence.contains("about 11 kg heavier"),
        "{}",
        other.sentence
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// `Differs` exactly when the interval excludes zero; row order changes nothing.
    #[test]
    fn the_verdict_follows_the_interval_and_never_the_order(
        weights in prop::collection::vec(400.0..640.0_f64, 24),
        swap in prop::collection::vec(0..24_usize, 24),
        heifers_in_pens in any::<bool>(),
    ) {
        let mut calves: Vec<Calf> = balanced(0.0)
            .into_iter()
            .zip(&weights)
            .enumerate()
            .map(|(at, (calf, &weight))| {
                let young = if heifers_in_pens { calf.management == "pens" } else { at % 3 == 0 };
                Calf { weight, dam_age: if young { 2.0 } else { 6.0 }, ..calf }
            })
            .collect();
        let mut found = by_management(&calves);
        for pair in &found.pairs {
            let excludes_zero = pair.difference.is_some_and(|d| d.lower > 1e-6 || d.upper < -1e-6);
            prop_assert_eq!(matches!(pair.verdict, Verdict::Differs { .. }), excludes_zero);
            prop_assert_eq!(pair.sentence.contains("heavier than"), excludes_zero);
        }
        for (at, to) in swap.into_iter().enumerate() {
            calves.swap(at, to);
        }
        let mut again = by_management(&calves);
        // Row numbers are the one thing that moves with the rows.
        found.levels.iter_mut().chain(&mut again.levels).for_each(|level| level.rows.clear());
        // Formatted, since NaN stands for "none" in several fields and is not equal to itself.
        prop_assert_eq!(format!("{found:?}"), format!("{again:?}"));
    }
}
