//! What is wet at one time: the obstacle problem for the potential integrated over time.
//!
//! u >= 0, -div(a grad u) + c >= 0, and one of the two is nought; u is the time itself at the feeds.

use super::{CLOSE, Field, Gates, Held, MOST, NONE};
use crate::solve::multigrid::Reduced;

/// How far early solves go, while it is not yet known what is wet.
const ROUGH: f64 = 1e-4;
/// Most turns of the search for what is wet.
const TURNS: usize = 60;

/// What is wet at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Wet {
    /// Potential integrated over time, for each point.
    pub u: Vec<f64>,
    /// Which points are wet, feeds among them.
    pub wet: Vec<bool>,
    /// What has been taken up.
    pub filled: f64,
    /// What has come in at the feeds; where they stand is full from the start and counts.
    pub inflow: f64,
    /// What has gone out at open vents.
    pub outflow: f64,
}

/// The same at the places of the matrix.
pub(super) struct State {
    pub(super) u: Vec<f64>,
    pub(super) wet: Vec<bool>,
    /// Potential on what is wet.
    pub(super) p: Vec<f64>,
}

impl Field {
    /// What is wet at a time.
    pub fn wet_at(&mut self, gates: &Gates<'_>, time: f64) -> Wet {
        let held = self.held(gates);
        let (w, p) = self.steady(&held, None);
        let hold = self.hold.clone();
        let guess = first_guess(&held, &w, &p, time);
        let state = self.obstacle(&held, &hold, time, guess, None);
        let count = self.place.len();
        let mut told = Wet {
            u: vec![0.0; count],
            wet: vec![false; count],
            filled: 0.0,
            inflow: 0.0,
            outflow: 0.0,
        };
        for (i, &point) in self.point.iter().enumerate() {
            told.u[point as usize] = state.u[i];
            told.wet[point as usize] = state.wet[i] || held.feed[i];
            let flow = self.matrix.times(i, &state.u);
            if held.feed[i] {
                told.filled += hold[i];
                told.inflow += flow + hold[i];
            } else if held.vent[i] {
                told.outflow -= flow;
            } else if state.wet[i] {
                told.filled += hold[i];
            } else if held.open[i] {
                told.filled -= flow;
            }
        }
        told
    }

    /// What each place has not yet taken up.
    pub(super) fn unfilled(&self, held: &Held, hold: &[f64], state: &State) -> Vec<f64> {
        let left = |i: usize| {
            if held.feed[i] || state.wet[i] {
                0.0
            } else if held.open[i] {
                (hold[i] + self.matrix.times(i, &state.u)).max(0.0)
            } else {
                hold[i]
            }
        };
        (0..self.point.len()).map(left).collect()
    }

    /// Solves the obstacle problem from a guess of what is wet.
    pub(super) fn obstacle(
        &mut self,
        held: &Held,
        hold: &[f64],
        time: f64,
        mut wet: Vec<bool>,
        before: Option<&[f64]>,
    ) -> State {
        let count = self.point.len();
        let mut u = before.map_or_else(|| vec![0.0; count], <[f64]>::to_vec);
        for i in 0..count {
            if held.feed[i] {
                u[i] = time;
            } else if !wet[i] {
                u[i] = 0.0;
            }
        }
        let mut close = ROUGH;
        for turn in 0..TURNS {
            let mut reduced = Reduced::of(&self.matrix, &self.ladder, &wet, &mut self.room);
            reduced.solve(|i| -hold[i], &mut u, close, MOST);
            let mut changed = false;
            for i in 0..count {
                if wet[i] && u[i] <= 0.0 {
                    wet[i] = false;
                    changed = true;
                }
                if !wet[i] && held.open[i] {
                    u[i] = 0.0;
                }
            }
            // What is pushed over its brim is wet; a sweep there and back carries the front on over several points.
            let mut sweep = |i: usize| {
                if held.open[i] && !wet[i] {
                    let over = -self.matrix.times(i, &u) - hold[i];
                    if over > 1e-9 * hold[i].max(1e-300) && over > 0.0 {
                        wet[i] = true;
                        changed = true;
                        u[i] = over / self.matrix.diagonal(i);
                    }
                }
            };
            if turn < TURNS / 2 {
                (0..count).for_each(&mut sweep);
                (0..count).rev().for_each(&mut sweep);
            } else {
                (0..count).for_each(&mut sweep);
            }
            if !changed {
                if close <= CLOSE {
                    break;
                }
                close = CLOSE;
            } else if turn > 3 {
                close = (close * 0.1).max(CLOSE);
            }
        }
        State {
            u,
            wet,
            p: Vec::new(),
        }
    }

    /// The potential on what is wet.
    pub(super) fn potential(&mut self, held: &Held, state: &mut State) {
        let mut p: Vec<f64> = held.feed.iter().map(|&f| f64::from(u8::from(f))).collect();
        let mut reduced = Reduced::of(&self.matrix, &self.ladder, &state.wet, &mut self.room);
        reduced.solve(|_| 0.0, &mut p, 1e-8, MOST);
        state.p = p;
    }

    /// The place of a point, where it has one.
    pub(super) fn place_of(&self, point: u32) -> Option<usize> {
        let at = self.place.get(point as usize).copied()?;
        (at != NONE).then_some(at as usize)
    }
}

/// What is certainly wet: w / p bounds the time from above.
pub(super) fn first_guess(held: &Held, w: &[f64], p: &[f64], time: f64) -> Vec<bool> {
    let wet = |i: usize| held.open[i] && w[i] < time * p[i];
    (0..w.len()).map(wet).collect()
}
