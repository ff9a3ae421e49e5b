//! Sorts lists by one sort: the standard library's would stand in the program anew for every kind of list.

use std::cmp::Ordering;

/// Sorts by a comparison; equal items keep their order.
pub(crate) fn sort_by<T>(items: &mut [T], compare: impl Fn(&T, &T) -> Ordering) {
    let order = positions(items.len(), &|a, b| compare(&items[a], &items[b]));
    lay(order, &mut |a, b| items.swap(a, b));
}

/// Sorts by a key; equal items keep their order.
pub(crate) fn sort_by_key<T, K: Ord>(items: &mut [T], key: impl Fn(&T) -> K) {
    sort_by(items, |a, b| key(a).cmp(&key(b)));
}

/// Sorts numbers, the smallest first; what is not a number goes to the ends.
pub(crate) fn sort_numbers(values: &mut [f64]) {
    // Numbers that compare alike are alike, so none can tell that their order is not kept.
    values.sort_unstable_by(f64::total_cmp);
}

/// Which item goes to each place.
fn positions(count: usize, compare: &dyn Fn(usize, usize) -> Ordering) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|&a, &b| compare(a, b));
    order
}

/// Puts into each place the item that `order` names for it, one circle of places after another.
fn lay(mut order: Vec<usize>, swap: &mut dyn FnMut(usize, usize)) {
    for start in 0..order.len() {
        let mut place = start;
        loop {
            let from = std::mem::replace(&mut order[place], place);
            if from == start {
                break;
            }
            swap(place, from);
            place = from;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sorts_as_the_standard_library_does_and_keeps_the_order_of_equals() {
        for count in [0, 1, 2, 3, 20, 21, 500] {
            let mut ours: Vec<(usize, usize)> = (0..count).map(|i| (i * 7919 % 13, i)).collect();
            let mut theirs = ours.clone();
            sort_by_key(&mut ours, |item| item.0);
            theirs.sort_by_key(|item| item.0);
            assert_eq!(ours, theirs);
            sort_by(&mut ours, |a, b| b.1.cmp(&a.1));
            theirs.sort_by_key(|item| std::cmp::Reverse(item.1));
            assert_eq!(ours, theirs);
        }
    }

    #[test]
    fn sorts_numbers_of_every_kind() {
        let mut found = [1.0, f64::INFINITY, -0.0, f64::NAN, 0.0, -3.0];
        sort_numbers(&mut found);
        assert_eq!(found[..5], [-3.0, -0.0, 0.0, 1.0, f64::INFINITY]);
        assert!(found[1].is_sign_negative() && found[5].is_nan());
    }
}
