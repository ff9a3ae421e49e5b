//! Moves the lines of a way to where the part fills soonest.
//!
//! A plane across the part that feeds wherever it meets it parts what lies before it from what lies behind: the time of
//! each stretch between two lines hangs on these two alone, and grows with the stretch. So the whole is full soonest when
//! all stretches take the same time, and one solve tells the time of each (derived for Bastwork; the weight of resin in
//! a part that rises, and lines pulled taut over a skin, move that a little).

use super::part::{Axis, Part, dot, feed};
use crate::law::LawError;
use crate::plan::{Drawing, Line};
use crate::shape::Shape;
use crate::solve::surface::Triangles;
use crate::stage::fill::drawn::{Laid, Set, far};
use crate::stage::fill::ends::Ends;
use crate::stage::fill::ground::Ground;
use std::collections::{BinaryHeap, HashMap, HashSet};

/// Stretches are even when the quickest takes this share of the slowest.
const EVEN: f64 = 0.95;
/// A stretch is widened or narrowed by no more than this at once.
const MOST_AT_ONCE: f64 = 1.8;
/// Places that are no sooner full than by this stay as they are, so that what is alike on both sides stays alike.
const BETTER: f64 = 0.99;
/// The first step of a point feed that is moved, as a share of the part, and the last.
const STEPS: [f64; 2] = [0.08, 0.015];
/// Steps smaller than this share of what would even all out are not worth a try.
const LEAST_SHARE: f64 = 0.1;

/// A shell of this many times the triangles is made coarser to seek on.
const MANY: usize = 8;

/// A part filled from some lines.
pub(super) struct Solved {
    /// Time, in squares of metres of the base.
    pub(super) time: f64,
    /// Where resin comes last [m].
    pub(super) last: [f64; 3],
    /// What is wet last, for its time by the clock.
    pub(super) ends: Ends,
    bound: Vec<f64>,
    points: Vec<[f64; 3]>,
}

/// A part on triangles, to be filled from any lines.
pub(super) struct Tries {
    laid: Laid,
    /// How often it was filled.
    pub(super) solves: usize,
}

/// A share of the way between the corners of the graph that is to be settled: the nearest first.
#[derive(PartialEq)]
struct Near(f64, u32);

impl Eq for Near {}

impl Ord for Near {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        other.0.total_cmp(&self.0).then(other.1.cmp(&self.1))
    }
}

impl PartialOrd for Near {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

/// The lines where planes across an axis meet a part.
pub(super) fn across(part: &Part, axis: &Axis, at: &[f64]) -> Vec<Line> {
    let cuts = at.iter().flat_map(|&at| part.cut(axis, at));
    cuts.map(feed).collect()
}

/// Places of so many lines that are evenly spread over an axis, half a gap from its ends.
pub(super) fn evenly(axis: &Axis, count: usize) -> Vec<f64> {
    let [low, high] = axis.ends;
    let share = |n: usize| (2 * n + 1) as f64 / (2 * count) as f64;
    (0..count).map(|n| low + (high - low) * share(n)).collect()
}

impl Tries {
    /// On about so many triangles of its own.
    pub(super) fn of(drawing: &Drawing, shape: &Shape, set: Set, count: usize) -> Self {
        let coarser = match shape {
            Shape::Shell(skin) if skin.corners.len() > MANY * count => coarse(skin, count),
            _ => None,
        };
        let laid = match coarser {
            Some(skin) => Laid::of(drawing, &Shape::Shell(skin), set, count),
            None => Laid::of(drawing, shape, set, count),
        };
        Self::on(laid)
    }

    /// On the triangles of a part that is there.
    pub(super) fn on(laid: Laid) -> Self {
        Self { laid, solves: 0 }
    }

    pub(super) fn surface(&self) -> &Triangles {
        self.laid.surface()
    }

    /// Fills the part from lines; none where some of it is never reached.
    pub(super) fn solve(
        &mut self,
        ground: &Ground,
        lines: &[Line],
    ) -> Result<Option<Solved>, LawError> {
        let laid = &mut self.laid;
        let placed = laid.place(lines);
        let mut map = laid.map(ground, 1.0)?;
        let filled = placed.fill(&mut map);
        self.solves += 1;
        let (ends, _) = laid.ends_of(ground, &placed, (&filled, &map));
        let points = laid.surface().points.clone();
        Ok(filled.last.map(|last| Solved {
            time: filled.time,
            last: points[last],
            ends,
            bound: filled.bound,
            points,
        }))
    }

    /// Moves lines along an axis until what lies between them takes the same time everywhere.
    pub(super) fn evened(
        &mut self,
        ground: &Ground,
        (part, axis): (&Part, &Axis),
        start: &[f64],
        rounds: usize,
    ) -> Result<Option<(Vec<f64>, Solved)>, LawError> {
        let mut best: Option<(Vec<f64>, Vec<f64>, Solved)> = None;
        let (mut at, mut share) = (start.to_vec(), 1.0);
        for _ in 0..rounds {
            let solved = match &across(part, axis, &at)[..] {
                [] => None,
                lines => self.solve(ground, lines)?,
            };
            match solved {
                Some(solved)
                    if best
                        .as_ref()
                        .is_none_or(|(_, _, known)| solved.time < BETTER * known.time) =>
                {
                    let times = stretches(axis, &at, &solved);
                    best = Some((at, times, solved));
                    share = 1.0;
                }
                // Beyond a step in the outline a stretch may grow all at once: less of the way, then.
                _ => share /= 2.0,
            }
            let Some((known, times, _)) = &best else {
                break;
            };
            let longest = times.iter().copied().fold(1e-30, f64::max);
            let least = times.iter().copied().fold(f64::INFINITY, f64::min);
            if least > EVEN * longest || share < LEAST_SHARE {
                break;
            }
            let to = wider(axis, known, times, longest);
            at = known
                .iter()
                .zip(&to)
                .map(|(a, b)| a + share * (b - a))
                .collect();
        }
        Ok(best.map(|(at, _, solved)| (at, solved)))
    }

    /// A point feed from which the part fills soon: near the middle of the part by the ways over it, then moved about.
    pub(super) fn point(
        &mut self,
        ground: &Ground,
        part: &Part,
    ) -> Result<Option<([f64; 3], Solved)>, LawError> {
        let Some(start) = middle(self.surface()) else {
            return Ok(None);
        };
        let mut at = start;
        let Some(mut best) = self.solve(ground, &[feed(vec![at])])? else {
            return Ok(None);
        };
        let mut step = STEPS[0] * part.size;
        while step > STEPS[1] * part.size {
            // Towards where resin comes last, then to all sides.
            let to = [0, 1, 2].map(|k| best.last[k] - at[k]);
            let long = dot(to, to).sqrt().max(1e-12);
            let sides = part.axes.iter().take(2);
            let sides = sides.flat_map(|axis| [axis.along, axis.along.map(|x| -x)]);
            let mut moved = false;
            for along in std::iter::once(to.map(|x| x / long)).chain(sides) {
                let place = part.onto([0, 1, 2].map(|k| at[k] + step * along[k]));
                if far(place, at) < 0.3 * step {
                    continue;
                }
                if let Some(found) = self.solve(ground, &[feed(vec![place])])?
                    && found.time < best.time
                {
                    (at, best, moved) = (place, found, true);
                    break;
                }
            }
            if !moved {
                step /= 2.0;
            }
        }
        Ok(Some((at, best)))
    }
}

/// The longest time in each stretch between lines across an axis.
fn stretches(axis: &Axis, at: &[f64], solved: &Solved) -> Vec<f64> {
    let mut times = vec![0.0_f64; at.len() + 1];
    for (p, bound) in solved.points.iter().zip(&solved.bound) {
        if bound.is_finite() {
            let x = dot(*p, axis.along);
            let stretch = at.partition_point(|c| *c < x);
            times[stretch] = times[stretch].max(*bound);
        }
    }
    times
}

/// The places of the lines when each stretch is made wider or narrower by how its time differs: it goes as the square.
fn wider(axis: &Axis, at: &[f64], times: &[f64], longest: f64) -> Vec<f64> {
    let [low, high] = axis.ends;
    let walls: Vec<f64> = std::iter::once(low)
        .chain(at.iter().copied())
        .chain([high])
        .collect();
    let widths: Vec<f64> = walls
        .windows(2)
        .zip(times)
        .map(|(pair, time)| {
            let by = (longest / time.max(1e-6 * longest)).sqrt();
            (pair[1] - pair[0]) * by.min(MOST_AT_ONCE)
        })
        .collect();
    let all: f64 = widths.iter().sum();
    let mut run = low;
    widths[..at.len()]
        .iter()
        .map(|w| {
            run += w / all * (high - low);
            run
        })
        .collect()
}

/// A skin in about so many triangles, for seeking alone: its points drawn together in cells.
fn coarse(skin: &Triangles, count: usize) -> Option<Triangles> {
    let side = (skin.area() / (0.433 * count as f64)).sqrt();
    // Casts of rounded numbers; parts have a size.
    let cell = |p: [f64; 3]| p.map(|x| (x / side).floor() as i64);
    let mut held: HashMap<[i64; 3], (u32, f64, [f64; 3])> = HashMap::new();
    for p in &skin.points {
        let next = held.len() as u32;
        let (_, many, sum) = held.entry(cell(*p)).or_insert((next, 0.0, [0.0; 3]));
        *many += 1.0;
        *sum = [0, 1, 2].map(|k| sum[k] + p[k]);
    }
    let mut points = vec![[0.0; 3]; held.len()];
    for (i, many, sum) in held.values() {
        points[*i as usize] = sum.map(|x| x / many);
    }
    let place = |i: u32| {
        held.get(&cell(skin.points[i as usize]))
            .map_or(0, |(to, _, _)| *to)
    };
    let mut known = HashSet::new();
    let mut corners = Vec::new();
    for triangle in &skin.corners {
        let [a, b, c] = triangle.map(place);
        let mut key = [a, b, c];
        key.sort_unstable();
        if a != b && b != c && c != a && known.insert(key) {
            corners.push([a, b, c]);
        }
    }
    Triangles::new(points, corners).ok()
}

/// The corner from which the farthest other one is nearest, along the sides of triangles.
fn middle(surface: &Triangles) -> Option<[f64; 3]> {
    let count = surface.points.len();
    let mut near: Vec<Vec<(u32, f64)>> = vec![Vec::new(); count];
    for corners in &surface.corners {
        for k in 0..3 {
            let (a, b) = (corners[k], corners[(k + 1) % 3]);
            let away = far(surface.points[a as usize], surface.points[b as usize]);
            near[a as usize].push((b, away));
            near[b as usize].push((a, away));
        }
    }
    let farthest = |from: u32| -> (f64, u32) {
        let mut least = vec![f64::INFINITY; count];
        least[from as usize] = 0.0;
        let mut open = BinaryHeap::from([Near(0.0, from)]);
        let mut last = (0.0, from);
        while let Some(Near(away, i)) = open.pop() {
            if away > least[i as usize] {
                continue;
            }
            last = (away, i);
            for &(j, side) in &near[i as usize] {
                if away + side < least[j as usize] {
                    least[j as usize] = away + side;
                    open.push(Near(away + side, j));
                }
            }
        }
        last
    };
    let used: Vec<u32> = (0..count as u32)
        .filter(|&i| !near[i as usize].is_empty())
        .collect();
    // Of a large skin some corners will do.
    let every = used.len().div_ceil(400).max(1);
    let some = used.iter().step_by(every);
    let best = some
        .map(|&i| (farthest(i).0, i))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    best.map(|(_, i)| surface.points[i as usize])
}
