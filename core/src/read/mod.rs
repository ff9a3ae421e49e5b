//! Reads documents that people wrote: finds every problem at once and says what to do about each.

mod field;
mod problem;
mod reader;

pub use field::{Field, Needed, ReadingError, Usual};
pub use problem::Problem;
pub(crate) use reader::{Reader, Shared};
