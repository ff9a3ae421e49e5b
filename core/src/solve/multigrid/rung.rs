//! One rung cut down to its free points, which stand close together, and what a cycle does on it.

use super::half::Short;
use super::ladder::Rows;

/// Not free.
pub(super) const NONE: u32 = u32::MAX;

/// The free points of one rung and what joins them; the pull of held points is left out.
#[derive(Debug, Clone, Default)]
pub(super) struct Rung {
    /// The free points, in order.
    pub(super) point: Vec<u32>,
    /// The place of each point among the free ones.
    pub(super) place: Vec<u32>,
    /// What stands before the diagonal in each row, and what stands behind it.
    before: Short,
    behind: Short,
    diagonal: Vec<f64>,
    /// One over the diagonal.
    inverse: Vec<f64>,
    /// How the next rung spreads to this one.
    spread: Short,
    /// These two have a nought at their end.
    pub(super) right: Vec<f64>,
    pub(super) x: Vec<f64>,
    /// How far the sweep backwards moved each point; a nought at the end.
    pub(super) moved: Vec<f64>,
}

/// Where rows begin, columns and values of a rung with nothing held.
pub(super) type Whole<'a> = (&'a [u32], &'a [u32], &'a [f64]);

fn known(place: u32) -> Option<u32> {
    (place != NONE).then_some(place)
}

impl Rung {
    /// Takes over what is free of a rung.
    pub(super) fn cut(&mut self, (start, column, value): Whole<'_>, is_free: &[bool]) {
        self.point.clear();
        self.place.clear();
        for (i, &free) in is_free.iter().enumerate() {
            self.place
                .push(if free { self.point.len() as u32 } else { NONE });
            if free {
                self.point.push(i as u32);
            }
        }
        let count = self.point.len();
        for half in [&mut self.before, &mut self.behind, &mut self.spread] {
            half.clear();
        }
        for part in [&mut self.diagonal, &mut self.inverse] {
            part.clear();
        }
        for &i in &self.point {
            let range = start[i as usize] as usize..start[i as usize + 1] as usize;
            let mut diagonal = 0.0;
            self.before.open(count);
            self.behind.open(count);
            for (&j, &a) in column[range.clone()].iter().zip(&value[range]) {
                if j == i {
                    diagonal = a;
                } else if let Some(at) = known(self.place[j as usize]) {
                    if j < i {
                        self.before.push(at, a);
                    } else {
                        self.behind.push(at, a);
                    }
                }
            }
            self.before.close();
            self.behind.close();
            self.diagonal.push(diagonal);
            let inverse = if diagonal > 0.0 { 1.0 / diagonal } else { 0.0 };
            self.inverse.push(inverse);
        }
        for part in [&mut self.right, &mut self.x, &mut self.moved] {
            part.clear();
            part.resize(count + 1, 0.0);
        }
    }

    /// Takes over how the next rung spreads to what is free here.
    pub(super) fn join(&mut self, spread: &Rows, next: &Self) {
        self.spread.clear();
        for &i in &self.point {
            let (to, weight) = spread.row(i as usize);
            self.spread.open(next.len());
            for (&to, &w) in to.iter().zip(weight) {
                if let Some(at) = known(next.place[to as usize]) {
                    self.spread.push(at, w);
                }
            }
            self.spread.close();
        }
    }

    pub(super) fn len(&self) -> usize {
        self.point.len()
    }

    /// The row of a point: its diagonal, and places and values of what stands before it.
    pub(super) fn row(&self, i: usize) -> (f64, impl Iterator<Item = (usize, f64)>) {
        let before = self.before.row(i).filter(move |&(j, _)| j < i);
        (self.diagonal[i], before)
    }

    /// Smooths forwards from nought.
    pub(super) fn forward(&mut self) {
        let n = self.len();
        let (right, inverse) = (&self.right[..n], &self.inverse[..n]);
        let x = &mut self.x[..=n];
        for (i, (right, inverse)) in right.iter().zip(inverse).enumerate() {
            x[i] = (right - self.before.times(i, x)) * inverse;
        }
    }

    /// Smooths forwards from what is there.
    pub(super) fn forward_again(&mut self) {
        for i in 0..self.len() {
            self.x[i] = self.left_of(i) * self.inverse[i];
        }
    }

    /// What the others leave of the right side of a point.
    fn left_of(&self, i: usize) -> f64 {
        self.right[i] - self.before.times(i, &self.x) - self.behind.times(i, &self.x)
    }

    /// Hands what is left after a sweep forwards from nought to the next rung: only what stands behind each point.
    pub(super) fn hand_down(&self, next: &mut [f64]) {
        next.fill(0.0);
        let x = &self.x[..=self.len()];
        for i in 0..self.len() {
            self.spread.add(i, -self.behind.times(i, x), next);
        }
    }

    /// Hands all that is left to the next rung.
    pub(super) fn hand_down_all(&self, next: &mut [f64]) {
        next.fill(0.0);
        for i in 0..self.len() {
            let left = self.left_of(i) - self.diagonal[i] * self.x[i];
            self.spread.add(i, left, next);
        }
    }

    /// Adds the correction of the next rung.
    pub(super) fn bring_up(&mut self, next: &[f64]) {
        let n = self.len();
        for (i, x) in self.x[..n].iter_mut().enumerate() {
            *x += self.spread.times(i, next);
        }
    }

    /// Smooths backwards.
    pub(super) fn backward(&mut self) {
        for i in (0..self.len()).rev() {
            self.x[i] = self.left_of(i) * self.inverse[i];
        }
    }

    /// Smooths backwards, and keeps how far each point moved.
    pub(super) fn backward_with(&mut self) {
        let n = self.len();
        let (right, inverse) = (&self.right[..n], &self.inverse[..n]);
        let (x, moved) = (&mut self.x[..=n], &mut self.moved[..n]);
        for i in (0..n).rev() {
            let others = self.before.times(i, x) + self.behind.times(i, x);
            let new = (right[i] - others) * inverse[i];
            moved[i] = new - x[i];
            x[i] = new;
        }
    }

    /// A row times `x` after a sweep backwards: the right side, and what those before it have moved since.
    pub(super) fn image(&self, i: usize) -> f64 {
        self.right[i] + self.before.times(i, &self.moved)
    }
}
