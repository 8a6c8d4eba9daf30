//! Marks as sentences: what was assumed, why there is no figure, what would change it.
//!
//! Enters: the marks of a calf. Leaves: sentences.
//! Always true: each sentence is the mark's own, so all places say the same.
//! Never: sets a mark.

use super::Working;
use super::says::Says;
use crate::adjust::marks::Marks;

/// Marks that stand against an adjusted weight.
pub const AGAINST_WEIGHT: Marks = Marks(
    Marks::NO_SEX.0
        | Marks::NO_BIRTH_DATE.0
        | Marks::NO_WEIGHT.0
        | Marks::NO_WEIGH_DATE.0
        | Marks::WEIGHED_BEFORE_BIRTH.0
        | Marks::UNDER_WINDOW.0
        | Marks::OVER_WINDOW.0
        | Marks::BOTTLE.0,
);

/// Marks about the age of the dam.
pub const ABOUT_DAM: Marks = Marks(
    Marks::DAM_AGE_UNKNOWN.0
        | Marks::DAM_TOO_YOUNG.0
        | Marks::DAM_AGE_FROM_YEAR.0
        | Marks::DAM_AGE_STATED.0,
);

/// Marks of what an adjusted weight rests on.
pub const UNDER_WEIGHT: Marks = Marks(
    ABOUT_DAM.0
        | Marks::STANDARD_BIRTH_WEIGHT.0
        | Marks::FOSTER.0
        | Marks::RAISING_AGE_UNKNOWN.0
        | Marks::STRAIGHT_AGE.0
        | Marks::MALE_UNSPECIFIED.0
        | Marks::IMPLAUSIBLE_WEIGHT.0,
);

/// Marks of what a ratio rests on besides.
pub const ABOUT_GROUP: Marks = Marks(
    Marks::TWIN.0
        | Marks::WEIGHED_LATE.0
        | Marks::SET_APART.0
        | Marks::ALONE.0
        | Marks::ONE_SIRE.0
        | Marks::SMALL_GROUP.0,
);

/// The sentences of those marks of the calf that are among `of`.
pub fn sentences(says: &Says, of: Marks) -> Vec<String> {
    let marks = says.marks();
    Marks::ALL
        .iter()
        .filter(|(mark, _, _)| marks.has(*mark) && of.has(*mark))
        .map(|(_, _, sentence)| (*sentence).to_owned())
        .collect()
}

/// Why there is no figure, in one text.
pub fn why_none(says: &Says, against: Marks) -> String {
    if says.calves.never_lived(says.row) {
        return "None: the calf was not born alive.".to_owned();
    }
    let why = sentences(says, against);
    if why.is_empty() {
        "None: too little is recorded.".to_owned()
    } else {
        format!("None. {}", why.join(" "))
    }
}

/// What to do about marks that can be mended.
pub fn mending(says: &Says, of: Marks) -> Vec<String> {
    const MENDING: [(Marks, &str); 14] = [
        (Marks::NO_SEX, "Type bull, steer or heifer under Sex."),
        (
            Marks::MALE_UNSPECIFIED,
            "Type bull or steer under Sex: the calf then stands in a group with others of its kind.",
        ),
        (Marks::NO_BIRTH_DATE, "Type the day it was born under Born."),
        (
            Marks::NO_WEIGHT,
            "Type its own weight under Weaning weight.",
        ),
        (
            Marks::NO_WEIGH_DATE,
            "Type the day under Weaned or Weighed.",
        ),
        (
            Marks::WEIGHED_BEFORE_BIRTH,
            "Correct the birth date or the day of weighing.",
        ),
        (
            Marks::UNDER_WINDOW,
            "Weigh it again at an age inside the window, or correct a wrong date.",
        ),
        (
            Marks::OVER_WINDOW,
            "Correct the birth date or the day of weighing if one is wrong.",
        ),
        (
            Marks::STANDARD_BIRTH_WEIGHT,
            "A weight taken at birth would take the place of the standard one.",
        ),
        (
            Marks::DAM_AGE_UNKNOWN,
            "The dam's birth date or year in the cows sheet, or her age with the calf, would add her factor.",
        ),
        (
            Marks::RAISING_AGE_UNKNOWN,
            "The birth date or year, in the cows sheet, of the cow that raised it would add her factor.",
        ),
        (
            Marks::DAM_TOO_YOUNG,
            "Correct the dam's birth date or age if it is wrong.",
        ),
        (
            Marks::DAM_AGE_FROM_YEAR,
            "The dam's full birth date would place her to the day.",
        ),
        (
            Marks::DAM_AGE_STATED,
            "A row for the dam in the cows sheet, with her birth date, would be used instead of the stated age.",
        ),
    ];
    let marks = says.marks();
    MENDING
        .iter()
        .filter(|(mark, _)| marks.has(*mark) && of.has(*mark))
        .map(|(_, words)| (*words).to_owned())
        .collect()
}

/// All marks of the calf.
pub fn flags(says: &Says) -> Working {
    let all = Marks(u32::MAX);
    let words: Vec<&str> = says.marks().words().collect();
    Working {
        result: if words.is_empty() {
            "Nothing was assumed and nothing is out of line.".to_owned()
        } else {
            words.join("; ")
        },
        formula:
            "The marks of what was assumed for the calf, or keeps it from being adjusted or ratioed"
                .to_owned(),
        assumed: sentences(says, all),
        would_change: mending(says, all),
        ..Working::default()
    }
}
