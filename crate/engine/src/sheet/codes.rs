//! The coded columns: the few words each may hold, and the ways people write them.
//!
//! Enters: what was typed. Leaves: the position of a word in its list.
//! Always true: position 0.. is stable (books store the key, not the position).
//! Never: guesses. A word that is not listed is not understood, and said so.

/// One word a coded column may hold.
#[derive(Debug)]
pub struct CodeWord {
    /// Stable key, stored and exported: `heifer`.
    pub key: &'static str,
    /// Other ways people write it, lower case, single spaces, no dots.
    pub also: &'static [&'static str],
}

/// The list of words of a coded column.
#[derive(Debug)]
pub struct Codes {
    /// What the list is of, for messages: "sex".
    pub of: &'static str,
    /// The words; at most 254.
    pub words: &'static [CodeWord],
}

/// The position of a cell without a word.
pub const NO_CODE: u8 = u8::MAX;

impl Codes {
    /// The position of what was typed, or `None` when it is not understood.
    /// Case, surrounding and repeated spaces, dots, hyphens and underscores do not matter.
    pub fn position(&self, typed: &str) -> Option<u8> {
        let plain = plain_words(typed);
        self.words
            .iter()
            .position(|word| word.key == plain || word.also.contains(&plain.as_str()))
            .and_then(|position| u8::try_from(position).ok())
    }

    /// The key at a position; `None` for [`NO_CODE`].
    pub fn key(&self, position: u8) -> Option<&'static str> {
        self.words.get(usize::from(position)).map(|word| word.key)
    }
}

/// Lower case, with runs of spaces, dots, hyphens and underscores as one space, none at the ends.
pub fn plain_words(typed: &str) -> String {
    let mut plain = String::with_capacity(typed.len());
    for ch in typed.chars() {
        if ch.is_whitespace() || matches!(ch, '.' | '_' | '-') {
            if !plain.is_empty() && !plain.ends_with(' ') {
                plain.push(' ');
            }
        } else {
            plain.extend(ch.to_lowercase());
        }
    }
    while plain.ends_with(' ') {
        plain.pop();
    }
    plain
}

macro_rules! codes {
    ($name:ident, $doc:literal, $of:literal, $( $key:literal : [$($also:literal),*] ),+ $(,)?) => {
        #[doc = $doc]
        pub static $name: Codes = Codes {
            of: $of,
            words: &[$( CodeWord { key: $key, also: &[$($also),*] } ),+],
        };
    };
}

codes!(SEX, "Sex of a calf when weighed. `male` is a male that is not said to be bull or steer: it is asked about.", "sex",
    "bull": ["b", "bull calf", "bulls", "bc", "intact", "intact male"],
    "steer": ["s", "steer calf", "steers", "str", "sc", "castrate", "castrated", "castrated male"],
    "heifer": ["h", "f", "heifer calf", "heifers", "hfr", "hc", "female", "females", "fem"],
    "male": ["m", "males", "male calf"],
);
/// Position of `bull` in [`SEX`].
pub const BULL: u8 = 0;
/// Position of `steer` in [`SEX`].
pub const STEER: u8 = 1;
/// Position of `heifer` in [`SEX`].
pub const HEIFER: u8 = 2;
/// Position of `male` (bull or steer not said) in [`SEX`].
pub const MALE: u8 = 3;

codes!(BORN_AS, "Whether the calf was born alone.", "birth",
    "single": ["s", "1", "singleton", "one"],
    "twin": ["t", "tw", "2", "twins", "triplet", "multiple"],
);
/// Position of `twin` in [`BORN_AS`].
pub const TWIN: u8 = 1;

codes!(RAISED_BY, "Who raised the calf.", "raising",
    "own dam": ["dam", "own", "mother", "natural", "birth dam", "cow"],
    "foster": ["fostered", "graft", "grafted", "adopted", "foster dam", "foster cow", "nurse cow"],
    "bottle": ["bottle calf", "bucket", "orphan", "hand", "hand raised", "bum", "bummer"],
);
/// Position of `own dam` in [`RAISED_BY`].
pub const OWN_DAM: u8 = 0;
/// Position of `foster` in [`RAISED_BY`].
pub const FOSTER: u8 = 1;
/// Position of `bottle` in [`RAISED_BY`].
pub const BOTTLE: u8 = 2;

codes!(YES_NO, "Yes or no.", "yes or no",
    "yes": ["y", "true", "t", "1", "x", "creep", "creep fed", "creepfed", "creep feed"],
    "no": ["n", "false", "f", "0", "none", "no creep", "not creep fed", "non creep", "without"],
);

codes!(LEFT_BECAUSE, "Why an animal left (house rule 6).", "reason for leaving",
    "died": ["dead", "death", "died before weaning", "lost", "killed"],
    "born dead": ["stillborn", "still born", "stillbirth", "dead at birth", "doa"],
    "aborted": ["abort", "abortion", "slipped"],
    "sold": ["sale", "sold early", "marketed"],
    "sold bred": ["bred sale"],
    "culled": ["cull", "sold cull"],
    "moved to cows": ["kept", "replacement", "retained", "to cows"],
    "other": [],
);

/// Position of `died` in [`LEFT_BECAUSE`].
pub const DIED: u8 = 0;
/// Position of `born dead` in [`LEFT_BECAUSE`].
pub const BORN_DEAD: u8 = 1;
/// Position of `aborted` in [`LEFT_BECAUSE`].
pub const ABORTED: u8 = 2;

codes!(AGE_FROM, "Where a cow's age comes from.", "source of age",
    "papers": ["paper", "record", "records", "registered"],
    "mouth": ["teeth", "mouthed"],
    "guess": ["guessed", "estimate", "estimated"],
);

codes!(CAME_AS, "How a cow came to the herd.", "way of coming",
    "raised": ["home raised", "own", "born here"],
    "open": ["bought open"],
    "bred": ["bought bred", "bred heifer", "bred cow"],
    "pair": ["bought pair", "pairs", "cow calf pair"],
);

codes!(SERVICE, "How a bull serves.", "service",
    "natural": ["ns", "natural service", "bull"],
    "ai": ["artificial insemination"],
);

codes!(RESULT, "What a pregnancy check found. Not checked is never open.", "result",
    "bred": ["pregnant", "preg", "p", "b", "yes", "preg +", "in calf", "safe in calf"],
    "open": ["o", "not pregnant", "empty", "no", "not preg", "not bred", "non pregnant"],
    "recheck": ["r", "re check", "rechk", "questionable", "?", "check again", "too early"],
    "not checked": ["nc", "not seen", "missed", "n/c", "unchecked", "not there", "absent", "did not check"],
);

codes!(STAGE_UNIT, "What a stage written as a bare number counts.", "unit of stage",
    "days": ["day", "d"],
    "weeks": ["week", "wk", "wks"],
    "months": ["month", "mo", "mos"],
);

codes!(PLACE_KIND, "What kind of place.", "kind of place",
    "bedded pen": ["pen", "barn", "pen under roof", "bedded pack", "indoor", "deep bedded"],
    "lot": ["dry lot", "drylot", "feedlot", "yard"],
    "pasture": ["grass", "range", "paddock", "field"],
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_found_however_they_are_written() {
        for (typed, key) in [
            ("HFR", "heifer"),
            (" Bull  calf ", "bull"),
            ("steer_calf", "steer"),
            ("M", "male"),
        ] {
            assert_eq!(
                SEX.position(typed).and_then(|at| SEX.key(at)),
                Some(key),
                "{typed}"
            );
        }
        assert_eq!(SEX.position("cow?"), None);
    }

    #[test]
    fn named_positions_are_the_words_they_say() {
        assert_eq!(
            [
                SEX.key(BULL),
                SEX.key(STEER),
                SEX.key(HEIFER),
                SEX.key(MALE)
            ],
            [Some("bull"), Some("steer"), Some("heifer"), Some("male")]
        );
        assert_eq!(BORN_AS.key(TWIN), Some("twin"));
        assert_eq!(
            [OWN_DAM, FOSTER, BOTTLE].map(|at| RAISED_BY.key(at)),
            [Some("own dam"), Some("foster"), Some("bottle")]
        );
    }

    #[test]
    fn named_reasons_for_leaving_are_the_words_they_say() {
        assert_eq!(
            [DIED, BORN_DEAD, ABORTED].map(|at| LEFT_BECAUSE.key(at)),
            [Some("died"), Some("born dead"), Some("aborted")]
        );
    }

    #[test]
    fn no_word_stands_twice_in_a_list() {
        for codes in [
            &SEX,
            &BORN_AS,
            &RAISED_BY,
            &YES_NO,
            &LEFT_BECAUSE,
            &AGE_FROM,
            &CAME_AS,
            &SERVICE,
            &RESULT,
            &STAGE_UNIT,
            &PLACE_KIND,
        ] {
            let mut seen: Vec<&str> = codes
                .words
                .iter()
                .flat_map(|w| std::iter::once(w.key).chain(w.also.iter().copied()))
                .collect();
            let n = seen.len();
            seen.sort_unstable();
            seen.dedup();
            assert_eq!(seen.len(), n, "{}", codes.of);
            for word in codes.words {
                assert_eq!(plain_words(word.key), word.key);
            }
        }
    }
}
