//! Troubles of what became of a calf: leaving, raising, yearling weights, spellings.
//!
//! Enters: the ways to put a trouble in. Leaves: the list, in the order of the file. Always true:
//! each row reads well, and yet cannot be right or complete. Never: a trouble that another row's trouble hides.

use super::herd::position;
use super::kinds::{AFTER_BIRTH, Kind, YEARLING, clear, one, set, two};

/// Troubles of leaving, raising, yearling weights and spellings.
pub static HISTORIES: [Kind; 16] = [
    one(
        "check.left.before_birth",
        "left_on",
        "left in February, born in March",
        |rows| {
            clear(rows, &AFTER_BIRTH);
            set(rows, "left_on", "2025-02-18");
            set(rows, "left_because", "sold");
        },
    ),
    one(
        "check.left.without_reason",
        "left_because",
        "left, but not why",
        |rows| {
            clear(rows, &AFTER_BIRTH);
            set(rows, "left_on", "2025-06-19");
        },
    ),
    one(
        "check.left.without_date",
        "left_on",
        "died, but not when",
        |rows| {
            clear(rows, &AFTER_BIRTH);
            set(rows, "left_because", "died");
        },
    ),
    one(
        "check.left.weaned_after",
        "left_on",
        "died in June, weaned in September",
        |rows| {
            clear(rows, &YEARLING);
            set(rows, "left_on", "2025-06-20");
            set(rows, "left_because", "died");
        },
    ),
    one(
        "check.foster.without_dam",
        "raised_dam",
        "a foster, but not which cow raised it",
        |rows| {
            set(rows, "raised_by", "foster");
        },
    ),
    one(
        "check.own_dam_but_other_raised",
        "raised_dam",
        "raised by its own dam, and by another",
        |rows| {
            set(rows, "raised_dam", "9288");
        },
    ),
    one(
        "check.yearling.before_weaning",
        "yearling_date",
        "yearling weight before weaning",
        |rows| {
            set(rows, "yearling_date", "2025-08-20");
        },
    ),
    one(
        "check.yearling.age_window",
        "yearling_date",
        "near 480 days old at the yearling weight",
        |rows| {
            set(rows, "yearling_date", "2026-07-15");
        },
    ),
    one(
        "check.yearling_weight.below_wean_weight",
        "yearling_weight",
        "lighter as a yearling than at weaning",
        |rows| {
            set(rows, "yearling_weight", "391");
        },
    ),
    two(
        "check.place.spelling",
        "place",
        "north  pen, after North pen",
        |rows| {
            rows[0][position("place")] = "North pen".to_owned();
            set(rows, "place", "north  pen");
            for row in rows {
                row[position("management")] = "bedded pen".to_owned();
            }
        },
    ),
    two("check.sire.spelling", "sire", "88-k, after 88K", |rows| {
        rows[0][position("sire")] = "88K".to_owned();
        set(rows, "sire", "88-k");
    }),
    one(
        "check.born_dead.weaned",
        "left_because",
        "born dead, and weaned in September",
        |rows| {
            let born = rows[0][position("birth_date")].clone();
            set(rows, "left_on", &born);
            set(rows, "left_because", "born dead");
            clear(rows, &YEARLING);
        },
    ),
    one(
        "check.wean_date.future",
        "wean_date",
        "weaned in 2052",
        |rows| {
            clear(rows, &YEARLING);
            set(rows, "wean_date", "2052-09-24");
        },
    ),
    one(
        "check.raised_dam.is_calf",
        "raised_dam",
        "grafted on a cow that has the calf's own tag",
        |rows| {
            let tag = rows[0][0].clone();
            set(rows, "raised_by", "foster");
            set(rows, "raised_dam", &tag);
        },
    ),
    one(
        "check.sire.is_calf",
        "sire",
        "the calf's own tag as its sire",
        |rows| {
            let tag = rows[0][0].clone();
            set(rows, "sire", &tag);
        },
    ),
    one(
        "check.dam_age.range",
        "dam_age",
        "minus two years",
        |rows| set(rows, "dam_age", "-2"),
    ),
];
