//! Mesh over cloth as one layer, and its lag, against a fill of both layers seen from the side.

use super::meshes::rectangle;
use super::{MU_OVER_DP, gates};
use bastwork::law::flow_mesh::{Meshed, fill_time, lag, reach};
use bastwork::solve::front::Field;
use bastwork_tests::vectors::{Row, table};

/// How near the two have to be.
const SHARE: f64 = 0.10;
/// How much longer the closed form may make the lag where resin also flows along the laminate, which it leaves out: that
/// errs on the safe side.
const LONG: f64 = 0.15;

pub(crate) fn stack(row: &Row) -> Meshed {
    Meshed {
        mesh_thickness: row.x("mesh_thickness"),
        mesh_permeability: row.x("mesh_permeability"),
        mesh_porosity: row.x("mesh_porosity"),
        laminate_thickness: row.x("laminate_thickness"),
        laminate_permeability: row.x("laminate_permeability"),
        through_permeability: row.x("through_permeability"),
        laminate_porosity: row.x("laminate_porosity"),
    }
}

fn near(got: f64, wanted: f64, row: &Row, what: &str) {
    let off = got / wanted - 1.0;
    println!(
        "{what}: {got:.4} against {wanted:.4}, {:+.1} %",
        100.0 * off
    );
    assert!(
        off.abs() <= SHARE,
        "{what}: {got} against {wanted}\n{row:?}"
    );
}

#[test]
fn the_front_in_the_mesh_and_the_lag_below_it() {
    // Both layers in a plane along the flow, one cell filling after the other: cases/vectors/make_fill.py.
    let rows = table("fill_layers.csv");
    assert!(rows.len() >= 5);
    for row in rows {
        let stack = stack(&row);
        // Times are per unit of mu / dp there.
        for (column, length) in [("time_half", row.x("half")), ("time_far", row.x("far"))] {
            let (top, _) = reach(&stack, 0.3, row.x(column) * MU_OVER_DP, 9e4).unwrap();
            near(top, length, &row, column);
        }
        let law = lag(&stack).unwrap();
        near(
            law,
            row.x("lag_across_only"),
            &row,
            "lag, no flow along the laminate",
        );
        let long = law / row.x("lag_far") - 1.0;
        println!("lag with flow along the laminate: {:+.1} %", 100.0 * long);
        assert!(long > -0.02 && long < LONG, "{long}: {row:?}");
    }
}

#[test]
fn a_zone_of_mesh_on_the_drawn_part_is_that_one_layer() {
    // A strip all under mesh: conductance and store of both layers together, one layer of h1 + h2.
    for row in table("fill_layers.csv") {
        let stack = stack(&row);
        let far = row.x("far");
        let conduct = stack.mesh_thickness * stack.mesh_permeability
            + stack.laminate_thickness * stack.laminate_permeability;
        let hold = stack.mesh_thickness * stack.mesh_porosity
            + stack.laminate_thickness * stack.laminate_porosity;
        let mesh = rectangle(far, far / 5.0, 60, 12, 98);
        let feeds = mesh.nodes(|p| p[0] < 1e-9);
        let time = Field::even(&mesh.surface(), conduct, hold)
            .fill(&gates(&feeds, &[]))
            .time;
        let (top, _) = fill_time(&stack, 0.3, far, 9e4).unwrap();
        let top = top / MU_OVER_DP;
        assert!((time / top - 1.0).abs() < 1e-3, "{time} {top}");
        // Length goes as the root of time.
        near((row.x("time_far") / time).sqrt(), 1.0, &row, "drawn");
    }
}
