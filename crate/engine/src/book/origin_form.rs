//! Where imported rows come from, as it is written.
//!
//! Enters: the origin of an import. Leaves: a serde struct, and back.
//! Always true: the file itself is named by its digest and kept elsewhere, once.
//! Never: reads the file.

use serde::{Deserialize, Serialize};

use super::form::{PlanForm, plan_form, plan_from, unit_from};
use super::merge_form::{MergeForm, merge_form, merge_from};
use crate::sheet::edit::ImportOrigin;

/// A kept file and how it is read.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct OriginForm {
    /// SHA-256 of the file.
    pub digest: String,
    /// Its name.
    pub file_name: String,
    /// How it is read.
    pub plan: PlanForm,
    /// Unit of the book before, when it takes the unit of the plan with the rows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit_before: Option<String>,
    /// How its rows were put to rows on record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub merge: Option<MergeForm>,
}

/// An origin as it is written.
pub fn origin_form(origin: &ImportOrigin) -> OriginForm {
    OriginForm {
        digest: origin.digest.clone(),
        file_name: origin.file_name.clone(),
        plan: plan_form(&origin.plan),
        unit_before: origin.unit_before.map(|unit| unit.symbol().to_owned()),
        merge: origin.merge.as_ref().map(merge_form),
    }
}

/// The origin that was written; `None` when a word in it is not known.
pub fn origin_from(form: OriginForm) -> Option<ImportOrigin> {
    Some(ImportOrigin {
        digest: form.digest,
        file_name: form.file_name,
        plan: plan_from(form.plan)?,
        unit_before: match form.unit_before {
            None => None,
            Some(symbol) => Some(unit_from(&symbol)?),
        },
        merge: match form.merge {
            None => None,
            Some(form) => Some(merge_from(form)?),
        },
    })
}
