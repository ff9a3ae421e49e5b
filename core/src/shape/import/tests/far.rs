//! Drawings that lie far from the origin of their file, as maps do.

use super::dxf::file;
use super::stl::{BOX, Triangle, bytes, open_box, text};
use super::*;

const MOVED: &str = "from the origin; it was moved there";

fn stays(found: &Imported) {
    let told = found.told.iter().any(|told| told.contains(MOVED));
    assert!(!told, "{:?}", found.told);
}

/// A plate of 2 by 1 with a round hole of 0.4 across.
fn plate(x: f64, y: f64) -> String {
    format!(
        "0 LWPOLYLINE 90 4 70 1 10 {x} 20 {y} 10 {r} 20 {y} 10 {r} 20 {t} 10 {x} 20 {t} 0 CIRCLE 10 {m} 20 {n} 40 0.2",
        r = x + 2.0,
        t = y + 1.0,
        m = x + 1.0,
        n = y + 0.5
    )
}

#[test]
fn a_plate_on_a_map_is_moved_and_told() {
    let read = |x: f64, y: f64| given("a.dxf", file("6", "", "", &plate(x, y)), None);
    let near = read(0.0, 0.0);
    stays(&near);
    // As far as the grids of maps reach, in m.
    for (x, y, off) in [
        (5e5, 0.0, "500\u{202f}000 m"),
        (-3.0e6, 4.0e6, "5\u{202f}000\u{202f}000 m"),
    ] {
        let far = read(x, y);
        close(area(&far), area(&near), 1e-7);
        assert_eq!((size(&far), holes(&far)), (size(&near), 1));
        says(&far, &format!("{off} {MOVED}"));
    }
    // Far for its size, but no kilometre.
    says(&read(500.0, 0.0), &format!("500 m {MOVED}"));
    stays(&read(100.0, 0.0));
    let told = refused("a.dxf", file("6", "", "", &plate(1e15, 0.0)), None);
    assert!(told.contains("Move it to the origin"), "{told}");
    // A slip of the file beside a part near the origin is no map.
    let slip = format!("{} 0 LINE 10 1e7 20 0 11 1 21 1", plate(0.0, 0.0));
    let found = given("a.dxf", file("6", "", "", &slip), None);
    stays(&found);
    says(
        &found,
        "1 line with a point that is no number or a kilometre off",
    );
}

#[test]
fn an_svg_and_its_unit_are_moved_alike() {
    let svg = |x: f64, y: f64| {
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg"><g transform="translate({x} {y})"><path d="M0 0h2v1q-1 .5 -2 0z"/><circle cx="1" cy=".5" r=".2"/></g></svg>"#
        )
    };
    let near = given("a.svg", svg(0.0, 0.0), Some(LengthUnit::M));
    let far = given("a.svg", svg(4.0e6, 3.0e6), Some(LengthUnit::M));
    close(area(&far), area(&near), 1e-4);
    assert_eq!(holes(&far), 1);
    says(&far, MOVED);
    match shape_from_file("a.svg", svg(4.0e6, 3.0e6).as_bytes(), None) {
        Ok(Answer::AsksUnit(told)) => assert!(told[1].contains("2 by 1."), "{told:?}"),
        other => panic!("{other:?}"),
    }
    let told = refused("a.svg", svg(1e15, 0.0), Some(LengthUnit::M));
    assert!(told.contains("Move it to the origin"), "{told}");
}

#[test]
fn a_skin_is_moved_as_long_as_its_numbers_tell_its_corners_apart() {
    let unit = Some(LengthUnit::Mm);
    let far = |by: f64| -> Vec<Triangle> {
        let moved = |t: Triangle| t.map(|[x, y, z]| [x + by, y, z]);
        open_box().into_iter().map(moved).collect()
    };
    stays(&given("a.stl", bytes(&open_box()), unit));
    // A kilometre: numbers of four bytes are then an eighth of a mm apart.
    let found = given("a.stl", bytes(&far(1e6)), unit);
    close(area(&found), BOX, 1e-3);
    says(&found, &format!("1000 m {MOVED}"));
    // Five hundred: 32 mm apart, but not where all digits are written.
    let told = refused("a.stl", bytes(&far(5e8)), unit);
    assert!(told.contains("Move it to the origin"), "{told}");
    let found = given("a.stl", text(&far(5e8)), unit);
    close(area(&found), BOX, 1e-9);
    says(&found, MOVED);
    // Bytes written out as text, in full or cut to seven digits, tell no more than they did.
    let four_bytes = |t: Triangle| t.map(|p| p.map(|x| f64::from(x as f32)));
    let full: Vec<Triangle> = far(5e8).into_iter().map(four_bytes).collect();
    assert!(refused("a.stl", text(&full), unit).contains("Move it to the origin"));
    let seven: String = text(&far(5e8))
        .lines()
        .map(|line| {
            let words: Vec<String> = line
                .split_whitespace()
                .map(|word| match word.parse::<f64>() {
                    Ok(x) if x.is_finite() => format!("{x:.6e}"),
                    _ => word.to_owned(),
                })
                .collect();
            words.join(" ") + "\n"
        })
        .collect();
    assert!(refused("a.stl", seven, unit).contains("Move it to the origin"));
    // Few digits near the origin are as meant.
    let whole: Vec<Triangle> = far(90.0);
    stays(&given("a.stl", text(&whole), unit));
}
