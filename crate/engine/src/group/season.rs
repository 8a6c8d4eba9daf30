//! The calving season a birth belongs to.
//!
//! Enters: the season starts of the settings and a birth date. Leaves: the season's name and year.
//! Always true: every date belongs to exactly one season; a season that runs over the new year is labelled
//! by the calendar year of its middle day, so December births are next year's spring.
//! Never: looks at when cows were bred.

use crate::sheet::day::{Day, days_in_month};
use crate::sheet::settings::{SeasonStart, Settings};

/// A season of a year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Season {
    /// The year of its label.
    pub year: i32,
    /// Position in `settings.seasons`; `u16::MAX` when the settings name none.
    pub position: u16,
}

/// The seasons of the settings, ready to place many births.
pub struct Seasons {
    starts: Vec<(u32, u32, u16)>,
}

impl Seasons {
    /// Reads the season starts. A start day that its month does not have is its last day.
    pub fn of(settings: &Settings) -> Seasons {
        let mut starts: Vec<(u32, u32, u16)> = (0_u16..)
            .zip(&settings.seasons)
            .map(|(position, start)| {
                let month = start.month.clamp(1, 12);
                // 29 February starts a season only every fourth year: it is read as the 28th.
                let last = days_in_month(2001, month);
                (month, start.day.clamp(1, last), position)
            })
            .collect();
        fairpen_stats::in_order::order(&mut starts);
        Seasons { starts }
    }

    /// The seasons of many births: each distinct day is worked out once where births lie close together.
    pub fn of_all(&self, births: &[Day]) -> Vec<Option<Season>> {
        /// Days of some 270 years: a wider span is not a herd's.
        const WIDEST: i32 = 100_000;
        let known = || births.iter().filter(|day| !day.is_missing());
        let (Some(first), Some(last)) = (known().min(), known().max()) else {
            return vec![None; births.len()];
        };
        let span = last.days_since(*first).unwrap_or(i32::MAX);
        if span > WIDEST {
            return births.iter().map(|day| self.season_of(*day)).collect();
        }
        let by_day: Vec<Option<Season>> = (0..=span)
            .map(|days| self.season_of(first.plus(days)))
            .collect();
        births
            .iter()
            .map(|day| {
                day.days_since(*first)
                    .and_then(|days| by_day.get(usize::try_from(days).ok()?).copied())
                    .flatten()
            })
            .collect()
    }

    /// The season of a birth; `None` when the date is missing.
    pub fn season_of(&self, birth: Day) -> Option<Season> {
        let (year, month, day) = birth.ymd()?;
        if self.starts.is_empty() {
            return Some(Season {
                year,
                position: u16::MAX,
            });
        }
        let begun = self.starts.partition_point(|(start_month, start_day, _)| {
            (*start_month, *start_day) <= (month, day)
        });
        let n = self.starts.len();
        let (at, start_year) = if begun == 0 {
            (n - 1, year - 1)
        } else {
            (begun - 1, year)
        };
        let (next, next_year) = if at + 1 == n {
            (0, start_year + 1)
        } else {
            (at + 1, start_year)
        };
        let middle = match (
            self.first_day(at, start_year),
            self.first_day(next, next_year),
        ) {
            (Some(from), Some(to)) => from.plus(to.days_since(from).unwrap_or(0) / 2),
            _ => birth,
        };
        Some(Season {
            year: middle.year().unwrap_or(year),
            position: self.starts[at].2,
        })
    }

    /// Days from the first day of its season (of the year, where the settings name none) to a birth; `None` when
    /// the date is missing.
    pub fn days_into(&self, birth: Day) -> Option<i32> {
        let (year, month, day) = birth.ymd()?;
        let begun = self.starts.partition_point(|(start_month, start_day, _)| {
            (*start_month, *start_day) <= (month, day)
        });
        let first = match (self.starts.len(), begun) {
            (0, _) => Day::from_ymd(year, 1, 1),
            (n, 0) => self.first_day(n - 1, year - 1),
            (_, begun) => self.first_day(begun - 1, year),
        };
        birth.days_since(first?)
    }

    fn first_day(&self, at: usize, year: i32) -> Option<Day> {
        Day::from_ymd(year, self.starts[at].0, self.starts[at].1)
    }
}

impl Season {
    /// `2026 spring`, or `2026` when the settings name no season.
    pub fn words(self, names: &[SeasonStart]) -> String {
        match names.get(usize::from(self.position)) {
            Some(start) => format!("{} {}", self.year, start.name),
            None => self.year.to_string(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(settings: &Settings, year: i32, month: u32, day: u32) -> String {
        let birth = Day::from_ymd(year, month, day).expect("a real day");
        Seasons::of(settings)
            .season_of(birth)
            .expect("a season")
            .words(&settings.seasons)
    }

    #[test]
    fn december_is_next_years_spring() {
        let settings = Settings::default();
        assert_eq!(label(&settings, 2025, 11, 30), "2025 fall");
        assert_eq!(label(&settings, 2025, 12, 1), "2026 spring");
        assert_eq!(label(&settings, 2026, 6, 30), "2026 spring");
        assert_eq!(label(&settings, 2026, 7, 1), "2026 fall");
    }

    #[test]
    fn a_fall_season_over_the_new_year_keeps_its_own_year() {
        let mut settings = Settings::default();
        settings.seasons[0].month = 2;
        settings.seasons[1].month = 9;
        assert_eq!(label(&settings, 2027, 1, 10), "2026 fall");
        assert_eq!(label(&settings, 2027, 2, 1), "2027 spring");
    }

    #[test]
    fn days_count_from_the_first_day_of_the_season() {
        let mut settings = Settings::default();
        let days = |settings: &Settings, year, month, day| {
            Seasons::of(settings).days_into(Day::from_ymd(year, month, day).expect("a real day"))
        };
        assert_eq!(days(&settings, 2025, 12, 1), Some(0));
        assert_eq!(days(&settings, 2026, 2, 1), Some(62));
        assert_eq!(days(&settings, 2026, 7, 22), Some(21));
        settings.seasons.clear();
        assert_eq!(days(&settings, 2026, 1, 22), Some(21));
        assert_eq!(Seasons::of(&settings).days_into(Day::MISSING), None);
    }

    #[test]
    fn without_seasons_the_calendar_year_counts() {
        let mut settings = Settings::default();
        settings.seasons.clear();
        assert_eq!(label(&settings, 2026, 12, 31), "2026");
    }
}
