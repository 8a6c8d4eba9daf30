//! Like with like: the difference without a model.
//!
//! Enters: the used calves, their kinds (see `alike`), the model's differences. Leaves: for each pair of levels
//! how many calves have a partner of their kind in the other level, and the mean difference among those.
//! Always true: a calf without a partner counts in no mean; no partners is said; row order changes nothing.
//! Never: takes the place of the verdict.
//!
//! Each kind that stands in both levels gives a difference of two means. Their mean is weighted by
//! `n1 n2 / (n1 + n2)`, the calves a kind has in either level (Cochran 1954, Biometrics 10:417-451, section 5; from
//! memory), which is the weighting that varies least when the kinds differ alike. The standard error is the
//! delete-one-cow jackknife (Efron and Tibshirani 1993, An Introduction to the Bootstrap, chapter 11; from memory):
//! each cow is left out in turn with all her calves, and `(G - 1) / G` times the sum of squares about the mean of
//! the G answers is the variance. Its degrees of freedom are Satterthwaite's for the cows of one level, of the
//! other, and of both. A cow alone in a kind takes the kind with her, so with small kinds the interval is too wide
//! rather than too narrow (MacKinnon and White 1985, Journal of Econometrics 29:305-325; from memory).

use std::collections::BTreeMap;

use fairpen_stats::distribution::{ConfidenceLevel, StudentT};

use super::alike::{Kinds, NO_KIND};
use super::dams::{Dams, NO_DAM};
use super::levels::Chosen;
use super::result::{Estimate, Level, Pair};
use super::words::{Words, list};

/// The model and the matched calves disagree when they are further apart than this many jackknife standard errors.
pub const APART: f64 = 2.0;

/// Standard errors at most this (lb) are rounding.
const NO_SPREAD_LB: f64 = 1e-6;

/// Two levels, like with like. Weights in lb, first minus second.
#[derive(Clone, Debug, PartialEq)]
pub struct Matched {
    /// Position of the first level.
    pub first: usize,
    /// Position of the second level.
    pub second: usize,
    /// What partners have in common, in words.
    pub by: Vec<String>,
    /// Calves used of the first and of the second level.
    pub used: (u32, u32),
    /// Those of them with a partner.
    pub partners: (u32, u32),
    /// Kinds that stand in both levels.
    pub n_kinds: u32,
    /// Cows that bore the calves with a partner; a calf without a recorded dam counts as one cow's.
    pub n_cows: u32,
    /// Weighted mean of the differences of the kinds; `None` without partners.
    pub difference: Option<f64>,
    /// The same with its interval; `None` where all hangs on one cow, or nothing varies.
    pub estimate: Option<Estimate>,
    /// The model's difference less this one, where they are more than [`APART`] standard errors apart.
    pub model_is_off_by: Option<f64>,
    /// In plain words.
    pub sentence: String,
}

/// What the matching of all pairs rests on.
pub(super) struct Matching<'a> {
    pub chosen: &'a Chosen,
    pub levels: &'a [Level],
    pub dams: &'a Dams,
    /// What is compared, lb, by row.
    pub response: &'a [f64],
    pub words: &'a Words,
    pub confidence: f64,
}

/// Calves of one level and kind.
type Members = BTreeMap<u32, Vec<usize>>;

impl Matching<'_> {
    /// Every pair, for one way of being alike.
    pub fn all(&self, kinds: &Kinds, pairs: &[Pair]) -> Vec<Matched> {
        let members: Vec<Members> = (0..self.levels.len())
            .map(|level| {
                let mut members = Members::new();
                for row in self.chosen.used_rows(level) {
                    if kinds.of_row[row] != NO_KIND {
                        members.entry(kinds.of_row[row]).or_default().push(row);
                    }
                }
                members
            })
            .collect();
        pairs
            .iter()
            .map(|pair| self.one(kinds, pair, &members))
            .collect()
    }

    fn one(&self, kinds: &Kinds, pair: &Pair, members: &[Members]) -> Matched {
        let shared: Vec<(&[usize], &[usize])> = members[pair.first]
            .iter()
            .filter_map(|(kind, first)| {
                Some((first.as_slice(), members[pair.second].get(kind)?.as_slice()))
            })
            .collect();
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let found = Found::of(&shared, self.response, &self.dams.of_row, self.confidence);
        let model = pair.difference.map(|difference| difference.value);
        let mut matched = Matched {
            first: pair.first,
            second: pair.second,
            by: kinds.by.clone(),
            used: (self.levels[pair.first].n, self.levels[pair.second].n),
            partners: (
                count(shared.iter().map(|kind| kind.0.len()).sum()),
                count(shared.iter().map(|kind| kind.1.len()).sum()),
            ),
            n_kinds: count(shared.len()),
            n_cows: found.n_cows,
            difference: found.difference,
            estimate: found.estimate,
            model_is_off_by: found.estimate.zip(model).and_then(|(own, model)| {
                // Decided on rounded values, so that every machine decides alike.
                let off = model - own.value;
                let beyond = (off.abs() - APART * own.se) * 1e6;
                (beyond.round() > 0.0).then_some(off)
            }),
            sentence: String::new(),
        };
        matched.sentence = self.sentence(&matched);
        matched
    }

    fn sentence(&self, matched: &Matched) -> String {
        let (one, other) = (
            self.words.calves(&self.levels[matched.first].name),
            self.words.calves(&self.levels[matched.second].name),
        );
        let by = list(&matched.by);
        let Some(difference) = matched.difference else {
            return format!(
                "No partners: none of the {one} is alike in {by} with one of the {other}."
            );
        };
        let heavier = difference >= 0.0;
        let (above, below) = if heavier {
            (&one, &other)
        } else {
            (&other, &one)
        };
        let mean = format!(
            "{above} {} on average {} {} than {below}",
            self.words.were(),
            self.words.weight(difference.abs()),
            self.words.more(),
        );
        let partners = format!(
            "{} of {} {one} and {} of {} {other} have a partner alike in {by}.",
            matched.partners.0, matched.used.0, matched.partners.1, matched.used.1
        );
        match matched.estimate {
            Some(estimate) => {
                let (lower, upper) = if heavier {
                    (estimate.lower, estimate.upper)
                } else {
                    (-estimate.upper, -estimate.lower)
                };
                format!(
                    "{partners} Among them {mean}, likely between {} and {}.",
                    self.words.whole(lower),
                    self.words.weight(upper)
                )
            }
            None => format!(
                "{partners} Among them {mean}; all hangs on so few cows that no interval can be given."
            ),
        }
    }

    /// What to mind where the model and the matched calves disagree.
    pub fn caution(&self, all: &[Matched], pairs: &[Pair]) -> Option<String> {
        let mut apart: Vec<(usize, &Matched, f64, f64)> = Vec::new();
        for matched in all {
            let at = pairs
                .iter()
                .position(|pair| (pair.first, pair.second) == (matched.first, matched.second));
            let (Some(at), Some(_), Some(own)) = (at, matched.model_is_off_by, matched.difference)
            else {
                continue;
            };
            if let Some(model) = pairs[at].difference
                && apart.last().is_none_or(|last| last.0 != at)
            {
                apart.push((at, matched, model.value, own));
            }
        }
        let (_, matched, model, own) = *apart.first()?;
        let more = match apart.len() {
            1 => String::new(),
            n => format!(" So it is for {n} pairs."),
        };
        Some(format!(
            "Like with like says otherwise: for {} less {} the model has {}, calves alike in {} have {}, more than {APART} standard errors apart. The model leans on calves without a partner, or its sums do not fit these calves; trust the difference less until you know why.{more}",
            self.words.calves(&self.levels[matched.first].name),
            self.words.calves(&self.levels[matched.second].name),
            self.words.weight(model),
            list(&matched.by),
            self.words.weight(own),
        ))
    }
}

/// The mean difference of shared kinds, and how it moves when a cow is left out.
struct Found {
    difference: Option<f64>,
    estimate: Option<Estimate>,
    n_cows: u32,
}

/// Calves and their total weight, of one kind in the first and in the second level.
#[derive(Clone, Copy, Default)]
struct Cell {
    n: [f64; 2],
    sum: [f64; 2],
}

impl Cell {
    /// Weight of the kind, and weight times difference; zero without a partner.
    fn part(&self) -> (f64, f64) {
        if self.n[0] == 0.0 || self.n[1] == 0.0 {
            return (0.0, 0.0);
        }
        let weight = self.n[0] * self.n[1] / (self.n[0] + self.n[1]);
        (
            weight,
            weight * (self.sum[0] / self.n[0] - self.sum[1] / self.n[1]),
        )
    }

    fn without(&self, other: &Cell) -> Cell {
        Cell {
            n: [self.n[0] - other.n[0], self.n[1] - other.n[1]],
            sum: [self.sum[0] - other.sum[0], self.sum[1] - other.sum[1]],
        }
    }

    fn add(&mut self, side: usize, weight: f64) {
        self.n[side] += 1.0;
        self.sum[side] += weight;
    }
}

impl Found {
    fn of(
        shared: &[(&[usize], &[usize])],
        response: &[f64],
        dam_of_row: &[u32],
        confidence: f64,
    ) -> Found {
        // Weights are taken from a mean first: sums then keep the digits that differences need.
        let rows = || shared.iter().flat_map(|kind| kind.0.iter().chain(kind.1));
        let n_rows = rows().count();
        #[allow(clippy::cast_precision_loss)] // far below 2^53
        let centre = rows().map(|&row| response[row]).sum::<f64>() / n_rows as f64;
        let mut cells = vec![Cell::default(); shared.len()];
        // A cow is her number, or the row of a calf without a dam on record.
        let mut cows: BTreeMap<(u32, usize), BTreeMap<usize, Cell>> = BTreeMap::new();
        for (at, kind) in shared.iter().enumerate() {
            for (side, rows) in [kind.0, kind.1].into_iter().enumerate() {
                for (place, &row) in rows.iter().enumerate() {
                    let weight = response[row] - centre;
                    cells[at].add(side, weight);
                    let dam = dam_of_row[row];
                    // Numbered by its place within the kind, which does not depend on the order of rows.
                    let alone = if dam == NO_DAM {
                        (at * 2 + side) * n_rows + place
                    } else {
                        0
                    };
                    cows.entry((dam, alone))
                        .or_default()
                        .entry(at)
                        .or_default()
                        .add(side, weight);
                }
            }
        }
        let (weight, total) = cells
            .iter()
            .map(Cell::part)
            .fold((0.0, 0.0), |sum, part| (sum.0 + part.0, sum.1 + part.1));
        let n_cows = u32::try_from(cows.len()).unwrap_or(u32::MAX);
        let difference = (!shared.is_empty()).then(|| total / weight);
        Found {
            estimate: difference.and_then(|value| {
                let spread = jackknife(&cells, &cows, (weight, total))?;
                interval(value, spread, confidence)
            }),
            difference,
            n_cows,
        }
    }
}

/// Standard error and degrees of freedom; `None` when there are fewer than two cows, or without one of them no
/// kind stands in both levels.
fn jackknife(
    cells: &[Cell],
    cows: &BTreeMap<(u32, usize), BTreeMap<usize, Cell>>,
    whole: (f64, f64),
) -> Option<(f64, f64)> {
    if cows.len() < 2 {
        return None;
    }
    let n_kinds = cells.len();
    let mut answers = Vec::with_capacity(cows.len());
    for kinds in cows.values() {
        let (mut weight, mut total) = whole;
        let (mut gone, mut n, mut side) = (0, [0.0, 0.0], 0);
        for (&at, own) in kinds {
            let (before, after) = (cells[at].part(), cells[at].without(own).part());
            gone += usize::from(after.0 == 0.0);
            weight += after.0 - before.0;
            total += after.1 - before.1;
            n = [n[0] + own.n[0], n[1] + own.n[1]];
        }
        if gone == n_kinds {
            return None;
        }
        if n[0] > 0.0 {
            side += 1;
        }
        if n[1] > 0.0 {
            side += 2;
        }
        answers.push((side, total / weight));
    }
    #[allow(clippy::cast_precision_loss)] // far below 2^53
    let n = answers.len() as f64;
    let mean = answers.iter().map(|(_, answer)| answer).sum::<f64>() / n;
    let (mut squares, mut below) = (0.0, 0.0);
    for side in 1..=3 {
        let deviations: Vec<f64> = answers
            .iter()
            .filter(|(own, _)| *own == side)
            .map(|(_, answer)| answer - mean)
            .collect();
        let own = (n - 1.0) / n
            * deviations
                .iter()
                .map(|deviation| deviation * deviation)
                .sum::<f64>();
        #[allow(clippy::cast_precision_loss)] // far below 2^53
        let df = (deviations.len().max(2) - 1) as f64;
        squares += own;
        below += own * own / df;
    }
    let se = squares.sqrt();
    (se > NO_SPREAD_LB).then(|| (se, squares * squares / below))
}

fn interval(value: f64, (se, df): (f64, f64), confidence: f64) -> Option<Estimate> {
    let level = ConfidenceLevel::new(confidence).unwrap_or(ConfidenceLevel::NINETY_FIVE);
    let student = StudentT::new(df).ok()?;
    let reach = student.two_sided_quantile(level) * se;
    Some(Estimate {
        value,
        se,
        df,
        lower: value - reach,
        upper: value + reach,
        p: student.two_sided_tail(value / se),
    })
}
