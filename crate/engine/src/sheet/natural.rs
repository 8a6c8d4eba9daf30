//! The order in which people expect names: `Pen 2` before `Pen 10`, `9` before `10`.
//!
//! Enters: two texts. Leaves: their order.
//! Always true: a total order: texts that differ in any way are never equal.
//! Never: reads a sign or a decimal point as part of a number; tags are names.

use std::cmp::Ordering;

/// Compares two texts by runs: digits by their number, the rest by letters without case.
pub fn natural_order(one: &str, other: &str) -> Ordering {
    let (a, b) = (one.as_bytes(), other.as_bytes());
    let (mut i, mut j) = (0, 0);
    while i < a.len() && j < b.len() {
        let order = if a[i].is_ascii_digit() && b[j].is_ascii_digit() {
            let (run_a, run_b) = (digits(a, i), digits(b, j));
            let (number_a, number_b) = (without_zeros(&a[i..run_a]), without_zeros(&b[j..run_b]));
            i = run_a;
            j = run_b;
            number_a
                .len()
                .cmp(&number_b.len())
                .then_with(|| number_a.cmp(number_b))
        } else {
            let order = a[i].to_ascii_lowercase().cmp(&b[j].to_ascii_lowercase());
            i += 1;
            j += 1;
            order
        };
        if order != Ordering::Equal {
            return order;
        }
    }
    (a.len() - i).cmp(&(b.len() - j)).then_with(|| a.cmp(b))
}

fn digits(text: &[u8], from: usize) -> usize {
    text[from..]
        .iter()
        .position(|byte| !byte.is_ascii_digit())
        .map_or(text.len(), |n| from + n)
}

fn without_zeros(digits: &[u8]) -> &[u8] {
    let first = digits
        .iter()
        .position(|digit| *digit != b'0')
        .unwrap_or(digits.len());
    &digits[first..]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_names_sort_by_size() {
        let mut names = [
            "Pen 10", "pen 2", "Pen 1", "9", "10", "0010", "", "4017A", "4017",
        ];
        names.sort_by(|one, other| natural_order(one, other));
        assert_eq!(
            names,
            [
                "", "9", "0010", "10", "4017", "4017A", "Pen 1", "pen 2", "Pen 10"
            ]
        );
    }

    proptest::proptest! {
        #[test]
        fn is_a_total_order(a in "[a-b0-1 ]{0,5}", b in "[a-b0-1 ]{0,5}", c in "[a-b0-1 ]{0,5}") {
            proptest::prop_assert_eq!(natural_order(&a, &b), natural_order(&b, &a).reverse());
            proptest::prop_assert_eq!(natural_order(&a, &b) == Ordering::Equal, a == b);
            if natural_order(&a, &b) != Ordering::Greater && natural_order(&b, &c) != Ordering::Greater {
                proptest::prop_assert!(natural_order(&a, &c) != Ordering::Greater);
            }
        }
    }
}
