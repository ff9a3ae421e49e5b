//! Drawings of known size, one for each thing that is read, and files made to do harm.

mod dxf;
mod far;
mod hostile;
mod looks;
mod picks;
mod stl;
mod svg;

use super::{Answer, Imported, LengthUnit, Role, Up, Wish, read_file, shape_from_file};
use crate::shape::Shape;

fn given(name: &str, bytes: impl AsRef<[u8]>, unit: Option<LengthUnit>) -> Imported {
    match shape_from_file(name, bytes.as_ref(), unit) {
        Ok(Answer::Read(found)) => found,
        other => panic!("{other:?}"),
    }
}

fn refused(name: &str, bytes: impl AsRef<[u8]>, unit: Option<LengthUnit>) -> String {
    match shape_from_file(name, bytes.as_ref(), unit) {
        Err(problems) => {
            assert_eq!(problems.len(), 1);
            assert_eq!(
                (problems[0].field.as_str(), problems[0].value.as_str()),
                ("part.shape", name)
            );
            problems[0].sentence.clone()
        }
        other => panic!("{other:?}"),
    }
}

/// Area as the plan's own reader sees it, without the noise of its metres [mm2].
fn area(found: &Imported) -> f64 {
    (crate::shape::read(&found.shape).unwrap().area() * 1e12).round() / 1e6
}

/// Length, width and height as the plan's own reader sees them [mm].
fn size(found: &Imported) -> [f64; 3] {
    let shape: Shape = crate::shape::read(&found.shape).unwrap();
    let (low, high) = shape.bounds();
    [0, 1, 2].map(|i| {
        assert!(low[i].abs() < 1e-9, "{low:?}");
        ((high[i] - low[i]) * 1e9).round() / 1e6
    })
}

fn holes(found: &Imported) -> usize {
    found.shape["holes_mm"].as_array().unwrap().len()
}

fn close(found: f64, wanted: f64, share: f64) {
    assert!(
        (found / wanted - 1.0).abs() <= share,
        "{found} is not {wanted}"
    );
}

/// A curve drawn inside by at most 0.2 mm over its length loses at most two thirds of that as area, for a chord takes
/// two thirds of its rise times its length.
fn inside(found: f64, wanted: f64, curve_mm: f64) {
    assert!(
        found <= wanted * (1.0 + 1e-9) && found >= wanted - curve_mm * 0.2,
        "{found} is not {wanted}"
    );
}

fn says(found: &Imported, words: &str) {
    assert!(
        found.told.iter().any(|told| told.contains(words)),
        "{:?}",
        found.told
    );
}

#[test]
fn a_unit_is_known_by_its_symbol() {
    for unit in [
        LengthUnit::Mm,
        LengthUnit::Cm,
        LengthUnit::M,
        LengthUnit::Inch,
    ] {
        assert_eq!(LengthUnit::of(unit.symbol()), Some(unit));
    }
    assert_eq!(LengthUnit::of(""), None);
    assert_eq!(LengthUnit::Inch.mm(), 25.4);
}

#[test]
fn the_kind_is_told_by_what_a_file_holds() {
    let drawing = svg::sheet(r#"<rect width="100" height="50"/>"#);
    assert_eq!(area(&given("wrong.stl", &drawing, None)), 5000.0);
    assert!(refused("a.txt", "hello", None).contains("neither SVG, DXF, STL, OBJ nor PLY"));
    assert!(refused("a.svg", "  \n", None).contains("empty"));
    assert!(refused("a.svg", [0x1f, 0x8b, 8, 0], None).contains("compressed"));
    assert!(refused("a.svg", [0xff, 0xfe, 60, 0], None).contains("UTF-16"));
    assert!(refused("a.dxf", b"xxxxxxxxBinary DXF\r\n\x1a\0rest", None).contains("binary"));
    let dwg = refused("a.dxf", b"AC1027\0\0\0\0\x05", None);
    assert!(dwg.contains("DWG") && dwg.contains("DXF"), "{dwg}");
    assert!(refused("a.svg", vec![b' '; (8 << 20) + 1], None).contains("8 MB"));
}
