//! Troubles of an animal: names, dates, weights, parents.
//!
//! Enters: the ways to put a trouble in. Leaves: the list, in the order of the file. Always true:
//! each row reads well, and yet cannot be right or complete. Never: a trouble that another row's trouble hides.

use super::herd::position;
use super::kinds::{AFTER_BIRTH, Kind, YEARLING, clear, one, same, set, two};

/// Troubles of names, dates, weights and parents.
pub static ANIMALS: [Kind; 33] = [
    one(
        "check.tag.missing",
        "tag",
        "no tag, though it was weaned",
        |rows| set(rows, "tag", ""),
    ),
    two(
        "check.tag.duplicate",
        "tag",
        "the tag of the row above, same year",
        |rows| same(rows, "tag"),
    ),
    two(
        "check.eid.duplicate",
        "eid",
        "the electronic tag of the row above",
        |rows| same(rows, "eid"),
    ),
    one(
        "check.eid.malformed",
        "eid",
        "eleven digits where fifteen belong",
        |rows| {
            set(rows, "eid", "99900000051");
        },
    ),
    one(
        "check.eid.malformed",
        "eid",
        "a number a spreadsheet has shortened",
        |rows| {
            set(rows, "eid", "9.99E+14");
        },
    ),
    one("check.sex.missing", "sex", "no sex", |rows| {
        set(rows, "sex", "")
    }),
    one(
        "check.sex.male_unspecified",
        "sex",
        "male, but not whether bull or steer",
        |rows| set(rows, "sex", "male"),
    ),
    one(
        "check.birth_date.missing",
        "birth_date",
        "no birth date",
        |rows| set(rows, "birth_date", ""),
    ),
    one(
        "check.birth_date.future",
        "birth_date",
        "born in 2052",
        |rows| {
            clear(rows, &AFTER_BIRTH);
            set(rows, "birth_date", "2052-03-19");
        },
    ),
    one(
        "check.weaned_before_birth",
        "wean_date",
        "weaned the year before it was born",
        |rows| {
            clear(rows, &YEARLING);
            set(rows, "wean_date", "2024-09-24");
        },
    ),
    one(
        "check.weighed_before_birth",
        "weigh_date",
        "weighed in January, born in March",
        |rows| {
            set(rows, "weigh_date", "2025-01-24");
        },
    ),
    one(
        "check.weighed_before_weaning",
        "weigh_date",
        "weighed 20 days before it left the cow",
        |rows| {
            set(rows, "weigh_date", "2025-09-04");
        },
    ),
    one(
        "check.weighed_after_weaning",
        "weigh_date",
        "weighed 12 days after it left the cow",
        |rows| {
            set(rows, "weigh_date", "2025-10-06");
        },
    ),
    one(
        "check.age.under_window",
        "birth_date",
        "under 160 days old when weighed",
        |rows| {
            set(rows, "birth_date", "2025-05-19");
            set(rows, "wean_weight", "358");
            clear(rows, &YEARLING);
        },
    ),
    one(
        "check.age.over_window",
        "birth_date",
        "over 250 days old when weighed",
        |rows| {
            set(rows, "birth_date", "2025-01-02");
            set(rows, "wean_weight", "617");
            clear(rows, &YEARLING);
        },
    ),
    one(
        "check.birth_weight.range",
        "birth_weight",
        "a birth weight no calf has",
        |rows| {
            set(rows, "birth_weight", "277");
        },
    ),
    one(
        "check.wean_weight.range",
        "wean_weight",
        "a digit too many",
        |rows| {
            set(rows, "wean_weight", "5122");
        },
    ),
    one(
        "check.wean_weight.below_birth_weight",
        "wean_weight",
        "lighter at weaning than at birth",
        |rows| {
            set(rows, "wean_weight", "52");
        },
    ),
    one(
        "check.gain.range",
        "wean_weight",
        "more than 5 lb a day, from birth to weaning",
        |rows| {
            set(rows, "wean_weight", "1092");
            clear(rows, &YEARLING);
        },
    ),
    one(
        "check.wean_weight.missing",
        "wean_weight",
        "weaned, not weighed",
        |rows| {
            set(rows, "wean_weight", "");
        },
    ),
    one(
        "check.wean_date.missing",
        "wean_date",
        "weighed, no date",
        |rows| set(rows, "wean_date", ""),
    ),
    one(
        "check.birth_weight.missing",
        "birth_weight",
        "no birth weight",
        |rows| {
            set(rows, "birth_weight", "");
        },
    ),
    one("check.dam.missing", "dam", "no dam", |rows| {
        set(rows, "dam", "")
    }),
    one(
        "check.dam.is_calf",
        "dam",
        "the calf's own tag as its dam",
        |rows| {
            let tag = rows[0][0].clone();
            set(rows, "dam", &tag);
        },
    ),
    one(
        "check.dam_age.unknown",
        "dam_age",
        "age of the dam not known",
        |rows| set(rows, "dam_age", ""),
    ),
    one(
        "check.dam_age.too_young",
        "dam_age",
        "a dam one year old",
        |rows| set(rows, "dam_age", "1"),
    ),
    one(
        "check.dam_age.range",
        "dam_age",
        "a dam 34 years old",
        |rows| set(rows, "dam_age", "34"),
    ),
    one(
        "check.dam_age.disagrees",
        "dam_age",
        "3 years, but born in 2018",
        |rows| {
            set(rows, "dam_age", "3");
            set(rows, "dam_birth_year", "2018");
        },
    ),
    two(
        "check.dam.calved_twice",
        "dam",
        "the dam of the row above calved again 30 days later",
        |rows| {
            same(rows, "dam");
            same(rows, "dam_age");
            rows[0][position("birth_date")] = "2025-03-14".to_owned();
            set(rows, "birth_date", "2025-04-13");
        },
    ),
    one(
        "check.twin.alone",
        "born_as",
        "a twin whose partner is not in the file",
        |rows| {
            set(rows, "born_as", "twin");
        },
    ),
    one(
        "check.sire_is_dam",
        "sire",
        "the same tag as sire and dam",
        |rows| {
            let dam = rows[0][position("dam")].clone();
            set(rows, "sire", &dam);
        },
    ),
    one("check.sire.missing", "sire", "no sire", |rows| {
        set(rows, "sire", "")
    }),
    one(
        "check.calving_ease.range",
        "calving_ease",
        "7, where the codes run from 1 to 5",
        |rows| {
            set(rows, "calving_ease", "7");
        },
    ),
];
