//! Putting rows in order.
//!
//! Enters: one 64-bit key per row and the rows to order. Leaves: the rows, ordered.
//! Always true: stable (rows with equal keys keep their order), missing last either way, the same on every
//! machine. Rows are numbers; no cell moves.
//! Never: compares values of different columns.

use std::cmp::Ordering;

use super::natural::natural_order;

/// The key of a missing value: after every other, in both directions.
pub const MISSING_LAST: u64 = u64::MAX;

/// The key of a number: larger numbers have larger keys, missing (NaN) is [`MISSING_LAST`].
pub fn number_key(number: f64) -> u64 {
    if number.is_nan() {
        return MISSING_LAST;
    }
    // Adding zero makes -0 and 0 one number.
    let bits = (number + 0.0).to_bits();
    if bits >> 63 == 0 {
        bits | (1 << 63)
    } else {
        !bits
    }
}

/// Orders `rows` by `keys[row]`, largest first when `descending`. Stable.
pub fn sort_rows(rows: &mut Vec<u32>, keys: &[u64], descending: bool) {
    let key = |row: u32| {
        let key = keys.get(row as usize).copied().unwrap_or(MISSING_LAST);
        if descending && key != MISSING_LAST {
            // Stays below MISSING_LAST, since no other key is zero after the shift.
            MISSING_LAST - 1 - key
        } else {
            key
        }
    };
    sort_by_key(rows, key, |_, _| Ordering::Equal);
}

/// Stable order by a 64-bit key, then by `tie`.
///
/// Radix over the leading bits in which the keys differ (least significant digit first, 11 bits at a
/// time), then each run of equal leading bits is ordered by what is left: the leading 32 bits nearly
/// always decide, so a million rows take a few passes over memory instead of twenty comparisons each.
fn sort_by_key(rows: &mut Vec<u32>, key: impl Fn(u32) -> u64, tie: impl Fn(u32, u32) -> Ordering) {
    // Missing rows would make the keys differ in every bit: they are set aside.
    let mut missing = Vec::new();
    let mut differing = 0_u64;
    let mut reference = None;
    let mut pairs: Vec<(u32, u32)> = Vec::with_capacity(rows.len());
    for &row in rows.iter() {
        let k = key(row);
        if k != MISSING_LAST {
            differing |= k ^ *reference.get_or_insert(k);
        }
    }
    let width = 64 - differing.leading_zeros();
    let shift = width.saturating_sub(32);
    for &row in rows.iter() {
        let k = key(row);
        if k == MISSING_LAST {
            missing.push(row);
        } else {
            // The bits above the differing ones are the same in every key and fall off here.
            pairs.push(((k >> shift) as u32, row));
        }
    }
    let n_bits = width.min(32);
    if n_bits < 32 {
        let mask = (1_u32 << n_bits) - 1;
        for pair in &mut pairs {
            pair.0 &= mask;
        }
    }
    radix(&mut pairs, n_bits);
    let mut start = 0;
    while start < pairs.len() {
        let mut end = start + 1;
        while end < pairs.len() && pairs[end].0 == pairs[start].0 {
            end += 1;
        }
        if end - start > 1 {
            let compare = |a: &(u32, u32), b: &(u32, u32)| {
                key(a.1).cmp(&key(b.1)).then_with(|| tie(a.1, b.1))
            };
            let run = &mut pairs[start..end];
            if !run.is_sorted_by(|a, b| compare(a, b) != Ordering::Greater) {
                run.sort_by(compare);
            }
        }
        start = end;
    }
    missing.sort_by(|&a, &b| tie(a, b));
    rows.clear();
    rows.extend(pairs.iter().map(|pair| pair.1));
    rows.append(&mut missing);
}

/// Stable radix sort of pairs by the low `n_bits` of their first half.
fn radix(pairs: &mut Vec<(u32, u32)>, n_bits: u32) {
    const DIGIT: u32 = 11;
    let mut other = vec![(0_u32, 0_u32); pairs.len()];
    let mut shift = 0;
    while shift < n_bits {
        let digit = |pair: &(u32, u32)| ((pair.0 >> shift) & ((1 << DIGIT) - 1)) as usize;
        let mut starts = [0_u32; 1 << DIGIT];
        for pair in pairs.iter() {
            starts[digit(pair)] += 1;
        }
        let mut at = 0;
        for start in &mut starts {
            at += std::mem::replace(start, at);
        }
        for pair in pairs.iter() {
            let start = &mut starts[digit(pair)];
            other[*start as usize] = *pair;
            *start += 1;
        }
        std::mem::swap(pairs, &mut other);
        shift += DIGIT;
    }
}

/// The keys of a column of codes by the natural order of what they stand for; a code beyond the texts is
/// missing.
pub fn rank_keys<C: Copy + Into<u32>>(codes: &[C], texts: &[&str]) -> Vec<u64> {
    let ranks = natural_ranks(texts);
    codes
        .iter()
        .map(|&code| {
            ranks
                .get(code.into() as usize)
                .map_or(MISSING_LAST, |&rank| u64::from(rank))
        })
        .collect()
}

/// The rank of each text in natural order, from 0.
pub fn natural_ranks(texts: &[&str]) -> Vec<u32> {
    let mut codes: Vec<u32> = (0..u32::try_from(texts.len()).unwrap_or(u32::MAX)).collect();
    let prefixes: Vec<u128> = texts.iter().map(|text| natural_prefix(text)).collect();
    let mut differing = 0_u128;
    if let Some(&first) = prefixes.first() {
        for prefix in &prefixes {
            differing |= prefix ^ first;
        }
    }
    let shift = (128 - differing.leading_zeros()).saturating_sub(63);
    // 63 bits, so that no key is MISSING_LAST.
    let key = |code: u32| ((prefixes[code as usize] >> shift) as u64) & (u64::MAX >> 1);
    sort_by_key(&mut codes, key, |a, b| {
        natural_order(texts[a as usize], texts[b as usize])
    });
    let mut ranks = vec![0; texts.len()];
    for (rank, &code) in (0_u32..).zip(&codes) {
        ranks[code as usize] = rank;
    }
    ranks
}

/// The first sixteen bytes of the natural form; shorter forms sort first.
fn natural_prefix(text: &str) -> u128 {
    let mut prefix = [0_u8; 16];
    for (at, byte) in prefix.iter_mut().zip(NaturalBytes::new(text)) {
        *at = byte;
    }
    u128::from_be_bytes(prefix)
}

/// A text as bytes whose plain order is the natural order (`super::natural`): a run of digits becomes `0`,
/// its length without leading zeros, and its digits two to a byte. Ends at a run of 255 digits or more,
/// which leaves the decision to the natural order itself.
struct NaturalBytes<'a> {
    rest: &'a [u8],
    digits: &'a [u8],
    pending: [Option<u8>; 2],
}

impl<'a> NaturalBytes<'a> {
    fn new(text: &'a str) -> NaturalBytes<'a> {
        NaturalBytes {
            rest: text.as_bytes(),
            digits: &[],
            pending: [None; 2],
        }
    }
}

impl Iterator for NaturalBytes<'_> {
    type Item = u8;

    fn next(&mut self) -> Option<u8> {
        if let [Some(byte), after] = self.pending {
            self.pending = [after, None];
            return Some(byte);
        }
        if let [high, low, rest @ ..] = self.digits {
            self.digits = rest;
            return Some((high - b'0') << 4 | (low - b'0'));
        }
        let (&byte, after) = self.rest.split_first()?;
        if !byte.is_ascii_digit() {
            self.rest = after;
            return Some(byte.to_ascii_lowercase());
        }
        let is_digit = |byte: &u8| byte.is_ascii_digit();
        let n = self
            .rest
            .iter()
            .position(|b| !is_digit(b))
            .unwrap_or(self.rest.len());
        let (run, rest) = self.rest.split_at(n);
        let zeros = run.iter().position(|&b| b != b'0').unwrap_or(run.len());
        let digits = &run[zeros..];
        if let Some(length) = u8::try_from(digits.len()).ok().filter(|&n| n < u8::MAX) {
            self.rest = rest;
            let odd = digits.len() % 2;
            self.pending = [
                Some(length),
                digits[..odd].first().map(|digit| digit - b'0'),
            ];
            self.digits = &digits[odd..];
        } else {
            self.rest = &[];
            self.pending = [Some(u8::MAX), None];
        }
        Some(b'0')
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn missing_is_last_both_ways_and_ties_keep_their_order() {
        let keys: Vec<u64> = [3.0, f64::NAN, -1.0, 3.0, 0.0, -0.0]
            .into_iter()
            .map(number_key)
            .collect();
        let mut rows: Vec<u32> = (0..6).collect();
        sort_rows(&mut rows, &keys, false);
        assert_eq!(rows, [2, 4, 5, 0, 3, 1]);
        sort_rows(&mut rows, &keys, true);
        assert_eq!(rows, [0, 3, 4, 5, 2, 1]);
    }

    proptest! {
        #[test]
        fn agrees_with_the_plain_stable_sort(
            numbers in prop::collection::vec(
                prop_oneof![
                    any::<f64>(), Just(f64::NAN), Just(0.0), Just(512.5), 300.0..800.0_f64
                ], 0..300),
            descending: bool,
        ) {
            let keys: Vec<u64> = numbers.iter().copied().map(number_key).collect();
            let mut rows: Vec<u32> = (0..numbers.len() as u32).rev().collect();
            let mut plain = rows.clone();
            plain.sort_by(|&a, &b| {
                let (a, b) = (numbers[a as usize], numbers[b as usize]);
                match (a.is_nan(), b.is_nan()) {
                    (true, true) => Ordering::Equal,
                    (true, false) => Ordering::Greater,
                    (false, true) => Ordering::Less,
                    _ => {
                        let order = a.partial_cmp(&b).expect("neither is NaN");
                        if descending { order.reverse() } else { order }
                    }
                }
            });
            sort_rows(&mut rows, &keys, descending);
            prop_assert_eq!(rows, plain);
        }

        #[test]
        fn ranks_are_the_natural_order(
            mut texts in prop::collection::vec("[a-cA-C0-2 é-]{0,6}|84000[0-9]{10}|FARM-2026-0[0-9]{20}[ab]", 0..200)
        ) {
            texts.sort_unstable();
            texts.dedup();
            let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
            let ranks = natural_ranks(&texts);
            let mut ordered = texts.clone();
            ordered.sort_by(|a, b| natural_order(a, b));
            for (code, text) in texts.iter().enumerate() {
                prop_assert_eq!(ordered[ranks[code] as usize], *text);
            }
        }
    }
}
