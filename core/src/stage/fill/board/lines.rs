//! Lines where a quantity on the triangles has one value, and the edges of the part, joined end to end.

use crate::solve::surface::Triangles;
use std::collections::BTreeMap;

/// How often values are evened out.
const PASSES: usize = 3;

/// A line in space, x, y and z one after another [mm].
pub(super) type Stroke = Vec<f64>;

/// Joins pieces that share ends; an end is known by its key.
fn joined<K: Ord + Copy>(pieces: &[(K, K)], place: impl Fn(K) -> [f64; 3]) -> Vec<Stroke> {
    let mut at: BTreeMap<K, Vec<usize>> = BTreeMap::new();
    for (n, (a, b)) in pieces.iter().enumerate() {
        at.entry(*a).or_default().push(n);
        at.entry(*b).or_default().push(n);
    }
    let mut used = vec![false; pieces.len()];
    let mut strokes = Vec::new();
    // Open lines from their ends first, then what closes on itself.
    let ends = at
        .iter()
        .filter(|(_, list)| list.len() == 1)
        .map(|(k, _)| *k);
    let starts: Vec<K> = ends.chain(at.keys().copied()).collect();
    for start in starts {
        let free = |key: &K, used: &[bool]| at[key].iter().copied().find(|&n| !used[n]);
        let Some(mut next) = free(&start, &used) else {
            continue;
        };
        let mut key = start;
        let mut stroke: Stroke = place(key).map(|x| x * 1000.0).to_vec();
        loop {
            used[next] = true;
            let (a, b) = pieces[next];
            key = if a == key { b } else { a };
            stroke.extend(place(key).map(|x| x * 1000.0));
            match free(&key, &used) {
                Some(more) => next = more,
                None => break,
            }
        }
        strokes.push(stroke);
    }
    strokes
}

/// Values, one a point, with steps of the size of a triangle taken out of them: for pictures only.
///
/// Peaks, hollows and what has no value stay as they are.
pub(super) fn evened(surface: &Triangles, values: &[f64]) -> Vec<f64> {
    let mut near: Vec<Vec<u32>> = vec![Vec::new(); values.len()];
    for corners in &surface.corners {
        for k in 0..3 {
            near[corners[k] as usize].extend([corners[(k + 1) % 3], corners[(k + 2) % 3]]);
        }
    }
    let mut values = values.to_vec();
    for _ in 0..PASSES {
        let before = values.clone();
        for (i, near) in near.iter().enumerate() {
            let around = near
                .iter()
                .map(|&j| before[j as usize])
                .filter(|v| v.is_finite());
            let (mut low, mut high, mut sum, mut count) =
                (f64::INFINITY, f64::NEG_INFINITY, 0.0, 0);
            for v in around {
                (low, high, sum, count) = (low.min(v), high.max(v), sum + v, count + 1);
            }
            if before[i] > low && before[i] < high {
                values[i] = f64::midpoint(before[i], sum / f64::from(count));
            }
        }
    }
    values
}

/// Where `values`, one a point, come to `level`.
pub(super) fn level_lines(surface: &Triangles, values: &[f64], level: f64) -> Vec<Stroke> {
    let mut pieces = Vec::new();
    for corners in &surface.corners {
        let v = corners.map(|i| values[i as usize]);
        if v.iter().any(|v| v.is_nan()) {
            continue;
        }
        let mut cuts = Vec::new();
        for k in 0..3 {
            let (a, b) = (corners[k], corners[(k + 1) % 3]);
            if (v[k] < level) != (v[(k + 1) % 3] < level) {
                cuts.push((a.min(b), a.max(b)));
            }
        }
        if let [a, b] = cuts[..] {
            pieces.push((a, b));
        }
    }
    joined(&pieces, |(a, b)| {
        let (va, vb) = (values[a as usize], values[b as usize]);
        let t = ((level - va) / (vb - va)).clamp(0.0, 1.0);
        let (p, q) = (surface.points[a as usize], surface.points[b as usize]);
        [0, 1, 2].map(|k| p[k] + (q[k] - p[k]) * t)
    })
}

/// The edges of the part.
pub(super) fn edges(surface: &Triangles, rim: &[[u32; 2]]) -> Vec<Stroke> {
    let pieces: Vec<(u32, u32)> = rim.iter().map(|[a, b]| (*a, *b)).collect();
    joined(&pieces, |i| surface.points[i as usize])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_runs_across_and_the_edge_closes() {
        let points = vec![
            [0.0, 0.0, 0.0],
            [1.0, 0.0, 0.0],
            [1.0, 1.0, 0.0],
            [0.0, 1.0, 0.0],
        ];
        let square = Triangles::new(points, vec![[0, 1, 2], [0, 2, 3]]).unwrap();
        let lines = level_lines(&square, &[0.0, 1.0, 1.0, 0.0], 0.25);
        assert_eq!(lines.len(), 1);
        assert_eq!(lines[0].len(), 9);
        assert!(lines[0].chunks(3).all(|p| (p[0] - 250.0).abs() < 1e-9));
        // A slope stays, a step in it goes, its ends stay.
        let steps = evened(&square, &[0.0, 1.0, 1.0, 0.0]);
        assert_eq!(steps, [0.0, 1.0, 1.0, 0.0]);
        let edges = edges(&square, &[[0, 1], [1, 2], [2, 3], [3, 0]]);
        assert_eq!((edges.len(), edges[0].len()), (1, 15));
        assert_eq!(edges[0][..3], edges[0][12..]);
    }
}
