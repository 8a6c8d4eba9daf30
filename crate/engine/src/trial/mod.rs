//! A fair trial for the year to come: cows allotted to places at random.
//!
//! Enters: a book, the places with how many head each takes, and a seed. Leaves: a list of cows for each place, the
//! kinds they were shared out by, and how alike the places are before and after.
//! Always true: every cow on hand is on one list, or counted as set aside or left over; the same book, places and seed
//! give the same lists; in every kind (age class; age class and bulls; age class, bulls and calving period) each
//! place gets its share rounded up or down; every cow is as likely to come to a place as its share says; the order
//! of rows changes nothing.
//! Never: takes the calves' sex into the allotment (it is not known yet); says what a place can take: that is the
//! person's judgement.
//!
//! Why at random: whatever else tells one cow from another, recorded or not, is then shared out by chance alone, and
//! the difference found is the place's (Fisher 1935, The Design of Experiments; from memory). Why within kinds: what is
//! known to matter is shared out evenly beforehand, which leaves less to chance.

mod about;
mod balance;
mod cows;
mod draws;
mod shares;

pub use balance::TrialBalance;
pub use cows::{DueFrom, TrialCow};

use std::collections::{BTreeMap, BTreeSet};

use crate::animals::plain::plain;
use crate::compare::BIRTH_PERIOD_DAYS;
use crate::error::Error;
use crate::group::season::Seasons;
use crate::note::counted;
use crate::results::Results;
use crate::sheet::codes::PLACE_KIND;
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;
use draws::Draws;

/// More places than this are a list, not a trial.
pub const MOST_PLACES: usize = 20;

/// A place to send cows to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrialPlace {
    /// Its name.
    pub name: String,
    /// Head it takes; `None`: it shares equally what the others leave.
    pub head: Option<u32>,
}

/// What is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrialSpec {
    /// Two or more places.
    pub places: Vec<TrialPlace>,
    /// Fixes the draw.
    pub seed: u32,
    /// The day that counts where the book's settings have none.
    pub today: Day,
}

/// One place of the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlacePlan {
    /// Its name.
    pub name: String,
    /// Its kind, where the sheet of places has it.
    pub kind: Option<&'static str>,
    /// Its cows, as positions in [`Plan::cows`], in order of tag.
    pub cows: Vec<usize>,
}

/// A kind of cows that was shared out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrialKind {
    /// Age class, bulls and calving period, in words.
    pub words: [String; 3],
    /// Cows of each place, in order, and last those left over where there are any.
    pub per_place: Vec<u32>,
}

/// The plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What was asked.
    pub spec: TrialSpec,
    /// The day as of which the cows are on hand; missing where neither the book nor the spec has one.
    pub as_of: Day,
    /// Every cow to be allotted, in order of tag.
    pub cows: Vec<TrialCow>,
    /// The places, in the order asked.
    pub places: Vec<PlacePlan>,
    /// Cows for which there is no room, as positions in `cows`: drawn as well, so that they are no choice either.
    pub left_over: Vec<usize>,
    /// Rows of the cows sheet that are not allotted: why, and how many.
    pub set_aside: Vec<(String, u32)>,
    /// The kinds, in order.
    pub kinds: Vec<TrialKind>,
    /// How alike the places are.
    pub balance: Vec<TrialBalance>,
    /// What to mind.
    pub cautions: Vec<String>,
    /// How it was made.
    pub method: String,
}

/// Said of a trait that is not known.
const NOT_KNOWN: &str = "not known";

/// Allots the cows on hand as of the book's day.
///
/// # Errors
///
/// `trial.places.few`, `trial.places.many`, `trial.places.same`, `trial.places.unnamed`, `trial.heads.many`,
/// `trial.cows.few`.
pub fn plan(book: &Workbook, results: &Results, spec: &TrialSpec) -> Result<Plan, Error> {
    let spec = trimmed(spec)?;
    let as_of = match book.settings.as_of {
        Day::MISSING => spec.today,
        day => day,
    };
    let found = cows::cows(book, results, as_of);
    let n = u32::try_from(found.cows.len()).unwrap_or(u32::MAX);
    let mut draws = Draws::new(spec.seed);
    let parts = parts(&spec, n)?;
    let kinds = kinds(book, &found.cows);
    let counts: Vec<shares::Kind> = kinds
        .iter()
        .map(|kind| shares::Kind {
            within: kind.within.clone(),
            n: u32::try_from(kind.cows.len()).unwrap_or(u32::MAX),
        })
        .collect();
    let shared = shares::share_out(&counts, &parts, &mut draws);
    let mut lists: Vec<Vec<usize>> = vec![Vec::new(); parts.len()];
    for (kind, row) in kinds.iter().zip(&shared) {
        let mut members = kind.cows.clone();
        draws.shuffle(&mut members);
        let mut members = members.into_iter();
        for (list, &n) in lists.iter_mut().zip(row) {
            list.extend(members.by_ref().take(n as usize));
        }
    }
    lists.iter_mut().for_each(|list| list.sort_unstable());
    let left_over = lists.split_off(spec.places.len()).pop().unwrap_or_default();
    let now: Vec<Vec<usize>> = spec
        .places
        .iter()
        .map(|place| standing_in(&found.cows, &place.name))
        .collect();
    let places: Vec<PlacePlan> = spec
        .places
        .iter()
        .zip(&lists)
        .map(|(place, cows)| PlacePlan {
            name: place.name.clone(),
            kind: kind_of_place(book, &place.name),
            cows: cows.clone(),
        })
        .collect();
    let balance = balance::balance(&found.cows, &now, &lists);
    let cautions = cautions(&found.cows, &places, &now, left_over.len());
    Ok(Plan {
        kinds: kinds
            .into_iter()
            .zip(shared)
            .map(|(kind, per_place)| TrialKind {
                words: kind.words,
                per_place,
            })
            .collect(),
        cows: found.cows,
        places,
        left_over,
        set_aside: found.set_aside,
        balance,
        cautions,
        method: format!(
            "Drawn with seed {} (PCG-32). Within age class at calving, bulls of the service and {BIRTH_PERIOD_DAYS} days of expected calving, in this order, each place gets its share rounded up or down (unbiased controlled rounding, Cox 1987); who of a kind goes where is drawn. The same book and seed give the same lists.",
            spec.seed
        ),
        as_of,
        spec,
    })
}

/// The spec with plain names, or why it cannot be done.
fn trimmed(spec: &TrialSpec) -> Result<TrialSpec, Error> {
    let places: Vec<TrialPlace> = spec
        .places
        .iter()
        .map(|place| TrialPlace {
            name: place.name.trim().to_owned(),
            head: place.head,
        })
        .collect();
    if places.len() < 2 {
        return Err(Error::new(
            "trial.places.few",
            "A trial needs two places or more.",
            "Name another place.",
        ));
    }
    if places.len() > MOST_PLACES {
        return Err(Error::new(
            "trial.places.many",
            format!(
                "{} places are more than a trial can have; at most {MOST_PLACES}.",
                places.len()
            ),
            "Name fewer places.",
        ));
    }
    if places.iter().any(|place| place.name.is_empty()) {
        return Err(Error::new(
            "trial.places.unnamed",
            "A place has no name.",
            "Give every place a name, or take the line away.",
        ));
    }
    let mut seen = BTreeSet::new();
    if let Some(twice) = places.iter().find(|place| !seen.insert(plain(&place.name))) {
        return Err(Error::new(
            "trial.places.same",
            format!("\"{}\" is named twice.", twice.name),
            "Name every place once.",
        ));
    }
    Ok(TrialSpec {
        places,
        seed: spec.seed,
        today: spec.today,
    })
}

/// The share of each place, and last of those left over where there are any, in parts of one size. Places without a
/// number have exactly equal shares: which of them gets one more is drawn with the rest.
fn parts(spec: &TrialSpec, n: u32) -> Result<Vec<u32>, Error> {
    let n_places = u32::try_from(spec.places.len()).unwrap_or(u32::MAX);
    if n < n_places {
        return Err(Error::new(
            "trial.cows.few",
            format!(
                "There are {} on hand for {n_places} places.",
                counted(n as usize, "cow")
            ),
            "Put the cows on the cows sheet; cows that left, had not come by the book's day, or were open at the last check do not count.",
        ));
    }
    let said: u64 = spec
        .places
        .iter()
        .filter_map(|place| place.head)
        .map(u64::from)
        .sum();
    let open = spec
        .places
        .iter()
        .filter(|place| place.head.is_none())
        .count();
    if said + open as u64 > u64::from(n) {
        return Err(Error::new(
            "trial.heads.many",
            format!(
                "The places take {said} head{}, and {} are on hand.",
                match open {
                    0 => String::new(),
                    _ => format!(" and {} shares what is left", counted(open, "more place")),
                },
                counted(n as usize, "cow")
            ),
            "Give smaller numbers, or leave them blank for equal shares.",
        ));
    }
    let said = u32::try_from(said).expect("at most the cows on hand");
    let rest = n - said;
    let open = u32::try_from(open).expect("at most the places");
    let mut parts: Vec<u32> = spec
        .places
        .iter()
        .map(|place| place.head.map_or(rest, |head| head * open.max(1)))
        .collect();
    if open == 0 && rest > 0 {
        parts.push(rest);
    }
    Ok(parts)
}

/// Cows alike in what is known to matter.
struct OneKind {
    within: Vec<u32>,
    words: [String; 3],
    cows: Vec<usize>,
}

fn kinds(book: &Workbook, cows: &[TrialCow]) -> Vec<OneKind> {
    let seasons = Seasons::of(&book.settings);
    // Classes keep the order of their ages, periods that of the calendar; what is not known comes last.
    let class = |cow: &TrialCow| {
        let classes = &book.settings.factors.classes;
        let name = cow.age_class.as_deref();
        classes
            .iter()
            .position(|class| Some(class.name.as_str()) == name)
            .unwrap_or(classes.len())
    };
    let period = |cow: &TrialCow| {
        let due = cow.due?;
        let into = seasons.days_into(due)?;
        Some(due.plus(-(into % BIRTH_PERIOD_DAYS)))
    };
    type Key = (usize, (bool, String), (bool, i32));
    let mut found: BTreeMap<Key, OneKind> = BTreeMap::new();
    for (at, cow) in cows.iter().enumerate() {
        let begins = period(cow);
        let service = cow.service.clone();
        let key = (
            class(cow),
            (service.is_none(), service.clone().unwrap_or_default()),
            (begins.is_none(), begins.map_or(0, |day| day.count())),
        );
        let words = [
            cow.age_class
                .clone()
                .unwrap_or_else(|| NOT_KNOWN.to_owned()),
            service.unwrap_or_else(|| NOT_KNOWN.to_owned()),
            begins.map_or_else(
                || NOT_KNOWN.to_owned(),
                |day| format!("{} to {}", day.iso(), day.plus(BIRTH_PERIOD_DAYS - 1).iso()),
            ),
        ];
        found
            .entry(key)
            .or_insert_with(|| OneKind {
                within: Vec::new(),
                words,
                cows: Vec::new(),
            })
            .cows
            .push(at);
    }
    let number = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    let mut services: Vec<(bool, String)> = found.keys().map(|key| key.1.clone()).collect();
    services.sort_unstable();
    services.dedup();
    found
        .into_iter()
        .map(|((class, service, _), mut kind)| {
            let service = services.binary_search(&service).unwrap_or(services.len());
            kind.within = vec![number(class), number(service)];
            kind
        })
        .collect()
}

/// Cows that stand in a place now.
fn standing_in(cows: &[TrialCow], name: &str) -> Vec<usize> {
    let wanted = plain(name);
    (0..cows.len())
        .filter(|&at| {
            let own = cows[at].place.as_deref();
            own.is_some_and(|own| plain(own) == wanted)
        })
        .collect()
}

fn kind_of_place(book: &Workbook, name: &str) -> Option<&'static str> {
    let table = book.sheet(SheetKind::Places);
    let names = crate::adjust::columns::texts(table, "name");
    let wanted = plain(name);
    let row =
        (0..table.n_rows()).find(|&row| names.get(row).is_some_and(|own| plain(own) == wanted))?;
    PLACE_KIND.key(crate::adjust::columns::codes(table, "kind")[row])
}

fn cautions(
    cows: &[TrialCow],
    places: &[PlacePlan],
    now: &[Vec<usize>],
    n_left_over: usize,
) -> Vec<String> {
    let mut cautions = vec![
        "How many head a place holds, and its water, feed, bunk, shelter and fences, are yours to judge; so is moving cows that are near calving. Where their health is concerned ask your veterinarian, and keep to what the law asks where you are.".to_owned(),
        "Draw once, before you look at the list, and keep to it. A cow that is moved because of how she or her calf does makes the places unlike again; write each move down with its day and reason, and compare the calves by the place their dams were drawn for.".to_owned(),
    ];
    let mut per_kind: BTreeMap<Option<&str>, usize> = BTreeMap::new();
    for place in places {
        *per_kind.entry(place.kind).or_insert(0) += 1;
    }
    if per_kind.len() > 1 && per_kind.values().any(|&n| n < 2) {
        cautions.push("Some kind of place is there once only. However many cows stand in it, the answer will speak of that place and not of such places: two or more places of each kind, or the same again next year, say more than more cows.".to_owned());
    } else if places.len() == 2 {
        cautions.push("Two places are one comparison, however many cows stand in them: the answer will speak of these two. More places, or the same again next year with the cows drawn anew, say more than more cows.".to_owned());
    }
    let unknown = |of: &dyn Fn(&TrialCow) -> bool| cows.iter().filter(|cow| of(cow)).count();
    for (n, what) in [
        (unknown(&|cow| cow.age_class.is_none()), "age on record"),
        (
            unknown(&|cow| cow.service.is_none()),
            "service with its bulls on record",
        ),
        (unknown(&|cow| cow.due.is_none()), "calving date to expect"),
    ] {
        if n == cows.len() {
            cautions.push(format!(
                "These cows have no {what}, so they are not shared out by it."
            ));
        } else if n > 0 {
            cautions.push(format!(
                "{n} of {} have no {what}: they are shared out among themselves.",
                counted(cows.len(), "cow")
            ));
        }
    }
    let by_last = unknown(&|cow| cow.due_from == DueFrom::LastCalf);
    if by_last > 0 {
        cautions.push(format!(
            "{} expected a year after their last calf, since no service or stage is on record: that is a guess.",
            match by_last {
                1 => "1 cow is".to_owned(),
                n => format!("{n} cows are"),
            }
        ));
    }
    if now.iter().filter(|place| !place.is_empty()).count() < 2 {
        cautions.push("Fewer than two of the places have cows now, so there is no before to set beside the after.".to_owned());
    }
    if n_left_over > 0 {
        cautions.push(format!(
            "{} left over, drawn like the rest: there is no room for them in these places.",
            match n_left_over {
                1 => "1 cow is".to_owned(),
                n => format!("{n} cows are"),
            }
        ));
    }
    cautions
}
