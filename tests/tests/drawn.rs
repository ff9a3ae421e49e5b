//! A hundred drawings as general drawing libraries write them come in with the areas they have, at once or by one tap.
//!
//! `cases/drawn/make.py` made them and says with which library; their areas come from formulas, from shapely and scipy.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::shape::import::{LengthUnit, Measure, Pick, Reading, Role, Wish, read_file};
use bastwork_tests::cases_dir;
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Drawn {
    name: String,
    unit: String,
    area_mm2: f64,
    holes: usize,
    taps: usize,
    measure: Option<(usize, f64)>,
    source: String,
}

#[derive(Deserialize)]
struct All {
    file: Vec<Drawn>,
}

fn all() -> Vec<Drawn> {
    let folder = cases_dir().join("drawn");
    let text = std::fs::read_to_string(folder.join("areas.toml")).unwrap();
    let all: All = toml::from_str(&text).unwrap();
    // The list itself, and the program that made them.
    let files = std::fs::read_dir(&folder).unwrap().count() - 2;
    assert_eq!(all.file.len(), files, "an entry for each file");
    all.file
}

fn wish(drawn: &Drawn) -> Wish {
    Wish {
        unit: LengthUnit::of(&drawn.unit),
        measure: drawn.measure.map(|(side, mm)| Measure { side, mm }),
        ..Wish::default()
    }
}

fn read(drawn: &Drawn, wish: &Wish) -> Result<Reading, String> {
    let bytes = std::fs::read(cases_dir().join("drawn").join(&drawn.name)).unwrap();
    read_file(&drawn.name, &bytes, wish).map_err(|problems| problems[0].sentence.clone())
}

/// Whether a reading is what the file holds, else what it is.
fn held(drawn: &Drawn, reading: &Reading) -> Result<(), String> {
    let Some(shape) = &reading.shape else {
        return Err(format!(
            "no shape: {:?} {:?}",
            reading.problems, reading.told
        ));
    };
    let shape = bastwork::shape::read(shape).map_err(|problems| format!("{problems:?}"))?;
    let holes = reading.shape.as_ref().unwrap()["holes_mm"]
        .as_array()
        .map_or(0, Vec::len);
    let area = shape.area() * 1e6;
    // An outline may lie 0.2 mm off its curves, and an edge of a file may be a gap wide.
    if (area / drawn.area_mm2 - 1.0).abs() <= 2e-3 && holes == drawn.holes {
        return Ok(());
    }
    Err(format!(
        "{area} is not {}, {holes} holes: {:?}",
        drawn.area_mm2, reading.told
    ))
}

#[test]
fn each_comes_in_with_its_area() {
    let all = all();
    assert!(all.len() >= 100, "{}", all.len());
    let mut wrong = Vec::new();
    for drawn in &all {
        assert!(!drawn.source.is_empty());
        let wish = wish(drawn);
        let found = match read(drawn, &wish) {
            Err(why) => Err(why),
            Ok(reading) if drawn.taps == 0 => held(drawn, &reading),
            Ok(reading) => {
                let first = held(drawn, &reading);
                assert!(first.is_err(), "{} needs no tap", drawn.name);
                let picks: Vec<Pick> = reading
                    .picture
                    .areas
                    .iter()
                    .flat_map(|area| {
                        std::iter::once(area.as_part.clone()).chain(area.as_hole.clone())
                    })
                    .collect();
                let one = picks.into_iter().any(|pick| {
                    let tapped = Wish {
                        pick,
                        ..wish.clone()
                    };
                    read(drawn, &tapped).is_ok_and(|reading| held(drawn, &reading).is_ok())
                });
                if one { Ok(()) } else { first }
            }
        };
        if let Err(why) = found {
            wrong.push(format!("{} ({}): {why}", drawn.name, drawn.source));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {} are wrong:\n{}",
        wrong.len(),
        all.len(),
        wrong.join("\n")
    );
}

#[test]
fn every_picture_can_be_tapped_and_told() {
    for drawn in &all() {
        let reading = read(drawn, &Wish::default());
        let Ok(reading) = reading else {
            panic!("{}: {reading:?}", drawn.name);
        };
        let areas = &reading.picture.areas;
        assert!(
            areas.iter().any(|area| area.role == Role::Part),
            "{}",
            drawn.name
        );
        assert!(
            reading.shape.is_some() || reading.asks_unit || !reading.problems.is_empty(),
            "{}",
            drawn.name
        );
        for area in areas {
            assert!(
                area.path.starts_with('M') && area.path.ends_with('Z'),
                "{}",
                drawn.name
            );
            assert!(area.words.len() > 8, "{}", drawn.name);
            assert!(!area.as_part.part.is_empty(), "{}", drawn.name);
        }
    }
}
