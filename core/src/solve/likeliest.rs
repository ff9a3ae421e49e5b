//! The likeliest unknowns behind a few readings, and how far the readings leave each answer open.
//!
//! Unknowns are standard normal beforehand. Readings have heavy tails, so that one slip of the pen does not lead.

use super::cholesky::solve_symmetric;

/// Degrees of freedom of the readings' tails: 4 lets one reading in a hundred stand four steps off.
const FREEDOM: f64 = 4.0;
/// How wide the tails are taken at first, so that readings far from the start still pull, and later on.
const WIDENED: [f64; 5] = [100.0, 20.0, 5.0, 2.0, 1.0];
/// Nudge of an unknown for a slope, in its standard deviations beforehand.
const NUDGE: f64 = 0.1;
/// The same for the slopes of answers, both ways.
const WIDE_NUDGE: f64 = 0.25;
/// Rounds at most at the true width of the tails.
const ROUNDS: usize = 20;
/// An unknown this near to its last place has come to rest.
const AT_REST: f64 = 5e-3;

/// Where the unknowns most likely lie, and how they may vary together.
#[derive(Debug, Clone, PartialEq)]
pub struct Likeliest {
    /// The unknowns, in standard deviations from what was likely beforehand [-].
    pub place: Vec<f64>,
    /// How far each reading stands off, in its own scatter [-].
    pub off: Vec<f64>,
    /// How much each reading counts: 1 near the fit, towards 0 far off it [-].
    pub weights: Vec<f64>,
    /// What was made least: sum z^2 + sum nu ln(1 + r^2 / nu), halved [-].
    pub cost: f64,
    /// Inverse of the covariance of the unknowns, rows one after another [-].
    precision: Vec<f64>,
}

/// Finds the unknowns that readings and prior knowledge together make the likeliest.
///
/// minimise sum z^2 + sum nu ln(1 + r(z)^2 / nu), nu = 4, by Gauss and Newton's steps with weights nu / (nu + r^2)
///
/// `model` gives how far each reading stands off, in its own scatter, for unknowns z that are standard normal
/// beforehand; it is begun at `start`, zeros or wherever each reading has a say. The tails are at first taken a hundred times as wide, then narrower step by step.
///
/// # Returns
/// [`Likeliest`] [-]; None where the model has no finite answer at the start.
/// # Valid for
/// Up to some twenty unknowns and a hundred readings; a model without jumps.
/// # Errors
/// None.
/// # Example
/// ```
/// use bastwork::solve::likeliest;
/// // A length thought to be 10 +- 2, read as 10.5 with a play of 1: 10.4, and 2 / sqrt(5) = 0.894 remain.
/// let length = |z: &[f64]| 10.0 + 2.0 * z[0];
/// let found = likeliest(|z| Some(vec![length(z) - 10.5]), &[0.0]).unwrap();
/// let (value, left) = found.answers(|z| Some(vec![length(z)])).unwrap()[0];
/// assert!((value - 10.4).abs() < 1e-3 && (left - 0.894).abs() < 2e-3);
/// ```
/// # Source
/// Laplace's approximation and iteratively weighted least squares, textbook; Blake and Zisserman 1987, Visual
/// Reconstruction, for the narrowing tails (from memory).
pub fn likeliest(
    mut model: impl FnMut(&[f64]) -> Option<Vec<f64>>,
    start: &[f64],
) -> Option<Likeliest> {
    let mut z = start.to_vec();
    let mut off = model(&z)?;
    let mut precision = Vec::new();
    for (i, width) in WIDENED.into_iter().enumerate() {
        let rounds = if i + 1 < WIDENED.len() { 4 } else { ROUNDS };
        for _ in 0..rounds {
            let columns = slopes(&mut model, &mut z, &off)?;
            precision = normal(&columns, &off, width);
            let mut step: Vec<f64> = z
                .iter()
                .zip(&columns)
                .map(|(z, column)| {
                    let pull = column
                        .iter()
                        .zip(&off)
                        .map(|(j, r)| weight(*r, width) * j * r);
                    -z - pull.sum::<f64>()
                })
                .collect();
            if !solve_symmetric(&mut precision.clone(), &mut step) {
                return None;
            }
            let longest = step.iter().fold(0.0_f64, |most, s| most.max(s.abs()));
            // No further at once than the slopes can be trusted.
            let mut share = (2.0 / longest).min(1.0);
            let before = cost(&z, &off, width);
            let mut moved = 0.0;
            for _ in 0..5 {
                let there: Vec<f64> = z.iter().zip(&step).map(|(z, s)| z + share * s).collect();
                if let Some(next) = model(&there)
                    && cost(&there, &next, width) < before
                {
                    (z, off, moved) = (there, next, share * longest);
                    break;
                }
                share *= 0.3;
            }
            if moved < AT_REST {
                break;
            }
        }
    }
    Some(Likeliest {
        cost: cost(&z, &off, 1.0),
        weights: off.iter().map(|r| weight(*r, 1.0)).collect(),
        place: z,
        off,
        precision,
    })
}

impl Likeliest {
    /// Answers at the likeliest unknowns, and how far each is left open.
    ///
    /// s^2 = g^T C g, g the slopes of the answer by central differences, C the covariance of the unknowns
    ///
    /// # Returns
    /// Value and standard deviation of each answer [unit of the answer]; None where one is not finite nearby.
    /// # Valid for
    /// Answers that are nearly straight within a standard deviation: take the logarithm of a time first.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// // Without readings the unknowns stay as they were beforehand.
    /// let found = bastwork::solve::likeliest(|_| Some(vec![]), &[0.0; 2]).unwrap();
    /// let open = found.answers(|z| Some(vec![3.0 * z[0] + 4.0 * z[1]])).unwrap();
    /// assert!(open[0].0.abs() < 1e-12 && (open[0].1 - 5.0).abs() < 1e-9);
    /// ```
    /// # Source
    /// Laplace's approximation, textbook.
    pub fn answers(
        &self,
        mut answers: impl FnMut(&[f64]) -> Option<Vec<f64>>,
    ) -> Option<Vec<(f64, f64)>> {
        let mut z = self.place.clone();
        let values = answers(&z)?;
        // One row of slopes for each answer.
        let mut rows = vec![vec![0.0; z.len()]; values.len()];
        for i in 0..z.len() {
            let here = z[i];
            z[i] = here + WIDE_NUDGE;
            let above = answers(&z)?;
            z[i] = here - WIDE_NUDGE;
            let below = answers(&z)?;
            z[i] = here;
            for (row, (a, b)) in rows.iter_mut().zip(above.iter().zip(&below)) {
                row[i] = (a - b) / (2.0 * WIDE_NUDGE);
            }
        }
        let spread = |row: Vec<f64>| {
            let mut along = row.clone();
            let solved = solve_symmetric(&mut self.precision.clone(), &mut along);
            let square: f64 = row.iter().zip(&along).map(|(g, c)| g * c).sum();
            (solved && square.is_finite()).then(|| square.max(0.0).sqrt())
        };
        values
            .into_iter()
            .zip(rows)
            .map(|(value, row)| Some((value, spread(row)?)))
            .collect()
    }
}

fn weight(off: f64, width: f64) -> f64 {
    let tails = FREEDOM * width * width;
    tails / (tails + off * off)
}

fn cost(z: &[f64], off: &[f64], width: f64) -> f64 {
    let tails = FREEDOM * width * width;
    let readings: f64 = off.iter().map(|r| tails * (r * r / tails).ln_1p()).sum();
    0.5 * (z.iter().map(|z| z * z).sum::<f64>() + readings)
}

/// Slopes of the readings' distances with each unknown, one column each.
fn slopes(
    model: &mut impl FnMut(&[f64]) -> Option<Vec<f64>>,
    z: &mut [f64],
    off: &[f64],
) -> Option<Vec<Vec<f64>>> {
    (0..z.len())
        .map(|i| {
            let here = z[i];
            z[i] = here + NUDGE;
            let there = model(z);
            z[i] = here;
            let column = there?
                .iter()
                .zip(off)
                .map(|(a, b)| (a - b) / NUDGE)
                .collect();
            Some(column)
        })
        .collect()
}

/// I + J^T W J.
fn normal(columns: &[Vec<f64>], off: &[f64], width: f64) -> Vec<f64> {
    let mut matrix = Vec::with_capacity(columns.len() * columns.len());
    for (i, a) in columns.iter().enumerate() {
        for (k, b) in columns.iter().enumerate() {
            let sum: f64 = a
                .iter()
                .zip(b)
                .zip(off)
                .map(|((a, b), r)| weight(*r, width) * a * b)
                .sum();
            matrix.push(sum + f64::from(u8::from(i == k)));
        }
    }
    matrix
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_model_has_the_textbook_answer() {
        // Two unknowns, their sum read as 0.3 and the first as 0.1, each with a play of a half:
        // (I + 4 A^T A) z = 4 A^T y, [[9, 4], [4, 5]] z = [1.6, 1.2], so z = (3.2, 4.4) / 29. So near the fit the
        // tails count for nothing.
        let off = |z: &[f64]| vec![2.0 * (z[0] + z[1] - 0.3), 2.0 * (z[0] - 0.1)];
        let found = likeliest(|z| Some(off(z)), &[0.0; 2]).unwrap();
        for (z, wanted) in found.place.iter().zip([3.2 / 29.0, 4.4 / 29.0]) {
            assert!((z - wanted).abs() < 1e-3, "{:?}", found.place);
        }
        // Covariance [[5, -4], [-4, 9]] / 29.
        let open = found.answers(|z| Some(vec![z[0], z[0] + z[1]]));
        for ((_, left), wanted) in open.unwrap().into_iter().zip([5.0_f64, 6.0]) {
            assert!((left - (wanted / 29.0).sqrt()).abs() < 1e-3, "{left}");
        }
    }

    #[test]
    fn readings_without_a_say_change_nothing() {
        let found = likeliest(|z| Some(vec![1e-3 * (z[0] + z[1] - 3.0)]), &[0.0; 2]).unwrap();
        assert!(found.place.iter().all(|z| z.abs() < 1e-5));
    }

    #[test]
    fn one_slip_does_not_lead() {
        // A decay with unknown height and rate; one of five readings is ten times too large.
        let curve =
            |z: &[f64], t: f64| 10.0 * (0.2 * z[0]).exp() * (-0.3 * (0.5 * z[1]).exp() * t).exp();
        let truth = [0.8, -0.6];
        for slip in 0..5 {
            let readings: Vec<(f64, f64)> = (0..5)
                .map(|i| {
                    let t = 0.7 * f64::from(i);
                    (t, curve(&truth, t) * if i == slip { 10.0 } else { 1.0 })
                })
                .collect();
            let off = |z: &[f64]| {
                let rows = readings.iter().map(|(t, y)| (curve(z, *t) - y) / 0.05);
                Some(rows.collect())
            };
            let found = likeliest(off, &[0.0; 2]).unwrap();
            for (z, wanted) in found.place.iter().zip(truth) {
                assert!((z - wanted).abs() < 0.1, "{slip}: {:?}", found.place);
            }
            let least = found.weights.iter().copied().fold(1.0, f64::min);
            assert_eq!(found.weights[slip as usize], least);
            assert!(least < 0.01);
        }
    }

    #[test]
    fn says_when_there_is_no_model() {
        assert!(likeliest(|_| None, &[0.0; 2]).is_none());
        assert!(likeliest(|z| Some(vec![f64::NAN * z[0]]), &[0.0]).is_none());
    }
}
