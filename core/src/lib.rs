//! Bastwork computes a moulding job in flax and other bast fibres, from dry cloth to trimmed edge.

pub mod law;
pub mod solve;
