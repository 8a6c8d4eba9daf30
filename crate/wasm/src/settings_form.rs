//! Settings as the page shows them.
//!
//! Enters: settings, or the form a person filled in. Leaves: the other.
//! Always true: weights in the form are in the book's unit; settings that the form does not show stay.
//! Never: judges whether settings are sound; the engine does.

use fairpen_engine::book::form::{day_from, unit_from};
use fairpen_engine::error::Error;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::settings::{OutsideWindow, Settings, WeightUnit};
use fairpen_engine::sheet::settings_rules::convert;

use crate::types::SettingsForm;

/// The form of settings.
pub fn form_of(settings: &Settings) -> SettingsForm {
    let unit = settings.weight_unit;
    let shown = |pounds| convert(pounds, WeightUnit::Pound, unit);
    SettingsForm {
        title: settings.title.clone(),
        weight_unit: unit.symbol().to_owned(),
        as_of: settings.as_of.iso(),
        window_from_days: settings.window_from_days,
        window_to_days: settings.window_to_days,
        outside_window: match settings.outside_window {
            OutsideWindow::ActualOnly => "actual_only",
            OutsideWindow::StraightAge => "straight_age",
        }
        .to_owned(),
        standard_birth_weight_male: shown(settings.standard_birth_weight_male_lb),
        standard_birth_weight_female: shown(settings.standard_birth_weight_female_lb),
        weighed_after_weaning_days: settings.weighed_after_weaning_days,
        birth_window_days: settings.birth_window_days,
        weigh_window_days: settings.weigh_window_days,
    }
}

/// The settings of a form. Its weights are in the unit that the book had when the form was shown.
pub fn settings_of(before: &Settings, form: &SettingsForm) -> Result<Settings, Error> {
    let pounds = |weight, before_lb: f64| {
        // A weight that was left as it was shown stays as it is, to the last bit.
        if convert(before_lb, WeightUnit::Pound, before.weight_unit) == weight {
            before_lb
        } else {
            convert(weight, before.weight_unit, WeightUnit::Pound)
        }
    };
    let weight_unit = unit_from(&form.weight_unit).ok_or_else(|| {
        Error::new(
            "sheet.settings.unit",
            format!("{} is not a unit of weight here.", form.weight_unit),
            "Choose lb or kg.",
        )
    })?;
    let as_of = match form.as_of.trim() {
        "" => Day::MISSING,
        text => day_from(text).ok_or_else(|| {
            Error::new(
                "sheet.settings.as_of",
                format!("\"{text}\" is not a date."),
                "Write it as 2026-10-15, or leave it blank.",
            )
        })?,
    };
    let outside_window = match form.outside_window.as_str() {
        "straight_age" => OutsideWindow::StraightAge,
        "actual_only" => OutsideWindow::ActualOnly,
        other => {
            return Err(Error::new(
                "sheet.settings.outside_window",
                format!("{other} is not a way to treat calves outside the age window."),
                "Choose actual weights only, or the straight age adjustment.",
            ));
        }
    };
    Ok(Settings {
        title: form.title.trim().to_owned(),
        weight_unit,
        as_of,
        window_from_days: form.window_from_days,
        window_to_days: form.window_to_days,
        outside_window,
        standard_birth_weight_male_lb: pounds(
            form.standard_birth_weight_male,
            before.standard_birth_weight_male_lb,
        ),
        standard_birth_weight_female_lb: pounds(
            form.standard_birth_weight_female,
            before.standard_birth_weight_female_lb,
        ),
        weighed_after_weaning_days: form.weighed_after_weaning_days,
        birth_window_days: form.birth_window_days,
        weigh_window_days: form.weigh_window_days,
        ..before.clone()
    })
}
