//! Rules of the house that no compiler checks.
//!
//! - Enters: the files of the working tree, tracked or about to be.
//! - Leaves: passing tests, or the places that break a rule with the way to mend them.
//! - Always true: a rule is stated once, here, with its reason.
//! - Never: changes a file.

mod codes;
mod direction;
mod layout;
mod source;
