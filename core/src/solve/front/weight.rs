//! The weight of what fills: a potential that rises with the height of a place, and pulls where it is wet.
//!
//! Along an edge that has been wet for a time s the weight has pushed s times conductance times the drop in head. So the
//! obstacle problem of each time stays one, with a store that is the less by what the weight has brought; when each edge
//! became wet is taken from the fill before, which is soon the same again.

use super::{CLOSE, Field, Held, MAX_ITERATIONS, Reduced, Steady};

/// How often the whole fill is worked out anew from when its edges became wet.
const ROUNDS: usize = 3;

impl Field {
    /// Gives each point a head: the weight of the fluid at its height, as a share of the driving potential.
    ///
    /// The driving potential is that at the lowest feed; feeds higher up push the less. Feeds that open in turn, and
    /// [`Field::wet_at`], leave the weight out.
    ///
    /// # Returns
    /// The field with its heads [-].
    /// # Valid for
    /// Heads that differ by less than one, one a point; with a fifth the time of [`Field::fill`] is good to about 1 percent.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::front::{Field, Gates};
    /// use bastwork::solve::surface::Triangles;
    /// let points: Vec<[f64; 3]> = (0..=50).flat_map(|i| [[0.0, 0.0, f64::from(i) * 0.02], [0.0, 0.02, f64::from(i) * 0.02]]).collect();
    /// let corners = (0..50).flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]]).collect();
    /// let strip = Triangles::new(points.clone(), corners)?;
    /// let gates = Gates { feeds: &[0, 1], vents: &[] };
    /// // Straight up, with a tenth of the potential at the top: -x - ln(1 - x) over x^2 in place of 1/2.
    /// let heads: Vec<f64> = points.iter().map(|p| 0.1 * p[2]).collect();
    /// let mut field = Field::even(&strip, 1.0, 1.0).weighed(&heads);
    /// assert!((field.fill(&gates).time - 0.53605).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    /// # Source
    /// Derived for Bastwork; the strip by the Darcy law with gravity, textbook.
    #[must_use]
    pub fn weighed(mut self, heads: &[f64]) -> Self {
        let head: Vec<f64> = self.point.iter().map(|&i| heads[i as usize]).collect();
        let uneven = head.windows(2).any(|pair| pair[0] != pair[1]);
        self.head = uneven.then_some(head);
        self.steady = None;
        self
    }

    /// What each feed pushes with, and what the weight brings to each open place, where there is any.
    pub(super) fn pulled(&self, held: &mut Held) {
        let Some(head) = &self.head else {
            return;
        };
        let feeds = (0..head.len()).filter(|&i| held.feed[i]);
        let lowest = feeds.map(|i| head[i]).fold(f64::INFINITY, f64::min);
        for (i, push) in held.push.iter_mut().enumerate() {
            if held.feed[i] {
                *push = (1.0 - head[i] + lowest).max(0.0);
            }
        }
        held.pull = Some(self.brought(held, |_, _| 1.0));
    }

    /// What the weight brings to each open place along its edges, each for so long.
    fn brought(&self, held: &Held, long: impl Fn(usize, usize) -> f64) -> Vec<f64> {
        let Some(head) = &self.head else {
            return Vec::new();
        };
        let one = |i: usize| {
            if !held.open[i] {
                return 0.0;
            }
            let (columns, values) = self.matrix.row(i);
            let edges = columns
                .iter()
                .zip(values)
                .filter(|&(&j, _)| j as usize != i);
            edges
                .map(|(&j, a)| -a * (head[j as usize] - head[i]) * long(i, j as usize))
                .sum()
        };
        (0..head.len()).map(one).collect()
    }

    /// The store of each place less what the weight has brought by a time, from when places became wet.
    pub(super) fn lightened(
        &self,
        held: &Held,
        hold: &[f64],
        since: &[f64],
        time: f64,
    ) -> Vec<f64> {
        let brought = self.brought(held, |i, j| (time - middle(since[i], since[j])).max(0.0));
        hold.iter().zip(brought).map(|(h, b)| h - b).collect()
    }

    /// As [`Field::steady`], with weight: from when edges become wet to the time for everything, and again.
    pub(super) fn steady_weighed(&mut self, held: &Held) -> (Vec<f64>, Vec<f64>) {
        let count = self.point.len();
        let pull = held.pull.clone().unwrap_or_default();
        let mut w = vec![0.0; count];
        let mut p = held.push.clone();
        let hold = self.hold.clone();
        let mut reduced = Reduced::of(&self.matrix, &self.hierarchy, &held.open, &mut self.room);
        reduced.solve(|i| hold[i], &mut w, (CLOSE, 1.0), MAX_ITERATIONS);
        reduced.solve(|i| pull[i], &mut p, (CLOSE, 1.0), MAX_ITERATIONS);
        for _ in 0..ROUNDS {
            w = self.whole_weighed(held, &since(held, &w, &p), w);
        }
        (w, p)
    }

    /// w from when places become wet, and a guess.
    pub(super) fn whole_weighed(
        &mut self,
        held: &Held,
        since: &[f64],
        mut w: Vec<f64>,
    ) -> Vec<f64> {
        // What never was wet has not been pulled.
        let late = self.brought(held, |i, j| {
            let t = middle(since[i], since[j]);
            if t.is_finite() { t } else { 0.0 }
        });
        let hold = &self.hold;
        let mut reduced = Reduced::of(&self.matrix, &self.hierarchy, &held.open, &mut self.room);
        reduced.solve(|i| hold[i] + late[i], &mut w, (CLOSE, 1.0), MAX_ITERATIONS);
        w
    }

    /// The same field without weight, for as long as something is asked that leaves it out.
    pub(super) fn without_weight<T>(&mut self, ask: impl FnOnce(&mut Self) -> T) -> T {
        let head = self.head.take();
        let steady: Option<Steady> = if head.is_some() {
            self.steady.take()
        } else {
            None
        };
        let told = ask(self);
        if head.is_some() {
            (self.head, self.steady) = (head, steady);
        }
        told
    }
}

/// About when places become wet, from the bounds of their times: exact along a level strip.
pub(super) fn since(held: &Held, w: &[f64], p: &[f64]) -> Vec<f64> {
    let bound = |i: usize| {
        if held.feed[i] {
            0.0
        } else if held.open[i] && p[i] > 1e-9 {
            (w[i] / p[i]).max(0.0)
        } else {
            f64::NAN
        }
    };
    let bounds: Vec<f64> = (0..w.len()).map(bound).collect();
    let whole = bounds
        .iter()
        .copied()
        .filter(|t| t.is_finite())
        .fold(0.0, f64::max);
    let since = |bound: f64| whole * (1.0 - (1.0 - bound / whole).max(0.0).sqrt()).powi(2);
    bounds.into_iter().map(since).collect()
}

/// When an edge became wet: the front is in its middle between its ends. One that is never wet, or a vent, has no time.
fn middle(a: f64, b: f64) -> f64 {
    match (a.is_nan(), b.is_nan()) {
        (true, true) => f64::INFINITY,
        (true, false) => b,
        (false, true) => a,
        (false, false) => f64::midpoint(a, b),
    }
}
