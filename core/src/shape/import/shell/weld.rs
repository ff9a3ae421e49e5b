//! Makes a skin of loose triangles: welds corners, drops what has no area.

use super::{Triangle, refuse};
use crate::read::Problem;
use std::collections::{HashMap, HashSet};

/// Corners closer than this share of the size are one.
const WELD: f64 = 1e-6;

/// Triangles whose corners are one where they meet.
pub(super) struct Skin {
    /// Corners, from the lowest of the file [mm].
    pub(super) points: Vec<[f64; 3]>,
    pub(super) triangles: Vec<[u32; 3]>,
    /// [mm2]
    pub(super) areas: Vec<f64>,
    /// Triangles without an area.
    pub(super) flat: usize,
    /// Triangles that are there a second time.
    pub(super) doubled: usize,
    /// The widest seam that was closed [mm].
    pub(super) seam: f64,
}

/// A length to the ten thousandth of a mm, which no mould knows and a file keeps short.
pub(super) fn rounded(x: f64) -> f64 {
    (x * 1e4).round() / 1e4 + 0.0
}

pub(super) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn size(a: [f64; 3]) -> f64 {
    a[0].hypot(a[1]).hypot(a[2])
}

pub(super) fn area(a: [f64; 3], b: [f64; 3], c: [f64; 3]) -> f64 {
    let (u, v) = (minus(b, a), minus(c, a));
    0.5 * size([
        u[1] * v[2] - u[2] * v[1],
        u[2] * v[0] - u[0] * v[2],
        u[0] * v[1] - u[1] * v[0],
    ])
}

/// Corners that stand for all within a tolerance of them.
struct Corners {
    tolerance: f64,
    points: Vec<[f64; 3]>,
    /// Corners by their very numbers: most are written alike.
    same: HashMap<[u64; 3], u32>,
    /// Cells of twice the tolerance: as corners kept are farther apart than it, a cell holds a few at most.
    cells: HashMap<[i64; 3], Vec<u32>>,
}

impl Corners {
    fn of(&mut self, p: [f64; 3]) -> Option<u32> {
        let key = p.map(f64::to_bits);
        if let Some(&found) = self.same.get(&key) {
            return Some(found);
        }
        let found = match self.near(p) {
            Some(found) => found,
            None => {
                let next = u32::try_from(self.points.len()).ok()?;
                self.points.push(p);
                self.cells
                    .entry(p.map(|x| self.cell(x)))
                    .or_default()
                    .push(next);
                next
            }
        };
        self.same.insert(key, found);
        Some(found)
    }

    fn cell(&self, x: f64) -> i64 {
        (x / (2.0 * self.tolerance)).floor() as i64
    }

    fn near(&self, p: [f64; 3]) -> Option<u32> {
        let low = p.map(|x| self.cell(x - self.tolerance));
        let high = p.map(|x| self.cell(x + self.tolerance));
        for x in low[0]..=high[0] {
            for y in low[1]..=high[1] {
                for z in low[2]..=high[2] {
                    for &i in self.cells.get(&[x, y, z]).into_iter().flatten() {
                        let q = self.points.get(i as usize)?;
                        if size(minus(p, *q)) <= self.tolerance {
                            return Some(i);
                        }
                    }
                }
            }
        }
        None
    }
}

/// The skin of loose triangles in mm whose lowest corner is `low`.
pub(super) fn skin(loose: &[Triangle], low: [f64; 3]) -> Result<Skin, Problem> {
    let (_, high) = super::box_of(loose.iter().flatten());
    let tolerance = WELD * size(minus(high, low));
    let mut corners = Corners {
        tolerance,
        points: Vec::new(),
        same: HashMap::new(),
        cells: HashMap::new(),
    };
    let mut triangles: Vec<[u32; 3]> = Vec::new();
    for triangle in loose {
        let [a, b, c] = triangle.map(|p| corners.of(minus(p, low).map(rounded)));
        if let (Some(a), Some(b), Some(c)) = (a, b, c) {
            triangles.push([a, b, c]);
        }
    }
    let mut skin = Skin {
        points: corners.points,
        triangles,
        areas: Vec::new(),
        flat: 0,
        doubled: 0,
        seam: 0.0,
    };
    skin.sift(tolerance);
    if skin.triangles.is_empty() {
        return Err(refuse("No triangle of this file has an area."));
    }
    super::seam::close(&mut skin, size(minus(high, low)));
    skin.sift(tolerance);
    skin.wind();
    Ok(skin)
}

impl Skin {
    /// Takes out triangles without an area and those that are there twice, and measures the rest.
    pub(super) fn sift(&mut self, tolerance: f64) {
        let mut seen = HashSet::new();
        let mut kept = Vec::with_capacity(self.triangles.len());
        self.areas.clear();
        for &corners in &self.triangles {
            let [a, b, c] = corners.map(|i| self.at(i));
            let here = area(a, b, c);
            let longest = size(minus(b, a))
                .max(size(minus(c, b)))
                .max(size(minus(a, c)));
            // No higher than corners may be apart and still be one.
            if here <= 0.5 * tolerance * longest {
                self.flat += 1;
                continue;
            }
            let mut key = corners;
            key.sort_unstable();
            if seen.insert(key) {
                kept.push(corners);
                self.areas.push(here);
            } else {
                self.doubled += 1;
            }
        }
        self.triangles = kept;
    }

    /// Where a corner is.
    pub(super) fn at(&self, i: u32) -> [f64; 3] {
        self.points.get(i as usize).copied().unwrap_or_default()
    }

    /// Winds triangles the same way round as those they join, as far as two join.
    fn wind(&mut self) {
        let sides_of = self.sides();
        let mut seen = vec![false; self.triangles.len()];
        for start in 0..self.triangles.len() {
            let mut next = vec![start];
            while let Some(i) = next.pop() {
                if seen
                    .get_mut(i)
                    .is_none_or(|seen| std::mem::replace(seen, true))
                {
                    continue;
                }
                let Some(&[a, b, c]) = self.triangles.get(i) else {
                    continue;
                };
                for (from, to) in [(a, b), (b, c), (c, a)] {
                    let at = sides_of.get(&[from.min(to), from.max(to)]);
                    let Some(&[one, two]) = at.map(Vec::as_slice) else {
                        continue;
                    };
                    let other = if one as usize == i { two } else { one } as usize;
                    if seen.get(other) != Some(&false) {
                        continue;
                    }
                    if let Some([a, b, c]) = self.triangles.get_mut(other)
                        && [(*a, *b), (*b, *c), (*c, *a)].contains(&(from, to))
                    {
                        std::mem::swap(b, c);
                    }
                    next.push(other);
                }
            }
        }
    }

    /// The triangles at each side.
    pub(super) fn sides(&self) -> Sides {
        let mut at: Sides = HashMap::with_capacity(self.triangles.len() * 2);
        for (i, triangle) in self.triangles.iter().enumerate() {
            for side in sides(*triangle) {
                // At most 200 000, and what seams add.
                at.entry(side).or_default().push(i as u32);
            }
        }
        at
    }
}

/// The triangles at each side, by its two corners in order.
pub(super) type Sides = HashMap<[u32; 2], Vec<u32>>;

pub(super) fn sides(t: [u32; 3]) -> [[u32; 2]; 3] {
    [[t[0], t[1]], [t[1], t[2]], [t[2], t[0]]].map(|[a, b]| [a.min(b), a.max(b)])
}
