//! One cell in one style.
//!
//! Enters: a calf, which fact about it is wanted, and how the style spells things. Leaves: the cell's
//! text. Always true: the same fact in two styles is the same fact (kilograms to one tenth). Never:
//! quotes or delimiters, which are the table's work.

use chrono::{Datelike, NaiveDate};

use super::herd::Entry;
use crate::calf::Sex;

/// Facts a column may hold: each the one its name says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    Tag,
    Eid,
    Sex,
    BirthDate,
    BirthWeight,
    CalvingEase,
    Breed,
    Dam,
    DamAge,
    DamBirthDate,
    DamBirthYear,
    Sire,
    Pen,
    Pasture,
    Management,
    Creep,
    WeanDate,
    WeighDate,
    WeanWeight,
    YearlingDate,
    YearlingWeight,
    Remarks,
    Temper,
    Color,
}

/// How a style spells dates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dates {
    /// 2026-03-09
    Iso,
    /// 3/9/2026
    MonthDayYear,
    /// 3/9/26
    MonthDayShortYear,
    /// 9-Mar-2026
    DayMonthName,
}

/// How a style spells its cells.
#[derive(Debug, Clone, Copy)]
pub struct Spelling {
    /// Dates.
    pub dates: Dates,
    /// Words for bull, steer and heifer.
    pub sexes: [&'static str; 3],
    /// Weights in kilograms to one tenth, rather than whole pounds.
    pub kilograms: bool,
    /// A comma between whole and part, rather than a point.
    pub decimal_comma: bool,
}

/// The cell.
pub fn cell(entry: &Entry, field: Field, spelling: &Spelling) -> String {
    let calf = &entry.calf;
    let weight = |value: Option<i64>| value.map(|w| weight(w, spelling)).unwrap_or_default();
    let date =
        |value: Option<NaiveDate>| value.map(|d| date(d, spelling.dates)).unwrap_or_default();
    match field {
        Field::Tag => calf.tag.clone(),
        Field::Eid => calf.eid.clone(),
        Field::Sex => match calf.sex {
            Sex::Bull => spelling.sexes[0],
            Sex::Steer => spelling.sexes[1],
            Sex::Heifer => spelling.sexes[2],
        }
        .to_owned(),
        Field::BirthDate => date(Some(calf.birth_date)),
        Field::BirthWeight => weight(calf.birth_weight),
        Field::CalvingEase => crate::calf::number(calf.calving_ease),
        Field::Breed => calf.breed.clone(),
        Field::Dam => calf.dam.clone(),
        Field::DamAge => crate::calf::number(calf.dam_age),
        Field::DamBirthDate => date(Some(entry.dam_birth)),
        Field::DamBirthYear => entry.dam_birth.year().to_string(),
        Field::Sire => calf.sire.clone(),
        Field::Pen => entry.pen.to_string(),
        Field::Pasture => ["Hill", "Creek", "East"][entry.pen - 1].to_owned(),
        Field::Management => if entry.creep {
            "creep fed pens"
        } else {
            "pens, no creep"
        }
        .to_owned(),
        Field::Creep => if entry.creep { "Y" } else { "N" }.to_owned(),
        Field::WeanDate => date(calf.wean_date),
        Field::WeighDate => date(calf.weigh_date),
        Field::WeanWeight => weight(calf.wean_weight),
        Field::YearlingDate => date(calf.yearling_date),
        Field::YearlingWeight => weight(calf.yearling_weight),
        Field::Remarks => calf.note.clone(),
        Field::Temper => entry.temper.to_owned(),
        Field::Color => entry.color.to_owned(),
    }
}

fn date(date: NaiveDate, dates: Dates) -> String {
    let (year, month, day) = (date.year(), date.month(), date.day());
    match dates {
        Dates::Iso => date.to_string(),
        Dates::MonthDayYear => format!("{month}/{day}/{year}"),
        Dates::MonthDayShortYear => format!("{month}/{day}/{:02}", year % 100),
        Dates::DayMonthName => {
            const MONTHS: [&str; 12] = [
                "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
            ];
            format!("{day}-{}-{year}", MONTHS[date.month0() as usize])
        }
    }
}

/// A weight given in whole pounds. A pound is exactly 0.45359237 kg (international yard and pound
/// agreement, 1959), so tenths of a kilogram come out by whole-number arithmetic.
fn weight(pounds: i64, spelling: &Spelling) -> String {
    if !spelling.kilograms {
        return pounds.to_string();
    }
    let tenths = (pounds * 45_359_237 + 5_000_000).div_euclid(10_000_000);
    let point = if spelling.decimal_comma { ',' } else { '.' };
    format!("{}{point}{}", tenths / 10, tenths % 10)
}
