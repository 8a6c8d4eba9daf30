//! Whether 3/4 is March 4 or 3 April, from all the dates of a file together.
//!
//! Enters: the dates of every date column whose day and month could stand either way. Leaves: an order and what
//! speaks for it.
//! Always true: one order for the whole file; where nothing speaks for either it is month first, and asked.
//! Never: reads two columns of a file in two orders.

use super::fill::Waiting;
use super::plan::DateOrder;

/// What a file's dates say about their order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Evidence {
    /// Dates that are one only with the month first: 3/14.
    pub n_month_first: u32,
    /// Dates that are one only with the day first: 14/3.
    pub n_day_first: u32,
    /// Dates that are two different days in the two orders.
    pub n_open: u32,
    /// Column and row of the first of the open ones.
    pub open_place: (usize, u32),
    /// The first of the open ones.
    pub open_example: Option<String>,
    /// The first that speaks for each order: month first, day first.
    pub speaking: [Option<String>; 2],
}

impl Evidence {
    /// Adds the dates of a column, which stands at this position.
    pub fn add(&mut self, column: usize, waiting: &Waiting) {
        for (row, text, date) in waiting.iter() {
            let month_first = date.day(DateOrder::MonthFirst);
            let day_first = date.day(DateOrder::DayFirst);
            let example = match (month_first, day_first) {
                (Some(_), None) => {
                    self.n_month_first += 1;
                    &mut self.speaking[0]
                }
                (None, Some(_)) => {
                    self.n_day_first += 1;
                    &mut self.speaking[1]
                }
                (Some(one), Some(other)) if one != other => {
                    if self.n_open == 0 {
                        self.open_place = (column, row);
                    }
                    self.n_open += 1;
                    &mut self.open_example
                }
                _ => continue,
            };
            if example.is_none() {
                *example = Some(text.to_owned());
            }
        }
    }

    /// The order the file's dates speak for, or `None` when they speak for neither.
    pub fn order(&self) -> Option<DateOrder> {
        match self.n_month_first.cmp(&self.n_day_first) {
            std::cmp::Ordering::Greater => Some(DateOrder::MonthFirst),
            std::cmp::Ordering::Less => Some(DateOrder::DayFirst),
            std::cmp::Ordering::Equal if self.n_month_first > 0 => Some(DateOrder::MonthFirst),
            std::cmp::Ordering::Equal => None,
        }
    }

    /// True when some dates are one only in one order and some only in the other.
    pub fn contradicts_itself(&self) -> bool {
        self.n_month_first > 0 && self.n_day_first > 0
    }
}
