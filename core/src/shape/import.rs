//! Reads the outline or the skin of a part from a drawing file: SVG, DXF, STL, OBJ or PLY.
//!
//! Bytes go in, the `shape` of a plan comes out, with sentences on what was read, what was left out and where
//! the unit came from. What a file holds is never trusted: its size, counts, depth and numbers are all capped.
//! A curved skin is taken as it is; nothing is flattened or unrolled.

mod dxf;
mod join;
mod kind;
mod left;
mod net;
mod nodes;
mod obj;
mod outline;
mod pen;
mod pick;
mod picture;
mod ply;
mod shell;
mod stl;
mod svg;
mod thin;
mod wish;

use crate::read::Problem;
use crate::units::plain;
use kind::Kind;
use left::Left;
use pen::Stroke;
pub use picture::{Area, Choice, Picture, Role, Side};
use serde::Serialize;
use serde_json::Value;
pub use wish::{LengthUnit, Measure, Pick, Up, Wish};

/// The largest file that is read.
const MOST_BYTES: usize = 8 << 20;
/// Smallest and largest size of a part [mm].
const SIZES_MM: (f64, f64) = (5.0, 20_000.0);

/// A shape as read from a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// The `shape` of a plan: of the form `outline` (in mm, lower left corner at 0, 0, the outline counterclockwise
    /// and the holes clockwise) or `shell` (in mm, lowest corner at 0, 0, 0).
    pub shape: Value,
    /// What was read, how large it is, what was left out, and where the unit came from: a sentence each.
    pub told: Vec<String>,
}

/// What comes of a file that can be read.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// The shape.
    Read(Imported),
    /// The file does not say what its numbers mean: ask the maker, then hand the file in again with the unit.
    AsksUnit(Vec<String>),
}

/// A file as it is read with what was wished so far.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reading {
    /// The `shape` of a plan; none as long as something stands in its way.
    pub shape: Option<Value>,
    /// Whether the maker must say the unit or a size first.
    pub asks_unit: bool,
    /// What was read, how large it is, what was left out, and where the unit came from: a sentence each.
    pub told: Vec<String>,
    /// Why what is picked cannot be the part.
    pub problems: Vec<Problem>,
    /// All that may be picked.
    pub picture: Picture,
}

/// A flat drawing in mm, or in its own units where nobody knows yet what they are.
struct Drawing {
    strokes: Vec<Stroke>,
    left: Left,
    /// What one unit is and who says so; none where the maker must be asked.
    unit: Option<String>,
}

/// What one unit of a file is taken for: what the maker says, else the file, else 1 mm; and so many times that.
#[derive(Debug, Clone, Copy)]
struct Scale {
    unit: Option<LengthUnit>,
    times: f64,
}

/// The shape of a part from a file's name and bytes, with what is likely picked.
///
/// The kind of file is told by what it holds, and only then by the ending of its name. A `unit` that is given wins
/// over the file's own, and `told` says so.
///
/// # Errors
/// Every reason why there is no part in the file, each with a way forward.
pub fn shape_from_file(
    name: &str,
    bytes: &[u8],
    unit: Option<LengthUnit>,
) -> Result<Answer, Vec<Problem>> {
    let wish = Wish {
        unit,
        ..Wish::default()
    };
    let reading = read_file(name, bytes, &wish)?;
    match reading.shape {
        Some(shape) => Ok(Answer::Read(Imported {
            shape,
            told: reading.told,
        })),
        None if reading.asks_unit => Ok(Answer::AsksUnit(reading.told)),
        None => Err(reading.problems),
    }
}

/// All that a file holds, and the shape of the part as it is wished.
///
/// # Errors
/// Every reason why there is nothing to pick in the file, each with a way forward.
pub fn read_file(name: &str, bytes: &[u8], wish: &Wish) -> Result<Reading, Vec<Problem>> {
    let short = short_name(name);
    let named = |mut problem: Problem| {
        problem.value.clone_from(&short);
        problem
    };
    let mut reading = read(&short, bytes, wish).map_err(|problem| vec![named(problem)])?;
    reading.problems = reading.problems.into_iter().map(named).collect();
    Ok(reading)
}

fn read(name: &str, bytes: &[u8], wish: &Wish) -> Result<Reading, Problem> {
    if bytes.len() > MOST_BYTES {
        return Err(refuse(format!(
            "This file holds {} MB, and at most 8 MB is read: save the outline alone, or the skin with fewer triangles.",
            plain(bytes.len() as f64 / f64::from(1 << 20))
        )));
    }
    let mut reading = match kind::told_by(name, bytes)? {
        Kind::Svg => {
            let text = String::from_utf8_lossy(bytes);
            flat(name, "SVG", wish, |scale| svg::read(&text, scale))
        }
        Kind::Dxf => {
            let text = String::from_utf8_lossy(bytes);
            flat(name, "DXF", wish, |scale| dxf::read(&text, scale))
        }
        Kind::Stl => shell::read(name, "STL", stl::read(bytes)?, wish),
        Kind::Obj => {
            let soup = obj::read(&String::from_utf8_lossy(bytes))?;
            shell::read(name, "OBJ", soup, wish)
        }
        Kind::Ply => shell::read(name, "PLY", ply::read(bytes)?, wish),
    }?;
    // The plan has the last word: nothing is handed out that it would turn down.
    if let Some(shape) = &reading.shape
        && let Err(problems) = super::read(shape)
    {
        reading.shape = None;
        reading.problems.extend(problems.into_iter().take(1));
    }
    Ok(reading)
}

/// The longest side of what nobody knows the unit of, as long as nobody does [mm].
const UNKNOWN_MM: f64 = 300.0;

fn flat(
    name: &str,
    kind: &str,
    wish: &Wish,
    read: impl Fn(Scale) -> Result<Drawing, Problem>,
) -> Result<Reading, Problem> {
    let mut scale = Scale {
        unit: wish.unit,
        times: 1.0,
    };
    let mut drawing = read(scale)?;
    let count = drawing.strokes.len();
    if count == 0 {
        return Err(refuse(format!(
            "No line is drawn in this {kind} file.{} Draw the outline of the part as one closed line.",
            drawing
                .left
                .sentence()
                .map(|text| format!(" {text}"))
                .unwrap_or_default()
        )));
    }
    let (low, high) = pen::extent(drawing.strokes.iter().flat_map(|stroke| &stroke.points));
    let size = high - low;
    let (mut unit, mut unknown) = (drawing.unit.take(), false);
    if unit.is_none() {
        unknown = true;
        scale.times = UNKNOWN_MM / size.x.max(size.y).max(1e-300);
        drawing = read(scale)?;
    }
    if let Some(measure) = wish.measure.filter(|measure| measure.mm > 0.0) {
        let first = outline::found(name, drawing.strokes, wish, None, drawing.left)?;
        let side = first.sides.get(measure.side).copied().unwrap_or(0.0);
        let times = measure.mm / side;
        if !times.is_normal() || !(1e-9..=1e9).contains(&times) {
            return Err(refuse(
                "Type the size of a side as a length, for example 900 mm.",
            ));
        }
        scale.times *= times;
        drawing = read(scale)?;
        unknown = false;
        unit = Some(format!(
            "The drawing is scaled so that this side measures {} mm, as you say.",
            plain(measure.mm)
        ));
    }
    let found = outline::found(
        name,
        drawing.strokes,
        wish,
        unknown.then_some(scale.times),
        drawing.left,
    )?;
    let picture = Picture {
        size: found.size,
        areas: found.areas,
        many: false,
        says: "Tap the part. Tap it again for the loop around it.",
        units: picture::units(if kind == "SVG" {
            &LengthUnit::ALL
        } else {
            &LengthUnit::ALL[..5]
        }),
        unit: wish.unit.filter(|_| wish.measure.is_none()),
        sides: [("Across", found.sides[0]), ("Up and down", found.sides[1])]
            .map(|(name, mm)| Side {
                name,
                mm: (!unknown).then_some(mm),
            })
            .into(),
        ups: Vec::new(),
    };
    if unknown {
        return Ok(Reading {
            shape: None,
            asks_unit: true,
            told: asks(&format!("{} by {}", plain(size.x), plain(size.y))),
            problems: Vec::new(),
            picture,
        });
    }
    let mut told = vec![format!(
        "Read as {kind}: {} drawn, {} closed.",
        counted(count, "line", "lines"),
        counted(found.loops, "loop is", "loops are")
    )];
    told.extend(unit);
    told.extend(found.told);
    let (shape, problems) = match found.shape {
        Ok(shape) => (Some(shape), Vec::new()),
        Err(problem) => (None, vec![problem]),
    };
    Ok(Reading {
        shape,
        asks_unit: false,
        told,
        problems,
        picture,
    })
}

/// What to ask where a file does not say its unit.
fn asks(size: &str) -> Vec<String> {
    vec![
        "This file does not say what length one of its units is.".into(),
        format!(
            "What it holds measures {size} units. Say what one unit is, or how long a side of the part is."
        ),
    ]
}

/// A size outside what can be moulded here, or none.
fn size_problem(width: f64, height: f64) -> Option<Problem> {
    let (low, high) = SIZES_MM;
    let (small, large) = (width.min(height), width.max(height));
    if small >= low && large <= high {
        return None;
    }
    let mut problem = refuse(format!(
        "The part would measure {} mm by {} mm, and parts from 5 mm to 20 m are read. Is the unit of the drawing right?",
        plain(width),
        plain(height)
    ));
    problem.low = Some(low);
    problem.high = Some(high);
    Some(problem)
}

/// A reason not to read a file.
fn refuse(sentence: impl Into<String>) -> Problem {
    Problem::new("part.shape", "", sentence)
}

/// "1 hole", "3 holes".
fn counted(count: usize, one: &str, many: &str) -> String {
    // Counts here stay far below where a float would lose one.
    let number = crate::units::number(count as f64, 0);
    format!("{number} {}", if count == 1 { one } else { many })
}

/// The name of a file as it is kept with the shape: no folders, nothing unprintable, at most 80 characters.
fn short_name(name: &str) -> String {
    name.rsplit(['/', '\\'])
        .next()
        .unwrap_or_default()
        .chars()
        .filter(|c| !c.is_control())
        .take(80)
        .collect()
}

#[cfg(test)]
mod tests;
