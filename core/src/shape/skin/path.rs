//! The way over a skin from one of its points to another: along a plane that stands on it, cut into the faces.

use super::{Skin, after, before, between, cross, dot, far, minus};
use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

/// A cut in a plane that is only so much longer than the stretch through space is the shortest way for all that matters.
const STRAIGHT: f64 = 1.002;

/// Finds the shortest way over the skin between two places, with a place wherever it crosses a side.
pub(crate) type Shortest<'a> = &'a dyn Fn([f64; 3], [f64; 3]) -> Option<Vec<[f64; 3]>>;

/// A place where a plane meets the skin: a point of it, twice, or a side between two.
type Meets = (u32, u32);

/// A way: its length and where it leads through.
type Way = (f64, Vec<Meets>);

/// An order for lengths, which are never below nought.
fn key(length: f64) -> u64 {
    length.to_bits()
}

impl Skin {
    /// Normal of the skin at a point, as long as the faces round it are large.
    fn normal(&self, point: u32) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for (face, _) in self.star(point) {
            let [a, b, c] = self.triangle(face);
            let n = cross(minus(b, a), minus(c, a));
            // Faces may be wound either way.
            let sign = if dot(sum, n) < 0.0 { -1.0 } else { 1.0 };
            sum = [0, 1, 2].map(|k| sum[k] + sign * n[k]);
        }
        let length = dot(sum, sum).sqrt();
        sum.map(|x| x / length.max(f64::MIN_POSITIVE))
    }

    /// Cuts the way over the skin from one point to another, and gives the points on it, one after the other.
    pub(super) fn over(&mut self, from: u32, to: u32, shortest: Shortest<'_>) -> Vec<u32> {
        let direct = far(self.place(from), self.place(to));
        if let Some((way, off)) = self.in_planes(from, to)
            && way.0 <= STRAIGHT * direct
        {
            return self.cut_along(&way.1, &off);
        }
        let mut found = vec![from];
        let mut here = from;
        let places = shortest(self.place(from), self.place(to)).unwrap_or_default();
        let inner = places.get(1..places.len().max(2) - 1).unwrap_or_default();
        for &place in inner {
            let Some(foot) = self.foot_near(place, here) else {
                continue;
            };
            let next = self.point_at(&foot);
            self.piece(here, next, &mut found);
            here = next;
        }
        self.piece(here, to, &mut found);
        found.dedup();
        found
    }

    /// Cuts from one point to another that lie on one flat, as far as rounding goes.
    fn piece(&mut self, from: u32, to: u32, found: &mut Vec<u32>) {
        if let Some((way, off)) = self.in_planes(from, to) {
            found.extend(self.cut_along(&way.1, &off));
        }
        found.push(to);
    }

    /// Cuts where a plane meets the skin.
    fn cut_along(&mut self, way: &[Meets], off: &[f64]) -> Vec<u32> {
        let mut found = Vec::with_capacity(way.len());
        for &(i, j) in way {
            if i == j {
                found.push(i);
            } else if let Some(side) = self.joining(i, j) {
                let at = self.meeting((i, j), off);
                found.push(self.cut_side(side, at));
            }
        }
        found
    }

    /// The shorter of the ways in two planes that stand on the skin, whichever way round its faces are wound.
    fn in_planes(&self, from: u32, to: u32) -> Option<(Way, Vec<f64>)> {
        if from == to || self.joining(from, to).is_some() {
            let length = far(self.place(from), self.place(to));
            return Some(((length, vec![(from, from), (to, to)]), Vec::new()));
        }
        let direct = far(self.place(from), self.place(to));
        let (n, m) = (self.normal(from), self.normal(to));
        let mut best: Option<(Way, Vec<f64>)> = None;
        for sign in [1.0, -1.0] {
            let up = [0, 1, 2].map(|k| n[k] + sign * m[k]);
            if dot(up, up) < 0.01 {
                continue;
            }
            if let Some(way) = self.along_plane(from, to, up)
                && best.as_ref().is_none_or(|best| way.0.0 < best.0.0)
            {
                best = Some(way);
            }
            if best
                .as_ref()
                .is_some_and(|best| best.0.0 <= STRAIGHT * direct)
            {
                break;
            }
        }
        best
    }

    /// Where a plane meets the skin.
    fn meeting(&self, (i, j): Meets, off: &[f64]) -> [f64; 3] {
        if i == j {
            return self.place(i);
        }
        let (p, q) = (off[i as usize], off[j as usize]);
        between(self.place(i), self.place(j), p / (p - q))
    }

    /// The shortest way from one point to another in a plane through both, and how far each point is off it.
    fn along_plane(&self, from: u32, to: u32, up: [f64; 3]) -> Option<(Way, Vec<f64>)> {
        let origin = self.place(from);
        let normal = cross(minus(self.place(to), origin), up);
        let length = dot(normal, normal).sqrt();
        if length <= 1e-9 * far(self.place(to), origin) {
            return None;
        }
        let normal = normal.map(|x| x / length);
        let off = |p: &[f64; 3]| {
            let off = dot(minus(*p, origin), normal);
            if off.abs() < self.floor { 0.0 } else { off }
        };
        let mut off: Vec<f64> = self.points.iter().map(off).collect();
        off[from as usize] = 0.0;
        off[to as usize] = 0.0;
        self.settle(&mut off, |_, _| true);
        let way = shortest((from, from), (to, to), |at, tell| {
            let here = self.meeting(at, &off);
            let mut step = |next: Meets| tell(next, far(here, self.meeting(next, &off)));
            let apart = |i: u32, j: u32| off[i as usize] * off[j as usize] < 0.0;
            let faces = if at.0 == at.1 {
                self.star(at.0)
            } else {
                let side = self.joining(at.0, at.1);
                side.map(|side| self.round(side)).unwrap_or_default()
            };
            for (face, k) in faces {
                let corners = self.corners[face as usize];
                let (c, i, j) = (
                    corners[k as usize],
                    corners[after(k as usize)],
                    corners[before(k as usize)],
                );
                let mut between = |i: u32, j: u32| {
                    if apart(i, j) {
                        step((i.min(j), i.max(j)));
                    }
                };
                if at.0 == at.1 {
                    between(i, j);
                    for end in [i, j] {
                        if off[end as usize] == 0.0 {
                            step((end, end));
                        }
                    }
                } else {
                    between(c, i);
                    between(c, j);
                    if off[c as usize] == 0.0 {
                        step((c, c));
                    }
                }
            }
        })?;
        Some((way, off))
    }

    /// The distance of a corner of a face, from those of the two others, as from a point beyond them.
    fn across(&self, a: u32, b: u32, c: u32, known: &[f64]) -> Option<f64> {
        let (p, q, r) = (self.place(a), self.place(b), self.place(c));
        let base = far(p, q);
        let (s, t) = (known[a as usize], known[b as usize]);
        // The face and the point it is measured from, unfolded: the base along x from a.
        let x = (s * s + base * base - t * t) / (2.0 * base);
        let y = -(s * s - x * x).max(0.0).sqrt();
        let (u, v) = (
            dot(minus(r, p), minus(q, p)) / base,
            (dot(minus(r, p), minus(r, p)) - (dot(minus(r, p), minus(q, p)) / base).powi(2))
                .max(0.0)
                .sqrt(),
        );
        // The way crosses the base between its ends.
        let crossing = x + (u - x) * (-y) / (v - y);
        (v - y > 0.0 && crossing >= 0.0 && crossing <= base).then(|| (u - x).hypot(v - y))
    }
}

/// How far points are from where a spread began, along sides of faces and across faces; not a number where none came yet.
pub(super) struct Distances {
    pub(super) of: Vec<f64>,
    done: Vec<bool>,
}

impl Distances {
    pub(super) fn of(skin: &Skin) -> Self {
        Self {
            of: vec![f64::NAN; skin.points.len()],
            done: vec![false; skin.points.len()],
        }
    }

    /// Spreads from points whose distances are known.
    pub(super) fn spread(&mut self, skin: &Skin, from: &[(u32, f64)]) {
        let mut waiting: BinaryHeap<Reverse<(u64, u32)>> = BinaryHeap::new();
        for &(point, length) in from {
            self.of[point as usize] = length;
            waiting.push(Reverse((key(length), point)));
        }
        while let Some(Reverse((_, here))) = waiting.pop() {
            if std::mem::replace(&mut self.done[here as usize], true) {
                continue;
            }
            for (face, k) in skin.star(here) {
                let corners = skin.corners[face as usize];
                let (i, j) = (corners[after(k as usize)], corners[before(k as usize)]);
                for (other, third) in [(i, j), (j, i)] {
                    if self.done[other as usize] {
                        continue;
                    }
                    let along = far(skin.place(here), skin.place(other));
                    let mut best = self.of[here as usize] + along;
                    if self.done[third as usize]
                        && let Some(across) = skin.across(here, third, other, &self.of)
                    {
                        best = best.min(across);
                    }
                    let was = self.of[other as usize];
                    if was.is_nan() || best < was {
                        self.of[other as usize] = best;
                        waiting.push(Reverse((key(best), other)));
                    }
                }
            }
        }
    }
}

/// The shortest way between two places, given what each leads to.
fn shortest(
    from: Meets,
    to: Meets,
    leads: impl Fn(Meets, &mut dyn FnMut(Meets, f64)),
) -> Option<Way> {
    let mut known: HashMap<Meets, (f64, Meets, bool)> = HashMap::new();
    let mut waiting: BinaryHeap<Reverse<(u64, Meets)>> = BinaryHeap::new();
    known.insert(from, (0.0, from, false));
    waiting.push(Reverse((key(0.0), from)));
    while let Some(Reverse((_, here))) = waiting.pop() {
        let Some(entry) = known.get_mut(&here) else {
            continue;
        };
        if std::mem::replace(&mut entry.2, true) {
            continue;
        }
        let length = entry.0;
        if here == to {
            let mut way = vec![to];
            let mut at = to;
            while at != from {
                at = known.get(&at)?.1;
                way.push(at);
            }
            way.reverse();
            return Some((length, way));
        }
        leads(here, &mut |next, step| {
            let own = length + step;
            let entry = known.entry(next).or_insert((f64::INFINITY, here, false));
            if own < entry.0 && !entry.2 {
                (entry.0, entry.1) = (own, here);
                waiting.push(Reverse((key(own), next)));
            }
        });
    }
    None
}
