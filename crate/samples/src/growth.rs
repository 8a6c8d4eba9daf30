//! How heavy an invented calf grows.
//!
//! Enters: the true effects of one calf, in hundredths of a pound. Leaves: its birth weight and its
//! weight on a day, in whole pounds. Always true: gain is even from birth to weighing, as the
//! published straight-line adjustment assumes. Never: the published factors, which the true dam-age
//! effects differ from on purpose.

/// True dam-age effects on the weight at 205 days, hundredths of a pound, against a dam in the 5 to
/// 10 year classes: for male and for female calves.
pub const DAM_AGE_EFFECT: [(&str, i64, i64); 5] = [
    ("2", -6_600, -5_800),
    ("3", -4_200, -3_800),
    ("4", -1_800, -1_600),
    ("5-10", 0, 0),
    ("11+", -1_500, -1_300),
];

/// True dam-age effects on birth weight, hundredths of a pound, in the same order.
pub const DAM_AGE_EFFECT_AT_BIRTH: [i64; 5] = [-800, -450, -150, 0, -250];

/// Index into the dam-age tables for a dam of this many days: the published class bounds (639, 1004,
/// 1370, 1735, 3926 days; Beef Improvement Federation guidelines, page Age_of_Dam). Dams under 639
/// days do not occur in the sample books' growth.
pub fn dam_class(age_days: i64) -> usize {
    match age_days {
        ..1_004 => 0,
        1_004..1_370 => 1,
        1_370..1_735 => 2,
        1_735..3_926 => 3,
        _ => 4,
    }
}

/// True dam-age effect on the weight at 205 days, hundredths of a pound.
pub fn dam_age_effect(age_days: i64, male: bool) -> i64 {
    let (_, for_male, for_female) = DAM_AGE_EFFECT[dam_class(age_days)];
    if male { for_male } else { for_female }
}

/// Weight in whole pounds at `age_days`, for a calf born at `birth` and due to reach `at_205`, both
/// hundredths of a pound. Ages under zero are a slip of the generator.
pub fn weight_at(birth: i64, at_205: i64, age_days: i64) -> i64 {
    assert!(age_days >= 0, "weighed before it was born");
    to_pounds(birth + ((at_205 - birth) * age_days).div_euclid(205))
}

/// Hundredths of a pound as whole pounds, halves up.
pub fn to_pounds(hundredths: i64) -> i64 {
    (hundredths + 50).div_euclid(100)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weight_at_205_days_is_the_weight_due() {
        assert_eq!(weight_at(8_000, 56_000, 205), 560);
        assert_eq!(weight_at(8_000, 56_000, 0), 80);
        assert_eq!(weight_at(8_000, 56_000, 230), 619);
    }

    #[test]
    fn class_bounds_are_the_published_days() {
        let classes: Vec<usize> = [639, 1_003, 1_004, 1_369, 1_370, 1_734, 1_735, 3_925, 3_926]
            .map(dam_class)
            .to_vec();
        assert_eq!(classes, [0, 0, 1, 1, 2, 2, 3, 3, 4]);
    }
}
