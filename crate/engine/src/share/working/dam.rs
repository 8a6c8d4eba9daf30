//! The working behind the age of the dam and her class.

use super::marks::{ABOUT_DAM, mending, sentences};
use super::says::{NOT_RECORDED, Says, days};
use super::{Working, WorkingInput};
use crate::adjust::dam_age::{DamAge, DamAgeFrom, DamAges};
use crate::adjust::dam_on_record::OnRecord;
use crate::sheet::codes::AGE_FROM;
use crate::sheet::schema::SheetKind;
use crate::trade::plausible::DAYS_PER_YEAR;

/// Age of the birth dam at calving.
pub fn age(says: &Says) -> Working {
    let dam = DamAges::for_few(says.book).birth_dam(&says.calves, says.row);
    let known = says.results.adjusted.dam_age_days[says.row] != i32::MIN;
    let born = says.calves.birth[says.row];
    let (formula, with_numbers) = match dam.from {
        DamAgeFrom::RecordDate | DamAgeFrom::StatedDate => (
            "calf's birth date − dam's birth date".to_owned(),
            format!(
                "{} − {} = {}",
                born.iso(),
                born.plus(-dam.days).iso(),
                days(dam.days)
            ),
        ),
        DamAgeFrom::RecordYear | DamAgeFrom::StatedYear => (
            format!("(year of calving − dam's birth year) x {DAYS_PER_YEAR}, rounded"),
            format!(
                "{:.0} x {DAYS_PER_YEAR} = {}",
                f64::from(dam.days) / DAYS_PER_YEAR,
                days(dam.days)
            ),
        ),
        DamAgeFrom::StatedAge => (
            format!("stated age in years x {DAYS_PER_YEAR}, rounded"),
            format!(
                "{} x {DAYS_PER_YEAR} = {}",
                says.calves.dam_age[says.row],
                days(dam.days)
            ),
        ),
        DamAgeFrom::Unknown => (
            "calf's birth date − dam's birth date".to_owned(),
            String::new(),
        ),
    };
    let mut assumed = sentences(says, ABOUT_DAM);
    assumed.extend(not_one_cow(dam).map(str::to_owned));
    assumed.extend(not_from_papers(says, dam).map(str::to_owned));
    Working {
        result: if known {
            days(dam.days)
        } else {
            "None: the dam's age is not known.".to_owned()
        },
        inputs: inputs(says, dam),
        formula,
        with_numbers: if known { with_numbers } else { String::new() },
        source:
            "On record beats dates given with the calf, which beat a stated age (the book's rule)"
                .to_owned(),
        assumed,
        would_change: mending(says, ABOUT_DAM),
        ..Working::default()
    }
}

/// The cells the age of the birth dam comes from.
pub fn inputs(says: &Says, dam: DamAge) -> Vec<WorkingInput> {
    let mut inputs = vec![says.cell("birth_date"), says.cell("dam")];
    match (dam.from, dam.on_record) {
        (DamAgeFrom::RecordDate, OnRecord::Row(row) | OnRecord::Several { first: row, .. }) => {
            inputs.push(says.cell_of(SheetKind::Cows, row as usize, "birth_date"));
        }
        (DamAgeFrom::RecordYear, OnRecord::Row(row) | OnRecord::Several { first: row, .. }) => {
            inputs.push(says.cell_of(SheetKind::Cows, row as usize, "birth_year"));
        }
        (DamAgeFrom::StatedDate, _) => inputs.push(says.cell("dam_birth_date")),
        (DamAgeFrom::StatedYear, _) => inputs.push(says.cell("dam_birth_year")),
        _ => inputs.push(says.cell("dam_age")),
    }
    inputs
}

fn not_one_cow(dam: DamAge) -> Option<&'static str> {
    match dam.on_record {
        OnRecord::Several {
            same_age: false, ..
        } => Some(
            "More than one cow on record could be the dam and their ages differ; none was used.",
        ),
        OnRecord::Several { same_age: true, .. } => Some(
            "More than one cow on record could be the dam; they are of one age, so the age was used.",
        ),
        OnRecord::NoneFits => {
            Some("Cows on record have the dam's tag, but none can have been there; none was used.")
        }
        _ => None,
    }
}

/// How sure the cow's own age is, where it is said.
fn not_from_papers(says: &Says, dam: DamAge) -> Option<&'static str> {
    let OnRecord::Row(row) = dam.on_record else {
        return None;
    };
    let age_from = says.book.sheet(SheetKind::Cows).known("age_from");
    let code = *age_from.codes()?.get(row as usize)?;
    match AGE_FROM.key(code)? {
        "mouth" => Some("Her own age on record was read from her mouth."),
        "guess" => Some("Her own age on record is a guess."),
        _ => None,
    }
}

/// Class of the birth dam.
pub fn class(says: &Says) -> Working {
    let adjusted = &says.results.adjusted;
    let factors = &says.book.settings.factors;
    let dam_days = adjusted.dam_age_days[says.row];
    let class = factors
        .classes
        .get(usize::from(adjusted.dam_age_class[says.row]));
    let known = if dam_days == i32::MIN {
        NOT_RECORDED.to_owned()
    } else {
        days(dam_days)
    };
    Working {
        result: match class {
            Some(class) => class.name.clone(),
            None if dam_days == i32::MIN => "None: the dam's age is not known.".to_owned(),
            None => "None: no class of the table holds her age.".to_owned(),
        },
        inputs: vec![Says::input("Dam age at calving", known.clone())],
        formula: "the class whose days hold the dam's age at calving".to_owned(),
        with_numbers: class.map_or_else(String::new, |class| {
            let range = if class.to_days == i32::MAX {
                format!("{} days and over", class.from_days)
            } else {
                format!("{} to {} days", class.from_days, class.to_days)
            };
            format!("{known} lies in {range}: class {}", class.name)
        }),
        source: factors.source.clone(),
        assumed: sentences(says, ABOUT_DAM),
        would_change: mending(says, ABOUT_DAM),
        ..Working::default()
    }
}
