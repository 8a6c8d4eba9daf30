//! The working behind ages, birth weights, gains and the adjusted weight.

use super::marks::{ABOUT_DAM, AGAINST_WEIGHT, UNDER_WEIGHT, mending, sentences, why_none};
use super::says::{Says, days};
use super::{Working, WorkingInput, dam};
use crate::adjust::columns::CalfColumns;
use crate::adjust::dam_age::DamAges;
use crate::adjust::marks::Marks;
use crate::sheet::codes::SEX;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::Settings;

/// Marks that stand against an age.
const AGAINST_AGE: Marks =
    Marks(Marks::NO_BIRTH_DATE.0 | Marks::NO_WEIGH_DATE.0 | Marks::WEIGHED_BEFORE_BIRTH.0);
/// Marks that stand against a gain.
const AGAINST_GAIN: Marks = Marks(AGAINST_AGE.0 | Marks::NO_WEIGHT.0 | Marks::NO_SEX.0);

const GAIN_SOURCE: &str =
    "Beef Improvement Federation guideline, as printed by Michigan State University Extension";

/// The column that holds the day of weighing.
fn weigh_column(calves: &CalfColumns, row: usize) -> &'static str {
    if calves.weigh_date[row].is_missing() {
        "wean_date"
    } else {
        "weigh_date"
    }
}

/// Age at weighing.
pub fn age(says: &Says) -> Working {
    let age = says.results.adjusted.age_days[says.row];
    let known = age != i32::MIN;
    let weighed = weigh_column(&says.calves, says.row);
    Working {
        result: if known {
            days(age)
        } else {
            why_none(says, AGAINST_AGE)
        },
        inputs: vec![says.cell(weighed), says.cell("birth_date")],
        formula: "day of weighing − birth date".to_owned(),
        with_numbers: if known {
            format!(
                "{} − {} = {}",
                says.calves.weighed_on(says.row).iso(),
                says.calves.birth[says.row].iso(),
                days(age)
            )
        } else {
            String::new()
        },
        source: "Whole calendar days; where no weigh date is given, the day of weaning".to_owned(),
        assumed: sentences(says, Marks::WEIGHED_LATE),
        would_change: mending(says, AGAINST_AGE),
        ..Working::default()
    }
}

/// The birth weight input: the cell, or the standard one of the settings.
fn birth_weight_input(says: &Says) -> WorkingInput {
    if says.marks().has(Marks::STANDARD_BIRTH_WEIGHT) {
        let used = says.results.adjusted.birth_weight_used[says.row];
        Says::input("Standard birth weight (settings)", says.weight(used))
    } else {
        says.cell("birth_weight")
    }
}

/// Birth weight in the formula.
pub fn birth_weight_used(says: &Says) -> Working {
    let used = says.results.adjusted.birth_weight_used[says.row];
    let standard = says.marks().has(Marks::STANDARD_BIRTH_WEIGHT);
    let settings: &Settings = &says.book.settings;
    let against = Marks::NO_SEX;
    Working {
        result: if used.is_nan() {
            why_none(says, against)
        } else {
            says.weight(used)
        },
        inputs: vec![says.cell("birth_weight"), says.cell("sex")],
        formula:
            "the calf's own birth weight; the standard one for its sex where it was not weighed"
                .to_owned(),
        with_numbers: if used.is_nan() {
            String::new()
        } else if standard {
            format!("standard = {}", says.weight(used))
        } else {
            format!("own = {}", says.weight(used))
        },
        source: format!(
            "Standard birth weights: {} males, {} females (settings; a secondary source attributes 75 and 70 lb to the Beef Improvement Federation)",
            says.weight(settings.standard_birth_weight_male_lb),
            says.weight(settings.standard_birth_weight_female_lb)
        ),
        assumed: sentences(
            says,
            Marks(Marks::STANDARD_BIRTH_WEIGHT.0 | Marks::IMPLAUSIBLE_WEIGHT.0),
        ),
        would_change: mending(says, Marks(against.0 | Marks::STANDARD_BIRTH_WEIGHT.0)),
        ..Working::default()
    }
}

/// Adjusted birth weight.
pub fn adjusted_birth_weight(says: &Says) -> Working {
    let adjusted = &says.results.adjusted;
    let value = adjusted.adj_birth_weight[says.row];
    let factors = &says.book.settings.factors;
    let class = factors
        .classes
        .get(usize::from(adjusted.dam_age_class[says.row]));
    let factor = class.map_or(0.0, |class| class.birth_lb);
    let own = value - factor;
    Working {
        result: if !value.is_nan() {
            says.weight(value)
        } else if says.calves.never_lived(says.row) {
            why_none(says, Marks::NONE)
        } else {
            "None: the calf was not weighed at birth.".to_owned()
        },
        inputs: vec![
            says.cell("birth_weight"),
            Says::input(
                "Dam age class",
                class.map_or_else(|| "none".to_owned(), |class| class.name.clone()),
            ),
            Says::input("Birth-weight factor", says.weight(factor)),
        ],
        formula: "birth weight + birth-weight factor of the dam's age".to_owned(),
        with_numbers: if value.is_nan() {
            String::new()
        } else {
            format!(
                "{} + {} = {}",
                says.bare(own),
                says.bare(factor),
                says.weight(value)
            )
        },
        source: factors.source.clone(),
        assumed: sentences(says, Marks(ABOUT_DAM.0 | Marks::IMPLAUSIBLE_WEIGHT.0)),
        would_change: if value.is_nan() {
            vec!["A weight taken within a day of birth would give one.".to_owned()]
        } else {
            mending(says, ABOUT_DAM)
        },
        ..Working::default()
    }
}

/// Gain per day from birth.
pub fn gain_per_day(says: &Says) -> Working {
    let adjusted = &says.results.adjusted;
    let gain = adjusted.gain_per_day[says.row];
    Working {
        result: if gain.is_nan() {
            why_none(says, AGAINST_GAIN)
        } else {
            says.per_day(gain)
        },
        inputs: vec![
            says.cell("wean_weight"),
            birth_weight_input(says),
            age_input(says),
        ],
        formula: "(weaning weight − birth weight) / age".to_owned(),
        with_numbers: if gain.is_nan() {
            String::new()
        } else {
            format!(
                "({} − {}) / {} = {}",
                says.bare(adjusted.wean_weight[says.row]),
                says.bare(adjusted.birth_weight_used[says.row]),
                adjusted.age_days[says.row],
                says.per_day(gain)
            )
        },
        source: GAIN_SOURCE.to_owned(),
        assumed: sentences(
            says,
            Marks(Marks::STANDARD_BIRTH_WEIGHT.0 | Marks::IMPLAUSIBLE_WEIGHT.0),
        ),
        would_change: mending(says, Marks(AGAINST_GAIN.0 | Marks::STANDARD_BIRTH_WEIGHT.0)),
        ..Working::default()
    }
}

/// Weight per day of age.
pub fn weight_per_day(says: &Says) -> Working {
    let adjusted = &says.results.adjusted;
    let value = adjusted.weight_per_day[says.row];
    let against = Marks(AGAINST_AGE.0 | Marks::NO_WEIGHT.0);
    Working {
        result: if value.is_nan() {
            why_none(says, against)
        } else {
            says.per_day(value)
        },
        inputs: vec![says.cell("wean_weight"), age_input(says)],
        formula: "weaning weight / age".to_owned(),
        with_numbers: if value.is_nan() {
            String::new()
        } else {
            format!(
                "{} / {} = {}",
                says.bare(adjusted.wean_weight[says.row]),
                adjusted.age_days[says.row],
                says.per_day(value)
            )
        },
        source: "Plain division; no birth weight and no dam-age factor".to_owned(),
        assumed: sentences(says, Marks::IMPLAUSIBLE_WEIGHT),
        would_change: mending(says, against),
        ..Working::default()
    }
}

fn age_input(says: &Says) -> WorkingInput {
    let age = says.results.adjusted.age_days[says.row];
    let value = if age == i32::MIN {
        super::says::NOT_RECORDED.to_owned()
    } else {
        days(age)
    };
    Says::input("Age at weighing", value)
}

/// Adjusted 205-day weight.
pub fn adjusted_weight(says: &Says) -> Working {
    let adjusted = &says.results.adjusted;
    let settings = &says.book.settings;
    let row = says.row;
    let value = adjusted.adj_205[row];
    let standard_age = settings.standard_age_days;
    let mut inputs = vec![
        says.cell("wean_weight"),
        says.cell(weigh_column(&says.calves, row)),
        birth_weight_input(says),
        says.cell("sex"),
        age_input(says),
    ];
    inputs.extend(raising_inputs(says));
    let mut would_change = mending(says, Marks(AGAINST_WEIGHT.0 | UNDER_WEIGHT.0));
    if !value.is_nan() {
        let per_unit = f64::from(standard_age) / f64::from(adjusted.age_days[row]);
        would_change.push(format!(
            "One {unit} more at weaning would add {per_unit:.2} {unit}.",
            unit = says.unit()
        ));
    }
    Working {
        result: if value.is_nan() {
            why_none(says, AGAINST_WEIGHT)
        } else {
            says.weight(value)
        },
        inputs,
        formula: format!(
            "(weaning weight − birth weight) / age x {standard_age} + birth weight + dam-age factor"
        ),
        with_numbers: if value.is_nan() {
            String::new()
        } else {
            let birth = says.bare(adjusted.birth_weight_used[row]);
            format!(
                "({} − {birth}) / {} x {standard_age} + {birth} + {} = {}",
                says.bare(adjusted.wean_weight[row]),
                adjusted.age_days[row],
                says.bare(adjusted.dam_age_factor[row]),
                says.weight(value)
            )
        },
        source: factor_source(says),
        assumed: sentences(says, UNDER_WEIGHT),
        would_change,
        ..Working::default()
    }
}

/// The cow whose age gives the weaning factor, and her class.
fn raising_inputs(says: &Says) -> Vec<WorkingInput> {
    let adjusted = &says.results.adjusted;
    let class = says
        .book
        .settings
        .factors
        .classes
        .get(usize::from(adjusted.raising_class[says.row]));
    let class_input = |words: &str| {
        Says::input(
            words,
            class.map_or_else(|| "none".to_owned(), |class| class.name.clone()),
        )
    };
    let dams = DamAges::for_few(says.book);
    if says.marks().has(Marks::FOSTER) {
        let raising = dams.raising_cow(&says.calves, says.row);
        let mut inputs = vec![says.cell("raised_dam")];
        if let crate::adjust::dam_on_record::OnRecord::Row(cow) = raising.on_record {
            inputs.push(says.cell_of(SheetKind::Cows, cow as usize, "birth_date"));
        }
        inputs.push(class_input("Age class of the cow that raised it"));
        return inputs;
    }
    let dam_age = dams.birth_dam(&says.calves, says.row);
    let mut inputs = dam::inputs(says, dam_age);
    inputs.push(class_input("Dam age class"));
    inputs
}

/// The factor, for which class and sex, and where it was published.
fn factor_source(says: &Says) -> String {
    let adjusted = &says.results.adjusted;
    let factors = &says.book.settings.factors;
    let factor = adjusted.dam_age_factor[says.row];
    let class = factors
        .classes
        .get(usize::from(adjusted.raising_class[says.row]));
    let sex = SEX.key(says.calves.sex[says.row]).unwrap_or("");
    match class {
        Some(class) if !factor.is_nan() && !says.marks().has(Marks::STRAIGHT_AGE) => format!(
            "Dam-age factor {} for a {sex} of a dam of class {}. {}",
            says.weight(factor),
            class.name,
            factors.source
        ),
        _ => factors.source.clone(),
    }
}
