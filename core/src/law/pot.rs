//! What a pot of mixed resin does when it is left standing: warms, thickens, gels, peaks.
//!
//! One temperature for the whole pot, with the resistance of its own bulk added to that of the air. Does not
//! cover boiling, smoke or a heat capacity that grows with temperature: the computed peak is shown as a
//! hazard class, never as a number.

mod course;
mod hazard;
mod shape;

pub use course::{Pot, PotCourse, pot_course};
pub use hazard::{Hazard, calm_depth, critical_ratio, hazard, heat_share, largest_calm_pot};
pub use shape::{Body, cup_diameter, cup_in_water, cylinder, tray};

/// Specific heat of liquid and curing epoxy, likely value [J/(kg K)]; 1700 to 2100 (from memory).
pub const HEAT_CAPACITY: f64 = 1800.0;
/// Density of a mixed infusion epoxy, likely value [kg/m^3] (from memory).
pub const DENSITY: f64 = 1100.0;
/// Heat conductivity of epoxy, likely value [W/(m K)]; 0.17 to 0.20 (from memory).
pub const CONDUCTIVITY: f64 = 0.2;
/// Heat transfer from a cup standing in still air, radiation included [W/(m^2 K)] (from memory).
pub const CUP_IN_AIR: f64 = 12.0;
/// Heat transfer from a cup in a stirred water bath [W/(m^2 K)] (from memory).
pub const CUP_IN_WATER: f64 = 100.0;
