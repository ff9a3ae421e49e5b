//! Numerics: roots, ordinary differential equations, draws. Nothing here knows of composites.

mod cholesky;
mod conduct;
mod draws;
mod fit;
pub mod front;
mod lowest_mode;
mod multigrid;
mod ode;
mod order;
mod principal;
mod root;
pub(crate) mod sort;
mod stencil;
mod stiff;
pub mod surface;
mod turn;

pub use cholesky::solve_symmetric;
pub use conduct::{Fineness, Heated, Pace, Shape, Shells, State, Through, conduct};
pub use draws::{DRAWS, Z90, column, normal_slices};
pub use fit::{bounded_squares, lowest};
pub use lowest_mode::lowest_mode;
pub use ode::{OdeStopped, Step, Track, follow};
pub use order::order;
pub use principal::principal;
pub use root::{NoRoot, root};
pub use stencil::{Arm, Stencil};
pub use stiff::follow_stiff;
pub use turn::sin_cos;
