//! A small herd for tests of entry in the alley. The herd is invented.

use fairpen_engine::desk::Desk;
use fairpen_engine::desk::pad::Task;
use fairpen_engine::desk::pad::entry::Entry;
use fairpen_engine::sheet::day::Day;

const CALVES: &str = "Tag,EID,Sex,Born,Dam,Pen,Weaned,Wean Wt,Left on\n\
    0117,840003000000117,heifer,2026-03-04,C31,East barn,,,\n\
    117,840003000000999,heifer,2025-03-02,C31,East barn,2025-10-01,520,\n\
    217,,steer,2026-03-09,C8,Creek,2026-10-01,560,\n\
    1172,,steer,2026-03-11,C9,Creek,,,2026-04-01\n";

pub fn day(text: &str) -> Day {
    let mut parts = text
        .split('-')
        .map(|part| part.parse::<u32>().expect("a number"));
    let mut next = || parts.next().expect("three parts");
    Day::from_ymd(next() as i32, next(), next()).expect("a day")
}

pub fn herd() -> Desk {
    let mut desk = Desk::new();
    desk.import_begin("calves.csv");
    desk.import_push(CALVES.as_bytes()).expect("sound");
    desk.import_finish().expect("sound");
    desk.import_commit(&"0".repeat(64)).expect("sound");
    desk
}

pub fn entry(task: Task, row: Option<u32>, on: &str, cells: &[(&str, &str)]) -> Entry {
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

pub fn enter(desk: &mut Desk, entry: &Entry) {
    let command = desk.pad_command(entry).expect("complete");
    desk.change(command).expect("not refused");
}
