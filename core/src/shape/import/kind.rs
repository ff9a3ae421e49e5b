//! Tells what kind of file some bytes are, by what they hold first and by the ending of the name then.

use super::refuse;
use crate::read::Problem;

/// The kinds of file that are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Svg,
    Dxf,
    Stl,
    Obj,
    Ply,
}

/// How far into a file to look for the word that gives it away.
const LOOK: usize = 4096;

/// The kind of a file.
pub(super) fn told_by(name: &str, bytes: &[u8]) -> Result<Kind, Problem> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(refuse("This file is empty."));
    }
    if let Some(sentence) = other_kind(bytes) {
        return Err(refuse(sentence));
    }
    let head = String::from_utf8_lossy(bytes.get(..LOOK).unwrap_or(bytes)).to_ascii_lowercase();
    let start = head.trim_start_matches('\u{feff}').trim_start();
    if is_binary_stl(bytes) {
        return Ok(Kind::Stl);
    }
    if start.starts_with('<') && (head.contains("<svg") || head.contains(":svg")) {
        return Ok(Kind::Svg);
    }
    let remarked = start.starts_with(['#', ';', '/']);
    if (start.starts_with("solid") || remarked) && head.contains("facet normal") {
        return Ok(Kind::Stl);
    }
    if start.starts_with("ply") && head.contains("format") {
        return Ok(Kind::Ply);
    }
    let mut lines = start.lines().map(str::trim);
    if matches!(
        (lines.next(), lines.next()),
        (Some("0"), Some("section")) | (Some("999"), Some(_))
    ) {
        return Ok(Kind::Dxf);
    }
    let ending = name.to_ascii_lowercase();
    // Corners and faces, whatever its name says: no other kind begins lines like that.
    let begins = |with: &str| start.lines().any(|line| line.starts_with(with));
    if begins("v ") && (ending.ends_with(".obj") || begins("f ") || begins("vn ")) {
        return Ok(Kind::Obj);
    }
    let endings = [
        (".svg", Kind::Svg),
        (".dxf", Kind::Dxf),
        (".stl", Kind::Stl),
        (".obj", Kind::Obj),
        (".ply", Kind::Ply),
    ];
    endings
        .into_iter()
        .find(|(end, _)| ending.ends_with(end))
        .map(|(_, kind)| kind)
        .ok_or_else(|| {
            refuse(
                "This file is neither SVG, DXF, STL, OBJ nor PLY. Save a flat part as SVG or DXF, the skin of a curved one as STL.",
            )
        })
}

/// Whether the length of the file is what a binary STL of its own count has: 84 bytes and 50 for every triangle.
fn is_binary_stl(bytes: &[u8]) -> bool {
    super::stl::count_of(bytes)
        .is_some_and(|count| bytes.len() as u64 == 84 + 50 * u64::from(count))
}

fn other_kind(bytes: &[u8]) -> Option<&'static str> {
    if bytes.get(8..22) == Some(b"Binary DXF\r\n\x1a\0") {
        return Some("This is a binary DXF. Save it as a text (ASCII) DXF, or as SVG.");
    }
    if bytes.starts_with(&[0x1f, 0x8b]) {
        return Some("This file is compressed. Save it as plain SVG, or unpack it first.");
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Some("The text of this file is written as UTF-16. Save it as UTF-8.");
    }
    // The version of a DWG, in six characters: AC10 and two digits.
    if bytes.starts_with(b"AC10")
        && bytes
            .get(4..6)
            .is_some_and(|two| two.iter().all(u8::is_ascii_digit))
    {
        return Some(
            "This is a DWG drawing, whatever its name ends with. Save it as a text (ASCII) DXF, or as SVG.",
        );
    }
    if bytes.starts_with(b"PK\x03\x04") {
        return Some(
            "This file is packed, as 3MF files and archives are. Save the skin as STL, OBJ or PLY, or unpack the drawing first.",
        );
    }
    if bytes.starts_with(b"%PDF") {
        return Some("This is a PDF. Save the drawing as SVG or DXF.");
    }
    None
}
