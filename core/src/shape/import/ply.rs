//! Reads the faces of a PLY file, written as text or as bytes of either order.

use super::refuse;
use super::shell::{MOST_TRIANGLES, Soup, step, triangles_of};
use crate::read::Problem;

/// Most corners of one face, most properties of an element, and most elements.
const MOST_CORNERS: usize = 500;
const MOST_PROPERTIES: usize = 200;
const MOST_COUNT: usize = 2_000_000;

/// How numbers are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Text,
    Little,
    Big,
}

/// A kind of number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Number {
    Whole(usize, bool),
    Float(usize),
}

#[derive(Debug)]
struct Property {
    name: String,
    number: Number,
    /// Of a list, how its length is written.
    list: Option<Number>,
}

#[derive(Debug)]
struct Element {
    name: String,
    count: usize,
    properties: Vec<Property>,
}

/// The numbers of the body, one after another.
struct Body<'a> {
    form: Form,
    bytes: &'a [u8],
    words: std::str::SplitAsciiWhitespace<'a>,
    digits: i32,
}

fn garbled() -> Problem {
    refuse("This PLY is garbled or breaks off. Save it again.")
}

/// The triangles in a PLY file.
pub(super) fn read(bytes: &[u8]) -> Result<Soup, Problem> {
    let mark = b"end_header";
    let end = bytes
        .windows(mark.len())
        .position(|window| window == mark)
        .ok_or_else(garbled)?;
    let head = String::from_utf8_lossy(bytes.get(..end).unwrap_or(bytes)).into_owned();
    let rest = bytes.get(end + mark.len()..).unwrap_or(&[]);
    let line = rest.iter().position(|byte| *byte == b'\n').unwrap_or(0);
    let body = rest.get(line + 1..).unwrap_or(&[]);
    let (form, elements) = header(&head).ok_or_else(garbled)?;
    let text = if form == Form::Text {
        String::from_utf8_lossy(body).into_owned()
    } else {
        String::new()
    };
    let mut body = Body {
        form,
        bytes: body,
        words: text.split_ascii_whitespace(),
        digits: 0,
    };
    let mut points: Vec<[f64; 3]> = Vec::new();
    let mut triangles = Vec::new();
    for element in &elements {
        for _ in 0..element.count {
            let (p, corners) = body.element(element).ok_or_else(garbled)?;
            match element.name.as_str() {
                "vertex" => points.push(p),
                "face" => {
                    let corners: Option<Vec<[f64; 3]>> =
                        corners.iter().map(|&i| points.get(i).copied()).collect();
                    let corners = corners
                        .filter(|corners| corners.len() >= 3)
                        .ok_or_else(garbled)?;
                    triangles.extend(triangles_of(&corners));
                    if triangles.len() > MOST_TRIANGLES {
                        return Err(super::stl::too_many("PLY"));
                    }
                }
                _ => {}
            }
        }
    }
    Ok(Soup {
        triangles,
        digits: (form == Form::Text).then_some(body.digits),
        told: Vec::new(),
    })
}

fn number(word: &str) -> Option<Number> {
    Some(match word {
        "char" | "int8" => Number::Whole(1, true),
        "uchar" | "uint8" => Number::Whole(1, false),
        "short" | "int16" => Number::Whole(2, true),
        "ushort" | "uint16" => Number::Whole(2, false),
        "int" | "int32" => Number::Whole(4, true),
        "uint" | "uint32" => Number::Whole(4, false),
        "float" | "float32" => Number::Float(4),
        "double" | "float64" => Number::Float(8),
        _ => return None,
    })
}

fn header(text: &str) -> Option<(Form, Vec<Element>)> {
    let mut form = None;
    let mut elements: Vec<Element> = Vec::new();
    for line in text.lines() {
        let words: Vec<&str> = line.split_ascii_whitespace().collect();
        match words.as_slice() {
            ["format", "ascii", ..] => form = Some(Form::Text),
            ["format", "binary_little_endian", ..] => form = Some(Form::Little),
            ["format", "binary_big_endian", ..] => form = Some(Form::Big),
            ["element", name, count] => elements.push(Element {
                name: (*name).to_owned(),
                count: count.parse().ok().filter(|count| *count <= MOST_COUNT)?,
                properties: Vec::new(),
            }),
            ["property", "list", length, kind, name] => {
                elements.last_mut()?.properties.push(Property {
                    name: (*name).to_owned(),
                    number: number(kind)?,
                    list: Some(number(length)?),
                });
            }
            ["property", kind, name] => elements.last_mut()?.properties.push(Property {
                name: (*name).to_owned(),
                number: number(kind)?,
                list: None,
            }),
            _ => {}
        }
    }
    let few = elements
        .iter()
        .all(|element| (1..=MOST_PROPERTIES).contains(&element.properties.len()));
    few.then_some((form?, elements))
}

impl Body<'_> {
    fn next(&mut self, kind: Number, counts_digits: bool) -> Option<f64> {
        if self.form == Form::Text {
            let word = self.words.next()?;
            if counts_digits {
                self.digits = self.digits.max(step::digits_of(word));
            }
            return word.parse().ok();
        }
        let (Number::Whole(size, _) | Number::Float(size)) = kind;
        let (now, rest) = self.bytes.split_at_checked(size)?;
        self.bytes = rest;
        // The first byte the lowest, whatever the order of the file.
        let mut raw = [0_u8; 8];
        for (i, byte) in now.iter().enumerate() {
            let place = if self.form == Form::Big {
                size - 1 - i
            } else {
                i
            };
            *raw.get_mut(place)? = *byte;
        }
        let whole = u64::from_le_bytes(raw);
        Some(match kind {
            Number::Float(8) => f64::from_bits(whole),
            Number::Float(_) => f64::from(f32::from_bits(whole as u32)),
            Number::Whole(size, true) => {
                let empty = 64 - 8 * size as u32;
                (((whole << empty) as i64) >> empty) as f64
            }
            Number::Whole(..) => whole as f64,
        })
    }

    /// The place that an element gives, and its list of corners.
    fn element(&mut self, element: &Element) -> Option<([f64; 3], Vec<usize>)> {
        let mut p = [0.0; 3];
        let mut corners = Vec::new();
        for property in &element.properties {
            let axis = ["x", "y", "z"]
                .iter()
                .position(|name| *name == property.name);
            let Some(length) = property.list else {
                let value = self.next(property.number, axis.is_some())?;
                if let Some(to) = axis.and_then(|axis| p.get_mut(axis)) {
                    *to = value;
                }
                continue;
            };
            let count = self.next(length, false).filter(|count| *count >= 0.0)?;
            let count = (count <= MOST_CORNERS as f64).then_some(count as usize)?;
            let is_corners = matches!(property.name.as_str(), "vertex_indices" | "vertex_index");
            for _ in 0..count {
                let value = self.next(property.number, false)?;
                if is_corners {
                    corners.push((value >= 0.0).then_some(value as usize)?);
                }
            }
        }
        Some((p, corners))
    }
}
