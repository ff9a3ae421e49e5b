//! Checks of the oven law: its regression table, its limits and how its times scale.

use super::*;

fn plies(count: f64, faces_open: u8) -> Layup {
    Layup {
        dry_areal_mass: 0.277 * count,
        height: 0.7e-3 * count,
        faces_open,
        resistance_factor: 3.0,
        cover: 0.0,
        scale: 0.70,
        start_temperature: 293.15,
    }
}

fn oven(celsius: f64, film_coefficient: f64) -> Air {
    let temperature = celsius + 273.15;
    Air {
        temperature,
        activity: heated_activity(293.15, 0.5, temperature).unwrap(),
        film_coefficient,
        room_per_area: None,
    }
}

fn start(scale: f64) -> f64 {
    sorption::flax_regain(scale, 293.15, 0.5).unwrap()
}

fn minutes(layup: &Layup, air: &Air, start: f64, target: f64) -> f64 {
    let track = drying_track(layup, air, start, 1e5).unwrap();
    drying_time(&track, target).unwrap() / 60.0
}

#[test]
fn floors_of_two_rooms() {
    // Arithmetic check, % regain; the last digit is as printed.
    for (room_c, h, oven_c, pct) in [
        (20.0, 0.5, 40.0, 2.4),
        (20.0, 0.5, 50.0, 1.4),
        (20.0, 0.5, 60.0, 0.8),
        (20.0, 0.5, 80.0, 0.2),
        (25.0, 0.7, 40.0, 4.0),
        (25.0, 0.7, 60.0, 1.45),
        (25.0, 0.7, 105.0, 0.1),
    ] {
        let floor = oven_floor(0.70, room_c + 273.15, h, oven_c + 273.15).unwrap();
        assert!(
            (100.0 * floor - pct).abs() < 0.055,
            "{room_c} {oven_c}: {floor}"
        );
    }
}

#[test]
fn table_of_drying_times() {
    // Independent implementation with scipy 1.17.1 (LSODA, relative tolerance 1e-7): plies, faces, °C,
    // film, minutes to 3, 2 and 1 %.
    for (count, faces, c, film, expect) in [
        (1.0, 2, 60.0, 6.0, [2.55, 3.74, 6.62]),
        (1.0, 2, 60.0, 20.0, [1.41, 2.11, 3.95]),
        (1.0, 2, 80.0, 6.0, [1.63, 2.22, 3.16]),
        (1.0, 2, 80.0, 20.0, [0.86, 1.20, 1.77]),
        (4.0, 2, 60.0, 6.0, [8.84, 12.89, 22.31]),
        (4.0, 2, 60.0, 20.0, [3.04, 4.43, 7.69]),
        (10.0, 2, 60.0, 6.0, [24.21, 35.28, 61.16]),
        (10.0, 2, 60.0, 20.0, [9.38, 13.77, 24.31]),
        (10.0, 2, 80.0, 6.0, [14.71, 19.90, 27.53]),
        (20.0, 2, 60.0, 6.0, [54.81, 80.05, 139.68]),
        (20.0, 2, 60.0, 20.0, [23.93, 35.63, 64.86]),
        (20.0, 2, 80.0, 20.0, [13.19, 17.91, 25.09]),
        (10.0, 1, 60.0, 6.0, [54.8, 80.1, 139.7]),
        (10.0, 1, 80.0, 6.0, [32.6, 44.1, 61.0]),
    ] {
        for (target, expected) in [0.03, 0.02, 0.01].into_iter().zip(expect) {
            let got = minutes(&plies(count, faces), &oven(c, film), start(0.70), target);
            assert!(
                (got / expected - 1.0).abs() < 0.01,
                "{count} plies {c} °C {film}: {got} for {expected}"
            );
        }
    }
}

#[test]
fn table_of_regain_times() {
    // The same independent implementation: plies, faces, minutes from 0.3 to 1, 2 and 3 %.
    let room = Air {
        temperature: 293.15,
        activity: 0.5,
        film_coefficient: 5.0,
        room_per_area: None,
    };
    for (count, faces, expect) in [
        (1.0, 2, [0.49, 1.47, 2.97]),
        (1.0, 1, [1.03, 3.03, 5.98]),
        (4.0, 2, [2.28, 6.62, 12.86]),
        (4.0, 1, [5.45, 15.5, 29.43]),
        (10.0, 2, [7.36, 20.78, 39.12]),
        (10.0, 1, [20.25, 55.65, 101.97]),
    ] {
        for (target, expected) in [0.01, 0.02, 0.03].into_iter().zip(expect) {
            let time = regain_time(&plies(count, faces), &room, 0.003, target)
                .unwrap()
                .unwrap();
            assert!(
                (time / 60.0 / expected - 1.0).abs() < 0.015,
                "{count} {faces}: {} for {expected}",
                time / 60.0
            );
        }
    }
    let never = regain_time(&plies(1.0, 1), &room, 0.003, 0.08).unwrap();
    assert_eq!(never, None, "the room gives 6.5 % at most");
}

#[test]
fn a_damp_room_wets_sooner_and_a_dry_one_later() {
    let time = |activity| {
        let room = Air {
            temperature: 293.15,
            activity,
            film_coefficient: 5.0,
            room_per_area: None,
        };
        regain_time(&plies(4.0, 2), &room, 0.003, 0.02)
            .unwrap()
            .unwrap()
    };
    assert!(time(0.7) < 0.9 * time(0.5));
    assert!(time(0.3) > 1.4 * time(0.5));
}

#[test]
fn water_and_heat_are_both_kept() {
    // The heat that came through the faces is what warmed the cloth and freed the water, as the track
    // says by summing it up over its own steps.
    let (layup, air) = (plies(4.0, 2), oven(60.0, 20.0));
    let track = drying_track(&layup, &air, start(0.70), 1200.0).unwrap();
    let (mut came, mut used) = (0.0, 0.0);
    for i in 0..2000 {
        let (a, b) = (
            track.at(0.6 * f64::from(i)),
            track.at(0.6 * f64::from(i + 1)),
        );
        let (regain, cloth) = (0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1]));
        came += 0.6 * 2.0 * 20.0 * (air.temperature - cloth);
        let freeing = 2.501e6 - 2370.0 * (cloth - 273.15) + 3e5;
        used += layup.dry_areal_mass
            * ((1350.0 + 4190.0 * regain) * (b[1] - a[1]) + (a[0] - b[0]) * freeing);
    }
    assert!((came / used - 1.0).abs() < 1e-2, "{came} {used}");
}

#[test]
fn how_times_scale() {
    // These ratios are what callers may scale by; the doc of `drying_track` quotes them.
    let air = oven(60.0, 6.0);
    for target in [0.03, 0.015] {
        let base = minutes(&plies(10.0, 2), &air, start(0.70), target);
        let heavy = Layup {
            dry_areal_mass: 2.77 * 1.5,
            ..plies(10.0, 2)
        };
        assert!((minutes(&heavy, &air, start(0.70), target) / base / 1.5 - 1.0).abs() < 1e-3);
        let lying = minutes(&plies(5.0, 1), &air, start(0.70), target);
        assert!(
            (lying / base - 1.0).abs() < 1e-6,
            "one face of half is the same"
        );
        let by_scale = |scale: f64| {
            let other = Layup {
                scale,
                ..plies(10.0, 2)
            };
            minutes(&other, &air, start(scale), target * scale / 0.70)
        };
        let (low, high) = (by_scale(0.58), by_scale(0.80));
        for (time, share) in [(low, 0.58 / 0.70), (high, 0.80 / 0.70)] {
            assert!(
                (time / base / share - 1.0).abs() < 0.034,
                "{share}: {}",
                time / base
            );
        }
        let line = low + (high - low) * (0.70 - 0.58) / (0.80 - 0.58);
        assert!((line / base - 1.0).abs() < 1e-3, "{}", line / base);
    }
    let one = minutes(&plies(1.0, 2), &air, start(0.70), 0.02);
    let heavy = Layup {
        dry_areal_mass: 0.277 * 1.3,
        ..plies(1.0, 2)
    };
    let off = minutes(&heavy, &air, start(0.70), 0.02) / one / 1.3 - 1.0;
    assert!(
        (-0.10..-0.02).contains(&off),
        "the fibre is the limit in one ply: {off}"
    );
}

#[test]
fn refuses_what_it_does_not_know() {
    let air = oven(60.0, 6.0);
    assert!(drying_track(&plies(1.0, 3), &air, 0.06, 100.0).is_err());
    assert!(
        drying_track(
            &plies(1.0, 2),
            &Air {
                temperature: 400.0,
                ..air
            },
            0.06,
            100.0
        )
        .is_err()
    );
    assert!(drying_track(&plies(1.0, 2), &air, f64::NAN, 100.0).is_err());
    // A shut oven of 60 l at 60 °C cannot hold the water of ten plies of a square metre.
    assert_eq!(closed_activity(0.06, 333.15, 0.15, 0.06).unwrap(), 1.0);
}
