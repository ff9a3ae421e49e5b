//! What is read of an STL.

use super::*;

pub(super) type Triangle = [[f64; 3]; 3];

/// A box of 300 by 200 by 100 without its lid.
pub(super) fn open_box() -> Vec<Triangle> {
    let quads = [
        [[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]],
        [[0, 0, 0], [1, 0, 0], [1, 0, 1], [0, 0, 1]],
        [[1, 0, 0], [1, 1, 0], [1, 1, 1], [1, 0, 1]],
        [[1, 1, 0], [0, 1, 0], [0, 1, 1], [1, 1, 1]],
        [[0, 1, 0], [0, 0, 0], [0, 0, 1], [0, 1, 1]],
    ];
    quads.iter().flat_map(two).collect()
}

fn lid() -> Vec<Triangle> {
    two(&[[0, 0, 1], [1, 0, 1], [1, 1, 1], [0, 1, 1]]).to_vec()
}

fn two(quad: &[[i32; 3]; 4]) -> [Triangle; 2] {
    let at = |i: usize| {
        let [x, y, z] = quad[i].map(f64::from);
        [10.0 + 300.0 * x, -20.0 + 200.0 * y, 100.0 * z]
    };
    [[at(0), at(1), at(2)], [at(0), at(2), at(3)]]
}

pub(super) fn text(triangles: &[Triangle]) -> String {
    let mut out = String::from("solid box\n");
    for triangle in triangles {
        out += " facet normal nan nan nan\n  outer loop\n";
        for [x, y, z] in triangle {
            out += &format!("   vertex {x} {y} {z:e}\n");
        }
        out += "  endloop\n endfacet\n";
    }
    out + "endsolid box\n"
}

pub(super) fn bytes(triangles: &[Triangle]) -> Vec<u8> {
    let mut out = b"solid is how this header starts as well".to_vec();
    out.resize(80, b' ');
    out.extend(u32::try_from(triangles.len()).unwrap().to_le_bytes());
    for triangle in triangles {
        out.extend([0; 12]);
        for x in triangle.iter().flatten() {
            out.extend((*x as f32).to_le_bytes());
        }
        out.extend([0; 2]);
    }
    out
}

pub(super) const BOX: f64 = 300.0 * 200.0 + 2.0 * 100.0 * (300.0 + 200.0);

#[test]
fn an_open_box_is_the_same_as_text_and_as_bytes() {
    let as_text = given("box.stl", text(&open_box()), Some(LengthUnit::Mm));
    let as_bytes = given("box.stl", bytes(&open_box()), Some(LengthUnit::Mm));
    assert_eq!(as_text, as_bytes);
    close(area(&as_text), BOX, 1e-12);
    assert_eq!(size(&as_text), [300.0, 200.0, 100.0]);
    assert_eq!(as_text.shape["points_mm"].as_array().unwrap().len(), 8);
    assert_eq!(as_text.shape["triangles"].as_array().unwrap().len(), 10);
    says(&as_text, "300 mm by 200 mm by 100 mm");
    says(&as_text, "0.16 m²");
    let capital = text(&open_box())
        .to_uppercase()
        .replace("SOLID BOX", "SOLID")
        .replace("NAN", "0");
    assert_eq!(given("box.stl", capital, Some(LengthUnit::Mm)), as_text);
    close(
        area(&given("box.stl", text(&open_box()), Some(LengthUnit::Inch))),
        BOX * 25.4 * 25.4,
        1e-6,
    );
}

#[test]
fn the_unit_is_always_asked() {
    match shape_from_file("box.stl", &bytes(&open_box()), None) {
        Ok(Answer::AsksUnit(told)) => assert!(told[1].contains("300 by 200 by 100"), "{told:?}"),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_solid_and_a_rib_are_refused() {
    let mut solid = open_box();
    solid.extend(lid());
    assert!(refused("a.stl", text(&solid), Some(LengthUnit::Mm)).contains("closed solid"));
    // A wall across the floor from one corner to the other shares the diagonal with both of its triangles.
    let mut ribbed = open_box();
    let [floor, _] = two(&[[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]]);
    ribbed.push([floor[0], floor[2], [160.0, 80.0, 60.0]]);
    let told = refused("a.stl", text(&ribbed), Some(LengthUnit::Mm));
    assert!(told.contains("1 edge "), "{told}");
}

#[test]
fn near_corners_are_welded_and_the_rest_is_counted() {
    let mut loose = open_box();
    for (i, x) in loose.iter_mut().flatten().flatten().enumerate() {
        *x += 1e-4 * (i % 3) as f64;
    }
    let double = loose[0];
    loose.push(double);
    loose.push([double[0], double[0], double[1]]);
    let far = |x: f64| [[x, 900.0, 0.0], [x + 10.0, 900.0, 0.0], [x, 910.0, 0.0]];
    loose.extend([far(0.0), far(50.0)]);
    let found = given("a.stl", text(&loose), Some(LengthUnit::Mm));
    close(area(&found), BOX, 1e-5);
    assert_eq!(found.shape["points_mm"].as_array().unwrap().len(), 8);
    says(&found, "1 triangle without an area");
    says(&found, "1 triangle that stand");
    says(
        &found,
        "2 pieces that are not joined to the largest, 0.0001 m²",
    );
}

#[test]
fn a_skin_that_falls_apart_is_refused() {
    // A hair of 1 mm between any two triangles of a sheet.
    let mut sheet: Vec<Triangle> = Vec::new();
    for i in 0..20 {
        let x = 10.0 * f64::from(i);
        sheet.push([[x, 0.0, 0.0], [x + 9.0, 0.0, 0.0], [x, 300.0, 0.0]]);
        sheet.push([[x + 9.5, 0.5, 0.0], [x + 9.5, 300.0, 0.0], [x, 300.5, 0.0]]);
    }
    let unit = Some(LengthUnit::Mm);
    let told = refused("a.stl", text(&sheet), unit);
    assert!(
        told.contains("in 40 pieces only") && told.contains("gaps") && told.contains("merge"),
        "{told}"
    );
    // A box and two more as large as a third of it in all are two pieces too many, not a skin with gaps.
    let mut three = open_box();
    for (far, size) in [(1000.0, 0.4), (2000.0, 0.4)] {
        let more = open_box();
        three.extend(
            more.iter()
                .map(|t| t.map(|[x, y, z]| [far + size * x, size * y, size * z])),
        );
    }
    let found = given("a.stl", text(&three), unit);
    close(area(&found), BOX, 1e-9);
    says(&found, "2 pieces that are not joined to the largest");
}

#[test]
fn files_that_break_off_or_overflow_are_told() {
    let unit = Some(LengthUnit::Mm);
    let mut short = bytes(&open_box());
    short.truncate(84 + 50 * 7 + 20);
    assert!(
        refused("a.stl", &short, unit).contains("10 triangles, and its length is right for 7.4")
    );
    assert!(refused("a.stl", &short[..70], unit).contains("breaks off"));
    let whole = text(&open_box());
    let cut = whole.split_once("endloop").unwrap().0;
    assert!(refused("a.stl", cut, unit).contains("breaks off"));
    assert!(
        refused("a.stl", whole.replacen("vertex 10", "vertex NaN", 1), unit).contains("no number")
    );
    assert!(
        refused(
            "a.stl",
            whole.replacen("vertex 10", "vertex 1e300", 1),
            unit
        )
        .contains("kilometre")
    );
    assert!(
        refused("a.stl", whole.replacen("vertex 10", "vertex ten", 1), unit).contains("line 4")
    );
    let small: Vec<Triangle> = open_box()
        .iter()
        .map(|t| t.map(|p| p.map(|x| x * 1e-3)))
        .collect();
    assert!(refused("a.stl", text(&small), unit).contains("unit"));
}
