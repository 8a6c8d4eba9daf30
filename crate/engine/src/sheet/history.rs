//! What was done, so that it can be taken back and done again.
//!
//! Enters: the way back of each command applied. Leaves: the command to apply next for undo or redo.
//! Always true: without limit; a new change forgets what was undone before it; taken-back imports keep
//! their rows here and nowhere else.
//! Never: applies a command itself.

use super::edit::Command;

/// A step that can be taken back or done again.
#[derive(Clone)]
pub struct Step {
    /// What the step did when first done: `typing in Weaning weight`.
    pub words: String,
    /// The command that takes it back (or does it again).
    pub command: Command,
}

/// The steps behind and ahead.
#[derive(Clone, Default)]
pub struct History {
    behind: Vec<Step>,
    ahead: Vec<Step>,
}

impl History {
    /// Something new was done; `back` takes it back.
    pub fn did(&mut self, words: String, back: Command) {
        self.ahead.clear();
        self.behind.push(Step {
            words,
            command: back,
        });
    }

    /// What undo would take back, in words.
    pub fn undo_words(&self) -> Option<&str> {
        self.behind.last().map(|step| step.words.as_str())
    }

    /// What redo would do again, in words.
    pub fn redo_words(&self) -> Option<&str> {
        self.ahead.last().map(|step| step.words.as_str())
    }

    /// Takes the step to undo. Follow with [`History::undid`] once applied.
    pub fn take_undo(&mut self) -> Option<Step> {
        self.behind.pop()
    }

    /// The step taken by [`History::take_undo`] was applied; `again` does it again.
    pub fn undid(&mut self, words: String, again: Command) {
        self.ahead.push(Step {
            words,
            command: again,
        });
    }

    /// Takes the step to do again. Follow with [`History::redid`] once applied.
    pub fn take_redo(&mut self) -> Option<Step> {
        self.ahead.pop()
    }

    /// The step taken by [`History::take_redo`] was applied; `back` takes it back.
    pub fn redid(&mut self, words: String, back: Command) {
        self.behind.push(Step {
            words,
            command: back,
        });
    }

    /// Forgets everything: another book was opened.
    pub fn clear(&mut self) {
        self.behind.clear();
        self.ahead.clear();
    }
}
