//! Weights on a common footing.
//!
//! Enters: the calves, cows and settings of a book. Leaves: [`Adjusted`], one entry per calf row.
//! Always true: missing in, missing out; nothing here changes a source column; every assumption made for
//! a calf is one of its [`marks`]. Weights inside are pounds.
//! Never: drops a row.

pub mod age;
pub mod birth;
pub mod columns;
pub mod dam_age;
pub mod dam_on_record;
pub mod marks;
pub mod weaning;

use columns::CalfColumns;
use dam_age::DamAges;
use marks::Marks;

use crate::sheet::codes::{BOTTLE, BULL, FOSTER, HEIFER, MALE, STEER, TWIN};
use crate::sheet::interned::NO_TEXT;
use crate::sheet::settings::Settings;
use crate::sheet::workbook::Workbook;
use crate::trade::plausible::WEANING_WEIGHT_LB;

/// The adjusted figures of every calf row. NaN is missing; weights in lb, gains in lb per day.
#[derive(Clone, Debug, Default)]
pub struct Adjusted {
    /// Age of the dam that counts for the birth factor, days at calving; `i32::MIN` unknown.
    pub dam_age_days: Vec<i32>,
    /// Her class in `settings.factors.classes`; `u8::MAX` none.
    pub dam_age_class: Vec<u8>,
    /// Class of the cow that raised the calf, which the weaning factor uses; `u8::MAX` none.
    pub raising_class: Vec<u8>,
    /// Age at weighing, days; `i32::MIN` unknown.
    pub age_days: Vec<i32>,
    /// Birth weight in the formula: the calf's own or the stated standard.
    pub birth_weight_used: Vec<f64>,
    /// Adjusted birth weight (own weight only, never a standard one).
    pub adj_birth_weight: Vec<f64>,
    /// Weaning weight as weighed.
    pub wean_weight: Vec<f64>,
    /// Gain per day from birth to weighing.
    pub gain_per_day: Vec<f64>,
    /// Weight per day of age.
    pub weight_per_day: Vec<f64>,
    /// Straight age adjustment to 205 days, without a dam-age factor.
    pub age_adj_205: Vec<f64>,
    /// The dam-age factor added; 0 where marked as not known; NaN when there is no adjusted weight.
    pub dam_age_factor: Vec<f64>,
    /// Adjusted 205-day weight.
    pub adj_205: Vec<f64>,
    /// What was assumed or is out of line.
    pub marks: Vec<Marks>,
}

impl Adjusted {
    /// Everything missing, for so many rows.
    fn missing(n_rows: usize) -> Adjusted {
        let numbers = || vec![f64::NAN; n_rows];
        Adjusted {
            dam_age_days: vec![i32::MIN; n_rows],
            dam_age_class: vec![u8::MAX; n_rows],
            raising_class: vec![u8::MAX; n_rows],
            age_days: vec![i32::MIN; n_rows],
            birth_weight_used: numbers(),
            adj_birth_weight: numbers(),
            wean_weight: numbers(),
            gain_per_day: numbers(),
            weight_per_day: numbers(),
            age_adj_205: numbers(),
            dam_age_factor: numbers(),
            adj_205: numbers(),
            marks: vec![Marks::NONE; n_rows],
        }
    }
}

/// Puts every calf's weights on a common footing. Group marks are set later, by [`crate::group`].
pub fn adjust(book: &Workbook) -> Adjusted {
    let calves = CalfColumns::of(book);
    let settings = &book.settings;
    let mut out = Adjusted::missing(calves.n_rows);
    raising_and_dams(book, &calves, &mut out);
    for row in 0..calves.n_rows {
        if !calves.never_lived(row) {
            weigh(&calves, settings, row, &mut out);
        }
    }
    out
}

/// How each calf came and was raised, and the classes of the cows behind it.
fn raising_and_dams(book: &Workbook, calves: &CalfColumns, out: &mut Adjusted) {
    let dams = DamAges::of(book, calves);
    let factors = &book.settings.factors;
    for row in 0..calves.n_rows {
        if calves.never_lived(row) {
            continue;
        }
        let dam = dams.birth_dam(calves, row);
        let (class, mut marks) = dam.class(factors, Marks::DAM_AGE_UNKNOWN);
        out.dam_age_days[row] = dam.days;
        out.dam_age_class[row] = class;
        out.raising_class[row] = class;
        if calves.raised_by[row] == BOTTLE {
            marks.set(Marks::BOTTLE);
            out.raising_class[row] = u8::MAX;
        } else if is_foster(calves, row) {
            marks.set(Marks::FOSTER);
            let (raising, raising_marks) = dams
                .raising_cow(calves, row)
                .class(factors, Marks::RAISING_AGE_UNKNOWN);
            out.raising_class[row] = raising;
            marks.set(raising_marks);
        }
        if calves.born_as[row] == TWIN {
            marks.set(Marks::TWIN);
        }
        if calves.set_apart.codes()[row] != NO_TEXT {
            marks.set(Marks::SET_APART);
        }
        out.marks[row] = marks;
    }
}

/// True when another cow raised the calf: said so, or not said but another cow is named.
pub fn is_foster(calves: &CalfColumns, row: usize) -> bool {
    match calves.raised_by[row] {
        FOSTER => true,
        crate::sheet::codes::NO_CODE => calves
            .raised_dam
            .get(row)
            .is_some_and(|raised| calves.dam.get(row) != Some(raised)),
        _ => false,
    }
}

/// The weights of one calf.
fn weigh(calves: &CalfColumns, settings: &Settings, row: usize, out: &mut Adjusted) {
    let mut marks = out.marks[row];
    let sex = calves.sex[row];
    match sex {
        BULL | STEER | HEIFER => {}
        MALE => marks.set(Marks::MALE_UNSPECIFIED),
        _ => marks.set(Marks::NO_SEX),
    }
    let (age_days, age_marks) = age::at_weighing(calves, settings, row);
    marks.set(age_marks);
    out.age_days[row] = age_days;

    let recorded = calves.birth_weight[row];
    let (birth_weight, birth_marks) = birth::used(settings, recorded, sex);
    marks.set(birth_marks);
    out.birth_weight_used[row] = birth_weight;
    out.adj_birth_weight[row] = birth::adjusted(settings, recorded, out.dam_age_class[row]);

    let weight = calves.wean_weight[row];
    if weight > 0.0 && weight.is_finite() {
        let weight = settings.weight_unit.to_pounds(weight);
        if !WEANING_WEIGHT_LB.holds(weight) {
            marks.set(Marks::IMPLAUSIBLE_WEIGHT);
        }
        out.wean_weight[row] = weight;
        let gains = weaning::gains(weight, birth_weight, age_days);
        out.gain_per_day[row] = gains.gain_per_day;
        out.weight_per_day[row] = gains.weight_per_day;
        if age_days >= 0 {
            marks.set(age::window_mark(settings, age_days));
        }
        adjust_to_standard_age(settings, row, sex, &mut marks, out);
    } else {
        marks.set(Marks::NO_WEIGHT);
        if !weight.is_nan() {
            marks.set(Marks::IMPLAUSIBLE_WEIGHT);
        }
    }
    out.marks[row] = marks;
}

/// The adjusted weight of a calf whose gain is known, unless something stands against it.
fn adjust_to_standard_age(
    settings: &Settings,
    row: usize,
    sex: u8,
    marks: &mut Marks,
    out: &mut Adjusted,
) {
    const AGAINST: Marks =
        Marks(Marks::NO_SEX.0 | Marks::BOTTLE.0 | Marks::UNDER_WINDOW.0 | Marks::OVER_WINDOW.0);
    if out.gain_per_day[row].is_nan() || marks.has(AGAINST) {
        return;
    }
    let straight = weaning::straight(
        out.gain_per_day[row],
        out.birth_weight_used[row],
        settings.standard_age_days,
    );
    let factor = if marks.has(Marks::STRAIGHT_AGE) {
        0.0
    } else {
        weaning::factor(&settings.factors, out.raising_class[row], sex)
    };
    out.age_adj_205[row] = straight;
    out.dam_age_factor[row] = factor;
    out.adj_205[row] = straight + factor;
}
