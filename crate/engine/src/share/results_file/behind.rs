//! The working behind a figure of a file, from the file alone.
//!
//! Enters: a payload, the book rebuilt from it, a row and a column. Leaves: a [`Working`].
//! Always true: inputs are cells and totals of the file; a figure that rests on what stays home has no
//! inputs and says so.
//! Never: shows the birth date that stands in the rebuilt book for a dam's stated age.

use super::basis::Basis;
use super::method;
use super::payload::Payload;
use super::rebuild::Rebuilt;
use super::shown::fixed;
use super::verify::{calf, own_weight};
use crate::note::counted;
use crate::results::ResultColumn;
use crate::share::working::{BULLS_NAMED, Working, WorkingInput, working};

/// The working; `None` where the file has no such figure.
pub fn behind(payload: &Payload, rebuilt: &Rebuilt, row: usize, key: &str) -> Option<Working> {
    let record = payload
        .column(key)
        .filter(|column| column.origin == "engine")?;
    let column = ResultColumn::from_key(key)?;
    let basis = Basis::of(record.basis.as_deref(), row)?;
    let of_the_book = working(&rebuilt.book, &rebuilt.results, row, column)?;
    let title = format!("{} of {}", record.label, calf(payload, row));
    let stated = if record.unit.is_empty() {
        record.shown(row).to_owned()
    } else {
        format!("{} {}", record.shown(row), record.unit)
    };
    Some(match basis {
        Basis::Here => Working {
            title,
            inputs: of_the_book
                .inputs
                .iter()
                .filter_map(|input| in_the_file(payload, rebuilt, row, input))
                .collect(),
            would_change: Vec::new(),
            ..of_the_book
        },
        Basis::Totals => from_totals(payload, rebuilt, row, column).map_or_else(
            || only_stated(&of_the_book, key, &title, &stated),
            |totals| Working {
                column: key.to_owned(),
                title: title.clone(),
                result: stated.clone(),
                ..totals
            },
        ),
        Basis::Stated => only_stated(&of_the_book, key, &title, &stated),
    })
}

/// An input as it stands in the file; none for a cell of a column that stays home.
fn in_the_file(
    payload: &Payload,
    rebuilt: &Rebuilt,
    row: usize,
    input: &WorkingInput,
) -> Option<WorkingInput> {
    let Some((sheet, _, column)) = &input.cell else {
        // Bulls that stay home are not "not recorded".
        let of_sires = input.words == BULLS_NAMED && payload.column("sire").is_none();
        return (!of_sires).then(|| input.clone());
    };
    if column == "raised_dam" && payload.column(column).is_some() {
        let shown = payload
            .column(column)
            .map_or("", |column| column.shown(row));
        return Some(WorkingInput {
            value: if shown.is_empty() {
                input.value.clone()
            } else {
                shown.to_owned()
            },
            ..input.clone()
        });
    }
    if rebuilt.stated_dam_age[row] && column == "dam_birth_date" {
        let days = payload
            .column("dam_age_days")
            .map(|column| column.shown(row).to_owned());
        let class = payload
            .column("dam_age_class")
            .map(|column| column.shown(row).to_owned());
        return Some(WorkingInput {
            words: "Dam's age, as stated in this file".to_owned(),
            value: match (days, class) {
                (Some(days), _) => format!("{days} days"),
                (None, Some(class)) => format!("class {class}"),
                (None, None) => return None,
            },
            cell: None,
        });
    }
    (sheet == "calves" && payload.column(column).is_some()).then(|| input.clone())
}

fn from_totals(
    payload: &Payload,
    rebuilt: &Rebuilt,
    row: usize,
    column: ResultColumn,
) -> Option<Working> {
    let at = u32::try_from(row).ok()?;
    let group = payload
        .groups
        .as_ref()?
        .groups
        .iter()
        .find(|group| group.rows.contains(&at))?;
    let unit = &payload.weight_unit;
    let input = |words: &str, value: String| WorkingInput {
        words: words.to_owned(),
        value,
        cell: None,
    };
    let totals = Working {
        source: format!("Totals of the group {} in this file, over its {}", group.name, counted(group.n as usize, "calf")),
        assumed: vec!["The totals are as stated: not all calves of the group are here with all that they rest on.".to_owned()],
        ..Working::default()
    };
    Some(match column {
        ResultColumn::GroupSize => Working {
            inputs: vec![input("Calves in the group", group.n.to_string())],
            formula: "calves in the group".to_owned(),
            ..totals
        },
        _ => {
            let own = own_weight(payload, rebuilt, row)?;
            Working {
                inputs: vec![
                    input("Own adjusted weight", format!("{} {unit}", fixed(own, 1))),
                    input("Mean of the group", format!("{} {unit}", group.mean_shown)),
                ],
                formula: "100 x own adjusted weight / mean of the group".to_owned(),
                with_numbers: format!(
                    "100 x {} / {} = {}",
                    fixed(own, 1),
                    group.mean_shown,
                    fixed(100.0 * own / group.mean, 1)
                ),
                ..totals
            }
        }
    })
}

fn only_stated(of_the_book: &Working, key: &str, title: &str, stated: &str) -> Working {
    Working {
        column: key.to_owned(),
        title: title.to_owned(),
        result: stated.to_owned(),
        formula: of_the_book.formula.clone(),
        source: method::STATED_ONLY.to_owned(),
        ..Working::default()
    }
}

/// The working behind the mean of a group, by its line in the file; `None` where there is none.
pub fn behind_group(payload: &Payload, rebuilt: &Rebuilt, at: usize) -> Option<Working> {
    let group = payload.groups.as_ref()?.groups.get(at)?;
    let unit = &payload.weight_unit;
    let title = format!("Mean of the group {}", group.name);
    let stated = format!("{} {unit}", group.mean_shown);
    let formula = "sum of the adjusted weights / calves in the group".to_owned();
    if Basis::of(Some(&group.basis), 0) != Some(Basis::Here) {
        return Some(Working {
            title,
            result: stated,
            formula,
            source: method::STATED_ONLY.to_owned(),
            ..Working::default()
        });
    }
    let weights: Vec<(String, f64)> = group
        .rows
        .iter()
        .map(|&row| row as usize)
        .map(|row| {
            (
                calf(payload, row),
                own_weight(payload, rebuilt, row).unwrap_or(f64::NAN),
            )
        })
        .collect();
    let sum: f64 = weights.iter().map(|(_, weight)| weight).sum();
    Some(Working {
        title,
        result: stated,
        with_numbers: format!(
            "{} / {} = {}",
            fixed(sum, 1),
            weights.len(),
            fixed(
                sum / f64::from(u32::try_from(weights.len()).unwrap_or(u32::MAX)),
                1
            )
        ),
        inputs: weights
            .into_iter()
            .map(|(tag, weight)| WorkingInput {
                words: tag,
                value: format!("{} {unit}", fixed(weight, 1)),
                cell: None,
            })
            .collect(),
        formula,
        source: "Spread: standard deviation with n − 1".to_owned(),
        ..Working::default()
    })
}
