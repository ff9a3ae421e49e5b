//! What lies where: balanced cloth has no favourite corner.

use super::gates;
use super::meshes::{Mesh, rectangle};
use bastwork::law::permeability::biaxial;
use bastwork::solve::front::Field;
use bastwork::solve::surface::Tensor;
use bastwork::{Board, Shelf};
use serde_json::{Value, json};

fn plan(fabric: &str, angle: f64) -> Value {
    json!({
        "format": 1, "route": "infusion",
        "part": { "shape": { "form": "rectangle", "length_mm": 600, "width_mm": 400 } },
        "stack": [{ "fabric": fabric, "count": 4, "angle_deg": angle }],
        "resin": "infusion_epoxy_slow",
        "fill": { "lines": [{ "does": "feed", "points_mm": [[0, 0], [0, 400]] }] },
    })
}

/// Time to fill a rectangle from a line along one end [min].
fn minutes(plan: &Value) -> f64 {
    let mut board = Board::new(plan, Shelf::generic());
    assert!(board.problems().is_empty(), "{:?}", board.problems());
    board.quick().unwrap().likely_min
}

#[test]
fn a_stitched_biaxial_fills_alike_at_every_angle() {
    // Two layers at right angles: the sum of their tensors turns into itself.
    for fabric in ["flax_biaxial_300", "glass_biaxial_450"] {
        let straight = minutes(&plan(fabric, 0.0));
        for angle in [90.0, 45.0, -45.0, 20.0] {
            let turned = minutes(&plan(fabric, angle));
            assert!(
                (turned / straight - 1.0).abs() < 1e-9,
                "{fabric} at {angle}: {turned} against {straight}"
            );
        }
    }
}

/// What lies in the mirror has the same times, to the last figures.
#[test]
fn balanced_cloth_fills_its_mirror_alike() {
    let k = biaxial(4e-11, 1e-11, 0.0).unwrap();
    let middle = f64::midpoint(k.xx, k.yy);
    let apart = ((k.xx - k.yy) / 2.0).hypot(k.xy);
    let angle = 0.5 * (2.0 * k.xy).atan2(k.xx - k.yy);
    let tensor = Tensor {
        along: [angle.cos(), angle.sin(), 0.0],
        first: (middle + apart) / middle,
        second: (middle - apart) / middle,
    };
    let mesh = rectangle(0.6, 0.4, 30, 20, 41);
    let feeds = [mesh.nearest([0.2, 0.1])];
    let times = |mesh: &Mesh| {
        let count = mesh.corners.len();
        let laid = Field::new(
            &mesh.surface(),
            &vec![tensor; count],
            &vec![1.0; count],
            &[],
        );
        let mut laid = laid;
        laid.fill(&gates(&feeds, &[])).bound
    };
    let straight = times(&mesh);
    let mut other = mesh.moved(|[x, y, z]| [x, 0.4 - y, z]);
    for corners in &mut other.corners {
        corners.swap(1, 2);
    }
    let most = straight.iter().copied().fold(0.0, f64::max);
    for (one, two) in straight.iter().zip(times(&other)) {
        assert!((one - two).abs() < 1e-9 * most, "{one} {two}");
    }
}

#[test]
fn a_symmetric_part_in_balanced_cloth_fills_symmetrically() {
    // From a point in the middle of a rectangle all corners are wet at one time, but for the triangles.
    let mut plan = plan("flax_biaxial_300", 0.0);
    plan["fill"]["lines"] = json!([{ "does": "feed", "points_mm": [[300, 200]] }]);
    let mut board = Board::new(&plan, Shelf::generic());
    let (points, at) = (board.points(), board.arrival());
    let corner = |[x, y]: [f32; 2]| {
        let near = |p: &[f32]| (p[0] - x).hypot(p[1] - y);
        let found = points.chunks(3).zip(&at);
        let best = found.min_by(|a, b| near(a.0).total_cmp(&near(b.0)));
        f64::from(*best.unwrap().1)
    };
    let corners = [[0.0, 0.0], [600.0, 0.0], [0.0, 400.0], [600.0, 400.0]].map(corner);
    for time in corners {
        assert!((time / corners[1] - 1.0).abs() < 0.03, "{corners:?}");
    }
}

#[test]
fn fewer_plies_in_a_zone_are_a_thinner_stack() {
    // Where the zone is all of the part, it fills as the thinner stack does: one cloth conducts as it holds.
    let fill = |zones: Value| {
        let mut plan = plan("flax_twill_300", 0.0);
        // Nothing but the cloth, so that a thinner stack takes as long as a thick one.
        plan["bag"] = json!({ "feed_tube_m": 0, "spiral_m": 0, "pot_below_mm": 0 });
        plan["fill"]["zones"] = zones;
        plan
    };
    let zone = |count: i32, to: i32| json!([{ "lies": "plies", "count": count, "points_mm": [[-1, -1], [to, -1], [to, 401], [-1, 401]] }]);
    let whole = minutes(&fill(json!([])));
    let thin = minutes(&fill(zone(-2, 601)));
    assert!((thin / whole - 1.0).abs() < 1e-6, "{thin} {whole}");
    // Half the stack on the first half of the way: two strips in series with half the conductance and store first.
    // Resin that thickens makes it more than that. c1 L^2 / (2 a1) + c2 L (L / a1 + L / (2 a2)), a and c halved in the first: (1/2 + 2 + 1/2) against 2 for L + L.
    let half = minutes(&fill(zone(-2, 300)));
    assert!((1.5..1.72).contains(&(half / whole)), "{half} {whole}");
    // A second cloth goes first, from the last row.
    let mut two = fill(zone(-2, 601));
    two["stack"] = json!([{ "fabric": "flax_twill_300", "count": 4 }, { "fabric": "flax_mat_350", "count": 2 }]);
    assert!((minutes(&two) / whole - 1.0).abs() < 1e-3);
    let problems = Board::new(&fill(zone(-4, 300)), Shelf::generic())
        .problems()
        .to_vec();
    assert!(
        problems
            .iter()
            .any(|p| p.sentence.contains("leaves out all the plies"))
    );
}
