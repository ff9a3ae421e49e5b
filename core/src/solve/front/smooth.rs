//! Times freed of what changes from point to point: each place fills as a whole, and the mesh says how large it is.

use super::{Field, Held};

/// Share of the second difference of the second difference that is taken out.
const SHARE: f64 = 0.36;

impl Field {
    /// Takes out what changes from point to point. What is even along the surface stays: the network takes no notice of
    /// it, and nothing flows across a rim. Taken twice, the difference leaves ridges where they are, where fronts met.
    pub(super) fn smooth(&self, held: &Held, at: &mut [f64]) {
        // A corner that is reached last, or a spot where fronts close, has nothing beyond it to be told from.
        let is_top: Vec<bool> = (0..at.len())
            .map(|i| {
                self.matrix
                    .row(i)
                    .0
                    .iter()
                    .all(|&j| at[j as usize] <= at[i])
            })
            .collect();
        let twice = self.differences(held, at, &self.differences(held, at, at));
        for (i, twice) in twice.into_iter().enumerate() {
            if held.open[i] && !is_top[i] && at[i].is_finite() {
                at[i] = (at[i] - SHARE * twice).max(0.0);
            }
        }
    }

    /// How far the neighbours lie above each open place on the mean, as the network weighs them; where `at` has times.
    fn differences(&self, held: &Held, at: &[f64], of: &[f64]) -> Vec<f64> {
        let counts = |i: usize| held.feed[i] || (held.open[i] && at[i].is_finite());
        let one = |i: usize| {
            if held.feed[i] || !counts(i) {
                return 0.0;
            }
            let (columns, values) = self.matrix.row(i);
            let (mut sum, mut all) = (0.0, 0.0);
            for (&j, &a) in columns.iter().zip(values) {
                let j = j as usize;
                if a < 0.0 && counts(j) {
                    let other = if held.feed[j] { 0.0 } else { of[j] };
                    sum -= a * (other - of[i]);
                    all -= a;
                }
            }
            if all > 0.0 { sum / all } else { 0.0 }
        };
        (0..at.len()).map(one).collect()
    }
}
