//! Makes the skin of a curved part out of the triangles of a file: its faces for a tap, and the shell that is picked.

mod face;
mod polygon;
mod seam;
pub(super) mod step;
mod weld;

use super::pen::{moved, too_far};
use super::picture::{Area, Frame, Role};
use super::wish::Pick;
use super::{
    LengthUnit, Picture, Reading, SIZES_MM, Side, Up, Wish, asks, counted, picture, refuse,
};
use crate::read::Problem;
use crate::solve::sort::{sort_by, sort_by_key};
use crate::units::plain;
use face::Faces;
pub(super) use polygon::triangles_of;
use serde_json::json;
use std::collections::{BTreeSet, HashMap, HashSet};
use weld::{Skin, skin};

/// Most triangles.
pub(super) const MOST_TRIANGLES: usize = 200_000;
/// Coordinates beyond this in something as large are slips of the file, not parts [mm].
const FAR_MM: f64 = 1e6;
/// Coarsest step of the numbers where a part lies, as a share of its longest side.
const STEP_SHARE: f64 = 1.0 / 2000.0;
/// Most faces in the picture, and about the most triangles.
const MOST_SHOWN: usize = 60;
const MOST_SEEN: usize = 2500;
/// Pieces left out that are larger than this share of the whole are worth a word of warning.
const LARGE: f64 = 0.02;

/// The corners of a triangle.
pub(super) type Triangle = [[f64; 3]; 3];

/// Loose triangles from a file.
pub(super) struct Soup {
    pub(super) triangles: Vec<Triangle>,
    /// The most digits that a number of a text is written with; none of a file of bytes.
    pub(super) digits: Option<i32>,
    /// What is to be told of how they were read.
    pub(super) told: Vec<String>,
}

/// The shell among the triangles of a file, as wished or as is likely.
pub(super) fn read(name: &str, kind: &str, soup: Soup, wish: &Wish) -> Result<Reading, Problem> {
    let Soup {
        mut triangles,
        digits,
        told: first,
    } = soup;
    if triangles.is_empty() {
        return Err(refuse(format!("This {kind} holds no triangles.")));
    }
    // Before the unit changes the numbers.
    if step::share(&triangles, longest_of(&triangles), digits) > STEP_SHARE {
        return Err(too_far());
    }
    let mut unknown = wish.unit.is_none();
    let file = size_of(&triangles);
    let mut mm = match wish.unit {
        Some(unit) => unit.mm(),
        None => super::UNKNOWN_MM / longest_of(&triangles).max(1e-300),
    };
    let reach = longest_of(&triangles) * mm;
    let slipped = |x: &f64| {
        !x.is_finite() || (reach > FAR_MM && (x * mm).abs() > FAR_MM && wish.unit.is_some())
    };
    let slip = triangles
        .iter()
        .position(|triangle| triangle.iter().flatten().any(slipped));
    if let Some(i) = slip {
        return Err(refuse(format!(
            "Triangle {} of this {kind} has a corner that is no number or a kilometre off. Save it again.",
            i + 1
        )));
    }
    scale(&mut triangles, mm);
    let mut shell = Shell::of(&triangles, wish)?;
    let mut unit = wish.unit.map(|unit| {
        format!(
            "One unit of the file is taken as 1 {}, as you say.",
            unit.symbol()
        )
    });
    if let Some(measure) = wish.measure.filter(|measure| measure.mm > 0.0) {
        let side = shell.sides().get(measure.side).copied().unwrap_or(0.0);
        let times = measure.mm / side;
        if !times.is_normal() || !(1e-9..=1e9).contains(&times) {
            return Err(refuse(
                "Type the size of a side as a length, for example 900 mm.",
            ));
        }
        scale(&mut triangles, times);
        mm *= times;
        shell = Shell::of(&triangles, wish)?;
        unknown = false;
        unit = Some(format!(
            "The part is scaled so that this side measures {} mm, as you say.",
            plain(measure.mm)
        ));
    }
    let picture = shell.picture(wish, unknown.then_some(mm));
    if unknown {
        let size = file.map(plain);
        return Ok(Reading {
            shape: None,
            asks_unit: true,
            told: asks(&size.join(" by ")),
            problems: Vec::new(),
            picture,
        });
    }
    let mut told = vec![format!(
        "Read as {kind}: {}.",
        counted(triangles.len(), "triangle", "triangles")
    )];
    told.extend(unit);
    told.extend(first);
    told.extend(shell.told());
    let (shape, problems) = match shell.problem() {
        None => (Some(shell.shape(name)), Vec::new()),
        Some(problem) => (None, vec![problem]),
    };
    Ok(Reading {
        shape,
        asks_unit: false,
        told,
        problems,
        picture,
    })
}

fn scale(triangles: &mut [Triangle], times: f64) {
    for x in triangles.iter_mut().flatten().flatten() {
        *x *= times;
    }
}

fn size_of(triangles: &[Triangle]) -> [f64; 3] {
    let (low, high) = box_of(triangles.iter().flatten());
    [0, 1, 2].map(|i| high[i] - low[i])
}

/// The longest side of the box about some triangles.
fn longest_of(triangles: &[Triangle]) -> f64 {
    size_of(triangles).into_iter().fold(0.0, f64::max)
}

fn wrong_size(longest: f64) -> Problem {
    let mut problem = refuse(format!(
        "The part would be {} mm at its longest, and parts from 5 mm to 20 m are read. Is the unit right?",
        plain(longest)
    ));
    problem.low = Some(SIZES_MM.0);
    problem.high = Some(SIZES_MM.1);
    problem
}

pub(super) fn box_of<'a>(points: impl Iterator<Item = &'a [f64; 3]>) -> ([f64; 3], [f64; 3]) {
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for p in points {
        for i in 0..3 {
            low[i] = low[i].min(p[i]);
            high[i] = high[i].max(p[i]);
        }
    }
    (low, high)
}

/// A skin with its faces and what is picked of them.
struct Shell {
    skin: Skin,
    faces: Faces,
    picked: Vec<usize>,
    /// Whether that is what is likely.
    likely: bool,
    /// How far from its origin the file lies [mm].
    off: f64,
    /// Corners as the part lies.
    lying: Vec<[f64; 3]>,
}

/// A direction as the part lies.
fn turned(wish: &Wish, p: [f64; 3]) -> [f64; 3] {
    let [x, y, z] = wish.up.lies(p);
    let [x, y] = wish.lies([x, y]);
    [x, y, z]
}

impl Shell {
    fn of(triangles: &[Triangle], wish: &Wish) -> Result<Self, Problem> {
        let (low, _) = box_of(triangles.iter().flatten());
        let skin = skin(triangles, low)?;
        let faces = Faces::of(&skin);
        let wished = faces.meant(&wish.pick.part);
        let likely = wished.is_empty();
        let picked = if likely {
            faces.likely(|p| turned(wish, p))
        } else {
            wished
        };
        if picked.is_empty() {
            return Err(refuse(
                "No triangle of this file has an area beside the size of the whole. Save the skin alone, without points far off.",
            ));
        }
        let lying = skin.points.iter().map(|&p| turned(wish, p)).collect();
        Ok(Self {
            skin,
            faces,
            picked,
            likely,
            off: low[0].hypot(low[1]).hypot(low[2]),
            lying,
        })
    }

    /// Triangles that are picked.
    fn triangles(&self) -> impl Iterator<Item = (u32, [u32; 3])> {
        self.picked
            .iter()
            .filter_map(|&face| self.faces.all.get(face))
            .flat_map(|face| &face.triangles)
            .filter_map(|&i| Some((i, *self.skin.triangles.get(i as usize)?)))
    }

    fn area(&self) -> f64 {
        self.triangles()
            .filter_map(|(i, _)| self.skin.areas.get(i as usize))
            .sum()
    }

    fn extent(&self) -> ([f64; 3], [f64; 3]) {
        let corners = self.triangles().flat_map(|(_, corners)| corners);
        let points: Vec<[f64; 3]> = corners
            .filter_map(|i| self.lying.get(i as usize))
            .copied()
            .collect();
        box_of(points.iter())
    }

    /// Length, width and height of what is picked, as it lies [mm].
    fn sides(&self) -> [f64; 3] {
        let (low, high) = self.extent();
        [0, 1, 2].map(|i| high[i] - low[i])
    }

    /// How many groups what is picked falls into.
    fn groups(&self) -> usize {
        let mut above: HashMap<u32, u32> = HashMap::new();
        fn top(above: &mut HashMap<u32, u32>, mut i: u32) -> u32 {
            while let Some(&next) = above.get(&i).filter(|next| **next != i) {
                let further = above.get(&next).copied().unwrap_or(next);
                above.insert(i, further);
                i = next;
            }
            i
        }
        for (_, [a, b, c]) in self.triangles() {
            let first = top(&mut above, a);
            above.entry(first).or_insert(first);
            for other in [b, c] {
                let other = top(&mut above, other);
                above.insert(other, first);
            }
        }
        above.iter().filter(|(i, up)| i == up).count()
    }

    fn problem(&self) -> Option<Problem> {
        let longest = self.sides().into_iter().fold(0.0, f64::max);
        if !(SIZES_MM.0..=SIZES_MM.1).contains(&longest) {
            return Some(wrong_size(longest));
        }
        let whole: f64 = self.skin.areas.iter().sum();
        let pieces = self.faces.closed.len();
        let open = self.faces.closed.iter().any(|closed| !closed);
        if self.likely && open && self.area() < 0.5 * whole {
            return Some(refuse(format!(
                "The triangles of this file hang together in {} only, and the largest has {} % of the area. Tap the one that is the part. If all of them are, merge the points that lie on one another in the program that drew it, and save it again.",
                counted(pieces, "piece", "pieces"),
                plain(self.area() / whole * 100.0)
            )));
        }
        if self.groups() > 1 {
            return Some(refuse(
                "The faces that are picked do not hang together. Tap what lies between them, or tap one of them to leave it out.",
            ));
        }
        None
    }

    /// What was read, and what was left out.
    fn told(&self) -> Vec<String> {
        let size = self.sides();
        let corners: HashSet<u32> = self.triangles().flat_map(|(_, corners)| corners).collect();
        let mut told = vec![
            format!(
                "The skin measures {} mm by {} mm by {} mm and has an area of {} m².",
                plain(size[0]),
                plain(size[1]),
                plain(size[2]),
                plain(self.area() / 1e6)
            ),
            format!(
                "Corners that are one were welded: {} and {}.",
                counted(corners.len(), "corner", "corners"),
                counted(self.triangles().count(), "triangle", "triangles")
            ),
        ];
        told.extend(moved(self.off, size.into_iter().fold(0.0, f64::max)));
        if self.skin.seam > 1e-3 {
            told.push(format!(
                "Seams of up to {} mm between patches were closed.",
                plain(self.skin.seam)
            ));
        }
        if self.skin.flat > 0 {
            told.push(format!(
                "Left out: {} without an area.",
                counted(self.skin.flat, "triangle", "triangles")
            ));
        }
        if self.skin.doubled > 0 {
            told.push(format!(
                "Left out: {} that stand there twice.",
                counted(self.skin.doubled, "triangle", "triangles")
            ));
        }
        let whole: f64 = self.skin.areas.iter().sum();
        let pieces: BTreeSet<usize> = self
            .picked
            .iter()
            .filter_map(|&i| self.faces.all.get(i))
            .map(|face| face.piece)
            .collect();
        let others = self.faces.closed.len() - pieces.len();
        let mine: f64 = self
            .faces
            .all
            .iter()
            .filter(|face| pieces.contains(&face.piece))
            .map(|face| face.area)
            .sum();
        if others > 0 {
            let apart = (whole - mine).max(0.0);
            told.push(format!(
                "Left out: {} that {} not joined to the largest, {} m² in all.{}",
                counted(others, "piece", "pieces"),
                if others == 1 { "is" } else { "are" },
                plain(apart / 1e6),
                if apart > LARGE * whole {
                    " If that is part of it, merge the points along the seam in the program that drew it, and save it again."
                } else {
                    ""
                }
            ));
        }
        let solid = pieces
            .iter()
            .any(|&piece| self.faces.closed.get(piece) == Some(&true));
        if solid {
            told.push("The file is a closed solid, and what is moulded is one side of it. Tap a face to add it or to leave it out.".into());
        } else if mine - self.area() > 1e-6 * whole {
            told.push(format!(
                "Left out: faces of {} m² that are not picked.",
                plain((mine - self.area()) / 1e6)
            ));
        }
        told
    }

    /// The shell of a plan, its lowest corner at 0, 0, 0.
    fn shape(&self, name: &str) -> serde_json::Value {
        let (low, _) = self.extent();
        let mut renamed: HashMap<u32, u32> = HashMap::new();
        let mut points: Vec<[f64; 3]> = Vec::new();
        let triangles: Vec<[u32; 3]> = self
            .triangles()
            .map(|(_, corners)| {
                corners.map(|old| {
                    *renamed.entry(old).or_insert_with(|| {
                        let p = self.lying.get(old as usize).copied().unwrap_or_default();
                        points.push([0, 1, 2].map(|i| weld::rounded(p[i] - low[i])));
                        // As many as there were, and those were counted in this type.
                        (points.len() - 1) as u32
                    })
                })
            })
            .collect();
        json!({
            "form": "shell",
            "points_mm": points,
            "triangles": triangles,
            "from": name,
        })
    }

    /// The faces as they are seen from above and in front; `units` is one of the file, where nobody knows it [mm].
    fn picture(&self, wish: &Wish, units: Option<f64>) -> Picture {
        let shown: Vec<usize> = {
            let mut all: Vec<usize> = (0..self.faces.all.len()).collect();
            sort_by_key(&mut all, |&i| (!self.picked.contains(&i), i));
            all.truncate(MOST_SHOWN);
            all
        };
        let seen: Vec<[f64; 3]> = self.lying.iter().map(|&p| seen(p)).collect();
        let (low, high) = box_of(seen.iter());
        let frame = Frame::of([low[0], low[1]], [high[0], high[1]]);
        let coarse = self.coarse(&shown);
        let mut areas: Vec<(f64, Area)> = shown
            .iter()
            .zip(&coarse)
            .filter_map(|(&i, triangles)| {
                let face = self.faces.all.get(i)?;
                let mut path = String::new();
                let mut depth = 0.0;
                for corners in triangles {
                    let [a, b, c] =
                        corners.map(|i| seen.get(i as usize).copied().unwrap_or_default());
                    depth += (a[2] + b[2] + c[2]) / 3.0 / triangles.len() as f64;
                    // All the same way round, so that they cover each other.
                    let turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
                    let way = if turn < 0.0 { [a, c, b] } else { [a, b, c] };
                    path += &frame.path(way.iter().map(|p| [p[0], p[1]]));
                }
                let part = self.picked.contains(&i);
                let keys = self
                    .faces
                    .tapped(&self.picked, i, |p| turned(wish, p))
                    .into_iter()
                    .filter_map(|i| self.faces.all.get(i))
                    .map(face::Face::key)
                    .collect();
                let area = match units {
                    None => format!("{} m²", plain(face.area / 1e6)),
                    Some(mm) => format!("{} square units", plain(face.area / (mm * mm))),
                };
                Some((
                    depth,
                    Area {
                        key: face.key(),
                        path,
                        role: if part { Role::Part } else { Role::Other },
                        words: format!("Face {}: {area}", i + 1),
                        as_part: Pick {
                            part: keys,
                            holes: None,
                        },
                        as_hole: None,
                    },
                ))
            })
            .collect();
        sort_by(&mut areas, |a, b| a.0.total_cmp(&b.0));
        let sides = self.sides();
        Picture {
            size: frame.size,
            areas: areas.into_iter().map(|(_, area)| area).collect(),
            many: true,
            says: "Tap a face to add it to the part or to leave it out. One that is not joined to it takes its place.",
            units: picture::units(&LengthUnit::ALL[..5]),
            unit: wish.unit.filter(|_| wish.measure.is_none()),
            sides: [("Left to right", 0), ("Front to back", 1), ("Height", 2)]
                .map(|(name, i)| Side {
                    name,
                    mm: units.is_none().then_some(sides[i]),
                })
                .into(),
            ups: Up::ALL
                .map(|(value, name)| super::Choice { value, name })
                .into(),
        }
    }

    /// The triangles of some faces, few enough to draw: corners in one cell of a grid become one.
    fn coarse(&self, shown: &[usize]) -> Vec<Vec<[u32; 3]>> {
        let faces: Vec<Vec<[u32; 3]>> = shown
            .iter()
            .filter_map(|&i| self.faces.all.get(i))
            .map(|face| {
                face.triangles
                    .iter()
                    .filter_map(|&i| self.skin.triangles.get(i as usize))
                    .copied()
                    .collect()
            })
            .collect();
        let count = |faces: &[Vec<[u32; 3]>]| faces.iter().map(Vec::len).sum::<usize>();
        let (low, high) = box_of(self.lying.iter());
        let long = [0, 1, 2]
            .map(|i| high[i] - low[i])
            .into_iter()
            .fold(0.0, f64::max);
        let mut cells = 64.0;
        let mut now = faces.clone();
        while count(&now) > MOST_SEEN && cells > 4.0 {
            let mut first: HashMap<[i64; 3], u32> = HashMap::new();
            let mut to = |i: u32| {
                let p = self.lying.get(i as usize).copied().unwrap_or_default();
                let cell = [0, 1, 2].map(|k| ((p[k] - low[k]) / long * cells).round() as i64);
                *first.entry(cell).or_insert(i)
            };
            now = faces
                .iter()
                .map(|face| {
                    let mut seen: HashSet<[u32; 3]> = HashSet::new();
                    face.iter()
                        .map(|corners| corners.map(&mut to))
                        .filter(|[a, b, c]| a != b && b != c && a != c)
                        .filter(|corners| {
                            let mut key = *corners;
                            key.sort_unstable();
                            seen.insert(key)
                        })
                        .collect()
                })
                .collect();
            cells *= 0.7;
        }
        now
    }
}

/// A place as it is seen from above and in front, a little from the right: across, up, and towards the eye.
fn seen([x, y, z]: [f64; 3]) -> [f64; 3] {
    const TURN: f64 = 0.45;
    const LIFT: f64 = 0.75;
    let (across, along) = (
        x * TURN.cos() + y * TURN.sin(),
        y * TURN.cos() - x * TURN.sin(),
    );
    [
        across,
        along * LIFT.sin() + z * LIFT.cos(),
        z * LIFT.sin() - along * LIFT.cos(),
    ]
}
