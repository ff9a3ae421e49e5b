//! A network with some of its points held: the rungs cut down to what is free, and a solve on them.

use super::Matrix;
use super::ladder::{Ladder, Rows, Step};

/// The values of one rung.
#[derive(Debug, Clone, Copy)]
pub(super) enum Fine<'a> {
    /// Its own.
    Full(&'a Matrix),
    /// Those of a cut-down rung on the pattern of the full one.
    Cut(&'a Matrix, &'a [f64]),
}

impl<'a> Fine<'a> {
    fn row(self, i: usize) -> (&'a [u32], &'a [f64]) {
        match self {
            Self::Full(matrix) => matrix.row(i),
            Self::Cut(matrix, values) => {
                let range = matrix.start[i] as usize..matrix.start[i + 1] as usize;
                (&matrix.column[range.clone()], &values[range])
            }
        }
    }

    fn len(self) -> usize {
        match self {
            Self::Full(matrix) | Self::Cut(matrix, _) => matrix.len(),
        }
    }
}

/// Room for one product.
#[derive(Debug, Clone, Default)]
pub(super) struct Scratch {
    half: Vec<f64>,
    place: Vec<u32>,
}

/// The product of gather, fine and spread, with the rows of held points left out.
#[allow(clippy::too_many_arguments, reason = "the parts of one product")]
pub(super) fn product(
    fine: Fine<'_>,
    spread: &Rows,
    gather: &Rows,
    between: &Rows,
    start: &[u32],
    column: &[u32],
    value: &mut [f64],
    free: Option<&[bool]>,
    room: &mut Scratch,
) {
    let groups = start.len() - 1;
    let is_free = |i: usize| free.is_none_or(|free| free[i]);
    room.half.resize(between.column.len(), 0.0);
    room.place.clear();
    room.place.resize(groups, 0);
    for i in (0..fine.len()).filter(|&i| is_free(i)) {
        let range = between.start[i] as usize..between.start[i + 1] as usize;
        for (at, &j) in range.clone().zip(&between.column[range.clone()]) {
            room.half[at] = 0.0;
            room.place[j as usize] = at as u32;
        }
        let (columns, values) = fine.row(i);
        for (&j, a) in columns.iter().zip(values) {
            if !is_free(j as usize) {
                continue;
            }
            let (to, weight) = spread.row(j as usize);
            for (&to, w) in to.iter().zip(weight) {
                room.half[room.place[to as usize] as usize] += a * w;
            }
        }
    }
    for i in 0..groups {
        let range = start[i] as usize..start[i + 1] as usize;
        for (at, &j) in range.clone().zip(&column[range.clone()]) {
            value[at] = 0.0;
            room.place[j as usize] = at as u32;
        }
        let (from, weight) = gather.row(i);
        for (&k, w) in from.iter().zip(weight) {
            let k = k as usize;
            if !is_free(k) {
                continue;
            }
            let range = between.start[k] as usize..between.start[k + 1] as usize;
            for (&j, half) in between.column[range.clone()].iter().zip(&room.half[range]) {
                value[room.place[j as usize] as usize] += w * half;
            }
        }
    }
}

/// One rung below the first, cut down.
#[derive(Debug, Clone, Default)]
struct Rung {
    value: Vec<f64>,
    /// One over the diagonal; none where nothing is free.
    inverse: Vec<f64>,
    right: Vec<f64>,
    x: Vec<f64>,
    rest: Vec<f64>,
}

/// Room for solves, kept from one to the next.
#[derive(Debug, Clone, Default)]
pub(in crate::solve) struct Room {
    rungs: Vec<Rung>,
    scratch: Scratch,
    /// The last rung as a triangle, rows one after another.
    last: Vec<f64>,
    inverse: Vec<f64>,
    rest: Vec<f64>,
    search: Vec<f64>,
    image: Vec<f64>,
    step: Vec<f64>,
}

/// A network with some points held.
pub(in crate::solve) struct Reduced<'a> {
    matrix: &'a Matrix,
    ladder: &'a Ladder,
    /// Which points are free.
    is_free: &'a [bool],
    /// The free points, in order.
    free: Vec<u32>,
    room: &'a mut Room,
}

impl<'a> Reduced<'a> {
    /// Cuts the ladder down to what is free.
    pub(in crate::solve) fn of(
        matrix: &'a Matrix,
        ladder: &'a Ladder,
        is_free: &'a [bool],
        room: &'a mut Room,
    ) -> Self {
        let free: Vec<u32> = (0..matrix.len() as u32)
            .filter(|&i| is_free[i as usize])
            .collect();
        room.rungs.resize_with(ladder.steps.len(), Rung::default);
        for (k, step) in ladder.steps.iter().enumerate() {
            let (above, below) = room.rungs.split_at_mut(k);
            let rung = &mut below[0];
            rung.value.resize(step.coarse.column.len(), 0.0);
            let fine = match above.last() {
                Some(upper) => Fine::Cut(&ladder.steps[k - 1].coarse, &upper.value),
                None => Fine::Full(matrix),
            };
            product(
                fine,
                &step.spread,
                &step.gather,
                &step.between,
                &step.coarse.start,
                &step.coarse.column,
                &mut rung.value,
                if k == 0 { Some(is_free) } else { None },
                &mut room.scratch,
            );
            rung.inverse.clear();
            rung.inverse.extend(step.coarse.middle.iter().map(|&m| {
                let d = rung.value[m as usize];
                if d > 0.0 { 1.0 / d } else { 0.0 }
            }));
            for part in [&mut rung.right, &mut rung.x, &mut rung.rest] {
                part.clear();
                part.resize(step.coarse.len(), 0.0);
            }
        }
        let points = matrix.len();
        room.inverse.clear();
        room.inverse.extend((0..points).map(|i| {
            let d = matrix.diagonal(i);
            if d > 0.0 { 1.0 / d } else { 0.0 }
        }));
        for part in [
            &mut room.rest,
            &mut room.search,
            &mut room.image,
            &mut room.step,
        ] {
            part.clear();
            part.resize(points, 0.0);
        }
        let mut made = Self {
            matrix,
            ladder,
            is_free,
            free,
            room,
        };
        made.factor_last();
        made
    }

    /// The last rung as a triangle; points where nothing is free stay out.
    fn factor_last(&mut self) {
        let (Some(step), Some(rung)) = (self.ladder.steps.last(), self.room.rungs.last()) else {
            return;
        };
        let n = step.coarse.len();
        let full = &mut self.room.last;
        full.clear();
        full.resize(n * n, 0.0);
        for i in 0..n {
            let range = step.coarse.start[i] as usize..step.coarse.start[i + 1] as usize;
            for (&j, a) in step.coarse.column[range.clone()]
                .iter()
                .zip(&rung.value[range])
            {
                full[i * n + j as usize] = *a;
            }
        }
        for i in 0..n {
            let own = full[i * n + i];
            for j in 0..i {
                let sum: f64 = (0..j).map(|k| full[i * n + k] * full[j * n + k]).sum();
                let pivot = full[j * n + j];
                full[i * n + j] = if pivot > 0.0 {
                    (full[i * n + j] - sum) / pivot
                } else {
                    0.0
                };
            }
            let sum: f64 = (0..i).map(|k| full[i * n + k] * full[i * n + k]).sum();
            let left = own - sum;
            // Nothing free, or a piece that nothing holds: it stays at nought.
            full[i * n + i] = if left > 1e-12 * own { left.sqrt() } else { 0.0 };
        }
    }

    fn solve_last(room: &mut Room) {
        let Some(rung) = room.rungs.last_mut() else {
            return;
        };
        let n = rung.right.len();
        let l = &room.last;
        for i in 0..n {
            let sum: f64 = (0..i).map(|k| l[i * n + k] * rung.x[k]).sum();
            let pivot = l[i * n + i];
            rung.x[i] = if pivot > 0.0 {
                (rung.right[i] - sum) / pivot
            } else {
                0.0
            };
        }
        for i in (0..n).rev() {
            let pivot = l[i * n + i];
            if pivot <= 0.0 {
                rung.x[i] = 0.0;
                continue;
            }
            rung.x[i] /= pivot;
            let x = rung.x[i];
            for (k, value) in rung.x[..i].iter_mut().enumerate() {
                *value -= l[i * n + k] * x;
            }
        }
    }

    /// One cycle over all rungs: `step` becomes about the solution for `rest`.
    fn cycle(&mut self) {
        let (matrix, steps) = (self.matrix, &self.ladder.steps);
        let room = &mut *self.room;
        let (rest, x, image) = (&room.rest, &mut room.step, &mut room.image);
        // Forward from nought; only what stands before counts, and only what stands behind is left over.
        for &i in &self.free {
            let i = i as usize;
            let (from, to) = (matrix.start[i] as usize, matrix.middle[i] as usize);
            let mut sum = rest[i];
            for (&j, a) in matrix.column[from..to].iter().zip(&matrix.value[from..to]) {
                sum -= a * x_before(x, j);
            }
            x[i] = sum * room.inverse[i];
        }
        if let Some(step) = steps.first() {
            for &i in &self.free {
                let i = i as usize;
                let (from, to) = (matrix.middle[i] as usize + 1, matrix.start[i + 1] as usize);
                let mut sum = 0.0;
                for (&j, a) in matrix.column[from..to].iter().zip(&matrix.value[from..to]) {
                    sum -= a * x[j as usize];
                }
                image[i] = sum;
            }
            let rung = &mut room.rungs[0];
            rung.right.fill(0.0);
            for &i in &self.free {
                let (to, weight) = step.spread.row(i as usize);
                for (&to, w) in to.iter().zip(weight) {
                    rung.right[to as usize] += w * image[i as usize];
                }
            }
            down(steps, &mut room.rungs);
            Self::solve_last(room);
            up(steps, &mut room.rungs);
            let (coarse, x) = (&room.rungs[0].x, &mut room.step);
            for &i in &self.free {
                let (to, weight) = step.spread.row(i as usize);
                let mut sum = 0.0;
                for (&to, w) in to.iter().zip(weight) {
                    sum += w * coarse[to as usize];
                }
                x[i as usize] += sum;
            }
        }
        let (rest, x) = (&room.rest, &mut room.step);
        for &i in self.free.iter().rev() {
            let i = i as usize;
            let left = rest[i] - matrix.times(i, x);
            x[i] += left * room.inverse[i];
        }
    }

    /// Solves for what is free: the rows of the network times `x` become `right` there.
    ///
    /// `x` holds the values of held points and a first guess; it ends when what is left has shrunk to `close` of `right`
    /// and the pull of held points, or after `most` steps. Gives the steps.
    pub(in crate::solve) fn solve(
        &mut self,
        right: impl Fn(usize) -> f64,
        x: &mut [f64],
        close: f64,
        most: usize,
    ) -> usize {
        let mut size = 0.0;
        let mut left = 0.0;
        for &i in &self.free {
            let i = i as usize;
            // The size of what is asked, without the guess.
            let (columns, values) = self.matrix.row(i);
            let (mut sum, mut held) = (0.0, 0.0);
            for (&j, a) in columns.iter().zip(values) {
                let part = a * x[j as usize];
                sum += part;
                if !self.is_free[j as usize] {
                    held += part;
                }
            }
            let b = right(i);
            size += (b - held).powi(2);
            let r = b - sum;
            left += r * r;
            self.room.rest[i] = r;
        }
        let enough = close * close * size;
        let mut before = 0.0;
        for turn in 0..most {
            if left <= enough || !left.is_finite() {
                return turn;
            }
            self.cycle();
            let room = &mut *self.room;
            let mut along = 0.0;
            for &i in &self.free {
                along += room.rest[i as usize] * room.step[i as usize];
            }
            let beta = if turn == 0 { 0.0 } else { along / before };
            before = along;
            let mut curve = 0.0;
            for &i in &self.free {
                let i = i as usize;
                room.search[i] = room.step[i] + beta * room.search[i];
            }
            for &i in &self.free {
                let i = i as usize;
                let image = self.matrix.times(i, &room.search);
                room.image[i] = image;
                curve += image * room.search[i];
            }
            if curve.is_nan() || curve <= 0.0 {
                return turn;
            }
            let alpha = along / curve;
            left = 0.0;
            for &i in &self.free {
                let i = i as usize;
                x[i] += alpha * room.search[i];
                let r = room.rest[i] - alpha * room.image[i];
                room.rest[i] = r;
                left += r * r;
            }
        }
        most
    }
}

/// A value set earlier in the same sweep.
fn x_before(x: &[f64], j: u32) -> f64 {
    x[j as usize]
}

/// Smooths each rung from nought and hands what is left to the next.
fn down(steps: &[Step], rungs: &mut [Rung]) {
    for k in 0..rungs.len().saturating_sub(1) {
        let (upper, lower) = rungs.split_at_mut(k + 1);
        let (rung, next) = (&mut upper[k], &mut lower[0]);
        let pattern = &steps[k].coarse;
        let n = pattern.len();
        for i in 0..n {
            let (from, to) = (pattern.start[i] as usize, pattern.middle[i] as usize);
            let mut sum = rung.right[i];
            for (&j, a) in pattern.column[from..to].iter().zip(&rung.value[from..to]) {
                sum -= a * rung.x[j as usize];
            }
            rung.x[i] = sum * rung.inverse[i];
        }
        next.right.fill(0.0);
        for i in 0..n {
            let (from, to) = (
                pattern.middle[i] as usize + 1,
                pattern.start[i + 1] as usize,
            );
            let mut sum = 0.0;
            for (&j, a) in pattern.column[from..to].iter().zip(&rung.value[from..to]) {
                sum -= a * rung.x[j as usize];
            }
            let (to, weight) = steps[k + 1].spread.row(i);
            for (&to, w) in to.iter().zip(weight) {
                next.right[to as usize] += w * sum;
            }
        }
    }
}

/// Brings each rung's correction up and smooths backwards.
fn up(steps: &[Step], rungs: &mut [Rung]) {
    for k in (0..rungs.len().saturating_sub(1)).rev() {
        let (upper, lower) = rungs.split_at_mut(k + 1);
        let (rung, next) = (&mut upper[k], &lower[0]);
        let pattern = &steps[k].coarse;
        for i in 0..pattern.len() {
            let (to, weight) = steps[k + 1].spread.row(i);
            let mut sum = 0.0;
            for (&to, w) in to.iter().zip(weight) {
                sum += w * next.x[to as usize];
            }
            rung.x[i] += sum;
        }
        for i in (0..pattern.len()).rev() {
            let (from, to) = (pattern.start[i] as usize, pattern.start[i + 1] as usize);
            let mut sum = rung.right[i];
            for (&j, a) in pattern.column[from..to].iter().zip(&rung.value[from..to]) {
                sum -= a * rung.x[j as usize];
            }
            rung.x[i] += sum * rung.inverse[i];
        }
    }
}
