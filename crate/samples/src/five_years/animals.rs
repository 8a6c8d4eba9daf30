//! The animals of the five-years book as the generator knows them.
//!
//! Enters: draws. Leaves: cows, bulls and calves with their true values. Always true: an animal that
//! was born here has half of each parent's breeding values and a share of its own. Never: text for a
//! sheet.

use chrono::{Days, NaiveDate};

use super::truth;
use crate::calf::{Calf, day};
use crate::draw::Draws;

/// True breeding values, hundredths of a pound.
#[derive(Debug, Clone, Copy, Default)]
pub struct Genes {
    /// Own growth to 205 days.
    pub growth: i64,
    /// What a cow gives her calf.
    pub milk: i64,
    /// Birth weight.
    pub birth: i64,
}

impl Genes {
    /// An animal whose parents are not in the book.
    pub fn founder(draws: &mut Draws) -> Self {
        Self {
            growth: draws.bell(truth::GROWTH_SPREAD),
            milk: draws.bell(truth::MILK_SPREAD),
            birth: draws.bell(truth::BIRTH_SPREAD),
        }
    }

    /// A calf of two parents: the mean of both and a deviation of its own with half the variance.
    pub fn child(sire: Self, dam: Self, draws: &mut Draws) -> Self {
        let mut mix = |sire: i64, dam: i64, spread: i64| {
            // 0.70711 is the square root of one half.
            (sire + dam).div_euclid(2) + draws.bell(spread * 70_711 / 100_000)
        };
        Self {
            growth: mix(sire.growth, dam.growth, truth::GROWTH_SPREAD),
            milk: mix(sire.milk, dam.milk, truth::MILK_SPREAD),
            birth: mix(sire.birth, dam.birth, truth::BIRTH_SPREAD),
        }
    }
}

/// A pregnancy.
#[derive(Debug, Clone, Copy)]
pub struct Pregnancy {
    /// Day she took.
    pub conceived: NaiveDate,
    /// The bull, by position; none for a bull of another herd.
    pub bull: Option<usize>,
    /// True when she took to insemination.
    pub by_insemination: bool,
}

/// A cow, or a heifer that joined the cows.
#[derive(Debug, Clone)]
pub struct Cow {
    /// Her tag.
    pub tag: String,
    /// Her electronic tag; empty where she has none.
    pub eid: String,
    /// Her birth date.
    pub birth_date: NaiveDate,
    /// True when the book has only her birth year.
    pub only_year: bool,
    /// Her sire as recorded.
    pub sire: String,
    /// Her dam as recorded.
    pub dam: String,
    /// Her true sire, by position.
    pub true_sire: Option<usize>,
    /// Day she joined the cows.
    pub came_on: NaiveDate,
    /// How she came.
    pub came_as: &'static str,
    /// Day she left.
    pub left_on: Option<NaiveDate>,
    /// Why she left.
    pub left_because: &'static str,
    /// Anything else.
    pub note: &'static str,
    /// True breeding values.
    pub genes: Genes,
    /// Lasting effect on her calves that is not inherited.
    pub permanent: i64,
    /// Her last calving.
    pub calved: Option<NaiveDate>,
    /// What she carries.
    pub carries: Option<Pregnancy>,
}

impl Cow {
    /// True when she stands here at the end of this day: came on or before it, left after it.
    pub fn on_hand(&self, date: NaiveDate) -> bool {
        self.came_on <= date && self.left_on.is_none_or(|left| left > date)
    }

    /// Marks her as gone.
    pub fn leave(&mut self, on: NaiveDate, because: &'static str) {
        self.left_on = Some(on);
        self.left_because = because;
        self.carries = None;
    }
}

/// A calf and what its row does not say.
#[derive(Debug, Clone)]
pub struct Born {
    /// The row.
    pub calf: Calf,
    /// True sire, by position.
    pub true_sire: Option<usize>,
    /// True breeding values.
    pub genes: Genes,
    /// The cow that raises it, by position; none on the bottle.
    pub raiser: Option<usize>,
    /// True birth weight, hundredths of a pound.
    pub birth: i64,
    /// Chosen to join the cows.
    pub kept: bool,
}

/// A bull.
#[derive(Debug, Clone)]
pub struct Bull {
    /// His tag.
    pub tag: &'static str,
    /// His name.
    pub name: &'static str,
    /// Birth date.
    pub birth_date: NaiveDate,
    /// `ai` or `natural`.
    pub service: &'static str,
    /// True breeding values.
    pub genes: Genes,
}

/// The bulls, in the order of [`truth::BULLS`].
pub fn bulls(draws: &mut Draws) -> Vec<Bull> {
    truth::BULLS
        .iter()
        .map(|(tag, name, year, service, _, _, group)| {
            let mut genes = Genes::founder(draws);
            // Bulls for heifers are chosen for small calves.
            if *group == 0 {
                genes.birth -= 500;
            }
            Bull {
                tag,
                name,
                birth_date: day(*year, 2, 10) + Days::new(u64::from(draws.below(60))),
                service,
                genes,
            }
        })
        .collect()
}

/// Cows of the herd before the book begins: year of birth and how many.
const FOUNDERS: [(i32, u32); 10] = [
    (2010, 3),
    (2011, 5),
    (2012, 7),
    (2013, 11),
    (2014, 15),
    (2015, 19),
    (2016, 25),
    (2017, 30),
    (2018, 35),
    (2019, 40),
];
/// Heifers that were calves before the book begins: year of birth and how many.
const FOUNDER_HEIFERS: [(i32, u32); 2] = [(2020, 48), (2021, 40)];

/// The cows on hand when the book begins, and the heifers that join before its own calves are old enough.
pub fn founders(draws: &mut Draws) -> Vec<Cow> {
    let mut cows = Vec::new();
    for (year, count) in FOUNDERS.into_iter().chain(FOUNDER_HEIFERS) {
        let mut numbers: Vec<u32> = (1..=230).collect();
        draws.shuffle(&mut numbers);
        // 2010 and 2020, 2011 and 2021 share a last digit and are alive together: halves apart.
        numbers.retain(|number| (*number > 115) == (year <= 2011) || (2012..2020).contains(&year));
        numbers.truncate(count as usize);
        numbers.sort_unstable();
        for number in numbers {
            cows.push(founder(year, number, draws));
        }
    }
    cows
}

fn founder(year: i32, number: u32, draws: &mut Draws) -> Cow {
    let bought = year <= 2016 && draws.percent(15);
    Cow {
        tag: format!("{}{number:03}", year % 10),
        eid: String::new(),
        birth_date: day(year, 3, 5) + Days::new(u64::from(draws.below(55))),
        only_year: bought,
        sire: String::new(),
        dam: String::new(),
        true_sire: None,
        came_on: if bought {
            day(year + 3, 12, 4)
        } else {
            day(year + 1, 5, 20)
        },
        came_as: if bought { "bred" } else { "raised" },
        left_on: None,
        left_because: "",
        note: "",
        genes: Genes::founder(draws),
        permanent: draws.bell(truth::PERMANENT_SPREAD),
        calved: None,
        carries: None,
    }
}

/// A cow from another herd.
pub fn bought(
    tag: String,
    birth_date: NaiveDate,
    came_on: NaiveDate,
    came_as: &'static str,
    draws: &mut Draws,
) -> Cow {
    Cow {
        tag,
        eid: String::new(),
        birth_date,
        only_year: true,
        sire: String::new(),
        dam: String::new(),
        true_sire: None,
        came_on,
        came_as,
        left_on: None,
        left_because: "",
        note: "",
        genes: Genes::founder(draws),
        permanent: draws.bell(truth::PERMANENT_SPREAD),
        calved: None,
        carries: None,
    }
}
