use super::*;
use crate::law::cure::{
    GEL_CONVERSION, INFUSION_AMINE, curing_rate, isothermal_cure, programme_cure,
    time_to_conversion,
};

fn resin(speed: f64, late: f64) -> Resin {
    Resin {
        kinetics: INFUSION_AMINE,
        speed,
        tg_ultimate: 364.15,
    }
    .with_late(late)
}

#[test]
fn nothing_moves_before_gel_or_in_a_hot_part() {
    for late in [0.4, 1.0, 6.0, 500.0] {
        for celsius in [0.0, 10.0, 25.0, 40.0] {
            let t = celsius + 273.15;
            let gel = |late| time_to_conversion(&resin(3.0, late), t, GEL_CONVERSION).unwrap();
            assert!(
                (gel(late) / gel(1.0) - 1.0).abs() < 2e-5,
                "{late} {celsius}"
            );
        }
    }
    for alpha in [0.62, 0.7, 0.8] {
        let rate = |late| curing_rate(&resin(3.0, late), alpha, 383.15).unwrap();
        assert!(rate(6.0) > 0.98 * rate(1.0), "{alpha}");
    }
}

#[test]
fn a_film_becomes_hard_when_it_was_told_to() {
    for (speed, celsius, hours, margin) in [
        (3.0, 25.0, 12.0, 10.0),
        (5.0, 20.0, 6.0, 10.0),
        (1.0, 23.0, 30.0, 10.0),
        (1.0, 23.0, 14.0, 10.0),
        (2.0, 15.0, 40.0, 0.0),
        (6.0, 30.0, 4.0, 0.0),
    ] {
        let t = celsius + 273.15;
        let late = late_for(&resin(speed, 1.0), t, hours * 3600.0, margin).unwrap();
        // By a march in time instead of the integral.
        let track = programme_cure(&resin(speed, late), |_| t, 0.0, hours * 3600.0).unwrap();
        let glass = INFUSION_AMINE.glass.unwrap();
        let tg = super::super::glass_transition(glass, 364.15, track.end().1[0]).unwrap();
        assert!(
            (tg - t - margin).abs() < 0.05,
            "{speed} {celsius}: {}",
            tg - t
        );
    }
}

#[test]
fn what_lies_beyond_any_film_is_told_by_the_end_of_the_range() {
    assert!((late_for(&resin(1.0, 1.0), 298.15, 3600.0, 10.0).unwrap() - 0.4).abs() < 1e-9);
    assert!((late_for(&resin(6.0, 1.0), 298.15, 9e7, 10.0).unwrap() - 500.0).abs() < 1e-6);
    assert!(late_for(&resin(6.0, 1.0), 298.15, 0.0, 10.0).is_err());
}

#[test]
fn warmth_never_slows_it_down() {
    for late in [0.4, 0.5, 2.0, 6.0, 30.0, 500.0] {
        let one = resin(2.0, late);
        for step in 0..120 {
            let alpha = 0.4 + 0.005 * f64::from(step);
            let mut before = 0.0;
            for celsius in -10..=90 {
                let rate = curing_rate(&one, alpha, f64::from(celsius) + 273.15).unwrap();
                assert!(rate >= before, "{late} {alpha} {celsius}");
                before = rate;
            }
        }
    }
}

#[test]
fn the_integral_is_fine_enough() {
    // Against a march in time with a tolerance of its own.
    for (late, celsius) in [(6.0, 23.0), (0.4, 23.0), (40.0, 10.0), (6.0, 40.0)] {
        let one = resin(2.0, late);
        let (t, span) = (celsius + 273.15, 40.0 * 3600.0);
        let film = isothermal_cure(&one, t, span).unwrap().end().1[0];
        let march = programme_cure(&one, |_| t, 0.0, span).unwrap().end().1[0];
        assert!(
            (film - march).abs() < 2e-5,
            "{late} {celsius}: {film} {march}"
        );
    }
}

#[test]
fn four_weeks_later_it_hardly_matters() {
    let tg = |late| {
        let track = isothermal_cure(&resin(2.0, late), 294.15, 28.0 * 86_400.0).unwrap();
        let glass = INFUSION_AMINE.glass.unwrap();
        super::super::glass_transition(glass, 364.15, track.end().1[0]).unwrap()
    };
    assert!((tg(4.0) - tg(1.0)).abs() < 1.0, "{} {}", tg(4.0), tg(1.0));
}
