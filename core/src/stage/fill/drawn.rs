//! The part as it is drawn: its triangles, what lies on each, and which of its points feed and vent.

use super::ground::{Ground, by_gain};
use super::usual::usual_line;
use crate::law::LawError;
use crate::law::front_map::{FrontMap, Lay};
use crate::plan::{Drawing, Feed, Lies, Line, Zone};
use crate::shape::{Loop, Meshed, Shape, meshed};
use crate::sheet::Spread;
use crate::solve::front::{Arrival, Filled, Gates, Turn};
use crate::solve::surface::{Channel, Triangles};
use crate::stage::bench::UNFED;
use std::collections::BTreeMap;

/// Triangles of a part that is drawn: the same for sheet, board and suggestions, so that they tell one figure.
pub(super) const TRIANGLES: usize = 3_000;

/// A vent is by a point when it lies within so many sides of a triangle.
const BY_A_VENT: f64 = 4.0;

/// Radius of a single feed point [m].
pub(super) const FEED_POINT: f64 = 0.01;

/// How far a mesh's own permeability is moved to see what it does to the time.
const FACTORS: [f64; 3] = [0.3, 1.0, 3.3];

/// A part in triangles with what lies on it.
#[derive(Debug, Clone)]
pub(crate) struct Laid {
    pub(super) mesh: Meshed,
    /// The points as they were cut, before lines pulled at them.
    cut: Vec<[f64; 3]>,
    flat: bool,
    /// Points on the edge of the part.
    on_rim: Vec<bool>,
    zones: Vec<Zone>,
    gap: f64,
}

/// Where the lines came to lie.
#[derive(Debug, Clone, Default)]
pub(super) struct Placed {
    pub(super) feeds: Vec<u32>,
    pub(super) turns: Vec<Turn>,
    pub(super) open_vents: Vec<u32>,
    pub(super) vents: Vec<Vec<u32>>,
}

impl Laid {
    /// Cuts a part.
    pub(super) fn of(
        drawing: &Drawing,
        shape: &Shape,
        lines: &[Line],
        gap: f64,
        count: usize,
    ) -> Self {
        let mut seams: Vec<Loop> = Vec::new();
        for zone in &drawing.zones {
            seams.push(zone.outline.clone());
        }
        let points = lines
            .iter()
            .filter(|line| line.feeds && line.points.len() == 1);
        let rings: Vec<([f64; 2], f64)> = points
            .map(|line| ([line.points[0][0], line.points[0][1]], FEED_POINT))
            .collect();
        let mut mesh = meshed(shape, &seams, &rings, count);
        let inserts: Vec<&Zone> = drawing
            .zones
            .iter()
            .filter(|z| z.lies == Lies::Insert)
            .collect();
        if !inserts.is_empty() {
            let surface = &mut mesh.surface;
            let points = std::mem::take(&mut surface.points);
            surface.corners.retain(|corners| {
                let middle = middle_of(&points, corners);
                !inserts
                    .iter()
                    .any(|zone| crate::shape::inside(&zone.outline, middle))
            });
            surface.points = points;
        }
        let mut on_rim = vec![false; mesh.surface.points.len()];
        for side in &mesh.rim {
            for &i in side {
                on_rim[i as usize] = true;
            }
        }
        Self {
            cut: mesh.surface.points.clone(),
            mesh,
            flat: matches!(shape, Shape::Flat { .. }),
            on_rim,
            zones: drawing.zones.clone(),
            gap,
        }
    }

    pub(super) fn surface(&self) -> &Triangles {
        &self.mesh.surface
    }

    /// Puts lines on the part: points near a line are pulled onto it.
    pub(super) fn place(&mut self, lines: &[Line]) -> Placed {
        self.mesh.surface.points.clone_from(&self.cut);
        let mut placed = Placed::default();
        for line in lines {
            let points = self.on_line(&line.points);
            if line.feeds && line.when_wet {
                placed.turns.push(Turn { points });
            } else if line.feeds {
                placed.feeds.extend(points);
            } else {
                if !line.clamped {
                    placed.open_vents.extend(&points);
                }
                placed.vents.push(points);
            }
        }
        placed
    }

    /// Whether some feed lies where there is something to fill.
    pub(super) fn is_fed(&self, placed: &Placed) -> bool {
        let mut feeds = vec![false; self.cut.len()];
        for &i in &placed.feeds {
            feeds[i as usize] = true;
        }
        let corners = &self.mesh.surface.corners;
        corners.iter().flatten().any(|&i| feeds[i as usize])
    }

    /// The points of a line, pulled onto it where they may move.
    fn on_line(&mut self, line: &[[f64; 3]]) -> Vec<u32> {
        let side = self.mesh.side;
        let points = &mut self.mesh.surface.points;
        if let [at] = line {
            let reach = 1.05 * FEED_POINT;
            let mut near: Vec<u32> = (0..points.len() as u32)
                .filter(|&i| far(points[i as usize], *at) <= reach)
                .collect();
            if near.is_empty() {
                let all = 0..points.len() as u32;
                near.extend(all.min_by(|&a, &b| {
                    far(points[a as usize], *at).total_cmp(&far(points[b as usize], *at))
                }));
            }
            return near;
        }
        let mut found: BTreeMap<u32, ()> = BTreeMap::new();
        // The nearest point to each stretch of the line, so that it has no gaps.
        let cells = Cells::of(points, side);
        for pair in line.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let pieces = (far(a, b) / (0.4 * side)).ceil().clamp(1.0, 1e5);
            for k in 0..=pieces as usize {
                let t = k as f64 / pieces;
                let at = [0, 1, 2].map(|n| a[n] + (b[n] - a[n]) * t);
                if let Some(i) = cells.nearest(points, at, 1.5 * side) {
                    found.insert(i, ());
                }
            }
            if self.flat {
                for i in cells.along(a, b, 0.45 * side) {
                    let foot = foot(points[i as usize], a, b);
                    let away = far(points[i as usize], foot);
                    if away < 1e-6 {
                        found.insert(i, ());
                    } else if away < 0.45 * side && !self.on_rim[i as usize] {
                        points[i as usize] = foot;
                        found.insert(i, ());
                    }
                }
            }
        }
        found.into_keys().collect()
    }

    /// Whether a vent lies by a point.
    pub(super) fn is_vented(&self, placed: &Placed, at: usize) -> bool {
        let points = &self.mesh.surface.points;
        let reach = BY_A_VENT * self.mesh.side;
        let mut vents = placed.vents.iter().flatten();
        vents.any(|&vent| far(points[vent as usize], points[at]) <= reach)
    }

    /// What lies on each triangle, and the gap along the edge.
    pub(super) fn map(&self, ground: &Ground, factor: f64) -> Result<FrontMap, LawError> {
        let surface = &self.mesh.surface;
        let lay = |corners: &[u32; 3]| {
            let middle = middle_of(&surface.points, corners);
            // Inserts are cut out; what is left of them conducts like the bed.
            let there = ground.lay(middle, &self.zones, factor);
            there.or_else(|| ground.lay(middle, &[], factor))
        };
        let lays: Vec<Lay> = surface.corners.iter().filter_map(lay).collect();
        let channels: Vec<Channel> = if self.gap > 0.0 {
            let (conduct, hold) = ground.gap(self.gap, factor)?;
            let along = |&ends: &[u32; 2]| Channel {
                ends,
                conduct,
                hold,
            };
            self.mesh.rim.iter().map(along).collect()
        } else {
            Vec::new()
        };
        let map = FrontMap::relative(surface, &lays, &channels)?;
        let heads: Vec<f64> = surface
            .points
            .iter()
            .map(|p| p[2] * ground.weight())
            .collect();
        Ok(map.weighed(&heads))
    }

    /// Whether some of the part is covered by a mesh and some is not.
    fn is_mixed(&self) -> bool {
        self.gap > 0.0
            || self
                .zones
                .iter()
                .any(|z| matches!(z.lies, Lies::Mesh | Lies::Break))
    }

    /// The run along a strip that takes as long as this part [m], over the range of what a mesh gains.
    pub(super) fn run(
        &mut self,
        ground: &Ground,
        lines: &[Line],
        gain: &Spread,
    ) -> Result<Spread, LawError> {
        let placed = self.place(lines);
        let factor_of = |factor: f64, laid: &Self| -> Result<f64, LawError> {
            let mut map = laid.map(ground, factor)?;
            let filled = placed.fill(&mut map);
            if filled.last.is_none() {
                return Err(LawError::Unsolved { what: UNFED });
            }
            Ok((2.0 * filled.time).sqrt())
        };
        if !self.is_mixed() {
            return Ok(Spread::exact(factor_of(1.0, self)?));
        }
        let mut runs = [0.0; 3];
        for (run, factor) in runs.iter_mut().zip(FACTORS) {
            *run = factor_of(factor, self)?;
        }
        let gains = FACTORS.map(|factor| 1.0 + (ground.gain() - 1.0) * factor);
        Ok(by_gain(gains, runs, gain))
    }
}

impl Placed {
    fn gates(&self) -> Gates<'_> {
        Gates {
            feeds: &self.feeds,
            vents: &self.open_vents,
        }
    }

    /// When everything is full, in squares of metres of the base.
    pub(super) fn fill(&self, map: &mut FrontMap) -> Filled {
        map.field().fill_in_turn(&self.gates(), &self.turns)
    }

    /// When the front comes to each point, likewise.
    pub(super) fn arrival(&self, map: &mut FrontMap, levels: usize) -> Arrival {
        if self.turns.is_empty() {
            map.field().arrival(&self.gates(), levels)
        } else {
            map.field()
                .arrival_in_turn(&self.gates(), &self.turns, levels.max(8))
        }
    }
}

/// The run along a strip that takes as long as to each point [m]; not a number where resin never comes.
pub(super) fn runs_of(arrival: &Arrival) -> Vec<f64> {
    // The larger of nought and what is no number would be nought.
    let run = |g: &f64| {
        if g.is_nan() {
            f64::NAN
        } else {
            (2.0 * g.max(0.0)).sqrt()
        }
    };
    arrival.at.iter().map(run).collect()
}

/// The lines of a plan; where none feeds, the one that its choice of feed stands for.
pub(super) fn lines_of(drawing: &Drawing, shape: &Shape, feed: Feed) -> Vec<Line> {
    let mut lines = drawing.lines.clone();
    if !lines.iter().any(|line| line.feeds && !line.when_wet) {
        lines.insert(0, usual_line(shape, feed));
    }
    lines
}

pub(super) fn far(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt()
}

/// The nearest place to a point on the stretch from a to b.
fn foot(p: [f64; 3], a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    let (mut along, mut length) = (0.0, 0.0);
    for k in 0..3 {
        along += (p[k] - a[k]) * (b[k] - a[k]);
        length += (b[k] - a[k]).powi(2);
    }
    let t = if length > 0.0 {
        (along / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    [0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * t)
}

fn middle_of(points: &[[f64; 3]], corners: &[u32; 3]) -> [f64; 2] {
    let at = |k: usize| corners.iter().map(|&i| points[i as usize][k]).sum::<f64>() / 3.0;
    [at(0), at(1)]
}

/// Points in cells of space, so that near ones are found at once.
struct Cells {
    size: f64,
    held: BTreeMap<[i64; 3], Vec<u32>>,
}

impl Cells {
    fn of(points: &[[f64; 3]], side: f64) -> Self {
        let size = 1.5 * side.max(1e-6);
        let mut held: BTreeMap<[i64; 3], Vec<u32>> = BTreeMap::new();
        for (i, p) in points.iter().enumerate() {
            held.entry(Self::cell(*p, size)).or_default().push(i as u32);
        }
        Self { size, held }
    }

    fn cell(p: [f64; 3], size: f64) -> [i64; 3] {
        // Casts of rounded numbers; parts have a size.
        p.map(|x| (x / size).floor() as i64)
    }

    fn around(&self, at: [f64; 3]) -> impl Iterator<Item = u32> {
        let [x, y, z] = Self::cell(at, self.size);
        (x - 1..=x + 1).flat_map(move |x| {
            (y - 1..=y + 1).flat_map(move |y| {
                (z - 1..=z + 1)
                    .flat_map(move |z| self.held.get(&[x, y, z]).into_iter().flatten().copied())
            })
        })
    }

    fn nearest(&self, points: &[[f64; 3]], at: [f64; 3], within: f64) -> Option<u32> {
        self.around(at)
            .map(|i| (i, far(points[i as usize], at)))
            .filter(|(_, away)| *away <= within)
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(i, _)| i)
    }

    /// Points that may lie so near to a stretch.
    fn along(&self, a: [f64; 3], b: [f64; 3], within: f64) -> Vec<u32> {
        let pieces = (far(a, b) / self.size.max(within)).ceil().clamp(1.0, 1e5);
        let mut found: Vec<u32> = Vec::new();
        for k in 0..=pieces as usize {
            let t = k as f64 / pieces;
            found.extend(self.around([0, 1, 2].map(|n| a[n] + (b[n] - a[n]) * t)));
        }
        found.sort_unstable();
        found.dedup();
        found
    }
}
