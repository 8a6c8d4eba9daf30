//! The calves in identity order, and what a comparison reads of each.
//!
//! Enters: a book and its results. Leaves: rows in an order that does not depend on the file.
//! Always true: sums taken in this order come out the same however the rows were sorted.
//! Never: decides who is in a comparison; that is `levels`.

use fairpen_stats::describe::summarise;

use crate::adjust::Adjusted;
use crate::adjust::columns::CalfColumns;
use crate::group::identity::IdentityOrder;
use crate::group::key::Keys;
use crate::group::season::Seasons;
use crate::results::Results;
use crate::sheet::codes::{NO_CODE, YES_NO};
use crate::sheet::settings::WeightUnit;
use crate::sheet::workbook::Workbook;

/// What a comparison reads of the calves, by row.
pub(super) struct Rows<'a> {
    /// The columns of the sheet.
    pub calves: CalfColumns<'a>,
    /// The adjusted figures.
    pub adjusted: &'a Adjusted,
    /// Row numbers in identity order.
    pub order: Vec<usize>,
    /// Label of the season of birth; `None` without a birth date.
    pub season: Vec<Option<String>>,
    unit: WeightUnit,
}

impl<'a> Rows<'a> {
    pub fn new(book: &'a Workbook, results: &'a Results) -> Rows<'a> {
        let calves = CalfColumns::of(book);
        let seasons = Seasons::of(&book.settings);
        let identity = IdentityOrder::of(&calves, &results.adjusted.adj_205);
        let mut order: Vec<u32> = (0..u32::try_from(calves.n_rows).unwrap_or(u32::MAX)).collect();
        order.sort_by(|&one, &other| identity.compare(one, other));
        let season = calves
            .birth
            .iter()
            .map(|&born| {
                seasons
                    .season_of(born)
                    .map(|season| season.words(&book.settings.seasons))
            })
            .collect();
        Rows {
            order: order.into_iter().map(|row| row as usize).collect(),
            adjusted: &results.adjusted,
            season,
            calves,
            unit: book.settings.weight_unit,
        }
    }

    /// A weight of the sheet in lb.
    pub fn pounds(&self, weight: f64) -> f64 {
        self.unit.to_pounds(weight)
    }

    /// The management that groups go by, for every row: the place's kind where the calf's own is blank.
    pub fn managements(&self, book: &Workbook) -> Vec<Option<String>> {
        let keys = Keys::of(book, &self.calves);
        (0..self.calves.n_rows)
            .map(|row| keys.management_words(row).map(str::to_owned))
            .collect()
    }

    /// The distinct places of some rows, in natural order.
    pub fn places_of(&self, rows: &[usize]) -> Vec<String> {
        let mut codes: Vec<u32> = rows
            .iter()
            .map(|&row| self.calves.place.codes()[row])
            .collect();
        codes.sort_unstable();
        codes.dedup();
        let mut names: Vec<String> = codes
            .into_iter()
            .filter_map(|code| self.calves.place.text_of(code))
            .map(str::to_owned)
            .collect();
        fairpen_stats::in_order::order_by(&mut names, |one, other| {
            crate::sheet::natural::natural_order(one, other)
        });
        names
    }

    /// `yes`, `no`, or `None` when creep is not recorded.
    pub fn creep_word(&self, row: usize) -> Option<&'static str> {
        match self.calves.creep[row] {
            NO_CODE => None,
            position => YES_NO.key(position),
        }
    }
}

/// Mean and standard deviation of what is known; NaN where there is none.
pub(super) fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    summarise(values).map_or((f64::NAN, f64::NAN), |summary| {
        (
            summary.mean.unwrap_or(f64::NAN),
            summary.standard_deviation().unwrap_or(f64::NAN),
        )
    })
}
