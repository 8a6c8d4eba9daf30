//! Entry in the alley: one animal, one fact, at once.
//!
//! Enters: what is being done (weighing, calving, pregnancy checks), an animal, a day, what was typed.
//! Leaves: the animals that may be meant, the command that enters it, what is doubtful about it, and what
//! was entered that day.
//! Always true: an entry is an ordinary change of the sheets: journalled, undone and checked like one.
//! Never: chooses between animals; the person taps one.

pub mod doubts;
pub mod entry;
pub mod find;
pub mod today;
pub mod work_list;

use crate::sheet::schema::SheetKind;

/// What is being done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Task {
    /// Weaning weights, into the calves.
    Weaning,
    /// Birth weights, into the calves.
    Birth,
    /// Yearling weights, into the calves.
    Yearling,
    /// Any other weighing, of any animal: a row of weights.
    Weighing,
    /// New calves.
    Calving,
    /// Pregnancy checks.
    Pregnancy,
}

impl Task {
    /// All, in the order in which they are offered.
    pub const ALL: [Task; 6] = [
        Task::Weaning,
        Task::Birth,
        Task::Yearling,
        Task::Weighing,
        Task::Calving,
        Task::Pregnancy,
    ];

    /// Stable key.
    pub const fn key(self) -> &'static str {
        match self {
            Task::Weaning => "weaning",
            Task::Birth => "birth",
            Task::Yearling => "yearling",
            Task::Weighing => "weighing",
            Task::Calving => "calving",
            Task::Pregnancy => "pregnancy",
        }
    }

    /// The task with this key.
    pub fn from_key(key: &str) -> Option<Task> {
        Task::ALL.into_iter().find(|task| task.key() == key)
    }

    /// The sheet that takes the entries.
    pub const fn sheet(self) -> SheetKind {
        match self {
            Task::Weaning | Task::Birth | Task::Yearling | Task::Calving => SheetKind::Calves,
            Task::Weighing => SheetKind::Weights,
            Task::Pregnancy => SheetKind::Checks,
        }
    }

    /// The column that holds what is entered, and that of its day.
    const fn columns(self) -> (&'static str, &'static str) {
        match self {
            Task::Weaning => ("wean_weight", "weigh_date"),
            Task::Birth => ("birth_weight", "birth_date"),
            Task::Yearling => ("yearling_weight", "yearling_date"),
            Task::Weighing => ("weight", "date"),
            Task::Calving => ("tag", "birth_date"),
            Task::Pregnancy => ("result", "date"),
        }
    }
}
