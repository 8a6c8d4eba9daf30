//! Columns of a person's own beyond the sheet: kinds by hand, comparing by what a formula gives, handing it over.

use fairpen_engine::compare::result::CompareSpec;
use fairpen_engine::compare::{comparable_columns, compare};
use fairpen_engine::desk::Desk;
use fairpen_engine::share::choice::{Choice, offered};
use fairpen_engine::share::results_file::payload::Cell;
use fairpen_engine::share::results_file::verify::{Mark, verify};
use fairpen_engine::share::results_file::{build, preview};
use fairpen_engine::sheet::column::{Kind, Value};
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;

const CALVES: SheetKind = SheetKind::Calves;

/// Forty calves of two places, with a column of hip heights of one's own.
fn desk() -> Desk {
    let mut text =
        "tag,sex,birth_date,birth_weight,dam_age,place,wean_date,wean_weight,Hip,Paper\n"
            .to_owned();
    for at in 0..40 {
        text.push_str(&format!(
            "{at},{},2026-03-{:02},80,5,{},2026-10-01,{},{},0{at}\n",
            if at % 2 == 0 { "steer" } else { "heifer" },
            1 + at % 20,
            if at % 4 < 2 { "Pen 1" } else { "Hill" },
            500 + at % 7 * 9,
            40 + at % 6,
        ));
    }
    let mut desk = Desk::new();
    desk.import_begin("calves.csv");
    desk.import_push(text.as_bytes()).expect("a sound file");
    desk.import_finish().expect("a sound file");
    desk.import_commit(&"0".repeat(64)).expect("a sound file");
    for (label, formula) in [
        ("Frame", "IF(hip >= 43; \"tall\"; \"short\")"),
        ("Heavy", "wean_weight > 520"),
        ("Ratio of hip", "hip / wean_weight"),
    ] {
        desk.change(Command::AddCalculated {
            sheet: CALVES,
            label: label.to_owned(),
            formula: formula.to_owned(),
        })
        .expect("a sound formula");
    }
    desk
}

fn spec(column: &str) -> CompareSpec {
    CompareSpec {
        column: column.to_owned(),
        ..CompareSpec::default()
    }
}

#[test]
fn calves_are_compared_by_what_a_formula_gives() {
    let desk = desk();
    let (book, results) = (desk.book(), desk.results());
    let keys: Vec<String> = comparable_columns(book, results)
        .into_iter()
        .map(|column| column.key)
        .collect();
    assert!(keys.contains(&"frame".to_owned()), "{keys:?}");
    assert!(keys.contains(&"heavy".to_owned()), "{keys:?}");
    assert!(
        !keys.contains(&"ratio_of_hip".to_owned()),
        "a measurement is no grouping: {keys:?}"
    );

    let by_frame = compare(book, results, &spec("Frame")).expect("two levels");
    let levels: Vec<(&str, u32)> = by_frame
        .levels
        .iter()
        .map(|level| (level.name.as_str(), level.n))
        .collect();
    // Hips are 40 to 45 in turn: three of six are 43 and more.
    assert_eq!(levels, [("short", 21), ("tall", 19)]);
    assert!(by_frame.cautions.iter().all(|c| !c.contains("formula")));

    let by_weight = compare(book, results, &spec("heavy")).expect("two levels");
    let caution = &by_weight.cautions[0];
    assert_eq!(
        caution,
        "The formula of heavy uses weaning weight: groups made from the weights differ in weight for that reason alone, whatever was done."
    );
    let refused = compare(book, results, &spec("ratio_of_hip"));
    assert_eq!(
        refused.map_err(|refusal| refusal.code()).err(),
        Some("compare.column.unknown")
    );
}

#[test]
fn the_same_levels_typed_give_the_same_comparison() {
    let mut desk = desk();
    let typed: Vec<CellEdit> = (0..40)
        .map(|row| CellEdit {
            row,
            column: "typed_frame".to_owned(),
            text: if row % 6 >= 3 { "tall" } else { "short" }.to_owned(),
        })
        .collect();
    desk.change(Command::AddColumn {
        sheet: CALVES,
        label: "Typed frame".to_owned(),
        kind: Kind::Text,
    })
    .expect("a free name");
    desk.change(Command::SetCells {
        sheet: CALVES,
        cells: typed,
    })
    .expect("own cells");
    let (book, results) = (desk.book(), desk.results());
    let one = compare(book, results, &spec("frame")).expect("two levels");
    let other = compare(book, results, &spec("typed_frame")).expect("two levels");
    assert_eq!(one.pairs[0].difference, other.pairs[0].difference);
    assert_eq!(one.n_used, other.n_used);
}

#[test]
fn a_calculated_column_goes_as_stated_with_its_formula() {
    let desk = desk();
    let (book, results) = (desk.book(), desk.results());
    let offer = offered(book)
        .into_iter()
        .find(|offer| offer.key == "ratio_of_hip")
        .expect("it may go");
    assert!(!offer.usual, "only when it is named");
    let choice = Choice {
        columns: ["tag", "ratio_of_hip", "frame", "wean_weight"]
            .map(str::to_owned)
            .to_vec(),
        ..Choice::default()
    };
    let payload = build(book, results, &choice).expect("something goes");
    let column = payload.column("ratio_of_hip").expect("it goes");
    assert_eq!(column.origin, "calculated");
    assert_eq!(column.kind, "number");
    assert!(column.help.contains("hip / wean_weight"), "{}", column.help);
    assert!(
        payload
            .method
            .iter()
            .any(|(name, text)| name == "Ratio of hip" && text.contains("hip / wean_weight")),
        "the formula can be read in the file"
    );
    assert_eq!(column.cells[1], Cell::Number(41.0 / 509.0));
    assert_eq!(column.basis.as_deref(), Some("s".repeat(40).as_str()));
    let frame = payload.column("frame").expect("it goes");
    assert_eq!(frame.cells[3], Cell::Text("tall".to_owned()));

    let verified = verify(&payload);
    assert!(verified.inputs_as_stated && verified.contents_as_stated);
    let marks = verified
        .columns
        .iter()
        .find(|marks| marks.key == "frame")
        .expect("its figures are marked");
    assert!(marks.marks.iter().all(|mark| *mark == Mark::Stated));
    assert_eq!(verified.counts.stated, 80);
    assert_eq!(verified.counts.differ, 0);

    // What it is worked out from and stays home is named before.
    let home = preview(book, results, &choice).expect("shown").stays_home;
    assert!(
        home.contains(
            &"Ratio of hip goes along with its formula, and is worked out from what stays home: Hip."
                .to_owned()
        ),
        "{home:?}"
    );
    // A comparison by a column that stays home stays home.
    let silent = Choice {
        columns: vec!["tag".to_owned()],
        compare: Some(spec("frame")),
        ..Choice::default()
    };
    let payload = build(book, results, &silent).expect("something goes");
    assert!(payload.comparison.is_none());
    assert!(!payload.to_json().contains("tall"));
}

#[test]
fn a_formula_in_a_file_is_never_taken_for_recomputed() {
    let desk = desk();
    let choice = Choice {
        columns: vec!["tag".to_owned(), "frame".to_owned()],
        ..Choice::default()
    };
    let mut payload = build(desk.book(), desk.results(), &choice).expect("something goes");
    for column in &mut payload.columns {
        if column.key == "frame" {
            column.basis = Some("h".repeat(40));
        }
    }
    let verified = verify(&payload);
    assert_eq!(verified.counts.recomputed, 0);
}

#[test]
fn kinds_are_told_on_import_and_changed_by_hand() {
    let mut desk = desk();
    let kind = |desk: &Desk, key: &str| {
        let column = desk.book().calves().column(key).expect("an own column");
        (column.kind, column.value(7))
    };
    assert!(matches!(
        kind(&desk, "hip"),
        (Kind::Number(""), Value::Number(41.0))
    ));
    let (paper, was) = kind(&desk, "paper");
    assert!(matches!(paper, Kind::Text), "leading zeros tell names");
    assert_eq!(was, Value::Text("07".to_owned()));
    let set = |desk: &mut Desk, key: &str, kind| {
        desk.change(Command::SetKind {
            sheet: CALVES,
            column: key.to_owned(),
            kind,
        })
    };
    set(&mut desk, "paper", Kind::Number("")).expect("an own column");
    assert_eq!(
        desk.history().undo_words(),
        Some("making Paper a column of numbers")
    );
    assert_eq!(kind(&desk, "paper").1, Value::Number(7.0));
    desk.undo().expect("the way back is open");
    assert_eq!(kind(&desk, "paper").1, Value::Text("07".to_owned()));

    desk.change(Command::SetCells {
        sheet: CALVES,
        cells: vec![CellEdit {
            row: 7,
            column: "hip".to_owned(),
            text: "about 41".to_owned(),
        }],
    })
    .expect("an own column");
    assert_eq!(
        kind(&desk, "hip").1,
        Value::Unreadable("about 41".to_owned())
    );
    set(&mut desk, "hip", Kind::Date).expect("an own column");
    assert_eq!(
        kind(&desk, "hip").1,
        Value::Unreadable("about 41".to_owned())
    );
    set(&mut desk, "hip", Kind::Text).expect("an own column");
    assert_eq!(kind(&desk, "hip").1, Value::Text("about 41".to_owned()));
    let code = |result: Result<Vec<u8>, fairpen_engine::error::Error>| {
        result.map_err(|refusal| refusal.code()).err()
    };
    assert_eq!(
        code(set(&mut desk, "tag", Kind::Number(""))),
        Some("sheet.column.kind")
    );
    assert_eq!(
        code(set(&mut desk, "frame", Kind::Text)),
        Some("sheet.column.calculated")
    );
}
