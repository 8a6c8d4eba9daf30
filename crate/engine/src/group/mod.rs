//! Contemporary groups, ratios and ranks.
//!
//! Enters: a book and its adjusted weights. Leaves: [`Groups`].
//! Always true: only calves with an adjusted 205-day weight are grouped; a group says what made it; a
//! group of one has no ratio; row order changes nothing.
//! Never: compares across sexes.

pub mod form;
pub mod identity;
pub mod key;
pub mod member;
pub mod season;
pub mod sires;
pub mod words;

use crate::adjust::Adjusted;
use crate::adjust::columns::CalfColumns;
use crate::adjust::marks::Marks;
use crate::sheet::day::Day;
use crate::sheet::workbook::Workbook;
use form::Formed;
use identity::IdentityOrder;
use key::Keys;
use member::Member;
use sires::Sires;
use words::{Mentioned, Words};

/// Row without a group.
pub const NO_GROUP: u32 = u32::MAX;

/// One part of what made a group: `place` is `Pen 1`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GroupPart {
    /// Stable key of the part: `season`, `sex`, `breed`, `place`, `management`, `creep`, `born_as`,
    /// `raised_by`, `births`, `weighed`, and where they apply `weighed_late`, `set_apart`, `window`.
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
    /// Words of what to mind: `group of one`, `one-sire group`, `small group`, `no dam-age factor for 3`.
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

/// Fewer calves than this make a small group. Common practice, no source.
pub const SMALL_GROUP: usize = 5;

/// Forms the groups of a book, with ratios and ranks, and sets the group's marks on its calves.
pub fn group(book: &Workbook, adjusted: &mut Adjusted) -> Groups {
    let calves = CalfColumns::of(book);
    let keys = Keys::of(book, &calves);
    let order = IdentityOrder::of(&calves, &adjusted.adj_205);
    let formed = form::form(&calves, &book.settings, adjusted, &keys, &order);
    let words = Words {
        calves: &calves,
        settings: &book.settings,
        keys: &keys,
    };
    let mut out = Groups {
        group_of: vec![NO_GROUP; calves.n_rows],
        ratio: vec![f64::NAN; calves.n_rows],
        rank: vec![0; calves.n_rows],
        groups: Vec::new(),
    };
    let mut groups = described(&words, formed, &order, &mut out);
    words::tell_apart(&mut groups);
    fairpen_stats::in_order::order_by(&mut groups, |one, other| one.name.cmp(&other.name));
    for (number, group) in (0_u32..).zip(&groups) {
        let marks = group_marks(group);
        for &row in &group.rows {
            out.group_of[row as usize] = number;
            adjusted.marks[row as usize].set(marks);
        }
    }
    out.groups = groups;
    out
}

/// Groups with everything but unique names, in the order in which equal names are lettered. Ratios and
/// ranks go to `out`.
fn described(
    words: &Words,
    formed: Vec<Formed>,
    order: &IdentityOrder,
    out: &mut Groups,
) -> Vec<Group> {
    let mentioned = Mentioned::among(&formed);
    let sires = Sires::of(words.calves.sire);
    let mut groups: Vec<Group> = formed
        .into_iter()
        .map(|formed| {
            let key = formed.key;
            let mut group = figures(&formed.members, &sires);
            if formed.members.len() > 1 {
                give_ratios(&formed.members, group.mean_adj_205, out);
            }
            group.sex = words::sex_words(key.sex);
            group.place = words.place(key);
            group.parts = words.parts(key, &group);
            group.name = words.name(key, &group, &mentioned);
            group
        })
        .collect();
    fairpen_stats::in_order::order_by(&mut groups, |one, other| {
        let dates = |group: &Group| (group.births, group.weighings, group.rows.len());
        dates(one)
            .cmp(&dates(other))
            .then_with(|| order.compare(one.rows[0], other.rows[0]))
    });
    groups
}

/// Counts, dates, mean and spread of a group. Members come in identity order, so sums do not depend on the
/// order of the sheet.
fn figures(members: &[Member], sires: &Sires) -> Group {
    let n = members.len() as f64;
    let weights = || members.iter().map(|member| member.adj_205);
    let mean = weights().sum::<f64>() / n;
    let squares: f64 = weights()
        .map(|weight| (weight - mean) * (weight - mean))
        .sum();
    let sd = if members.len() > 1 {
        libm::sqrt(squares / (n - 1.0))
    } else {
        f64::NAN
    };
    let (n_sires, n_sire_missing) = sires.count(members.iter().map(|member| member.sire));
    let mut group = Group {
        name: String::new(),
        parts: Vec::new(),
        sex: "",
        place: String::new(),
        births: first_and_last(members, |member| member.birth),
        weighings: first_and_last(members, |member| member.weighed),
        weanings: first_and_last(members, |member| member.weaned),
        rows: members.iter().map(|member| member.row).collect(),
        n_sires,
        n_sire_missing,
        mean_adj_205: mean,
        sd_adj_205: sd,
        flags: Vec::new(),
    };
    group.flags = flags(&group, members);
    group
}

fn first_and_last(members: &[Member], day: impl Fn(&Member) -> Day) -> (Day, Day) {
    let mut span = (Day::MISSING, Day::MISSING);
    for day in members.iter().map(day).filter(|day| !day.is_missing()) {
        if span.0.is_missing() || day < span.0 {
            span.0 = day;
        }
        span.1 = span.1.max(day);
    }
    span
}

/// The marks a group gives its calves.
fn group_marks(group: &Group) -> Marks {
    let mut marks = Marks::NONE;
    if group.rows.len() == 1 {
        marks.set(Marks::ALONE);
        return marks;
    }
    if group.n_sires == 1 && group.n_sire_missing == 0 {
        marks.set(Marks::ONE_SIRE);
    }
    if group.rows.len() < SMALL_GROUP {
        marks.set(Marks::SMALL_GROUP);
    }
    marks
}

fn flags(group: &Group, members: &[Member]) -> Vec<String> {
    let mut flags: Vec<String> = group_marks(group).words().map(str::to_owned).collect();
    let mut marks_of_all = Marks::NONE;
    let (mut without_factor, mut standard) = (0, 0);
    for member in members {
        marks_of_all.set(member.marks);
        let straight = member.marks.has(Marks::STRAIGHT_AGE);
        without_factor += usize::from(member.raising_class_unknown && !straight);
        standard += usize::from(member.marks.has(Marks::STANDARD_BIRTH_WEIGHT));
    }
    if marks_of_all.has(Marks::MALE_UNSPECIFIED) {
        flags.push("bull or steer not said".to_owned());
    }
    if without_factor > 0 {
        flags.push(format!("no dam-age factor for {without_factor}"));
    }
    if standard > 0 {
        flags.push(format!("standard birth weight for {standard}"));
    }
    flags
}

/// Ratios and ranks of a group of two or more. Weights equal to a millionth of a pound tie, so that a unit
/// of weight or the order of a sum decides no rank.
fn give_ratios(members: &[Member], mean: f64, out: &mut Groups) {
    let mut heaviest_first: Vec<(i64, f64, u32)> = members
        .iter()
        .map(|member| (millionths(member.adj_205), member.adj_205, member.row))
        .collect();
    heaviest_first.sort_unstable_by_key(|&(weight, _, _)| std::cmp::Reverse(weight));
    let mut rank = 0;
    let mut previous = None;
    for (place, (in_millionths, weight, row)) in (1_u32..).zip(heaviest_first) {
        if previous != Some(in_millionths) {
            rank = place;
            previous = Some(in_millionths);
        }
        out.rank[row as usize] = rank;
        out.ratio[row as usize] = 100.0 * weight / mean;
    }
}

fn millionths(pounds: f64) -> i64 {
    libm::round(pounds * 1e6) as i64
}
