//! Dates against each other, against the book's day, and ages against their windows.
//!
//! Enters: the calves' dates and ages. Leaves: findings.
//! Never: looks at the clock; "today" is the book's `as_of`.

use super::Look;
use super::code::Code;
use crate::adjust::marks::Marks;
use crate::sheet::codes::DIED;
use crate::sheet::day::Day;
use crate::trade::plausible::YEARLING_AGE_DAYS;

pub(super) fn look(look: &mut Look) {
    let calves = look.calves;
    let lived = |row: usize| !calves.never_lived(row);
    look.missing(
        Code::BirthDateMissing,
        "birth_date",
        |row| calves.birth[row].is_missing(),
        lived,
    );
    look.missing(
        Code::WeanDateMissing,
        "wean_date",
        |row| calves.wean_date[row].is_missing(),
        |row| calves.weigh_date[row].is_missing() && !calves.wean_weight[row].is_nan(),
    );
    against_the_books_day(look);
    against_each_other(look);
    windows(look);
    yearling(look);
}

fn against_the_books_day(look: &mut Look) {
    let (calves, as_of) = (look.calves, look.settings.as_of);
    if as_of.is_missing() {
        return;
    }
    let columns: [(Code, &str, &[Day]); 3] = [
        (Code::BirthDateFuture, "birth_date", calves.birth),
        (Code::WeanDateFuture, "wean_date", calves.wean_date),
        (Code::WeanDateFuture, "weigh_date", calves.weigh_date),
    ];
    for (code, key, days) in columns {
        let at = look.column(key);
        for (row, key) in look.rows() {
            if days[row] > as_of {
                look.add(code, at, key, 0);
            }
        }
    }
}

fn against_each_other(look: &mut Look) {
    let calves = look.calves;
    let allowed = look.settings.weighed_after_weaning_days;
    let (wean_date, weigh_date) = (look.column("wean_date"), look.column("weigh_date"));
    let before = |one: Day, other: Day| one.days_since(other).is_some_and(|days| days < 0);
    for (row, key) in look.rows() {
        let (birth, weaned, weighed) = (
            calves.birth[row],
            calves.wean_date[row],
            calves.weigh_date[row],
        );
        if before(weaned, birth) {
            look.add(Code::WeanedBeforeBirth, wean_date, key, 0);
        }
        if before(weighed, birth) {
            look.add(Code::WeighedBeforeBirth, weigh_date, key, 0);
        } else if let Some(days) = weighed.days_since(weaned) {
            let n = days.unsigned_abs();
            if days > allowed {
                look.add(Code::WeighedAfterWeaning, weigh_date, key, n);
            } else if days < -allowed {
                look.add(Code::WeighedBeforeWeaning, weigh_date, key, n);
            }
        }
    }
}

fn windows(look: &mut Look) {
    let (calves, adjusted, settings) = (look.calves, look.adjusted, look.settings);
    let at = look.column("birth_date");
    let outside = Marks(Marks::UNDER_WINDOW.0 | Marks::OVER_WINDOW.0 | Marks::STRAIGHT_AGE.0);
    for (row, key) in look.rows() {
        if !adjusted.marks[row].has(outside) || calves.wean_weight[row].is_nan() {
            continue;
        }
        let age = adjusted.age_days[row];
        let code = if age < settings.window_from_days {
            Code::AgeUnderWindow
        } else {
            Code::AgeOverWindow
        };
        look.add(code, at, key, age.unsigned_abs());
    }
}

fn yearling(look: &mut Look) {
    let calves = look.calves;
    let at = look.column("yearling_date");
    for (row, key) in look.rows() {
        let day = look.yearling_date[row];
        if day
            .days_since(calves.weighed_on(row))
            .is_some_and(|days| days < 0)
        {
            look.add(Code::YearlingBeforeWeaning, at, key, 0);
        } else if let Some(age) = day.days_since(calves.birth[row])
            && !(YEARLING_AGE_DAYS.0..=YEARLING_AGE_DAYS.1).contains(&age)
        {
            look.add(Code::YearlingAgeWindow, at, key, age.unsigned_abs());
        }
    }
    let weight = look.column("yearling_weight");
    for (row, key) in look.rows() {
        if look.yearling_weight[row] < calves.wean_weight[row] && calves.left_because[row] != DIED {
            look.add(Code::YearlingBelowWeaning, weight, key, 0);
        }
    }
}
