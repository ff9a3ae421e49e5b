//! Places that are found against every place of a grid, on six shapes and more.

use super::*;
use crate::Board;
use crate::shape::{Loop, Shape};
use crate::shelf::Shelf;
use serde_json::{Value, json};

fn outline(points: &[[i32; 2]]) -> Value {
    json!({ "form": "outline", "points_mm": points })
}

fn shapes() -> Vec<(&'static str, Value)> {
    vec![
        (
            "rectangle",
            json!({ "form": "rectangle", "length_mm": 1000, "width_mm": 500 }),
        ),
        ("triangle", outline(&[[0, 0], [1000, 0], [300, 700]])),
        (
            "U",
            outline(&[
                [0, 0],
                [900, 0],
                [900, 600],
                [700, 600],
                [700, 200],
                [200, 200],
                [200, 600],
                [0, 600],
            ]),
        ),
        (
            "L",
            json!({ "form": "ell", "length_mm": 1000, "width_mm": 700, "arm_mm": 250 }),
        ),
        ("disc", json!({ "form": "disc", "diameter_mm": 800 })),
        (
            "ring",
            json!({ "form": "frame", "length_mm": 900, "width_mm": 600, "border_mm": 120 }),
        ),
        (
            "T",
            outline(&[
                [0, 0],
                [900, 0],
                [900, 200],
                [550, 200],
                [550, 700],
                [350, 700],
                [350, 200],
                [0, 200],
            ]),
        ),
    ]
}

fn plan(shape: &Value) -> Value {
    json!({
        "format": 1, "route": "infusion", "part": { "shape": shape },
        "stack": [{ "fabric": "flax_twill_300", "count": 2 }, { "fabric": "flax_twill_300", "count": 2, "angle_deg": 90 }],
        "bag": { "pressure_mbar_abs": 20, "flow_mesh": false }, "resin": "infusion_epoxy_slow", "fill": {}
    })
}

/// Stretches of a straight line across x or y that lie on a flat part, from where it crosses the sides of its outline.
fn crossing(shape: &Shape, k: usize, at: f64) -> Vec<Line> {
    let Shape::Flat { outline, holes } = shape else {
        return Vec::new();
    };
    let mut found: Vec<f64> = Vec::new();
    let all: Vec<&Loop> = std::iter::once(outline).chain(holes).collect();
    for line in all {
        for (n, a) in line.iter().enumerate() {
            let b = line[(n + 1) % line.len()];
            if (a[k] < at) != (b[k] < at) {
                found.push(a[1 - k] + (b[1 - k] - a[1 - k]) * (at - a[k]) / (b[k] - a[k]));
            }
        }
    }
    found.sort_by(f64::total_cmp);
    let place = |other: f64| {
        if k == 0 {
            [at, other, 0.0]
        } else {
            [other, at, 0.0]
        }
    };
    let pairs = found
        .chunks_exact(2)
        .filter(|pair| pair[1] - pair[0] > 0.02);
    pairs
        .map(|pair| part::feed(vec![place(pair[0]), place(pair[1])]))
        .collect()
}

/// All rising choices of so many places of a grid.
fn choices(grid: usize, count: usize) -> Vec<Vec<f64>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for before in choices(grid, count - 1) {
        for n in 1..grid {
            let share = n as f64 / grid as f64;
            if before.last().is_none_or(|last| *last < share) {
                let mut next = before.clone();
                next.push(share);
                all.push(next);
            }
        }
    }
    all
}

#[test]
fn no_place_of_a_grid_fills_much_sooner_than_those_found() {
    for (name, shape) in shapes() {
        let board = Board::new(&plan(&shape), Shelf::generic());
        let scene = board.scene.as_ref().unwrap();
        let part = Part::of(&scene.shape, scene.laid.surface(), &scene.laid.mesh.rim);
        let drawing = &scene.plan.drawing;
        let mut tries = Tries::of(drawing, &scene.shape, scene.set(), COARSE);
        let found = ways(&mut tries, &scene.ground, &part).unwrap();
        // The judge has triangles of its own.
        let mut judge = Tries::of(drawing, &scene.shape, scene.set(), 1_100);
        let (low, high) = scene.shape.bounds();
        for way in &found {
            let Places::Across(n, at) = &way.places else {
                continue;
            };
            let along = part.axes[*n].along;
            let Some(k) = (0..2).find(|&k| along[k].abs() > 0.999) else {
                continue;
            };
            let mut fine = Tries::on(scene.laid.clone());
            let (at, _) = fine
                .evened(&scene.ground, (&part, &part.axes[*n]), at, LAST_ROUNDS)
                .unwrap()
                .unwrap();
            let own = judge
                .solve(&scene.ground, &across(&part, &part.axes[*n], &at))
                .unwrap()
                .unwrap()
                .time;
            let grid = [0, 30, 14, 9][at.len()];
            let mut best = (f64::INFINITY, Vec::new());
            for shares in choices(grid, at.len()) {
                let lines: Vec<Line> = shares
                    .iter()
                    .flat_map(|share| {
                        crossing(&scene.shape, k, low[k] + (high[k] - low[k]) * share)
                    })
                    .collect();
                if let Some(solved) = judge.solve(&scene.ground, &lines).unwrap()
                    && solved.time < best.0
                {
                    best = (solved.time, shares);
                }
            }
            assert!(own < 1.05 * best.0, "{name} {}: {own} {best:?}", way.title);
        }
    }
}

#[test]
fn no_point_of_a_grid_fills_much_sooner_than_the_one_found() {
    for (name, shape) in shapes() {
        let board = Board::new(&plan(&shape), Shelf::generic());
        let scene = board.scene.as_ref().unwrap();
        let part = Part::of(&scene.shape, scene.laid.surface(), &scene.laid.mesh.rim);
        let drawing = &scene.plan.drawing;
        let mut tries = Tries::of(drawing, &scene.shape, scene.set(), COARSE);
        let (at, _) = tries.point(&scene.ground, &part).unwrap().unwrap();
        let mut judge = Tries::of(drawing, &scene.shape, scene.set(), 1_500);
        let own = judge
            .solve(&scene.ground, &[part::feed(vec![at])])
            .unwrap()
            .unwrap()
            .time;
        let (low, high) = scene.shape.bounds();
        let mut best = (f64::INFINITY, [0.0; 3]);
        for i in 1..12 {
            for j in 1..12 {
                let place =
                    [0, 1].map(|k| low[k] + (high[k] - low[k]) * f64::from([i, j][k]) / 12.0);
                let p = [place[0], place[1], 0.0];
                if crate::stage::fill::drawn::far(part.onto(p), p) > 1e-6 {
                    continue;
                }
                if let Some(solved) = judge.solve(&scene.ground, &[part::feed(vec![p])]).unwrap()
                    && solved.time < best.0
                {
                    best = (solved.time, p);
                }
            }
        }
        assert!(own < 1.05 * best.0, "{name}: {own} at {at:?}, {best:?}");
    }
}
