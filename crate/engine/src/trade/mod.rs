//! What the trade has published: factors, windows, classes; data with its sources.
//!
//! Enters: nothing. Leaves: tables and named constants, each with its source.
//! Always true: a figure stands here once; the reference files in `tests/reference` are held against it.
//! Never: computes anything about a herd.

pub mod factors;
pub mod plausible;
