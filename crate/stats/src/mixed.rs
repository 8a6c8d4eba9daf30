//! Linear mixed models for unbalanced data: fixed effects, and effects drawn at random.
//!
//! * **Enters:** what [`linear`](crate::linear) takes, and random factors as codes or as shares.
//! * **Leaves:** a [`MixedFit`]: variances, predicted levels.
//! * **Always true:** variances are never below zero, and one at zero is said to be so; no row is left out
//!   without being counted.
//! * **Never:** chooses the model, or takes the place of a missing level.

mod check;
mod crossproduct;
mod curvature;
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

pub use error::MixedError;
pub use fit::{MixedFit, MixedRowCounts, MixedSettings, VarianceComponent, fit_mixed};
pub use inference::{Approximation, Inference, InferenceError, MixedTest};
pub use likelihood::Likelihood;
pub use maximise::Progress;
pub use prediction::Prediction;
pub use random::{RandomFactor, RandomIndex, Shares};
