//! Principal values and directions of a symmetric three by three matrix.

use crate::solve::sort::sort_by;

/// Sweeps over the three pairs; each shrinks what is off the diagonal by more than half.
const SWEEPS: usize = 40;

/// Principal directions and values, the greatest first.
///
/// J' A J with plane rotations J until A is diagonal
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `matrix` | A, symmetric | its own unit |
///
/// # Returns
/// Unit vectors and their values, in the unit of A [-].
/// # Valid for
/// Finite symmetric matrices.
/// # Errors
/// None.
/// # Example
/// ```
/// use bastwork::solve::principal;
/// let [first, _, last] = principal([[2.0, 1.0, 0.0], [1.0, 2.0, 0.0], [0.0, 0.0, 0.5]]);
/// assert!((first.1 - 3.0).abs() < 1e-12 && (last.1 - 0.5).abs() < 1e-12);
/// assert!((first.0[0].abs() - 0.5_f64.sqrt()).abs() < 1e-12);
/// ```
/// # Source
/// Jacobi 1846, J. reine angew. Math. 30:51 (from memory).
#[must_use]
pub fn principal(matrix: [[f64; 3]; 3]) -> [([f64; 3], f64); 3] {
    let mut a = matrix;
    let mut v = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    for _ in 0..SWEEPS {
        for (p, q) in [(0, 1), (0, 2), (1, 2)] {
            if a[p][q] == 0.0 {
                continue;
            }
            let angle = 0.5 * (2.0 * a[p][q]).atan2(a[q][q] - a[p][p]);
            let (sin, cos) = angle.sin_cos();
            for row in &mut a {
                let (x, y) = (row[p], row[q]);
                (row[p], row[q]) = (cos * x - sin * y, sin * x + cos * y);
            }
            for k in 0..3 {
                let (x, y) = (a[p][k], a[q][k]);
                (a[p][k], a[q][k]) = (cos * x - sin * y, sin * x + cos * y);
                let (x, y) = (v[k][p], v[k][q]);
                (v[k][p], v[k][q]) = (cos * x - sin * y, sin * x + cos * y);
            }
        }
    }
    let mut found = [0, 1, 2].map(|k| ([v[0][k], v[1][k], v[2][k]], a[k][k]));
    sort_by(&mut found, |a, b| b.1.total_cmp(&a.1));
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_are_square_to_each_other_and_kept_by_the_matrix() {
        let a = [[4.0, -1.5, 0.3], [-1.5, 2.0, 0.7], [0.3, 0.7, -1.0]];
        let found = principal(a);
        for (direction, value) in found {
            for i in 0..3 {
                let image: f64 = (0..3).map(|j| a[i][j] * direction[j]).sum();
                assert!((image - value * direction[i]).abs() < 1e-12);
            }
        }
        let dot: f64 = (0..3).map(|k| found[0].0[k] * found[2].0[k]).sum();
        assert!(dot.abs() < 1e-12 && found[0].1 > found[1].1 && found[1].1 > found[2].1);
        let trace: f64 = found.iter().map(|(_, value)| value).sum();
        assert!((trace - 5.0).abs() < 1e-12);
        // What is alike in all directions stays as it is.
        assert_eq!(
            principal([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])[1].1,
            1.0
        );
    }
}
