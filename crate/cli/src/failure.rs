//! Why a command could not be carried out.
//!
//! Enters: what was tried and what stood in the way. Leaves: plain sentences on standard error.
//! Always true: the first line says what could not be done, the second how to mend it.
//! Never: shows a code of the operating system alone.

use std::io::{self, Write};
use std::path::Path;

use fairpen_engine::error::Error;

/// Exit code when everything was done.
pub const DONE: u8 = 0;
/// Exit code of `check` when there are errors in the records.
pub const ERRORS_FOUND: u8 = 1;
/// Exit code when the command could not be carried out.
pub const COULD_NOT: u8 = 2;

/// A command that could not be carried out.
#[derive(Debug)]
pub struct Failure {
    message: String,
    hint: String,
}

impl Failure {
    /// What could not be done, and how to mend it.
    pub fn new(message: impl Into<String>, hint: impl Into<String>) -> Failure {
        Failure {
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// What could not be done with a file or folder, with the system's reason in plain words.
    pub fn of_path(doing: &str, path: &Path, error: &io::Error) -> Failure {
        let (reason, hint) = match error.kind() {
            io::ErrorKind::NotFound => (
                "there is no such file or folder",
                "Look at the spelling of the path.",
            ),
            io::ErrorKind::PermissionDenied => (
                "this is not allowed",
                "Choose a place you may use, or ask for the right to use this one.",
            ),
            io::ErrorKind::AlreadyExists | io::ErrorKind::NotADirectory => (
                "there is a file where a folder is needed",
                "Choose another folder.",
            ),
            io::ErrorKind::StorageFull => {
                ("the disk is full", "Make room, or choose another disk.")
            }
            io::ErrorKind::ReadOnlyFilesystem => {
                ("the disk cannot be written to", "Choose another disk.")
            }
            _ => {
                return Failure::new(
                    format!("Cannot {doing} {}: {error}.", path.display()),
                    "Mend this and run the command again.",
                );
            }
        };
        Failure::new(
            format!("Cannot {doing} {}: {reason}.", path.display()),
            hint,
        )
    }

    /// Writes the sentences to standard error.
    pub fn print(&self) {
        // When standard error is closed there is nobody left to tell.
        let _closed = writeln!(io::stderr(), "{}\n{}", self.message, self.hint);
    }
}

impl Failure {
    /// A file that the engine refused, named.
    pub fn of_file(path: &Path, error: &Error) -> Failure {
        Failure::new(
            format!("{} cannot be read: {}", path.display(), error.message()),
            error.hint(),
        )
    }
}

impl From<Error> for Failure {
    fn from(error: Error) -> Failure {
        Failure::new(error.message(), error.hint())
    }
}
