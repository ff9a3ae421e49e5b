//! Open vents: they draw for ever, the fill takes longer, and what has come in is what is in plus what has gone out.

use super::meshes::{even, grid, rectangle};
use super::{MU_OVER_DP, close, cloth, gates};
use bastwork_tests::vectors::table;

#[test]
fn a_vent_left_open_slows_the_rest() {
    // The same equations by finite differences and a direct solve, extrapolated: cases/vectors/make_fill.py.
    let rows = table("fill_vent.csv");
    assert!(rows.len() >= 5);
    for row in rows {
        let (side, from, to) = (row.x("side_m"), row.x("vent_from_m"), row.x("vent_to_m"));
        let mesh = rectangle(side, side, 60, 60, 90);
        let feeds = mesh.nodes(|p| p[0] < 1e-9);
        let on_far = row.x("opposite") > 0.5;
        let vents = mesh.nodes(|p| {
            let (at, along) = if on_far { (p[0], p[1]) } else { (p[1], p[0]) };
            at > side - 1e-9 && along > from - 1e-9 && along < to + 1e-9
        });
        assert!(vents.len() > 3);
        let mut field = cloth(&mesh, 3e-11, 0.65);
        let shut = field.fill(&gates(&feeds, &[]));
        let open = field.fill(&gates(&feeds, &vents));
        close(shut.time * MU_OVER_DP, 9027.78, 1e-3, "shut");
        close(open.time * MU_OVER_DP, row.x("time_s"), 0.01, "open");
        // The time is exact for the mesh itself: a little earlier something is dry, a little later nothing.
        let dry = |share: f64| {
            let wet = field
                .clone()
                .wet_at(&gates(&feeds, &vents), share * open.time);
            (0..mesh.points.len())
                .filter(|&i| !wet.wet[i] && !vents.contains(&(i as u32)))
                .count()
        };
        assert!(dry(0.99) > 0 && dry(0.99) < 60, "{}", dry(0.99));
        assert_eq!(dry(1.001), 0);
    }
}

#[test]
fn what_comes_in_is_what_is_in_and_what_goes_out() {
    let lines = even(0.0, 0.5, 40);
    let keep = |x: f64, y: f64| (x - 0.25).hypot(y - 0.2) > 0.08;
    for seed in 91..95 {
        let mesh = grid(&lines, &lines, keep, |_, _| false, seed);
        let feeds = mesh.nodes(|p| p[0] < 1e-9);
        let vents = mesh.nodes(|p| p[1] > 0.5 - 1e-9 && (p[0] - 0.2).abs() < 0.05);
        let mut field = cloth(&mesh, 3e-11, 0.65);
        for open in [&[][..], &vents] {
            let filled = field.fill(&gates(&feeds, open));
            let arrival = field.arrival(&gates(&feeds, open), 6);
            let mut before: Option<(Vec<bool>, f64)> = None;
            let mut outflow = 0.0;
            for step in 1..=24 {
                let time = filled.time * 1.05 * f64::from(step) / 24.0;
                let wet = field.wet_at(&gates(&feeds, open), time);
                let balance = (wet.inflow - wet.outflow - wet.filled) / wet.filled;
                assert!(balance.abs() < 1e-4, "{balance}");
                assert!(wet.outflow >= outflow - 1e-12 * wet.filled);
                outflow = wet.outflow;
                if let Some((sooner, volume)) = &before {
                    assert!(
                        sooner.iter().zip(&wet.wet).all(|(a, b)| !a || *b),
                        "dry again"
                    );
                    assert!(wet.filled >= volume * (1.0 - 1e-12));
                }
                // What the bound says is wet is wet.
                for (i, &bound) in filled.bound.iter().enumerate() {
                    assert!(
                        bound.is_nan() || bound >= time * (1.0 - 1e-9) || wet.wet[i],
                        "{i}"
                    );
                }
                before = Some((wet.wet, wet.filled));
            }
            if open.is_empty() {
                assert_eq!(outflow, 0.0);
                close(before.unwrap().1, field.capacity(), 1e-9, "full");
            } else {
                assert!(outflow > 0.0);
            }
            for (i, (&t, &bound)) in arrival.at.iter().zip(&filled.bound).enumerate() {
                assert!(
                    bound.is_nan() || t <= bound * (1.0 + 1e-9),
                    "{i}: {t} {bound}"
                );
            }
        }
    }
}

#[test]
fn the_map_agrees_with_what_is_wet() {
    // A strip with vents at its end: they change nothing until the front is there.
    let mesh = rectangle(0.5, 0.1, 80, 16, 96);
    let (feeds, ends) = (
        mesh.nodes(|p| p[0] < 1e-9),
        mesh.nodes(|p| p[0] > 0.5 - 1e-9),
    );
    let mut field = cloth(&mesh, 3e-11, 0.65);
    let arrival = field.arrival(&gates(&feeds, &ends), 8);
    for (p, t) in mesh.points.iter().zip(&arrival.at) {
        let exact = 0.65 * p[0] * p[0] / 6e-11;
        assert!(
            (t * MU_OVER_DP - exact * MU_OVER_DP).abs() < 0.03 * 9027.78,
            "{p:?} {t} {exact}"
        );
    }
    // Half full and long past full: then what runs on is K dp h w / (mu L) a second.
    let full = field.fill(&gates(&feeds, &ends)).time;
    let (one, two) = (
        field.wet_at(&gates(&feeds, &ends), 3.0 * full),
        field.wet_at(&gates(&feeds, &ends), 4.0 * full),
    );
    let flow = (two.outflow - one.outflow) / full;
    close(
        flow,
        3e-11 * super::THICK * 0.1 / 0.5,
        1e-6,
        "flow through a full strip",
    );
    for share in [0.15, 0.45, 0.8] {
        let wet = field.wet_at(&gates(&feeds, &ends), share * full);
        let wrong = (0..mesh.points.len())
            .filter(|&i| wet.wet[i] != (arrival.at[i] <= share * full))
            .count();
        assert!(wrong <= 2 * 17, "{wrong} of {}", mesh.points.len());
    }
}

#[test]
fn vents_along_the_far_end_cost_no_time() {
    // Until the front is there nothing leaves, so open or shut it is the strip of the law.
    for (nx, ny) in [(10, 4), (20, 6), (40, 10)] {
        let mesh = rectangle(0.5, 0.15, nx, ny, 97);
        let feeds = mesh.nodes(|p| p[0] < 1e-9);
        let vents = mesh.nodes(|p| p[0] > 0.5 - 1e-9);
        let mut field = cloth(&mesh, 3e-11, 0.65);
        let shut = field.fill(&gates(&feeds, &[])).time;
        let open = field.fill(&gates(&feeds, &vents)).time;
        let cells = nx as f64;
        close(open * MU_OVER_DP, 9027.78, 1.0 / (cells * cells), "open");
        assert!(open > shut * (1.0 - 1e-9), "{open} {shut}");
        let map = field.arrival(&gates(&feeds, &vents), 8);
        for &vent in &vents {
            close(map.at[vent as usize], open, 0.5 / cells, "a vent");
        }
    }
}

#[test]
fn vents_halfway_are_reached_when_the_front_is_there() {
    let lines = even(0.0, 0.5, 20);
    let mesh = grid(&lines, &even(0.0, 0.1, 4), |_, _| true, |_, _| true, 98);
    let feeds = mesh.nodes(|p| p[0] < 1e-9);
    let vents = mesh.nodes(|p| (p[0] - 0.25).abs() < 1e-9);
    let mut field = cloth(&mesh, 3e-11, 0.65);
    let filled = field.fill(&gates(&feeds, &vents));
    close(filled.time * MU_OVER_DP, 9027.78 / 4.0, 1e-3, "halfway");
    assert!(filled.last.is_some_and(|i| vents.contains(&(i as u32))));
}

#[test]
fn vents_next_to_the_feed_are_reached() {
    let mesh = rectangle(0.5, 0.1, 20, 4, 99);
    let feeds = mesh.nodes(|p| p[0] < 1e-9);
    let vents = mesh.nodes(|p| p[0] > 1e-9);
    let mut field = cloth(&mesh, 3e-11, 0.65);
    let filled = field.fill(&gates(&feeds, &vents));
    assert!(filled.time > 0.0 && filled.last.is_some(), "{filled:?}");
    let map = field.arrival(&gates(&feeds, &vents), 8);
    assert_eq!(map.time, filled.time);
}
