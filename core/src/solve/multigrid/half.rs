//! Short rows of a matrix, four entries side by side and the rest behind: most rows of a surface need no more.

/// Rows of (place, weight) pairs; what a row has less than four is filled up with a place that holds nought.
#[derive(Debug, Clone, Default)]
pub(super) struct Short {
    place: Vec<[u32; 4]>,
    weight: Vec<[f64; 4]>,
    /// Where what a row has beyond four begins, and the end of the last.
    start: Vec<u32>,
    more: Vec<(u32, f64)>,
    /// How many entries the open row has.
    count: usize,
}

impl Short {
    /// No rows.
    pub(super) fn clear(&mut self) {
        self.place.clear();
        self.weight.clear();
        self.more.clear();
        self.start.clear();
        self.start.push(0);
    }

    /// Begins a row; `none` is the place that holds nought.
    pub(super) fn open(&mut self, none: usize) {
        self.place.push([none as u32; 4]);
        self.weight.push([0.0; 4]);
        self.count = 0;
    }

    /// Adds to the open row.
    pub(super) fn push(&mut self, place: u32, weight: f64) {
        if let (0..4, Some(places), Some(weights)) =
            (self.count, self.place.last_mut(), self.weight.last_mut())
        {
            places[self.count] = place;
            weights[self.count] = weight;
        } else {
            self.more.push((place, weight));
        }
        self.count += 1;
    }

    /// Ends the open row.
    pub(super) fn close(&mut self) {
        self.start.push(self.more.len() as u32);
    }

    /// A row times `x`.
    #[inline(always)]
    pub(super) fn times(&self, i: usize, x: &[f64]) -> f64 {
        let ([a, b, c, d], [s, t, u, v]) = (self.place[i], self.weight[i]);
        let first =
            (s * x[a as usize] + t * x[b as usize]) + (u * x[c as usize] + v * x[d as usize]);
        let (from, to) = (self.start[i], self.start[i + 1]);
        if from == to {
            return first;
        }
        let more = &self.more[from as usize..to as usize];
        more.iter()
            .fold(first, |sum, &(j, w)| sum + w * x[j as usize])
    }

    /// Adds a row, so many times, to `x`.
    #[inline(always)]
    pub(super) fn add(&self, i: usize, times: f64, x: &mut [f64]) {
        let (places, weights) = (self.place[i], self.weight[i]);
        for (j, w) in places.into_iter().zip(weights) {
            x[j as usize] += w * times;
        }
        let (from, to) = (self.start[i], self.start[i + 1]);
        if from != to {
            for &(j, w) in &self.more[from as usize..to as usize] {
                x[j as usize] += w * times;
            }
        }
    }

    /// The entries of a row.
    pub(super) fn row(&self, i: usize) -> impl Iterator<Item = (usize, f64)> {
        let short = self.place[i].into_iter().zip(self.weight[i]);
        let more = &self.more[self.start[i] as usize..self.start[i + 1] as usize];
        short
            .chain(more.iter().copied())
            .map(|(j, w)| (j as usize, w))
    }
}
