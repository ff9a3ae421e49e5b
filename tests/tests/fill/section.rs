//! Flow mesh over a laminate: the laws and the drawn part against a section of both layers along the flow.

use super::layers::stack;
use super::meshes::{even, grid};
use super::{MU_OVER_DP, gates};
use bastwork::law::flow_mesh::{bottom_lag, closed_end, fill_time, open_end, reach, short_mesh};
use bastwork::solve::front::Field;
use bastwork::solve::surface::Tensor;
use bastwork::{Board, Shelf, sheet_from};
use bastwork_tests::vectors::table;
use serde_json::{Value, json};

fn near(got: f64, wanted: f64, share: f64, what: &str) {
    let off = got / wanted - 1.0;
    println!("{what}: {:+.1} %", 100.0 * off);
    assert!(off.abs() <= share, "{what}: {got} against {wanted}");
}

#[test]
fn the_end_of_a_mesh_clamped_open_and_short() {
    // Finite volumes and a direct solve: cases/vectors/make_mesh_section.py; times per unit of mu / dp.
    let rows = table("mesh_section.csv");
    assert!(rows.len() >= 15);
    for row in rows {
        let stack = stack(&row);
        let length = row.x("length");
        let what = |of: &str| format!("{of}, {} plies, {length} m", row.x("plies"));
        let (top, clamped) = fill_time(&stack, 0.3, length, 9e4).unwrap();
        near(
            clamped / MU_OVER_DP,
            row.x("time_clamped"),
            0.06,
            &what("clamped"),
        );
        let soak = closed_end(&stack, 0.3, 9e4).unwrap();
        let open = top + soak * open_end(&stack, 1.0 / length).unwrap();
        near(open / MU_OVER_DP, row.x("time_open"), 0.035, &what("open"));
        // With the edge of the laminate open as well it is a little more, never less.
        let edge = row.x("time_open_edge") / row.x("time_open");
        assert!((1.0..1.1).contains(&edge), "{edge}");
        let short = short_mesh(&stack, 0.3, length, row.x("end"), 9e4).unwrap();
        near(
            short / MU_OVER_DP,
            row.x("time_short"),
            0.06,
            &what("short"),
        );
    }
}

#[test]
fn the_bottom_on_the_way_to_the_end() {
    for row in table("mesh_section.csv") {
        let stack = stack(&row);
        let length = row.x("length");
        let (_, end) = fill_time(&stack, 0.3, length, 9e4).unwrap();
        for (column, share) in [("bottom_half", 0.5), ("bottom_three_quarters", 0.75)] {
            // The front has to be so far on, unless all is full before.
            let on = share * length + bottom_lag(&stack).unwrap();
            let (one, _) = reach(&stack, 0.3, 1.0, 9e4).unwrap();
            let time = ((on / one).powi(2)).min(end) / MU_OVER_DP;
            let off = (time - row.x(column)) / row.x("time_clamped");
            println!("{column} {length}: {:+.1} % of the fill", 100.0 * off);
            assert!(off.abs() < 0.12, "{column}: {off}\n{row:?}");
        }
    }
}

#[test]
fn a_second_solver_of_the_section_agrees() {
    // The core's own triangles, stood on edge: another discretisation than the vectors.
    for row in table("mesh_section.csv").into_iter().step_by(4) {
        let of = stack(&row);
        let (h1, h2, length) = (of.mesh_thickness, of.laminate_thickness, row.x("length"));
        let mut heights = even(0.0, h2, 12);
        heights.extend(even(h2, h2 + h1, 2).into_iter().skip(1));
        let columns = (length / 4e-3).round() as usize;
        let mesh = grid(
            &even(0.0, length, columns),
            &heights,
            |_, _| true,
            |_, _| true,
            5,
        );
        let count = mesh.corners.len();
        let above = |t: usize| mesh.middle(t)[1] > h2;
        let tensor = |t: usize| {
            let (first, second) = if above(t) {
                (of.mesh_permeability, of.mesh_permeability)
            } else {
                (of.laminate_permeability, of.through_permeability)
            };
            Tensor {
                along: [1.0, 0.0, 0.0],
                first,
                second,
            }
        };
        let hold = |t: usize| {
            if above(t) {
                of.mesh_porosity
            } else {
                of.laminate_porosity
            }
        };
        let tensors: Vec<Tensor> = (0..count).map(tensor).collect();
        let holds: Vec<f64> = (0..count).map(hold).collect();
        let mut field = Field::new(&mesh.surface(), &tensors, &holds, &[]);
        let feeds = mesh.nodes(|p| p[0] < 1e-9 && p[1] > h2 - 1e-9);
        let clamped = field.fill(&gates(&feeds, &[])).time;
        near(clamped, row.x("time_clamped"), 0.02, "clamped, triangles");
        let vents = mesh.nodes(|p| p[0] > length - 1e-9 && p[1] > h2 - 1e-9);
        let open = field.fill(&gates(&feeds, &vents)).time;
        near(open, row.x("time_open"), 0.06, "open, triangles");
    }
}

fn plan(count: u32, fill: Value, mesh: bool) -> Value {
    json!({
        "format": 1, "route": "infusion",
        "part": { "shape": { "form": "rectangle", "length_mm": 600, "width_mm": 300 } },
        "stack": [{ "fabric": "flax_twill_300", "count": count }],
        "bag": { "pressure_mbar_abs": 15, "flow_mesh": mesh },
        "resin": "infusion_epoxy_slow", "fill": fill,
    })
}

fn time(plan: &Value) -> f64 {
    sheet_from(plan, Shelf::generic())
        .unwrap()
        .fill
        .unwrap()
        .time_min
        .likely
}

#[test]
fn a_mesh_drawn_as_a_zone_is_the_mesh_of_the_strip() {
    let feed = json!([{ "does": "feed", "points_mm": [[0, 0], [0, 300]] }]);
    let all =
        json!([{ "lies": "mesh", "points_mm": [[-1, -1], [601, -1], [601, 301], [-1, 301]] }]);
    for count in [4, 16, 24] {
        let drawn = plan(count, json!({ "lines": feed }), true);
        let zone = plan(count, json!({ "lines": feed, "zones": all }), false);
        // The same in words: a strip of that run.
        let mut strip = drawn.clone();
        strip["part"] = json!({ "area_m2": 0.18, "flow_length_mm": 600 });
        let times = [time(&drawn), time(&zone), time(&strip)];
        for other in &times[1..] {
            assert!((other / times[0] - 1.0).abs() < 0.01, "{count}: {times:?}");
        }
        // The board tells the sheet's time.
        for plan in [&drawn, &zone] {
            let mut board = Board::new(plan, Shelf::generic());
            let quick = board.quick().unwrap().likely_min;
            assert!((quick / times[0] - 1.0).abs() < 0.01, "{quick} {times:?}");
            let last = board.arrival().iter().copied().fold(0.0, f32::max);
            assert!(
                (f64::from(last) / quick - 1.0).abs() < 0.01,
                "{last} {quick}"
            );
        }
    }
}

#[test]
fn a_vent_left_open_under_a_mesh_costs_what_the_law_says() {
    let lines = |closed: bool| {
        json!({ "lines": [
            { "does": "feed", "points_mm": [[0, 0], [0, 300]] },
            { "does": "vent", "closed": closed, "points_mm": [[600, 0], [600, 300]] },
        ] })
    };
    let (shut, open) = (
        time(&plan(8, lines(true), true)),
        time(&plan(8, lines(false), true)),
    );
    println!("{shut} {open}");
    assert!(open > 1.1 * shut && open < 2.0 * shut, "{shut} {open}");
}
