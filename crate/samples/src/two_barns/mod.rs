//! The two-barns book: one spring season in four bedded pens and three pastures.
//!
//! Enters: nothing but the seed. Leaves: the files of `two-barns/` and `one-file.csv`. Always true:
//! the pens truly beat the pastures, while the raw means say the opposite, because the heifers'
//! calves and the young calves stand mostly in the pens. Never: a real herd's figures.

mod calves;
mod cows;
pub mod truth;

use chrono::Datelike;

use crate::calf::{COLUMNS, Calf};
use crate::draw::Draws;
use crate::table::{Table, WrittenFile};
use cows::{AgeKnown, Cow};

/// Every file of the book.
pub fn files() -> Vec<WrittenFile> {
    let (cows, calves) = herd();
    vec![
        calves_table(&calves).file("two-barns/calves.csv"),
        cows_table(&cows, &calves).file("two-barns/cows.csv"),
        places_table().file("two-barns/places.csv"),
        one_file(&cows, &calves).file("one-file.csv"),
    ]
}

/// The cows and their calves.
pub fn herd() -> (Vec<Cow>, Vec<Calf>) {
    let mut draws = Draws::new(truth::SEED, 1);
    let cows = cows::cows(&mut draws);
    let calves = calves::calves(&cows, &mut Draws::new(truth::SEED, 2));
    (cows, calves)
}

fn calves_table(calves: &[Calf]) -> Table {
    let mut table = Table::new(&COLUMNS);
    for calf in calves {
        table.push(calf.cells());
    }
    table
}

fn cows_table(cows: &[Cow], calves: &[Calf]) -> Table {
    let mut table = Table::new(&[
        "tag",
        "birth_date",
        "birth_year",
        "age_from",
        "breed",
        "came_on",
        "came_as",
        "left_on",
        "left_because",
        "note",
    ]);
    let mut cows: Vec<&Cow> = cows.iter().collect();
    cows.sort_by(|a, b| a.tag.cmp(&b.tag));
    for (index, cow) in cows.into_iter().enumerate() {
        let year = cow.birth_date.year();
        let (birth_date, birth_year, age_from) = match cow.age_known {
            AgeKnown::Date => (cow.birth_date.to_string(), String::new(), "papers"),
            AgeKnown::Year => (String::new(), year.to_string(), "mouth"),
            AgeKnown::Not => (String::new(), String::new(), ""),
        };
        let came_on = if cow.came_as == "raised" {
            crate::calf::day(year + 1, 5, 20)
        } else {
            crate::calf::day(year + 2, 11, 15)
        };
        let sold = calves
            .iter()
            .find(|calf| calf.dam == cow.tag && calf.note == calves::SOLD_AS_A_PAIR);
        table.push(vec![
            cow.tag.clone(),
            birth_date,
            birth_year,
            age_from.to_owned(),
            calves::BREED.to_owned(),
            came_on.to_string(),
            cow.came_as.to_owned(),
            crate::calf::date(sold.and_then(|calf| calf.left_on)),
            sold.map(|calf| calf.left_because.to_owned())
                .unwrap_or_default(),
            if index == 0 {
                calves::INVENTED.to_owned()
            } else {
                String::new()
            },
        ]);
    }
    table
}

fn places_table() -> Table {
    let mut table = Table::new(&["name", "kind", "note"]);
    for (name, kind, creep, _, _) in truth::PLACES {
        let note = if creep == "yes" {
            "invented; creep area at the back"
        } else {
            "invented"
        };
        table.push(vec![name.to_owned(), kind.to_owned(), note.to_owned()]);
    }
    table
}

/// The same calves with the dam's age in years and the kind of place in their own row, for people
/// who have one file and no list of cows or places.
fn one_file(cows: &[Cow], calves: &[Calf]) -> Table {
    let mut table = Table::new(&COLUMNS);
    for calf in calves {
        let mut calf = calf.clone();
        calf.dam_age = cows
            .iter()
            .find(|cow| cow.tag == calf.dam && cow.age_known != AgeKnown::Not)
            .map(|cow| i64::from(calf.birth_date.year() - cow.birth_date.year()));
        calf.management = truth::PLACES
            .iter()
            .find(|place| place.0 == calf.place)
            .map(|place| place.1.to_owned())
            .unwrap_or_default();
        table.push(calf.cells());
    }
    table
}
