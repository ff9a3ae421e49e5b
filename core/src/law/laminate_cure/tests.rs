//! The setting laminate against its table, the film, the adiabatic rise and its own halving.

use super::*;
use crate::law::cure::{
    INFUSION_AMINE, LOW_REACTIVITY, isothermal_cure, programme_cure, time_to_conversion,
};

const SLOW: Resin = Resin {
    kinetics: INFUSION_AMINE,
    speed: 1.0,
    tg_ultimate: 364.15,
};
const FAST: Resin = Resin { speed: 3.0, ..SLOW };
const ROOM: f64 = 296.15;

fn slab(mm: f64, to_mould: f64) -> Layup {
    Layup {
        thickness: mm / 1e3,
        density: 1250.0,
        heat_capacity: 1650.0,
        conductivity: 0.25,
        resin_share: 0.57,
        to_mould,
        to_bag: 10.0,
        start_temperature: ROOM,
    }
}

fn in_room(resin: &Resin, layup: &Layup) -> LaminateCourse {
    laminate_cure(resin, layup, |_| (ROOM, ROOM), &[], 2.0 * 86_400.0).unwrap()
}

#[test]
fn keeps_the_table_of_peaks_and_gels() {
    // Arithmetic check: peak [C] and gel [h] at 0.577 of the slowest point, 23 C, by an explicit finite volume scheme.
    // thickness, slow on a tool, slow on an insulating one, fast on a tool, fast on an insulating one.
    type Cell = (f64, Option<f64>);
    let table: [(f64, [Cell; 4]); 6] = [
        (
            3.0,
            [
                (24.6, Some(7.1)),
                (25.3, Some(6.9)),
                (29.3, Some(1.9)),
                (33.6, Some(1.6)),
            ],
        ),
        (
            6.0,
            [
                (26.7, Some(6.5)),
                (28.9, Some(6.0)),
                (46.8, Some(1.1)),
                (84.3, Some(0.8)),
            ],
        ),
        (
            10.0,
            [
                (31.0, Some(5.6)),
                (37.6, Some(4.5)),
                (112.0, Some(0.7)),
                (140.0, Some(0.6)),
            ],
        ),
        (
            20.0,
            [
                (64.6, Some(2.7)),
                (113.0, Some(2.1)),
                (158.0, Some(0.6)),
                (166.0, Some(0.5)),
            ],
        ),
        (
            30.0,
            [
                (126.0, Some(2.0)),
                (147.0, Some(1.8)),
                (168.0, None),
                (172.0, None),
            ],
        ),
        (
            50.0,
            [(158.0, None), (165.0, None), (174.0, None), (178.0, None)],
        ),
    ];
    for (mm, row) in table {
        let cases = [(SLOW, 8.0), (SLOW, 3.0), (FAST, 8.0), (FAST, 3.0)];
        for ((resin, mould), (peak, gel)) in cases.into_iter().zip(row) {
            let course = in_room(&resin, &slab(mm, mould));
            let found = course.peak_temperature - 273.15;
            assert!(
                (found - peak).abs() < 1.0,
                "{mm} mm x{} h {mould}: {found} for {peak}",
                resin.speed
            );
            if let Some(gel) = gel {
                let found = course.when_least(0.577).unwrap() / 3600.0;
                assert!(
                    (found - gel).abs() < 0.06,
                    "{mm} mm x{} h {mould}: {found} for {gel}",
                    resin.speed
                );
            }
        }
    }
}

#[test]
fn a_very_thin_laminate_is_a_film() {
    for celsius in [12.0, 23.0, 38.0] {
        let t = celsius + 273.15;
        let layup = Layup {
            thickness: 2e-5,
            start_temperature: t,
            ..slab(0.02, 8.0)
        };
        let course = laminate_cure(&SLOW, &layup, |_| (t, t), &[], 20.0 * 86_400.0).unwrap();
        let film = isothermal_cure(&SLOW, t, 20.0 * 86_400.0).unwrap();
        for conversion in [0.1, 0.3, 0.58, 0.75] {
            let (found, known) = (
                course.when_least(conversion).unwrap(),
                time_to_conversion(&SLOW, t, conversion).unwrap(),
            );
            assert!(
                (found / known - 1.0).abs() < 2e-3,
                "{celsius} {conversion}: {found} {known}"
            );
        }
        for days in [1.0, 3.0, 19.0] {
            let (found, known) = (
                course.at(days * 86_400.0).least,
                film.at(days * 86_400.0)[0],
            );
            assert!(
                (found - known).abs() < 1e-3,
                "{celsius} {days}: {found} {known}"
            );
        }
    }
}

#[test]
fn a_thin_laminate_follows_a_night_and_an_oven() {
    let layup = Layup {
        thickness: 2e-5,
        ..slab(0.02, 8.0)
    };
    let air = |t: f64| {
        let night = 289.15 + 6.0 * (t / 86_400.0 * std::f64::consts::TAU).cos();
        if t < 1.5 * 86_400.0 {
            night
        } else {
            (290.0 + (t - 1.5 * 86_400.0) / 360.0).min(333.15)
        }
    };
    let end = 3.0 * 86_400.0;
    let course =
        laminate_cure(&SLOW, &layup, |t| (air(t), air(t)), &[1.5 * 86_400.0], end).unwrap();
    let film = programme_cure(&SLOW, air, 0.0, end).unwrap();
    for hours in [6.0, 12.0, 24.0, 36.0, 42.0, 50.0, 70.0] {
        let (found, known) = (course.at(hours * 3600.0).least, film.at(hours * 3600.0)[0]);
        assert!((found - known).abs() < 2e-3, "{hours}: {found} {known}");
    }
}

#[test]
fn shut_in_it_warms_by_all_its_heat() {
    let shut = Layup {
        to_mould: 0.0,
        to_bag: 0.0,
        ..slab(10.0, 0.0)
    };
    let never_hard = Resin {
        kinetics: crate::law::cure::Kinetics {
            glass: None,
            ..INFUSION_AMINE
        },
        ..FAST
    };
    let course = in_room(&never_hard, &shut);
    // Arithmetic: 0.57 * 460 / 1.65 = 158.9 K, all of it when nothing stops the cure.
    let rise = course.peak_temperature - ROOM;
    assert!((rise / 158.909 - 1.0).abs() < 1e-3, "{rise}");
    assert!((course.least.last().unwrap() - 1.0).abs() < 1e-3);
}

#[test]
fn half_the_steps_and_twice_the_nodes_change_nothing_that_counts() {
    let half = Fineness {
        heat: 0.5 * FINE.heat,
        progress: 0.5 * FINE.progress,
        stride: 0.5 * FINE.stride,
        longest: 0.5 * FINE.longest,
        ..FINE
    };
    let air = |t: f64| {
        let warm = if (7200.0..18_000.0).contains(&t) {
            15.0
        } else {
            0.0
        };
        (ROOM, ROOM + warm)
    };
    for (resin, mm, mould) in [
        (SLOW, 3.0, 8.0),
        (SLOW, 20.0, 3.0),
        (FAST, 10.0, 8.0),
        (FAST, 30.0, 3.0),
    ] {
        let layup = slab(mm, mould);
        let used = laminate_cure(&resin, &layup, air, &[7200.0, 18_000.0], 2e5).unwrap();
        for (nodes, first, fine) in [
            (81, FIRST, FINE),
            (41, FIRST, half),
            (41, 0.1 * FIRST, FINE),
        ] {
            let other = follow(
                &resin,
                &layup,
                air,
                &[7200.0, 18_000.0],
                2e5,
                Cut { nodes, first, fine },
            )
            .unwrap();
            let gel = |c: &LaminateCourse| c.when_least(0.58).unwrap();
            assert!(
                (gel(&used) / gel(&other) - 1.0).abs() < 1e-3,
                "{mm} {nodes}: {} {}",
                gel(&used),
                gel(&other)
            );
            let peak = (used.peak_temperature - other.peak_temperature).abs();
            assert!(peak < 0.2, "{mm} {nodes}: {peak}");
            assert!((used.at(2e5).least - other.at(2e5).least).abs() < 1e-4);
        }
    }
}

#[test]
fn before_its_first_moment_and_after_its_last_a_slab_stays() {
    let layup = Layup {
        start_temperature: ROOM - 5.0,
        ..slab(3.0, 200.0)
    };
    let course = in_room(&FAST, &layup);
    let last = 2.0 * 86_400.0;
    assert_eq!(course.at(-60.0), course.at(0.0));
    assert_eq!(course.at(10.0 * last), course.at(last));
    assert!(course.at(last).least > course.at(0.5 * last).least);
}

#[test]
fn the_slowest_hardener_keeps_its_times() {
    // Arithmetic check of the second published set: gel at 0.577 after 19.7, 11.65, 5.73 and 2.94 h.
    let resin = Resin {
        kinetics: LOW_REACTIVITY,
        ..SLOW
    };
    for (celsius, hours) in [(23.0, 19.7), (30.0, 11.65), (40.0, 5.73), (50.0, 2.94)] {
        let t = time_to_conversion(&resin, celsius + 273.15, 0.577).unwrap() / 3600.0;
        assert!((t - hours).abs() < 0.06, "{celsius}: {t}");
    }
}

#[test]
fn thicker_faster_and_better_insulated_is_hotter() {
    let peak =
        |resin: &Resin, mm: f64, mould: f64| in_room(resin, &slab(mm, mould)).peak_temperature;
    let mut last = 0.0;
    for mm in [1.0, 2.0, 4.0, 8.0, 16.0, 32.0] {
        let now = peak(&SLOW, mm, 8.0);
        assert!(now > last);
        assert!(peak(&FAST, mm, 8.0) > now && peak(&SLOW, mm, 3.0) > now);
        last = now;
    }
}

#[test]
fn refuses_what_is_no_laminate() {
    let layup = slab(3.0, 8.0);
    let room = |_: f64| (ROOM, ROOM);
    assert!(
        laminate_cure(&SLOW, &layup, |_| (23.0, 23.0), &[], 1e5).is_err(),
        "celsius"
    );
    assert!(
        laminate_cure(
            &SLOW,
            &Layup {
                thickness: 3.0,
                ..layup
            },
            room,
            &[],
            1e5
        )
        .is_err(),
        "millimetres"
    );
    assert!(laminate_cure(&SLOW, &layup, room, &[], -1.0).is_err());
    let lost = |t: f64| {
        if t > 0.0 && t < 9e4 {
            (f64::NAN, ROOM)
        } else {
            (ROOM, ROOM)
        }
    };
    assert!(laminate_cure(&SLOW, &layup, lost, &[], 1e5).is_err());
}

#[test]
fn ten_warm_minutes_are_not_stepped_over() {
    // Three days in an even room, and a lamp over the bag for ten minutes of the second night: once the air is still,
    // steps are hours long.
    let day = 86_400.0;
    let layup = slab(1.0, 8.0);
    for from in [1.2 * day, 1.21 * day + 137.0, 2.6 * day + 11.0] {
        let lamp = |t: f64| {
            let on = (from..from + 600.0).contains(&t);
            (ROOM, if on { ROOM + 40.0 } else { ROOM })
        };
        let found = corners_of(lamp, 3.0 * day).unwrap();
        let by_look = laminate_cure(&SLOW, &layup, lamp, &found, 3.0 * day).unwrap();
        let named = [from, from + 600.0];
        let by_name = laminate_cure(&SLOW, &layup, lamp, &named, 3.0 * day).unwrap();
        // Ten minutes through one film on a lump of 2.06 kJ/(m^2 K) that loses 18 W/(m^2 K): 40 (10/18)(1 - exp(-600/115)).
        let lump = 1250.0 * 1650.0 * 0.001 / 18.0;
        let expected = ROOM + 40.0 * 10.0 / 18.0 * (1.0 - (-600.0_f64 / lump).exp());
        for course in [&by_look, &by_name] {
            let peak = course.hottest_until(from + 900.0);
            assert!((peak - expected).abs() < 0.5, "{from}: {peak} {expected}");
            assert!((course.peak_time - from - 600.0).abs() < 60.0);
        }
        let off = (by_look.peak_temperature - by_name.peak_temperature).abs();
        assert!(off < 0.1, "{from}: {off}");
    }
}
