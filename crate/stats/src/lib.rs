//! Fairpen numerics: pure statistics over slices.
//!
//! * **Enters:** slices of numbers and of level codes, and settings as plain values.
//! * **Leaves:** structs of numbers, and small enums that name a broken condition and where it broke.
//! * **Always true:** the same input gives the same output, natively and in WebAssembly; the order of
//!   the rows matters to no result beyond rounding; `NaN` on input means "missing", is counted, and is
//!   never read as zero; a number that cannot be had is an `Option` or an error, never a `NaN`.
//! * **Never:** reads a clock, a file or a random source; knows anything of tables, cattle or units.
//!
//! The map, from the ground up:
//!
//! | module | what it is for |
//! | --- | --- |
//! | [`tolerance`] | every tolerance, with its reason |
//! | [`distribution`] | Student's t, F, normal and chi-square: the only user of statrs |
//! | [`describe`] | counts, moments, quantiles, ranks, standardised differences |
//! | [`mod@test`] | one-sample and two-sample t tests with intervals |
//! | [`linear`] | least squares for unbalanced data: means, contrasts, partial tests, what is confounded |
//! | [`mixed`] | the same with effects drawn at random: variances, what they do to estimates, predicted levels |
//! | [`multiple`] | p-values and intervals for several comparisons at once |
//! | [`power`] | what an interval could have shown |
//! | [`in_order`] | the sort of short lists, here and in the engine |
//! | `matrix` | the matrices and factors underneath `linear` and `mixed` |

pub mod describe;
pub mod distribution;
pub mod in_order;
pub mod linear;
mod matrix;
pub mod mixed;
pub mod multiple;
pub mod power;
pub mod sum;
pub mod test;
pub mod tolerance;
