//! A network with some of its points held: the levels cut down to what is free, and a solve on them.

use super::Matrix;
use super::hierarchy::Hierarchy;
use super::last::Last;
use super::level::{Level, span};
use super::product::{Coarse, Scratch};

/// Levels below the first from which a cycle goes down once; from the smaller ones it goes down twice.
const ONCE: usize = 1;

/// Room for solves on one hierarchy, kept from one to the next.
#[derive(Debug, Clone, Default)]
pub(in crate::solve) struct Room {
    /// Whether the network is another than the one of the hierarchy.
    is_own: bool,
    /// Whether the network may have changed since it was taken over.
    is_stale: bool,
    /// What is free.
    is_free: Vec<bool>,
    /// What is free in the networks below the first level.
    was_free: Vec<bool>,
    /// The networks below the first level.
    coarse: Vec<Coarse>,
    levels: Vec<Level>,
    scratch: Scratch,
    last: Last,
    x: Vec<f64>,
    search: Vec<f64>,
    image: Vec<f64>,
    /// Places where a solve adds to the diagonal, and one over the diagonal without it.
    firm: Vec<(usize, f64)>,
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

    /// Tells whether the network is another than the one of the hierarchy; it may have changed since.
    pub(in crate::solve) fn set_own(&mut self, is_own: bool) {
        if is_own || self.is_own {
            self.forget();
            self.is_stale = true;
        }
        self.is_own = is_own;
    }

    /// Takes over what joins the points of each level.
    fn shape(&mut self, matrix: &Matrix, hierarchy: &Hierarchy) {
        let steps = &hierarchy.steps;
        if self.levels.len() != steps.len() + 1 || self.levels[0].len() != matrix.len() {
            self.forget();
            self.coarse.resize_with(steps.len(), Coarse::default);
            self.levels.resize_with(steps.len() + 1, Level::default);
            let mut pattern = matrix;
            for (level, step) in self.levels.iter_mut().zip(steps) {
                level.shape(pattern, Some(step));
                pattern = &step.coarse;
            }
            if let Some(level) = self.levels.last_mut() {
                level.shape(pattern, None);
            }
            for part in [&mut self.x, &mut self.search, &mut self.image] {
                part.clear();
                part.resize(matrix.len(), 0.0);
            }
        } else if self.is_stale {
            self.levels[0].renew(matrix, &matrix.value, 0..matrix.len());
        }
        self.is_stale = false;
    }

    /// Brings the network below the first level to what is free.
    fn renew(&mut self, matrix: &Matrix, hierarchy: &Hierarchy, is_free: &[bool]) {
        let Some(step) = hierarchy.steps.first() else {
            self.was_free.clear();
            self.was_free.extend_from_slice(is_free);
            return;
        };
        if self.was_free.len() == is_free.len() {
            self.coarse[0].begin();
        } else if !self.is_own {
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

    /// One cycle over all levels: `x` of the first becomes about the solution for `right`.
    fn cycle(&mut self) {
        let (first, below) = match &mut self.levels[..] {
            [first, below @ ..] => (first, below),
            [] => return,
        };
        first.forward();
        if let Some(next) = below.first_mut() {
            first.hand_down(next);
            cycle_below(below, &self.last, ONCE);
            first.bring_up(&below[0].x);
        }
        first.backward_with();
    }
}

impl Room {
    /// Conjugate gradients from nought, with a cycle before each step, until what is left squared,
    /// over the diagonal, sums to `enough`.
    fn descend(&mut self, mut left: f64, enough: f64, most: usize) -> usize {
        let mut before = 0.0;
        let mut turn = 0;
        while turn < most && left > enough && left.is_finite() {
            self.cycle();
            let first = &mut self.levels[0];
            let mut along = 0.0;
            for &run in &first.runs {
                let pairs = first.right[span(run)].iter().zip(&first.x[span(run)]);
                along += pairs.map(|(r, s)| r * s).sum::<f64>();
            }
            let beta = if turn == 0 { 0.0 } else { along / before };
            before = along;
            let mut curve = 0.0;
            for &run in &first.runs {
                let searches = self.search[span(run)].iter_mut();
                let searches = searches.zip(&mut self.image[span(run)]);
                for ((search, image), (own, x)) in searches.zip(first.images(run)) {
                    if turn == 0 {
                        (*search, *image) = (x, own);
                    } else {
                        *search = x + beta * *search;
                        *image = own + beta * *image;
                    }
                    curve += *image * *search;
                }
            }
            if curve.is_nan() || curve <= 0.0 {
                break;
            }
            let alpha = along / curve;
            left = 0.0;
            for &run in &first.runs {
                let searches = self.search[span(run)].iter().zip(&self.image[span(run)]);
                let sums = self.x[span(run)]
                    .iter_mut()
                    .zip(&mut first.right[span(run)])
                    .zip(&first.inverse[span(run)]);
                for ((search, image), ((x, rest), inverse)) in searches.zip(sums) {
                    let was = if turn == 0 { 0.0 } else { *x };
                    *x = was + alpha * search;
                    *rest -= alpha * image;
                    left += *rest * *rest * inverse;
                }
            }
            turn += 1;
        }
        turn
    }
}

/// One cycle over the levels below the first: `x` becomes about the solution for `right`.
fn cycle_below(levels: &mut [Level], last: &Last, once: usize) {
    let Some((level, below)) = levels.split_first_mut() else {
        return;
    };
    let Some(next) = below.first_mut() else {
        last.solve(level);
        return;
    };
    level.forward();
    level.hand_down(next);
    cycle_below(below, last, once.saturating_sub(1));
    level.bring_up(&below[0].x);
    if once == 0 && below.len() > 1 {
        level.backward();
        level.forward_again();
        level.hand_down_all(&mut below[0]);
        cycle_below(below, last, 0);
        level.bring_up(&below[0].x);
    }
    level.backward();
}

impl<'a> Reduced<'a> {
    /// Cuts the hierarchy down to what is free.
    pub(in crate::solve) fn of(
        matrix: &'a Matrix,
        hierarchy: &Hierarchy,
        is_free: &[bool],
        room: &'a mut Room,
    ) -> Self {
        room.shape(matrix, hierarchy);
        room.is_free.clear();
        room.is_free.extend_from_slice(is_free);
        room.levels[0].hold(is_free);
        room.renew(matrix, hierarchy, is_free);
        let steps = &hierarchy.steps;
        for (k, step) in steps.iter().enumerate() {
            let (above, below) = room.coarse.split_at_mut(k);
            let coarse = &mut below[0];
            if let Some(upper) = above.last() {
                let fine = (&steps[k - 1].coarse, &upper.value[..]);
                let free = (&upper.is_free[..], &upper.touched[..]);
                coarse.renew(step, fine, free, &mut room.scratch);
            }
            let touched = coarse.touched.iter().map(|&i| i as usize);
            room.levels[k + 1].renew(&step.coarse, &coarse.value, touched);
            room.levels[k + 1].hold(&coarse.is_free);
        }
        if let ([_, .., last], Some(coarse)) = (&room.levels[..], room.coarse.last()) {
            room.last.factor(last, &coarse.is_free);
        }
        Self { matrix, room }
    }

    /// Solves for what is free: the rows of the network times `x` become `right` there.
    ///
    /// `x` holds the values of held points and a first guess; it ends when what is left has shrunk to `close` of
    /// [`Reduced::size`], and to `shrink` of what the guess leaves, or after `most` steps. Gives the steps.
    pub(in crate::solve) fn solve(
        &mut self,
        right: impl Fn(usize) -> f64,
        x: &mut [f64],
        (close, shrink): (f64, f64),
        most: usize,
    ) -> usize {
        let enough = close * close * self.size(&right, x);
        self.residual(&right, |_| 0.0, x);
        self.solve_to(x, (enough, shrink), most)
    }

    /// The size of `right` and the pull of held points: what is left counts by its square over the diagonal, so that where
    /// little flows it counts no less.
    pub(in crate::solve) fn size(&self, right: impl Fn(usize) -> f64, x: &[f64]) -> f64 {
        let first = &self.room.levels[0];
        let mut size = 0.0;
        for &run in &first.runs {
            for i in span(run) {
                let (columns, values) = self.matrix.row(i);
                let mut held = 0.0;
                for (&j, a) in columns.iter().zip(values) {
                    if !self.room.is_free[j as usize] {
                        held += a * x[j as usize];
                    }
                }
                size += (right(i) - held).powi(2) * first.inverse[i];
            }
        }
        size
    }

    /// Finds the residual of a guess everywhere, with something added to the diagonal of the network until a solve has ended.
    pub(in crate::solve) fn residual(
        &mut self,
        right: impl Fn(usize) -> f64,
        more: impl Fn(usize) -> f64,
        x: &[f64],
    ) {
        let room = &mut *self.room;
        let first = &mut room.levels[0];
        for &run in &first.runs {
            for i in span(run) {
                let more = more(i);
                if more != 0.0 {
                    room.firm.push((i, first.inverse[i]));
                    first.inverse[i] = 1.0 / (self.matrix.diagonal(i) + more);
                }
                first.right[i] = right(i) - self.matrix.times(i, x) - more * x[i];
            }
        }
    }

    /// Finds the residual anew at some points, where `x` or what is free has changed beside them since the last solve.
    pub(in crate::solve) fn residual_at(
        &mut self,
        points: &[u32],
        right: impl Fn(usize) -> f64,
        x: &[f64],
    ) {
        let first = &mut self.room.levels[0];
        for i in points.iter().map(|&i| i as usize) {
            first.right[i] = right(i) - self.matrix.times(i, x);
        }
    }

    /// Solves for the residual until it is `enough`, or has shrunk to `shrink` of itself. Gives the steps.
    pub(in crate::solve) fn solve_to(
        &mut self,
        x: &mut [f64],
        (enough, shrink): (f64, f64),
        most: usize,
    ) -> usize {
        let room = &mut *self.room;
        let first = &room.levels[0];
        let mut left = 0.0;
        for &run in &first.runs {
            let sides = first.right[span(run)].iter().zip(&first.inverse[span(run)]);
            left += sides
                .map(|(rest, inverse)| rest * rest * inverse)
                .sum::<f64>();
        }
        let turns = room.descend(left, enough.min(shrink * shrink * left), most);
        let first = &mut room.levels[0];
        for (i, inverse) in room.firm.drain(..) {
            first.inverse[i] = inverse;
        }
        if turns > 0 {
            for &run in &first.runs {
                let parts = room.x[span(run)].iter();
                x[span(run)]
                    .iter_mut()
                    .zip(parts)
                    .for_each(|(x, part)| *x += part);
            }
        }
        turns
    }
}
