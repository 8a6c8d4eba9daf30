//! Linear mixed models for unbalanced data: fixed effects, and effects drawn at random.
//!
//! * **Enters:** what [`linear`](crate::linear) takes, and random factors as codes or as shares.
//! * **Leaves:** a [`MixedFit`]: variances, predicted levels; and, by way of [`Inference`], estimates,
//!   least-squares means, differences and partial tests; by way of [`Diagnostics`], residuals and what
//!   hangs on each row.
//! * **Always true:** variances are never below zero, and one at zero is said to be so; what the data
//!   cannot separate is refused as in `linear`; every row is used or listed as left out.
//! * **Never:** chooses the model, makes up a level for a row that has none, or adjusts p for many
//!   comparisons.
//!
//! ```
//! use std::ops::ControlFlow;
//! use fairpen_stats::distribution::ConfidenceLevel;
//! use fairpen_stats::linear::{Data, Factor, FactorIndex, Margins, Term};
//! use fairpen_stats::mixed::{fit_mixed, Approximation, MixedSettings, RandomFactor};
//!
//! let gain = [2.1, 2.4, 1.8, 2.0, 2.6, 2.9, 2.2, 2.9];
//! let feed = [0, 1, 0, 1, 0, 1, 0, 1];
//! let pen = [0, 0, 1, 1, 2, 2, 3, 3];
//! let feeds = Factor { codes: &feed, levels: 2 };
//! let pens = RandomFactor::Codes(Factor { codes: &pen, levels: 4 });
//! let data = Data { response: &gain, factors: &[feeds], covariates: &[] };
//! let feed = FactorIndex(0);
//! let fit = fit_mixed(&data, &[Term::Factor(feed)], &[pens], MixedSettings::default(), &mut |_| {
//!     ControlFlow::Continue(())
//! })
//! .unwrap();
//! let level = ConfidenceLevel::NINETY_FIVE;
//! let inference = fit.inference(Approximation::KenwardRoger).unwrap();
//! let means = inference.means(&[feed], Margins::Equal, level).unwrap();
//! let difference = inference.differences(&means, level)[0].estimate.clone().unwrap();
//! assert!((difference.value - -0.375).abs() < 1e-12);
//! // Every pen has both feeds, so the difference is judged by the three differences among four pens.
//! assert!((difference.uncertainty.unwrap().df - 3.0).abs() < 1e-4);
//! ```
//!
//! ## Model and symbols
//!
//! `y = X b + sum of Z_k u_k + e`: y the response; X b the fixed part, as in `linear`; `u_k` the effects
//! of the k-th random factor's levels, normal with mean zero and variance `s_k`
//! ([`VarianceComponent::variance`]); `Z_k` zeros and ones, or weights ([`Shares`]); e the residuals,
//! normal with variance s ([`MixedFit::residual_variance`]). All effects and residuals are independent.
//! V, the covariance of y, is `s H = s I + sum of s_k Z_k Z_k'`; the search is for the ratios `s_k / s`.
//!
//! ## Method
//!
//! Variances by restricted maximum likelihood (Patterson and Thompson 1971, Biometrika 58:545-554), found
//! by Newton steps on the observed or the average information (Gilmour, Thompson and Cullis 1995, Biometrics
//! 51:1440-1450) with halving and a step of expectation and maximisation to fall back on. Effects from
//! Henderson's mixed-model equations (1975, Biometrics 31:423-447). Degrees of freedom by Satterthwaite's
//! method or by Kenward and Roger's (1997, Biometrics 53:983-997). Each source stands beside its formula.
//!
//! ## Size
//!
//! The factor with codes that has the most levels is absorbed: its block of the equations is diagonal, and
//! everything that is asked of it (likelihood, slopes, curvatures, Kenward and Roger's matrices, prediction
//! errors) is had exactly without a matrix of its size. What stands beside it, other random levels and
//! fixed columns together, is dense and may be three thousand wide; a step costs the cube of that width.
//!
//! ## Limits
//!
//! The likelihood may have more than one hill. The search starts from small variances, and again from
//! large ones when one ends at zero; the higher hill counts. Satterthwaite's method takes a variance at zero
//! as known to be zero; Kenward and Roger's does not.

mod check;
mod crossproduct;
mod curvature;
mod diagnostics;
mod error;
mod fit;
mod inference;
mod kenward_roger;
mod likelihood;
mod maximise;
mod prediction;
mod random;
mod rows;
mod satterthwaite;
mod system;
mod traces;

pub use diagnostics::{Diagnostics, MixedRow};
pub use error::MixedError;
pub use fit::{MixedFit, MixedRowCounts, MixedSettings, VarianceComponent, fit_mixed};
pub use inference::{Approximation, Inference, InferenceError, MixedTest};
pub use likelihood::Likelihood;
pub use maximise::Progress;
pub use prediction::Prediction;
pub use random::{RandomFactor, RandomIndex, Shares};
