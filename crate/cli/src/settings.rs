//! The settings file: which settings a run uses.
//!
//! Enters: JSON with any of the fields that a saved book and `report.json` use. Leaves: sound settings.
//! Always true: a field left out keeps the value it had; a field that is not a setting is refused by name,
//! also inside `factors` and `seasons`.
//! Never: guesses what a misspelt field meant.

use std::fs;
use std::path::Path;

use fairpen_engine::book::form::{SettingsFormat, settings_form, settings_from};
use fairpen_engine::sheet::settings::Settings;
use fairpen_engine::sheet::settings_rules;
use serde_json::{Map, Value};

use crate::failure::Failure;

/// Settings of a file.
#[derive(Debug)]
pub struct FromFile {
    /// The given settings, with the file's fields in their place.
    pub settings: Settings,
    /// Names of the fields that the file gave.
    pub fields: Vec<String>,
}

impl FromFile {
    /// True when the file gave this field.
    pub fn gives(&self, field: &str) -> bool {
        self.fields.iter().any(|given| given == field)
    }
}

/// Settings with the file's fields in place of the given ones.
pub fn with_file(settings: &Settings, path: &Path) -> Result<FromFile, Failure> {
    let text = fs::read_to_string(path).map_err(|error| Failure::of_path("read", path, &error))?;
    with_text(settings, &text).map_err(|reason| {
        Failure::new(
            format!("The settings file {} cannot be used: {reason}", path.display()),
            "Mend it and run the command again. The \"settings\" of a report.json show every field.",
        )
    })
}

/// Settings as JSON, with every field.
pub fn to_json(settings: &Settings) -> Result<Value, Failure> {
    serde_json::to_value(settings_form(settings)).map_err(|error| {
        Failure::new(
            format!("The settings could not be put into JSON: {error}."),
            "This is a fault of the program.",
        )
    })
}

fn with_text(settings: &Settings, text: &str) -> Result<FromFile, String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let given: Value =
        serde_json::from_str(text).map_err(|error| format!("it is not JSON ({error})."))?;
    let Value::Object(given) = given else {
        return Err("it does not begin with { and hold fields.".to_owned());
    };
    let mut all = match serde_json::to_value(settings_form(settings)) {
        Ok(Value::Object(all)) => all,
        _ => return Err("the settings in use have no fields.".to_owned()),
    };
    let fields = given.keys().cloned().collect();
    for (field, value) in given {
        let Some(usual) = all.get(&field) else {
            return Err(format!(
                "\"{field}\" is not a setting. Settings are {}.",
                names(&all)
            ));
        };
        refuse_strange_fields(&field, usual, &value)?;
        all.insert(field, value);
    }
    let form: SettingsFormat =
        serde_json::from_value(Value::Object(all)).map_err(|error| format!("{error}."))?;
    let settings = settings_from(form).ok_or_else(|| {
        "weight_unit is \"lb\" or \"kg\", as_of is empty or a day like \"2026-03-14\", outside_window is \
         \"actual_only\" or \"straight_age\"."
            .to_owned()
    })?;
    settings_rules::check(&settings)
        .map_err(|error| format!("{} {}", error.message(), error.hint()))?;
    Ok(FromFile { settings, fields })
}

/// Fields inside a field: `usual` shows which there are. In lists the first entry shows them.
fn refuse_strange_fields(within: &str, usual: &Value, given: &Value) -> Result<(), String> {
    match (usual, given) {
        (Value::Object(usual), Value::Object(given)) => {
            for (field, value) in given {
                let Some(known) = usual.get(field) else {
                    return Err(format!(
                        "\"{field}\" is not a field of {within}. Its fields are {}.",
                        names(usual)
                    ));
                };
                refuse_strange_fields(&format!("{within}.{field}"), known, value)?;
            }
            Ok(())
        }
        (Value::Array(usual), Value::Array(given)) => match usual.first() {
            Some(first) => given
                .iter()
                .try_for_each(|value| refuse_strange_fields(within, first, value)),
            None => Ok(()),
        },
        _ => Ok(()),
    }
}

fn names(fields: &Map<String, Value>) -> String {
    fields
        .keys()
        .map(String::as_str)
        .collect::<Vec<_>>()
        .join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use fairpen_engine::sheet::settings::{OutsideWindow, WeightUnit};

    #[test]
    fn fields_left_out_keep_their_value() {
        let settings = with_text(
            &Settings::default(),
            r#"{"weight_unit": "kg", "outside_window": "straight_age", "seasons": [{"name": "all", "month": 1, "day": 1}]}"#,
        )
        .expect("sound")
        .settings;
        assert_eq!(settings.weight_unit, WeightUnit::Kilogram);
        assert_eq!(settings.outside_window, OutsideWindow::StraightAge);
        assert_eq!(settings.seasons.len(), 1);
        assert_eq!(settings.window_from_days, 160);
    }

    #[test]
    fn strange_fields_are_named() {
        let reason = |text: &str| with_text(&Settings::default(), text).expect_err("refused");
        assert!(reason(r#"{"window_from": 150}"#).contains("\"window_from\" is not a setting"));
        assert!(
            reason(r#"{"seasons": [{"name": "x", "month": 1, "dy": 1}]}"#)
                .contains("\"dy\" is not a field of seasons")
        );
        assert!(
            reason(r#"{"factors": {"clases": []}}"#)
                .contains("\"clases\" is not a field of factors")
        );
        assert!(reason("[]").contains("begin with {"));
        assert!(reason("{").contains("not JSON"));
        assert!(reason(r#"{"weight_unit": "stone"}"#).contains("weight_unit is"));
        assert!(reason(r#"{"window_from_days": "160"}"#).contains("invalid type"));
        assert!(reason(r#"{"window_from_days": 260}"#).contains("not a window"));
    }

    #[test]
    fn what_is_written_can_be_read_again() {
        let text = to_json(&Settings::default()).expect("JSON").to_string();
        assert_eq!(
            with_text(&Settings::default(), &text)
                .expect("sound")
                .settings,
            Settings::default()
        );
    }
}
