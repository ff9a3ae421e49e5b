//! Reads the faces of an OBJ file: its corners and polygons; what dresses them is left aside.

use super::shell::{MOST_TRIANGLES, Soup, step, triangles_of};
use super::{counted, refuse};
use crate::read::Problem;

/// Most corners of one face.
const MOST_CORNERS: usize = 500;

/// The triangles in an OBJ text.
pub(super) fn read(text: &str) -> Result<Soup, Problem> {
    let garbled = |line: usize| {
        refuse(format!(
            "This OBJ is garbled at line {}. Save it again.",
            line + 1
        ))
    };
    // A line that ends with a stroke goes on in the next.
    let joined = text.replace("\\\r\n", " ").replace("\\\n", " ");
    let (mut points, mut triangles): (Vec<[f64; 3]>, Vec<_>) = (Vec::new(), Vec::new());
    let (mut digits, mut loose) = (0, 0);
    for (at, line) in joined.lines().enumerate() {
        let mut words = line.split_ascii_whitespace();
        match words.next() {
            Some("v") => {
                let mut p = [0.0; 3];
                for to in &mut p {
                    let word = words.next().ok_or_else(|| garbled(at))?;
                    *to = word.parse().map_err(|_| garbled(at))?;
                    digits = digits.max(step::digits_of(word));
                }
                points.push(p);
            }
            Some("f") => {
                let corners: Option<Vec<[f64; 3]>> = words
                    .take(MOST_CORNERS + 1)
                    .map(|word| {
                        let place: i64 = word.split('/').next()?.parse().ok()?;
                        // Counted from one, or back from the last.
                        let place = if place < 0 {
                            usize::try_from(points.len() as i64 + place).ok()?
                        } else {
                            usize::try_from(place - 1).ok()?
                        };
                        points.get(place).copied()
                    })
                    .collect();
                let corners = corners
                    .filter(|corners| (3..=MOST_CORNERS).contains(&corners.len()))
                    .ok_or_else(|| garbled(at))?;
                triangles.extend(triangles_of(&corners));
                if triangles.len() > MOST_TRIANGLES {
                    return Err(super::stl::too_many("OBJ"));
                }
            }
            Some("l" | "p" | "curv" | "surf") => loose += 1,
            _ => {}
        }
    }
    let told = (loose > 0)
        .then(|| {
            format!(
                "Left out: {} that {} no face.",
                counted(loose, "element", "elements"),
                if loose == 1 { "is" } else { "are" }
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
