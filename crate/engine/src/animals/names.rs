//! The names an animal carried before the ones it carries now.
//!
//! Enters: a cell of the column `names_before`: `17 to 2024-03-01; 840003123456789 to 2025-01-02`. Leaves: each
//! name with its first and its last day, and back.
//! Always true: a name holds on days `from <= d < to`; without a first day it holds from the beginning.
//! Never: takes a name without a last day: it would be carried still, and belongs in the tag or EID column.

use crate::sheet::column::Kind;
use crate::sheet::day::Day;
use crate::sheet::read::{Read, ReadOptions, read_cell};
use crate::sheet::settings::WeightUnit;

/// A name with the days it was carried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DatedName {
    /// The tag or electronic ID, as written.
    pub name: String,
    /// First day; missing: from the beginning.
    pub from: Day,
    /// The day it was carried no more.
    pub to: Day,
}

impl DatedName {
    /// As it stands in a cell: `17 from 2020-04-02 to 2024-03-01`.
    pub fn text(&self) -> String {
        let from = if self.from.is_missing() {
            String::new()
        } else {
            format!(" from {}", self.from.iso())
        };
        format!("{}{from} to {}", self.name, self.to.iso())
    }
}

/// The names in a cell, each readable or the text that is not.
pub fn read(cell: &str) -> impl Iterator<Item = Result<DatedName, &str>> {
    cell.split(';')
        .map(str::trim)
        .filter(|item| !item.is_empty())
        .map(|item| one(item).ok_or(item))
}

fn one(item: &str) -> Option<DatedName> {
    let (before, to) = split_at_word(item, " to ")?;
    let to = day(to)?;
    let (name, from) = match split_at_word(before, " from ") {
        Some((name, from)) => (name, day(from)?),
        None => (before, Day::MISSING),
    };
    let name = name.trim();
    let in_order = from.is_missing() || from <= to;
    (!name.is_empty() && in_order).then(|| DatedName {
        name: name.to_owned(),
        from,
        to,
    })
}

/// Split at the last such word: a name may hold it, a date does not.
fn split_at_word<'a>(text: &'a str, word: &str) -> Option<(&'a str, &'a str)> {
    let lower = text.to_ascii_lowercase();
    let at = lower.rfind(word)?;
    Some((&text[..at], &text[at + word.len()..]))
}

fn day(text: &str) -> Option<Day> {
    // No unit is asked of a date.
    let options = ReadOptions::of_book(WeightUnit::Pound);
    match read_cell(Kind::Date, text.trim(), &options) {
        Ok(Read::Day { day, .. }) => Some(day),
        _ => None,
    }
}

/// The cell with one more name in it.
pub fn with(cell: &str, name: &DatedName) -> String {
    let cell = cell.trim().trim_end_matches(';').trim_end();
    if cell.is_empty() {
        name.text()
    } else {
        format!("{cell}; {}", name.text())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> Day {
        day(text).expect("a date")
    }

    #[test]
    fn names_are_read_with_their_days_and_written_the_same() {
        let cell = "17 to 2024-03-01; 840 003 from 2020-04-02 to 2025-01-02";
        let names: Vec<DatedName> = read(cell).map(|name| name.expect("in form")).collect();
        assert_eq!(names[0].name, "17");
        assert!(names[0].from.is_missing());
        assert_eq!(names[1].name, "840 003");
        assert_eq!(names[1].from, date("2020-04-02"));
        let again = with(&names[0].text(), &names[1]);
        assert_eq!(again, cell);
    }

    #[test]
    fn a_name_may_hold_the_words_themselves() {
        let names: Vec<_> = read("Up to Date to 2024-03-01").collect();
        assert_eq!(
            names[0].as_ref().map(|name| name.name.as_str()),
            Ok("Up to Date")
        );
    }

    #[test]
    fn a_name_without_its_last_day_is_not_taken() {
        assert_eq!(read("17").next(), Some(Err("17")));
        assert_eq!(read("17 to then").next(), Some(Err("17 to then")));
        assert_eq!(
            read("17 from 2025-01-01 to 2024-01-01").next(),
            Some(Err("17 from 2025-01-01 to 2024-01-01"))
        );
        assert_eq!(read(" ; ").next(), None);
    }
}
