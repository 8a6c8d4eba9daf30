//! What an own column of a file holds: text, unless every filled cell is a number, or every one a date.
//!
//! Enters: the cells of a column as texts. Leaves: the same cells as numbers or dates where all of them are.
//! Always true: a column becomes numbers or dates only when no cell would lose anything but its way of being
//! written; names that look like numbers (with leading zeros, or longer than nine digits) stay texts.
//! Never: leaves a cell unread; one that does not fit makes the whole column text.

use super::plan::{DateOrder, ImportPlan, Rules};
use crate::sheet::column::{Cells, Kind};
use crate::sheet::day::Day;
use crate::sheet::interned::{Interned, NO_TEXT};
use crate::sheet::read::{Read, ReadOptions, read_cell};

/// So many filled cells show what a column holds; one alone may be anything.
const FEWEST_CELLS: usize = 2;
/// Longer numbers are names: a registration, a telephone number, an electronic ID.
const MOST_DIGITS: usize = 9;

/// The cells of an own column by what they hold. `date_order` is the file's, where it is known.
pub fn own_kind(cells: Cells, plan: &ImportPlan, date_order: Option<DateOrder>) -> (Kind, Cells) {
    let Cells::Text(texts) = &cells else {
        return (Kind::Text, cells);
    };
    let n_filled = texts
        .codes()
        .iter()
        .filter(|&&code| code != NO_TEXT)
        .count();
    if plan.rules < Rules::Third || n_filled < FEWEST_CELLS {
        return (Kind::Text, cells);
    }
    let options = ReadOptions {
        decimal_comma: plan.decimal_comma,
        date_order,
        two_digit_year_to: plan.two_digit_year_to,
        ..ReadOptions::of_book(plan.weight_unit)
    };
    let number = |text: &str| match read_cell(Kind::Number(""), text, &options) {
        Ok(Read::Number { number, .. }) if !is_name(text) => Some(number),
        _ => None,
    };
    if let Some(numbers) = all_of(texts, f64::NAN, number) {
        return (
            Kind::Number(""),
            Cells::Number(of_rows(texts, &numbers, f64::NAN)),
        );
    }
    let day = |text: &str| match read_cell(Kind::Date, text, &options) {
        Ok(Read::Day {
            day,
            two_ways,
            short_year,
        }) if date_order.is_some() || !(two_ways || short_year) => Some(day),
        _ => None,
    };
    if let Some(days) = all_of(texts, Day::MISSING, day) {
        return (Kind::Date, Cells::Day(of_rows(texts, &days, Day::MISSING)));
    }
    (Kind::Text, cells)
}

/// Each distinct text read, when all that stand in a row can be. The others, of lines of totals that were set
/// aside, get a value that no row takes.
fn all_of<T: Copy>(
    texts: &Interned,
    missing: T,
    read: impl Fn(&str) -> Option<T>,
) -> Option<Vec<T>> {
    let each = texts.texts().zip(texts.in_use());
    each.map(|(text, used)| if used { read(text) } else { Some(missing) })
        .collect()
}

fn of_rows<T: Copy>(texts: &Interned, values: &[T], missing: T) -> Vec<T> {
    texts
        .codes()
        .iter()
        .map(|&code| values.get(code as usize).copied().unwrap_or(missing))
        .collect()
}

/// True for digits that tell things apart and count nothing.
fn is_name(text: &str) -> bool {
    let digits = text.trim_start_matches(['-', '+', ' ']);
    let mut bytes = digits.bytes();
    let leading_zero =
        bytes.next() == Some(b'0') && bytes.next().is_some_and(|next| next.is_ascii_digit());
    leading_zero || digits.bytes().filter(u8::is_ascii_digit).count() > MOST_DIGITS
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::{ImportOptions, read_all};
    use crate::sheet::settings::WeightUnit;

    /// Kind and shown cells of the last column of a file.
    fn last(text: &str) -> (&'static str, Vec<String>) {
        let options = ImportOptions::of_book(WeightUnit::Pound, Day::MISSING);
        let read = read_all(text.as_bytes(), "calves.csv", options).expect("a sound file");
        let column = read.table.columns().last().expect("an own column");
        let kind = match column.kind {
            Kind::Number(_) => "number",
            Kind::Date => "date",
            _ => "text",
        };
        let rows = 0..read.table.n_rows();
        (kind, rows.map(|row| column.shown(row)).collect())
    }

    #[test]
    fn numbers_and_dates_are_what_they_are() {
        let cells = |list: &[&str]| {
            list.iter()
                .map(|cell| (*cell).to_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(
            last("Tag,Sex,Hip\n1,bull,47.5\n2,bull,\n3,bull,\"1,048\"\n"),
            ("number", cells(&["47.5", "", "1048"]))
        );
        assert_eq!(
            last("Tag,Sex,\n1,bull,3\n2,bull,4\n").0,
            "number",
            "also without a header"
        );
        assert_eq!(
            last("Tag,Sex,Branded\n1,bull,2026-04-01\n2,bull,2026-04-20\n"),
            ("date", cells(&["2026-04-01", "2026-04-20"]))
        );
    }

    #[test]
    fn what_could_lose_something_stays_text() {
        for file in [
            "Tag,Sex,Paper\n1,bull,007\n2,bull,12\n",
            "Tag,Sex,Paper\n1,bull,1234567890\n2,bull,12\n",
            "Tag,Sex,Paper\n1,bull,12\n2,bull,about 12\n",
            "Tag,Sex,Paper\n1,bull,12\n2,bull,n/a\n",
            "Tag,Sex,Paper\n1,bull,12\n2,bull,\n",
            "Tag,Sex,Paper\n1,bull,2026-04-01\n2,bull,12\n",
            "Tag,Sex,Paper\n1,bull,3/4/2026\n2,bull,4/5/2026\n",
        ] {
            assert_eq!(last(file).0, "text", "{file}");
        }
    }
}
