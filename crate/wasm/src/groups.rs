//! The groups view as it crosses.
//!
//! Enters: the book in hand. Leaves: [`GroupsView`], weights in the book's unit.

use fairpen_engine::desk::Desk;
use fairpen_engine::group::Group;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::write::fixed;

use crate::columns::counts_of;
use crate::types::{GroupInfo, GroupsView, ImportAnswer};

/// The groups view.
pub fn groups_view(desk: &Desk) -> GroupsView {
    GroupsView {
        sentence: desk.summary(),
        rule: desk.group_rule(),
        groups: desk
            .results()
            .groups
            .groups
            .iter()
            .map(|group| group_of(desk, group))
            .collect(),
        left_out: counts_of(desk.left_out()),
        unit: desk.book().settings.weight_unit.symbol().to_owned(),
    }
}

fn group_of(desk: &Desk, group: &Group) -> GroupInfo {
    let unit = desk.book().settings.weight_unit;
    let calves = desk.book().calves();
    let tags = calves.known("tag");
    let weight = |pounds: f64| unit.from_pounds(pounds);
    let with_unit = |pounds: f64| {
        if pounds.is_nan() {
            String::new()
        } else {
            format!("{} {}", fixed(weight(pounds), 1), unit.symbol())
        }
    };
    GroupInfo {
        name: group.name.clone(),
        parts: group
            .parts
            .iter()
            .map(|part| ImportAnswer {
                key: part.key.to_owned(),
                words: part.words.clone(),
            })
            .collect(),
        sex: group.sex.to_owned(),
        place: group.place.clone(),
        n: u32::try_from(group.rows.len()).unwrap_or(u32::MAX),
        n_sires: group.n_sires,
        births: span(group.births),
        weighings: span(group.weighings),
        mean: weight(group.mean_adj_205),
        mean_text: with_unit(group.mean_adj_205),
        sd: Some(weight(group.sd_adj_205)).filter(|sd| !sd.is_nan()),
        sd_text: with_unit(group.sd_adj_205),
        flags: group.flags.clone(),
        tags: group
            .rows
            .iter()
            .map(|&row| tags.shown(row as usize))
            .collect(),
        row_keys: group.rows.iter().map(|&row| calves.key_of(row)).collect(),
        weights: group
            .rows
            .iter()
            .map(|&row| {
                let pounds = desk.results().adjusted.adj_205.get(row as usize);
                weight(pounds.copied().unwrap_or(f64::NAN))
            })
            .collect(),
    }
}

fn span((first, last): (Day, Day)) -> String {
    if first == last {
        first.iso()
    } else {
        format!("{} to {}", first.iso(), last.iso())
    }
}
