//! The sides of a flat part, for a finger to choose from.

use crate::shape::Shape;
use crate::solve::sort::sort_by;

/// Sides that turn by less than this run on [rad].
const RUNS_ON: f64 = 0.2;
/// Most sides of one edge.
const MOST: usize = 200;

fn length(run: &[[f64; 2]]) -> f64 {
    let steps = run.windows(2);
    steps
        .map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]))
        .sum()
}

/// The sides of an outline, joined where they run on, the longest first.
fn joined(outline: &[[f64; 2]]) -> Vec<Vec<[f64; 2]>> {
    let mut edges: Vec<Vec<[f64; 2]>> = Vec::new();
    let direction = |a: [f64; 2], b: [f64; 2]| (b[1] - a[1]).atan2(b[0] - a[0]);
    for (n, &a) in outline.iter().enumerate() {
        let b = outline[(n + 1) % outline.len()];
        if let Some(run) = edges.last_mut()
            && let [.., p, q] = run[..]
        {
            let turn = (direction(a, b) - direction(p, q)).rem_euclid(std::f64::consts::TAU);
            if turn.min(std::f64::consts::TAU - turn) < RUNS_ON {
                run.push(b);
                continue;
            }
        }
        edges.push(vec![a, b]);
    }
    sort_by(&mut edges, |a, b| length(b).total_cmp(&length(a)));
    edges.truncate(MOST);
    edges
}

/// The sides of a flat part, holes included [mm].
pub(super) fn sides(shape: &Shape) -> Vec<Vec<[f64; 2]>> {
    let Shape::Flat { outline, holes } = shape else {
        return Vec::new();
    };
    let all = std::iter::once(outline)
        .chain(holes)
        .flat_map(|line| joined(line));
    all.map(|line| line.iter().map(|p| p.map(|x| x * 1e3)).collect())
        .collect()
}
