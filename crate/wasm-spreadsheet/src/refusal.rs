//! Why a file cannot be read.
//!
//! Enters: what went wrong. Leaves: a code, what happened, what to do.
//! Always true: each code has a heading in `docs/errors.md`.
//! Never: shows a library's own words alone.

use std::fmt;

/// A file or sheet that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// Dotted code.
    pub code: &'static str,
    /// What happened.
    pub message: String,
    /// What to do.
    pub hint: &'static str,
}

impl fmt::Display for Refused {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(to, "{} {}", self.message, self.hint)
    }
}

impl std::error::Error for Refused {}

/// The code of a remark: a cell merged over several rows was read in each of them.
pub const MERGED: &str = "import.spreadsheet.merged";

/// Not a spreadsheet file, or damaged.
pub fn unreadable(cause: &str) -> Refused {
    Refused {
        code: "import.spreadsheet.unreadable",
        message: format!("This file could not be read as a spreadsheet ({cause})."),
        hint: "Open it in the program it came from, save it again, or save the sheet as CSV and bring that in.",
    }
}

/// Protected by a password.
pub fn locked() -> Refused {
    Refused {
        code: "import.spreadsheet.locked",
        message: "This spreadsheet is locked with a password.".to_owned(),
        hint: "Open it in the program it came from, take the password off or save the sheet as CSV, and bring that in.",
    }
}

/// More than can be held.
pub fn too_large() -> Refused {
    Refused {
        code: "import.spreadsheet.too_large",
        message: "This spreadsheet unpacks to more than can be held here.".to_owned(),
        hint: "Save the sheet you need as CSV and bring that in; a CSV file may be far larger.",
    }
}

/// No sheet of that name.
pub fn no_sheet(name: &str) -> Refused {
    Refused {
        code: "import.spreadsheet.no_sheet",
        message: format!("The file has no sheet \"{name}\"."),
        hint: "Choose one of its sheets.",
    }
}

/// No sheet that holds cells.
pub fn nothing_in_it() -> Refused {
    Refused {
        code: "import.spreadsheet.empty",
        message: "No sheet of this file holds anything.".to_owned(),
        hint: "Check that it is the right file, and that it was saved after typing.",
    }
}
