//! Physical laws and handbook rules, one a file: pure functions in SI units that know nothing of plans.
//!
//! Every function states its equation, units, valid range, a worked example and its source.

pub mod atmosphere;
pub mod bag_drying;
pub mod batches;
pub mod beam;
pub mod buckling;
pub mod closed_oven;
pub mod coat;
pub mod compaction;
pub mod composition;
pub mod convection;
pub mod creep;
pub mod cure;
pub mod cut_heat;
pub mod damping;
pub mod drop_test;
pub mod expansion;
pub mod failure;
pub mod film_time;
pub mod flow;
pub mod flow_mesh;
pub mod footprint;
pub mod front_map;
pub mod gauge;
pub mod grit;
pub mod holdup;
pub mod knee;
pub mod laminate;
pub mod laminate_cure;
pub mod last_load;
pub mod leak;
pub mod micromechanics;
pub mod mix;
pub mod off_ratio;
pub mod oven;
pub mod panel;
pub mod permeability;
pub mod plate;
pub mod pot;
pub mod pot_life;
pub mod prepreg;
pub mod pump;
pub mod resin_ages;
pub mod ring;
pub mod sandwich;
pub mod section;
pub mod sorption;
pub mod speed;
pub mod stoichiometry;
pub mod strand;
pub mod sun_warmth;
pub mod thickening;
pub mod thickness;
pub mod thin_plate;
pub mod trim_allowance;
pub mod viscosity;
pub mod void_limit;
pub mod warm;
pub mod water_vapour;
pub mod weighings;
pub mod wet;

mod error;
mod wood_curve;

pub use error::{LawError, OutOfRange, positive, within};
