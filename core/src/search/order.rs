//! The inner search: the best order of the plies picked, from the face inwards.

use super::keep::Mark;
use super::pick::Search;
use super::space::Middle;
use super::sums::Six;
use super::table::{Flat, share};

/// Headroom for rounding when a bound on the score is compared with one reached.
const ROUNDING: f64 = 1e-9;

/// A half stack grown from the face inwards.
struct Growth {
    /// How many of each choice are still to be laid.
    counts: Vec<u32>,
    /// Choices laid, from the face inwards.
    laid: Vec<usize>,
    /// The stack to come before, or the best order so far.
    mark: Option<Mark>,
    /// Whether `mark` is an order of this pick.
    found: bool,
    /// Whether the figures that all orders share are written down for the expensive test.
    told: bool,
}

/// Where the inner edge of the plies laid stands.
#[derive(Clone, Copy)]
pub(super) struct Edge {
    z: f64,
    cube: f64,
    /// D of the middle and the plies laid, both halves [Pa m3].
    pub(super) d: Six,
    /// The kind of the innermost layer and how many of it lie in a row.
    run: (usize, u32),
}

impl Search<'_> {
    /// The stiffest order of the pick that passes every test and comes before `bar`.
    pub(super) fn best_order(&mut self, bar: Option<Mark>) -> Option<Mark> {
        let mut growth = Growth {
            counts: self.counts.clone(),
            laid: Vec::new(),
            mark: bar,
            found: false,
            told: false,
        };
        let counts = (0..).zip(&self.counts);
        let edge = self.face(counts.map(|(i, &count)| (i, f64::from(count))));
        let items = self.counts.iter().sum();
        if self.worth_growing(&growth, &edge) {
            self.grow(&mut growth, items, &edge);
        }
        growth.mark.filter(|_| growth.found)
    }

    /// The face of a half stack that will hold these choices, so many of each.
    pub(super) fn face(&self, choices: impl Iterator<Item = (usize, f64)>) -> Edge {
        let thickness = |(i, count): (usize, f64)| count * self.table.lines[i].thickness;
        let z = choices.map(thickness).sum::<f64>() + self.centre.half;
        Edge {
            z,
            cube: z * z * z,
            d: self.centre.d,
            run: (usize::MAX, 0),
        }
    }

    fn grow(&mut self, growth: &mut Growth, items: u32, edge: &Edge) {
        if items == 0 {
            self.grown(growth, edge);
            return;
        }
        let table = self.table;
        for &i in &table.stiffest_first {
            if growth.counts[i] == 0 {
                continue;
            }
            if !self.step() {
                return;
            }
            let line = &table.lines[i];
            if growth.laid.is_empty() && !line.on_face {
                continue;
            }
            let Some(next) = self.lay(&line.layers, edge) else {
                continue;
            };
            growth.counts[i] -= 1;
            growth.laid.push(i);
            if items == 1 || self.worth_growing(growth, &next) {
                self.grow(growth, items - 1, &next);
            }
            growth.laid.pop();
            growth.counts[i] += 1;
        }
    }

    /// The edge after some more layers; none when too many alike lie in a row.
    pub(super) fn lay(&self, layers: &[Flat], edge: &Edge) -> Option<Edge> {
        let mut next = *edge;
        for layer in layers {
            let z = next.z - layer.thickness;
            let cube = z * z * z;
            let span = next.cube - cube;
            next.d = layer.added(&next.d, span);
            (next.z, next.cube) = (z, cube);
            let in_row = if next.run.0 == layer.id {
                next.run.1
            } else {
                0
            };
            next.run = (layer.id, in_row + 1);
            if next.run.1 > self.space.most_alike {
                return None;
            }
        }
        Some(next)
    }

    /// Whether the plies still to be laid could make a stack that is stiff enough and comes first.
    ///
    /// Laid from the most compliant in the middle to the stiffest outside they bend least: swapping two
    /// neighbours so that the stiffer lies outside always adds to D.
    fn worth_growing(&self, growth: &Growth, edge: &Edge) -> bool {
        if self.table.least_bend <= 0.0 && growth.mark.is_none() {
            return true;
        }
        let mut score = f64::INFINITY;
        for (need, sorted) in self.table.needs.iter().zip(&self.table.sorted) {
            let mut bend = share(need, &edge.d);
            let mut z = self.centre.half;
            let mut cube = z * z * z;
            for entry in sorted {
                let count = growth.counts[entry.choice];
                if count > 0 {
                    z += f64::from(count) * entry.thickness;
                    bend += entry.bend * (z * z * z - cube);
                    cube = z * z * z;
                }
            }
            score = score.min(bend);
        }
        score *= 1.0 + ROUNDING;
        score >= self.table.least_bend && self.comes_first(growth, score)
    }

    fn comes_first(&self, growth: &Growth, score: f64) -> bool {
        let middle = self.centre.middle;
        growth
            .mark
            .as_ref()
            .is_none_or(|mark| mark.order_of(score as f32, middle, &growth.laid).is_le())
    }

    /// A whole stack: the last tests, the expensive one at the very end.
    fn grown(&mut self, growth: &mut Growth, edge: &Edge) {
        self.worked += 1;
        let (kind, run) = edge.run;
        let in_row = match (self.centre.middle, self.centre.alike) {
            (Middle::Plain, _) => 2 * run,
            (_, Some((middle, count))) if middle == kind => 2 * run + count,
            (_, Some((_, count))) => run.max(count),
            _ => run,
        };
        if in_row > self.space.most_alike {
            return;
        }
        if let (true, Middle::Ply(i)) = (growth.laid.is_empty(), self.centre.middle)
            && !self.table.lines[i].on_face
        {
            return;
        }
        let bends = self.table.needs.iter().map(|need| share(need, &edge.d));
        let score = bends.fold(f64::INFINITY, f64::min);
        if score < self.table.least_bend || !self.comes_first(growth, score) || !self.may_ask() {
            return;
        }
        self.asked += 1;
        if !growth.told {
            self.tell(&growth.laid);
            growth.told = true;
        }
        self.tell_order(&growth.laid, edge);
        if (self.accept)(&self.told) {
            growth.found = true;
            growth.mark = Some(Mark {
                score: score as f32,
                middle: self.centre.middle,
                half: growth.laid.clone(),
            });
        }
    }
}
