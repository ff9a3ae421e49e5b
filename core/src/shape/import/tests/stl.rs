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
fn of_a_solid_all_but_its_base_and_of_a_thin_one_the_upper_skin() {
    let unit = Some(LengthUnit::Mm);
    let mut solid = open_box();
    solid.extend(lid());
    let found = given("a.stl", text(&solid), unit);
    close(area(&found), BOX, 1e-9);
    says(&found, "closed solid");
    // A tray of 300 by 200 by 100 with walls and a floor of 3: inside it is 294 by 194 by 97.
    let tray = thick_tray();
    let found = given("a.stl", text(&tray), unit);
    let inner = 294.0 * 194.0 + 2.0 * 97.0 * (294.0 + 194.0);
    close(area(&found), inner, 1e-9);
    // Bottom up it is the outer skin.
    let wish = Wish {
        unit,
        up: Up::Bottom,
        ..Wish::default()
    };
    let reading = read_file("a.stl", text(&tray).as_bytes(), &wish).unwrap();
    let shape = crate::shape::read(&reading.shape.unwrap()).unwrap();
    close(shape.area() * 1e6, BOX, 1e-9);
    // One tap on a face of the other skin takes all of that skin.
    let wish = Wish {
        unit,
        ..Wish::default()
    };
    let reading = read_file("a.stl", text(&tray).as_bytes(), &wish).unwrap();
    let outer = reading
        .picture
        .areas
        .iter()
        .find(|area| area.words.ends_with(": 0.06 m²"))
        .unwrap();
    assert_eq!(outer.role, Role::Other);
    let wish = Wish {
        pick: outer.as_part.clone(),
        ..wish
    };
    let reading = read_file("a.stl", text(&tray).as_bytes(), &wish).unwrap();
    let shape = crate::shape::read(&reading.shape.unwrap()).unwrap();
    close(shape.area() * 1e6, BOX, 1e-9);
}

/// A tray as a closed solid, wound outwards.
fn thick_tray() -> Vec<Triangle> {
    let ring = |inset: f64, z: f64| {
        [
            [inset, inset, z],
            [300.0 - inset, inset, z],
            [300.0 - inset, 200.0 - inset, z],
            [inset, 200.0 - inset, z],
        ]
    };
    let quad = |q: [[f64; 3]; 4]| [[q[0], q[1], q[2]], [q[0], q[2], q[3]]];
    let band = |a: [[f64; 3]; 4], b: [[f64; 3]; 4]| {
        (0..4).flat_map(move |i| {
            let j = (i + 1) % 4;
            quad([a[i], a[j], b[j], b[i]])
        })
    };
    let (out, top) = (ring(0.0, 0.0), ring(0.0, 100.0));
    let (rim, floor) = (ring(3.0, 100.0), ring(3.0, 3.0));
    let [a, b, c, d] = out;
    quad([d, c, b, a])
        .into_iter()
        .chain(band(out, top))
        .chain(band(top, rim))
        .chain(band(rim, floor))
        .chain(quad(floor))
        .collect()
}

#[test]
fn a_rib_belongs_to_the_skin() {
    // A wall across the floor from one corner to the other shares the diagonal with both of its triangles.
    let mut ribbed = open_box();
    let [floor, _] = two(&[[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]]);
    ribbed.push([floor[0], floor[2], [160.0, 80.0, 60.0]]);
    let found = given("a.stl", text(&ribbed), Some(LengthUnit::Mm));
    close(
        area(&found),
        BOX + 0.5 * 60.0 * 300.0_f64.hypot(200.0),
        1e-9,
    );
}

#[test]
fn trailing_bytes_no_count_and_remarks_are_no_harm() {
    let unit = Some(LengthUnit::Mm);
    let mut more = bytes(&open_box());
    more.extend(b"made with care");
    let found = given("a.stl", &more, unit);
    close(area(&found), BOX, 1e-6);
    says(&found, "behind the last triangle");
    for count in [0_u32, u32::MAX] {
        let mut none = bytes(&open_box());
        none[80..84].copy_from_slice(&count.to_le_bytes());
        let found = given("a.stl", &none, unit);
        close(area(&found), BOX, 1e-6);
        says(&found, "does not say how many");
    }
    let remarked = format!("# exported\n{}", text(&open_box()))
        .replacen(" facet", " ; a remark\n facet", 2)
        .replace("solid box\n facet", "solid box\n# another\n facet");
    let found = given("a.stl", remarked, unit);
    close(area(&found), BOX, 1e-9);
    says(&found, "3 lines that say nothing of a triangle");
}

/// A sheet of 300 by 200 in two patches whose seam at x 150 is divided into `left` and `right` sides, `gap` apart.
fn patches(left: usize, right: usize, gap: f64) -> Vec<Triangle> {
    let patch = |from: f64, to: f64, near: usize, far: usize| {
        let side = |x: f64, count: usize| -> Vec<[f64; 3]> {
            (0..=count)
                .map(|i| [x, 200.0 * i as f64 / count as f64, 0.0])
                .collect()
        };
        let (a, b) = (side(from, near), side(to, far));
        let (mut i, mut j) = (0, 0);
        let mut out: Vec<Triangle> = Vec::new();
        while i < near || j < far {
            if j == far || (i < near && a[i + 1][1] <= b[j + 1][1]) {
                out.push([a[i], b[j], a[i + 1]]);
                i += 1;
            } else {
                out.push([a[i], b[j], b[j + 1]]);
                j += 1;
            }
        }
        out
    };
    let mut all = patch(0.0, 150.0, 3, left);
    all.extend(patch(150.0 + gap, 300.0, right, 3));
    all
}

#[test]
fn a_seam_whose_corners_do_not_meet_is_closed_or_told() {
    let unit = Some(LengthUnit::Mm);
    for (left, right, gap) in [(7, 7, 0.002), (7, 10, 0.0), (7, 10, 0.05), (1, 13, 0.0)] {
        let found = given("a.stl", text(&patches(left, right, gap)), unit);
        close(area(&found), 6e4, 1e-3);
        assert!(
            !found.told.iter().any(|told| told.contains("not joined")),
            "{:?}",
            found.told
        );
    }
    // Too far apart to be a slip: both are told, and one tap takes the other.
    let far = patches(7, 10, 8.0);
    let found = given("a.stl", text(&far), unit);
    says(&found, "1 piece that is not joined to the largest");
    says(&found, "merge the points along the seam");
}

#[test]
fn obj_and_ply_hold_the_same_box() {
    let quads = [
        [1, 2, 3, 4],
        [1, 2, 6, 5],
        [2, 3, 7, 6],
        [3, 4, 8, 7],
        [4, 1, 5, 8],
    ];
    let corners: Vec<[f64; 3]> = [0.0, 100.0]
        .iter()
        .flat_map(|z| {
            [
                [0.0, 0.0, *z],
                [300.0, 0.0, *z],
                [300.0, 200.0, *z],
                [0.0, 200.0, *z],
            ]
        })
        .collect();
    let mut obj = String::from("# a box\nmtllib a.mtl\no box\n");
    for [x, y, z] in &corners {
        obj += &format!("v {x} {y} {z}\n");
    }
    for (i, quad) in quads.iter().enumerate() {
        let words: Vec<String> = quad
            .iter()
            // Some counted back from the last, some with what dresses them.
            .map(|n| {
                if i % 2 == 0 {
                    format!("{n}/1/1")
                } else {
                    format!("{}", n - 9)
                }
            })
            .collect();
        obj += &format!("f {}\n", words.join(" "));
    }
    let unit = Some(LengthUnit::Mm);
    close(area(&given("a.obj", &obj, unit)), BOX, 1e-9);
    let head = |form: &str| {
        format!(
            "ply\nformat {form} 1.0\ncomment a box\nelement vertex 8\nproperty float x\nproperty float y\nproperty float z\nproperty uchar red\nelement face 5\nproperty list uchar int vertex_indices\nend_header\n"
        )
    };
    let mut ascii = head("ascii");
    for [x, y, z] in &corners {
        ascii += &format!("{x} {y} {z} 9\n");
    }
    for [a, b, c, d] in quads {
        ascii += &format!("4 {} {} {} {}\n", a - 1, b - 1, c - 1, d - 1);
    }
    close(area(&given("a.ply", ascii, unit)), BOX, 1e-9);
    for big in [false, true] {
        let mut body = head(if big {
            "binary_big_endian"
        } else {
            "binary_little_endian"
        })
        .into_bytes();
        for p in &corners {
            for x in p {
                let x = *x as f32;
                body.extend(if big {
                    x.to_be_bytes()
                } else {
                    x.to_le_bytes()
                });
            }
            body.push(9);
        }
        for quad in quads {
            body.push(4);
            for n in quad {
                body.extend(if big {
                    (n - 1_i32).to_be_bytes()
                } else {
                    (n - 1_i32).to_le_bytes()
                });
            }
        }
        close(area(&given("a.ply", &body, unit)), BOX, 1e-9);
        body.truncate(body.len() - 3);
        assert!(refused("a.ply", &body, unit).contains("breaks off"));
    }
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
        told.contains("in 40 pieces only") && told.contains("Tap") && told.contains("merge"),
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
