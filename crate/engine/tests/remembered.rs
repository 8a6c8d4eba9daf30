//! A file like an earlier one is read as that one was.

#[allow(dead_code, reason = "each test file uses its part")]
mod common;

use common::picture;
use fairpen_engine::book::digest::Digest;
use fairpen_engine::book::{open, save};
use fairpen_engine::desk::Desk;
use fairpen_engine::import::plan::{DateOrder, ImportPlan, Target};
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::edit::Command;
use fairpen_engine::sheet::remembered::{MOST_WAYS, Remembering, Shape, Way, with_room};
use fairpen_engine::sheet::schema::SheetKind;

const MAY: &str = "EID,VID,Wt,Date,Pen side\n840003000000001,401,512,4/5/2026,N\n";
const JUNE: &str = "EID,VID,Wt,Date,Pen side\n840003000000002,402,530,4/6/2026,S\n";

fn day(text: &str) -> Day {
    fairpen_engine::book::form::day_from(text).expect("a day")
}

fn show(desk: &mut Desk, name: &str, part: &str, text: &str) {
    desk.import_begin_from(name, part, day("2026-05-03"));
    desk.import_push(text.as_bytes()).expect("text");
    desk.import_finish().expect("a table");
}

fn plan(desk: &Desk) -> &ImportPlan {
    &desk.import_shown().expect("a file").1.plan
}

fn read_by(desk: &mut Desk, text: &str, change: impl FnOnce(&mut ImportPlan)) {
    let mut changed = plan(desk).clone();
    change(&mut changed);
    desk.import_by_plan(changed).expect("begun");
    desk.import_push(text.as_bytes()).expect("text");
    desk.import_finish().expect("a table");
}

fn commit(desk: &mut Desk, text: &str) -> Vec<u8> {
    desk.import_commit(&Digest::of(text.as_bytes()))
        .expect("something to bring")
}

/// As weights of the scale: the side kept out, the day first.
fn settle(plan: &mut ImportPlan) {
    plan.choose(4, Target::LeaveOut);
    plan.choose_date_order(DateOrder::DayFirst);
}

fn settled() -> Desk {
    let mut desk = Desk::new();
    show(&mut desk, "weights may.csv", "", MAY);
    read_by(&mut desk, MAY, settle);
    assert!(desk.import_will_be_remembered());
    commit(&mut desk, MAY);
    desk
}

fn misfits(desk: &Desk) -> Vec<String> {
    let recalled = desk.import_recalled().expect("a way is remembered");
    recalled.way.misfits.clone()
}

#[test]
fn the_next_file_with_the_same_headers_is_read_the_same_way() {
    let mut desk = settled();
    show(&mut desk, "out of the scale.csv", "", JUNE);
    let recalled = desk.import_recalled().expect("a way is remembered");
    assert_eq!(recalled.way.file_name, "weights may.csv");
    assert_eq!(recalled.way.on, day("2026-05-03"));
    assert!(!recalled.changed && recalled.way.misfits.is_empty());
    assert_eq!(plan(&desk).sheet, SheetKind::Weights);
    assert_eq!(plan(&desk).columns[4].target, Target::LeaveOut);
    assert_eq!(plan(&desk).date_order, Some(DateOrder::DayFirst));
    let (_, imported) = desk.import_shown().expect("a file");
    assert_eq!(
        imported.open_questions().count(),
        0,
        "nothing is asked twice"
    );
    assert!(
        !desk.import_will_be_remembered(),
        "it is remembered already"
    );
    commit(&mut desk, JUNE);
    let weights = desk.book().sheet(SheetKind::Weights);
    let dates = weights.column("date").and_then(|c| c.days()).expect("days");
    assert_eq!(dates[1], day("2026-06-04"));
}

#[test]
fn headers_in_another_order_and_case_are_the_same_headers() {
    let mut desk = settled();
    let text = "PEN SIDE,date,wt,vid,eid\nN,4/7/2026,500,403,840003000000003\n";
    show(&mut desk, "a.csv", "", text);
    assert!(misfits(&desk).is_empty());
    assert_eq!(plan(&desk).columns[0].target, Target::LeaveOut);
    assert_eq!(plan(&desk).date_order, Some(DateOrder::DayFirst));
}

#[test]
fn what_does_not_fit_is_said_and_the_rest_is_used() {
    let mut desk = settled();
    let text = "EID,VID,Wt,Date\n840003000000002,402,530,4/6/2026\n";
    show(&mut desk, "a.csv", "", text);
    assert_eq!(misfits(&desk), ["There is no column \"Pen side\" now."]);
    assert_eq!(plan(&desk).date_order, Some(DateOrder::DayFirst));
    assert!(desk.import_will_be_remembered(), "the shape is a new one");

    let text = "EID,VID,Wt,Date,Pen side,Gate\n840003000000002,402,530,4/6/2026,S,2\n";
    show(&mut desk, "b.csv", "", text);
    assert_eq!(
        misfits(&desk),
        ["\"Gate\" was not there then: it is kept as a column of your own."]
    );

    // The file's own dates go before what is remembered.
    let text = "EID,VID,Wt,Date,Pen side\n840003000000002,402,530,4/16/2026,S\n";
    show(&mut desk, "c.csv", "", text);
    assert_eq!(
        misfits(&desk),
        ["Its dates had the day first; in this file the month comes first."]
    );
    let (_, imported) = desk.import_shown().expect("a file");
    assert_eq!(imported.date_order, Some(DateOrder::MonthFirst));
    assert_eq!(imported.columns[3].n_unreadable, 0);
}

#[test]
fn a_file_of_another_shape_is_guessed() {
    let mut desk = settled();
    show(
        &mut desk,
        "a.csv",
        "",
        "EID,Wt,Temper,Hide,Eye\n84000,5,1,red,ok\n",
    );
    assert!(desk.import_recalled().is_none());
    show(&mut desk, "b.csv", "", "\n\nx\n1\n");
    assert!(desk.import_recalled().is_none());
}

#[test]
fn no_column_is_given_to_two() {
    let mut desk = Desk::new();
    let first = "Tag,Number,Weight,Date,Gate\n1,401,512,2026-05-04,2\n";
    show(&mut desk, "weights.csv", "", first);
    read_by(&mut desk, first, |plan| {
        plan.choose(1, Target::Known("animal".to_owned()));
    });
    commit(&mut desk, first);
    // A header that names the animal stands beside the one that was chosen for it.
    let text = "Number,Weight,Date,Gate,Animal\n402,500,2026-06-04,2,x\n";
    show(&mut desk, "weights.csv", "", text);
    assert!(desk.import_recalled().is_some());
    let animals = plan(&desk)
        .columns
        .iter()
        .filter(|column| column.target == Target::Known("animal".to_owned()))
        .count();
    assert_eq!(animals, 1);
    assert_eq!(
        plan(&desk).columns[0].target,
        Target::Known("animal".to_owned())
    );
    commit(&mut desk, text);
}

#[test]
fn the_memory_goes_with_the_import_and_comes_back_with_it() {
    let mut desk = Desk::new();
    let before = picture(desk.book());
    let mut journal = Vec::new();
    show(&mut desk, "weights may.csv", "", MAY);
    read_by(&mut desk, MAY, settle);
    journal.extend(commit(&mut desk, MAY));
    let after = picture(desk.book());
    assert_eq!(desk.book().remembered.len(), 1);
    journal.extend(desk.undo().expect("back"));
    assert_eq!(picture(desk.book()), before);
    journal.extend(desk.redo().expect("again"));
    assert_eq!(picture(desk.book()), after);

    let mut played = Desk::new();
    played.provide_file(MAY.as_bytes().to_vec());
    assert_eq!(played.replay(&journal).n_set_aside, 0);
    assert_eq!(picture(played.book()), after);
    let opened = open::open(&save::save(desk.book()).expect("saved")).expect("opened");
    assert_eq!(picture(&opened), after);
}

#[test]
fn forgetting_is_one_change_that_can_be_undone() {
    let mut desk = settled();
    let shape = desk.book().remembered.keys().next().expect("one").clone();
    desk.change(Command::Remember(vec![Remembering { shape, way: None }]))
        .expect("forgotten");
    show(&mut desk, "a.csv", "", JUNE);
    assert!(desk.import_recalled().is_none());
    desk.import_cancel();
    assert_eq!(
        desk.history().undo_words(),
        Some("forgetting how a file is read")
    );
    desk.undo().expect("back");
    show(&mut desk, "a.csv", "", JUNE);
    assert!(desk.import_recalled().is_some());
}

#[test]
fn read_anew_is_guessed_and_holds_from_then_on() {
    let mut desk = settled();
    show(&mut desk, "weights june.csv", "", JUNE);
    desk.import_anew(None).expect("begun");
    desk.import_push(JUNE.as_bytes()).expect("text");
    desk.import_finish().expect("a table");
    assert!(desk.import_recalled().is_none());
    assert_eq!(plan(&desk).columns[4].target, Target::Own);
    commit(&mut desk, JUNE);
    show(&mut desk, "b.csv", "", JUNE);
    assert_eq!(plan(&desk).columns[4].target, Target::Own);
    assert_eq!(plan(&desk).date_order, None);
}

#[test]
fn the_sheet_of_a_spreadsheet_file_tells_two_alike_apart() {
    let mut desk = Desk::new();
    let text = "Tag,Date,Weight\n1,2026-05-04,512\n";
    for (part, target) in [("Cows", Target::LeaveOut), ("Calves", Target::Own)] {
        show(&mut desk, "herd weights.xlsx", part, text);
        read_by(&mut desk, text, |plan| plan.choose(2, target.clone()));
        commit(&mut desk, text);
    }
    assert_eq!(desk.book().remembered.len(), 2);
    for (part, target) in [("Cows", Target::LeaveOut), ("Calves", Target::Own)] {
        show(&mut desk, "herd 2.xlsx", part, text);
        assert_eq!(plan(&desk).columns[2].target, target);
    }
}

#[test]
fn the_oldest_ways_make_room() {
    let desk = settled();
    let known = desk.book().remembered.values().next().expect("one").clone();
    let mut remembered = fairpen_engine::sheet::remembered::Remembered::new();
    for n in 0..MOST_WAYS + 5 {
        let shape = Shape::of("", [format!("h{n}").as_str()]);
        let way = Way {
            on: day("2026-01-01").plus(i32::try_from(n).expect("small")),
            ..known.clone()
        };
        for Remembering { shape, way } in with_room(&remembered, shape, way) {
            match way {
                Some(way) => remembered.insert(shape, *way),
                None => remembered.remove(&shape),
            };
        }
    }
    assert_eq!(remembered.len(), MOST_WAYS);
    assert!(!remembered.contains_key(&Shape::of("", ["h4"])));
    assert!(remembered.contains_key(&Shape::of("", ["h5"])));
}
