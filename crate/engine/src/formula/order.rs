//! The order in which calculated columns are computed.
//!
//! Enters: formulas by the column they fill. Leaves: an order in which each comes after what it needs, and
//! the circles, which have none.
//! Always true: the same formulas give the same order.
//! Never: goes deeper than a list, however long a chain of columns is.

use std::collections::BTreeMap;

use super::tree::{ColumnName, Node};

/// A calculated column.
pub struct Needing<'f> {
    /// Its sheet.
    pub sheet: &'f str,
    /// Its key.
    pub key: &'f str,
    /// Its formula.
    pub formula: &'f Node,
}

/// Which formula comes when.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Order {
    /// Places in the list of formulas, each after all it needs.
    pub order: Vec<usize>,
    /// Circles: each needs the next, and the last the first. A formula that needs a circle stands in none.
    pub circles: Vec<Vec<usize>>,
    /// Formulas that are in a circle or need one, and so have no value.
    pub without_value: Vec<usize>,
}

/// Orders formulas.
pub fn order(formulas: &[Needing<'_>]) -> Order {
    let place: BTreeMap<(&str, &str), usize> = formulas
        .iter()
        .enumerate()
        .map(|(at, needing)| ((needing.sheet, needing.key), at))
        .collect();
    let needs: Vec<Vec<usize>> = formulas
        .iter()
        .map(|needing| {
            let mut needs: Vec<usize> = needing
                .formula
                .columns()
                .into_iter()
                .filter_map(|(ColumnName { sheet, key }, _)| {
                    place
                        .get(&(sheet.as_deref().unwrap_or(needing.sheet), key.as_str()))
                        .copied()
                })
                .collect();
            needs.sort_unstable();
            needs.dedup();
            needs
        })
        .collect();
    let mut done = vec![false; formulas.len()];
    let mut order = Vec::new();
    loop {
        let ready: Vec<usize> = (0..formulas.len())
            .filter(|&at| !done[at] && needs[at].iter().all(|&need| done[need]))
            .collect();
        if ready.is_empty() {
            break;
        }
        for at in ready {
            done[at] = true;
            order.push(at);
        }
    }
    let without_value: Vec<usize> = (0..formulas.len()).filter(|&at| !done[at]).collect();
    Order {
        order,
        circles: circles(&needs, &done),
        without_value,
    }
}

/// Follows the first unmet need of each until a formula comes up again.
fn circles(needs: &[Vec<usize>], done: &[bool]) -> Vec<Vec<usize>> {
    let mut circles = Vec::new();
    let mut seen = vec![false; needs.len()];
    for start in 0..needs.len() {
        let mut path: Vec<usize> = Vec::new();
        let mut at = start;
        while !done[at] && !seen[at] {
            seen[at] = true;
            path.push(at);
            match needs[at].iter().find(|&&need| !done[need]) {
                Some(&next) => at = next,
                None => break,
            }
        }
        if let Some(begin) = path.iter().position(|&on_path| on_path == at) {
            circles.push(path.split_off(begin));
        }
    }
    circles
}

#[cfg(test)]
mod tests {
    use super::super::parse::parse;
    use super::*;

    fn ordered(formulas: &[(&str, &str)]) -> Order {
        let trees: Vec<(&str, Node)> = formulas
            .iter()
            .map(|(key, text)| (*key, parse(text).expect("a formula")))
            .collect();
        let needing: Vec<Needing<'_>> = trees
            .iter()
            .map(|(key, formula)| Needing {
                sheet: "calves",
                key,
                formula,
            })
            .collect();
        order(&needing)
    }

    #[test]
    fn each_comes_after_what_it_needs() {
        let order = ordered(&[("a", "b+1"), ("b", "'calves'.c*2"), ("c", "wean_weight")]);
        assert_eq!(order.order, [2, 1, 0]);
        assert!(order.circles.is_empty());
    }

    #[test]
    fn circles_are_named_and_the_rest_still_has_values() {
        let order = ordered(&[("a", "b"), ("b", "a"), ("c", "a"), ("d", "1"), ("e", "e")]);
        assert_eq!(order.order, [3]);
        assert_eq!(order.circles, [vec![0, 1], vec![4]]);
        assert_eq!(order.without_value, [0, 1, 2, 4]);
    }
}
