//! Animals in the book in hand: what a name stands for, cards, offers, new tags and kept heifers.

use fairpen_engine::check::code::Code;
use fairpen_engine::desk::Desk;
use fairpen_engine::desk::animal::named::Standing;
use fairpen_engine::desk::animal::retag::NameKind;
use fairpen_engine::import::merge::RowKind;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;

#[path = "common/herd.rs"]
mod herd;

use herd::{add, cell, day, herd};

fn codes(desk: &Desk, sheet: SheetKind) -> Vec<(Code, u32)> {
    desk.findings()
        .list
        .iter()
        .filter(|finding| finding.sheet == sheet)
        .map(|finding| (finding.code, finding.row))
        .collect()
}

#[test]
fn names_in_a_cell_stand_for_rows_or_say_why_not() {
    let mut desk = herd();
    let dam = desk.names_at(SheetKind::Calves, 0, "dam");
    assert_eq!(dam[0].standing, Standing::One);
    assert_eq!(
        (dam[0].places[0].0.sheet, dam[0].places[0].0.row),
        (SheetKind::Cows, 0)
    );
    let nobody = desk.names_at(SheetKind::Calves, 1, "dam");
    assert_eq!(nobody[0].standing, Standing::NotThere);
    assert_eq!(nobody[0].add_to, [SheetKind::Cows]);
    let sires = desk.names_at(SheetKind::Calves, 1, "sire");
    assert_eq!(
        sires.iter().map(|named| named.standing).collect::<Vec<_>>(),
        [Standing::One, Standing::NotThere]
    );
    assert_eq!(
        desk.names_at(SheetKind::Calves, 2, "sire")[0].standing,
        Standing::Unknown
    );
    assert!(desk.names_at(SheetKind::Calves, 0, "sex").is_empty());

    // A weighing of 17: the cow or the calf. Asked; what is chosen stands for one and no other.
    add(
        &mut desk,
        SheetKind::Weights,
        &["animal,date,weight", "17,2024-09-01,480"],
    );
    let weighed = desk.names_at(SheetKind::Weights, 0, "animal");
    assert_eq!(weighed[0].standing, Standing::Several);
    assert!(codes(&desk, SheetKind::Weights).contains(&(Code::NameSeveral, 0)));
    assert!(
        desk.card(SheetKind::Cows, 0)
            .expect("a card")
            .stands_in
            .iter()
            .all(|one| one.sheet != SheetKind::Weights)
    );
    let (calf, text) = weighed[0]
        .places
        .iter()
        .find(|(place, _)| place.sheet == SheetKind::Calves)
        .expect("the calf is offered");
    assert_eq!((calf.row, text.as_str()), (0, "calf 17"));
    desk.change(Command::SetCells {
        sheet: SheetKind::Weights,
        cells: vec![CellEdit {
            row: 0,
            column: "animal".to_owned(),
            text: text.clone(),
        }],
    })
    .expect("a name can be written");
    assert_eq!(codes(&desk, SheetKind::Weights), []);
    let card = desk.card(SheetKind::Calves, 0).expect("a card");
    assert!(
        card.stands_in
            .iter()
            .any(|one| one.sheet == SheetKind::Weights && one.n == 1)
    );
}

#[test]
fn a_card_gathers_what_is_said_of_an_animal() {
    let mut desk = herd();
    add(
        &mut desk,
        SheetKind::Checks,
        &[
            "cow,date,result",
            "17,2024-10-10,bred",
            "17,2017-01-01,open",
        ],
    );
    let card = desk.card(SheetKind::Cows, 0).expect("a card");
    assert_eq!(card.title, "Cow 17");
    let n = |sheet| {
        card.stands_in
            .iter()
            .find(|one| one.sheet == sheet)
            .map_or(0, |one| one.n)
    };
    assert_eq!(n(SheetKind::Calves), 1);
    // She was not born when the other was checked.
    assert_eq!(n(SheetKind::Checks), 1);
    assert!(codes(&desk, SheetKind::Checks).contains(&(Code::NameNotThere, 1)));
    let bull = desk.card(SheetKind::Bulls, 0).expect("a card");
    assert_eq!(bull.stands_in[0].n, 2);
    assert!(desk.card(SheetKind::Checks, 0).is_none());
}

#[test]
fn offers_stand_for_exactly_what_they_say() {
    let mut desk = herd();
    add(
        &mut desk,
        SheetKind::Weights,
        &["animal,date,weight", ",2024-09-01,480"],
    );
    let offers = desk.names_like(SheetKind::Weights, "animal", Some(0), "17", 8);
    let texts: Vec<&str> = offers.iter().map(|offer| offer.text.as_str()).collect();
    assert_eq!(texts.len(), 2, "{texts:?}");
    assert!(
        texts.contains(&"cow 17") && texts.contains(&"calf 17"),
        "{texts:?}"
    );
    let sires = desk.names_like(SheetKind::Calves, "sire", Some(0), "44F; st", 8);
    assert_eq!(sires[0].text, "44F; 12B");
    let unknown = desk.names_like(SheetKind::Calves, "sire", Some(0), "unk", 8);
    assert_eq!(
        unknown.last().map(|offer| offer.text.as_str()),
        Some("unknown")
    );
    assert!(
        desk.names_like(SheetKind::Calves, "sex", Some(0), "h", 8)
            .is_empty()
    );
}

#[test]
fn a_new_tag_keeps_the_old_one_with_its_days() {
    let mut desk = herd();
    add(
        &mut desk,
        SheetKind::Checks,
        &[
            "cow,date,result",
            "17,2024-01-10,bred",
            "305,2025-01-10,bred",
            "17,2025-01-10,open",
        ],
    );
    desk.retag(SheetKind::Cows, 0, NameKind::Tag, "305", day(2024, 6, 1))
        .expect("a new tag");
    assert_eq!(cell(&desk, SheetKind::Cows, 0, "tag"), "305");
    assert_eq!(
        cell(&desk, SheetKind::Cows, 0, "names_before"),
        "17 to 2024-06-01"
    );
    let standing = |row| desk.names_at(SheetKind::Checks, row, "cow")[0].standing;
    assert_eq!(
        [standing(0), standing(1), standing(2)],
        [Standing::One, Standing::One, Standing::NoneFits]
    );
    // Her calf, born when she was called 17, is still hers.
    assert_eq!(
        desk.names_at(SheetKind::Calves, 0, "dam")[0].standing,
        Standing::One
    );
    desk.retag(SheetKind::Cows, 0, NameKind::Tag, "306", day(2025, 6, 1))
        .expect("another");
    assert_eq!(
        cell(&desk, SheetKind::Cows, 0, "names_before"),
        "17 to 2024-06-01; 305 from 2024-06-01 to 2025-06-01"
    );
    for (name, on, code) in [
        ("306", day(2026, 1, 1), "sheet.retag.same"),
        ("", day(2026, 1, 1), "sheet.retag.name"),
        ("9", Day::MISSING, "sheet.retag.day"),
        ("9", day(2020, 1, 1), "sheet.retag.day"),
    ] {
        let refused = desk.retag(SheetKind::Cows, 0, NameKind::Tag, name, on);
        assert_eq!(refused.expect_err("refused").code(), code);
    }
    desk.undo().expect("undo");
    desk.undo().expect("undo");
    assert_eq!(cell(&desk, SheetKind::Cows, 0, "tag"), "17");
    assert_eq!(cell(&desk, SheetKind::Cows, 0, "names_before"), "");
}

#[test]
fn a_dam_age_that_disagrees_is_on_both_rows() {
    let mut desk = herd();
    desk.change(Command::SetCells {
        sheet: SheetKind::Calves,
        cells: vec![CellEdit {
            row: 0,
            column: "dam_age".to_owned(),
            text: "3".to_owned(),
        }],
    })
    .expect("an age");
    assert!(codes(&desk, SheetKind::Calves).contains(&(Code::DamAgeDisagrees, 0)));
    assert!(codes(&desk, SheetKind::Cows).contains(&(Code::CowAgeDisagrees, 0)));
}

#[test]
fn every_sheet_is_looked_over() {
    let mut desk = Desk::new();
    add(
        &mut desk,
        SheetKind::Cows,
        &[
            "tag,birth_date,birth_year,came_on,left_on",
            "5,2020-01-01,2019,,",
            "5,2021-01-01,,,2020-01-01",
            ",2021-01-01,,,",
        ],
    );
    add(
        &mut desk,
        SheetKind::Scores,
        &[
            "animal,date,what,value",
            "5,2024-01-01,body condition,12",
            ",1924-01-01,,5",
        ],
    );
    add(
        &mut desk,
        SheetKind::Stays,
        &["animal,place,from,to", "5,Pen 1,2024-03-01,2024-01-01"],
    );
    add(
        &mut desk,
        SheetKind::Treatments,
        &[
            "animal,place,date,product,withdrawal_days",
            ",,2024-01-01,x,900",
        ],
    );
    let cows = codes(&desk, SheetKind::Cows);
    for expected in [
        (Code::BirthYearDisagrees, 0),
        (Code::DateOrder, 1),
        (Code::RowNamesNothing, 2),
    ] {
        assert!(cows.contains(&expected), "{expected:?} in {cows:?}");
    }
    let scores = codes(&desk, SheetKind::Scores);
    for expected in [
        (Code::NumberRange, 0),
        (Code::DateLongAgo, 1),
        (Code::RowNamesNothing, 1),
    ] {
        assert!(scores.contains(&expected), "{expected:?} in {scores:?}");
    }
    assert!(codes(&desk, SheetKind::Stays).contains(&(Code::DateOrder, 0)));
    let treated = codes(&desk, SheetKind::Treatments);
    assert!(
        treated.contains(&(Code::RowNamesNothing, 0)) && treated.contains(&(Code::NumberRange, 0))
    );
    // Every finding of these sheets has words.
    for note in desk.findings().notes(desk.book(), desk.results()) {
        assert!(
            !note.message.is_empty() && !note.hint.is_empty(),
            "{}",
            note.code
        );
    }
}

#[test]
fn a_file_may_call_a_cow_what_she_was_called_before() {
    let mut desk = herd();
    desk.retag(SheetKind::Cows, 0, NameKind::Tag, "305", day(2024, 6, 1))
        .expect("a new tag");
    desk.import_begin("cows.csv");
    desk.import_push(b"tag,birth_date,came_on,came_as,breed\n17,2018-03-01,2019-05-01,raised,Angus\n18,2019-03-01,2020-05-01,raised,Angus\n")
        .expect("text");
    desk.import_finish().expect("a table");
    let shown = desk.import_merge_shown().expect("a sheet with rows");
    let rows: Vec<(RowKind, Option<u32>)> = shown
        .merge
        .rows
        .iter()
        .map(|row| (row.kind, row.target))
        .collect();
    assert_eq!(rows, [(RowKind::Differs, Some(0)), (RowKind::New, None)]);
}

#[test]
fn an_electronic_id_in_a_file_is_not_given_up_for_a_tag_that_two_wear() {
    let mut desk = herd();
    desk.change(Command::SetCells {
        sheet: SheetKind::Cows,
        cells: vec![CellEdit {
            row: 0,
            column: "eid".to_owned(),
            text: "999000000000017".to_owned(),
        }],
    })
    .expect("an electronic ID");
    let text =
        b"animal,date,weight\n999000000000017,2024-09-01,1290\n999000000000041,2024-09-01,480\n";
    desk.import_begin("weights.csv");
    desk.import_push(text).expect("text");
    desk.import_finish().expect("a table");
    desk.import_commit(&"0".repeat(64)).expect("rows to bring");
    assert_eq!(
        [0, 1].map(|row| cell(&desk, SheetKind::Weights, row, "animal")),
        ["999000000000017", "41"],
        "a calf wears the cow's tag, so her electronic ID stays"
    );
    assert_eq!(
        desk.names_at(SheetKind::Weights, 0, "animal")[0].standing,
        Standing::One
    );
}
