//! Where feeds end: a line that stops, or a patch that has a corner, on a surface that goes on around it.
//!
//! The potential falls there as a power of the distance that straight triangles do not follow, so the end would feed as
//! if it reached a third of an edge further. The end point is let go and joined to the feed behind it just so well that
//! it feeds as far as it reaches: a half-line of feeds on networks of many shapes gives how well.

use super::{Field, Held, NONE};
use crate::solve::surface::Face;

/// One over how well an end is joined to the feed, against what leaves it, for a line on an even network: fitted to
/// within a tenth on square and triangular networks, and for cells up to eight times as long one way as the other.
const LOOSE: f64 = 0.56;
/// The least angle beyond the feed, over half a turn, that counts as an end.
const BEYOND: f64 = 1.1;
/// How far along a line and across it may differ, squared, before it is told as this.
const THIN: f64 = 100.0;

/// What is known of a feed point from the faces around it.
#[derive(Clone, Copy, Default)]
struct Around {
    /// Angles of all faces, and of those with feeds at all corners, over half a turn.
    angle: f64,
    inner: f64,
    /// Faces with feeds at all corners.
    faces: u32,
    /// Sides to other feeds, each counted by each of its faces.
    sides: u32,
    is_rim: bool,
}

impl Around {
    /// Angle over half a turn between the two sides where the feed stops; what the rim mirrors counts twice.
    fn beyond(&self) -> Option<f64> {
        let left = self.angle - self.inner;
        match (self.is_rim, self.sides.checked_sub(2 * self.faces)) {
            (false, Some(2)) => Some(left),
            (true, Some(1)) => Some(2.0 * left),
            _ => None,
        }
        .filter(|&beyond| beyond > BEYOND && beyond < 2.1)
    }
}

impl Field {
    /// Lets the ends of feeds go, each joined to the feed behind it; what was let go before is as it was.
    pub(super) fn loosen(&mut self, held: &mut Held) {
        for (at, value) in self.firm.drain(..).rev() {
            self.matrix.value[at as usize] = value;
        }
        let mut around = vec![Around::default(); self.point.len()];
        let is_feed = |p: u32| p != NONE && held.feed[p as usize];
        for Face { corners, angles } in &self.faces {
            let places = corners.map(|i| self.place[i as usize]);
            let feeds = places.map(is_feed);
            if feeds == [false; 3] {
                continue;
            }
            for k in (0..3).filter(|&k| feeds[k]) {
                let own = &mut around[places[k] as usize];
                let others = feeds.iter().filter(|&&f| f).count() as u32 - 1;
                own.angle += f64::from(angles[k]);
                own.sides += others;
                own.is_rim |= self.rim[corners[k] as usize];
                if others == 2 {
                    own.inner += f64::from(angles[k]);
                    own.faces += 1;
                }
            }
        }
        let ends: Vec<(u32, f64)> = (0_u32..)
            .zip(&around)
            .filter_map(|(i, around)| Some((i, around.beyond()?)))
            .collect();
        let mut is_end = vec![false; self.point.len()];
        ends.iter().for_each(|&(i, _)| is_end[i as usize] = true);
        for (end, beyond) in ends {
            let i = end as usize;
            let is_line = around[i].faces == 0;
            if let Some((behind, more)) = self.behind_end(held, &is_end, i, beyond, is_line) {
                self.join_more(i, behind, more);
                held.ends.push(end);
            }
        }
        for &end in &held.ends {
            held.feed[end as usize] = false;
        }
        self.room.set_own(!self.firm.is_empty());
    }

    /// The feed behind an end, and how much better the end has to be joined to it.
    fn behind_end(
        &self,
        held: &Held,
        is_end: &[bool],
        end: usize,
        beyond: f64,
        is_line: bool,
    ) -> Option<(usize, f64)> {
        let (columns, values) = self.matrix.row(end);
        let (mut out, mut fed) = (0.0, 0.0);
        let mut best: Option<(usize, f64)> = None;
        for (&j, &a) in columns.iter().zip(values) {
            let j = j as usize;
            if j == end {
                continue;
            }
            if !held.feed[j] {
                out -= a;
                continue;
            }
            fed -= a;
            if !is_end[j] && -a > best.map_or(0.0, |(_, most)| most) {
                best = Some((j, -a));
            }
        }
        let (behind, along) = best?;
        // How much longer the cells are along the line than across it, squared.
        let thin = if is_line {
            ((out + fed - 2.0 * along) / (2.0 * along)).clamp(1.0 / THIN, THIN)
        } else {
            1.0
        };
        let loose = LOOSE * (beyond - 1.0).min(1.0) * (thin + 1.0) / (2.0 * thin.sqrt());
        let more = out / loose - fed;
        (more.is_finite() && more > -0.9 * along).then_some((behind, more))
    }

    /// Joins two neighbours better by so much.
    fn join_more(&mut self, one: usize, other: usize, more: f64) {
        for (i, j) in [(one, other), (other, one)] {
            let start = self.matrix.start[i] as usize;
            let Ok(at) = self.matrix.row(i).0.binary_search(&(j as u32)) else {
                continue;
            };
            let middle = self.matrix.middle[i] as usize;
            for (at, by) in [(start + at, -more), (middle, more)] {
                self.firm.push((at as u32, self.matrix.value[at]));
                self.matrix.value[at] += by;
            }
        }
    }
}
