//! Numerics: roots, ordinary differential equations, quantiles. Nothing here knows of composites.

mod ode;
mod root;

pub use ode::{OdeStopped, Step, Track, follow};
pub use root::{NoRoot, root};
