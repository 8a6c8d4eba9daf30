//! The calves that never reached the scale, level by level.
//!
//! Enters: every calf row of a level, used in the model or not. Leaves: counts that close.
//! Always true: started = born dead + died + sold early + weighed + no weight.
//! Never: leaves a calf out because it has no weight; a place that loses weak calves looks better.

use super::levels::Chosen;
use super::result::Reached;
use super::rows::Rows;
use crate::sheet::codes::LEFT_BECAUSE;
use crate::sheet::interned::NO_TEXT;

pub(super) fn reached(rows: &Rows, chosen: &Chosen) -> Vec<Reached> {
    let mut found: Vec<Reached> = (0..chosen.names.len())
        .map(|level| Reached {
            level,
            started: 0,
            born_dead: 0,
            died: 0,
            sold_early: 0,
            weighed: 0,
            no_weight: 0,
            dams: 0,
            pounds_weaned_per_dam: f64::NAN,
        })
        .collect();
    let mut dams: Vec<Vec<u32>> = vec![Vec::new(); found.len()];
    let mut pounds = vec![0.0; found.len()];
    for &row in &rows.order {
        let Some(level) = chosen.position(row) else {
            continue;
        };
        let count = &mut found[level];
        count.started += 1;
        if rows.calves.dam.codes()[row] != NO_TEXT {
            dams[level].push(rows.calves.dam.codes()[row]);
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
        dams[level].sort_unstable();
        dams[level].dedup();
        count.dams = u32::try_from(dams[level].len()).unwrap_or(u32::MAX);
        if count.dams > 0 {
            count.pounds_weaned_per_dam = pounds[level] / f64::from(count.dams);
        }
    }
    found
}
