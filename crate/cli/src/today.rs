//! Today's date.
//!
//! Enters: the machine's clock. Leaves: a calendar day, local.
//! Always true: this is the only place of the program that asks; the engine is told.
//! Never: a time of day.

use chrono::{Datelike, Local};
use fairpen_engine::sheet::day::Day;

/// Today, where the machine stands.
pub fn today() -> Day {
    let today = Local::now().date_naive();
    Day::from_ymd(today.year(), today.month(), today.day()).unwrap_or(Day::MISSING)
}
