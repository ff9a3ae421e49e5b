//! Taps, sizes that were measured, turns and mirrors.

use super::dxf::file;
use super::stl::{open_box, text};
use super::svg::sheet;
use super::*;
use crate::shape::import::{Measure, Reading};

fn reading(name: &str, bytes: &str, wish: &Wish) -> Reading {
    read_file(name, bytes.as_bytes(), wish).unwrap()
}

fn shape_of(reading: &Reading) -> Imported {
    Imported {
        shape: reading.shape.clone().unwrap(),
        told: reading.told.clone(),
    }
}

/// A plate with two holes and a slug in one of them, and a washer beside it.
const PLATE: &str = r#"<g fill="none" stroke="black"><rect width="400" height="300"/><rect x="50" y="50" width="100" height="100"/>
    <rect x="70" y="70" width="20" height="20"/><rect x="250" y="50" width="50" height="50"/><rect x="500" width="80" height="60"/></g>"#;

#[test]
fn a_tap_picks_the_part_and_another_the_loop_around_it() {
    let text = sheet(PLATE);
    let first = reading("a.svg", &text, &Wish::default());
    let sizes: Vec<&str> = first
        .picture
        .areas
        .iter()
        .map(|area| area.words.as_str())
        .collect();
    assert!(sizes[0].contains("400 mm by 300 mm, 0.12 m²"), "{sizes:?}");
    assert_eq!(area(&shape_of(&first)), 120_000.0 - 10_000.0 - 2500.0);
    let at = |reading: &Reading, words: &str| {
        let areas = reading.picture.areas.iter();
        areas
            .clone()
            .find(|area| area.words.contains(words))
            .unwrap()
            .clone()
    };
    let pick = |reading: &Reading, words: &str| Wish {
        pick: at(reading, words).as_part,
        ..Wish::default()
    };
    let slug = reading("a.svg", &text, &pick(&first, "20 mm by 20 mm"));
    assert_eq!(area(&shape_of(&slug)), 400.0);
    let around = reading("a.svg", &text, &pick(&slug, "20 mm by 20 mm"));
    assert_eq!(area(&shape_of(&around)), 10_000.0 - 400.0);
    let beside = reading("a.svg", &text, &pick(&first, "80 mm by 60 mm"));
    assert_eq!(area(&shape_of(&beside)), 4800.0);
    assert!(at(&beside, "20 mm by 20 mm").as_hole.is_none());
}

#[test]
fn a_tap_on_a_hole_fills_it_and_another_cuts_it_again() {
    let text = sheet(PLATE);
    let mut now = reading("a.svg", &text, &Wish::default());
    for (words, wanted) in [
        ("50 mm by 50 mm", 120_000.0 - 10_000.0),
        ("50 mm by 50 mm", 120_000.0 - 10_000.0 - 2500.0),
        // The slug in its stead, and then the hole about it again.
        ("20 mm by 20 mm", 120_000.0 - 400.0 - 2500.0),
        ("100 mm by 100 mm", 120_000.0 - 10_000.0 - 2500.0),
    ] {
        let tapped = now
            .picture
            .areas
            .iter()
            .find(|area| area.words.contains(words))
            .unwrap();
        let wish = Wish {
            pick: tapped.as_hole.clone().unwrap(),
            ..Wish::default()
        };
        now = reading("a.svg", &text, &wish);
        assert_eq!(area(&shape_of(&now)), wanted, "{words}");
    }
}

#[test]
fn a_piece_on_the_edge_is_cut_off_it() {
    // A line divides a plate; the piece beside it is taken off as a hole would be.
    let text = file(
        "4",
        "",
        "",
        "0 LWPOLYLINE 70 1 10 0 20 0 10 300 20 0 10 300 20 200 10 0 20 200 0 LINE 10 200 20 0 11 200 21 200",
    );
    let whole = reading("a.dxf", &text, &Wish::default());
    assert_eq!(area(&shape_of(&whole)), 60_000.0);
    let piece = whole
        .picture
        .areas
        .iter()
        .find(|area| area.words.contains("100 mm by 200 mm"))
        .unwrap();
    let wish = Wish {
        pick: piece.as_hole.clone().unwrap(),
        ..Wish::default()
    };
    let cut = shape_of(&reading("a.dxf", &text, &wish));
    assert_eq!((area(&cut), holes(&cut)), (40_000.0, 0));
}

#[test]
fn a_pick_holds_in_another_unit_and_when_it_is_turned() {
    let text = file(
        "",
        "",
        "",
        "0 LWPOLYLINE 70 1 10 0 20 0 10 30 20 0 10 30 20 20 10 0 20 20 0 LWPOLYLINE 70 1 10 50 20 0 10 65 20 0 10 65 20 8 10 50 20 8",
    );
    let asked = reading("a.dxf", &text, &Wish::default());
    assert!(asked.asks_unit && asked.shape.is_none());
    let small = &asked.picture.areas[1];
    assert!(small.words.contains("15 by 8 units"), "{}", small.words);
    for (unit, side) in [
        (LengthUnit::Mm, 1.0),
        (LengthUnit::Cm, 10.0),
        (LengthUnit::Inch, 25.4),
    ] {
        let wish = Wish {
            unit: Some(unit),
            pick: small.as_part.clone(),
            turns: 1,
            mirror: true,
            ..Wish::default()
        };
        let found = shape_of(&reading("a.dxf", &text, &wish));
        assert_eq!(size(&found)[..2], [8.0 * side, 15.0 * side]);
    }
    // A side that was measured needs no unit.
    let wish = Wish {
        measure: Some(Measure { side: 1, mm: 400.0 }),
        ..Wish::default()
    };
    let found = reading("a.dxf", &text, &wish);
    assert_eq!(size(&shape_of(&found))[..2], [600.0, 400.0]);
    says(&shape_of(&found), "this side measures 400 mm, as you say");
}

#[test]
fn a_mirror_and_four_turns_bring_a_shape_back() {
    let text = sheet(r#"<polygon points="0,0 300,0 300,100 100,100 100,200 0,200"/>"#);
    let points = |wish: &Wish| {
        let mut list: Vec<String> = shape_of(&reading("a.svg", &text, wish)).shape["points_mm"]
            .as_array()
            .unwrap()
            .iter()
            .map(ToString::to_string)
            .collect();
        list.sort();
        list
    };
    let wish = |turns: u8, mirror: bool| Wish {
        turns,
        mirror,
        ..Wish::default()
    };
    let plain = points(&wish(0, false));
    assert_eq!(points(&wish(4, false)), plain);
    for other in [wish(0, true), wish(1, false), wish(2, false), wish(3, true)] {
        assert_ne!(points(&other), plain, "{other:?}");
    }
}

#[test]
fn each_side_of_a_shell_may_face_up() {
    let text = text(&open_box());
    for (up, wanted) in [
        (Up::Top, [300.0, 200.0, 100.0]),
        (Up::Bottom, [300.0, 200.0, 100.0]),
        (Up::Front, [300.0, 100.0, 200.0]),
        (Up::Back, [300.0, 100.0, 200.0]),
        (Up::Left, [100.0, 200.0, 300.0]),
        (Up::Right, [100.0, 200.0, 300.0]),
    ] {
        let wish = Wish {
            unit: Some(LengthUnit::Mm),
            up,
            ..Wish::default()
        };
        let found = shape_of(&reading("a.stl", &text, &wish));
        assert_eq!(size(&found), wanted, "{up:?}");
        // The floor has its four corners at one height: below, above, or upright.
        let low = found.shape["points_mm"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|p| p[2].as_f64() == Some(0.0))
            .count();
        let at_top = matches!(up, Up::Bottom);
        assert_eq!(low, 4, "{at_top}");
    }
    let measured = Wish {
        measure: Some(Measure { side: 2, mm: 50.0 }),
        ..Wish::default()
    };
    let found = shape_of(&reading("a.stl", &text, &measured));
    assert_eq!(size(&found), [150.0, 100.0, 50.0]);
}
