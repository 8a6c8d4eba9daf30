//! Entry in the alley: found by a few digits, asked about once, listed and given back. The herd is invented.

use fairpen_engine::desk::Desk;
use fairpen_engine::desk::pad::Task;
use fairpen_engine::desk::pad::entry::Entry;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;

#[path = "common/alley.rs"]
mod alley;

use alley::{day, enter, entry, herd};

#[test]
fn last_digits_find_the_calf_and_the_youngest_comes_first() {
    let desk = herd();
    let found = desk.pad_animals(Task::Weaning, "17", Day::MISSING, 10);
    let tags: Vec<&str> = found.iter().map(|animal| animal.tag.as_str()).collect();
    assert_eq!(tags, ["217", "0117", "117"], "one that left is not offered");
    assert_eq!(
        found[1].words, "heifer, born 2026-03-04, dam C31, East barn",
        "found by its tag, whatever its electronic ID ends with"
    );
    assert_eq!(found[0].last, "560 lb on 2026-10-01");
    let whole = desk.pad_animals(Task::Weaning, "117", Day::MISSING, 10);
    assert_eq!(whole[0].tag, "117", "a whole tag comes before an ending");
    let by_eid = desk.pad_animals(Task::Weaning, "000999", Day::MISSING, 10);
    assert_eq!(by_eid[0].tag, "117", "by the end of an EID");
    assert_eq!(
        by_eid[0].words, "EID ...000999, heifer, born 2025-03-02, dam C31, East barn",
        "and that is said"
    );
    let nines = desk.pad_animals(Task::Weaning, "9", Day::MISSING, 10);
    assert_eq!(nines.len(), 1);
    assert!(nines[0].words.starts_with("EID ...0999, "), "{nines:?}");
    assert!(
        desk.pad_animals(Task::Weaning, "84000", Day::MISSING, 10)
            .is_empty(),
        "the digits that all electronic IDs begin with find nothing"
    );
    // An ending of a tag stands before an ending of an electronic ID, however old the calf.
    let seventeens = desk.pad_animals(Task::Weaning, "7", Day::MISSING, 10);
    assert!(
        seventeens
            .iter()
            .all(|animal| !animal.words.starts_with("EID")),
        "{seventeens:?}"
    );
    assert!(
        desk.pad_animals(Task::Weaning, " ", Day::MISSING, 10)
            .is_empty()
    );
    let cows = desk.pad_animals(Task::Pregnancy, "c3", Day::MISSING, 10);
    assert_eq!(
        (cows[0].tag.as_str(), cows[0].row),
        ("C31", None),
        "known only as a dam"
    );
}

#[test]
fn a_weaning_weight_takes_its_day_and_never_writes_over_the_weaning() {
    let mut desk = herd();
    let weigh = entry(
        Task::Weaning,
        Some(0),
        "2026-10-02",
        &[("wean_weight", "515")],
    );
    assert!(desk.pad_doubts(&weigh).expect("sound").is_empty());
    enter(&mut desk, &weigh);
    let cell = |desk: &Desk, key: &str, row: u32| {
        desk.shown_cell(SheetKind::Calves, key, row as usize)
            .expect("a column")
            .text
    };
    assert_eq!(cell(&desk, "wean_date", 0), "2026-10-02");
    let later = entry(
        Task::Weaning,
        Some(2),
        "2026-10-05",
        &[("wean_weight", "566")],
    );
    let doubts = desk.pad_doubts(&later).expect("sound");
    assert_eq!(
        doubts.sentences,
        [
            "Calf 217 (steer, born 2026-03-09, dam C8, Creek) has a weaning weight of 560 lb of 2026-10-01 already. 566 lb of 2026-10-05 would replace it."
        ]
    );
    let replaced = doubts.replaced.expect("a weight stands there");
    assert_eq!(replaced.deed, "replace 560 lb of 2026-10-01 by 566 lb");
    let (words, both) = replaced.keep_both.expect("it is of another day");
    assert_eq!(words, "keep both: 566 lb as another weighing");
    assert!(desk.pad_doubts(&both).expect("sound").is_empty());
    enter(&mut desk, &both);
    let of_weights = |desk: &Desk, key: &str| {
        desk.shown_cell(SheetKind::Weights, key, 0)
            .expect("a column")
            .text
    };
    assert_eq!(
        ["animal", "date", "weight"].map(|key| of_weights(&desk, key)),
        ["217", "2026-10-05", "566"]
    );
    assert_eq!(cell(&desk, "wean_weight", 2), "560");
    assert_eq!(cell(&desk, "weigh_date", 2), "");
    desk.undo().expect("the way back is open");
    // On the same day there is no second weighing to keep.
    let corrected = entry(
        Task::Weaning,
        Some(2),
        "2026-10-01",
        &[("wean_weight", "561")],
    );
    let doubts = desk.pad_doubts(&corrected).expect("sound");
    let replaced = doubts.replaced.expect("a weight stands there");
    assert_eq!(replaced.deed, "replace 560 lb of 2026-10-01 by 561 lb");
    assert!(replaced.keep_both.is_none());
    let the_same = entry(
        Task::Weaning,
        Some(2),
        "2026-10-01",
        &[("wean_weight", "560")],
    );
    assert!(desk.pad_doubts(&the_same).expect("sound").is_empty());
    enter(&mut desk, &later);
    assert_eq!(cell(&desk, "wean_date", 2), "2026-10-01");
    assert_eq!(cell(&desk, "weigh_date", 2), "2026-10-05");
    let done = desk.pad_today(Task::Weaning, day("2026-10-05"));
    assert_eq!(
        (done.len(), done[0].tag.as_str(), done[0].words.as_str()),
        (1, "217", "566 lb")
    );
    let csv = String::from_utf8(desk.pad_csv(Task::Weaning, day("2026-10-02"))).expect("UTF-8");
    assert_eq!(
        csv,
        "tag,eid,sex,birth_date,dam,wean_date,weigh_date,wean_weight (lb)\n\
         0117,840003000000117,heifer,2026-03-04,C31,2026-10-02,,515\n"
    );
    let command = desk.pad_take_back(Task::Weaning, done[0].row);
    desk.change(command).expect("not refused");
    assert!(desk.pad_today(Task::Weaning, day("2026-10-05")).is_empty());
    assert_eq!(
        cell(&desk, "weigh_date", 2),
        "",
        "no day stays behind for the next weight"
    );
    desk.undo().expect("the way back is open");
    assert_eq!(desk.pad_today(Task::Weaning, day("2026-10-05")).len(), 1);
}

#[test]
fn an_unlikely_weight_and_a_second_check_are_asked_about() {
    let mut desk = herd();
    let heavy = entry(
        Task::Weaning,
        Some(0),
        "2026-10-02",
        &[("wean_weight", "5150")],
    );
    let doubts = desk.pad_doubts(&heavy).expect("sound");
    assert_eq!(
        doubts.sentences,
        ["A weaning weight of 5150 lb is outside 150 to 1100 lb."]
    );
    let no_number = entry(
        Task::Weaning,
        Some(0),
        "2026-10-02",
        &[("wean_weight", "5l5")],
    );
    assert_eq!(
        desk.pad_doubts(&no_number).expect("sound").sentences.len(),
        1
    );
    let check = entry(
        Task::Pregnancy,
        None,
        "2026-10-12",
        &[("cow", "C31"), ("result", "bred"), ("stage", "90 days")],
    );
    assert!(desk.pad_doubts(&check).expect("sound").is_empty());
    enter(&mut desk, &check);
    assert_eq!(
        desk.pad_today(Task::Pregnancy, day("2026-10-12"))[0].words,
        "bred, 90 days"
    );
    assert_eq!(
        desk.pad_doubts(&check).expect("sound").sentences,
        ["C31 was checked on this day already."]
    );
}

#[test]
fn a_calving_is_a_new_calf_and_can_be_taken_away() {
    let mut desk = herd();
    let calved = entry(
        Task::Calving,
        None,
        "2026-03-20",
        &[
            ("tag", "301"),
            ("sex", "heifer"),
            ("dam", "C8"),
            ("birth_weight", "82"),
        ],
    );
    enter(&mut desk, &calved);
    let done = desk.pad_today(Task::Calving, day("2026-03-20"));
    assert_eq!(done[0].words, "heifer, dam C8, 82 lb");
    let again = desk.pad_doubts(&calved).expect("sound").sentences;
    assert_eq!(
        again,
        [
            "The tag is on record already: 301 (heifer, born 2026-03-20, dam C8). This one: born 2026-03-20, heifer, dam C8.",
            "Dam C8 has another calf: 301 (heifer, born 2026-03-20, dam C8).",
        ]
    );
    let next_year = entry(
        Task::Calving,
        None,
        "2027-03-20",
        &[("tag", "301"), ("sex", "heifer"), ("dam", "C9")],
    );
    assert!(
        desk.pad_doubts(&next_year).expect("sound").is_empty(),
        "tags are used again"
    );
    let command = desk.pad_take_back(Task::Calving, done[0].row);
    desk.change(command).expect("not refused");
    assert!(desk.pad_today(Task::Calving, day("2026-03-20")).is_empty());
}

#[test]
fn an_entry_without_animal_day_or_text_is_refused() {
    let desk = herd();
    let code = |entry: &Entry| {
        desk.pad_command(entry)
            .err()
            .expect("refused")
            .code()
            .to_owned()
    };
    let cells = [("wean_weight", "500")];
    assert_eq!(
        code(&entry(Task::Weaning, None, "2026-10-01", &cells)),
        "sheet.pad.animal"
    );
    assert_eq!(
        code(&entry(Task::Weaning, Some(99), "2026-10-01", &cells)),
        "sheet.pad.animal"
    );
    assert_eq!(
        code(&entry(
            Task::Weaning,
            Some(0),
            "2026-10-01",
            &[("wean_weight", " ")]
        )),
        "sheet.pad.nothing"
    );
    let mut without_day = entry(Task::Weaning, Some(0), "2026-10-01", &cells);
    without_day.day = Day::MISSING;
    assert_eq!(code(&without_day), "sheet.pad.day");
}

#[test]
fn a_weight_of_a_calf_that_is_not_on_record_is_kept_and_marked() {
    let mut desk = herd();
    let stray = |text: &str| {
        entry(
            Task::Weaning,
            None,
            "2026-10-02",
            &[("tag", "888"), ("wean_weight", text)],
        )
    };
    assert!(desk.pad_command(&stray(" ")).is_err(), "nothing was typed");
    assert!(desk.pad_doubts(&stray("505")).expect("sound").is_empty());
    enter(&mut desk, &stray("505"));
    let done = desk.pad_today(Task::Weaning, day("2026-10-02"));
    assert_eq!(
        (done[0].tag.as_str(), done[0].words.as_str()),
        ("888", "505 lb, not on record")
    );
    let cell = |desk: &Desk, key: &str| {
        desk.shown_cell(SheetKind::Calves, key, done[0].row as usize)
            .expect("a column")
            .text
    };
    assert_eq!(
        ["tag", "wean_date", "weigh_date", "note"].map(|key| cell(&desk, key)),
        [
            "888",
            "2026-10-02",
            "",
            "Not on record when entered in the alley on 2026-10-02."
        ]
    );
    let csv = String::from_utf8(desk.pad_csv(Task::Weaning, day("2026-10-02"))).expect("UTF-8");
    assert!(csv.contains("\n888,,,,,2026-10-02,,505\n"), "{csv}");
    let command = desk.pad_take_back(Task::Weaning, done[0].row);
    desk.change(command).expect("not refused");
    assert_eq!(cell(&desk, "tag"), "", "the row was made for this entry");
    // A calf that had left is not offered, but its tag is on record.
    let gone = entry(
        Task::Weaning,
        None,
        "2026-10-02",
        &[("tag", "1172"), ("wean_weight", "505")],
    );
    assert_eq!(
        desk.pad_doubts(&gone).expect("sound").sentences,
        [
            "The tag is on record already: 1172 (steer, born 2026-03-11, dam C9, Creek), left 2026-04-01. A row of its own would be made for this one."
        ]
    );
}

#[test]
fn a_stage_that_does_not_go_with_the_result_is_asked_about() {
    let desk = herd();
    let asked = |cells: &[(&str, &str)]| {
        let cells = [&[("cow", "C31")], cells].concat();
        desk.pad_doubts(&entry(Task::Pregnancy, None, "2026-10-12", &cells))
            .expect("sound")
            .sentences
    };
    assert_eq!(
        asked(&[("result", "open"), ("stage", "90 days")]),
        [
            "C31 is open, with the stage \"90 days\". An open cow has no stage: is she bred, or does the stage belong to another cow?"
        ]
    );
    assert_eq!(
        asked(&[("result", "not checked"), ("stage", "late")]).len(),
        1
    );
    assert_eq!(asked(&[("stage", "late")]).len(), 1);
    assert!(asked(&[("result", "open")]).is_empty());
    assert!(asked(&[("result", "bred"), ("stage", "90 days")]).is_empty());
    assert!(asked(&[("result", "recheck"), ("stage", "early")]).is_empty());
}

#[test]
fn a_weight_after_an_earlier_weigh_day_takes_its_own_day() {
    let mut desk = herd();
    desk.change(Command::SetCells {
        sheet: SheetKind::Calves,
        cells: [("weigh_date", "2026-09-01"), ("wean_weight", "430")]
            .map(|(column, text)| CellEdit {
                row: 0,
                column: column.to_owned(),
                text: text.to_owned(),
            })
            .to_vec(),
    })
    .expect("not refused");
    let anew = entry(
        Task::Weaning,
        Some(0),
        "2026-10-02",
        &[("wean_weight", "515")],
    );
    let replaced = desk.pad_doubts(&anew).expect("sound").replaced;
    assert_eq!(
        replaced.expect("a weight stands there").deed,
        "replace 430 lb of 2026-09-01 by 515 lb"
    );
    enter(&mut desk, &anew);
    let done = desk.pad_today(Task::Weaning, day("2026-10-02"));
    assert_eq!((done.len(), done[0].words.as_str()), (1, "515 lb"));
}

#[test]
fn the_animal_that_was_tapped_is_the_one_that_is_named() {
    let mut desk = herd();
    // A cow that wears the number of this year's calf.
    desk.change(Command::Together(vec![
        Command::AddRows {
            sheet: SheetKind::Cows,
            n_rows: 1,
        },
        Command::SetCells {
            sheet: SheetKind::Cows,
            cells: [("tag", "217"), ("birth_date", "2019-03-01")]
                .map(|(column, text)| CellEdit {
                    row: 0,
                    column: column.to_owned(),
                    text: text.to_owned(),
                })
                .to_vec(),
        },
    ]))
    .expect("a cow");
    let on = day("2026-09-01");
    let found = desk.pad_animals(Task::Weighing, "217", on, 10);
    let calls: Vec<&str> = found.iter().map(|animal| animal.call.as_str()).collect();
    assert_eq!(calls, ["calf 217", "cow 217"]);
    let checked = desk.pad_animals(Task::Pregnancy, "217", on, 10);
    assert_eq!(checked[0].call, "217", "only cows are checked");
    // The one that left on 1 April could still be weighed that day.
    let n = |on: &str| desk.pad_animals(Task::Weighing, "1172", day(on), 10).len();
    assert_eq!((n("2026-04-01"), n("2026-04-02")), (1, 0));
}

#[test]
fn a_dam_that_was_typed_and_taken_back_is_not_offered() {
    let mut desk = herd();
    desk.change(Command::SetCells {
        sheet: SheetKind::Calves,
        cells: vec![CellEdit {
            row: 0,
            column: "dam".to_owned(),
            text: "Z77".to_owned(),
        }],
    })
    .expect("typed");
    let offered = |desk: &Desk| {
        desk.pad_animals(Task::Pregnancy, "Z77", Day::MISSING, 10)
            .len()
    };
    assert_eq!(offered(&desk), 1);
    desk.undo().expect("undone");
    assert_eq!(offered(&desk), 0);
}
