//! One calf of a sample book.
//!
//! Enters: what a generator decided about a calf. Leaves: the cells of its row in a `calves.csv`.
//! Always true: dates are ISO, weights whole pounds, and what was not recorded is an empty cell.
//! Never: a computed figure (adjusted weights, ages), which is the engine's work.

use chrono::NaiveDate;

/// Sex of a calf as it stood when it was weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sex {
    /// Left whole.
    Bull,
    /// Castrated.
    Steer,
    /// Female.
    Heifer,
}

impl Sex {
    /// The word in the sex column.
    pub fn word(self) -> &'static str {
        match self {
            Sex::Bull => "bull",
            Sex::Steer => "steer",
            Sex::Heifer => "heifer",
        }
    }

    /// True for bulls and steers.
    pub fn is_male(self) -> bool {
        self != Sex::Heifer
    }
}

/// Columns of a calves sheet, in the order the sample books write them.
pub const COLUMNS: [&str; 24] = [
    "tag",
    "eid",
    "sex",
    "birth_date",
    "birth_weight",
    "calving_ease",
    "breed",
    "dam",
    "dam_age",
    "sire",
    "born_as",
    "raised_by",
    "raised_dam",
    "place",
    "management",
    "creep",
    "wean_date",
    "weigh_date",
    "wean_weight",
    "yearling_date",
    "yearling_weight",
    "left_on",
    "left_because",
    "note",
];

/// One calf. Weights in whole pounds; `None` and empty text are "not recorded".
#[derive(Debug, Clone, PartialEq, Eq)]
#[expect(
    missing_docs,
    reason = "each field is the column of the same name, described in product terms in the sample books' README"
)]
pub struct Calf {
    pub tag: String,
    pub eid: String,
    pub sex: Sex,
    pub birth_date: NaiveDate,
    pub birth_weight: Option<i64>,
    pub calving_ease: Option<i64>,
    pub breed: String,
    pub dam: String,
    pub dam_age: Option<i64>,
    pub sire: String,
    pub born_as: &'static str,
    pub raised_by: &'static str,
    pub raised_dam: String,
    pub place: String,
    pub management: String,
    pub creep: &'static str,
    pub wean_date: Option<NaiveDate>,
    pub weigh_date: Option<NaiveDate>,
    pub wean_weight: Option<i64>,
    pub yearling_date: Option<NaiveDate>,
    pub yearling_weight: Option<i64>,
    pub left_on: Option<NaiveDate>,
    pub left_because: &'static str,
    pub note: String,
}

impl Calf {
    /// A calf with only what is known on the day of birth.
    pub fn born(tag: String, sex: Sex, birth_date: NaiveDate, dam: String) -> Self {
        Self {
            tag,
            eid: String::new(),
            sex,
            birth_date,
            birth_weight: None,
            calving_ease: None,
            breed: String::new(),
            dam,
            dam_age: None,
            sire: String::new(),
            born_as: "single",
            raised_by: "own dam",
            raised_dam: String::new(),
            place: String::new(),
            management: String::new(),
            creep: "",
            wean_date: None,
            weigh_date: None,
            wean_weight: None,
            yearling_date: None,
            yearling_weight: None,
            left_on: None,
            left_because: "",
            note: String::new(),
        }
    }

    /// The day it was weighed: the weigh date, or the weaning date where that is blank.
    pub fn weighed_on(&self) -> Option<NaiveDate> {
        self.weigh_date.or(self.wean_date)
    }

    /// The row's cells, in the order of [`COLUMNS`].
    pub fn cells(&self) -> Vec<String> {
        vec![
            self.tag.clone(),
            self.eid.clone(),
            self.sex.word().to_owned(),
            self.birth_date.to_string(),
            number(self.birth_weight),
            number(self.calving_ease),
            self.breed.clone(),
            self.dam.clone(),
            number(self.dam_age),
            self.sire.clone(),
            self.born_as.to_owned(),
            self.raised_by.to_owned(),
            self.raised_dam.clone(),
            self.place.clone(),
            self.management.clone(),
            self.creep.to_owned(),
            date(self.wean_date),
            date(self.weigh_date),
            number(self.wean_weight),
            date(self.yearling_date),
            number(self.yearling_weight),
            date(self.left_on),
            self.left_because.to_owned(),
            self.note.clone(),
        ]
    }
}

/// A number's cell; empty where there is none.
pub fn number(value: Option<i64>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}

/// A date's cell; empty where there is none.
pub fn date(value: Option<NaiveDate>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}

/// A date of the calendar. Panics on a day that does not exist, which would be a slip in the
/// generator.
pub fn day(year: i32, month: u32, day_of_month: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day_of_month).expect("the generator names real days")
}
