//! The part as it is drawn: its triangles, what lies on each, and which of its points feed and vent.

use super::ground::Ground;
use super::usual::usual_line;
use crate::law::LawError;
use crate::law::front_map::{FrontMap, Lay};
use crate::plan::fields::{EDGE_GAP, WARP_TURN, WARP_X, WARP_Y};
use crate::plan::{Channel as Beside, Drawing, Feed, Lies, Line, Plan, Zone};
use crate::shape::over_skin;
use crate::shape::skin::{Frame, Laying, Skin, frames};
use crate::shape::{Loop, Meshed, Shape, meshed};
use crate::solve::front::{Arrival, Filled, Gates, Turn};
use crate::solve::surface::{Channel, Triangles};
use crate::stage::bench::CROWDED;
use std::cell::OnceCell;

/// Triangles of a part that is drawn: the same for sheet, board and suggestions, so that they tell one figure.
pub(super) const TRIANGLES: usize = 3_000;

/// A vent is by a point when it lies within so many sides of a triangle.
const BY_A_VENT: f64 = 4.0;

/// Radius of the bore of a single feed point [m].
pub(super) const FEED_POINT: f64 = 0.01;

/// Most of the root of a part's area that the radius of a bore takes.
const BORE_SHARE: f64 = 0.1;

/// Most triangles that one bore adds.
const BORE_TRIANGLES: usize = 4_000;

/// Most triangles that zones and lines may add to those of the part.
const CUT_TRIANGLES: usize = 20_000;

/// How a part is laid that is neither its shape nor drawn on it.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Set {
    /// Gap along the edge [m].
    gap: f64,
    laying: Laying,
}

impl Set {
    pub(super) fn of(plan: &Plan) -> Self {
        let metres = |field| plan.given(field).map(|x| x.likely / 1000.0);
        let turn = plan.given(&WARP_TURN).map_or(0.0, |turn| turn.likely);
        Self {
            gap: metres(&EDGE_GAP).unwrap_or(0.0),
            laying: Laying {
                from: [metres(&WARP_X), metres(&WARP_Y)],
                turn: turn.to_radians(),
            },
        }
    }
}

/// Warp and weft on each face of a skin.
fn frames_of(skin: &Skin, flat: bool, laying: &Laying) -> Vec<Frame> {
    if !flat {
        return frames(skin, laying);
    }
    if laying.turn == 0.0 {
        return Vec::new();
    }
    let (sin, cos) = laying.turn.sin_cos();
    vec![[[cos, sin, 0.0], [-sin, cos, 0.0]]; skin.corners.len()]
}

/// A part in triangles with what lies on it.
#[derive(Debug, Clone)]
pub(crate) struct Laid {
    /// The triangles as the lines were last cut into them.
    pub(super) mesh: Meshed,
    /// The face of the skin below that each triangle is a piece of.
    from: Vec<u32>,
    /// The part with its zones, before any line.
    skin: Skin,
    /// Warp and weft on each face of it; none where the warp runs along x on a flat part.
    frames: Vec<Frame>,
    /// Faces that an insert takes.
    taken: Vec<bool>,
    flat: bool,
    /// Radius of a bore [m].
    bore: f64,
    zones: Vec<Zone>,
    gap: f64,
    /// Channels that were drawn, and the sides of triangles that each lies on.
    channels: Vec<Beside>,
    sides: Vec<Vec<[u32; 2]>>,
    /// The lines that were placed last, and where they came to lie.
    placed: Option<(Vec<Line>, Placed)>,
    /// Whether zones and lines would cut it into more triangles than can be worked out.
    crowded: bool,
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
    /// Cuts a part along its zones.
    pub(super) fn of(drawing: &Drawing, shape: &Shape, set: Set, count: usize) -> Self {
        let seams: Vec<Loop> = drawing.zones.iter().map(|z| z.outline.clone()).collect();
        let mesh = meshed(shape, &seams, count);
        let mut skin = Skin::of(&mesh.surface, mesh.side);
        skin.most = Some(skin.corners.len() + CUT_TRIANGLES);
        for seam in &seams {
            skin.fence(seam);
        }
        skin.from = (0..skin.corners.len() as u32).collect();
        let inserts = drawing.zones.iter().filter(|z| z.lies == Lies::Insert);
        let inserts: Vec<&Zone> = inserts.collect();
        let taken = skin.corners.iter().map(|corners| {
            let middle = middle_of(&skin.points, corners);
            let mut inserts = inserts.iter();
            inserts.any(|zone| crate::shape::inside(&zone.outline, middle))
        });
        let taken = taken.collect();
        let flat = matches!(shape, Shape::Flat { .. });
        let mut laid = Self {
            mesh,
            from: Vec::new(),
            frames: frames_of(&skin, flat, &set.laying),
            skin,
            taken,
            flat,
            bore: FEED_POINT.min(BORE_SHARE * shape.area().sqrt()),
            zones: drawing.zones.clone(),
            gap: set.gap,
            channels: drawing.channels.clone(),
            sides: Vec::new(),
            placed: None,
            crowded: false,
        };
        let bare = laid.skin.clone();
        laid.show(bare);
        laid
    }

    /// Takes over what a skin shows, less inserts.
    fn show(&mut self, skin: Skin) {
        self.crowded = skin.is_full();
        let own = &mut self.mesh;
        own.rim = skin.rim();
        let kept = |&(_, from): &([u32; 3], u32)| !self.taken[from as usize];
        let faces = skin.corners.into_iter().zip(skin.from);
        (own.surface.corners, self.from) = faces.filter(kept).unzip();
        own.surface.points = skin.points;
    }

    pub(super) fn surface(&self) -> &Triangles {
        &self.mesh.surface
    }

    /// Other channels, which lie on the part once lines are put on it.
    pub(super) fn carve(&mut self, channels: &[Beside]) {
        self.channels = channels.to_vec();
        self.placed = None;
    }

    /// Takes the channels away that were drawn.
    pub(super) fn stop(&mut self) {
        self.carve(&[]);
    }

    /// Channels, and the points of the part that each runs through.
    pub(super) fn channels(&self) -> impl Iterator<Item = (&Beside, Vec<u32>)> {
        let sides = self.channels.iter().zip(&self.sides);
        sides.map(|(channel, sides)| (channel, sides.iter().flatten().copied().collect()))
    }

    /// Puts lines on the part: triangles are cut along them, and round the bore of a single point.
    pub(super) fn place(&mut self, lines: &[Line]) -> Placed {
        if let Some((known, placed)) = &self.placed
            && known == lines
        {
            return placed.clone();
        }
        let placed = self.cut(lines);
        self.placed = Some((lines.to_vec(), placed.clone()));
        placed
    }

    fn cut(&mut self, lines: &[Line]) -> Placed {
        let mut skin = self.skin.clone();
        let side = self.mesh.side;
        // Got ready only where a line needs it.
        let (plain, ready) = (OnceCell::new(), OnceCell::new());
        let shortest = |a: [f64; 3], b: [f64; 3]| {
            let ready = ready.get_or_init(|| {
                over_skin::Skin::of(plain.get_or_init(|| Triangles {
                    points: self.skin.points.clone(),
                    corners: self.skin.corners.clone(),
                }))
            });
            ready.way(a, b)
        };
        let mut points: Vec<Vec<u32>> = vec![Vec::new(); lines.len()];
        let mut bores: Vec<(usize, u32)> = Vec::new();
        for (n, line) in lines.iter().enumerate() {
            let [at] = line.points[..] else {
                continue;
            };
            let Some(foot) = skin.foot(at) else {
                continue;
            };
            let middle = skin.point_at(&foot);
            points[n].push(middle);
            // A vent that is clamped once resin comes draws nothing, whatever its bore.
            if (line.feeds || !line.clamped) && !skin.is_full() {
                let most = skin.corners.len() + BORE_TRIANGLES;
                skin.refine_round(skin.points[middle as usize], self.bore, most);
                bores.push((n, middle));
            }
        }
        for (n, line) in lines.iter().enumerate().filter(|(_, l)| l.points.len() > 1) {
            let number = u16::try_from(n).unwrap_or(u16::MAX);
            points[n] = if self.flat {
                skin.line_on_flat(&line.points, side, number)
            } else {
                skin.line_over(&line.points, side, number, &shortest)
            };
        }
        let number = |n: usize| u16::try_from(lines.len() + n).unwrap_or(u16::MAX);
        for (n, channel) in self.channels.iter().enumerate() {
            if self.flat {
                skin.line_on_flat(&channel.points, side, number(n));
            } else {
                skin.line_over(&channel.points, side, number(n), &shortest);
            }
        }
        for &(_, middle) in &bores {
            skin.bore(middle, self.bore);
        }
        // Only now is everything cut.
        for &(n, middle) in &bores {
            points[n] = skin.bore(middle, self.bore);
        }
        self.sides = (0..self.channels.len())
            .map(|n| skin.sides_of(number(n)))
            .collect();
        let mut placed = Placed::default();
        for ((line, own), marked) in lines.iter().zip(points).zip(skin.marked(lines.len())) {
            let mut all = marked;
            all.extend(own);
            let points: Vec<u32> = all.into_iter().collect();
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
        self.show(skin);
        placed
    }

    /// Whether the part is a shell, over which the warp is carried.
    pub(super) fn is_shell(&self) -> bool {
        !self.flat
    }

    /// Whether some feed lies where there is something to fill.
    pub(super) fn is_fed(&self, placed: &Placed) -> bool {
        let mut feeds = vec![false; self.mesh.surface.points.len()];
        for &i in &placed.feeds {
            feeds[i as usize] = true;
        }
        let corners = &self.mesh.surface.corners;
        corners.iter().flatten().any(|&i| feeds[i as usize])
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
        if self.crowded {
            return Err(LawError::Unsolved { what: CROWDED });
        }
        let surface = &self.mesh.surface;
        let lay = |(corners, &from): (&[u32; 3], &u32)| {
            let middle = middle_of(&surface.points, corners);
            // Inserts are cut out; what is left of them conducts like the bed.
            let there = ground.lay(middle, &self.zones, factor);
            let there = there.or_else(|| ground.lay(middle, &[], factor))?;
            let Some([warp, weft]) = self.frames.get(from as usize) else {
                return Some(there);
            };
            let [x, y, _] = there.along;
            let along = [0, 1, 2].map(|k| x * warp[k] + y * weft[k]);
            Some(Lay { along, ..there })
        };
        let faces = surface.corners.iter().zip(&self.from);
        let lays: Vec<Lay> = faces.filter_map(lay).collect();
        let mut channels: Vec<Channel> = if self.gap > 0.0 {
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
        for (channel, sides) in self.channels.iter().zip(&self.sides) {
            let (conduct, hold) = ground.channel(channel.section, factor)?;
            channels.extend(sides.iter().map(|&ends| Channel {
                ends,
                conduct,
                hold,
            }));
        }
        let map = FrontMap::relative(surface, &lays, &channels)?;
        let heads: Vec<f64> = surface
            .points
            .iter()
            .map(|p| p[2] * ground.weight())
            .collect();
        Ok(map.weighed(&heads))
    }

    /// Whether some of the part is covered by a mesh and some is not.
    pub(super) fn is_mixed(&self) -> bool {
        self.gap > 0.0
            || self
                .zones
                .iter()
                .any(|z| matches!(z.lies, Lies::Mesh | Lies::Break))
    }

    /// Middle of a triangle, from above [m].
    pub(super) fn middle(&self, corners: &[u32; 3]) -> [f64; 2] {
        middle_of(&self.mesh.surface.points, corners)
    }

    /// What lies where.
    pub(super) fn zones(&self) -> &[Zone] {
        &self.zones
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

fn middle_of(points: &[[f64; 3]], corners: &[u32; 3]) -> [f64; 2] {
    let at = |k: usize| corners.iter().map(|&i| points[i as usize][k]).sum::<f64>() / 3.0;
    [at(0), at(1)]
}

#[cfg(test)]
mod tests;
