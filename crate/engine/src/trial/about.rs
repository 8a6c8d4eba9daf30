//! What the sheets say of each cow: her calves, services, checks and where she stands.
//!
//! Enters: a book as of its day, and its results. Leaves: for a row of the cows sheet whether she is on hand, and
//! what is known of her for the year to come.
//! Always true: a row of another sheet is a cow's when its name stands for her on its day and for no other.
//! Never: reads a row dated after the book's day.

use super::cows::{DueFrom, TrialCow};
use crate::adjust::columns::{CalfColumns, codes, days, texts};
use crate::adjust::dam_age::{believable, days_of_years};
use crate::animals::facts::Facts;
use crate::animals::find::Animals;
use crate::animals::{Among, Deed, Found};
use crate::results::Results;
use crate::results::checked::CheckColumn;
use crate::sheet::codes::{NO_CODE, RESULT};
use crate::sheet::column::Value;
use crate::sheet::day::Day;
use crate::sheet::read::list::is_unknown;
use crate::sheet::read::stage::GESTATION_DAYS;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// A service is past when the longest gestation after its last day is over: 283 days and ten more.
const LONGEST_CARRIED_DAYS: i32 = GESTATION_DAYS + 10;

/// A calf born so many days after a service began, or later, ends it: she has calved since.
const CALVED_AFTER_DAYS: i32 = 200;

/// Without a service or a check a cow is expected so many days after her last calf (a calf a year: common practice,
/// no source).
const CALVING_INTERVAL_DAYS: i32 = 365;

/// A service of a cow.
#[derive(Clone, Copy)]
struct Service {
    row: usize,
    /// First day with the bulls, or day of insemination.
    first: Day,
    /// Last day on which she can have been bred; missing where it is not recorded.
    last: Day,
}

/// What the sheets say, by row of the cows sheet.
pub(super) struct About<'a> {
    book: &'a Workbook,
    results: &'a Results,
    as_of: Day,
    facts: Facts<'a>,
    /// Birth date and row of each calf.
    calves: Vec<Vec<(Day, usize)>>,
    services: Vec<Vec<Service>>,
    /// Day and row of each check.
    checks: Vec<Vec<(Day, usize)>>,
    /// First day and place of each stay that is not over.
    stays: Vec<Vec<(Day, String)>>,
}

impl<'a> About<'a> {
    pub fn of(book: &'a Workbook, results: &'a Results, as_of: Day) -> About<'a> {
        let n = book.sheet(SheetKind::Cows).n_rows();
        let mut about = About {
            book,
            results,
            as_of,
            facts: Facts::of(book, SheetKind::Cows),
            calves: vec![Vec::new(); n],
            services: vec![Vec::new(); n],
            checks: vec![Vec::new(); n],
            stays: vec![Vec::new(); n],
        };
        about.read();
        about
    }

    fn read(&mut self) {
        let book = self.book;
        let animals = Animals::new();
        let lookup = animals.among(book, Among::Cows);
        let find = |name: Option<&str>, deed: Deed, on: Day| match lookup.find(
            &lookup.links(name?),
            deed,
            on,
        ) {
            Found::One(animal) => Some(animal.row as usize),
            _ => None,
        };
        let calves = CalfColumns::of(book);
        for (row, &born) in calves.birth.iter().enumerate() {
            if self.by_the_day(born)
                && let Some(cow) = find(calves.dam.get(row), Deed::Bore, born)
            {
                self.calves[cow].push((born, row));
            }
        }
        let exposures = book.sheet(SheetKind::Exposures);
        let (named, from, to, ai) = (
            texts(exposures, "cow"),
            days(exposures, "from"),
            days(exposures, "to"),
            days(exposures, "ai_date"),
        );
        for row in 0..exposures.n_rows() {
            let known = |days: [Day; 2]| days.into_iter().filter(|day| !day.is_missing());
            let Some(first) = known([from[row], ai[row]]).min() else {
                continue;
            };
            if self.by_the_day(first)
                && let Some(cow) = find(named.get(row), Deed::OnHand, first)
            {
                let last = known([to[row], ai[row]]).max().unwrap_or(Day::MISSING);
                self.services[cow].push(Service { row, first, last });
            }
        }
        let checks = book.sheet(SheetKind::Checks);
        let (named, dates) = (texts(checks, "cow"), days(checks, "date"));
        for (row, &on) in dates.iter().enumerate() {
            if self.by_the_day(on)
                && let Some(cow) = find(named.get(row), Deed::OnHand, on)
            {
                self.checks[cow].push((on, row));
            }
        }
        let stays = book.sheet(SheetKind::Stays);
        let (named, places, from, to) = (
            texts(stays, "animal"),
            texts(stays, "place"),
            days(stays, "from"),
            days(stays, "to"),
        );
        for row in 0..stays.n_rows() {
            let over = !to[row].is_missing() && (self.as_of.is_missing() || to[row] < self.as_of);
            if let Some(place) = places.get(row)
                && !over
                && self.by_the_day(from[row])
                && let Some(cow) = find(named.get(row), Deed::OnHand, from[row])
            {
                self.stays[cow].push((from[row], place.to_owned()));
            }
        }
    }

    /// True for a day that is known and not after the book's day.
    fn by_the_day(&self, day: Day) -> bool {
        let as_of = self.as_of;
        !day.is_missing() && (as_of.is_missing() || day <= as_of)
    }

    /// Birth date of a cow; missing where it is not known.
    pub fn born(&self, row: usize) -> Day {
        self.facts.born(at(row)).0
    }

    /// Why a cow is not allotted; `None` when she is.
    pub fn why_not(&self, row: usize) -> Option<&'static str> {
        let left_on = self.facts.left_on(at(row));
        let left_because = codes(self.book.sheet(SheetKind::Cows), "left_because")[row];
        let came_on = self.facts.came_on(at(row));
        if self.by_the_day(left_on) || (left_on.is_missing() && left_because != NO_CODE) {
            return Some("left the herd");
        }
        if !came_on.is_missing() && !self.by_the_day(came_on) {
            return Some("had not come yet");
        }
        self.is_open(row).then_some("open at the last check")
    }

    /// Found open at the last check, and neither served nor calved since.
    fn is_open(&self, row: usize) -> bool {
        let Some((on, check)) = self.last_check(row) else {
            return false;
        };
        let result = codes(self.book.sheet(SheetKind::Checks), "result")[check];
        let since = self.calves[row].iter().any(|(born, _)| *born >= on)
            || self.services[row].iter().any(|service| service.first >= on);
        RESULT.key(result) == Some("open") && !since
    }

    fn last_check(&self, row: usize) -> Option<(Day, usize)> {
        self.checks[row].iter().max().copied()
    }

    /// The last service, unless she has calved since or can no longer calve to it.
    fn pending_service(&self, row: usize) -> Option<Service> {
        let service = *self.services[row]
            .iter()
            .max_by_key(|service| (service.first, service.row))?;
        let as_of = self.as_of;
        let calved = self.calves[row]
            .iter()
            .any(|(born, _)| *born >= service.first.plus(CALVED_AFTER_DAYS));
        let last = if service.last.is_missing() {
            service.first
        } else {
            service.last
        };
        let past = !as_of.is_missing() && last.plus(LONGEST_CARRIED_DAYS) < as_of;
        (!calved && !past).then_some(service)
    }

    /// The expected calving date.
    fn due(&self, row: usize, service: Option<Service>) -> (Option<Day>, DueFrom) {
        if let Some(day) = self.due_by_check(row, service) {
            return (Some(day), DueFrom::Check);
        }
        if let Some(service) = service {
            let ai = days(self.book.sheet(SheetKind::Exposures), "ai_date")[service.row];
            return if ai.is_missing() {
                let first = service.first.plus(GESTATION_DAYS);
                (Some(first), DueFrom::FirstDayWithBulls)
            } else {
                (Some(ai.plus(GESTATION_DAYS)), DueFrom::Insemination)
            };
        }
        let last = self.calves[row].iter().max().map(|(born, _)| *born);
        let due = last.map(|born| born.plus(CALVING_INTERVAL_DAYS));
        let as_of = self.as_of;
        match due.filter(|due| as_of.is_missing() || *due >= as_of) {
            Some(due) => (Some(due), DueFrom::LastCalf),
            None => (None, DueFrom::Unknown),
        }
    }

    /// Middle of the days on which the stage of the last check lets her calve, unless she has calved since, was
    /// served after it, or the days are past.
    fn due_by_check(&self, row: usize, service: Option<Service>) -> Option<Day> {
        let (on, check) = self.last_check(row)?;
        let day = |column: CheckColumn| match column.value(self.book, check) {
            Value::Day(day) => Some(day),
            _ => None,
        };
        let (from, to) = (day(CheckColumn::DueFrom)?, day(CheckColumn::DueTo)?);
        let as_of = self.as_of;
        let stale = self.calves[row].iter().any(|(born, _)| *born >= on)
            || service.is_some_and(|service| service.first > on)
            || (!as_of.is_missing() && to < as_of);
        (!stale).then(|| from.plus(to.days_since(from).unwrap_or(0) / 2))
    }

    /// Everything of one cow.
    pub fn cow(&self, row: usize) -> TrialCow {
        let table = self.book.sheet(SheetKind::Cows);
        let text = |key: &'static str| texts(table, key).get(row).unwrap_or("").to_owned();
        let service = self.pending_service(row);
        let (due, due_from) = self.due(row, service);
        let age_days = self.age(row, due);
        let factors = &self.book.settings.factors;
        let class = age_days.and_then(|days| factors.class_of(days));
        TrialCow {
            row_key: table.key_of(at(row)),
            tag: text("tag"),
            eid: text("eid"),
            age_days,
            age_class: class.map(|class| factors.classes[class].name.clone()),
            service: service.and_then(|service| self.bulls(service)),
            due,
            due_from,
            ratio: self.ratio(row),
            place: self.place(row),
        }
    }

    /// Her age when she is expected to calve; on the book's day where that is not known.
    fn age(&self, row: usize, due: Option<Day>) -> Option<i32> {
        let as_of = self.as_of;
        let on = due.or((!as_of.is_missing()).then_some(as_of))?;
        let (birth, year) = self.facts.born(at(row));
        let age_days = if birth.is_missing() {
            days_of_years(f64::from(on.year()?) - year)
        } else {
            on.days_since(birth)?
        };
        believable(age_days).then_some(age_days)
    }

    fn bulls(&self, service: Service) -> Option<String> {
        let exposures = self.book.sheet(SheetKind::Exposures);
        let named = texts(exposures, "bulls").get(service.row)?;
        let mut bulls: Vec<&str> = named
            .split(';')
            .map(str::trim)
            .filter(|bull| !bull.is_empty() && !is_unknown(bull))
            .collect();
        bulls.sort_unstable();
        bulls.dedup();
        (!bulls.is_empty()).then(|| bulls.join("; "))
    }

    /// Mean ratio of her calves.
    fn ratio(&self, row: usize) -> f64 {
        let mut ratios: Vec<f64> = self.calves[row]
            .iter()
            .map(|&(_, calf)| self.results.groups.ratio[calf])
            .filter(|ratio| !ratio.is_nan())
            .collect();
        // One order of the sum, whatever the order of the rows.
        ratios.sort_unstable_by(f64::total_cmp);
        fairpen_stats::describe::summarise(&ratios)
            .ok()
            .and_then(|summary| summary.mean)
            .unwrap_or(f64::NAN)
    }

    /// Where she stands, else where her last calf was raised.
    fn place(&self, row: usize) -> Option<String> {
        if let Some((_, place)) = self.stays[row].iter().max() {
            return Some(place.clone());
        }
        let places = texts(self.book.calves(), "place");
        let last = self.calves[row]
            .iter()
            .map(|&(born, calf)| (born, places.get(calf)))
            .max()?;
        last.1.map(str::to_owned)
    }
}

fn at(row: usize) -> u32 {
    u32::try_from(row).unwrap_or(u32::MAX)
}
