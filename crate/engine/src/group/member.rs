//! What forming and describing groups needs of a calf, side by side.
//!
//! Enters: columns. Leaves: one [`Member`] per calf.
//! Always true: columns are read in row order, once. A herd's rows lie in any order, so a group that read
//! its calves from a dozen columns would wait for memory a dozen times per calf.
//! Never: decides anything.

use super::identity::IdentityOrder;
use crate::adjust::Adjusted;
use crate::adjust::columns::CalfColumns;
use crate::adjust::marks::Marks;
use crate::sheet::day::Day;

/// A calf with an adjusted weight.
#[derive(Clone, Copy, Debug)]
pub struct Member {
    /// First eight bytes of its tag, see [`IdentityOrder::tag_start`].
    pub tag_start: u64,
    /// Adjusted 205-day weight, lb.
    pub adj_205: f64,
    /// Its row.
    pub row: u32,
    /// Birth date.
    pub birth: Day,
    /// Day of weighing.
    pub weighed: Day,
    /// Weaning day.
    pub weaned: Day,
    /// Code of the text of its sire.
    pub sire: u32,
    /// What was assumed for it.
    pub marks: Marks,
    /// Whether the class of the cow that raised it is not known.
    pub raising_class_unknown: bool,
}

/// Makes members.
pub struct Members<'a> {
    calves: &'a CalfColumns<'a>,
    adjusted: &'a Adjusted,
    order: &'a IdentityOrder<'a>,
}

impl<'a> Members<'a> {
    /// From these columns.
    pub fn of(
        calves: &'a CalfColumns<'a>,
        adjusted: &'a Adjusted,
        order: &'a IdentityOrder<'a>,
    ) -> Members<'a> {
        Members {
            calves,
            adjusted,
            order,
        }
    }

    /// The calf of a row.
    pub fn member(&self, row_key: u32) -> Member {
        let row = row_key as usize;
        Member {
            tag_start: self.order.tag_start(row_key),
            adj_205: self.adjusted.adj_205[row],
            row: row_key,
            birth: self.calves.birth[row],
            weighed: self.calves.weighed_on(row),
            weaned: self.calves.wean_date[row],
            sire: self.calves.sire.codes()[row],
            marks: self.adjusted.marks[row],
            raising_class_unknown: self.adjusted.raising_class[row] == u8::MAX,
        }
    }
}
