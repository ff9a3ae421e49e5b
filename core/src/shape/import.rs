//! Reads the outline or the skin of a part from a drawing file: SVG, DXF or STL.
//!
//! Bytes go in, the `shape` of a plan comes out, with sentences on what was read, what was left out and where
//! the unit came from. What a file holds is never trusted: its size, counts, depth and numbers are all capped.
//! A curved skin is taken as it is; nothing is flattened or unrolled.

mod dxf;
mod join;
mod kind;
mod left;
mod outline;
mod pen;
mod stl;
mod svg;
mod thin;

use crate::read::Problem;
use crate::units::plain;
use kind::Kind;
use left::Left;
use pen::Stroke;
use serde_json::Value;

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

/// A length that one unit of a drawing may stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Metre.
    M,
    /// Inch, 25.4 mm.
    Inch,
}

impl LengthUnit {
    /// The unit of this symbol: `mm`, `cm`, `m` or `in`.
    pub fn of(symbol: &str) -> Option<Self> {
        [Self::Mm, Self::Cm, Self::M, Self::Inch]
            .into_iter()
            .find(|unit| unit.symbol() == symbol)
    }

    /// Its symbol.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::M => "m",
            Self::Inch => "in",
        }
    }

    /// Its length [mm].
    pub fn mm(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Cm => 10.0,
            Self::M => 1000.0,
            Self::Inch => 25.4,
        }
    }
}

/// A flat drawing in mm, or in its own units where nobody knows yet what they are.
struct Drawing {
    strokes: Vec<Stroke>,
    left: Left,
    /// What one unit is and who says so; none where the maker must be asked.
    unit: Option<String>,
}

/// The shape of a part from a file's name and bytes.
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
    let short = short_name(name);
    read(&short, bytes, unit).map_err(|mut problem| {
        problem.value = short;
        vec![problem]
    })
}

fn read(name: &str, bytes: &[u8], unit: Option<LengthUnit>) -> Result<Answer, Problem> {
    if bytes.len() > MOST_BYTES {
        return Err(refuse(format!(
            "This file holds {} MB, and at most 8 MB is read: save the outline alone, or the skin with fewer triangles.",
            plain(bytes.len() as f64 / f64::from(1 << 20))
        )));
    }
    let answer = match kind::told_by(name, bytes)? {
        Kind::Svg => flat(
            name,
            "SVG",
            svg::read(&String::from_utf8_lossy(bytes), unit)?,
        ),
        Kind::Dxf => flat(
            name,
            "DXF",
            dxf::read(&String::from_utf8_lossy(bytes), unit)?,
        ),
        Kind::Stl => stl::read(name, bytes, unit),
    }?;
    // The plan has the last word: nothing is handed out that it would turn down.
    if let Answer::Read(found) = &answer
        && let Err(problems) = super::read(&found.shape)
        && let Some(first) = problems.into_iter().next()
    {
        return Err(first);
    }
    Ok(answer)
}

fn flat(name: &str, kind: &str, drawing: Drawing) -> Result<Answer, Problem> {
    let Drawing {
        strokes,
        left,
        unit,
    } = drawing;
    let count = strokes.len();
    if count == 0 {
        return Err(refuse(format!(
            "No line is drawn in this {kind} file.{} Draw the outline of the part as one closed line.",
            left.sentence()
                .map(|text| format!(" {text}"))
                .unwrap_or_default()
        )));
    }
    let Some(unit) = unit else {
        let (low, high) = pen::extent(strokes.iter().flat_map(|stroke| &stroke.points));
        let size = high - low;
        return Ok(Answer::AsksUnit(asks(&format!(
            "{} by {}",
            plain(size.x),
            plain(size.y)
        ))));
    };
    let found = outline::found(name, strokes, left)?;
    let mut told = vec![format!(
        "Read as {kind}: {} drawn, {} closed.",
        counted(count, "line", "lines"),
        counted(found.loops, "loop is", "loops are")
    )];
    told.push(unit);
    told.extend(found.told);
    Ok(Answer::Read(Imported {
        shape: found.shape,
        told,
    }))
}

/// What to ask where a file does not say its unit.
fn asks(size: &str) -> Vec<String> {
    vec![
        "This file does not say what length one of its units is.".into(),
        format!("What it holds measures {size} units. Say whether that is in mm, cm, m or inches."),
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
