//! The rows of columns parted by value, and put in order within each part.
//!
//! Enters: columns, and what each asking row asks for. Leaves: groups, and tallies of stretches of them.
//! Always true: groups are numbered in the order of their first row; a stretch is found by halves.
//! Never: lets the order of a hash table show.

use super::cell::{Cell, nearly_equal};
use super::criterion::Comparison;
use super::error_value::ErrorValue;
use super::held::{Held, NO_KEY, Table};
use super::tally::Tally;
use fairpen_stats::sum::Sum;

/// The rows of the columns, parted by the values that plain criteria ask for.
pub struct Groups {
    /// Group of each row; [`NO_KEY`] for rows no criterion can meet.
    pub of_row: Vec<u32>,
    /// How many groups.
    pub n: usize,
}

impl Groups {
    /// All rows that meet the criteria alike for every row.
    pub fn all(n: usize, meets: Option<&[bool]>) -> Groups {
        let of_row = match meets {
            Some(meets) => meets
                .iter()
                .map(|meets| if *meets { 0 } else { NO_KEY })
                .collect(),
            None => vec![0; n],
        };
        Groups { of_row, n: 1 }
    }

    /// Parts the groups further, and turns the groups of the asking rows with them.
    pub fn part(&mut self, column: &Held<'_>, key_of_asking: &[u32], of_asking: &mut [u32]) {
        let mut parts: Table<u64, u32> = Table::default();
        let place = |group: u32, key: u32| u64::from(group) << 32 | u64::from(key);
        let mut n: u32 = 0;
        for (group, &key) in self.of_row.iter_mut().zip(&column.keys().ids) {
            if *group == NO_KEY || key == NO_KEY {
                *group = NO_KEY;
                continue;
            }
            let part = *parts.entry(place(*group, key)).or_insert(n);
            n += u32::from(part == n);
            *group = part;
        }
        for (group, &key) in of_asking.iter_mut().zip(key_of_asking) {
            *group = if *group == NO_KEY || key == NO_KEY {
                NO_KEY
            } else {
                parts.get(&place(*group, key)).copied().unwrap_or(NO_KEY)
            };
        }
        self.n = n as usize;
    }
}

impl Groups {
    /// The rows of each group, in their order.
    pub fn members(&self) -> Vec<Vec<u32>> {
        let mut members = vec![Vec::new(); self.n];
        for (row, &group) in (0_u32..).zip(&self.of_row) {
            if let Some(members) = members.get_mut(group as usize) {
                members.push(row);
            }
        }
        members
    }
}

/// Rows in the order of a column of numbers within each group, with what has been summed up to each.
pub struct Ordered {
    /// Where each group begins; one more for the end.
    begins: Vec<usize>,
    numbers: Vec<f64>,
    /// State before each row, and one after the last.
    before: Vec<Before>,
    /// Smallest and largest of stretches, when they are wanted: the rows stand in the second half, and each
    /// place before them covers the two places at twice its number.
    extremes: Vec<(f64, f64)>,
}

#[derive(Clone, Copy, Default)]
struct Before {
    n_numbers: usize,
    sum: Sum,
    /// Errors met so far, and the last of them.
    n_errors: usize,
    error: Option<ErrorValue>,
}

impl Ordered {
    /// Puts the rows in order.
    pub fn new<'a>(
        groups: &Groups,
        column: &Held<'a>,
        value: &dyn Fn(usize) -> Cell<'a>,
        extremes: bool,
    ) -> Ordered {
        let mut rows: Vec<(u32, f64, usize)> = groups
            .of_row
            .iter()
            .enumerate()
            .filter(|(_, group)| **group != NO_KEY)
            .filter_map(|(row, &group)| match column.cells.at(row) {
                cell @ (Cell::Number(_) | Cell::Logical(_)) => {
                    Some((group, cell.number().ok()?, row))
                }
                _ => None,
            })
            .collect();
        rows.sort_unstable_by(|one, other| {
            one.0
                .cmp(&other.0)
                .then(one.1.total_cmp(&other.1))
                .then(one.2.cmp(&other.2))
        });
        let mut ordered = Ordered {
            begins: Vec::with_capacity(groups.n + 1),
            numbers: Vec::with_capacity(rows.len()),
            before: Vec::with_capacity(rows.len() + 1),
            extremes: if extremes {
                vec![NONE; 2 * rows.len()]
            } else {
                Vec::new()
            },
        };
        let n = rows.len();
        let mut state = Before::default();
        for (at, (group, number, row)) in rows.into_iter().enumerate() {
            while ordered.begins.len() <= group as usize {
                ordered.begins.push(at);
            }
            ordered.numbers.push(number);
            ordered.before.push(state);
            match value(row) {
                Cell::Error(error) => {
                    state.n_errors += 1;
                    state.error = Some(error);
                }
                cell @ (Cell::Number(_) | Cell::Logical(_)) => {
                    let number = cell.number().unwrap_or(0.0);
                    state.n_numbers += 1;
                    state.sum.add(number);
                    if let Some(place) = ordered.extremes.get_mut(n + at) {
                        *place = (number, number);
                    }
                }
                Cell::Empty | Cell::Text(_) => {}
            }
        }
        if extremes {
            for at in (1..n).rev() {
                ordered.extremes[at] =
                    wider(ordered.extremes[2 * at], ordered.extremes[2 * at + 1]);
            }
        }
        ordered.before.push(state);
        while ordered.begins.len() <= groups.n {
            ordered.begins.push(ordered.numbers.len());
        }
        ordered
    }

    /// What is known of the rows of a group whose number compares so in every way.
    pub fn tally(&self, group: u32, comparisons: &[(Comparison, f64)]) -> Tally {
        let group = group as usize;
        let (Some(&begin), Some(&end)) = (self.begins.get(group), self.begins.get(group + 1))
        else {
            return Tally::default();
        };
        let numbers = &self.numbers[begin..end];
        let (mut low, mut high) = (0, numbers.len());
        for &(comparison, wanted) in comparisons {
            let holds = |number: &f64| {
                comparison.holds(if nearly_equal(*number, wanted) {
                    std::cmp::Ordering::Equal
                } else {
                    number.total_cmp(&wanted)
                })
            };
            match comparison {
                Comparison::Less | Comparison::AtMost => {
                    high = high.min(numbers.partition_point(holds));
                }
                Comparison::More | Comparison::AtLeast => {
                    low = low.max(numbers.partition_point(|number| !holds(number)));
                }
            }
        }
        if low >= high {
            return Tally::default();
        }
        let (first, last) = (self.before[begin + low], self.before[begin + high]);
        let mut sum = Sum::default();
        sum.add(last.sum.since(first.sum));
        let (smallest, largest) = self.extremes(begin + low, begin + high);
        Tally {
            n_rows: high - low,
            n_numbers: last.n_numbers - first.n_numbers,
            sum,
            smallest: (smallest <= largest).then_some(smallest),
            largest: (smallest <= largest).then_some(largest),
            error: last.error.filter(|_| last.n_errors > first.n_errors),
        }
    }

    /// The smallest and largest number from one row up to another; [`NONE`] when there is none.
    fn extremes(&self, from: usize, to: usize) -> (f64, f64) {
        let n = self.extremes.len() / 2;
        let (mut low, mut high) = (n + from, n + to);
        let mut found = NONE;
        while n > 0 && low < high {
            if low % 2 == 1 {
                found = wider(found, self.extremes[low]);
                low += 1;
            }
            if high % 2 == 1 {
                high -= 1;
                found = wider(found, self.extremes[high]);
            }
            low /= 2;
            high /= 2;
        }
        found
    }
}

/// No number: the smallest above the largest.
const NONE: (f64, f64) = (f64::INFINITY, f64::NEG_INFINITY);

fn wider(one: (f64, f64), other: (f64, f64)) -> (f64, f64) {
    (one.0.min(other.0), one.1.max(other.1))
}
