//! Drawings of our own come in with the areas they have; spoilt ones come back with a sentence.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

#[path = "outlines/inserts.rs"]
mod inserts;
#[path = "outlines/roundtrip.rs"]
mod roundtrip;
#[path = "outlines/seeds.rs"]
mod seeds;
#[path = "outlines/spoil.rs"]
mod spoil;

use bastwork::shape::import::{
    Answer, Imported, LengthUnit, Measure, Up, Wish, read_file, shape_from_file,
};
use bastwork::shape::read;
use bastwork_tests::cases_dir;
use seeds::seeds;
use spoil::{Dice, spoilt};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Files of each kind that are spoilt and handed in.
const SPOILT: usize = 500;

/// What a plan must accept: every shape that an import hands out goes through here.
fn accepted_by_the_plan(found: &Imported) -> bastwork::shape::Shape {
    read(&found.shape).unwrap_or_else(|problems| panic!("{problems:?} {:?}", found.told))
}

fn close(name: &str, found: f64, wanted: f64, share: f64) {
    assert!(
        (found / wanted - 1.0).abs() <= share,
        "{name}: {found} is not {wanted}"
    );
}

#[test]
fn every_drawing_has_its_area_and_size() {
    let all = seeds();
    for kind in [".svg", ".dxf", ".stl"] {
        assert!(
            all.iter().filter(|seed| seed.name.ends_with(kind)).count() >= 8,
            "{kind}"
        );
    }
    for seed in &all {
        let Ok(Answer::Read(found)) = shape_from_file(&seed.name, &seed.bytes, seed.unit) else {
            panic!("{} is not read", seed.name);
        };
        let shape = accepted_by_the_plan(&found);
        // A shell is exact but for the digits of the file; an outline may lie 0.2 mm off.
        let share = if seed.name.ends_with(".stl") {
            1e-4
        } else {
            2e-3
        };
        close(&seed.name, shape.area() * 1e6, seed.area_mm2, share);
        let holes = found.shape["holes_mm"].as_array().map_or(0, Vec::len);
        assert_eq!(holes, seed.holes, "{}", seed.name);
        if let Some([length, width]) = seed.sizes_mm {
            let (low, high) = shape.bounds();
            close(&seed.name, (high[0] - low[0]) * 1e3, length, 2e-3);
            close(&seed.name, (high[1] - low[1]) * 1e3, width, 2e-3);
        }
    }
}

/// Spoils drawings of one kind over and over; how many of them were still read is handed back.
fn survives(kind: &str, seed: u64) -> usize {
    let mut all: Vec<(String, Vec<u8>, Option<LengthUnit>)> = seeds()
        .into_iter()
        .filter(|seed| seed.name.ends_with(kind))
        .map(|seed| (seed.name, seed.bytes, seed.unit))
        .collect();
    // What libraries write as well.
    let mut drawn: Vec<std::path::PathBuf> = std::fs::read_dir(cases_dir().join("drawn"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.to_string_lossy().ends_with(kind))
        .collect();
    drawn.sort();
    for path in drawn {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        all.push((name, std::fs::read(&path).unwrap(), Some(LengthUnit::Mm)));
    }
    let mut dice = Dice(seed);
    let mut read = 0;
    for round in 0..SPOILT {
        let (name, bytes, unit) = &all[round % all.len()];
        let bytes = spoilt(&mut dice, bytes);
        // Every third comes without a unit, as a first try does.
        let unit = if round % 3 == 0 { None } else { *unit };
        let answer = catch_unwind(AssertUnwindSafe(|| shape_from_file(name, &bytes, unit)));
        let answer = answer.unwrap_or_else(|_| panic!("round {round} of {name} panics"));
        tapped(name, &bytes, round);
        match answer {
            Ok(Answer::Read(found)) => {
                read += 1;
                accepted_by_the_plan(&found);
                assert!(found.told.len() >= 3, "{:?}", found.told);
                tidy(&found.told);
            }
            Ok(Answer::AsksUnit(told)) => tidy(&told),
            Err(problems) => {
                assert_eq!(problems.len(), 1, "{problems:?}");
                assert!(problems[0].field.starts_with("part.shape"), "{problems:?}");
                tidy(&[problems[0].sentence.clone()]);
            }
        }
    }
    read
}

/// Taps something of a spoilt file, measured and turned: whatever comes, a shape that comes of it is one.
fn tapped(name: &str, bytes: &[u8], round: usize) {
    let Ok(reading) = read_file(name, bytes, &Wish::default()) else {
        return;
    };
    let areas = &reading.picture.areas;
    let Some(area) = areas.get(round % areas.len().max(1)) else {
        return;
    };
    let hole = area.as_hole.clone().filter(|_| round.is_multiple_of(2));
    let wish = Wish {
        pick: hole.unwrap_or_else(|| area.as_part.clone()),
        measure: Some(Measure {
            side: round % 2,
            mm: 500.0,
        }),
        turns: (round % 4) as u8,
        mirror: round.is_multiple_of(3),
        up: Up::ALL[round % 6].0,
        ..Wish::default()
    };
    match read_file(name, bytes, &wish) {
        Ok(reading) => {
            tidy(&reading.told);
            if let Some(shape) = &reading.shape {
                read(shape).unwrap_or_else(|problems| panic!("{name}: {problems:?}"));
            }
        }
        Err(problems) => tidy(&[problems[0].sentence.clone()]),
    }
}

/// Sentences for people: whole, short, and without what a broken file could slip in.
fn tidy(told: &[String]) {
    for sentence in told {
        assert!(
            (12..400).contains(&sentence.len()) && sentence.ends_with(['.', '?']),
            "{sentence}"
        );
        assert!(!sentence.chars().any(char::is_control), "{sentence}");
        for word in ["NaN", "inf ", "error", "invalid", "panic", "—"] {
            assert!(!sentence.contains(word), "{sentence}");
        }
    }
}

#[test]
fn spoilt_svg_comes_back_with_a_sentence() {
    // Some must still be read, or nothing beyond the first look was tried.
    let read = survives(".svg", 11);
    assert!(read > SPOILT / 10, "{read}");
}

#[test]
fn spoilt_dxf_comes_back_with_a_sentence() {
    let read = survives(".dxf", 12);
    assert!(read > SPOILT / 10, "{read}");
}

#[test]
fn spoilt_stl_comes_back_with_a_sentence() {
    let read = survives(".stl", 13);
    assert!(read > SPOILT / 10, "{read}");
}

#[test]
fn spoilt_obj_and_ply_come_back_with_a_sentence() {
    let read = survives(".obj", 14) + survives(".ply", 15);
    assert!(read > SPOILT / 10, "{read}");
}
