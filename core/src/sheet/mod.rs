//! The sheet: everything that follows from a plan, stage by stage, every figure with its range and sources.

mod desk;
mod estimate;
mod note;
mod source;
mod spread;

pub use desk::{Input, Origin};
pub(crate) use desk::{Asked, Desk, Law};
pub use estimate::{Driver, Estimate, Shown};
pub use note::{Note, StageName, Weight};
pub use source::{Basis, Grade, Source};
pub use spread::Spread;
