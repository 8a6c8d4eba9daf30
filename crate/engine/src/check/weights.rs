//! Weights: missing, out of range, rounded, or one for a whole place.
//!
//! Enters: the calves' weights and gains. Leaves: findings.
//! Always true: a doubted weight is still used, and marked.
//! Never: corrects a weight.

use std::collections::HashMap;

use super::code::Code;
use super::{Look, WHOLE_COLUMN};
use crate::sheet::interned::NO_TEXT;
use crate::trade::plausible::{
    BIRTH_WEIGHT_LB, FEWEST_TO_CALL_ROUNDED, FEWEST_TO_CALL_SAME, GAIN_LB_PER_DAY, ROUNDED_SHARE,
    WEANING_WEIGHT_LB,
};

pub(super) fn look(look: &mut Look) {
    let calves = look.calves;
    look.missing(
        Code::BirthWeightMissing,
        "birth_weight",
        |row| calves.birth_weight[row].is_nan(),
        |row| !calves.never_lived(row) && !calves.wean_weight[row].is_nan(),
    );
    look.missing(
        Code::WeanWeightMissing,
        "wean_weight",
        |row| calves.wean_weight[row].is_nan(),
        |row| !calves.never_lived(row) && !calves.weighed_on(row).is_missing(),
    );
    ranges(look);
    calving_ease(look);
    rounded(look);
    same(look);
}

fn ranges(look: &mut Look) {
    let (calves, settings, adjusted) = (look.calves, look.settings, look.adjusted);
    let (birth_at, wean_at) = (look.column("birth_weight"), look.column("wean_weight"));
    for (row, key) in look.rows() {
        let birth = settings.weight_unit.to_pounds(calves.birth_weight[row]);
        let weaning = settings.weight_unit.to_pounds(calves.wean_weight[row]);
        let birth_holds = birth.is_nan() || BIRTH_WEIGHT_LB.holds(birth);
        let weaning_holds = weaning.is_nan() || WEANING_WEIGHT_LB.holds(weaning);
        if !birth_holds {
            look.add(Code::BirthWeightRange, birth_at, key, 0);
        }
        if weaning < birth {
            look.add(Code::WeanWeightBelowBirth, wean_at, key, 0);
        } else if !weaning_holds {
            look.add(Code::WeanWeightRange, wean_at, key, 0);
        }
        let gain = adjusted.gain_per_day[row];
        if birth_holds && weaning_holds && !gain.is_nan() && !GAIN_LB_PER_DAY.holds(gain) {
            look.add(Code::GainRange, wean_at, key, 0);
        }
    }
}

fn calving_ease(look: &mut Look) {
    let at = look.column("calving_ease");
    for (row, key) in look.rows() {
        let ease = look.calving_ease[row];
        let known = [1.0, 2.0, 3.0, 4.0, 5.0].contains(&ease);
        if !ease.is_nan() && !known {
            look.add(Code::CalvingEaseRange, at, key, 0);
        }
    }
}

/// Nearly all weaning weights end in 0 or 5.
fn rounded(look: &mut Look) {
    let weights = || {
        look.calves
            .wean_weight
            .iter()
            .filter(|weight| !weight.is_nan())
    };
    let n = weights().count();
    let ending = weights().filter(|weight| **weight % 5.0 == 0.0).count();
    if n >= FEWEST_TO_CALL_ROUNDED && ending as f64 >= ROUNDED_SHARE * n as f64 {
        let at = look.column("wean_weight");
        let ending = u32::try_from(ending).unwrap_or(u32::MAX);
        look.add(Code::WeightRounded, at, WHOLE_COLUMN, ending);
    }
}

/// All calves of one place and weigh day have one weight.
fn same(look: &mut Look) {
    struct Place {
        first: u32,
        weight: f64,
        n: u32,
        same: bool,
    }
    let calves = look.calves;
    let mut index: HashMap<(u32, i32), usize> = HashMap::new();
    let mut places: Vec<Place> = Vec::new();
    for (row, key) in look.rows() {
        let (place, weight) = (calves.place.codes()[row], calves.wean_weight[row]);
        if place == NO_TEXT || weight.is_nan() {
            continue;
        }
        let at = *index
            .entry((place, calves.weighed_on(row).count()))
            .or_insert_with(|| {
                places.push(Place {
                    first: key,
                    weight,
                    n: 0,
                    same: true,
                });
                places.len() - 1
            });
        places[at].n += 1;
        places[at].same &= places[at].weight == weight;
    }
    let at = look.column("wean_weight");
    for place in places {
        if place.same && place.n as usize >= FEWEST_TO_CALL_SAME {
            look.add(Code::WeightSame, at, place.first, place.n);
        }
    }
}
