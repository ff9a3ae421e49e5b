//! The warp of a cloth carried over a skin from where its laying starts.
//!
//! From face to face it keeps its angle to the side they share, as cloth does that is smoothed on without shear; it comes
//! to each face along the shortest way from the start, so that how the skin is cut into faces does not matter.

use super::path::Distances;
use super::{Foot, Side, Skin, cross, dot, far, minus};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Directions of warp and weft on a face, each of length one.
pub(crate) type Frame = [[f64; 3]; 2];

/// The same direction, of length one; none for a direction of no length.
fn unit(v: [f64; 3]) -> Option<[f64; 3]> {
    let length = dot(v, v).sqrt();
    (length > 1e-100).then(|| v.map(|x| x / length))
}

/// The part of a direction that lies in a plane.
fn flat(v: [f64; 3], normal: [f64; 3]) -> [f64; 3] {
    let out = dot(v, normal);
    [0, 1, 2].map(|k| v[k] - normal[k] * out)
}

/// Where the laying of a cloth starts as seen from above, and how its warp is turned from x there.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Laying {
    /// x and y [m]; in the middle of the part where they are not known.
    pub(crate) from: [Option<f64>; 2],
    /// Angle from x, as seen from above [rad].
    pub(crate) turn: f64,
}

impl Skin {
    fn face_normal(&self, face: u32) -> [f64; 3] {
        let [a, b, c] = self.triangle(face);
        unit(cross(minus(b, a), minus(c, a))).unwrap_or([0.0, 0.0, 1.0])
    }

    /// Warp and weft on a face where they start: as seen from above, or from the side where the skin stands.
    ///
    /// The warp runs along x on the skin, or along y where x stands on it, turned by an angle in the skin.
    fn started(&self, face: u32, turn: f64) -> Frame {
        let normal = self.face_normal(face);
        let highest = normal.iter().rev().find(|x| x.abs() > 1e-6);
        let normal = if highest.is_some_and(|x| *x < 0.0) {
            normal.map(|x| -x)
        } else {
            normal
        };
        let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]].into_iter();
        // All but upright on the skin, an axis tells no direction in it.
        let x = axes
            .map(|axis| flat(axis, normal))
            .find(|flat| dot(*flat, *flat) > 1e-4)
            .and_then(unit)
            .unwrap_or([1.0, 0.0, 0.0]);
        let y = cross(normal, x);
        let (sin, cos) = turn.sin_cos();
        let warp = [0, 1, 2].map(|k| x[k] * cos + y[k] * sin);
        [warp, cross(normal, warp)]
    }

    /// The frame of the face at one side of a fold, turned onto the face at the other.
    fn unfolded(&self, frame: &Frame, from: Side, to: Side) -> Frame {
        let [a, b] = self.ends(from);
        let Some(edge) = unit(minus(self.place(b), self.place(a))) else {
            return *frame;
        };
        // In each face, the direction across the fold, from the one into the other.
        let into = |(face, k): Side| {
            let corner = self.corners[face as usize][k as usize];
            let way = minus(self.place(corner), self.place(a));
            let along = dot(way, edge);
            unit([0, 1, 2].map(|k| way[k] - edge[k] * along))
        };
        let (Some(out), Some(on)) = (into(from), into(to)) else {
            return *frame;
        };
        frame.map(|v| {
            let (along, across) = (dot(v, edge), -dot(v, out));
            [0, 1, 2].map(|k| edge[k] * along + on[k] * across)
        })
    }

    /// Slope of a quantity of the points in a face, as the share of what flows in through each side.
    fn inflow(&self, face: u32, values: &[f64]) -> [f64; 3] {
        let corners = self.corners[face as usize];
        let normal = self.face_normal(face);
        let [a, b, c] = self.triangle(face);
        let v = corners.map(|i| values[i as usize]);
        // Twice the area times the slope; a side turned a quarter points out of the face.
        let out = [minus(c, b), minus(a, c), minus(b, a)].map(|side| cross(side, normal));
        let slope = [0, 1, 2].map(|k| -(0..3).map(|n| v[n] * out[n][k]).sum::<f64>());
        [0, 1, 2].map(|n| -dot(slope, out[n]))
    }
}

/// Warp and weft on every face of a skin, from the start over the shortest ways.
///
/// What is not joined to the start begins anew, in its own first face.
pub(crate) fn frames(skin: &Skin, laying: &Laying) -> Vec<Frame> {
    let count = skin.corners.len();
    let mut carried = Carried {
        skin,
        away: Distances::of(skin),
        found: vec![None; count],
    };
    if let Some(foot) = start(skin, laying) {
        carried.from(foot.face, foot.at, laying.turn);
    }
    for face in 0..count as u32 {
        if carried.found[face as usize].is_none() {
            carried.from(face, skin.middle(face), laying.turn);
        }
    }
    let found = carried.found.into_iter();
    found
        .map(|frame| frame.unwrap_or([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]))
        .collect()
}

/// Where the laying starts: the highest place over or under it, or else the nearest one to its middle height.
fn start(skin: &Skin, laying: &Laying) -> Option<Foot> {
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for &i in skin.corners.iter().flatten() {
        for k in 0..3 {
            low[k] = low[k].min(skin.points[i as usize][k]);
            high[k] = high[k].max(skin.points[i as usize][k]);
        }
    }
    let at = [0, 1].map(|k| laying.from[k].unwrap_or(f64::midpoint(low[k], high[k])));
    let over = (0..skin.corners.len() as u32).filter_map(|face| skin.over_face(face, at));
    let highest = over.max_by(|p, q| p.at[2].total_cmp(&q.at[2]));
    highest.or_else(|| skin.foot([at[0], at[1], f64::midpoint(low[2], high[2])]))
}

/// A cloth on its way over a skin.
struct Carried<'a> {
    skin: &'a Skin,
    away: Distances,
    found: Vec<Option<Frame>>,
}

impl Carried<'_> {
    /// Carries it from one face to all that are joined to it.
    fn from(&mut self, first: u32, at: [f64; 3], turn: f64) {
        let skin = self.skin;
        let seeds = skin.corners[first as usize].map(|i| (i, far(skin.place(i), at)));
        self.away.spread(skin, &seeds);
        self.found[first as usize] = Some(skin.started(first, turn));
        // Faces by how far their middle is: what lies nearer is known when its turn comes.
        let mut waiting: BinaryHeap<Reverse<(u64, u32)>> = BinaryHeap::new();
        let mut next = Some(first);
        while let Some(face) = next {
            if self.found[face as usize].is_none() {
                self.found[face as usize] = self.brought(face);
            }
            for k in 0..3 {
                for (other, _) in skin.round((face, k)) {
                    if self.found[other as usize].is_none() {
                        let corners = skin.corners[other as usize];
                        let sum: f64 = corners.iter().map(|&i| self.away.of[i as usize]).sum();
                        waiting.push(Reverse((sum.max(0.0).to_bits(), other)));
                    }
                }
            }
            next = waiting.pop().map(|Reverse((_, face))| face);
            while next.is_some_and(|face| self.found[face as usize].is_some()) {
                next = waiting.pop().map(|Reverse((_, face))| face);
            }
        }
    }

    /// The frame of a face from those of its neighbours, each by how much of the way comes from it.
    fn brought(&self, face: u32) -> Option<Frame> {
        let share = self.skin.inflow(face, &self.away.of);
        let upward = self.sum(face, |k| share[k].max(0.0));
        // Where nothing known lies up the way, every known neighbour counts alike.
        let sum = if dot(upward[0], upward[0]) > 0.0 {
            upward
        } else {
            self.sum(face, |_| 1.0)
        };
        let normal = self.skin.face_normal(face);
        let warp = unit(flat(unit(sum[0]).unwrap_or([1.0, 0.0, 0.0]), normal))
            .unwrap_or(self.skin.started(face, 0.0)[0]);
        // The weft on the side where the neighbours have it.
        let weft = cross(normal, warp);
        let side = if dot(weft, sum[1]) < 0.0 { -1.0 } else { 1.0 };
        Some([warp, weft.map(|x| x * side)])
    }

    /// The frames of the known neighbours of a face, turned onto it and added up.
    fn sum(&self, face: u32, share: impl Fn(usize) -> f64) -> Frame {
        let mut sum = [[0.0; 3]; 2];
        for k in 0..3_u8 {
            let own = (face, k);
            let share = share(k as usize);
            for other in self.skin.round(own) {
                let Some(frame) = self.found[other.0 as usize].filter(|_| share > 0.0) else {
                    continue;
                };
                let turned = self.skin.unfolded(&frame, other, own);
                for (sum, turned) in sum.iter_mut().flatten().zip(turned.iter().flatten()) {
                    *sum += share * turned;
                }
            }
        }
        sum
    }
}
