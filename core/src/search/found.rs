//! What the search hands back.

use super::space::Middle;
use super::wish::Goal;
use crate::law::laminate::Matrix3;

/// One symmetric stack with its figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Choices by index, from the face inwards; the other half mirrors them.
    pub half: Vec<usize>,
    /// What lies in the middle.
    pub middle: Middle,
    /// Plies of the whole stack, cores not counted [-].
    pub plies: u32,
    /// Thickness [m].
    pub thickness: f64,
    /// Mass [kg/m2].
    pub mass: f64,
    /// Cost, when every price is known [money/m2].
    pub cost: Option<f64>,
    /// Fossil carbon [kg CO2e/m2].
    pub fossil: f64,
    /// Pores over conductance; infinite where nothing conducts [1/m2].
    pub fill: f64,
    /// A, stretching [Pa m].
    pub a: Matrix3,
    /// D, bending [Pa m3].
    pub d: Matrix3,
}

/// The best stacks, the trade-off, and how far the search got.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The best stack for each goal that has one, in the order of [`Goal::ALL`].
    pub found: Vec<(Goal, Candidate)>,
    /// The trade-off front, from the least of its first goal on: no stack is better than one of these at
    /// both goals, nor better at one and equal at the other.
    pub front: Vec<Candidate>,
    /// Stacks that the answer covers: every one that the most plies and the stock allow, those ruled out
    /// unseen included [-]. When cut short, only those of ply counts and middles gone through to the end.
    pub candidates: u64,
    /// Picks of plies and whole stacks whose figures were computed one by one [-].
    pub worked: u64,
    /// How often the expensive test was asked [-].
    pub asked: u64,
    /// Whether a limit stopped the search: the answer is then the best of what was seen.
    pub cut_short: bool,
    /// Every stack of up to this many plies was covered [-].
    pub whole_to: u32,
}

impl Outcome {
    /// The best stack for a goal.
    pub fn best(&self, goal: Goal) -> Option<&Candidate> {
        let of = |&&(known, _): &&(Goal, Candidate)| known == goal;
        self.found.iter().find(of).map(|(_, candidate)| candidate)
    }
}
