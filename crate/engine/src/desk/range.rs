//! What stands in a selected range: counts, and the sum, mean and spread of its numbers.
//!
//! Enters: positions of a view and column keys. Leaves: facts in words, each with its unit.
//! Always true: blank cells, texts that were not understood and formula errors are counted apart and are in
//! no sum; numbers of different units are never added; dates are never added.
//! Never: changes a cell, or stops at what is on the screen.

use std::collections::BTreeSet;

use fairpen_stats::describe::{summarise, total};

use super::Desk;
use super::columns::Found;
use crate::sheet::column::Kind;
use crate::sheet::day::Day;
use crate::sheet::schema::SheetKind;
use crate::sheet::view::Series;
use crate::sheet::write::up_to;

/// One fact of a range: `Mean`, `512.4 lb`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// Stable word: `cells`, `count`, `sum`, `mean`, `sd`, `least`, `greatest`, `first`, `last`, `distinct`,
    /// `units`, `missing`, `unreadable` or `errors`.
    pub key: &'static str,
    /// For people.
    pub label: &'static str,
    /// For people, with its unit.
    pub value: String,
}

/// What a column holds, as far as adding goes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Holds {
    Numbers,
    Dates,
    Texts,
}

#[derive(Default)]
struct Gathered<'a> {
    numbers: Vec<f64>,
    days: Vec<f64>,
    /// Per column that keeps a list of texts, those that were met.
    texts: Vec<Vec<&'a str>>,
    /// Texts of columns that keep none in a list.
    own_texts: BTreeSet<String>,
    units: Vec<String>,
    n_texts: u64,
    missing: u64,
    unreadable: u64,
    errors: u64,
}

impl Desk {
    /// The facts of the rows at positions `first` to `last` (both in) in some columns. Columns that are not
    /// there are passed over; without any cell there is no fact.
    pub fn range_facts(
        &self,
        sheet: SheetKind,
        first: usize,
        last: usize,
        columns: &[String],
    ) -> Vec<Fact> {
        let end = last.saturating_add(1).min(self.n_shown(sheet));
        let rows: Vec<usize> = (first..end)
            .filter_map(|position| self.row_at(sheet, position))
            .map(|row| row as usize)
            .collect();
        let mut sums = Gathered::default();
        let mut n_columns = 0;
        for key in columns {
            let (Some(found), Some(series)) =
                (self.find_column(sheet, key), self.series(sheet, key))
            else {
                continue;
            };
            n_columns += 1;
            let about = self.about_found(sheet, &found);
            let holds = match about.kind {
                "number" => Holds::Numbers,
                "date" => Holds::Dates,
                _ => Holds::Texts,
            };
            if holds == Holds::Numbers {
                let unit = about.unit.as_str();
                // A year of birth is a number that nobody adds, but its mean is asked for.
                if !sums.units.iter().any(|known| known == unit) {
                    sums.units.push(unit.to_owned());
                }
            }
            self.gather(&found, &series, holds, &rows, &mut sums);
        }
        if rows.is_empty() || n_columns == 0 {
            return Vec::new();
        }
        facts(&sums, rows.len() as u64 * n_columns)
    }

    fn gather<'a>(
        &'a self,
        found: &Found<'a>,
        series: &Series<'a>,
        holds: Holds,
        rows: &[usize],
        sums: &mut Gathered<'a>,
    ) {
        let mut filled: u64 = 0;
        match holds {
            Holds::Numbers | Holds::Dates => {
                let to = if holds == Holds::Numbers {
                    &mut sums.numbers
                } else {
                    &mut sums.days
                };
                for &row in rows {
                    let number = series.number(row);
                    if !number.is_nan() {
                        to.push(number);
                        filled += 1;
                    }
                }
            }
            Holds::Texts => {
                filled = self.gather_texts(found, series, rows, sums);
                sums.n_texts += filled;
            }
        }
        let mut set_apart = 0;
        match found {
            Found::Entered(column) if !column.unreadable.is_empty() => {
                set_apart = rows
                    .iter()
                    .filter(|&&row| {
                        u32::try_from(row).is_ok_and(|row| column.unreadable.contains_key(&row))
                    })
                    .count() as u64;
                sums.unreadable += set_apart;
            }
            Found::Calculated(column) => {
                set_apart = rows
                    .iter()
                    .filter(|&&row| column.error(row).is_some())
                    .count() as u64;
                sums.errors += set_apart;
            }
            Found::Entered(_) | Found::Engine(_) => {}
        }
        sums.missing += rows.len() as u64 - filled - set_apart;
    }

    /// Filled cells that hold a text; each distinct text is kept once.
    fn gather_texts<'a>(
        &'a self,
        found: &Found<'a>,
        series: &Series<'a>,
        rows: &[usize],
        sums: &mut Gathered<'a>,
    ) -> u64 {
        let mut filled = 0;
        match found {
            Found::Entered(column) if column.texts().is_some() || column.codes().is_some() => {
                let mut seen = Vec::new();
                let mut see = |code: usize| {
                    if seen.len() <= code {
                        seen.resize(code + 1, false);
                    }
                    seen[code] = true;
                };
                if let Some(cells) = column.texts() {
                    for &row in rows {
                        if let Some(&code) = cells.codes().get(row)
                            && (code as usize) < cells.n_texts()
                        {
                            see(code as usize);
                            filled += 1;
                        }
                    }
                    sums.texts.push(
                        (0_u32..)
                            .zip(&seen)
                            .filter(|(_, seen)| **seen)
                            .filter_map(|(code, _)| cells.text_of(code))
                            .collect(),
                    );
                } else if let (Some(cells), Kind::Code(codes)) = (column.codes(), column.kind) {
                    for &row in rows {
                        if let Some(&code) = cells.get(row)
                            && usize::from(code) < codes.words.len()
                        {
                            see(usize::from(code));
                            filled += 1;
                        }
                    }
                    sums.texts.push(
                        codes
                            .words
                            .iter()
                            .zip(&seen)
                            .filter(|(_, seen)| **seen)
                            .map(|(word, _)| word.key)
                            .collect(),
                    );
                }
            }
            _ => {
                if let Series::Texts { codes, texts } = series {
                    let mut seen = vec![false; texts.len()];
                    for &row in rows {
                        if let Some(seen) =
                            codes.get(row).and_then(|&code| seen.get_mut(code as usize))
                        {
                            *seen = true;
                            filled += 1;
                        }
                    }
                    let met = texts.iter().zip(&seen).filter(|(_, seen)| **seen);
                    sums.own_texts
                        .extend(met.map(|(text, _)| text.clone().into_owned()));
                    return filled;
                }
                let is_error = |row: usize| match found {
                    Found::Calculated(column) => column.error(row).is_some(),
                    _ => false,
                };
                for &row in rows {
                    if series.is_blank(row) || is_error(row) {
                        continue;
                    }
                    filled += 1;
                    let text = series.shown(row);
                    if !sums.own_texts.contains(&text) {
                        sums.own_texts.insert(text);
                    }
                }
            }
        }
        filled
    }
}

fn facts(sums: &Gathered<'_>, n_cells: u64) -> Vec<Fact> {
    let mut facts = Vec::new();
    let mut say = |key, label, value: String| facts.push(Fact { key, label, value });
    say("cells", "Cells", grouped(&n_cells.to_string()));
    let n_filled = sums.numbers.len() as u64 + sums.days.len() as u64 + sums.n_texts;
    say("count", "Filled", grouped(&n_filled.to_string()));
    if !sums.numbers.is_empty() {
        numbers(sums, &mut say);
    } else if !sums.days.is_empty() {
        let least = sums.days.iter().copied().fold(f64::INFINITY, f64::min);
        let greatest = sums.days.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        say("first", "First", day(least));
        say("last", "Last", day(greatest));
    }
    if sums.numbers.is_empty() && sums.days.is_empty() && sums.n_texts > 0 {
        let n = match (sums.texts.as_slice(), sums.own_texts.is_empty()) {
            // The list of one column holds each text once.
            ([texts], true) => texts.len(),
            (lists, _) => lists
                .iter()
                .flatten()
                .copied()
                .chain(sums.own_texts.iter().map(String::as_str))
                .collect::<BTreeSet<_>>()
                .len(),
        };
        say("distinct", "Distinct", grouped(&n.to_string()));
    }
    for (key, label, n) in [
        ("missing", "Missing", sums.missing),
        ("unreadable", "Not readable", sums.unreadable),
        ("errors", "Formula errors", sums.errors),
    ] {
        if n > 0 {
            say(key, label, grouped(&n.to_string()));
        }
    }
    facts
}

fn numbers(sums: &Gathered<'_>, say: &mut impl FnMut(&'static str, &'static str, String)) {
    let [unit] = sums.units.as_slice() else {
        say(
            "units",
            "Units differ",
            "choose columns of one unit".to_owned(),
        );
        return;
    };
    let (Ok(summary), Ok(sum)) = (summarise(&sums.numbers), total(&sums.numbers)) else {
        say(
            "units",
            "Too large",
            "a number is too large to add".to_owned(),
        );
        return;
    };
    let decimals = if unit.is_empty() || unit.contains('/') {
        2
    } else {
        1
    };
    let with_unit = |number: f64, decimals: usize| {
        let text = grouped(&up_to(number, decimals));
        if unit.is_empty() {
            text
        } else {
            format!("{text} {unit}")
        }
    };
    if sum.is_finite() {
        say("sum", "Sum", with_unit(sum, decimals));
    }
    for (key, label, number, decimals) in [
        ("mean", "Mean", summary.mean, decimals + 1),
        ("sd", "SD", summary.standard_deviation(), decimals + 1),
        ("least", "Least", summary.minimum, decimals),
        ("greatest", "Greatest", summary.maximum, decimals),
    ] {
        if let Some(number) = number.filter(|number| number.is_finite()) {
            say(key, label, with_unit(number, decimals));
        }
    }
}

fn day(days_since_1970: f64) -> String {
    Day::from_count(days_since_1970 as i32).iso()
}

/// `1234567.5` as `1,234,567.5`; a number with a power of ten stays as it is.
fn grouped(text: &str) -> String {
    let (sign, rest) = match text.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", text),
    };
    let (whole, part) = match rest.find('.') {
        Some(at) => rest.split_at(at),
        None => (rest, ""),
    };
    let mut grouped = String::from(sign);
    for (at, digit) in whole.char_indices() {
        if at > 0 && (whole.len() - at).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    grouped + part
}
