//! One sort for the short lists of the whole program.
//!
//! Enters: a list and a rule that says which of two items comes first. Leaves: the list in that order.
//! Always true: stable (items that the rule calls equal keep their order); the same on every machine.
//! Never: is compiled once more for each kind of item, as the standard library's sorts are; those are
//! kept for the lists that hold an entry per row.

use std::cmp::Ordering;

/// Puts items in the order that `compare` gives. Stable.
pub fn order_by<T>(items: &mut [T], mut compare: impl FnMut(&T, &T) -> Ordering) {
    let mut sources = sources_in_order(items.len(), &mut |one, other| {
        compare(&items[one], &items[other])
    });
    // Each round of places is followed to its end, so every item is moved to its place once.
    for start in 0..items.len() {
        let mut at = start;
        loop {
            let source = std::mem::replace(&mut sources[at], at);
            if source == start || source == at {
                break;
            }
            items.swap(at, source);
            at = source;
        }
    }
}

/// Puts items in their own order. Stable.
pub fn order<T: Ord>(items: &mut [T]) {
    order_by(items, T::cmp);
}

/// Puts items in the order of what `key` gives for each. Stable.
pub fn order_by_key<T, K: Ord>(items: &mut [T], mut key: impl FnMut(&T) -> K) {
    order_by(items, |one, other| key(one).cmp(&key(other)));
}

/// For each place, the position of the item that belongs there.
fn sources_in_order(
    n_items: usize,
    compare: &mut dyn FnMut(usize, usize) -> Ordering,
) -> Vec<usize> {
    let mut sources: Vec<usize> = (0..n_items).collect();
    sources.sort_by(|&one, &other| compare(one, other));
    sources
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn agrees_with_the_standard_stable_sort(
            items in prop::collection::vec((0_u8..20, any::<u16>()), 0..200),
        ) {
            let mut ours = items.clone();
            let mut standard = items.clone();
            order_by(&mut ours, |one, other| other.0.cmp(&one.0));
            standard.sort_by_key(|pair| std::cmp::Reverse(pair.0));
            prop_assert_eq!(&ours, &standard);

            let mut ours = items.clone();
            let mut standard = items.clone();
            order_by_key(&mut ours, |item| item.0);
            standard.sort_by_key(|item| item.0);
            prop_assert_eq!(&ours, &standard);

            let mut ours = items.clone();
            let mut standard = items;
            order(&mut ours);
            standard.sort();
            prop_assert_eq!(&ours, &standard);
        }
    }
}
