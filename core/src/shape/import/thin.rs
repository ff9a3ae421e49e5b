//! Takes points out of a closed loop as long as the rest stays close to it.
//!
//! Ramer 1972, Computer Graphics and Image Processing 1, 244; Douglas and Peucker 1973, Cartographica 10, 112
//! (both from memory): the point farthest from the straight line between two kept ones is kept if it is farther than
//! the tolerance. Work is capped, for a drawing can be made such that it takes the square of the number of points.

use kurbo::Point;

/// What remains of a loop within `tolerance`; none where the work ran out.
pub(super) fn thinned(points: &[Point], tolerance: f64, work: &mut usize) -> Option<Vec<Point>> {
    let count = points.len();
    if count < 4 {
        return Some(points.to_vec());
    }
    let first = farthest_from(points, *points.first()?);
    let second = farthest_from(points, *points.get(first)?);
    let mut kept = vec![false; count];
    *kept.get_mut(first)? = true;
    *kept.get_mut(second)? = true;
    let (low, high) = (first.min(second), first.max(second));
    // Spans by index from the first kept point; the second of them runs over the end of the list.
    let mut spans = vec![(low, high), (high, low + count)];
    while let Some((from, to)) = spans.pop() {
        *work = work.checked_sub(to - from)?;
        let (a, b) = (*points.get(from % count)?, *points.get(to % count)?);
        let mut worst = (0.0, from);
        for i in from + 1..to {
            let off = distance_squared(*points.get(i % count)?, a, b);
            if off > worst.0 {
                worst = (off, i);
            }
        }
        if worst.0 > tolerance * tolerance {
            *kept.get_mut(worst.1 % count)? = true;
            spans.push((from, worst.1));
            spans.push((worst.1, to));
        }
    }
    Some(
        points
            .iter()
            .zip(&kept)
            .filter_map(|(p, kept)| kept.then_some(*p))
            .collect(),
    )
}

fn farthest_from(points: &[Point], from: Point) -> usize {
    let mut worst = (-1.0, 0);
    for (i, p) in points.iter().enumerate() {
        let off = from.distance_squared(*p);
        if off > worst.0 {
            worst = (off, i);
        }
    }
    worst.1
}

/// Square of the distance of a point from the piece between two others.
fn distance_squared(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let length = along.hypot2();
    if length == 0.0 {
        return p.distance_squared(a);
    }
    let t = ((p - a).dot(along) / length).clamp(0.0, 1.0);
    p.distance_squared(a + along * t)
}

/// A length to the thousandth of a mm.
pub(super) fn rounded(x: f64) -> f64 {
    (x * 1e3).round() / 1e3 + 0.0
}

/// Rounds to a thousandth of a mm and takes out points that lie straight between their neighbours or on a spike.
pub(super) fn cleaned(points: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = points
        .iter()
        .map(|p| Point::new(rounded(p.x), rounded(p.y)))
        .collect();
    // Each turn takes a point out or is the last.
    loop {
        let count = kept.len();
        if count < 3 {
            return kept;
        }
        let mut out: Vec<Point> = Vec::with_capacity(count);
        for i in 0..count {
            let before = out.last().or(kept.last()).copied().unwrap_or_default();
            let here = kept.get(i).copied().unwrap_or_default();
            let after = kept.get((i + 1) % count).copied().unwrap_or_default();
            let (to, from) = (here - before, after - here);
            // A point that is off by less than half the rounding is straight.
            if to.cross(from).abs() > 5e-4 * to.hypot().max(from.hypot()) {
                out.push(here);
            }
        }
        if out.len() == count {
            return kept;
        }
        kept = out;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(side: f64, per_side: usize) -> Vec<Point> {
        let corners = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)];
        (0..4)
            .flat_map(|i| {
                let (a, b) = (corners[i], corners[(i + 1) % 4]);
                (0..per_side).map(move |j| {
                    let t = j as f64 / per_side as f64;
                    Point::new(a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t)
                })
            })
            .collect()
    }

    #[test]
    fn a_square_keeps_its_corners_alone() {
        let mut work = 1_000_000;
        let thin = thinned(&square(100.0, 50), 0.1, &mut work).unwrap();
        assert_eq!(thin.len(), 4, "{thin:?}");
        assert!(work < 1_000_000);
    }

    #[test]
    fn nothing_strays_farther_than_the_tolerance() {
        let ring: Vec<Point> = (0..2000)
            .map(|i| {
                let angle = i as f64 * std::f64::consts::TAU / 2000.0;
                Point::new(
                    300.0 * angle.cos(),
                    200.0 * angle.sin() + 5.0 * (9.0 * angle).sin(),
                )
            })
            .collect();
        let thin = thinned(&ring, 0.3, &mut 10_000_000).unwrap();
        assert!(thin.len() < 200, "{}", thin.len());
        for p in &ring {
            let off = (0..thin.len())
                .map(|i| distance_squared(*p, thin[i], thin[(i + 1) % thin.len()]))
                .fold(f64::INFINITY, f64::min);
            assert!(off.sqrt() <= 0.3 + 1e-9, "{p:?} {}", off.sqrt());
        }
    }

    #[test]
    fn work_runs_out_rather_than_time() {
        assert_eq!(thinned(&square(100.0, 500), 0.0, &mut 100), None);
    }

    #[test]
    fn straight_points_spikes_and_doubles_go() {
        let points = [
            (0.0, 0.0),
            (5.0, 0.0),
            (10.0, 0.0),
            (10.0, 0.0),
            (10.0, 10.0),
            (10.0, 15.0),
            (10.0, 10.0),
            (0.0, 10.0),
        ]
        .map(|(x, y)| Point::new(x, y));
        let clean = cleaned(&points);
        assert_eq!(clean.len(), 4, "{clean:?}");
    }
}
