//! The five-years book: about 240 cows, five springs of calves, every animal accounted for.
//!
//! Enters: nothing but the seed. Leaves: the files of `five-years/`. Always true: weights follow true
//! breeding values through the true pedigree; a cow that left is in no later row; the counts close.
//! Never: a true value in a sheet.

mod animals;
mod breeding;
mod calving;
#[cfg(test)]
mod count;
pub mod truth;
mod weaning;

use chrono::{Datelike, Days};

use crate::calf::{COLUMNS, date, day};
use crate::draw::Draws;
use crate::table::{Table, WrittenFile};
use animals::{Born, Bull, Cow, Pregnancy};

/// What every file of the book says of itself.
const INVENTED: &str = "Invented record: Madeup Creek, a ranch that does not exist";

/// The herd as it grows, and the rows written on the way.
#[derive(Debug)]
pub struct Herd {
    cows: Vec<Cow>,
    bulls: Vec<Bull>,
    calves: Vec<Born>,
    exposures: Vec<Vec<String>>,
    checks: Vec<Vec<String>>,
}

/// Lives through the years of the book.
pub fn herd() -> Herd {
    let mut draws = Draws::new(truth::SEED, 1);
    let mut herd = Herd {
        bulls: animals::bulls(&mut draws),
        cows: animals::founders(&mut draws),
        calves: Vec::new(),
        exposures: Vec::new(),
        checks: Vec::new(),
    };
    for year in truth::FIRST_YEAR..=truth::LAST_YEAR {
        let has_calves = year > truth::FIRST_YEAR;
        // Each year and each part of it has its own stream, so a change in one leaves the others.
        let part = |number: u64| {
            let year = u64::try_from(year).expect("years are after zero");
            Draws::new(truth::SEED, year * 10 + number)
        };
        if has_calves {
            calving::spring(&mut herd, year, &mut part(1));
            weaning::join(&mut herd, year, &mut part(2));
        }
        breeding::summer(&mut herd, year, &mut part(3));
        if has_calves {
            weaning::fall(&mut herd, year, &mut part(4));
        }
        breeding::fall(&mut herd, year, &mut part(5));
        trade(&mut herd, year, &mut part(6));
        if has_calves {
            weaning::keep_and_sell(&mut herd, year, &mut part(7));
        }
    }
    herd
}

/// Twelve bred cows bought in one winter, six sold bred in another.
fn trade(herd: &mut Herd, year: i32, draws: &mut Draws) {
    if year == 2023 {
        for number in 1..=12 {
            let birth_year = 2018 + i32::try_from(draws.below(3)).expect("a small number");
            let tag = format!("{}3{number:02}", birth_year % 10);
            let mut cow = animals::bought(
                tag,
                day(birth_year, 3, 28),
                day(2023, 12, 10),
                "bred",
                draws,
            );
            cow.carries = Some(Pregnancy {
                conceived: day(2023, 6, 6) + Days::new(u64::from(draws.below(40))),
                bull: None,
                by_insemination: false,
            });
            herd.cows.push(cow);
        }
    }
    if year == 2024 {
        let sold_on = day(2024, 12, 12);
        herd.cows
            .iter_mut()
            .filter(|cow| {
                cow.on_hand(sold_on)
                    && cow.carries.is_some()
                    && (2015..=2016).contains(&cow.birth_date.year())
            })
            .take(6)
            .for_each(|cow| cow.leave(sold_on, "sold bred"));
    }
}

/// Every file of the book.
pub fn files() -> Vec<WrittenFile> {
    let herd = herd();
    let mut exposures = Table::new(&["season", "cow", "from", "to", "bulls", "ai_date", "note"]);
    herd.exposures
        .iter()
        .for_each(|row| exposures.push(row.clone()));
    let mut checks = Table::new(&[
        "cow",
        "date",
        "result",
        "stage",
        "method",
        "checked_by",
        "remarks",
    ]);
    herd.checks.iter().for_each(|row| checks.push(row.clone()));
    vec![
        calves_table(&herd).file("five-years/calves.csv"),
        cows_table(&herd).file("five-years/cows.csv"),
        bulls_table(&herd).file("five-years/bulls.csv"),
        exposures.file("five-years/exposures.csv"),
        checks.file("five-years/checks.csv"),
        places_table().file("five-years/places.csv"),
    ]
}

fn calves_table(herd: &Herd) -> Table {
    let mut table = Table::new(&COLUMNS);
    for (index, born) in herd.calves.iter().enumerate() {
        let mut calf = born.calf.clone();
        if index == 0 {
            calf.note = INVENTED.to_owned();
        }
        table.push(calf.cells());
    }
    table
}

fn cows_table(herd: &Herd) -> Table {
    let mut table = Table::new(&[
        "tag",
        "eid",
        "birth_date",
        "birth_year",
        "age_from",
        "breed",
        "sire",
        "dam",
        "came_on",
        "came_as",
        "left_on",
        "left_because",
        "note",
    ]);
    let mut cows: Vec<&Cow> = herd.cows.iter().collect();
    cows.sort_by(|a, b| (a.came_on, &a.tag).cmp(&(b.came_on, &b.tag)));
    for (index, cow) in cows.into_iter().enumerate() {
        let (birth_date, birth_year, age_from) = if cow.only_year {
            (String::new(), cow.birth_date.year().to_string(), "mouth")
        } else {
            (cow.birth_date.to_string(), String::new(), "papers")
        };
        table.push(vec![
            cow.tag.clone(),
            cow.eid.clone(),
            birth_date,
            birth_year,
            age_from.to_owned(),
            calving::BREED.to_owned(),
            cow.sire.clone(),
            cow.dam.clone(),
            cow.came_on.to_string(),
            cow.came_as.to_owned(),
            date(cow.left_on),
            cow.left_because.to_owned(),
            if index == 0 && cow.note.is_empty() {
                INVENTED
            } else {
                cow.note
            }
            .to_owned(),
        ]);
    }
    table
}

fn bulls_table(herd: &Herd) -> Table {
    let mut table = Table::new(&[
        "tag",
        "name",
        "birth_date",
        "breed",
        "sire",
        "dam",
        "service",
        "note",
    ]);
    for bull in &herd.bulls {
        table.push(vec![
            bull.tag.to_owned(),
            bull.name.to_owned(),
            bull.birth_date.to_string(),
            calving::BREED.to_owned(),
            String::new(),
            String::new(),
            bull.service.to_owned(),
            "invented".to_owned(),
        ]);
    }
    table
}

fn places_table() -> Table {
    let mut table = Table::new(&["name", "kind", "note"]);
    for (name, kind, _, _) in truth::PLACES {
        table.push(vec![
            name.to_owned(),
            kind.to_owned(),
            "invented".to_owned(),
        ]);
    }
    table
}
