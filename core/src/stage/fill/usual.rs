//! The feed line that a choice of feed stands for, on a part that is drawn.

use crate::plan::{Feed, Line};
use crate::shape::Shape;
use crate::solve::surface::Triangles;
use std::collections::BTreeSet;

/// Pieces of a line that is laid onto a skin.
const PIECES: usize = 24;

/// The line for a choice of feed.
pub(super) fn usual_line(shape: &Shape, feed: Feed) -> Line {
    let (low, high) = shape.bounds();
    let half = |k: usize| (low[k] + high[k]) / 2.0;
    let points = match feed {
        Feed::Edge => vec![[low[0], low[1], half(2)], [low[0], high[1], half(2)]],
        Feed::CentreLine if high[0] - low[0] >= high[1] - low[1] => {
            vec![[low[0], half(1), half(2)], [high[0], half(1), half(2)]]
        }
        Feed::CentreLine => vec![[half(0), low[1], half(2)], [half(0), high[1], half(2)]],
        Feed::Centre => vec![[half(0), half(1), half(2)]],
        Feed::AllRound => match shape {
            Shape::Flat { outline, .. } => {
                let mut points: Vec<[f64; 3]> = outline.iter().map(|p| [p[0], p[1], 0.0]).collect();
                points.extend(points.first().copied());
                points
            }
            Shape::Shell(_) => vec![[low[0], low[1], half(2)], [low[0], high[1], half(2)]],
        },
    };
    let points = match shape {
        Shape::Flat { .. } => points,
        Shape::Shell(surface) => onto(surface, &points, half(2)),
    };
    Line {
        feeds: true,
        points,
        when_wet: false,
        clamped: true,
    }
}

/// A line laid onto a skin from above: the corner of the skin below or above each of its pieces, of several the one
/// nearest to a height.
fn onto(surface: &Triangles, line: &[[f64; 3]], height: f64) -> Vec<[f64; 3]> {
    let corners: BTreeSet<u32> = surface.corners.iter().flatten().copied().collect();
    let below = |at: [f64; 3]| -> Option<[f64; 3]> {
        let beside = |p: &[f64; 3]| ((p[0] - at[0]).hypot(p[1] - at[1]) * 1e6).round();
        let points = corners.iter().map(|&i| surface.points[i as usize]);
        points.min_by(|p, q| {
            let off = |p: &[f64; 3]| (p[2] - height).abs();
            let nearer = beside(p).total_cmp(&beside(q));
            nearer.then(off(p).total_cmp(&off(q)))
        })
    };
    let mut laid: Vec<[f64; 3]> = match line {
        [at] => below(*at).into_iter().collect(),
        _ => line
            .windows(2)
            .flat_map(|pair| {
                (0..=PIECES).map(|k| {
                    let t = k as f64 / PIECES as f64;
                    [0, 1, 2].map(|n| pair[0][n] + (pair[1][n] - pair[0][n]) * t)
                })
            })
            .filter_map(below)
            .collect(),
    };
    laid.dedup();
    laid
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A dome over a rectangle, its rim on the ground.
    fn dome(n: usize, height: f64) -> Shape {
        let at = |i: usize, j: usize| {
            let (x, y) = (i as f64 / n as f64, j as f64 / n as f64);
            let up = (std::f64::consts::PI * x).sin() * (std::f64::consts::PI * y).sin();
            [0.4 * x, 0.3 * y, height * up]
        };
        let points = (0..=n).flat_map(|i| (0..=n).map(move |j| at(i, j)));
        let cells = (0..n).flat_map(|i| (0..n).map(move |j| (i, j)));
        let corners = cells.flat_map(|(i, j)| {
            let k = |i: usize, j: usize| (i * (n + 1) + j) as u32;
            let (a, b, c, d) = (k(i, j), k(i + 1, j), k(i + 1, j + 1), k(i, j + 1));
            [[a, b, c], [a, c, d]]
        });
        Shape::Shell(Triangles::new(points.collect(), corners.collect()).unwrap())
    }

    #[test]
    fn a_feed_that_was_not_drawn_lies_on_the_skin() {
        for feed in [Feed::Edge, Feed::Centre, Feed::CentreLine, Feed::AllRound] {
            let line = usual_line(&dome(40, 0.08), feed);
            assert!(!line.points.is_empty());
            for p in &line.points {
                let [x, y] = [p[0] / 0.4, p[1] / 0.3].map(|t| (std::f64::consts::PI * t).sin());
                assert!((p[2] - 0.08 * x * y).abs() < 1e-9, "{feed:?} {p:?}");
            }
        }
        // From the edge: along all of the near rim, which lies on the ground.
        let edge = usual_line(&dome(40, 0.08), Feed::Edge).points;
        assert!(edge.iter().all(|p| p[0] == 0.0 && p[2].abs() < 1e-12));
        assert_eq!((edge[0][1], edge[edge.len() - 1][1]), (0.0, 0.3));
    }

    #[test]
    fn a_part_without_a_feed_on_it_is_told_and_never_full_at_once() {
        let part = serde_json::json!({
            "format": 1, "route": "infusion",
            "part": { "shape": { "form": "rectangle", "length_mm": 400, "width_mm": 300 } },
            "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
            "resin": "infusion_epoxy_slow",
            "fill": { "lines": [{ "does": "feed", "points_mm": [[-500, 0], [-500, 300]] }] },
        });
        let shelf = crate::Shelf::generic();
        let mut board = crate::Board::new(&part, shelf);
        let told = |problems: &[crate::Problem]| {
            problems.len() == 1 && problems[0].sentence.contains("No feed lies on the part")
        };
        assert!(told(board.problems()), "{:?}", board.problems());
        assert_eq!(board.quick(), None);
        assert!(told(&crate::sheet_from(&part, shelf).unwrap_err()));
        let beside = serde_json::json!([{ "does": "feed", "points_mm": [[0, 0], [0, 300]] }]);
        assert!(board.set_lines(&beside).is_empty() && board.problems().is_empty());
        assert!(board.quick().unwrap().likely_min > 1.0);
        assert!(told(&board.set_lines(&part["fill"]["lines"])));
    }
}
