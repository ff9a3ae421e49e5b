//! About how far the times of a map are off, from the map itself.

use super::{Field, Held};

/// About how far times are off, as shares of the time for everything, against the same surface cut much finer.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Off {
    /// Root of the mean square over the points.
    pub rms: f64,
    /// At the worst place.
    pub worst: f64,
}

/// How far off times are for each step of the front from point to point, and besides: on the mean, and at the worst.
/// Fitted to 26 maps of plates, ribs, holes and needles, each held against itself cut eight times finer.
const RMS: (f64, f64) = (0.2, 0.002);
const WORST: (f64, f64) = (0.6, 0.01);
/// Share of the points whose steps are longer than what is told as the longest.
const FEW: f64 = 0.002;
/// How much more where edges pull the wrong way, because the mesh is too coarse for its own triangles.
const BACKWARD: f64 = 2.0;

impl Field {
    /// The steps of the front from point to point, which no map knows much better than, as shares of what is off.
    pub(super) fn off(&self, held: &Held, at: &[f64], time: f64) -> Off {
        let when = |i: usize| if held.feed[i] { 0.0 } else { at[i] };
        let step = |i: usize| {
            let (columns, values) = self.matrix.row(i);
            let (mut sum, mut count) = (0.0, 0_u32);
            for (&j, &a) in columns.iter().zip(values) {
                let step = (when(j as usize) - when(i)) / time;
                if a < 0.0 && step.is_finite() {
                    sum += step * step;
                    count += 1;
                }
            }
            (count > 0).then(|| sum / f64::from(count))
        };
        let mut squares: Vec<f64> = (0..at.len()).filter_map(step).collect();
        if squares.is_empty() {
            return Off::default();
        }
        let mean = (squares.iter().sum::<f64>() / squares.len() as f64).sqrt();
        // A cast of a small share of a count.
        let last = squares.len() - 1 - (squares.len() as f64 * FEW) as usize;
        let (_, longest, _) = squares.select_nth_unstable_by(last, f64::total_cmp);
        let more = if self.backward > 0 { BACKWARD } else { 1.0 };
        let told =
            |(each, besides): (f64, f64), step: f64| ((each * step + besides) * more).min(1.0);
        Off {
            rms: told(RMS, mean),
            worst: told(WORST, longest.sqrt()),
        }
    }
}
