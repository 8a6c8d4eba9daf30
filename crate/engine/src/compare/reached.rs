//! The calves that never reached the scale, level by level.
//!
//! Enters: every calf row of a level, used in the model or not, and the treatments. Leaves: counts that close.
//! Always true: started = born dead + died + sold early + weighed + no weight.
//! Never: leaves a calf out because it has no weight; a place that loses weak calves looks better.

use std::collections::BTreeSet;

use super::dams::{Dams, NO_DAM};
use super::levels::Chosen;
use super::result::Reached;
use super::rows::Rows;
use crate::adjust::columns::{days, texts};
use crate::animals::find::Animals;
use crate::animals::{Among, Deed, Found};
use crate::sheet::codes::LEFT_BECAUSE;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

pub(super) fn reached(book: &Workbook, rows: &Rows, chosen: &Chosen, dams: &Dams) -> Vec<Reached> {
    let treated = treated(book, rows);
    let mut found: Vec<Reached> = (0..chosen.names.len())
        .map(|level| Reached {
            level,
            started: 0,
            born_dead: 0,
            died: 0,
            sold_early: 0,
            weighed: 0,
            no_weight: 0,
            treated: treated.as_ref().map(|_| 0),
            cows_started: 0,
            pounds_weaned_per_cow: f64::NAN,
        })
        .collect();
    let mut cows: Vec<BTreeSet<(u32, &str)>> = vec![BTreeSet::new(); found.len()];
    let mut pounds = vec![0.0; found.len()];
    for &row in &rows.order {
        let Some(level) = chosen.position(row) else {
            continue;
        };
        let count = &mut found[level];
        count.started += 1;
        // A cow starts once in a season, whether with one calf or with twins.
        let season = rows.season[row].as_deref().unwrap_or("");
        let dam = dams.of_row[row];
        count.cows_started += u32::from(dam == NO_DAM || cows[level].insert((dam, season)));
        if let (Some(treated), Some(n)) = (&treated, count.treated.as_mut()) {
            *n += u32::from(treated[row]);
        }
        let left = LEFT_BECAUSE.key(rows.calves.left_because[row]);
        let left_before_weaning = rows.calves.wean_date[row].is_missing()
            || rows.calves.left_on[row] < rows.calves.wean_date[row];
        if !rows.adjusted.wean_weight[row].is_nan() {
            count.weighed += 1;
            pounds[level] += rows.adjusted.wean_weight[row];
        } else {
            match left {
                Some("born dead" | "aborted") => count.born_dead += 1,
                Some("died") if left_before_weaning => count.died += 1,
                Some(_) if left_before_weaning => count.sold_early += 1,
                _ => count.no_weight += 1,
            }
        }
    }
    for (level, count) in found.iter_mut().enumerate() {
        if count.cows_started > 0 {
            count.pounds_weaned_per_cow = pounds[level] / f64::from(count.cows_started);
        }
    }
    found
}

/// For each calf row whether it was treated by itself before it was weaned or left; `None` without treatments.
fn treated(book: &Workbook, rows: &Rows) -> Option<Vec<bool>> {
    let table = book.sheet(SheetKind::Treatments);
    if table.n_rows() == 0 {
        return None;
    }
    let (named, dates) = (texts(table, "animal"), days(table, "date"));
    let animals = Animals::new();
    let lookup = animals.among(book, Among::All);
    let mut treated = vec![false; rows.calves.n_rows];
    for (row, &date) in dates.iter().enumerate() {
        let Some(name) = named.get(row) else {
            continue;
        };
        // A name that fits nobody, or two, is a problem of the check and is no calf's treatment here.
        if let Found::One(animal) = lookup.find(&lookup.links(name), Deed::OnHand, date)
            && animal.sheet == SheetKind::Calves
        {
            let calf = animal.row as usize;
            let until = [rows.calves.wean_date[calf], rows.calves.left_on[calf]]
                .into_iter()
                .filter(|day| !day.is_missing())
                .min();
            treated[calf] |= date.is_missing() || until.is_none_or(|until| date <= until);
        }
    }
    Some(treated)
}
