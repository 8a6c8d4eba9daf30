//! The sentences of findings in the sheets beside the calves, and about names that stand for others.
//!
//! Enters: a code and what stands in the cells beside it. Leaves: a message and a hint.
//! Always true: plain words; a name that fits two says that it is used nowhere until it is mended.
//! Never: looks for anything itself.

use super::code::Code;
use super::words::Said;
use crate::animals::names;
use crate::animals::spoken::word;
use crate::note::counted;
use crate::sheet::column::Column;
use crate::sheet::schema::SheetKind;
use crate::trade::plausible::{EARLIEST_YEAR, number_range};

impl Said<'_> {
    /// Message and hint; `None` for codes whose sentences stand elsewhere.
    pub(super) fn row_of_a_sheet(
        &self,
        code: Code,
        column: &Column,
    ) -> Option<(String, &'static str)> {
        let other = self.finding.other;
        let (label, cell) = (column.label.as_str(), self.cell(&column.key));
        let sheet = self.finding.sheet;
        Some(match code {
            Code::RowNamesNothing => (
                format!(
                    "\"{label}\" is blank, so the row does not say {}.",
                    lacking(sheet, &column.key)
                ),
                "Fill the cell in, or take the row out.",
            ),
            Code::DateFuture => (
                format!(
                    "\"{label}\" is {cell}, after {}, the day this book is as of.",
                    self.settings().as_of.iso()
                ),
                "Correct the date, most likely its year, or the book's day in the settings.",
            ),
            Code::DateFarAhead => {
                let as_of = self.settings().as_of;
                (
                    if as_of.is_missing() {
                        format!("\"{label}\" is {cell}, long after the other dates of this book.")
                    } else {
                        format!(
                            "\"{label}\" is {cell}, more than a year after {}, the day this book is as of.",
                            as_of.iso()
                        )
                    },
                    "Correct the date, most likely its year: 2062 may be 1962 or 2026.",
                )
            }
            Code::DateLongAgo => (
                format!("\"{label}\" is {cell}, before {EARLIEST_YEAR}."),
                "Correct the date, most likely its year.",
            ),
            Code::DateOrder => {
                let earlier = self.column_at(other);
                (
                    format!(
                        "\"{label}\" is {cell}, before \"{}\", {}.",
                        earlier.map_or("", |column| column.label.as_str()),
                        earlier.map_or_else(String::new, |column| self.cell(&column.key))
                    ),
                    "Correct one of the two dates.",
                )
            }
            Code::NumberRange => {
                let unit = self.settings().weight_unit;
                let scored = self.cell("what");
                let range = number_range(sheet, &column.key, &scored, unit);
                let of = if column.key == "value" {
                    scored
                } else {
                    label.to_owned()
                };
                (
                    match range {
                        Some(range) => format!(
                            "{cell} is outside {} to {} for \"{of}\".",
                            range.from, range.to
                        ),
                        None => format!("{cell} can hardly be right for \"{of}\"."),
                    },
                    "Correct the number, or clear the cell if it is not known.",
                )
            }
            Code::BirthYearDisagrees => (
                format!(
                    "Birth year {cell}, but born {}. The date was used.",
                    self.cell("birth_date")
                ),
                "Correct the wrong one, or clear the birth year.",
            ),
            Code::CowAgeDisagrees => (
                format!(
                    "{} given with calf {} in the calves sheet.",
                    self.cow_and_stated(other),
                    self.text_in(SheetKind::Calves, other, "tag"),
                ),
                "Correct the wrong one. This sheet is used before what is given with the calf.",
            ),
            Code::TagTwiceAtOnce => (
                format!(
                    "{} carries the same tag or electronic ID as {} on the same days. Nothing is taken from either by that name.",
                    self.cell("tag"),
                    self.other_row()
                ),
                "Give the days they came and left, or correct the tag. If she got a new tag, use \"Give a new tag\".",
            ),
            Code::NamesBeforeForm => (
                format!(
                    "\"{}\" is no name with its last day; it was not used.",
                    names::read(&cell).find_map(Result::err).unwrap_or("")
                ),
                "Write each as NAME to DAY, with ; between them: 17 to 2024-03-01.",
            ),
            Code::NameUnknown => (
                format!(
                    "{cell} is not on the {} sheet{}. The name is kept as it is.",
                    home(sheet, &column.key),
                    if other > 1 {
                        format!("; it stands in {}", counted(other as usize, "row"))
                    } else {
                        String::new()
                    }
                ),
                "Add a row for it there, or correct the name.",
            ),
            Code::NameTakenOff => (
                format!(
                    "{cell} was taken off this record{}, so nothing is known of it here. The name is kept as it is.",
                    if other > 1 {
                        format!("; it stands in {}", counted(other as usize, "row"))
                    } else {
                        String::new()
                    }
                ),
                "Bring it back, or correct the name.",
            ),
            Code::NameNotThere => (
                format!(
                    "{cell}: that name is on record, but no such animal can have been there that day, or was called so then. It is used nowhere."
                ),
                "Correct the name or the date here, or the days it came, left or got its tag there.",
            ),
            Code::NameSeveral if sheet == SheetKind::Places => (
                format!("{} has {} rows.", cell, other),
                "Take the rows together, or tell the names apart.",
            ),
            Code::NameSeveral => (
                format!(
                    "{cell} fits {} on record that day. It is used nowhere until you say which.",
                    counted(other as usize, "animal")
                ),
                "Choose one: its electronic ID does, or words: cow 17, calf 17, calf 17 born 2026.",
            ),
            Code::KeptSeveral => (
                format!(
                    "{} of the calves sheet could be the calf this {} was. None is linked.",
                    counted(other as usize, "row"),
                    word(sheet)
                ),
                "Give the electronic ID in both places, or take a calf out that was entered twice.",
            ),
            _ => return None,
        })
    }

    /// What both rows say: `Born 2019-04-02 here; age in years 3 is`.
    fn cow_and_stated(&self, calf: u32) -> String {
        let stated: Vec<String> = [
            ("dam_birth_date", "dam born"),
            ("dam_birth_year", "dam birth year"),
            ("dam_age", "dam age in years"),
        ]
        .into_iter()
        .filter_map(|(key, words)| {
            let cell = self.text_in(SheetKind::Calves, calf, key);
            (cell != "blank").then(|| format!("{words} {cell}"))
        })
        .collect();
        let born = match self.cell("birth_date").as_str() {
            "blank" => format!("birth year {}", self.cell("birth_year")),
            born => format!("born {born}"),
        };
        format!("On this sheet she is {born}, but {} is", stated.join(", "))
    }
}

/// What a row without this cell does not say.
fn lacking(sheet: SheetKind, key: &str) -> &'static str {
    match (sheet, key) {
        (SheetKind::Treatments, "animal") => "which animal or place it is about",
        (_, "animal" | "cow" | "tag") => "which animal it is about",
        (_, "name" | "place") => "which place it is about",
        (_, "what") => "what was scored",
        (_, "result") => "what was found",
        (_, "product") => "what was given",
        _ => "when it was",
    }
}

/// The sheet that a column's names belong on.
fn home(sheet: SheetKind, key: &str) -> &'static str {
    use crate::animals::links::{StandsFor, stands_for};
    match stands_for(sheet, key).and_then(StandsFor::home) {
        Some(SheetKind::Cows) => "cows",
        Some(SheetKind::Bulls) => "bulls",
        Some(SheetKind::Places) => "places",
        _ => "calves, cows or bulls",
    }
}
