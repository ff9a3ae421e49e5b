//! One rung cut down to its free points, which stand close together, and what a cycle does on it.

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
    /// Where each row begins, and the end of the last.
    start: Vec<u32>,
    /// Where what stands behind the diagonal begins; the diagonal itself is not in the row.
    middle: Vec<u32>,
    column: Vec<u32>,
    value: Vec<f64>,
    diagonal: Vec<f64>,
    /// One over the diagonal.
    inverse: Vec<f64>,
    /// How the next rung spreads to this one.
    spread: Rows,
    pub(super) right: Vec<f64>,
    pub(super) x: Vec<f64>,
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
        self.start.clear();
        self.start.push(0);
        for part in [&mut self.middle, &mut self.column] {
            part.clear();
        }
        for part in [&mut self.value, &mut self.diagonal, &mut self.inverse] {
            part.clear();
        }
        for &i in &self.point {
            let range = start[i as usize] as usize..start[i as usize + 1] as usize;
            let (mut diagonal, mut middle) = (0.0, self.column.len());
            for (&j, &a) in column[range.clone()].iter().zip(&value[range]) {
                if j == i {
                    (diagonal, middle) = (a, self.column.len());
                } else if let Some(at) = known(self.place[j as usize]) {
                    self.column.push(at);
                    self.value.push(a);
                }
            }
            self.middle.push(middle as u32);
            self.start.push(self.column.len() as u32);
            self.diagonal.push(diagonal);
            let inverse = if diagonal > 0.0 { 1.0 / diagonal } else { 0.0 };
            self.inverse.push(inverse);
        }
        for part in [&mut self.right, &mut self.x] {
            part.clear();
            part.resize(self.point.len(), 0.0);
        }
    }

    /// Takes over how the next rung spreads to what is free here.
    pub(super) fn join(&mut self, spread: &Rows, next: &Self) {
        self.spread.clear();
        for &i in &self.point {
            let (to, weight) = spread.row(i as usize);
            for (&to, &w) in to.iter().zip(weight) {
                if let Some(at) = known(next.place[to as usize]) {
                    self.spread.column.push(at);
                    self.spread.value.push(w);
                }
            }
            self.spread.close();
        }
    }

    pub(super) fn len(&self) -> usize {
        self.point.len()
    }

    /// The row of a point: its diagonal, and places and values of the rest.
    pub(super) fn row(&self, i: usize) -> (f64, impl Iterator<Item = (usize, f64)>) {
        let (from, to) = (self.start[i], self.start[i + 1]);
        let row = pairs(&self.column, &self.value, from, to);
        (self.diagonal[i], row)
    }

    /// Smooths forwards from nought.
    pub(super) fn forward(&mut self) {
        let n = self.len();
        let (start, middle) = (&self.start[..n], &self.middle[..n]);
        let (right, inverse) = (&self.right[..n], &self.inverse[..n]);
        let x = &mut self.x[..n];
        for i in 0..n {
            let row = pairs(&self.column, &self.value, start[i], middle[i]);
            x[i] = less(right[i], row, x) * inverse[i];
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
        let (from, to) = (self.start[i], self.start[i + 1]);
        let row = pairs(&self.column, &self.value, from, to);
        less(self.right[i], row, &self.x)
    }

    /// Hands what is left after a sweep forwards from nought to the next rung: only what stands behind each point.
    pub(super) fn hand_down(&self, next: &mut [f64]) {
        next.fill(0.0);
        let n = self.len();
        let (ends, middle) = (&self.start[1..=n], &self.middle[..n]);
        for i in 0..n {
            let row = pairs(&self.column, &self.value, middle[i], ends[i]);
            let left = less(0.0, row, &self.x);
            let (to, weight) = self.spread.row(i);
            for (&to, w) in to.iter().zip(weight) {
                next[to as usize] += w * left;
            }
        }
    }

    /// Hands all that is left to the next rung.
    pub(super) fn hand_down_all(&self, next: &mut [f64]) {
        next.fill(0.0);
        for i in 0..self.len() {
            let left = self.left_of(i) - self.diagonal[i] * self.x[i];
            let (to, weight) = self.spread.row(i);
            for (&to, w) in to.iter().zip(weight) {
                next[to as usize] += w * left;
            }
        }
    }

    /// Adds the correction of the next rung.
    pub(super) fn bring_up(&mut self, next: &[f64]) {
        for (i, x) in self.x.iter_mut().enumerate() {
            let (to, weight) = self.spread.row(i);
            let parts = to.iter().zip(weight).map(|(&to, w)| w * next[to as usize]);
            *x += parts.sum::<f64>();
        }
    }

    /// Smooths backwards.
    pub(super) fn backward(&mut self) {
        for i in (0..self.len()).rev() {
            self.x[i] = self.left_of(i) * self.inverse[i];
        }
    }

    /// Smooths backwards, and gives the rows times `x`: the right side, and what each point moves those behind it.
    pub(super) fn backward_with(&mut self, image: &mut [f64]) {
        let n = self.len();
        let (start, ends, middle) = (&self.start[..n], &self.start[1..=n], &self.middle[..n]);
        let (right, inverse) = (&self.right[..n], &self.inverse[..n]);
        let x = &mut self.x[..n];
        let image = &mut image[..n];
        image.copy_from_slice(right);
        for i in (0..n).rev() {
            let before = less(
                right[i],
                pairs(&self.column, &self.value, start[i], middle[i]),
                x,
            );
            let behind = pairs(&self.column, &self.value, middle[i], ends[i]);
            let new = less(before, behind.clone(), x) * inverse[i];
            let moved = new - x[i];
            x[i] = new;
            for (j, a) in behind {
                image[j] += a * moved;
            }
        }
    }
}

/// Places and values of a part of a row.
fn pairs<'a>(
    column: &'a [u32],
    value: &'a [f64],
    from: u32,
    to: u32,
) -> impl Iterator<Item = (usize, f64)> + Clone + 'a {
    let range = from as usize..to as usize;
    let places = column[range.clone()].iter().map(|&j| j as usize);
    places.zip(value[range].iter().copied())
}

/// What a part of a row leaves of a sum.
fn less(sum: f64, row: impl Iterator<Item = (usize, f64)>, x: &[f64]) -> f64 {
    row.fold(sum, |sum, (j, a)| sum - a * x[j])
}
