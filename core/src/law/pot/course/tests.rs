//! Checks of the course of a pot against outside values.

use super::super::cylinder;
use super::*;
use crate::law::cure::INFUSION_AMINE;

const SLOW: Resin = Resin {
    kinetics: INFUSION_AMINE,
    speed: 1.0,
    tg_ultimate: 364.15,
};

fn cup(grams: f64, mm: f64, conductivity: Option<f64>) -> Pot {
    Pot {
        body: cylinder(grams / 1e3, 1100.0, mm / 1e3).unwrap(),
        conductivity,
        gel: 0.577,
        ..Pot::default()
    }
}

fn minutes(moment: Option<f64>) -> f64 {
    moment.unwrap_or(f64::NAN) / 60.0
}

/// The check marched in coarse steps; near the critical size a per cent of time is much temperature.
fn near(got: f64, expect: f64, relative: f64, absolute: f64) -> bool {
    (got - expect).abs() < relative * expect + absolute
}

#[test]
fn keeps_the_pot_table() {
    // Arithmetic check: mass g, cup mm, then +10 K min, gel min, peak C without and with the bulk term.
    let rows = [
        (50.0, 60.0, (98.0, 66.0), (295.0, 243.0), (33.0, 39.0)),
        (100.0, 70.0, (56.0, 47.0), (177.0, 109.0), (47.0, 146.0)),
        (150.0, 80.0, (50.0, 43.0), (124.0, 93.0), (86.0, 194.0)),
        (250.0, 90.0, (44.0, 39.0), (97.0, 80.0), (185.0, 226.0)),
        (500.0, 115.0, (40.0, 36.0), (83.0, 72.0), (218.0, 243.0)),
        (1000.0, 145.0, (37.0, 34.0), (75.0, 67.0), (236.0, 254.0)),
        (5000.0, 250.0, (33.0, 31.0), (66.0, 61.0), (256.0, 267.0)),
    ];
    for (grams, mm, ten, gel, hot) in rows {
        for (k, ten, gel, hot) in [
            (None, ten.0, gel.0, hot.0),
            (Some(0.2), ten.1, gel.1, hot.1),
        ] {
            let got = pot_course(&SLOW, &cup(grams, mm, k), 86_400.0).unwrap();
            let peak = got.peak_temperature - 273.15;
            assert!(
                near(minutes(got.ten_degrees), ten, 0.01, 0.6),
                "{grams} g {k:?}"
            );
            assert!(near(minutes(got.gel), gel, 0.01, 0.6), "{grams} g {k:?}");
            assert!(near(peak, hot, 0.01, 0.6), "{grams} g {k:?}: {peak}");
        }
    }
}

#[test]
fn spreading_and_cooling_tame_a_kilogram() {
    let spread = pot_course(&SLOW, &cup(1000.0, 350.0, None), 86_400.0).unwrap();
    assert!(spread.ten_degrees.is_none());
    assert!(
        near(minutes(spread.gel), 326.0, 0.01, 0.5),
        "{:?}",
        spread.gel
    );
    assert!((spread.peak_temperature - 304.15).abs() < 0.6);
    let bath = Pot {
        start_temperature: 293.15,
        room_temperature: 288.15,
        heat_transfer: 100.0,
        ..cup(1000.0, 145.0, Some(0.2))
    };
    let cooled = pot_course(&SLOW, &bath, 86_400.0).unwrap();
    assert!(
        near(minutes(cooled.ten_degrees), 137.0, 0.01, 0.5),
        "{:?}",
        cooled.ten_degrees
    );
    assert!(
        near(minutes(cooled.gel), 326.0, 0.01, 0.5),
        "{:?}",
        cooled.gel
    );
    assert!(
        (cooled.peak_temperature - 308.15).abs() < 0.6,
        "{}",
        cooled.peak_temperature
    );
}

#[test]
fn a_fast_hardener_runs_away_in_every_cup() {
    // Arithmetic check with three times the speed, without and with the bulk term: 50 g to 5 kg, +10 K after 10 to
    // 12 min, gel after 19 to 25 min, peaks of 236 to 275 C.
    let fast = Resin { speed: 3.0, ..SLOW };
    let mut rows = Vec::new();
    for (grams, mm) in [
        (50.0, 60.0),
        (100.0, 70.0),
        (250.0, 90.0),
        (1000.0, 145.0),
        (5000.0, 250.0),
    ] {
        for k in [None, Some(0.2)] {
            let got = pot_course(&fast, &cup(grams, mm, k), 86_400.0).unwrap();
            rows.push([
                minutes(got.ten_degrees),
                minutes(got.gel),
                got.peak_temperature - 273.15,
            ]);
        }
    }
    for (column, low, high, off) in [
        (0, 10.0, 12.0, 0.6),
        (1, 19.0, 25.0, 0.6),
        (2, 236.0, 275.0, 2.0),
    ] {
        let found = rows.iter().map(|row| row[column]);
        let least = found.clone().fold(f64::INFINITY, f64::min);
        let most = found.fold(0.0, f64::max);
        assert!((least - low).abs() < off, "{column}: {least}, {low}");
        assert!((most - high).abs() < off, "{column}: {most}, {high}");
    }
}

#[test]
fn warmth_shortens_a_pot_more_than_a_film() {
    // Arithmetic check: gel in minutes of 100 g and 500 g, bulk term off.
    for (celsius, small, large) in [
        (15.0, 555.0, 218.0),
        (20.0, 315.0, 112.0),
        (25.0, 115.0, 70.0),
        (30.0, 62.0, 47.0),
    ] {
        for (grams, mm, expect) in [(100.0, 70.0, small), (500.0, 115.0, large)] {
            let pot = Pot {
                start_temperature: celsius + 273.15,
                room_temperature: celsius + 273.15,
                ..cup(grams, mm, None)
            };
            let got = minutes(pot_course(&SLOW, &pot, 86_400.0).unwrap().gel);
            assert!(near(got, expect, 0.01, 0.6), "{celsius} C {grams} g: {got}");
        }
    }
}

#[test]
fn halving_the_tolerances_moves_nothing() {
    let half = Step {
        relative: 0.5 * STEP.relative,
        absolute: 0.5 * STEP.absolute,
        longest: 0.5 * STEP.longest,
        ..STEP
    };
    for (grams, mm, speed) in [(50.0, 60.0, 1.0), (100.0, 70.0, 1.0), (500.0, 115.0, 3.0)] {
        let resin = Resin { speed, ..SLOW };
        let pot = cup(grams, mm, Some(0.2));
        let a = course(&resin, &pot, 86_400.0, STEP).unwrap();
        let b = course(&resin, &pot, 86_400.0, half).unwrap();
        let close = |x: Option<f64>, y: Option<f64>| (x.unwrap() / y.unwrap() - 1.0).abs() < 1e-5;
        assert!(close(a.ten_degrees, b.ten_degrees) && close(a.gel, b.gel));
        assert!(close(a.four_times_as_thick, b.four_times_as_thick));
        assert!((a.peak_temperature - b.peak_temperature).abs() < 0.01);
        assert!(
            a.use_by() == a.ten_degrees,
            "warming comes before thickening in a cup"
        );
    }
}

#[test]
fn the_heat_set_free_bounds_the_peak() {
    let snug = Pot {
        heat_transfer: 0.5,
        ..cup(5000.0, 250.0, Some(0.2))
    };
    let got = pot_course(&SLOW, &snug, 86_400.0).unwrap().peak_temperature;
    assert!(
        got < 296.15 + 460e3 / 1800.0 && got > 296.15 + 0.9 * 460e3 / 1800.0,
        "{got}"
    );
    assert!(
        pot_course(
            &SLOW,
            &Pot {
                density: 1.1,
                ..snug
            },
            3600.0
        )
        .is_err()
    );
}

#[test]
fn the_usual_pot_is_the_hundred_gram_cup() {
    let cup = cylinder(0.1, 1100.0, 0.07).unwrap();
    let usual = Pot::default().body;
    assert!((usual.volume / cup.volume - 1.0).abs() < 1e-4);
    assert!(
        (usual.surface / cup.surface - 1.0).abs() < 1e-3,
        "{}",
        cup.surface
    );
    assert!(
        (usual.depth / cup.depth - 1.0).abs() < 1e-3,
        "{}",
        cup.depth
    );
}
