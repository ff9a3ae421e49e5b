//! What is wet at one time: the obstacle problem for the potential integrated over time.
//!
//! u >= 0, -div(a grad u) + c >= 0, and one of the two is nought; u is the time itself at the feeds.

use super::{CLOSE, Field, Gates, Held, MOST, NONE};
use crate::solve::multigrid::{Matrix, Reduced};

/// How far early solves go, while it is not yet known what is wet.
const ROUGH: f64 = 1e-4;
/// By how much of its store a place must be over its brim, beyond rounding.
const BRIM: f64 = 1e-9;
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
    ///
    /// # Returns
    /// What is wet, and volumes [area times store].
    /// # Valid for
    /// Times before the end of the fill.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points = (0..=50).flat_map(|i| [[f64::from(i) * 0.02, 0.0, 0.0], [f64::from(i) * 0.02, 0.02, 0.0]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points, corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// let mut field = Field::even(&strip, 1.0, 1.0);
    /// let wet = field.wet_at(&gates, 0.125);
    /// // Half of the strip, and what came in is what was taken up.
    /// assert!((wet.filled / field.capacity() - 0.5).abs() < 0.02 && (wet.inflow - wet.filled).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Elliott and Janovsky 1981, Proc. R. Soc. Edinburgh A 88:93 (from memory).
    pub fn wet_at(&mut self, gates: &Gates<'_>, time: f64) -> Wet {
        let held = self.held(gates);
        let (w, p) = self.steady(&held, None);
        let hold = self.hold.clone();
        let guess = first_guess(&held, &w, &p, time);
        let state = self.obstacle(&held, &hold, time, guess, None, None);
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

    /// Solves the obstacle problem from a guess of what is wet, and then for the potential there.
    ///
    /// `before` is a first guess of u. With `order`, about when the front comes to each place, only this share of what a
    /// first guess went too far is cut off: along a strip the front stands in the middle of it.
    pub(super) fn obstacle(
        &mut self,
        held: &Held,
        hold: &[f64],
        time: f64,
        mut wet: Vec<bool>,
        before: Option<&[f64]>,
        order: Option<(&[f64], f64)>,
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
        let mut p: Vec<f64> = held.feed.iter().map(|&f| f64::from(u8::from(f))).collect();
        for turn in 0..TURNS {
            let mut reduced = Reduced::of(&self.matrix, &self.ladder, &wet, &mut self.room);
            reduced.solve(|i| -hold[i], &mut u, ROUGH, MOST);
            let mut dry = below(&wet, &u);
            let mut brimming = over(&self.matrix, held, hold, &wet, &u);
            if dry.is_empty() && brimming.is_empty() {
                reduced.solve(|i| -hold[i], &mut u, CLOSE, MOST);
                dry = below(&wet, &u);
                brimming = over(&self.matrix, held, hold, &wet, &u);
            }
            if (dry.is_empty() && brimming.is_empty()) || turn + 1 == TURNS {
                reduced.solve(|_| 0.0, &mut p, 1e-8, MOST);
                break;
            }
            if let Some((order, share)) = order.filter(|_| turn == 0 && dry.len() > 8) {
                dry.sort_by(|&a, &b| order[a as usize].total_cmp(&order[b as usize]));
                // A cast of a share of a count.
                let stay = (dry.len() as f64 * (1.0 - share)) as usize;
                dry.drain(..stay.min(dry.len() - 1));
            }
            for &i in &dry {
                wet[i as usize] = false;
                u[i as usize] = 0.0;
            }
            // What is pushed over its brim is wet; sweeps there and back carry the front on over several points.
            let mut rise = |i: usize| {
                if held.open[i] && !wet[i] {
                    let over = -self.matrix.times(i, &u) - hold[i];
                    if over > BRIM * hold[i] && over > 0.0 {
                        wet[i] = true;
                        u[i] = over / self.matrix.diagonal(i);
                    }
                }
            };
            if dry.is_empty() {
                brimming.iter().for_each(|&i| rise(i as usize));
                if turn < TURNS / 2 {
                    (0..count).for_each(&mut rise);
                    (0..count).rev().for_each(&mut rise);
                }
            }
        }
        State { u, wet, p }
    }

    /// The place of a point, where it has one.
    pub(super) fn place_of(&self, point: u32) -> Option<usize> {
        let at = self.place.get(point as usize).copied()?;
        (at != NONE).then_some(at as usize)
    }
}

/// Dry places that are pushed over their brim.
fn over(matrix: &Matrix, held: &Held, hold: &[f64], wet: &[bool], u: &[f64]) -> Vec<u32> {
    let over = |&i: &u32| {
        let i = i as usize;
        if !held.open[i] || wet[i] {
            return false;
        }
        let over = -matrix.times(i, u) - hold[i];
        over > BRIM * hold[i] && over > 0.0
    };
    (0..wet.len() as u32).filter(over).collect()
}

/// Wet places whose u says that they are dry.
fn below(wet: &[bool], u: &[f64]) -> Vec<u32> {
    let below = |&i: &u32| wet[i as usize] && u[i as usize] <= 0.0;
    (0..wet.len() as u32).filter(below).collect()
}

/// What is certainly wet: w / p bounds the time from above.
pub(super) fn first_guess(held: &Held, w: &[f64], p: &[f64], time: f64) -> Vec<bool> {
    let wet = |i: usize| held.open[i] && w[i] < time * p[i];
    (0..w.len()).map(wet).collect()
}
