//! Pulls a way taut: in the strip of triangles that it runs through, laid out flat, and round corners to their better side.

use super::{Foot, NONE, Passes, Skin, Step, between, dot, far, minus};

/// By how much less than straight a corner must be passable on its other side [rad].
const STRAIGHT: f64 = 1e-9;

/// Triangles one after the other, and the sides between them.
#[derive(Debug, Clone, Default)]
struct Strip {
    faces: Vec<u32>,
    sides: Vec<u32>,
}

impl Strip {
    /// Goes on over a side; back over the same side is not to have gone.
    fn go(&mut self, side: u32, face: u32) {
        let back = self.sides.last() == Some(&side)
            && self.faces.len() > 1
            && self.faces[self.faces.len() - 2] == face;
        if back {
            self.sides.pop();
            self.faces.pop();
        } else {
            self.sides.push(side);
            self.faces.push(face);
        }
    }
}

/// A corner that a taut way bends round, and the side of the strip it ends.
struct Bend {
    corner: u32,
    side: usize,
}

/// A strip laid out flat: its start and end, and of each side the left and right end with their corners.
struct Flat {
    start: [f64; 2],
    end: [f64; 2],
    gates: Vec<[([f64; 2], u32); 2]>,
}

fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Where the third corner lies, from its distances to two that are laid out, left or right of the line between them.
fn third(a: [f64; 2], b: [f64; 2], (to_a, to_b): (f64, f64), left: bool) -> [f64; 2] {
    let base = (b[0] - a[0]).hypot(b[1] - a[1]).max(1e-300);
    let along = (base * base + to_a * to_a - to_b * to_b) / (2.0 * base);
    let up = (to_a * to_a - along * along).max(0.0).sqrt();
    let up = if left { up } else { -up };
    let unit = [(b[0] - a[0]) / base, (b[1] - a[1]) / base];
    [
        a[0] + unit[0] * along - unit[1] * up,
        a[1] + unit[1] * along + unit[0] * up,
    ]
}

/// The angle at `tip` between two places.
fn angle(tip: [f64; 3], a: [f64; 3], b: [f64; 3]) -> f64 {
    let (u, v) = (minus(a, tip), minus(b, tip));
    let size = (dot(u, u) * dot(v, v)).sqrt();
    if size > 0.0 {
        (dot(u, v) / size).clamp(-1.0, 1.0).acos()
    } else {
        0.0
    }
}

impl Skin<'_> {
    /// The triangle across a side; none at an edge, or where more than two meet.
    fn across(&self, triangle: u32, side: u32) -> Option<u32> {
        match self.on[side as usize][..] {
            [a, b] if a == triangle => Some(b),
            [a, b] if b == triangle => Some(a),
            _ => None,
        }
    }

    /// The two sides of a triangle at a corner.
    fn sides_at(&self, triangle: u32, corner: u32) -> [u32; 2] {
        let corners = self.surface.corners[triangle as usize];
        let k = (0..3).find(|&k| corners[k] == corner).unwrap_or(0);
        let sides = self.side[triangle as usize];
        [sides[k], sides[(k + 2) % 3]]
    }

    /// From one triangle to another round a corner, first over a given side.
    fn round_from(&self, corner: u32, from: u32, over: u32, to: u32) -> Option<Vec<(u32, u32)>> {
        let (mut face, mut side) = (from, over);
        let mut walked = Vec::new();
        for _ in 0..=self.round[corner as usize].len() {
            face = self.across(face, side)?;
            walked.push((side, face));
            if face == to {
                return Some(walked);
            }
            let [a, b] = self.sides_at(face, corner);
            side = if a == side { b } else { a };
        }
        None
    }

    fn corner_angle(&self, triangle: u32, corner: u32) -> f64 {
        let corners = self.surface.corners[triangle as usize];
        let others: Vec<u32> = corners.into_iter().filter(|&i| i != corner).collect();
        match others[..] {
            [a, b] => angle(self.point(corner), self.point(a), self.point(b)),
            _ => 0.0,
        }
    }

    /// The way along the steps of the graph, pulled taut; where the skin hangs together by a corner alone, it goes through it.
    pub(super) fn pulled(&self, from: Foot, to: Foot, steps: &[Step]) -> Vec<[f64; 3]> {
        let mut line = Vec::new();
        let mut start = from.at;
        let mut strip = Strip {
            faces: vec![from.triangle],
            sides: Vec::new(),
        };
        for pair in steps.windows(2) {
            let (passes, before, after) = (pair[0].passes, pair[0].through, pair[1].through);
            if before == after {
                continue;
            }
            match passes {
                Passes::Side(side) => strip.go(side, after),
                Passes::Corner(corner) => {
                    let ways = self
                        .sides_at(before, corner)
                        .map(|over| self.round_from(corner, before, over, after));
                    let shorter = ways.into_iter().flatten().min_by(|a, b| {
                        let sum = |walk: &[(u32, u32)]| -> f64 {
                            walk.iter()
                                .map(|&(_, f)| self.corner_angle(f, corner))
                                .sum()
                        };
                        sum(a).total_cmp(&sum(b))
                    });
                    if let Some(walk) = shorter {
                        walk.into_iter()
                            .for_each(|(side, face)| strip.go(side, face));
                    } else {
                        let here = self.point(corner);
                        line.extend(self.taut(&mut strip, start, here));
                        start = here;
                        strip = Strip {
                            faces: vec![after],
                            sides: Vec::new(),
                        };
                    }
                }
                Passes::End => {}
            }
        }
        line.extend(self.taut(&mut strip, start, to.at));
        line
    }

    /// The shortest way near a strip, which is moved round corners as long as that makes it shorter.
    fn taut(&self, strip: &mut Strip, start: [f64; 3], end: [f64; 3]) -> Vec<[f64; 3]> {
        let most = 20 * strip.faces.len() + 200;
        let mut line = Vec::new();
        for _ in 0..most {
            let flat = self.laid_out(strip, start, end);
            let bends = flat.funnel();
            line = self.crossings(strip, &flat, &bends, (start, end));
            let moved = bends.iter().any(|bend| self.moved(strip, &line, bend));
            if !moved {
                break;
            }
        }
        line
    }

    /// Lays a strip out in a plane.
    fn laid_out(&self, strip: &Strip, start: [f64; 3], end: [f64; 3]) -> Flat {
        let corners = self.surface.corners[strip.faces[0] as usize];
        let [a, b, c] = corners.map(|i| self.point(i));
        let first = [[0.0, 0.0], [far(a, b), 0.0]];
        let c2 = third(first[0], first[1], (far(a, c), far(b, c)), true);
        let mut laid = [first[0], first[1], c2];
        let mut named = corners;
        let mut gates = Vec::with_capacity(strip.sides.len());
        let start = self.in_plane(&named, &laid, start);
        for (&side, &face) in strip.sides.iter().zip(&strip.faces[1..]) {
            let [u, v] = self.ends[side as usize];
            let at = |i: u32| {
                (0..3)
                    .find(|&k| named[k] == i)
                    .map_or([0.0; 2], |k| laid[k])
            };
            let (pu, pv) = (at(u), at(v));
            let behind = (0..3)
                .find(|&k| named[k] != u && named[k] != v)
                .map_or(0.0, |k| turn(pu, pv, laid[k]));
            let gate = if behind < 0.0 {
                [(pu, u), (pv, v)]
            } else {
                [(pv, v), (pu, u)]
            };
            gates.push(gate);
            let next = self.surface.corners[face as usize];
            let w = next.into_iter().find(|&i| i != u && i != v).unwrap_or(u);
            let away = (
                far(self.point(u), self.point(w)),
                far(self.point(v), self.point(w)),
            );
            let pw = third(pu, pv, away, behind < 0.0);
            (named, laid) = ([u, v, w], [pu, pv, pw]);
        }
        let end = self.in_plane(&named, &laid, end);
        Flat { start, end, gates }
    }

    /// A place on a triangle where it comes to lie in the plane.
    fn in_plane(&self, named: &[u32; 3], laid: &[[f64; 2]; 3], p: [f64; 3]) -> [f64; 2] {
        let [a, b, c] = named.map(|i| self.point(i));
        let (u, v, w) = (minus(b, a), minus(c, a), minus(p, a));
        let (uu, uv, vv) = (dot(u, u), dot(u, v), dot(v, v));
        let det = uu * vv - uv * uv;
        if det <= 0.0 {
            return laid[0];
        }
        let (s, t) = (
            (vv * dot(w, u) - uv * dot(w, v)) / det,
            (uu * dot(w, v) - uv * dot(w, u)) / det,
        );
        [0, 1].map(|k| laid[0][k] + (laid[1][k] - laid[0][k]) * s + (laid[2][k] - laid[0][k]) * t)
    }

    /// The places in space where a taut way crosses the sides of its strip.
    fn crossings(
        &self,
        strip: &Strip,
        flat: &Flat,
        bends: &[Bend],
        (start, end): ([f64; 3], [f64; 3]),
    ) -> Vec<[f64; 3]> {
        let mut line = vec![start];
        let mut next = 0;
        let mut from = flat.start;
        for (n, gate) in flat.gates.iter().enumerate() {
            let place = |bend: &Bend| {
                let held = &flat.gates[bend.side];
                if held[0].1 == bend.corner {
                    held[0].0
                } else {
                    held[1].0
                }
            };
            while bends.get(next).is_some_and(|bend| bend.side < n) {
                from = place(&bends[next]);
                next += 1;
            }
            let to = bends.get(next).map_or(flat.end, place);
            let [a, b] = self.ends[strip.sides[n] as usize];
            let [p, q] = if gate[0].1 == a {
                [gate[0].0, gate[1].0]
            } else {
                [gate[1].0, gate[0].0]
            };
            let (da, db) = (turn(from, to, p), turn(from, to, q));
            let share = if bends.get(next).is_some_and(|bend| bend.side == n) {
                f64::from(u8::from(bends[next].corner == b))
            } else if da == db {
                0.5
            } else {
                (da / (da - db)).clamp(0.0, 1.0)
            };
            line.push(between(self.point(a), self.point(b), share));
        }
        line.push(end);
        line
    }

    /// Moves a strip to the other side of a corner, where the way round it is less than straight there.
    fn moved(&self, strip: &mut Strip, line: &[[f64; 3]], bend: &Bend) -> bool {
        let v = bend.corner;
        let at_v = |n: usize| self.ends[strip.sides[n] as usize].contains(&v);
        let (mut low, mut high) = (bend.side, bend.side);
        while low > 0 && at_v(low - 1) {
            low -= 1;
        }
        while high + 1 < strip.sides.len() && at_v(high + 1) {
            high += 1;
        }
        let (first, last) = (strip.faces[low], strip.faces[high + 1]);
        // The way comes from the side before, and leaves over the side behind.
        let (came, goes, tip) = (line[low], line[high + 2], self.point(v));
        if far(came, tip) < 1e-12 || far(goes, tip) < 1e-12 {
            return false;
        }
        if first == last {
            strip.faces.drain(low..=high);
            strip.sides.drain(low..=high);
            return true;
        }
        let other = |side: u32| {
            let [a, b] = self.ends[side as usize];
            self.point(if a == v { b } else { a })
        };
        let away = |face: u32, side: u32| {
            let [a, b] = self.sides_at(face, v);
            if a == side { b } else { a }
        };
        let over = away(first, strip.sides[low]);
        let Some(walk) = self.round_from(v, first, over, last) else {
            return false;
        };
        let into = walk.last().map_or(NONE, |(side, _)| *side);
        let inner: f64 = walk[..walk.len() - 1]
            .iter()
            .map(|&(_, face)| self.corner_angle(face, v))
            .sum();
        let round = inner + angle(tip, came, other(over)) + angle(tip, other(into), goes);
        if round >= std::f64::consts::PI - STRAIGHT {
            return false;
        }
        let mut made = Strip {
            faces: strip.faces[..=low].to_vec(),
            sides: strip.sides[..low].to_vec(),
        };
        walk.into_iter()
            .for_each(|(side, face)| made.go(side, face));
        for n in high + 1..strip.sides.len() {
            made.go(strip.sides[n], strip.faces[n + 1]);
        }
        *strip = made;
        true
    }
}

impl Flat {
    /// The corners that the shortest way through the gates bends round.
    fn funnel(&self) -> Vec<Bend> {
        let mut bends = Vec::new();
        let count = self.gates.len();
        // Left and right: where, which corner, at which gate.
        let mut tip = self.start;
        let mut left = (self.start, NONE, 0);
        let mut right = left;
        let mut n = 0;
        let mut guard = 0;
        while n <= count && guard < 4 * count * count + 100 {
            guard += 1;
            let [new_left, new_right] = if n < count {
                self.gates[n]
            } else {
                [(self.end, NONE); 2]
            };
            let mut jumped = None;
            if turn(tip, right.0, new_right.0) >= 0.0 {
                if right.0 == tip || turn(tip, left.0, new_right.0) < 0.0 {
                    right = (new_right.0, new_right.1, n);
                } else if left.0 != tip {
                    jumped = Some(left);
                }
            }
            if jumped.is_none() && turn(tip, left.0, new_left.0) <= 0.0 {
                if left.0 == tip || turn(tip, right.0, new_left.0) > 0.0 {
                    left = (new_left.0, new_left.1, n);
                } else if right.0 != tip {
                    jumped = Some(right);
                }
            }
            if let Some((place, corner, at)) = jumped {
                if corner == NONE {
                    break;
                }
                bends.push(Bend { corner, side: at });
                tip = place;
                left = (tip, corner, at);
                right = left;
                n = at + 1;
            } else {
                n += 1;
            }
        }
        bends
    }
}
