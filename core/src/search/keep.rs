//! The best stacks so far, one for each goal, and the trade-off front.

use super::space::Middle;
use super::sums::{CONDUCTANCE, PORES};
use super::wish::Wish;
use std::cmp::Ordering;

/// Mass, cost, fossil carbon, thickness, fill: the goals in their order, smaller is better.
pub(super) type Key = [f64; 5];

/// What tells stacks of equal figures apart: the stiffer one first, then the order of the choices.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mark {
    /// Least bending stiffness in multiples of what is asked, in single precision so that rounding
    /// does not part what is equal.
    pub(super) score: f32,
    pub(super) middle: Middle,
    pub(super) half: Vec<usize>,
}

impl Mark {
    /// `Less` when the other stack comes before this one, as far as its half is known.
    pub(super) fn order_of(&self, score: f32, middle: Middle, half: &[usize]) -> Ordering {
        let known = self.half.get(..half.len()).unwrap_or(&self.half);
        (self.score.total_cmp(&score))
            .then(middle.cmp(&self.middle))
            .then_with(|| half.cmp(known))
    }

    /// `Less` when the other stack comes before this one.
    fn order_of_mark(&self, other: &Self) -> Ordering {
        self.order_of(other.score, other.middle, &other.half)
    }
}

/// A stack kept.
#[derive(Debug, Clone)]
pub(super) struct Kept {
    pub(super) key: Key,
    pub(super) mark: Mark,
}

impl Kept {
    /// A stack of another space: one that ties with it here is still found, and told from it by its own figures.
    fn known(figures: &[f64; 5], scale: &[f64; 6]) -> Self {
        let mut key = *figures;
        for (figure, scale) in key.iter_mut().zip(scale).take(4) {
            *figure = (*figure * scale * LENIENT).ceil();
        }
        let unit = scale[PORES] / scale[CONDUCTANCE];
        key[4] = f64::from((key[4] * unit * LENIENT_FILL) as f32);
        Self {
            key,
            mark: Mark {
                score: f32::INFINITY,
                middle: Middle::Plain,
                half: Vec::new(),
            },
        }
    }

    /// Whether it is a stack of another space.
    pub(super) fn is_known(&self) -> bool {
        self.mark.score == f32::INFINITY
    }
}

/// How a pick of plies stands against what is kept.
pub(super) enum Standing<'a> {
    /// It betters nothing.
    Behind,
    /// It ties with this one and must come before it.
    Level(&'a Mark),
    /// It betters something whatever its order.
    Ahead,
}

/// Room for the rounding of a figure that comes from another space; the fill is in single precision.
const LENIENT: f64 = 1.0 + 1e-9;
const LENIENT_FILL: f64 = 1.0 + 3e-7;

/// Best by goal, and the front: least of the first goal first.
pub(super) struct Keep {
    pub(super) best: [Option<Kept>; 5],
    pub(super) front: Vec<Kept>,
    pair: Option<[usize; 2]>,
}

/// By the goals given, then by all in their order.
fn compare(first: &[usize], a: &Key, b: &Key) -> Ordering {
    let by = |&i: &usize| a[i].total_cmp(&b[i]);
    let mut all = first.iter().chain(&[0, 1, 2, 3, 4]).map(by);
    all.find(|order| order.is_ne()).unwrap_or(Ordering::Equal)
}

impl Keep {
    pub(super) fn new(wish: &Wish<'_>, scale: &[f64; 6]) -> Self {
        let mut keep = Self {
            best: [const { None }; 5],
            front: Vec::new(),
            pair: wish.front.map(|pair| pair.map(|goal| goal as usize)),
        };
        for known in wish.known {
            keep.put(&Kept::known(known, scale));
        }
        keep
    }

    /// Whether a stack of these figures, or of greater ones, could still be kept.
    pub(super) fn hopes(&self, key: &Key) -> bool {
        let mut goals = self.best.iter().enumerate();
        goals.any(|(goal, kept)| {
            key[goal].is_finite()
                && kept
                    .as_ref()
                    .is_none_or(|kept| compare(&[goal], key, &kept.key).is_le())
        }) || self.place(key).is_some()
    }

    /// Where in the front these figures belong: position, and whether the point there is the same one.
    fn place(&self, key: &Key) -> Option<(usize, bool)> {
        let [x, y] = self.pair?;
        if !(key[x].is_finite() && key[y].is_finite()) {
            return None;
        }
        let at = self.front.partition_point(|kept| kept.key[x] < key[x]);
        let before = at.checked_sub(1).and_then(|i| self.front.get(i));
        if before.is_some_and(|kept| kept.key[y] <= key[y]) {
            return None;
        }
        match self.front.get(at) {
            Some(kept) if kept.key[x] == key[x] => match kept.key[y].total_cmp(&key[y]) {
                Ordering::Less => None,
                Ordering::Equal => compare(&[x, y], key, &kept.key)
                    .is_le()
                    .then_some((at, true)),
                Ordering::Greater => Some((at, false)),
            },
            _ => Some((at, false)),
        }
    }

    /// How a pick of exactly these figures stands.
    pub(super) fn standing(&self, key: &Key) -> Standing<'_> {
        let mut rivals: Vec<(&Kept, Ordering)> = Vec::new();
        for (goal, kept) in self.best.iter().enumerate() {
            match kept {
                _ if !key[goal].is_finite() => {}
                Some(kept) => rivals.push((kept, compare(&[goal], key, &kept.key))),
                None => return Standing::Ahead,
            }
        }
        match (self.place(key), self.pair) {
            (Some((at, true)), Some(pair)) => {
                let kept = &self.front[at];
                rivals.push((kept, compare(&pair, key, &kept.key)));
            }
            (Some(_), _) => return Standing::Ahead,
            (None, _) => {}
        }
        let mut last: Option<&Mark> = None;
        for (kept, order) in rivals {
            match order {
                Ordering::Less => return Standing::Ahead,
                Ordering::Equal
                    if last.is_none_or(|last| last.order_of_mark(&kept.mark).is_gt()) =>
                {
                    last = Some(&kept.mark);
                }
                _ => {}
            }
        }
        last.map_or(Standing::Behind, Standing::Level)
    }

    /// Keeps a stack wherever it is better than what is there.
    pub(super) fn put(&mut self, new: &Kept) {
        let better = |first: &[usize], old: &Kept| {
            let order = compare(first, &new.key, &old.key);
            order
                .then_with(|| old.mark.order_of_mark(&new.mark))
                .is_lt()
        };
        for (goal, best) in self.best.iter_mut().enumerate() {
            let known = new.key[goal].is_finite();
            if known && best.as_ref().is_none_or(|old| better(&[goal], old)) {
                *best = Some(new.clone());
            }
        }
        let (Some(pair), Some((at, same))) = (self.pair, self.place(&new.key)) else {
            return;
        };
        if same {
            if better(&pair, &self.front[at]) {
                self.front[at] = new.clone();
            }
            return;
        }
        // From here on the front may hold points that are worse at both goals.
        let y = pair[1];
        let worse = self.front[at..]
            .iter()
            .take_while(|old| old.key[y] >= new.key[y]);
        let end = at + worse.count();
        self.front.splice(at..end, [new.clone()]);
    }
}
