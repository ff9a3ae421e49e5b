//! Meshes made for the checks: grids with any cells left out, rings, discs and triangles, shaken and with random diagonals.

use bastwork::solve::surface::Triangles;
use std::f64::consts::TAU;

/// Draws for a check, the same ones every time (SplitMix64: Steele, Lea and Flood 2014, from memory).
pub(crate) struct Draws(pub(crate) u64);

impl Draws {
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        low + (high - low) * (z >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn chance(&mut self, share: f64) -> bool {
        self.between(0.0, 1.0) < share
    }
}

/// Points and triangles.
#[derive(Debug, Clone)]
pub(crate) struct Mesh {
    pub(crate) points: Vec<[f64; 3]>,
    pub(crate) corners: Vec<[u32; 3]>,
}

/// Evenly spaced numbers, ends included.
pub(crate) fn even(from: f64, to: f64, steps: usize) -> Vec<f64> {
    (0..=steps)
        .map(|i| from + (to - from) * i as f64 / steps as f64)
        .collect()
}

/// The four corners of a cell as two triangles, one way or the other.
fn cut(corners: &mut Vec<[u32; 3]>, [a, b, c, d]: [u32; 4], draws: &mut Draws) {
    if draws.chance(0.5) {
        corners.extend([[a, b, c], [a, c, d]]);
    } else {
        corners.extend([[a, b, d], [b, c, d]]);
    }
}

impl Mesh {
    pub(crate) fn surface(&self) -> Triangles {
        Triangles::new(self.points.clone(), self.corners.clone()).unwrap()
    }

    /// The points of which something holds.
    pub(crate) fn nodes(&self, is: impl Fn([f64; 3]) -> bool) -> Vec<u32> {
        (0..self.points.len() as u32)
            .filter(|&i| is(self.points[i as usize]))
            .collect()
    }

    /// The one point nearest to a place.
    pub(crate) fn nearest(&self, place: [f64; 2]) -> u32 {
        let off = |p: &[f64; 3]| (p[0] - place[0]).hypot(p[1] - place[1]);
        (0..self.points.len() as u32)
            .min_by(|&a, &b| {
                off(&self.points[a as usize]).total_cmp(&off(&self.points[b as usize]))
            })
            .unwrap()
    }

    pub(crate) fn moved(mut self, to: impl Fn([f64; 3]) -> [f64; 3]) -> Self {
        for p in &mut self.points {
            *p = to(*p);
        }
        self
    }

    /// Middle of a triangle.
    pub(crate) fn middle(&self, triangle: usize) -> [f64; 3] {
        let [a, b, c] = self.corners[triangle].map(|i| self.points[i as usize]);
        [0, 1, 2].map(|k| (a[k] + b[k] + c[k]) / 3.0)
    }

    /// Something for each triangle, by its middle.
    pub(crate) fn each<T>(&self, of: impl Fn([f64; 3]) -> T) -> Vec<T> {
        (0..self.corners.len())
            .map(|t| of(self.middle(t)))
            .collect()
    }

    /// Points at an edge that belongs to one triangle only.
    pub(crate) fn rim(&self) -> Vec<bool> {
        let mut sides: Vec<(u32, u32)> = self
            .corners
            .iter()
            .flat_map(|c| [(c[0], c[1]), (c[1], c[2]), (c[2], c[0])])
            .map(|(a, b)| (a.min(b), a.max(b)))
            .collect();
        sides.sort_unstable();
        let mut rim = vec![false; self.points.len()];
        for group in sides.chunk_by(|a, b| a == b) {
            if let [(a, b)] = *group {
                rim[a as usize] = true;
                rim[b as usize] = true;
            }
        }
        rim
    }
}

/// Cells between lines, those whose middle is kept; inner points are shaken by a quarter of a cell unless they are still.
pub(crate) fn grid(
    xs: &[f64],
    ys: &[f64],
    keep: impl Fn(f64, f64) -> bool,
    still: impl Fn(f64, f64) -> bool,
    seed: u64,
) -> Mesh {
    let mut draws = Draws(seed);
    let (nx, ny) = (xs.len() - 1, ys.len() - 1);
    let kept = |i: usize, j: usize| keep((xs[i] + xs[i + 1]) / 2.0, (ys[j] + ys[j + 1]) / 2.0);
    let mut place = vec![u32::MAX; xs.len() * ys.len()];
    let mut points = Vec::new();
    for i in 0..=nx {
        for j in 0..=ny {
            let around = [(0, 0), (1, 0), (0, 1), (1, 1)].map(|(di, dj)| {
                i >= di && j >= dj && i - di < nx && j - dj < ny && kept(i - di, j - dj)
            });
            if !around.contains(&true) {
                continue;
            }
            let (x, y) = (xs[i], ys[j]);
            let mut shake = [0.0; 2];
            if !around.contains(&false) && !still(x, y) {
                let near =
                    |at: usize, all: &[f64]| (all[at + 1] - all[at]).min(all[at] - all[at - 1]);
                shake = [near(i, xs), near(j, ys)].map(|h| 0.25 * h * draws.between(-1.0, 1.0));
            }
            place[i * (ny + 1) + j] = points.len() as u32;
            points.push([x + shake[0], y + shake[1], 0.0]);
        }
    }
    let mut corners = Vec::new();
    for i in 0..nx {
        for j in (0..ny).filter(|&j| kept(i, j)) {
            let cell = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)]
                .map(|(i, j)| place[i * (ny + 1) + j]);
            cut(&mut corners, cell, &mut draws);
        }
    }
    Mesh { points, corners }
}

/// A rectangle of shaken cells.
pub(crate) fn rectangle(length: f64, width: f64, nx: usize, ny: usize, seed: u64) -> Mesh {
    let (xs, ys) = (even(0.0, length, nx), even(0.0, width, ny));
    grid(&xs, &ys, |_, _| true, |_, _| false, seed)
}

/// A ring, or a quarter of one, between two radii; steps grow outwards. Returns it with the number of points on a radius.
pub(crate) fn ring(inner: f64, outer: f64, nr: usize, na: usize, share: f64, seed: u64) -> Mesh {
    let mut draws = Draws(seed);
    let whole = share > 0.999;
    let columns = if whole { na } else { na + 1 };
    let grow = (outer / inner).powf(0.75);
    let radius = |s: f64| inner + (outer - inner) * (grow.powf(s) - 1.0) / (grow - 1.0);
    let mut points = Vec::new();
    for i in 0..=nr {
        for j in 0..columns {
            let (mut s, mut turn) = (i as f64, j as f64);
            if i > 0 && i < nr && (whole || (j > 0 && j < na)) {
                s += 0.25 * draws.between(-1.0, 1.0);
                turn += 0.25 * draws.between(-1.0, 1.0);
            }
            let (r, angle) = (radius(s / nr as f64), share * TAU * turn / na as f64);
            points.push([r * angle.cos(), r * angle.sin(), 0.0]);
        }
    }
    let at = |i: usize, j: usize| (i * columns + j % columns) as u32;
    let mut corners = Vec::new();
    for i in 0..nr {
        for j in 0..na {
            let cell = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
            cut(&mut corners, cell, &mut draws);
        }
    }
    Mesh { points, corners }
}

/// A disc of so many rings of six sectors, inner points shaken.
pub(crate) fn disc(radius: f64, rings: usize, seed: u64) -> Mesh {
    let mut draws = Draws(seed);
    let mut points = vec![[0.0; 3]];
    for k in 1..=rings {
        for j in 0..6 * k {
            let (mut r, mut turn) = (k as f64, j as f64);
            if k < rings {
                r += 0.2 * draws.between(-1.0, 1.0);
                turn += 0.2 * draws.between(-1.0, 1.0);
            }
            let (r, angle) = (radius * r / rings as f64, TAU * turn / (6 * k) as f64);
            points.push([r * angle.cos(), r * angle.sin(), 0.0]);
        }
    }
    let first = |k: usize| if k == 0 { 0 } else { 1 + 3 * k * (k - 1) };
    let at = |k: usize, j: usize| {
        let round = (6 * k).max(1);
        (first(k) + j % round) as u32
    };
    let mut corners = Vec::new();
    for k in 1..=rings {
        for sector in 0..6 {
            for j in 0..k {
                let (out, inn) = (sector * k + j, sector * (k - 1) + j);
                corners.push([at(k, out), at(k, out + 1), at(k - 1, inn)]);
                if j + 1 < k {
                    corners.push([at(k - 1, inn), at(k, out + 1), at(k - 1, inn + 1)]);
                }
            }
        }
    }
    Mesh { points, corners }
}

/// A triangle with equal sides, its base along x from the origin, inner points shaken.
pub(crate) fn equilateral(side: f64, steps: usize, seed: u64) -> Mesh {
    let mut draws = Draws(seed);
    let h = side / steps as f64;
    let mut points = Vec::new();
    for j in 0..=steps {
        for i in 0..=steps - j {
            let inner = j > 0 && i > 0 && i + j < steps;
            let mut shake = || {
                if inner {
                    0.2 * draws.between(-1.0, 1.0)
                } else {
                    0.0
                }
            };
            let (x, y) = (i as f64 + j as f64 / 2.0 + shake(), j as f64 + shake());
            points.push([x * h, y * h * 0.75_f64.sqrt(), 0.0]);
        }
    }
    let at = |i: usize, j: usize| (j * (steps + 1) - j * j.saturating_sub(1) / 2 + i) as u32;
    let mut corners = Vec::new();
    for j in 0..steps {
        for i in 0..steps - j {
            corners.push([at(i, j), at(i + 1, j), at(i, j + 1)]);
            if i + j + 1 < steps {
                corners.push([at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)]);
            }
        }
    }
    Mesh { points, corners }
}

#[test]
fn the_meshes_cover_what_they_say() {
    use super::close;
    let area = |m: &Mesh| m.surface().area();
    close(
        area(&rectangle(0.5, 0.3, 9, 7, 1)),
        0.15,
        1e-12,
        "rectangle",
    );
    let polygon = |r: f64, n: f64| n / 2.0 * (TAU / n).sin() * r * r;
    close(area(&disc(0.3, 12, 2)), polygon(0.3, 72.0), 1e-12, "disc");
    let ring_area = polygon(0.3, 60.0) - polygon(0.1, 60.0);
    close(
        area(&ring(0.1, 0.3, 9, 60, 1.0, 3)),
        ring_area,
        1e-12,
        "ring",
    );
    close(
        area(&ring(0.1, 0.3, 9, 15, 0.25, 4)),
        ring_area / 4.0,
        1e-12,
        "quarter",
    );
    close(
        area(&equilateral(0.4, 11, 5)),
        0.16 * 0.1875_f64.sqrt(),
        1e-12,
        "triangle",
    );
    for mesh in [
        disc(0.3, 12, 2),
        ring(0.1, 0.3, 9, 60, 1.0, 3),
        equilateral(0.4, 11, 5),
    ] {
        let turns = |c: &[u32; 3]| {
            let [a, b, c] = c.map(|i| mesh.points[i as usize]);
            (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
        };
        assert!(mesh.corners.iter().all(|c| turns(c) > 0.0));
    }
}
