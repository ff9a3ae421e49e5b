//! What is wet at one time: the obstacle problem for the potential integrated over time.
//!
//! u >= 0, -div(a grad u) + c >= 0, and one of the two is nought; u is the time itself at the feeds.

use super::settle::Band;
use super::{Field, Gates, Held, MAX_ITERATIONS, NONE};
use crate::solve::multigrid::{Matrix, Reduced};

/// How far solves go, of what is asked and of what the guess leaves; the first while it is not yet known what is wet.
const STAGES: [(f64, f64); 3] = [(1e-2, 0.5), (2e-6, 1.0), (1e-12, 1.0)];
/// How many of them a map goes through: it needs times to a thousandth, and a balance of what came in far more.
const MAP: usize = 2;
/// How far the solve for the potential goes.
const POTENTIAL: f64 = 5e-5;
/// By how much a slope may differ from the mean up to a later state, either way.
const BEND: f64 = 2.0;
/// Share of what a first solve says is dry, over many layers, that is dry: behind a dead end the front stands far back.
const THICK: f64 = 0.12;
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

/// Guesses for an obstacle problem.
pub(super) struct Before {
    pub(super) u: Vec<f64>,
    /// Time, u and p of a later state.
    pub(super) later: (f64, Vec<f64>, Vec<f64>),
}

impl Before {
    /// The potential at a place from its u and a later state: the root of u rises with the root of time, at a slope that
    /// changes evenly.
    fn potential(&self, i: usize, u: f64, time: f64) -> f64 {
        let (later, us, ps) = &self.later;
        let (now, then) = (u.max(0.0).sqrt(), us[i].max(0.0).sqrt());
        let (time, later) = (time.sqrt(), later.sqrt());
        let mean = (then - now) / (later - time);
        let slope = 2.0 * mean - ps[i] * later / then;
        let slope = slope.max(mean / BEND).min(mean * BEND);
        (slope * now / time).clamp(0.0, 1.0)
    }
}

/// What a state is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Need {
    /// When the front came to each place; with the potential.
    Map,
    /// What has been taken up, to the last digit; without the potential.
    Balance,
}

/// The same at the places of the matrix.
pub(super) struct State {
    pub(super) u: Vec<f64>,
    pub(super) wet: Vec<bool>,
    /// Potential on what is wet.
    pub(super) p: Vec<f64>,
    /// What the front has come to: what is wet, and what it has passed in the middle of what is filling.
    pub(super) reached: Vec<bool>,
    /// u over p: how long ago the front passed, near enough.
    pub(super) behind: Vec<f64>,
}

/// Where the front runs.
struct Rim {
    /// Places on the dry side, how full each is, and what joins it to the wet side.
    places: Vec<(u32, f64, f64)>,
    /// What is added to the diagonal of each place on the wet side.
    more: Vec<f64>,
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
        self.without_weight(|field| field.wet_level(gates, time))
    }

    fn wet_level(&mut self, gates: &Gates<'_>, time: f64) -> Wet {
        let held = self.held(gates);
        let (w, p) = self.steady(&held, None);
        let hold = self.hold.clone();
        let guess = first_guess(&held, &w, &p, time);
        let state = self.obstacle(&held, &hold, time, guess, (None, None), Need::Balance);
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
            told.wet[point as usize] =
                state.wet[i] || held.feed[i] || self.has_come(&held, i, &state.u);
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
    /// With `order`, about when the front comes to each place, a first guess may go too far by many layers.
    pub(super) fn obstacle(
        &mut self,
        held: &Held,
        hold: &[f64],
        time: f64,
        mut wet: Vec<bool>,
        (before, order): (Option<Before>, Option<&[f64]>),
        need: Need,
    ) -> State {
        let count = self.point.len();
        let mut u = before
            .as_ref()
            .map_or_else(|| vec![0.0; count], |before| before.u.clone());
        for i in 0..count {
            if held.feed[i] {
                u[i] = time * held.push[i];
            } else if !wet[i] {
                u[i] = 0.0;
            }
        }
        let mut band = Band::whole(held);
        if before.is_some() {
            self.settle(held, hold, &mut wet, &mut u, &mut band);
        }
        let mut p = held.push.clone();
        let pull = |i: usize| held.pull.as_ref().map_or(0.0, |pull| pull[i]);
        let (mut stage, mut size) = (0, 0.0);
        // Whether u has changed near the front alone since the last solve.
        let mut is_near = false;
        let stages = if need == Need::Map {
            &STAGES[..MAP]
        } else {
            &STAGES[..]
        };
        for turn in 0..TURNS {
            let mut reduced = Reduced::of(&self.matrix, &self.hierarchy, &wet, &mut self.room);
            if turn == 0 {
                size = reduced.size(|i| -hold[i], &u);
            }
            if is_near {
                reduced.residual_at(&band.places, |i| -hold[i], &u);
            } else {
                reduced.residual(|i| -hold[i], |_| 0.0, &u);
            }
            let (mut dry, settled) = loop {
                let (close, shrink) = stages[stage];
                let enough = (close * close * size, shrink);
                reduced.solve_to(&mut u, enough, MAX_ITERATIONS);
                let dry = below(&wet, &u);
                band.widen(held, &dry);
                let settled = dry.is_empty() && !over(&self.matrix, held, hold, &wet, &u, &band);
                if !settled || stage + 1 == stages.len() {
                    break (dry, settled);
                }
                stage += 1;
            };
            if settled || turn + 1 == TURNS {
                if need == Need::Balance {
                    break;
                }
                if let Some(before) = &before {
                    (0..count)
                        .filter(|&i| wet[i])
                        .for_each(|i| p[i] = before.potential(i, u[i], time));
                }
                let rim = rim(&self.matrix, held, hold, &wet, &u, &band);
                let enough = POTENTIAL * POTENTIAL * reduced.size(pull, &p);
                reduced.residual(pull, |i| rim.more[i], &p);
                reduced.solve_to(&mut p, (enough, 1.0), MAX_ITERATIONS);
                return self.behind(
                    held,
                    State {
                        u,
                        wet,
                        p,
                        reached: Vec::new(),
                        behind: Vec::new(),
                    },
                    rim,
                    hold,
                );
            }
            let thick = turn == 0 && self.is_thick(&dry, &wet, &u);
            is_near = !(thick && order.is_some());
            let Some(order) = order.filter(|_| thick) else {
                self.settle(held, hold, &mut wet, &mut u, &mut band);
                continue;
            };
            dry.sort_by(|&a, &b| order[a as usize].total_cmp(&order[b as usize]));
            // A cast of a share of a count.
            let stay = (dry.len() as f64 * (1.0 - THICK)) as usize;
            for &i in &dry[stay..] {
                wet[i as usize] = false;
                u[i as usize] = 0.0;
            }
        }
        State {
            u,
            wet,
            p,
            reached: Vec::new(),
            behind: Vec::new(),
        }
    }

    /// What the front has come to, and how long ago.
    fn behind(&self, held: &Held, mut state: State, rim: Rim, hold: &[f64]) -> State {
        let count = state.u.len();
        // What u would be at the middle of each place on the rim, were it smooth there.
        let mut smooth = vec![(0.0, 0.0); count];
        state.reached = (0..count).map(|i| state.wet[i] || held.feed[i]).collect();
        state.behind = vec![0.0; count];
        for &(j, full, pull) in &rim.places {
            let (columns, values) = self.matrix.row(j as usize);
            let past = full - 0.5;
            let more = past * past / 2.0 * hold[j as usize] / pull;
            let mut potential = 0.0;
            for (&i, &a) in columns.iter().zip(values) {
                if a < 0.0 && (state.wet[i as usize] || held.feed[i as usize]) {
                    smooth[i as usize].0 -= a * more;
                    smooth[i as usize].1 -= a;
                    potential -= a * state.p[i as usize];
                }
            }
            let potential = potential / pull * past / (full + 0.5);
            if past > 0.0 && potential > 0.0 {
                state.behind[j as usize] = more / potential;
                state.reached[j as usize] = true;
            }
        }
        for (i, (sum, weight)) in smooth.into_iter().enumerate() {
            if (state.wet[i] || held.feed[i]) && state.p[i] > 0.0 {
                let is_near = weight > 0.0 && state.wet[i];
                let more = if is_near { sum / weight } else { 0.0 };
                state.behind[i] = (state.u[i].max(0.0) + more) / state.p[i];
            }
        }
        state
    }

    /// The place of a point, where it has one.
    pub(super) fn place_of(&self, point: u32) -> Option<usize> {
        let at = self.place.get(point as usize).copied()?;
        (at != NONE).then_some(at as usize)
    }
}

/// Whether a dry place is pushed over its brim.
fn over(matrix: &Matrix, held: &Held, hold: &[f64], wet: &[bool], u: &[f64], band: &Band) -> bool {
    band.places.iter().map(|&i| i as usize).any(|i| {
        let is_full = |&j: &u32| wet[j as usize] || held.feed[j as usize];
        if wet[i] || !matrix.row(i).0.iter().any(is_full) {
            return false;
        }
        let over = -matrix.times(i, u) - hold[i];
        over > BRIM * hold[i] && over > 0.0
    })
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

/// How full what the front runs through is, and what that adds where it is wet: the potential ends at the front, which
/// stands short of the middle of a place that is less than half full, and beyond it where it is more.
///
/// After Gibou, Fedkiw, Cheng and Kang 2002, J. Comput. Phys. 176:205 (from memory).
fn rim(matrix: &Matrix, held: &Held, hold: &[f64], wet: &[bool], u: &[f64], band: &Band) -> Rim {
    let count = wet.len();
    let mut rim = Rim {
        places: Vec::new(),
        more: vec![0.0; count],
    };
    for j in band.places.iter().map(|&j| j as usize).filter(|&j| !wet[j]) {
        let (columns, values) = matrix.row(j);
        let edges = columns.iter().zip(values);
        let wetted =
            edges.filter(|&(&i, a)| *a < 0.0 && (wet[i as usize] || held.feed[i as usize]));
        let (mut pull, mut come) = (0.0, 0.0);
        for (&i, a) in wetted.clone() {
            pull -= a;
            come -= a * u[i as usize];
        }
        if pull <= 0.0 || hold[j] <= 0.0 {
            continue;
        }
        let full = (come / hold[j]).clamp(0.0, 1.0);
        for (&i, a) in wetted {
            rim.more[i as usize] -= a * (1.0 / (full + 0.5) - 1.0);
        }
        rim.places.push((j as u32, full, pull));
    }
    rim
}
