//! The calves of the two-barns book.
//!
//! Enters: the cows and draws. Leaves: one row per calf, in order of birth. Always true: first-calf
//! heifers' calves stand mostly in pens and the oldest calves mostly on grass, yet every kind of dam
//! has calves in both. Never: a computed figure.

use chrono::Days;

use super::cows::Cow;
use super::truth;
use crate::calf::{Calf, Sex, day};
use crate::draw::Draws;
use crate::growth;

/// Breed of the whole invented herd, so that breed does not split its groups.
pub const BREED: &str = "Angus x Hereford";
/// What every file of the book says of itself.
pub const INVENTED: &str = "Invented record: Madeup Creek, a ranch that does not exist";

/// The note on a calf that was sold with its dam.
pub const SOLD_AS_A_PAIR: &str = "sold as a pair";

/// What the generator knows of a calf and its row does not say.
struct Hidden {
    sire: usize,
    birth: i64,
    sick: bool,
    held_back: bool,
}

/// Draws the calves.
pub fn calves(cows: &[Cow], draws: &mut Draws) -> Vec<Calf> {
    let places = place_of_each(cows, draws);
    let mut rows = Vec::new();
    for (cow, place) in cows.iter().zip(places) {
        let sex = match draws.below(100) {
            0..50 => Sex::Heifer,
            // Bull calves are left whole in two places only.
            50..68 if matches!(place, 2 | 5) => Sex::Bull,
            _ => Sex::Steer,
        };
        rows.push(born(cow, place, sex, draws));
    }
    events::twin_foster_and_bottle(cows, &mut rows, draws);
    rows.sort_by(|a, b| (a.0.birth_date, &a.0.dam).cmp(&(b.0.birth_date, &b.0.dam)));
    for (number, (calf, _)) in rows.iter_mut().enumerate() {
        calf.tag = format!("6{:03}", number + 1);
        calf.eid = format!("999000000{:06}", 26_000 + number * 7);
    }
    events::unusual_days(&mut rows);
    for (calf, hidden) in &mut rows {
        weigh(cows, calf, hidden, draws);
    }
    events::gaps(&mut rows);
    let mut calves: Vec<Calf> = rows.into_iter().map(|(calf, _)| calf).collect();
    calves[0].note = INVENTED.to_owned();
    calves
}

/// Chooses a place (index into the places) for each cow, from the day she calved and her age.
fn place_of_each(cows: &[Cow], draws: &mut Draws) -> Vec<usize> {
    let first = day(2026, 2, 20);
    cows.iter()
        .map(|cow| {
            let offset = (cow.calved - first).num_days();
            let on_grass = if cow.is_first_calf_heifer() {
                16
            } else if cow.age_at_calving() >= 3_926 {
                80
            } else {
                match offset {
                    ..15 => 85,
                    15..30 => 68,
                    30..45 => 40,
                    _ => 22,
                }
            };
            if draws.percent(on_grass) {
                match offset {
                    ..14 => draws.choose_weighted(&[(4, 60), (5, 20), (6, 20)]),
                    _ => draws.choose_weighted(&[(4, 20), (5, 45), (6, 35)]),
                }
            } else {
                match offset {
                    ..24 => draws.choose_weighted(&[(0, 40), (1, 35), (2, 12), (3, 13)]),
                    _ => draws.choose_weighted(&[(0, 14), (1, 16), (2, 35), (3, 35)]),
                }
            }
        })
        .collect()
}

/// A calf on the day of its birth.
fn born(cow: &Cow, place: usize, sex: Sex, draws: &mut Draws) -> (Calf, Hidden) {
    let mut calf = Calf::born(String::new(), sex, cow.calved, cow.tag.clone());
    // The first-calf heifers ran with the two easy-calving bulls, and so did some cows.
    let sire = if cow.is_first_calf_heifer() {
        draws.choose_weighted(&[(4, 65), (3, 35)])
    } else {
        draws.choose_weighted(&[(0, 30), (1, 28), (2, 22), (3, 12), (4, 8)])
    };
    let dam_class = growth::dam_class(cow.age_at_calving());
    let birth = truth::BASE_AT_BIRTH
        + if sex.is_male() {
            truth::MALE_AT_BIRTH
        } else {
            0
        }
        + growth::DAM_AGE_EFFECT_AT_BIRTH[dam_class]
        + truth::BULLS[sire].2
        + draws.bell(truth::RESIDUAL_AT_BIRTH);
    let (name, _, creep, batch, _) = truth::PLACES[place];
    calf.sire = truth::BULLS[sire].0.to_owned();
    // Where 17D and 41C ran together, some calves could be by either.
    if sire < 2 && draws.percent(18) {
        calf.sire = "17D;41C".to_owned();
    }
    calf.breed = BREED.to_owned();
    calf.place = name.to_owned();
    calf.creep = creep;
    calf.birth_weight = Some(growth::to_pounds(birth));
    calf.calving_ease = Some(if cow.is_first_calf_heifer() {
        draws.choose_weighted(&[(1, 80), (2, 15), (3, 5)])
    } else {
        draws.choose_weighted(&[(1, 97), (2, 2), (5, 1)])
    });
    calf.wean_date = Some(wean_day(batch));
    let hidden = Hidden {
        sire,
        birth,
        sick: false,
        held_back: false,
    };
    (calf, hidden)
}

/// The day a batch was taken off the cows.
fn wean_day(batch: usize) -> chrono::NaiveDate {
    if batch == 1 {
        day(2026, 9, 22)
    } else {
        day(2026, 10, 13)
    }
}

/// Fills in the weaning weight, where the calf reached the scale.
fn weigh(cows: &[Cow], calf: &mut Calf, hidden: &Hidden, draws: &mut Draws) {
    let residual = draws.bell(truth::RESIDUAL);
    let Some(weighed_on) = calf.weighed_on() else {
        return;
    };
    let raiser = if calf.raised_dam.is_empty() {
        &calf.dam
    } else {
        &calf.raised_dam
    };
    let dam_days = cows
        .iter()
        .find(|cow| cow.tag == *raiser)
        .map(|cow| (calf.birth_date - cow.birth_date).num_days())
        .expect("every calf of the book is out of a cow of the book");
    let place = truth::PLACES
        .iter()
        .find(|place| place.0 == calf.place)
        .expect("every calf stands in a place of the book");
    let effects = [
        match calf.sex {
            Sex::Bull => truth::BULL_ABOVE_HEIFER,
            Sex::Steer => truth::STEER_ABOVE_HEIFER,
            Sex::Heifer => 0,
        },
        growth::dam_age_effect(dam_days, calf.sex.is_male()),
        truth::BULLS[hidden.sire].1,
        if place.1 == "bedded pen" {
            truth::PEN_ABOVE_PASTURE
        } else {
            0
        },
        if place.2 == "yes" {
            truth::CREEP_ABOVE_NONE
        } else {
            0
        },
        place.4,
        if calf.born_as == "twin" {
            truth::TWIN
        } else {
            0
        },
        if calf.raised_by == "bottle" {
            truth::BOTTLE
        } else {
            0
        },
        if hidden.sick { truth::SICK } else { 0 },
        if hidden.held_back { truth::SICK } else { 0 },
        residual,
    ];
    let at_205 = truth::BASE_AT_205 + effects.iter().sum::<i64>();
    let age = (weighed_on - calf.birth_date).num_days();
    calf.wean_weight = Some(growth::weight_at(hidden.birth, at_205, age));
}

mod events {
    //! The calves whose story is not the plain one.

    use super::{Calf, Cow, Days, Draws, Hidden, SOLD_AS_A_PAIR, Sex, born, day, truth, wean_day};

    /// A twin beside the calf of one cow; a born-dead calf whose dam takes a graft; a bottle calf.
    pub(super) fn twin_foster_and_bottle(
        cows: &[Cow],
        rows: &mut Vec<(Calf, Hidden)>,
        draws: &mut Draws,
    ) {
        let mature = |row: &(Calf, Hidden), cows: &[Cow], place: &str| {
            row.0.place == place
                && cows.iter().any(|cow| {
                    cow.tag == row.0.dam && (1_735..3_926).contains(&cow.age_at_calving())
                })
        };
        let twin = rows
            .iter()
            .position(|row| mature(row, cows, "Creek pasture"))
            .expect("mature cows stand in every place");
        let dam = cows
            .iter()
            .find(|cow| cow.tag == rows[twin].0.dam)
            .expect("the calf was made from this cow");
        let (mut second, mut hidden) = born(dam, 5, Sex::Heifer, draws);
        second.sire.clone_from(&rows[twin].0.sire);
        hidden.sire = rows[twin].1.sire;
        rows.push((second, hidden));
        let last = rows.len() - 1;
        for index in [twin, last] {
            let (calf, hidden) = &mut rows[index];
            calf.born_as = "twin";
            calf.calving_ease = Some(1);
            hidden.birth += truth::TWIN_AT_BIRTH;
            calf.birth_weight = Some(crate::growth::to_pounds(hidden.birth));
        }

        // A cow in Hill pasture lost her calf at birth and took the calf of a cow that died.
        let lost = (0..rows.len())
            .filter(|index| mature(&rows[*index], cows, "Hill pasture"))
            .nth(3)
            .expect("more than three mature cows stand on Hill pasture");
        let lost_on = rows[lost].0.birth_date;
        let graft_dam = rows[lost].0.dam.clone();
        leaves(&mut rows[lost].0, lost_on, "born dead", "");
        let fostered = rows
            .iter()
            .position(|row| {
                mature(row, cows, "Hill pasture")
                    && row.0.left_on.is_none()
                    && row.0.birth_date >= lost_on
            })
            .expect("more than one mature cow stands on Hill pasture");
        let calf = &mut rows[fostered].0;
        calf.raised_by = "foster";
        calf.note = format!("dam had no milk; grafted on {graft_dam}");
        calf.raised_dam = graft_dam;

        let bottle = rows
            .iter()
            .rposition(|row| mature(row, cows, "Pen 1") && row.0.left_on.is_none())
            .expect("mature cows stand in every place");
        let calf = &mut rows[bottle].0;
        calf.raised_by = "bottle";
        calf.note = "dam did not take him".to_owned();
        if calf.sex == Sex::Heifer {
            calf.note = "dam did not take her".to_owned();
        }
    }

    /// Marks a calf as gone before weaning.
    fn leaves(calf: &mut Calf, on: chrono::NaiveDate, because: &'static str, note: &str) {
        calf.left_on = Some(on);
        calf.left_because = because;
        calf.wean_date = None;
        calf.weigh_date = None;
        if !note.is_empty() {
            calf.note = note.to_owned();
        }
    }

    /// Deaths, early sales, a very early and a very late calf, calves held back, late weighings.
    /// Calves are named by their place in the order of birth, so the events do not move when draws do.
    pub(super) fn unusual_days(rows: &mut [(Calf, Hidden)]) {
        for (index, (calf, hidden)) in rows.iter_mut().enumerate() {
            // The calf born dead never had an ear to hang a tag in.
            if calf.left_because == "born dead" {
                calf.tag.clear();
                calf.eid.clear();
                calf.calving_ease = Some(5);
            }
            if calf.place == "Pen 4" && calf.wean_date.is_some() {
                calf.weigh_date = calf.wean_date.map(|date| date + Days::new(1));
            }
            let plain = calf.raised_by == "own dam" && calf.born_as == "single";
            if !plain || calf.left_on.is_some() {
                continue;
            }
            let after = |days: u64| calf.birth_date + Days::new(days);
            match index {
                31 => {
                    let on = after(1);
                    leaves(calf, on, "died", "chilled");
                }
                77 => {
                    let on = after(16);
                    leaves(calf, on, "died", "scours");
                }
                122 => {
                    let on = after(74);
                    leaves(calf, on, "died", "bloat");
                }
                58 => leaves(calf, day(2026, 7, 9), "sold", SOLD_AS_A_PAIR),
                // One surprise in January, one straggler in May.
                0 => calf.birth_date = day(2026, 1, 26),
                181 => calf.birth_date = day(2026, 5, 9),
                _ => {}
            }
            if index == 0 {
                // Wrong side of 250 days on the later day.
                calf.wean_date = Some(wean_day(2));
            }
            if matches!(index, 60 | 96 | 141) && calf.wean_date == Some(wean_day(1)) {
                calf.wean_date = Some(wean_day(2));
                hidden.held_back = true;
                calf.note = "too light on the first day, held back".to_owned();
            }
            if matches!(index, 45 | 150) && calf.wean_date.is_some() {
                calf.weigh_date = calf.wean_date.map(|date| date + Days::new(11));
                hidden.sick = true;
                calf.note = "sick on the day, weighed later".to_owned();
            }
        }
    }

    /// What the pocket book does not hold.
    pub(super) fn gaps(rows: &mut [(Calf, Hidden)]) {
        for (index, (calf, _)) in rows.iter_mut().enumerate() {
            if index % 17 == 9 {
                calf.birth_weight = None;
            }
            if matches!(index, 40 | 133) {
                calf.sire.clear();
            }
            if index == 88 {
                calf.eid.clear();
            }
        }
        let missed = rows
            .iter_mut()
            .filter(|row| row.0.place == "East pasture" && row.0.wean_weight.is_some())
            .nth(11)
            .expect("East pasture holds more than twelve calves");
        missed.0.wean_weight = None;
        missed.0.note = "jumped out before the scale".to_owned();
    }
}
