//! What may be random in a comparison's model: cows, bulls, places, contemporary groups.
//!
//! Enters: the used calves, in identity order. Leaves: candidates, each with its levels by calf, or with the reason
//! why it is not tried.
//! Always true: no calf is dropped for want of a name: a calf of an unknown cow has a cow of her own, calves of
//! unknown bulls share a level within their season. Levels are numbered as calves come in identity order, so the
//! order of the sheets changes nothing. A name is the animal it stands for; where it stands for none, or for
//! several, it is a name.
//! Never: looks at the compared numbers.

use std::collections::HashMap;
use std::hash::Hash;

use fairpen_stats::linear::Factor;
use fairpen_stats::mixed::{RandomFactor, Shares};

use super::choices::{Places, RandomPart};
use super::levels::{Chosen, LevelColumn};
use super::model::Asked;
use super::model_facts::RandomEffect;
use super::response::Compared;
use super::result::CompareSpec;
use super::rows::Rows;
use super::terms::NOT_RECORDED;
use crate::adjust::dam_age::DamAges;
use crate::adjust::dam_on_record::OnRecord;
use crate::adjust::is_foster;
use crate::animals::find::Animals;
use crate::animals::{Among, Deed, Found};
use crate::group::NO_GROUP;
use crate::results::Results;
use crate::sheet::interned::NO_TEXT;
use crate::sheet::read::list::is_unknown;
use crate::sheet::workbook::Workbook;

/// Calves that share a level with an earlier one, at the least, for its spread to be told from that of single
/// calves (common practice, no source).
pub(super) const FEWEST_REPEATS: usize = 5;

/// Levels by calf: one each, or several with weights.
pub(super) enum Levels {
    One(Vec<u32>),
    Shared {
        starts: Vec<usize>,
        levels: Vec<u32>,
        weights: Vec<f64>,
    },
}

/// Something that may be random.
pub(super) struct Candidate {
    pub effect: RandomEffect,
    pub levels: Levels,
}

impl Candidate {
    pub fn as_random(&self) -> RandomFactor<'_> {
        match &self.levels {
            Levels::One(codes) => RandomFactor::Codes(Factor {
                codes,
                levels: self.effect.levels,
            }),
            Levels::Shared {
                starts,
                levels,
                weights,
            } => RandomFactor::Shares(Shares {
                starts,
                levels,
                weights,
                level_count: self.effect.levels,
            }),
        }
    }

    pub fn tried(&self) -> bool {
        self.effect.because.is_empty()
    }

    fn new(
        key: &'static str,
        words: &str,
        numbering: Numbering,
        because: Option<String>,
    ) -> Candidate {
        let n = numbering.starts.len() - 1;
        let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let repeats = n.saturating_sub(numbering.n_levels as usize);
        let shared = (0..n)
            .filter(|&at| numbering.starts[at + 1] - numbering.starts[at] > 1)
            .count();
        let because = because.unwrap_or_else(|| {
            if numbering.n_levels < 2 {
                format!("there are fewer than two: {}", numbering.n_levels)
            } else if repeats == 0 {
                "each has one calf only".to_owned()
            } else if repeats < FEWEST_REPEATS {
                format!(
                    "only {repeats} of the calves used share{} one with another calf; at least {FEWEST_REPEATS} are needed",
                    if repeats == 1 { "s" } else { "" },
                )
            } else {
                String::new()
            }
        });
        Candidate {
            effect: RandomEffect {
                key,
                words: words.to_owned(),
                used: false,
                because,
                levels: numbering.n_levels,
                repeats: count(repeats),
                sd: None,
                at_zero: false,
                unnamed: count(numbering.unnamed),
                shared: count(shared),
            },
            levels: if shared == 0 {
                Levels::One(numbering.levels)
            } else {
                Levels::Shared {
                    starts: numbering.starts,
                    levels: numbering.levels,
                    weights: numbering.weights,
                }
            },
        }
    }
}

/// Levels in the making.
struct Numbering {
    starts: Vec<usize>,
    levels: Vec<u32>,
    weights: Vec<f64>,
    n_levels: u32,
    unnamed: usize,
}

impl Numbering {
    fn new() -> Numbering {
        Numbering {
            starts: vec![0],
            levels: Vec::new(),
            weights: Vec::new(),
            n_levels: 0,
            unnamed: 0,
        }
    }

    /// The number of a key, a new one where it has not been met.
    fn number<K: Eq + Hash>(&mut self, seen: &mut HashMap<K, u32>, key: K) -> u32 {
        let next = self.n_levels;
        let number = *seen.entry(key).or_insert(next);
        self.n_levels += u32::from(number == next);
        number
    }

    fn fresh(&mut self) -> u32 {
        self.n_levels += 1;
        self.n_levels - 1
    }

    /// Ends a calf with one level.
    fn one(&mut self, level: u32) {
        self.levels.push(level);
        self.weights.push(1.0);
        self.starts.push(self.levels.len());
    }

    /// Ends a calf with equal shares in the levels named, one named twice counted twice.
    fn shares(&mut self, of: &[u32]) {
        let each = 1.0 / f64::from(u32::try_from(of.len()).unwrap_or(u32::MAX));
        let start = self.levels.len();
        for &level in of {
            match self.levels[start..]
                .iter()
                .position(|&known| known == level)
            {
                Some(at) => self.weights[start + at] += each,
                None => {
                    self.levels.push(level);
                    self.weights.push(each);
                }
            }
        }
        self.starts.push(self.levels.len());
    }
}

/// Everything that may be random, in the order in which the model takes it.
pub(super) fn candidates(asked: &Asked, used: &[usize]) -> Vec<Candidate> {
    let Asked {
        book,
        results,
        rows,
        column,
        chosen,
        compared,
        spec,
        ..
    } = *asked;
    let not_asked =
        (spec.choices.random == RandomPart::None).then(|| "it was not asked for".to_owned());
    let taken = |keys: &[&str]| {
        if let Some(because) = &not_asked {
            return Some(because.clone());
        }
        if keys.contains(&column.key.as_str()) {
            return Some("it is what is compared".to_owned());
        }
        spec.hold
            .iter()
            .any(|held| keys.contains(&held.as_str()))
            .then(|| "it is held equal".to_owned())
    };
    let words = if compared.birth_dam {
        "cow that bore the calf"
    } else {
        "cow that raised the calf"
    };
    let mut found = vec![
        Candidate::new(
            "dam",
            words,
            dams(book, rows, compared, used),
            taken(&["dam"]),
        ),
        Candidate::new("sire", "sire", sires(book, rows, used), taken(&["sire"])),
    ];
    found.extend(places(rows, column, chosen, spec, used, taken(&["place"])));
    found.push(groups(results, column, chosen, used, taken(&[])));
    found
}

#[derive(PartialEq, Eq, Hash)]
enum Named<'a> {
    /// Row of an animal on its sheet.
    Row(u32),
    Name(&'a str),
    /// Bulls that nobody knows, of one season.
    Unknown(Option<&'a str>),
}

/// The cow that counts for each calf. One that is not named, or not known, is a cow of her own.
fn dams(book: &Workbook, rows: &Rows, compared: &Compared, used: &[usize]) -> Numbering {
    let calves = &rows.calves;
    let on_record = DamAges::of(book, calves);
    let mut seen: HashMap<Named, u32> = HashMap::new();
    let mut numbering = Numbering::new();
    for &row in used {
        let raised_by_another = !compared.birth_dam && is_foster(calves, row);
        let (found, name) = if raised_by_another {
            (
                on_record.raising_cow(calves, row).on_record,
                calves.raised_dam.get(row),
            )
        } else {
            (
                on_record.birth_dam(calves, row).on_record,
                calves.dam.get(row),
            )
        };
        let level = match (found, name.filter(|name| !is_unknown(name))) {
            (OnRecord::Row(cow), _) => numbering.number(&mut seen, Named::Row(cow)),
            (_, Some(name)) => numbering.number(&mut seen, Named::Name(name)),
            (_, None) => {
                numbering.unnamed += 1;
                numbering.fresh()
            }
        };
        numbering.one(level);
    }
    numbering
}

/// The bulls of each calf in equal shares; an unknown one is a level of the calf's season.
fn sires(book: &Workbook, rows: &Rows, used: &[usize]) -> Numbering {
    let sire = rows.calves.sire;
    let animals = Animals::new();
    let bulls = animals.among(book, Among::Bulls);
    let names: Vec<Vec<&str>> = sire
        .texts()
        .map(|text| {
            text.split(';')
                .map(str::trim)
                .filter(|name| !name.is_empty())
                .collect()
        })
        .collect();
    let links: Vec<Vec<_>> = names
        .iter()
        .map(|names| names.iter().map(|name| bulls.links(name)).collect())
        .collect();
    let mut seen: HashMap<Named, u32> = HashMap::new();
    let mut numbering = Numbering::new();
    let mut any_named = false;
    let mut own: Vec<u32> = Vec::new();
    for &row in used {
        let season = rows.season[row].as_deref();
        let code = sire.codes()[row];
        own.clear();
        let listed = if code == NO_TEXT {
            None
        } else {
            names.get(code as usize).zip(links.get(code as usize))
        };
        if let Some((names, links)) = listed {
            for (name, links) in names.iter().zip(links) {
                let key = if is_unknown(name) {
                    Named::Unknown(season)
                } else {
                    any_named = true;
                    match bulls.find(links, Deed::Sired, rows.calves.birth[row]) {
                        Found::One(bull) => Named::Row(bull.row),
                        _ => Named::Name(name),
                    }
                };
                own.push(numbering.number(&mut seen, key));
            }
        }
        if own.is_empty() {
            own.push(numbering.number(&mut seen, Named::Unknown(season)));
        }
        if listed.is_none_or(|(names, _)| names.iter().all(|name| is_unknown(name))) {
            numbering.unnamed += 1;
        }
        numbering.shares(&own);
    }
    if !any_named {
        // Seasons alone are no bulls.
        numbering.n_levels = 0;
    }
    numbering
}

/// Places, and where it is asked for each place within each level.
fn places(
    rows: &Rows,
    column: &LevelColumn,
    chosen: &Chosen,
    spec: &CompareSpec,
    used: &[usize],
    taken: Option<String>,
) -> Vec<Candidate> {
    let place_of = |row: usize| rows.calves.place.get(row);
    let by_place = |row: usize| match place_of(row) {
        Some(place) => (Some(place), None),
        // Where the place is not known, calves of one level are taken to have stood together.
        None => (None, chosen.position(row)),
    };
    let mut seen = HashMap::new();
    let mut numbering = Numbering::new();
    for &row in used {
        numbering.unnamed += usize::from(place_of(row).is_none());
        let level = numbering.number(&mut seen, by_place(row));
        numbering.one(level);
    }
    let nested = between(used, chosen, place_of);
    let label = column.label.to_lowercase();
    let such = spec.choices.places == Places::Such;
    let none_named = numbering.unnamed == used.len();
    let because = taken.clone().or_else(|| {
        if none_named {
            Some(format!("the place is {NOT_RECORDED}"))
        } else if nested && !such {
            Some(format!(
                "each place has one {label} only, so what differs between places is part of the difference"
            ))
        } else {
            None
        }
    });
    let mut found = vec![Candidate::new("place", "place", numbering, because)];
    if such && !nested && !none_named {
        let mut seen = HashMap::new();
        let mut numbering = Numbering::new();
        for &row in used {
            numbering.unnamed += usize::from(place_of(row).is_none());
            let level = numbering.number(&mut seen, (place_of(row), chosen.position(row)));
            numbering.one(level);
        }
        found.push(Candidate::new(
            "place_within",
            &format!("place within {label}"),
            numbering,
            taken,
        ));
    }
    found
}

/// Contemporary groups, where at least one holds calves of two levels.
fn groups(
    results: &Results,
    column: &LevelColumn,
    chosen: &Chosen,
    used: &[usize],
    taken: Option<String>,
) -> Candidate {
    let group_of = |row: usize| {
        results
            .groups
            .group_of
            .get(row)
            .copied()
            .filter(|&group| group != NO_GROUP)
    };
    let mut seen = HashMap::new();
    let mut numbering = Numbering::new();
    for &row in used {
        let level = match group_of(row) {
            Some(group) => numbering.number(&mut seen, group),
            None => {
                numbering.unnamed += 1;
                numbering.fresh()
            }
        };
        numbering.one(level);
    }
    let because = taken.or_else(|| {
        if numbering.unnamed > 0 {
            Some(format!("{} of the calves used stand in no group", numbering.unnamed))
        } else if between(used, chosen, group_of) {
            Some(format!(
                "each group has one {} only, so what differs between groups is part of the difference",
                column.label.to_lowercase()
            ))
        } else {
            None
        }
    });
    Candidate::new(
        "contemporary_group",
        "contemporary group",
        numbering,
        because,
    )
}

/// True when no class holds calves of two levels; rows of no class count for none.
pub(super) fn between<K: Eq + Hash>(
    used: &[usize],
    chosen: &Chosen,
    class_of: impl Fn(usize) -> Option<K>,
) -> bool {
    let mut level_of: HashMap<K, Option<usize>> = HashMap::new();
    used.iter().all(|&row| {
        class_of(row).is_none_or(|class| {
            *level_of.entry(class).or_insert(chosen.position(row)) == chosen.position(row)
        })
    })
}
