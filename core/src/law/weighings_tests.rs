//! Checks of the narrowing that need no ovens made up: order, edges, and what the ranges alone say.

use super::*;
use crate::law::oven::{self, Air, Layup, drying_time, drying_track};

fn ranges() -> OvenRanges {
    OvenRanges {
        dry_mass: [2.6, 2.77, 2.95],
        scale: [0.58, 0.70, 0.80],
        start: [0.051, 0.0649, 0.077],
        areal: [2.6, 2.77, 2.95],
        height: [6e-3, 7e-3, 9e-3],
        film: [5.0, 6.0, 7.0],
        resistance: [2.0, 3.0, 4.0],
        room_activity: [0.45, 0.5, 0.55],
        oven_temperature: [331.0, 333.15, 335.0],
        heat_up: [300.0, 600.0, 1200.0],
        factor: [1.0, 1.6, 3.0],
        room_temperature: 293.15,
        faces_open: 2,
        room_per_area: None,
    }
}

fn weighed(rows: &[(f64, f64)]) -> Vec<Weighing> {
    let rows = rows.iter().map(|&(minutes, mass)| Weighing {
        time: 60.0 * minutes,
        mass,
    });
    rows.collect()
}

fn rising(range: [f64; 3]) -> bool {
    range[0] <= range[1] && range[1] <= range[2]
}

#[test]
fn the_three_ways_of_leaving_share_one_whole() {
    let rows = weighed(&[(0.0, 3.0), (20.0, 2.93), (40.0, 2.88), (70.0, 2.84)]);
    for weighings in [&[][..], &rows[..1], &rows] {
        let told = narrow(&ranges(), weighings, 0.02, 1e-3).unwrap();
        let sum: f64 = told.shares.iter().sum();
        assert!((sum - 1.0).abs() < 1e-9, "{:?}", told.shares);
        assert!(told.shares.iter().all(|share| (0.0..=1.0).contains(share)));
    }
}

#[test]
fn without_weighings_the_likely_end_is_that_of_the_oven_law() {
    let told = narrow(&ranges(), &[], 0.02, 1e-3).unwrap();
    let layup = Layup {
        dry_areal_mass: 2.77,
        height: 7e-3,
        faces_open: 2,
        resistance_factor: 3.0,
        cover: 0.0,
        scale: 0.70,
        start_temperature: 293.15,
    };
    let air = Air {
        temperature: 333.15,
        activity: oven::heated_activity(293.15, 0.5, 333.15).unwrap(),
        film_coefficient: 6.0,
        room_per_area: None,
    };
    let track = drying_track(&layup, &air, 0.0649, 1e5).unwrap();
    let end = 600.0 + 1.6 * drying_time(&track, 0.02).unwrap();
    // Water at a slower pace only makes it later, and not by much in the middle.
    assert!(
        told.end[1] > 0.9 * end && told.end[1] < 1.6 * end,
        "{:?} {end}",
        told.end
    );
    assert!((told.dry_mass[0] - 2.6).abs() < 0.04 && (told.dry_mass[2] - 2.95).abs() < 0.04);
    assert!(!told.surprising && told.doubtful.is_empty());
    // The last tenth of the course is the slowest; the band opens as it goes.
    assert!(
        told.course
            .windows(2)
            .all(|pair| pair[1].0 < pair[0].0 && pair[1].1[1] >= pair[0].1[1])
    );
    assert!(told.course.iter().all(|(_, time)| rising(*time)));
    assert!(told.course[0].1[1] >= 300.0 && told.course[0].1[1] < 0.5 * end);
    assert!(!told.dry);
}

#[test]
fn order_does_not_matter_and_places_are_those_of_the_list() {
    let rows = [
        (0.0, 2.950),
        (20.0, 2.918),
        (40.0, 2.880),
        (55.0, 2.860),
        (31.0, 3.300),
    ];
    let told = narrow(&ranges(), &weighed(&rows), 0.02, 1e-3).unwrap();
    assert_eq!(told.doubtful, [4]);
    let mut other = rows;
    other.reverse();
    let turned = narrow(&ranges(), &weighed(&other), 0.02, 1e-3).unwrap();
    assert_eq!(turned.doubtful, [0]);
    assert!((turned.end[1] / told.end[1] - 1.0).abs() < 1e-9);
    assert!((turned.fitted[0] - told.fitted[4]).abs() < 1e-3);
    assert!(told.fitted[0] > told.fitted[1] && told.fitted[3] < told.fitted[2]);
}

#[test]
fn one_weighing_or_sixty() {
    let one = narrow(&ranges(), &weighed(&[(35.0, 2.88)]), 0.02, 1e-3).unwrap();
    assert!(rising(one.end) && rising(one.now) && rising(one.at_target));
    let none = narrow(&ranges(), &[], 0.02, 1e-3).unwrap();
    let wide = |x: [f64; 3]| x[2] / x[0];
    assert!(
        wide(one.end) <= 1.1 * wide(none.end),
        "{:?} {:?}",
        one.end,
        none.end
    );
    // Sixty along one course, every minute; the cloth came to 2.80 kg and hardly moves.
    let rows: Vec<(f64, f64)> = (0..60)
        .map(|i| {
            (
                3.0 * f64::from(i),
                2.80 + 0.15 * (-f64::from(i) / 12.0).exp(),
            )
        })
        .collect();
    let sixty = narrow(&ranges(), &weighed(&rows), 0.02, 1e-3).unwrap();
    assert!(wide(sixty.end) < 0.6 * wide(none.end), "{:?}", sixty.end);
    assert!(
        (sixty.dry_mass[1] / 2.77 - 1.0).abs() < 0.02,
        "{:?}",
        sixty.dry_mass
    );
    assert!((sixty.at_target[1] / sixty.dry_mass[1] - 1.02).abs() < 1e-12);
}

#[test]
fn slower_weighings_end_later_and_dry_cloth_at_once() {
    let end = |last: f64| {
        let rows = weighed(&[
            (0.0, 2.95),
            (30.0, 2.95 - 0.5 * (2.95 - last)),
            (60.0, last),
        ]);
        narrow(&ranges(), &rows, 0.02, 1e-3).unwrap().end[1]
    };
    assert!(end(2.90) > end(2.87) && end(2.87) > end(2.84));
    let dry = narrow(&ranges(), &weighed(&[(0.0, 2.95)]), 0.30, 1e-3).unwrap();
    assert_eq!((dry.end[0], dry.end[1]), (0.0, 0.0));
}

#[test]
fn a_shut_oven_ends_near_its_own_floor() {
    let shut = OvenRanges {
        room_per_area: Some(1.0),
        ..ranges()
    };
    let told = narrow(&shut, &weighed(&[(0.0, 2.95), (45.0, 2.92)]), 0.02, 1e-3).unwrap();
    let driest = told.course.last().unwrap().0;
    assert!(driest > 0.03, "{driest}");
    assert!(rising(told.end) && told.end[1] > 45.0 * 60.0);
}

#[test]
fn two_equal_weighings_far_enough_apart_are_dry_and_near_ones_are_not() {
    let rows = |apart: f64| {
        let dry = 2.77 * 1.009;
        let course = [(0.0, 2.95), (30.0, 2.885), (60.0, 2.825), (120.0, dry)];
        let mut rows = course.to_vec();
        rows.push((120.0 + apart, dry));
        narrow(&ranges(), &weighed(&rows), 0.02, 1e-3).unwrap()
    };
    let long = rows(120.0);
    assert!(long.dry && long.now[2] < 0.02, "{long:?}");
    let pause = long.pause.unwrap();
    assert!(pause > 60.0 && pause < 7200.0, "{pause}");
    let short = rows(0.5);
    assert!(!short.dry, "{short:?}");
    // A scale that shows no less than the water that must leave cannot tell.
    let coarse = narrow(&ranges(), &weighed(&[(0.0, 2.95), (60.0, 2.83)]), 0.02, 0.1).unwrap();
    assert!(coarse.pause.is_none() && !coarse.dry);
    // Equal before the oven is hot is not dry.
    let cold = narrow(&ranges(), &weighed(&[(0.0, 2.95), (8.0, 2.95)]), 0.02, 1e-3).unwrap();
    assert!(!cold.dry, "{cold:?}");
}

#[test]
fn the_band_meets_one_made_of_weighted_draws() {
    // The same ovens drawn at random and counted by how well they explain the weighings, without any closed form.
    let rows = weighed(&[(0.0, 2.952), (25.0, 2.905), (50.0, 2.862)]);
    let before = before::Before::of(&ranges()).unwrap();
    let shapes = shapes::shapes(&before.course);
    let scatter = scatters(&ranges(), &rows, 1e-3);
    let told = narrow(&ranges(), &rows, 0.02, 1e-3).unwrap();
    // SplitMix64.
    let mut state = 7_u64;
    let mut unit = || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut normal = || (0..12).map(|_| unit()).sum::<f64>() - 6.0;
    let mut ends: Vec<(f64, f64)> = Vec::new();
    for k in 0..400_000 {
        let shape = &shapes[k % shapes.len()];
        let z = normal();
        let half = before.half * (before.spread[usize::from(z > 0.0)] * z).exp();
        let heat_up = before.heat_up.value(normal());
        let floor = before.floor[[0, 0, 0, 1, 1, 1, 1, 2, 2, 2][k / shapes.len() % 10]];
        let mass = before.dry_mass.0 + before.dry_mass.1 * normal();
        let start = before.start.0 + before.start.1 * normal();
        let gap = start - floor;
        let mut ln = shape.weight.ln();
        for (row, scatter) in rows.iter().zip(&scatter) {
            let left = shape.left((row.time - heat_up) / half);
            let off = (mass * (1.0 + floor + gap * left) - row.mass) / scatter;
            ln -= 0.5 * off * off;
        }
        let aim = 0.02_f64.max(floor + 0.05 * gap);
        let end = heat_up + half * shape.when((aim - floor) / gap);
        ends.push((end, ln.exp()));
    }
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let all: f64 = ends.iter().map(|e| e.1).sum();
    for (share, ours) in [0.05, 0.5, 0.95].into_iter().zip(told.end) {
        let mut sum = 0.0;
        let drawn = ends
            .iter()
            .find(|e| {
                sum += e.1;
                sum >= share * all
            })
            .unwrap()
            .0;
        assert!((ours / drawn).ln().abs() < 0.12, "{share}: {ours} {drawn}");
    }
}

#[test]
fn refuses_what_it_does_not_know() {
    let rows = weighed(&[(0.0, 2.95)]);
    let ask = |ranges: &OvenRanges, rows: &[Weighing]| narrow(ranges, rows, 0.02, 1e-3);
    assert!(
        ask(
            &OvenRanges {
                faces_open: 3,
                ..ranges()
            },
            &rows
        )
        .is_err()
    );
    assert!(
        ask(
            &OvenRanges {
                scale: [0.8, 0.7, 0.6],
                ..ranges()
            },
            &rows
        )
        .is_err()
    );
    assert!(
        ask(
            &OvenRanges {
                film: [f64::NAN; 3],
                ..ranges()
            },
            &rows
        )
        .is_err()
    );
    assert!(ask(&ranges(), &weighed(&[(-1.0, 2.95)])).is_err());
    assert!(ask(&ranges(), &weighed(&[(1.0, 0.0)])).is_err());
    assert!(narrow(&ranges(), &rows, f64::NAN, 1e-3).is_err());
}
