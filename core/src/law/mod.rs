//! Physical laws and handbook rules, one a file: pure functions in SI units that know nothing of plans.
//!
//! Every function states its equation, units, valid range, a worked example and its source.

mod error;

pub use error::{LawError, positive, within};
