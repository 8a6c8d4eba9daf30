//! Which animal a name stands for: names have days, two that fit are never chosen between, and the order of rows
//! changes nothing.

use fairpen_engine::animals::find::Animals;
use fairpen_engine::animals::kept::{calf_rows, grown_rows};
use fairpen_engine::animals::{Among, Animal, Deed, Found};
use fairpen_engine::sheet::column::Value;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::put::value_of;
use fairpen_engine::sheet::read::ReadOptions;
use fairpen_engine::sheet::schema::SheetKind;
use fairpen_engine::sheet::settings::WeightUnit;
use fairpen_engine::sheet::workbook::Workbook;
use proptest::prelude::*;

fn day(text: &str) -> Day {
    let parts: Vec<i32> = text
        .split('-')
        .map(|part| part.parse().expect("a number"))
        .collect();
    Day::from_ymd(parts[0], parts[1] as u32, parts[2] as u32).expect("a real day")
}

/// Rows with `,` between cells; the first line has the keys.
fn fill(book: &mut Workbook, sheet: SheetKind, lines: &[&str]) {
    let keys: Vec<&str> = lines[0].split(',').collect();
    let table = book.sheet_mut(sheet);
    let before = table.n_rows();
    table.resize(before + lines.len() - 1);
    let options = ReadOptions::of_book(WeightUnit::Pound);
    for (at, line) in lines[1..].iter().enumerate() {
        for (key, cell) in keys.iter().zip(line.split(',')) {
            let column = table.column_mut(key).expect("a column of the sheet");
            let value = value_of(column.kind, cell, &options);
            assert!(!matches!(value, Value::Unreadable(_)), "{key}: {cell}");
            column.put(u32::try_from(before + at).expect("few rows"), value);
        }
    }
}

fn cow(row: u32) -> Animal {
    Animal {
        sheet: SheetKind::Cows,
        row,
    }
}

fn calf(row: u32) -> Animal {
    Animal {
        sheet: SheetKind::Calves,
        row,
    }
}

fn look(book: &Workbook, among: Among, name: &str, on: &str) -> Found {
    let on = if on.is_empty() { Day::MISSING } else { day(on) };
    Animals::new().find(book, among, name, Deed::OnHand, on)
}

/// Cow 17 left in 2022; her tag went to a heifer that came in 2023. Calf 17 of 2024 wears its dam's number.
fn reused() -> Workbook {
    let mut book = Workbook::new();
    fill(
        &mut book,
        SheetKind::Cows,
        &[
            "tag,eid,birth_date,came_on,left_on,tag_from,names_before",
            "17,840003000000001,2012-03-01,2013-05-01,2022-10-05,,",
            "17,840003000000002,2021-03-11,2023-05-01,,,",
            "30,,2018-03-01,,,2024-06-01,17-A to 2024-06-01",
        ],
    );
    fill(
        &mut book,
        SheetKind::Calves,
        &[
            "tag,sex,birth_date,dam",
            "17,heifer,2024-03-20,17",
            "88,heifer,2021-03-11,30",
        ],
    );
    book
}

#[test]
fn a_tag_used_again_is_told_apart_by_the_day() {
    let book = reused();
    assert_eq!(
        look(&book, Among::Cows, "17", "2019-06-01"),
        Found::One(cow(0))
    );
    assert_eq!(
        look(&book, Among::Cows, "17", "2025-06-01"),
        Found::One(cow(1))
    );
    // Between the two nobody wore it, and without a day either may be meant.
    assert_eq!(
        look(&book, Among::Cows, "17", "2023-01-01"),
        Found::NoneFits(vec![cow(0), cow(1)])
    );
    assert_eq!(
        look(&book, Among::Cows, "17", ""),
        Found::Several(vec![cow(0), cow(1)])
    );
}

#[test]
fn a_calf_that_wears_its_dams_number_is_asked_about() {
    let book = reused();
    assert_eq!(
        look(&book, Among::All, "17", "2024-09-01"),
        Found::Several(vec![cow(1), calf(0)])
    );
    assert_eq!(
        look(&book, Among::All, "calf 17", "2024-09-01"),
        Found::One(calf(0))
    );
    assert_eq!(
        look(&book, Among::All, "Cow 17", "2024-09-01"),
        Found::One(cow(1))
    );
    assert_eq!(
        look(&book, Among::All, "cow 17 born 2012", ""),
        Found::One(cow(0))
    );
    assert_eq!(
        look(&book, Among::All, "840 003 000 000 002", "2024-09-01"),
        Found::One(cow(1))
    );
}

#[test]
fn a_name_is_carried_only_on_its_days() {
    let book = reused();
    assert_eq!(
        look(&book, Among::Cows, "17-a", "2024-05-31"),
        Found::One(cow(2))
    );
    assert_eq!(
        look(&book, Among::Cows, "17-A", "2024-06-01"),
        Found::NoneFits(vec![cow(2)])
    );
    assert_eq!(
        look(&book, Among::Cows, "30", "2024-05-31"),
        Found::NoneFits(vec![cow(2)])
    );
    assert_eq!(
        look(&book, Among::Cows, "30", "2024-06-01"),
        Found::One(cow(2))
    );
}

#[test]
fn the_shortest_name_that_is_enough_is_written() {
    let book = reused();
    let animals = Animals::new();
    let call = |animal, on: &str| animals.call(&book, animal, Among::All, Deed::OnHand, day(on));
    assert_eq!(call(cow(2), "2025-01-01"), "30");
    assert_eq!(call(cow(1), "2024-09-01"), "840003000000002");
    assert_eq!(call(calf(0), "2024-09-01"), "calf 17");
}

#[test]
fn a_kept_heifer_is_one_animal() {
    let mut book = reused();
    fill(
        &mut book,
        SheetKind::Cows,
        &[
            "tag,birth_date,came_on,came_as,tag_from,names_before",
            "301,2021-03-11,2022-05-10,raised,2022-05-10,88 to 2022-05-10",
        ],
    );
    let animals = Animals::new();
    assert_eq!(calf_rows(&book, &animals, cow(3)), [1]);
    assert_eq!(grown_rows(&book, &animals, 1), [cow(3)]);
    assert_eq!(grown_rows(&book, &animals, 0), []);
    // As a calf before she joined the cows, as a cow after, under either name.
    assert_eq!(
        look(&book, Among::All, "88", "2021-10-01"),
        Found::One(calf(1))
    );
    assert_eq!(
        look(&book, Among::All, "301", "2023-10-01"),
        Found::One(cow(3))
    );
}

#[test]
fn two_calves_that_could_be_her_are_not_linked() {
    let mut book = Workbook::new();
    fill(
        &mut book,
        SheetKind::Cows,
        &["tag,birth_date", "5,2022-03-01"],
    );
    fill(
        &mut book,
        SheetKind::Calves,
        &[
            "tag,sex,birth_date",
            "5,heifer,2022-03-01",
            "5,heifer,2022-03-01",
            "5,steer,2022-03-01",
        ],
    );
    let animals = Animals::new();
    assert_eq!(calf_rows(&book, &animals, cow(0)), [0, 1]);
    assert_eq!(grown_rows(&book, &animals, 0), []);
}

/// A cow by her tag, birth, days of coming and leaving, and an earlier tag with its last day.
#[derive(Clone, Debug)]
struct Cow {
    tag: u32,
    born: i32,
    came: Option<i32>,
    left: Option<i32>,
    before: Option<(u32, i32)>,
}

prop_compose! {
    fn any_cow()(
        tag in 0..4_u32,
        born in 0..1000_i32,
        came in prop::option::of(0..1500_i32),
        left in prop::option::of(0..2500_i32),
        before in prop::option::of((0..4_u32, 0..2000_i32)),
    ) -> Cow {
        Cow { tag, born, came, left, before }
    }
}

fn at(days: i32) -> Day {
    day("2015-01-01").plus(days)
}

impl Cow {
    fn line(&self) -> String {
        let iso = |days: Option<i32>| days.map_or_else(String::new, |days| at(days).iso());
        let (from, before) = match self.before {
            Some((name, to)) => (at(to).iso(), format!("T{name} to {}", at(to).iso())),
            None => (String::new(), String::new()),
        };
        format!(
            "T{},{},{},{},{from},{before}",
            self.tag,
            at(self.born).iso(),
            iso(self.came),
            iso(self.left)
        )
    }

    /// The rule itself, written anew.
    fn fits(&self, name: u32, on: i32) -> bool {
        let wears = match self.before {
            Some((earlier, to)) => (earlier == name && on < to) || (self.tag == name && on >= to),
            None => self.tag == name,
        };
        wears
            && self.born <= on
            && self.came.is_none_or(|came| came <= on)
            && self.left.is_none_or(|left| left >= on)
    }
}

proptest! {
    #[test]
    fn found_is_exactly_who_fits_in_any_order(
        herd in prop::collection::vec(any_cow(), 1..8),
        turn in 0..8_usize,
        name in 0..4_u32,
        on in 0..2600_i32,
    ) {
        let book_of = |order: &[usize]| {
            let mut lines = vec!["tag,birth_date,came_on,left_on,tag_from,names_before".to_owned()];
            lines.extend(order.iter().map(|&at| herd[at].line()));
            let mut book = Workbook::new();
            fill(&mut book, SheetKind::Cows, &lines.iter().map(String::as_str).collect::<Vec<_>>());
            book
        };
        let plain: Vec<usize> = (0..herd.len()).collect();
        let mut turned = plain.clone();
        turned.rotate_left(turn % herd.len());
        for order in [plain, turned] {
            let expected: Vec<usize> = order.iter().copied().filter(|&at| herd[at].fits(name, on)).collect();
            let found = Animals::new().find(&book_of(&order), Among::All, &format!("t{name}"), Deed::OnHand, at(on));
            let found: Vec<usize> = match &found {
                Found::NotThere | Found::NoneFits(_) => Vec::new(),
                Found::One(one) => vec![order[one.row as usize]],
                Found::Several(several) => {
                    prop_assert!(several.len() > 1);
                    several.iter().map(|one| order[one.row as usize]).collect()
                }
            };
            prop_assert_eq!(found, expected);
        }
    }

    #[test]
    fn what_is_written_for_an_animal_is_found_again_or_two_fit(
        herd in prop::collection::vec(any_cow(), 1..8),
        which in 0..8_usize,
        on in 0..2600_i32,
    ) {
        let mut lines = vec!["tag,birth_date,came_on,left_on,tag_from,names_before".to_owned()];
        lines.extend(herd.iter().map(Cow::line));
        let mut book = Workbook::new();
        fill(&mut book, SheetKind::Cows, &lines.iter().map(String::as_str).collect::<Vec<_>>());
        let which = which % herd.len();
        let animals = Animals::new();
        let one = cow(u32::try_from(which).expect("few rows"));
        let written = animals.call(&book, one, Among::All, Deed::OnHand, at(on));
        let found = animals.find(&book, Among::All, &written, Deed::OnHand, at(on));
        let told_apart = herd.iter().enumerate().all(|(at, other)| {
            at == which || !other.fits(herd[which].tag, on) || other.born != herd[which].born
        });
        if herd[which].fits(herd[which].tag, on) && told_apart {
            prop_assert_eq!(found, Found::One(one));
        } else {
            prop_assert_ne!(found, Found::NotThere);
        }
    }
}
