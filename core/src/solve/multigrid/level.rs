//! One level with its held points passed over, and what a cycle does on it.

use super::Matrix;
use super::half::Short;
use super::hierarchy::{Rows, Step};

/// The points of one level and what joins them. Held points stay at nought, so that what joins them to others counts for
/// nothing.
#[derive(Debug, Clone, Default)]
pub(super) struct Level {
    /// The free points as runs, each from its first to past its last.
    pub(super) runs: Vec<(u32, u32)>,
    /// What stands before the diagonal in each row, and what stands behind it.
    before: Short,
    behind: Short,
    diagonal: Vec<f64>,
    /// One over the diagonal.
    pub(super) inverse: Vec<f64>,
    /// Prolongation from the next level, and restriction to it.
    prolongation: Short,
    restriction: Rows,
    /// These three have a nought at their end.
    pub(super) right: Vec<f64>,
    pub(super) x: Vec<f64>,
    /// How far the sweep backwards moved each point.
    pub(super) moved: Vec<f64>,
}

/// A run as positions.
pub(super) fn span((from, to): (u32, u32)) -> std::ops::Range<usize> {
    from as usize..to as usize
}

impl Level {
    /// Takes over which points a level has and what joins them.
    pub(super) fn shape(&mut self, pattern: &Matrix, step: Option<&Step>) {
        let (count, value) = (pattern.len(), &pattern.value);
        for half in [&mut self.before, &mut self.behind, &mut self.prolongation] {
            half.clear();
        }
        for i in 0..count {
            let (columns, middle) = (pattern.row(i).0, pattern.middle_of(i));
            let values = &value[pattern.start[i] as usize..pattern.start[i + 1] as usize];
            let (before, behind) = (..middle, middle + 1..);
            self.before.push(count, (&columns[before], &values[before]));
            let (places, weights) = (&columns[behind.clone()], &values[behind]);
            self.behind.push(count, (places, weights));
            if let Some(step) = step {
                self.prolongation
                    .push(step.coarse.len(), step.prolongation.row(i));
            }
        }
        self.restriction = step.map_or_else(Rows::default, |step| step.restriction.clone());
        self.diagonal.clear();
        self.diagonal
            .extend((0..count).map(|i| value[pattern.middle[i] as usize]));
        self.inverse.clear();
        self.inverse.extend(self.diagonal.iter().map(|&d| over(d)));
        for part in [&mut self.right, &mut self.x, &mut self.moved] {
            part.clear();
            part.resize(count + 1, 0.0);
        }
    }

    /// Takes over other values of some rows.
    pub(super) fn renew(
        &mut self,
        pattern: &Matrix,
        value: &[f64],
        rows: impl Iterator<Item = usize>,
    ) {
        for i in rows {
            let middle = pattern.middle_of(i);
            let values = &value[pattern.start[i] as usize..pattern.start[i + 1] as usize];
            self.before.set(i, &values[..middle]);
            self.behind.set(i, &values[middle + 1..]);
            self.diagonal[i] = values[middle];
            self.inverse[i] = over(values[middle]);
        }
    }

    /// Holds all but what is free.
    pub(super) fn hold(&mut self, is_free: &[bool]) {
        self.runs.clear();
        let mut at = 0;
        for run in is_free.chunk_by(|a, b| a == b) {
            let from = at;
            at += run.len();
            if run[0] {
                self.runs.push((from as u32, at as u32));
            }
        }
        self.x.fill(0.0);
        self.moved.fill(0.0);
    }

    /// How many points there are, held ones among them.
    pub(super) fn len(&self) -> usize {
        self.diagonal.len()
    }

    /// The row of a point: its diagonal, and places and values of what stands before it.
    pub(super) fn row(&self, i: usize) -> (f64, impl Iterator<Item = (usize, f64)>) {
        let before = self.before.row(i).filter(move |&(j, _)| j < i);
        (self.diagonal[i], before)
    }

    /// Smooths forwards from nought.
    pub(super) fn forward(&mut self) {
        let x = &mut self.x[..];
        for &run in &self.runs {
            let sides = self.right[span(run)].iter().zip(&self.inverse[span(run)]);
            let rows = self.before.rows(run).iter().zip(sides);
            for (i, (row, (right, inverse))) in span(run).zip(rows) {
                x[i] = (right - self.before.times(row, x)) * inverse;
            }
        }
    }

    /// What the others leave of the right side of a point.
    #[inline(always)]
    fn left_of(&self, i: usize) -> f64 {
        let (before, behind) = (self.before.at(i), self.behind.at(i));
        let others = self.before.times(before, &self.x) + self.behind.times(behind, &self.x);
        self.right[i] - others
    }

    /// Smooths forwards from what is there.
    pub(super) fn forward_again(&mut self) {
        for at in 0..self.runs.len() {
            for i in span(self.runs[at]) {
                self.x[i] = self.left_of(i) * self.inverse[i];
            }
        }
    }

    /// Hands what is left after a sweep forwards from nought to the next level: only what stands behind each point.
    pub(super) fn hand_down(&mut self, next: &mut Self) {
        for &run in &self.runs {
            let rows = self.behind.rows(run).iter();
            for (left, row) in self.moved[span(run)].iter_mut().zip(rows) {
                *left = -self.behind.times(row, &self.x);
            }
        }
        self.restrict(next);
    }

    /// Hands all that is left to the next level.
    pub(super) fn hand_down_all(&mut self, next: &mut Self) {
        for at in 0..self.runs.len() {
            for i in span(self.runs[at]) {
                self.moved[i] = self.left_of(i) - self.diagonal[i] * self.x[i];
            }
        }
        self.restrict(next);
    }

    /// Gathers what is left, which stands in the place of what a sweep moves; there is nought at held points.
    fn restrict(&self, next: &mut Self) {
        let restriction = &self.restriction;
        for &run in &next.runs {
            let ends = restriction.start[run.0 as usize..=run.1 as usize].windows(2);
            for (ends, right) in ends.zip(&mut next.right[span(run)]) {
                let range = ends[0] as usize..ends[1] as usize;
                let places = restriction.column[range.clone()].iter();
                let pairs = places.zip(&restriction.value[range]);
                *right = pairs.fold(0.0, |sum, (&i, w)| sum + w * self.moved[i as usize]);
            }
        }
    }

    /// Adds the correction of the next level.
    pub(super) fn bring_up(&mut self, next: &[f64]) {
        for &run in &self.runs {
            let rows = self.prolongation.rows(run).iter();
            for (x, row) in self.x[span(run)].iter_mut().zip(rows) {
                *x += self.prolongation.times(row, next);
            }
        }
    }

    /// Smooths backwards.
    pub(super) fn backward(&mut self) {
        for at in (0..self.runs.len()).rev() {
            for i in span(self.runs[at]).rev() {
                self.x[i] = self.left_of(i) * self.inverse[i];
            }
        }
    }

    /// Smooths backwards, and keeps how far each point moved.
    pub(super) fn backward_with(&mut self) {
        let x = &mut self.x[..];
        for &run in self.runs.iter().rev() {
            let halves = self.before.rows(run).iter().zip(self.behind.rows(run));
            let sides = self.right[span(run)].iter().zip(&self.inverse[span(run)]);
            let rows = halves.zip(sides).zip(&mut self.moved[span(run)]);
            for (i, (((before, behind), (right, inverse)), moved)) in span(run).zip(rows).rev() {
                let others = self.before.times(before, x) + self.behind.times(behind, x);
                let new = (right - others) * inverse;
                *moved = new - x[i];
                x[i] = new;
            }
        }
    }

    /// Rows of a run times `x` after a sweep backwards, with `x`: the right side, and what those before have moved since.
    #[inline(always)]
    pub(super) fn images(&self, run: (u32, u32)) -> impl Iterator<Item = (f64, f64)> {
        let sides = self.right[span(run)].iter().zip(&self.x[span(run)]);
        let rows = self.before.rows(run).iter().zip(sides);
        rows.map(|(row, (right, &x))| (right + self.before.times(row, &self.moved), x))
    }
}

fn over(diagonal: f64) -> f64 {
    if diagonal > 0.0 { 1.0 / diagonal } else { 0.0 }
}
