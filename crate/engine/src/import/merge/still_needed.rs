//! What the adjusted weights need and neither the file nor the record has.
//!
//! Enters: the plan of a file of calves, its rows held against the record, the choices. Leaves: notes.
//! Always true: only rows that come in are counted, and a calf on record that has the thing lacks nothing.
//! Never: speaks of a thing that a column of the file was taken for.

use super::carry_out::{Deed, deed};
use super::{Merge, MergeChoices};
use crate::import::about_file::{missing_columns, words_of_missing};
use crate::import::notes::Notes;
use crate::import::plan::ImportPlan;
use crate::note::{Note, Severity};
use crate::sheet::table::Table;

/// A note for each thing that calves of the file will be without.
pub fn still_needed(
    here: &Table,
    incoming: &Table,
    plan: &ImportPlan,
    merge: &Merge,
    choices: &MergeChoices,
) -> Vec<Note> {
    let mut notes = Notes::new(incoming.kind);
    for missing in missing_columns(plan) {
        let has = |table: &Table, row: usize| {
            missing.keys.iter().any(|key| {
                table
                    .column(key)
                    .is_some_and(|column| !column.raw(row).is_empty())
            })
        };
        let had = |key: u32| {
            here.taken_off().is_some_and(|off| {
                let row = off.keys().binary_search(&key).ok();
                row.is_some_and(|row| has(off.rows(), row))
            })
        };
        let lacking: Vec<u32> = (0_u32..)
            .zip(&merge.rows)
            .filter(|&(at, row)| {
                if !choices.match_rows {
                    return true;
                }
                match deed(row, at, choices) {
                    Deed::Add => true,
                    Deed::Into { row, .. } => !has(here, row as usize),
                    Deed::BringBack { key, .. } => !had(key),
                    Deed::Nothing | Deed::LeaveOut | Deed::Ask | Deed::AskTakenOff => false,
                }
            })
            .map(|(at, _)| at)
            .collect();
        let Some(&first) = lacking.first() else {
            continue;
        };
        let (message, hint) = if lacking.len() == merge.rows.len() {
            words_of_missing(&missing)
        } else {
            let (_, hint) = words_of_missing(&missing);
            (
                format!(
                    "No column was taken for {}; {} of the file will be without, with no adjusted 205-day weight.",
                    missing.words,
                    match lacking.len() {
                        1 => "1 calf".to_owned(),
                        n => format!("{n} calves"),
                    }
                ),
                hint,
            )
        };
        let line = incoming.source_line.get(first as usize).copied();
        notes.line(
            "import.column.none",
            Severity::Doubtful,
            line.filter(|_| lacking.len() < merge.rows.len()),
            message,
            &hint,
        );
    }
    notes.all()
}
