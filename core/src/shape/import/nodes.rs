//! Finds the points that line ends have in common.

use kurbo::Point;
use std::collections::HashMap;

/// Points that stand for all within a tolerance of them.
pub(super) struct Nodes {
    tolerance: f64,
    pub(super) at: Vec<Point>,
    /// Cells of twice the tolerance: as nodes are farther apart than it, a cell holds a few at most.
    cells: HashMap<(i64, i64), Vec<usize>>,
}

impl Nodes {
    pub(super) fn new(tolerance: f64) -> Self {
        Self {
            tolerance,
            at: Vec::new(),
            cells: HashMap::new(),
        }
    }

    /// The node at a point; a new one where none is near enough.
    pub(super) fn of(&mut self, p: Point) -> usize {
        let cell = |x: f64| (x / (2.0 * self.tolerance)).floor() as i64;
        let (low, high) = (
            (cell(p.x - self.tolerance), cell(p.y - self.tolerance)),
            (cell(p.x + self.tolerance), cell(p.y + self.tolerance)),
        );
        let mut best: Option<(f64, usize)> = None;
        for x in low.0..=high.0 {
            for y in low.1..=high.1 {
                for &node in self.cells.get(&(x, y)).into_iter().flatten() {
                    let off = self.at.get(node).map_or(f64::INFINITY, |q| q.distance(p));
                    if off <= self.tolerance && best.is_none_or(|(least, _)| off < least) {
                        best = Some((off, node));
                    }
                }
            }
        }
        if let Some((_, node)) = best {
            return node;
        }
        let node = self.at.len();
        self.at.push(p);
        self.cells
            .entry((cell(p.x), cell(p.y)))
            .or_default()
            .push(node);
        node
    }
}
