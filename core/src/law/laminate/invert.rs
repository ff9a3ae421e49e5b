//! Inverse of a small symmetric positive matrix.

/// The inverse of `m`, or `None` when `m` is not positive.
pub(super) fn inverse<const N: usize>(m: &[[f64; N]; N]) -> Option<[[f64; N]; N]> {
    // Cholesky: m = l l^T, then one forward and one backward sweep for each column.
    let mut l = [[0.0; N]; N];
    for i in 0..N {
        for j in 0..=i {
            let known: f64 = (0..j).map(|k| l[i][k] * l[j][k]).sum();
            let rest = m[i][j] - known;
            if i == j {
                if rest.is_nan() || rest <= 1e-13 * m[i][i].abs() {
                    return None;
                }
                l[i][i] = rest.sqrt();
            } else {
                l[i][j] = rest / l[j][j];
            }
        }
    }
    let mut result = [[0.0; N]; N];
    for column in 0..N {
        let mut x = [0.0; N];
        for i in column..N {
            let known: f64 = (column..i).map(|k| l[i][k] * x[k]).sum();
            let unit = if i == column { 1.0 } else { 0.0 };
            x[i] = (unit - known) / l[i][i];
        }
        for i in (0..N).rev() {
            let known: f64 = (i + 1..N).map(|k| l[k][i] * x[k]).sum();
            x[i] = (x[i] - known) / l[i][i];
        }
        for (row, value) in result.iter_mut().zip(x) {
            row[column] = value;
        }
    }
    Some(result)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_itself_is_one() {
        let m = [[4.0, 1.0, 0.5], [1.0, 3.0, -0.7], [0.5, -0.7, 2.0]];
        let n = inverse(&m).unwrap();
        for (i, row) in m.iter().enumerate() {
            for j in 0..3 {
                let product: f64 = row.iter().zip(&n).map(|(a, other)| a * other[j]).sum();
                let unit = if i == j { 1.0 } else { 0.0 };
                assert!((product - unit).abs() < 1e-14);
            }
        }
        assert!(inverse(&[[1.0, 2.0], [2.0, 1.0]]).is_none());
        assert!(inverse(&[[f64::NAN]]).is_none());
    }
}
