//! Heat and cure through a laminate, still air and published isothermal fits, against outside integrations and libraries.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::law::convection::{facing_up, still_air, vertical_wall};
use bastwork::law::cure::{
    INFUSION_AMINE, KamalMalkin, LOW_REACTIVITY, Resin, kamal_malkin_course, time_to_conversion,
};
use bastwork::law::flow::equalisation_time;
use bastwork::law::laminate_cure::{Layup, laminate_cure};
use bastwork::solve::{Fineness, Heated, Pace, Shape, Shells, State, Through, conduct};
use bastwork_tests::vectors::table;

const HOUR: f64 = 3600.0;

/// The air of a case: behind the mould and over the bag, and when it turns a corner.
fn air(kind: u32, room: f64) -> (impl Fn(f64) -> (f64, f64), Vec<f64>) {
    let corners = match kind {
        2 => vec![20.0 * HOUR, 20.0 * HOUR + (323.15 - room) * 360.0],
        3 => vec![HOUR, 6.0 * HOUR],
        _ => Vec::new(),
    };
    let at = move |t: f64| match kind {
        1 => {
            let swing = room - 4.0 * (1.0 - (t / (24.0 * HOUR) * std::f64::consts::TAU).cos());
            (swing, swing)
        }
        2 => {
            let up = (room + (t - 20.0 * HOUR).max(0.0) / 360.0).min(323.15);
            (up, up)
        }
        3 => (
            room,
            room + if (HOUR..6.0 * HOUR).contains(&t) {
                15.0
            } else {
                0.0
            },
        ),
        _ => (room, room),
    };
    (at, corners)
}

#[test]
fn laminates_set_as_another_integration_has_them() {
    // scipy: tests/cases/vectors/make_laminate_cure.py.
    let rows = table("laminate_cure.csv");
    assert!(rows.len() >= 12);
    for row in rows {
        let room = row.x("room_c") + 273.15;
        let resin = Resin {
            kinetics: INFUSION_AMINE,
            speed: row.x("speed"),
            tg_ultimate: row.x("tg_ultimate_k"),
        };
        let layup = Layup {
            thickness: row.x("mm") / 1e3,
            density: 1250.0,
            heat_capacity: 1650.0,
            conductivity: row.x("k"),
            resin_share: 0.57,
            to_mould: row.x("to_mould"),
            to_bag: row.x("to_bag"),
            start_temperature: room,
        };
        let (air, corners) = air(row.x("air") as u32, room);
        let course = laminate_cure(&resin, &layup, air, &corners, 60.0 * HOUR).unwrap();
        let named = format!("{} mm x{} {}", row.x("mm"), row.x("speed"), row.x("air"));
        let gel = course.when_least(0.58).unwrap();
        assert!(
            (gel / row.x("gel_s") - 1.0).abs() < 5e-3,
            "{named}: gel {gel} {}",
            row.x("gel_s")
        );
        let peak = course.peak_temperature;
        assert!(
            (peak - row.x("peak_k")).abs() < 0.3,
            "{named}: peak {peak} {}",
            row.x("peak_k")
        );
        for hours in [6, 24, 59] {
            let (found, known) = (
                course.at(f64::from(hours) * HOUR).least,
                row.x(&format!("least_{hours}h")),
            );
            assert!(
                (found - known).abs() < 3e-3,
                "{named} at {hours} h: {found} {known}"
            );
        }
    }
}

#[test]
fn still_air_is_as_reference_libraries_have_it() {
    for row in table("convection.csv") {
        let (surface, air, size) = (row.x("surface_k"), row.x("air_k"), row.x("size_m"));
        let found = still_air(0.5 * (surface + air)).unwrap();
        for (ours, theirs) in [
            (found.conductivity, row.x("conductivity")),
            (found.viscosity, row.x("viscosity")),
            (found.prandtl, row.x("prandtl")),
        ] {
            assert!(
                (ours / theirs - 1.0).abs() < 0.01,
                "{surface} {air}: {ours} {theirs}"
            );
        }
        // The same laminar form with a library's air, and the form of the same paper for all Rayleigh numbers, by that library:
        // the two lie within a tenth while the air runs smoothly and is not all but still.
        let wall = vertical_wall(surface, air, size).unwrap();
        let laminar = wall / row.x("vertical_laminar");
        assert!(
            (laminar - 1.0).abs() < 6e-3,
            "{surface} {air} {size}: {laminar}"
        );
        if (1e4..1e7).contains(&row.x("rayleigh")) {
            let any = wall / row.x("vertical");
            assert!((any - 1.0).abs() < 0.1, "{surface} {air} {size}: {any}");
        }
        let plate = facing_up(surface, air, size).unwrap() / row.x("facing_up");
        assert!(
            (plate - 1.0).abs() < 0.02,
            "{surface} {air} {size}: {plate}"
        );
    }
}

#[test]
fn published_isothermal_fits_come_to_their_conversions() {
    // Fits of isothermal DSC on DGEBA and diaminoalkanes: Meldrum, open data set epoxy_HPC, commit 52a9046, combined_results.csv.
    // Rows with a plateau far below the others (33 C) and one at its bounds (100 C) are left out. Conversions at 0.5, 1, 2, 4
    // and 8 h are the arithmetic of these constants.
    type Fit = (&'static str, [f64; 5], &'static [f64]);
    let fits: [Fit; 12] = [
        (
            "1,4-diaminobutane 25",
            [2.32e-5, 2.343e-4, 1.2592, 1.0049, 0.6034],
            &[0.034, 0.071, 0.162, 0.398, 0.603],
        ),
        (
            "1,4-diaminobutane 50",
            [1.871e-4, 9.864e-4, 0.7668, 1.3190, 0.8293],
            &[0.487, 0.750, 0.829, 0.829, 0.829],
        ),
        (
            "1,4-diaminobutane 60",
            [3.771e-4, 2.0829e-3, 0.9155, 1.4333, 0.8984],
            &[0.755, 0.886, 0.898],
        ),
        (
            "1,4-diaminobutane 80",
            [7.295e-4, 4.2802e-3, 0.4769, 1.2998, 0.9272],
            &[0.927],
        ),
        (
            "1,3-diaminopropane 25",
            [2.63e-5, 1.898e-4, 0.9998, 1.0908, 0.5570],
            &[0.038, 0.083, 0.190, 0.416, 0.557],
        ),
        (
            "1,3-diaminopropane 50",
            [1.372e-4, 9.809e-4, 0.8518, 1.5330, 0.7511],
            &[0.329, 0.591, 0.738, 0.751, 0.751],
        ),
        (
            "1,3-diaminopropane 60",
            [2.764e-4, 1.6429e-3, 0.7903, 1.5451, 0.8510],
            &[0.634, 0.810, 0.851],
        ),
        (
            "1,3-diaminopropane 80",
            [6.423e-4, 4.3373e-3, 0.5359, 1.6317, 0.7936],
            &[0.785, 0.794],
        ),
        (
            "1,2-diaminoethane 25",
            [3.58e-5, 2.659e-4, 1.5887, 1.4796, 0.7888],
            &[0.053, 0.106, 0.219, 0.460, 0.737],
        ),
        (
            "1,2-diaminoethane 50",
            [8.54e-5, 8.980e-4, 0.7369, 1.5422, 0.6822],
            &[0.255, 0.503, 0.665, 0.682, 0.682],
        ),
        (
            "1,2-diaminoethane 60",
            [4.85e-5, 1.2194e-3, 0.4296, 1.6784, 0.7283],
            &[0.465, 0.649, 0.723, 0.728],
        ),
        (
            "1,2-diaminoethane 80",
            [1.4731e-3, 2.6500e-3, 0.4340, 1.3027, 1.00],
            &[0.975, 0.996, 0.999],
        ),
    ];
    for (name, [k1, k2, m, n, plateau], known) in fits {
        let fit = KamalMalkin {
            k1,
            k2,
            m,
            n,
            plateau,
        };
        let course = kamal_malkin_course(&fit, 9.0 * HOUR).unwrap();
        for (alpha, hours) in known.iter().zip([0.5, 1.0, 2.0, 4.0, 8.0]) {
            let found = course.at(hours * HOUR)[0];
            assert!(
                (found - alpha).abs() < 1.1e-3,
                "{name} at {hours} h: {found} {alpha}"
            );
        }
    }
}

#[test]
fn ten_degrees_all_but_halve_the_time_to_gel() {
    // Arithmetic check on the two published sets, thin film: 20 to 30 C and 30 to 40 C.
    for (kinetics, cold, ratio) in [
        (INFUSION_AMINE, 20.0, 1.88),
        (INFUSION_AMINE, 30.0, 1.81),
        (LOW_REACTIVITY, 30.0, 2.03),
    ] {
        let resin = Resin {
            kinetics,
            speed: 1.0,
            tg_ultimate: 364.15,
        };
        let gel = |celsius: f64| time_to_conversion(&resin, celsius + 273.15, 0.577).unwrap();
        let found = gel(cold) / gel(cold + 10.0);
        assert!((found - ratio).abs() < 0.006, "{cold}: {found} {ratio}");
    }
}

#[test]
fn pressure_evens_out_as_heat_does() {
    // The same diffusion, followed by finite volumes instead of its series: feed shut, vent held, a straight profile at first.
    let (mu, length, k, load, b) = (0.3, 0.5, 3e-11, 5e4, 0.06);
    let diffusivity = k * load / (mu * b);
    let nodes = 81;
    let shells = Shells::new(Shape::Slab, length, nodes);
    let through = Through {
        diffusivity,
        films: [0.0, 1e6 * diffusivity / length],
        rise: 0.0,
    };
    let fine = Fineness {
        heat: 1e-5,
        progress: 1.0,
        stride: 1.0,
        longest: 20.0,
        corner: 1.0,
        most: 100_000,
    };
    let start = State {
        heat: (0..nodes)
            .map(|i| 1.0 - i as f64 / (nodes - 1) as f64)
            .collect(),
        progress: vec![0.0; nodes],
    };
    let still = |_: f64, _: f64| Pace {
        rate: 0.0,
        by_heat: 0.0,
        by_progress: 0.0,
    };
    let mut course = vec![(0.0, 1.0)];
    let body = Heated {
        shells: &shells,
        through: &through,
    };
    let vent = |_: f64| [0.0, 0.0];
    assert!(conduct(
        body,
        start,
        (0.0, 6000.0),
        still,
        vent,
        fine,
        |t, now| {
            course.push((t, now.heat[0]));
            false
        }
    ));
    // 1.13 L^2/D and 0.85 L^2/D (arithmetic check: 3387 s and 2544 s for these figures).
    for (left, rule) in [(0.05, 1.13), (0.10, 0.85)] {
        let after = course.iter().position(|&(_, p)| p <= left).unwrap();
        let ((t0, p0), (t1, p1)) = (course[after - 1], course[after]);
        let found = t0 + (t1 - t0) * (p0 - left) / (p0 - p1);
        let known = equalisation_time(mu, length, k, load, b, left).unwrap();
        assert!(
            (found / known - 1.0).abs() < 2e-3,
            "{left}: {found} {known}"
        );
        let ruled = rule * length * length / diffusivity;
        assert!((known / ruled - 1.0).abs() < 6e-3, "{known} {ruled}");
    }
}
