//! Accepted doubts as they are written.
//!
//! Enters: acceptances. Leaves: serde structs, and back.
//! Always true: keys and codes are the stable ones.
//! Never: judges whether a doubt still stands; that is `check`'s.

use serde::{Deserialize, Serialize};

use crate::sheet::accepted::{Acceptance, Doubt};
use crate::sheet::schema::SheetKind;

/// One doubt, and what was read when it was accepted.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct AcceptanceForm {
    sheet: String,
    #[serde(default)]
    row: Option<u32>,
    column: String,
    code: String,
    /// `null` takes an acceptance back; it stands in journals only.
    read: Option<String>,
}

/// An acceptance as it is written.
pub fn acceptance_form(acceptance: &Acceptance) -> AcceptanceForm {
    let Doubt {
        sheet,
        row,
        column,
        code,
    } = &acceptance.doubt;
    AcceptanceForm {
        sheet: sheet.key().to_owned(),
        row: *row,
        column: column.clone(),
        code: code.clone(),
        read: acceptance.read.clone(),
    }
}

/// The acceptance that was written; `None` when its sheet is not known.
pub fn acceptance_from(form: AcceptanceForm) -> Option<Acceptance> {
    Some(Acceptance {
        doubt: Doubt {
            sheet: SheetKind::from_key(&form.sheet)?,
            row: form.row,
            column: form.column,
            code: form.code,
        },
        read: form.read,
    })
}
