//! Large symmetric networks solved by smoothed aggregation and conjugate gradients, whichever points are held.
//!
//! The ladder of coarser networks is made once. Points that are held (feeds, vents, dry cloth) are cut out of every rung
//! before a solve, so that one ladder serves all of them.

mod half;
mod ladder;
mod last;
mod matrix;
mod product;
mod reduced;
mod rung;

pub(super) use ladder::Ladder;
pub(super) use matrix::Matrix;
pub(super) use reduced::{Reduced, Room};

#[cfg(test)]
mod tests;
