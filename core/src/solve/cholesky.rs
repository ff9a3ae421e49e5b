//! Solution of a small symmetric positive system of equations.

/// Solves m x = r in place for a symmetric positive `m` of side `right.len()`, rows one after another.
///
/// m = l l^T, then l y = r and l^T x = y
///
/// Only the lower triangle of `matrix` is read; it holds l afterwards, and `right` holds x.
///
/// # Returns
/// Whether the matrix was positive, so that `right` is the solution [-].
/// # Valid for
/// Some hundred unknowns at most; `matrix` holds the square of `right.len()` numbers.
/// # Errors
/// None; false for a matrix that is not positive or not of this size.
/// # Example
/// ```
/// let (mut m, mut r) = ([4.0, 0.0, 2.0, 3.0], [8.0, 8.0]);
/// assert!(bastwork::solve::solve_symmetric(&mut m, &mut r));
/// assert!((r[0] - 1.0).abs() < 1e-15 && (r[1] - 2.0).abs() < 1e-15);
/// ```
/// # Source
/// Cholesky's method, textbook.
pub fn solve_symmetric(matrix: &mut [f64], right: &mut [f64]) -> bool {
    let solved = factor(matrix, right.len());
    if solved {
        substitute(matrix, right);
    }
    solved
}

/// Turns the lower triangle of a symmetric positive matrix of side `n` into its factor; false where it is not
/// positive.
pub(super) fn factor(matrix: &mut [f64], n: usize) -> bool {
    if matrix.len() != n * n {
        return false;
    }
    for i in 0..n {
        let (above, rest) = matrix.split_at_mut(i * n);
        let row = &mut rest[..=i];
        for j in 0..i {
            let other = &above[j * n..=j * n + j];
            row[j] = (row[j] - dot(&row[..j], &other[..j])) / other[j];
        }
        let left = row[i] - dot(&row[..i], &row[..i]);
        if left.is_nan() || left <= 1e-14 * row[i].abs() {
            return false;
        }
        row[i] = left.sqrt();
    }
    true
}

/// Solves with a factor: l y = r, then l^T x = y.
pub(super) fn substitute(factor: &[f64], right: &mut [f64]) {
    let n = right.len();
    for i in 0..n {
        let row = &factor[i * n..=i * n + i];
        right[i] = (right[i] - dot(&row[..i], &right[..i])) / row[i];
    }
    for i in (0..n).rev() {
        let row = &factor[i * n..=i * n + i];
        right[i] /= row[i];
        let (known, x) = right.split_at_mut(i);
        for (value, l) in known.iter_mut().zip(row) {
            *value -= l * x[0];
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_the_hilbert_matrix_of_five() {
        // Its inverse is known in whole numbers; the row sums of the inverse are 5, -120, 630, -1120, 630.
        let mut m: Vec<f64> = (0..25)
            .map(|k| 1.0 / f64::from(k / 5 + k % 5 + 1))
            .collect();
        let mut r = [1.0; 5];
        assert!(solve_symmetric(&mut m, &mut r));
        for (got, wanted) in r.iter().zip([5.0, -120.0, 630.0, -1120.0, 630.0]) {
            assert!((got - wanted).abs() < 1e-8, "{got} {wanted}");
        }
    }

    #[test]
    fn says_when_it_cannot() {
        assert!(!solve_symmetric(&mut [1.0, 0.0, 2.0, 1.0], &mut [1.0, 1.0]));
        assert!(!solve_symmetric(&mut [f64::NAN], &mut [1.0]));
        assert!(!solve_symmetric(&mut [1.0, 2.0], &mut [1.0]));
    }
}
