//! The shortest way over a skin of triangles: roughly along a graph, then pulled taut in the unfolded triangles.
//!
//! The graph has points along the sides of triangles (Lanthier, Maheshwari and Sack 2001, Algorithmica 30:527, from
//! memory). The triangles that its way runs through are laid out flat, where the shortest way between two points of such
//! a strip is found by a funnel (Lee and Preparata 1984, Networks 14:393, from memory). Where the way then bends round a
//! corner that it could as well pass on its other side by less than a straight angle, it is moved there and pulled again.

mod taut;

use crate::solve::surface::Triangles;
use std::cmp::Ordering;
use std::collections::{BinaryHeap, HashMap};

/// No triangle.
const NONE: u32 = u32::MAX;

/// About so many points stand on all sides together.
const ON_SIDES: usize = 12_000;
/// At most so many on one side.
const MOST_ON_ONE: usize = 20;

/// A skin, ready for ways over it.
#[derive(Debug, Clone)]
pub struct Skin<'a> {
    surface: &'a Triangles,
    /// The side of the skin that each side of a triangle is: from its corner k to the next.
    side: Vec<[u32; 3]>,
    /// The two corners of each side.
    ends: Vec<[u32; 2]>,
    /// The triangles on each side.
    on: Vec<Vec<u32>>,
    /// The triangles round each corner.
    round: Vec<Vec<u32>>,
    /// Points on each side.
    steps: usize,
}

/// A place on the skin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foot {
    /// The triangle it lies on.
    pub triangle: u32,
    /// Where it is [m].
    pub at: [f64; 3],
}

pub(super) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn far(a: [f64; 3], b: [f64; 3]) -> f64 {
    let d = minus(a, b);
    dot(d, d).sqrt()
}

pub(super) fn between(a: [f64; 3], b: [f64; 3], share: f64) -> [f64; 3] {
    [0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * share)
}

/// Length of a line in space [m].
#[must_use]
pub fn length(line: &[[f64; 3]]) -> f64 {
    line.windows(2).map(|pair| far(pair[0], pair[1])).sum()
}

/// The nearest point of a triangle.
fn foot_on(p: [f64; 3], [a, b, c]: [[f64; 3]; 3]) -> [f64; 3] {
    let (u, v, w) = (minus(b, a), minus(c, a), minus(p, a));
    let (uu, uv, vv) = (dot(u, u), dot(u, v), dot(v, v));
    let (wu, wv) = (dot(w, u), dot(w, v));
    let det = uu * vv - uv * uv;
    if det > 0.0 {
        let (s, t) = ((vv * wu - uv * wv) / det, (uu * wv - uv * wu) / det);
        if s >= 0.0 && t >= 0.0 && s + t <= 1.0 {
            return [0, 1, 2].map(|k| a[k] + u[k] * s + v[k] * t);
        }
    }
    let on_side = |a: [f64; 3], b: [f64; 3]| {
        let along = minus(b, a);
        let square = dot(along, along);
        let share = if square > 0.0 {
            (dot(minus(p, a), along) / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        between(a, b, share)
    };
    let nearer = |p1: [f64; 3], p2: [f64; 3]| {
        if far(p2, p) < far(p1, p) { p2 } else { p1 }
    };
    nearer(nearer(on_side(a, b), on_side(b, c)), on_side(c, a))
}

/// The place of a surface nearest to a point.
#[must_use]
pub fn foot(surface: &Triangles, p: [f64; 3]) -> Option<Foot> {
    let all = surface.corners.iter().enumerate();
    let feet = all.map(|(t, corners)| Foot {
        triangle: t as u32,
        at: foot_on(p, corners.map(|i| surface.points[i as usize])),
    });
    feet.min_by(|a, b| far(a.at, p).total_cmp(&far(b.at, p)))
}

/// One point of the graph on the way to be settled: the least first.
#[derive(PartialEq)]
struct Next {
    key: f64,
    node: usize,
}

impl Eq for Next {}

impl Ord for Next {
    fn cmp(&self, other: &Self) -> Ordering {
        let by_key = other.key.total_cmp(&self.key);
        by_key.then(other.node.cmp(&self.node))
    }
}

impl PartialOrd for Next {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// What a way passes: a corner, or a point on a side, and the triangle through which it came there.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Step {
    /// The corner, or the side.
    passes: Passes,
    /// The triangle.
    through: u32,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Passes {
    Corner(u32),
    Side(u32),
    End,
}

impl<'a> Skin<'a> {
    /// Gets a skin ready.
    #[must_use]
    pub fn of(surface: &'a Triangles) -> Self {
        let mut known: HashMap<[u32; 2], u32> = HashMap::new();
        let (mut ends, mut on): (Vec<[u32; 2]>, Vec<Vec<u32>>) = (Vec::new(), Vec::new());
        let mut round: Vec<Vec<u32>> = vec![Vec::new(); surface.points.len()];
        let mut side = Vec::with_capacity(surface.corners.len());
        for (t, corners) in surface.corners.iter().enumerate() {
            let mut sides = [0; 3];
            for k in 0..3 {
                let (a, b) = (corners[k], corners[(k + 1) % 3]);
                let key = [a.min(b), a.max(b)];
                let s = *known.entry(key).or_insert_with(|| {
                    ends.push(key);
                    on.push(Vec::new());
                    ends.len() as u32 - 1
                });
                on[s as usize].push(t as u32);
                sides[k] = s;
                round[a as usize].push(t as u32);
            }
            side.push(sides);
        }
        let steps = (ON_SIDES / ends.len().max(1)).min(MOST_ON_ONE);
        Self {
            surface,
            side,
            ends,
            on,
            round,
            steps,
        }
    }

    fn point(&self, i: u32) -> [f64; 3] {
        self.surface.points[i as usize]
    }

    /// The nearest place on the skin.
    #[must_use]
    pub fn foot(&self, p: [f64; 3]) -> Option<Foot> {
        foot(self.surface, p)
    }

    fn place(&self, node: usize) -> [f64; 3] {
        let corners = self.surface.points.len();
        if node < corners {
            return self.surface.points[node];
        }
        let (s, n) = ((node - corners) / self.steps, (node - corners) % self.steps);
        let [a, b] = self.ends[s];
        let share = (n + 1) as f64 / (self.steps + 1) as f64;
        between(self.point(a), self.point(b), share)
    }

    /// The points of the graph on one triangle.
    fn nodes(&self, triangle: u32) -> impl Iterator<Item = usize> {
        let first = self.surface.points.len();
        let steps = self.steps;
        let corners = self.surface.corners[triangle as usize];
        let sides = self.side[triangle as usize];
        let on_sides = sides
            .into_iter()
            .flat_map(move |s| (0..steps).map(move |n| first + s as usize * steps + n));
        corners.into_iter().map(|i| i as usize).chain(on_sides)
    }

    /// The triangles that a point of the graph lies on.
    fn triangles(&self, node: usize) -> &[u32] {
        let corners = self.surface.points.len();
        if node < corners {
            &self.round[node]
        } else {
            &self.on[(node - corners) / self.steps]
        }
    }

    /// A short way along the graph: what it passes, and through which triangles.
    fn rough(&self, from: Foot, to: Foot) -> Option<Vec<Step>> {
        let count = self.surface.points.len() + self.ends.len() * self.steps;
        let mut least = vec![f64::INFINITY; count];
        let mut came: Vec<(usize, u32)> = vec![(usize::MAX, NONE); count];
        let mut open = BinaryHeap::new();
        for node in self.nodes(from.triangle) {
            let away = far(self.place(node), from.at);
            if away < least[node] {
                (least[node], came[node]) = (away, (usize::MAX, from.triangle));
                open.push(Next {
                    key: away + far(self.place(node), to.at),
                    node,
                });
            }
        }
        let mut ends = vec![false; count];
        self.nodes(to.triangle).for_each(|node| ends[node] = true);
        let mut best = (f64::INFINITY, usize::MAX);
        while let Some(Next { key, node }) = open.pop() {
            if key >= best.0 {
                break;
            }
            let here = self.place(node);
            if key > least[node] + far(here, to.at) {
                continue;
            }
            if ends[node] {
                best = (key, node);
                continue;
            }
            for &triangle in self.triangles(node) {
                for other in self.nodes(triangle) {
                    let place = self.place(other);
                    let away = least[node] + far(here, place);
                    if away < least[other] {
                        (least[other], came[other]) = (away, (node, triangle));
                        open.push(Next {
                            key: away + far(place, to.at),
                            node: other,
                        });
                    }
                }
            }
        }
        if best.1 == usize::MAX {
            return None;
        }
        let mut steps = vec![Step {
            passes: Passes::End,
            through: to.triangle,
        }];
        let mut node = best.1;
        while node != usize::MAX {
            let (before, through) = came[node];
            let corners = self.surface.points.len();
            let passes = if node < corners {
                Passes::Corner(node as u32)
            } else {
                Passes::Side(((node - corners) / self.steps) as u32)
            };
            steps.push(Step { passes, through });
            node = before;
        }
        steps.reverse();
        Some(steps)
    }

    /// The shortest way between the places of the skin nearest to two points, with a point wherever it crosses a side;
    /// none where the skin does not hang together.
    #[must_use]
    pub fn way(&self, from: [f64; 3], to: [f64; 3]) -> Option<Vec<[f64; 3]>> {
        let (from, to) = (self.foot(from)?, self.foot(to)?);
        if from.triangle == to.triangle {
            return Some(vec![from.at, to.at]);
        }
        let steps = self.rough(from, to)?;
        let mut line = self.pulled(from, to, &steps);
        line.dedup_by(|a, b| far(*a, *b) < 1e-9);
        Some(line)
    }

    /// The shortest way through several places, one after the other.
    #[must_use]
    pub fn through(&self, places: &[[f64; 3]]) -> Option<Vec<[f64; 3]>> {
        let mut line: Vec<[f64; 3]> = Vec::new();
        for pair in places.windows(2) {
            line.extend(self.way(pair[0], pair[1])?);
        }
        line.dedup_by(|a, b| far(*a, *b) < 1e-9);
        Some(line)
    }
}

/// A line without the points that lie within so much [m] of the straight stretches between the others.
#[must_use]
pub fn thinned(line: &[[f64; 3]], within: f64) -> Vec<[f64; 3]> {
    let mut keep = vec![false; line.len()];
    let mut open = Vec::new();
    if let [.., _] = line {
        keep[0] = true;
        keep[line.len() - 1] = true;
        open.push((0, line.len() - 1));
    }
    while let Some((a, b)) = open.pop() {
        let along = minus(line[b], line[a]);
        let square = dot(along, along);
        let off = |i: usize| {
            let away = minus(line[i], line[a]);
            let share = if square > 0.0 {
                (dot(away, along) / square).clamp(0.0, 1.0)
            } else {
                0.0
            };
            far(line[i], between(line[a], line[b], share))
        };
        let most = (a + 1..b).max_by(|&i, &j| off(i).total_cmp(&off(j)));
        if let Some(i) = most.filter(|&i| off(i) > within) {
            keep[i] = true;
            open.extend([(a, i), (i, b)]);
        }
    }
    let kept = line.iter().zip(&keep).filter(|(_, keep)| **keep);
    kept.map(|(p, _)| *p).collect()
}

#[cfg(test)]
mod tests;
