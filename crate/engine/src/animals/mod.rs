//! Which animal a name stands for.
//!
//! Enters: a name as it stands in a sheet, what it is said of, and the day. Leaves: the animal, or why there is
//! none: not on any sheet, on one but not there that day, or two that fit.
//! Always true: an animal is its sheet and its row's permanent key; tags and electronic IDs are names it carries
//! from a day to a day. Every look-up in the engine goes through here. A kept heifer stands on two sheets and is
//! one animal. The order of rows changes nothing.
//! Never: guesses between two animals.

pub mod call;
pub mod facts;
pub mod find;
pub mod kept;
pub mod links;
pub mod names;
pub mod off_record;
pub mod plain;
pub mod register;
pub mod spoken;

use crate::sheet::schema::SheetKind;

/// An animal: where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Animal {
    /// Calves, cows or bulls.
    pub sheet: SheetKind,
    /// Permanent key of its row there.
    pub row: u32,
}

/// What a name is said of: what the animal must have been able to do on the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deed {
    /// Bore, or raised, a calf born on the day.
    Bore,
    /// Sired an animal born on the day.
    Sired,
    /// Was on hand: weighed, checked, treated, moved.
    OnHand,
}

/// The sheets an animal may stand on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Among {
    /// Cows only.
    Cows,
    /// Bulls only.
    Bulls,
    /// Any animal.
    All,
}

impl Among {
    /// The sheets, in the order in which they are looked through.
    pub const fn sheets(self) -> &'static [SheetKind] {
        match self {
            Among::Cows => &[SheetKind::Cows],
            Among::Bulls => &[SheetKind::Bulls],
            Among::All => &[SheetKind::Cows, SheetKind::Bulls, SheetKind::Calves],
        }
    }
}

/// What a name stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// No animal carries, or carried, this name.
    NotThere,
    /// This one.
    One(Animal),
    /// Animals carry the name, but none can be meant: born later, gone before, or not called so that day.
    NoneFits(Vec<Animal>),
    /// These all fit.
    Several(Vec<Animal>),
}
