//! The working behind groups, ratios and ranks.

use super::marks::{ABOUT_GROUP, AGAINST_WEIGHT, UNDER_WEIGHT, mending, sentences, why_none};
use super::says::{Says, decimals};
use super::{Working, WorkingInput};
use crate::adjust::marks::Marks;
use crate::group::Group;
use crate::note::{counted, upper_first};

const RULE: &str = "calves with an adjusted weight that agree in season, sex, breed, place, management, creep, single or twin, and who raised them; births within the birth window and weighings within the weigh window of the group's first";
const RULE_SOURCE: &str = "Beef Improvement Federation guidelines, page Contemporary_Groups; the windows are settings of the book";
const RATIO_SOURCE: &str = "Beef Improvement Federation guidelines, page Ratio";

fn none(says: &Says) -> Working {
    Working {
        result: why_none(says, AGAINST_WEIGHT),
        formula: RULE.to_owned(),
        source: RULE_SOURCE.to_owned(),
        would_change: mending(says, AGAINST_WEIGHT),
        ..Working::default()
    }
}

fn part_inputs(group: &Group) -> Vec<WorkingInput> {
    group
        .parts
        .iter()
        .map(|part| {
            let words = upper_first(&part.key.replace('_', " "));
            Says::input(&words, part.words.clone())
        })
        .collect()
}

fn calves(n: usize) -> String {
    counted(n, "calf")
}

/// The group.
pub fn group(says: &Says) -> Working {
    let Some(group) = says.group() else {
        return none(says);
    };
    let settings = &says.book.settings;
    Working {
        result: group.name.clone(),
        inputs: part_inputs(group),
        formula: RULE.to_owned(),
        with_numbers: format!(
            "{}, born {} to {}, weighed {} to {}",
            calves(group.rows.len()),
            group.births.0.iso(),
            group.births.1.iso(),
            group.weighings.0.iso(),
            group.weighings.1.iso()
        ),
        source: format!(
            "{RULE_SOURCE}: births within {} days, weighings within {} days",
            settings.birth_window_days, settings.weigh_window_days
        ),
        assumed: sentences(says, ABOUT_GROUP),
        would_change: vec![
            "Another place, sex, season, breed, management or weigh day would put it in another group."
                .to_owned(),
        ],
        ..Working::default()
    }
}

/// Calves in the group.
pub fn size(says: &Says) -> Working {
    let Some(group) = says.group() else {
        return none(says);
    };
    Working {
        result: calves(group.rows.len()),
        inputs: part_inputs(group),
        formula: "calves of the group, all with an adjusted weight".to_owned(),
        with_numbers: format!("{}: {}", group.name, calves(group.rows.len())),
        source: RULE_SOURCE.to_owned(),
        assumed: sentences(says, ABOUT_GROUP),
        ..Working::default()
    }
}

fn ratio_inputs(says: &Says, group: &Group) -> Vec<WorkingInput> {
    vec![
        Says::input(
            "Adjusted 205-day weight",
            says.weight(says.results.adjusted.adj_205[says.row]),
        ),
        Says::input("Contemporary group", group.name.clone()),
        Says::input("Mean of the group", says.weight(group.mean_adj_205)),
        Says::input("Calves in the group", calves(group.rows.len())),
        Says::input(
            super::BULLS_NAMED,
            match (group.n_sires, group.n_sire_missing) {
                (n, 0) => n.to_string(),
                (n, missing) => format!("{n}; not recorded for {}", calves(missing as usize)),
            },
        ),
    ]
}

/// The ratio.
pub fn ratio(says: &Says) -> Working {
    let Some(group) = says.group() else {
        return Working {
            formula: "100 x adjusted weight / mean adjusted weight of its group".to_owned(),
            source: RATIO_SOURCE.to_owned(),
            ..none(says)
        };
    };
    let ratio = says.results.groups.ratio[says.row];
    let mut would_change = mending(says, UNDER_WEIGHT);
    would_change.push(if ratio.is_nan() {
        "A second calf in the same group would give both a ratio.".to_owned()
    } else {
        format!(
            "{} of the group move its mean; a weight corrected for one changes the ratio of all.",
            calves(group.rows.len())
        )
    });
    Working {
        result: if ratio.is_nan() {
            why_none(says, Marks::ALONE)
        } else {
            decimals(ratio, 1)
        },
        inputs: ratio_inputs(says, group),
        formula: "100 x adjusted weight / mean adjusted weight of its group".to_owned(),
        with_numbers: if ratio.is_nan() {
            String::new()
        } else {
            format!(
                "100 x {} / {} = {}",
                says.bare(says.results.adjusted.adj_205[says.row]),
                says.bare(group.mean_adj_205),
                decimals(ratio, 1)
            )
        },
        source: RATIO_SOURCE.to_owned(),
        assumed: sentences(says, Marks(UNDER_WEIGHT.0 | ABOUT_GROUP.0)),
        would_change,
        ..Working::default()
    }
}

/// The rank.
pub fn rank(says: &Says) -> Working {
    let Some(group) = says.group() else {
        return none(says);
    };
    let groups = &says.results.groups;
    let rank = groups.rank[says.row];
    let heavier = rank.saturating_sub(1);
    let tied = group
        .rows
        .iter()
        .filter(|row| groups.rank[**row as usize] == rank)
        .count();
    let mut assumed = sentences(says, ABOUT_GROUP);
    if rank > 0 && tied > 1 {
        assumed.push(format!(
            "{tied} calves have the same weight and share this rank."
        ));
    }
    Working {
        result: if rank == 0 {
            why_none(says, Marks::ALONE)
        } else {
            format!("{rank} of {}", group.rows.len())
        },
        inputs: ratio_inputs(says, group),
        formula: "1 + heavier calves in the group; equal weights share the better rank".to_owned(),
        with_numbers: if rank == 0 {
            String::new()
        } else {
            format!("1 + {heavier} = {rank}")
        },
        source: "Plain count of adjusted weights, rounded to a millionth of a pound".to_owned(),
        assumed,
        would_change: vec![
            "A corrected weight of any calf in the group can change the rank.".to_owned(),
        ],
        ..Working::default()
    }
}
