//! Picks the outline and its holes out of what is drawn, and thins them to what a plan holds.

use super::join::{Line, joined};
use super::net::{Net, RingKind, Way, net};
use super::pen::{FLAT_MM, Mark, Stroke, extent, moved};
use super::pick::{Picked, Ring, picked};
use super::picture::{Area, Frame, Role};
use super::thin::{cleaned, rounded, thinned};
use super::wish::Wish;
use super::{Left, counted, refuse, size_problem};
use crate::read::Problem;
use crate::shape::{Loop, area, crossing};
use crate::solve::sort::sort_by_key;
use crate::units::plain;
use kurbo::{Point, Vec2};
use serde_json::{Value, json};

/// Most corners of an outline and its holes together.
const MOST_CORNERS: usize = 600;
/// Most loops that are looked at, most cells of what hangs together, and most holes.
const MOST_LOOPS: usize = 1000;
const MOST_CELLS: usize = 300;
const MOST_HOLES: usize = 100;
/// Most loops in the picture.
const MOST_SHOWN: usize = 60;
/// A loop that holds less than this is a dot [mm2].
const DOT_MM2: f64 = 1.0;
/// Ends that stop so far short of another line are led to it, and no more than this share of the drawing [mm].
const SHORT_MM: f64 = 1.0;
const SHORT_SHARE: f64 = 0.01;
/// How near to the edge of all that is drawn what lies behind it ends, as a share, and how much wider it is taken [mm].
const BEHIND_SHARE: f64 = 0.005;
const BEHIND_MM: f64 = 0.01;
/// How far thinning may move the edge, on top of what flattening did [mm]; of a small part less, by its longer side.
const THIN_MM: f64 = 0.2 - FLAT_MM;
const FINE_SHARE: f64 = 1.0 / 2000.0;
/// How far it may at most, as a share of the longer side.
const THIN_SHARE: f64 = 0.005;
/// How far the picture may, as a share of its width.
const SEEN_SHARE: f64 = 1.0 / 1500.0;
/// Points that thinning may look at: about a second's work in a slow build.
const WORK: usize = 60_000_000;

/// What was found in a drawing.
pub(super) struct Found {
    /// The shape of the plan, or why what is picked is none.
    pub(super) shape: Result<Value, Problem>,
    pub(super) told: Vec<String>,
    /// Closed loops that were drawn.
    pub(super) loops: usize,
    /// Width and height of the part as it lies [mm].
    pub(super) sides: [f64; 2],
    pub(super) areas: Vec<Area>,
    pub(super) size: [f64; 2],
}

/// The loops of a drawing, and what is to be told of them.
struct Loops {
    net: Net,
    rings: Vec<Ring>,
    told: Vec<String>,
    closed: usize,
}

/// The outline among the strokes of a drawing, as wished or as is likely. Lengths are told in `unit`s where nobody knows
/// how long one is.
pub(super) fn found(
    name: &str,
    strokes: Vec<Stroke>,
    wish: &Wish,
    units: Option<f64>,
    mut left: Left,
) -> Result<Found, Problem> {
    let mut strokes = meant(strokes, &mut left);
    behind(&mut strokes);
    let Loops {
        net,
        rings,
        mut told,
        closed,
    } = loops(strokes, &mut left)?;
    let Some(picked) = picked(&rings, &wish.pick) else {
        return Err(refuse(format!(
            "No closed loop is drawn in this file.{} Draw the outline of the part as one closed line.",
            left.sentence()
                .map(|text| format!(" {text}"))
                .unwrap_or_default()
        )));
    };
    if let Some(sheet) = picked.sheet.and_then(|i| rings.get(i)) {
        told.push(format!(
            "The rectangle of {} around it is taken for the sheet. Tap it if it is the part.",
            by(sheet, wish, units)
        ));
    }
    let loops = picked.rings(&rings, &net.points);
    let (areas, size) = areas(&rings, &picked, wish, units);
    let (low, high) = extent_of(&loops);
    let [wide, tall] = turned_size([high[0] - low[0], high[1] - low[1]], wish);
    let shape = match size_problem(wide, tall).filter(|_| units.is_none()) {
        Some(problem) => Err(problem),
        None => shape(name, &loops, wish, &mut told, &mut left),
    };
    let beside = rings
        .iter()
        .enumerate()
        .filter(|(i, ring)| {
            ring.kind == RingKind::Whole
                && *i != picked.part
                && !picked.holes.contains(i)
                && Some(*i) != picked.sheet
        })
        .count();
    left.some(
        beside,
        "loop that is not the part, nor a hole in it",
        "loops that are not the part, nor holes in it",
    );
    told.extend(left.sentence());
    Ok(Found {
        shape,
        told,
        loops: closed,
        sides: [wide, tall],
        areas,
        size,
    })
}

/// The strokes that can mean an edge: middle lines and the faces of hatches only where nothing else is there.
fn meant(strokes: Vec<Stroke>, left: &mut Left) -> Vec<Stroke> {
    let edge = |stroke: &Stroke| !stroke.mark.axis && !stroke.mark.face;
    let closes = |strokes: &[&Stroke]| {
        let (low, high) = extent(strokes.iter().flat_map(|stroke| &stroke.points));
        let size = (high - low).x.max((high - low).y);
        let strokes: Vec<Stroke> = strokes.iter().map(|stroke| (*stroke).clone()).collect();
        laid(&strokes, size, &mut Left::default()).is_some_and(|(net, _)| !net.rings.is_empty())
    };
    if strokes.iter().all(edge) {
        return strokes;
    }
    let edges: Vec<&Stroke> = strokes.iter().filter(|stroke| edge(stroke)).collect();
    let axes = strokes.iter().filter(|stroke| stroke.mark.axis).count();
    let faces = strokes.iter().filter(|stroke| stroke.mark.face).count();
    if !edges.is_empty() && closes(&edges) {
        left.some(axes, "middle line", "middle lines");
        left.some(faces, "hatch or filled face", "hatches or filled faces");
        return strokes.into_iter().filter(edge).collect();
    }
    let solid: Vec<&Stroke> = strokes.iter().filter(|stroke| !stroke.mark.axis).collect();
    if faces > 0 && closes(&solid) {
        left.some(axes, "middle line", "middle lines");
        return strokes
            .into_iter()
            .filter(|stroke| !stroke.mark.axis)
            .collect();
    }
    strokes
}

/// Takes a painted rectangle that lies behind all of a drawing a hair wider, so that a part which reaches to its edge does
/// not become one with it.
fn behind(strokes: &mut [Stroke]) {
    let (low, high) = extent(strokes.iter().flat_map(|stroke| &stroke.points));
    let off = BEHIND_SHARE * (high - low).hypot();
    let paints: Vec<u64> = strokes.iter().map(|stroke| stroke.mark.paint).collect();
    for stroke in strokes {
        let (from, to) = extent(stroke.points.iter());
        let as_large = from.distance(low) <= off && to.distance(high) <= off;
        let corners = |p: &Point| [from.x, to.x].contains(&p.x) && [from.y, to.y].contains(&p.y);
        let painted = stroke.mark.filled && !stroke.mark.lined;
        let differs = paints.iter().any(|paint| *paint != stroke.mark.paint);
        if painted && differs && as_large && stroke.points.iter().all(corners) {
            for p in &mut stroke.points {
                p.x += if p.x == from.x { -BEHIND_MM } else { BEHIND_MM };
                p.y += if p.y == from.y { -BEHIND_MM } else { BEHIND_MM };
            }
        }
    }
}

/// Lines joined and laid into a map, with the mark of each; what was mended on the way.
fn laid(strokes: &[Stroke], size: f64, left: &mut Left) -> Option<(Net, Mended)> {
    let done = joined(strokes.to_vec(), size);
    left.some(done.doubled, "line drawn twice", "lines drawn twice");
    let closed = done.loops.len();
    let all: Vec<(&Line, bool)> = done
        .loops
        .iter()
        .map(|line| (line, true))
        .chain(
            done.tangled
                .iter()
                .chain(&done.open)
                .map(|line| (line, false)),
        )
        .collect();
    let ways =
        |some: &[(&Line, bool)]| -> Vec<Mark> { some.iter().map(|(line, _)| line.mark).collect() };
    let lay = |some: &[(&Line, bool)]| {
        let ways: Vec<Way<'_>> = some
            .iter()
            .map(|(line, closed)| Way {
                points: &line.points,
                closed: *closed,
            })
            .collect();
        net(&ways, SHORT_MM.min(SHORT_SHARE * size))
    };
    let (net, marks, skipped) = match lay(&all) {
        Some(net) => (net, ways(&all), 0),
        // So many lines that cross: those that are closed by themselves are looked at alone.
        None => {
            let loops = all.get(..closed).unwrap_or(&[]);
            (lay(loops)?, ways(loops), all.len() - closed)
        }
    };
    left.some(
        net.idle + skipped,
        "line that closes no loop",
        "lines that close no loop",
    );
    let mended = Mended {
        marks,
        gaps: done.gaps,
        widest: done.widest,
    };
    Some((net, mended))
}

/// What was mended before lines were laid into a map.
struct Mended {
    marks: Vec<Mark>,
    gaps: usize,
    widest: f64,
}

fn loops(strokes: Vec<Stroke>, left: &mut Left) -> Result<Loops, Problem> {
    let (low, high) = extent(strokes.iter().flat_map(|stroke| &stroke.points));
    let size = (high - low).x.max((high - low).y);
    let Some((net, mended)) = laid(&strokes, size, left) else {
        return Err(refuse(
            "The lines of this drawing cross one another too often to tell what they enclose. Save the outline and its holes alone.",
        ));
    };
    let mut told = Vec::new();
    if mended.gaps > 0 {
        told.push(format!(
            "Gaps of up to {} mm were closed in {}.",
            plain(mended.widest),
            counted(mended.gaps, "loop", "loops")
        ));
    }
    if net.short > 0 {
        told.push(format!(
            "{} up to 1 mm short of another line, and was led to it.",
            counted(net.short, "line stopped", "lines stopped")
        ));
    }
    if net.over > 0 {
        told.push(format!(
            "{} beyond what they enclose, and were trimmed there.",
            counted(net.over, "line ran", "lines ran")
        ));
    }
    if let Some(place) = net.crossing {
        told.push(format!(
            "Lines cross near {}: the edge of all that hangs together counts, or the piece you tap.",
            place_text(place)
        ));
    }
    let mut rings = Ring::all(&net, &mended.marks);
    let all = rings.len();
    let dot = |ring: &Ring| ring.area < DOT_MM2;
    rings.retain(|ring| !dot(ring));
    left.some(
        all - rings.len(),
        "dot of less than 1 mm²",
        "dots of less than 1 mm²",
    );
    let mut cells = 0;
    rings.retain(|ring| {
        cells += usize::from(ring.kind != RingKind::Whole);
        ring.kind == RingKind::Whole || cells <= MOST_CELLS
    });
    let closed = rings
        .iter()
        .filter(|ring| ring.kind == RingKind::Whole)
        .count();
    if closed > MOST_LOOPS {
        return Err(refuse(format!(
            "This drawing has {}, and at most {MOST_LOOPS} are looked at. Save the outline and its holes alone.",
            counted(closed, "closed loop", "closed loops")
        )));
    }
    Ok(Loops {
        net,
        rings,
        told,
        closed,
    })
}

fn extent_of(loops: &[Loop]) -> ([f64; 2], [f64; 2]) {
    let mut all = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for p in loops.iter().flatten() {
        for (k, x) in p.iter().enumerate() {
            all.0[k] = all.0[k].min(*x);
            all.1[k] = all.1[k].max(*x);
        }
    }
    all
}

fn turned_size([wide, tall]: [f64; 2], wish: &Wish) -> [f64; 2] {
    if wish.turns % 2 == 1 {
        [tall, wide]
    } else {
        [wide, tall]
    }
}

/// Width and height of a loop in words.
fn by(ring: &Ring, wish: &Wish, units: Option<f64>) -> String {
    let size = [ring.high[0] - ring.low[0], ring.high[1] - ring.low[1]];
    let [wide, tall] = turned_size(size, wish);
    match units {
        None => format!("{} mm by {} mm", plain(wide), plain(tall)),
        Some(mm) => format!("{} by {} units", plain(wide / mm), plain(tall / mm)),
    }
}

/// The loops for the picture, the largest first, and the size of the picture.
fn areas(
    rings: &[Ring],
    picked: &Picked,
    wish: &Wish,
    units: Option<f64>,
) -> (Vec<Area>, [f64; 2]) {
    let role = |i: usize| match () {
        () if i == picked.part => Role::Part,
        () if picked.holes.contains(&i) => Role::Hole,
        () => Role::Other,
    };
    let mut shown: Vec<usize> = (0..rings.len()).collect();
    // What is picked is always there, and then what is large.
    sort_by_key(&mut shown, |&i| (role(i) == Role::Other, i));
    shown.truncate(MOST_SHOWN);
    shown.sort_unstable();
    let seen: Vec<Loop> = shown
        .iter()
        .filter_map(|&i| rings.get(i))
        .map(|ring| ring.points.iter().map(|&p| wish.lies(p)).collect())
        .collect();
    let (low, high) = extent_of(&seen);
    let off = (high[0] - low[0]).max(high[1] - low[1]) * SEEN_SHARE;
    let frame = Frame::of(low, high);
    let mut work = WORK;
    let areas = shown
        .iter()
        .zip(&seen)
        .enumerate()
        .filter_map(|(n, (&i, points))| {
            let ring = rings.get(i)?;
            let points: Vec<Point> = points.iter().map(|p| Point::new(p[0], p[1])).collect();
            let thin = thinned(&points, off, &mut work).unwrap_or(points);
            let area = match units {
                None => format!(", {} m²", plain(ring.area / 1e6)),
                Some(_) => String::new(),
            };
            Some(Area {
                key: ring.key(),
                path: frame.path(thin.iter().map(|p| [p.x, p.y])),
                role: role(i),
                words: format!(
                    "{} {}: {}{area}",
                    if ring.kind == RingKind::Cell {
                        "Piece"
                    } else {
                        "Loop"
                    },
                    n + 1,
                    by(ring, wish, units)
                ),
                as_part: picked.with_part(rings, i),
                as_hole: picked.with_hole(rings, i),
            })
        })
        .collect();
    (areas, frame.size)
}

/// The shape of a plan from an edge and its holes.
fn shape(
    name: &str,
    loops: &[Loop],
    wish: &Wish,
    told: &mut Vec<String>,
    left: &mut Left,
) -> Result<Value, Problem> {
    if loops.len() > MOST_HOLES + 1 {
        return Err(refuse(format!(
            "This drawing has more than {MOST_HOLES} holes. Leave out those that are drilled later."
        )));
    }
    let seen: Vec<Loop> = loops
        .iter()
        .map(|ring| ring.iter().map(|&p| wish.lies(p)).collect())
        .collect();
    let (low, high) = extent_of(seen.get(..1).unwrap_or(&[]));
    let size = Vec2::new(high[0] - low[0], high[1] - low[1]);
    told.extend(moved(low[0].hypot(low[1]), size.x.max(size.y)));
    let rings: Vec<Vec<Point>> = seen
        .iter()
        .map(|ring| {
            ring.iter()
                .map(|&[x, y]| Point::new(x - low[0], y - low[1]))
                .collect()
        })
        .collect();
    let (mut rings, off) = held(&rings, size.x.max(size.y), left)?;
    // Thinning may have moved the corner by a hair.
    to_corner(&mut rings);
    if let Some([x, y]) = crossing(&rings) {
        return Err(refuse(format!(
            "The outline crosses or touches itself, or a hole, near {}. Tap another loop, or mend the drawing there.",
            place_text(Point::new(x, y))
        )));
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
    let mut rings = rings.into_iter();
    Ok(json!({
        "form": "outline",
        "points_mm": rings.next().unwrap_or_default(),
        "holes_mm": rings.collect::<Vec<_>>(),
        "from": name,
    }))
}

/// Moves the loops so that the lowest corner of the first lies at 0, 0.
fn to_corner(rings: &mut [Loop]) {
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
}

fn area_of(rings: &[Loop]) -> f64 {
    // Holes run the other way round and take their area off by themselves.
    rings.iter().map(|ring| area(ring)).sum()
}

fn place_text(p: Point) -> String {
    format!("x {} mm, y {} mm", plain(p.x), plain(p.y))
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
