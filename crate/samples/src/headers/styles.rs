//! The header styles.
//!
//! Enters: nothing. Leaves: for each style its columns, spelling and layout. Always true: no two
//! styles share both header and layout. Never: which column key a name stands for; the expected
//! mapping beside each file is written apart, so the two can disagree.

use super::field::{Dates, Field, Spelling};
use crate::table::{Layout, PLAIN};

/// The columns of a style: name as written, and what it holds.
#[derive(Debug)]
pub struct Columns(pub &'static [(&'static str, Field)]);

impl Columns {
    /// The names alone.
    pub fn map_names(&self) -> Vec<&'static str> {
        self.0.iter().map(|(name, _)| *name).collect()
    }
}

/// One style.
#[derive(Debug)]
pub struct Style {
    /// File name without its ending.
    pub name: &'static str,
    /// How many calves the file holds.
    pub calves: usize,
    /// Columns.
    pub columns: Columns,
    /// How cells are spelled.
    pub spelling: Spelling,
    /// How the file is laid out.
    pub layout: Layout,
}

const fn spelled(dates: Dates, sexes: [&'static str; 3]) -> Spelling {
    Spelling {
        dates,
        sexes,
        kilograms: false,
        decimal_comma: false,
    }
}

const WORDS: [&str; 3] = ["bull", "steer", "heifer"];
const TITLE: [&str; 3] = ["Bull", "Steer", "Heifer"];
const SHORT: [&str; 3] = ["Bull", "Str", "Hfr"];
const LETTERS: [&str; 3] = ["B", "S", "H"];
const CALF_WORDS: [&str; 3] = ["bull calf", "steer calf", "heifer calf"];
const MALE_FEMALE: [&str; 3] = ["M", "M", "F"];

/// Every style.
pub const STYLES: [Style; 16] = [
    Style {
        name: "terse",
        calves: 24,
        columns: Columns(&[
            ("id", Field::Tag),
            ("sx", Field::Sex),
            ("bd", Field::BirthDate),
            ("bw", Field::BirthWeight),
            ("wd", Field::WeanDate),
            ("ww", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::Iso, LETTERS),
        layout: PLAIN,
    },
    Style {
        name: "wordy",
        calves: 30,
        columns: Columns(&[
            ("Calf Identification Number", Field::Tag),
            ("Sex of Calf", Field::Sex),
            ("Date of Birth", Field::BirthDate),
            ("Weight at Birth (pounds)", Field::BirthWeight),
            ("Identification Number of Dam", Field::Dam),
            ("Age of Dam (years)", Field::DamAge),
            ("Sire of Calf", Field::Sire),
            ("Date of Weaning", Field::WeanDate),
            ("Weight at Weaning (pounds)", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::MonthDayYear, TITLE),
        layout: PLAIN,
    },
    Style {
        name: "units-in-names",
        calves: 28,
        columns: Columns(&[
            ("Tag #", Field::Tag),
            ("Sex", Field::Sex),
            ("Birth Date", Field::BirthDate),
            ("Birth wt (lb)", Field::BirthWeight),
            ("Dam", Field::Dam),
            ("Dam age (yr)", Field::DamAge),
            ("Pen #", Field::Pen),
            ("Wean Date", Field::WeanDate),
            ("Wean Wt lbs", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::MonthDayYear, SHORT),
        layout: PLAIN,
    },
    Style {
        name: "kilograms",
        calves: 26,
        columns: Columns(&[
            ("Calf ID", Field::Tag),
            ("Sex", Field::Sex),
            ("DOB", Field::BirthDate),
            ("BWT (kg)", Field::BirthWeight),
            ("Dam ID", Field::Dam),
            ("Dam Age", Field::DamAge),
            ("Wean Date", Field::WeanDate),
            ("WWT (kg)", Field::WeanWeight),
            ("Group", Field::Management),
        ]),
        spelling: Spelling {
            dates: Dates::Iso,
            sexes: WORDS,
            kilograms: true,
            decimal_comma: false,
        },
        layout: PLAIN,
    },
    Style {
        name: "underscores",
        calves: 22,
        columns: Columns(&[
            ("calf_id", Field::Tag),
            ("calf_sex", Field::Sex),
            ("birth_dt", Field::BirthDate),
            ("birth_wt", Field::BirthWeight),
            ("dam_id", Field::Dam),
            ("dam_age_yrs", Field::DamAge),
            ("sire_id", Field::Sire),
            ("date_wean", Field::WeanDate),
            ("wt_wean", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::Iso, LETTERS),
        layout: PLAIN,
    },
    Style {
        name: "camel-case",
        calves: 32,
        columns: Columns(&[
            ("calfTag", Field::Tag),
            ("sex", Field::Sex),
            ("birthDate", Field::BirthDate),
            ("birthWt", Field::BirthWeight),
            ("damTag", Field::Dam),
            ("ageOfDam", Field::DamAge),
            ("pastureName", Field::Pasture),
            ("weanDate", Field::WeanDate),
            ("weanWtLb", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::Iso, CALF_WORDS),
        layout: PLAIN,
    },
    Style {
        name: "other-word-order",
        calves: 25,
        columns: Columns(&[
            ("ear tag", Field::Tag),
            ("mother", Field::Dam),
            ("cow age", Field::DamAge),
            ("born", Field::BirthDate),
            ("wt at birth", Field::BirthWeight),
            ("sex", Field::Sex),
            ("father", Field::Sire),
            ("wt weaned", Field::WeanWeight),
            ("weaning date", Field::WeanDate),
            ("weigh date", Field::WeighDate),
        ]),
        spelling: spelled(Dates::MonthDayYear, CALF_WORDS),
        layout: PLAIN,
    },
    Style {
        name: "pen-and-management",
        calves: 36,
        columns: Columns(&[
            ("Calf", Field::Tag),
            ("Sex", Field::Sex),
            ("Born", Field::BirthDate),
            ("Birth Wt", Field::BirthWeight),
            ("Cow", Field::Dam),
            ("Cow Age", Field::DamAge),
            ("Bull", Field::Sire),
            ("Pen", Field::Pen),
            ("Mgmt", Field::Management),
            ("Weaned", Field::WeanDate),
            ("Wean Wt", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::MonthDayYear, SHORT),
        layout: PLAIN,
    },
    Style {
        name: "semicolon-decimal-comma",
        calves: 21,
        columns: Columns(&[
            ("Tag", Field::Tag),
            ("Sex", Field::Sex),
            ("Birth date", Field::BirthDate),
            ("Birth weight kg", Field::BirthWeight),
            ("Dam", Field::Dam),
            ("Dam birth year", Field::DamBirthYear),
            ("Location", Field::Pasture),
            ("Wean date", Field::WeanDate),
            ("Wean weight kg", Field::WeanWeight),
        ]),
        spelling: Spelling {
            dates: Dates::Iso,
            sexes: WORDS,
            kilograms: true,
            decimal_comma: true,
        },
        layout: Layout {
            delimiter: b';',
            ..PLAIN
        },
    },
    Style {
        name: "tabs",
        calves: 27,
        columns: Columns(&[
            ("Tag No.", Field::Tag),
            ("EID No.", Field::Eid),
            ("Sex", Field::Sex),
            ("Birthdate", Field::BirthDate),
            ("Birthweight", Field::BirthWeight),
            ("Calving ease", Field::CalvingEase),
            ("Cow ID", Field::Dam),
            ("Age of cow", Field::DamAge),
            ("Wean date", Field::WeanDate),
            ("Weaning wt.", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::MonthDayShortYear, LETTERS),
        layout: Layout {
            delimiter: b'\t',
            ..PLAIN
        },
    },
    Style {
        name: "crlf-byte-mark",
        calves: 29,
        columns: Columns(&[
            ("Calf Tag", Field::Tag),
            ("Calf Sex", Field::Sex),
            ("Calf DOB", Field::BirthDate),
            ("Calf Birth Weight", Field::BirthWeight),
            ("Dam Tag", Field::Dam),
            ("Dam DOB", Field::DamBirthDate),
            ("Weaning Date", Field::WeanDate),
            ("Weaning Weight", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::DayMonthName, TITLE),
        layout: Layout {
            crlf: true,
            byte_order_mark: true,
            ..PLAIN
        },
    },
    Style {
        name: "quoted-remarks",
        calves: 33,
        columns: Columns(&[
            ("Tag", Field::Tag),
            ("Sex", Field::Sex),
            ("Birth Date", Field::BirthDate),
            ("Birth Weight, lb", Field::BirthWeight),
            ("Dam", Field::Dam),
            ("Dam Age", Field::DamAge),
            ("Temper", Field::Temper),
            ("Color", Field::Color),
            ("Wean Date", Field::WeanDate),
            ("Wean Weight, lb", Field::WeanWeight),
            ("Remarks", Field::Remarks),
        ]),
        spelling: spelled(Dates::MonthDayYear, TITLE),
        layout: Layout {
            quote_all: true,
            crlf: true,
            ..PLAIN
        },
    },
    Style {
        name: "yearlings",
        calves: 20,
        columns: Columns(&[
            ("Visual Tag", Field::Tag),
            ("Electronic ID", Field::Eid),
            ("Sex", Field::Sex),
            ("Breed", Field::Breed),
            ("Birth Date", Field::BirthDate),
            ("Birth Wt", Field::BirthWeight),
            ("Dam", Field::Dam),
            ("AOD", Field::DamAge),
            ("Wean Date", Field::WeanDate),
            ("Wean Wt", Field::WeanWeight),
            ("Yearling Date", Field::YearlingDate),
            ("Yearling Wt", Field::YearlingWeight),
        ]),
        spelling: spelled(Dates::Iso, TITLE),
        layout: PLAIN,
    },
    Style {
        name: "lot-and-creep",
        calves: 40,
        columns: Columns(&[
            ("lot", Field::Pen),
            ("creep fed (y/n)", Field::Creep),
            ("calf no", Field::Tag),
            ("sex", Field::Sex),
            ("calved", Field::BirthDate),
            ("birth lbs", Field::BirthWeight),
            ("cow no", Field::Dam),
            ("age of dam", Field::DamAge),
            ("sire", Field::Sire),
            ("date weaned", Field::WeanDate),
            ("date weighed", Field::WeighDate),
            ("weaning lbs", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::DayMonthName, LETTERS),
        layout: PLAIN,
    },
    Style {
        name: "upper-case",
        calves: 23,
        columns: Columns(&[
            ("TAG NO", Field::Tag),
            ("SEX", Field::Sex),
            ("DATE BORN", Field::BirthDate),
            ("BIRTH WT LBS", Field::BirthWeight),
            ("DAM NO", Field::Dam),
            ("DAM YEAR OF BIRTH", Field::DamBirthYear),
            ("PASTURE", Field::Pasture),
            ("DATE WEANED", Field::WeanDate),
            ("WEANING WT LBS", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::MonthDayYear, MALE_FEMALE),
        layout: Layout {
            crlf: true,
            ..PLAIN
        },
    },
    Style {
        name: "pounds-words-mixed",
        calves: 31,
        columns: Columns(&[
            ("Animal", Field::Tag),
            ("Gender", Field::Sex),
            ("Birthday", Field::BirthDate),
            ("Birth_Weight_Lbs", Field::BirthWeight),
            ("Mother Tag", Field::Dam),
            ("Mother Birth Date", Field::DamBirthDate),
            ("Sire Tag", Field::Sire),
            ("Pen Name", Field::Pen),
            ("Notes", Field::Remarks),
            ("Weaning_Date", Field::WeanDate),
            ("Weaning_Weight_Lbs", Field::WeanWeight),
        ]),
        spelling: spelled(Dates::MonthDayShortYear, SHORT),
        layout: PLAIN,
    },
];
