//! A part as ways are laid on it: its skin, its edges, its directions, and where a plane meets it.

use crate::plan::Line;
use crate::shape::Shape;
use crate::shape::over_skin::{Skin, foot, length, thinned};
use crate::solve::sort::sort_by;
use crate::solve::surface::Triangles;
use crate::stage::fill::board::lines::{edges, level_lines};
use crate::stage::fill::drawn::far;

/// Shorter stretches of a line are not laid [m].
const SHORT: f64 = 0.02;
/// How far a line may be from the skin between its corners [m].
const TRUE: f64 = 3e-4;
/// A corner of the edge turns by more than this [rad].
const CORNER: f64 = 0.5;
/// Turns of an edge that stay within this share of the part are none.
const WAVES: f64 = 0.012;
/// Directions nearer than this are one [rad].
const ALIKE: f64 = 0.17;
/// A part is drawn out where one principal direction has so much more of it than the next.
const DRAWN_OUT: f64 = 1.15;
/// A part that is so high against its width may be fed along a level.
const HIGH: f64 = 0.5;
/// Most corners of a line.
const MOST_CORNERS: usize = 300;

/// A direction across which lines are laid.
#[derive(Debug, Clone)]
pub(super) struct Axis {
    /// Its unit vector.
    pub(super) along: [f64; 3],
    /// Lowest and highest place of the part on it [m].
    pub(super) ends: [f64; 2],
    /// How lines across it lie.
    pub(super) lie: &'static str,
    /// The same as values on the corners of the skin.
    values: Vec<f64>,
}

/// A part to lay ways on.
pub(super) struct Part {
    /// The skin that lines lie on, as it is drawn.
    skin: Triangles,
    flat: bool,
    /// The edge of the part and of its openings, each closed.
    pub(super) rims: Vec<Vec<[f64; 3]>>,
    /// The edges split at corners, the longest first.
    pub(super) sides: Vec<Vec<[f64; 3]>>,
    pub(super) axes: Vec<Axis>,
    /// The largest measure of its box [m].
    pub(super) size: f64,
    low: [f64; 3],
    high: [f64; 3],
}

pub(super) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn feed(points: Vec<[f64; 3]>) -> Line {
    Line {
        feeds: true,
        points,
        when_wet: false,
        clamped: true,
    }
}

pub(super) fn vent(points: Vec<[f64; 3]>) -> Line {
    Line {
        feeds: false,
        ..feed(points)
    }
}

/// A stroke of the board as places [m].
fn in_space(stroke: &[f64]) -> Vec<[f64; 3]> {
    let place = |p: &[f64]| [p[0] / 1e3, p[1] / 1e3, p[2] / 1e3];
    stroke.chunks_exact(3).map(place).collect()
}

/// The places of a closed line, split where it turns.
pub(super) fn split(rim: &[[f64; 3]], waves: f64) -> Vec<Vec<[f64; 3]>> {
    let mut ring = rim.to_vec();
    if ring.len() > 1 && far(ring[0], ring[ring.len() - 1]) < 1e-9 {
        ring.pop();
    }
    let count = ring.len();
    if count < 3 {
        return Vec::new();
    }
    // From the place farthest from the first: it is a corner if there is one.
    let away = |i: usize| far(ring[i], ring[0]);
    let start = (0..count).max_by(|&i, &j| away(i).total_cmp(&away(j)));
    ring.rotate_left(start.unwrap_or(0));
    ring.push(ring[0]);
    let half = (0..count).max_by(|&i, &j| far(ring[i], ring[0]).total_cmp(&far(ring[j], ring[0])));
    let half = half.unwrap_or(count / 2);
    let mut plain = thinned(&ring[..=half], waves);
    plain.extend(thinned(&ring[half..], waves).into_iter().skip(1));
    let n = plain.len() - 1;
    let turns = |i: usize| {
        let (a, b, c) = (plain[(i + n - 1) % n], plain[i], plain[(i + 1) % n]);
        let (u, v) = (
            [0, 1, 2].map(|k| b[k] - a[k]),
            [0, 1, 2].map(|k| c[k] - b[k]),
        );
        let size = (dot(u, u) * dot(v, v)).sqrt();
        size > 0.0 && (dot(u, v) / size).clamp(-1.0, 1.0).acos() > CORNER
    };
    let corners: Vec<[f64; 3]> = (0..n).filter(|&i| turns(i)).map(|i| plain[i]).collect();
    let at: Vec<usize> = (0..count).filter(|&i| corners.contains(&ring[i])).collect();
    let Some(&first) = at.first() else {
        return vec![ring];
    };
    let place = |i: usize| ring[i % count];
    let next = at.iter().skip(1).copied().chain([first + count]);
    at.iter()
        .zip(next)
        .map(|(&a, b)| (a..=b).map(place).collect())
        .collect()
}

/// Principal directions of a skin by area, the one it is longest along first, with how much lies along each.
fn principal(skin: &Triangles) -> [([f64; 3], f64); 3] {
    let all = skin.area().max(1e-12);
    let mut middle = [0.0; 3];
    let mut m = [[0.0; 3]; 3];
    for (t, corners) in skin.corners.iter().enumerate() {
        let share = skin.area_of(t) / all;
        let c = corners.map(|i| skin.points[i as usize]);
        let sum = [0, 1, 2].map(|k| c[0][k] + c[1][k] + c[2][k]);
        for i in 0..3 {
            middle[i] += share * sum[i] / 3.0;
            for j in 0..3 {
                // The mean of a product over a triangle.
                let own: f64 = c.iter().map(|p| p[i] * p[j]).sum();
                m[i][j] += share * (own + sum[i] * sum[j]) / 12.0;
            }
        }
    }
    for i in 0..3 {
        for j in 0..3 {
            m[i][j] -= middle[i] * middle[j];
        }
    }
    crate::solve::principal(m)
}

impl Part {
    /// A part, from its shape, its triangles and their outer sides.
    pub(super) fn of(shape: &Shape, cut: &Triangles, rim: &[[u32; 2]]) -> Self {
        let (low, high) = shape.bounds();
        let size = (0..3).map(|k| high[k] - low[k]).fold(0.0, f64::max);
        let closed = |line: &Vec<[f64; 2]>| -> Vec<[f64; 3]> {
            let round = line.iter().chain(line.first());
            round.map(|p| [p[0], p[1], 0.0]).collect()
        };
        let (skin, flat, rims) = match shape {
            Shape::Flat { outline, holes } => {
                let rims = std::iter::once(outline).chain(holes).map(closed).collect();
                (cut.clone(), true, rims)
            }
            Shape::Shell(surface) => {
                let strokes = edges(cut, rim);
                let rims = strokes.iter().map(|stroke| in_space(stroke));
                let closed = rims.filter(|line: &Vec<[f64; 3]>| {
                    line.len() > 3 && far(line[0], line[line.len() - 1]) < 1e-9
                });
                (surface.clone(), false, closed.collect::<Vec<_>>())
            }
        };
        let mut sides: Vec<Vec<[f64; 3]>> = rims
            .iter()
            .flat_map(|rim| split(rim, WAVES * size))
            .collect();
        sort_by(&mut sides, |a, b| length(b).total_cmp(&length(a)));
        let mut part = Self {
            skin,
            flat,
            rims,
            sides,
            axes: Vec::new(),
            size,
            low,
            high,
        };
        part.axes = part.directions();
        part
    }

    fn axis(&self, along: [f64; 3], lie: &'static str) -> Axis {
        let values: Vec<f64> = self.skin.points.iter().map(|p| dot(*p, along)).collect();
        let used = self
            .skin
            .corners
            .iter()
            .flatten()
            .map(|&i| values[i as usize]);
        let ends = used.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], x| {
            [a.min(x), b.max(x)]
        });
        Axis {
            along,
            ends,
            lie,
            values,
        }
    }

    /// The directions worth a try: of the box, of the part itself, and of its longest straight side.
    fn directions(&self) -> Vec<Axis> {
        let span = [0, 1, 2].map(|k| self.high[k] - self.low[k]);
        let mut order = [0, 1, 2];
        sort_by(&mut order, |&a, &b| {
            span[b].total_cmp(&span[a]).then(a.cmp(&b))
        });
        let unit = |k: usize| [0, 1, 2].map(|n| f64::from(u8::from(n == k)));
        // Across the shorter measure a line lies lengthways.
        let mut found: Vec<([f64; 3], &'static str)> = vec![
            (unit(order[1]), "lengthways"),
            (unit(order[0]), "crossways"),
        ];
        if !self.flat && span[order[2]] > HIGH * span[order[1]] {
            found.push((
                unit(order[2]),
                if order[2] == 2 {
                    "at a level"
                } else {
                    "across"
                },
            ));
        }
        let own = principal(&self.skin);
        if own[0].1 > DRAWN_OUT * own[1].1 {
            found.extend([
                (own[1].0, "lengthways along its run"),
                (own[0].0, "across its run"),
            ]);
        }
        let straight = |line: &&Vec<[f64; 3]>| {
            let (a, b) = (line[0], line[line.len() - 1]);
            self.flat && far(a, b) > 0.98 * length(line) && far(a, b) > 0.3 * self.size
        };
        if let Some(side) = self.sides.iter().find(straight) {
            let (a, b) = (side[0], side[side.len() - 1]);
            let long = far(a, b);
            let run = [0, 1, 2].map(|k| (b[k] - a[k]) / long);
            let across = [-run[1], run[0], 0.0];
            found.extend([
                (across, "along its longest side"),
                (run, "square to its longest side"),
            ]);
        }
        let mut axes: Vec<Axis> = Vec::new();
        for (along, lie) in found {
            if axes
                .iter()
                .all(|axis| dot(axis.along, along).abs() < ALIKE.cos())
            {
                axes.push(self.axis(along, lie));
            }
        }
        axes.retain(|axis| axis.ends[1] - axis.ends[0] > 2.0 * SHORT);
        axes
    }

    /// Where a plane across an axis meets the skin, as it lies there.
    pub(super) fn cut(&self, axis: &Axis, at: f64) -> Vec<Vec<[f64; 3]>> {
        let tolerance = if self.flat { 1e-6 } else { TRUE };
        let strokes = level_lines(&self.skin, &axis.values, at);
        let laid = strokes
            .iter()
            .map(|stroke| thinned(&in_space(stroke), tolerance));
        laid.filter(|line| length(line) > SHORT).collect()
    }

    /// The same pulled taut over the skin, from the edge to the edge by way of its middle.
    pub(super) fn taut(&self, skin: Option<&Skin<'_>>, line: &[[f64; 3]]) -> Vec<[f64; 3]> {
        let (Some(skin), [first, .., last]) = (skin, line) else {
            return line.to_vec();
        };
        if far(*first, *last) < 1e-6 {
            return line.to_vec();
        }
        let half = length(line) / 2.0;
        let mut run = 0.0;
        let mut middle = *first;
        for pair in line.windows(2) {
            let step = far(pair[0], pair[1]);
            if run + step >= half && step > 0.0 {
                let share = (half - run) / step;
                middle = [0, 1, 2].map(|k| pair[0][k] + (pair[1][k] - pair[0][k]) * share);
                break;
            }
            run += step;
        }
        let Some(way) = skin.through(&[*first, middle, *last]) else {
            return line.to_vec();
        };
        let mut tolerance = TRUE;
        let mut laid = thinned(&way, tolerance);
        while laid.len() > MOST_CORNERS {
            tolerance *= 2.0;
            laid = thinned(&way, tolerance);
        }
        laid
    }

    /// The skin to pull lines over; a flat part needs none.
    pub(super) fn skin(&self) -> Option<Skin<'_>> {
        (!self.flat).then(|| Skin::of(&self.skin))
    }

    /// The place on the part nearest to one.
    pub(super) fn onto(&self, p: [f64; 3]) -> [f64; 3] {
        foot(&self.skin, p).map_or(p, |foot| foot.at)
    }

    /// Where the middle of a line lies, as a word.
    pub(super) fn side_word(&self, line: &[[f64; 3]]) -> &'static str {
        let (Some(a), Some(b)) = (line.first(), line.last()) else {
            return "one";
        };
        let off = |k: usize| {
            let wide = (self.high[k] - self.low[k]).max(1e-9);
            ((a[k] + b[k]) / 2.0 - f64::midpoint(self.low[k], self.high[k])) / wide
        };
        let (x, y) = (off(0), off(1));
        match (x.abs() > y.abs(), x > 0.0, y > 0.0) {
            (true, true, _) => "right",
            (true, false, _) => "left",
            (false, _, true) => "upper",
            (false, _, false) => "lower",
        }
    }
}
