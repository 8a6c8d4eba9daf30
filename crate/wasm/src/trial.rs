//! Planned trials as they cross.
//!
//! Enters: places and a seed. Leaves: [`TrialView`] with texts for people, and the list as CSV.
//! Always true: the list and the view of one request are the same plan.
//! Never: draws.

use fairpen_engine::book::form::day_from;
use fairpen_engine::share::trial_list::trial_csv;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::write::spoken;
use fairpen_engine::trial::{Plan, TrialBalance, TrialCow, TrialPlace, TrialSpec, plan};
use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::columns::counts_of;
use crate::refusal::{Answer, give, refused, take};
use crate::session::Session;
use crate::types::{
    TrialBalanceInfo, TrialCowInfo, TrialKindInfo, TrialListInfo, TrialRequest, TrialView,
};

/// Standardised differences over this are worth a word (Imbens and Rubin 2015, from memory).
const LARGE_DIFFERENCE: f64 = 0.25;

#[wasm_bindgen]
impl Session {
    /// Allots the cows on hand to places.
    pub fn plan_trial(&self, r: Ts<TrialRequest>) -> Answer<Ts<TrialView>> {
        give(view_of(&self.planned(r)?))
    }

    /// The list of the same plan, CSV.
    pub fn trial_list(&self, r: Ts<TrialRequest>) -> Answer<Vec<u8>> {
        Ok(trial_csv(&self.planned(r)?))
    }

    fn planned(&self, r: Ts<TrialRequest>) -> Answer<Plan> {
        let request: TrialRequest = take(r)?;
        let spec = TrialSpec {
            places: request
                .places
                .into_iter()
                .map(|place| TrialPlace {
                    name: place.name,
                    head: place.head,
                })
                .collect(),
            seed: request.seed,
            today: day_from(&request.today).unwrap_or(Day::MISSING),
        };
        plan(self.desk.book(), self.desk.results(), &spec).map_err(|refusal| refused(&refusal))
    }
}

fn view_of(plan: &Plan) -> TrialView {
    let list = |name: &str, cows: &[usize]| TrialListInfo {
        name: name.to_owned(),
        cows: cows.iter().map(|&at| cow_of(&plan.cows[at])).collect(),
    };
    let mut lists: Vec<TrialListInfo> = plan
        .places
        .iter()
        .map(|place| list(&place.name, &place.cows))
        .collect();
    if !plan.left_over.is_empty() {
        lists.push(list("", &plan.left_over));
    }
    TrialView {
        as_of: plan.as_of.iso(),
        lists,
        set_aside: counts_of(plan.set_aside.clone()),
        balance: plan.balance.iter().map(balance_of).collect(),
        kinds: plan
            .kinds
            .iter()
            .map(|kind| TrialKindInfo {
                words: kind.words.to_vec(),
                per_place: kind.per_place.clone(),
            })
            .collect(),
        cautions: plan.cautions.clone(),
        method: plan.method.clone(),
    }
}

fn cow_of(cow: &TrialCow) -> TrialCowInfo {
    TrialCowInfo {
        row_key: cow.row_key,
        tag: cow.tag.clone(),
        age_class: cow.age_class.clone().unwrap_or_default(),
        bulls: cow.service.clone().unwrap_or_default(),
        due: cow.due.map_or_else(String::new, |day| day.iso()),
        due_from: match cow.due {
            Some(_) => cow.due_from.words().to_owned(),
            None => String::new(),
        },
        now_in: cow.place.clone().unwrap_or_default(),
    }
}

fn balance_of(line: &TrialBalance) -> TrialBalanceInfo {
    let text = |value: f64| match line.kind {
        _ if value.is_nan() => String::new(),
        "share" => format!("{} %", spoken(value * 100.0, 0)),
        // A mean of days falls between two; people are told the nearer one.
        "day" => Day::from_count(value.round() as i32).iso(),
        _ => spoken(value, 1),
    };
    let apart = |value: f64| {
        if value.is_finite() {
            spoken(value, 2)
        } else {
            String::new()
        }
    };
    TrialBalanceInfo {
        words: line.words.clone(),
        texts: line.values.iter().map(|&value| text(value)).collect(),
        before_text: apart(line.before),
        after_text: apart(line.after),
        large: line.after > LARGE_DIFFERENCE,
    }
}
