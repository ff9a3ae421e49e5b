//! What plies still to be picked can add to the figures, at least and at most.

use super::keep::Key;
use super::sums::{CONDUCTANCE, PORES, Sums, THICKNESS};
use super::table::Line;

/// Extremes over some choices, for each ply of one half (laid on both faces).
#[derive(Clone, Copy)]
pub(super) struct Reach {
    /// Least mass, cost, fossil carbon, thickness and pores.
    least: [f64; 5],
    /// Most conductance.
    conductance: f64,
    /// Least pores over conductance.
    fill: f64,
    /// Most thickness.
    pub(super) thickness: f64,
    /// Most A11, A22, A66.
    pub(super) stretch: [f64; 3],
    /// For A16 and A26: the most that can be taken away, the most that can be added.
    pub(super) skew: [[f64; 2]; 2],
}

/// Pores over conductance, in single precision so that rounding does not part what is equal; a stack that conducts nothing never fills.
pub(super) fn ratio(pores: f64, conductance: f64) -> f64 {
    if conductance > 0.0 {
        f64::from((pores / conductance) as f32)
    } else {
        f64::INFINITY
    }
}

impl Reach {
    /// For the choices from each one on, and for none at the end.
    pub(super) fn all(lines: &[Line]) -> Vec<Self> {
        let mut reach = Self {
            least: [f64::INFINITY; 5],
            conductance: 0.0,
            fill: f64::INFINITY,
            thickness: 0.0,
            stretch: [0.0; 3],
            skew: [[0.0; 2]; 2],
        };
        let mut all = vec![reach];
        for line in lines.iter().rev() {
            let plies = f64::from(line.plies);
            let figures = &line.both.figures;
            for (least, figure) in reach.least.iter_mut().zip(figures) {
                *least = least.min(figure / plies);
            }
            reach.conductance = reach.conductance.max(figures[CONDUCTANCE] / plies);
            reach.fill = reach.fill.min(ratio(figures[PORES], figures[CONDUCTANCE]));
            reach.thickness = reach.thickness.max(figures[THICKNESS] / plies);
            let stretch = &line.both.stretch;
            for (most, value) in reach.stretch.iter_mut().zip(stretch) {
                *most = most.max(value / plies);
            }
            for (skew, value) in reach.skew.iter_mut().zip(&stretch[3..]) {
                skew[0] = skew[0].max(-value / plies);
                skew[1] = skew[1].max(value / plies);
            }
            all.push(reach);
        }
        all.reverse();
        all
    }

    /// The goals' figures of a whole stack.
    pub(super) fn key(sums: &Sums) -> Key {
        let [mass, cost, fossil, thickness, pores, conductance] = sums.figures;
        [mass, cost, fossil, thickness, ratio(pores, conductance)]
    }

    /// No stack with `plies` more in each half comes below these.
    ///
    /// The ratio of sums is at least the least of the ratios (mediant inequality), and at least what the
    /// least pores and the most conductance give.
    pub(super) fn least_key(&self, sums: &Sums, plies: u32) -> Key {
        let mut key = Self::key(sums);
        if plies == 0 {
            return key;
        }
        let more = f64::from(plies);
        // Figures are whole numbers: the margin covers the rounding of shares of a ply.
        let floor = |i: usize| (sums.figures[i] + more * self.least[i] - 0.01).ceil() + 0.0;
        let mediant = key[4].min(self.fill);
        let conductance = sums.figures[CONDUCTANCE] + more * self.conductance;
        let crude = ratio(floor(PORES), conductance * (1.0 + 1e-12));
        for (i, key) in key.iter_mut().take(4).enumerate() {
            *key = floor(i);
        }
        key[4] = mediant.max(crude);
        key
    }
}
