//! What the book comes to, in a sentence or two.
//!
//! Enters: the book in hand. Leaves: sentences, and why calves have no adjusted weight or no group.
//! Always true: every calf is counted once; the counts in the sentences are those of the lists.
//! Never: computes a result.

use super::Desk;
use crate::adjust::columns::CalfColumns;
use crate::adjust::marks::Marks;
use crate::group::NO_GROUP;
use crate::note::counted;
use crate::share::results_file::method::group_rule;

impl Desk {
    /// One or two plain sentences about the fair weights.
    pub fn summary(&self) -> String {
        let n_calves = self.book.calves().n_rows();
        if n_calves == 0 {
            return "There are no calves in this book yet.".to_owned();
        }
        let left_out = self.left_out();
        let n_left_out: u32 = left_out.iter().map(|(_, n)| n).sum();
        let n_adjusted = n_calves - n_left_out as usize;
        let n_groups = self.results.groups.groups.len();
        let mut sentence = match (n_adjusted, n_calves) {
            (0, 1) => "The calf has no adjusted 205-day weight".to_owned(),
            (0, n) => format!("None of the {n} calves has an adjusted 205-day weight"),
            (1, 1) => "The calf has an adjusted 205-day weight".to_owned(),
            (all, n) if all == n => format!(
                "All {n} calves have an adjusted 205-day weight, in {}",
                counted(n_groups, "contemporary group")
            ),
            (some, n) => format!(
                "{some} of {n} calves have an adjusted 205-day weight, in {}",
                counted(n_groups, "contemporary group")
            ),
        };
        sentence.push('.');
        if !left_out.is_empty() {
            let reasons: Vec<String> = left_out
                .iter()
                .map(|(reason, n)| format!("{reason} ({n})"))
                .collect();
            sentence.push_str(&format!(" Left out: {}.", reasons.join(", ")));
        }
        sentence
    }

    /// Calves without an adjusted 205-day weight: the first reason of each, and how many, most first.
    pub fn left_out(&self) -> Vec<(String, u32)> {
        let adjusted = &self.results.adjusted;
        let calves = CalfColumns::of(&self.book);
        let mut counts: Vec<(&str, u32)> = Vec::new();
        for (row, weight) in adjusted.adj_205.iter().enumerate() {
            let in_group = self
                .results
                .groups
                .group_of
                .get(row)
                .is_some_and(|&group| group != NO_GROUP);
            if !weight.is_nan() && in_group {
                continue;
            }
            let marks = adjusted.marks.get(row).copied().unwrap_or_default();
            let reason = if calves.never_lived(row) {
                "not born alive"
            } else {
                KEEPING_OUT
                    .iter()
                    .find(|mark| marks.has(**mark))
                    .and_then(|mark| mark.words().next())
                    .unwrap_or("another reason")
            };
            match counts.iter_mut().find(|(known, _)| *known == reason) {
                Some((_, n)) => *n += 1,
                None => counts.push((reason, 1)),
            }
        }
        fairpen_stats::in_order::order_by(&mut counts, |(a, n), (b, m)| {
            m.cmp(n).then_with(|| a.cmp(b))
        });
        counts
            .into_iter()
            .map(|(reason, n)| (reason.to_owned(), n))
            .collect()
    }

    /// How contemporary groups are formed, a sentence each.
    pub fn group_rule(&self) -> Vec<String> {
        group_rule(&self.book.settings)
    }
}

/// Marks that keep a calf from having an adjusted weight, the most telling first.
const KEEPING_OUT: [Marks; 9] = [
    Marks::NO_WEIGHT,
    Marks::NO_SEX,
    Marks::NO_BIRTH_DATE,
    Marks::NO_WEIGH_DATE,
    Marks::WEIGHED_BEFORE_BIRTH,
    Marks::BOTTLE,
    Marks::UNDER_WINDOW,
    Marks::OVER_WINDOW,
    Marks::IMPLAUSIBLE_WEIGHT,
];
