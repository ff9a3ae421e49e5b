//! A surface by the lengths of its edges alone, in the metric of its conductance; edges are flipped in it.

use super::{Face as Told, Network, Tensor, Triangles, cross, dot, minus};

/// No triangle on the other side of an edge.
const NONE: u32 = u32::MAX;

/// How far two lengths of one edge, or the pull of an edge, may differ from what flipping asks, as a share.
const CLOSE: f64 = 1e-9;

/// One triangle: side k lies opposite corner k.
#[derive(Debug, Clone, Copy)]
struct Face {
    corners: [u32; 3],
    /// Squares of the sides in the metric.
    sides: [f64; 3],
    /// The face across each side, and which side it is there.
    across: [(u32, u8); 3],
    /// Conductance in the metric.
    conduct: f64,
    /// Store for each area in the metric.
    hold: f64,
    /// Twice the area in the metric.
    double: f64,
}

/// Twice the area from the squares of the sides, by Heron's formula.
fn double_area([a, b, c]: [f64; 3]) -> f64 {
    let square = 2.0 * (a * b + b * c + c * a) - (a * a + b * b + c * c);
    (square.max(0.0) / 4.0).sqrt()
}

/// The corner after corner k.
fn after(k: usize) -> usize {
    if k == 2 { 0 } else { k + 1 }
}

/// The corner before corner k.
fn before(k: usize) -> usize {
    if k == 0 { 2 } else { k - 1 }
}

impl Face {
    /// Cotangent of the angle at corner k.
    fn cotangent(&self, k: usize) -> f64 {
        if self.double <= 0.0 {
            return 0.0;
        }
        let around = self.sides[after(k)] + self.sides[before(k)];
        (around - self.sides[k]) / (2.0 * self.double)
    }

    /// Angle at corner k over half a turn, to about a hundredth.
    fn angle(&self, k: usize) -> f64 {
        let cotangent = self.cotangent(k);
        let small = |x: f64| x / (1.0 + 0.28 * x * x) * std::f64::consts::FRAC_1_PI;
        if cotangent.abs() <= 1.0 {
            0.5 - small(cotangent)
        } else if cotangent > 0.0 {
            small(1.0 / cotangent)
        } else {
            1.0 + small(1.0 / cotangent)
        }
    }
}

pub(super) struct Intrinsic {
    faces: Vec<Face>,
}

/// Joins each side of a face to the side of one other face; a side that three faces share stays open.
fn join(faces: &mut [Face], points: usize) {
    // Sides by their lower corner, each a short list of (higher corner, face, side).
    let mut start = vec![0_u32; points + 1];
    let lower = |f: &Face, k: usize| f.corners[after(k)].min(f.corners[before(k)]) as usize;
    for face in faces.iter() {
        for k in 0..3 {
            start[lower(face, k) + 1] += 1;
        }
    }
    for i in 0..points {
        start[i + 1] += start[i];
    }
    let mut next = start.clone();
    let mut listed = vec![(0_u32, 0_u32, 0_u8); faces.len() * 3];
    for (t, face) in faces.iter().enumerate() {
        for k in 0..3 {
            let at = lower(face, k);
            let high = face.corners[after(k)].max(face.corners[before(k)]);
            listed[next[at] as usize] = (high, t as u32, k as u8);
            next[at] += 1;
        }
    }
    for i in 0..points {
        let list = &mut listed[start[i] as usize..start[i + 1] as usize];
        list.sort_unstable();
        for group in list.chunk_by(|a, b| a.0 == b.0) {
            if let [(_, t, k), (_, u, l)] = *group {
                faces[t as usize].across[k as usize] = (u, l);
                faces[u as usize].across[l as usize] = (t, k);
            }
        }
    }
}

impl Intrinsic {
    pub(super) fn new(surface: &Triangles, conduct: &[Tensor], hold: &[f64]) -> Self {
        let face = |(t, corners): (usize, &[u32; 3])| {
            let tensor = &conduct[t];
            let [a, b, c] = corners.map(|i| surface.points[i as usize]);
            let normal = cross(minus(b, a), minus(c, a));
            let size = dot(normal, normal).sqrt();
            if size <= 0.0 || corners[0] == corners[1] || corners[1] == corners[2] {
                return None;
            }
            let mean = (tensor.first * tensor.second).sqrt();
            let even = (tensor.first - tensor.second).abs() <= 1e-12 * tensor.first;
            // Lengths across the fibres grow where flow is hard.
            let (first, second) = (mean / tensor.first, mean / tensor.second);
            let unit = normal.map(|x| x / size);
            let out = dot(tensor.along, unit);
            let flat = minus(tensor.along, unit.map(|x| x * out));
            let length = dot(flat, flat).sqrt();
            let along = if length > 1e-9 {
                flat.map(|x| x / length)
            } else {
                // Fibres that stand on the surface: any direction is as good.
                let edge = minus(b, a);
                let length = dot(edge, edge).sqrt();
                edge.map(|x| x / length)
            };
            let square = |p: [f64; 3], q: [f64; 3]| {
                let e = minus(q, p);
                let whole = dot(e, e);
                if even {
                    return whole;
                }
                let part = dot(e, along).powi(2);
                first * part + second * (whole - part).max(0.0)
            };
            let sides = [square(b, c), square(c, a), square(a, b)];
            Some(Face {
                corners: *corners,
                sides,
                double: double_area(sides),
                across: [(NONE, 0); 3],
                // The metric keeps areas, so that the store stays as it is.
                conduct: mean,
                hold: hold[t],
            })
        };
        let mut faces: Vec<Face> = surface
            .corners
            .iter()
            .enumerate()
            .filter_map(face)
            .collect();
        join(&mut faces, surface.points.len());
        Self { faces }
    }

    /// Flips edges until every edge pulls the right way, as far as flips leave the surface as it is.
    pub(super) fn flip(&mut self) {
        let mut waiting: Vec<(u32, u8)> = Vec::new();
        for (t, face) in self.faces.iter().enumerate() {
            for k in 0..3_u8 {
                if face.across[k as usize].0 != NONE && (t as u32) < face.across[k as usize].0 {
                    waiting.push((t as u32, k));
                }
            }
        }
        // Flips end by themselves; the bound is for surfaces that are no surfaces.
        let mut left = self.faces.len() * 30 + 100;
        while let Some((t, k)) = waiting.pop() {
            if left == 0 {
                return;
            }
            if let Some(around) = self.flip_one(t, k) {
                left -= 1;
                waiting.extend(around);
            }
        }
    }

    /// Flips the edge at side k of face t when it pulls the wrong way and nothing else changes.
    fn flip_one(&mut self, t: u32, k: u8) -> Option<[(u32, u8); 4]> {
        let one = &self.faces[t as usize];
        let k = k as usize;
        let (u, l) = one.across[k];
        if u == NONE || u == t {
            return None;
        }
        let (two, l) = (&self.faces[u as usize], l as usize);
        if two.across[l] != (t, k as u8) {
            return None;
        }
        if one.cotangent(k) + two.cotangent(l) >= -CLOSE {
            return None;
        }
        let same = |a: f64, b: f64| (a - b).abs() <= CLOSE * a.abs().max(b.abs());
        if !same(one.conduct, two.conduct)
            || !same(one.hold, two.hold)
            || !same(one.sides[k], two.sides[l])
        {
            return None;
        }
        let (one, two) = (*one, *two);
        // Corners: i and j on the edge, p facing it in one, q in two.
        let (i, j, p) = (
            one.corners[after(k)],
            one.corners[before(k)],
            one.corners[k],
        );
        let q = two.corners[l];
        // Two may run the same way round or the other way.
        let turned = two.corners[after(l)] == j;
        if p == q || !(turned || two.corners[after(l)] == i) {
            return None;
        }
        let (at_i, at_j) = if turned {
            (before(l), after(l))
        } else {
            (after(l), before(l))
        };
        // The side opposite a corner: |jp| lies opposite i.
        let (ij, jp, ip) = (one.sides[k], one.sides[after(k)], one.sides[before(k)]);
        let (jq, iq) = (two.sides[at_i], two.sides[at_j]);
        // Both unfolded with the edge along x from i.
        let base = ij.sqrt();
        let place = |from_i: f64, from_j: f64| {
            let x = (from_i + ij - from_j) / (2.0 * base);
            (x, (from_i - x * x).max(0.0).sqrt())
        };
        let ((px, py), (qx, qy)) = (place(ip, jp), place(iq, jq));
        let across = (px - qx).powi(2) + (py + qy).powi(2);
        // The new edge crosses the old one between its ends, or the four corners are not convex.
        let cut = px + (qx - px) * py / (py + qy);
        if !(cut > 0.0 && cut < base && across > 0.0) {
            return None;
        }
        let neighbours = [
            one.across[after(k)],
            one.across[before(k)],
            two.across[at_i],
            two.across[at_j],
        ];
        if neighbours.iter().any(|n| n.0 == t || n.0 == u) {
            return None;
        }
        let [jp_across, ip_across, jq_across, iq_across] = neighbours;
        // One becomes i, q, p and two becomes j, p, q.
        let face = |corners, sides, across| Face {
            corners,
            sides,
            across,
            double: double_area(sides),
            ..one
        };
        self.faces[t as usize] = face([i, q, p], [across, ip, iq], [(u, 0), ip_across, iq_across]);
        self.faces[u as usize] = face([j, p, q], [across, jq, jp], [(t, 0), jq_across, jp_across]);
        for (mine, side, other) in [
            (t, 1, ip_across),
            (t, 2, iq_across),
            (u, 1, jq_across),
            (u, 2, jp_across),
        ] {
            if other.0 != NONE {
                self.faces[other.0 as usize].across[other.1 as usize] = (mine, side);
            }
        }
        Some([(t, 1), (t, 2), (u, 1), (u, 2)])
    }

    /// Writes edges and stores.
    pub(super) fn write(&self, made: &mut Network) {
        for (t, face) in self.faces.iter().enumerate() {
            made.faces.push(Told {
                corners: face.corners,
                angles: [0, 1, 2].map(|k| face.angle(k) as f32),
            });
            for k in 0..3 {
                made.hold[face.corners[k] as usize] += face.hold * face.double / 6.0;
                let (u, l) = face.across[k];
                let mut weight = face.conduct * face.cotangent(k) / 2.0;
                let both =
                    u != NONE && self.faces[u as usize].across[l as usize] == (t as u32, k as u8);
                if both {
                    if u < t as u32 {
                        continue;
                    }
                    let other = &self.faces[u as usize];
                    weight += other.conduct * other.cotangent(l as usize) / 2.0;
                }
                if weight < -CLOSE * face.conduct {
                    made.backward += 1;
                }
                let (a, b) = (face.corners[after(k)], face.corners[before(k)]);
                if !both {
                    made.rim[a as usize] = true;
                    made.rim[b as usize] = true;
                }
                made.edges.push((a, b, weight));
            }
        }
    }
}

#[cfg(test)]
mod tests;
