//! The results file: what goes, what stays home, and what its engine says of each figure.

use std::path::Path;

use fairpen_engine::compare::choices::RandomPart;
use fairpen_engine::compare::result::CompareSpec;
use fairpen_engine::results::Results;
use fairpen_engine::share::choice::{Choice, offered};
use fairpen_engine::share::results_file::behind::{behind, behind_group};
use fairpen_engine::share::results_file::payload::{Cell, Payload};
use fairpen_engine::share::results_file::rebuild::rebuild;
use fairpen_engine::share::results_file::verify::{Mark, Verification};
use fairpen_engine::share::results_file::{build, digest};
use fairpen_engine::share::{render, verify};
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::WeightUnit;
use fairpen_engine::sheet::workbook::Workbook;
use fairpen_tests::books::{calves, fill, folder, put};

const TEMPLATE: &str =
    "<title><!--fairpen:title--></title><body><!--fairpen:body--><!--fairpen:payloads--></body>";

fn two_barns() -> (Workbook, Results) {
    let book = folder(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-books/two-barns"));
    let results = Results::recalculate(&book);
    (book, results)
}

fn by_place() -> Option<CompareSpec> {
    Some(CompareSpec {
        column: "place".to_owned(),
        ..CompareSpec::default()
    })
}

/// Builds, writes and reads again, as the file's own engine does.
fn handed_over(book: &Workbook, results: &Results, choice: &Choice) -> Payload {
    let payload = build(book, results, choice).expect("a file");
    let read = Payload::from_json(&payload.to_json()).expect("the file reads");
    assert_eq!(read, payload);
    read
}

fn marks(verification: &Verification, key: &str) -> Vec<Mark> {
    let column = verification.columns.iter().find(|column| column.key == key);
    column
        .map(|column| column.marks.clone())
        .unwrap_or_default()
}

fn count(marks: &[Mark], mark: Mark) -> usize {
    marks.iter().filter(|one| **one == mark).count()
}

#[test]
fn with_everything_usual_every_fair_figure_is_recomputed() {
    let (book, results) = two_barns();
    let mut choice = Choice::usual(&book);
    choice.compare = by_place();
    let payload = handed_over(&book, &results, &choice);
    let found = verify(&payload);
    assert_eq!(found.differences, []);
    assert!(found.inputs_as_stated && found.contents_as_stated);
    let adjusted = marks(&found, "adj_205_weight");
    let n_adjusted = results
        .adjusted
        .adj_205
        .iter()
        .filter(|weight| !weight.is_nan())
        .count();
    assert!(n_adjusted > 150);
    assert_eq!(
        count(&adjusted, Mark::Recomputed),
        n_adjusted,
        "fosters too: their cows' ages go along"
    );
    assert!(!payload.raising_ages.is_empty());
    // Bulls are random in the model, and their names stay home: said, and stated only.
    assert_eq!(found.comparison, Mark::Stated);
    let comparison = payload.comparison.as_ref().expect("places go");
    assert!(
        comparison
            .cautions
            .iter()
            .any(|caution| caution.contains("calves of the same bulls as alike")),
        "{:?}",
        comparison.cautions
    );
    // With them, or with nothing random, the file does the sum again.
    let mut with_sires = choice.clone();
    with_sires.columns.push("sire".to_owned());
    let payload_with = handed_over(&book, &results, &with_sires);
    assert_eq!(verify(&payload_with).comparison, Mark::Recomputed);
    let mut plain = choice.clone();
    plain.compare = by_place().map(|mut spec| {
        spec.choices.random = RandomPart::None;
        spec
    });
    assert_eq!(
        verify(&handed_over(&book, &results, &plain)).comparison,
        Mark::Recomputed
    );
    // The dams' ages come from the cows sheet, which stays home.
    assert_eq!(count(&marks(&found, "dam_age_days"), Mark::Recomputed), 0);
    assert!(count(&marks(&found, "ratio"), Mark::Recomputed) > 100);
    assert_eq!(found.counts.differ, 0);
    assert!(found.counts.recomputed > found.counts.stated);
}

#[test]
fn a_foster_rests_on_the_cow_that_raised_it() {
    let (book, results) = two_barns();
    let mut choice = Choice::usual(&book);
    choice.columns.retain(|key| key != "dam_age_days");
    let payload = handed_over(&book, &results, &choice);
    assert!(payload.raising_ages.is_empty());
    let stated: Vec<usize> = marks(&verify(&payload), "adj_205_weight")
        .iter()
        .enumerate()
        .filter(|(_, mark)| **mark == Mark::Stated)
        .map(|(row, _)| row)
        .collect();
    assert!(
        !stated.is_empty(),
        "dam classes are in the file, those of the foster cows are not"
    );
    let raised_by = payload.column("raised_by").expect("usual");
    assert!(stated.iter().all(|row| raised_by.shown(*row) == "foster"));
}

#[test]
fn a_herd_without_fosters_has_its_comparison_recomputed() {
    let (book, results) = small(WeightUnit::Pound);
    let mut choice = Choice::usual(&book);
    assert!(choice.has("dam_age"), "no dam is on record");
    choice.compare = by_place();
    let found = verify(&handed_over(&book, &results, &choice));
    assert_eq!(found.comparison, Mark::Recomputed);
    // A flag tells of the sires, which stay home.
    let flags = marks(&found, "flags");
    assert_eq!(count(&flags, Mark::Stated), book.calves().n_rows());
    assert_eq!(found.counts.stated as usize, flags.len(), "{found:?}");
    choice.columns.push("sire".to_owned());
    let found = verify(&handed_over(&book, &results, &choice));
    assert_eq!(
        count(&marks(&found, "flags"), Mark::Recomputed),
        book.calves().n_rows()
    );
    assert_eq!(found.counts.stated, 0, "{found:?}");
    assert_eq!(found.counts.differ, 0);
    assert!(found.groups.iter().all(|mark| *mark == Mark::Recomputed));
}

#[test]
fn kilograms_give_the_same_marks() {
    let (book, results) = small(WeightUnit::Kilogram);
    let mut choice = Choice::usual(&book);
    choice.columns.push("sire".to_owned());
    choice.compare = by_place();
    let payload = handed_over(&book, &results, &choice);
    let found = verify(&payload);
    assert_eq!(
        (found.counts.stated, found.counts.differ),
        (0, 0),
        "{:?}",
        found.differences
    );
    assert!(payload.method.iter().any(|(_, text)| text.contains("kg (")));
}

/// Twelve calves in two places, dam ages stated with the calves.
fn small(unit: WeightUnit) -> (Workbook, Results) {
    let mut book = Workbook::new();
    book.settings.weight_unit = unit;
    let mut text = String::from(
        "tag,sex,birth_date,birth_weight,dam,dam_age,sire,place,wean_date,wean_weight,note\n",
    );
    for calf in 0..12 {
        let (place, sire) = if calf % 2 == 0 {
            ("Pen 1", "SIREVALUE")
        } else {
            ("Hill", "OTHERBULL")
        };
        let scale = if unit == WeightUnit::Pound { 1.0 } else { 0.45 };
        text.push_str(&format!(
            "{},{},2026-03-{:02},{},DAM{calf},{},{sire},{place},2026-10-01,{},NOTEVALUE{calf}\n",
            100 + calf,
            if calf % 3 == 0 { "steer" } else { "heifer" },
            1 + calf,
            f64::from(70 + calf) * scale,
            2 + calf % 5,
            f64::from(500 + 11 * calf % 70) * scale,
        ));
    }
    fill(&mut book, SheetKind::Calves, &text);
    let results = Results::recalculate(&book);
    (book, results)
}

#[test]
fn without_the_herd_mates_a_ratio_comes_from_the_totals() {
    let (book, results) = small(WeightUnit::Pound);
    let mut choice = Choice::usual(&book);
    choice.rows = Some(vec![3, 1]);
    let payload = handed_over(&book, &results, &choice);
    let found = verify(&payload);
    assert!(!payload.every_calf);
    assert_eq!(marks(&found, "ratio"), [Mark::FromTotals; 2]);
    assert_eq!(marks(&found, "adj_205_weight"), [Mark::Recomputed; 2]);
    assert_eq!(marks(&found, "rank_in_group"), [Mark::Stated; 2]);
    assert_eq!(
        payload.columns[0].shown(0),
        "103",
        "rows go in the order chosen"
    );

    choice.groups = false;
    let found = verify(&handed_over(&book, &results, &choice));
    assert_eq!(marks(&found, "ratio"), [Mark::Stated; 2]);
}

#[test]
fn without_weights_figures_are_stated_only() {
    let (book, results) = small(WeightUnit::Pound);
    let mut choice = Choice::usual(&book);
    choice.columns.retain(|key| key != "wean_weight");
    let payload = handed_over(&book, &results, &choice);
    let found = verify(&payload);
    assert_eq!(count(&marks(&found, "adj_205_weight"), Mark::Stated), 12);
    assert_eq!(count(&marks(&found, "gain_per_day"), Mark::Stated), 12);
    assert_eq!(count(&marks(&found, "age_days"), Mark::Recomputed), 12);
    // Own adjusted weight and the group's mean are both in the file.
    assert_eq!(count(&marks(&found, "ratio"), Mark::FromTotals), 12);
}

#[test]
fn a_changed_weight_shows_in_exactly_the_figures_it_touches() {
    let (book, results) = small(WeightUnit::Pound);
    let choice = Choice::usual(&book);
    let mut payload = handed_over(&book, &results, &choice);
    let changed = 4;
    for column in payload
        .columns
        .iter_mut()
        .filter(|column| column.key == "wean_weight")
    {
        column.cells[changed] = Cell::Number(column.number(changed) + 1.0);
    }
    let found = verify(&payload);
    assert!(!found.inputs_as_stated && !found.contents_as_stated);

    let mut other = book.clone();
    let weight = book
        .calves()
        .known("wean_weight")
        .numbers()
        .expect("weights")[changed];
    put(
        &mut other,
        SheetKind::Calves,
        changed,
        "wean_weight",
        &(weight + 1.0).to_string(),
    );
    let again = Results::recalculate(&other);
    let mates: Vec<usize> = results.groups.groups[results.groups.group_of[changed] as usize]
        .rows
        .iter()
        .map(|row| *row as usize)
        .collect();
    for (key, touched) in [
        ("adj_205_weight", vec![changed]),
        ("gain_per_day", vec![changed]),
        ("age_days", vec![]),
        ("ratio", mates),
    ] {
        let differ: Vec<usize> = marks(&found, key)
            .iter()
            .enumerate()
            .filter(|(_, mark)| **mark == Mark::Differs)
            .map(|(row, _)| row)
            .collect();
        let mut expected = touched;
        expected.sort_unstable();
        assert_eq!(differ, expected, "{key}");
    }
    for (row, mark) in marks(&found, "rank_in_group").into_iter().enumerate() {
        assert_eq!(
            mark == Mark::Differs,
            again.groups.rank[row] != results.groups.rank[row],
            "rank of {row}"
        );
    }
    assert_eq!(count(&found.groups, Mark::Differs), 1);
    assert_eq!(found.counts.differ as usize, found.differences.len());
}

#[test]
fn a_changed_figure_shows() {
    let (book, results) = small(WeightUnit::Pound);
    let mut choice = Choice::usual(&book);
    choice.compare = by_place();
    let mut payload = handed_over(&book, &results, &choice);
    for column in payload
        .columns
        .iter_mut()
        .filter(|column| column.key == "ratio")
    {
        column.cells[2] = Cell::Number(column.number(2) + 0.001);
    }
    let difference = &mut payload.comparison.as_mut().expect("a comparison").pairs[0].difference;
    difference.as_mut().expect("an estimate").value += 0.5;
    let found = verify(&payload);
    assert_eq!(found.counts.differ, 2);
    assert_eq!(found.comparison, Mark::Differs);
    assert_eq!(found.differences[0].what, "Ratio of 102");
    assert!(found.inputs_as_stated && !found.contents_as_stated);
}

#[test]
fn columns_that_stay_home_stay_home_byte_for_byte() {
    let (mut book, _) = small(WeightUnit::Pound);
    // Words and numbers found nowhere else, in every entered column that can hold them.
    let secrets: Vec<(&str, String)> = vec![
        ("eid", "EIDSECRET".to_owned()),
        ("breed", "BREEDSECRET".to_owned()),
        ("dam", "DAMSECRET".to_owned()),
        ("sire", "SIRESECRET".to_owned()),
        ("raised_dam", "RAISEDSECRET".to_owned()),
        ("place", "PLACESECRET".to_owned()),
        ("management", "MANAGESECRET".to_owned()),
        ("set_apart", "APARTSECRET".to_owned()),
        ("note", "NOTESECRET".to_owned()),
        ("yearling_weight", "987.6543".to_owned()),
        ("yearling_date", "2027-04-17".to_owned()),
        ("left_on", "2027-11-19".to_owned()),
        ("dam_birth_date", "2019-07-13".to_owned()),
        ("calving_ease", "4.98765".to_owned()),
        ("birth_weight", "81.234567".to_owned()),
        ("tag", "TAGSECRET".to_owned()),
    ];
    for (key, secret) in &secrets {
        put(&mut book, SheetKind::Calves, 5, key, secret);
    }
    let results = Results::recalculate(&book);
    for (key, secret) in &secrets {
        for all_but_one in [true, false] {
            let columns: Vec<String> = offered(&book)
                .into_iter()
                .map(|column| column.key)
                .collect();
            let choice = Choice {
                columns: columns
                    .into_iter()
                    .filter(|column| {
                        if all_but_one {
                            column != key
                        } else {
                            [
                                "sex",
                                "adj_205_weight",
                                "contemporary_group",
                                "ratio",
                                "flags",
                            ]
                            .contains(&column.as_str())
                        }
                    })
                    // These repeat a birth weight whole, and the preview says so.
                    .filter(|column| *key != "birth_weight" || !column.contains("birth_weight"))
                    .collect(),
                groups: true,
                compare: Some(CompareSpec {
                    column: if all_but_one && *key != "sex" {
                        "sex".to_owned()
                    } else {
                        "place".to_owned()
                    },
                    ..CompareSpec::default()
                }),
                ..Choice::default()
            };
            let payload = build(&book, &results, &choice).expect("a file");
            let json = payload.to_json();
            assert!(
                !json.contains(secret.as_str()),
                "{key} is in the payload: {secret}"
            );
            let html = render(TEMPLATE, &payload).expect("a page");
            assert!(!html.contains(secret.as_str()), "{key} is in the page");
            assert!(
                payload.stays_home.iter().any(|sentence| sentence
                    .contains(book.calves().column(key).expect("known").label.as_str())),
                "{key}: {:?}",
                payload.stays_home
            );
        }
    }
}

#[test]
fn what_can_be_worked_out_is_said() {
    let (book, results) = small(WeightUnit::Pound);
    let mut choice = Choice {
        columns: vec!["tag".to_owned(), "weight_per_day".to_owned()],
        ..Choice::default()
    };
    let said = |choice: &Choice| {
        choice
            .stays_home(&book, &results)
            .iter()
            .filter(|sentence| sentence.contains("worked out"))
            .count()
    };
    assert_eq!(said(&choice), 0);
    choice.columns.push("age_days".to_owned());
    assert_eq!(
        said(&choice),
        1,
        "weaning weight from weight per day and age"
    );
    choice.columns.push("birth_weight_used".to_owned());
    assert_eq!(said(&choice), 2);
}

#[test]
fn calves_that_stay_home_are_not_named() {
    let (book, results) = small(WeightUnit::Pound);
    let choice = Choice {
        rows: Some((0..6).collect()),
        ..Choice::usual(&book)
    };
    let json = build(&book, &results, &choice).expect("a file").to_json();
    assert!(json.contains("\"105\"") && !json.contains("\"106\"") && !json.contains("\"111\""));
}

#[test]
fn a_comparison_stays_home_with_its_column() {
    let (book, results) = small(WeightUnit::Pound);
    let mut choice = Choice::usual(&book);
    choice.compare = Some(CompareSpec {
        column: "sire".to_owned(),
        ..CompareSpec::default()
    });
    let payload = handed_over(&book, &results, &choice);
    assert!(payload.comparison.is_none());
    assert!(
        payload
            .stays_home
            .iter()
            .any(|sentence| sentence.starts_with("The comparison"))
    );
    choice.columns.push("sire".to_owned());
    assert!(handed_over(&book, &results, &choice).comparison.is_some());
}

#[test]
fn an_empty_choice_is_refused() {
    let (book, results) = small(WeightUnit::Pound);
    let code = |choice: Choice| build(&book, &results, &choice).expect_err("refused").code();
    assert_eq!(code(Choice::default()), "share.choice.no_columns");
    assert_eq!(
        code(Choice {
            rows: Some(vec![999]),
            ..Choice::usual(&book)
        }),
        "share.choice.no_calves"
    );
    assert_eq!(
        code(Choice {
            made_on: "<b>".to_owned(),
            ..Choice::usual(&book)
        }),
        "share.choice.made_on"
    );
}

#[test]
fn no_treatments_never_reads_clear() {
    let (mut book, results) = small(WeightUnit::Pound);
    let cautions = |book: &Workbook| {
        build(book, &results, &Choice::usual(book))
            .expect("a file")
            .cautions
            .join(" ")
    };
    assert!(cautions(&book).contains("No treatments entered. That does not mean clear"));
    book.sheet_mut(SheetKind::Treatments).resize(1);
    assert!(!cautions(&book).contains("No treatments entered"));
    assert!(cautions(&book).contains("withdrawal"));
}

#[test]
fn a_file_that_is_not_one_is_refused() {
    let code = |text: &str| Payload::from_json(text).expect_err("refused").code();
    assert_eq!(code("{}"), "share.results.damaged");
    assert_eq!(
        code(r#"{"format":"fairpen-results","version":2}"#),
        "share.results.newer"
    );
    let (book, results) = small(WeightUnit::Pound);
    let json = build(&book, &results, &Choice::usual(&book))
        .expect("a file")
        .to_json();
    assert_eq!(code(&json[..json.len() - 10]), "share.results.damaged");
    let mut short = build(&book, &results, &Choice::usual(&book)).expect("a file");
    short.columns[0].cells.pop();
    assert_eq!(code(&short.to_json()), "share.results.damaged");
}

#[test]
fn the_template_needs_each_slot_once() {
    let (book, results) = small(WeightUnit::Pound);
    let payload = build(&book, &results, &Choice::usual(&book)).expect("a file");
    for template in [
        "",
        "<!--fairpen:title--><!--fairpen:body-->",
        &format!("{TEMPLATE}{TEMPLATE}"),
    ] {
        assert_eq!(
            render(template, &payload).expect_err("refused").code(),
            "share.results.template"
        );
    }
}

#[test]
fn the_same_entries_have_the_same_fingerprint() {
    let (book, results) = small(WeightUnit::Pound);
    let one = build(&book, &results, &Choice::usual(&book)).expect("a file");
    let mut other = Choice::usual(&book);
    other.message = "Good morning".to_owned();
    let other = build(&book, &results, &other).expect("a file");
    assert_eq!(one.digest.inputs, other.digest.inputs);
    assert_ne!(one.digest.contents, other.digest.contents);
    assert!(digest::inputs(&one).starts_with("fairpen-inputs\t1\nsetting\tweight_unit\tlb\n"));
}

#[test]
fn text_that_was_not_understood_goes_as_it_was_read() {
    let mut book = calves("tag,sex,birth_date,wean_weight\n1,cow?,2026-03-01,500");
    put(&mut book, SheetKind::Calves, 0, "birth_weight", "heavy");
    let results = Results::recalculate(&book);
    let payload = handed_over(&book, &results, &Choice::usual(&book));
    assert_eq!(
        payload.column("birth_weight").expect("chosen").cells[0],
        Cell::Unreadable {
            unreadable: "heavy".to_owned()
        }
    );
    assert_eq!(verify(&payload).counts.differ, 0);
}

#[test]
fn every_figure_has_a_working_of_what_is_in_the_file() {
    let (book, results) = two_barns();
    let payload = handed_over(&book, &results, &Choice::usual(&book));
    let rebuilt = rebuild(&payload);
    let found = verify(&payload);
    let mut n_seen = 0;
    for column in &found.columns {
        for (row, mark) in column.marks.iter().enumerate() {
            let working = behind(&payload, &rebuilt, row, &column.key);
            assert_eq!(
                working.is_some(),
                *mark != Mark::None,
                "{} of row {row}",
                column.key
            );
            let Some(working) = working else { continue };
            n_seen += 1;
            let words = format!("{working:?}");
            assert!(!words.contains('\u{1}'), "{words}");
            assert!(!words.contains("Bulls named"), "sires stay home: {words}");
            assert!(
                working.inputs.iter().all(|input| input
                    .cell
                    .as_ref()
                    .is_none_or(|(_, _, key)| payload.column(key).is_some())),
                "{words}"
            );
            assert_eq!(working.inputs.is_empty(), *mark == Mark::Stated, "{words}");
        }
    }
    assert!(n_seen > 1000);
    let groups = payload.groups.as_ref().expect("groups").groups.len();
    assert!((0..groups).all(|at| {
        behind_group(&payload, &rebuilt, at).is_some_and(|working| !working.with_numbers.is_empty())
    }));
}

#[test]
fn a_flag_taken_away_does_not_match() {
    let (book, results) = small(WeightUnit::Pound);
    let mut choice = Choice::usual(&book);
    choice.columns.push("sire".to_owned());
    let mut payload = handed_over(&book, &results, &choice);
    let flags = payload
        .columns
        .iter_mut()
        .find(|column| column.key == "flags")
        .expect("usual");
    let flagged = flags
        .cells
        .iter()
        .position(|cell| *cell != Cell::Missing)
        .expect("a dam age as stated is flagged");
    flags.cells[flagged] = Cell::Missing;
    let found = verify(&payload);
    assert_eq!(marks(&found, "flags")[flagged], Mark::Differs);
    assert_eq!(found.counts.differ, 1);
    assert!(!found.contents_as_stated);
}
