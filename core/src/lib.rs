//! Bastwork computes a moulding job in flax and other bast fibres, from dry cloth to trimmed edge.

pub mod law;
pub mod plan;
pub mod range;
pub mod read;
pub mod sheet;
pub mod shelf;
pub mod solve;
pub mod units;

pub use shelf::Shelf;
