//! The lowest mode of a symmetric pair of matrices.

use super::cholesky::{factor, substitute};

/// Most rounds; far fewer are needed unless two modes lie close together, and then either will do.
const ROUNDS: usize = 300;

/// The lowest λ for which k x = λ m x, with `k` symmetric and positive and `m` symmetric and not negative.
///
/// x <- k^-1 m x, λ = (x^T k x) / (x^T m x), until λ stands still
///
/// Rows one after another; only the lower triangle of `k` is read, and it is used up. All of `m` is read.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `k`, `m` | matrices of side `n` | [any] |
///
/// # Returns
/// λ, in the unit of k over m [k/m]; none where `k` is not positive or `m` is nothing.
/// # Valid for
/// Some hundred unknowns. Where the two lowest lie within a thousandth of each other, the answer lies between them.
/// # Errors
/// None; see Returns.
/// # Example
/// ```
/// // Two equal masses on three equal springs in a row: 1 and 3.
/// let (mut k, m) = ([2.0, -1.0, -1.0, 2.0], [1.0, 0.0, 0.0, 1.0]);
/// let lowest = bastwork::solve::lowest_mode(&mut k, &m, 2).ok_or("none")?;
/// assert!((lowest - 1.0).abs() < 1e-9);
/// # Ok::<(), &str>(())
/// ```
/// # Source
/// Inverse iteration with the quotient of Rayleigh, textbook.
pub fn lowest_mode(k: &mut [f64], m: &[f64], n: usize) -> Option<f64> {
    if n == 0 || m.len() != n * n || !factor(k, n) {
        return None;
    }
    // Nothing regular, so that no mode is missed for being at right angles to the start.
    let start: Vec<f64> = (0..n)
        .map(|i| 1.0 / (1.0 + i as f64) * if i % 3 == 1 { -0.7 } else { 1.0 })
        .collect();
    let times = |x: &[f64]| -> Vec<f64> {
        m.chunks_exact(n)
            .map(|row| row.iter().zip(x).map(|(a, b)| a * b).sum())
            .collect()
    };
    let dot = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| a * b).sum() };
    let mut pushed = times(&start);
    let mut known = f64::INFINITY;
    for round in 0..ROUNDS {
        let mut next = pushed.clone();
        substitute(k, &mut next);
        let work = dot(&next, &pushed);
        let moved = times(&next);
        let size = dot(&next, &moved);
        let lowest = work / size;
        if !(lowest.is_finite() && size > 0.0) {
            return None;
        }
        if round > 8 && (known - lowest).abs() <= 1e-10 * lowest {
            return Some(lowest);
        }
        known = lowest;
        let shrink = 1.0 / size.sqrt();
        pushed = moved;
        for value in &mut pushed {
            *value *= shrink;
        }
    }
    Some(known)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hanging_chain_of_springs_has_the_known_lowest_mode() {
        // n equal masses on n + 1 equal springs: 4 sin^2(pi / (2 (n + 1))).
        for n in [1, 2, 5, 20, 60] {
            let mut k = vec![0.0; n * n];
            let mut m = vec![0.0; n * n];
            for i in 0..n {
                k[i * n + i] = 2.0;
                m[i * n + i] = 1.0;
                if i > 0 {
                    k[i * n + i - 1] = -1.0;
                    k[(i - 1) * n + i] = -1.0;
                }
            }
            let half = std::f64::consts::PI / (2.0 * (n + 1) as f64);
            let known = 4.0 * half.sin().powi(2);
            let found = lowest_mode(&mut k, &m, n).unwrap();
            assert!((found / known - 1.0).abs() < 1e-7, "{n}: {found} {known}");
        }
        assert!(lowest_mode(&mut [-1.0], &[1.0], 1).is_none());
        assert!(lowest_mode(&mut [1.0], &[0.0], 1).is_none());
        assert!(lowest_mode(&mut [], &[], 0).is_none());
    }
}
