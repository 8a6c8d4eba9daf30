//! How far a comparison is, and whether to go on.
//!
//! Enters: a callback. Leaves: stages told to it; its wish to stop.
//! Always true: telling changes no number; a stopped comparison leaves nothing behind.
//! Never: reads a clock.

use std::ops::ControlFlow;

use crate::error::Error;

/// A stage of a comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Sorting the calves.
    Calves,
    /// Fitting what is held equal.
    Held,
    /// Looking for the spreads of cows, bulls and places.
    Spreads,
    /// Working out means, differences and their intervals.
    Differences,
    /// Looking at places and seasons.
    Reach,
}

impl Stage {
    /// Every stage, in order.
    pub const ALL: [Stage; 5] = [
        Stage::Calves,
        Stage::Held,
        Stage::Spreads,
        Stage::Differences,
        Stage::Reach,
    ];

    /// In words, to follow "now".
    pub fn words(self) -> &'static str {
        match self {
            Stage::Calves => "sorting the calves",
            Stage::Held => "fitting what is held equal",
            Stage::Spreads => "finding how far cows, bulls and places spread",
            Stage::Differences => "working out the differences",
            Stage::Reach => "looking at places and seasons",
        }
    }
}

/// Where a comparison stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CompareProgress {
    /// The stage that begins, or goes on.
    pub stage: Stage,
    /// Steps taken within it.
    pub step: usize,
}

/// The comparison was stopped.
pub(super) struct Stopped;

impl From<Stopped> for Error {
    fn from(_: Stopped) -> Error {
        Error::new(
            "compare.stopped",
            "The comparison was stopped.",
            "Start it again when you like; nothing was changed.",
        )
    }
}

/// Whoever watches.
pub(super) struct Watch<'a> {
    told: &'a mut dyn FnMut(CompareProgress) -> ControlFlow<()>,
}

impl<'a> Watch<'a> {
    pub fn new(told: &'a mut dyn FnMut(CompareProgress) -> ControlFlow<()>) -> Watch<'a> {
        Watch { told }
    }

    pub fn tell(&mut self, stage: Stage, step: usize) -> ControlFlow<()> {
        (self.told)(CompareProgress { stage, step })
    }

    /// A stage begins.
    pub fn begin(&mut self, stage: Stage) -> Result<(), Stopped> {
        match self.tell(stage, 0) {
            ControlFlow::Continue(()) => Ok(()),
            ControlFlow::Break(()) => Err(Stopped),
        }
    }
}
