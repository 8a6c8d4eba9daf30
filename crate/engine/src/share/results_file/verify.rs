//! Every figure of a file, computed again.
//!
//! Enters: a payload, and nothing else. Leaves: a mark per figure, what does not match, counts, and whether
//! the fingerprints are those of the contents.
//! Always true: a figure said to rest on the file's own entries is marked *recomputed* only when the engine
//! gets it from them; otherwise it does not match, and both numbers are given. A figure that rests on what
//! stays home is never called recomputed.
//! Never: mends a figure.

use super::basis::Basis;
use super::digest;
use super::payload::{Cell, DigestRecord, GroupRecord, Payload};
use super::rebuild::{Rebuilt, rebuild};
use super::same;
use super::shown::{CALCULATED, figure, fixed};
use crate::results::ResultColumn;
use crate::sheet::column::Value;

/// What computing a figure again has shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// `-`: there is no figure.
    None,
    /// `h`: recomputed here, from entries of the file.
    Recomputed,
    /// `t`: recomputed from the group totals of the file.
    FromTotals,
    /// `s`: stated only; what it rests on stays home.
    Stated,
    /// `x`: does not match.
    Differs,
}

impl Mark {
    /// Its letter.
    pub const fn letter(self) -> char {
        match self {
            Mark::None => '-',
            Mark::Recomputed => 'h',
            Mark::FromTotals => 't',
            Mark::Stated => 's',
            Mark::Differs => 'x',
        }
    }
}

/// A figure that does not match.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// What it is: `Adjusted 205-day weight of 4017`.
    pub what: String,
    /// As the file states it.
    pub stated: String,
    /// As the engine gets it; empty when it gets none.
    pub recomputed: String,
}

/// Marks of one computed column, one per calf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnMarks {
    /// Key of the column.
    pub key: String,
    /// One mark per calf.
    pub marks: Vec<Mark>,
}

/// How many figures have which mark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Recomputed here.
    pub recomputed: u32,
    /// Recomputed from group totals.
    pub from_totals: u32,
    /// Stated only.
    pub stated: u32,
    /// Do not match.
    pub differ: u32,
}

/// What came of computing a file again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verification {
    /// Marks of the computed columns.
    pub columns: Vec<ColumnMarks>,
    /// One mark per line of the groups table.
    pub groups: Vec<Mark>,
    /// The comparison's; `None` mark when there is no comparison.
    pub comparison: Mark,
    /// All marks counted: each cell, each line of the groups table and the comparison count one.
    pub counts: Counts,
    /// What does not match.
    pub differences: Vec<Difference>,
    /// The fingerprint of the entries is theirs.
    pub inputs_as_stated: bool,
    /// The fingerprint of the whole file is its own.
    pub contents_as_stated: bool,
}

/// Computes a file's figures again.
pub fn verify(payload: &Payload) -> Verification {
    verify_rebuilt(payload, &rebuild(payload))
}

/// The same, with the book already rebuilt from this payload.
pub fn verify_rebuilt(payload: &Payload, rebuilt: &Rebuilt) -> Verification {
    let mut differences = Vec::new();
    let group_of_calf = groups_of_calves(payload);
    let group_at = |row: usize| group_of_calf.get(row).copied().flatten();
    let columns: Vec<ColumnMarks> = payload
        .columns
        .iter()
        .filter(|column| column.basis.is_some())
        .filter_map(|column| match column.origin.as_str() {
            // Whatever its letters say: a formula of the ranch is not worked out here.
            CALCULATED => Some((column, None)),
            _ => Some((column, Some(ResultColumn::from_key(&column.key)?))),
        })
        .map(|(column, result)| ColumnMarks {
            key: column.key.clone(),
            marks: (0..payload.n_calves as usize)
                .map(|row| {
                    let basis = Basis::of(column.basis.as_deref(), row);
                    let (Some(basis), Some(result)) = (basis, result) else {
                        return basis.map_or(Mark::None, |_| Mark::Stated);
                    };
                    match basis {
                        Basis::Stated => Mark::Stated,
                        Basis::Here if same::cell(rebuilt, result, column, row) => Mark::Recomputed,
                        Basis::Totals
                            if from_totals(payload, rebuilt, result, row, group_at(row)) =>
                        {
                            Mark::FromTotals
                        }
                        basis => {
                            let recomputed = if basis == Basis::Here {
                                figure(result.about().2, &same::recomputed(rebuilt, result, row))
                            } else {
                                totals(payload, rebuilt, result, row, group_at(row))
                                    .map_or_else(String::new, |number| fixed(number, 1))
                            };
                            differences.push(Difference {
                                what: format!("{} of {}", column.label, calf(payload, row)),
                                stated: column.shown(row).to_owned(),
                                recomputed,
                            });
                            Mark::Differs
                        }
                    }
                })
                .collect(),
        })
        .collect();
    let groups: Vec<Mark> = payload
        .groups
        .iter()
        .flat_map(|groups| &groups.groups)
        .map(|group| {
            if Basis::of(Some(&group.basis), 0) != Some(Basis::Here) {
                return Mark::Stated;
            }
            if same::group(rebuilt, group) {
                return Mark::Recomputed;
            }
            let again = again_mean(rebuilt, &group.rows);
            differences.push(Difference {
                what: format!("Mean of the group {}", group.name),
                stated: group.mean_shown.clone(),
                recomputed: fixed(again, 1),
            });
            Mark::Differs
        })
        .collect();
    let comparison = match &payload.comparison {
        None => Mark::None,
        Some(comparison) if Basis::of(Some(&comparison.basis), 0) != Some(Basis::Here) => {
            Mark::Stated
        }
        Some(comparison) => {
            let differing = same::comparison(rebuilt, comparison);
            if differing.is_empty() {
                Mark::Recomputed
            } else {
                differences.push(Difference {
                    what: format!(
                        "The comparison by {} ({})",
                        comparison.column_label,
                        differing.join("; ")
                    ),
                    stated: comparison.sentence.clone(),
                    recomputed: String::new(),
                });
                Mark::Differs
            }
        }
    };
    let all = columns
        .iter()
        .flat_map(|column| &column.marks)
        .chain(&groups)
        .chain([&comparison]);
    let counts = count(all.copied());
    let digests = digest::of(payload);
    let DigestRecord { inputs, contents } = &payload.digest;
    Verification {
        columns,
        groups,
        comparison,
        counts,
        differences,
        inputs_as_stated: digests.inputs == *inputs,
        contents_as_stated: digests.contents == *contents,
    }
}

fn count(marks: impl Iterator<Item = Mark>) -> Counts {
    let mut counts = Counts::default();
    for mark in marks {
        match mark {
            Mark::None => {}
            Mark::Recomputed => counts.recomputed += 1,
            Mark::FromTotals => counts.from_totals += 1,
            Mark::Stated => counts.stated += 1,
            Mark::Differs => counts.differ += 1,
        }
    }
    counts
}

/// For each calf of the file the line of the groups table that names it first.
fn groups_of_calves(payload: &Payload) -> Vec<Option<&GroupRecord>> {
    let mut of_calf = vec![None; payload.n_calves as usize];
    let groups = payload.groups.iter().flat_map(|groups| &groups.groups);
    for group in groups {
        for &row in &group.rows {
            if let Some(place) = of_calf.get_mut(row as usize) {
                place.get_or_insert(group);
            }
        }
    }
    of_calf
}

/// True when the group's totals in the file give the figure.
fn from_totals(
    payload: &Payload,
    rebuilt: &Rebuilt,
    column: ResultColumn,
    row: usize,
    group: Option<&GroupRecord>,
) -> bool {
    let stated = payload
        .column(column.key())
        .map_or(f64::NAN, |column| column.number(row));
    totals(payload, rebuilt, column, row, group)
        .is_some_and(|number| (number - stated).abs() <= same::TOLERANCE)
}

/// A group size or a ratio from the group's totals and the calf's own adjusted weight.
fn totals(
    payload: &Payload,
    rebuilt: &Rebuilt,
    column: ResultColumn,
    row: usize,
    group: Option<&GroupRecord>,
) -> Option<f64> {
    let group = group?;
    match column {
        ResultColumn::GroupSize => Some(f64::from(group.n)),
        ResultColumn::Ratio => {
            own_weight(payload, rebuilt, row).map(|own| 100.0 * own / group.mean)
        }
        _ => None,
    }
}

/// A calf's adjusted weight: as computed here, or as stated where it rests on what stays home.
pub(super) fn own_weight(payload: &Payload, rebuilt: &Rebuilt, row: usize) -> Option<f64> {
    let column = payload.column("adj_205_weight");
    let stated =
        column.filter(|column| Basis::of(column.basis.as_deref(), row) == Some(Basis::Stated));
    if let Some(column) = stated {
        return Some(column.number(row)).filter(|number| !number.is_nan());
    }
    match same::recomputed(rebuilt, ResultColumn::Adj205Weight, row) {
        Value::Number(number) => Some(number),
        _ => None,
    }
}

fn again_mean(rebuilt: &Rebuilt, rows: &[u32]) -> f64 {
    let groups = &rebuilt.results.groups;
    rows.first()
        .and_then(|&row| {
            groups
                .groups
                .get(*groups.group_of.get(row as usize)? as usize)
        })
        .map_or(f64::NAN, |group| {
            rebuilt
                .book
                .settings
                .weight_unit
                .from_pounds(group.mean_adj_205)
        })
}

/// What to call a calf: its tag where that is in the file, else its line.
pub fn calf(payload: &Payload, row: usize) -> String {
    match payload
        .column("tag")
        .and_then(|column| column.cells.get(row))
    {
        Some(Cell::Text(tag)) => tag.clone(),
        _ => format!("line {}", row + 1),
    }
}
