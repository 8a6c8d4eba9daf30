//! Every tolerance in this crate, with its reason.
//!
//! * **Enters:** nothing.
//! * **Leaves:** constants.
//! * **Always true:** a comparison against "nearly zero" anywhere in the crate uses one of these, so that
//!   two modules cannot disagree about what counts as the same.
//! * **Never:** a tolerance that depends on the unit of measure: each is a ratio.

/// A column of a design is called dependent on the columns before it when the share of its own sum of
/// squares that they leave unexplained (one minus R squared) is at most this.
///
/// Crossproducts of indicator columns are whole numbers and so are exact; covariates are centred and
/// scaled before they are squared. What is left is rounding in the factor, about 1e-13 for a few hundred
/// columns. A column that truly differs from another in one row of a million leaves about 1e-6. The
/// line is drawn between the two, nearer to rounding.
pub const DEPENDENT_COLUMN: f64 = 1e-10;

/// A linear function of the coefficients is called estimable when the condition it must satisfy at each
/// dependent column holds to within this, relative to its largest weight.
///
/// The weights that express a dependent column by the kept ones carry rounding of about the machine
/// epsilon over [`DEPENDENT_COLUMN`] at the very worst (2e-6) and about 1e-12 in ordinary data; the
/// weights of least-squares means are fractions such as 1/7, so a true violation is far larger. Where
/// the worst case and this line meet, the function is refused, which is the safe side.
pub const ESTIMABLE: f64 = 1e-8;

/// A covariate whose spread is at most this share of its size is treated as not varying at all: what is
/// left after taking its mean is rounding.
pub const CONSTANT_COVARIATE: f64 = 1e-13;

/// A residual standard deviation at most this share of the response's own size is rounding, not spread.
/// The fit is then called exact and gives no standard errors.
///
/// Responses are measured to perhaps one part in 1e5; sums over a million rows lose about 1e-13.
pub const EXACT_FIT: f64 = 1e-12;

/// Newton steps on a quantile stop when the step is at most this share of the value: a few roundings.
pub const QUANTILE_STEP: f64 = 1e-15;

/// A continued fraction stops when a step changes it by at most this share: the machine epsilon.
pub const CONTINUED_FRACTION: f64 = f64::EPSILON;

/// Two numbers whose difference is below this share of their sum are compared by a series, because the
/// logarithm of their ratio would lose digits. Any value from 0.05 to 0.3 serves.
pub const LIKELY_EQUAL: f64 = 0.1;

/// The smallest ratio of a random factor's variance to the residual variance in the search, times the
/// most rows of any one level. At this ratio a level's effect is one ten-millionth of its mean deviation:
/// the search treats it as zero, and a factor that ends here is given a variance of exactly zero.
///
/// Not zero in the search itself, because the traces of a factor at zero would then need formulas of
/// their own; they lose about eight of sixteen digits here, which is plenty for a sign.
pub const RATIO_FLOOR: f64 = 1e-7;

/// The search for variances ends when the next step promises to raise the log-likelihood by at most
/// this. A variance is then within about a millionth of its own standard error of the best.
pub const LIKELIHOOD_SETTLED: f64 = 1e-12;

/// Two log-likelihoods closer than this share of their size are the same: sums over rows and levels lose
/// about 1e-13.
pub const LIKELIHOOD_ROUNDING: f64 = 1e-12;

/// A residual variance at most this share of the fixed model's is on its way to zero: within the levels of
/// the random factors nothing is left, as when nearly every level has one row. At this share the residual
/// standard deviation is a thousandth of the fixed model's, below what a scale can read.
pub const RESIDUAL_VANISHES: f64 = 1e-6;

/// A random factor of whose sum of squares the fixed part leaves at most this share is explained by the
/// fixed part. What is left of a truly explained one is rounding, about 1e-12.
pub const EXPLAINED_FACTOR: f64 = 1e-9;

/// Degrees of freedom that agree to this share are the same.
pub const SAME_DF: f64 = 1e-8;

/// The most degrees of freedom that are told apart from infinitely many: at this many a 95 in 100
/// multiplier of t differs from the normal's by two in a million.
pub const MOST_DF: f64 = 1e6;

/// Sums along a line stop at the first term below this share of the sum.
pub const NEGLIGIBLE_TERM: f64 = 1e-17;

/// Quantiles of distributions that are themselves integrals stop moving at this share of their value:
/// their tails are good to about 1e-10.
pub const QUANTILE_SETTLED: f64 = 1e-11;

/// Correlations count as products of one number for each comparison when none is further off than this.
/// The p of Dunnett's comparisons then moves by less than a ten-thousandth.
pub const ONE_FACTOR: f64 = 1e-3;

/// Correlations come near enough to products of one number for each comparison when none is further off than
/// this. A tail of five in a hundred then moves by less than two in a thousand.
pub const NEARLY_ONE_FACTOR: f64 = 0.1;
