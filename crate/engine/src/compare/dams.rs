//! Which calves are of one cow.
//!
//! Enters: the calves in identity order. Leaves: a number per cow, and what is known of her from earlier calves.
//! Always true: a dam is looked up with the day of the birth; a name that leads to no row of the cows sheet is
//! one cow for all calves that carry it; numbers follow the identity order.
//! Never: takes two calves without a recorded dam for calves of one cow.

use std::collections::HashMap;

use super::rows::Rows;
use crate::adjust::dam_on_record::{CowsByTag, OnRecord};
use crate::animals::plain::name_form;
use crate::results::Results;
use crate::sheet::workbook::Workbook;

/// A calf whose dam is not recorded.
pub(super) const NO_DAM: u32 = u32::MAX;

#[derive(PartialEq, Eq, Hash)]
enum Cow {
    OnRecord(u32),
    Named(String),
}

/// The cows that bore the calves.
pub(super) struct Dams {
    /// For each calf row the number of its dam, or [`NO_DAM`].
    pub of_row: Vec<u32>,
    n_cows: usize,
}

impl Dams {
    pub fn of(book: &Workbook, rows: &Rows) -> Dams {
        let cows = CowsByTag::of(book);
        let links = cows.links(rows.calves.dam);
        let mut numbers: HashMap<Cow, u32> = HashMap::new();
        let mut of_row = vec![NO_DAM; rows.calves.n_rows];
        for &row in &rows.order {
            let Some(name) = rows.calves.dam.get(row) else {
                continue;
            };
            let text = rows.calves.dam.codes()[row];
            let cow = match cows.find(&links, rows.calves.dam, text, rows.calves.birth[row]) {
                OnRecord::Row(row) => Cow::OnRecord(row),
                _ => Cow::Named(name_form(name)),
            };
            let next = u32::try_from(numbers.len()).unwrap_or(NO_DAM);
            of_row[row] = *numbers.entry(cow).or_insert(next);
        }
        Dams {
            of_row,
            n_cows: numbers.len(),
        }
    }

    /// For each calf row the mean ratio of its dam's calves born on an earlier day; NaN where she has none with
    /// a ratio, or the birth date is not known.
    pub fn earlier_ratio(&self, rows: &Rows, results: &Results) -> Vec<f64> {
        let mut calves_of: Vec<Vec<usize>> = vec![Vec::new(); self.n_cows];
        for &row in &rows.order {
            if self.of_row[row] != NO_DAM && !rows.calves.birth[row].is_missing() {
                calves_of[self.of_row[row] as usize].push(row);
            }
        }
        let mut earlier = vec![f64::NAN; rows.calves.n_rows];
        for calves in &calves_of {
            for &calf in calves {
                let ratios: Vec<f64> = calves
                    .iter()
                    .filter(|&&other| rows.calves.birth[other] < rows.calves.birth[calf])
                    .map(|&other| results.groups.ratio[other])
                    .filter(|ratio| !ratio.is_nan())
                    .collect();
                earlier[calf] = super::rows::mean_and_sd(&ratios).0;
            }
        }
        earlier
    }
}
