//! Reads the triangles of an STL file, written as text or as bytes.
//!
//! A reader of our own: text files in the wild leave out the name of the solid, use capitals, hold remarks, and give a
//! normal that is no number to a triangle without an area; files of bytes carry more behind the last triangle, or do not
//! say how many there are. All of that is harmless here.

use super::shell::{MOST_TRIANGLES, Soup, Triangle, step};
use super::{counted, refuse};
use crate::read::Problem;
use crate::units::plain;

/// The triangles in an STL file.
pub(super) fn read(bytes: &[u8]) -> Result<Soup, Problem> {
    if is_text(bytes) {
        return from_text(&String::from_utf8_lossy(bytes));
    }
    let (triangles, told) = from_bytes(bytes)?;
    Ok(Soup {
        triangles,
        digits: None,
        told,
    })
}

/// The count of triangles a binary STL gives.
pub(super) fn count_of(bytes: &[u8]) -> Option<u32> {
    bytes.get(80..84)?.try_into().ok().map(u32::from_le_bytes)
}

/// Whether the file is written as text: it says `solid` and `facet`, and holds nothing that is no text.
fn is_text(bytes: &[u8]) -> bool {
    let start = bytes.get(..4096).unwrap_or(bytes);
    let head = String::from_utf8_lossy(start).to_ascii_lowercase();
    let head = head.trim_start_matches('\u{feff}').trim_start();
    let remarked = head.starts_with(['#', ';', '/']) || head.starts_with("solid");
    !start.contains(&0) && remarked && head.contains("facet")
}

pub(super) fn too_many(kind: &str) -> Problem {
    refuse(format!(
        "This {kind} has more than {}. Save it with fewer; a few thousand are plenty for the way resin takes.",
        counted(MOST_TRIANGLES, "triangle", "triangles")
    ))
}

fn from_bytes(bytes: &[u8]) -> Result<(Vec<Triangle>, Vec<String>), Problem> {
    let body = bytes.get(84..).unwrap_or(&[]);
    let Some(count) = count_of(bytes) else {
        return Err(refuse(
            "This STL breaks off before its first triangle. Save it again.",
        ));
    };
    let whole = body.len() / 50;
    let mut told = Vec::new();
    // Some programs write the triangles as they come and never say how many there were.
    let unsaid = count == 0 || count == u32::MAX;
    let count = if unsaid { whole } else { count as usize };
    if unsaid && whole > 0 {
        told.push("The file does not say how many triangles it holds: all are read.".into());
    }
    if count > whole {
        return Err(refuse(format!(
            "This STL says it holds {}, and its length is right for {}. Save it again.",
            counted(count, "triangle", "triangles"),
            plain(body.len() as f64 / 50.0)
        )));
    }
    if count > MOST_TRIANGLES {
        return Err(too_many("STL"));
    }
    if !unsaid && body.len() > 50 * count {
        told.push("What stands behind the last triangle of the file is left out.".into());
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
    let triangles = body.chunks_exact(50).take(count).map(triangle).collect();
    Ok((triangles, told))
}

/// The triangles of a text.
fn from_text(text: &str) -> Result<Soup, Problem> {
    let mut digits = 0;
    let garbled = |line: usize| {
        refuse(format!(
            "This STL is garbled at line {}. Save it again.",
            line + 1
        ))
    };
    let mut triangles = Vec::new();
    let mut other = 0;
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
                    return Err(too_many("STL"));
                }
            }
            "solid" | "facet" | "outer" | "endfacet" | "endsolid" => {}
            // A remark, or what another program adds, is no harm between triangles.
            _ if corners.is_empty() => other += 1,
            _ => return Err(garbled(at)),
        }
    }
    if !corners.is_empty() {
        return Err(refuse(
            "This STL breaks off within its last triangle. Save it again.",
        ));
    }
    let told = (other > 0)
        .then(|| {
            format!(
                "Left out: {} that say nothing of a triangle.",
                counted(other, "line", "lines")
            )
        })
        .into_iter()
        .collect();
    Ok(Soup {
        triangles,
        digits: Some(digits),
        told,
    })
}
