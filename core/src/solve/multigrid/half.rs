//! Short rows of a matrix, four entries side by side and the rest behind: most rows of a surface need no more.

/// The first entries of a row; what it has less than four is filled up with a place that holds nought.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row {
    weight: [f64; 4],
    place: [u32; 4],
    /// Where what the row has beyond four begins, and how much that is.
    from: u32,
    beyond: u32,
}

/// Rows of (place, weight) pairs. Their places stay, their weights may change.
#[derive(Debug, Clone, Default)]
pub(super) struct Short {
    rows: Vec<Row>,
    more: Vec<(u32, f64)>,
}

impl Short {
    /// No rows.
    pub(super) fn clear(&mut self) {
        self.rows.clear();
        self.more.clear();
    }

    /// Adds a row; `none` is the place that holds nought.
    pub(super) fn push(&mut self, none: usize, (places, weights): (&[u32], &[f64])) {
        let mut row = Row {
            weight: [0.0; 4],
            place: [none as u32; 4],
            from: self.more.len() as u32,
            beyond: places.len().saturating_sub(4) as u32,
        };
        let first = row.place.iter_mut().zip(&mut row.weight);
        for ((place, weight), (&own, &value)) in first.zip(places.iter().zip(weights)) {
            (*place, *weight) = (own, value);
        }
        let pairs = places.iter().copied().zip(weights.iter().copied());
        self.more.extend(pairs.skip(4));
        self.rows.push(row);
    }

    /// Gives a row other weights.
    pub(super) fn set(&mut self, i: usize, weights: &[f64]) {
        let row = &mut self.rows[i];
        for (weight, value) in row.weight.iter_mut().zip(weights) {
            *weight = *value;
        }
        let (from, beyond) = (row.from as usize, row.beyond as usize);
        let more = &mut self.more[from..from + beyond];
        for ((_, weight), value) in more.iter_mut().zip(weights.iter().skip(4)) {
            *weight = *value;
        }
    }

    /// Some rows, one after another.
    #[inline(always)]
    pub(super) fn rows(&self, (from, to): (u32, u32)) -> &[Row] {
        &self.rows[from as usize..to as usize]
    }

    /// One row.
    #[inline(always)]
    pub(super) fn at(&self, i: usize) -> &Row {
        &self.rows[i]
    }

    /// A row times `x`.
    #[inline(always)]
    pub(super) fn times(&self, row: &Row, x: &[f64]) -> f64 {
        let ([a, b, c, d], [s, t, u, v]) = (row.place, row.weight);
        let first =
            (s * x[a as usize] + t * x[b as usize]) + (u * x[c as usize] + v * x[d as usize]);
        if row.beyond == 0 {
            return first;
        }
        let more = &self.more[row.from as usize..(row.from + row.beyond) as usize];
        more.iter()
            .fold(first, |sum, &(j, w)| sum + w * x[j as usize])
    }

    /// The entries of a row.
    pub(super) fn row(&self, i: usize) -> impl Iterator<Item = (usize, f64)> {
        let row = &self.rows[i];
        let more = &self.more[row.from as usize..(row.from + row.beyond) as usize];
        let short = row.place.into_iter().zip(row.weight);
        short
            .chain(more.iter().copied())
            .map(|(j, w)| (j as usize, w))
    }
}
