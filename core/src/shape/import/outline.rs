//! Picks the outline and its holes out of what is drawn, and thins them to what a plan holds.

use super::join::{GAP_MM, Joined, joined};
use super::pen::{FLAT_MM, Stroke, extent, moved};
use super::thin::{cleaned, rounded, thinned};
use super::{Left, counted, refuse, size_problem};
use crate::read::Problem;
use crate::shape::{Loop, area, crossing, inside};
use crate::units::plain;
use kurbo::{Point, Vec2};
use serde_json::{Value, json};

/// Most corners of an outline and its holes together.
const MOST_CORNERS: usize = 600;
/// Most loops that are looked at, and most holes.
const MOST_LOOPS: usize = 1000;
const MOST_HOLES: usize = 100;
/// A loop that holds less than this is a dot [mm2].
const DOT_MM2: f64 = 1.0;
/// How far thinning may move the edge, on top of what flattening did [mm]; of a small part less, by its longer side.
const THIN_MM: f64 = 0.2 - FLAT_MM;
const FINE_SHARE: f64 = 1.0 / 2000.0;
/// How far it may at most, as a share of the longer side.
const THIN_SHARE: f64 = 0.005;
/// Points that thinning may look at: about a second's work in a slow build.
const WORK: usize = 60_000_000;

/// An outline, ready for a plan.
pub(super) struct Found {
    pub(super) shape: Value,
    pub(super) told: Vec<String>,
    /// Closed loops that were drawn.
    pub(super) loops: usize,
}

/// The loops of a drawing by what they are.
struct Sorted {
    outline: Ring,
    holes: Vec<Ring>,
    /// Loops beside the outline.
    outside: Vec<Ring>,
}

/// A closed loop as drawn, lower left corner of the drawing wherever it is.
struct Ring {
    points: Loop,
    /// Absolute [mm2].
    area: f64,
    low: Point,
    high: Point,
}

impl Ring {
    fn of(points: &[Point]) -> Self {
        let (low, high) = extent(points.iter());
        // About its own corner, so that a loop far from the origin keeps its digits.
        let moved: Loop = points.iter().map(|p| [p.x - low.x, p.y - low.y]).collect();
        let area = area(&moved).abs();
        Self {
            points: points.iter().map(|p| [p.x, p.y]).collect(),
            area,
            low,
            high,
        }
    }

    /// Whether its first point lies inside another.
    fn within(&self, other: &Self) -> bool {
        let boxed = self.low.x >= other.low.x
            && self.low.y >= other.low.y
            && self.high.x <= other.high.x
            && self.high.y <= other.high.y;
        boxed
            && self
                .points
                .first()
                .is_some_and(|&p| inside(&other.points, p))
    }

    /// Whether their boxes overlap.
    fn reaches(&self, other: &Self) -> bool {
        self.low.x <= other.high.x
            && self.low.y <= other.high.y
            && self.high.x >= other.low.x
            && self.high.y >= other.low.y
    }

    /// Whether it is another drawn a second time.
    fn doubles(&self, other: &Self) -> bool {
        self.low.distance(other.low) <= GAP_MM
            && self.high.distance(other.high) <= GAP_MM
            && (self.area - other.area).abs() <= 5e-3 * other.area
    }
}

/// The outline among the strokes of a drawing: the loop that holds most; loops inside it are its holes.
pub(super) fn found(name: &str, strokes: Vec<Stroke>, mut left: Left) -> Result<Found, Problem> {
    let done = joined(strokes);
    let mut told = Vec::new();
    if done.gaps > 0 {
        told.push(format!(
            "Gaps of up to {GAP_MM} mm were closed in {}.",
            counted(done.gaps, "loop", "loops")
        ));
    }
    left.some(
        done.open,
        "line that closes no loop",
        "lines that close no loop",
    );
    left.some(done.doubled, "line drawn twice", "lines drawn twice");
    let branched = done.branched.map(|(count, place)| {
        format!(
            "Three or more lines meet at one point near {}, so nobody can say which way the outline goes: {} left out.",
            place_text(place),
            counted(count, "line there is", "lines there are")
        )
    });
    let loops = done.loops.len();
    let Some(Sorted {
        outline,
        holes,
        outside,
    }) = sorted(&done, &mut left)?
    else {
        let why = branched.or_else(|| left.sentence());
        return Err(refuse(format!(
            "No closed loop is drawn in this file.{} Draw the outline of the part as one closed line.",
            why.map(|text| format!(" {text}")).unwrap_or_default()
        )));
    };
    told.extend(branched);
    let size = outline.high - outline.low;
    if let Some(problem) = size_problem(size.x, size.y) {
        return Err(problem);
    }
    told.extend(moved(outline.low.to_vec2().hypot(), size.x.max(size.y)));
    let mut origin = outline.low;
    let rings: Vec<Vec<Point>> = std::iter::once(&outline)
        .chain(&holes)
        .map(|ring| {
            ring.points
                .iter()
                .map(|&[x, y]| Point::new(x - origin.x, y - origin.y))
                .collect()
        })
        .collect();
    let (mut rings, off) = held(&rings, size.x.max(size.y), &mut left)?;
    // Thinning may have moved the corner by a hair.
    let corner = to_corner(&mut rings);
    origin += corner;
    if let Some([x, y]) = crossing(&rings) {
        return Err(refuse(format!(
            "The outline crosses or touches itself, or a hole, near {}. Mend the drawing there.",
            place_text(Point::new(x, y))
        )));
    }
    if let Some(edge) = rings.first() {
        for ring in outside.iter().filter(|ring| ring.reaches(&outline)) {
            apart(edge, ring, origin)?;
        }
    }
    let whole: f64 = area_of(&rings);
    let hole_count = rings.len().saturating_sub(1);
    told.push(format!(
        "The part measures {} mm by {} mm and has an area of {} m²{}.",
        plain(size.x),
        plain(size.y),
        plain(whole / 1e6),
        match hole_count {
            0 => String::new(),
            _ => format!(", its {} taken off", counted(hole_count, "hole", "holes")),
        }
    ));
    told.push(format!(
        "Curves became straight pieces, nowhere more than {} mm off the drawing: {} in all.",
        plain(off),
        counted(rings.iter().map(Vec::len).sum(), "corner", "corners")
    ));
    told.extend(left.sentence());
    let mut rings = rings.into_iter();
    let shape = json!({
        "form": "outline",
        "points_mm": rings.next().unwrap_or_default(),
        "holes_mm": rings.collect::<Vec<_>>(),
        "from": name,
    });
    Ok(Found { shape, told, loops })
}

/// Moves the loops so that the lowest corner of the first lies at 0, 0; by how much is handed back.
fn to_corner(rings: &mut [Loop]) -> Vec2 {
    let lowest = |axis: usize| {
        rings
            .first()
            .into_iter()
            .flatten()
            .filter_map(|p| p.get(axis).copied())
            .fold(f64::INFINITY, f64::min)
    };
    let by = [lowest(0), lowest(1)];
    for p in rings.iter_mut().flatten() {
        for (x, by) in p.iter_mut().zip(by) {
            *x = rounded(*x - by);
        }
    }
    Vec2::new(by[0], by[1])
}

fn area_of(rings: &[Loop]) -> f64 {
    // Holes run the other way round and take their area off by themselves.
    rings.iter().map(|ring| area(ring)).sum()
}

fn place_text(p: Point) -> String {
    format!("x {} mm, y {} mm", plain(p.x), plain(p.y))
}

/// The outline, its holes, and what lies outside it, by what each loop holds.
fn sorted(done: &Joined, left: &mut Left) -> Result<Option<Sorted>, Problem> {
    let mut rings: Vec<Ring> = done.loops.iter().map(|points| Ring::of(points)).collect();
    let all = rings.len();
    if let Some(place) = cancelled(&rings) {
        return Err(refuse(format!(
            "The only loop crosses itself near {}, so that its two halves take each other off. Mend the drawing there.",
            place_text(place)
        )));
    }
    rings.retain(|ring| ring.area >= DOT_MM2);
    left.some(
        all - rings.len(),
        "dot of less than 1 mm²",
        "dots of less than 1 mm²",
    );
    if rings.len() > MOST_LOOPS {
        return Err(refuse(format!(
            "This drawing has {}, and at most {MOST_LOOPS} are looked at. Save the outline and its holes alone.",
            counted(rings.len(), "closed loop", "closed loops")
        )));
    }
    rings.sort_by(|a, b| b.area.total_cmp(&a.area));
    let mut rings = rings.into_iter();
    let Some(outline) = rings.next() else {
        return Ok(None);
    };
    let (mut holes, mut outside): (Vec<Ring>, Vec<Ring>) = (Vec::new(), Vec::new());
    for ring in rings {
        if ring.doubles(&outline) || holes.iter().any(|hole| ring.doubles(hole)) {
            left.one("loop drawn twice", "loops drawn twice");
        } else if !ring.within(&outline) {
            left.one("loop outside the outline", "loops outside the outline");
            outside.push(ring);
        } else if holes.iter().any(|hole| ring.within(hole)) {
            left.one("loop inside a hole", "loops inside holes");
        } else {
            holes.push(ring);
        }
        if holes.len() > MOST_HOLES {
            return Err(refuse(format!(
                "This drawing has more than {MOST_HOLES} holes. Leave out those that are drilled later."
            )));
        }
    }
    Ok(Some(Sorted {
        outline,
        holes,
        outside,
    }))
}

/// Where the largest loop crosses itself, when no loop holds anything.
fn cancelled(rings: &[Ring]) -> Option<Point> {
    let across = |ring: &Ring| (ring.high - ring.low).hypot();
    let largest = rings
        .iter()
        .max_by(|a, b| across(a).total_cmp(&across(b)))
        .filter(|ring| across(ring) >= super::SIZES_MM.0 && ring.points.len() <= MOST_CORNERS)?;
    if rings.iter().any(|ring| ring.area >= DOT_MM2) {
        return None;
    }
    let moved: Loop = largest
        .points
        .iter()
        .map(|p| [p[0] - largest.low.x, p[1] - largest.low.y])
        .collect();
    crossing(&[moved]).map(|[x, y]| Point::new(x, y))
}

/// A problem where a loop that is no hole runs across the outline all the same.
fn apart(edge: &Loop, ring: &Ring, origin: Point) -> Result<(), Problem> {
    let points: Vec<Point> = ring
        .points
        .iter()
        .map(|&[x, y]| Point::new(x - origin.x, y - origin.y))
        .collect();
    let thin = thinned(&points, THIN_MM, &mut WORK.clone()).unwrap_or_default();
    if thin.len() > MOST_CORNERS {
        return Err(refuse(
            "Beside the outline a loop is drawn too finely to tell whether it crosses it. Save the outline alone.",
        ));
    }
    let thin: Loop = cleaned(&thin).iter().map(|p| [p.x, p.y]).collect();
    if thin.len() < 3 || crossing(std::slice::from_ref(&thin)).is_some() {
        // It is no clean loop by itself, and no part of this one.
        return Ok(());
    }
    match crossing(&[edge.clone(), thin]) {
        None => Ok(()),
        Some([x, y]) => Err(refuse(format!(
            "Another loop crosses or touches the outline near {}. Join the two, or take one out.",
            place_text(Point::new(x, y))
        ))),
    }
}

/// The loops thinned until the plan can hold them, the outline counterclockwise, holes clockwise; and how far off the
/// drawing they may lie [mm].
fn held(rings: &[Vec<Point>], size: f64, left: &mut Left) -> Result<(Vec<Loop>, f64), Problem> {
    let too_fine = || {
        refuse(format!(
            "The outline is drawn too finely: it takes more than {MOST_CORNERS} corners to keep within {} mm of it. Smooth it in the drawing.",
            plain(size * THIN_SHARE)
        ))
    };
    let mut work = WORK;
    let mut tolerance = THIN_MM.min(size * FINE_SHARE);
    let mut loops = rings.to_vec();
    loop {
        for points in &mut loops {
            *points = thinned(points, tolerance, &mut work).ok_or_else(too_fine)?;
        }
        if loops.iter().map(Vec::len).sum::<usize>() <= MOST_CORNERS {
            break;
        }
        // From the full drawing again: thinning the thinned would add up.
        loops = rings.to_vec();
        tolerance *= 1.5;
        if tolerance + FLAT_MM > (size * THIN_SHARE).max(0.2) {
            return Err(too_fine());
        }
    }
    let mut out: Vec<Loop> = Vec::new();
    for (i, points) in loops.iter().enumerate() {
        let mut ring: Loop = cleaned(points).iter().map(|p| [p.x, p.y]).collect();
        if ring.len() < 3 {
            if i == 0 {
                return Err(refuse(
                    "The outline has no width: its two sides lie on each other.",
                ));
            }
            left.one("slit without a width", "slits without a width");
            continue;
        }
        if (area(&ring) < 0.0) == (i == 0) {
            ring.reverse();
        }
        out.push(ring);
    }
    Ok((out, tolerance + FLAT_MM))
}
