//! The plate against finite elements made elsewhere; loads of whole sheets against textbooks.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::law::plate::{Load, Plate, clamped, resting};
use bastwork::{Shelf, sheet_from};
use bastwork_tests::vectors::table;
use serde_json::{Value, json};

#[test]
fn plates_meet_finite_elements() {
    let mut shears = 0;
    for row in table("plate.csv") {
        let (length, width) = (row.x("a"), row.x("b"));
        let plate = Plate {
            length,
            width,
            d11: row.x("d11"),
            d12: row.x("d12"),
            d22: row.x("d22"),
            d66: row.x("d66"),
            shear_x: row.x("sx"),
            shear_y: row.x("sy"),
        };
        let (u, v) = (row.x("u"), row.x("v"));
        let load = if u == length && v == width {
            Load::Pressure(row.x("q"))
        } else {
            Load::Patch {
                force: row.x("q") * u * v,
                length: u,
                width: v,
            }
        };
        let bend = if row.x("clamped") > 0.5 {
            clamped
        } else {
            resting
        };
        let b = bend(&plate, &load).unwrap();
        let close = |got: f64, column: &str, allowed: f64| {
            let wanted = row.x(column);
            assert!(
                (got - wanted).abs() <= allowed,
                "{column}: got {got}, expected {wanted} in {row:?}"
            );
        };
        close(b.deflection, "deflection", 0.003 * row.x("deflection"));
        // Moments are measured by the largest one.
        let [middle, edge_x, edge_y, corner, quarter_x, quarter_y] = b.places;
        let moments = [
            (middle.x, "middle_x"),
            (middle.y, "middle_y"),
            (edge_x.x, "edge_x"),
            (edge_y.y, "edge_y"),
            (corner.xy, "corner_xy"),
            (quarter_x.x, "quarter_x_x"),
            (quarter_x.y, "quarter_x_y"),
            (quarter_y.x, "quarter_y_x"),
            (quarter_y.y, "quarter_y_y"),
        ];
        let largest = moments
            .iter()
            .fold(0.0_f64, |most, (_, name)| most.max(row.x(name).abs()));
        for (got, name) in moments {
            close(got, name, 0.005 * largest);
        }
        // The thin elements give no shear force.
        if row.x("sx").is_finite() {
            close(b.shear_x, "shear_x", 0.02 * row.x("shear_x"));
            close(b.shear_y, "shear_y", 0.02 * row.x("shear_y"));
            shears += 1;
        }
    }
    assert!(shears >= 10, "{shears}");
}

/// The sheet of a part 600 by 500 mm under a load, as JSON.
fn loaded(stack: &Value, load: &Value) -> Value {
    let plan = json!({ "format": 1, "part": { "area_m2": 0.3, "flow_length_mm": 200 }, "bag": { "flow_mesh": true }, "stack": stack, "load": load });
    let sheet = sheet_from(&plan, Shelf::generic()).unwrap();
    serde_json::to_value(sheet).unwrap()["stack"].take()
}

fn likely(figure: &Value) -> f64 {
    figure["likely"].as_f64().unwrap()
}

/// Bending stiffness of the sheet's laminate: D11, D12, D22, D66 [N m].
fn bending(stack: &Value) -> [f64; 4] {
    let d = &stack["stiffness_matrices"]["d_n_mm"];
    [(0, 0), (0, 1), (1, 1), (2, 2)].map(|(i, j)| d[i][j].as_f64().unwrap() / 1000.0)
}

#[test]
fn a_pushed_laminate_buckles_as_textbooks_have_it() {
    // Timoshenko and Gere 1961, Theory of Elastic Stability: a strip that may turn at its ends; an orthotropic plate
    // resting on four edges, the least over half waves (from memory).
    let four = json!([{ "fabric": "flax_twill_300", "count": 4 }]);
    let push = |sides: &str| json!({ "case": "edge", "length_mm": 600, "width_mm": 500, "edge_n_mm": -5, "sides": sides });
    let (length, width) = (0.6_f64, 0.5_f64);
    let squared = std::f64::consts::PI.powi(2);

    let strip = loaded(&four, &push("free"));
    let [d11, d12, d22, d66] = bending(&strip);
    let euler = squared * (d11 - d12 * d12 / d22) / length.powi(2) / 1000.0;
    let held = loaded(&four, &push("held"));
    let waves = |m: f64| {
        let side = m * width / length;
        squared / width.powi(2)
            * (d11 * side.powi(2) + 2.0 * (d12 + 2.0 * d66) + d22 / side.powi(2))
            / 1000.0
    };
    let plate = (1..6).map(|m| waves(f64::from(m))).fold(f64::MAX, f64::min);
    for (stack, textbook) in [(&strip, euler), (&held, plate)] {
        let load = &stack["load"];
        let told = likely(&load["buckling_n_mm"]);
        assert!(
            (told / textbook - 1.0).abs() < 0.01,
            "{told} for {textbook}"
        );
        // 5 N/mm is more than either bears; what a real part bears lies below a flat one, and that is the reserve told.
        let reserve = likely(&load["reserve"]);
        assert!(reserve < textbook / 5.0, "{reserve} of {textbook}");
        let sentence = load["sentence"].as_str().unwrap();
        assert!(
            sentence.contains("buckle") && sentence.contains("does not keep"),
            "{sentence}"
        );
        assert!(load["weakest"].as_str().unwrap().contains("buckling"));
    }
}

#[test]
fn a_core_that_shears_buckles_sooner_than_its_stiffness_says() {
    // Engesser 1891: 1 / N is the sum over bending and shear (from memory), so the load lies below Euler's.
    let stack = json!([{ "fabric": "flax_twill_300", "count": 2 }, { "fabric": "cork_5", "count": 1 }, { "fabric": "flax_twill_300", "count": 2 }]);
    let pushed = loaded(
        &stack,
        &json!({ "case": "edge", "length_mm": 600, "width_mm": 500, "edge_n_mm": -20 }),
    );
    let [d11, d12, d22, _] = bending(&pushed);
    let euler = std::f64::consts::PI.powi(2) * (d11 - d12 * d12 / d22) / 0.36 / 1000.0;
    let told = likely(&pushed["load"]["buckling_n_mm"]);
    assert!(
        told < 0.995 * euler && told > 0.5 * euler,
        "{told} under {euler}"
    );
    assert!(likely(&pushed["load"]["reserve"]) < 1.0);
}

#[test]
fn a_face_on_one_side_of_a_core_gives_as_its_neutral_plane_has_it() {
    // Two plies on balsa: D - B A^-1 B, not D (Ashton 1969, reduced bending stiffness, from memory). The load is small
    // enough for small give; a plate resting on four edges, Navier's first term holds it to some percent.
    let stack =
        json!([{ "fabric": "flax_twill_300", "count": 2 }, { "fabric": "balsa_10", "count": 1 }]);
    let told = loaded(
        &stack,
        &json!({ "case": "pressure", "held": "resting", "length_mm": 600, "width_mm": 500, "pressure_kpa": 1, "limit_mm": 5 }),
    );
    let at =
        |name: &str, i: usize, j: usize| told["stiffness_matrices"][name][i][j].as_f64().unwrap();
    // Without coupling of stretch and shear, each entry by Cramer's rule in the two by two of along and across.
    let (a, b) = (
        [
            [at("a_n_mm", 0, 0), at("a_n_mm", 0, 1)],
            [at("a_n_mm", 1, 0), at("a_n_mm", 1, 1)],
        ],
        [
            [at("b_n", 0, 0), at("b_n", 0, 1)],
            [at("b_n", 1, 0), at("b_n", 1, 1)],
        ],
    );
    let det = a[0][0] * a[1][1] - a[0][1] * a[1][0];
    let inverse = [
        [a[1][1] / det, -a[0][1] / det],
        [-a[1][0] / det, a[0][0] / det],
    ];
    let reduced = |i: usize, j: usize| {
        let sum: f64 = (0..2)
            .flat_map(|k| (0..2).map(move |l| (k, l)))
            .map(|(k, l)| b[i][k] * inverse[k][l] * b[l][j])
            .sum();
        (at("d_n_mm", i, j) - sum) / 1000.0
    };
    let d66 = (at("d_n_mm", 2, 2) - at("b_n", 2, 2).powi(2) / at("a_n_mm", 2, 2)) / 1000.0;
    let (x, y) = (1.0 / 0.6_f64, 1.0 / 0.5_f64);
    let stiff = reduced(0, 0) * x.powi(4)
        + 2.0 * (reduced(0, 1) + 2.0 * d66) * (x * y).powi(2)
        + reduced(1, 1) * y.powi(4);
    let give = 16.0 * 1000.0 / std::f64::consts::PI.powi(6) / stiff * 1000.0;
    let got = likely(&told["load"]["deflection_mm"]);
    assert!((got / give - 1.0).abs() < 0.06, "{got} for {give}");
}
