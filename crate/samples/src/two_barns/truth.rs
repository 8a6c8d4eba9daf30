//! What is true in the two-barns book, and only there: the answers its comparisons should find.
//!
//! Enters: nothing. Leaves: the constants the generator grows calves by. Always true: hundredths of
//! a pound at 205 days unless said otherwise. Never: a figure from a real herd.

/// Seed of the book.
pub const SEED: u64 = 20_260_315;

/// Weight due at 205 days for a heifer calf of a 5 to 10 year cow on grass, by an average bull.
pub const BASE_AT_205: i64 = 50_500;
/// Birth weight of such a calf.
pub const BASE_AT_BIRTH: i64 = 7_600;
/// A bull calf above a heifer calf, at 205 days.
pub const BULL_ABOVE_HEIFER: i64 = 4_800;
/// A steer calf above a heifer calf, at 205 days.
pub const STEER_ABOVE_HEIFER: i64 = 2_600;
/// A male calf above a female calf, at birth.
pub const MALE_AT_BIRTH: i64 = 550;
/// A bedded pen above a pasture: the answer the book is for.
pub const PEN_ABOVE_PASTURE: i64 = 1_800;
/// Creep feed above none.
pub const CREEP_ABOVE_NONE: i64 = 1_200;
/// A twin against a single.
pub const TWIN: i64 = -5_500;
/// A twin against a single, at birth.
pub const TWIN_AT_BIRTH: i64 = -1_200;
/// A bottle calf against one on a cow.
pub const BOTTLE: i64 = -7_000;
/// A calf that was sick, on top of everything else.
pub const SICK: i64 = -3_500;
/// Standard deviation of what is left: one calf against another like it.
pub const RESIDUAL: i64 = 3_000;
/// The same at birth.
pub const RESIDUAL_AT_BIRTH: i64 = 650;

/// Bulls: tag, effect on the weight at 205 days, effect on birth weight.
pub const BULLS: [(&str, i64, i64); 5] = [
    ("17D", 1_400, 350),
    ("41C", -700, 100),
    ("52F", 300, 0),
    ("30G", -1_100, -450),
    ("8E", 100, -650),
];

/// Places: name, kind, creep, weaning batch (1 or 2), effect of the place itself.
pub const PLACES: [(&str, &str, &str, usize, i64); 7] = [
    ("Pen 1", "bedded pen", "no", 1, 300),
    ("Pen 2", "bedded pen", "yes", 1, -400),
    ("Pen 3", "bedded pen", "no", 2, -200),
    ("Pen 4", "bedded pen", "yes", 2, 300),
    ("Hill pasture", "pasture", "no", 1, -400),
    ("Creek pasture", "pasture", "no", 2, 500),
    ("East pasture", "pasture", "no", 2, -100),
];
