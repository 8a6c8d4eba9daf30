//! Names told apart by words: `cow 17`, `calf 17 born 2026`, `calf 17 born 2026-03-14`.
//!
//! Enters: a text that is no animal's name as it stands. Leaves: the sheet, the name, and what is said of the birth.
//! Always true: a person can write it into any cell that names an animal, and it reads the same in any program.
//! Never: takes a text for such words while an animal carries it as a name.

use super::facts::Facts;
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;

/// What is said of the birth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Born {
    /// Nothing.
    Unsaid,
    /// The year.
    Year(i32),
    /// The day.
    On(Day),
}

impl Born {
    /// Whether a row was born so; a row whose birth is not known was not.
    pub fn fits(self, facts: &Facts, row: u32) -> bool {
        match self {
            Born::Unsaid => true,
            Born::Year(year) => facts.year_of_birth(row) == Some(year),
            Born::On(day) => facts.born(row).0 == day,
        }
    }
}

/// A name told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spoken<'a> {
    /// The sheet that was named.
    pub sheet: SheetKind,
    /// The name itself.
    pub name: &'a str,
    /// What is said of the birth.
    pub born: Born,
}

/// The word for an animal of a sheet.
pub const fn word(sheet: SheetKind) -> &'static str {
    match sheet {
        SheetKind::Calves => "calf",
        SheetKind::Cows => "cow",
        SheetKind::Bulls => "bull",
        _ => "",
    }
}

/// Reads `calf 17 born 2026`; `None` when the text is not in that form.
pub fn read(text: &str) -> Option<Spoken<'_>> {
    let text = text.trim();
    let (first, rest) = text.split_once(char::is_whitespace)?;
    let sheet = [SheetKind::Calves, SheetKind::Cows, SheetKind::Bulls]
        .into_iter()
        .find(|sheet| word(*sheet).eq_ignore_ascii_case(first))?;
    let rest = rest.trim();
    let told = rest
        .to_ascii_lowercase()
        .rfind(" born ")
        .and_then(|at| Some((rest[..at].trim(), born(rest[at + 6..].trim())?)));
    let (name, born) = told.unwrap_or((rest, Born::Unsaid));
    (!name.is_empty()).then_some(Spoken { sheet, name, born })
}

fn born(text: &str) -> Option<Born> {
    let mut parts = text.split('-');
    let year: i32 = parts.next()?.parse().ok()?;
    match (parts.next(), parts.next(), parts.next()) {
        (None, None, None) => (1900..=9999).contains(&year).then_some(Born::Year(year)),
        (Some(month), Some(day), None) => {
            Day::from_ymd(year, month.parse().ok()?, day.parse().ok()?).map(Born::On)
        }
        _ => None,
    }
}

/// The words for an animal.
pub fn write(sheet: SheetKind, name: &str, born: Born) -> String {
    let word = word(sheet);
    match born {
        Born::Unsaid => format!("{word} {name}"),
        Born::Year(year) => format!("{word} {name} born {year}"),
        Born::On(day) => format!("{word} {name} born {}", day.iso()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_reads_the_same() {
        let day = Day::from_ymd(2026, 3, 14).expect("a real day");
        for born in [Born::Unsaid, Born::Year(2026), Born::On(day)] {
            for sheet in [SheetKind::Calves, SheetKind::Cows, SheetKind::Bulls] {
                let text = write(sheet, "B 17", born);
                assert_eq!(
                    read(&text),
                    Some(Spoken {
                        sheet,
                        name: "B 17",
                        born
                    }),
                    "{text}"
                );
            }
        }
    }

    #[test]
    fn other_texts_are_not_taken() {
        assert_eq!(read("17"), None);
        assert_eq!(read("cow"), None);
        assert_eq!(read("goat 17"), None);
        assert_eq!(
            read("cow 17 born early").map(|told| told.name),
            Some("17 born early")
        );
    }
}
