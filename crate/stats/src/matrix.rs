//! The dense matrices that least squares and the mixed model need.
//!
//! * **Enters:** crossproducts, a few hundred columns wide; a few thousand for the positive factor.
//! * **Leaves:** a factor that says which columns are independent, and solves in them.
//! * **Always true:** columns are taken in the order given, never pivoted by size: the caller decides
//!   which of two confounded columns is kept, and the answer can be told in words.
//! * **Never:** forms an inverse where a solution will do: the mixed model needs traces of inverses.
//!
//! Written here and not taken from faer: its rank-revealing factors choose their own column order, and at
//! this width a plain factor takes milliseconds, so the compiled module stays small. Its wide kernels also
//! differ between processors in the last digits, which `positive` must not.

mod eigen;
mod factor;
mod positive;
mod symmetric;

pub(crate) use eigen::eigen;
pub(crate) use factor::SemidefiniteFactor;
pub(crate) use positive::{PositiveFactor, dot, product};
pub(crate) use symmetric::Symmetric;
