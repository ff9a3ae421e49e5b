//! An outline that is written down as SVG or DXF comes back with its area.

use super::{accepted_by_the_plan, close};
use bastwork::shape::import::{Answer, LengthUnit, shape_from_file};
use bastwork_tests::draw;
use proptest::prelude::*;
use std::f64::consts::TAU;

type Corners = Vec<(f64, f64)>;

/// A star-shaped outline about the origin, 0.2 m to 1.8 m across, and how large its hole is beside it.
fn outline() -> impl Strategy<Value = (Corners, f64)> {
    (prop::collection::vec(100.0..900.0_f64, 3..40), 0.1..0.8_f64).prop_map(|(radii, hole)| {
        let step = TAU / radii.len() as f64;
        let corners = radii
            .iter()
            .enumerate()
            .map(|(i, r)| {
                let angle = step * i as f64 + 0.1;
                (r * angle.cos(), r * angle.sin())
            })
            .collect();
        (corners, hole)
    })
}

fn area(corners: &[(f64, f64)]) -> f64 {
    (0..corners.len())
        .map(|i| {
            let (a, b) = (corners[i], corners[(i + 1) % corners.len()]);
            (a.0 * b.1 - b.0 * a.1) / 2.0
        })
        .sum::<f64>()
        .abs()
}

fn back(name: &str, text: &str, unit: Option<LengthUnit>) -> f64 {
    match shape_from_file(name, text.as_bytes(), unit) {
        Ok(Answer::Read(found)) => accepted_by_the_plan(&found).area() * 1e6,
        other => panic!("{other:?}\n{text}"),
    }
}

fn pair(code: i32, value: impl std::fmt::Display) -> String {
    format!("{code}\n{value}\n")
}

fn dxf(unit: i32, inside: &str) -> String {
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{unit}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{inside}0\nENDSEC\n0\nEOF\n"
    )
}

proptest! {
    #![proptest_config(draw::config(64))]

    #[test]
    fn an_svg_keeps_the_area((corners, hole) in outline(), turn in 0.0..360.0_f64, scale in 0.5..2.0_f64) {
        let path = |share: f64| {
            let points: Vec<String> = corners.iter().map(|(x, y)| format!("{} {}", x * share, y * share)).collect();
            format!("M{}z", points.join("L"))
        };
        let text = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="200cm" height="200cm" viewBox="-1000 -1000 2000 2000"><g transform="rotate({turn}) scale({scale})"><path d="{} {}"/></g></svg>"#,
            path(1.0), path(hole)
        );
        close("svg", back("a.svg", &text, None), area(&corners) * (1.0 - hole * hole) * scale * scale, 1e-3);
    }

    #[test]
    fn loose_lines_of_a_dxf_keep_the_area((corners, _) in outline(), order in any::<u64>()) {
        let mut lines: Vec<(usize, String)> = (0..corners.len())
            .map(|i| {
                let (a, b) = (corners[i], corners[(i + 1) % corners.len()]);
                // Some of them backwards.
                let (a, b) = if order >> (i % 64) & 1 == 1 { (b, a) } else { (a, b) };
                let text = format!("0\nLINE\n{}{}{}{}", pair(10, a.0 / 25.4), pair(20, a.1 / 25.4), pair(11, b.0 / 25.4), pair(21, b.1 / 25.4));
                ((i + 1).wrapping_mul(order as usize | 1) % 1009, text)
            })
            .collect();
        lines.sort();
        let inside: String = lines.into_iter().map(|(_, text)| text).collect();
        close("dxf", back("a.dxf", &dxf(1, &inside), None), area(&corners), 1e-3);
    }

    #[test]
    fn arcs_are_the_same_from_svg_and_dxf(count in 3..9_usize, radius in 800.0..2000.0_f64, bulge in 0.05..0.5_f64) {
        let at = |i: usize| {
            let angle = TAU * (i % count) as f64 / count as f64;
            (radius * angle.cos(), radius * angle.sin())
        };
        let corners: Corners = (0..count).map(at).collect();
        let chord = 2.0 * radius * (TAU / 2.0 / count as f64).sin();
        let (angle, bend) = (4.0 * bulge.atan(), chord * (1.0 + bulge * bulge) / (4.0 * bulge));
        let wanted = area(&corners) + count as f64 * bend * bend * (angle - angle.sin()) / 2.0;
        let mut inside = format!("0\nLWPOLYLINE\n{}", pair(70, 1));
        let mut path = format!("M{} {}", corners[0].0, corners[0].1);
        for i in 0..count {
            let (here, next) = (at(i), at(i + 1));
            inside += &format!("{}{}{}", pair(10, here.0), pair(20, here.1), pair(42, bulge));
            path += &format!(" A{bend} {bend} 0 0 1 {} {}", next.0, next.1);
        }
        let text = format!(r#"<svg xmlns="http://www.w3.org/2000/svg"><path d="{path} Z"/></svg>"#);
        let from_dxf = back("a.dxf", &dxf(4, &inside), None);
        let from_svg = back("a.svg", &text, Some(LengthUnit::Mm));
        close("dxf", from_dxf, wanted, 1e-3);
        close("svg", from_svg, wanted, 1e-3);
        // Seen from above, both bulge outwards; a straight piece lies inside its arc.
        prop_assert!(from_dxf <= wanted * (1.0 + 1e-6) && from_dxf > area(&corners));
    }
}
