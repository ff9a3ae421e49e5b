//! A symmetric network as rows of a matrix.

/// Rows one after another; in each the columns rise and the diagonal is always there.
#[derive(Debug, Clone, Default)]
pub(in crate::solve) struct Matrix {
    /// Where each row begins, and the end of the last.
    pub(in crate::solve) start: Vec<u32>,
    /// Where the diagonal of each row stands.
    pub(in crate::solve) middle: Vec<u32>,
    pub(in crate::solve) column: Vec<u32>,
    pub(in crate::solve) value: Vec<f64>,
}

impl Matrix {
    /// A network of `points` from its edges: what joins two points is taken from both, and added to both diagonals.
    pub(in crate::solve) fn of(points: usize, edges: &[(u32, u32, f64)]) -> Self {
        let mut start = vec![0_u32; points + 1];
        for &(a, b, _) in edges {
            start[a as usize + 1] += 1;
            start[b as usize + 1] += 1;
        }
        for i in 0..points {
            start[i + 1] += start[i];
        }
        let mut next = start.clone();
        let mut found = vec![(0_u32, 0.0_f64); start[points] as usize];
        for &(a, b, weight) in edges {
            for (from, to) in [(a, b), (b, a)] {
                let at = &mut next[from as usize];
                found[*at as usize] = (to, weight);
                *at += 1;
            }
        }
        let mut made = Self {
            start: Vec::with_capacity(points + 1),
            middle: Vec::with_capacity(points),
            column: Vec::with_capacity(found.len() + points),
            value: Vec::with_capacity(found.len() + points),
        };
        made.start.push(0);
        for i in 0..points {
            let row = &mut found[start[i] as usize..start[i + 1] as usize];
            row.sort_unstable_by_key(|&(to, _)| to);
            let total: f64 = row.iter().filter(|j| j.0 != i as u32).map(|j| j.1).sum();
            let mut diagonal = None;
            for group in row.chunk_by(|a, b| a.0 == b.0) {
                let to = group[0].0;
                if to == i as u32 {
                    continue;
                }
                if to > i as u32 && diagonal.is_none() {
                    diagonal = Some(made.column.len());
                    made.push(i as u32, total);
                }
                made.push(to, -group.iter().map(|j| j.1).sum::<f64>());
            }
            let diagonal = diagonal.unwrap_or_else(|| {
                made.push(i as u32, total);
                made.column.len() - 1
            });
            made.middle.push(diagonal as u32);
            made.start.push(made.column.len() as u32);
        }
        made
    }

    fn push(&mut self, column: u32, value: f64) {
        self.column.push(column);
        self.value.push(value);
    }

    pub(in crate::solve) fn len(&self) -> usize {
        self.middle.len()
    }

    /// Columns and values of a row.
    pub(in crate::solve) fn row(&self, i: usize) -> (&[u32], &[f64]) {
        let range = self.start[i] as usize..self.start[i + 1] as usize;
        (&self.column[range.clone()], &self.value[range])
    }

    /// Where the diagonal stands in its row.
    pub(in crate::solve) fn middle_of(&self, i: usize) -> usize {
        (self.middle[i] - self.start[i]) as usize
    }

    pub(in crate::solve) fn diagonal(&self, i: usize) -> f64 {
        self.value[self.middle[i] as usize]
    }

    /// A row times a vector.
    pub(in crate::solve) fn times(&self, i: usize, x: &[f64]) -> f64 {
        let (columns, values) = self.row(i);
        let mut sum = 0.0;
        for (&j, a) in columns.iter().zip(values) {
            sum += a * x[j as usize];
        }
        sum
    }
}
