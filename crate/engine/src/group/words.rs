//! What a group is called, and the words of what made it.
//!
//! Enters: the formed groups. Leaves: a name and the parts of each.
//! Always true: names are unique in a book and depend on what the groups hold, not on the order of rows. A
//! name mentions season, sex, place and weigh day; breed, management and creep where the place does not
//! settle them; twins, fosters and the like when the group is of those; a letter when all that is equal.
//! Never: shows a code.

use std::collections::{BTreeMap, BTreeSet};

use super::form::Formed;
use super::key::{Key, Keys};
use super::{Group, GroupPart};
use crate::adjust::columns::CalfColumns;
use crate::adjust::marks::Marks;
use crate::sheet::codes::{BULL, HEIFER, MALE, STEER, YES_NO};
use crate::sheet::interned::{Interned, NO_TEXT};
use crate::sheet::settings::Settings;

const NOT_RECORDED: &str = "not recorded";

/// The words of a sex, plural.
pub const fn sex_words(sex: u8) -> &'static str {
    match sex {
        BULL => "bulls",
        STEER => "steers",
        HEIFER => "heifers",
        MALE => "males (bull or steer not said)",
        _ => NOT_RECORDED,
    }
}

/// Which parts of the rule a name has to mention in this book.
pub struct Mentioned {
    breed: bool,
    place: bool,
    management: bool,
    creep: bool,
}

impl Mentioned {
    /// Looks over all groups once.
    pub fn among(formed: &[Formed]) -> Mentioned {
        let keys = || formed.iter().map(|group| group.key);
        Mentioned {
            breed: distinct(keys().map(|key| key.breed)) > 1,
            place: keys().any(|key| key.place != NO_TEXT),
            management: not_settled_by_place(keys().map(|key| (key.place, key.management))),
            creep: not_settled_by_place(keys().map(|key| (key.place, u32::from(key.creep)))),
        }
    }
}

fn distinct(values: impl Iterator<Item = u32>) -> usize {
    values.collect::<BTreeSet<_>>().len()
}

/// True when calves of one place differ.
fn not_settled_by_place(pairs: impl Iterator<Item = (u32, u32)>) -> bool {
    let mut value_of: BTreeMap<u32, u32> = BTreeMap::new();
    for (place, value) in pairs {
        if *value_of.entry(place).or_insert(value) != value {
            return true;
        }
    }
    false
}

/// Puts the parts of a key into words.
pub struct Words<'a> {
    /// The calves.
    pub calves: &'a CalfColumns<'a>,
    /// The settings.
    pub settings: &'a Settings,
    /// The keys of the groups.
    pub keys: &'a Keys<'a>,
}

impl Words<'_> {
    /// The place of a key.
    pub fn place(&self, key: Key) -> String {
        text_or(self.calves.place, key.place)
    }

    fn management(&self, key: Key) -> String {
        self.keys
            .managements
            .get(key.management as usize)
            .cloned()
            .unwrap_or_else(|| NOT_RECORDED.to_owned())
    }

    /// What made a group, in the order of the rule.
    pub fn parts(&self, key: Key, group: &Group) -> Vec<GroupPart> {
        let marks = Marks(key.marks);
        let mut parts = vec![
            part("season", key.season.words(&self.settings.seasons)),
            part("sex", sex_words(key.sex)),
            part("breed", text_or(self.calves.breed, key.breed)),
            part("place", self.place(key)),
            part("management", self.management(key)),
            part("creep", YES_NO.key(key.creep).unwrap_or(NOT_RECORDED)),
            part("born_as", either(marks, Marks::TWIN, "twin", "single")),
            part(
                "raised_by",
                either(marks, Marks::FOSTER, "foster", "own dam"),
            ),
            part("births", span(group.births)),
            part("weighed", span(group.weighings)),
        ];
        if marks.has(Marks::WEIGHED_LATE) {
            let days = self.settings.weighed_after_weaning_days;
            parts.push(part(
                "weighed_late",
                format!("more than {days} days after weaning"),
            ));
        }
        if let Some(reason) = self.calves.set_apart.text_of(key.set_apart) {
            parts.push(part("set_apart", reason));
        }
        if marks.has(Marks::STRAIGHT_AGE) {
            let (from, to) = (self.settings.window_from_days, self.settings.window_to_days);
            parts.push(part(
                "window",
                format!("weighed outside {from} to {to} days of age"),
            ));
        }
        parts
    }

    /// The name, before a letter tells equal ones apart.
    pub fn name(&self, key: Key, group: &Group, mentioned: &Mentioned) -> String {
        let marks = Marks(key.marks);
        let mut name = format!(
            "{} {}",
            key.season.words(&self.settings.seasons),
            sex_words(key.sex)
        );
        let mut say = |words: &str| {
            name.push_str(", ");
            name.push_str(words);
        };
        if let (true, Some(breed)) = (mentioned.breed, self.calves.breed.text_of(key.breed)) {
            say(breed);
        }
        if mentioned.place {
            say(self
                .calves
                .place
                .text_of(key.place)
                .unwrap_or("place not recorded"));
        }
        if let (true, Some(words)) = (
            mentioned.management,
            self.keys.managements.get(key.management as usize),
        ) {
            say(words);
        }
        match YES_NO.key(key.creep) {
            Some("yes") if mentioned.creep => say("creep"),
            Some(_) if mentioned.creep => say("no creep"),
            _ => {}
        }
        if marks.has(Marks::TWIN) {
            say("twins");
        }
        if marks.has(Marks::FOSTER) {
            say("foster");
        }
        if let Some(reason) = self.calves.set_apart.text_of(key.set_apart) {
            say(&format!("set apart: {reason}"));
        }
        if marks.has(Marks::STRAIGHT_AGE) {
            say("outside the age window");
        }
        let weaned_and_weighed = group.weighings == group.weanings;
        let day = group.weighings.0.iso();
        if marks.has(Marks::WEIGHED_LATE) {
            say(&format!("weighed late {day}"));
        } else if weaned_and_weighed {
            say(&format!("weaned {day}"));
        } else {
            say(&format!("weighed {day}"));
        }
        name
    }
}

/// Adds letters where groups have the same name: a for the earliest born. Groups come in the order in which
/// equal names are lettered.
pub fn tell_apart(groups: &mut [Group]) {
    let mut taken: BTreeSet<String> = groups.iter().map(|group| group.name.clone()).collect();
    let mut members: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (at, group) in groups.iter().enumerate() {
        members.entry(group.name.clone()).or_default().push(at);
    }
    for (name, members) in members {
        if members.len() < 2 {
            continue;
        }
        let mut number = 0;
        for at in members {
            // A place may be called like a lettered group: go on to a letter that is free.
            groups[at].name = loop {
                let lettered = format!("{name}, {}", letters(number));
                number += 1;
                if taken.insert(lettered.clone()) {
                    break lettered;
                }
            };
        }
    }
}

/// a, b, ... z, aa, ab, ...
fn letters(mut number: usize) -> String {
    let mut letters = Vec::new();
    loop {
        let letter = u8::try_from(number % 26).expect("less than 26");
        letters.push(char::from(b'a' + letter));
        if number < 26 {
            break;
        }
        number = number / 26 - 1;
    }
    letters.iter().rev().collect()
}

fn part(key: &'static str, words: impl Into<String>) -> GroupPart {
    GroupPart {
        key,
        words: words.into(),
    }
}

fn text_or(column: &Interned, code: u32) -> String {
    column.text_of(code).unwrap_or(NOT_RECORDED).to_owned()
}

fn either(marks: Marks, mark: Marks, set: &'static str, unset: &'static str) -> &'static str {
    if marks.has(mark) { set } else { unset }
}

fn span((first, last): (crate::sheet::day::Day, crate::sheet::day::Day)) -> String {
    if first == last {
        first.iso()
    } else {
        format!("{} to {}", first.iso(), last.iso())
    }
}

#[cfg(test)]
mod tests {
    use super::letters;

    #[test]
    fn letters_go_on_after_z() {
        let shown: Vec<String> = [0, 25, 26, 51, 52, 701, 702].map(letters).to_vec();
        assert_eq!(shown, ["a", "z", "aa", "az", "ba", "zz", "aaa"]);
    }
}
