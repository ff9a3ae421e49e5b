//! Reads the shape of a part from a document: typed sizes, an outline, or a shell.

use super::{LARGEST, Loop, MOST_CORNERS, MOST_TRIANGLES, SMALLEST, Shape, area, crossing, inside};
use crate::read::{Field, Reader, ReadingError};
use crate::solve::surface::Triangles;
use crate::units::Unit;
use serde_json::Value;

/// The ways to give a shape.
pub const SHAPE_FORMS: &[&str] = &[
    "rectangle",
    "disc",
    "ell",
    "frame",
    "taper",
    "outline",
    "shell",
];

macro_rules! sizes {
    ($($name:ident = $key:literal, $label:literal, $hint:literal;)*) => {
        $(const $name: Field = Field::new($key, $label, $hint, Unit::Millimetre, (5.0, 20_000.0), ReadingError::None);)*
    };
}

sizes! {
    LENGTH = "shape.length_mm", "Length", "900";
    WIDTH = "shape.width_mm", "Width", "600";
    DIAMETER = "shape.diameter_mm", "Diameter", "500";
    ARM = "shape.arm_mm", "Width of the arms", "200";
    BORDER = "shape.border_mm", "Width of the border", "80";
    FAR_WIDTH = "shape.far_width_mm", "Width at the far end", "300";
}

/// Sides of a disc.
const ROUND: usize = 120;

/// Reads a shape; what stands in its way goes to the reader's problems.
pub(crate) fn read_shape(reader: &Reader<'_>) -> Option<Shape> {
    let form = reader.choice("form", "The form of the part", SHAPE_FORMS);
    let Some(form) = form else {
        if reader.value("form").is_none() {
            reader.missing("form", "Say what form the part has, for example rectangle.");
        }
        return None;
    };
    // Written by the page or an import; told, not used.
    let _ = reader.value("from");
    let size = |field: &Field| {
        let value = reader.number(field);
        if value.is_none() && reader.value(field.name()).is_none() {
            reader.missing(
                field.name(),
                format!("Type a size here, for example {} mm.", field.hint),
            );
        }
        value.map(|mm| mm / 1000.0)
    };
    let flat = |outline: Loop, holes: Vec<Loop>| Some(Shape::Flat { outline, holes });
    let corners = |l: f64, w: f64| vec![[0.0, 0.0], [l, 0.0], [l, w], [0.0, w]];
    match form {
        "rectangle" => {
            let (l, w) = (size(&LENGTH), size(&WIDTH));
            flat(corners(l?, w?), Vec::new())
        }
        "disc" => {
            let r = size(&DIAMETER)? / 2.0;
            // As wide as a circle of the same area.
            let step = std::f64::consts::TAU / ROUND as f64;
            let r = r * (step / step.sin()).sqrt();
            let at = |k: usize| {
                let angle = step * k as f64;
                [r * angle.cos(), r * angle.sin()]
            };
            flat((0..ROUND).map(at).collect(), Vec::new())
        }
        "ell" => {
            let (l, w, a) = (size(&LENGTH), size(&WIDTH), size(&ARM));
            let (l, w, a) = (l?, w?, a?);
            if a >= l.min(w) {
                reader.missing(ARM.name(), "The arms of an L are narrower than it is long and wide. Type a smaller width of the arms.");
                return None;
            }
            flat(
                vec![[0.0, 0.0], [l, 0.0], [l, a], [a, a], [a, w], [0.0, w]],
                Vec::new(),
            )
        }
        "frame" => {
            let (l, w, b) = (size(&LENGTH), size(&WIDTH), size(&BORDER));
            let (l, w, b) = (l?, w?, b?);
            if 2.0 * b >= l.min(w) - 1e-3 {
                reader.missing(BORDER.name(), "The border is so wide that nothing of the opening is left. Type a narrower border, or choose a rectangle.");
                return None;
            }
            flat(
                corners(l, w),
                vec![vec![[b, b], [b, w - b], [l - b, w - b], [l - b, b]]],
            )
        }
        "taper" => {
            let (l, near, far) = (size(&LENGTH), size(&WIDTH), size(&FAR_WIDTH));
            let (l, near, far) = (l?, near? / 2.0, far? / 2.0);
            flat(
                vec![[0.0, -near], [l, -far], [l, far], [0.0, near]],
                Vec::new(),
            )
        }
        "outline" => read_outline(reader),
        _ => read_shell(reader),
    }
}

/// A list of points with so many numbers each [m].
fn points<const N: usize>(value: &Value) -> Option<Vec<[f64; N]>> {
    let list = value.as_array()?;
    let point = |value: &Value| {
        let numbers = value.as_array().filter(|numbers| numbers.len() == N)?;
        let mut point = [0.0; N];
        for (to, number) in point.iter_mut().zip(numbers) {
            *to = number.as_f64().filter(|mm| mm.abs() <= 1e6)? / 1000.0;
        }
        Some(point)
    };
    list.iter().map(point).collect()
}

const OUTLINE_WANTED: &str = "An outline is a list of at least three corners, each with its x and y in millimetres, for example [[0, 0], [900, 0], [900, 600]].";

/// A closed line that runs counter-clockwise, without equal neighbours.
fn closed(mut line: Loop) -> Loop {
    line.dedup_by(|a, b| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-6);
    while line.len() > 1
        && line
            .first()
            .zip(line.last())
            .is_some_and(|(a, b)| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-6)
    {
        line.pop();
    }
    if area(&line) < 0.0 {
        line.reverse();
    }
    line
}

fn read_outline(reader: &Reader<'_>) -> Option<Shape> {
    let Some(found) = reader.value("points_mm") else {
        reader.missing("points_mm", OUTLINE_WANTED);
        return None;
    };
    let holes = reader.value("holes_mm");
    let Some(outline) = points::<2>(found)
        .map(closed)
        .filter(|line| line.len() >= 3)
    else {
        reader.astray("", None);
        reader.problem("points_mm", &Value::from("outline"), OUTLINE_WANTED);
        return None;
    };
    let holes: Option<Vec<Loop>> = match holes {
        None | Some(Value::Null) => Some(Vec::new()),
        Some(Value::Array(list)) => list
            .iter()
            .map(|hole| points::<2>(hole).map(closed))
            .collect(),
        Some(_) => None,
    };
    let Some(holes) = holes.filter(|holes| holes.iter().all(|hole| hole.len() >= 3)) else {
        reader.astray("", None);
        reader.problem("holes_mm", &Value::from("holes"), "The holes are a list of outlines, each of at least three corners with x and y in millimetres.");
        return None;
    };
    let count: usize = outline.len() + holes.iter().map(Vec::len).sum::<usize>();
    if count > MOST_CORNERS {
        reader.problem("points_mm", &Value::from(count), format!("The outline has {count} corners; this works with up to {MOST_CORNERS}. Draw it with fewer."));
        return None;
    }
    let shape = Shape::Flat { outline, holes };
    let Shape::Flat { outline, holes } = &shape else {
        return None;
    };
    let (low, high) = shape.bounds();
    let (wide, tall) = (high[0] - low[0], high[1] - low[1]);
    if wide.min(tall) < SMALLEST || wide.max(tall) > LARGEST {
        reader.problem(
            "points_mm",
            &Value::from("outline"),
            format!("The outline is {:.0} mm by {:.0} mm; a part is between 5 mm and 20 m. Check the unit it was drawn in.", wide * 1e3, tall * 1e3),
        );
        return None;
    }
    let mut lines = vec![outline.clone()];
    lines.extend(holes.iter().cloned());
    if let Some([x, y]) = crossing(&lines) {
        reader.problem(
            "points_mm",
            &Value::from("outline"),
            format!("The outline crosses or touches itself near x {:.0} mm, y {:.0} mm. Move a corner there.", x * 1e3, y * 1e3),
        );
        return None;
    }
    let within = |hole: &Loop, line: &Loop| hole.first().is_some_and(|&p| inside(line, p));
    let astray = holes.iter().enumerate().find(|(k, hole)| {
        !within(hole, outline)
            || holes
                .iter()
                .enumerate()
                .any(|(j, other)| j != *k && within(hole, other))
    });
    if let Some((k, _)) = astray {
        reader.problem(
            "holes_mm",
            &Value::from("holes"),
            format!(
                "Hole {} does not lie inside the outline by itself. Move it or take it out.",
                k + 1
            ),
        );
        return None;
    }
    if shape.area() < 1e-4 {
        reader.problem(
            "points_mm",
            &Value::from("outline"),
            "The outline holds less than one square centimetre. Check the unit it was drawn in.",
        );
        return None;
    }
    Some(shape)
}

fn read_shell(reader: &Reader<'_>) -> Option<Shape> {
    const WANTED: &str = "A shell has points_mm, each with x, y and z in millimetres, and triangles, each with three places in that list. Bring it in from a file.";
    let (found, triangles) = (reader.value("points_mm"), reader.value("triangles"));
    let corner = |value: &Value| {
        let list = value.as_array().filter(|list| list.len() == 3)?;
        let mut corner = [0_u32; 3];
        for (to, number) in corner.iter_mut().zip(list) {
            *to = u32::try_from(number.as_u64()?).ok()?;
        }
        Some(corner)
    };
    let corners: Option<Vec<[u32; 3]>> = triangles
        .and_then(Value::as_array)
        .filter(|list| list.len() <= MOST_TRIANGLES)
        .and_then(|list| list.iter().map(corner).collect());
    let surface = found
        .and_then(points::<3>)
        .zip(corners)
        .and_then(|(points, corners)| Triangles::new(points, corners).ok());
    let Some(surface) = surface else {
        reader.astray("", None);
        reader.problem("points_mm", &Value::from("shell"), WANTED);
        return None;
    };
    let shape = Shape::Shell(surface);
    let (low, high) = shape.bounds();
    let size = (0..3).map(|k| high[k] - low[k]).fold(0.0, f64::max);
    if !(SMALLEST..=LARGEST).contains(&size) || shape.area() < 1e-4 {
        reader.problem("points_mm", &Value::from("shell"), format!("The shell is {:.0} mm at its longest; a part is between 5 mm and 20 m. Check the unit it was drawn in.", size * 1e3));
        return None;
    }
    Some(shape)
}

/// Reads a shape document by itself.
///
/// # Errors
/// Every problem at once.
pub fn read(document: &Value) -> Result<Shape, Vec<crate::read::Problem>> {
    let shared = crate::read::Shared::default();
    let reader = Reader::new(document, &shared, "part.shape");
    let shape = read_shape(&reader);
    reader.finish();
    let problems = shared.problems.take();
    match shape {
        Some(shape) if problems.is_empty() => Ok(shape),
        _ => Err(problems),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn typed_forms_have_their_areas() {
        let area = |document| read(&document).unwrap().area();
        let close = |found: f64, wanted: f64| {
            assert!((found / wanted - 1.0).abs() < 1e-12, "{found} {wanted}")
        };
        close(
            area(json!({ "form": "rectangle", "length_mm": 900, "width_mm": 600 })),
            0.54,
        );
        close(
            area(json!({ "form": "disc", "diameter_mm": 500 })),
            std::f64::consts::PI / 16.0,
        );
        close(
            area(json!({ "form": "ell", "length_mm": 600, "width_mm": 500, "arm_mm": 200 })),
            0.18,
        );
        close(
            area(json!({ "form": "frame", "length_mm": 600, "width_mm": 400, "border_mm": 100 })),
            0.16,
        );
        close(
            area(
                json!({ "form": "taper", "length_mm": 1000, "width_mm": 400, "far_width_mm": 200 }),
            ),
            0.3,
        );
        close(
            area(
                json!({ "form": "outline", "points_mm": [[0,0],[0,100],[100,100],[100,0],[0,0]] }),
            ),
            0.01,
        );
    }

    #[test]
    fn what_cannot_be_is_told() {
        for (document, word) in [
            (json!({}), "form"),
            (json!({ "form": "rectangle", "length_mm": 900 }), "size"),
            (
                json!({ "form": "frame", "length_mm": 600, "width_mm": 200, "border_mm": 100 }),
                "opening",
            ),
            (
                json!({ "form": "ell", "length_mm": 600, "width_mm": 200, "arm_mm": 300 }),
                "arms",
            ),
            (
                json!({ "form": "outline", "points_mm": [[0,0],[100,100],[100,0],[0,100]] }),
                "crosses",
            ),
            (
                json!({ "form": "outline", "points_mm": [[0,0],[1,1]] }),
                "corners",
            ),
            (
                json!({ "form": "outline", "points_mm": [[0,0],[1,0],[1,1]] }),
                "unit",
            ),
            (
                json!({ "form": "outline", "points_mm": [[0,0],[100,0],[100,100]], "holes_mm": [[[200,200],[210,200],[200,210]]] }),
                "inside",
            ),
            (
                json!({ "form": "shell", "points_mm": [[0,0,0]], "triangles": [[0,1,2]] }),
                "shell",
            ),
        ] {
            let problems = read(&document).unwrap_err();
            assert!(
                problems.iter().any(|p| p.sentence.contains(word)),
                "{problems:?}"
            );
        }
    }
}
