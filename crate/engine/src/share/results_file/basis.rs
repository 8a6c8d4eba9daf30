//! What each figure of a file rests on.
//!
//! Enters: the book, what was chosen, and the payload with its cells in place. Leaves: one letter per
//! computed figure, set in the payload.
//! Always true: `h` is written only where every column the figure rests on goes along (or is blank in the
//! whole book) and the engine, given the file alone, gets the same figure; `t` only where the file's group
//! totals give the same ratio; everything else is `s`. A cell without a figure has `-`, but that a calf has
//! no flag counts as a figure.
//! Never: decides from a value alone that its inputs are there.

use std::collections::BTreeSet;

use super::payload::Payload;
use super::rebuild::{Rebuilt, rebuild};
use super::same;
use super::shown::CALCULATED;
use crate::adjust::columns::CalfColumns;
use crate::adjust::dam_age::{DamAgeFrom, DamAges};
use crate::adjust::marks::Marks;
use crate::group::NO_GROUP;
use crate::results::{ResultColumn, Results};
use crate::share::choice::{Choice, GROUP_INPUTS};
use crate::sheet::codes::NO_CODE;
use crate::sheet::interned::NO_TEXT;
use crate::sheet::workbook::Workbook;

/// What a figure rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// `h`: everything is in the file.
    Here,
    /// `t`: the group's totals in the file.
    Totals,
    /// `s`: something that stays home.
    Stated,
}

impl Basis {
    /// Its letter.
    pub const fn letter(self) -> char {
        match self {
            Basis::Here => 'h',
            Basis::Totals => 't',
            Basis::Stated => 's',
        }
    }

    /// The basis of a row in a text of letters; `None` where there is no figure.
    pub fn of(letters: Option<&str>, row: usize) -> Option<Basis> {
        match letters?.as_bytes().get(row)? {
            b'h' => Some(Basis::Here),
            b't' => Some(Basis::Totals),
            b's' => Some(Basis::Stated),
            _ => None,
        }
    }
}

/// Sets the basis of every figure of a payload. `rows` are the book's rows of the file's calves.
pub fn assign(
    book: &Workbook,
    results: &Results,
    choice: &Choice,
    rows: &[u32],
    payload: &mut Payload,
) {
    let calves = CalfColumns::of(book);
    let mut grounds = Grounds {
        book,
        results,
        open: choice.open_columns(book),
        rows,
        dams: DamAges::of(book, &calves),
        calves,
        stated_dam_age: vec![false; rows.len()],
        raising_age: vec![false; rows.len()],
        group_here: vec![false; results.groups.groups.len()],
        has_groups: payload.groups.is_some(),
        has_adj_205: payload.column("adj_205_weight").is_some(),
    };
    for &(at, _) in &payload.raising_ages {
        if let Some(stated) = grounds.raising_age.get_mut(at as usize) {
            *stated = true;
        }
    }
    // What is said of the dams comes first: where it is stated only, the rest is computed from it.
    let dams_from = ["dam_age_days", "dam_age_class"]
        .into_iter()
        .find(|key| payload.column(key).is_some());
    let rebuilt = rebuild(payload);
    for column in payload
        .columns
        .iter_mut()
        .filter(|column| Some(column.key.as_str()) == dams_from)
    {
        column.basis = grounds.letters(column, &rebuilt);
    }
    let rebuilt = rebuild(payload);
    grounds.stated_dam_age.clone_from(&rebuilt.stated_dam_age);
    grounds.find_whole_groups(&rebuilt);
    for column in payload
        .columns
        .iter_mut()
        .filter(|column| Some(column.key.as_str()) != dams_from)
    {
        column.basis = grounds.letters(column, &rebuilt);
    }
    if let Some(record) = &mut payload.groups {
        for group in &mut record.groups {
            let first = rows[group.rows[0] as usize] as usize;
            let whole = grounds.group_here[results.groups.group_of[first] as usize];
            let basis = if whole && same::group(&rebuilt, group) {
                Basis::Here
            } else {
                Basis::Stated
            };
            group.basis = basis.letter().to_string();
        }
    }
    let comparison_here = payload.every_calf
        && [
            "sex",
            "birth_date",
            "birth_weight",
            "wean_date",
            "weigh_date",
            "wean_weight",
            "born_as",
            "raised_by",
            "set_apart",
        ]
        .iter()
        .all(|key| choice.is_open(book, key))
        && (0..rows.len()).all(|at| grounds.no_weight(at) || grounds.raising(at));
    if let Some(comparison) = &mut payload.comparison {
        let here = comparison_here && same::comparison(&rebuilt, comparison).is_empty();
        comparison.basis = if here { Basis::Here } else { Basis::Stated }
            .letter()
            .to_string();
    }
}

struct Grounds<'a> {
    book: &'a Workbook,
    results: &'a Results,
    /// Columns of which nothing stays home.
    open: BTreeSet<String>,
    rows: &'a [u32],
    dams: DamAges<'a>,
    calves: CalfColumns<'a>,
    stated_dam_age: Vec<bool>,
    raising_age: Vec<bool>,
    group_here: Vec<bool>,
    has_groups: bool,
    has_adj_205: bool,
}

impl Grounds<'_> {
    fn letters(&self, column: &super::payload::ColumnRecord, rebuilt: &Rebuilt) -> Option<String> {
        if column.origin == CALCULATED {
            return column.basis.clone();
        }
        let result = ResultColumn::from_key(&column.key).filter(|_| column.origin == "engine")?;
        let letters = (0..self.rows.len()).map(|at| {
            // That a calf has no flag is something to compute again, too.
            let says_nothing = column.cells[at] == super::payload::Cell::Missing;
            if says_nothing && result != ResultColumn::Flags {
                return '-';
            }
            let here = self.is_here(result, at) && same::cell(rebuilt, result, column, at);
            if here {
                Basis::Here
            } else {
                self.second_best(result, at)
            }
            .letter()
        });
        Some(letters.collect())
    }

    fn open(&self, keys: &[&str]) -> bool {
        keys.iter().all(|key| self.open.contains(*key))
    }

    /// True when everything a figure rests on goes along.
    fn is_here(&self, column: ResultColumn, at: usize) -> bool {
        let age = || self.open(&["birth_date", "wean_date", "weigh_date"]);
        match column {
            ResultColumn::DamAgeDays => self.dam_entered(at),
            ResultColumn::DamAgeClass => self.dam(at),
            ResultColumn::AgeDays => age(),
            ResultColumn::BirthWeightUsed => self.open(&["birth_weight", "sex"]),
            ResultColumn::AdjBirthWeight => self.open(&["birth_weight"]) && self.dam(at),
            ResultColumn::GainPerDay => age() && self.open(&["birth_weight", "sex", "wean_weight"]),
            ResultColumn::WeightPerDay => age() && self.open(&["wean_weight"]),
            ResultColumn::Adj205Weight => self.adj_205(at),
            ResultColumn::ContemporaryGroup
            | ResultColumn::GroupSize
            | ResultColumn::Ratio
            | ResultColumn::RankInGroup => {
                self.group(at).is_some_and(|group| self.group_here[group])
            }
            // Among them is whether all calves of the group are by one sire.
            ResultColumn::Flags => {
                self.adj_205(at)
                    && self.open(&GROUP_INPUTS)
                    && self.open(&["sire"])
                    && self.group(at).is_none_or(|group| self.group_here[group])
            }
        }
    }

    fn second_best(&self, column: ResultColumn, at: usize) -> Basis {
        let totals = match column {
            ResultColumn::GroupSize => self.has_groups,
            ResultColumn::Ratio => self.has_groups && (self.has_adj_205 || self.adj_205(at)),
            _ => false,
        };
        if totals { Basis::Totals } else { Basis::Stated }
    }

    fn row(&self, at: usize) -> usize {
        self.rows[at] as usize
    }

    fn no_weight(&self, at: usize) -> bool {
        self.results.adjusted.age_adj_205[self.row(at)].is_nan()
    }

    fn group(&self, at: usize) -> Option<usize> {
        match self.results.groups.group_of[self.row(at)] {
            NO_GROUP => None,
            group => Some(group as usize),
        }
    }

    /// The dam's age follows from entered cells of the file.
    fn dam_entered(&self, at: usize) -> bool {
        let from = self.dams.birth_dam(&self.calves, self.row(at)).from;
        !matches!(from, DamAgeFrom::RecordDate | DamAgeFrom::RecordYear)
            && self.open(&["birth_date", "dam_age", "dam_birth_date", "dam_birth_year"])
    }

    /// The dam's age is in the file, entered or stated.
    fn dam(&self, at: usize) -> bool {
        self.dam_entered(at) || self.stated_dam_age[at]
    }

    /// The class of the cow that raised the calf is in the file.
    fn raising(&self, at: usize) -> bool {
        let row = self.row(at);
        let said =
            self.calves.raised_by[row] != NO_CODE || self.calves.raised_dam.codes()[row] == NO_TEXT;
        let known_who = self.open(&["raised_by"]) && (said || self.open(&["raised_dam", "dam"]));
        let who = if self.results.adjusted.marks[row].has(Marks::FOSTER) {
            self.raising_age[at]
                || self.dams.raising_cow(&self.calves, row).from == DamAgeFrom::Unknown
        } else {
            self.dam(at)
        };
        known_who && who
    }

    fn adj_205(&self, at: usize) -> bool {
        self.open(&[
            "birth_date",
            "wean_date",
            "weigh_date",
            "sex",
            "birth_weight",
            "wean_weight",
        ]) && self.raising(at)
    }

    /// Marks the groups all of whose calves go along with all that groups rest on, and which the file alone
    /// makes again with the same calves.
    fn find_whole_groups(&mut self, rebuilt: &Rebuilt) {
        if !self.open(&GROUP_INPUTS) {
            return;
        }
        let mut at_of_row = vec![None; self.book.calves().n_rows()];
        for (at, &row) in self.rows.iter().enumerate() {
            at_of_row[row as usize] = Some(at);
        }
        for (number, group) in self.results.groups.groups.iter().enumerate() {
            let members: Option<Vec<usize>> = group
                .rows
                .iter()
                .map(|&row| at_of_row[row as usize])
                .collect();
            let Some(members) = members else { continue };
            let again = rebuilt.results.groups.group_of[members[0]];
            let same_calves = again != NO_GROUP
                && rebuilt.results.groups.groups[again as usize].rows.len() == members.len()
                && members
                    .iter()
                    .all(|&at| rebuilt.results.groups.group_of[at] == again);
            self.group_here[number] = same_calves && members.iter().all(|&at| self.adj_205(at));
        }
    }
}
