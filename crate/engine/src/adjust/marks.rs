//! What was assumed for a calf, or keeps it from being adjusted.
//!
//! Enters and leaves: a set of marks per calf, small enough to keep for a million rows.
//! Always true: each mark has a stable word (in `flags` of the exported tables) and a sentence.
//! Never: orders marks by anything but their position here.

/// A set of marks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Marks(pub u32);

macro_rules! marks {
    ($( $name:ident = $bit:literal, $key:literal, $sentence:literal );+ $(;)?) => {
        impl Marks {
            $( #[doc = $sentence] pub const $name: Marks = Marks(1 << $bit); )+
            /// Every mark with its stable word and its sentence.
            pub const ALL: &'static [(Marks, &'static str, &'static str)] = &[
                $( (Marks::$name, $key, $sentence) ),+
            ];
        }
    };
}

marks! {
    NO_SEX = 0, "sex not known", "The sex is not known, so no factor fits and there is no adjusted weight.";
    MALE_UNSPECIFIED = 1, "bull or steer not said", "A male, but bull or steer is not said; grouped apart from both.";
    NO_BIRTH_DATE = 2, "no birth date", "Without a birth date there is no age and no adjusted weight.";
    NO_WEIGHT = 3, "no weaning weight", "There is no weaning weight.";
    NO_WEIGH_DATE = 4, "no weigh date", "Without the day of weighing there is no age and no adjusted weight.";
    WEIGHED_BEFORE_BIRTH = 5, "weighed before birth", "The weighing is dated before the birth, so there is no age.";
    UNDER_WINDOW = 6, "too young", "Weighed younger than the age window; no adjusted weight.";
    OVER_WINDOW = 7, "too old", "Weighed older than the age window; no adjusted weight.";
    STANDARD_BIRTH_WEIGHT = 8, "standard birth weight", "Not weighed at birth; the stated standard birth weight was used.";
    DAM_AGE_UNKNOWN = 9, "dam age not known", "The dam's age is not known; no dam-age factor was added.";
    DAM_TOO_YOUNG = 10, "dam too young", "The dam is younger than the youngest published class; no dam-age factor was added.";
    DAM_AGE_FROM_YEAR = 11, "dam age from birth year", "The dam's age is counted from her birth year alone.";
    DAM_AGE_STATED = 12, "dam age as stated", "The dam's age is as stated with the calf; the cow is not on record.";
    FOSTER = 13, "foster", "Raised by another cow; her age gives the weaning factor.";
    RAISING_AGE_UNKNOWN = 14, "foster cow age not known", "The age of the cow that raised the calf is not known; no dam-age factor was added.";
    BOTTLE = 15, "bottle", "Raised on the bottle; no adjusted weight and no ratio.";
    TWIN = 16, "twin", "Born a twin; grouped apart.";
    WEIGHED_LATE = 17, "weighed after weaning", "Weighed more than the allowed days after it left the cow; grouped apart.";
    STRAIGHT_AGE = 18, "straight age only", "Outside the age window; adjusted for age alone by the book's setting, without a dam-age factor.";
    SET_APART = 19, "set apart", "Set apart by hand; compared only with others set apart for the same reason.";
    ALONE = 20, "group of one", "Alone in its group, so there is no ratio.";
    ONE_SIRE = 21, "one-sire group", "All calves of the group are by one sire; the ratio says nothing about sires.";
    SMALL_GROUP = 22, "small group", "Fewer than five in the group; the ratio moves a lot with each calf.";
    IMPLAUSIBLE_WEIGHT = 23, "weight out of range", "The weight is outside what a calf can weigh; check it.";
}

impl Marks {
    /// No marks.
    pub const NONE: Marks = Marks(0);

    /// True when any of `other` is set.
    pub const fn has(self, other: Marks) -> bool {
        self.0 & other.0 != 0
    }

    /// Sets the marks of `other`.
    pub fn set(&mut self, other: Marks) {
        self.0 |= other.0;
    }

    /// The words of the marks that are set, in their order.
    pub fn words(self) -> impl Iterator<Item = &'static str> {
        Marks::ALL
            .iter()
            .filter(move |(mark, _, _)| self.has(*mark))
            .map(|(_, word, _)| *word)
    }
}
