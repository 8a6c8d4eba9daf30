//! What can be found, each with its stable code and how much it matters.
//!
//! Enters: nothing. Leaves: codes, severities.
//! Always true: codes are stable; each is explained in `docs/errors.md`.
//! Never: holds words for people; those are made in `words`.

use crate::note::Severity::{self, Doubtful, Error, Remark};

macro_rules! codes {
    ($( $name:ident = $code:literal, $severity:ident, $doc:literal );+ $(;)?) => {
        /// What was found.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $( #[doc = $doc] $name ),+ }

        impl Code {
            /// Every code.
            pub const ALL: &'static [Code] = &[$( Code::$name ),+];

            /// Stable dotted code. An unreadable cell has the code of its reason instead.
            pub const fn key(self) -> &'static str {
                match self { $( Code::$name => $code ),+ }
            }

            /// What findings of this code have in common, a short sentence.
            pub const fn title(self) -> &'static str {
                match self { $( Code::$name => $doc ),+ }
            }

            /// How much it matters.
            pub const fn severity(self) -> Severity {
                match self { $( Code::$name => $severity ),+ }
            }
        }
    };
}

codes! {
    Unreadable = "check.cell.unreadable", Error, "A cell holds a text that is not of the column's kind.";
    TagMissing = "check.tag.missing", Doubtful, "A calf that lived has no tag.";
    TagDuplicate = "check.tag.duplicate", Error, "A tag stands twice in one birth year.";
    EidDuplicate = "check.eid.duplicate", Error, "An electronic ID stands twice.";
    EidMalformed = "check.eid.malformed", Doubtful, "An electronic ID is not 15 digits.";
    SexMissing = "check.sex.missing", Error, "The sex is blank.";
    SexMaleUnspecified = "check.sex.male_unspecified", Doubtful, "A male, bull or steer not said.";
    BirthDateMissing = "check.birth_date.missing", Error, "The birth date is blank.";
    BirthDateFuture = "check.birth_date.future", Error, "Born after the book's day.";
    WeanDateFuture = "check.wean_date.future", Error, "Weaned or weighed after the book's day.";
    WeanedBeforeBirth = "check.weaned_before_birth", Error, "Weaned before it was born.";
    WeighedBeforeBirth = "check.weighed_before_birth", Error, "Weighed before it was born.";
    WeighedBeforeWeaning = "check.weighed_before_weaning", Remark, "Weighed long before it left the cow.";
    WeighedAfterWeaning = "check.weighed_after_weaning", Remark, "Weighed long after it left the cow.";
    AgeUnderWindow = "check.age.under_window", Remark, "Weighed too young.";
    AgeOverWindow = "check.age.over_window", Remark, "Weighed too old.";
    BirthWeightRange = "check.birth_weight.range", Doubtful, "A birth weight no calf has.";
    BirthWeightMissing = "check.birth_weight.missing", Remark, "No birth weight; the standard one is used.";
    WeanWeightRange = "check.wean_weight.range", Doubtful, "A weaning weight no calf has.";
    WeanWeightBelowBirth = "check.wean_weight.below_birth_weight", Doubtful, "Lighter at weaning than at birth.";
    GainRange = "check.gain.range", Doubtful, "A gain per day no calf has.";
    WeanWeightMissing = "check.wean_weight.missing", Remark, "Weaned, without a weight.";
    WeanDateMissing = "check.wean_date.missing", Error, "Weighed, without a date.";
    DamMissing = "check.dam.missing", Remark, "No dam.";
    DamIsCalf = "check.dam.is_calf", Doubtful, "The dam has the calf's own tag.";
    DamAgeUnknown = "check.dam_age.unknown", Remark, "The dam's age is not known.";
    DamAgeTooYoung = "check.dam_age.too_young", Doubtful, "The dam is younger than the youngest class.";
    DamAgeRange = "check.dam_age.range", Doubtful, "A dam age no cow has.";
    DamAgeDisagrees = "check.dam_age.disagrees", Doubtful, "Two sources of the dam's age disagree.";
    DamAmbiguous = "check.dam.ambiguous", Doubtful, "The tag does not say which cow it is.";
    DamCalvedTwice = "check.dam.calved_twice", Doubtful, "Two calvings too close together.";
    RaisedDamIsCalf = "check.raised_dam.is_calf", Doubtful, "The cow that raised it has the calf's own tag.";
    TwinAlone = "check.twin.alone", Remark, "A twin without its partner.";
    SireIsDam = "check.sire_is_dam", Doubtful, "Sire and dam have one tag.";
    SireIsCalf = "check.sire.is_calf", Doubtful, "The sire has the calf's own tag.";
    SireMissing = "check.sire.missing", Remark, "No sire.";
    CalvingEaseRange = "check.calving_ease.range", Doubtful, "No calving ease code.";
    LeftBeforeBirth = "check.left.before_birth", Doubtful, "Left before it was born.";
    LeftWithoutReason = "check.left.without_reason", Remark, "Left, not said why.";
    LeftWithoutDate = "check.left.without_date", Remark, "Left, not said when.";
    LeftWeanedAfter = "check.left.weaned_after", Doubtful, "Weaned after it left.";
    BornDeadWeaned = "check.born_dead.weaned", Error, "Born dead, and weaned.";
    FosterWithoutDam = "check.foster.without_dam", Remark, "A foster, not said on which cow.";
    OwnDamButOther = "check.own_dam_but_other_raised", Doubtful, "Own dam, and another cow named.";
    YearlingBeforeWeaning = "check.yearling.before_weaning", Doubtful, "Yearling weight before weaning.";
    YearlingAgeWindow = "check.yearling.age_window", Remark, "Yearling weight outside the age window.";
    YearlingBelowWeaning = "check.yearling_weight.below_wean_weight", Doubtful, "Lighter as a yearling than at weaning.";
    PlaceSpelling = "check.place.spelling", Doubtful, "One place spelled two ways.";
    SireSpelling = "check.sire.spelling", Doubtful, "One bull spelled two ways.";
    WeightRounded = "check.weight.rounded", Remark, "Weights rounded to 5.";
    RowNamesNothing = "check.row.names_nothing", Doubtful, "A row does not say what it is about.";
    DateFuture = "check.date.future", Error, "A date after the book's day.";
    DateFarAhead = "check.date.far_ahead", Error, "A date far in the future.";
    DateLongAgo = "check.date.long_ago", Doubtful, "A date from long ago.";
    DateOrder = "check.date.order", Doubtful, "Two dates in the wrong order.";
    NumberRange = "check.number.range", Doubtful, "A number that can hardly be right.";
    BirthYearDisagrees = "check.birth_year.disagrees", Doubtful, "Birth date and birth year disagree.";
    CowAgeDisagrees = "check.dam_age.cow_disagrees", Doubtful, "A calf's row gives this cow another age.";
    TagTwiceAtOnce = "check.tag.twice_at_once", Error, "Two animals carry one name at the same time.";
    NamesBeforeForm = "check.names_before.form", Error, "An earlier name without its last day.";
    NameUnknown = "check.name.unknown", Remark, "A name that is on no sheet.";
    NameTakenOff = "check.name.taken_off", Doubtful, "A name that was taken off the record.";
    NameNotThere = "check.name.not_there", Doubtful, "A name that nobody carried that day.";
    NameSeveral = "check.name.several", Error, "A name that fits two.";
    KeptSeveral = "check.kept.several", Doubtful, "More than one calf could have become this animal.";
    WeightSame = "check.weight.same", Doubtful, "One weight for a whole place.";
}
