//! Draws lines, curves and arcs as straight pieces in mm, and keeps hostile numbers and counts out.

use super::{counted, refuse};
use crate::read::Problem;
use crate::units::plain;
use kurbo::{Affine, PathEl, Point};
use std::f64::consts::TAU;

/// How far a straight piece may lie off its curve [mm]; thinning later adds up to 0.18 mm, 0.2 mm in all.
pub(super) const FLAT_MM: f64 = 0.02;
/// The most straight pieces of a drawing.
pub(super) const MOST_PIECES: usize = 200_000;
/// Coordinates beyond this from where the drawing lies are slips of the file, not parts [mm].
const FAR_MM: f64 = 1e6;
/// Farthest from the origin that a drawing may lie: a number then still tells a ten thousandth of a mm [mm].
const FARTHEST_MM: f64 = 1e11;
/// How many times its size off the origin a part must lie to be told.
const FAR_SIZES: f64 = 100.0;
/// The most pieces of one turn: a circle of 1 km at the tolerance above needs 16 000.
const MOST_OF_A_TURN: f64 = 20_000.0;

/// What is known of a line besides where it runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Mark {
    /// What is inside is painted, so that open ends are closed by that.
    pub(super) filled: bool,
    /// Its edge is drawn as a line.
    pub(super) lined: bool,
    /// Painted in white.
    pub(super) white: bool,
    /// Its name, or that of its layer, says that it is the sheet or its frame.
    pub(super) sheet: bool,
    /// A middle line or an axis.
    pub(super) axis: bool,
    /// The edge of a hatch or of a filled face.
    pub(super) face: bool,
    /// What it is drawn with: equal numbers, equal look.
    pub(super) paint: u64,
}

/// A line as drawn, in mm.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stroke {
    pub(super) points: Vec<Point>,
    pub(super) closed: bool,
    pub(super) mark: Mark,
}

/// The pen: takes coordinates of the drawing, leaves strokes in mm.
pub(super) struct Pen {
    strokes: Vec<Stroke>,
    now: Vec<Point>,
    spoiled: bool,
    /// Strokes dropped for a coordinate that is no number or too far.
    dropped: usize,
    pieces: usize,
    /// Where the drawing lies [mm].
    about: Point,
    /// The first point too far from there, and whether one was farther off than numbers reach.
    far: Option<Point>,
    lost: bool,
    /// From the coordinates that are drawn in to mm.
    pub(super) to_mm: Affine,
    /// What is known of what is being drawn.
    pub(super) mark: Mark,
}

impl Pen {
    /// A pen for what lies about this place [mm].
    fn about(about: Point) -> Self {
        Self {
            strokes: Vec::new(),
            now: Vec::new(),
            spoiled: false,
            dropped: 0,
            pieces: 0,
            about,
            far: None,
            lost: false,
            to_mm: Affine::IDENTITY,
            mark: Mark::default(),
        }
    }

    /// Ends the stroke before and starts another here.
    pub(super) fn move_to(&mut self, to: Point) -> Result<(), Problem> {
        self.lift();
        self.line_to(to)
    }

    /// A straight piece to here.
    pub(super) fn line_to(&mut self, to: Point) -> Result<(), Problem> {
        self.put(self.to_mm * to)
    }

    /// A curve with two control points to `to`, from where the pen is.
    pub(super) fn curve_to(
        &mut self,
        first: Point,
        second: Point,
        to: Point,
    ) -> Result<(), Problem> {
        let ends = [first, second, to].map(|p| self.to_mm * p);
        let [first, second, to] = ends;
        self.curve(&ends, PathEl::CurveTo(first, second, to))
    }

    /// A curve with one control point to `to`, from where the pen is.
    pub(super) fn quad_to(&mut self, control: Point, to: Point) -> Result<(), Problem> {
        let ends = [control, to].map(|p| self.to_mm * p);
        let [control, to] = ends;
        self.curve(&ends, PathEl::QuadTo(control, to))
    }

    /// Part of the unit circle as `placed` sees it, from the angle `start` over `sweep` [rad]; its last point is `end`
    /// where that is known exactly.
    pub(super) fn turn(
        &mut self,
        placed: Affine,
        start: f64,
        sweep: f64,
        end: Option<Point>,
    ) -> Result<(), Problem> {
        let whole = self.to_mm * placed;
        let radius = stretch(whole);
        let step = 2.0 * (1.0 - FLAT_MM / radius.max(FLAT_MM)).acos();
        let sweep = sweep.clamp(-TAU, TAU);
        let count = (sweep.abs() / step)
            .max((sweep.abs() / TAU * 8.0).min(radius * 1e3))
            .ceil()
            .clamp(1.0, MOST_OF_A_TURN);
        // Clamped above; no number at all becomes 0 and draws nothing but the end.
        let whole_count = count as usize;
        for i in 1..whole_count {
            let angle = start + sweep * i as f64 / count;
            self.put(whole * Point::new(angle.cos(), angle.sin()))?;
        }
        let angle = start + sweep;
        match end {
            Some(end) => self.line_to(end),
            None => self.put(whole * Point::new(angle.cos(), angle.sin())),
        }
    }

    /// Closes the stroke back to its start.
    pub(super) fn close(&mut self) {
        self.end(true);
    }

    /// Ends the stroke where it is.
    pub(super) fn lift(&mut self) {
        self.end(false);
    }

    /// How many strokes are drawn.
    pub(super) fn count(&self) -> usize {
        self.strokes.len()
    }

    /// Takes away the strokes from this number on.
    pub(super) fn taken_from(&mut self, count: usize) -> Vec<Stroke> {
        self.strokes.split_off(count.min(self.strokes.len()))
    }

    /// Puts strokes back.
    pub(super) fn add(&mut self, mut strokes: Vec<Stroke>) {
        self.strokes.append(&mut strokes);
    }

    /// Whether a point is a number near where the drawing lies; else what is being drawn is spoiled.
    fn reaches(&mut self, p: Point) -> bool {
        let off = p - self.about;
        if off.x.abs() <= FAR_MM && off.y.abs() <= FAR_MM {
            return true;
        }
        self.spoiled = true;
        if p.x.abs() <= FARTHEST_MM && p.y.abs() <= FARTHEST_MM {
            self.far.get_or_insert(p);
        } else {
            self.lost |= p.is_finite();
        }
        false
    }

    fn curve(&mut self, ends: &[Point], curve: PathEl) -> Result<(), Problem> {
        let Some(&from) = self.now.last() else {
            self.spoiled = true;
            return Ok(());
        };
        if !ends.iter().all(|p| self.reaches(*p)) {
            return Ok(());
        }
        let mut points = Vec::new();
        kurbo::flatten([PathEl::MoveTo(from), curve], FLAT_MM, |piece| {
            if let PathEl::LineTo(to) = piece {
                points.push(to);
            }
        });
        points.into_iter().try_for_each(|to| self.put(to))
    }

    fn put(&mut self, to: Point) -> Result<(), Problem> {
        if !self.reaches(to) {
            return Ok(());
        }
        if self.now.last() == Some(&to) {
            return Ok(());
        }
        self.pieces += 1;
        if self.pieces > MOST_PIECES {
            return Err(refuse(format!(
                "This drawing has more than {}. Save the outline alone.",
                counted(MOST_PIECES, "straight piece", "straight pieces")
            )));
        }
        self.now.push(to);
        Ok(())
    }

    fn end(&mut self, closed: bool) {
        let mut points = std::mem::take(&mut self.now);
        if std::mem::take(&mut self.spoiled) {
            self.dropped += 1;
            return;
        }
        if closed && points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        if points.len() > 1 {
            self.strokes.push(Stroke {
                points,
                closed,
                mark: self.mark,
            });
        }
    }
}

/// The most a transform stretches a length: the larger singular value of its linear part.
fn stretch(transform: Affine) -> f64 {
    let [a, b, c, d, ..] = transform.as_coeffs();
    let sum = a * a + b * b + c * c + d * d;
    let apart = (sum * sum - 4.0 * (a * d - b * c).powi(2)).max(0.0).sqrt();
    (0.5 * (sum + apart)).sqrt()
}

/// What a reader draws, with how many strokes were dropped for their numbers; where nothing lies near the origin of the
/// file, as in a map, what lies about the first place where something does.
pub(super) fn drawn<T>(
    draw: impl Fn(Pen) -> Result<(Pen, T), Problem>,
) -> Result<(Vec<Stroke>, usize, T), Problem> {
    let mut about = Point::ZERO;
    loop {
        let (mut pen, rest) = draw(Pen::about(about))?;
        pen.lift();
        match pen.far {
            Some(place) if pen.strokes.is_empty() && about == Point::ZERO => about = place,
            None if pen.strokes.is_empty() && pen.lost => return Err(too_far()),
            _ => return Ok((pen.strokes, pen.dropped, rest)),
        }
    }
}

/// Why a drawing that lies too far off is not read.
pub(super) fn too_far() -> Problem {
    refuse(
        "This drawing lies so far from its origin that its numbers no longer tell its corners apart. Move it to the origin in the program that drew it, and save it again.",
    )
}

/// What to tell of a part of this size that lay far from the origin of its file [mm].
pub(super) fn moved(off: f64, size: f64) -> Option<String> {
    (off > FAR_SIZES * size).then(|| {
        format!(
            "In the file the part lies {} m from the origin; it was moved there, and its shape is the same.",
            plain(off / 1000.0)
        )
    })
}

/// Lowest and highest corner of some points.
pub(super) fn extent<'a>(points: impl Iterator<Item = &'a Point>) -> (Point, Point) {
    let (mut low, mut high) = (
        Point::new(f64::INFINITY, f64::INFINITY),
        Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
    );
    for p in points {
        low = Point::new(low.x.min(p.x), low.y.min(p.y));
        high = Point::new(high.x.max(p.x), high.y.max(p.y));
    }
    (low, high)
}
