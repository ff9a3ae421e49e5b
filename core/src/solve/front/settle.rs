//! Sweeps near the front that settle what is wet between two solves.

use super::{Field, Held};

/// How many layers of points on either side of the front are settled.
const LAYERS: usize = 6;
/// How many sweeps there and back settle them.
const SWEEPS: usize = 8;
/// How far a sweep moves each point, of what it asks.
const OVER: f64 = 1.5;
/// Fewer dry points than this are no thick layer.
const SOME: usize = 8;

impl Field {
    /// Whether what a solve says is dry is many layers thick: most of it has nothing but dry around it.
    pub(super) fn is_thick(&self, dry: &[u32], wet: &[bool], u: &[f64]) -> bool {
        let sinks = |&j: &u32| wet[j as usize] && u[j as usize] <= 0.0;
        let is_inner = |&&i: &&u32| self.matrix.row(i as usize).0.iter().all(sinks);
        dry.len() > SOME && dry.iter().filter(is_inner).count() * 5 > dry.len() * 2
    }

    /// Settles what is wet near the front: projected over-relaxation (Cryer 1971, SIAM J. Control 9:385, from memory).
    pub(super) fn settle(&self, held: &Held, hold: &[f64], wet: &mut [bool], u: &mut [f64]) {
        let near = self.near_front(held, wet, u);
        let mut relax = |&i: &u32| {
            let i = i as usize;
            let rest = -hold[i] - self.matrix.times(i, u);
            u[i] = (u[i] + OVER * rest / self.matrix.diagonal(i)).max(0.0);
        };
        for _ in 0..SWEEPS {
            near.iter().for_each(&mut relax);
            near.iter().rev().for_each(&mut relax);
        }
        for &i in &near {
            wet[i as usize] = u[i as usize] > 0.0;
        }
    }

    /// Open places within some layers of the front, in order.
    fn near_front(&self, held: &Held, wet: &[bool], u: &[f64]) -> Vec<u32> {
        let mut near: Vec<u32> = Vec::new();
        let mut is_near = vec![false; wet.len()];
        let state = |j: usize| (!held.vent[j]).then_some(wet[j] || held.feed[j]);
        for i in (0..wet.len()).filter(|&i| held.open[i]) {
            let differs = |&j: &u32| state(j as usize).is_some_and(|is_wet| is_wet != wet[i]);
            if u[i] < 0.0 || self.matrix.row(i).0.iter().any(differs) {
                is_near[i] = true;
                near.push(i as u32);
            }
        }
        let mut from = 0;
        for _ in 0..LAYERS {
            let to = near.len();
            for at in from..to {
                for &j in self.matrix.row(near[at] as usize).0 {
                    if held.open[j as usize] && !is_near[j as usize] {
                        is_near[j as usize] = true;
                        near.push(j);
                    }
                }
            }
            from = to;
        }
        near.sort_unstable();
        near
    }
}
