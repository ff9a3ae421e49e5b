//! A stack that the search found, by the cloths of the whole list.

use crate::search::{Candidate, Goal, Middle};

/// A stack, by the layings and the core of the whole list.
#[derive(Clone, PartialEq)]
pub(super) struct Pick {
    pub(super) half: Vec<usize>,
    pub(super) middle: Middle,
    pub(super) thickness: f64,
    pub(super) mass: f64,
    pub(super) cost: Option<f64>,
    pub(super) fossil: f64,
    pub(super) fill: f64,
    pub(super) plies: u32,
}

impl Pick {
    /// A candidate of two cloths, by the layings of the whole list.
    pub(super) fn of(candidate: &Candidate, map: &[usize]) -> Self {
        Self {
            half: candidate.half.iter().map(|&i| map[i]).collect(),
            middle: of_list(candidate.middle, map),
            thickness: candidate.thickness,
            mass: candidate.mass,
            cost: candidate.cost,
            fossil: candidate.fossil,
            fill: candidate.fill,
            plies: candidate.plies,
        }
    }

    /// Whether a candidate is this stack.
    pub(super) fn is(&self, candidate: &Candidate, map: &[usize]) -> bool {
        let half = candidate.half.iter().map(|&i| map[i]);
        self.half.iter().copied().eq(half) && self.middle == of_list(candidate.middle, map)
    }

    /// Its figure for each goal.
    pub(super) fn figures(&self) -> [f64; 5] {
        Goal::ALL.map(|goal| match goal {
            Goal::Lightest => self.mass,
            Goal::Cheapest => self.cost.unwrap_or(f64::INFINITY),
            Goal::LowestFossil => self.fossil,
            Goal::Thinnest => self.thickness,
            Goal::EasiestFill => self.fill,
        })
    }
}

/// The middle of a stack, by the layings of the whole list.
fn of_list(middle: Middle, map: &[usize]) -> Middle {
    match middle {
        Middle::Ply(i) => Middle::Ply(map[i]),
        other => other,
    }
}
