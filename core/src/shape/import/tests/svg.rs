//! What is read of an SVG.

use super::*;
use std::f64::consts::PI;

/// A sheet of 1000 mm by 800 mm in mm.
pub(super) fn sheet(inside: &str) -> String {
    format!(
        r#"<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="800mm" viewBox="0 0 1000 800">{inside}</svg>"#
    )
}

pub(super) fn drawn(inside: &str) -> Imported {
    given("part.svg", sheet(inside), None)
}

#[test]
fn a_rectangle_with_a_hole_is_exact() {
    let found = drawn(
        r#"<rect x="100" y="50" width="600" height="400"/><rect x="200" y="150" width="300" height="100"/>"#,
    );
    assert_eq!(area(&found), 600.0 * 400.0 - 300.0 * 100.0);
    assert_eq!(size(&found), [600.0, 400.0, 0.0]);
    assert_eq!(found.shape["from"], "part.svg");
    // Lower left corner at 0, 0, y up: the hole is 100 mm in from the left and 200 mm up.
    let hole: Vec<(f64, f64)> = found.shape["holes_mm"][0]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| (p[0].as_f64().unwrap(), p[1].as_f64().unwrap()))
        .collect();
    assert_eq!(
        hole.iter().map(|p| p.0).fold(f64::INFINITY, f64::min),
        100.0
    );
    assert_eq!(
        hole.iter().map(|p| p.1).fold(f64::INFINITY, f64::min),
        200.0
    );
    says(&found, "600 mm by 400 mm");
    says(&found, "0.21 m²");
    says(&found, "1 hole");
    says(&found, "One unit of the drawing is 1 mm");
}

#[test]
fn circles_ellipses_and_rounded_corners_lie_just_inside() {
    inside(
        area(&drawn(r#"<circle cx="400" cy="400" r="250"/>"#)),
        PI * 250.0 * 250.0,
        PI * 500.0,
    );
    inside(
        area(&drawn(r#"<ellipse cx="400" cy="400" rx="300" ry="100"/>"#)),
        PI * 300.0 * 100.0,
        PI * 600.0,
    );
    let round = 500.0 * 300.0 - (4.0 - PI) * 60.0 * 40.0;
    inside(
        area(&drawn(
            r#"<rect width="500" height="300" rx="60" ry="40"/>"#,
        )),
        round,
        1600.0,
    );
    // One radius alone counts for both.
    let round = 500.0 * 300.0 - (4.0 - PI) * 60.0 * 60.0;
    inside(
        area(&drawn(r#"<rect width="500" height="300" ry="60"/>"#)),
        round,
        1600.0,
    );
    assert!(
        drawn(r#"<circle cx="400" cy="400" r="390"/>"#).shape["points_mm"]
            .as_array()
            .unwrap()
            .len()
            <= 600
    );
}

#[test]
fn every_command_of_a_path_is_drawn() {
    // Straight ones, absolute and relative.
    assert_eq!(
        area(&drawn(
            r#"<path d="M10 10 H 110 v 50 h -40 V 100 l -60 0 z"/>"#
        )),
        100.0 * 50.0 + 60.0 * 40.0
    );
    // A half disc by an arc, above a straight edge.
    inside(
        area(&drawn(r#"<path d="M100 200 a 100 100 0 0 1 200 0 z"/>"#)),
        PI * 5000.0,
        PI * 100.0,
    );
    // A parabola over a chord holds two thirds of chord times rise; the rise is half way to the control point.
    inside(
        area(&drawn(r#"<path d="M0 0 Q 100 200 200 0 Z"/>"#)),
        2.0 / 3.0 * 200.0 * 100.0,
        310.0,
    );
    // A smooth one goes on by the mirror image of the last control point.
    let smooth = area(&drawn(
        r#"<path d="M0 0 q 50 80 100 0 t 100 0 v 200 h -200 z"/>"#,
    ));
    close(smooth, 200.0 * 200.0, 2e-3);
    // This cubic holds six tenths of chord times height of its control points, by Green's theorem.
    inside(
        area(&drawn(r#"<path d="M0 0 C 0 100 200 100 200 0 Z"/>"#)),
        0.6 * 200.0 * 100.0,
        400.0,
    );
    let smooth = area(&drawn(
        r#"<path d="M0 100 c 0 50 100 50 100 0 s 100 -50 100 0 V 400 H 0 Z"/>"#,
    ));
    close(smooth, 200.0 * 300.0, 2e-3);
    // Two loops in one path; without a move the second starts where the first did.
    let frame = drawn(r#"<path d="M0 0H400V300H0Z m100 100h100v50h-100z"/>"#);
    assert_eq!((area(&frame), holes(&frame)), (400.0 * 300.0 - 5000.0, 1));
}

#[test]
fn groups_move_turn_and_scale_what_they_hold() {
    let found = drawn(
        r#"<g transform="translate(300 200) rotate(30)"><g transform="scale(2 0.5) skewX(20)"><rect width="100" height="80"/></g></g>"#,
    );
    close(area(&found), 100.0 * 80.0, 1e-4);
    let found =
        drawn(r#"<g transform="matrix(0 1 -1 0 400 0)"><rect width="300" height="100"/></g>"#);
    assert_eq!(size(&found), [100.0, 300.0, 0.0]);
}

#[test]
fn the_unit_comes_from_the_size_or_is_asked() {
    let rect = r#"<rect width="60" height="40"/>"#;
    let with =
        |head: &str| format!(r#"<svg xmlns="http://www.w3.org/2000/svg" {head}>{rect}</svg>"#);
    let of = |head: &str| area(&given("a.svg", with(head), None));
    close(
        of(r#"width="10cm" height="5cm" viewBox="0 0 100 50""#),
        2400.0,
        1e-9,
    );
    close(
        of(r#"width="10in" viewBox="0 0 100 50""#),
        2400.0 * 2.54 * 2.54,
        1e-5,
    );
    close(
        of(r#"width="72pt" height="72pt" viewBox="0 0 1 1""#),
        2400.0 * 25.4 * 25.4,
        1e-6,
    );
    // Without a view box a unit is a pixel, 96 of an inch; 40 of them are 10.58 mm.
    close(
        of(r#"width="200mm" height="100mm""#),
        2400.0 * (25.4 / 96.0_f64).powi(2),
        1e-3,
    );
    // A box of another shape is fitted whole, unless it says otherwise.
    let odd = r#"width="200mm" height="400mm" viewBox="0 0 100 100""#;
    close(of(odd), 9600.0, 1e-9);
    close(
        of(&format!(r#"{odd} preserveAspectRatio="none""#)),
        19_200.0,
        1e-9,
    );
    close(
        of(&format!(r#"{odd} preserveAspectRatio="xMidYMid slice""#)),
        38_400.0,
        1e-9,
    );
    for head in [
        "",
        r#"width="300" height="200""#,
        r#"width="300px""#,
        r#"width="100%" viewBox="0 0 10 10""#,
    ] {
        match shape_from_file("a.svg", with(head).as_bytes(), None) {
            Ok(Answer::AsksUnit(told)) => assert!(told[1].contains("60 by 40"), "{told:?}"),
            other => panic!("{other:?}"),
        }
    }
    let found = given("a.svg", with(""), Some(LengthUnit::Cm));
    assert_eq!(area(&found), 600.0 * 400.0);
    says(&found, "1 cm, as you say");
    let found = given(
        "a.svg",
        with(r#"width="100mm" viewBox="0 0 100 50""#),
        Some(LengthUnit::Inch),
    );
    close(area(&found), 2400.0 * 25.4 * 25.4, 1e-9);
    says(&found, "its own size says 1 mm");
}

#[test]
fn an_arc_is_as_round_in_metres_as_in_mm() {
    let text =
        r#"<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0 A 1.5 1.5 0 0 1 3 0 Z"/></svg>"#;
    inside(
        area(&given("a.svg", text, Some(LengthUnit::M))),
        PI * 1500.0 * 750.0,
        PI * 1500.0,
    );
}

#[test]
fn what_is_no_part_of_the_outline_is_told() {
    let found = drawn(
        r##"<defs><rect width="900" height="700"/></defs><clipPath><rect width="900" height="700"/></clipPath>
        <text x="1" y="2">Roof</text><image width="900" height="700"/><use href="#a"/>
        <g display="none"><rect width="900" height="700"/></g>
        <rect style="fill:none; visibility:hidden" width="900" height="700"/>
        <rect width="200" height="100"/><rect x="400" width="20" height="20"/>
        <circle cx="100" cy="50" r="40"/><rect x="90" y="40" width="1.2" height="1.2"/>
        <line x1="0" y1="300" x2="200" y2="300"/><rect width="200" height="100"/>
        <path d="M 0 0 L 5 oops"/><circle cx="30" cy="30" r="0.3"/>"##,
    );
    assert_eq!(holes(&found), 1);
    for words in [
        "1 text",
        "1 image",
        "1 copy of what the file does not hold",
        "2 hidden",
        "2 loops that are not the part, nor holes in it",
        "1 line that closes no loop",
        "1 shape that could not be read",
        "1 dot",
    ] {
        says(&found, words);
    }
}

#[test]
fn copies_and_drawings_within_are_put_in() {
    let link = r##"xmlns:xlink="http://www.w3.org/1999/xlink""##;
    for inside in [
        r##"<defs><rect id="a" width="300" height="200"/></defs><use href="#a" x="50" y="9"/>"##.to_owned(),
        format!(r##"<symbol id="a" viewBox="0 0 30 20"><rect width="30" height="20"/></symbol><use {link} xlink:href="#a" width="300" height="200"/>"##),
        r##"<g id="a"><rect width="150" height="100"/></g><use href="#a" transform="translate(500 300) scale(2)"/>"##.to_owned(),
        r#"<svg x="20" y="30" width="300" height="400" viewBox="0 0 30 40"><rect width="30" height="20"/></svg>"#.to_owned(),
        // Fitted whole and in the middle: 30 by 20 times 10.
        r#"<svg width="500" height="200" viewBox="0 0 30 20"><rect width="30" height="20"/></svg>"#.to_owned(),
        r#"<svg width="30%" height="25%"><rect width="100%" height="100%"/></svg>"#.to_owned(),
    ] {
        assert_eq!(area(&drawn(&inside)), 6e4, "{inside}");
    }
    let round = drawn(
        r##"<rect width="300" height="200"/><g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>"##,
    );
    assert_eq!(area(&round), 6e4);
    says(&round, "of themselves");
}

#[test]
fn rectangles_that_overlap_are_one_part() {
    let found = drawn(
        r#"<rect width="300" height="200"/><rect x="200" y="100" width="300" height="200"/><circle cx="100" cy="100" r="20"/>"#,
    );
    assert_eq!(holes(&found), 1);
    inside(
        area(&found) + PI * 400.0,
        2.0 * 6e4 - 100.0 * 100.0 + 30.0,
        PI * 40.0 + 150.0,
    );
    says(&found, "the edge of all that hangs together counts");
}

#[test]
fn open_lines_whose_ends_meet_close() {
    let found = drawn(r#"<path fill="none" stroke="red" d="M0 0H300V200H0V0.2"/>"#);
    close(area(&found), 60_000.0, 1e-3);
    let found = drawn(
        r#"<line x1="0" y1="0" x2="300" y2="0"/><line x1="300" y1="200" x2="300" y2="0"/><polyline points="300,200 0,200 0,0.25"/>"#,
    );
    close(area(&found), 60_000.0, 1e-3);
    says(&found, "Gaps of up to 0.25 mm were closed in 1 loop");
    assert!(
        refused(
            "a.svg",
            sheet(r#"<path fill="none" stroke="red" d="M0 0H300V200H0V5"/>"#),
            None
        )
        .contains("No closed loop")
    );
}

#[test]
fn where_lines_cross_the_edge_of_all_of_it_counts() {
    let found = drawn(r#"<polygon points="0,0 200,200 200,0 0,200 -50,100"/>"#);
    // The larger half; the other touches it in one point.
    assert_eq!(area(&found), 15_000.0);
    says(&found, "Lines cross near x 100 mm");
    says(&found, "1 loop that is not the part");
    // A tab that overlaps a plate.
    let found = drawn(r#"<path d="M0 0H400V300H0Z M300 100h200v50h-200z"/>"#);
    assert_eq!(
        (area(&found), holes(&found)),
        (400.0 * 300.0 + 100.0 * 50.0, 0)
    );
}

#[test]
fn a_size_that_is_no_part_points_to_the_unit() {
    for side in ["2", "30000"] {
        let told = refused(
            "a.svg",
            sheet(&format!(r#"<rect width="{side}" height="{side}"/>"#)),
            None,
        );
        assert!(told.contains("unit"), "{told}");
    }
}

#[test]
fn a_fine_wave_is_thinned_and_a_finer_one_refused() {
    let ring = |teeth: f64, deep: f64| {
        let points: Vec<String> = (0..20_000)
            .map(|i| {
                let angle = f64::from(i) * 2.0 * PI / 20_000.0;
                let r = 300.0 + deep * (teeth * angle).sin();
                format!(
                    "{:.4},{:.4}",
                    400.0 + r * angle.cos(),
                    400.0 + r * angle.sin()
                )
            })
            .collect();
        sheet(&format!(r#"<polygon points="{}"/>"#, points.join(" ")))
    };
    let found = given("a.svg", ring(40.0, 5.0), None);
    close(area(&found), PI * (300.0_f64.powi(2) + 12.5), 2e-3);
    assert!(found.shape["points_mm"].as_array().unwrap().len() <= 600);
    assert!(refused("a.svg", ring(900.0, 20.0), None).contains("too finely"));
}

#[test]
fn of_a_loop_that_crosses_itself_one_half_is_taken_and_the_place_told() {
    let bow = sheet(r#"<path d="M100 100L400 300L400 100L100 300z"/>"#);
    let found = given("bow.svg", bow, None);
    assert_eq!(area(&found), 150.0 * 100.0);
    says(&found, "Lines cross near x 250 mm");
    // A real dot is still a dot.
    let dot = refused("dot.svg", sheet(r#"<circle cx="9" cy="9" r="0.3"/>"#), None);
    assert!(dot.contains("dot"), "{dot}");
}

#[test]
fn what_style_sheets_hide_is_hidden_and_clips_are_told() {
    let part = r#"<rect class="part" x="100" y="100" width="300" height="200"/>"#;
    let hidden = r#"<rect class="x" width="900" height="700"/>"#;
    for (sheet, times) in [
        ("<style>.x{display:none}</style>", 1.0),
        ("<style>svg > rect.x{visibility:hidden}</style>", 1.0),
        (
            "<defs><style>.x{display:none} .part{transform:translate(5px, 2px) scale(2)}</style></defs>",
            4.0,
        ),
    ] {
        let found = drawn(&format!("{sheet}{hidden}{part}"));
        assert_eq!((area(&found), holes(&found)), (6e4 * times, 0));
        says(&found, "1 hidden shape or group");
    }
    says(
        &drawn(&format!("<style>rect:hover{{display:none}}</style>{part}")),
        "1 rule of a style sheet that may hide or move shapes",
    );
    let plain = drawn(&format!(
        "<style>.part{{fill:none;stroke:red}}</style>{part}"
    ));
    assert!(
        plain.told.iter().all(|told| !told.contains("style")),
        "{:?}",
        plain.told
    );
    let clipped = drawn(&format!(r#"<g clip-path="url(#c)">{part}</g>"#));
    says(&clipped, "1 clip, so what it hides is there");
}
