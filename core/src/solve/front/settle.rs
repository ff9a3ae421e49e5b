//! Sweeps near the front that settle what is wet between two solves.

use super::{Field, Held};

/// How many layers of points on either side of the front are settled.
const LAYERS: usize = 3;
/// How many sweeps there and back settle them.
const SWEEPS: usize = 3;
/// How far a sweep moves each point, of what it asks.
const OVER: f64 = 1.7;
/// Fewer dry points than this are no thick layer.
const SOME: usize = 8;

/// What a sweep gives a place: from its edges, and what its store takes from that.
struct Row {
    place: u32,
    /// Where its edges begin and end.
    from: u32,
    to: u32,
    push: f64,
}

/// Open places among which the front is.
pub(super) struct Band {
    pub(super) places: Vec<u32>,
    is_in: Vec<bool>,
}

impl Band {
    /// All open places.
    pub(super) fn whole(held: &Held) -> Self {
        let open = |&i: &u32| held.open[i as usize];
        Self {
            places: (0..held.open.len() as u32).filter(open).collect(),
            is_in: held.open.clone(),
        }
    }

    /// Goes back to all open places where something has changed that is not in the band.
    pub(super) fn widen(&mut self, held: &Held, changed: &[u32]) {
        if changed.iter().any(|&i| !self.is_in[i as usize]) {
            *self = Self::whole(held);
        }
    }

    /// Narrows it to what is near the front, in order, and to one layer beyond, which stands behind.
    ///
    /// Gives how many are near.
    fn narrow(&mut self, field: &Field, held: &Held, wet: &[bool], u: &[f64]) -> usize {
        let is_full = |j: usize| wet[j] || held.feed[j];
        let is_front = |i: usize| {
            let mut near = field.matrix.row(i).0.iter().map(|&j| j as usize);
            if wet[i] {
                u[i] < 0.0 || near.any(|j| !(is_full(j) || held.vent[j]))
            } else {
                near.any(is_full)
            }
        };
        for &i in &self.places {
            self.is_in[i as usize] = false;
        }
        let near = &mut self.places;
        near.retain(|&i| is_front(i as usize));
        for &i in &*near {
            self.is_in[i as usize] = true;
        }
        let (mut from, mut inner) = (0, 0);
        for _ in 0..=LAYERS {
            inner = near.len();
            for at in from..inner {
                for &j in field.matrix.row(near[at] as usize).0 {
                    if held.open[j as usize] && !self.is_in[j as usize] {
                        self.is_in[j as usize] = true;
                        near.push(j);
                    }
                }
            }
            from = inner;
        }
        near[..inner].sort_unstable();
        inner
    }
}

impl Field {
    /// Whether what a solve says is dry is many layers thick: most of it has nothing but dry around it.
    pub(super) fn is_thick(&self, dry: &[u32], wet: &[bool], u: &[f64]) -> bool {
        let sinks = |&j: &u32| wet[j as usize] && u[j as usize] <= 0.0;
        let is_inner = |&&i: &&u32| self.matrix.row(i as usize).0.iter().all(sinks);
        dry.len() > SOME && dry.iter().filter(is_inner).count() * 5 > dry.len() * 2
    }

    /// Settles what is wet near the front: projected over-relaxation (Cryer 1971, SIAM J. Control 9:385, from memory).
    ///
    /// The front is looked for in the band of the last time, where that holds it, and the band becomes that of now.
    pub(super) fn settle(
        &self,
        held: &Held,
        hold: &[f64],
        wet: &mut [bool],
        u: &mut [f64],
        band: &mut Band,
    ) {
        let inner = band.narrow(self, held, wet, u);
        let near = &band.places[..inner];
        let (rows, edges) = self.rows_of(near, hold);
        let mut relax = |row: &Row| {
            let others = &edges[row.from as usize..row.to as usize];
            let start = row.push + (1.0 - OVER) * u[row.place as usize];
            let sum = others
                .iter()
                .fold(start, |sum, &(j, w)| sum + w * u[j as usize]);
            u[row.place as usize] = sum.max(0.0);
        };
        for _ in 0..SWEEPS {
            rows.iter().for_each(&mut relax);
            rows.iter().rev().for_each(&mut relax);
        }
        for &i in near {
            wet[i as usize] = u[i as usize] > 0.0;
        }
    }

    /// What a sweep gives some places: rows close together, over their diagonals.
    fn rows_of(&self, near: &[u32], hold: &[f64]) -> (Vec<Row>, Vec<(u32, f64)>) {
        let mut rows = Vec::with_capacity(near.len());
        let mut edges = Vec::with_capacity(6 * near.len());
        for &place in near {
            let i = place as usize;
            let from = edges.len() as u32;
            let times = -OVER / self.matrix.diagonal(i);
            let (columns, values) = self.matrix.row(i);
            let others = columns.iter().zip(values).filter(|&(&j, _)| j != place);
            edges.extend(others.map(|(&j, a)| (j, a * times)));
            rows.push(Row {
                place,
                from,
                to: edges.len() as u32,
                push: hold[i] * times,
            });
        }
        (rows, edges)
    }
}
