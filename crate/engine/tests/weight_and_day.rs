//! A weight and its day come in together or not at all. The herd is invented.

use fairpen_engine::book::digest::Digest;
use fairpen_engine::desk::Desk;
use fairpen_engine::desk::pad::Task;
use fairpen_engine::desk::pad::entry::Entry;
use fairpen_engine::import::merge::{CellState, MergeChoices, RowKind};
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::schema::SheetKind;

const HEAD: &str = "tag,sex,born,wean date,weigh date,wean wt,yearling date,yearling wt\n";
const COLUMNS: [&str; 5] = [
    "wean_date",
    "weigh_date",
    "wean_weight",
    "yearling_date",
    "yearling_weight",
];

fn show(desk: &mut Desk, text: &str) {
    desk.import_begin("calves.csv");
    desk.import_push(text.as_bytes()).expect("text");
    desk.import_finish().expect("a table");
}

fn commit(desk: &mut Desk, text: &str) {
    let digest = Digest::of(text.as_bytes());
    desk.import_commit(&digest).expect("something to bring");
}

/// A book with one calf: weaned, weighed, weight, yearling day, yearling weight as written.
fn book(cells: &str) -> Desk {
    let mut desk = Desk::new();
    let text = format!("{HEAD}417,steer,2026-03-17,{cells}\n");
    show(&mut desk, &text);
    commit(&mut desk, &text);
    desk
}

fn calf(desk: &Desk) -> String {
    let cells: Vec<String> = COLUMNS
        .iter()
        .map(|key| {
            desk.shown_cell(SheetKind::Calves, key, 0)
                .expect("a column")
                .text
        })
        .collect();
    cells.join(",")
}

/// What the calf is after a line came in with the choices given unasked, and after it came in over what differs.
fn check(record: &str, file: &str, kept: &str, over: &str) {
    check_text(
        record,
        &format!("{HEAD}417,steer,2026-03-17,{file}\n"),
        kept,
        over,
    );
}

fn check_text(record: &str, text: &str, kept: &str, over: &str) {
    for (overwrite, due) in [(false, kept), (true, over)] {
        let mut desk = book(record);
        show(&mut desk, text);
        desk.import_merge(MergeChoices {
            overwrite,
            ..MergeChoices::default()
        })
        .expect("rows that are there");
        let before = calf(&desk);
        let changes = desk
            .import_merge_shown()
            .is_some_and(|shown| !shown.plan.changes.is_empty());
        assert_eq!(changes, due != before, "{text}: {due}");
        if changes {
            commit(&mut desk, text);
        }
        assert_eq!(calf(&desk), due, "{text} over {record}: {overwrite}");
    }
}

#[test]
fn an_old_weight_never_gets_a_new_day() {
    // Weighed anew after weaning: the weaning day counts for the old weight.
    check(
        "2026-10-13,,455,,",
        "2026-10-13,2026-11-20,519,,",
        "2026-10-13,,455,,",
        "2026-10-13,2026-11-20,519,,",
    );
    // The old weight has no day at all.
    check(
        ",,455,,",
        ",2026-11-20,519,,",
        ",,455,,",
        ",2026-11-20,519,,",
    );
    check(
        ",,455,,",
        "2026-10-13,2026-11-20,519,,",
        ",,455,,",
        "2026-10-13,2026-11-20,519,,",
    );
    check(
        ",,455,,",
        "2026-11-20,,519,,",
        ",,455,,",
        "2026-11-20,,519,,",
    );
    check(
        ",,,,802",
        ",,,2027-03-20,830",
        ",,,,802",
        ",,,2027-03-20,830",
    );
    // Only the day is said, and it is another one.
    check(
        "2026-10-13,,455,,",
        ",2026-11-20,,,",
        "2026-10-13,,455,,",
        "2026-10-13,2026-11-20,455,,",
    );
    check(
        "2026-10-13,,455,,",
        ",2026-11-20,455,,",
        "2026-10-13,,455,,",
        "2026-10-13,2026-11-20,455,,",
    );
}

#[test]
fn a_new_weight_never_gets_an_old_day() {
    // A day without its weight stands on record.
    check(
        ",2026-10-13,,,",
        ",2026-11-20,519,,",
        ",2026-10-13,,,",
        ",2026-11-20,519,,",
    );
    check(
        "2026-10-13,,,,",
        "2026-11-20,,519,,",
        "2026-10-13,,,,",
        "2026-11-20,,519,,",
    );
    check(
        ",,,2027-03-20,",
        ",,,2027-04-02,830",
        ",,,2027-03-20,",
        ",,,2027-04-02,830",
    );
    // The file says the day as the day of weaning; the weigh day on record would outlive its weight.
    check(
        "2026-10-01,2026-10-13,455,,",
        "2026-10-01,,440,,",
        "2026-10-01,2026-10-13,455,,",
        "2026-10-01,2026-10-01,440,,",
    );
    check_text(
        "2026-10-01,2026-10-13,455,,",
        "tag,born,wean date,wean wt\n417,2026-03-17,2026-10-01,440\n",
        "2026-10-01,2026-10-13,455,,",
        "2026-10-01,2026-10-01,440,,",
    );
}

#[test]
fn a_weight_or_a_day_that_goes_with_the_record_comes_in() {
    check(
        "2026-10-13,,,,",
        ",2026-11-20,519,2027-03-20,830",
        "2026-10-13,2026-11-20,519,2027-03-20,830",
        "2026-10-13,2026-11-20,519,2027-03-20,830",
    );
    check(
        ",,455,,",
        "2026-10-13,,455,,",
        "2026-10-13,,455,,",
        "2026-10-13,,455,,",
    );
    check(
        "2026-10-13,,,,",
        "2026-10-13,,455,,",
        "2026-10-13,,455,,",
        "2026-10-13,,455,,",
    );
    // No day is said: the weight differs by itself.
    check(
        "2026-10-13,,455,,",
        ",,456,,",
        "2026-10-13,,455,,",
        "2026-10-13,,456,,",
    );
    // The other weight of the line is a fact of its own.
    check(
        "2026-10-13,,455,,",
        "2026-10-13,2026-11-20,519,2027-03-20,830",
        "2026-10-13,,455,2027-03-20,830",
        "2026-10-13,2026-11-20,519,2027-03-20,830",
    );
}

#[test]
fn a_weight_that_cannot_be_read_keeps_its_day_out() {
    check(
        "2026-10-13,,455,,",
        "2026-10-13,2026-11-20,5l9,,",
        "2026-10-13,,455,,",
        "2026-10-13,,455,,",
    );
    check(
        ",2026-10-13,,,",
        ",not said,519,,",
        ",2026-10-13,,,",
        ",2026-10-13,,,",
    );
}

#[test]
fn the_pair_is_shown_as_differing_and_the_same_day_in_the_other_column_as_the_same() {
    let states = |record: &str, file: &str| {
        let mut desk = book(record);
        show(&mut desk, &format!("{HEAD}417,steer,2026-03-17,{file}\n"));
        let rows = desk.import_rows(None, 0, 9);
        let of = |key: &str| {
            rows[0]
                .cells
                .iter()
                .find(|cell| cell.column == key)
                .map(|cell| cell.state)
        };
        (rows[0].outcome.kind, of("weigh_date"), of("wean_weight"))
    };
    assert_eq!(
        states("2026-10-13,,455,,", ",2026-11-20,519,,"),
        (
            RowKind::Differs,
            Some(CellState::Differs),
            Some(CellState::Differs)
        )
    );
    assert_eq!(
        states("2026-10-13,,455,,", ",2026-10-13,455,,"),
        (RowKind::Same, Some(CellState::Same), Some(CellState::Same))
    );
}

#[test]
fn the_days_entries_of_the_alley_leave_the_old_weights_whole() {
    let laptop = book("2026-10-13,,455,,");
    let list = laptop.work_list(None);
    let mut phone = Desk::new();
    phone
        .open(&fairpen_engine::book::save::save(&list).expect("saved"))
        .expect("a book");
    let day = Day::from_ymd(2026, 11, 20).expect("a day");
    let command = phone
        .pad_command(&Entry {
            task: Task::Weaning,
            row: Some(0),
            day,
            cells: vec![("wean_weight".to_owned(), "519".to_owned())],
        })
        .expect("complete");
    phone.change(command).expect("not refused");
    let text = String::from_utf8(phone.pad_csv(Task::Weaning, day)).expect("UTF-8");
    let mut laptop = laptop;
    let fair = |desk: &Desk| {
        desk.shown_cell(SheetKind::Calves, "adj_205_weight", 0)
            .expect("a column")
            .text
    };
    let before = fair(&laptop);
    assert_ne!(before, "");
    show(&mut laptop, &text);
    let shown = laptop.import_merge_shown().expect("a sheet with rows");
    assert_eq!(shown.merge.count(RowKind::Differs), 1);
    assert!(shown.plan.changes.is_empty());
    let refused = laptop
        .import_commit(&Digest::of(text.as_bytes()))
        .expect_err("nothing to do");
    assert_eq!(refused.code(), "import.merge.nothing");
    assert_eq!(calf(&laptop), "2026-10-13,,455,,");
    assert_eq!(fair(&laptop), before);
}

#[test]
fn only_calves_that_end_up_without_it_are_warned_about() {
    let warned = |text: &str, match_rows: bool| -> Vec<(String, Option<u32>)> {
        let mut desk = book("2026-10-13,,455,,");
        show(&mut desk, text);
        desk.import_merge(MergeChoices {
            match_rows,
            ..MergeChoices::default()
        })
        .expect("no rows are named");
        let (_, imported) = desk.import_shown().expect("a file");
        let shown = desk.import_merge_shown().expect("a sheet with rows");
        imported
            .notes
            .iter()
            .chain(&shown.plan.notes)
            .filter(|note| note.code == "import.column.none")
            .map(|note| (note.message.clone(), note.place.line))
            .collect()
    };
    let yearling = "tag,born,yearling date,yearling wt\n417,2026-03-17,2027-03-20,830\n";
    assert_eq!(warned(yearling, true), [], "all of it is on record");
    let all_new: Vec<String> = warned(yearling, false)
        .into_iter()
        .map(|(message, _)| message)
        .collect();
    assert_eq!(all_new.len(), 3, "{all_new:?}");
    assert!(
        all_new[0].starts_with("No column was taken for Sex; without it these calves"),
        "{all_new:?}"
    );
    let one_new = format!("{yearling}999,2026-03-20,2027-03-20,800\n");
    assert_eq!(
        warned(&one_new, true)[0],
        (
            "No column was taken for Sex; 1 calf of the file will be without, with no adjusted 205-day weight."
                .to_owned(),
            Some(3)
        )
    );
}
