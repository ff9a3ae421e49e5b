//! Tells which loop of a drawing is likely the part, which are its holes, and what a tap on another makes of it.

use super::net::{Net, RingKind};
use super::pen::Mark;
use super::wish::Pick;
use crate::shape::{Loop, area, inside};
use crate::solve::sort::{sort_by, sort_numbers};
use kurbo::Point;

/// Loops this much alike are one drawn twice [mm], and in area as a share.
const TWICE_MM: f64 = 0.3;
const TWICE_SHARE: f64 = 5e-3;
/// How far two keys may differ and still mean the same loop.
const KEY_OFF: f64 = 0.02;
/// A loop smaller than this share of the sheet about it is no part on a sheet.
const PART_SHARE: f64 = 0.01;
/// How far a sheet may lie off its standard size, as a share.
const SHEET_OFF: f64 = 4e-3;
/// Sizes of sheets [mm]: ISO 216 A5 to A0 (1975, from memory), and the frames that ISO 5457 (1999, from memory) draws on
/// them, 20 mm in from the left and 10 mm from the other edges.
const SHEETS_MM: [[f64; 2]; 11] = [
    [148.0, 210.0],
    [210.0, 297.0],
    [297.0, 420.0],
    [420.0, 594.0],
    [594.0, 841.0],
    [841.0, 1189.0],
    [180.0, 277.0],
    [277.0, 390.0],
    [400.0, 564.0],
    [574.0, 811.0],
    [821.0, 1159.0],
];

/// A loop that may be the part.
pub(super) struct Ring {
    pub(super) nodes: Vec<usize>,
    pub(super) points: Loop,
    /// [mm2]
    pub(super) area: f64,
    pub(super) low: [f64; 2],
    pub(super) high: [f64; 2],
    pub(super) kind: RingKind,
    pub(super) mark: Mark,
    /// A point well inside.
    within: [f64; 2],
    key: [f64; 3],
}

impl Ring {
    /// The loops of a map, the largest first; `marks` by line.
    pub(super) fn all(net: &Net, marks: &[Mark]) -> Vec<Self> {
        let (low, high) = super::pen::extent(net.points.iter());
        let size = [(high.x - low.x).max(1e-9), (high.y - low.y).max(1e-9)];
        let mut rings: Vec<Self> = net
            .rings
            .iter()
            .filter_map(|ring| {
                let points: Loop = ring
                    .nodes
                    .iter()
                    .filter_map(|&node| net.points.get(node))
                    .map(|p| [p.x, p.y])
                    .collect();
                let [low_here, high_here] = bounds(&points);
                let moved: Loop = points
                    .iter()
                    .map(|p| [p[0] - low_here[0], p[1] - low_here[1]])
                    .collect();
                let area = area(&moved).abs();
                Some(Self {
                    within: within(&points, low_here, high_here)?,
                    key: [
                        ((low_here[0] + high_here[0]) / 2.0 - low.x) / size[0],
                        ((low_here[1] + high_here[1]) / 2.0 - low.y) / size[1],
                        (area / (size[0] * size[1])).sqrt(),
                    ],
                    nodes: ring.nodes.clone(),
                    points,
                    area,
                    low: low_here,
                    high: high_here,
                    kind: ring.kind,
                    mark: marks.get(ring.line).copied().unwrap_or_default(),
                })
            })
            .collect();
        sort_by(&mut rings, |a, b| b.area.total_cmp(&a.area));
        rings
    }

    /// Its name in a pick: where its middle lies in the drawing, and its size, so that it means the same in any unit.
    pub(super) fn key(&self) -> String {
        let [x, y, size] = self.key;
        format!("{x:.5} {y:.5} {size:.5}")
    }

    /// Whether it lies inside another.
    pub(super) fn lies_in(&self, other: &Self) -> bool {
        self.area < other.area && inside(&other.points, self.within)
    }

    /// Whether it is another drawn a second time.
    fn doubles(&self, other: &Self) -> bool {
        let off = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]) <= TWICE_MM;
        off(self.low, other.low)
            && off(self.high, other.high)
            && (self.area - other.area).abs() <= TWICE_SHARE * other.area
    }

    fn size(&self) -> [f64; 2] {
        [self.high[0] - self.low[0], self.high[1] - self.low[1]]
    }

    fn is_rectangle(&self) -> bool {
        let [wide, tall] = self.size();
        self.area >= 0.995 * wide * tall
    }
}

fn bounds(points: &Loop) -> [[f64; 2]; 2] {
    let mut all = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
    for p in points {
        for k in 0..2 {
            all[0][k] = all[0][k].min(p[k]);
            all[1][k] = all[1][k].max(p[k]);
        }
    }
    all
}

/// A point well inside a loop: in the middle of the widest stretch of a line across it.
fn within(points: &Loop, low: [f64; 2], high: [f64; 2]) -> Option<[f64; 2]> {
    let mut best: Option<(f64, [f64; 2])> = None;
    for share in [0.5, 0.371, 0.617, 0.113, 0.893] {
        let y = low[1] + (high[1] - low[1]) * share;
        let mut across: Vec<f64> = crate::shape::loops::sides(points)
            .filter(|(a, b)| (a[1] > y) != (b[1] > y))
            .map(|(a, b)| a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]))
            .collect();
        sort_numbers(&mut across);
        for pair in across.chunks_exact(2) {
            if let &[from, to] = pair
                && best.is_none_or(|(wide, _)| to - from > wide)
            {
                best = Some((to - from, [(from + to) / 2.0, y]));
            }
        }
    }
    best.map(|(_, p)| p)
}

/// The part and its holes among the loops.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Picked {
    pub(super) part: usize,
    pub(super) holes: Vec<usize>,
    /// What was taken for the sheet about the part, when the part is what is likely.
    pub(super) sheet: Option<usize>,
}

/// The loop that a key means.
fn meant(rings: &[Ring], key: &str) -> Option<usize> {
    let mut numbers = key.split(' ').map(|word| word.parse::<f64>().ok());
    let wanted = [numbers.next()??, numbers.next()??, numbers.next()??];
    let off = |ring: &Ring| -> f64 {
        ring.key
            .iter()
            .zip(wanted)
            .map(|(a, b)| (a - b).abs())
            .sum()
    };
    (0..rings.len())
        .filter_map(|i| Some((off(rings.get(i)?), i)))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|(off, _)| *off <= KEY_OFF)
        .map(|(_, i)| i)
}

/// What is picked: as wished, else what is likely. None where there is no loop.
pub(super) fn picked(rings: &[Ring], wish: &Pick) -> Option<Picked> {
    let (part, sheet) = match wish.part.first().and_then(|key| meant(rings, key)) {
        Some(part) => (part, None),
        None => likely(rings)?,
    };
    let holes = match &wish.holes {
        None => likely_holes(rings, part),
        Some(keys) => {
            let mut holes: Vec<usize> = keys.iter().filter_map(|key| meant(rings, key)).collect();
            holes.retain(|&hole| within_part(rings, hole, part));
            holes.sort_unstable();
            holes.dedup();
            holes
        }
    };
    Some(Picked { part, holes, sheet })
}

fn within_part(rings: &[Ring], ring: usize, part: usize) -> bool {
    ring != part
        && rings
            .get(ring)
            .zip(rings.get(part))
            .is_some_and(|(ring, part)| ring.lies_in(part))
}

/// Wholes right inside a loop, the largest first; what is the loop drawn twice is none.
fn children(rings: &[Ring], part: usize) -> Vec<usize> {
    let Some(whole) = rings.get(part) else {
        return Vec::new();
    };
    let mut found: Vec<usize> = Vec::new();
    for (i, ring) in rings.iter().enumerate() {
        let known = |&other: &usize| {
            rings
                .get(other)
                .is_some_and(|other| ring.lies_in(other) || ring.doubles(other))
        };
        if ring.kind == RingKind::Whole
            && i != part
            && ring.lies_in(whole)
            && !ring.doubles(whole)
            && !found.iter().any(known)
        {
            found.push(i);
        }
    }
    found
}

/// The loops that are likely cut out of a part.
fn likely_holes(rings: &[Ring], part: usize) -> Vec<usize> {
    children(rings, part)
}

/// The loop that is likely the part, and the sheet about it if there is one.
fn likely(rings: &[Ring]) -> Option<(usize, Option<usize>)> {
    let mut part = rings.iter().position(|ring| ring.kind == RingKind::Whole)?;
    let mut sheet = None;
    // A sheet may hold its frame, and that the part.
    for _ in 0..4 {
        let inner = children(rings, part);
        let (Some(about), Some(&next)) = (rings.get(part), inner.first()) else {
            break;
        };
        if !is_sheet(rings, part, about, &inner) {
            break;
        }
        sheet = Some(part);
        part = next;
    }
    Some((part, sheet))
}

/// Whether a loop is the sheet on which the part is drawn rather than the part.
fn is_sheet(rings: &[Ring], place: usize, about: &Ring, inner: &[usize]) -> bool {
    let Some(first) = inner.first().and_then(|&i| rings.get(i)) else {
        return false;
    };
    if !about.is_rectangle() || first.area < PART_SHARE * about.area {
        return false;
    }
    let [wide, tall] = about.size();
    let (short, long) = (wide.min(tall), wide.max(tall));
    let like = |size: &[f64; 2]| {
        (short / size[0] - 1.0).abs() <= SHEET_OFF && (long / size[1] - 1.0).abs() <= SHEET_OFF
    };
    let standard = SHEETS_MM.iter().any(like);
    let rooted = (long / short / std::f64::consts::SQRT_2 - 1.0).abs() <= SHEET_OFF;
    // What is drawn on it has holes of its own.
    let deep = |share: f64| {
        inner.iter().take(8).any(|&i| {
            rings
                .get(i)
                .is_some_and(|ring| ring.area >= share * about.area)
                && children(rings, i).iter().any(|&hole| {
                    rings
                        .get(hole)
                        .is_some_and(|hole| hole.area >= 1e-4 * about.area)
                })
        })
    };
    // It is divided, as where a table of names stands in its corner.
    let divided = rings.iter().enumerate().take(100).any(|(i, ring)| {
        ring.kind == RingKind::Cell && i != place && ring.lies_in(about) && shares(ring, about)
    });
    let backdrop = about.mark.filled
        && !about.mark.lined
        && about.mark.paint != first.mark.paint
        && !first.mark.white;
    let alone = inner.len() == 1 && !first.is_rectangle();
    let mut votes = 0.0;
    for (said, weight) in [
        (about.mark.sheet && !first.mark.sheet, 3.0),
        // A small one may be a slug in a hole.
        (deep(2.0 * PART_SHARE), 1.0),
        (deep(10.0 * PART_SHARE), 1.0),
        (backdrop, 2.0),
        (standard, 1.5),
        (rooted && !standard, 0.75),
        (divided, 1.25),
        (alone, 0.5),
    ] {
        if said {
            votes += weight;
        }
    }
    votes >= 2.0
}

/// Whether two loops have a place in common.
fn shares(one: &Ring, other: &Ring) -> bool {
    let mut nodes = other.nodes.clone();
    nodes.sort_unstable();
    one.nodes
        .iter()
        .any(|node| nodes.binary_search(node).is_ok())
}

impl Picked {
    /// What a tap on a loop picks as the part; on the part itself, the loop about it.
    pub(super) fn with_part(&self, rings: &[Ring], tapped: usize) -> Pick {
        let about = |ring: &Ring| {
            rings
                .iter()
                .rposition(|other| ring.lies_in(other) && !ring.doubles(other))
        };
        let part = if tapped == self.part {
            rings.get(tapped).and_then(about).unwrap_or(tapped)
        } else {
            tapped
        };
        Pick {
            part: rings.get(part).map(Ring::key).into_iter().collect(),
            holes: None,
        }
    }

    /// What a tap on a loop picks as a hole, or as none any more.
    pub(super) fn with_hole(&self, rings: &[Ring], tapped: usize) -> Option<Pick> {
        if !within_part(rings, tapped, self.part) {
            return None;
        }
        let ring = rings.get(tapped)?;
        let mut holes: Vec<usize> = self
            .holes
            .iter()
            .copied()
            .filter(|&hole| hole != tapped)
            .collect();
        if holes.len() == self.holes.len() {
            // A hole in a hole is none, and one about it takes it in.
            holes.retain(|&hole| {
                rings
                    .get(hole)
                    .is_some_and(|hole| !hole.lies_in(ring) && !ring.lies_in(hole))
            });
            holes.push(tapped);
        }
        Some(Pick {
            part: rings.get(self.part).map(Ring::key).into_iter().collect(),
            holes: Some(
                holes
                    .iter()
                    .filter_map(|&hole| rings.get(hole))
                    .map(Ring::key)
                    .collect(),
            ),
        })
    }

    /// Edge and holes, what they share cut off, the edge first.
    pub(super) fn rings(&self, rings: &[Ring], points: &[Point]) -> Vec<Loop> {
        let all: Vec<&Ring> = std::iter::once(self.part)
            .chain(self.holes.iter().copied())
            .filter_map(|i| rings.get(i))
            .collect();
        let touch = all.iter().enumerate().any(|(i, one)| {
            all.get(i + 1..)
                .unwrap_or(&[])
                .iter()
                .any(|other| shares(one, other))
        });
        if !touch {
            return all.iter().map(|ring| ring.points.clone()).collect();
        }
        let nodes: Vec<&[usize]> = all.iter().map(|ring| ring.nodes.as_slice()).collect();
        let mut loops: Vec<Loop> = super::net::apart(&nodes, points)
            .iter()
            .map(|ring| {
                ring.iter()
                    .filter_map(|&node| points.get(node))
                    .map(|p| [p.x, p.y])
                    .collect()
            })
            .collect();
        sort_by(&mut loops, |a, b| area(b).abs().total_cmp(&area(a).abs()));
        // Of a part that this cuts in two the larger stays.
        let edge = loops.first().cloned().unwrap_or_default();
        loops.retain(|ring| *ring == edge || ring.first().is_some_and(|&p| inside(&edge, p)));
        loops
    }
}
