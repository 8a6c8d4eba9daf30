//! The sentence of each finding, and how to mend it.
//!
//! Enters: a code and what stands in the cells beside it. Leaves: a message and a hint.
//! Always true: plain words; units with every weight; each message ends with what follows for the figures
//! where something does.
//! Never: looks for anything itself.

use super::code::Code;
use super::words::Said;
use crate::note::counted;
use crate::sheet::column::Column;
use crate::trade::plausible::{
    BIRTH_WEIGHT_LB, GAIN_LB_PER_DAY, OLDEST_DAM_YEARS, WEANING_WEIGHT_LB, YEARLING_AGE_DAYS,
};

impl Said<'_> {
    /// Message and hint of a finding about a whole column.
    pub(super) fn whole_column(&self, code: Code, column: &Column) -> (String, String) {
        let (n, label) = (self.finding.other, column.label.as_str());
        match code {
            Code::WeightRounded => (
                format!(
                    "{n} weaning weights end in 0 or 5, far more than chance gives; they look rounded to 5 {}.",
                    self.settings().weight_unit.symbol()
                ),
                "Write weights to the nearest pound or half kilogram; rounding to 5 blurs the ratios."
                    .to_owned(),
            ),
            _ => {
                let (_, hint) = self.row(code, column);
                (
                    format!("\"{label}\" is blank for all {n} calves that need it. {}", consequence(code)),
                    hint.to_owned(),
                )
            }
        }
    }

    /// Message and hint of a finding about one row.
    #[allow(
        clippy::too_many_lines,
        reason = "one arm a code: a table, not a procedure"
    )]
    pub(super) fn row(&self, code: Code, column: &Column) -> (String, &'static str) {
        if let Some(said) = self.row_of_a_sheet(code, column) {
            return said;
        }
        let other = self.finding.other;
        let settings = self.settings();
        match code {
            Code::RowNamesNothing
            | Code::DateFuture
            | Code::DateFarAhead
            | Code::DateLongAgo
            | Code::DateOrder
            | Code::NumberRange
            | Code::BirthYearDisagrees
            | Code::CowAgeDisagrees
            | Code::TagTwiceAtOnce
            | Code::NamesBeforeForm
            | Code::NameUnknown
            | Code::NameTakenOff
            | Code::NameNotThere
            | Code::NameSeveral
            | Code::KeptSeveral => (String::new(), ""),
            Code::Unreadable => (String::new(), ""),
            Code::TagMissing => (
                "The calf has no tag.".to_owned(),
                "Type its tag; only a calf that died at birth can do without.",
            ),
            Code::TagDuplicate => (
                format!(
                    "Tag {} stands twice among the calves born in one year: {} here, and {} in {}.",
                    self.cell("tag"),
                    self.sex_and_birth(self.finding.row),
                    self.sex_and_birth(other),
                    self.other_row()
                ),
                "Correct the wrong tag, or take one row out if the calf was entered twice.",
            ),
            Code::EidDuplicate => (
                format!(
                    "Electronic ID {} also stands in {}.",
                    self.cell("eid"),
                    self.other_row()
                ),
                "Read both tags again and correct the wrong one.",
            ),
            Code::EidMalformed => (
                format!("\"{}\" is not a 15-digit electronic ID.", self.cell("eid")),
                "Read the tag again; in a spreadsheet, set the column to text so that no digit is lost.",
            ),
            Code::SexMissing => (
                format!("The sex is blank. {}", consequence(code)),
                "Type bull, steer or heifer, as it was when weighed.",
            ),
            Code::SexMaleUnspecified => (
                "A male, but bull or steer is not said; the calf is grouped apart from both."
                    .to_owned(),
                "Type bull or steer, as it was when weighed.",
            ),
            Code::BirthDateMissing => (
                format!("The birth date is blank. {}", consequence(code)),
                "Type the day it was born.",
            ),
            Code::BirthDateFuture => (
                format!(
                    "Born {}, after {}, the day this book is as of.",
                    self.cell("birth_date"),
                    settings.as_of.iso()
                ),
                "Correct the date, most likely its year, or the book's day in the settings.",
            ),
            Code::WeanDateFuture => (
                format!(
                    "{} is {}, after {}, the day this book is as of.",
                    column.label,
                    self.cell(&column.key),
                    settings.as_of.iso()
                ),
                "Correct the date, most likely its year, or the book's day in the settings.",
            ),
            Code::WeanedBeforeBirth => (
                format!(
                    "Weaned {}, but born {}.",
                    self.cell("wean_date"),
                    self.cell("birth_date")
                ),
                "Correct one of the two dates, most likely a year.",
            ),
            Code::WeighedBeforeBirth => (
                format!(
                    "Weighed {}, but born {}.",
                    self.cell("weigh_date"),
                    self.cell("birth_date")
                ),
                "Correct one of the two dates.",
            ),
            Code::WeighedBeforeWeaning => (
                format!(
                    "Weighed {} before it was weaned; its age runs to the day of weighing.",
                    counted(other as usize, "day")
                ),
                "Check both dates; if they are right, nothing needs to be done.",
            ),
            Code::WeighedAfterWeaning => (
                format!(
                    "Weighed {} after it was weaned; it is grouped apart from calves weighed within {}.",
                    counted(other as usize, "day"),
                    counted(
                        usize::try_from(settings.weighed_after_weaning_days).unwrap_or(0),
                        "day"
                    )
                ),
                "Check both dates; if they are right, nothing needs to be done.",
            ),
            Code::AgeUnderWindow | Code::AgeOverWindow => (
                format!(
                    "Weighed at {} of age, outside {} to {} days; {}.",
                    counted(other as usize, "day"),
                    settings.window_from_days,
                    settings.window_to_days,
                    self.outside_window()
                ),
                "Check the birth date and the weigh date; if they are right, nothing needs to be done.",
            ),
            Code::BirthWeightRange => (
                format!(
                    "A birth weight of {} is outside {}.",
                    self.weight("birth_weight"),
                    self.range(BIRTH_WEIGHT_LB)
                ),
                "Correct the weight, or clear the cell if the calf was not weighed.",
            ),
            Code::BirthWeightMissing => (
                format!("The birth weight is blank. {}", consequence(code)),
                "Type the weight if the calf was weighed within a day of birth; otherwise leave it blank.",
            ),
            Code::WeanWeightRange => (
                format!(
                    "A weaning weight of {} is outside {}.",
                    self.weight("wean_weight"),
                    self.range(WEANING_WEIGHT_LB)
                ),
                "Correct the weight, or clear the cell if the calf was not weighed.",
            ),
            Code::WeanWeightBelowBirth => (
                format!(
                    "It weighs {} at weaning and {} at birth.",
                    self.weight("wean_weight"),
                    self.weight("birth_weight")
                ),
                "Correct the wrong one of the two weights.",
            ),
            Code::GainRange => {
                let gain = self
                    .results
                    .adjusted
                    .gain_per_day
                    .get(self.finding.row as usize)
                    .copied()
                    .unwrap_or(f64::NAN);
                let unit = settings.weight_unit;
                (
                    format!(
                        "A gain of {:.2} {} a day from birth is outside {:.1} to {:.1}.",
                        unit.from_pounds(gain),
                        unit.symbol(),
                        unit.from_pounds(GAIN_LB_PER_DAY.from),
                        unit.from_pounds(GAIN_LB_PER_DAY.to)
                    ),
                    "Check the weaning weight, the birth date and the weigh date.",
                )
            }
            Code::WeanWeightMissing => (
                "It was weaned, but has no weaning weight.".to_owned(),
                "Type the calf's own weight; without it there is no adjusted weight.",
            ),
            Code::WeanDateMissing => (
                format!(
                    "There is a weaning weight but no day of weaning or weighing. {}",
                    consequence(code)
                ),
                "Type the day it was weaned or weighed.",
            ),
            Code::DamMissing => (
                format!("The dam is blank. {}", consequence(code)),
                "Type the tag of the cow that bore the calf.",
            ),
            Code::DamIsCalf => (
                format!(
                    "Tag {} is given for both the calf and its dam.",
                    self.cell("dam")
                ),
                "Correct one of them; if the calf wears its dam's number, nothing needs to be done.",
            ),
            Code::RaisedDamIsCalf => (
                format!(
                    "Tag {} is given for both the calf and the cow that raised it.",
                    self.cell("raised_dam")
                ),
                "Correct one of them; if the calf wears that cow's number, nothing needs to be done.",
            ),
            Code::DamAgeUnknown => (
                format!(
                    "The age of {} is not known. {}",
                    self.cow(column),
                    consequence(code)
                ),
                "Give her birth date or birth year in the cows sheet, or the dam's age with the calf.",
            ),
            Code::DamAgeTooYoung => (
                format!(
                    "{} makes the dam {} old at calving, younger than the youngest class ({} days); no dam-age factor was added.",
                    self.source_of_age(column),
                    counted(other as usize, "day"),
                    settings
                        .factors
                        .classes
                        .first()
                        .map_or(0, |class| class.from_days)
                ),
                "Check her birth date or age, and which cow bore the calf.",
            ),
            Code::DamAgeRange => (
                format!(
                    "{} makes a dam age of {}, which is not possible (above 0 and up to {OLDEST_DAM_YEARS:.0} years is); it was not used.",
                    self.source_of_age(column),
                    self.dam_years()
                ),
                "Correct her age or birth date; the age is in years at calving.",
            ),
            Code::DamAgeDisagrees => (
                format!(
                    "The dam was {} at calving by the source used, but {}.",
                    self.dam_years(),
                    self.other_ages()
                ),
                "Correct the wrong one; the cows sheet is used before dates with the calf, and those before a stated age.",
            ),
            Code::DamAmbiguous if other == 1 => (
                format!(
                    "More than one cow with tag {} could have been there, and their ages differ; none of them was used.",
                    self.cell(&column.key)
                ),
                "Give the days they came and left in the cows sheet, or name her by more: cow 17 born 2018.",
            ),
            Code::DamAmbiguous if other == 2 => (
                format!(
                    "More than one cow with tag {} could have been there. They are of one age, so the age was used; which cow it was is not known.",
                    self.cell(&column.key)
                ),
                "Take one row out if a cow was entered twice; otherwise give the days they came and left, or name her by more: cow 17 born 2018.",
            ),
            Code::DamAmbiguous => (
                format!(
                    "No cow with tag {} can have been there: each was born later, had left, or was not called so then.",
                    self.cell(&column.key)
                ),
                "Check her birth date, the day she left and the days of her tags in the cows sheet, and the calf's birth date.",
            ),
            Code::DamCalvedTwice => (
                format!(
                    "Dam {} has another calf, born {}, in {}.",
                    self.cell("dam"),
                    self.cell_of(other, "birth_date"),
                    self.other_row()
                ),
                "Correct the dam or the birth date of one; if they are twins, say so in both rows.",
            ),
            Code::TwinAlone => (
                "Born a twin, but no partner of the same dam is in the sheet.".to_owned(),
                "Add the other twin, also when it died, or correct \"born as\".",
            ),
            Code::SireIsDam => (
                format!("Tag {} is given for both sire and dam.", self.cell("dam")),
                "Correct the wrong one of the two.",
            ),
            Code::SireIsCalf => (
                format!(
                    "Tag {} is given for both the calf and its sire.",
                    self.cell("tag")
                ),
                "Correct the wrong one of the two.",
            ),
            Code::SireMissing => (
                format!("The sire is blank. {}", consequence(code)),
                "Type the bull, or all bulls it could be with ; between them.",
            ),
            Code::CalvingEaseRange => (
                format!("\"{}\" is no calving ease code.", self.cell("calving_ease")),
                "Use 1 no help, 2 some help, 3 hard pull, 4 surgery or 5 calf placed wrong, or clear the cell.",
            ),
            Code::LeftBeforeBirth => (
                format!(
                    "Left {}, but born {}.",
                    self.cell("left_on"),
                    self.cell("birth_date")
                ),
                "Correct one of the two dates.",
            ),
            Code::LeftWithoutReason => (
                format!("Left {}, but why is blank.", self.cell("left_on")),
                "Say why it left: died, born dead, aborted, sold, culled, moved to cows or other.",
            ),
            Code::LeftWithoutDate => (
                format!(
                    "Left ({}), but the day is blank.",
                    self.cell("left_because")
                ),
                "Type the day it left, as near as it is known.",
            ),
            Code::LeftWeanedAfter => (
                format!(
                    "Left {}, but weaned or weighed after that.",
                    self.cell("left_on")
                ),
                "Correct one of the dates, or which calf left.",
            ),
            Code::BornDeadWeaned => (
                format!(
                    "Entered as {}, but it has a weaning date or weight; it has no figures.",
                    self.cell("left_because")
                ),
                "Correct why it left, or clear the weaning.",
            ),
            Code::FosterWithoutDam => (
                "A foster, but the cow that raised it is not named; no dam-age factor was added."
                    .to_owned(),
                "Type the tag of the cow that raised it.",
            ),
            Code::OwnDamButOther => (
                format!(
                    "Raised by its own dam, but {} is named as the cow that raised it; own dam was used.",
                    self.cell("raised_dam")
                ),
                "Change \"raised by\" to foster, or clear the other cow.",
            ),
            Code::YearlingBeforeWeaning => (
                format!(
                    "The yearling weight is dated {}, before weaning.",
                    self.cell("yearling_date")
                ),
                "Correct one of the two dates.",
            ),
            Code::YearlingAgeWindow => (
                format!(
                    "The yearling weight was taken at {} of age, outside {} to {} days.",
                    counted(other as usize, "day"),
                    YEARLING_AGE_DAYS.0,
                    YEARLING_AGE_DAYS.1
                ),
                "Check the birth date and the yearling date; if they are right, nothing needs to be done.",
            ),
            Code::YearlingBelowWeaning => (
                format!(
                    "It weighs {} as a yearling and {} at weaning.",
                    self.weight("yearling_weight"),
                    self.weight("wean_weight")
                ),
                "Correct the wrong one of the two weights.",
            ),
            Code::PlaceSpelling => (
                format!(
                    "\"{}\" looks like \"{}\" written another way; they make two groups.",
                    self.cell("place"),
                    self.other_text("place")
                ),
                "Write the place the same way everywhere.",
            ),
            Code::SireSpelling => (
                format!(
                    "\"{}\" looks like \"{}\" written another way; they count as two bulls.",
                    self.cell("sire"),
                    self.other_text("sire")
                ),
                "Write the bull the same way everywhere.",
            ),
            Code::WeightRounded => (String::new(), ""),
            Code::WeightSame => (
                format!(
                    "All {other} calves of {} weighed that day have one weight, {}; it looks like a group average.",
                    self.cell("place"),
                    self.weight("wean_weight")
                ),
                "Type each calf's own weight; from an average no calf can be compared.",
            ),
        }
    }
}

/// What follows from a blank cell.
const fn consequence(code: Code) -> &'static str {
    match code {
        Code::SexMissing => "Without it no factor fits and there is no adjusted weight.",
        Code::BirthDateMissing => "Without it there is no age and no adjusted weight.",
        Code::BirthWeightMissing => {
            "The standard birth weight of the settings was used and marked."
        }
        Code::WeanDateMissing => "Without it there is no age and no adjusted weight.",
        Code::WeanWeightMissing => "Without it there is no adjusted weight.",
        Code::DamMissing => {
            "Her calves cannot be counted together, and her age is known only as stated."
        }
        Code::DamAgeUnknown => "No dam-age factor was added.",
        Code::SireMissing => "Bulls cannot be compared with this calf.",
        Code::TagMissing => "Calves without a tag cannot be told apart.",
        _ => "",
    }
}
