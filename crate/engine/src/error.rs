//! A refused operation.
//!
//! Enters: what was asked and why it cannot be done. Leaves: a code, a sentence and a hint.
//! Always true: nothing was changed when an operation is refused.
//! Never: reports a doubtful cell; that is a [`crate::note::Note`].

use std::fmt;

/// Why an operation was refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Error {
    code: &'static str,
    message: String,
    hint: String,
}

impl Error {
    /// A refusal: stable dotted code, one plain sentence, and how to mend it.
    pub fn new(code: &'static str, message: impl Into<String>, hint: impl Into<String>) -> Error {
        Error {
            code,
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// Stable dotted code, explained in `docs/errors.md`.
    pub fn code(&self) -> &'static str {
        self.code
    }

    /// What is wrong.
    pub fn message(&self) -> &str {
        &self.message
    }

    /// How to mend it.
    pub fn hint(&self) -> &str {
        &self.hint
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.message, self.hint)
    }
}

impl std::error::Error for Error {}
