//! Pots left standing: the bound, the classes, and no cliff between them.

use super::super::{CUP_IN_AIR, CUP_IN_WATER, cylinder};
use super::*;
use crate::law::cure::{INFUSION_AMINE, LOW_REACTIVITY};

const SLOW: Resin = Resin {
    kinetics: INFUSION_AMINE,
    speed: 1.0,
    tg_ultimate: 364.15,
};

fn pot(kilograms: f64, metres: f64, celsius: f64) -> Pot {
    Pot {
        body: cylinder(kilograms, 1100.0, metres).unwrap(),
        start_temperature: celsius + 273.15,
        room_temperature: celsius + 273.15,
        ..Pot::default()
    }
}

#[test]
fn the_bound_divides_calm_from_not() {
    for kinetics in [INFUSION_AMINE, LOW_REACTIVITY] {
        for (h, celsius, speed) in [
            (8.0, 15.0, 1.0),
            (CUP_IN_AIR, 15.0, 0.5),
            (CUP_IN_AIR, 23.0, 1.0),
            (CUP_IN_AIR, 23.0, 6.0),
            (CUP_IN_AIR, 30.0, 3.0),
            (CUP_IN_WATER, 15.0, 1.0),
            (CUP_IN_WATER, 23.0, 3.0),
        ] {
            let resin = Resin {
                speed,
                kinetics,
                ..SLOW
            };
            let t = celsius + 273.15;
            for diameter in [0.06, 0.1, 0.35] {
                let most = largest_calm_pot(&resin, t, 1100.0, h, diameter).unwrap();
                let there = Pot {
                    heat_transfer: h,
                    ..pot(most, diameter, celsius)
                };
                assert_eq!(
                    hazard(&resin, &there).unwrap(),
                    Hazard::Calm,
                    "{h} {celsius} {most}"
                );
            }
            let ratio = 1.5 * critical_ratio(&resin, t, 1100.0, h, Some(0.2)).unwrap();
            let depth = 2.0 * ratio * 0.35 / (0.35 - 4.0 * ratio);
            let mass = 1100.0 * std::f64::consts::FRAC_PI_4 * 0.35 * 0.35 * depth;
            let beyond = Pot {
                heat_transfer: h,
                ..pot(mass, 0.35, celsius)
            };
            assert!(
                hazard(&resin, &beyond).unwrap() > Hazard::Calm,
                "{h} {celsius} {speed}"
            );
        }
    }
}

#[test]
fn a_contained_hundred_grams_is_never_called_safer_than_published() {
    let slowest = Resin {
        speed: 0.2,
        kinetics: LOW_REACTIVITY,
        ..SLOW
    };
    let alone = pot_course(&slowest, &pot(0.1, 0.07, 10.0), 5e6).unwrap();
    assert!(
        alone.peak_temperature < 295.0,
        "the model alone would call it calm"
    );
    assert_eq!(
        hazard(&slowest, &pot(0.1, 0.07, 10.0)).unwrap(),
        Hazard::Dangerous
    );
    assert_eq!(
        hazard(&slowest, &pot(0.05, 0.06, 10.0)).unwrap(),
        Hazard::Calm
    );
    assert!(largest_calm_pot(&slowest, 283.15, 1100.0, CUP_IN_AIR, 0.07).unwrap() < 0.1);
}

#[test]
fn small_pots_in_the_table_are_calm_and_large_ones_are_not() {
    assert_eq!(hazard(&SLOW, &pot(0.05, 0.06, 23.0)).unwrap(), Hazard::Calm);
    assert_eq!(
        hazard(&SLOW, &pot(0.25, 0.09, 23.0)).unwrap(),
        Hazard::Dangerous
    );
    let bath = Pot {
        heat_transfer: CUP_IN_WATER,
        start_temperature: 293.15,
        ..pot(1.0, 0.145, 15.0)
    };
    assert_eq!(hazard(&SLOW, &bath).unwrap(), Hazard::Calm);
    let fast = Resin { speed: 6.0, ..SLOW };
    assert!(hazard(&fast, &pot(0.05, 0.06, 23.0)).unwrap() > Hazard::Calm);
    // Leaving the bulk out does not make the class any better.
    let hollow = Pot {
        conductivity: None,
        ..pot(0.08, 0.06, 23.0)
    };
    let full = Pot {
        conductivity: Some(0.2),
        ..hollow
    };
    assert_eq!(
        hazard(&SLOW, &hollow).unwrap(),
        hazard(&SLOW, &full).unwrap()
    );
}

#[test]
fn between_calm_and_dangerous_there_is_always_warm() {
    for (speed, metres_for) in [(0.3, 0.070), (1.0, 0.070), (1.7, 0.070), (3.0, 0.070)] {
        let resin = Resin { speed, ..SLOW };
        for celsius in [12.0, 20.0, 27.0] {
            let mut last = (Hazard::Calm, 0.0);
            let (mut warm, mut calm) = (0, 0);
            for step in 0..=160 {
                // From 10 g to 400 g by 2.3 % each, cups of one shape.
                let kilograms = 0.010 * 1.0233_f64.powi(step);
                let there = pot(kilograms, metres_for * (kilograms / 0.1).cbrt(), celsius);
                let class = hazard(&resin, &there).unwrap();
                let share = heat_share(&resin, &there).unwrap();
                assert!(
                    class >= last.0 && share > last.1,
                    "{speed} {celsius} {kilograms}"
                );
                assert!(
                    share < 1.02 * last.1 || last.1 == 0.0,
                    "no jump in the margin"
                );
                assert!(
                    class != Hazard::Dangerous || last.0 != Hazard::Calm || last.1 == 0.0,
                    "no cliff: {speed} {celsius} {kilograms} {share} {last:?}"
                );
                assert!(
                    class == Hazard::Calm || share > 0.95,
                    "{speed} {celsius} {share}"
                );
                warm += i32::from(class == Hazard::Warm);
                calm += i32::from(class == Hazard::Calm);
                last = (class, share);
            }
            assert!(
                (warm > 0 || calm == 0) && last.0 == Hazard::Dangerous,
                "{speed} {celsius} {warm} {calm}"
            );
        }
    }
}

#[test]
fn keeps_the_screening_figures() {
    // Arithmetic check, made with the energy of the autocatalysed path alone (44.3 kJ/mol): 5.5 and
    // 2.3 mm slow, 1.8 and 0.8 mm three times as fast, 11.1 and 4.6 mm the slowest. The energy felt at
    // the steepest point is 5 % higher, so these are up to 7 % lower.
    let slowest = Resin {
        kinetics: LOW_REACTIVITY,
        ..SLOW
    };
    let fast = Resin { speed: 3.0, ..SLOW };
    for (resin, in_air, in_foam) in [(SLOW, 5.5, 2.3), (fast, 1.8, 0.8), (slowest, 11.1, 4.6)] {
        for (h, expect) in [(12.0, in_air), (5.0, in_foam)] {
            let got = critical_ratio(&resin, 296.15, 1100.0, h, None).unwrap() * 1e3;
            assert!(got < expect && got > 0.9 * expect, "{got} for {expect}");
        }
    }
    let bulk = |k| critical_ratio(&SLOW, 296.15, 1100.0, 12.0, k).unwrap();
    assert!(bulk(Some(0.2)) < bulk(None));
    assert!(
        (bulk(Some(5.0)) / bulk(None) - 1.0).abs() < 0.03,
        "a good conductor has no bulk term"
    );
    assert!(critical_ratio(&SLOW, 23.0, 1100.0, 12.0, None).is_err());
}
