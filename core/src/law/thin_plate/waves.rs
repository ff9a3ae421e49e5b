//! Polynomials along one side of a plate, told by their Legendre coefficients, so that every integral is exact.

/// One polynomial over a side from -1 to 1, with its slope and its curvature.
pub(super) struct Shape {
    /// Legendre coefficients of the value, the slope and the curvature.
    by: [Vec<f64>; 3],
    /// Whether it is odd about the middle.
    pub(super) odd: bool,
}

/// The first `count` shapes of a side that rests, or of one that is held so that it cannot turn.
///
/// The curvature of shape k is the Legendre polynomial P_k, scaled to one; the value vanishes at both ends. From k = 2
/// on the slope does as well, so a held side does without the first two.
pub(super) fn shapes(count: usize, held: bool) -> Vec<Shape> {
    let first = if held { 2 } else { 0 };
    (first..first + count).map(shape).collect()
}

fn shape(k: usize) -> Shape {
    let mut by = [vec![0.0; k + 3], vec![0.0; k + 3], vec![0.0; k + 3]];
    let n = k as f64;
    let scale = (n + 0.5).sqrt();
    by[2][k] = scale;
    let slope = scale / (2.0 * n + 1.0);
    by[1][k + 1] = slope;
    by[0][k + 2] = slope / (2.0 * n + 3.0);
    by[0][k] -= slope / (2.0 * n + 3.0);
    if k >= 2 {
        by[1][k - 1] -= slope;
        by[0][k] -= slope / (2.0 * n - 1.0);
        by[0][k - 2] += slope / (2.0 * n - 1.0);
    }
    Shape {
        by,
        odd: k % 2 == 1,
    }
}

impl Shape {
    /// Integral of a derivative of this shape times one of another over the side.
    pub(super) fn with(&self, derivative: usize, other: &Self, its: usize) -> f64 {
        let pairs = self.by[derivative].iter().zip(&other.by[its]);
        pairs
            .enumerate()
            .map(|(n, (a, b))| a * b * 2.0 / (2.0 * n as f64 + 1.0))
            .sum()
    }

    /// Value of a derivative, with the Legendre polynomials of the place as [`legendre`] gives them.
    pub(super) fn at(&self, derivative: usize, polynomials: &[f64]) -> f64 {
        let coefficients = self.by[derivative].iter();
        coefficients.zip(polynomials).map(|(c, p)| c * p).sum()
    }

    /// Integral of the value from -p to p, with the Legendre polynomials of p.
    pub(super) fn under(&self, polynomials: &[f64]) -> f64 {
        let mut sum = 0.0;
        for (n, c) in self.by[0].iter().enumerate() {
            if n % 2 == 1 {
                continue;
            }
            let above = polynomials.get(n + 1).copied().unwrap_or(0.0);
            let below = match n.checked_sub(1) {
                Some(below) => polynomials.get(below).copied().unwrap_or(0.0),
                None => 0.0,
            };
            sum += c * 2.0 * (above - below) / (2.0 * n as f64 + 1.0);
        }
        sum
    }
}

/// Legendre polynomials of degree 0 to `count` - 1 at a place.
pub(super) fn legendre(x: f64, count: usize) -> Vec<f64> {
    let mut all = vec![1.0, x];
    for n in 1..count.max(2) - 1 {
        let k = n as f64;
        all.push(((2.0 * k + 1.0) * x * all[n] - k * all[n - 1]) / (k + 1.0));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shapes_vanish_where_they_must_and_integrate_as_they_look() {
        for held in [false, true] {
            let all = shapes(9, held);
            for (i, shape) in all.iter().enumerate() {
                for end in [-1.0, 1.0] {
                    let p = legendre(end, 14);
                    assert!(shape.at(0, &p).abs() < 1e-12);
                    assert!(!held || shape.at(1, &p).abs() < 1e-12);
                }
                // Slopes and curvatures are those of the value.
                for x in [-0.7, 0.1, 0.45] {
                    let h = 1e-4;
                    let [low, here, high] =
                        [x - h, x, x + h].map(|x| shape.at(0, &legendre(x, 14)));
                    let p = legendre(x, 14);
                    assert!((shape.at(1, &p) - (high - low) / (2.0 * h)).abs() < 1e-5);
                    let curved = (high - 2.0 * here + low) / (h * h);
                    assert!((shape.at(2, &p) - curved).abs() < 1e-4);
                }
                let n = 4000;
                let middle = |k: i32, reach: f64| {
                    (2.0 * f64::from(k) + 1.0 - f64::from(n)) / f64::from(n) * reach
                };
                let sum: f64 = (0..n)
                    .map(|k| shape.at(0, &legendre(middle(k, 0.6), 14)) * 1.2 / f64::from(n))
                    .sum();
                assert!((shape.under(&legendre(0.6, 14)) - sum).abs() < 1e-7, "{i}");
                let other = &all[(i + 2) % 9];
                let sum: f64 = (0..n)
                    .map(|k| {
                        let p = legendre(middle(k, 1.0), 14);
                        shape.at(1, &p) * other.at(1, &p) * 2.0 / f64::from(n)
                    })
                    .sum();
                assert!((shape.with(1, other, 1) - sum).abs() < 1e-5, "{i}");
            }
        }
    }
}
