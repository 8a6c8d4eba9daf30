//! The groups table of a file.
//!
//! Enters: the groups of a book and the choice. Leaves: one record per group that has a calf in the file.
//! Always true: totals are of the whole group; a group is named by a number where its name would tell
//! something that stays home, the same number in the table and in the calves' rows.
//! Never: names a calf that stays home.

use super::guard::Guard;
use super::method;
use super::payload::{Cell, ColumnRecord, GroupRecord, GroupsRecord};
use super::shown::fixed;
use crate::group::NO_GROUP;
use crate::results::Results;
use crate::share::choice::Choice;
use crate::sheet::workbook::Workbook;

/// The groups that have a calf in the file: position in the results, with the name it goes by.
pub struct Named {
    /// For each group of the results its name in the file; `None` when it has no calf there.
    names: Vec<Option<String>>,
}

impl Named {
    /// Names the groups.
    pub fn new(book: &Workbook, results: &Results, choice: &Choice, rows: &[u32]) -> Named {
        let groups = &results.groups;
        let mut shown = vec![false; groups.groups.len()];
        for &row in rows {
            let group = groups.group_of[row as usize];
            if group != NO_GROUP {
                shown[group as usize] = true;
            }
        }
        let by_number = choice.names_groups_by_number(book);
        let mut number = 0;
        let names = shown
            .into_iter()
            .zip(&groups.groups)
            .map(|(shown, group)| {
                shown.then(|| {
                    number += 1;
                    if by_number {
                        format!("Group {number}")
                    } else {
                        group.name.clone()
                    }
                })
            })
            .collect();
        Named { names }
    }

    /// Puts the names that may go into the column of groups.
    pub fn rename(&self, results: &Results, rows: &[u32], column: &mut ColumnRecord) {
        for (cell, &row) in column.cells.iter_mut().zip(rows) {
            let name = self
                .names
                .get(results.groups.group_of[row as usize] as usize);
            *cell = name.cloned().flatten().map_or(Cell::Missing, Cell::Text);
        }
    }

    /// The table.
    pub fn table(
        &self,
        book: &Workbook,
        results: &Results,
        guard: &Guard,
        rows: &[u32],
    ) -> GroupsRecord {
        let unit = book.settings.weight_unit;
        let mut members: Vec<Vec<u32>> = vec![Vec::new(); self.names.len()];
        for (at, &row) in (0_u32..).zip(rows) {
            if let Some(members) = members.get_mut(results.groups.group_of[row as usize] as usize) {
                members.push(at);
            }
        }
        let groups = self
            .names
            .iter()
            .zip(&results.groups.groups)
            .zip(members)
            .filter_map(|((name, group), rows)| {
                let mean = unit.from_pounds(group.mean_adj_205);
                let sd = unit.from_pounds(group.sd_adj_205);
                Some(GroupRecord {
                    name: name.clone()?,
                    parts: guard.parts(group),
                    n: u32::try_from(group.rows.len()).unwrap_or(u32::MAX),
                    mean,
                    mean_shown: fixed(mean, 1),
                    sd: (!sd.is_nan()).then_some(sd),
                    sd_shown: fixed(sd, 1),
                    flags: group.flags.clone(),
                    rows,
                    basis: super::basis::Basis::Stated.letter().to_string(),
                })
            })
            .collect();
        GroupsRecord {
            rule: method::group_rule(&book.settings),
            groups,
        }
    }
}
