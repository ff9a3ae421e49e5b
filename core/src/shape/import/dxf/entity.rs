//! Draws the entities of a DXF: lines, arcs, circles, ellipses and polylines, splines and blocks.

use super::super::left::names_sheet;
use super::super::pen::{Mark, Pen};
use super::super::{Left, refuse};
use super::File;
use super::bulge;
use super::groups::{Group, Record, records};
use crate::read::Problem;
use kurbo::{Affine, Point};
use std::f64::consts::TAU;
use std::hash::{Hash, Hasher};

/// Most pairs that are walked through, blocks as often as they are put in.
const MOST_WALKED: usize = 8_000_000;
/// Heights that differ by less are flat [units of the drawing].
const FLAT: f64 = 1e-3;

/// What is being drawn on.
pub(super) struct Sheet<'a> {
    pub(super) pen: Pen,
    pub(super) left: Left,
    pub(super) file: &'a File<'a>,
    /// Blocks put in so far.
    pub(super) copies: usize,
    walked: usize,
    heights: (f64, f64),
    /// Whether what stands on paper is drawn, rather than what stands in the model.
    paper: bool,
}

/// How an entity lies in the drawing: as seen from above, from below, or neither.
fn lie(record: Record<'_>) -> Option<Affine> {
    let [x, y, z] = [210, 220, 230].map(|code| record.number(code));
    let z = z.unwrap_or(1.0);
    let tilt = x.unwrap_or(0.0).hypot(y.unwrap_or(0.0));
    // Seen from below, x runs the other way.
    (tilt <= 1e-6 * z.abs()).then(|| Affine::scale_non_uniform(z.signum(), 1.0))
}

/// Whether a kind of line is that of axes: long and short dashes by turns (ISO 128, ANSI Y14.2, from memory).
fn is_middle_line(name: &str) -> bool {
    let name = name.to_ascii_uppercase();
    let kinds = [
        "CENTER", "DASHDOT", "PHANTOM", "CHAIN", "ISO04", "ISO05", "ISO08", "ISO09", "ISO10",
    ];
    kinds.iter().any(|kind| name.contains(kind))
}

impl<'a> Sheet<'a> {
    pub(super) fn new(pen: Pen, file: &'a File<'a>, paper: bool) -> Self {
        Self {
            paper,
            pen,
            left: Left::default(),
            file,
            copies: 0,
            walked: 0,
            heights: (f64::INFINITY, f64::NEG_INFINITY),
        }
    }

    /// Whether lines lie at different heights.
    pub(super) fn is_deep(&self) -> bool {
        self.heights.1 - self.heights.0 > FLAT
    }

    /// Everything in a stretch of entities.
    pub(super) fn draw(
        &mut self,
        groups: &'a [Group<'a>],
        to_mm: Affine,
        depth: usize,
    ) -> Result<(), Problem> {
        let mut all = records(groups).peekable();
        while let Some(record) = all.next() {
            self.walked += record.len();
            if self.walked > MOST_WALKED {
                return Err(refuse(
                    "This drawing is far too large once its blocks are put in. Save the outline alone.",
                ));
            }
            let mut vertices = Vec::new();
            if record.kind() == "POLYLINE" {
                while let Some(vertex) = all.next_if(|next| next.kind() == "VERTEX") {
                    self.walked += vertex.len();
                    vertices.push(vertex);
                }
            }
            if self.is_hidden(record, depth) {
                continue;
            }
            self.pen.mark = self.mark(record);
            self.pen.to_mm = to_mm;
            self.pen.lift();
            self.entity(record, &vertices, to_mm, depth)?;
            self.pen.lift();
        }
        Ok(())
    }

    /// What is known of an entity by its layer, its kind of line and what it is.
    fn mark(&self, record: Record<'_>) -> Mark {
        let layer = record.text(8).unwrap_or("");
        let own = record
            .text(6)
            .filter(|name| !name.eq_ignore_ascii_case("bylayer"));
        let line = own.or_else(|| self.file.line_types.get(layer).copied());
        let kind = record.kind();
        let mut hasher = std::hash::DefaultHasher::new();
        (layer, record.text(62)).hash(&mut hasher);
        Mark {
            lined: true,
            sheet: names_sheet(layer) || record.text(2).is_some_and(names_sheet),
            axis: line.is_some_and(is_middle_line),
            face: matches!(kind, "HATCH" | "SOLID" | "TRACE" | "3DFACE" | "MPOLYGON"),
            paint: hasher.finish(),
            ..Mark::default()
        }
    }

    fn is_hidden(&mut self, record: Record<'_>, depth: usize) -> bool {
        let name = record.kind();
        // On paper, not in the drawing; or switched off by itself.
        let elsewhere = depth == 0 && (record.whole(67) == Some(1)) != self.paper;
        if elsewhere || matches!(name, "SEQEND" | "VIEWPORT" | "VERTEX" | "") {
            return true;
        }
        let hidden = record.whole(60) == Some(1)
            || record
                .text(8)
                .is_some_and(|layer| self.file.hidden_layers.contains(layer));
        if hidden {
            self.left
                .one("hidden shape or group", "hidden shapes or groups");
        }
        hidden
    }

    fn entity(
        &mut self,
        record: Record<'a>,
        vertices: &[Record<'a>],
        to_mm: Affine,
        depth: usize,
    ) -> Result<(), Problem> {
        let done = match record.kind() {
            "LINE" => self.line(record)?,
            "ARC" | "CIRCLE" => self.arc(record)?,
            "ELLIPSE" => self.ellipse(record)?,
            "LWPOLYLINE" => self.light_polyline(record)?,
            "POLYLINE" => self.polyline(record, vertices)?,
            "SPLINE" => super::spline::draw(&mut self.pen, record)?,
            "HATCH" | "MPOLYGON" => self.hatch(record)?,
            "SOLID" | "TRACE" | "3DFACE" => self.face(record)?,
            "INSERT" => return self.insert(record, to_mm, depth),
            kind => {
                let (one, many) = match kind {
                    "TEXT" | "MTEXT" | "ATTRIB" | "ATTDEF" => ("text", "texts"),
                    "DIMENSION" | "LEADER" | "MULTILEADER" => ("dimension", "dimensions"),
                    "POINT" => ("point", "points"),
                    "IMAGE" => ("image", "images"),
                    "3DSOLID" | "MESH" | "REGION" | "BODY" | "SURFACE" => {
                        ("solid or face", "solids or faces")
                    }
                    _ => (
                        "entity of a kind that is not read",
                        "entities of kinds that are not read",
                    ),
                };
                self.left.one(one, many);
                return Ok(());
            }
        };
        if done.is_none() && record.kind() == "HATCH" {
            self.left.one("hatch", "hatches");
        } else if done.is_none() {
            self.left.one(
                "shape that could not be read",
                "shapes that could not be read",
            );
        }
        Ok(())
    }

    fn height(&mut self, z: Option<f64>) {
        let z = z.unwrap_or(0.0);
        self.heights = (self.heights.0.min(z), self.heights.1.max(z));
    }

    /// The edge of a filled face, whose third and fourth corner are exchanged in all but those in space.
    fn face(&mut self, record: Record<'_>) -> Result<Option<()>, Problem> {
        let Some(lie) = lie(record) else {
            return Ok(None);
        };
        let order = if record.kind() == "3DFACE" {
            [0, 1, 2, 3]
        } else {
            [0, 1, 3, 2]
        };
        self.pen.to_mm *= lie;
        for i in order {
            if let (Some(x), Some(y)) = (record.number(10 + i), record.number(20 + i)) {
                self.height(record.number(30 + i));
                self.pen.line_to(Point::new(x, y))?;
            }
        }
        self.pen.close();
        Ok(Some(()))
    }

    fn line(&mut self, record: Record<'_>) -> Result<Option<()>, Problem> {
        let [Some(x1), Some(y1), Some(x2), Some(y2)] =
            [10, 20, 11, 21].map(|code| record.number(code))
        else {
            return Ok(None);
        };
        self.height(record.number(30));
        self.height(record.number(31));
        self.pen.move_to(Point::new(x1, y1))?;
        self.pen.line_to(Point::new(x2, y2))?;
        Ok(Some(()))
    }

    fn arc(&mut self, record: Record<'_>) -> Result<Option<()>, Problem> {
        let ([Some(x), Some(y), Some(r)], Some(lie)) =
            ([10, 20, 40].map(|code| record.number(code)), lie(record))
        else {
            return Ok(None);
        };
        if r.is_nan() || r <= 0.0 {
            return Ok(None);
        }
        self.height(record.number(30));
        let placed = lie * Affine::new([r, 0.0, 0.0, r, x, y]);
        if record.kind() == "CIRCLE" {
            return self.turn(placed, 0.0, TAU).map(Some);
        }
        let [Some(from), Some(to)] = [50, 51].map(|code| record.number(code)) else {
            return Ok(None);
        };
        self.turn(placed, from.to_radians(), (to - from).to_radians())
            .map(Some)
    }

    fn ellipse(&mut self, record: Record<'_>) -> Result<Option<()>, Problem> {
        let all = [10, 20, 11, 21, 40].map(|code| record.number(code));
        let ([Some(x), Some(y), Some(mx), Some(my), Some(ratio)], Some(lie)) = (all, lie(record))
        else {
            return Ok(None);
        };
        if ratio.is_nan() || ratio == 0.0 || mx.hypot(my) == 0.0 {
            return Ok(None);
        }
        self.height(record.number(30));
        // The shorter axis lies a quarter turn on from the longer, the way the entity is seen. Unlike those of a
        // circle its coordinates are those of the drawing.
        let way = ratio * lie.determinant();
        let placed = Affine::new([mx, my, -my * way, mx * way, x, y]);
        let from = record.number(41).unwrap_or(0.0);
        let to = record.number(42).unwrap_or(TAU);
        self.turn(placed, from, to - from).map(Some)
    }

    /// Part of the unit circle as `placed` sees it; a sweep of nothing, or of all, is the whole.
    pub(super) fn turn(&mut self, placed: Affine, from: f64, sweep: f64) -> Result<(), Problem> {
        let sweep = sweep.rem_euclid(TAU);
        let whole = !(1e-9..=TAU - 1e-9).contains(&sweep);
        let start = placed * Point::new(from.cos(), from.sin());
        self.pen.move_to(start)?;
        if whole {
            self.pen.turn(placed, from, TAU, Some(start))?;
            self.pen.close();
            Ok(())
        } else {
            self.pen.turn(placed, from, sweep, None)
        }
    }

    fn light_polyline(&mut self, record: Record<'_>) -> Result<Option<()>, Problem> {
        let Some(lie) = lie(record) else {
            return Ok(None);
        };
        self.height(record.number(38));
        let mut corners: Vec<bulge::Corner> = Vec::new();
        for group in record.groups() {
            // Whatever is no number spoils the line, and that is told.
            let number = group.value.parse().unwrap_or(f64::NAN);
            match (group.code, corners.last_mut()) {
                (10, _) => corners.push(bulge::Corner {
                    at: Point::new(number, f64::NAN),
                    bulge: 0.0,
                }),
                (20, Some(corner)) => corner.at.y = number,
                (42, Some(corner)) => corner.bulge = number,
                _ => {}
            }
        }
        self.pen.to_mm *= lie;
        bulge::draw(
            &mut self.pen,
            &corners,
            record.whole(70).unwrap_or(0) & 1 == 1,
        )
    }

    fn polyline(
        &mut self,
        record: Record<'_>,
        vertices: &[Record<'_>],
    ) -> Result<Option<()>, Problem> {
        let flags = record.whole(70).unwrap_or(0);
        let in_space = flags & 8 == 8;
        // 16 and 64: a mesh.
        let (true, Some(lie)) = (flags & 80 == 0, lie(record)) else {
            return Ok(None);
        };
        let mut corners = Vec::new();
        for vertex in vertices {
            // 16: a control point of a curve whose own points are there too.
            if vertex.whole(70).unwrap_or(0) & 16 == 16 {
                continue;
            }
            self.height(vertex.number(30));
            corners.push(bulge::Corner {
                at: Point::new(
                    vertex.number(10).unwrap_or(f64::NAN),
                    vertex.number(20).unwrap_or(f64::NAN),
                ),
                bulge: vertex.number(42).filter(|_| !in_space).unwrap_or(0.0),
            });
        }
        if !in_space {
            self.pen.to_mm *= lie;
        }
        bulge::draw(&mut self.pen, &corners, flags & 1 == 1)
    }
}
