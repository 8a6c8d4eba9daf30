//! Settings to a record and back.
//!
//! Enters and leaves: the settings a figure can depend on.
//! Always true: there and back gives the same figures.
//! Never: takes the book's "today" or its name along as a setting; no figure depends on them.

use super::payload::{FactorRecord, FactorsRecord, SettingsRecord};
use crate::sheet::settings::{OutsideWindow, SeasonStart, Settings, WeightUnit};
use crate::trade::factors::{DamAgeClass, FactorTable};

/// The record of a book's settings.
pub fn record(settings: &Settings) -> SettingsRecord {
    SettingsRecord {
        window_from_days: settings.window_from_days,
        window_to_days: settings.window_to_days,
        outside_window: match settings.outside_window {
            OutsideWindow::ActualOnly => "actual_only",
            OutsideWindow::StraightAge => "straight_age",
        }
        .to_owned(),
        standard_age_days: settings.standard_age_days,
        standard_birth_weight_male_lb: settings.standard_birth_weight_male_lb,
        standard_birth_weight_female_lb: settings.standard_birth_weight_female_lb,
        weighed_after_weaning_days: settings.weighed_after_weaning_days,
        birth_window_days: settings.birth_window_days,
        weigh_window_days: settings.weigh_window_days,
        seasons: settings
            .seasons
            .iter()
            .map(|start| (start.name.clone(), start.month, start.day))
            .collect(),
        confidence: settings.confidence,
        factors: FactorsRecord {
            key: settings.factors.key.clone(),
            name: settings.factors.name.clone(),
            source: settings.factors.source.clone(),
            classes: settings
                .factors
                .classes
                .iter()
                .map(|class| FactorRecord {
                    name: class.name.clone(),
                    from_days: class.from_days,
                    to_days: class.to_days,
                    birth_lb: class.birth_lb,
                    weaning_male_lb: class.weaning_male_lb,
                    weaning_female_lb: class.weaning_female_lb,
                })
                .collect(),
        },
    }
}

/// The settings of a record. A word this program does not know reads as the default.
pub fn read(record: &SettingsRecord, weight_unit: &str) -> Settings {
    Settings {
        weight_unit: if weight_unit == WeightUnit::Kilogram.symbol() {
            WeightUnit::Kilogram
        } else {
            WeightUnit::Pound
        },
        window_from_days: record.window_from_days,
        window_to_days: record.window_to_days,
        outside_window: if record.outside_window == "straight_age" {
            OutsideWindow::StraightAge
        } else {
            OutsideWindow::ActualOnly
        },
        standard_age_days: record.standard_age_days,
        standard_birth_weight_male_lb: record.standard_birth_weight_male_lb,
        standard_birth_weight_female_lb: record.standard_birth_weight_female_lb,
        weighed_after_weaning_days: record.weighed_after_weaning_days,
        birth_window_days: record.birth_window_days,
        weigh_window_days: record.weigh_window_days,
        seasons: record
            .seasons
            .iter()
            .map(|(name, month, day)| SeasonStart {
                name: name.clone(),
                month: *month,
                day: *day,
            })
            .collect(),
        confidence: record.confidence,
        factors: FactorTable {
            key: record.factors.key.clone(),
            name: record.factors.name.clone(),
            source: record.factors.source.clone(),
            classes: record
                .factors
                .classes
                .iter()
                .map(|class| DamAgeClass {
                    name: class.name.clone(),
                    from_days: class.from_days,
                    to_days: class.to_days,
                    birth_lb: class.birth_lb,
                    weaning_male_lb: class.weaning_male_lb,
                    weaning_female_lb: class.weaning_female_lb,
                })
                .collect(),
        },
        ..Settings::default()
    }
}
