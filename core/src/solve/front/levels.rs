//! Times at which it is known what is wet, and when the front came to what became wet between two of them.
//!
//! Behind a front that moves on by the root of time, T = (sqrt(t) - s u / (p sqrt(t)))^2 with s of one. Where the front
//! turns, spreads or comes to an end s differs: it is read off where the front stood at the time before, where T is known,
//! and carried on from there. More times are put in where s has changed much.

use super::wet::{Before, State};
use super::{Field, Held};

/// The last time, as a share of the root of the whole: at the very end the potential is the same everywhere.
const LAST: f64 = 0.99;
/// How far T may be off for what lies between two times before another is put between them, as a share of the whole.
const OFF: f64 = 0.0025;
/// No times nearer together than this share of the whole.
const NEAREST: f64 = 0.01;
/// Most times for each that was asked for.
const MOST: usize = 4;
/// What s may be: front and dead end lie between.
const SLOPES: (f64, f64) = (0.4, 2.5);

/// What is wet at a time.
pub(super) struct Level {
    time: f64,
    state: State,
    /// u over p: how long ago the front passed, near enough.
    behind: Vec<f64>,
}

/// One fill from its start to its end.
pub(super) struct Course<'a> {
    pub(super) held: &'a Held,
    pub(super) hold: &'a [f64],
    /// Time for everything.
    pub(super) whole: f64,
    pub(super) way: Way,
    /// About when places become wet, where the weight of the fluid counts.
    pub(super) since: Option<Vec<f64>>,
}

/// How T follows from a time and what lies behind; by the root of time from a standing start, else evenly.
#[derive(Clone, Copy)]
pub(super) struct Way {
    pub(super) root: bool,
}

impl Way {
    fn back(self, time: f64, behind: f64, slope: f64) -> f64 {
        if self.root {
            let root = time.sqrt();
            (root - slope * behind / root).max(0.0).powi(2)
        } else {
            (time - 2.0 * slope * behind).max(0.0)
        }
    }

    fn slope(self, time: f64, behind: f64, at: f64) -> f64 {
        let slope = if self.root {
            (time - (time * at).sqrt()) / behind
        } else {
            (time - at) / (2.0 * behind)
        };
        slope.clamp(SLOPES.0, SLOPES.1)
    }
}

impl Level {
    pub(super) fn time(&self) -> f64 {
        self.time
    }

    pub(super) fn u(&self) -> &[f64] {
        &self.state.u
    }

    /// Guesses for an earlier time, with about when the front came to each place; exact along a strip.
    fn guesses(&self, about: &[f64], time: f64) -> Before {
        let (state, now) = (&self.state, time.sqrt());
        let mut u = state.u.clone();
        let mut shape = vec![1.0; u.len()];
        for i in (0..u.len()).filter(|&i| state.wet[i]) {
            let was = about[i].sqrt();
            let (behind, root) = (self.time.sqrt() - was, (u[i].max(0.0) / self.time).sqrt());
            if behind > 0.0 {
                u[i] *= ((now - was) / behind).clamp(0.0, 1.0).powi(2);
            }
            if root > 0.0 && state.p[i] > 0.0 {
                shape[i] = state.p[i] / root;
            }
        }
        Before { u, shape }
    }
}

impl Field {
    /// Times in order, with what is wet at each: so many to begin with.
    pub(super) fn levels(
        &mut self,
        course: &Course<'_>,
        count: usize,
        bound: &[f64],
    ) -> Vec<Level> {
        let (whole, count) = (course.whole, count.max(1));
        let mut levels: Vec<Level> = Vec::with_capacity(count);
        for level in (1..=count).rev() {
            let share = LAST * level as f64 / count as f64;
            let made = self.level(course, whole * share * share, levels.last(), bound);
            levels.push(made);
        }
        levels.reverse();
        let mut at = 1;
        while at < levels.len() {
            let (one, two) = (&levels[at - 1], &levels[at]);
            let enough = two.time - one.time <= NEAREST * whole || levels.len() >= MOST * count;
            if enough || self.off(course, one, two) <= OFF * whole {
                at += 1;
                continue;
            }
            let time = f64::midpoint(one.time.sqrt(), two.time.sqrt()).powi(2);
            let made = self.level(course, time, Some(two), bound);
            levels.insert(at, made);
        }
        levels
    }

    /// One time; the next later one, or the bound at first, tells about how far the front has come.
    fn level(
        &mut self,
        course: &Course<'_>,
        time: f64,
        later: Option<&Level>,
        bound: &[f64],
    ) -> Level {
        let (held, way) = (course.held, course.way);
        let count = bound.len();
        let (order, guess): (Vec<f64>, Vec<bool>) = match later {
            None => {
                let all = (0..count).map(|i| held.open[i] && bound[i].is_finite());
                (bound.to_vec(), all.collect())
            }
            Some(later) => {
                let about = |i: usize| {
                    if later.state.wet[i] {
                        way.back(later.time, later.behind[i], 1.0)
                    } else {
                        later.time
                    }
                };
                let order: Vec<f64> = (0..count).map(about).collect();
                let guess = (0..count)
                    .map(|i| held.open[i] && order[i] < time)
                    .collect();
                (order, guess)
            }
        };
        let from = later.map(|later| later.guesses(&order, time));
        let since = course.since.as_deref();
        let light = since.map(|since| self.lightened(held, course.hold, since, time));
        let hold = light.as_deref().unwrap_or(course.hold);
        let state = self.obstacle(held, hold, time, guess, from, Some(&order));
        let behind = |i: usize| {
            let known = (state.wet[i] || held.feed[i]) && state.p[i] > 0.0;
            if known { state.u[i] / state.p[i] } else { 0.0 }
        };
        let behind = (0..count).map(behind).collect();
        Level {
            time,
            state,
            behind,
        }
    }

    /// How far T is off for what became wet between two times: what the later says of where the front stood at the earlier.
    fn off(&self, course: &Course<'_>, one: &Level, two: &Level) -> f64 {
        let (held, way) = (course.held, course.way);
        let (mut squares, mut count, mut between, mut open) = (0.0, 0, 0, 0);
        for i in (0..one.behind.len()).filter(|&i| held.open[i]) {
            open += 1;
            between += usize::from(two.state.wet[i] && !one.state.wet[i]);
            if !one.state.wet[i] {
                continue;
            }
            let mut near = self.matrix.row(i).0.iter().map(|&j| j as usize);
            if near.any(|j| held.open[j] && !one.state.wet[j]) {
                let was = way.back(one.time, one.behind[i], 1.0);
                squares += (way.back(two.time, two.behind[i], 1.0) - was).powi(2);
                count += 1;
            }
        }
        if count == 0 {
            return 0.0;
        }
        (squares / f64::from(count) * between as f64 / open as f64).sqrt()
    }

    /// When the front came to everything that some time knows as wet; not a number for the rest.
    pub(super) fn between(&self, course: &Course<'_>, levels: &[Level], at: &mut [f64]) {
        let (held, way) = (course.held, course.way);
        let mut lowest = vec![0.0_f64; at.len()];
        let mut highest = vec![f64::INFINITY; at.len()];
        let mut slope = vec![f64::NAN; at.len()];
        let mut front: Vec<usize> = Vec::new();
        for i in (0..at.len()).filter(|&i| held.open[i]) {
            at[i] = f64::NAN;
        }
        for (k, level) in levels.iter().enumerate() {
            front.clear();
            for i in 0..at.len() {
                let known = at[i].is_finite() && level.behind[i] > 0.0;
                slope[i] = if known {
                    way.slope(level.time, level.behind[i], at[i])
                } else {
                    f64::NAN
                };
                if known {
                    front.push(i);
                }
            }
            self.carry(level, &mut slope, &mut front, at);
            for i in 0..at.len() {
                if !held.open[i] || !at[i].is_nan() {
                    continue;
                }
                if !level.state.wet[i] {
                    lowest[i] = level.time;
                    continue;
                }
                highest[i] = highest[i].min(level.time);
                // Within two points of the front u is too coarse; the next time tells more.
                let near = level.state.u[i] <= 8.0 * self.hold[i] / self.matrix.diagonal(i);
                if !near || k + 1 == levels.len() {
                    let s = if slope[i].is_nan() { 1.0 } else { slope[i] };
                    let back = way.back(level.time, level.behind[i], s);
                    at[i] = back.max(lowest[i]).min(highest[i]);
                }
            }
        }
    }

    /// Carries the slopes on into what has become wet, from neighbour to neighbour.
    fn carry(&self, level: &Level, slope: &mut [f64], front: &mut Vec<usize>, at: &[f64]) {
        let mut next: Vec<usize> = Vec::new();
        while !front.is_empty() {
            next.clear();
            for &i in front.iter() {
                for &j in self.matrix.row(i).0 {
                    let j = j as usize;
                    if level.state.wet[j] && at[j].is_nan() && slope[j].is_nan() {
                        next.push(j);
                    }
                }
            }
            next.sort_unstable();
            next.dedup();
            let mean = |&j: &usize| {
                let near = self.matrix.row(j).0.iter().map(|&k| slope[k as usize]);
                let (sum, count) = near
                    .filter(|s| !s.is_nan())
                    .fold((0.0, 0_u32), |(sum, count), s| (sum + s, count + 1));
                sum / f64::from(count)
            };
            let found: Vec<f64> = next.iter().map(mean).collect();
            for (&j, s) in next.iter().zip(found) {
                slope[j] = s;
            }
            std::mem::swap(front, &mut next);
        }
    }
}
