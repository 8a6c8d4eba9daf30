//! The rows of a sheet as they are shown: filtered and put in order, never changed.
//!
//! Enters: columns, sort keys and filters. Leaves: the rows to show, in order.
//! Always true: rows shown are a subset of the rows there, each once; missing sorts last both ways; text
//! sorts as people count (`9` before `10`); filters look at the text as shown, without regard to case.
//! Never: moves a cell.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::column::{Cells, Column, Kind};
use super::interned::NO_TEXT;
use super::natural::natural_order;
use super::order::{MISSING_LAST, number_key, rank_keys, sort_rows};
use super::range_filter::RangeFilter;
use super::write::full;
use crate::formula::values::{self, Kept, Values};

/// A column as a view reads it: a sheet's own, or one that was worked out for it.
pub enum Series<'a> {
    /// A column of the sheet.
    Entered(&'a Column),
    /// Numbers, one per row, NaN where missing.
    Numbers {
        /// The numbers.
        values: Cow<'a, [f64]>,
        /// How people see one.
        show: fn(f64) -> String,
    },
    /// Texts: a position in the list per row, [`NO_TEXT`] where missing.
    Texts {
        /// Position per row.
        codes: Cow<'a, [u32]>,
        /// The distinct texts.
        texts: Vec<Cow<'a, str>>,
    },
    /// A calculated column.
    Calculated {
        /// Its values.
        values: &'a Values,
        /// Its numbers are dates.
        dates: bool,
    },
}

/// One sort key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SortKey {
    /// Key of the column.
    pub column: String,
    /// Largest first.
    pub descending: bool,
}

/// A filter on one column.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ColumnFilter {
    /// Key of the column.
    pub column: String,
    /// The shown text contains this; empty for any. Where there are numbers or dates it may be a range: `>500`,
    /// `500..600`, `<=2026-03-31`.
    pub contains: String,
    /// The shown text is one of these (empty text: blank); `None` for any.
    pub values: Option<Vec<String>>,
}

/// How the rows of a sheet are shown.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ViewSpec {
    /// Sort keys, most important first.
    pub sort: Vec<SortKey>,
    /// Rows that hold this text in any column; empty for all.
    pub text: String,
    /// All must hold.
    pub filters: Vec<ColumnFilter>,
}

impl Series<'_> {
    /// The text of a row as people read it; empty when missing.
    pub fn shown(&self, row: usize) -> String {
        match self {
            Series::Entered(column) => column.shown(row),
            Series::Numbers { values, show } => values
                .get(row)
                .filter(|value| !value.is_nan())
                .map_or_else(String::new, |value| show(*value)),
            Series::Texts { codes, texts } => codes
                .get(row)
                .and_then(|&code| texts.get(code as usize))
                .map_or_else(String::new, |text| text.clone().into_owned()),
            Series::Calculated { values, dates } => values::shown(&values.value(row), *dates),
        }
    }

    /// The text of a row in full precision, as it is typed; empty when missing.
    pub fn raw(&self, row: usize) -> String {
        match self {
            Series::Entered(column) => column.raw(row),
            Series::Numbers { values, .. } => {
                values.get(row).map_or_else(String::new, |v| full(*v))
            }
            Series::Texts { .. } => self.shown(row),
            Series::Calculated { values, dates } => match values.value(row) {
                Kept::Number(number) if !dates => full(number),
                value => values::shown(&value, *dates),
            },
        }
    }

    /// The number of a row (dates as days since 1970-01-01), NaN when missing or when it is text.
    pub fn number(&self, row: usize) -> f64 {
        match self {
            Series::Entered(column) => match &column.cells {
                Cells::Number(cells) => cells.get(row).copied().unwrap_or(f64::NAN),
                Cells::Day(cells) => match cells.get(row) {
                    Some(day) if !day.is_missing() => f64::from(day.count()),
                    _ => f64::NAN,
                },
                Cells::Text(_) | Cells::Code(_) => f64::NAN,
            },
            Series::Numbers { values, .. } => values.get(row).copied().unwrap_or(f64::NAN),
            Series::Texts { .. } => f64::NAN,
            Series::Calculated { values, dates } => {
                let number = values.number(row);
                if *dates && !number.is_nan() {
                    values::days_since_1970(number)
                } else {
                    number
                }
            }
        }
    }

    /// True when nothing is shown in the row.
    pub fn is_blank(&self, row: usize) -> bool {
        match self {
            Series::Entered(column) => column.is_blank_in(row, row + 1),
            Series::Numbers { values, .. } => values.get(row).is_none_or(|value| value.is_nan()),
            Series::Texts { codes, texts } => codes
                .get(row)
                .is_none_or(|&code| code as usize >= texts.len()),
            Series::Calculated { values, .. } => values.value(row) == Kept::Blank,
        }
    }

    /// A sort key per row; what was not understood counts as missing.
    fn keys(&self) -> Vec<u64> {
        match self {
            Series::Entered(column) => match &column.cells {
                Cells::Number(cells) => cells.iter().map(|&number| number_key(number)).collect(),
                Cells::Day(cells) => cells
                    .iter()
                    .map(|day| {
                        if day.is_missing() {
                            MISSING_LAST
                        } else {
                            // From the least day up, so that no key is negative.
                            (i64::from(day.count()) - i64::from(i32::MIN)).unsigned_abs()
                        }
                    })
                    .collect(),
                Cells::Text(cells) => {
                    let texts: Vec<&str> = (0..).map_while(|code| cells.text_of(code)).collect();
                    rank_keys(cells.codes(), &texts)
                }
                Cells::Code(cells) => {
                    let texts: Vec<&str> = match column.kind {
                        Kind::Code(codes) => codes.words.iter().map(|word| word.key).collect(),
                        _ => Vec::new(),
                    };
                    rank_keys(cells, &texts)
                }
            },
            Series::Numbers { values, .. } => {
                values.iter().map(|&number| number_key(number)).collect()
            }
            Series::Texts { codes, texts } => {
                let texts: Vec<&str> = texts.iter().map(AsRef::as_ref).collect();
                rank_keys(codes, &texts)
            }
            Series::Calculated { values, .. } => values.sort_keys(),
        }
    }

    /// For each row whether its shown text passes. Each distinct text is looked at once.
    fn passing(&self, n_rows: usize, pass: impl Fn(&str) -> bool) -> Vec<bool> {
        let blank = pass("");
        let by_code =
            |code: u32, passes: &[bool]| passes.get(code as usize).copied().unwrap_or(blank);
        let mut rows: Vec<bool> = match self {
            Series::Entered(column) => match &column.cells {
                Cells::Text(cells) => {
                    let passes: Vec<bool> = (0..)
                        .map_while(|code| cells.text_of(code).map(&pass))
                        .collect();
                    cells.codes().iter().map(|&c| by_code(c, &passes)).collect()
                }
                Cells::Code(cells) => {
                    let passes: Vec<bool> = match column.kind {
                        Kind::Code(codes) => codes.words.iter().map(|w| pass(w.key)).collect(),
                        _ => Vec::new(),
                    };
                    cells
                        .iter()
                        .map(|&c| by_code(u32::from(c), &passes))
                        .collect()
                }
                Cells::Number(_) | Cells::Day(_) => {
                    let mut last = (f64::NAN, blank);
                    (0..n_rows)
                        .map(|row| {
                            let number = self.number(row);
                            if number.is_nan() {
                                blank
                            } else {
                                if number != last.0 {
                                    last = (number, pass(&self.shown(row)));
                                }
                                last.1
                            }
                        })
                        .collect()
                }
            },
            Series::Numbers { .. } | Series::Calculated { .. } => {
                (0..n_rows).map(|row| pass(&self.shown(row))).collect()
            }
            Series::Texts { codes, texts } => {
                let passes: Vec<bool> = texts.iter().map(|text| pass(text)).collect();
                codes.iter().map(|&c| by_code(c, &passes)).collect()
            }
        };
        rows.resize(n_rows, blank);
        if let Series::Entered(column) = self {
            for (&row, text) in &column.unreadable {
                if let Some(at) = rows.get_mut(row as usize) {
                    *at = pass(text);
                }
            }
        }
        rows
    }

    /// True when the column holds numbers or dates, each of which is a text of its own.
    fn is_numbers(&self) -> bool {
        match self {
            Series::Entered(column) => matches!(column.cells, Cells::Number(_) | Cells::Day(_)),
            Series::Numbers { .. } => true,
            Series::Texts { .. } => false,
            Series::Calculated { values, dates } => !dates && matches!(values, Values::Numbers(_)),
        }
    }

    /// True when rows may hold numbers or dates, which lie in a range or do not.
    fn has_numbers(&self) -> bool {
        match self {
            Series::Calculated { values, .. } => {
                matches!(values, Values::Numbers(_) | Values::Mixed(_))
            }
            _ => self.is_numbers(),
        }
    }

    /// True when no shown text of this column can hold the text (given in lower case).
    fn cannot_hold(&self, text: &str) -> bool {
        let numbers_only = match self {
            Series::Entered(column) => column.unreadable.is_empty() && self.is_numbers(),
            _ => self.is_numbers(),
        };
        numbers_only
            && text
                .bytes()
                .any(|b| !(b.is_ascii_digit() || b == b'.' || b == b'-'))
    }
}

/// The rows to show. `series` gives the column of a key, `searched` the columns that free text looks at.
/// Keys without a column are passed over.
pub fn rows_shown<'a>(
    n_rows: usize,
    spec: &ViewSpec,
    series: impl Fn(&str) -> Option<Series<'a>>,
    searched: &[String],
) -> Vec<u32> {
    let mut rows: Vec<u32> = (0..u32::try_from(n_rows).unwrap_or(u32::MAX)).collect();
    if !spec.text.is_empty() {
        let search = Search::new(
            n_rows,
            &spec.text,
            searched.iter().filter_map(|key| series(key)),
        );
        rows.retain(|&row| search.holds(row as usize));
    }
    for filter in &spec.filters {
        let Some(column) = series(&filter.column) else {
            continue;
        };
        let range = RangeFilter::read(&filter.contains).filter(|_| column.has_numbers());
        if let Some(range) = range {
            rows.retain(|&row| range.holds(column.number(row as usize)));
        } else if !filter.contains.is_empty() {
            let text = filter.contains.to_lowercase();
            let passing = column.passing(n_rows, |shown| holds(shown, &text));
            rows.retain(|&row| passing[row as usize]);
        }
        if let Some(values) = &filter.values {
            let mut values: Vec<&str> = values.iter().map(String::as_str).collect();
            fairpen_stats::in_order::order(&mut values);
            let passing = column.passing(n_rows, |shown| values.binary_search(&shown).is_ok());
            rows.retain(|&row| passing[row as usize]);
        }
    }
    for key in spec.sort.iter().rev() {
        if let Some(column) = series(&key.column) {
            sort_rows(&mut rows, &column.keys(), key.descending);
        }
    }
    rows
}

/// Looks for a text row by row: columns with few distinct texts are looked through once beforehand, the
/// others only as far as the search goes.
pub struct Search<'a> {
    text: String,
    holding: Vec<bool>,
    slow: Vec<Series<'a>>,
}

impl<'a> Search<'a> {
    /// Gets ready to look for a text, without regard to case, in the shown texts of columns.
    pub fn new(n_rows: usize, text: &str, columns: impl Iterator<Item = Series<'a>>) -> Search<'a> {
        let text = text.to_lowercase();
        let mut holding = vec![false; n_rows];
        let mut slow = Vec::new();
        for column in columns {
            if column.cannot_hold(&text) {
                continue;
            }
            if column.is_numbers() {
                slow.push(column);
            } else {
                for (at, passes) in holding
                    .iter_mut()
                    .zip(column.passing(n_rows, |shown| holds(shown, &text)))
                {
                    *at |= passes;
                }
            }
        }
        Search {
            text,
            holding,
            slow,
        }
    }

    /// True when the row holds the text in any of the columns.
    pub fn holds(&self, row: usize) -> bool {
        self.holding.get(row).copied().unwrap_or(false)
            || self
                .slow
                .iter()
                .any(|column| holds(&column.shown(row), &self.text))
    }
}

fn holds(shown: &str, lower: &str) -> bool {
    if shown.is_ascii() && lower.is_ascii() {
        let (shown, lower) = (shown.as_bytes(), lower.as_bytes());
        lower.is_empty()
            || shown
                .windows(lower.len())
                .any(|part| part.eq_ignore_ascii_case(lower))
    } else {
        shown.to_lowercase().contains(lower)
    }
}

/// The distinct shown texts of a column with their counts, in natural order, blank last; at most `most`.
pub fn distinct(series: &Series<'_>, n_rows: usize, most: usize) -> Vec<(String, u32)> {
    let mut counts: BTreeMap<Cow<'_, str>, u32> = BTreeMap::new();
    let coded: Option<(&[u32], Vec<&str>)> = match series {
        Series::Entered(column) => column.texts().map(|cells| {
            let texts = (0..).map_while(|code| cells.text_of(code)).collect();
            (cells.codes(), texts)
        }),
        Series::Texts { codes, texts } => Some((codes, texts.iter().map(AsRef::as_ref).collect())),
        Series::Numbers { .. } | Series::Calculated { .. } => None,
    };
    if let Some((codes, texts)) = coded {
        let mut by_code = vec![0_u32; texts.len()];
        let mut blank = 0;
        for &code in codes {
            match by_code.get_mut(code as usize) {
                Some(n) if code != NO_TEXT => *n += 1,
                _ => blank += 1,
            }
        }
        for (text, n) in texts.into_iter().zip(by_code) {
            if n > 0 {
                *counts.entry(Cow::Borrowed(text)).or_default() += n;
            }
        }
        if blank > 0 {
            *counts.entry(Cow::Borrowed("")).or_default() += blank;
        }
        if let Series::Entered(column) = series {
            // Cells that were not understood are blank among the codes but show their text.
            for text in column.unreadable.values() {
                if let Some(n) = counts.get_mut("") {
                    *n = n.saturating_sub(1);
                }
                *counts.entry(Cow::Borrowed(text)).or_default() += 1;
            }
        }
        counts.retain(|_, n| *n > 0);
    } else {
        for row in 0..n_rows {
            *counts.entry(Cow::Owned(series.shown(row))).or_default() += 1;
        }
    }
    let mut listed: Vec<(String, u32)> = counts
        .into_iter()
        .map(|(text, n)| (text.into_owned(), n))
        .collect();
    fairpen_stats::in_order::order_by(&mut listed, |(a, _), (b, _)| {
        a.is_empty()
            .cmp(&b.is_empty())
            .then_with(|| natural_order(a, b))
    });
    if listed.len() > most {
        // The blank cells stay in the list: they are what people look for first.
        let blank = listed.pop().filter(|(text, _)| text.is_empty());
        listed.truncate(most.saturating_sub(usize::from(blank.is_some())));
        listed.extend(blank);
    }
    listed
}

/// Where Ctrl with an arrow goes from position `from`: the last filled cell of this run of filled cells, or
/// the first of the next run, or the end of the sheet. `rows` are the rows shown.
pub fn edge(series: &Series<'_>, rows: &[u32], from: usize, forward: bool) -> usize {
    let last = rows.len().saturating_sub(1);
    let filled = |position: usize| !series.is_blank(rows[position] as usize);
    let next = |position: usize| {
        if forward {
            (position < last).then(|| position + 1)
        } else {
            position.checked_sub(1)
        }
    };
    let mut at = from.min(last);
    if rows.is_empty() {
        return 0;
    }
    let in_run = filled(at) && next(at).is_some_and(filled);
    while let Some(following) = next(at) {
        if in_run {
            if !filled(following) {
                return at;
            }
        } else if filled(following) {
            return following;
        }
        at = following;
    }
    at
}
