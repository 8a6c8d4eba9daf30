//! Age at weighing, and whether it lies in the window.
//!
//! Enters: birth, weaning and weigh dates. Leaves: whole days, and marks.
//! Always true: the age runs to the weigh date, else to the weaning date; a weighing dated before the birth
//! gives no age.
//! Never: counts part days.

use super::columns::CalfColumns;
use super::marks::Marks;
use crate::sheet::settings::{OutsideWindow, Settings};

/// Age at weighing in days (`i32::MIN` unknown) and its marks.
pub fn at_weighing(calves: &CalfColumns, settings: &Settings, row: usize) -> (i32, Marks) {
    let mut marks = Marks::NONE;
    let (birth, weighed) = (calves.birth[row], calves.weighed_on(row));
    if birth.is_missing() {
        marks.set(Marks::NO_BIRTH_DATE);
    }
    if weighed.is_missing() {
        marks.set(Marks::NO_WEIGH_DATE);
    }
    if calves.weigh_date[row]
        .days_since(calves.wean_date[row])
        .is_some_and(|days| days > settings.weighed_after_weaning_days)
    {
        marks.set(Marks::WEIGHED_LATE);
    }
    let Some(days) = weighed.days_since(birth) else {
        return (i32::MIN, marks);
    };
    if days < 0 {
        marks.set(Marks::WEIGHED_BEFORE_BIRTH);
        return (i32::MIN, marks);
    }
    (days, marks)
}

/// The mark of an age outside the window; none inside it.
pub fn window_mark(settings: &Settings, age_days: i32) -> Marks {
    let mark = if age_days < settings.window_from_days {
        Marks::UNDER_WINDOW
    } else if age_days > settings.window_to_days {
        Marks::OVER_WINDOW
    } else {
        return Marks::NONE;
    };
    match settings.outside_window {
        OutsideWindow::ActualOnly => mark,
        OutsideWindow::StraightAge => Marks::STRAIGHT_AGE,
    }
}
