//! The words of a header.
//!
//! Enters: a header as it stands in the file. Leaves: the set of things its words name, the units in it, and
//! whether a word was left that is not understood.
//! Always true: order, case, punctuation and small words do not matter.
//! Never: guesses at a word that is not listed: a header with one stays unmatched (`adj wean wt`).

use crate::import::plan::AgeUnit;
use crate::sheet::settings::WeightUnit;

macro_rules! concepts {
    ($( $(#[$doc:meta])* $name:ident = $bit:literal ),+ $(,)?) => {
        $( $(#[$doc])* pub const $name: u64 = 1 << $bit; )+
    };
}

/// What one word can name; a header is a set of them.
pub mod concept {
    concepts! {
        /// The calf, or the animal of the row.
        CALF = 0,
        /// A cow.
        COW = 1,
        /// A dam, in words that can only mean the mother.
        DAM = 2,
        /// A bull.
        BULL = 3,
        /// A sire, in words that can only mean the father.
        SIRE = 4,
        /// A tag or number.
        ID = 5,
        /// A name.
        NAME = 6,
        /// Birth.
        BIRTH = 7,
        /// Calving.
        CALVE = 8,
        /// Weaning.
        WEAN = 9,
        /// A year of age.
        YEARLING = 10,
        /// The act of weighing.
        WEIGH = 11,
        /// A weight.
        WEIGHT = 12,
        /// A day.
        DATE = 13,
        /// An age.
        AGE = 14,
        /// A year of the calendar.
        YEAR = 15,
        /// Sex.
        SEX = 16,
        /// Electronic.
        ELECTRONIC = 17,
        /// A pen or pasture.
        PLACE = 18,
        /// A group.
        GROUP = 19,
        /// Management.
        MANAGEMENT = 20,
        /// Creep feed.
        CREEP = 21,
        /// Feed.
        FEED = 22,
        /// Breed.
        BREED = 23,
        /// Ease of calving.
        EASE = 24,
        /// Score.
        SCORE = 25,
        /// Twin.
        TWIN = 26,
        /// Raising.
        RAISED = 27,
        /// Foster.
        FOSTER = 28,
        /// Leaving: death, sale.
        LEFT = 29,
        /// A reason.
        REASON = 30,
        /// A note.
        NOTE = 31,
        /// Type or kind.
        TYPE = 32,
        /// How.
        HOW = 33,
        /// Treatment.
        TREATMENT = 34,
        /// A pregnancy check.
        CHECK = 35,
        /// A time of day.
        TIME = 36,
        /// What a check found.
        RESULT = 37,
        /// How far along.
        STAGE = 38,
        /// How it was done.
        METHOD = 39,
        /// The veterinarian.
        VET = 40,
        /// A word that is not understood.
        UNKNOWN = 63,
    }
}

use concept::*;

/// What a header's words name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeaderWords {
    /// The words, lower case, without units and signs, single spaces between.
    pub plain: String,
    /// Set of [`concept`]s.
    pub concepts: u64,
    /// Unit of weight named in it.
    pub weight_unit: Option<WeightUnit>,
    /// Unit of time named in it.
    pub age_unit: Option<AgeUnit>,
    /// True when it names an adjusted or worked-out figure.
    pub worked_out: bool,
}

/// Reads a header.
pub fn read(header: &str) -> HeaderWords {
    let mut found = HeaderWords {
        plain: String::new(),
        concepts: 0,
        weight_unit: None,
        age_unit: None,
        worked_out: false,
    };
    let mut time_words = 0_u64;
    let mut live = false;
    for word in divide(header) {
        if let Some(unit) = weight_unit(&word) {
            found.weight_unit = Some(unit);
            continue;
        }
        if !found.plain.is_empty() {
            found.plain.push(' ');
        }
        found.plain.push_str(&word);
        match word.as_str() {
            // "Live weight" is a weight; "live calf" says something else.
            "live" => live = true,
            "y" => found.age_unit = Some(AgeUnit::Years),
            "yr" | "yrs" | "years" | "year" => {
                found.age_unit = Some(AgeUnit::Years);
                time_words |= YEAR;
            }
            "mo" | "mos" | "month" | "months" => {
                found.age_unit = Some(AgeUnit::Months);
                time_words |= UNKNOWN;
            }
            "days" => {
                found.age_unit = Some(AgeUnit::Days);
                time_words |= UNKNOWN;
            }
            "day" => {
                found.age_unit = found.age_unit.or(Some(AgeUnit::Days));
                time_words |= DATE;
            }
            "adj" | "adjusted" | "adjust" | "ratio" | "index" | "rank" | "gain" | "adg" | "wda"
            | "avg" | "average" | "mean" | "est" | "epd" | "205" | "365" | "standardized" => {
                found.worked_out = true;
                found.concepts |= UNKNOWN;
            }
            _ => found.concepts |= word_concepts(&word),
        }
    }
    // "Dam age (yrs)" has a unit, "dam birth year" a year of the calendar.
    if found.concepts & AGE == 0 {
        found.concepts |= time_words;
        found.age_unit = None;
    }
    // "Birth lbs" is a weight though no word says so.
    if found.weight_unit.is_some() {
        found.concepts |= WEIGHT;
    }
    if live && found.concepts & WEIGHT == 0 {
        found.concepts |= UNKNOWN;
    }
    found
}

/// Lower-case words: divided at signs, between small and capital letters, and between letters and digits.
fn divide(header: &str) -> Vec<String> {
    let header = &without_answers_in_brackets(header);
    let mut lower = header.trim().to_lowercase();
    for way_to_answer in ["y/n", "yes/no", "y or n", "yes or no", "y / n"] {
        if let Some(at) = lower.find(way_to_answer) {
            // "(y/n)" says how the column is filled and not what it holds.
            let rest = lower.split_off(at);
            lower.push_str(&rest[way_to_answer.len()..]);
            return divide_plain(&lower);
        }
    }
    divide_plain(header)
}

/// Without brackets that list how the column is filled: (1-5), (B,S,H). Brackets with words stay, and so do
/// the numbers that mark a worked-out weight.
fn without_answers_in_brackets(header: &str) -> String {
    let Some((before, rest)) = header.split_once('(') else {
        return header.to_owned();
    };
    let (inside, after) = rest.split_once(')').unwrap_or((rest, ""));
    let lists_answers = inside
        .split(|ch: char| !ch.is_alphanumeric())
        .all(|word| word.chars().count() <= 1);
    if lists_answers {
        format!("{before} {after}")
    } else {
        header.to_owned()
    }
}

fn divide_plain(header: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut word = String::new();
    let mut before = ' ';
    // "TAG" is one word, "damTag" two, "EIDTag" two: a capital begins a word after a small letter, or
    // before one.
    let mut signs = header.chars().peekable();
    while let Some(ch) = signs.next() {
        let next_is_small = signs.peek().is_some_and(|next| next.is_lowercase());
        let begins = (ch.is_uppercase() && before.is_lowercase())
            || (ch.is_uppercase() && before.is_uppercase() && next_is_small && word.len() > 1)
            || (ch.is_ascii_digit() != before.is_ascii_digit()
                && ch.is_alphanumeric()
                && before.is_alphanumeric());
        if begins || !ch.is_alphanumeric() {
            if !word.is_empty() {
                words.push(std::mem::take(&mut word));
            }
            if ch == '#' {
                words.push("#".to_owned());
            }
        }
        if ch.is_alphanumeric() {
            word.extend(ch.to_lowercase());
        }
        before = ch;
    }
    if !word.is_empty() {
        words.push(word);
    }
    // "dam's tag" leaves a lone s behind, unless it is one of several letters.
    let lone =
        |word: &String| word.len() == 1 && word.bytes().all(|byte| byte.is_ascii_lowercase());
    let mut joined: Vec<String> = Vec::with_capacity(words.len());
    for letters in words.chunk_by(|one, next| lone(one) && lone(next)) {
        // "D.O.B." is one word.
        joined.push(letters.concat());
    }
    joined.retain(|word| word != "s");
    joined
}

fn weight_unit(word: &str) -> Option<WeightUnit> {
    match word {
        "lb" | "lbs" | "pound" | "pounds" => Some(WeightUnit::Pound),
        "kg" | "kgs" | "kilo" | "kilos" | "kilogram" | "kilograms" => Some(WeightUnit::Kilogram),
        _ => None,
    }
}

/// What one word names. Plain words of the trade, their plurals and everyday shortenings.
fn word_concepts(word: &str) -> u64 {
    match word {
        "of" | "the" | "at" | "for" | "in" | "a" | "an" | "and" | "my" | "our" | "actual"
        | "was" | "is" | "his" | "her" | "its" | "by" | "as" | "on" | "when" | "code" | "codes"
        | "cd" | "possible" | "used" | "visual" | "vis" | "herd" | "ranch" | "farm" | "mm"
        | "dd" | "yyyy" | "yy" | "mdy" | "dmy" | "ymd" => 0,
        "calf" | "calves" | "animal" | "animals" | "cf" => CALF,
        "cow" | "cows" => COW,
        "dam" | "dams" | "mother" | "mothers" | "mom" | "mama" | "momma" => DAM,
        "bull" | "bulls" => BULL,
        "sire" | "sires" | "father" | "dad" => SIRE,
        "id" | "ids" | "ident" | "identification" | "identity" | "tag" | "tags" | "tagno"
        | "ear" | "eartag" | "number" | "num" | "no" | "nr" | "#" => ID,
        "vid" => ID,
        "calfid" | "calfno" | "calftag" => CALF | ID,
        "damid" | "damno" | "damtag" => DAM | ID,
        "cowid" | "cowno" | "cowtag" => COW | ID,
        "sireid" | "sireno" => SIRE | ID,
        "bullid" => BULL | ID,
        "penno" | "penid" => PLACE | ID,
        "name" | "names" => NAME,
        "birth" | "born" | "births" | "b" => BIRTH,
        "birthday" | "birthdate" | "birthdt" | "bdate" | "bday" | "dob" | "bd" | "bdt" => {
            BIRTH | DATE
        }
        "birthweight" | "birthwt" | "bwt" | "bw" | "birthwgt" => BIRTH | WEIGHT,
        "birthyear" | "birthyr" | "yob" => BIRTH | YEAR,
        "calved" | "calving" | "calve" => CALVE,
        "wean" | "weaning" | "weaned" | "wn" | "wng" | "w" => WEAN,
        "weandate" | "weaningdate" | "wdate" | "wd" | "weandt" | "wdt" | "wndt" => WEAN | DATE,
        "weanweight" | "weaningweight" | "weanwt" | "weaningwt" | "wwt" | "ww" | "wnwt" => {
            WEAN | WEIGHT
        }
        "yearling" | "yrlg" | "ylg" | "yrl" | "yrlng" => YEARLING,
        "ywt" | "yw" | "yearlingweight" | "yearlingwt" => YEARLING | WEIGHT,
        "yearlingdate" | "ydate" | "ydt" => YEARLING | DATE,
        "weigh" | "weighed" | "weighing" | "weighin" | "scale" => WEIGH,
        "weighdate" => WEIGH | DATE,
        "weight" | "weights" | "wt" | "wts" | "wgt" | "wght" => WEIGHT,
        "date" | "dates" | "dt" => DATE,
        "time" | "hour" => TIME,
        "datetime" | "timestamp" | "stamp" => DATE | TIME,
        "age" | "ages" => AGE,
        "aod" => AGE | DAM,
        "damage" => UNKNOWN,
        "sex" | "sx" | "gender" | "steer" | "steers" | "heifer" | "heifers" | "bsh" | "mf" => SEX,
        "electronic" | "rfid" | "eid" | "eids" => ELECTRONIC,
        "pen" | "pens" | "pasture" | "pastures" | "location" | "loc" | "lot" | "field"
        | "paddock" | "place" | "barn" | "corral" | "past" => PLACE,
        "group" | "groups" | "grp" => GROUP,
        "management" | "mgmt" | "mgt" | "managed" | "system" => MANAGEMENT,
        "creep" | "creepfed" | "creepfeed" => CREEP,
        "feed" | "fed" | "feeding" => FEED,
        "breed" | "breeds" | "breeding" => BREED,
        "ease" | "difficulty" | "ce" => EASE,
        "score" | "scr" => SCORE,
        "twin" | "twins" | "single" | "singles" => TWIN,
        "raised" | "reared" | "rearing" | "raising" => RAISED,
        "foster" | "fostered" | "nurse" | "graft" | "grafted" => FOSTER,
        "left" | "died" | "death" | "dead" | "sold" | "sale" | "disposal" | "disposed"
        | "culled" | "removed" | "exit" => LEFT,
        "reason" | "why" | "because" | "cause" => REASON,
        "note" | "notes" | "remark" | "remarks" | "comment" | "comments" | "memo" => NOTE,
        "type" | "kind" => TYPE,
        "how" => HOW,
        "treatment" | "treated" | "trt" => TREATMENT,
        "check" | "checked" | "checking" | "preg" | "pregnancy" | "pg" => CHECK,
        "result" | "results" | "status" | "finding" | "diagnosis" | "bred" | "open" => RESULT,
        "stage" | "gestation" | "trimester" | "far" | "along" => STAGE,
        "method" => METHOD,
        "vet" | "veterinarian" => VET,
        _ if word.len() == 4 && (word.starts_with("19") || word.starts_with("20")) => {
            // The year in "wean wt 2025" names the file's season, not another column.
            if word.bytes().all(|byte| byte.is_ascii_digit()) {
                0
            } else {
                UNKNOWN
            }
        }
        _ => UNKNOWN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headers_are_divided_into_words() {
        for (header, words) in [
            ("Wean Wt (lb)", "wean wt lb"),
            ("weanWtLb", "wean wt lb"),
            ("wt_wean", "wt wean"),
            ("EIDTag", "eid tag"),
            ("TAG NO", "tag no"),
            ("Tag #", "tag #"),
            ("Dam's Tag", "dam tag"),
            ("Adj205Wt", "adj 205 wt"),
            ("creep fed (y/n)", "creep fed"),
            ("Weaning wt.", "weaning wt"),
            ("D.O.B.", "dob"),
            ("B. Wt", "b wt"),
            ("Calving ease (1-5)", "calving ease"),
            ("Calf sex (B,S,H)", "calf sex"),
            ("Wean wt (adj)", "wean wt adj"),
            ("Weight (205)", "weight 205"),
        ] {
            assert_eq!(divide(header).join(" "), words, "{header}");
        }
    }

    #[test]
    fn units_are_told_from_years_of_the_calendar() {
        let age = read("Dam age (yrs)");
        assert_eq!(
            (age.concepts, age.age_unit),
            (DAM | AGE, Some(AgeUnit::Years))
        );
        let year = read("DAM YEAR OF BIRTH");
        assert_eq!((year.concepts, year.age_unit), (DAM | BIRTH | YEAR, None));
        let months = read("cow_age_months");
        assert_eq!(
            (months.concepts, months.age_unit),
            (COW | AGE, Some(AgeUnit::Months))
        );
        assert_eq!(read("birth lbs").concepts, BIRTH | WEIGHT);
        assert_eq!(read("birth lbs").weight_unit, Some(WeightUnit::Pound));
        assert!(read("adj ww").worked_out);
    }
}
