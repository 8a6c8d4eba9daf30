//! The cows of the two-barns book.
//!
//! Enters: draws. Leaves: 181 cows with birth dates and calving dates. Always true: a tag is the last
//! digit of the birth year and two more, so no two cows carry one tag. Never: an effect on a weight.

use chrono::{Days, NaiveDate};

use crate::calf::day;
use crate::draw::Draws;

/// How many cows were born in each year.
const BORN_IN: [(i32, u32); 12] = [
    (2024, 40),
    (2023, 30),
    (2022, 28),
    (2021, 17),
    (2020, 15),
    (2019, 13),
    (2018, 9),
    (2017, 7),
    (2016, 5),
    (2015, 9),
    (2014, 6),
    (2013, 2),
];

/// One cow that calved in spring 2026.
#[derive(Debug, Clone)]
pub struct Cow {
    /// Her tag.
    pub tag: String,
    /// Her birth date, known to the generator even where the book has only the year.
    pub birth_date: NaiveDate,
    /// What the book holds of her age.
    pub age_known: AgeKnown,
    /// The day she calved.
    pub calved: NaiveDate,
    /// How she came.
    pub came_as: &'static str,
}

/// What the book holds of a cow's age.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AgeKnown {
    /// Birth date, from papers.
    Date,
    /// Birth year, read from her mouth.
    Year,
    /// Nothing.
    Not,
}

impl Cow {
    /// Days from her birth to her calving.
    pub fn age_at_calving(&self) -> i64 {
        (self.calved - self.birth_date).num_days()
    }

    /// True when she calved for the first time.
    pub fn is_first_calf_heifer(&self) -> bool {
        self.age_at_calving() < 1_004
    }
}

/// Draws the cows, in order of calving.
pub fn cows(draws: &mut Draws) -> Vec<Cow> {
    let mut cows = Vec::new();
    for (year, count) in BORN_IN {
        for number in 1..=count {
            // 2013 and 2014 share last digits with 2023 and 2024, so they count from 61.
            let number = if year <= 2014 { number + 60 } else { number };
            let birth_date = day(year, 3, 1) + Days::new(u64::from(draws.below(56)));
            let calved = if year == 2024 {
                day(2026, 3, 4) + Days::new(u64::from(draws.below(34)))
            } else {
                // The earlier of two draws twice out of three: most cows calve early.
                let one = draws.below(60);
                let other = draws.below(60);
                let offset = if draws.percent(67) {
                    one.min(other)
                } else {
                    one
                };
                day(2026, 2, 20) + Days::new(u64::from(offset))
            };
            let bought = year < 2022 && draws.percent(20);
            let age_known = if bought && draws.percent(60) {
                AgeKnown::Year
            } else {
                AgeKnown::Date
            };
            cows.push(Cow {
                tag: format!("{}{number:02}", year % 10),
                birth_date,
                age_known,
                calved,
                came_as: if bought { "bred" } else { "raised" },
            });
        }
    }
    // Two old cows were bought with no papers and no mouth read.
    for cow in cows.iter_mut().filter(|cow| cow.came_as == "bred").take(2) {
        cow.age_known = AgeKnown::Not;
    }
    cows.sort_by(|a, b| (a.calved, &a.tag).cmp(&(b.calved, &b.tag)));
    cows
}
