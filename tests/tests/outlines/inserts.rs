//! A part that its inserts leave nothing of.

use bastwork::{Board, Shelf};
use serde_json::{Value, json};

fn problems(zones: Value) -> Vec<(String, String)> {
    let plan = json!({
        "route": "infusion",
        "part": { "shape": { "form": "rectangle", "length_mm": 600, "width_mm": 400 } },
        "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
        "resin": {
            "name": "thin", "hardener_per_100": 30, "density_resin_g_ml": 1.15, "density_hardener_g_ml": 0.95,
            "density_cured_g_cm3": 1.15, "viscosity_mpa_s": 300, "viscosity_at_c": 25, "pot_life_min": 300,
            "tg_ultimate_c": 90, "modulus_gpa": 3.2
        },
        "fill": { "zones": zones }
    });
    let board = Board::new(&plan, Shelf::generic());
    let problems = board.problems().iter();
    problems
        .map(|problem| (problem.field.clone(), problem.sentence.clone()))
        .collect()
}

fn insert(from: f64, to: f64) -> Value {
    json!({ "lies": "insert", "points_mm": [[from, -10], [to, -10], [to, 410], [from, 410]] })
}

#[test]
fn inserts_that_cover_all_of_the_part_are_told() {
    for zones in [
        json!([insert(-10.0, 610.0)]),
        json!([insert(-10.0, 300.0), insert(290.0, 610.0)]),
    ] {
        let told = problems(zones);
        let [(field, sentence)] = told.as_slice() else {
            panic!("{told:?}");
        };
        assert_eq!(field, "fill.zones");
        assert!(
            sentence.contains("inserts cover all of the part") && sentence.contains("smaller"),
            "{sentence}"
        );
    }
    assert_eq!(problems(json!([insert(200.0, 300.0)])), []);
}
