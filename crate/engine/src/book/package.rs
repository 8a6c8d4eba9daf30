//! The description of a saved book: `datapackage.json` and `settings.json`.
//!
//! Enters: sheets. Leaves: a descriptor after the Data Package standard (<https://datapackage.org>, version
//! 2: Data Package, Data Resource, Table Schema), and the settings file.
//! Always true: any program that reads Data Packages understands the descriptor; what Fairpen alone needs
//! stands under `fairpen`.
//! Never: holds cells.

use serde::{Deserialize, Serialize};

use super::acceptance::AcceptanceForm;
use super::form::{SettingsFormat, kind_word};
use super::remembered_form::RememberedForm;
use crate::sheet::column::{Column, Kind, Origin};

/// The word that says that a settings file belongs to a book of Fairpen.
pub const FORMAT: &str = "fairpen-book";
/// The version of the saved form that is written.
pub const VERSION: u32 = 1;
/// Name of the descriptor in the ZIP.
pub const DESCRIPTOR: &str = "datapackage.json";
/// Name of the settings in the ZIP.
pub const SETTINGS: &str = "settings.json";
/// Name of the looks in the ZIP; only there when a sheet was arranged or a view saved.
pub const LOOKS: &str = "looks.json";
/// Name of the resource with the texts that were not understood.
pub const UNREADABLE: &str = "unreadable";
/// Rows of a sheet that were taken off stand in a resource of their own: this and the key of the sheet.
pub const TAKEN_OFF: &str = "taken_off_";
/// Name of the resource with the texts that were not understood in rows that were taken off.
pub const TAKEN_OFF_UNREADABLE: &str = "taken_off_unreadable";

/// `settings.json`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct SettingsFile {
    /// [`FORMAT`].
    pub format: String,
    /// Version of the saved form.
    pub version: u32,
    /// What results depend on beside the rows.
    #[serde(default)]
    pub settings: SettingsFormat,
    /// Doubts that were looked at and stand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub accepted: Vec<AcceptanceForm>,
    /// How files of one shape are read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub remembered: Vec<RememberedForm>,
    /// In a work list the place whose calves are expected; empty: every place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub work_list: Option<String>,
}

/// `datapackage.json`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Descriptor {
    #[serde(rename = "$schema", default)]
    schema_address: String,
    #[serde(default)]
    name: String,
    #[serde(default)]
    title: String,
    /// One per sheet with rows or own columns, and one for the texts that were not understood.
    pub resources: Vec<Resource>,
}

/// One CSV file.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Resource {
    /// Sheet key.
    pub name: String,
    /// Path in the ZIP.
    pub path: String,
    #[serde(default)]
    title: String,
    #[serde(rename = "type", default)]
    kind: String,
    #[serde(default)]
    format: String,
    #[serde(default)]
    mediatype: String,
    #[serde(default)]
    encoding: String,
    /// Its columns.
    pub schema: Schema,
}

/// A Table Schema.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Schema {
    /// One per column of the CSV file, in order.
    pub fields: Vec<Field>,
    #[serde(rename = "missingValues", default)]
    missing_values: Vec<String>,
}

/// One column of a CSV file.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Field {
    /// Name in the CSV file's header: the column's key.
    pub name: String,
    /// What people read.
    #[serde(default)]
    pub title: String,
    #[serde(rename = "type", default)]
    kind: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    format: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    constraints: Option<Constraints>,
    /// What Fairpen alone needs.
    #[serde(default)]
    pub fairpen: Option<FieldNotes>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct Constraints {
    #[serde(rename = "enum", default)]
    allowed: Vec<String>,
}

/// What Fairpen alone needs to know of a column.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct FieldNotes {
    /// `known`, `own`, `source_line` for the line of the file that a row came from, or `row_key` for the
    /// permanent key of a row that was taken off.
    pub origin: String,
    /// Word for the kind.
    #[serde(default)]
    pub kind: String,
    /// The header it had in the file it came from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub header: Option<String>,
    /// The formula of a calculated column, in OpenFormula; its cells are blank.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub formula: Option<String>,
}

impl Descriptor {
    /// A descriptor of these resources.
    pub fn new(title: &str, resources: Vec<Resource>) -> Descriptor {
        Descriptor {
            schema_address: "https://datapackage.org/profiles/2.0/datapackage.json".to_owned(),
            name: FORMAT.to_owned(),
            title: title.to_owned(),
            resources,
        }
    }
}

impl Resource {
    /// A CSV file with these columns.
    pub fn new(name: &str, title: &str, fields: Vec<Field>) -> Resource {
        Resource {
            name: name.to_owned(),
            path: format!("{name}.csv"),
            title: title.to_owned(),
            kind: "table".to_owned(),
            format: "csv".to_owned(),
            mediatype: "text/csv".to_owned(),
            encoding: "utf-8".to_owned(),
            schema: Schema {
                fields,
                missing_values: vec![String::new()],
            },
        }
    }
}

impl Field {
    /// A field that no column of a sheet stands behind.
    pub fn plain(name: &str, title: &str, kind: &str, notes: Option<FieldNotes>) -> Field {
        Field {
            name: name.to_owned(),
            title: title.to_owned(),
            kind: kind.to_owned(),
            format: String::new(),
            constraints: None,
            fairpen: notes,
        }
    }

    /// The field of a column.
    pub fn of(column: &Column) -> Field {
        let kind = match column.kind {
            Kind::Text | Kind::List | Kind::Code(_) => "string",
            Kind::Weight | Kind::Number(_) => "number",
            Kind::Date => "date",
        };
        let notes = FieldNotes {
            origin: match column.origin {
                Origin::Known => "known",
                Origin::Own => "own",
            }
            .to_owned(),
            kind: kind_word(column.kind),
            header: column.header.clone(),
            formula: column.formula.clone(),
        };
        let mut field = Field::plain(&column.key, &column.label, kind, Some(notes));
        match column.kind {
            // The standard's own default is ISO 8601 too; said so that nobody needs to look it up.
            Kind::Date => field.format = "%Y-%m-%d".to_owned(),
            Kind::Code(codes) => {
                field.constraints = Some(Constraints {
                    allowed: codes.words.iter().map(|word| word.key.to_owned()).collect(),
                });
            }
            _ => {}
        }
        field
    }
}
