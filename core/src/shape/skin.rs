//! A skin of triangles that can be cut: which faces meet at each side, and new points on sides and in faces.
//!
//! Every cut leaves the skin as it is: new points lie on its faces, and no face loses or gains area.

mod cut;
mod lines;
mod path;
mod refine;
mod warp;

pub(crate) use warp::{Frame, Laying, frames};

use crate::solve::surface::Triangles;
use std::collections::{BTreeMap, BTreeSet};

/// A side of a face: the face, and which of its corners lies opposite.
type Side = (u32, u8);

/// No face.
const NONE: u32 = u32::MAX;

/// How near a cut comes to a corner of a face before it goes through it, as a share of the side that is cut.
const BEND: f64 = 0.04;

/// The least distance that two points keep, as a share of the side of a triangle.
const FLOOR: f64 = 1e-3;

/// A surface with its neighbourhood.
#[derive(Debug, Clone, Default)]
pub(crate) struct Skin {
    /// Its points [m].
    pub(crate) points: Vec<[f64; 3]>,
    /// Its faces, three points each.
    pub(crate) corners: Vec<[u32; 3]>,
    /// The face of the skin as it was read that each face is a piece of.
    pub(crate) from: Vec<u32>,
    /// The next face round each side, and which side it is there: a ring of as many faces as meet; itself at the rim.
    next: Vec<[Side; 3]>,
    /// A face at each point.
    at: Vec<u32>,
    /// Points nearer than this are one [m].
    floor: f64,
    /// Sides that lines lie on, by their points, and which lines.
    marks: BTreeMap<[u32; 2], Vec<u16>>,
    /// Most faces that lines may cut it into; none for any number.
    pub(crate) most: Option<usize>,
}

/// The nearest place on a skin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Foot {
    pub(crate) face: u32,
    pub(crate) at: [f64; 3],
    /// How far it is [m].
    pub(crate) away: f64,
}

pub(super) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(super) fn far(a: [f64; 3], b: [f64; 3]) -> f64 {
    let d = minus(a, b);
    dot(d, d).sqrt()
}

/// The place at a share of the way from a to b.
pub(super) fn between(a: [f64; 3], b: [f64; 3], share: f64) -> [f64; 3] {
    [0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * share)
}

/// The share of the way from a to b that is nearest to p.
fn share_along(p: [f64; 3], a: [f64; 3], b: [f64; 3]) -> f64 {
    let d = minus(b, a);
    let length = dot(d, d);
    if length > 0.0 {
        (dot(minus(p, a), d) / length).clamp(0.0, 1.0)
    } else {
        0.0
    }
}

/// The place of a triangle that is nearest to p.
pub(super) fn nearest_on(p: [f64; 3], [a, b, c]: [[f64; 3]; 3]) -> [f64; 3] {
    let (u, v, w) = (minus(b, a), minus(c, a), minus(p, a));
    let (uu, uv, vv, wu, wv) = (dot(u, u), dot(u, v), dot(v, v), dot(w, u), dot(w, v));
    let whole = uu * vv - uv * uv;
    if whole > 0.0 {
        let (s, t) = ((vv * wu - uv * wv) / whole, (uu * wv - uv * wu) / whole);
        if s >= 0.0 && t >= 0.0 && s + t <= 1.0 {
            return [0, 1, 2].map(|k| a[k] + u[k] * s + v[k] * t);
        }
    }
    let on = |a: [f64; 3], b: [f64; 3]| between(a, b, share_along(p, a, b));
    let ends = [on(a, b), on(b, c), on(c, a)];
    let nearer = |x: &[f64; 3], y: &[f64; 3]| far(*x, p).total_cmp(&far(*y, p));
    ends.into_iter().min_by(nearer).unwrap_or(a)
}

pub(super) fn after(k: usize) -> usize {
    if k == 2 { 0 } else { k + 1 }
}

pub(super) fn before(k: usize) -> usize {
    if k == 0 { 2 } else { k - 1 }
}

impl Skin {
    /// Takes a surface in; faces without an area are left out, for nothing flows in them.
    pub(crate) fn of(surface: &Triangles, side: f64) -> Self {
        let mut skin = Self {
            points: surface.points.clone(),
            at: vec![NONE; surface.points.len()],
            floor: FLOOR * side,
            ..Self::default()
        };
        for (t, corners) in surface.corners.iter().enumerate() {
            let [a, b, c] = *corners;
            if a == b || b == c || c == a || surface.area_of(t) <= 0.0 {
                continue;
            }
            let face = skin.corners.len() as u32;
            skin.next.push([(face, 0), (face, 1), (face, 2)]);
            skin.corners.push(*corners);
            skin.from.push(t as u32);
            for &i in corners {
                skin.at[i as usize] = face;
            }
        }
        let mut sides: Vec<(u32, u32, Side)> = Vec::with_capacity(skin.corners.len() * 3);
        for t in 0..skin.corners.len() as u32 {
            for k in 0..3_u8 {
                let [a, b] = skin.ends((t, k));
                sides.push((a.min(b), a.max(b), (t, k)));
            }
        }
        sides.sort_unstable();
        for group in sides.chunk_by(|p, q| (p.0, p.1) == (q.0, q.1)) {
            skin.ring(group.iter().map(|side| side.2));
        }
        skin
    }

    /// Makes sides the ones that meet.
    fn ring(&mut self, sides: impl Iterator<Item = Side>) {
        let sides: Vec<Side> = sides.collect();
        for (n, &(t, k)) in sides.iter().enumerate() {
            self.next[t as usize][k as usize] = sides[(n + 1) % sides.len()];
        }
    }

    /// The two points of a side.
    pub(super) fn ends(&self, (t, k): Side) -> [u32; 2] {
        let corners = self.corners[t as usize];
        [corners[after(k as usize)], corners[before(k as usize)]]
    }

    pub(super) fn place(&self, point: u32) -> [f64; 3] {
        self.points[point as usize]
    }

    pub(super) fn triangle(&self, face: u32) -> [[f64; 3]; 3] {
        self.corners[face as usize].map(|i| self.points[i as usize])
    }

    pub(super) fn middle(&self, face: u32) -> [f64; 3] {
        let [a, b, c] = self.triangle(face);
        [0, 1, 2].map(|k| (a[k] + b[k] + c[k]) / 3.0)
    }

    pub(super) fn length(&self, side: Side) -> f64 {
        let [a, b] = self.ends(side);
        far(self.place(a), self.place(b))
    }

    /// Every side that meets here, this one first.
    pub(super) fn round(&self, side: Side) -> Vec<Side> {
        let mut all = vec![side];
        let mut at = self.next[side.0 as usize][side.1 as usize];
        while at != side {
            all.push(at);
            at = self.next[at.0 as usize][at.1 as usize];
        }
        all
    }

    /// The faces round a point that are joined side by side, and which of their corners it is.
    pub(super) fn star(&self, point: u32) -> Vec<Side> {
        let corner = |face: u32| {
            let corners = &self.corners[face as usize];
            corners.iter().position(|&i| i == point).map(|k| k as u8)
        };
        let mut all: Vec<Side> = Vec::with_capacity(8);
        let first = self.at[point as usize];
        if first == NONE {
            return all;
        }
        all.extend(corner(first).map(|k| (first, k)));
        let mut done = 0;
        while done < all.len() {
            let (face, k) = all[done];
            done += 1;
            for k in [after(k as usize), before(k as usize)] {
                let mut side = self.next[face as usize][k];
                while side.0 != face {
                    if !all.iter().any(|known| known.0 == side.0) {
                        all.extend(corner(side.0).map(|k| (side.0, k)));
                    }
                    side = self.next[side.0 as usize][side.1 as usize];
                }
            }
        }
        all
    }

    /// The side that joins two points, where one does.
    pub(super) fn joining(&self, a: u32, b: u32) -> Option<Side> {
        if a == b {
            return None;
        }
        self.star(a).into_iter().find_map(|(face, _)| {
            let at = |i| self.corners[face as usize].iter().position(|&c| c == i);
            Some((face, (3 - at(a)? - at(b)?) as u8))
        })
    }

    /// Puts `new` in place of `old` in the ring of a side, as what `old` knew of it stands in `next`.
    fn replaced(&mut self, old: Side, next: Side, last: Side, new: Side) {
        if next == old {
            self.next[new.0 as usize][new.1 as usize] = new;
        } else {
            self.next[new.0 as usize][new.1 as usize] = next;
            self.next[last.0 as usize][last.1 as usize] = new;
        }
    }

    /// What comes after and before a side in its ring.
    fn beside(&self, side: Side) -> (Side, Side) {
        let next = self.next[side.0 as usize][side.1 as usize];
        let mut last = next;
        loop {
            let on = self.next[last.0 as usize][last.1 as usize];
            if on == side {
                return (next, last);
            }
            last = on;
        }
    }

    fn push_face(&mut self, corners: [u32; 3], parent: u32) -> u32 {
        let face = self.corners.len() as u32;
        self.corners.push(corners);
        self.from.push(self.from[parent as usize]);
        self.next.push([(face, 0), (face, 1), (face, 2)]);
        face
    }

    /// Cuts a side, and every face that meets there, at a place on it.
    pub(super) fn split_side(&mut self, side: Side, place: [f64; 3]) -> u32 {
        let m = self.points.len() as u32;
        self.points.push(place);
        self.at.push(side.0);
        let [first, second] = self.ends(side);
        if let Some(lines) = self.marks.remove(&[first.min(second), first.max(second)]) {
            // The new point has the highest number.
            self.marks.insert([second, m], lines.clone());
            self.marks.insert([first, m], lines);
        }
        let (mut near, mut other) = (Vec::new(), Vec::new());
        for (f, l) in self.round(side) {
            let l = l as usize;
            let corners = self.corners[f as usize];
            let (c, i, j) = (corners[l], corners[after(l)], corners[before(l)]);
            // Face f becomes c, i, m and the new one c, m, j.
            let (of_j, of_i) = ((f, before(l) as u8), (f, after(l) as u8));
            let ((next_j, last_j), (next_i, last_i)) = (self.beside(of_j), self.beside(of_i));
            let g = self.push_face([c, m, j], f);
            self.corners[f as usize] = [c, i, m];
            self.replaced(of_j, next_j, last_j, (f, 2));
            self.replaced(of_i, next_i, last_i, (g, 1));
            self.next[f as usize][1] = (g, 2);
            self.next[g as usize][2] = (f, 1);
            if self.at[j as usize] == f {
                self.at[j as usize] = g;
            }
            if i == first {
                near.push((f, 0));
                other.push((g, 0));
            } else {
                near.push((g, 0));
                other.push((f, 0));
            }
        }
        self.ring(near.into_iter());
        self.ring(other.into_iter());
        m
    }

    /// Cuts a face in three at a place in it.
    fn split_face(&mut self, t: u32, place: [f64; 3]) -> u32 {
        let m = self.points.len() as u32;
        self.points.push(place);
        self.at.push(t);
        let [a, b, c] = self.corners[t as usize];
        let beside = [0, 1].map(|k| self.beside((t, k)));
        let g = self.push_face([b, c, m], t);
        let h = self.push_face([c, a, m], t);
        self.corners[t as usize] = [a, b, m];
        self.replaced((t, 0), beside[0].0, beside[0].1, (g, 2));
        self.replaced((t, 1), beside[1].0, beside[1].1, (h, 2));
        for (one, other) in [((t, 0), (g, 1)), ((t, 1), (h, 0)), ((g, 0), (h, 1))] {
            self.ring([one, other].into_iter());
        }
        if self.at[c as usize] == t {
            self.at[c as usize] = g;
        }
        m
    }

    /// Whether lines have cut it into as many faces as they may: no further one is laid then.
    pub(crate) fn is_full(&self) -> bool {
        self.most.is_some_and(|most| self.corners.len() > most)
    }

    /// The nearest place on the skin.
    pub(crate) fn foot(&self, p: [f64; 3]) -> Option<Foot> {
        self.foot_within(p, f64::INFINITY)
    }

    /// The nearest place on the skin that is no further than this.
    pub(crate) fn foot_within(&self, p: [f64; 3], reach: f64) -> Option<Foot> {
        let mut best: Option<Foot> = None;
        let mut nearest = reach;
        for face in 0..self.corners.len() as u32 {
            let triangle = self.triangle(face);
            // No corner is further from the first than the longer of two sides.
            let first = far(p, triangle[0]);
            if first > nearest {
                let longer = far(triangle[0], triangle[1]).max(far(triangle[0], triangle[2]));
                if first > nearest + longer {
                    continue;
                }
            }
            let at = nearest_on(p, triangle);
            let away = far(p, at);
            if away < nearest || (away == nearest && best.is_none()) {
                nearest = away;
                best = Some(Foot { face, at, away });
            }
        }
        best
    }

    /// The nearest place on the skin, which may lie on a face round a point.
    pub(super) fn foot_near(&self, p: [f64; 3], point: u32) -> Option<Foot> {
        for (face, _) in self.star(point) {
            let at = nearest_on(p, self.triangle(face));
            let away = far(p, at);
            if away < 0.1 * self.floor {
                return Some(Foot { face, at, away });
            }
        }
        self.foot(p)
    }

    /// A point at a place on a face: a corner or a place on a side where one is all but there.
    pub(crate) fn point_at(&mut self, foot: &Foot) -> u32 {
        let (face, at) = (foot.face, foot.at);
        let triangle = self.triangle(face);
        let longest = (0..3)
            .map(|k| self.length((face, k)))
            .fold(self.floor / BEND, f64::max);
        let snap = BEND * longest;
        let corner = (0..3).min_by(|&a, &b| far(triangle[a], at).total_cmp(&far(triangle[b], at)));
        if let Some(k) = corner
            && far(triangle[k], at) <= snap
        {
            return self.corners[face as usize][k];
        }
        let on = |k: usize| {
            let (a, b) = (triangle[after(k)], triangle[before(k)]);
            let on = between(a, b, share_along(at, a, b));
            (far(on, at), k, on)
        };
        let side = (0..3).map(on).min_by(|a, b| a.0.total_cmp(&b.0));
        match side {
            Some((away, k, on)) if away <= snap => self.cut_side((face, k as u8), on),
            _ => self.split_face(face, at),
        }
    }

    /// Cuts a side at a place on it, unless a point is there already: then that one.
    pub(super) fn cut_side(&mut self, side: Side, place: [f64; 3]) -> u32 {
        let mut there: Vec<u32> = self.ends(side).to_vec();
        for (face, k) in self.round(side) {
            there.push(self.corners[face as usize][k as usize]);
        }
        let near = there
            .into_iter()
            .find(|&i| far(self.place(i), place) < self.floor);
        near.unwrap_or_else(|| self.split_side(side, place))
    }

    /// Marks the side between two points as one of a line's.
    pub(super) fn mark(&mut self, a: u32, b: u32, line: u16) {
        let lines = self.marks.entry([a.min(b), a.max(b)]).or_default();
        if !lines.contains(&line) {
            lines.push(line);
        }
    }

    /// The points on the sides of each of so many lines.
    pub(crate) fn marked(&self, count: usize) -> Vec<BTreeSet<u32>> {
        let mut points = vec![BTreeSet::new(); count];
        for (ends, lines) in &self.marks {
            for &line in lines {
                if let Some(points) = points.get_mut(line as usize) {
                    points.extend(ends);
                }
            }
        }
        points
    }

    /// The sides that a line lies on.
    pub(crate) fn sides_of(&self, line: u16) -> Vec<[u32; 2]> {
        let marks = self.marks.iter().filter(|(_, lines)| lines.contains(&line));
        marks.map(|(ends, _)| *ends).collect()
    }

    /// Sides of one face only.
    pub(crate) fn rim(&self) -> Vec<[u32; 2]> {
        let sides = (0..self.corners.len() as u32).flat_map(|t| (0..3).map(move |k| (t, k)));
        sides
            .filter(|&(t, k)| self.next[t as usize][k as usize] == (t, k))
            .map(|side| self.ends(side))
            .collect()
    }
}

#[cfg(test)]
mod tests;
