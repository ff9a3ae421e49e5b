//! Checks of the bag-drying law: end points, pressures over cloth, times, and what is kept.

use super::super::oven::drying_time;
use super::*;

fn bagged(celsius: f64, transmissivity: Option<f64>) -> Bagged {
    Bagged {
        dry_mass: 2.77,
        area: 1.0,
        scale: 0.70,
        temperature: celsius + 273.15,
        heat_coefficient: 10.0,
        pump_speed: 10.0 / 3600.0,
        pump_ultimate: 100.0,
        path: transmissivity.map(|transmissivity| VapourPath {
            transmissivity,
            width: 1.0,
            length: 0.5,
        }),
        bleed: 0.0,
    }
}

#[test]
fn table_of_end_points() {
    // Arithmetic check: °C, mbar of vapour, % regain as printed (NaN: wet).
    for (c, mbar, pct) in [
        (15.0, 1.0, 1.1),
        (15.0, 10.0, 7.6),
        (15.0, 20.0, f64::NAN),
        (20.0, 5.0, 3.3),
        (20.0, 20.0, 12.8),
        (20.0, 50.0, f64::NAN),
        (30.0, 10.0, 3.5),
        (40.0, 5.0, 1.1),
        (40.0, 50.0, 8.2),
        (60.0, 50.0, 3.0),
        (80.0, 20.0, 0.4),
    ] {
        let end = end_regain(0.70, c + 273.15, 100.0 * mbar).unwrap();
        if pct.is_nan() {
            assert_eq!(end, None, "{c} {mbar}");
        } else {
            assert!(
                (100.0 * end.unwrap() - pct).abs() < 0.055,
                "{c} {mbar}: {end:?}"
            );
        }
    }
}

#[test]
fn table_of_pressures_over_cloth() {
    // Arithmetic check: % regain, °C, mbar as printed.
    for (pct, c, mbar) in [
        (1.0, 15.0, 0.9),
        (1.0, 60.0, 15.0),
        (2.0, 20.0, 2.7),
        (3.0, 25.0, 6.1),
        (3.0, 80.0, 146.0),
        (5.0, 20.0, 8.5),
        (5.0, 60.0, 92.0),
        (7.0, 40.0, 43.0),
        (10.0, 15.0, 12.6),
        (10.0, 80.0, 410.0),
    ] {
        let p = sorption::vapour_pressure(0.70, c + 273.15, 0.01 * pct).unwrap();
        let shown = if mbar < 13.0 {
            0.055
        } else {
            0.55_f64.max(0.012 * mbar)
        };
        assert!((p / 100.0 - mbar).abs() < shown, "{pct} {c}: {p}");
    }
}

#[test]
fn table_of_times_under_the_bag() {
    // Independent implementation with scipy 1.17.1 (LSODA, 1e-6): °C, path, hours to 3, 2 and 1 %.
    let (mesh, cloth) = (Some(3e-12), Some(1e-13));
    for (c, path, expect) in [
        (20.0, None, [2.57, 4.29, 9.39]),
        (40.0, None, [0.89, 1.37, 2.22]),
        (60.0, None, [0.40, 0.61, 0.93]),
        (20.0, mesh, [26.08, 58.72, f64::NAN]),
        (40.0, mesh, [2.95, 5.77, 14.73]),
        (60.0, mesh, [0.72, 1.20, 2.31]),
        (80.0, mesh, [0.28, 0.46, 0.75]),
        (40.0, cloth, [63.43, 138.29, f64::NAN]),
        (60.0, cloth, [7.41, 15.29, 40.49]),
        (80.0, cloth, [1.38, 2.49, 5.54]),
    ] {
        let start = sorption::flax_regain(0.70, 293.15, 0.5).unwrap();
        let track = bag_track(&bagged(c, path), start, 0.0, 200.0 * 3600.0).unwrap();
        for (target, hours) in [0.03, 0.02, 0.01].into_iter().zip(expect) {
            let got = drying_time(&track, target).map(|s| s / 3600.0);
            match got {
                Some(got) => assert!(
                    (got / hours - 1.0).abs() < 0.01 || (got - hours).abs() < 0.006,
                    "{c} {path:?} {target}: {got} for {hours}"
                ),
                None => assert!(hours.is_nan(), "{c} {path:?} {target}"),
            }
        }
    }
}

#[test]
fn cold_vacuum_hardly_dries_and_stops_where_the_end_says() {
    let poor = Bagged {
        pump_ultimate: 1_000.0,
        ..bagged(20.0, None)
    };
    let track = bag_track(&poor, 0.09, 0.0, 200.0 * 3600.0).unwrap();
    let end = end_regain(0.70, 293.15, 1_000.0).unwrap().unwrap();
    assert!(
        (track.end().1[0] - end).abs() < 2e-3 * 0.09,
        "{:?} {end}",
        track.end()
    );
    assert_eq!(drying_time(&track, 0.05), None);
    assert_eq!(slowest(&poor, 0.05).unwrap(), (Slowest::AtItsEnd, 0.0));
}

#[test]
fn a_leak_holds_a_pump_where_it_takes_just_as_much() {
    // Q = p S: 0.5 Pa m^3/s into 2 l/s stands 250 Pa above the pump alone; vapour adds itself.
    let p = lowest_pressure(50.0, 0.5, 2e-3, 800.0).unwrap();
    assert!((p - 1100.0).abs() < 1e-9, "{p}");
}

#[test]
fn a_track_is_over_where_nothing_leaves_any_more() {
    let year = 365.0 * 86_400.0;
    let track = bag_track(&bagged(40.0, None), 0.0649, 0.0, year).unwrap();
    let (time, [regain, cloth]) = track.end();
    let end = end_regain(0.70, 313.15, 100.0).unwrap().unwrap();
    assert!(regain > end && regain - end < 2.1e-3 * 0.0649, "{regain}");
    assert!((cloth - 313.15).abs() < 0.2, "{cloth}");
    assert!(time < 0.1 * year, "{time}");
}

#[test]
fn a_wide_path_is_no_path_and_a_narrow_one_is_the_slowest() {
    let hours = |path| {
        let track = bag_track(&bagged(40.0, path), 0.0649, 0.0, 1e6).unwrap();
        drying_time(&track, 0.02).unwrap()
    };
    assert!((hours(Some(1e-6)) / hours(None) - 1.0).abs() < 1e-3);
    assert!(hours(Some(1e-12)) > hours(Some(3e-12)));
    assert_eq!(
        slowest(&bagged(40.0, Some(1e-13)), 0.02).unwrap().0,
        Slowest::Path
    );
}

#[test]
fn heat_in_is_water_out() {
    // With no path in the way a hot bag evaporates what the heat allows: rate * heat = U A (T - T_f),
    // but for the heat the cloth gives up as it cools.
    let track = bag_track(&bagged(80.0, None), 0.0649, 0.0, 7200.0).unwrap();
    let (mut came, mut used) = (0.0, 0.0);
    let n = 7200;
    for i in 0..n {
        let dt = 0.2;
        let (a, b) = (track.at(dt * f64::from(i)), track.at(dt * f64::from(i + 1)));
        let (regain, cloth) = (0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1]));
        came += dt * 10.0 * (353.15 - cloth);
        let heat = 2.501e6 - 2370.0 * (cloth - 273.15) + 3e5;
        used += 2.77 * ((1350.0 + 4190.0 * regain) * (b[1] - a[1]) + (a[0] - b[0]) * heat);
    }
    assert!((came / used - 1.0).abs() < 5e-3, "{came} {used}");
}

#[test]
fn refuses_what_it_does_not_know() {
    assert!(
        bag_track(
            &Bagged {
                pump_speed: 0.0,
                ..bagged(20.0, None)
            },
            0.06,
            0.0,
            10.0
        )
        .is_err()
    );
    assert!(bag_track(&bagged(120.0, None), 0.06, 0.0, 10.0).is_err());
    assert!(bag_track(&bagged(20.0, Some(-1.0)), 0.06, 0.0, 10.0).is_err());
    assert!(lowest_pressure(100.0, -1.0, 1e-3, 0.0).is_err());
}
