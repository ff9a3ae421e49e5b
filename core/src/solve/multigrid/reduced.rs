//! A network with some of its points held: the rungs cut down to what is free, and a solve on them.

use super::Matrix;
use super::ladder::Ladder;
use super::last::Last;
use super::product::{Coarse, Scratch};
use super::rung::Rung;

/// Rungs below the first from which a cycle goes down once; from the smaller ones it goes down twice.
const ONCE: usize = 1;

/// Room for solves on one ladder, kept from one to the next.
#[derive(Debug, Clone, Default)]
pub(in crate::solve) struct Room {
    /// Whether the network is another than the one of the ladder.
    is_own: bool,
    /// What was free in the last solve.
    was_free: Vec<bool>,
    /// The networks below the first rung.
    coarse: Vec<Coarse>,
    rungs: Vec<Rung>,
    scratch: Scratch,
    last: Last,
    x: Vec<f64>,
    search: Vec<f64>,
    image: Vec<f64>,
    /// What a solve adds to the diagonal.
    more: Vec<f64>,
}

/// A network with some points held.
pub(in crate::solve) struct Reduced<'a> {
    matrix: &'a Matrix,
    room: &'a mut Room,
}

impl Room {
    /// Forgets earlier solves, so that later ones come out the same to the last digit whatever came before.
    pub(in crate::solve) fn forget(&mut self) {
        self.was_free.clear();
    }

    /// Tells whether the network is another than the one of the ladder; it may have changed since.
    pub(in crate::solve) fn set_own(&mut self, is_own: bool) {
        if is_own || self.is_own {
            self.forget();
        }
        self.is_own = is_own;
    }

    /// Brings the network below the first rung to what is free.
    fn renew(&mut self, matrix: &Matrix, ladder: &Ladder, is_free: &[bool]) {
        let Some(step) = ladder.steps.first() else {
            return;
        };
        if self.was_free.len() != is_free.len() && !self.is_own {
            self.coarse[0].whole(step);
            self.was_free.clear();
            self.was_free.resize(is_free.len(), true);
        }
        let is_known = self.was_free.len() == is_free.len();
        let pairs = self.was_free.iter().zip(is_free);
        let differ = (0_u32..).zip(pairs).filter(|(_, (was, is))| was != is);
        let changed: Vec<u32> = differ.map(|(i, _)| i).collect();
        let free = is_free.iter().filter(|&&free| free).count();
        if is_known && changed.len() < free {
            self.coarse[0].update(
                step,
                matrix,
                &changed,
                &mut self.was_free,
                &mut self.scratch,
            );
            return;
        }
        let fine = (matrix, &matrix.value[..]);
        self.coarse[0].fresh(step, fine, is_free, &mut self.scratch);
        self.was_free.clear();
        self.was_free.extend_from_slice(is_free);
    }

    /// Makes place for a solve on the first rung.
    fn make_place(&mut self) {
        let points = self.rungs[0].len();
        for part in [&mut self.x, &mut self.search, &mut self.image] {
            part.clear();
            part.resize(points, 0.0);
        }
    }

    /// One cycle over all rungs: `x` of the first becomes about the solution for `right`.
    fn cycle(&mut self) {
        let (first, below) = match &mut self.rungs[..] {
            [first, below @ ..] => (first, below),
            [] => return,
        };
        first.forward();
        if let Some(next) = below.first_mut() {
            first.hand_down(&mut next.right);
            cycle_below(below, &self.last, ONCE);
            first.bring_up(&below[0].x);
        }
        first.backward_with();
    }
}

/// One cycle over the rungs below the first: `x` becomes about the solution for `right`.
fn cycle_below(rungs: &mut [Rung], last: &Last, once: usize) {
    let Some((rung, below)) = rungs.split_first_mut() else {
        return;
    };
    let Some(next) = below.first_mut() else {
        last.solve(rung);
        return;
    };
    rung.forward();
    rung.hand_down(&mut next.right);
    cycle_below(below, last, once.saturating_sub(1));
    rung.bring_up(&below[0].x);
    if once == 0 && below.len() > 1 {
        rung.backward();
        rung.forward_again();
        rung.hand_down_all(&mut below[0].right);
        cycle_below(below, last, 0);
        rung.bring_up(&below[0].x);
    }
    rung.backward();
}

impl<'a> Reduced<'a> {
    /// Cuts the ladder down to what is free.
    pub(in crate::solve) fn of(
        matrix: &'a Matrix,
        ladder: &Ladder,
        is_free: &[bool],
        room: &'a mut Room,
    ) -> Self {
        let steps = &ladder.steps;
        room.coarse.resize_with(steps.len(), Coarse::default);
        room.rungs.resize_with(steps.len() + 1, Rung::default);
        room.renew(matrix, ladder, is_free);
        let whole = (&matrix.start[..], &matrix.column[..], &matrix.value[..]);
        room.rungs[0].cut(whole, is_free);
        for (k, step) in steps.iter().enumerate() {
            let (above, below) = room.coarse.split_at_mut(k);
            let coarse = &mut below[0];
            if let Some(upper) = above.last() {
                let fine = (&steps[k - 1].coarse, &upper.value[..]);
                coarse.fresh(step, fine, &upper.is_free, &mut room.scratch);
            }
            let pattern = &step.coarse;
            let (upper, lower) = room.rungs.split_at_mut(k + 1);
            let whole = (&pattern.start[..], &pattern.column[..], &coarse.value[..]);
            lower[0].cut(whole, &coarse.is_free);
            upper[k].join(&step.spread, &lower[0]);
        }
        if let [_, .., last] = &room.rungs[..] {
            room.last.factor(last);
        }
        room.make_place();
        Self { matrix, room }
    }

    /// Solves for what is free: the rows of the network times `x` become `right` there.
    ///
    /// `x` holds the values of held points and a first guess; it ends when what is left has shrunk to `close` of `right`
    /// and the pull of held points, and to `shrink` of what the guess leaves, or after `most` steps. Gives the steps.
    pub(in crate::solve) fn solve(
        &mut self,
        right: impl Fn(usize) -> f64,
        x: &mut [f64],
        goal: (f64, f64),
        most: usize,
    ) -> usize {
        self.solve_with(right, |_| 0.0, x, goal, most)
    }

    /// The same with something added to the diagonal of the network.
    pub(in crate::solve) fn solve_with(
        &mut self,
        right: impl Fn(usize) -> f64,
        more: impl Fn(usize) -> f64,
        x: &mut [f64],
        (close, shrink): (f64, f64),
        most: usize,
    ) -> usize {
        let room = &mut *self.room;
        let mut size = 0.0;
        let mut left = 0.0;
        let first = &mut room.rungs[0];
        room.more.clear();
        room.more
            .extend(first.point.iter().map(|&i| more(i as usize)));
        for ((&i, rest), more) in first.point.iter().zip(&mut first.right).zip(&room.more) {
            // The size of what is asked, without the guess.
            let (columns, values) = self.matrix.row(i as usize);
            let (mut sum, mut held) = (0.0, 0.0);
            for (&j, a) in columns.iter().zip(values) {
                let part = a * x[j as usize];
                sum += part;
                if first.place[j as usize] == super::rung::NONE {
                    held += part;
                }
            }
            let b = right(i as usize);
            size += (b - held).powi(2);
            *rest = b - sum - more * x[i as usize];
            left += *rest * *rest;
        }
        room.x.fill(0.0);
        let enough = (close * close * size).min(shrink * shrink * left);
        let mut before = 0.0;
        let mut turn = 0;
        while turn < most && left > enough && left.is_finite() {
            room.cycle();
            let first = &mut room.rungs[0];
            let pairs = first.right.iter().zip(&first.x);
            let along: f64 = pairs.map(|(r, s)| r * s).sum();
            let beta = if turn == 0 { 0.0 } else { along / before };
            before = along;
            let mut curve = 0.0;
            let searches = room.search.iter_mut().zip(&mut room.image);
            for (i, (search, image)) in searches.enumerate() {
                *search = first.x[i] + beta * *search;
                *image = first.image(i) + room.more[i] * first.x[i] + beta * *image;
                curve += *image * *search;
            }
            if curve.is_nan() || curve <= 0.0 {
                break;
            }
            let alpha = along / curve;
            left = 0.0;
            let searches = room.search.iter().zip(&room.image);
            let sums = room.x.iter_mut().zip(&mut first.right);
            for ((search, image), (x, rest)) in searches.zip(sums) {
                *x += alpha * search;
                *rest -= alpha * image;
                left += *rest * *rest;
            }
            turn += 1;
        }
        for (&i, part) in room.rungs[0].point.iter().zip(&room.x) {
            x[i as usize] += part;
        }
        turn
    }
}
