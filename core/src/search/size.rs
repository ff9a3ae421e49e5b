//! How many stacks there are, without making them.

/// Choices that share one stock of cloth: plies each, and plies that one half of the stack may take.
pub(super) struct Shared {
    pub(super) plies: Vec<usize>,
    pub(super) most: usize,
}

/// Number of sequences of choices, by the plies they take together, from 0 to `plies`.
///
/// Sequences of one stock are counted ply by ply; two stocks interleave in C(k1 + k2, k1) ways.
/// Beyond 2^64 the count stays there.
pub(super) fn sequences(stocks: &[Shared], plies: usize) -> Vec<u64> {
    let side = plies + 1;
    let at = |items: usize, used: usize| items * side + used;
    let ways = binomials(side);
    let mut all = vec![0_u64; side * side];
    all[0] = 1;
    for stock in stocks {
        let mut own = vec![0_u64; side * side];
        own[0] = 1;
        let most = stock.most.min(plies);
        for items in 0..plies {
            for used in 0..=most {
                let so_far = own[at(items, used)];
                for more in stock.plies.iter().map(|more| used + more) {
                    if so_far > 0 && more <= most {
                        let next = &mut own[at(items + 1, more)];
                        *next = next.saturating_add(so_far);
                    }
                }
            }
        }
        let mut both = vec![0_u64; side * side];
        for (first, &many) in all.iter().enumerate().filter(|(_, many)| **many > 0) {
            let (items, used) = (first / side, first % side);
            for more_items in 0..side - items {
                for more in more_items..side - used {
                    let new = own[at(more_items, more)];
                    let mixed = many
                        .saturating_mul(new)
                        .saturating_mul(ways[at(items + more_items, items)]);
                    let sum = &mut both[at(items + more_items, used + more)];
                    *sum = sum.saturating_add(mixed);
                }
            }
        }
        all = both;
    }
    let column =
        |used| (0..side).fold(0_u64, |sum, items| sum.saturating_add(all[at(items, used)]));
    (0..side).map(column).collect()
}

/// C(n, k) at n * side + k.
fn binomials(side: usize) -> Vec<u64> {
    let mut ways = vec![0_u64; side * side];
    for n in 0..side {
        ways[n * side] = 1;
        for k in 1..=n {
            let above = (n - 1) * side + k;
            ways[n * side + k] = ways[above - 1].saturating_add(ways[above]);
        }
    }
    ways
}

#[cfg(test)]
mod tests {
    use super::{Shared, sequences};

    #[test]
    fn free_choices_count_as_powers() {
        let free = Shared {
            plies: vec![1; 7],
            most: usize::MAX,
        };
        let counts = sequences(&[free], 6);
        assert_eq!(counts, [1, 7, 49, 343, 2401, 16_807, 117_649]);
    }

    #[test]
    fn pairs_count_as_fibonacci_numbers() {
        let both = Shared {
            plies: vec![1, 2],
            most: 20,
        };
        assert_eq!(sequences(&[both], 7), [1, 1, 2, 3, 5, 8, 13, 21]);
    }

    #[test]
    fn stocks_interleave() {
        // Two of A at most and any number of B: of the 16 sequences of four, 11 hold at most two A.
        let a = Shared {
            plies: vec![1],
            most: 2,
        };
        let b = Shared {
            plies: vec![1],
            most: 99,
        };
        assert_eq!(sequences(&[a, b], 4)[4], 11);
    }

    #[test]
    fn a_count_beyond_all_numbers_stays_at_the_largest() {
        let many = Shared {
            plies: vec![1; 40],
            most: 30,
        };
        assert_eq!(sequences(&[many], 30)[30], u64::MAX);
    }
}
