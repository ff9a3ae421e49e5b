//! What is read of a DXF.

use super::*;
use std::f64::consts::PI;

/// A file with these entities, in this unit of the header, with these blocks and layers.
pub(super) fn file(unit: &str, tables: &str, blocks: &str, entities: &str) -> String {
    let flat = |text: &str| text.replace(' ', "\n");
    let section = |name: &str, inside: &str| {
        if inside.is_empty() {
            String::new()
        } else {
            format!("0\nSECTION\n2\n{name}\n{}\n0\nENDSEC\n", flat(inside))
        }
    };
    let header = if unit.is_empty() {
        String::new()
    } else {
        format!("9 $INSUNITS 70 {unit}")
    };
    format!(
        "{}{}{}{}0\nEOF\n",
        section("HEADER", &header),
        section("TABLES", tables),
        section("BLOCKS", blocks),
        section("ENTITIES", entities)
    )
}

fn mm(entities: &str) -> Imported {
    given("part.dxf", file("4", "", "", entities), None)
}

const SQUARE: &str = "0 LINE 8 0 10 0 20 0 11 100 21 0 0 LINE 8 0 10 100 20 0 11 100 21 100 0 LINE 8 0 10 0 20 100 11 100 21 100 0 LINE 8 0 10 0 20 100 11 0 21 0";

#[test]
fn loose_lines_make_a_square() {
    let found = mm(SQUARE);
    assert_eq!(area(&found), 10_000.0);
    says(&found, "4 lines drawn, 1 loop is closed");
    says(&found, "One unit of the drawing is 1 mm, as the file says.");
    says(
        &given("a.dxf", file("5", "", "", SQUARE), None),
        "One unit of the drawing is 1 cm (10 mm), as the file says.",
    );
}

#[test]
fn the_header_gives_the_unit_or_it_is_asked() {
    for (unit, mm) in [("1", 25.4), ("4", 1.0), ("5", 10.0), ("14", 100.0)] {
        close(
            area(&given("a.dxf", file(unit, "", "", SQUARE), None)),
            1e4 * mm * mm,
            1e-9,
        );
    }
    assert!(refused("a.dxf", file("2", "", "", SQUARE), None).contains("30\u{202f}480 mm"));
    assert!(refused("a.dxf", file("6", "", "", SQUARE), None).contains("100\u{202f}000 mm"));
    for unit in ["", "0", "3", "x"] {
        match shape_from_file("a.dxf", file(unit, "", "", SQUARE).as_bytes(), None) {
            Ok(Answer::AsksUnit(told)) => assert!(told[1].contains("100 by 100"), "{told:?}"),
            other => panic!("{other:?}"),
        }
    }
    close(
        area(&given(
            "a.dxf",
            file("0", "", "", SQUARE),
            Some(LengthUnit::Cm),
        )),
        1e6,
        1e-9,
    );
    let found = given("a.dxf", file("1", "", "", SQUARE), Some(LengthUnit::Mm));
    close(area(&found), 1e4, 1e-9);
    says(&found, "the file itself says inch");
}

#[test]
fn arcs_and_lines_make_a_stadium() {
    let found = mm(
        "0 LINE 10 0 20 0 11 200 21 0 0 ARC 10 200 20 50 40 50 50 270 51 90 0 LINE 10 200 20 100 11 0 21 100 0 ARC 10 0 20 50 40 50 50 90 51 270",
    );
    inside(area(&found), 200.0 * 100.0 + PI * 2500.0, PI * 100.0);
    let [length, width, _] = size(&found);
    assert!((length - 300.0).abs() < 0.4 && (width - 100.0).abs() < 1e-6);
}

#[test]
fn a_bulge_holds_the_area_of_its_segment() {
    // Chord c, bulge b: the angle is 4 atan b, the radius c (1 + b^2) / (4 b), the segment r^2 (a - sin a) / 2.
    for bulge in [0.2_f64, 0.5, 1.0, 1.8] {
        let (angle, radius) = (
            4.0 * bulge.atan(),
            100.0 * (1.0 + bulge * bulge) / (4.0 * bulge),
        );
        let segment = radius * radius * (angle - angle.sin()) / 2.0;
        let found = mm(&format!(
            "0 LWPOLYLINE 90 3 70 1 10 100 20 0 42 {bulge} 10 100 20 100 10 0 20 50"
        ));
        inside(area(&found), 5000.0 + segment, radius * angle);
        // The other way round it bites into the triangle.
        if bulge < 0.3 {
            let found = mm(&format!(
                "0 LWPOLYLINE 90 3 70 1 10 100 20 0 42 {} 10 100 20 100 10 0 20 50",
                -bulge
            ));
            let off = area(&found) - (5000.0 - segment);
            assert!((0.0..radius * angle * 0.2).contains(&off), "{off}");
        }
    }
    // Two half circles.
    let disc = mm("0 LWPOLYLINE 90 2 70 1 10 0 20 0 42 1 10 200 20 0 42 1");
    inside(area(&disc), PI * 1e4, PI * 200.0);
}

#[test]
fn a_polyline_of_vertices_reads_like_a_light_one() {
    let found = mm(
        "0 POLYLINE 66 1 70 1 0 VERTEX 10 0 20 0 42 1 0 VERTEX 10 200 20 0 42 1 0 SEQEND 0 CIRCLE 10 100 20 0 40 20",
    );
    assert_eq!(holes(&found), 1);
    inside(area(&found) + PI * 400.0, PI * 1e4, PI * 200.0);
}

#[test]
fn circles_and_ellipses_lie_just_inside() {
    inside(
        area(&mm("0 CIRCLE 10 -5 20 7 40 150")),
        PI * 150.0 * 150.0,
        PI * 300.0,
    );
    inside(
        area(&mm(
            "0 ELLIPSE 10 0 20 0 11 120 21 90 40 0.5 41 0 42 6.283185307179586",
        )),
        PI * 150.0 * 75.0,
        PI * 300.0,
    );
    // Half an ellipse, closed by a line.
    let half = mm(
        "0 ELLIPSE 10 0 20 0 11 150 21 0 40 0.5 41 0 42 3.141592653589793 0 LINE 10 150 20 0 11 -150 21 0",
    );
    inside(area(&half), PI * 150.0 * 75.0 / 2.0, PI * 150.0);
    assert!((size(&half)[1] - 75.0).abs() < 0.2);
}

#[test]
fn what_is_seen_from_below_is_mirrored() {
    // An arc given from below with its centre at -100 lies at +100, and its angles run from the left.
    let found = mm("0 ARC 10 -100 20 0 40 50 50 0 51 180 230 -1 0 LINE 10 50 20 0 11 150 21 0");
    inside(area(&found), PI * 1250.0, PI * 50.0);
    // Mirrored, its axis runs the other way: the upper half becomes the lower one.
    let half = |z: &str, y: &str| {
        mm(&format!(
            "0 ELLIPSE 10 0 20 0 11 150 21 0 40 0.5 41 0 42 3.141592653589793 230 {z} 0 LINE 10 150 20 0 11 150 21 {y} 0 LINE 10 150 20 {y} 11 -150 21 {y} 0 LINE 10 -150 20 {y} 11 -150 21 0"
        ))
    };
    inside(
        area(&half("1", "-100")),
        300.0 * 100.0 + PI * 150.0 * 37.5,
        PI * 150.0,
    );
    inside(
        area(&half("-1", "100")),
        300.0 * 100.0 + PI * 150.0 * 37.5,
        PI * 150.0,
    );
    let told = refused(
        "a.dxf",
        file("4", "", "", "0 CIRCLE 10 0 20 0 40 50 210 1 220 0 230 0"),
        None,
    );
    assert!(told.contains("could not be read"), "{told}");
}

#[test]
fn splines_of_three_degrees_and_with_weights() {
    // Degree 1: a square by its corners.
    let square = mm(
        "0 SPLINE 70 1 71 1 40 0 40 0 40 1 40 2 40 3 40 4 40 4 10 0 20 0 10 100 20 0 10 100 20 100 10 0 20 100 10 0 20 0",
    );
    assert_eq!(area(&square), 1e4);
    // A circle exactly: nine control points of degree 2, every other with the weight of half a root of two.
    let w = 0.5_f64.sqrt();
    let ring = [
        (1, 0),
        (1, 1),
        (0, 1),
        (-1, 1),
        (-1, 0),
        (-1, -1),
        (0, -1),
        (1, -1),
        (1, 0),
    ];
    let mut text = String::from(
        "0 SPLINE 70 13 71 2 40 0 40 0 40 0 40 1 40 1 40 2 40 2 40 3 40 3 40 4 40 4 40 4",
    );
    for (i, (x, y)) in ring.iter().enumerate() {
        text += &format!(
            " 10 {} 20 {} 41 {}",
            x * 200,
            y * 200,
            if i % 2 == 1 { w } else { 1.0 }
        );
    }
    inside(area(&mm(&text)), PI * 4e4, PI * 400.0);
    // A cubic span is the Bezier curve of its control points: this one holds 0.6 of chord times height of the control points.
    let cubic = mm(
        "0 SPLINE 70 0 71 3 40 0 40 0 40 0 40 0 40 1 40 1 40 1 40 1 10 0 20 0 10 0 20 100 10 200 20 100 10 200 20 0 0 LINE 10 0 20 0 11 200 21 0",
    );
    inside(area(&cubic), 0.6 * 200.0 * 100.0, 400.0);
    // A smooth closed cubic without weights, close to a circle: uniform knots, eight control points round and round.
    let mut text = String::from("0 SPLINE 70 2 71 3");
    for i in 0..15 {
        text += &format!(" 40 {i}");
    }
    for i in 0..11 {
        let angle = f64::from(i) * PI / 4.0;
        text += &format!(" 10 {} 20 {}", 300.0 * angle.cos(), 300.0 * angle.sin());
    }
    // Its points at the knots lie at (4 + 2 cos 45) / 6 of the radius of the control points.
    let radius = 300.0 * (4.0 + 2.0 * (PI / 4.0).cos()) / 6.0;
    close(area(&mm(&text)), PI * radius * radius, 3e-3);
    // Knots that do not fit.
    let found = mm(&format!(
        "{SQUARE} 0 SPLINE 71 3 40 0 40 1 10 0 20 0 10 1 20 1"
    ));
    says(&found, "1 shape that could not be read");
    // Degree 5, the Bezier curve of six control points in a row of steps: its area by Green's theorem on the same curve.
    let controls = [
        (0, 0),
        (0, 100),
        (100, 200),
        (200, 200),
        (300, 100),
        (300, 0),
    ];
    let mut text = String::from("0 SPLINE 70 0 71 5");
    for i in 0..12 {
        text += &format!(" 40 {}", i / 6);
    }
    for (x, y) in controls {
        text += &format!(" 10 {x} 20 {y}");
    }
    let at = |t: f64| {
        let mut p = controls.map(|(x, y)| (f64::from(x), f64::from(y))).to_vec();
        while p.len() > 1 {
            p = p
                .windows(2)
                .map(|w| {
                    (
                        w[0].0 * (1.0 - t) + w[1].0 * t,
                        w[0].1 * (1.0 - t) + w[1].1 * t,
                    )
                })
                .collect();
        }
        p[0]
    };
    let wanted: f64 = (0..4000)
        .map(|i| (at(f64::from(i) / 4000.0), at(f64::from(i + 1) / 4000.0)))
        .map(|(a, b)| (b.0 - a.0) * (a.1 + b.1) / 2.0)
        .sum();
    text += " 0 LINE 10 0 20 0 11 300 21 0";
    inside(area(&mm(&text)), wanted, 700.0);
}

#[test]
fn a_curve_through_points_is_smooth() {
    // Twelve points on a circle, run round: within a part in a thousand of it.
    let ring = |closed: bool| {
        let mut text = format!("0 SPLINE 70 {} 71 3 74 12", if closed { 9 } else { 8 });
        for i in 0..12 + usize::from(!closed) {
            let angle = i as f64 * PI / 6.0;
            text += &format!(" 11 {} 21 {}", 300.0 * angle.cos(), 300.0 * angle.sin());
        }
        text
    };
    close(area(&mm(&ring(true))), PI * 9e4, 1.5e-3);
    // Open but for its ends, which meet, and bend a little less there.
    close(area(&mm(&ring(false))), PI * 9e4, 6e-3);
    // With the directions of its ends, a quarter of a circle through three points.
    let quarter = mm(
        "0 SPLINE 70 8 71 3 12 0 22 1 13 -1 23 0 11 200 21 0 11 141.4213562 21 141.4213562 11 0 21 200 0 LINE 10 0 20 0 11 200 21 0 0 LINE 10 0 20 0 11 0 21 200",
    );
    close(area(&quarter), PI * 1e4, 3e-3);
}

#[test]
fn hatches_and_faces_count_where_no_line_encloses_anything() {
    let hatch = "0 HATCH 2 SOLID 70 1 91 2 92 3 72 0 73 1 93 4 10 0 20 0 10 200 20 0 10 200 20 100 10 0 20 100 97 0 92 0 93 2 72 2 10 100 20 50 40 30 50 0 51 180 73 1 72 2 10 100 20 50 40 30 50 180 51 360 73 1 97 0";
    let found = mm(hatch);
    assert_eq!(holes(&found), 1);
    inside(
        area(&found) + PI * 900.0,
        20_000.0 + 40.0,
        PI * 60.0 + 200.0,
    );
    // With an outline it is no more than what it is.
    let both = mm(&format!("{hatch} {SQUARE}"));
    assert_eq!((area(&both), holes(&both)), (1e4, 0));
    assert_eq!(
        area(&mm("0 SOLID 10 0 20 0 11 100 21 0 12 0 22 50 13 100 23 50")),
        5000.0
    );
}

#[test]
fn paper_is_read_where_the_model_is_empty() {
    let paper = SQUARE.replace("0 LINE 8 0", "0 LINE 67 1 8 0");
    let found = mm(&paper);
    assert_eq!(area(&found), 1e4);
    says(&found, "stands on paper");
    let block = format!("0 BLOCK 2 *Paper_Space0 10 0 20 0 {SQUARE} 0 ENDBLK");
    assert_eq!(
        area(&given("a.dxf", file("4", "", &block, "0 TEXT 1 a"), None)),
        1e4
    );
}

#[test]
fn frames_overruns_gaps_and_ribs_are_seen_through() {
    let frame = |name: &str, w: f64, h: f64| {
        format!(
            "0 LWPOLYLINE 8 {name} 70 1 10 -50 20 -50 10 {} 20 -50 10 {} 20 {} 10 -50 20 {}",
            w - 50.0,
            w - 50.0,
            h - 50.0,
            h - 50.0
        )
    };
    let hole = "0 CIRCLE 10 50 20 50 40 10";
    for drawing in [
        format!("{} {SQUARE}", frame("BORDER", 333.0, 270.0)),
        format!("{} {SQUARE} {hole}", frame("0", 333.0, 270.0)),
        format!(
            "{} {} {SQUARE} {hole}",
            frame("0", 390.0, 277.0),
            frame("0", 380.0, 260.0)
        ),
    ] {
        let found = mm(&drawing);
        assert_eq!(size(&found)[..2], [100.0, 100.0], "{drawing}");
        says(&found, "is taken for the sheet");
    }
    // A plate with holes is no sheet, nor is a frame that is the part.
    assert_eq!(
        holes(&mm(&format!("{SQUARE} {hole} 0 CIRCLE 10 20 20 20 40 5"))),
        2
    );
    let over = "0 LINE 10 -5 20 0 11 105 21 0 0 LINE 10 0 20 -3 11 0 21 104 0 LINE 10 -9 20 100 11 103 21 100 0 LINE 10 100 20 -4 11 100 21 108";
    let found = mm(over);
    assert_eq!(area(&found), 1e4);
    says(&found, "4 lines ran beyond");
    let short = "0 LINE 10 0.4 20 0 11 105 21 0 0 LINE 10 0 20 -3 11 0 21 104 0 LINE 10 -9 20 100 11 103 21 100 0 LINE 10 100 20 -4 11 100 21 108";
    let found = mm(short);
    assert_eq!(area(&found), 1e4);
    says(&found, "1 line stopped");
    let gap = SQUARE.replace("10 0 20 100 11 0 21 0", "10 0 20 100 11 0 21 0.8");
    let found = mm(&gap);
    close(area(&found), 1e4, 5e-3);
    says(&found, "Gaps of up to 0.8 mm");
    let found = mm(&format!("{SQUARE} 0 LINE 10 30 20 0 11 60 21 100"));
    assert_eq!(area(&found), 1e4);
    // Middle lines that run through it are none of it.
    let found = mm(&format!(
        "{SQUARE} 0 LINE 6 CENTER 10 -30 20 50 11 130 21 50 0 CIRCLE 6 CENTER 10 50 20 50 40 30 {hole}"
    ));
    assert_eq!(holes(&found), 1);
    says(&found, "2 middle lines");
}

#[test]
fn blocks_are_put_in_with_scale_turn_rows_and_base() {
    let blocks = format!(
        "0 BLOCK 2 PLATE 10 50 20 50 {SQUARE} 0 ENDBLK 0 BLOCK 2 OUTER 10 0 20 0 0 INSERT 2 PLATE 10 0 20 0 41 3 42 2 50 30 0 ENDBLK"
    );
    let found = given(
        "a.dxf",
        file("4", "", &blocks, "0 INSERT 2 OUTER 10 500 20 500 41 -1"),
        None,
    );
    close(area(&found), 6e4, 1e-4);
    let found = given(
        "a.dxf",
        file(
            "4",
            "",
            &blocks,
            "0 CIRCLE 10 0 20 0 40 500 0 INSERT 2 PLATE 10 -120 20 0 41 0.5 42 0.5 70 3 71 2 44 100 45 100",
        ),
        None,
    );
    assert_eq!(holes(&found), 6);
    inside(area(&found) + 6.0 * 2500.0, PI * 25e4, PI * 1000.0);
    says(
        &given(
            "a.dxf",
            file("4", "", "", &format!("{SQUARE} 0 INSERT 2 GONE 10 0 20 0")),
            None,
        ),
        "block that the file does not hold",
    );
}

#[test]
fn hidden_layers_paper_and_other_kinds_are_left_out() {
    let tables = "0 TABLE 2 LAYER 0 LAYER 2 NOTES 70 0 62 -7 0 LAYER 2 ICE 70 1 62 7 0 LAYER 2 CUT 70 0 62 3 0 ENDTAB";
    let big = |extra: &str| format!("0 CIRCLE {extra} 10 0 20 0 40 900");
    let found = given(
        "a.dxf",
        file(
            "4",
            tables,
            "",
            &format!(
                "{SQUARE} {} {} {} 0 CIRCLE 8 CUT 10 50 20 50 40 20 0 TEXT 1 Roof 0 HATCH 2 SOLID 0 WIPEOUT 1 x 0 LINE 10 0 20 0 30 0 11 5 21 5 31 9",
                big("8 NOTES"),
                big("8 ICE"),
                big("67 1")
            ),
        ),
        None,
    );
    assert_eq!((holes(&found), size(&found)), (1, [100.0, 100.0, 0.0]));
    for words in [
        "2 hidden",
        "1 text",
        "1 hatch",
        "1 entity of a kind",
        "1 difference in height",
        "1 line that closes no loop",
    ] {
        says(&found, words);
    }
}
