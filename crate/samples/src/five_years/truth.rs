//! What is true in the five-years book, and only there.
//!
//! Enters: nothing. Leaves: the constants the herd is grown by. Always true: hundredths of a pound at
//! 205 days unless said otherwise. Never: a figure from a real herd.

/// Seed of the book.
pub const SEED: u64 = 20_220_301;

/// First calendar year of the book: its cows are exposed for the first season of calves.
pub const FIRST_YEAR: i32 = 2021;
/// Last calendar year of the book.
pub const LAST_YEAR: i32 = 2026;
/// Females the herd means to expose each summer.
pub const EXPOSED_GOAL: usize = 240;

/// Weight due at 205 days for a heifer calf of a 5 to 10 year cow on grass in an average year.
pub const BASE_AT_205: i64 = 49_500;
/// Birth weight of such a calf.
pub const BASE_AT_BIRTH: i64 = 7_600;
/// A steer above a heifer.
pub const STEER_ABOVE_HEIFER: i64 = 2_800;
/// A steer above a heifer, at birth.
pub const MALE_AT_BIRTH: i64 = 500;
/// A twin against a single.
pub const TWIN: i64 = -5_000;
/// A twin against a single, at birth.
pub const TWIN_AT_BIRTH: i64 = -1_200;
/// A bottle calf against one on a cow.
pub const BOTTLE: i64 = -7_000;

/// Standard deviation of the breeding values for a calf's own growth, among animals that start the herd.
pub const GROWTH_SPREAD: i64 = 2_200;
/// The same for what the cow gives her calf (maternal).
pub const MILK_SPREAD: i64 = 1_300;
/// The same for birth weight.
pub const BIRTH_SPREAD: i64 = 400;
/// Standard deviation of a cow's lasting effect that is not inherited.
pub const PERMANENT_SPREAD: i64 = 1_200;
/// Standard deviation of what is left at 205 days.
pub const RESIDUAL: i64 = 3_000;
/// The same at birth.
pub const RESIDUAL_AT_BIRTH: i64 = 550;

/// Places: name, kind, creep, effect.
pub const PLACES: [(&str, &str, &str, i64); 6] = [
    ("Pen 1", "bedded pen", "no", 1_100),
    ("Pen 2", "bedded pen", "yes", 2_000),
    ("North pasture", "pasture", "no", -400),
    ("South pasture", "pasture", "no", 500),
    ("River pasture", "pasture", "no", 200),
    ("Ridge pasture", "pasture", "no", -300),
];

/// Seasons: year, effect. 2024 was dry.
pub const SEASONS: [(i32, i64); 5] = [
    (2022, 0),
    (2023, 1_200),
    (2024, -2_500),
    (2025, 500),
    (2026, 800),
];

/// Bulls: tag, name, year of birth, service, first and last summer in use, breeding group (see
/// `breeding.rs`).
pub const BULLS: [(&str, &str, i32, &str, i32, i32, usize); 17] = [
    ("AI-701", "Madeup Sky", 2015, "ai", 2021, 2023, 0),
    ("AI-702", "Madeup Stone", 2016, "ai", 2024, 2026, 0),
    ("H1", "", 2019, "natural", 2021, 2023, 0),
    ("H2", "", 2019, "natural", 2021, 2022, 0),
    ("H3", "", 2021, "natural", 2023, 2026, 0),
    ("H4", "", 2022, "natural", 2024, 2026, 0),
    ("12B", "", 2018, "natural", 2021, 2023, 1),
    ("44F", "", 2021, "natural", 2024, 2026, 1),
    ("19C", "", 2018, "natural", 2021, 2024, 2),
    ("51G", "", 2022, "natural", 2025, 2026, 2),
    ("23D", "", 2019, "natural", 2021, 2024, 3),
    ("27D", "", 2019, "natural", 2021, 2023, 3),
    ("46F", "", 2021, "natural", 2024, 2026, 3),
    ("53G", "", 2022, "natural", 2025, 2026, 3),
    ("31E", "", 2020, "natural", 2021, 2025, 4),
    ("33E", "", 2020, "natural", 2021, 2024, 4),
    ("57G", "", 2022, "natural", 2025, 2026, 4),
];
