//! How many of each kind go to each place.
//!
//! Enters: kinds nested in wider ones, how many are of each, and the places' shares. Leaves: whole numbers.
//! Always true: every kind is shared out whole; in each kind, in each wider one, and in all together, each place gets
//! its exact share rounded up or down; every animal is as likely to go to a place as the place's share says.
//! Never: depends on anything but its arguments and the draws.
//!
//! Method: the exact shares are a flow from the kinds through the wider kinds to the places. Where some are not
//! whole they lie on a cycle; a drawn amount is pushed around it, one way or the other with chances that leave the
//! mean where it is, until one more is whole (Cox 1987, A constructive procedure for unbiased controlled rounding,
//! Journal of the American Statistical Association 82:520-524, for tables; Gandhi, Khuller, Parthasarathy and
//! Srinivasan 2006, Dependent rounding, Journal of the ACM 53:324-360; both from memory). All in whole numbers: a
//! share is kept as a count of parts, `total` to the animal.

use super::draws::Draws;

/// A kind, and the wider kinds that it lies in, widest first, as numbers of one's own choice.
#[derive(Clone, Debug)]
pub(super) struct Kind {
    pub within: Vec<u32>,
    pub n: u32,
}

/// Animals of each kind for each place: one row per kind. A place's share is its part over the sum of the parts.
pub(super) fn share_out(kinds: &[Kind], shares: &[u32], draws: &mut Draws) -> Vec<Vec<u32>> {
    let total: u32 = shares.iter().sum();
    if total == 0 {
        return kinds.iter().map(|_| vec![0; shares.len()]).collect();
    }
    let mut flow = Flow::new(kinds, shares, total);
    while let Some(cycle) = flow.cycle() {
        flow.push(&cycle, draws);
    }
    flow.edges
        .chunks(shares.len())
        .take(kinds.len())
        .map(|row| row.iter().map(|edge| edge.whole).collect())
        .collect()
}

/// From a kind or a wider kind to the next wider one, for one place.
struct Edge {
    from: usize,
    to: usize,
    whole: u32,
    /// Parts beyond the whole, below `total`.
    parts: u32,
}

struct Flow {
    total: u32,
    /// The kinds' own edges first, place by place.
    edges: Vec<Edge>,
    /// Edges that touch each node.
    touching: Vec<Vec<usize>>,
    /// Edges before this one are whole.
    done: usize,
}

impl Flow {
    fn new(kinds: &[Kind], shares: &[u32], total: u32) -> Flow {
        let places = shares.len();
        // Groups: all animals first, then each wider kind by the path that leads to it.
        let mut groups: Vec<(Vec<u32>, usize, u32)> = vec![(Vec::new(), 0, 0)];
        let mut group_of = std::collections::BTreeMap::from([(Vec::new(), 0_usize)]);
        let mut parents = Vec::with_capacity(kinds.len());
        for kind in kinds {
            let mut at = 0;
            for depth in 1..=kind.within.len() {
                let path = kind.within[..depth].to_vec();
                let next = *group_of.entry(path.clone()).or_insert_with(|| {
                    groups.push((path, at, 0));
                    groups.len() - 1
                });
                groups[next].2 += kind.n;
                at = next;
            }
            groups[0].2 += kind.n;
            parents.push(at);
        }
        let node = |group: usize, place: usize| kinds.len() + group * places + place;
        // Where the places' whole lists end: what they get in all is rounded too.
        let end = kinds.len() + groups.len() * places;
        let edge = |from: usize, to: usize, n: u32, share: u32| {
            let parts = u64::from(n) * u64::from(share);
            let (whole, parts) = (parts / u64::from(total), parts % u64::from(total));
            Edge {
                from,
                to,
                whole: u32::try_from(whole).expect("at most as many as there are"),
                parts: u32::try_from(parts).expect("below the total"),
            }
        };
        let mut edges = Vec::new();
        for (row, kind) in kinds.iter().enumerate() {
            for (place, &share) in shares.iter().enumerate() {
                edges.push(edge(row, node(parents[row], place), kind.n, share));
            }
        }
        for (group, (_, parent, n)) in groups.iter().enumerate() {
            for (place, &share) in shares.iter().enumerate() {
                let to = match group {
                    0 => end,
                    _ => node(*parent, place),
                };
                edges.push(edge(node(group, place), to, *n, share));
            }
        }
        let mut touching = vec![Vec::new(); end + 1];
        for (at, edge) in edges.iter().enumerate() {
            touching[edge.from].push(at);
            touching[edge.to].push(at);
        }
        Flow {
            total,
            edges,
            touching,
            done: 0,
        }
    }

    /// A cycle of edges that are not whole, each with whether it is walked along (or against) its direction.
    ///
    /// At every node the parts add up to whole animals, so an edge that is not whole has another beside it, and the
    /// walk goes on until it meets itself.
    fn cycle(&mut self) -> Option<Vec<(usize, bool)>> {
        while self.edges.get(self.done)?.parts == 0 {
            self.done += 1;
        }
        let mut walk: Vec<(usize, bool)> = vec![(self.done, true)];
        let mut met = std::collections::BTreeMap::from([(self.edges[self.done].from, 0_usize)]);
        let mut here = self.edges[self.done].to;
        loop {
            if let Some(&start) = met.get(&here) {
                return Some(walk.split_off(start));
            }
            met.insert(here, walk.len());
            let came_by = walk.last().expect("the walk has begun").0;
            self.touching[here].retain(|&at| self.edges[at].parts > 0);
            let next = *self.touching[here]
                .iter()
                .find(|&&at| at != came_by)
                .expect("parts at a node add up to whole animals");
            let along = self.edges[next].from == here;
            walk.push((next, along));
            here = if along {
                self.edges[next].to
            } else {
                self.edges[next].from
            };
        }
    }

    fn push(&mut self, cycle: &[(usize, bool)], draws: &mut Draws) {
        let room = |up: bool| {
            cycle
                .iter()
                .map(|&(at, along)| {
                    let parts = self.edges[at].parts;
                    if along == up {
                        self.total - parts
                    } else {
                        parts
                    }
                })
                .min()
                .expect("a cycle has edges")
        };
        let (up, down) = (room(true), room(false));
        // The mean stays: up with chance down / (up + down).
        let goes_up = draws.below(up + down) < down;
        let by = if goes_up { up } else { down };
        for &(at, along) in cycle {
            let edge = &mut self.edges[at];
            if along == goes_up {
                edge.parts += by;
                if edge.parts == self.total {
                    edge.parts = 0;
                    edge.whole += 1;
                }
            } else {
                edge.parts -= by;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn kind(within: &[u32], n: u32) -> Kind {
        Kind {
            within: within.to_vec(),
            n,
        }
    }

    #[test]
    fn equal_shares_differ_by_one_at_most() {
        let kinds = [kind(&[0], 5), kind(&[0], 3), kind(&[1], 1), kind(&[1], 4)];
        let shared = share_out(&kinds, &[1, 1], &mut Draws::new(1));
        for (kind, row) in kinds.iter().zip(&shared) {
            assert_eq!(row.iter().sum::<u32>(), kind.n);
            assert!(row[0].abs_diff(row[1]) <= 1, "{row:?}");
        }
        // The wider kind of eight is halved.
        assert_eq!(shared[0][0] + shared[1][0], 4);
        let first = shared.iter().map(|row| row[0]).sum::<u32>();
        assert!(first == 6 || first == 7, "{first}");
    }

    /// One animal of each of three kinds, two places of one and two: each animal goes to the first place once in
    /// three times.
    #[test]
    fn every_animal_is_as_likely() {
        let kinds = [kind(&[], 1), kind(&[], 1), kind(&[], 1)];
        let mut counts = [0_u32; 3];
        for seed in 0..3000 {
            let shared = share_out(&kinds, &[1, 2], &mut Draws::new(seed));
            for (count, row) in counts.iter_mut().zip(&shared) {
                *count += row[0];
            }
        }
        assert_eq!(counts.iter().sum::<u32>(), 3000);
        // Five standard deviations of a count are 129.
        assert!(counts.iter().all(|n| n.abs_diff(1000) < 129), "{counts:?}");
    }

    #[test]
    fn nothing_to_share_out() {
        for shares in [[0, 0], [1, 1]] {
            assert_eq!(
                share_out(&[kind(&[], 0)], &shares, &mut Draws::new(1)),
                [[0, 0]]
            );
        }
    }

    proptest! {
        /// Kinds whole, places full, and every kind and wider kind within one of its exact share.
        #[test]
        fn shares_are_rounded_and_nothing_else(
            rows in prop::collection::vec((0..3_u32, 0..3_u32, 0..9_u32), 1..25),
            parts in prop::collection::vec(0..30_u32, 2..6),
            seed in any::<u32>(),
        ) {
            let kinds: Vec<Kind> = rows.iter().map(|&(one, two, n)| kind(&[one, two], n)).collect();
            let total: u32 = parts.iter().sum();
            prop_assume!(total > 0);
            let shared = share_out(&kinds, &parts, &mut Draws::new(seed));
            prop_assert_eq!(&shared, &share_out(&kinds, &parts, &mut Draws::new(seed)));
            for (kind, row) in kinds.iter().zip(&shared) {
                prop_assert_eq!(row.iter().sum::<u32>(), kind.n);
            }
            for (place, &share) in parts.iter().enumerate() {
                for depth in 0..=2 {
                    for one in &rows {
                        let path = [one.0, one.1];
                        let (mut n, mut got) = (0_u64, 0_u64);
                        for (row, shared) in rows.iter().zip(&shared) {
                            if [row.0, row.1][..depth] == path[..depth] {
                                n += u64::from(row.2);
                                got += u64::from(shared[place]);
                            }
                        }
                        let exact = n * u64::from(share);
                        let whole = exact / u64::from(total);
                        let up = u64::from(exact % u64::from(total) > 0);
                        prop_assert!(got >= whole && got <= whole + up, "{got} of {n}, exactly {exact}/{total}");
                    }
                }
            }
            for (kind, row) in kinds.iter().zip(&shared) {
                for (&share, &got) in parts.iter().zip(row) {
                    let exact = u64::from(kind.n) * u64::from(share);
                    let whole = exact / u64::from(total);
                    let up = u64::from(exact % u64::from(total) > 0);
                    prop_assert!((whole..=whole + up).contains(&u64::from(got)));
                }
            }
        }
    }
}
