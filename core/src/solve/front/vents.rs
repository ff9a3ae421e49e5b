//! When open vents are reached: each when as much has come to it as it holds, though nothing stays there.

use super::levels::Level;
use super::{CLOSE, Field, Held, MAX_ITERATIONS};
use crate::solve::multigrid::Reduced;

impl Field {
    /// No place is reached later than this; nought at feeds, not a number where the front never comes. With the time
    /// until the last place is reached, and that place.
    ///
    /// At a vent u is nought, and what came to it by t is the sum of a (t p - w) over its edges while all around is wet.
    pub(super) fn bounds(
        &mut self,
        held: &Held,
        (w, p): (&[f64], &[f64]),
    ) -> (Vec<f64>, f64, Option<usize>) {
        let (mut bound, mut time, mut last) = self.bounds_without_vents(held, (w, p));
        if held.pull.is_some() || !held.vent.contains(&true) {
            return (bound, time, last);
        }
        // Next to a vent p goes to nought, so its own bound is coarse; shut it would be reached no later.
        let shut = self.shut(held);
        for (i, &t) in shut.iter().enumerate() {
            if t > time {
                (time, last) = (t, Some(i));
            }
        }
        for i in (0..bound.len()).filter(|&i| held.vent[i]) {
            let rise = self.brought_to(i, p);
            if rise > 1e-9 * self.matrix.diagonal(i) {
                let own = (self.taken_by(held, i) + self.brought_to(i, w)) / rise;
                bound[i] = own.clamp(0.0, time);
            }
        }
        (bound, time, last)
    }

    /// The same for all that is not a vent.
    pub(super) fn bounds_without_vents(
        &self,
        held: &Held,
        (w, p): (&[f64], &[f64]),
    ) -> (Vec<f64>, f64, Option<usize>) {
        let (mut time, mut last) = (0.0, None);
        let mut bound = vec![f64::NAN; self.point.len()];
        for (i, bound) in bound.iter_mut().enumerate() {
            if held.feed[i] {
                *bound = 0.0;
            } else if held.open[i] && p[i] > 1e-9 {
                // An edge that pulls the wrong way can push w below nought.
                *bound = (w[i] / p[i]).max(0.0);
                if *bound > time {
                    (time, last) = (*bound, Some(i));
                }
            }
        }
        (bound, time, last)
    }

    /// The time for each place were all vents shut that the front can come to, and nothing behind them took anything up.
    fn shut(&mut self, held: &Held) -> Vec<f64> {
        let count = self.point.len();
        let takes = |i: usize| {
            if held.open[i] {
                self.hold[i]
            } else if held.vent[i] {
                self.taken_by(held, i)
            } else {
                0.0
            }
        };
        let takes: Vec<f64> = (0..count).map(takes).collect();
        // All that hangs together with a feed: the rest has nothing to hold it.
        let mut free = vec![false; count];
        let mut waiting: Vec<usize> = (0..count).filter(|&i| held.feed[i]).collect();
        while let Some(i) = waiting.pop() {
            let (columns, values) = self.matrix.row(i);
            for (&j, &a) in columns.iter().zip(values) {
                let j = j as usize;
                if a != 0.0 && !held.feed[j] && !free[j] {
                    free[j] = true;
                    waiting.push(j);
                }
            }
        }
        let mut w = vec![0.0; count];
        let mut reduced = Reduced::of(&self.matrix, &self.hierarchy, &free, &mut self.room);
        reduced.solve(|i| takes[i], &mut w, (CLOSE, 1.0), MAX_ITERATIONS);
        self.room.forget();
        (0..count).for_each(|i| {
            if !(held.open[i] || takes[i] > 0.0) {
                w[i] = 0.0;
            }
        });
        w
    }

    /// What comes to a vent, where `u` is nought.
    fn brought_to(&self, vent: usize, u: &[f64]) -> f64 {
        let (columns, values) = self.matrix.row(vent);
        let others = columns.iter().zip(values);
        others
            .filter(|(j, _)| **j as usize != vent)
            .map(|(&j, a)| -a * u[j as usize])
            .sum()
    }

    /// What a vent takes up before it is wet: the share of its store on the sides that the front can come from.
    fn taken_by(&self, held: &Held, vent: usize) -> f64 {
        let (columns, values) = self.matrix.row(vent);
        let (mut near, mut all) = (0.0, 0.0);
        for (&j, a) in columns.iter().zip(values) {
            let j = j as usize;
            if j == vent || held.vent[j] {
                continue;
            }
            all += a.abs();
            if held.open[j] || held.feed[j] {
                near += a.abs();
            }
        }
        if all > 0.0 {
            self.hold[vent] * near / all
        } else {
            0.0
        }
    }

    /// Whether the front has come to a vent.
    pub(super) fn has_come(&self, held: &Held, place: usize, u: &[f64]) -> bool {
        held.vent[place] && {
            let come = self.brought_to(place, u);
            come > 0.0 && come >= self.taken_by(held, place)
        }
    }

    /// When vents are reached, between the times at which it is known what has come to them.
    pub(super) fn vents_reached(
        &self,
        held: &Held,
        levels: &[Level],
        bound: &[f64],
        at: &mut [f64],
    ) {
        for i in (0..at.len()).filter(|&i| held.vent[i] && bound[i].is_finite()) {
            let near = self.matrix.row(i).0.iter().map(|&j| at[j as usize]);
            let first = near
                .enumerate()
                .filter(|(n, _)| !held.vent[self.matrix.row(i).0[*n] as usize])
                .map(|(_, t)| t)
                .filter(|t| t.is_finite())
                .fold(f64::INFINITY, f64::min);
            let full = self.taken_by(held, i);
            let mut before = (first, 0.0);
            at[i] = bound[i];
            for level in levels.iter().filter(|level| level.time() > first) {
                let come = self.brought_to(i, level.u());
                if come >= full {
                    let share = (full - before.1) / (come - before.1);
                    let between = before.0 + (level.time() - before.0) * share;
                    at[i] = between.min(bound[i]);
                    break;
                }
                before = (level.time(), come);
            }
        }
    }
}
