//! Least squares with fixed effects, for data whose cells hold unequal numbers.
//!
//! * **Enters:** a response, factors as level codes, covariates, and a list of [`Term`]s.
//! * **Leaves:** a [`Fit`]: residual spread, what is confounded with what, linear functions of the
//!   coefficients, least-squares means and their differences, partial sums of squares.
//! * **Always true:** a quantity that the data cannot separate is refused with the columns at fault; it
//!   is never given a number that depends on how effects happen to be coded. Every row is either used or
//!   listed as left out.
//! * **Never:** treats an effect as random, picks terms, or adjusts p for many comparisons.
//!
//! ```
//! use fairpen_stats::distribution::ConfidenceLevel;
//! use fairpen_stats::linear::{fit, Data, Factor, FactorIndex, Margins, Term};
//!
//! let gain = [2.1, 2.4, 1.9, 2.6, 2.2, 2.8];
//! let place = [0, 0, 0, 1, 1, 1];
//! let sex = [0, 1, 0, 1, 0, 1];
//! let data = Data {
//!     response: &gain,
//!     factors: &[Factor { codes: &place, levels: 2 }, Factor { codes: &sex, levels: 2 }],
//!     covariates: &[],
//! };
//! let (place, sex) = (FactorIndex(0), FactorIndex(1));
//! let fit = fit(&data, &[Term::Factor(place), Term::Factor(sex)]).unwrap();
//! let level = ConfidenceLevel::NINETY_FIVE;
//! let means = fit.means(&[place], Margins::Equal, level).unwrap();
//! let differences = fit.differences(&means, level);
//! let estimate = differences[0].estimate.as_ref().unwrap();
//! assert!((estimate.value - -0.25).abs() < 1e-12);
//! ```
//!
//! ## Method
//!
//! The columns are an intercept, one indicator for each cell of each factor term that holds at least one
//! used row, and covariates measured from their mean. The crossproducts are summed row by row, so memory
//! does not grow with the rows. Squaring a design squares its condition number; what makes that safe
//! here is that indicator crossproducts are whole numbers and exact, covariates are centred and scaled
//! first, the response is centred, and the solution is then corrected once from the true residuals
//! (corrected seminormal equations, Björck 1987, Linear Algebra and its Applications 88/89:31-48). The
//! residual sum of squares is summed from residuals, never taken as a difference. The test
//! `wampler_polynomial` fails without the correction.
//!
//! A coefficient solution of such a model is one of many; only estimable functions of it have a meaning
//! (Searle 1971, Linear Models, section 5.4). Every number that [`Fit`] gives is checked for that.

mod design;
mod error;
mod estimable;
mod fit;
mod means;
mod partial;
mod term;

pub use design::{Alias, Column, EmptyCell, RowCounts};
pub use error::FitError;
pub use estimable::{Estimate, LinearFunction, NotEstimable, Uncertainty};
pub use fit::{Fit, RowResult, fit};
pub use means::{CellMean, Difference, Margins, MeansError};
pub use partial::{FTest, PartialTest};
pub use term::{CovariateIndex, Data, Factor, FactorIndex, MISSING_LEVEL, Term, TermIndex};
