//! How far a room-temperature epoxy has cured, when it gels and how hot it may get before it softens.
//!
//! Kinetics with a vitrification factor, the glass transition that goes with a conversion, a film at one
//! temperature and a film under a temperature programme. Does not cover self-heating: see [`super::pot`].
//!
//! The kinetics were fitted to one wind-blade resin and are scaled by a speed factor to another: times are
//! good to about 30 % and glass transitions to about 10 K (our judgement); own measurements beat them.

mod film;
mod fit;
mod glass;
mod kinetics;
mod late;
mod post_cure;
mod programme;

pub use film::{
    isothermal_cure, time_to_conversion, time_to_glass_transition, time_to_pass_own_temperature,
};
pub use fit::{KamalMalkin, kamal_malkin_course};
pub use glass::{Glass, conversion_at_glass_transition, gel_conversion, glass_transition};
pub use kinetics::{
    GAS_CONSTANT, GEL_CONVERSION, INFUSION_AMINE, Kinetics, LOW_REACTIVITY, Resin, curing_rate,
    steepest_rate,
};
pub use late::late_for;
pub use post_cure::{Oven, PostCured, fastest_ramp, post_cure};
pub use programme::programme_cure;

pub(crate) use film::film_start;
pub(crate) use kinetics::{rate_and_slopes, rate_unchecked};
