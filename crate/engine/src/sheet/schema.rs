//! The columns Fairpen knows, sheet by sheet.
//!
//! Enters: nothing. Leaves: for each sheet its columns with key, label, kind and help.
//! Always true: keys are stable, lower_snake_case and carry no unit (units are a setting of the book).
//! Never: says how other people's files spell them; that is `import::synonyms`.

use super::codes;
use super::column::Kind;

/// The sheets of a book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SheetKind {
    /// One row per calf.
    Calves,
    /// One row per cow.
    Cows,
    /// One row per bull.
    Bulls,
    /// One cow put to one bull group, or inseminated, once.
    Exposures,
    /// One pregnancy check.
    Checks,
    /// One pen or pasture.
    Places,
    /// One animal in one place.
    Stays,
    /// One weighing.
    Weights,
    /// One day at the scale.
    WeighDays,
    /// One score.
    Scores,
    /// One treatment.
    Treatments,
}

/// One known column.
#[derive(Debug)]
pub struct KnownColumn {
    /// Stable key.
    pub key: &'static str,
    /// What people read on top.
    pub label: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// One sentence: what to put there.
    pub help: &'static str,
}

impl SheetKind {
    /// All sheets, in the order in which they are shown.
    pub const ALL: [SheetKind; 11] = [
        SheetKind::Calves,
        SheetKind::Cows,
        SheetKind::Bulls,
        SheetKind::Exposures,
        SheetKind::Checks,
        SheetKind::Places,
        SheetKind::Stays,
        SheetKind::Weights,
        SheetKind::WeighDays,
        SheetKind::Scores,
        SheetKind::Treatments,
    ];

    /// Stable key; also the name of the sheet's CSV file.
    pub const fn key(self) -> &'static str {
        match self {
            SheetKind::Calves => "calves",
            SheetKind::Cows => "cows",
            SheetKind::Bulls => "bulls",
            SheetKind::Exposures => "exposures",
            SheetKind::Checks => "checks",
            SheetKind::Places => "places",
            SheetKind::Stays => "stays",
            SheetKind::Weights => "weights",
            SheetKind::WeighDays => "weigh_days",
            SheetKind::Scores => "scores",
            SheetKind::Treatments => "treatments",
        }
    }

    /// What people read.
    pub const fn label(self) -> &'static str {
        match self {
            SheetKind::Calves => "Calves",
            SheetKind::Cows => "Cows",
            SheetKind::Bulls => "Bulls",
            SheetKind::Exposures => "Exposures",
            SheetKind::Checks => "Checks",
            SheetKind::Places => "Places",
            SheetKind::Stays => "Stays",
            SheetKind::Weights => "Weights",
            SheetKind::WeighDays => "Weigh days",
            SheetKind::Scores => "Scores",
            SheetKind::Treatments => "Treatments",
        }
    }

    /// The sheet with this key.
    pub fn from_key(key: &str) -> Option<SheetKind> {
        SheetKind::ALL.into_iter().find(|sheet| sheet.key() == key)
    }

    /// Position in [`SheetKind::ALL`].
    pub const fn position(self) -> usize {
        self as usize
    }

    /// The columns Fairpen knows in this sheet, in the order in which they are shown.
    pub const fn columns(self) -> &'static [KnownColumn] {
        match self {
            SheetKind::Calves => CALVES,
            SheetKind::Cows => COWS,
            SheetKind::Bulls => BULLS,
            SheetKind::Exposures => EXPOSURES,
            SheetKind::Checks => CHECKS,
            SheetKind::Places => PLACES,
            SheetKind::Stays => STAYS,
            SheetKind::Weights => WEIGHTS,
            SheetKind::WeighDays => WEIGH_DAYS,
            SheetKind::Scores => SCORES,
            SheetKind::Treatments => TREATMENTS,
        }
    }

    /// Words usually put into a column of text or numbers; others may stand there.
    pub fn usual_words(self, key: &str) -> &'static [&'static str] {
        match (self, key) {
            (SheetKind::Scores, "what") => &[
                "body condition",
                "temperament",
                "foot angle",
                "claw set",
                "udder",
                "teat",
                "hip height",
            ],
            (SheetKind::Calves, "calving_ease") => &["1", "2", "3", "4", "5"],
            (SheetKind::Calves, "set_apart") => &["sick", "hurt", "castrated late"],
            (SheetKind::Checks, "method") => &["hand", "ultrasound", "blood"],
            (SheetKind::Treatments, "route") => &[
                "under the skin",
                "in the muscle",
                "in the vein",
                "by mouth",
                "poured on",
                "in the nose",
                "in the eye",
                "in feed",
                "in water",
            ],
            _ => &[],
        }
    }

    /// What a row of the sheet is.
    pub const fn a_row_is(self) -> &'static str {
        match self {
            SheetKind::Calves => "one calf",
            SheetKind::Cows => "one cow",
            SheetKind::Bulls => "one bull, or the semen of one",
            SheetKind::Exposures => {
                "one cow put to a bull or a group of bulls, or inseminated, once"
            }
            SheetKind::Checks => "one pregnancy check of one cow",
            SheetKind::Places => "one pen, lot or pasture",
            SheetKind::Stays => "one animal in one place, from one day to another",
            SheetKind::Weights => "one weighing of one animal",
            SheetKind::WeighDays => "one day at the scale",
            SheetKind::Scores => "one score of one animal",
            SheetKind::Treatments => "one treatment of one animal, or of all animals in one place",
        }
    }

    /// What the sheet is for, and how it is best begun.
    pub const fn what_for(self) -> &'static str {
        match self {
            SheetKind::Calves => {
                "Fair weights, groups, ratios and comparisons are worked out from it. Begin with tag, sex, birth date and dam; weights come later."
            }
            SheetKind::Cows => {
                "It gives the ages of the dams, so that their calves are compared fairly, and tells a tag that was used again apart by the days cows came and left. Begin with tag and birth date, or birth year."
            }
            SheetKind::Bulls => {
                "It says who the names in the sire columns are. Begin with the tag; a bull of the semen tank has his name."
            }
            SheetKind::Exposures => {
                "It says which cows were to calve, when, and by which bulls. Begin with cow, first and last day, and the bulls."
            }
            SheetKind::Checks => {
                "It keeps what the veterinarian found. Not checked is never open. Begin with cow, date and result; the veterinarian's own list can be brought in as a file."
            }
            SheetKind::Places => {
                "Its kinds (bedded pen, lot, pasture) are the management of calves that have none of their own, and can be compared. Begin with name and kind."
            }
            SheetKind::Stays => {
                "It says where each animal was on a day. Begin with animal, place and first day; a blank last day means it is there still."
            }
            SheetKind::Weights => {
                "It holds weighings beside birth, weaning and yearling. Begin with animal, date and weight, or bring the scale's file in."
            }
            SheetKind::WeighDays => {
                "It keeps how animals came to the scale, since feed and water weigh too. Begin with the date and the places."
            }
            SheetKind::Scores => {
                "It keeps body condition, temperament, feet, udders and hip heights. Begin with animal, date, what was scored and the score."
            }
            SheetKind::Treatments => {
                "It keeps what was given and how long to wait. Go by the label and the veterinarian: a blank withdrawal is not known, never clear. Begin with animal or place, date and product."
            }
        }
    }

    /// The known column with this key.
    pub fn column(self, key: &str) -> Option<&'static KnownColumn> {
        self.columns().iter().find(|column| column.key == key)
    }
}

macro_rules! columns {
    ($( $key:literal, $label:literal, $kind:expr, $help:literal );+ $(;)?) => {
        &[$( KnownColumn { key: $key, label: $label, kind: $kind, help: $help } ),+]
    };
}

static CALVES: &[KnownColumn] = columns![
    "tag", "Tag", Kind::Text, "The calf's tag. A calf that died at birth may have none.";
    "eid", "EID", Kind::Text, "Electronic ID, 15 digits.";
    "sex", "Sex", Kind::Code(&codes::SEX), "Bull, steer or heifer when weighed.";
    "birth_date", "Born", Kind::Date, "Date of birth.";
    "birth_weight", "Birth weight", Kind::Weight, "Weighed within a day of birth. Leave it blank if it was not weighed.";
    "calving_ease", "Calving ease", Kind::Number(""), "1 no help, 2 some help, 3 hard pull, 4 surgery, 5 calf placed wrong.";
    "breed", "Breed", Kind::Text, "Breed or breed group of the calf.";
    "dam", "Dam", Kind::Text, "Tag of the cow that bore the calf.";
    "dam_age", "Dam age", Kind::Number("years"), "Age of the dam at calving, in years, when the cow is not on record.";
    "dam_birth_date", "Dam born", Kind::Date, "Birth date of the dam, when the cow is not on record.";
    "dam_birth_year", "Dam birth year", Kind::Number("year"), "Birth year of the dam, when only that is known.";
    "sire", "Sire", Kind::List, "The bull, or all bulls that shared the pen, with ; between them. Write unknown where nobody knows; blank means not written down.";
    "born_as", "Born as", Kind::Code(&codes::BORN_AS), "Single or twin. Blank is read as single.";
    "raised_by", "Raised by", Kind::Code(&codes::RAISED_BY), "Own dam, foster or bottle. Blank is read as own dam.";
    "raised_dam", "Raised on", Kind::Text, "Tag of the cow that raised the calf, when it is not the dam.";
    "place", "Place", Kind::Text, "Pen or pasture where the calf was raised.";
    "management", "Management", Kind::Text, "How the calf was raised. Where it is blank the kind of the place is used.";
    "creep", "Creep", Kind::Code(&codes::YES_NO), "Whether the calf had creep feed.";
    "set_apart", "Set apart", Kind::Text, "Why this calf is not compared with the rest: sick, hurt, castrated late.";
    "wean_date", "Weaned", Kind::Date, "Day the calf was taken off the cow.";
    "weigh_date", "Weighed", Kind::Date, "Day of the weaning weight, when it is not the weaning day.";
    "wean_weight", "Weaning weight", Kind::Weight, "The calf's own weight at weaning, not a group average.";
    "yearling_date", "Yearling weighed", Kind::Date, "Day of the yearling weight.";
    "yearling_weight", "Yearling weight", Kind::Weight, "Weight at about a year of age.";
    "left_on", "Left on", Kind::Date, "Day the calf died, was sold or left.";
    "left_because", "Left because", Kind::Code(&codes::LEFT_BECAUSE), "Died, born dead, sold, moved to cows, or another reason.";
    "tag_from", "Tag since", Kind::Date, "Day it got the tag it has now. Blank: always had it.";
    "names_before", "Names before", Kind::Text, "Tags and EIDs it carried before, each with its last day: 17 to 2024-03-01. Several with ; between them.";
    "note", "Note", Kind::Text, "Anything worth remembering.";
];

static COWS: &[KnownColumn] = columns![
    "tag", "Tag", Kind::Text, "The cow's tag.";
    "eid", "EID", Kind::Text, "Electronic ID, 15 digits.";
    "birth_date", "Born", Kind::Date, "Date of birth.";
    "birth_year", "Birth year", Kind::Number("year"), "Year of birth, when the day is not known.";
    "age_from", "Age from", Kind::Code(&codes::AGE_FROM), "Papers, mouth or guess.";
    "breed", "Breed", Kind::Text, "Breed or breed group.";
    "sire", "Sire", Kind::List, "Her sire, or all bulls it could be, with ; between them.";
    "dam", "Dam", Kind::Text, "Her dam.";
    "came_on", "Came on", Kind::Date, "Day she joined the cows.";
    "came_as", "Came as", Kind::Code(&codes::CAME_AS), "Raised, open, bred or pair.";
    "left_on", "Left on", Kind::Date, "Day she left.";
    "left_because", "Left because", Kind::Code(&codes::LEFT_BECAUSE), "Why she left.";
    "tag_from", "Tag since", Kind::Date, "Day she got the tag she has now. Blank: always had it.";
    "names_before", "Names before", Kind::Text, "Tags and EIDs she carried before, each with its last day: 17 to 2024-03-01. Several with ; between them.";
    "note", "Note", Kind::Text, "Anything worth remembering.";
];

static BULLS: &[KnownColumn] = columns![
    "tag", "Tag", Kind::Text, "The bull's tag.";
    "eid", "EID", Kind::Text, "Electronic ID, 15 digits.";
    "name", "Name", Kind::Text, "His name, the other name he goes by.";
    "birth_date", "Born", Kind::Date, "Date of birth.";
    "breed", "Breed", Kind::Text, "Breed.";
    "sire", "Sire", Kind::Text, "His sire.";
    "dam", "Dam", Kind::Text, "His dam.";
    "service", "Service", Kind::Code(&codes::SERVICE), "Natural or AI.";
    "tag_from", "Tag since", Kind::Date, "Day he got the tag he has now. Blank: always had it.";
    "names_before", "Names before", Kind::Text, "Tags and EIDs he carried before, each with its last day: 17 to 2024-03-01. Several with ; between them.";
    "note", "Note", Kind::Text, "Anything worth remembering.";
];

static EXPOSURES: &[KnownColumn] = columns![
    "season", "Season", Kind::Text, "When the calves will be born: 2026 spring.";
    "cow", "Cow", Kind::Text, "Tag of the cow.";
    "from", "From", Kind::Date, "First day with the bulls.";
    "to", "To", Kind::Date, "Last day with the bulls.";
    "bulls", "Bulls", Kind::List, "The bull, or all bulls of the group, with ; between them.";
    "ai_date", "AI date", Kind::Date, "Day of insemination.";
    "note", "Note", Kind::Text, "Anything worth remembering.";
];

static CHECKS: &[KnownColumn] = columns![
    "cow", "Cow", Kind::Text, "Tag of the cow.";
    "date", "Date", Kind::Date, "Day of the check.";
    "result", "Result", Kind::Code(&codes::RESULT), "Bred, open, recheck or not checked.";
    "stage", "Stage", Kind::Text, "Stage as read: 120 days, 4 months, early, middle, late, calves in April.";
    "stage_unit", "Stage in", Kind::Code(&codes::STAGE_UNIT), "Days, weeks or months, where the stage is a bare number.";
    "method", "Method", Kind::Text, "Hand, ultrasound or blood.";
    "checked_by", "Checked by", Kind::Text, "Who checked.";
    "remarks", "Remarks", Kind::Text, "What else was said.";
];

static PLACES: &[KnownColumn] = columns![
    "name", "Name", Kind::Text, "Name of the pen or pasture.";
    "kind", "Kind", Kind::Code(&codes::PLACE_KIND), "Bedded pen, lot or pasture.";
    "area", "Area", Kind::Number(""), "How large it is; one unit for all places, acres or hectares for pastures.";
    "bunk", "Bunk", Kind::Number(""), "Length of bunk.";
    "daily_cost", "Daily cost", Kind::Number(""), "Cost per head and day.";
    "note", "Note", Kind::Text, "Anything worth remembering.";
];

static STAYS: &[KnownColumn] = columns![
    "animal", "Animal", Kind::Text, "Tag of the animal.";
    "place", "Place", Kind::Text, "Where it stood.";
    "from", "From", Kind::Date, "First day there.";
    "to", "To", Kind::Date, "Day it moved on. Blank: still there.";
];

static WEIGHTS: &[KnownColumn] = columns![
    "animal", "Animal", Kind::Text, "Tag of the animal.";
    "date", "Date", Kind::Date, "Day of the weighing.";
    "weight", "Weight", Kind::Weight, "The weight.";
];

static WEIGH_DAYS: &[KnownColumn] = columns![
    "date", "Date", Kind::Date, "The day.";
    "places", "Places", Kind::List, "Places weighed that day.";
    "hours_off_feed", "Hours off feed", Kind::Number("hours"), "How long off feed.";
    "hours_off_water", "Hours off water", Kind::Number("hours"), "How long off water.";
    "hauled", "Hauled", Kind::Code(&codes::YES_NO), "Whether they were hauled first.";
    "scale", "Scale", Kind::Text, "Which scale.";
    "note", "Note", Kind::Text, "Anything worth remembering.";
];

static SCORES: &[KnownColumn] = columns![
    "animal", "Animal", Kind::Text, "Tag of the animal.";
    "date", "Date", Kind::Date, "Day of the score.";
    "what", "What", Kind::Text, "What was scored: body condition, temperament, foot angle, claw set, udder, teat, hip height in inches.";
    "value", "Value", Kind::Number(""), "The score: 1 to 9 for body condition, feet, udder and teat, 1 to 6 for temperament.";
    "scored_by", "Scored by", Kind::Text, "Who scored.";
];

static TREATMENTS: &[KnownColumn] = columns![
    "animal", "Animal", Kind::Text, "Tag of the animal, or blank when a whole place was treated.";
    "place", "Place", Kind::Text, "The place, when every animal in it was treated.";
    "date", "Date", Kind::Date, "Day of the treatment.";
    "product", "Product", Kind::Text, "What was given.";
    "dose", "Dose", Kind::Text, "How much.";
    "route", "Route", Kind::Text, "How it was given.";
    "lot_number", "Lot number", Kind::Text, "Lot number on the label.";
    "reason", "Reason", Kind::Text, "Why.";
    "withdrawal_days", "Withdrawal", Kind::Number("days"), "Days from the label or the veterinarian. Blank is not known, never clear.";
    "prescribed_by", "Prescribed by", Kind::Text, "The veterinarian.";
    "given_by", "Given by", Kind::Text, "Who gave it.";
];
