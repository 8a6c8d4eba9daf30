//! The saved book and the journal, versioned.
//!
//! Enters: a workbook, or bytes. Leaves: bytes, or a workbook, or a refusal in plain words.
//! Always true: what is saved opens again cell for cell; bytes from anywhere are refused or read, never a
//! panic; older versions open. The forms written are structs of this module alone, so that the engine's
//! types can change without changing what lies on disk.
//! Never: touches storage; the page and the command line do.

pub mod acceptance;
mod check_ways_form;
pub mod difference;
pub mod digest;
pub mod form;
pub mod journal;
pub mod look_form;
mod merge_form;
pub mod open;
mod origin_form;
pub mod package;
pub mod record;
mod remembered_form;
pub mod save;
pub mod table_csv;
