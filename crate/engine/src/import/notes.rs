//! What is said about a file as a whole.
//!
//! Enters: counts and places met while a file was read. Leaves: notes.
//! Always true: a note names lines of the file; beyond [`MOST_LINES`] of one kind the rest are counted in one note.
//! Never: speaks of a single animal's figures; that is the work of the checks.

use super::plan::{ImportPlan, Target};
use crate::note::{Note, Place, Severity, counted};
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

impl Lines {
    /// Takes a line out again, where it is still known by number.
    pub fn forget(&mut self, line: u32) {
        let before = self.first.len();
        self.first.retain(|(at, _)| *at != line);
        self.n -= u32::try_from(before - self.first.len()).unwrap_or(0);
    }
}

/// Notes being gathered.
pub struct Notes {
    sheet: SheetKind,
    /// The notes, in the order in which they were made.
    notes: Vec<Note>,
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

    /// A note about the first of the lines that it holds for.
    pub fn line(
        &mut self,
        code: &'static str,
        severity: Severity,
        line: Option<u32>,
        message: String,
        hint: &str,
    ) {
        let place = Place {
            line,
            ..Place::default()
        };
        self.push(code, severity, place, String::new(), message, hint);
    }

    /// A note about a line and what was read there.
    pub fn line_read(
        &mut self,
        code: &'static str,
        severity: Severity,
        line: u32,
        read: String,
        message: String,
        hint: &str,
    ) {
        let place = Place {
            line: Some(line),
            ..Place::default()
        };
        self.push(code, severity, place, read, message, hint);
    }

    /// The notes as they are, for those that name no header.
    pub fn all(self) -> Vec<Note> {
        self.notes
    }

    /// The notes, with the known column that each header became.
    pub fn finish(mut self, plan: &ImportPlan) -> Vec<Note> {
        for note in &mut self.notes {
            let header = note.place.header.as_deref();
            note.place.column = plan
                .columns
                .iter()
                .filter(|column| Some(column.header.as_str()) == header)
                .find_map(|column| match &column.target {
                    Target::Known(key) => Some(key.clone()),
                    Target::CalvingMonth | Target::DueDay => Some("stage".to_owned()),
                    Target::Own | Target::LeaveOut => None,
                });
        }
        self.notes
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

    /// A note about the first of the cells of a column that it holds for.
    #[allow(clippy::too_many_arguments, reason = "the parts of a note")]
    pub fn cell(
        &mut self,
        code: &'static str,
        severity: Severity,
        header: &str,
        line: Option<u32>,
        read: String,
        message: String,
        hint: &str,
    ) {
        let place = Place {
            header: Some(header.to_owned()),
            line,
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
            let message = format!(
                "{message} The same holds for {}.",
                counted(n_more, "more line")
            );
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
