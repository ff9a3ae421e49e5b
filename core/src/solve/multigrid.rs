//! Large symmetric networks solved by smoothed aggregation and conjugate gradients, whichever points are held.
//!
//! The hierarchy of coarser networks is made once. Points that are held (feeds, vents, dry cloth) are cut out of every level
//! before a solve, so that one hierarchy serves all of them.

mod half;
mod hierarchy;
mod last;
mod level;
mod matrix;
mod product;
mod reduced;

pub(super) use hierarchy::Hierarchy;
pub(super) use matrix::Matrix;
pub(super) use reduced::{Reduced, Room};

#[cfg(test)]
mod tests;
