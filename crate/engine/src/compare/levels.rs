//! Which column is compared, its levels, and which calf stands in which.
//!
//! Enters: a column key (or the file's own header) and the chosen levels. Leaves: a level per calf row, and
//! for every calf that is not used the reason.
//! Always true: a blank cell is no level; a calf is used, or counted once under its first reason.
//! Never: merges levels that are spelled differently (that is a problem named by `check`).

use std::collections::BTreeMap;

use super::MOST_LEVELS;
use super::response::{Compared, REASONS};
use super::result::{Comparable, CompareSpec};
use super::rows::Rows;
use crate::error::Error;
use crate::formula::values::{Kept, shown};
use crate::results::{ResultColumn, Results};
use crate::sheet::column::{Column, Kind, Value};
use crate::sheet::read::list::is_unknown;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// A row without a level.
pub(super) const NO_LEVEL: u32 = u32::MAX;

/// A number column with more distinct values than this is a measurement, not a grouping.
const MOST_DISTINCT_NUMBERS: usize = 12;

/// Engine columns that group calves.
const RESULT_LEVELS: [(&str, &str); 3] = [
    ("dam_age_class", "Dam age class"),
    ("season", "Season"),
    ("birth_year", "Birth year"),
];

/// A column whose values are levels.
pub(super) struct LevelColumn {
    pub key: String,
    pub label: String,
    /// Distinct level names in natural order.
    pub names: Vec<String>,
    /// For each row its level, or [`NO_LEVEL`].
    pub of_row: Vec<u32>,
}

impl LevelColumn {
    /// The column with this key, label or file header.
    pub fn find(
        book: &Workbook,
        results: &Results,
        rows: &Rows,
        wanted: &str,
    ) -> Result<LevelColumn, Error> {
        let plain = |text: &str| text.trim().to_lowercase();
        let calves = book.calves();
        let by_key = calves.columns().iter().find(|column| column.key == wanted);
        let by_name = || {
            calves.columns().iter().find(|column| {
                let header = column.header.as_deref().unwrap_or("");
                plain(&column.key) == plain(wanted)
                    || plain(header) == plain(wanted)
                    || plain(&column.label) == plain(wanted)
            })
        };
        let made = |key: &str, label: &str| LevelColumn::made(key, label, results, book, rows);
        if let Some(column) = by_key {
            return LevelColumn::of_column(column, book, results, rows);
        }
        if let Some((key, label)) = RESULT_LEVELS.iter().find(|(key, _)| *key == wanted) {
            return Ok(made(key, label));
        }
        if let Some(column) = by_name() {
            return LevelColumn::of_column(column, book, results, rows);
        }
        if let Some((key, label)) = RESULT_LEVELS
            .iter()
            .find(|(_, label)| plain(label) == plain(wanted))
        {
            return Ok(made(key, label));
        }
        let known: Vec<String> = comparable_columns(book, results)
            .into_iter()
            .map(|column| column.key)
            .collect();
        Err(Error::new(
            "compare.column.unknown",
            format!("There is no calves column called \"{wanted}\" to compare."),
            format!("Columns that can be compared here: {}.", known.join(", ")),
        ))
    }

    fn of_column(
        column: &Column,
        book: &Workbook,
        results: &Results,
        rows: &Rows,
    ) -> Result<LevelColumn, Error> {
        if column.formula.is_some() {
            return LevelColumn::of_calculated(column, results, rows);
        }
        let name_of = |row: usize| -> Option<String> {
            match column.value(row) {
                // Calves of a bull nobody knows have no bull in common.
                Value::Text(text) if column.key == "sire" && is_unknown(&text) => None,
                Value::Text(text) => Some(text),
                Value::Number(number) => Some(number.to_string()),
                Value::Day(_) | Value::Missing | Value::Unreadable(_) => None,
            }
        };
        let n_rows = rows.calves.n_rows;
        let names: Vec<Option<String>> = if column.key == "management" {
            // The management that groups go by: the place's kind where the calf's own is blank.
            rows.managements(book)
        } else {
            (0..n_rows).map(name_of).collect()
        };
        let found = LevelColumn::from_names(&column.key, &column.label, names);
        let measured = matches!(column.kind, Kind::Weight | Kind::Date)
            || (matches!(column.kind, Kind::Number(_))
                && found.names.len() > MOST_DISTINCT_NUMBERS);
        if measured {
            return Err(measurement(&column.label));
        }
        Ok(found)
    }

    /// The levels that a formula gives: texts, TRUE and FALSE, and numbers where there are few of them. A cell
    /// with an error is no level.
    fn of_calculated(
        column: &Column,
        results: &Results,
        rows: &Rows,
    ) -> Result<LevelColumn, Error> {
        let Some(calculated) = results.calculated.column(SheetKind::Calves, &column.key) else {
            return Err(measurement(&column.label));
        };
        let mut any_number = false;
        let names = (0..rows.calves.n_rows)
            .map(|row| match calculated.values.value(row) {
                Kept::Blank | Kept::Error(_) => None,
                Kept::Text(text) => Some(String::from(text)).filter(|text| !text.is_empty()),
                value => {
                    any_number |= matches!(value, Kept::Number(_));
                    Some(shown(&value, calculated.is_dates()))
                }
            })
            .collect();
        let found = LevelColumn::from_names(&column.key, &column.label, names);
        if any_number && (calculated.is_dates() || found.names.len() > MOST_DISTINCT_NUMBERS) {
            return Err(measurement(&column.label));
        }
        Ok(found)
    }

    fn made(
        key: &str,
        label: &str,
        results: &Results,
        book: &Workbook,
        rows: &Rows,
    ) -> LevelColumn {
        let names = (0..rows.calves.n_rows)
            .map(|row| match key {
                "season" => rows.season[row].clone(),
                "birth_year" => rows.calves.birth[row].year().map(|year| year.to_string()),
                _ => match ResultColumn::DamAgeClass.value(book, results, row) {
                    Value::Text(text) => Some(text),
                    _ => None,
                },
            })
            .collect();
        LevelColumn::from_names(key, label, names)
    }

    fn from_names(key: &str, label: &str, names: Vec<Option<String>>) -> LevelColumn {
        let mut codes: BTreeMap<NaturalText, u32> = BTreeMap::new();
        for name in names.iter().flatten() {
            codes.entry(NaturalText(name.clone())).or_insert(0);
        }
        for (code, place) in codes.values_mut().enumerate() {
            *place = u32::try_from(code).unwrap_or(NO_LEVEL);
        }
        let of_row = names
            .into_iter()
            .map(|name| {
                name.and_then(|name| codes.get(&NaturalText(name)).copied())
                    .unwrap_or(NO_LEVEL)
            })
            .collect();
        LevelColumn {
            key: key.to_owned(),
            label: label.to_owned(),
            names: codes.into_keys().map(|text| text.0).collect(),
            of_row,
        }
    }
}

fn measurement(label: &str) -> Error {
    Error::new(
        "compare.column.unknown",
        format!("\"{label}\" is a measurement and has no groups to compare."),
        "Choose a column that sorts calves into groups, such as place, management or sire.",
    )
}

/// Text that sorts with numbers in it by their size: `Pen 2` before `Pen 10`.
#[derive(PartialEq, Eq)]
struct NaturalText(String);

impl Ord for NaturalText {
    fn cmp(&self, other: &NaturalText) -> std::cmp::Ordering {
        crate::sheet::natural::natural_order(&self.0, &other.0).then_with(|| self.0.cmp(&other.0))
    }
}

impl PartialOrd for NaturalText {
    fn partial_cmp(&self, other: &NaturalText) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

/// The levels chosen, and who is used.
pub(super) struct Chosen {
    pub names: Vec<String>,
    /// For each row the position of its level among `names`, or [`NO_LEVEL`]; whether used or not.
    pub of_row: Vec<u32>,
    /// For each row whether it is in the model.
    pub used: Vec<bool>,
    /// Used rows of each level, in identity order.
    members: Vec<Vec<usize>>,
    /// For each level the calves left out, by reason.
    pub left_out: Vec<Vec<(String, u32)>>,
    /// Calves of the chosen seasons that stand in no chosen level.
    pub without_level: Vec<(String, u32)>,
}

impl Chosen {
    pub fn new(
        column: &LevelColumn,
        rows: &Rows,
        compared: &Compared,
        spec: &CompareSpec,
    ) -> Result<Chosen, Error> {
        let names: Vec<String> = if spec.levels.is_empty() {
            column.names.clone()
        } else {
            spec.levels.clone()
        };
        let mut position_of_code = vec![NO_LEVEL; column.names.len()];
        for (position, name) in names.iter().enumerate() {
            let code = column
                .names
                .iter()
                .position(|known| known == name)
                .ok_or_else(|| {
                    Error::new(
                        "compare.level.unknown",
                        format!("No calf has \"{name}\" in the column {}.", column.label),
                        format!("It has: {}.", column.names.join(", ")),
                    )
                })?;
            position_of_code[code] = u32::try_from(position).unwrap_or(NO_LEVEL);
        }
        if names.len() < 2 {
            return Err(Error::new(
                "compare.levels.too_few",
                format!(
                    "{} has fewer than two levels with calves, so there is nothing to compare.",
                    column.label
                ),
                "Choose another column, or fill this one in for the calves of the other group.",
            ));
        }
        if names.len() > MOST_LEVELS {
            return Err(Error::new(
                "compare.levels.too_many",
                format!(
                    "{} has {} levels; at most {MOST_LEVELS} can be compared at once.",
                    column.label,
                    names.len()
                ),
                "Choose some of the levels.",
            ));
        }
        let mut chosen = Chosen {
            of_row: Vec::with_capacity(column.of_row.len()),
            used: vec![false; column.of_row.len()],
            members: vec![Vec::new(); names.len()],
            left_out: Vec::new(),
            without_level: Vec::new(),
            names,
        };
        let mut reasons = vec![BTreeMap::<usize, u32>::new(); chosen.names.len()];
        let (mut blank, mut other_level) = (0_u32, 0_u32);
        let in_season = |row: usize| {
            spec.seasons.is_empty()
                || rows.season[row]
                    .as_ref()
                    .is_some_and(|label| spec.seasons.contains(label))
        };
        for (row, &code) in column.of_row.iter().enumerate() {
            let position = position_of_code
                .get(code as usize)
                .copied()
                .unwrap_or(NO_LEVEL);
            let here = if in_season(row) { position } else { NO_LEVEL };
            chosen.of_row.push(here);
            if in_season(row) && position == NO_LEVEL {
                if code == NO_LEVEL {
                    blank += 1;
                } else {
                    other_level += 1;
                }
            }
        }
        for &row in &rows.order {
            let Some(position) = chosen.position(row) else {
                continue;
            };
            match compared.why_not(rows, row) {
                None => {
                    chosen.used[row] = true;
                    chosen.members[position].push(row);
                }
                Some(reason) => *reasons[position].entry(reason).or_insert(0) += 1,
            }
        }
        chosen.left_out = reasons
            .into_iter()
            .map(|by_reason| {
                by_reason
                    .into_iter()
                    .map(|(reason, n)| (REASONS[reason].to_owned(), n))
                    .collect()
            })
            .collect();
        for (n, words) in [
            (
                blank,
                format!("{} not recorded", column.label.to_lowercase()),
            ),
            (
                other_level,
                "in another group that is not compared".to_owned(),
            ),
        ] {
            if n > 0 {
                chosen.without_level.push((words, n));
            }
        }
        Ok(chosen)
    }

    /// Position of a row's level, whether the calf is used or not.
    pub fn position(&self, row: usize) -> Option<usize> {
        match self.of_row[row] {
            NO_LEVEL => None,
            position => Some(position as usize),
        }
    }

    /// Used rows of a level, in identity order.
    pub fn used_rows(&self, position: usize) -> impl Iterator<Item = usize> + '_ {
        self.members[position].iter().copied()
    }

    /// Used calves of a level.
    pub fn n_used(&self, position: usize) -> usize {
        self.members[position].len()
    }

    /// All used rows, in identity order.
    pub fn all_used<'a>(&'a self, rows: &'a Rows) -> impl Iterator<Item = usize> + 'a {
        rows.order.iter().copied().filter(|&row| self.used[row])
    }
}

/// The columns that sort calves into groups, with how many calves with an adjusted weight each level has.
pub fn comparable_columns(book: &Workbook, results: &Results) -> Vec<Comparable> {
    let rows = Rows::new(book, results);
    // Names of animals and free text are not groups, whatever they hold.
    const NEVER: [&str; 7] = [
        "tag",
        "eid",
        "dam",
        "raised_dam",
        "note",
        "dam_age",
        "dam_birth_year",
    ];
    let mut found = Vec::new();
    let mut add = |column: LevelColumn| {
        let mut counts = vec![0_u32; column.names.len()];
        for (row, &level) in column.of_row.iter().enumerate() {
            if level != NO_LEVEL && !results.adjusted.adj_205[row].is_nan() {
                counts[level as usize] += 1;
            }
        }
        let n_with_calves = counts.iter().filter(|&&n| n > 0).count();
        if (2..=MOST_LEVELS).contains(&n_with_calves) && column.names.len() <= MOST_LEVELS {
            found.push(Comparable {
                key: column.key,
                label: column.label,
                levels: column.names.into_iter().zip(counts).collect(),
            });
        }
    };
    for column in book.calves().columns() {
        if !NEVER.contains(&column.key.as_str())
            && let Ok(levels) = LevelColumn::of_column(column, book, results, &rows)
        {
            add(levels);
        }
    }
    for (key, label) in RESULT_LEVELS {
        add(LevelColumn::made(key, label, results, book, &rows));
    }
    // What people ask about first.
    let rank = |key: &str| {
        ["management", "place", "creep", "sire", "sex"]
            .iter()
            .position(|first| *first == key)
            .unwrap_or(5)
    };
    fairpen_stats::in_order::order_by_key(&mut found, |column| rank(&column.key));
    found
}
