//! Closes seams between patches of a skin whose corners do not meet.
//!
//! First corners of the rim that lie next to each other become one, near ones before those farther off. Then a side of
//! the rim on which the corner of another patch lies is cut there, so that the two share their sides.

use super::weld::{Skin, minus, size};
use crate::solve::sort::sort_by;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Corners of the rim this near, as shares of the size, are one.
const NEAR: [f64; 3] = [1e-5, 1e-4, 5e-4];
/// Rounds of cutting sides: each may lay new corners on the sides of the other patch.
const ROUNDS: usize = 4;
/// Most corners that are held against sides and each other, cells counted.
const MOST_WORK: usize = 20_000_000;

/// Corners of the rim by the cells of a grid.
struct Grid {
    side: f64,
    held: HashMap<[i64; 3], Vec<u32>>,
}

impl Grid {
    fn new(skin: &Skin, rim: &BTreeSet<u32>, side: f64) -> Self {
        let mut grid = Self {
            side,
            held: HashMap::new(),
        };
        for &i in rim {
            let cell = skin.at(i).map(|x| grid.cell(x));
            grid.held.entry(cell).or_default().push(i);
        }
        grid
    }

    fn cell(&self, x: f64) -> i64 {
        (x / self.side).floor() as i64
    }

    /// Corners in the cells about a box; work is counted off.
    fn about(&self, low: [f64; 3], high: [f64; 3], work: &mut usize) -> Vec<u32> {
        let (low, high) = (low.map(|x| self.cell(x)), high.map(|x| self.cell(x)));
        let mut found = Vec::new();
        for x in low[0]..=high[0] {
            for y in low[1]..=high[1] {
                for z in low[2]..=high[2] {
                    let held = self.held.get(&[x, y, z]).map_or(&[][..], Vec::as_slice);
                    *work = work.saturating_sub(1 + held.len());
                    if *work == 0 {
                        return found;
                    }
                    found.extend(held);
                }
            }
        }
        found
    }
}

/// Sides that one triangle alone has, in order, with it.
fn rim_of(skin: &Skin) -> BTreeMap<[u32; 2], u32> {
    skin.sides()
        .into_iter()
        .filter_map(|(side, at)| match at.as_slice() {
            &[only] => Some((side, only)),
            _ => None,
        })
        .collect()
}

/// Closes what can be closed; `long` is the diagonal of the box about it.
pub(super) fn close(skin: &mut Skin, long: f64) {
    let mut work = MOST_WORK;
    for share in NEAR {
        weld(skin, share * long, &mut work);
    }
    let near = NEAR.iter().copied().fold(0.0, f64::max) * long;
    for _ in 0..ROUNDS {
        if !cut(skin, near, &mut work) {
            break;
        }
    }
}

/// Makes one of corners of the rim that lie within a distance of each other.
fn weld(skin: &mut Skin, near: f64, work: &mut usize) {
    let rim: BTreeSet<u32> = rim_of(skin).into_keys().flatten().collect();
    let grid = Grid::new(skin, &rim, 2.0 * near);
    let mut joined: HashMap<u32, u32> = HashMap::new();
    for &i in &rim {
        let p = skin.at(i);
        if joined.contains_key(&i) {
            continue;
        }
        for j in grid.about(p.map(|x| x - near), p.map(|x| x + near), work) {
            let off = size(minus(skin.at(j), p));
            if j > i && off <= near && !joined.contains_key(&j) {
                joined.insert(j, i);
                skin.seam = skin.seam.max(off);
            }
        }
    }
    if joined.is_empty() {
        return;
    }
    for corner in skin.triangles.iter_mut().flatten() {
        if let Some(&to) = joined.get(corner) {
            *corner = to;
        }
    }
    let before = skin.flat;
    skin.sift(0.0);
    // Slivers that a seam swallows are no slip of the file.
    skin.flat = before;
}

/// Cuts sides of the rim where corners of the rim lie on them; whether any was.
fn cut(skin: &mut Skin, near: f64, work: &mut usize) -> bool {
    let rim = rim_of(skin);
    let corners: BTreeSet<u32> = rim.keys().flatten().copied().collect();
    let longest = rim
        .keys()
        .map(|&[a, b]| size(minus(skin.at(a), skin.at(b))))
        .fold(0.0, f64::max);
    // Cells as long as a usual side: a few for each.
    let mean = rim
        .keys()
        .map(|&[a, b]| size(minus(skin.at(a), skin.at(b))))
        .sum::<f64>()
        / rim.len().max(1) as f64;
    let grid = Grid::new(skin, &corners, mean.max(longest / 50.0).max(2.0 * near));
    let mut done: BTreeSet<u32> = BTreeSet::new();
    let mut more: Vec<[u32; 3]> = Vec::new();
    let mut gone: BTreeSet<u32> = BTreeSet::new();
    for (&[a, b], &triangle) in &rim {
        // One side of a triangle in each round: its others move with the cut.
        if done.contains(&triangle) {
            continue;
        }
        let Some(&whole) = skin.triangles.get(triangle as usize) else {
            continue;
        };
        let (pa, pb) = (skin.at(a), skin.at(b));
        let low = [0, 1, 2].map(|k| pa[k].min(pb[k]) - near);
        let high = [0, 1, 2].map(|k| pa[k].max(pb[k]) + near);
        let along = minus(pb, pa);
        let long = size(along);
        let mut on: Vec<(f64, u32, f64)> = grid
            .about(low, high, work)
            .into_iter()
            .filter(|i| !whole.contains(i))
            .filter_map(|i| {
                let to = minus(skin.at(i), pa);
                let t = (0..3).map(|k| to[k] * along[k]).sum::<f64>() / (long * long);
                let off = size([0, 1, 2].map(|k| to[k] - along[k] * t));
                let inside = t * long > near && (1.0 - t) * long > near;
                (inside && off <= near).then_some((t, i, off))
            })
            .collect();
        if on.is_empty() {
            continue;
        }
        sort_by(&mut on, |p, q| p.0.total_cmp(&q.0));
        done.insert(triangle);
        gone.insert(triangle);
        skin.seam = on
            .iter()
            .fold(skin.seam, |wide, (_, _, off)| wide.max(*off));
        // From a to b in the way the triangle runs, the third corner kept.
        let Some(place) = whole.iter().position(|&i| i != a && i != b) else {
            continue;
        };
        let [tip, from, to] = [0, 1, 2].map(|k| whole[(place + k) % 3]);
        let mut chain: Vec<u32> = on.iter().map(|(_, i, _)| *i).collect();
        if from != a {
            chain.reverse();
        }
        chain.insert(0, from);
        chain.push(to);
        for pair in chain.windows(2) {
            if let &[one, other] = pair {
                more.push([tip, one, other]);
            }
        }
    }
    if gone.is_empty() {
        return false;
    }
    let mut number = 0_u32;
    skin.triangles.retain(|_| {
        number += 1;
        !gone.contains(&(number - 1))
    });
    skin.triangles.extend(more);
    let before = skin.flat;
    skin.sift(0.0);
    skin.flat = before;
    true
}
