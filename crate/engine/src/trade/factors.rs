//! Age-of-dam classes and additive factors.
//!
//! Enters: an age of dam in days. Leaves: her class and the pounds to add.
//! Always true: a dam of unknown age, or younger than the youngest class, has no class and no factor.
//! Never: treats unknown as mature.

/// One class of dam age with its factors.
#[derive(Clone, Debug, PartialEq)]
pub struct DamAgeClass {
    /// What people call it: `2`, `5-10`, `11+`.
    pub name: String,
    /// Youngest age at calving, days, inclusive.
    pub from_days: i32,
    /// Oldest age at calving, days, inclusive; `i32::MAX` when open.
    pub to_days: i32,
    /// Added to the birth weight of any calf, lb.
    pub birth_lb: f64,
    /// Added to the 205-day weight of bulls and steers, lb.
    pub weaning_male_lb: f64,
    /// Added to the 205-day weight of heifers, lb.
    pub weaning_female_lb: f64,
}

/// A table of age-of-dam factors.
#[derive(Clone, Debug, PartialEq)]
pub struct FactorTable {
    /// Stable key, stored in books.
    pub key: String,
    /// What people read.
    pub name: String,
    /// Where it was published.
    pub source: String,
    /// Classes by age, youngest first, without gaps.
    pub classes: Vec<DamAgeClass>,
}

impl FactorTable {
    /// The published industry guideline.
    ///
    /// Factors: Michigan State University Extension, "Calculating calf-adjusted weaning weights and herd
    /// indexes" (quoting the Beef Improvement Federation table),
    /// <https://www.canr.msu.edu/news/calculating_calf_adjusted_weaning_weights_and_herd_indexes>.
    /// Classes in days: BIF Guidelines, page Age_of_Dam,
    /// <http://guidelines.beefimprovement.org/index.php/Age_of_Dam>. The join of the two (5-10 is 1735 to
    /// 3925 days) is ours. That "male" covers bulls and steers is from memory.
    pub fn guideline() -> FactorTable {
        let class = |name: &str, from_days, to_days, birth_lb, male, female| DamAgeClass {
            name: name.to_owned(),
            from_days,
            to_days,
            birth_lb,
            weaning_male_lb: male,
            weaning_female_lb: female,
        };
        FactorTable {
            key: "guideline".to_owned(),
            name: "Beef Improvement Federation guideline".to_owned(),
            source: "BIF Guidelines, Age of Dam; factors as printed by Michigan State University Extension".to_owned(),
            classes: vec![
                class("2", 639, 1003, 8.0, 60.0, 54.0),
                class("3", 1004, 1369, 5.0, 40.0, 36.0),
                class("4", 1370, 1734, 2.0, 20.0, 18.0),
                class("5-10", 1735, 3925, 0.0, 0.0, 0.0),
                class("11+", 3926, i32::MAX, 3.0, 20.0, 18.0),
            ],
        }
    }

    /// Position of the class of a dam of this age at calving, or `None` below the youngest class.
    pub fn class_of(&self, dam_age_days: i32) -> Option<usize> {
        self.classes
            .iter()
            .position(|class| (class.from_days..=class.to_days).contains(&dam_age_days))
    }
}
