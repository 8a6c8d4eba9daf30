//! What is said about a file as a whole.
//!
//! Enters: counts and places met while a file was read. Leaves: notes.
//! Always true: a note names lines of the file; beyond [`MOST_LINES`] of one kind the rest are counted in one note.
//! Never: speaks of a single animal's figures; that is the work of the checks.

use crate::note::{Note, Place, Severity};
use crate::sheet::schema::SheetKind;

/// So many lines of one kind are named one by one.
pub const MOST_LINES: usize = 20;

/// Lines of one kind: the first ones by number, the others counted.
#[derive(Clone, Debug, Default)]
pub struct Lines {
    /// The first lines, each with what was read there.
    pub first: Vec<(u32, String)>,
    /// All of them.
    pub n: u32,
}

impl Lines {
    /// Adds a line.
    pub fn add(&mut self, line: u32, read: impl FnOnce() -> String) {
        if self.first.len() < MOST_LINES {
            self.first.push((line, read()));
        }
        self.n += 1;
    }
}

/// Notes being gathered.
pub struct Notes {
    sheet: SheetKind,
    /// The notes, in the order in which they were made.
    pub notes: Vec<Note>,
}

impl Notes {
    /// None yet.
    pub fn new(sheet: SheetKind) -> Notes {
        Notes {
            sheet,
            notes: Vec::new(),
        }
    }

    /// A note about the file.
    pub fn file(&mut self, code: &'static str, severity: Severity, message: String, hint: &str) {
        self.push(
            code,
            severity,
            Place::default(),
            String::new(),
            message,
            hint,
        );
    }

    /// A note about a column of the file.
    pub fn column(
        &mut self,
        code: &'static str,
        severity: Severity,
        header: &str,
        read: String,
        message: String,
        hint: &str,
    ) {
        let place = Place {
            header: Some(header.to_owned()),
            ..Place::default()
        };
        self.push(code, severity, place, read, message, hint);
    }

    /// A note for each of the first lines, and one for the rest.
    pub fn lines(
        &mut self,
        code: &'static str,
        severity: Severity,
        lines: &Lines,
        message: &str,
        hint: &str,
    ) {
        for (line, read) in &lines.first {
            let place = Place {
                line: Some(*line),
                ..Place::default()
            };
            self.push(
                code,
                severity,
                place,
                read.clone(),
                message.to_owned(),
                hint,
            );
        }
        let n_more = lines.n as usize - lines.first.len();
        if n_more > 0 {
            let message = format!("{message} The same holds for {n_more} more lines.");
            self.push(
                code,
                severity,
                Place::default(),
                String::new(),
                message,
                hint,
            );
        }
    }

    fn push(
        &mut self,
        code: &'static str,
        severity: Severity,
        mut place: Place,
        read: String,
        message: String,
        hint: &str,
    ) {
        place.sheet = Some(self.sheet);
        self.notes.push(Note {
            code,
            severity,
            place,
            read,
            message,
            hint: hint.to_owned(),
        });
    }
}
