//! Lines laid onto a skin: their corners, and the way between them.

use super::path::Shortest;
use super::{Foot, Skin, between, far, share_along};

/// A corner of a line nearer to the straight way past it than this share of a side is left out.
const STRAIGHT: f64 = 0.01;
/// How far beside the skin a line in space still lies on it, in sides of a triangle.
const BESIDE: f64 = 1.5;
/// Most pieces that a stretch is looked at in, and all stretches of a line together.
const PIECES: f64 = 200.0;
const ALL_PIECES: f64 = 2_000.0;

/// The corners of a line that it needs.
fn needed(line: &[[f64; 3]], within: f64) -> Vec<[f64; 3]> {
    let mut keep = vec![false; line.len()];
    let mut parts = vec![(0, line.len().saturating_sub(1))];
    while let Some((from, to)) = parts.pop() {
        let Some((a, b)) = line.get(from).zip(line.get(to)) else {
            continue;
        };
        (keep[from], keep[to]) = (true, true);
        let off = |k: usize| {
            let p = line[k];
            far(p, between(*a, *b, share_along(p, *a, *b)))
        };
        let furthest = (from + 1..to).max_by(|&i, &j| off(i).total_cmp(&off(j)));
        if let Some(k) = furthest
            && off(k) > within
        {
            parts.extend([(from, k), (k, to)]);
        }
    }
    let kept = line.iter().zip(keep).filter(|(_, keep)| *keep);
    let mut kept: Vec<[f64; 3]> = kept.map(|(p, _)| *p).collect();
    kept.dedup_by(|p, q| far(*p, *q) < within);
    kept
}

impl Skin {
    /// The place on a face that is over or under another.
    pub(super) fn over_face(&self, face: u32, at: [f64; 2]) -> Option<Foot> {
        let [a, b, c] = self.triangle(face);
        let turn = |p: [f64; 3], q: [f64; 3]| {
            (q[0] - p[0]) * (at[1] - p[1]) - (q[1] - p[1]) * (at[0] - p[0])
        };
        let (of_a, of_b, of_c) = (turn(b, c), turn(c, a), turn(a, b));
        let whole = of_a + of_b + of_c;
        let least = -1e-9 * whole.abs();
        let sign = if whole < 0.0 { -1.0 } else { 1.0 };
        let inside = whole != 0.0 && [of_a, of_b, of_c].iter().all(|x| x * sign >= least);
        inside.then(|| Foot {
            face,
            at: [
                at[0],
                at[1],
                (a[2] * of_a + b[2] * of_b + c[2] * of_c) / whole,
            ],
            away: 0.0,
        })
    }

    /// Points on every face over or under a place; none once the skin is full.
    fn upright(&mut self, at: [f64; 2]) -> Vec<u32> {
        if self.is_full() {
            return Vec::new();
        }
        let feet = (0..self.corners.len() as u32).filter_map(|face| self.over_face(face, at));
        let feet: Vec<Foot> = feet.collect();
        let mut found = Vec::new();
        for foot in feet {
            // A face that was cut since is one of its pieces now; the nearest place to the foot is as good.
            found.push(self.point_at(&foot));
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    /// Cuts along the walls of a closed line as seen from above, through whatever lies over or under it.
    pub(crate) fn fence(&mut self, line: &[[f64; 2]]) {
        let corners: Vec<Vec<u32>> = line.iter().map(|&p| self.upright(p)).collect();
        for (n, &a) in line.iter().enumerate() {
            if self.is_full() {
                break;
            }
            let m = (n + 1) % line.len();
            let ends = [corners[n].as_slice(), corners[m].as_slice()].concat();
            self.wall(a, line[m], &ends, None);
        }
    }

    /// Lays a line onto a flat skin, where it is one; marks its sides and gives points of it that may have none.
    pub(crate) fn line_on_flat(&mut self, line: &[[f64; 3]], side: f64, number: u16) -> Vec<u32> {
        let line: Vec<[f64; 2]> = needed(line, STRAIGHT * side)
            .iter()
            .map(|p| [p[0], p[1]])
            .collect();
        let corners: Vec<Vec<u32>> = line.iter().map(|&p| self.upright(p)).collect();
        let mut found = Vec::new();
        for (n, pair) in line.windows(2).enumerate() {
            if self.is_full() {
                break;
            }
            let ends = [corners[n].as_slice(), corners[n + 1].as_slice()].concat();
            found.extend(self.wall(pair[0], pair[1], &ends, Some(number)));
        }
        found
    }

    /// Lays a line onto a skin, over it from corner to corner; marks its sides and gives points of it that may have none.
    pub(crate) fn line_over(
        &mut self,
        line: &[[f64; 3]],
        side: f64,
        number: u16,
        shortest: Shortest<'_>,
    ) -> Vec<u32> {
        let line = needed(line, STRAIGHT * side);
        let reach = BESIDE * side;
        let on = |skin: &mut Self, p: [f64; 3]| {
            if skin.is_full() {
                return None;
            }
            let foot = skin.foot_within(p, reach)?;
            Some(skin.point_at(&foot))
        };
        let mut corners: Vec<Option<u32>> = line.iter().map(|&p| on(self, p)).collect();
        if corners.contains(&None) && !self.is_full() {
            // Where the line comes near to the skin only here and there, look along it.
            corners.clear();
            let whole: f64 = line.windows(2).map(|pair| far(pair[0], pair[1])).sum();
            let step = (0.5 * side).max(whole / ALL_PIECES);
            for pair in line.windows(2) {
                let pieces = (far(pair[0], pair[1]) / step).ceil().clamp(1.0, PIECES);
                for k in 0..=pieces as usize {
                    corners.push(on(self, between(pair[0], pair[1], k as f64 / pieces)));
                }
            }
        }
        let mut found: Vec<u32> = corners.iter().flatten().copied().collect();
        for pair in corners.windows(2) {
            if self.is_full() {
                break;
            }
            let (Some(a), Some(b)) = (pair[0], pair[1]) else {
                continue;
            };
            let way = self.over(a, b, shortest);
            for ends in way.windows(2) {
                if self.joining(ends[0], ends[1]).is_some() {
                    self.mark(ends[0], ends[1], number);
                }
            }
            found.extend(way);
        }
        found
    }
}
