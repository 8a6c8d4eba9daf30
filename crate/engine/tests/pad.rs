//! Entry in the alley: found by a few digits, asked about once, listed and given back. The herd is invented.

use fairpen_engine::desk::Desk;
use fairpen_engine::desk::pad::Task;
use fairpen_engine::desk::pad::entry::Entry;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;

const CALVES: &str = "Tag,EID,Sex,Born,Dam,Pen,Weaned,Wean Wt,Left on\n\
    0117,840003000000117,heifer,2026-03-04,C31,East barn,,,\n\
    117,840003000000999,heifer,2025-03-02,C31,East barn,2025-10-01,520,\n\
    217,,steer,2026-03-09,C8,Creek,2026-10-01,560,\n\
    1172,,steer,2026-03-11,C9,Creek,,,2026-04-01\n";

fn day(text: &str) -> Day {
    let mut parts = text
        .split('-')
        .map(|part| part.parse::<u32>().expect("a number"));
    let mut next = || parts.next().expect("three parts");
    Day::from_ymd(next() as i32, next(), next()).expect("a day")
}

fn herd() -> Desk {
    let mut desk = Desk::new();
    desk.import_begin("calves.csv");
    desk.import_push(CALVES.as_bytes()).expect("sound");
    desk.import_finish().expect("sound");
    desk.import_commit(&"0".repeat(64)).expect("sound");
    desk
}

fn entry(task: Task, row: Option<u32>, on: &str, cells: &[(&str, &str)]) -> Entry {
    Entry {
        task,
        row,
        day: day(on),
        cells: cells
            .iter()
            .map(|(key, text)| ((*key).to_owned(), (*text).to_owned()))
            .collect(),
    }
}

fn enter(desk: &mut Desk, entry: &Entry) {
    let command = desk.pad_command(entry).expect("complete");
    desk.change(command).expect("not refused");
}

#[test]
fn last_digits_find_the_calf_and_the_youngest_comes_first() {
    let desk = herd();
    let found = desk.pad_animals(Task::Weaning, "17", Day::MISSING, 10);
    let tags: Vec<&str> = found.iter().map(|animal| animal.tag.as_str()).collect();
    assert_eq!(tags, ["217", "0117", "117"], "one that left is not offered");
    assert_eq!(
        found[1].words,
        "heifer, born 2026-03-04, dam C31, East barn"
    );
    assert_eq!(found[0].last, "560 lb on 2026-10-01");
    let whole = desk.pad_animals(Task::Weaning, "117", Day::MISSING, 10);
    assert_eq!(whole[0].tag, "117", "a whole tag comes before an ending");
    assert_eq!(
        desk.pad_animals(Task::Weaning, "000999", Day::MISSING, 10)[0].tag,
        "117",
        "by the end of an EID"
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
    assert_eq!(
        desk.pad_doubts(&later).expect("sound"),
        ["560 lb is written there already."]
    );
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
        doubts,
        ["A weaning weight of 5150 lb is outside 150 to 1100 lb."]
    );
    let no_number = entry(
        Task::Weaning,
        Some(0),
        "2026-10-02",
        &[("wean_weight", "5l5")],
    );
    assert_eq!(desk.pad_doubts(&no_number).expect("sound").len(), 1);
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
        desk.pad_doubts(&check).expect("sound"),
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
    let again = desk.pad_doubts(&calved).expect("sound");
    assert!(
        !again.is_empty(),
        "the tag stands twice in a year: {again:?}"
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
fn a_work_list_holds_the_animals_to_expect_and_nothing_private() {
    let mut desk = herd();
    let note = Entry {
        cells: vec![("note".to_owned(), "bought at a loss".to_owned())],
        ..entry(Task::Birth, Some(0), "2026-03-04", &[])
    };
    enter(&mut desk, &note);
    assert_eq!(
        desk.work_list_places(),
        [("Creek".to_owned(), 2), ("East barn".to_owned(), 2)]
    );
    let list = desk.work_list(Some("East barn"));
    assert_eq!(list.settings.title, "Work list: East barn");
    assert_eq!(list.calves().n_rows(), 2);
    assert!(list.calves().known("note").holds_nothing());
    let all = desk.work_list(None);
    assert_eq!(all.calves().n_rows(), 3, "one has left");
    let bytes = fairpen_engine::book::save::save(&all).expect("saved");
    let mut phone = Desk::new();
    phone.open(&bytes).expect("a book");
    assert_eq!(
        phone.pad_animals(Task::Weaning, "0117", Day::MISSING, 1)[0].tag,
        "0117"
    );
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
