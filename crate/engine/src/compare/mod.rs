//! Group against group, from raw to fair.
//!
//! Enters: a book, its adjusted weights and groups, and which column to compare. Leaves: [`Comparison`].
//! Always true: the verdict is a value; `Verdict::Differs` stands exactly when the contrast can be
//! estimated and its interval excludes zero; every sentence is rendered from the verdict alone.
//! Never: claims more than the model; every count used and left out travels with the numbers.

pub mod result;
