//! Contemporary groups, ratios and ranks.
//!
//! Enters: a book and its adjusted weights. Leaves: [`Groups`].
//! Always true: only calves with an adjusted 205-day weight are grouped; a group says what made it; a
//! group of one has no ratio; row order changes nothing.
//! Never: compares across sexes.

use crate::sheet::day::Day;

/// Row without a group.
pub const NO_GROUP: u32 = u32::MAX;

/// One part of what made a group: `place` is `Pen 1`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GroupPart {
    /// Stable key of the part: `season`, `sex`, `breed`, `place`, `management`, `creep`, `born_as`,
    /// `raised_by`, `weighed`, `set_apart`, `window`.
    pub key: &'static str,
    /// Its value in words: `spring 2026`, `heifers`, `Pen 1`, `not recorded`.
    pub words: String,
}

/// A contemporary group.
#[derive(Clone, Debug)]
pub struct Group {
    /// Short readable name, unique in the book: `2026 spring heifers, Pen 1, weaned 2026-09-28`.
    pub name: String,
    /// What made it, in the order of the rule.
    pub parts: Vec<GroupPart>,
    /// Sex in words, plural: `heifers`.
    pub sex: &'static str,
    /// Place, or `not recorded`.
    pub place: String,
    /// First and last birth.
    pub births: (Day, Day),
    /// First and last weighing.
    pub weighings: (Day, Day),
    /// First and last weaning day (missing where not recorded).
    pub weanings: (Day, Day),
    /// Rows in identity order.
    pub rows: Vec<u32>,
    /// Distinct sires named (a list of possible sires counts each bull); 0 when none is recorded.
    pub n_sires: u32,
    /// Calves whose sire is not recorded.
    pub n_sire_missing: u32,
    /// Mean adjusted 205-day weight, lb.
    pub mean_adj_205: f64,
    /// Standard deviation, lb; NaN for one calf.
    pub sd_adj_205: f64,
    /// Words of what to mind: `group of one`, `one-sire group`, `small group`, `dam age not known for 3`.
    pub flags: Vec<String>,
}

/// The groups of a book and what they give each calf row.
#[derive(Clone, Debug, Default)]
pub struct Groups {
    /// All groups, ordered by name.
    pub groups: Vec<Group>,
    /// For each calf row its group, or [`NO_GROUP`].
    pub group_of: Vec<u32>,
    /// 100 x own / group mean; NaN when there is none.
    pub ratio: Vec<f64>,
    /// 1 is the heaviest of the group; 0 when there is no ratio. Ties share the better rank.
    pub rank: Vec<u32>,
}
