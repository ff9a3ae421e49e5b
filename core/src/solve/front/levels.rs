//! Times at which it is known what is wet, and when the front came to what became wet between two of them.
//!
//! Behind a front that moves on by the root of time, T = (sqrt(t) - s u / (p sqrt(t)))^2 with s of one at the front. How s
//! goes on behind it is read off where the front stood at the time before, where T is known, and carried on from there.
//! Where fronts have met in between, u / p tells when they did; if that is long after the time before, another time is
//! put in just before they met. More times are put in as well where s has changed much.

use super::gap::{Gap, NONE};
use super::wet::{Before, Need, State};
use super::{Field, Held};

/// The last time, as a share of the root of the whole: at the very end the potential is the same everywhere.
const LAST: f64 = 0.99;
/// How far T may be off for what lies between two times before another is put between them, as a share of the whole.
const OFF: f64 = 0.025;
/// How long before they met fronts may have been seen last, as a share of the whole.
const MET: f64 = 0.05;
/// Where a time is put before fronts meet, as a share of the roots from the time before.
const SHORT: f64 = 0.88;
/// No times nearer together than this share of the whole.
const NEAREST: f64 = 0.05;
/// Most times for each that was asked for.
const MAX_GROWTH: usize = 4;
/// What s may be: front and dead end lie between.
const SLOPES: (f64, f64) = (0.4, 2.5);
/// How T falls away from where fronts meet, over how the bound does: a half where lines meet, one where a ring closes.
const FALL: f64 = 0.6;

/// What is wet at a time.
pub(super) struct Level {
    time: f64,
    state: State,
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
    /// w and p of the whole: their sum so far is u once all is wet.
    pub(super) steady: (&'a [f64], &'a [f64]),
}

/// How T follows from a time and what lies behind; by the root of time from a standing start, else evenly.
#[derive(Clone, Copy)]
pub(super) struct Way {
    pub(super) root: bool,
}

impl Way {
    /// What runs evenly: the root of time, or time.
    fn even(self, time: f64) -> f64 {
        if self.root { time.sqrt() } else { time }
    }

    fn time(self, even: f64) -> f64 {
        let even = even.max(0.0);
        if self.root { even * even } else { even }
    }

    /// About when the front comes to where it comes no later than a bound; exact along a strip.
    fn about(self, bound: f64, whole: f64) -> f64 {
        if self.root {
            whole * (1.0 - (1.0 - bound / whole).max(0.0).sqrt()).powi(2)
        } else {
            bound
        }
    }

    /// How far back the front passed, in what runs evenly, were s one.
    fn back(self, time: f64, behind: f64) -> f64 {
        if self.root {
            behind / time.sqrt()
        } else {
            2.0 * behind
        }
    }
}

impl Level {
    pub(super) fn u(&self) -> &[f64] {
        &self.state.u
    }

    pub(super) fn time(&self) -> f64 {
        self.time
    }

    /// The root of u at a place that is wet, and how fast it rises with the root of time.
    fn rise(&self, i: usize) -> (f64, f64) {
        let root = self.state.u[i].max(0.0).sqrt();
        (root, self.state.p[i] * self.time.sqrt() / root)
    }

    /// Guesses for an earlier time, with about when the front came to each place.
    fn guesses(&self, about: &[f64], time: f64) -> Before {
        let state = &self.state;
        let since = self.time.sqrt() - time.sqrt();
        let guess = |i: usize| {
            let ((root, slope), all) = (self.rise(i), self.time.sqrt() - about[i].sqrt());
            let share = since / all;
            (root - slope * since + (slope * all - root) * share * share)
                .clamp(0.0, root)
                .powi(2)
        };
        let u = (0..state.u.len()).map(|i| {
            let is_inner = state.wet[i] && about[i] < time && state.u[i] > 0.0;
            if is_inner {
                guess(i)
            } else {
                state.u[i].max(0.0)
            }
        });
        Before {
            u: u.collect(),
            later: (self.time, state.u.clone(), state.p.clone()),
        }
    }
}

impl Field {
    /// When the front came to everything, from so many times to begin with; `at` holds the bounds and becomes the times.
    pub(super) fn course_between(
        &mut self,
        course: &Course<'_>,
        count: usize,
        at: &mut [f64],
    ) -> Vec<Level> {
        let (whole, count, held) = (course.whole, count.max(1), course.held);
        let bound = at.to_vec();
        let mut later: Vec<Level> = Vec::with_capacity(count);
        for level in (1..=count).rev() {
            let share = LAST * level as f64 / count as f64;
            let made = self.level(course, whole * share * share, later.last(), None, &bound);
            later.push(made);
        }
        for i in (0..at.len()).filter(|&i| held.open[i]) {
            at[i] = f64::NAN;
        }
        let mut levels: Vec<Level> = Vec::with_capacity(count);
        let mut gap = Gap::default();
        while let Some(next) = later.last() {
            let before = levels.last().map_or(0.0, Level::time);
            gap.find(
                self,
                held,
                at,
                (&next.state.reached, &next.state.behind),
                whole,
            );
            let wanted = self.between(course, before, next, &gap, at);
            let many = levels.len() + later.len() >= MAX_GROWTH * count;
            let wanted = wanted.filter(|_| !many && next.time - before > NEAREST * whole);
            if let Some(time) = wanted {
                let made = self.level(course, time, Some(next), Some(at), &bound);
                for &i in &gap.places {
                    at[i as usize] = f64::NAN;
                }
                later.push(made);
            } else if let Some(next) = later.pop() {
                levels.push(next);
            }
        }
        let end = levels.last().map_or(0.0, Level::time);
        let open: Vec<bool> = (0..at.len())
            .map(|i| held.open[i] && bound[i].is_finite())
            .collect();
        let behind: Vec<f64> = bound.iter().map(|b| whole - b).collect();
        gap.find(self, held, at, (&open, &behind), 0.0);
        Self::meet(&gap, end, whole, &behind, at);
        levels
    }

    /// One time; the next later one, or the bound at first, tells about how far the front has come.
    fn level(
        &mut self,
        course: &Course<'_>,
        time: f64,
        later: Option<&Level>,
        about: Option<&[f64]>,
        bound: &[f64],
    ) -> Level {
        let (held, way) = (course.held, course.way);
        let count = bound.len();
        let (order, guess): (Vec<f64>, Vec<bool>) = match later {
            None => {
                let wet = |i: usize| held.open[i] && way.about(bound[i], course.whole) < time;
                (bound.to_vec(), (0..count).map(wet).collect())
            }
            Some(later) => {
                let state = &later.state;
                let guessed = |i: usize| {
                    if state.wet[i] {
                        way.time(way.even(later.time) - way.back(later.time, state.behind[i]))
                    } else {
                        later.time
                    }
                };
                let order: Vec<f64> = match about {
                    Some(at) => (0..count)
                        .map(|i| if at[i].is_nan() { guessed(i) } else { at[i] })
                        .collect(),
                    None => (0..count).map(guessed).collect(),
                };
                let guess = (0..count)
                    .map(|i| held.open[i] && order[i] < time)
                    .collect();
                (order, guess)
            }
        };
        let (w, p) = course.steady;
        let from = later.map_or_else(
            || Before {
                u: (0..count).map(|i| (time * p[i] - w[i]).max(0.0)).collect(),
                later: (
                    course.whole,
                    (0..count).map(|i| course.whole * p[i] - w[i]).collect(),
                    p.to_vec(),
                ),
            },
            |later| later.guesses(&order, time),
        );
        let since = course.since.as_deref();
        let light = since.map(|since| self.lightened(held, course.hold, since, time));
        let hold = light.as_deref().unwrap_or(course.hold);
        let state = self.obstacle(
            held,
            hold,
            time,
            guess,
            (Some(from), Some(&order)),
            Need::Map,
        );
        Level { time, state }
    }

    /// When the front came to what became reached between two times. Gives a time to put in between, where they are too
    /// far apart.
    fn between(
        &self,
        course: &Course<'_>,
        before: f64,
        next: &Level,
        gap: &Gap,
        at: &mut [f64],
    ) -> Option<f64> {
        let (way, whole) = (course.way, course.whole);
        let (was, now) = (way.even(before), way.even(next.time));
        let (mut off, mut wanted) = (0.0_f64, None);
        let bends = self.bends(course, next, gap, at, &mut off);
        if off > OFF * whole && before > 0.0 {
            wanted = Some(way.time(f64::midpoint(was, now)));
        }
        let last = gap.ago.iter().copied().fold(f64::INFINITY, f64::min);
        let met = next.time - last;
        if met - before > MET * whole {
            wanted = Some(way.time(was + (way.even(met) - was) * SHORT));
        }
        for (n, &i) in gap.places.iter().enumerate() {
            if gap.spot[n] == NONE {
                let (bend, far) = bends[n];
                let back = way.back(next.time, next.state.behind[i as usize]);
                let slope = 1.0 + bend * (back / far).min(1.0);
                let t = way.time(now - back * slope);
                at[i as usize] = t.clamp(before, next.time);
            }
        }
        Self::meet(gap, before, next.time, &next.state.behind, at);
        wanted
    }

    /// How s bends away from one behind the front, for each place of a gap: carried from where T is known, neighbour to
    /// neighbour. `off` becomes how far T would be off there without it.
    fn bends(
        &self,
        course: &Course<'_>,
        next: &Level,
        gap: &Gap,
        at: &[f64],
        off: &mut f64,
    ) -> Vec<(f64, f64)> {
        let way = course.way;
        let now = way.even(next.time);
        let mut bend = vec![(f64::NAN, f64::NAN); gap.places.len()];
        let place = &gap.number;
        let mut front: Vec<u32> = Vec::new();
        for (n, &i) in (0_u32..).zip(&gap.places) {
            let (mut sum, mut far, mut count) = (0.0, 0.0, 0_u32);
            for &j in self.matrix.row(i as usize).0 {
                let j = j as usize;
                let back = way.back(next.time, next.state.behind[j]);
                if place[j] != NONE || at[j].is_nan() || back <= 0.0 {
                    continue;
                }
                let slope = ((now - way.even(at[j])) / back).clamp(SLOPES.0, SLOPES.1);
                sum += slope - 1.0;
                far += back;
                count += 1;
                if gap.spot[n as usize] == NONE {
                    let plain = way.time(now - back);
                    *off = off.max((plain - at[j]).abs());
                }
            }
            if count > 0 {
                let count = f64::from(count);
                bend[n as usize] = (sum / count, far / count);
                front.push(n);
            }
        }
        let mut next_front: Vec<u32> = Vec::new();
        while !front.is_empty() {
            next_front.clear();
            for &n in &front {
                for &j in self.matrix.row(gap.places[n as usize] as usize).0 {
                    let m = place[j as usize];
                    if m != NONE && bend[m as usize].0.is_nan() {
                        next_front.push(m);
                    }
                }
            }
            next_front.sort_unstable();
            next_front.dedup();
            let mean = |&n: &u32| {
                let near = self.matrix.row(gap.places[n as usize] as usize).0.iter();
                let known = near
                    .filter(|&&j| place[j as usize] != NONE)
                    .map(|&j| bend[place[j as usize] as usize])
                    .filter(|b| !b.0.is_nan());
                let (sum, far, count) = known.fold((0.0, 0.0, 0_u32), |(sum, far, count), b| {
                    (sum + b.0, far + b.1, count + 1)
                });
                let count = f64::from(count);
                (sum / count, far / count)
            };
            let found: Vec<(f64, f64)> = next_front.iter().map(mean).collect();
            for (&n, b) in next_front.iter().zip(found) {
                bend[n as usize] = b;
            }
            std::mem::swap(&mut front, &mut next_front);
        }
        for b in &mut bend {
            if b.0.is_nan() {
                *b = (0.0, 1.0);
            }
        }
        bend
    }

    /// Times where fronts met, between the time before and when they did.
    fn meet(gap: &Gap, before: f64, now: f64, behind: &[f64], at: &mut [f64]) {
        // The rim of each patch was reached at about the time before.
        let mut rim = gap.ago.clone();
        let places = || {
            gap.places
                .iter()
                .map(|&i| i as usize)
                .zip(&gap.spot)
                .filter(|(_, s)| **s != NONE)
        };
        for (i, &spot) in places() {
            rim[spot as usize] = rim[spot as usize].max(behind[i]);
        }
        for (i, &spot) in places() {
            let (ago, rim) = (gap.ago[spot as usize], rim[spot as usize]);
            let share = if rim > ago {
                ((behind[i] - ago) / (rim - ago)).clamp(0.0, 1.0)
            } else {
                0.0
            };
            let met = (now - ago).max(before);
            at[i] = met - (met - before) * share.powf(FALL);
        }
    }
}
