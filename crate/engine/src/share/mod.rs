//! What leaves: tables, the results file, and the working behind each number.
//!
//! Enters: a book and its results. Leaves: texts and bytes for people and other programs.
//! Always true: only what was chosen goes out; text that another program could run as a formula is
//! neutralised; numbers are written with full precision, rounding is for people.
//! Never: computes a result of its own.

pub mod tables;
pub mod text_safety;
pub mod working;
