//! Checks of the cure of a film against outside values.

use super::*;
use crate::law::cure::{INFUSION_AMINE, Kinetics, LOW_REACTIVITY, glass_transition};

const SLOW: Resin = Resin {
    kinetics: INFUSION_AMINE,
    speed: 1.0,
    tg_ultimate: 364.15,
};

fn kelvin(celsius: f64) -> f64 {
    celsius + 273.15
}

#[test]
fn meets_a_stiff_solver_run_elsewhere() {
    // scipy 1.17.1, Radau, relative tolerance 1e-11: tests/cases/vectors/cure_isothermal.csv.
    let expect = [
        (23.0, 1.0, 0.068_120_11),
        (23.0, 8.0, 0.593_065_64),
        (23.0, 24.0, 0.839_469_09),
        (23.0, 672.0, 0.912_513_38),
        (15.0, 24.0, 0.767_939_52),
        (50.0, 16.0, 0.945_423_53),
        (70.0, 24.0, 0.992_567_58),
    ];
    for (celsius, hours, conversion) in expect {
        let got = isothermal_cure(&SLOW, kelvin(celsius), hours * 3600.0)
            .unwrap()
            .end()
            .1[0];
        assert!(
            (got - conversion).abs() < 1e-7,
            "{celsius} C {hours} h: {got}"
        );
        let back = time_to_conversion(&SLOW, kelvin(celsius), conversion).unwrap();
        assert!(
            (back / (hours * 3600.0) - 1.0).abs() < 1e-5,
            "{celsius} C {hours} h: {back}"
        );
    }
}

#[test]
fn gels_when_a_quadrature_run_elsewhere_says() {
    // scipy 1.17.1, quad of 1/rate from 0 to 0.577, relative tolerance 1e-10, in hours.
    for (celsius, gel) in [
        (15.0, 12.935_612_586),
        (20.0, 9.299_689_558),
        (23.0, 7.667_382_289),
        (30.0, 4.955_213_819),
        (40.0, 2.740_690_999),
    ] {
        let got = time_to_conversion(&SLOW, kelvin(celsius), 0.577).unwrap() / 3600.0;
        assert!((got / gel - 1.0).abs() < 2e-6, "{celsius}: {got}");
    }
}

#[test]
fn meets_published_glass_transitions_of_a_laminating_epoxy() {
    // Maker's sheet of a laminating epoxy quoted by kit-aircraft builders: 58 C after 28 days at 21 C,
    // 73 C after 16 h at 50 C. These two chose the vitrification factor, so they only guard it; the model
    // itself gives 58.3 and 71.0 (arithmetic check).
    for (celsius, hours, tg) in [(21.0, 672.0, 58.3), (50.0, 16.0, 71.0), (23.0, 24.0, 40.5)] {
        let alpha = isothermal_cure(&SLOW, kelvin(celsius), hours * 3600.0)
            .unwrap()
            .end()
            .1[0];
        let glass = SLOW.kinetics.glass.unwrap();
        let got = glass_transition(glass, SLOW.tg_ultimate, alpha).unwrap() - 273.15;
        assert!((got - tg).abs() < 0.06, "{celsius} C {hours} h: {got}");
    }
}

#[test]
fn keeps_the_isothermal_table() {
    // Arithmetic check: gel (0.577, no vitrification), Tg = T, Tg = T + 10, Tg 45 C. The gel times of that
    // check were marched in steps of 20 s from the infinite slope, and are up to 0.02 h late for it.
    let rows = [
        (15.0, 12.95, 19.4, 24.5, 177.0),
        (20.0, 9.31, 15.2, 19.2, 62.0),
        (23.0, 7.68, 13.2, 16.7, 36.7),
        (25.0, 6.76, 12.0, 15.2, 27.3),
        (30.0, 4.96, 9.6, 12.3, 15.3),
        (40.0, 2.74, 6.4, 8.3, 7.2),
    ];
    let bare = Resin {
        kinetics: Kinetics {
            glass: None,
            ..INFUSION_AMINE
        },
        ..SLOW
    };
    for (celsius, gel, level, above, forty_five) in rows {
        let t = kelvin(celsius);
        let hours = |seconds: Result<f64, LawError>| seconds.unwrap() / 3600.0;
        let got = hours(time_to_conversion(&bare, t, 0.577));
        assert!((got - gel).abs() < 0.02, "{celsius}: {got}");
        assert!((hours(time_to_pass_own_temperature(&SLOW, t, 0.0)) - level).abs() < 0.06);
        assert!((hours(time_to_pass_own_temperature(&SLOW, t, 10.0)) - above).abs() < 0.06);
        let got = hours(time_to_glass_transition(&SLOW, t, kelvin(45.0)));
        assert!(
            (got - forty_five).abs() < 0.06 + 0.005 * forty_five,
            "{celsius}: {got}"
        );
    }
    // The slow end member: 19.7, 11.65, 5.73, 2.94 h.
    let slowest = Resin {
        kinetics: LOW_REACTIVITY,
        ..SLOW
    };
    for (celsius, gel) in [(23.0, 19.7), (30.0, 11.65), (40.0, 5.73), (50.0, 2.94)] {
        let got = time_to_conversion(&slowest, kelvin(celsius), 0.577).unwrap() / 3600.0;
        assert!((got / gel - 1.0).abs() < 0.003, "{celsius}: {got}");
    }
    assert!(time_to_pass_own_temperature(&slowest, kelvin(23.0), 10.0).is_err());
}

#[test]
fn halving_every_panel_moves_nothing() {
    for celsius in [5.0, 15.0, 23.0, 40.0, 70.0, 110.0] {
        for resin in [
            SLOW,
            Resin {
                kinetics: LOW_REACTIVITY,
                ..SLOW
            },
        ] {
            let coarse = Film::new(&resin, kelvin(celsius), 1.0).unwrap();
            let fine = Film::new(&resin, kelvin(celsius), 0.5).unwrap();
            for alpha in [0.001, 0.05, 0.577, 0.75, 0.9, 0.99] {
                let (a, b) = (coarse.time_to(alpha).unwrap(), fine.time_to(alpha).unwrap());
                assert!((a / b - 1.0).abs() < 2e-6, "{celsius} C {alpha}: {a} {b}");
            }
        }
    }
}

#[test]
fn the_track_between_its_points_is_the_curve() {
    for celsius in [5.0, 23.0, 60.0] {
        let track = isothermal_cure(&SLOW, kelvin(celsius), 30.0 * 86_400.0).unwrap();
        for hours in [0.1, 1.0, 5.0, 11.0, 30.0, 100.0, 500.0] {
            let there = isothermal_cure(&SLOW, kelvin(celsius), hours * 3600.0)
                .unwrap()
                .end()
                .1[0];
            let between = track.at(hours * 3600.0)[0];
            assert!(
                (there - between).abs() < 5e-6,
                "{celsius} C {hours} h: {there} {between}"
            );
        }
    }
}

#[test]
fn time_is_inverse_to_speed_and_warmth_helps() {
    let fast = Resin { speed: 3.0, ..SLOW };
    for alpha in [0.2, 0.577, 0.85] {
        let slow = time_to_conversion(&SLOW, kelvin(23.0), alpha).unwrap();
        let three = time_to_conversion(&fast, kelvin(23.0), alpha).unwrap();
        assert!((slow / three - 3.0).abs() < 1e-12);
        assert!(time_to_conversion(&SLOW, kelvin(24.0), alpha).unwrap() < slow);
    }
    let a = isothermal_cure(&SLOW, kelvin(23.0), 9e4).unwrap().end().1[0];
    let b = isothermal_cure(&fast, kelvin(23.0), 3e4).unwrap().end().1[0];
    assert!((a - b).abs() < 1e-12);
}

#[test]
fn refuses_the_impossible() {
    assert!(
        isothermal_cure(&SLOW, 23.0, 3600.0).is_err(),
        "celsius given for kelvin"
    );
    assert!(isothermal_cure(&SLOW, 296.15, 0.0).is_err());
    assert!(time_to_conversion(&SLOW, 296.15, 1.0).is_err());
    assert!(time_to_glass_transition(&SLOW, 296.15, 380.0).is_err());
}
