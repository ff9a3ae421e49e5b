//! Makes one skin of loose triangles: welds corners, drops what has no area, keeps the largest piece.

use super::super::{counted, refuse};
use super::Triangle;
use crate::read::Problem;
use crate::units::plain;
use std::collections::{HashMap, HashSet};

/// Corners closer than this share of the size are one.
const WELD: f64 = 1e-6;

/// A skin of triangles that hang together.
pub(super) struct Skin {
    /// Corners [mm].
    pub(super) points: Vec<[f64; 3]>,
    pub(super) triangles: Vec<[u32; 3]>,
    /// Of the triangles kept [mm2].
    pub(super) area: f64,
    /// Triangles without an area.
    pub(super) flat: usize,
    /// Triangles that are there a second time.
    pub(super) doubled: usize,
    /// Pieces that are not joined to the largest, and their area [mm2].
    pub(super) others: usize,
    pub(super) others_area: f64,
}

/// A length to the ten thousandth of a mm, which no mould knows and a file keeps short.
pub(super) fn rounded(x: f64) -> f64 {
    (x * 1e4).round() / 1e4 + 0.0
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn size(a: [f64; 3]) -> f64 {
    a[0].hypot(a[1]).hypot(a[2])
}

fn area(a: [f64; 3], b: [f64; 3], c: [f64; 3]) -> f64 {
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

/// One skin of loose triangles in mm whose lowest corner is `low`.
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
    let mut areas: Vec<f64> = Vec::new();
    let mut seen = HashSet::new();
    let (mut flat, mut doubled) = (0, 0);
    for triangle in loose {
        let [a, b, c] = triangle.map(|p| corners.of(minus(p, low).map(rounded)));
        let (Some(a), Some(b), Some(c)) = (a, b, c) else {
            continue;
        };
        let at = |i: u32| corners.points.get(i as usize).copied().unwrap_or_default();
        let [pa, pb, pc] = [a, b, c].map(at);
        let here = area(pa, pb, pc);
        let longest = size(minus(pb, pa))
            .max(size(minus(pc, pb)))
            .max(size(minus(pa, pc)));
        // No higher than corners may be apart and still be one.
        if here <= 0.5 * tolerance * longest {
            flat += 1;
            continue;
        }
        let mut key = [a, b, c];
        key.sort_unstable();
        if seen.insert(key) {
            triangles.push([a, b, c]);
            areas.push(here);
        } else {
            doubled += 1;
        }
    }
    if triangles.is_empty() {
        return Err(refuse("No triangle of this STL has an area."));
    }
    let edges = edges(&triangles, &corners.points)?;
    let (kept, others, others_area) = largest(&triangles, &areas, &edges);
    closed(&triangles, &kept, &edges)?;
    let whole: f64 = areas.iter().sum();
    if others_area > 0.5 * whole {
        return Err(in_pieces(others + 1, 1.0 - others_area / whole));
    }
    let mut skin = Skin {
        points: Vec::new(),
        triangles: Vec::new(),
        area: 0.0,
        flat,
        doubled,
        others,
        others_area,
    };
    let mut renamed: HashMap<u32, u32> = HashMap::new();
    for ((corner, area), kept) in triangles.iter().zip(&areas).zip(&kept) {
        if *kept {
            skin.area += area;
            skin.triangles.push(corner.map(|old| {
                *renamed.entry(old).or_insert_with(|| {
                    skin.points.push(
                        corners
                            .points
                            .get(old as usize)
                            .copied()
                            .unwrap_or_default(),
                    );
                    // As many as there were, and those were counted in this type.
                    (skin.points.len() - 1) as u32
                })
            }));
        }
    }
    Ok(skin)
}

/// The one or two triangles at each edge.
type Edges = HashMap<[u32; 2], (u32, Option<u32>)>;

fn sides(t: [u32; 3]) -> [[u32; 2]; 3] {
    [[t[0], t[1]], [t[1], t[2]], [t[2], t[0]]].map(|[a, b]| [a.min(b), a.max(b)])
}

fn edges(triangles: &[[u32; 3]], points: &[[f64; 3]]) -> Result<Edges, Problem> {
    let mut edges: Edges = HashMap::with_capacity(triangles.len() * 2);
    let mut crowded: HashSet<[u32; 2]> = HashSet::new();
    let mut first = None;
    for (i, triangle) in triangles.iter().enumerate() {
        let i = i as u32; // At most 200 000.
        for side in sides(*triangle) {
            let entry = edges.entry(side).or_insert((i, None));
            if entry.0 == i {
                continue;
            }
            if entry.1.is_some() {
                crowded.insert(side);
                first.get_or_insert(side);
            }
            entry.1 = Some(i);
        }
    }
    let Some([a, _]) = first else {
        return Ok(edges);
    };
    let at = points.get(a as usize).copied().unwrap_or_default();
    Err(refuse(format!(
        "More than two triangles meet at {} of this STL, one of them {} mm, {} mm, {} mm from its lowest corner. A skin has two at most: take ribs and inner faces out and save it again.",
        counted(crowded.len(), "edge", "edges"),
        plain(at[0]),
        plain(at[1]),
        plain(at[2])
    )))
}

/// Which triangles belong to the piece with the largest area; how many other pieces there are, and their area.
fn largest(triangles: &[[u32; 3]], areas: &[f64], edges: &Edges) -> (Vec<bool>, usize, f64) {
    let mut piece = vec![usize::MAX; triangles.len()];
    let mut sums: Vec<f64> = Vec::new();
    for start in 0..triangles.len() {
        if piece.get(start) != Some(&usize::MAX) {
            continue;
        }
        let number = sums.len();
        let mut sum = 0.0;
        let mut next = vec![start];
        while let Some(i) = next.pop() {
            let (Some(mark), Some(triangle)) = (piece.get_mut(i), triangles.get(i)) else {
                continue;
            };
            if *mark != usize::MAX {
                continue;
            }
            *mark = number;
            sum += areas.get(i).copied().unwrap_or(0.0);
            for side in sides(*triangle) {
                if let Some(&(a, b)) = edges.get(&side) {
                    next.push(a as usize);
                    next.extend(b.map(|b| b as usize));
                }
            }
        }
        sums.push(sum);
    }
    let best = sums
        .iter()
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(b.1))
        .map_or(0, |(number, _)| number);
    let others_area = sums
        .iter()
        .enumerate()
        .filter(|(i, _)| *i != best)
        .map(|(_, sum)| sum)
        .sum();
    (
        piece.iter().map(|&number| number == best).collect(),
        sums.len() - 1,
        others_area,
    )
}

/// The problem of a skin that falls apart, the largest piece less than half of it.
fn in_pieces(count: usize, share: f64) -> Problem {
    refuse(format!(
        "The triangles of this STL hang together in {} only, and the largest has {} % of the area: there are gaps between them. Close the gaps, or merge the points that lie on one another, in the program that drew it, and save it again; of several parts save one alone.",
        counted(count, "piece", "pieces"),
        plain(share * 100.0)
    ))
}

/// A problem where the piece that is kept has no edge of its own.
fn closed(triangles: &[[u32; 3]], kept: &[bool], edges: &Edges) -> Result<(), Problem> {
    let has_rim = triangles
        .iter()
        .zip(kept)
        .filter(|(_, kept)| **kept)
        .any(|(triangle, _)| {
            sides(*triangle)
                .iter()
                .any(|side| edges.get(side).is_some_and(|(_, other)| other.is_none()))
        });
    if has_rim {
        return Ok(());
    }
    Err(refuse(
        "This STL is a closed solid: it has no rim. Save the moulded face alone, as an open skin of triangles.",
    ))
}
