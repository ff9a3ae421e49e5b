//! When the front of a map comes to a place that a person saw.

use crate::solve::sort::sort_numbers;
use crate::solve::surface::Triangles;

/// A mark that is tapped further than this beside the part was not meant for it [m].
const BESIDE: f64 = 0.05;

/// How far each point is from the nearest point that feeds [m].
pub(super) fn distances(surface: &Triangles, feeds: &[u32]) -> Vec<f64> {
    let points = &surface.points;
    let near = |p: &[f64; 3]| {
        let all = feeds.iter().map(|&f| away(*p, points[f as usize]));
        all.fold(f64::INFINITY, f64::min)
    };
    points.iter().map(near).collect()
}

/// When the front, over the width of the part, is so far from the feed: the middle of what lies there.
pub(super) fn at_distance(far: &[f64], at: &[f64], mark: f64) -> Option<f64> {
    // The nearest points on either side, in a band that holds enough of them.
    for share in [0.03, 0.06, 0.12] {
        let band = |d: f64| (d / mark - 1.0).abs() <= share;
        let mut there: Vec<f64> = far
            .iter()
            .zip(at)
            .filter(|(d, t)| band(**d) && t.is_finite())
            // Time goes as the square of the way.
            .map(|(d, t)| t * (mark / d).powi(2))
            .collect();
        if there.len() >= 5 {
            sort_numbers(&mut there);
            return Some(there[there.len() / 2]);
        }
    }
    None
}

/// When the front comes to a point of the part, between the corners of its triangle.
pub(super) fn at_point(surface: &Triangles, at: &[f64], point: [f64; 3]) -> Option<f64> {
    let points = &surface.points;
    let all = (0..points.len()).filter(|&i| at[i].is_finite());
    let nearest = all.min_by(|&a, &b| away(points[a], point).total_cmp(&away(points[b], point)))?;
    if away(points[nearest], point) > BESIDE {
        return None;
    }
    let inside = surface.corners.iter().find_map(|corners| {
        if !corners.contains(&(nearest as u32)) {
            return None;
        }
        let [a, b, c] = corners.map(|i| points[i as usize]);
        let shares = shares(point, a, b, c)?;
        let roots = corners.map(|i| at[i as usize].sqrt());
        let root: f64 = shares.iter().zip(roots).map(|(s, r)| s * r).sum();
        root.is_finite().then_some(root * root)
    });
    inside.or(Some(at[nearest]))
}

/// Shares of three corners in the foot of a point on their plane; none outside.
fn shares(p: [f64; 3], a: [f64; 3], b: [f64; 3], c: [f64; 3]) -> Option<[f64; 3]> {
    let to = |q: [f64; 3]| [0, 1, 2].map(|n| q[n] - a[n]);
    let dot = |u: [f64; 3], v: [f64; 3]| u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
    let (u, v, w) = (to(b), to(c), to(p));
    let (uu, uv, vv, wu, wv) = (dot(u, u), dot(u, v), dot(v, v), dot(w, u), dot(w, v));
    let whole = uu * vv - uv * uv;
    if whole <= 0.0 {
        return None;
    }
    let (s, t) = ((vv * wu - uv * wv) / whole, (uu * wv - uv * wu) / whole);
    let shares = [1.0 - s - t, s, t];
    shares.iter().all(|s| *s >= -1e-6).then_some(shares)
}

fn away(a: [f64; 3], b: [f64; 3]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1]).hypot(a[2] - b[2])
}
