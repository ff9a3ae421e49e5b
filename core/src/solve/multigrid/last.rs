//! The last level, solved directly (Cholesky).

use super::level::Level;

/// A lower triangle, full rows one after another.
#[derive(Debug, Clone, Default)]
pub(super) struct Last {
    lower: Vec<f64>,
    count: usize,
}

impl Last {
    /// The triangle of a level (Cholesky); held points stay out, and points that nothing holds.
    pub(super) fn factor(&mut self, level: &Level, is_free: &[bool]) {
        let n = level.len();
        self.count = n;
        let full = &mut self.lower;
        full.clear();
        full.resize(n * n, 0.0);
        for i in (0..n).filter(|&i| is_free[i]) {
            let (diagonal, row) = level.row(i);
            full[i * n + i] = diagonal;
            for (j, a) in row.filter(|&(j, _)| is_free[j]) {
                full[i * n + j] = a;
            }
        }
        for i in 0..n {
            let (before, own) = full.split_at_mut(i * n);
            let own = &mut own[..n];
            for j in 0..i {
                let other = &before[j * n..j * n + n];
                let sum: f64 = other[..j].iter().zip(&own[..j]).map(|(a, b)| a * b).sum();
                let pivot = other[j];
                own[j] = if pivot > 0.0 {
                    (own[j] - sum) / pivot
                } else {
                    0.0
                };
            }
            let left = own[i] - own[..i].iter().map(|a| a * a).sum::<f64>();
            // A piece that nothing holds: it stays at nought.
            own[i] = if left > 1e-12 * own[i] {
                left.sqrt()
            } else {
                0.0
            };
        }
    }

    /// `x` from `right`.
    pub(super) fn solve(&self, level: &mut Level) {
        let n = self.count;
        let x = &mut level.x;
        for i in 0..n {
            let row = &self.lower[i * n..i * n + i + 1];
            let sum: f64 = row[..i].iter().zip(&x[..i]).map(|(a, x)| a * x).sum();
            let pivot = row[i];
            x[i] = if pivot > 0.0 {
                (level.right[i] - sum) / pivot
            } else {
                0.0
            };
        }
        for i in (0..n).rev() {
            let row = &self.lower[i * n..i * n + i + 1];
            let pivot = row[i];
            x[i] = if pivot > 0.0 { x[i] / pivot } else { 0.0 };
            let own = x[i];
            for (value, a) in x[..i].iter_mut().zip(row) {
                *value -= a * own;
            }
        }
    }
}
