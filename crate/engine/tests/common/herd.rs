//! A small herd for tests of animals on the desk.

use fairpen_engine::desk::Desk;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::edit::{CellEdit, Command};
use fairpen_engine::sheet::schema::SheetKind;

pub fn day(year: i32, month: u32, day: u32) -> Day {
    Day::from_ymd(year, month, day).expect("a real day")
}

/// Adds rows; the first line has the keys.
pub fn add(desk: &mut Desk, sheet: SheetKind, lines: &[&str]) -> Vec<u8> {
    let keys: Vec<&str> = lines[0].split(',').collect();
    let first = u32::try_from(desk.book().sheet(sheet).n_rows()).expect("few rows");
    let cells = (first..)
        .zip(&lines[1..])
        .flat_map(|(row, line)| {
            keys.iter()
                .zip(line.split(','))
                .map(move |(key, text)| CellEdit {
                    row,
                    column: (*key).to_owned(),
                    text: text.to_owned(),
                })
        })
        .collect();
    let n_rows = u32::try_from(lines.len() - 1).expect("few rows");
    desk.change(Command::Together(vec![
        Command::AddRows { sheet, n_rows },
        Command::SetCells { sheet, cells },
    ]))
    .expect("rows can be added")
}

pub fn cell(desk: &Desk, sheet: SheetKind, row: u32, key: &str) -> String {
    desk.raw_cell(sheet, key, row as usize)
}

/// Cow 17 and her calf of 2024, which wears her number; heifer 41 by bull 12B, and steer 42.
pub fn herd() -> Desk {
    let mut desk = Desk::new();
    add(
        &mut desk,
        SheetKind::Cows,
        &["tag,birth_date,came_on", "17,2018-03-01,2019-05-01"],
    );
    add(
        &mut desk,
        SheetKind::Bulls,
        &["tag,name,birth_date", "12B,Stone,2019-02-01"],
    );
    add(
        &mut desk,
        SheetKind::Calves,
        &[
            "tag,eid,sex,birth_date,birth_weight,dam,sire,breed,wean_date,wean_weight",
            "17,,heifer,2024-03-20,78,17,12B,,2024-10-01,510",
            "41,999000000000041,heifer,2024-03-22,75,17-x,Stone; 44F,Angus,2024-10-01,530",
            "42,,steer,2024-03-24,80,,unknown,,2024-10-01,560",
        ],
    );
    desk
}
