//! The age of a dam when her calf was born, and where it is known from.
//!
//! Enters: the cow on record, and what is stated with the calf. Leaves: days, with the source.
//! Always true: the record beats the dam's dates stated with the calf, which beat a stated age in years; a
//! birth date beats a birth year. An age by calendar year counts 365.25 days a year. An age that no cow
//! can have (not above 0, or above [`OLDEST_DAM_YEARS`]) is not used.
//! Never: calls an unknown dam mature.

use super::columns::CalfColumns;
use super::dam_on_record::{CowsByTag, OnRecord};
use super::marks::Marks;
use crate::animals::register::Links;
use crate::sheet::day::Day;
use crate::sheet::workbook::Workbook;
use crate::trade::factors::FactorTable;
use crate::trade::plausible::{DAYS_PER_YEAR, OLDEST_DAM_YEARS};

/// Where the age of a dam is known from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DamAgeFrom {
    /// Nowhere.
    Unknown,
    /// Her birth date in the cows sheet.
    RecordDate,
    /// Her birth year in the cows sheet.
    RecordYear,
    /// Her birth date stated with the calf.
    StatedDate,
    /// Her birth year stated with the calf.
    StatedYear,
    /// Her age in years stated with the calf.
    StatedAge,
}

/// The age of a dam at calving.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DamAge {
    /// Days; `i32::MIN` unknown.
    pub days: i32,
    /// Where from.
    pub from: DamAgeFrom,
    /// What the cows sheet says about her tag.
    pub on_record: OnRecord,
}

impl DamAge {
    /// Her class in a table of factors and the marks that go with it; `u8::MAX` none.
    pub fn class(self, factors: &FactorTable, unknown: Marks) -> (u8, Marks) {
        if !believable(self.days) {
            return (u8::MAX, unknown);
        }
        let mut marks = match self.from {
            DamAgeFrom::RecordYear | DamAgeFrom::StatedYear => Marks::DAM_AGE_FROM_YEAR,
            DamAgeFrom::StatedAge => Marks::DAM_AGE_STATED,
            _ => Marks::NONE,
        };
        let class = factors
            .class_of(self.days)
            .and_then(|class| u8::try_from(class).ok())
            .unwrap_or(u8::MAX);
        if class == u8::MAX {
            marks.set(Marks::DAM_TOO_YOUNG);
        }
        (class, marks)
    }
}

/// True for an age that a cow can have.
pub fn believable(dam_age_days: i32) -> bool {
    dam_age_days > 0 && f64::from(dam_age_days) <= OLDEST_DAM_YEARS * DAYS_PER_YEAR
}

/// Days in so many years, rounded; `i32::MIN` when the years are missing or absurd.
pub fn days_of_years(years: f64) -> i32 {
    let days = libm::round(years * DAYS_PER_YEAR);
    if days.is_finite() && days.abs() < f64::from(i32::MAX) {
        days as i32
    } else {
        i32::MIN
    }
}

/// Finds the ages of dams for the calves of one book.
pub struct DamAges<'a> {
    cows: CowsByTag<'a>,
    dam_links: Links,
    raising_links: Links,
}

impl<'a> DamAges<'a> {
    /// Links the dams and the raising cows of the calves to the cows sheet.
    pub fn of(book: &'a Workbook, calves: &CalfColumns) -> DamAges<'a> {
        let cows = CowsByTag::of(book);
        let dam_links = cows.links(calves.dam);
        let raising_links = cows.links(calves.raised_dam);
        DamAges {
            cows,
            dam_links,
            raising_links,
        }
    }

    /// The same for a few calves: tags are looked up when asked.
    pub fn for_few(book: &'a Workbook) -> DamAges<'a> {
        DamAges {
            cows: CowsByTag::of(book),
            dam_links: Links::WhenAsked,
            raising_links: Links::WhenAsked,
        }
    }

    /// The age of the cow that bore the calf.
    pub fn birth_dam(&self, calves: &CalfColumns, row: usize) -> DamAge {
        let born = calves.birth[row];
        let on_record = self
            .cows
            .find(&self.dam_links, calves.dam, calves.dam.codes()[row], born);
        let (days, from) = match self.recorded(on_record, born) {
            (_, DamAgeFrom::Unknown) => stated(calves, row),
            known => known,
        };
        DamAge {
            days,
            from,
            on_record,
        }
    }

    /// The age, at the calf's birth, of the cow that raised a foster calf.
    pub fn raising_cow(&self, calves: &CalfColumns, row: usize) -> DamAge {
        let born = calves.birth[row];
        let on_record = self.cows.find(
            &self.raising_links,
            calves.raised_dam,
            calves.raised_dam.codes()[row],
            born,
        );
        let (days, from) = self.recorded(on_record, born);
        DamAge {
            days,
            from,
            on_record,
        }
    }

    fn recorded(&self, on_record: OnRecord, born: Day) -> (i32, DamAgeFrom) {
        // Where several cows fit that are of one age, the age is no guess, though the cow is.
        let (OnRecord::Row(row)
        | OnRecord::Several {
            first: row,
            same_age: true,
        }) = on_record
        else {
            return (i32::MIN, DamAgeFrom::Unknown);
        };
        let (birth, year) = self.cows.born(row);
        from_birth(
            born,
            birth,
            year,
            DamAgeFrom::RecordDate,
            DamAgeFrom::RecordYear,
        )
    }
}

/// What is stated with the calf itself.
pub fn stated(calves: &CalfColumns, row: usize) -> (i32, DamAgeFrom) {
    let dated = from_birth(
        calves.birth[row],
        calves.dam_birth[row],
        calves.dam_birth_year[row],
        DamAgeFrom::StatedDate,
        DamAgeFrom::StatedYear,
    );
    if dated.1 != DamAgeFrom::Unknown {
        return dated;
    }
    let years = calves.dam_age[row];
    if years.is_nan() {
        (i32::MIN, DamAgeFrom::Unknown)
    } else {
        (days_of_years(years), DamAgeFrom::StatedAge)
    }
}

fn from_birth(
    born: Day,
    dam_birth: Day,
    dam_birth_year: f64,
    by_date: DamAgeFrom,
    by_year: DamAgeFrom,
) -> (i32, DamAgeFrom) {
    if let Some(days) = born.days_since(dam_birth) {
        return (days, by_date);
    }
    match born.year() {
        Some(year) if !dam_birth_year.is_nan() => {
            (days_of_years(f64::from(year) - dam_birth_year), by_year)
        }
        _ => (i32::MIN, DamAgeFrom::Unknown),
    }
}
