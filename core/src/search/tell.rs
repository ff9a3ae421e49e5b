//! Writes a stack down with everything that is known of it.

use super::found::Candidate;
use super::order::Edge;
use super::pick::Search;
use super::space::Middle;
use super::sums::{CONDUCTANCE, COST, PORES, THICKNESS, matrix};

impl Search<'_> {
    /// What does not depend on the order of the plies.
    pub(super) fn tell(&mut self, half: &[usize]) {
        let centre = self.centre;
        let mut sums = centre.sums;
        let mut plies = centre.plies;
        let mut a = centre.a;
        for &i in half {
            let line = &self.table.lines[i];
            sums = sums.plus(&line.both, 1);
            plies += 2 * line.plies;
            for layer in &self.space.choices[i].layers {
                for (sum, q) in a.iter_mut().flatten().zip(layer.stiffness.iter().flatten()) {
                    *sum += 2.0 * layer.thickness * q;
                }
            }
        }
        let figure = |i: usize| sums.figures[i] / self.table.scale[i];
        let told = &mut self.told;
        told.middle = centre.middle;
        told.plies = plies;
        told.thickness = figure(THICKNESS);
        told.mass = figure(0);
        told.cost = Some(figure(COST)).filter(|cost| cost.is_finite());
        told.fossil = figure(2);
        told.fill = if sums.figures[CONDUCTANCE] > 0.0 {
            figure(PORES) / figure(CONDUCTANCE)
        } else {
            f64::INFINITY
        };
        told.a = a;
    }

    /// What does: the order itself, and D.
    pub(super) fn tell_order(&mut self, half: &[usize], edge: &Edge) {
        self.told.d = matrix(edge.d);
        self.told.half.clear();
        self.told.half.extend_from_slice(half);
    }

    /// A stack that was kept.
    pub(super) fn show(&mut self, middle: Middle, half: &[usize]) -> Option<Candidate> {
        let table = self.table;
        self.centre = table
            .centres
            .iter()
            .find(|centre| centre.middle == middle)?;
        let mut edge = self.face(half.iter().map(|&i| (i, 1.0)));
        for &i in half {
            edge = self.lay(&table.lines[i].layers, &edge)?;
        }
        self.tell(half);
        self.tell_order(half, &edge);
        Some(self.told.clone())
    }
}
