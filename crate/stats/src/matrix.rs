//! The dense matrices that least squares needs.
//!
//! * **Enters:** crossproducts, a few hundred columns wide.
//! * **Leaves:** a factor that says which columns are independent, and solves in them.
//! * **Always true:** columns are taken in the order given, never pivoted by size: the caller decides
//!   which of two confounded columns is kept, and the answer can be told in words.
//! * **Never:** forms an inverse.
//!
//! Written here and not taken from faer: its rank-revealing factors choose their own column order, and at
//! this width a plain factor takes milliseconds, so the compiled module stays small.

mod factor;
mod symmetric;

pub(crate) use factor::SemidefiniteFactor;
pub(crate) use symmetric::Symmetric;
