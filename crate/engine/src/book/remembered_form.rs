//! Remembered ways of reading as they are written.
//!
//! Enters: ways. Leaves: serde structs, and back.
//! Always true: a way of a later version, with a word that is not known, is passed over and no other with it.
//! Never: judges whether a way fits a file; that is `import::recall`'s.

use serde::{Deserialize, Serialize};

use super::form::{PlanForm, day_from, plan_form, plan_from};
use crate::sheet::day::Day;
use crate::sheet::remembered::{Remembering, Shape, Way};

/// A way of reading, and the files it is for.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct RememberedForm {
    /// Name of the sheet in a spreadsheet file.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    part: String,
    headers: Vec<String>,
    /// `null` forgets a way; it stands in journals only.
    way: Option<WayForm>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct WayForm {
    file_name: String,
    /// ISO 8601, or empty.
    #[serde(default)]
    on: String,
    #[serde(default)]
    answered: Vec<String>,
    plan: PlanForm,
}

/// As it is written.
pub fn remembered_form(remembering: &Remembering) -> RememberedForm {
    RememberedForm {
        part: remembering.shape.part.clone(),
        headers: remembering.shape.headers.clone(),
        way: remembering.way.as_deref().map(|way| WayForm {
            file_name: way.file_name.clone(),
            on: way.on.iso(),
            answered: way.plan.answered.clone(),
            plan: plan_form(&way.plan),
        }),
    }
}

/// As it was written; `None` when a word in it is not known.
pub fn remembered_from(form: RememberedForm) -> Option<Remembering> {
    // Headers written by another program may stand in any order.
    let mut headers = form.headers;
    headers.sort();
    Some(Remembering {
        shape: Shape {
            part: form.part,
            headers,
        },
        way: match form.way {
            None => None,
            Some(way) => {
                let mut plan = plan_from(way.plan)?;
                plan.answered = way.answered;
                Some(Box::new(Way {
                    file_name: way.file_name,
                    on: day_from(&way.on).unwrap_or(Day::MISSING),
                    plan,
                }))
            }
        },
    })
}
