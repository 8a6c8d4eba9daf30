//! A line of units under the headers: `lb`, `kg`, `mm/dd/yyyy`.
//!
//! Enters: the first row under the headers. Leaves: its units, column by column, when it holds nothing else.
//! Always true: a row with anything but units in it is an animal's; a unit in a header goes before one under it.
//! Never: takes numbers or names for units.

use super::plan::{AgeUnit, DateOrder, PlannedColumn, Target};
use crate::sheet::column::Kind;
use crate::sheet::schema::SheetKind;
use crate::sheet::settings::WeightUnit;

/// What a unit says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Unit {
    Weight(WeightUnit),
    Age(AgeUnit),
    /// The form of a date, with the order of its parts where it shows it.
    Date(Option<DateOrder>),
    /// A sign that says little: `#`, `no.`
    Other,
}

/// The units under the headers, one a column; none where the cell is blank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Units(Vec<Option<Unit>>);

impl Units {
    /// The units of a row, when it holds nothing but units and at least one of weight, time or date.
    pub fn of(row: &[String]) -> Option<Units> {
        let mut units = Vec::with_capacity(row.len());
        for cell in row {
            units.push(match cell.trim() {
                "" => None,
                text => Some(unit(text)?),
            });
        }
        let says_something = units
            .iter()
            .flatten()
            .any(|unit| !matches!(unit, Unit::Other));
        says_something.then_some(Units(units))
    }

    /// The order of the parts of dates that the line shows, when it shows one.
    pub fn date_order(&self) -> Option<DateOrder> {
        let mut orders = self.0.iter().flatten().filter_map(|unit| match unit {
            Unit::Date(order) => *order,
            _ => None,
        });
        let first = orders.next()?;
        orders.all(|order| order == first).then_some(first)
    }

    /// Gives the units to the columns whose headers say none.
    pub fn lay_under(&self, sheet: SheetKind, columns: &mut [PlannedColumn]) {
        for (column, unit) in columns.iter_mut().zip(&self.0) {
            let Target::Known(key) = &column.target else {
                continue;
            };
            let kind = sheet.column(key).map(|known| known.kind);
            match (kind, unit) {
                (Some(Kind::Weight), Some(Unit::Weight(unit))) => {
                    column.weight_unit = column.weight_unit.or(Some(*unit));
                }
                (Some(Kind::Number("years")), Some(Unit::Age(unit))) => column.age_unit = *unit,
                _ => {}
            }
        }
    }
}

fn unit(text: &str) -> Option<Unit> {
    let plain = text
        .trim_matches(|ch: char| matches!(ch, '(' | ')' | '[' | ']' | '.'))
        .to_lowercase();
    Some(match plain.as_str() {
        "lb" | "lbs" | "pound" | "pounds" => Unit::Weight(WeightUnit::Pound),
        "kg" | "kgs" | "kilo" | "kilos" | "kilogram" | "kilograms" => {
            Unit::Weight(WeightUnit::Kilogram)
        }
        "yr" | "yrs" | "year" | "years" => Unit::Age(AgeUnit::Years),
        "mo" | "mos" | "month" | "months" => Unit::Age(AgeUnit::Months),
        "day" | "days" => Unit::Age(AgeUnit::Days),
        "date" => Unit::Date(None),
        "#" | "no" | "number" | "text" | "y/n" | "yes/no" | "in" | "inches" | "score" => {
            Unit::Other
        }
        _ => date_form(&plain)?,
    })
}

/// `mm/dd/yyyy`, `d.m.yy`, `yyyy-mm-dd`: letters of day, month and year with signs between them.
fn date_form(plain: &str) -> Option<Unit> {
    let parts: Vec<&str> = plain.split(['/', '-', '.', ' ']).collect();
    let is = |part: &str, letter: char, most: usize| {
        (1..=most).contains(&part.len()) && part.chars().all(|ch| ch == letter)
    };
    let [one, two, three] = parts[..] else {
        return None;
    };
    if is(one, 'm', 3) && is(two, 'd', 2) && is(three, 'y', 4) {
        Some(Unit::Date(Some(DateOrder::MonthFirst)))
    } else if is(one, 'd', 2) && is(two, 'm', 3) && is(three, 'y', 4) {
        Some(Unit::Date(Some(DateOrder::DayFirst)))
    } else if is(one, 'y', 4) && is(two, 'm', 3) && is(three, 'd', 2) {
        Some(Unit::Date(None))
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn units(line: &str) -> Option<Units> {
        let cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        Units::of(&cells)
    }

    #[test]
    fn units_and_nothing_else() {
        for line in ["#,,mm/dd/yyyy,lb", ",(kg),", "no.,date", ",,Years,LBS."] {
            assert!(units(line).is_some(), "{line}");
        }
        for line in ["1,,3/14/2026,512", "A1,lb", "#,,", ",,", "kg 5,", "no.,no."] {
            assert!(units(line).is_none(), "{line}");
        }
    }

    #[test]
    fn the_form_of_a_date_gives_its_order() {
        let order = |line: &str| units(line).and_then(|units| units.date_order());
        assert_eq!(order("lb,mm/dd/yyyy"), Some(DateOrder::MonthFirst));
        assert_eq!(order("dd.mm.yy,kg"), Some(DateOrder::DayFirst));
        assert_eq!(order("yyyy-mm-dd,kg"), None);
        assert_eq!(order("dd/mm/yyyy,mm/dd/yyyy"), None);
    }
}
