//! The product against the outside world: every row of every case file, and the tables of outside values.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::law::cure::{self, INFUSION_AMINE, Resin};
use bastwork::law::{atmosphere, cut_heat, flow, flow_mesh, water_vapour};
use bastwork_tests::cases::{self, Grade, told};
use bastwork_tests::vectors::table;
use std::collections::BTreeSet;

/// Fewer rows than this means that a file was lost.
const LEAST_ROWS: usize = 130;

#[test]
fn every_row_holds() {
    let rows = cases::all();
    let failed: Vec<String> = rows
        .iter()
        .filter_map(|(file, case)| {
            let wrong = case.run();
            (!wrong.is_empty()).then(|| told(file, case, &wrong))
        })
        .collect();
    assert!(
        rows.len() >= LEAST_ROWS,
        "only {} rows ran, of at least {LEAST_ROWS}",
        rows.len()
    );
    assert!(
        failed.is_empty(),
        "{} of {} rows do not hold:\n\n{}",
        failed.len(),
        rows.len(),
        failed.join("\n")
    );
}

#[test]
fn every_stage_and_grade_is_checked() {
    let rows = cases::all();
    let names: BTreeSet<&str> = rows.iter().map(|(_, case)| case.name.as_str()).collect();
    assert_eq!(names.len(), rows.len(), "two rows have one name");
    let count = |grade: Grade| rows.iter().filter(|(_, case)| case.grade == grade).count();
    for (grade, least) in [
        (Grade::Read, 40),
        (Grade::Practice, 10),
        (Grade::Memory, 20),
        (Grade::Definition, 10),
    ] {
        assert!(count(grade) >= least, "{grade:?}: {}", count(grade));
    }
    for stage in ["stack.", "dry.", "mix.", "fill.", "cure.", "trim."] {
        let asked = |case: &cases::Case| {
            case.ask == "sheet" && case.expect.keys().any(|path| path.starts_with(stage))
        };
        assert!(rows.iter().any(|(_, case)| asked(case)), "{stage}");
    }
}

#[test]
fn every_known_gap_is_still_one() {
    let path = cases_dir().join("known_gaps.toml");
    let closed: Vec<String> = cases::read(&path)
        .iter()
        .filter(|case| case.run().is_empty())
        .map(|case| case.name.clone())
        .collect();
    assert!(
        closed.is_empty(),
        "these rows hold now; move them from known_gaps.toml to the file of their stage: {closed:#?}"
    );
}

use bastwork_tests::cases_dir;

fn close(got: f64, wanted: f64, rel: f64, abs: f64, what: &str) {
    let off = (got - wanted).abs();
    assert!(
        off <= rel * wanted.abs() + abs,
        "{what}: got {got}, expected {wanted}"
    );
}

#[test]
fn saturation_pressure_meets_two_libraries() {
    for row in table("saturation_pressure.csv") {
        let got = water_vapour::saturation_pressure(row.x("t_c") + 273.15).unwrap();
        close(got, row.x("p_pa"), 3e-4, 0.0, &format!("{row:?}"));
    }
}

#[test]
fn standard_pressure_meets_a_library() {
    let mut seen = 0;
    for row in table("standard_pressure.csv") {
        // The law ends above the highest shop.
        if let Ok(got) = atmosphere::standard_pressure(row.x("altitude_m")) {
            close(got, row.x("p_pa"), 1e-5, 0.0, &format!("{row:?}"));
            seen += 1;
        } else {
            assert!(row.x("altitude_m") > 5000.0, "{row:?}");
        }
    }
    assert!(seen >= 15, "{seen}");
}

#[test]
fn cure_meets_an_integration_made_elsewhere() {
    let resin = Resin {
        kinetics: INFUSION_AMINE,
        speed: 1.0,
        tg_ultimate: 364.15,
    };
    for row in table("cure_isothermal.csv") {
        let seconds = row.x("t_h") * 3600.0;
        let track =
            cure::isothermal_cure(&resin, row.x("temperature_c") + 273.15, seconds).unwrap();
        let conversion = track.end().1[0];
        close(
            conversion,
            row.x("conversion"),
            1e-4,
            2e-5,
            &format!("{row:?}"),
        );
        let glass = INFUSION_AMINE.glass.unwrap();
        let tg = cure::glass_transition(glass, 364.15, conversion.clamp(0.0, 1.0)).unwrap();
        close(
            tg - 273.15,
            row.x("glass_transition_c"),
            0.0,
            0.02,
            &format!("{row:?}"),
        );
    }
}

#[test]
fn band_of_heat_meets_a_quadrature_made_elsewhere() {
    for row in table("band_source.csv") {
        let length = row.x("half_length");
        let got = cut_heat::band_peak(length).unwrap();
        close(got, row.x("theta_max"), 1e-6, 0.0, &format!("{row:?}"));
        let place = cut_heat::band_peak_position(length).unwrap();
        close(
            place,
            row.x("position_over_half_length"),
            0.0,
            2e-4,
            &format!("{row:?}"),
        );
    }
}

#[test]
fn lag_under_a_mesh_meets_an_integration_made_elsewhere() {
    for row in table("mesh_lag.csv") {
        let got = flow_mesh::lag_factor(row.x("R")).unwrap();
        close(got, row.x("f"), 1e-5, 0.0, &format!("{row:?}"));
    }
}

#[test]
fn rectangle_fed_all_round_meets_finite_differences() {
    for row in table("rectangle.csv") {
        let part = flow::Perimeter {
            viscosity: 0.3,
            porosity: 0.65,
            pressure: 9e4,
            length: 0.5,
            width: 0.5 * row.x("ratio"),
            permeability_along: 3e-11,
            permeability_across: 3e-11,
        };
        let scale = 0.3 * 0.65 * 0.5 * 0.5 / (3e-11 * 9e4);
        let got = flow::rectangle_fill_time(&part).unwrap() / scale;
        close(got, row.x("centre"), 2e-6, 0.0, &format!("{row:?}"));
    }
}

#[test]
fn soft_bag_meets_a_boundary_value_solver() {
    for row in table("bag_factor.csv") {
        let got = flow::bag_compaction_factor(
            row.x("fibre_fraction"),
            row.x("exponent"),
            row.x("permeability_exponent"),
            row.x("pressure_share"),
        )
        .unwrap();
        close(got, row.x("factor"), 0.0, 5e-4, &format!("{row:?}"));
    }
}
