//! Tags, electronic IDs and sex: can each calf be told from the others?
//!
//! Enters: the calves. Leaves: findings.
//! Always true: of two rows with one name the later one is named, with the first beside it.
//! Never: compares names across sheets; a kept heifer stands in two.

use std::collections::HashMap;

use super::Look;
use super::code::Code;
use crate::adjust::marks::Marks;
use crate::sheet::codes::{DIED, NO_CODE};
use crate::sheet::interned::NO_TEXT;

/// Largest animal number of the 38 bits that ISO 11784 gives it: 2^38 - 1.
const LARGEST_ANIMAL_NUMBER: u64 = 274_877_906_943;

pub(super) fn look(look: &mut Look) {
    let (calves, adjusted) = (look.calves, look.adjusted);
    let lived = |row: usize| !calves.never_lived(row);
    // A calf that died young may never have had a tag.
    let kept = |row: usize| {
        lived(row) && !(calves.left_because[row] == DIED && calves.wean_weight[row].is_nan())
    };
    look.missing(
        Code::TagMissing,
        "tag",
        |row| calves.tag.codes()[row] == NO_TEXT,
        kept,
    );
    look.missing(
        Code::SexMissing,
        "sex",
        |row| calves.sex[row] == NO_CODE,
        lived,
    );
    let sex = look.column("sex");
    for (row, key) in look.rows() {
        if adjusted.marks[row].has(Marks::MALE_UNSPECIFIED) {
            look.add(Code::SexMaleUnspecified, sex, key, 0);
        }
    }
    tags(look);
    electronic_ids(look);
}

fn tags(look: &mut Look) {
    let calves = look.calves;
    let at = look.column("tag");
    let mut first_with: HashMap<(u32, i32), u32> = HashMap::new();
    for (row, key) in look.rows() {
        let tag = calves.tag.codes()[row];
        if tag == NO_TEXT {
            continue;
        }
        // Without a birth date a tag is held against the others without one.
        let year = calves.birth[row].year().unwrap_or(i32::MIN);
        let first = *first_with.entry((tag, year)).or_insert(key);
        if first != key {
            look.add(Code::TagDuplicate, at, key, first);
        }
    }
}

fn electronic_ids(look: &mut Look) {
    let calves = look.calves;
    let at = look.column("eid");
    let well_formed: Vec<bool> = calves.eid.texts().map(is_electronic_id).collect();
    let mut first_with = vec![NO_TEXT; well_formed.len()];
    for (row, key) in look.rows() {
        let code = calves.eid.codes()[row];
        let Some(first) = first_with.get_mut(code as usize) else {
            continue;
        };
        if *first == NO_TEXT {
            *first = key;
        } else {
            let first = *first;
            look.add(Code::EidDuplicate, at, key, first);
        }
        if !well_formed[code as usize] {
            look.add(Code::EidMalformed, at, key, 0);
        }
    }
}

/// Fifteen digits, spaces and hyphens aside: three of country or maker, twelve of the animal (ISO 11784;
/// the largest animal number follows from its 38 bits).
fn is_electronic_id(text: &str) -> bool {
    let digits: String = text.chars().filter(|ch| !matches!(ch, ' ' | '-')).collect();
    digits.len() == 15
        && digits.bytes().all(|byte| byte.is_ascii_digit())
        && digits[3..]
            .parse::<u64>()
            .is_ok_and(|number| number <= LARGEST_ANIMAL_NUMBER)
}

#[cfg(test)]
mod tests {
    use super::is_electronic_id;

    #[test]
    fn fifteen_digits_within_38_bits() {
        assert!(is_electronic_id("840003123456789"));
        assert!(is_electronic_id("840 003 123 456 789"));
        assert!(is_electronic_id("999274877906943"));
        assert!(!is_electronic_id("999274877906944"));
        assert!(!is_electronic_id("99900000051"));
        assert!(!is_electronic_id("9.99E+14"));
    }
}
