// long because: one made-up herd serves all of these.
//! Comparisons with cows, bulls and places as random, and their choices, on small made-up herds.

use std::ops::ControlFlow;

use proptest::prelude::*;

use super::choices::{Choices, Degrees, Margins, Places, RandomPart, Response, Several};
use super::model_facts::{RandomEffect, RepeatBy};
use super::result::{CompareSpec, Comparison, Verdict};
use super::{compare, compare_watched};
use crate::results::Results;
use crate::sheet::codes::SEX;
use crate::sheet::column::Cells;
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

#[derive(Clone, Debug)]
struct Calf {
    tag: String,
    heifer: bool,
    year: i32,
    day: i32,
    dam: String,
    dam_age: f64,
    sire: String,
    place: String,
    kind: &'static str,
    weight: f64,
    birth_weight: f64,
    age_days: i32,
    yearling: f64,
}

impl Default for Calf {
    fn default() -> Calf {
        Calf {
            tag: String::new(),
            heifer: false,
            year: 2024,
            day: 0,
            dam: String::new(),
            dam_age: 6.0,
            sire: String::new(),
            place: String::new(),
            kind: "grass",
            weight: 520.0,
            birth_weight: 80.0,
            age_days: 205,
            yearling: f64::NAN,
        }
    }
}

fn book_of(calves: &[Calf]) -> Workbook {
    let mut book = Workbook::new();
    let table = book.sheet_mut(SheetKind::Calves);
    table.resize(calves.len());
    for (row, calf) in calves.iter().enumerate() {
        let born = Day::from_ymd(calf.year, 3, 1)
            .expect("a day")
            .plus(calf.day);
        let mut put = |key: &str, cell: &dyn Fn(&mut Cells)| {
            cell(&mut table.column_mut(key).expect("a known column").cells);
        };
        let texts = [
            ("tag", calf.tag.as_str()),
            ("dam", &calf.dam),
            ("sire", &calf.sire),
            ("place", &calf.place),
            ("management", calf.kind),
        ];
        for (key, text) in texts {
            put(key, &|cells| {
                if let Cells::Text(cells) = cells {
                    cells.set(row, text);
                }
            });
        }
        let numbers = [
            ("dam_age", calf.dam_age),
            ("wean_weight", calf.weight),
            ("birth_weight", calf.birth_weight),
            ("yearling_weight", calf.yearling),
        ];
        for (key, number) in numbers {
            put(key, &|cells| {
                if let Cells::Number(cells) = cells {
                    cells[row] = number;
                }
            });
        }
        let days = [
            ("birth_date", born),
            ("wean_date", born.plus(calf.age_days)),
            ("yearling_date", born.plus(365)),
        ];
        for (key, day) in days {
            put(key, &|cells| {
                if let Cells::Day(cells) = cells {
                    cells[row] = day;
                }
            });
        }
        let sex = if calf.heifer { "heifer" } else { "steer" };
        put("sex", &|cells| {
            if let Cells::Code(cells) = cells {
                cells[row] = SEX.position(sex).expect("a sex");
            }
        });
    }
    book
}

fn spec(column: &str, choices: Choices) -> CompareSpec {
    CompareSpec {
        column: column.to_owned(),
        choices,
        ..CompareSpec::default()
    }
}

fn by(calves: &[Calf], column: &str, choices: Choices) -> Comparison {
    let book = book_of(calves);
    let results = Results::recalculate(&book);
    compare(&book, &results, &spec(column, choices)).expect("can be compared")
}

fn effect<'a>(found: &'a Comparison, key: &str) -> &'a RandomEffect {
    let mut effects = found.model.random.iter();
    effects
        .find(|effect| effect.key == key)
        .expect("every effect is listed")
}

/// A number in -1 to 1 that looks like chance and is the same every time.
fn scatter(seed: usize) -> f64 {
    let mut state = seed as u64 ^ 0x9e37_79b9_7f4a_7c15;
    for _ in 0..3 {
        state ^= state >> 30;
        state = state.wrapping_mul(0xbf58_476d_1ce4_e5b9);
        state ^= state >> 27;
    }
    (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
}

/// Three years of forty cows: cow and bull effects of up to 30 and 20 lb, pens 15 lb ahead, two places of each
/// kind; cows change sides from year to year.
fn herd() -> Vec<Calf> {
    let mut calves = Vec::new();
    for year in 0..3_usize {
        for cow in 0..40_usize {
            let pens = (cow + year) % 2 == 0;
            let bull = (cow / 2 + year) % 5;
            let place = cow / 2 % 2;
            let heifer = cow / 4 % 2 == 0;
            let kind = if pens { "pens" } else { "grass" };
            let weight = 520.0
                + if pens { 15.0 } else { 0.0 }
                + if heifer { 0.0 } else { 35.0 }
                + 30.0 * scatter(cow + 1)
                + 20.0 * scatter(bull + 901)
                + 15.0 * scatter(1000 * year + cow + 7);
            calves.push(Calf {
                tag: format!("{}", 1000 * (year + 1) + cow),
                heifer,
                year: 2023 + i32::try_from(year).expect("small"),
                day: i32::try_from(cow * 7 % 30).expect("small"),
                dam: format!("C{cow}"),
                sire: format!("B{bull}"),
                place: format!("{kind} {place}"),
                kind,
                weight,
                birth_weight: 80.0 + 6.0 * scatter(cow + 333),
                age_days: 200 + i32::try_from(cow % 11).expect("small"),
                ..Calf::default()
            });
        }
    }
    calves
}

#[test]
fn cows_and_bulls_are_random_and_sharpen_the_difference() {
    let found = by(&herd(), "management", Choices::default());
    assert!(found.model.mixed);
    assert_eq!(found.model.degrees, "kenward_roger");
    let (dam, sire) = (effect(&found, "dam"), effect(&found, "sire"));
    assert!(dam.used && sire.used, "{:?}", found.model.random);
    assert_eq!((dam.levels, dam.repeats), (40, 80));
    assert_eq!(sire.levels, 5);
    assert!(dam.sd.expect("used") > 5.0);
    assert!(
        found
            .method
            .contains("random, with how many: cow that raised the calf (40) and sire (5)"),
        "{}",
        found.method
    );
    let none = Choices {
        random: RandomPart::None,
        ..Choices::default()
    };
    let fixed = by(&herd(), "management", none);
    assert!(!fixed.model.mixed && fixed.model.degrees == "residual");
    assert!(
        fixed
            .model
            .random
            .iter()
            .all(|effect| effect.because == "it was not asked for")
    );
    let se = |found: &Comparison| found.pairs[0].difference.expect("estimated").se;
    assert!(se(&found) < se(&fixed), "cows are compared with themselves");
}

#[test]
fn what_is_not_tried_or_not_kept_says_why() {
    let found = by(&herd(), "management", Choices::default());
    assert!(
        effect(&found, "place")
            .because
            .contains("each place has one management only")
    );
    assert!(
        effect(&found, "contemporary_group")
            .because
            .contains("each group has one management only")
    );
    // One calf to each cow.
    let single: Vec<Calf> = herd()
        .into_iter()
        .map(|calf| Calf {
            dam: calf.tag.clone(),
            ..calf
        })
        .collect();
    assert_eq!(
        effect(&by(&single, "management", Choices::default()), "dam").because,
        "each has one calf only"
    );
    // Cows not named are cows of their own.
    let nameless: Vec<Calf> = herd()
        .into_iter()
        .map(|calf| Calf {
            dam: String::new(),
            ..calf
        })
        .collect();
    let dam = by(&nameless, "management", Choices::default());
    let dam = effect(&dam, "dam");
    assert_eq!((dam.levels, dam.unnamed, dam.used), (120, 120, false));
    // Each side has its own bull: its part of the difference cannot be taken out.
    let tied: Vec<Calf> = herd()
        .into_iter()
        .map(|calf| Calf {
            sire: calf.kind.to_owned(),
            ..calf
        })
        .collect();
    let found = by(&tied, "management", Choices::default());
    assert!(
        effect(&found, "sire")
            .because
            .contains("already tell every one apart")
    );
    assert!(
        found
            .cautions
            .iter()
            .any(|caution| caution.contains("has its own bulls")),
        "{:?}",
        found.cautions
    );
    // The compared column, and what is held equal.
    let found = by(&herd(), "sire", Choices::default());
    assert_eq!(effect(&found, "sire").because, "it is what is compared");
    assert!(effect(&found, "place").used, "bulls stand in every place");
    let book = book_of(&herd());
    let held = CompareSpec {
        hold: vec!["sire".to_owned()],
        ..spec("management", Choices::default())
    };
    let found = compare(&book, &Results::recalculate(&book), &held).expect("can be compared");
    assert_eq!(effect(&found, "sire").because, "it is held equal");
}

#[test]
fn a_spread_of_zero_stays_in_and_is_said() {
    // Weights without any cow in them: each cow's calves differ as much as any.
    let calves: Vec<Calf> = herd()
        .into_iter()
        .enumerate()
        .map(|(at, calf)| {
            let year = at / 40;
            // Contrasts between the years of one cow, which leave her mean alone.
            let apart = [1.0, -1.0, 0.0][year];
            Calf {
                weight: 520.0 + 30.0 * apart * scatter(at % 40 + 55),
                ..calf
            }
        })
        .collect();
    let found = by(&calves, "management", Choices::default());
    let dam = effect(&found, "dam");
    assert!(dam.used && dam.at_zero, "{dam:?}");
    assert_eq!(dam.sd, Some(0.0));
}

#[test]
fn unknown_bulls_share_a_level_by_season_and_possible_bulls_share_the_calf() {
    let calves: Vec<Calf> = herd()
        .into_iter()
        .enumerate()
        .map(|(at, calf)| {
            let sire = match at % 10 {
                0 => String::new(),
                1 => "unknown".to_owned(),
                2 => "B1; B2".to_owned(),
                3 => "B1; unknown".to_owned(),
                _ => calf.sire,
            };
            Calf { sire, ..calf }
        })
        .collect();
    let found = by(&calves, "management", Choices::default());
    let sire = effect(&found, "sire");
    assert_eq!(found.n_used, 120, "no calf is dropped");
    assert_eq!(
        sire.levels,
        5 + 3,
        "one unknown bull for each of three seasons"
    );
    assert_eq!((sire.unnamed, sire.shared), (24, 24));
    assert!(
        found
            .method
            .contains("24 calves with several possible bulls share them in equal parts"),
        "{}",
        found.method
    );
    // A bull named twice is one bull.
    let twice: Vec<Calf> = herd()
        .into_iter()
        .map(|calf| Calf {
            sire: format!("{0}; {0}", calf.sire),
            ..calf
        })
        .collect();
    let (once, twice) = (
        by(&herd(), "management", Choices::default()),
        by(&twice, "management", Choices::default()),
    );
    assert_eq!(effect(&twice, "sire"), effect(&once, "sire"));
}

#[test]
fn satterthwaite_on_request_and_the_estimate_stays() {
    let choices = Choices {
        degrees: Degrees::Satterthwaite,
        ..Choices::default()
    };
    let (usual, other) = (
        by(&herd(), "management", Choices::default()),
        by(&herd(), "management", choices),
    );
    assert_eq!(other.model.degrees, "satterthwaite");
    let value = |found: &Comparison| found.pairs[0].difference.expect("estimated");
    assert!((value(&usual).value - value(&other).value).abs() < 1e-9);
    assert!(
        value(&usual).se >= value(&other).se - 1e-12,
        "Kenward and Roger allow for unsure spreads"
    );
}

#[test]
fn such_places_by_places_and_the_model_that_counts_them() {
    let found = by(&herd(), "management", Choices::default());
    assert!(found.scope.between_places && !found.scope.model_counts_places);
    assert_eq!(
        (found.scope.places.clone(), found.scope.seasons),
        (vec![2, 2], 3)
    );
    let such = found.pairs[0].such.as_ref().expect("two places of each");
    assert_eq!(
        (such.by, such.n_first, such.n_second, such.difference.df),
        (RepeatBy::Places, 2, 2, 2.0)
    );
    assert!(
        found.pairs[0]
            .sentence
            .contains("Judged by places (2 against 2)"),
        "{}",
        found.pairs[0].sentence
    );
    let choices = Choices {
        places: Places::Such,
        ..Choices::default()
    };
    let wide = by(&herd(), "management", choices);
    assert!(effect(&wide, "place").used && wide.scope.model_counts_places);
    let df = |found: &Comparison| found.pairs[0].difference.expect("estimated").df;
    assert!(df(&wide) < df(&found), "{} and {}", df(&wide), df(&found));
}

#[test]
fn one_place_of_each_is_judged_by_seasons_or_not_at_all() {
    let one_each: Vec<Calf> = herd()
        .into_iter()
        .map(|calf| Calf {
            place: calf.kind.to_owned(),
            ..calf
        })
        .collect();
    let found = by(&one_each, "management", Choices::default());
    let such = found.pairs[0].such.as_ref().expect("three seasons");
    assert_eq!(
        (such.by, such.n_first, such.difference.df),
        (RepeatBy::Seasons, 3, 2.0)
    );
    // By hand: within a season the held terms are balanced, so each contrast is near the difference of means.
    let one_year: Vec<Calf> = one_each
        .into_iter()
        .filter(|calf| calf.year == 2023)
        .collect();
    let found = by(&one_year, "management", Choices::default());
    assert_eq!(found.pairs[0].such, None);
    assert!(
        found.scope.because.contains("fewer than 3 seasons"),
        "{}",
        found.scope.because
    );
    assert!(
        found
            .sentence
            .contains("This speaks of these calves in these places."),
        "{}",
        found.sentence
    );
    assert!(
        !found.sentence.contains("such places"),
        "no general claim: {}",
        found.sentence
    );
}

#[test]
fn places_that_hold_both_are_judged_within() {
    let shared: Vec<Calf> = herd()
        .into_iter()
        .enumerate()
        .map(|(at, calf)| Calf {
            place: format!("Pasture {}", at / 8 % 5),
            ..calf
        })
        .collect();
    let found = by(&shared, "management", Choices::default());
    assert!(!found.scope.between_places);
    assert!(
        effect(&found, "place").used,
        "{:?}",
        effect(&found, "place")
    );
    let such = found.pairs[0].such.as_ref().expect("five places with both");
    assert_eq!(
        (such.by, such.n_first, such.difference.df),
        (RepeatBy::WithinPlaces, 5, 4.0)
    );
}

#[test]
fn several_levels_are_judged_together() {
    let usual = by(&herd(), "sire", Choices::default());
    assert_eq!(
        (usual.pairs.len(), usual.model.several),
        (10, "tukey_kramer")
    );
    for pair in &usual.pairs {
        let (together, alone) = (
            pair.difference.expect("estimated"),
            pair.alone.expect("estimated"),
        );
        assert_eq!((together.value, together.se), (alone.value, alone.se));
        assert!(together.lower < alone.lower && alone.upper < together.upper);
        assert!(together.p >= alone.p);
        let outside = together.lower > 0.0 || together.upper < 0.0;
        assert_eq!(matches!(pair.verdict, Verdict::Differs { .. }), outside);
    }
    assert!(
        !usual
            .cautions
            .iter()
            .any(|caution| caution.contains("each by itself"))
    );
    let with = |several: Several| {
        by(
            &herd(),
            "sire",
            Choices {
                several,
                ..Choices::default()
            },
        )
    };
    let plain = with(Several::Unadjusted);
    assert!(
        plain
            .cautions
            .iter()
            .any(|caution| caution.contains("each by itself"))
    );
    assert!(plain.pairs.iter().all(|pair| pair.difference == pair.alone));
    let against = with(Several::AgainstOne("B2".to_owned()));
    assert_eq!(
        (against.pairs.len(), against.model.several),
        (4, "dunnett"),
        "{}",
        against.model.several_because
    );
    assert!(
        against
            .pairs
            .iter()
            .all(|pair| against.levels[pair.second].name == "B2")
    );
    let holm = with(Several::Holm);
    assert_eq!(holm.model.several, "holm");
    // Fewer comparisons need less room.
    let width = |found: &Comparison, first: &str| {
        let mut pairs = found.pairs.iter();
        let pair = pairs.find(|pair| {
            let names = [
                &found.levels[pair.first].name,
                &found.levels[pair.second].name,
            ];
            names.contains(&&first.to_owned()) && names.contains(&&"B2".to_owned())
        });
        let estimate = pair.and_then(|pair| pair.difference).expect("estimated");
        (estimate.upper - estimate.lower) / estimate.se
    };
    assert!(width(&against, "B0") < width(&usual, "B0"));
    assert!(width(&usual, "B0") < width(&holm, "B0"));
    let book = book_of(&herd());
    let refused = compare(
        &book,
        &Results::recalculate(&book),
        &spec(
            "sire",
            Choices {
                several: Several::AgainstOne("B9".to_owned()),
                ..Choices::default()
            },
        ),
    );
    assert_eq!(
        refused.expect_err("no such bull").code(),
        "compare.level.unknown"
    );
}

#[test]
fn the_difference_within_each_sex_is_told_when_asked() {
    let calves: Vec<Calf> = herd()
        .into_iter()
        .map(|calf| {
            let more = if calf.heifer && calf.kind == "pens" {
                40.0
            } else {
                0.0
            };
            Calf {
                weight: calf.weight + more,
                ..calf
            }
        })
        .collect();
    let choices = Choices {
        by_sex: true,
        by_dam_age: true,
        ..Choices::default()
    };
    let found = by(&calves, "management", choices.clone());
    let within = &found.pairs[0].within;
    assert_eq!(within.len(), 2, "dam-age class does not vary");
    let value = |class: &str| {
        let within = within
            .iter()
            .find(|within| within.class == class)
            .expect("told");
        within.difference.expect("estimated").value
    };
    // First less second is grass less pens.
    assert!(
        value("heifer") < value("steer") - 25.0,
        "{} {}",
        value("heifer"),
        value("steer")
    );
    let over_all = found.pairs[0].difference.expect("estimated").value;
    assert!(
        (over_all - (value("heifer") + value("steer")) / 2.0).abs() < 1e-9,
        "equal margins"
    );
    let product = found
        .terms
        .iter()
        .find(|term| term.words == "management by sex")
        .expect("listed");
    assert!(product.used && product.test.expect("tested").p < 0.05);
    assert!(
        found
            .terms
            .iter()
            .any(|term| term.words == "management by dam age class" && !term.used)
    );
    assert!(
        by(&calves, "management", Choices::default()).pairs[0]
            .within
            .is_empty()
    );
    // A combination without a calf: the product is left out and said.
    let gap: Vec<Calf> = calves
        .into_iter()
        .filter(|calf| !(calf.heifer && calf.kind == "pens"))
        .collect();
    let found = by(&gap, "management", choices);
    let product = found
        .terms
        .iter()
        .find(|term| term.words == "management by sex")
        .expect("listed");
    assert_eq!(
        product.because,
        "there is no calf used of sex heifer in pens"
    );
    assert!(found.pairs[0].difference.is_some());
}

#[test]
fn margins_weigh_classes_equally_or_as_they_occur() {
    // Three heifers to each steer among all calves.
    let calves: Vec<Calf> = herd()
        .into_iter()
        .enumerate()
        .map(|(at, calf)| Calf {
            heifer: at % 8 < 6,
            ..calf
        })
        .collect();
    let equal = by(&calves, "management", Choices::default());
    let observed = by(
        &calves,
        "management",
        Choices {
            margins: Margins::Observed,
            ..Choices::default()
        },
    );
    assert_eq!(
        (equal.model.margins, observed.model.margins),
        ("equal", "observed")
    );
    assert!(
        observed.method.contains("observed margins"),
        "{}",
        observed.method
    );
    let mean = |found: &Comparison, at: usize| found.levels[at].ls_mean.expect("estimated").value;
    let moved = mean(&observed, 0) - mean(&equal, 0);
    assert!(moved.abs() > 1.0, "{moved}");
    let difference = |found: &Comparison| found.pairs[0].difference.expect("estimated").value;
    assert!(
        (difference(&equal) - difference(&observed)).abs() < 1e-9,
        "without products the difference stays"
    );
}

#[test]
fn each_response_counts_whom_it_leaves_out_and_why() {
    let mut calves = herd();
    calves[0].age_days = 140;
    calves[1].age_days = 260;
    calves[2].birth_weight = f64::NAN;
    calves[3].weight = f64::NAN;
    for (at, calf) in calves.iter_mut().enumerate() {
        calf.yearling = if at == 4 {
            f64::NAN
        } else {
            calf.weight + 320.0
        };
    }
    let of = |response: &str| {
        by(
            &calves,
            "management",
            Choices {
                response: Response::from_key(response),
                ..Choices::default()
            },
        )
    };
    let left_out = |found: &Comparison| {
        let mut reasons: Vec<(String, u32)> = found
            .levels
            .iter()
            .flat_map(|level| level.left_out.clone())
            .collect();
        reasons.sort();
        // The same reason on both sides counts together.
        let mut together: Vec<(String, u32)> = Vec::new();
        for (reason, n) in reasons {
            match together.last_mut() {
                Some(last) if last.0 == reason => last.1 += n,
                _ => together.push((reason, n)),
            }
        }
        together
    };
    let said = |reasons: &[&str]| {
        reasons
            .iter()
            .map(|reason| ((*reason).to_owned(), 1))
            .collect::<Vec<_>>()
    };
    let usual = of("");
    assert_eq!(
        left_out(&usual),
        said(&[
            "no weaning weight",
            "older than the age window",
            "younger than the age window"
        ])
    );
    let actual = of("actual_with_age");
    assert_eq!(left_out(&actual), said(&["no weaning weight"]));
    assert_eq!(actual.n_used, 119, "calves outside the window stay");
    let held: Vec<&str> = actual
        .terms
        .iter()
        .filter(|term| term.used)
        .map(|term| term.words.as_str())
        .collect();
    assert!(
        held.contains(&"age at weighing") && !held.contains(&"birth date"),
        "{held:?}"
    );
    assert!(
        actual.sentence.contains("at one age") || actual.sentence.starts_with("At one age"),
        "{}",
        actual.sentence
    );
    let birth = of("birth_weight");
    assert_eq!(left_out(&birth), said(&["no birth weight"]));
    assert_eq!(effect(&birth, "dam").words, "cow that bore the calf");
    let gain = of("gain");
    assert_eq!(left_out(&gain), said(&["no weaning weight"]));
    assert!(gain.sentence.contains("lb a day"), "{}", gain.sentence);
    assert!(
        gain.cautions
            .iter()
            .any(|caution| caution.starts_with("1 of the 119 calves used was not weighed")),
        "{:?}",
        gain.cautions
    );
    let yearling = of("yearling");
    assert_eq!(
        left_out(&yearling),
        vec![
            ("no weaning weight to count the gain from".to_owned(), 2),
            ("no yearling weight".to_owned(), 2)
        ]
    );
    assert_eq!(
        yearling.measure.words,
        "yearling weight put on 365 days by age alone"
    );
    let column = of("birth_weight");
    assert_eq!(
        column.pairs[0].steps.first().map(|step| step.key),
        Some("raw")
    );
    for found in [&usual, &actual, &birth, &gain, &yearling] {
        let out: u32 = found
            .levels
            .iter()
            .flat_map(|level| &level.left_out)
            .map(|(_, n)| n)
            .sum();
        assert_eq!(found.n_used + out, 120, "{}", found.measure.words);
    }
}

#[test]
fn a_column_of_numbers_can_be_compared_but_not_a_column_of_words() {
    let book = book_of(&herd());
    let results = Results::recalculate(&book);
    let ask = |response: &str| {
        compare(
            &book,
            &results,
            &spec(
                "management",
                Choices {
                    response: Response::from_key(response),
                    ..Choices::default()
                },
            ),
        )
    };
    let found = ask("Weaning weight").expect("by its label");
    assert_eq!(
        (found.measure.key.as_str(), found.n_used),
        ("wean_weight", 120)
    );
    for wrong in ["tag", "nosuch", "calving_ease"] {
        assert_eq!(
            ask(wrong).expect_err("no numbers").code(),
            "compare.response.unknown",
            "{wrong}"
        );
    }
    let ease = compare(
        &book,
        &results,
        &spec(
            "sex",
            Choices {
                response: Response::Column("ratio".to_owned()),
                ..Choices::default()
            },
        ),
    );
    assert_eq!(ease.expect("the engine's own column").measure.key, "ratio");
}

#[test]
fn whoever_watches_sees_every_stage_and_may_stop() {
    let book = book_of(&herd());
    let results = Results::recalculate(&book);
    let spec = spec("management", Choices::default());
    let mut seen = Vec::new();
    let found = compare_watched(&book, &results, &spec, &mut |progress| {
        seen.push(progress.stage);
        ControlFlow::Continue(())
    });
    assert_eq!(
        format!("{:?}", found.expect("done")),
        format!("{:?}", compare(&book, &results, &spec).expect("done"))
    );
    assert!(seen.windows(2).all(|pair| pair[0] <= pair[1]), "{seen:?}");
    seen.dedup();
    assert_eq!(seen, super::progress::Stage::ALL);
    for stop_at in 0..5 {
        let mut told = 0;
        let stopped = compare_watched(&book, &results, &spec, &mut |_| {
            told += 1;
            if told > stop_at {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        });
        assert_eq!(stopped.expect_err("stopped").code(), "compare.stopped");
        assert_eq!(told, stop_at + 1, "it stops at once");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// With cows, bulls and seasons: the verdict follows the interval, a general claim follows its own, the order of
    /// rows changes nothing.
    #[test]
    fn the_verdict_follows_and_the_order_does_not_matter(
        noise in prop::collection::vec(-60.0..60.0_f64, 120),
        swap in prop::collection::vec(0..120_usize, 120),
        ahead in prop::sample::select(vec![0.0, 40.0]),
    ) {
        let mut calves: Vec<Calf> = herd()
            .into_iter()
            .zip(&noise)
            .map(|(calf, noise)| {
                let more = if calf.kind == "pens" { ahead } else { 0.0 };
                Calf { weight: calf.weight + noise + more, ..calf }
            })
            .collect();
        let mut found = by(&calves, "management", Choices::default());
        for pair in &found.pairs {
            let difference = pair.difference.expect("estimated");
            let excludes_zero = difference.lower > 1e-6 || difference.upper < -1e-6;
            prop_assert_eq!(matches!(pair.verdict, Verdict::Differs { .. }), excludes_zero);
            let such = pair.such.as_ref().expect("places on both sides");
            prop_assert_eq!(such.differs, such.difference.lower > 1e-6 || such.difference.upper < -1e-6);
            prop_assert_eq!(pair.sentence.contains("it holds for such places too"), such.differs);
        }
        for (at, to) in swap.into_iter().enumerate() {
            calves.swap(at, to);
        }
        let mut again = by(&calves, "management", Choices::default());
        found.levels.iter_mut().chain(&mut again.levels).for_each(|level| level.rows.clear());
        prop_assert_eq!(format!("{found:?}"), format!("{again:?}"));
    }
}
