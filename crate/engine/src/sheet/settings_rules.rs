//! Which settings a book may have, and what a change of unit does to its weights.
//!
//! Enters: settings. Leaves: a refusal in plain words, or nothing; converted weights.
//! Always true: settings that pass give a computable book; a weight written with up to twelve digits comes
//! back to the digit when its unit is changed there and back.
//! Never: changes settings on its own.

use super::settings::{Settings, WeightUnit};
use crate::error::Error;

/// Refuses settings that no book can be computed with.
///
/// # Errors
/// `sheet.settings.*`, naming the setting and what it may be.
pub fn check(settings: &Settings) -> Result<(), Error> {
    let refuse = |code, message: String, hint: &str| Err(Error::new(code, message, hint));
    if settings.title.chars().count() > 200 {
        return refuse(
            "sheet.settings.title",
            "The name of the book is longer than 200 characters.".to_owned(),
            "Give it a shorter name.",
        );
    }
    if settings.window_from_days < 1
        || settings.window_to_days < settings.window_from_days
        || settings.window_to_days > 1000
    {
        return refuse(
            "sheet.settings.window",
            format!(
                "The age window from {} to {} days is not a window.",
                settings.window_from_days, settings.window_to_days
            ),
            "Give a first age of at least 1 day and a last age from there up to 1000 days. 160 to 250 is usual.",
        );
    }
    if !(1..=1000).contains(&settings.standard_age_days) {
        return refuse(
            "sheet.settings.standard_age",
            format!(
                "Weights cannot be adjusted to {} days.",
                settings.standard_age_days
            ),
            "Give a number of days from 1 to 1000. 205 is usual.",
        );
    }
    for weight in [
        settings.standard_birth_weight_male_lb,
        settings.standard_birth_weight_female_lb,
    ] {
        if !(weight > 0.0 && weight <= 300.0) {
            return refuse(
                "sheet.settings.birth_weight",
                "A standard birth weight must be over 0 and at most 300 lb (136 kg).".to_owned(),
                "75 lb (34 kg) for males and 70 lb (31.8 kg) for females are usual.",
            );
        }
    }
    for (days, what) in [
        (
            settings.weighed_after_weaning_days,
            "The days allowed between weaning and weighing",
        ),
        (settings.birth_window_days, "The days of births in a group"),
        (
            settings.weigh_window_days,
            "The days of weighings in a group",
        ),
    ] {
        if !(0..=3660).contains(&days) {
            return refuse(
                "sheet.settings.days",
                format!("{what} cannot be {days}."),
                "Give a number of days from 0 to 3660.",
            );
        }
    }
    if !(0.5..1.0).contains(&settings.confidence) {
        return refuse(
            "sheet.settings.confidence",
            "The confidence must be from 0.5 to below 1.".to_owned(),
            "0.95 is usual.",
        );
    }
    check_seasons(settings)?;
    check_factors(settings)
}

fn check_seasons(settings: &Settings) -> Result<(), Error> {
    let sound = (1..=12).contains(&settings.seasons.len())
        && settings.seasons.iter().all(|season| {
            !season.name.trim().is_empty()
                && season.name.chars().count() <= 40
                // 2023: a season starts on a day that every year has.
                && super::day::Day::from_ymd(2023, season.month, season.day).is_some()
        });
    if sound {
        Ok(())
    } else {
        Err(Error::new(
            "sheet.settings.seasons",
            "The calving seasons are not sound: each needs a name and a first day that every year has.",
            "Give 1 to 12 seasons, such as spring from December 1 and fall from July 1.",
        ))
    }
}

fn check_factors(settings: &Settings) -> Result<(), Error> {
    let classes = &settings.factors.classes;
    let sound = (1..=100).contains(&classes.len())
        && classes.iter().all(|class| {
            class.from_days <= class.to_days
                && [
                    class.birth_lb,
                    class.weaning_male_lb,
                    class.weaning_female_lb,
                ]
                .iter()
                .all(|factor| factor.abs() <= 500.0)
        })
        && classes
            .windows(2)
            .all(|pair| pair[0].to_days.checked_add(1) == Some(pair[1].from_days));
    if sound {
        Ok(())
    } else {
        Err(Error::new(
            "sheet.settings.factors",
            "The table of dam-age factors is not sound: classes must follow each other without gaps, and no factor may be over 500 lb.",
            "Use the guideline's table, or mend the classes from the youngest up.",
        ))
    }
}

/// A weight in another unit. Where twelve digits say the result as well as seventeen do, twelve are
/// taken: so a weight that was typed comes back as it was typed.
pub fn convert(weight: f64, from: WeightUnit, to: WeightUnit) -> f64 {
    if from == to || weight.is_nan() {
        return weight;
    }
    let exact = to.from_pounds(from.to_pounds(weight));
    let short: f64 = format!("{exact:.11e}").parse().unwrap_or(exact);
    if (short - exact).abs() <= exact.abs() * 4.0 * f64::EPSILON {
        short
    } else {
        exact
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_usual_settings_are_sound() {
        assert_eq!(check(&Settings::default()), Ok(()));
        let upside_down = Settings {
            window_from_days: 250,
            window_to_days: 160,
            ..Settings::default()
        };
        assert_eq!(
            check(&upside_down).map_err(|e| e.code()),
            Err("sheet.settings.window")
        );
        let not_a_number = Settings {
            standard_birth_weight_male_lb: f64::NAN,
            ..Settings::default()
        };
        assert_eq!(
            check(&not_a_number).map_err(|e| e.code()),
            Err("sheet.settings.birth_weight")
        );
    }

    proptest! {
        #[test]
        fn typed_weights_come_back(tenths in 0_u32..30_000, decimals in 1_i32..5) {
            let weight = f64::from(tenths) / 10_f64.powi(decimals);
            for (from, to) in [
                (WeightUnit::Pound, WeightUnit::Kilogram),
                (WeightUnit::Kilogram, WeightUnit::Pound),
            ] {
                prop_assert_eq!(convert(convert(weight, from, to), to, from), weight);
            }
        }
    }
}
