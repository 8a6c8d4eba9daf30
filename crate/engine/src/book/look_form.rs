//! Looks and views as they are written, in the journal and in `looks.json`.
//!
//! Enters: looks. Leaves: serde structs, and back.
//! Always true: columns stand by their stable keys; a part that is missing is one that was not changed, or
//! not arranged; the same looks give the same text.
//! Never: judges whether a column is there.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::package::FORMAT;
use crate::sheet::look::{ColumnPlace, Look, LookChange, Looks, SheetLooks};
use crate::sheet::schema::SheetKind;
use crate::sheet::view::{ColumnFilter, SortKey};

/// Parts of a look.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct LookForm {
    #[serde(skip_serializing_if = "Option::is_none")]
    columns: Option<Vec<PlaceForm>>,
    /// CSS pixels by column.
    #[serde(skip_serializing_if = "Option::is_none")]
    widths: Option<BTreeMap<String, u16>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    frozen: Option<u16>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sort: Option<Vec<SortForm>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    filters: Option<Vec<FilterForm>>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct PlaceForm {
    column: String,
    /// Missing: shown when in use.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    shown: Option<bool>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct SortForm {
    column: String,
    #[serde(default)]
    descending: bool,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct FilterForm {
    column: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    contains: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    values: Option<Vec<String>>,
}

/// A part of a look as it is written.
pub fn look_form(change: &LookChange) -> LookForm {
    LookForm {
        columns: change.columns.as_ref().map(|columns| {
            columns
                .iter()
                .map(|place| PlaceForm {
                    column: place.column.clone(),
                    shown: place.shown,
                })
                .collect()
        }),
        widths: change.widths.clone(),
        frozen: change.n_frozen,
        sort: change.sort.as_ref().map(|keys| {
            keys.iter()
                .map(|key| SortForm {
                    column: key.column.clone(),
                    descending: key.descending,
                })
                .collect()
        }),
        filters: change.filters.as_ref().map(|filters| {
            filters
                .iter()
                .map(|filter| FilterForm {
                    column: filter.column.clone(),
                    contains: filter.contains.clone(),
                    values: filter.values.clone(),
                })
                .collect()
        }),
    }
}

/// The parts of a look that were written.
pub fn look_from(form: LookForm) -> LookChange {
    LookChange {
        columns: form.columns.map(|columns| {
            columns
                .into_iter()
                .map(|PlaceForm { column, shown }| ColumnPlace { column, shown })
                .collect()
        }),
        widths: form.widths,
        n_frozen: form.frozen,
        sort: form.sort.map(|keys| {
            keys.into_iter()
                .map(|SortForm { column, descending }| SortKey { column, descending })
                .collect()
        }),
        filters: form.filters.map(|filters| {
            filters
                .into_iter()
                .map(|form| ColumnFilter {
                    column: form.column,
                    contains: form.contains,
                    values: form.values,
                })
                .collect()
        }),
    }
}

/// `looks.json`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct LooksFile {
    /// [`FORMAT`], so that the file says where it belongs.
    format: String,
    #[serde(default)]
    sheets: Vec<SheetForm>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct SheetForm {
    sheet: String,
    #[serde(default)]
    present: LookForm,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    views: Vec<ViewForm>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct ViewForm {
    name: String,
    #[serde(default)]
    look: LookForm,
}

/// The looks of a book as they are written; `None` when nothing was arranged.
pub fn looks_file(looks: &Looks) -> Option<LooksFile> {
    let whole = |look: &Look| look_form(&LookChange::from(look.clone()));
    let sheets: Vec<SheetForm> = looks
        .arranged()
        .map(|(sheet, SheetLooks { present, views })| SheetForm {
            sheet: sheet.key().to_owned(),
            present: whole(present),
            views: views
                .iter()
                .map(|(name, look)| ViewForm {
                    name: name.clone(),
                    look: whole(look),
                })
                .collect(),
        })
        .collect();
    (!sheets.is_empty()).then(|| LooksFile {
        format: FORMAT.to_owned(),
        sheets,
    })
}

/// The looks of one sheet as they were written.
pub struct SheetWritten {
    /// The sheet.
    pub sheet: SheetKind,
    /// Its present look.
    pub present: LookChange,
    /// Its saved views, by name.
    pub views: Vec<(String, LookChange)>,
}

/// What was written. Sheets that are not known are passed over; whether a look is sound is for `sheet` to say.
pub fn looks_from(file: LooksFile) -> Vec<SheetWritten> {
    file.sheets
        .into_iter()
        .filter_map(|form| {
            Some(SheetWritten {
                sheet: SheetKind::from_key(&form.sheet)?,
                present: look_from(form.present),
                views: form
                    .views
                    .into_iter()
                    .map(|view| (view.name, look_from(view.look)))
                    .collect(),
            })
        })
        .collect()
}
