//! Any calves column that holds numbers, as something to compare.
//!
//! Enters: a key, header or label. Leaves: its numbers by row (NaN missing; weights in lb), its unit, its decimals.
//! Always true: a column is found as everywhere: by key, then by the file's own header or the label.
//! Never: reads a date or a word as a number.

use super::model_facts::Unit;
use crate::error::Error;
use crate::results::{ResultColumn, Results, Shown};
use crate::sheet::column::Kind;
use crate::sheet::schema::SheetKind;
use crate::sheet::workbook::Workbook;

/// A calves column that holds numbers.
pub(super) struct Numbers {
    pub key: String,
    pub label: String,
    pub unit: Unit,
    pub values: Vec<f64>,
}

impl Numbers {
    pub fn find(
        book: &Workbook,
        results: &Results,
        n_rows: usize,
        wanted: &str,
    ) -> Result<Numbers, Error> {
        let plain = |text: &str| text.trim().to_lowercase();
        let columns = book.calves().columns();
        let by_key = columns.iter().find(|column| column.key == wanted);
        let by_name = || {
            columns.iter().find(|column| {
                plain(column.header.as_deref().unwrap_or("")) == plain(wanted)
                    || plain(&column.label) == plain(wanted)
            })
        };
        if by_key.is_none()
            && let Some(column) = ResultColumn::ALL
                .into_iter()
                .find(|column| column.key() == wanted || plain(column.about().1) == plain(wanted))
        {
            return Numbers::computed(book, results, n_rows, column);
        }
        let Some(column) = by_key.or_else(by_name) else {
            return Err(Error::new(
                "compare.response.unknown",
                format!("There is no calves column called \"{wanted}\" to compare by."),
                "Choose one of the usual weights, or a column of the calves sheet that holds numbers.",
            ));
        };
        let to_pounds = |weight: f64| book.settings.weight_unit.to_pounds(weight);
        if column.formula.is_some() {
            let calculated = results.calculated.column(SheetKind::Calves, &column.key);
            let values: Vec<f64> = match calculated {
                Some(calculated) if !calculated.is_dates() => (0..n_rows)
                    .map(|row| calculated.values.number(row))
                    .collect(),
                _ => return Err(no_numbers(&column.label)),
            };
            return Numbers::checked(&column.key, &column.label, Unit::Own(String::new()), values);
        }
        let (Some(values), unit) = (
            column.numbers(),
            match column.kind {
                Kind::Weight => Unit::Weight,
                Kind::Number(unit) => Unit::Own(unit.to_owned()),
                _ => return Err(no_numbers(&column.label)),
            },
        ) else {
            return Err(no_numbers(&column.label));
        };
        let values = match unit {
            Unit::Weight => values.iter().map(|&weight| to_pounds(weight)).collect(),
            _ => values.to_vec(),
        };
        Numbers::checked(&column.key, &column.label, unit, values)
    }

    fn computed(
        book: &Workbook,
        results: &Results,
        n_rows: usize,
        column: ResultColumn,
    ) -> Result<Numbers, Error> {
        let (key, label, shown, _) = column.about();
        let unit = match shown {
            Shown::Weight => Unit::Weight,
            Shown::WeightPerDay => Unit::WeightPerDay,
            Shown::Whole | Shown::OneDecimal => Unit::Own(String::new()),
            Shown::Text | Shown::Date => return Err(no_numbers(label)),
        };
        let values = (0..n_rows)
            .map(|row| {
                let number = column.number(book, results, row);
                match unit {
                    Unit::Own(_) => number,
                    _ => book.settings.weight_unit.to_pounds(number),
                }
            })
            .collect();
        Numbers::checked(key, label, unit, values)
    }

    fn checked(key: &str, label: &str, unit: Unit, values: Vec<f64>) -> Result<Numbers, Error> {
        if values.iter().all(|value| !value.is_finite()) {
            return Err(no_numbers(label));
        }
        Ok(Numbers {
            key: key.to_owned(),
            label: label.to_owned(),
            unit,
            values,
        })
    }
}

fn no_numbers(label: &str) -> Error {
    Error::new(
        "compare.response.unknown",
        format!("\"{label}\" holds no numbers, so there is nothing to compare by it."),
        "Choose one of the usual weights, or a column of the calves sheet that holds numbers.",
    )
}

/// Decimals that show a hundredth of the spread: none for weights in hundreds, more for scores.
pub(super) fn decimals_of(values: &[f64], unit: &Unit) -> usize {
    if *unit == Unit::Weight {
        return 1;
    }
    let (_, sd) = super::rows::mean_and_sd(values);
    if !(sd > 0.0 && sd.is_finite()) {
        return 1;
    }
    match 2.0 - libm::floor(libm::log10(sd)) {
        places if places >= 4.0 => 4,
        places if places >= 1.0 => places as usize,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::{Unit, decimals_of};

    #[test]
    fn decimals_follow_the_spread() {
        let own = Unit::Own(String::new());
        assert_eq!(decimals_of(&[100.0, 300.0, 500.0], &own), 0);
        assert_eq!(decimals_of(&[4.0, 5.0, 6.0], &own), 2);
        assert_eq!(decimals_of(&[0.01, 0.02, 0.03], &own), 4);
        assert_eq!(decimals_of(&[5.0, 5.0], &own), 1);
        assert_eq!(decimals_of(&[400.0, 500.0], &Unit::Weight), 1);
    }
}
