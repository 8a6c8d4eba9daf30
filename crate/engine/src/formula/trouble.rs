//! What is wrong or doubtful in a formula's text, and where.
//!
//! Enters: a code, a place and words. Leaves: a finding that can be shown under the place it means.
//! Always true: it says what is wrong and how to mend it; the code has a heading in `docs/errors.md`.
//! Never: speaks of a row; what happens in a row is an error value.

/// A stretch of a formula's text, in bytes from its start, the end left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// Byte after the last.
    pub end: usize,
}

impl Span {
    /// From `start` up to `end`.
    pub const fn new(start: usize, end: usize) -> Span {
        Span { start, end }
    }

    /// From the start of this one to the end of another.
    pub fn to(self, other: Span) -> Span {
        Span::new(self.start.min(other.start), self.end.max(other.end))
    }

    /// The same stretch counted in UTF-16 units, as browsers count.
    pub fn utf16(self, text: &str) -> Span {
        let units = |to: usize| {
            text.char_indices()
                .take_while(|(at, _)| *at < to)
                .map(|(_, character)| character.len_utf16())
                .sum()
        };
        Span::new(units(self.start), units(self.end))
    }
}

/// How much it matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// The formula works; something in it may not be what was meant.
    Remark,
    /// The formula cannot be used.
    Error,
}

/// Something wrong or doubtful in a formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// Stable dotted code.
    pub code: &'static str,
    /// How much it matters.
    pub weight: Weight,
    /// Where.
    pub span: Span,
    /// What is wrong, one plain sentence.
    pub message: String,
    /// How to mend it, one plain sentence.
    pub hint: String,
}

impl Trouble {
    /// Something that makes the formula unusable.
    pub fn error(
        code: &'static str,
        span: Span,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Trouble {
        Trouble {
            code,
            weight: Weight::Error,
            span,
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// Something to look at.
    pub fn remark(
        code: &'static str,
        span: Span,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Trouble {
        Trouble {
            weight: Weight::Remark,
            ..Trouble::error(code, span, message, hint)
        }
    }
}
