//! How the figures of a file were made, and what to mind, in plain sentences.
//!
//! Enters: settings, results, the rows of the file. Leaves: headings with text, and cautions.
//! Always true: every formula, factor and window that stands here is read from the settings in use, with
//! its source; cautions come most important first.
//! Never: calls an animal clear of a withdrawal.

use super::shown::fixed;
use crate::group::{NO_GROUP, SMALL_GROUP};
use crate::note::counted;
use crate::results::Results;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::{OutsideWindow, Settings, WeightUnit};
use crate::sheet::workbook::Workbook;

/// Said of a figure that the file alone cannot give.
pub const STATED_ONLY: &str = "Stated only: what this figure rests on stays home, so it cannot be computed again here. Ask the ranch.";

/// How groups are formed, a sentence each.
pub fn group_rule(settings: &Settings) -> Vec<String> {
    vec![
        "Calves of one group were born in the same season, are of the same sex at weighing and, where it is recorded, of the same breed, and stood in the same place under the same management, with or without creep.".to_owned(),
        "Twins, calves raised by another cow, calves set apart by hand and calves weighed late are grouped apart.".to_owned(),
        format!(
            "Births of one group lie within {} days, weighings within {} days; weighed late means more than {} days after weaning.",
            settings.birth_window_days, settings.weigh_window_days, settings.weighed_after_weaning_days
        ),
        "Only calves with an adjusted 205-day weight are grouped. A group of one has no ratio.".to_owned(),
    ]
}

/// Heading and text of each part of the method.
pub fn lines(settings: &Settings, has_comparison: Option<&str>) -> Vec<(String, String)> {
    let unit = settings.weight_unit;
    let age = settings.standard_age_days;
    let mut lines = vec![
        (
            format!("Adjusted {age}-day weight"),
            format!(
                "(weaning weight − birth weight) / age in days x {age} + birth weight + dam-age factor. Age runs from birth to the day of weighing. Formula: Beef Improvement Federation guideline, as printed by Michigan State University Extension."
            ),
        ),
        (
            "Dam-age factors".to_owned(),
            format!(
                "{}. Source: {}. {} A dam of unknown age gets no factor and a mark.",
                settings.factors.name,
                settings.factors.source,
                settings
                    .factors
                    .classes
                    .iter()
                    .map(|class| format!(
                        "Class {} ({}): {} to the weight of males, {} to that of females, {} to the birth weight.",
                        class.name,
                        ages(class.from_days, class.to_days),
                        weight(unit, class.weaning_male_lb),
                        weight(unit, class.weaning_female_lb),
                        weight(unit, class.birth_lb),
                    ))
                    .collect::<Vec<_>>()
                    .join(" ")
            ),
        ),
        (
            "Age window".to_owned(),
            format!(
                "{} to {} days at weighing. {}",
                settings.window_from_days,
                settings.window_to_days,
                match settings.outside_window {
                    OutsideWindow::ActualOnly =>
                        "Outside it a calf has no adjusted weight and no ratio; its weight, age and gain are shown.",
                    OutsideWindow::StraightAge =>
                        "Outside it the weight is put on age alone, without a dam-age factor, marked, and in groups of its own.",
                }
            ),
        ),
        (
            "Birth weights".to_owned(),
            format!(
                "Where a calf was not weighed at birth, {} stands for males and {} for females, marked (a stated standard, from a secondary source).",
                weight(unit, settings.standard_birth_weight_male_lb),
                weight(unit, settings.standard_birth_weight_female_lb),
            ),
        ),
        ("Contemporary groups".to_owned(), group_rule(settings).join(" ")),
        (
            "Ratio".to_owned(),
            "100 x own adjusted weight / mean adjusted weight of the contemporary group. Rank 1 is the heaviest of its group.".to_owned(),
        ),
    ];
    if let Some(method) = has_comparison {
        lines.push(("Comparison".to_owned(), method.to_owned()));
    }
    lines
}

/// What to mind. `n_doubtful` counts what is still doubtful among the calves of the file.
pub fn cautions(book: &Workbook, results: &Results, rows: &[u32], n_doubtful: u32) -> Vec<String> {
    let mut cautions = vec![
        "This file can show that its sums were done right. It cannot show that the weights, the dates or the animals are right, or who wrote them down.".to_owned(),
        treatments(book),
    ];
    let n_without = rows
        .iter()
        .filter(|&&row| results.adjusted.adj_205[row as usize].is_nan())
        .count();
    if n_without > 0 {
        cautions.push(format!(
            "{n_without} of {} here {} no adjusted weight; the flags say why.",
            counted(rows.len(), "calf"),
            if n_without == 1 { "has" } else { "have" }
        ));
    }
    let n_small = rows
        .iter()
        .filter_map(|&row| match results.groups.group_of[row as usize] {
            NO_GROUP => None,
            group => results.groups.groups.get(group as usize),
        })
        .filter(|group| group.rows.len() < SMALL_GROUP)
        .count();
    if n_small > 0 {
        cautions.push(format!(
            "{} in groups of fewer than {SMALL_GROUP}, where a ratio moves a lot with each calf.",
            counted(n_small, "calf") + if n_small == 1 { " stands" } else { " stand" }
        ));
    }
    if n_doubtful > 0 {
        cautions.push(format!(
            "{n_doubtful} {} still doubtful about these calves' records.",
            if n_doubtful == 1 {
                "thing is"
            } else {
                "things are"
            }
        ));
    }
    cautions.push(
        "A ratio ranks a calf within its own group only. Ratios of different groups cannot be set side by side.".to_owned(),
    );
    cautions
}

fn treatments(book: &Workbook) -> String {
    if book.sheet(SheetKind::Treatments).n_rows() == 0 {
        "No treatments entered. That does not mean clear: ask what was given and when, and go by the label and the veterinarian before any calf is sold for slaughter.".to_owned()
    } else {
        "Treatments are on record at home and are not in this file. Ask for the withdrawal of each calf, and go by the label and the veterinarian before any is sold for slaughter.".to_owned()
    }
}

fn ages(from_days: i32, to_days: i32) -> String {
    if to_days == i32::MAX {
        format!("{from_days} days and older")
    } else {
        format!("{from_days} to {to_days} days")
    }
}

fn weight(unit: WeightUnit, pounds: f64) -> String {
    match unit {
        WeightUnit::Pound => format!("{pounds} lb"),
        WeightUnit::Kilogram => format!("{} kg ({pounds} lb)", fixed(unit.from_pounds(pounds), 1)),
    }
}
