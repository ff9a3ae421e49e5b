//! The hierarchy: which points are one on the next coarser level, and the prolongation and restriction between them.

use super::Matrix;

/// Levels with no more points than this are solved directly.
const SOLVED_DIRECTLY: usize = 48;

/// How strongly two points are joined, against their own weights, to stand together.
const STRONG: f64 = 0.08;

/// Share of the residual that smooths an aggregate: 4/3 over the largest eigenvalue, at most 2 for a network.
const SMOOTH: f64 = 2.0 / 3.0;

/// Rows of (place, weight) pairs.
#[derive(Debug, Clone, Default)]
pub(super) struct Rows {
    pub(super) start: Vec<u32>,
    pub(super) column: Vec<u32>,
    pub(super) value: Vec<f64>,
}

impl Rows {
    pub(super) fn row(&self, i: usize) -> (&[u32], &[f64]) {
        let range = self.start[i] as usize..self.start[i + 1] as usize;
        (&self.column[range.clone()], &self.value[range])
    }

    fn transposed(&self, columns: usize) -> Self {
        let mut start = vec![0_u32; columns + 1];
        for &j in &self.column {
            start[j as usize + 1] += 1;
        }
        for j in 0..columns {
            start[j + 1] += start[j];
        }
        let mut next = start.clone();
        let mut made = Self {
            start,
            column: vec![0; self.column.len()],
            value: vec![0.0; self.value.len()],
        };
        for i in 0..self.start.len() - 1 {
            let (columns, values) = self.row(i);
            for (&j, &w) in columns.iter().zip(values) {
                let at = next[j as usize] as usize;
                made.column[at] = i as u32;
                made.value[at] = w;
                next[j as usize] += 1;
            }
        }
        made
    }
}

/// From one level to the next coarser one.
#[derive(Debug, Clone)]
pub(super) struct Step {
    /// Prolongation: what each fine point takes of the coarse ones.
    pub(super) prolongation: Rows,
    /// The same the other way: rows are coarse points.
    pub(super) restriction: Rows,
    /// Where fine rows times `prolongation` have entries: rows are fine points; values are not used.
    pub(super) between: Rows,
    /// The coarse network with nothing held.
    pub(super) coarse: Matrix,
}

/// All levels.
#[derive(Debug, Clone, Default)]
pub(in crate::solve) struct Hierarchy {
    pub(super) steps: Vec<Step>,
}

impl Hierarchy {
    /// Makes the hierarchy of a network.
    pub(in crate::solve) fn of(matrix: &Matrix) -> Self {
        let mut steps: Vec<Step> = Vec::new();
        let mut strong = STRONG;
        loop {
            let fine = steps.last().map_or(matrix, |step| &step.coarse);
            let points = fine.len();
            if points <= SOLVED_DIRECTLY || steps.len() > 12 {
                break;
            }
            let (group, groups) = groups(fine, strong);
            if groups == 0 || groups * 10 > points * 9 {
                break;
            }
            let step = Step::of(fine, &group, groups, strong);
            steps.push(step);
            strong *= 0.5;
        }
        Self { steps }
    }
}

fn is_strong(matrix: &Matrix, strong: f64, i: usize, j: usize, a: f64) -> bool {
    j != i && a < 0.0 && a * a >= strong * strong * matrix.diagonal(i) * matrix.diagonal(j)
}

/// Which group each point belongs to.
fn groups(matrix: &Matrix, strong: f64) -> (Vec<u32>, usize) {
    const NONE: u32 = u32::MAX;
    let points = matrix.len();
    let mut group = vec![NONE; points];
    let mut count = 0_u32;
    let joined = |i: usize| {
        let (columns, values) = matrix.row(i);
        columns
            .iter()
            .zip(values)
            .filter(move |&(&j, &a)| is_strong(matrix, strong, i, j as usize, a))
            .map(|(&j, &a)| (j as usize, a))
    };
    // A point with all its neighbours, where none is taken.
    for i in 0..points {
        if group[i] == NONE && joined(i).all(|(j, _)| group[j] == NONE) {
            group[i] = count;
            for (j, _) in joined(i) {
                group[j] = count;
            }
            count += 1;
        }
    }
    // The others go where they are held most.
    let first = group.clone();
    for (i, own) in group.iter_mut().enumerate() {
        if *own == NONE {
            let most = joined(i)
                .filter(|&(j, _)| first[j] != NONE)
                .min_by(|a, b| a.1.total_cmp(&b.1));
            if let Some((j, _)) = most {
                *own = first[j];
            }
        }
    }
    for i in 0..points {
        if group[i] == NONE {
            group[i] = count;
            for (j, _) in joined(i) {
                if group[j] == NONE {
                    group[j] = count;
                }
            }
            count += 1;
        }
    }
    (group, count as usize)
}

impl Step {
    fn of(fine: &Matrix, group: &[u32], groups: usize, strong: f64) -> Self {
        let prolongation = prolongation(fine, group, groups, strong);
        let restriction = prolongation.transposed(groups);
        let between = between(fine, &prolongation, groups);
        let coarse = coarse(fine, &prolongation, &restriction, &between, groups);
        Self {
            prolongation,
            restriction,
            between,
            coarse,
        }
    }
}

/// One for each point of a group, smoothed once along the strong edges.
fn prolongation(fine: &Matrix, group: &[u32], groups: usize, strong: f64) -> Rows {
    let points = fine.len();
    let mut made = Rows::default();
    made.start.push(0);
    let mut place = vec![u32::MAX; groups];
    for i in 0..points {
        let from = made.column.len();
        let (columns, values) = fine.row(i);
        // What is weak counts to the diagonal.
        let mut pull = 0.0;
        for (&j, &a) in columns.iter().zip(values) {
            if is_strong(fine, strong, i, j as usize, a) {
                pull -= a;
            }
        }
        let mut add = |to: u32, weight: f64| {
            let at = &mut place[to as usize];
            if (*at as usize) < made.column.len() && *at as usize >= from {
                made.value[*at as usize] += weight;
            } else {
                *at = made.column.len() as u32;
                made.column.push(to);
                made.value.push(weight);
            }
        };
        if pull > 0.0 {
            add(group[i], 1.0 - SMOOTH);
            for (&j, &a) in columns.iter().zip(values) {
                if is_strong(fine, strong, i, j as usize, a) {
                    add(group[j as usize], -a / pull * SMOOTH);
                }
            }
        } else {
            add(group[i], 1.0);
        }
        made.start.push(made.column.len() as u32);
    }
    made
}

/// Where the fine rows times `prolongation` have entries.
fn between(fine: &Matrix, prolongation: &Rows, groups: usize) -> Rows {
    let mut made = Rows::default();
    made.start.push(0);
    let mut seen = vec![u32::MAX; groups];
    for i in 0..fine.len() {
        for &j in fine.row(i).0 {
            for &to in prolongation.row(j as usize).0 {
                if seen[to as usize] != i as u32 {
                    seen[to as usize] = i as u32;
                    made.column.push(to);
                }
            }
        }
        made.start.push(made.column.len() as u32);
    }
    made
}

/// The coarse network, with nothing held.
fn coarse(
    fine: &Matrix,
    prolongation: &Rows,
    restriction: &Rows,
    between: &Rows,
    groups: usize,
) -> Matrix {
    let mut made = Matrix::default();
    made.start.push(0);
    let mut seen = vec![u32::MAX; groups];
    for i in 0..groups {
        let from = made.column.len();
        seen[i] = i as u32;
        made.column.push(i as u32);
        for &k in restriction.row(i).0 {
            let range = between.start[k as usize] as usize..between.start[k as usize + 1] as usize;
            for &j in &between.column[range] {
                if seen[j as usize] != i as u32 {
                    seen[j as usize] = i as u32;
                    made.column.push(j);
                }
            }
        }
        let row = &mut made.column[from..];
        row.sort_unstable();
        let middle = from + row.partition_point(|&j| (j as usize) < i);
        made.middle.push(middle as u32);
        made.start.push(made.column.len() as u32);
    }
    made.value = vec![0.0; made.column.len()];
    super::product::product(
        (fine, &fine.value),
        (prolongation, restriction, between),
        (&made.start, &made.column),
        &mut made.value,
        |_| true,
        0..groups,
        &mut super::product::Scratch::default(),
    );
    made
}
