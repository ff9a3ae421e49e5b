//! Reads the skin of a curved part from an STL file, written as text or as bytes.
//!
//! A reader of our own: text files in the wild leave out the name of the solid, use capitals, and give a normal that
//! is no number to a triangle without an area, all of which is harmless here. A closed solid is refused: what is
//! moulded is a skin, and a solid has two.

mod step;
mod weld;

use super::pen::{moved, too_far};
use super::{Answer, Imported, LengthUnit, SIZES_MM, asks, counted, refuse};
use crate::read::Problem;
use crate::units::plain;
use serde_json::json;
use weld::{Skin, skin};

/// Most triangles.
const MOST_TRIANGLES: usize = 200_000;
/// Coordinates beyond this in something as large are slips of the file, not parts [mm].
const FAR_MM: f64 = 1e6;
/// Coarsest step of the numbers where a part lies, as a share of its longest side.
const STEP_SHARE: f64 = 1.0 / 2000.0;

/// The corners of a triangle.
type Triangle = [[f64; 3]; 3];

/// The shell in an STL file.
pub(super) fn read(name: &str, bytes: &[u8], unit: Option<LengthUnit>) -> Result<Answer, Problem> {
    let (mut triangles, digits) = if is_text(bytes) {
        from_text(&String::from_utf8_lossy(bytes)).map(|(read, digits)| (read, Some(digits)))?
    } else {
        (from_bytes(bytes)?, None)
    };
    if triangles.is_empty() {
        return Err(refuse("This STL holds no triangles."));
    }
    // Before the unit changes the numbers.
    if step::share(&triangles, longest_of(&triangles), digits) > STEP_SHARE {
        return Err(too_far());
    }
    let scale = unit.map_or(1.0, LengthUnit::mm);
    for x in triangles.iter_mut().flatten().flatten() {
        *x *= scale;
    }
    let (low, high) = box_of(triangles.iter().flatten());
    let size = |i: usize| high[i] - low[i];
    let longest = longest_of(&triangles);
    let slipped = |x: &f64| !x.is_finite() || (longest > FAR_MM && x.abs() > FAR_MM);
    if let Some(i) = triangles
        .iter()
        .position(|triangle| triangle.iter().flatten().any(slipped))
    {
        return Err(refuse(format!(
            "Triangle {} of this STL has a corner that is no number or a kilometre off. Save it again.",
            i + 1
        )));
    }
    let Some(unit) = unit else {
        return Ok(Answer::AsksUnit(asks(&format!(
            "{} by {} by {}",
            plain(size(0)),
            plain(size(1)),
            plain(size(2))
        ))));
    };
    if !(SIZES_MM.0..=SIZES_MM.1).contains(&longest) {
        return Err(wrong_size(longest));
    }
    let count = triangles.len();
    let skin = skin(&triangles, low)?;
    let off = low[0].hypot(low[1]).hypot(low[2]);
    told(name, unit, count, skin, moved(off, longest))
}

/// The longest side of the box about some triangles.
fn longest_of(triangles: &[Triangle]) -> f64 {
    let (low, high) = box_of(triangles.iter().flatten());
    (0..3).map(|i| high[i] - low[i]).fold(0.0, f64::max)
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

fn told(
    name: &str,
    unit: LengthUnit,
    count: usize,
    skin: Skin,
    moved: Option<String>,
) -> Result<Answer, Problem> {
    let (low, high) = box_of(skin.points.iter());
    let size = [0, 1, 2].map(|i| high[i] - low[i]);
    let longest = size.iter().copied().fold(0.0, f64::max);
    if longest < SIZES_MM.0 {
        return Err(wrong_size(longest));
    }
    let mut told = vec![
        format!("Read as STL: {}.", counted(count, "triangle", "triangles")),
        format!(
            "One unit of the file is taken as 1 {}, as you say.",
            unit.symbol()
        ),
        format!(
            "The skin measures {} mm by {} mm by {} mm and has an area of {} m².",
            plain(size[0]),
            plain(size[1]),
            plain(size[2]),
            plain(skin.area / 1e6)
        ),
        format!(
            "Corners that are one were welded: {} and {}.",
            counted(skin.points.len(), "corner", "corners"),
            counted(skin.triangles.len(), "triangle", "triangles")
        ),
    ];
    told.extend(moved);
    if skin.flat > 0 {
        told.push(format!(
            "Left out: {} without an area.",
            counted(skin.flat, "triangle", "triangles")
        ));
    }
    if skin.doubled > 0 {
        told.push(format!(
            "Left out: {} that stand there twice.",
            counted(skin.doubled, "triangle", "triangles")
        ));
    }
    if skin.others > 0 {
        told.push(format!(
            "Left out: {} that {} not joined to the largest, {} m² in all.",
            counted(skin.others, "piece", "pieces"),
            if skin.others == 1 { "is" } else { "are" },
            plain(skin.others_area / 1e6)
        ));
    }
    let points: Vec<[f64; 3]> = skin
        .points
        .iter()
        .map(|p| [0, 1, 2].map(|i| weld::rounded(p[i] - low[i])))
        .collect();
    Ok(Answer::Read(Imported {
        shape: json!({
            "form": "shell",
            "points_mm": points,
            "triangles": skin.triangles,
            "from": name,
        }),
        told,
    }))
}

fn box_of<'a>(points: impl Iterator<Item = &'a [f64; 3]>) -> ([f64; 3], [f64; 3]) {
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for p in points {
        for i in 0..3 {
            low[i] = low[i].min(p[i]);
            high[i] = high[i].max(p[i]);
        }
    }
    (low, high)
}

/// The count of triangles a binary STL gives.
pub(super) fn count_of(bytes: &[u8]) -> Option<u32> {
    bytes.get(80..84)?.try_into().ok().map(u32::from_le_bytes)
}

/// Whether the file is written as text: it says `solid` and `facet`, and its length is not that of its own count.
fn is_text(bytes: &[u8]) -> bool {
    let head = String::from_utf8_lossy(bytes.get(..4096).unwrap_or(bytes)).to_lowercase();
    let fits =
        count_of(bytes).is_some_and(|count| bytes.len() as u64 == 84 + 50 * u64::from(count));
    !fits
        && head
            .trim_start_matches('\u{feff}')
            .trim_start()
            .starts_with("solid")
        && head.contains("facet")
}

fn too_many() -> Problem {
    refuse(format!(
        "This STL has more than {}. Save it with fewer; a few thousand are plenty for the way resin takes.",
        counted(MOST_TRIANGLES, "triangle", "triangles")
    ))
}

fn from_bytes(bytes: &[u8]) -> Result<Vec<Triangle>, Problem> {
    let body = bytes.get(84..).unwrap_or(&[]);
    let Some(count) = count_of(bytes) else {
        return Err(refuse(
            "This STL breaks off before its first triangle. Save it again.",
        ));
    };
    if body.len() as u64 != 50 * u64::from(count) {
        return Err(refuse(format!(
            "This STL says it holds {}, and its length is right for {}. Save it again.",
            counted(count as usize, "triangle", "triangles"),
            plain(body.len() as f64 / 50.0)
        )));
    }
    if body.len() / 50 > MOST_TRIANGLES {
        return Err(too_many());
    }
    let triangle = |record: &[u8]| {
        let mut triangle = [[f64::NAN; 3]; 3];
        // Twelve bytes of normal come first; the direction follows from the corners.
        let numbers = record.get(12..48).unwrap_or(&[]).chunks_exact(4);
        for (to, four) in triangle.iter_mut().flatten().zip(numbers) {
            if let Ok(four) = four.try_into() {
                *to = f64::from(f32::from_le_bytes(four));
            }
        }
        triangle
    };
    Ok(body.chunks_exact(50).map(triangle).collect())
}

/// The triangles of a text, and the most digits that one of its numbers is written with.
fn from_text(text: &str) -> Result<(Vec<Triangle>, i32), Problem> {
    let mut digits = 0;
    let garbled = |line: usize| {
        refuse(format!(
            "This STL is garbled at line {}. Save it again.",
            line + 1
        ))
    };
    let mut triangles = Vec::new();
    let mut corners: Vec<[f64; 3]> = Vec::new();
    for (at, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let mut words = line.split_ascii_whitespace();
        let Some(first) = words.next() else {
            continue;
        };
        match first.to_ascii_lowercase().as_str() {
            "vertex" => {
                let mut corner = [0.0; 3];
                for to in &mut corner {
                    let word = words.next().ok_or_else(|| garbled(at))?;
                    *to = word.parse().map_err(|_| garbled(at))?;
                    digits = digits.max(step::digits_of(word));
                }
                corners.push(corner);
                if corners.len() > 3 {
                    return Err(garbled(at));
                }
            }
            "endloop" => {
                let triangle: Triangle = corners.as_slice().try_into().map_err(|_| garbled(at))?;
                triangles.push(triangle);
                corners.clear();
                if triangles.len() > MOST_TRIANGLES {
                    return Err(too_many());
                }
            }
            "solid" | "facet" | "outer" | "endfacet" | "endsolid" => {}
            _ => return Err(garbled(at)),
        }
    }
    if !corners.is_empty() {
        return Err(refuse(
            "This STL breaks off within its last triangle. Save it again.",
        ));
    }
    Ok((triangles, digits))
}
