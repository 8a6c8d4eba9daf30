//! Rows of a file that fit a row taken off the record.
//!
//! Enters: the rows of a file as they stand to the record. Leaves: those that fit a row taken off, to be asked about.
//! Always true: a row on record goes before one taken off, unless the one taken off has the electronic ID and the one
//! on record was found by less.
//! Never: brings a row back by itself, or makes a second one of it.

use super::{Found, MergeRow, RowKind, Why, identity, keyed};
use crate::sheet::table::Table;
use crate::sheet::workbook::Workbook;

pub(super) fn ask(book: &Workbook, here: &Table, incoming: &Table, rows: &mut [MergeRow]) {
    let Some(off) = here.taken_off() else {
        return;
    };
    let found = identity::find(off.rows(), incoming)
        .unwrap_or_else(|| keyed::find(book, off.rows(), incoming));
    for (row, Found { rows: fitting, why }) in rows.iter_mut().zip(found) {
        if fitting.is_empty() || why == Why::KeyMissing {
            continue;
        }
        let keys: Vec<u32> = fitting
            .iter()
            .filter_map(|&at| off.keys().get(at as usize).copied())
            .collect();
        match row.kind {
            RowKind::New => {}
            RowKind::Unclear => {
                row.taken_off = keys;
                continue;
            }
            _ if why == Why::ElectronicId && row.why != Why::ElectronicId => {
                row.candidates = row.target.into_iter().collect();
            }
            _ => continue,
        }
        *row = MergeRow {
            kind: RowKind::TakenOff,
            why: if keys.len() > 1 && why.is_sure() {
                Why::Several
            } else {
                why
            },
            target: None,
            candidates: std::mem::take(&mut row.candidates),
            taken_off: keys,
        };
    }
    ask_where_two_lines_meet(rows);
}

/// Two lines for one row taken off: neither is the better one.
fn ask_where_two_lines_meet(rows: &mut [MergeRow]) {
    let mut met: Vec<u32> = rows
        .iter()
        .filter(|row| row.kind == RowKind::TakenOff)
        .flat_map(|row| row.taken_off.iter().copied())
        .collect();
    fairpen_stats::in_order::order(&mut met);
    let twice: Vec<u32> = met
        .chunk_by(|one, next| one == next)
        .filter(|alike| alike.len() > 1)
        .map(|alike| alike[0])
        .collect();
    for row in rows {
        if row.kind == RowKind::TakenOff
            && let [key] = row.taken_off[..]
            && twice.binary_search(&key).is_ok()
        {
            row.why = Why::TwoLines;
        }
    }
}
