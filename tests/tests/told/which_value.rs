//! Where typed values leave together what can be computed, those that lead there are told as they were typed.

use super::plan;
use bastwork::{Problem, Shelf, sheet_from};
use serde_json::{Value, json};

fn problem(more: &Value) -> Problem {
    let mut problems = sheet_from(&plan(more), Shelf::generic()).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:?}");
    problems.remove(0)
}

#[test]
fn a_count_of_pots_without_end_is_told_by_the_part_and_the_pot() {
    let problem = problem(&json!({
        "mix": { "largest_pot_g": 20 },
        "part": { "area_m2": 500, "flow_length_mm": 300 },
    }));
    assert_eq!(problem.field, "part.area_m2");
    let words = [
        "Area of the part, 500\u{a0}m², to less",
        "Largest pot you want to mix, 20\u{a0}g, to more",
    ];
    for word in words {
        assert!(problem.sentence.contains(word), "{problem:?}");
    }
}

#[test]
fn a_speed_that_no_tool_runs_is_told_by_its_diameter() {
    let problem = problem(&json!({
        "trim": { "tool": "cutting_disc_75", "diameter_mm": 0.5, "marked_m_s": 100 },
    }));
    assert_eq!(problem.field, "trim.diameter_mm");
    assert!(
        problem.sentence.contains("0.5\u{a0}mm, to more"),
        "{problem:?}"
    );
    assert!(!problem.sentence.contains("rpm"), "{problem:?}");
}

/// A single number is read with what one may be off by: its draws stay within what may be typed.
#[test]
fn what_may_be_typed_can_be_computed_at_its_very_end() {
    let resin = json!({
        "name": "Own resin", "density_cured_g_cm3": 1.1, "density_hardener_g_ml": 0.7, "density_resin_g_ml": 0.7,
        "hardener_per_100": 30, "modulus_gpa": 3, "pot_life_c": 25, "pot_life_g": 100, "pot_life_meaning": "gel",
        "pot_life_min": 90, "tg_ultimate_c": 80, "viscosity_at_c": 25, "viscosity_mpa_s": 300,
    });
    let sheet = sheet_from(&plan(&json!({ "resin": resin })), Shelf::generic());
    assert!(sheet.is_ok(), "{sheet:?}");
}
