//! Cuts along a wall that stands on a stretch, and round a bore.

use super::{BEND, Skin, between, far, minus};

impl Skin {
    /// Sets what lies all but on a cut to nought, given how far each point is to either side of it.
    ///
    /// `counts` says whether a side is cut at a share of its way.
    pub(super) fn settle(&self, off: &mut [f64], counts: impl Fn([u32; 2], f64) -> bool) {
        let mut on: Vec<u32> = Vec::new();
        for face in 0..self.corners.len() as u32 {
            for k in 0..3 {
                let [a, b] = self.ends((face, k));
                let (p, q) = (off[a as usize], off[b as usize]);
                if p * q >= 0.0 {
                    continue;
                }
                let share = p / (p - q);
                if share.min(1.0 - share) < BEND || p.abs().min(q.abs()) < self.floor {
                    let near = if share < 0.5 { a } else { b };
                    if counts([a, b], share) {
                        on.push(near);
                    }
                }
            }
        }
        for point in on {
            off[point as usize] = 0.0;
        }
    }

    /// Cuts along a wall on a stretch, seen from above, and gives the points on it. `ends` are on it already; sides on it
    /// are marked as those of `line`.
    pub(crate) fn wall(
        &mut self,
        a: [f64; 2],
        b: [f64; 2],
        ends: &[u32],
        line: Option<u16>,
    ) -> Vec<u32> {
        let length = (b[0] - a[0]).hypot(b[1] - a[1]);
        if length <= 0.0 {
            return ends.to_vec();
        }
        let u = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
        let along = |p: [f64; 3]| (p[0] - a[0]) * u[0] + (p[1] - a[1]) * u[1];
        let within = -self.floor..=length + self.floor;
        let mut off: Vec<f64> = self
            .points
            .iter()
            .map(|p| {
                let off = (p[1] - a[1]) * u[0] - (p[0] - a[0]) * u[1];
                if off.abs() < self.floor && within.contains(&along(*p)) {
                    0.0
                } else {
                    off
                }
            })
            .collect();
        for &end in ends {
            off[end as usize] = 0.0;
        }
        let points = &self.points;
        let cut_at = |points: &[[f64; 3]], [i, j]: [u32; 2], share: f64| {
            between(points[i as usize], points[j as usize], share)
        };
        self.settle(&mut off, |side, share| {
            within.contains(&along(cut_at(points, side, share)))
        });
        let mut face = 0;
        while face < self.corners.len() {
            let crossed = (0..3_u8).find_map(|k| {
                let side = (face as u32, k);
                let [i, j] = self.ends(side);
                let (p, q) = (off[i as usize], off[j as usize]);
                if p * q >= 0.0 {
                    return None;
                }
                let at = cut_at(&self.points, [i, j], p / (p - q));
                within.contains(&along(at)).then_some((side, at, [i, j]))
            });
            let Some((side, at, [i, j])) = crossed else {
                face += 1;
                continue;
            };
            let new = self.cut_side(side, at);
            if new as usize == off.len() {
                off.push(0.0);
            } else {
                off[new as usize] = 0.0;
                if new != i && new != j {
                    // The cut goes through the corner that is there; this side is left whole.
                    face += 1;
                }
            }
        }
        let mut is_on: Vec<bool> = (off.iter().zip(&self.points))
            .map(|(off, p)| *off == 0.0 && within.contains(&along(*p)))
            .collect();
        for &end in ends {
            is_on[end as usize] = true;
        }
        if let Some(line) = line {
            for face in 0..self.corners.len() as u32 {
                for k in 0..3 {
                    let [a, b] = self.ends((face, k));
                    if is_on[a as usize] && is_on[b as usize] {
                        self.mark(a, b, line);
                    }
                }
            }
        }
        (0..self.points.len() as u32)
            .filter(|&i| is_on[i as usize])
            .collect()
    }

    /// Cuts round a bore about a point, and gives the points in it and on its edge.
    pub(crate) fn bore(&mut self, middle: u32, radius: f64) -> Vec<u32> {
        let centre = self.place(middle);
        let mut inside = vec![middle];
        let mut done = 0;
        let mut crossed: Vec<[u32; 2]> = Vec::new();
        while done < inside.len() {
            let here = inside[done];
            done += 1;
            for (face, _) in self.star(here) {
                for other in self.corners[face as usize] {
                    if other == here || inside.contains(&other) {
                        continue;
                    }
                    if far(self.place(other), centre) < radius {
                        inside.push(other);
                    } else {
                        crossed.push([here, other]);
                    }
                }
            }
        }
        crossed.sort_unstable();
        crossed.dedup();
        let mut found = inside;
        for [i, j] in crossed {
            let (from, to) = (self.place(i), self.place(j));
            let share = leaves(minus(from, centre), minus(to, from), radius);
            if share > 1.0 - BEND {
                found.push(j);
            } else if share > BEND
                && let Some(side) = self.joining(i, j)
            {
                let at = between(from, to, share);
                found.push(self.cut_side(side, at));
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }
}

/// The share of a way from within a ball, from its middle, at which it leaves the ball.
fn leaves(from: [f64; 3], way: [f64; 3], radius: f64) -> f64 {
    let (a, b) = (super::dot(way, way), super::dot(from, way));
    let c = super::dot(from, from) - radius * radius;
    ((b * b - a * c).max(0.0).sqrt() - b) / a.max(f64::MIN_POSITIVE)
}
