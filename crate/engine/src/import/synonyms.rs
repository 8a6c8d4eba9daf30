//! Which sets of words name which column.
//!
//! Enters: nothing. Leaves: rules, sheet by sheet.
//! Always true: a rule matches when all of its words and none beside the allowed ones are there, so that a
//! longer header ("dam weight", "age at weaning") never lands on a shorter one's column.
//! Never: holds a mapping made for one program's files; these are words of the trade put together.

use super::words::concept::*;
use crate::sheet::schema::SheetKind;

/// Where a rule leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leads {
    /// To this known column.
    To(&'static str),
    /// To the first of these whose cells can be read from most of the file's first rows.
    ByCells(&'static [&'static str]),
    /// To the weaning weight, if nothing else is and there is a weaning or weighing day.
    PlainWeight,
    /// To the weaning day, if there is no other date beside the birth.
    PlainDate,
}

/// One rule.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Words that must be there.
    pub needs: u64,
    /// Words that may be there.
    pub may: u64,
    /// Where it leads.
    pub leads: Leads,
    /// How sure it is, 0 to 89. Names of Fairpen's own stand above, at 90 and 100. Rules under
    /// [`LOOK_AT_CELLS`] hold only when some of the cells can be read.
    pub sure: u8,
}

/// Rules less sure than this hold only when some of the column's cells can be read as its kind.
pub const LOOK_AT_CELLS: u8 = 60;

/// How sure an electronic ID names the animal of a row in a sheet without a column for it.
pub const ELECTRONIC_NAMES: u8 = 61;

const fn to(needs: u64, may: u64, key: &'static str, sure: u8) -> Rule {
    Rule {
        needs,
        may,
        leads: Leads::To(key),
        sure,
    }
}

const fn by_cells(needs: u64, may: u64, keys: &'static [&'static str], sure: u8) -> Rule {
    Rule {
        needs,
        may,
        leads: Leads::ByCells(keys),
        sure,
    }
}

/// The rules of a sheet. In the calves sheet "cow" and "mother" are the dam, "bull" and "father" the sire.
pub const fn rules(sheet: SheetKind) -> &'static [Rule] {
    match sheet {
        SheetKind::Calves => CALVES,
        SheetKind::Cows => COWS,
        SheetKind::Bulls => BULLS,
        SheetKind::Exposures => EXPOSURES,
        SheetKind::Checks => CHECKS,
        SheetKind::Places => PLACES,
        SheetKind::Stays | SheetKind::Weights | SheetKind::Scores | SheetKind::Treatments => ANIMAL,
        SheetKind::WeighDays => WEIGH_DAYS,
    }
}

static CALVES: &[Rule] = &[
    to(CALF | ID, 0, "tag", 85),
    to(ID, 0, "tag", 75),
    to(CALF, 0, "tag", 70),
    to(CALF | NAME, ID, "tag", 50),
    to(NAME, 0, "tag", 40),
    to(ELECTRONIC, CALF | ID, "eid", 80),
    to(SEX, CALF | BULL | TYPE, "sex", 85),
    to(BIRTH | DATE, CALF, "birth_date", 85),
    to(CALVE | DATE, CALF | DAM, "birth_date", 80),
    by_cells(BIRTH, CALF, &["birth_date", "birth_weight"], 65),
    by_cells(CALVE, CALF | DAM, &["birth_date"], 65),
    to(BIRTH | WEIGHT, CALF | WEIGH, "birth_weight", 85),
    to(CALVE | WEIGHT, CALF, "birth_weight", 60),
    to(EASE, CALVE | BIRTH | CALF | SCORE, "calving_ease", 80),
    to(CALVE | SCORE, CALF, "calving_ease", 70),
    to(BREED, CALF | TYPE, "breed", 80),
    to(DAM | ID, CALF, "dam", 85),
    to(DAM, CALF, "dam", 75),
    to(DAM | NAME, CALF, "dam", 62),
    to(DAM | AGE, CALF | BIRTH | CALVE, "dam_age", 85),
    to(DAM | BIRTH | DATE, 0, "dam_birth_date", 85),
    by_cells(DAM | BIRTH, 0, &["dam_birth_year", "dam_birth_date"], 65),
    to(DAM | BIRTH | YEAR, 0, "dam_birth_year", 85),
    by_cells(DAM | YEAR, 0, &["dam_birth_year", "dam_age"], 60),
    to(SIRE | ID, CALF, "sire", 85),
    to(SIRE, CALF, "sire", 75),
    to(SIRE | NAME, CALF, "sire", 62),
    to(TWIN, CALF | BIRTH | TYPE, "born_as", 55),
    to(BIRTH | TYPE, CALF, "born_as", 55),
    to(RAISED, CALF | TYPE, "raised_by", 55),
    to(FOSTER | DAM, ID, "raised_dam", 75),
    to(RAISED | DAM, ID | FOSTER, "raised_dam", 70),
    to(PLACE, ID | NAME | CALF, "place", 75),
    to(PLACE | GROUP, ID | NAME, "place", 62),
    to(
        MANAGEMENT,
        ID | NAME | CALF | GROUP | TYPE | WEAN,
        "management",
        80,
    ),
    to(HOW | RAISED, CALF, "management", 80),
    to(TREATMENT | GROUP, ID | NAME | CALF, "management", 75),
    to(FEED | GROUP, ID | NAME, "management", 70),
    to(GROUP, ID | NAME | CALF, "management", 65),
    to(WEAN | GROUP, ID | NAME, "management", 62),
    to(CREEP, FEED | CALF, "creep", 80),
    to(WEAN | DATE, CALF, "wean_date", 85),
    by_cells(WEAN, CALF, &["wean_date", "wean_weight"], 65),
    to(WEAN | WEIGHT, CALF | WEIGH, "wean_weight", 85),
    to(WEIGH | DATE, CALF | TIME, "weigh_date", 85),
    to(WEIGHT | DATE, CALF | WEIGH | TIME, "weigh_date", 75),
    to(WEAN | WEIGH | DATE, WEIGHT | CALF, "weigh_date", 80),
    to(WEAN | WEIGHT | DATE, CALF, "weigh_date", 80),
    by_cells(WEIGH, CALF, &["weigh_date"], 62),
    to(YEARLING | DATE, WEIGH | WEIGHT | CALF, "yearling_date", 85),
    to(YEARLING | WEIGHT, WEIGH | CALF, "yearling_weight", 85),
    by_cells(
        YEARLING,
        WEIGH | CALF,
        &["yearling_date", "yearling_weight"],
        65,
    ),
    to(LEFT | DATE, CALF, "left_on", 70),
    to(LEFT | REASON, CALF, "left_because", 70),
    by_cells(LEFT, CALF, &["left_on", "left_because"], 55),
    to(NOTE, CALF, "note", 80),
    Rule {
        needs: WEIGHT,
        may: CALF | WEIGH,
        leads: Leads::PlainWeight,
        sure: 62,
    },
    Rule {
        needs: DATE,
        may: TIME,
        leads: Leads::PlainDate,
        sure: 62,
    },
];

static COWS: &[Rule] = &[
    to(ID, COW, "tag", 85),
    to(COW, 0, "tag", 75),
    to(COW | NAME, 0, "tag", 50),
    to(ELECTRONIC, COW | ID, "eid", 80),
    to(BIRTH | DATE, COW, "birth_date", 85),
    to(BIRTH | YEAR, COW, "birth_year", 85),
    to(YEAR, COW, "birth_year", 60),
    by_cells(BIRTH, COW, &["birth_year", "birth_date"], 65),
    to(BREED, COW | TYPE, "breed", 80),
    to(SIRE, ID | NAME | COW, "sire", 80),
    to(BULL, ID | NAME, "sire", 60),
    to(DAM, ID | NAME | COW, "dam", 80),
    to(LEFT | DATE, COW, "left_on", 70),
    to(LEFT | REASON, COW, "left_because", 70),
    by_cells(LEFT, COW, &["left_on", "left_because"], 55),
    to(NOTE, 0, "note", 80),
];

static BULLS: &[Rule] = &[
    to(ID, BULL, "tag", 85),
    to(BULL, 0, "tag", 75),
    to(NAME, BULL, "name", 80),
    to(BIRTH | DATE, BULL, "birth_date", 85),
    by_cells(BIRTH, BULL, &["birth_date"], 65),
    to(BREED, BULL | TYPE, "breed", 80),
    to(SIRE, ID | NAME, "sire", 80),
    to(DAM, ID | NAME, "dam", 80),
    to(NOTE, 0, "note", 80),
];

static EXPOSURES: &[Rule] = &[
    to(COW, ID, "cow", 80),
    to(DAM, ID, "cow", 70),
    to(ID, 0, "cow", 60),
    to(BULL, ID | GROUP, "bulls", 80),
    to(SIRE, ID | GROUP, "bulls", 70),
    to(NOTE, 0, "note", 80),
];

static CHECKS: &[Rule] = &[
    to(COW, ID, "cow", 80),
    to(DAM, ID, "cow", 70),
    to(ID, CALF, "cow", 60),
    to(ELECTRONIC, COW | ID, "cow", ELECTRONIC_NAMES),
    to(DATE, CHECK | TIME, "date", 85),
    to(RESULT, CHECK | COW, "result", 85),
    by_cells(CHECK, COW, &["result", "date"], 62),
    to(STAGE, CHECK | HOW, "stage", 80),
    to(METHOD, CHECK, "method", 80),
    to(VET, CHECK | NAME, "checked_by", 75),
    to(NOTE, CHECK | VET, "remarks", 80),
];

static PLACES: &[Rule] = &[
    to(NAME, PLACE, "name", 85),
    to(PLACE, ID, "name", 75),
    to(TYPE, PLACE, "kind", 80),
    to(NOTE, 0, "note", 80),
];

static ANIMAL: &[Rule] = &[
    to(CALF, ID, "animal", 80),
    to(COW, ID, "animal", 75),
    to(ID, 0, "animal", 75),
    to(ELECTRONIC, CALF | COW | ID, "animal", ELECTRONIC_NAMES),
    to(PLACE, ID | NAME, "place", 75),
    to(DATE, WEIGH | WEIGHT | TREATMENT | SCORE | TIME, "date", 80),
    to(WEIGHT, WEIGH, "weight", 80),
    to(SCORE, 0, "value", 70),
    to(REASON, TREATMENT, "reason", 75),
    to(NOTE, 0, "note", 80),
];

static WEIGH_DAYS: &[Rule] = &[
    to(DATE, WEIGH | TIME, "date", 85),
    to(PLACE, ID | NAME, "places", 75),
    to(NOTE, 0, "note", 80),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_leads_to_a_known_column_or_is_left_out_there() {
        for sheet in SheetKind::ALL {
            for rule in rules(sheet) {
                let keys: &[&str] = match &rule.leads {
                    Leads::To(key) => &[key],
                    Leads::ByCells(keys) => keys,
                    Leads::PlainWeight => &["wean_weight"],
                    Leads::PlainDate => &["wean_date"],
                };
                // The four sheets of single animals share their rules; a rule for a column that only
                // some of them have is passed over in the others.
                let shared = std::ptr::eq(rules(sheet), ANIMAL);
                for key in keys {
                    assert!(sheet.column(key).is_some() || shared, "{sheet:?} {key}");
                }
                assert!(rule.sure < 90);
            }
        }
    }
}
