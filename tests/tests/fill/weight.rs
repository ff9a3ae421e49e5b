//! The weight of resin: upright strips by the Darcy law with gravity, and leaning fronts against the slow fill.

use super::meshes::{even, grid, rectangle};
use super::{close, gates, rms, volumes};
use bastwork::law::flow::{Rise, rise_fill_time, strip_fill_time};
use bastwork::solve::front::Field;
use bastwork::{Board, Shelf};
use serde_json::json;

/// A strip of one metre up a slope, its feed at the lower end or at the upper, with this share of the pressure at the top.
fn strip(share: f64, up: bool) -> (Field, super::Mesh, Vec<u32>) {
    let mesh = rectangle(1.0, 0.1, 120, 12, 31);
    let feeds = mesh.nodes(|p| if up { p[0] < 1e-9 } else { p[0] > 1.0 - 1e-9 });
    let heads: Vec<f64> = mesh.points.iter().map(|p| share * p[0]).collect();
    (
        Field::even(&mesh.surface(), 1.0, 1.0).weighed(&heads),
        mesh,
        feeds,
    )
}

/// Time of a rise over that of the level strip, by the law with gravity (textbook; Lucas and Washburn with weight).
fn law(share: f64, length: f64) -> f64 {
    // Resin of 1100 kg/m3: a metre straight up takes 10.79 kPa.
    let rise = Rise {
        viscosity: 0.3,
        porosity: 0.65,
        length,
        permeability: 3e-11,
        pressure: 1100.0 * 9.80665 / share.abs(),
        resin_density: 1100.0,
        slope: share.signum(),
    };
    let level = strip_fill_time(0.3, 0.65, length, 3e-11, rise.pressure).unwrap();
    rise_fill_time(&rise).unwrap() / level
}

#[test]
fn a_strip_that_climbs_or_falls() {
    // The two worked factors: 1100 kg/m3, 90 kPa, one metre.
    close(law(0.119_86, 1.0), 1.088, 5e-4, "a metre up");
    close(law(-0.119_86, 1.0), 0.927, 5e-4, "a metre down");
    for share in [0.02, 0.06, 0.12, 0.25] {
        for up in [true, false] {
            let (mut field, mesh, feeds) = strip(share, up);
            let signed = if up { share } else { -share };
            let level = Field::even(&mesh.surface(), 1.0, 1.0)
                .fill(&gates(&feeds, &[]))
                .time;
            let time = field.fill(&gates(&feeds, &[])).time;
            let wanted = law(signed, 1.0);
            close(time / level, wanted, 0.05 * (wanted - 1.0).abs(), "time");
            // On the way: after so much of the length.
            let map = field.arrival(&gates(&feeds, &[]), 10).at;
            let from = |p: &[f64; 3]| if up { p[0] } else { 1.0 - p[0] };
            let exact = |p: &[f64; 3]| {
                let way = from(p);
                if way < 1e-9 {
                    0.0
                } else {
                    law(signed, way) * way * way / 2.0
                }
            };
            let off = rms(&map, mesh.points.iter().map(exact)) / time;
            assert!(off < 0.006, "{share} {up}: {off}");
        }
    }
}

#[test]
fn level_parts_know_no_weight() {
    let (_, mesh, feeds) = strip(0.1, true);
    let plain = Field::even(&mesh.surface(), 1.0, 1.0).arrival(&gates(&feeds, &[]), 8);
    let level = vec![0.37; mesh.points.len()];
    let mut field = Field::even(&mesh.surface(), 1.0, 1.0).weighed(&level);
    assert_eq!(field.arrival(&gates(&feeds, &[]), 8).at, plain.at);
}

#[test]
fn a_front_leans_as_the_slow_fill_has_it() {
    // A plate on its side, fed along an upright edge, and an L whose arm climbs: a fifth of the pressure over the height.
    let plate = grid(
        &even(0.0, 1.0, 48),
        &even(0.0, 1.0, 48),
        |_, _| true,
        |_, _| false,
        3,
    );
    let ell = grid(
        &even(0.0, 1.0, 48),
        &even(0.0, 1.0, 48),
        |u, v| u < 0.4 || v < 0.4,
        |_, _| false,
        4,
    );
    for (mesh, feeds) in [
        (&plate, plate.nodes(|p| p[0] < 1e-9)),
        (&ell, ell.nodes(|p| p[0] > 1.0 - 1e-9)),
        (&ell, ell.nodes(|p| p[1] > 1.0 - 1e-9)),
    ] {
        let heads: Vec<f64> = mesh.points.iter().map(|p| 0.2 * p[1]).collect();
        let laid = mesh.each(|_| ([1.0, 0.0], 1.0, 1.0));
        let (_, slow) =
            volumes::under_weight(mesh, &laid, &mesh.each(|_| 1.0), &feeds, &[], &heads);
        let plain = Field::even(&mesh.surface(), 1.0, 1.0).arrival(&gates(&feeds, &[]), 8);
        let found = Field::even(&mesh.surface(), 1.0, 1.0)
            .weighed(&heads)
            .arrival(&gates(&feeds, &[]), 8);
        let off = rms(&found.at, slow.iter().copied()) / found.time;
        let without = rms(&plain.at, slow.iter().copied()) / found.time;
        // The time alone, from no map, is that of the map.
        let quick = Field::even(&mesh.surface(), 1.0, 1.0)
            .weighed(&heads)
            .fill(&gates(&feeds, &[]))
            .time;
        println!(
            "with weight {off:.4}, without {without:.4}, time alone {:+.4}",
            quick / found.time - 1.0
        );
        close(quick, found.time, 0.02, "time alone");
        assert!(off < 0.012, "{off}");
        assert!(without > 2.0 * off, "{without} against {off}");
    }
}

#[test]
fn a_shell_that_stands_takes_longer_than_the_same_one_lying() {
    // A sheet 1 m by 0.3 m, as a shell: flat on the bench, and upright with its feed at the foot.
    let mesh = rectangle(1.0, 0.3, 40, 12, 8);
    let board = |upright: bool| {
        let place = |p: &[f64; 3]| {
            if upright {
                [0.0, p[1] * 1e3, p[0] * 1e3]
            } else {
                [p[0] * 1e3, p[1] * 1e3, 0.0]
            }
        };
        let points: Vec<[f64; 3]> = mesh.points.iter().map(place).collect();
        let plan = json!({
            "format": 1, "route": "infusion",
            "part": { "shape": { "form": "shell", "points_mm": points, "triangles": mesh.corners } },
            // The same in both directions, whichever way the shell is turned.
            "stack": [{ "fabric": "flax_twill_300", "count": 2 }, { "fabric": "flax_twill_300", "count": 2, "angle_deg": 90 }],
            "room": { "altitude_m": 0 }, "bag": { "pressure_mbar_abs": 20, "flow_mesh": false, "pot_below_mm": 0 },
            "resin": {
                "name": "thin", "hardener_per_100": 30, "density_resin_g_ml": 1.15, "density_hardener_g_ml": 0.95,
                "density_cured_g_cm3": 1.15, "viscosity_mpa_s": 60, "viscosity_at_c": 25, "pot_life_min": 3000,
                "tg_ultimate_c": 90, "modulus_gpa": 3.2
            },
            "fill": { "lines": [{ "does": "feed", "points_mm": [place(&[0.0, 0.0, 0.0]), place(&[0.0, 0.3, 0.0])] }] }
        });
        Board::new(&plan, Shelf::generic())
    };
    let (mut lying, mut standing) = (board(false), board(true));
    let longer = standing.quick().unwrap().likely_min / lying.quick().unwrap().likely_min;
    // 1150 kg/m3 under 1013 - 20 mbar.
    let share = 1150.0 * 9.80665 / 99_300.0;
    close(longer - 1.0, law(share, 1.0) - 1.0, 0.15, "longer");
    let notes = standing.drawn().unwrap().notes;
    assert!(
        notes
            .iter()
            .any(|note| note.sentence.contains("takes up to 11 %")),
        "{notes:?}"
    );
}
