//! Time for resin to fill a part along one direction, and how far it gets.
//!
//! One-dimensional Darcy flow. Viscosity is constant here: with a resin that thickens, put the thin-resin time of
//! `thickening` in place of the clock. Does not cover flow mesh (see `flow_mesh`) or channels along an edge.

mod bag;
mod gap;
mod open_feed;
mod planar;
mod rise;
mod trapped;
mod tube;

pub use bag::{
    BAG_FACTOR, BAG_FACTOR_SPREAD, bag_compaction_factor, equalisation_time, inlet_thickening,
};
pub use gap::{corner_gap, gap_permeability};
pub use open_feed::gained_while_open;
pub use planar::{
    Perimeter, ellipse_fill_time, radial_in_fill_time, radial_out_fill_time, rectangle_fill_time,
};
pub(crate) use rise::GRAVITY;
pub use rise::{Rise, rise_fill_time};
pub use trapped::trapped_share;
pub use tube::{FeedLine, feed_line_resistance, reach_through_tube, through_tube, tube_loss};

use super::{LawError, within};

/// Checks what every flow law is given.
fn fluid(viscosity: f64, porosity: f64, permeability: f64, pressure: f64) -> Result<(), LawError> {
    within("viscosity", viscosity, 1e-5, 1e6)?;
    within("porosity", porosity, 0.02, 1.0)?;
    within("permeability", permeability, 1e-17, 1e-4)?;
    within("pressure", pressure, 1.0, 2e6)?;
    Ok(())
}

/// Fill time from a line inlet at constant pressure difference.
///
/// t = mu phi L^2 / (2 K dp)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu, resin viscosity, constant during the fill | [Pa s] |
/// | `porosity` | phi = 1 - V_f | [-] |
/// | `length` | L, from the feed to the far edge | [m] |
/// | `permeability` | K, unsaturated, along the flow | [m2] |
/// | `pressure` | dp, ambient less bag | [Pa] |
///
/// # Returns
/// Time until the front reaches the far edge [s].
/// # Valid for
/// Stiff bag and even thickness; multiply by [`bag_compaction_factor`] under a film.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let t = bastwork::law::flow::strip_fill_time(0.3, 0.65, 0.5, 3e-11, 9e4)?;
/// assert!((t - 9027.78).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook Darcy law; Advani and Sozer, Process Modeling in Composites Manufacturing (from memory).
pub fn strip_fill_time(
    viscosity: f64,
    porosity: f64,
    length: f64,
    permeability: f64,
    pressure: f64,
) -> Result<f64, LawError> {
    fluid(viscosity, porosity, permeability, pressure)?;
    within("length", length, 0.0, 1e3)?;
    Ok(viscosity * porosity * length * length / (2.0 * permeability * pressure))
}

/// How far resin gets from a line inlet in a given time.
///
/// L = sqrt(2 K dp t / (mu phi))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu | [Pa s] |
/// | `porosity` | phi | [-] |
/// | `time` | t; thin-resin time when the resin thickens | [s] |
/// | `permeability` | K | [m2] |
/// | `pressure` | dp | [Pa] |
///
/// # Returns
/// Distance of the front from the feed [m].
/// # Valid for
/// As [`strip_fill_time`]; divide the time by the bag factor first.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let reach = bastwork::law::flow::strip_reach(0.3, 0.65, 1800.0, 3e-11, 9e4)?;
/// assert!((reach - 0.2233).abs() < 5e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The inverse of [`strip_fill_time`].
pub fn strip_reach(
    viscosity: f64,
    porosity: f64,
    time: f64,
    permeability: f64,
    pressure: f64,
) -> Result<f64, LawError> {
    fluid(viscosity, porosity, permeability, pressure)?;
    within("time", time, 0.0, 1e9)?;
    Ok((2.0 * permeability * pressure * time / (viscosity * porosity)).sqrt())
}

/// Speed of the front at a distance from a line inlet.
///
/// v = K dp / (mu phi L)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu | [Pa s] |
/// | `porosity` | phi | [-] |
/// | `length` | L, where the front is | [m] |
/// | `permeability` | K | [m2] |
/// | `pressure` | dp | [Pa] |
///
/// # Returns
/// Front speed [m/s].
/// # Valid for
/// As [`strip_fill_time`], at any distance above zero.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let v = bastwork::law::flow::front_speed(0.3, 0.65, 0.5, 3e-11, 9e4)?;
/// assert!((v - 2.769e-5).abs() < 1e-8);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook Darcy law, the derivative of [`strip_reach`].
pub fn front_speed(
    viscosity: f64,
    porosity: f64,
    length: f64,
    permeability: f64,
    pressure: f64,
) -> Result<f64, LawError> {
    fluid(viscosity, porosity, permeability, pressure)?;
    within("length", length, 1e-6, 1e3)?;
    Ok(permeability * pressure / (viscosity * porosity * length))
}

/// One stretch of a strip, in the order the resin meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Length along the flow [m].
    pub length: f64,
    /// Permeability along the flow [m2].
    pub permeability: f64,
    /// Porosity [-].
    pub porosity: f64,
    /// Thickness [m].
    pub thickness: f64,
}

/// Fill time of stretches one behind another.
///
/// t = mu / dp * sum_k [ c_k L_k^2 / (2 a_k) + c_k L_k sum_(j before k) L_j / a_j ], a = h K, c = h phi
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu | [Pa s] |
/// | `pressure` | dp | [Pa] |
/// | `stretches` | lengths [m], K [m2], phi [-], h | [m] |
///
/// # Returns
/// Time until the far end of the last stretch is reached [s].
/// # Valid for
/// Same width everywhere; the order matters, often by a factor of two.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow::{Stretch, series_fill_time};
/// let open = Stretch { length: 0.2, permeability: 1e-10, porosity: 0.8, thickness: 3e-3 };
/// let tight = Stretch { length: 0.3, permeability: 2e-11, porosity: 0.65, thickness: 3e-3 };
/// assert!((series_fill_time(0.3, 9e4, &[open, tight])? - 6708.3).abs() < 0.05);
/// assert!((series_fill_time(0.3, 9e4, &[tight, open])? - 13408.3).abs() < 0.05);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook Darcy law in series; example numbers are an arithmetic check.
pub fn series_fill_time(
    viscosity: f64,
    pressure: f64,
    stretches: &[Stretch],
) -> Result<f64, LawError> {
    let (mut resistance, mut sum) = (0.0, 0.0);
    for stretch in stretches {
        fluid(viscosity, stretch.porosity, stretch.permeability, pressure)?;
        within("length", stretch.length, 0.0, 1e3)?;
        within("thickness", stretch.thickness, 1e-6, 1.0)?;
        let own = stretch.length / (stretch.thickness * stretch.permeability);
        let volume = stretch.thickness * stretch.porosity * stretch.length;
        sum += volume * (0.5 * own + resistance);
        resistance += own;
    }
    Ok(viscosity / pressure * sum)
}

/// Fill time of a strip at a constant flow of resin.
///
/// t = phi L S / Q
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `porosity` | phi | [-] |
/// | `length` | L | [m] |
/// | `section` | S, width times thickness | [m2] |
/// | `flow` | Q, resin volume per time | [m3/s] |
///
/// # Returns
/// Time until the far edge is reached [s].
/// # Valid for
/// A pump or a tube that sets the flow.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let t = bastwork::law::flow::constant_flow_fill_time(0.65, 0.3, 0.3 * 3e-3, 2e-8)?;
/// assert!((t - 8775.0).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Volume balance.
pub fn constant_flow_fill_time(
    porosity: f64,
    length: f64,
    section: f64,
    flow: f64,
) -> Result<f64, LawError> {
    within("porosity", porosity, 0.02, 1.0)?;
    within("length", length, 0.0, 1e3)?;
    within("section", section, 1e-9, 1e2)?;
    within("flow", flow, 1e-15, 1.0)?;
    Ok(porosity * length * section / flow)
}

/// Pressure that a constant flow needs at the inlet of a strip.
///
/// p = mu Q L / (K S)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu | [Pa s] |
/// | `length` | L, wet length | [m] |
/// | `permeability` | K | [m2] |
/// | `section` | S, width times thickness | [m2] |
/// | `flow` | Q, resin volume per time | [m3/s] |
///
/// # Returns
/// Pressure above that in the bag [Pa].
/// # Valid for
/// More than ambient less bag cannot be had under a film.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let p = bastwork::law::flow::constant_flow_pressure(0.3, 0.3, 3e-11, 0.3 * 3e-3, 2e-8)?;
/// assert!((p - 66.67e3).abs() < 5.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook Darcy law.
pub fn constant_flow_pressure(
    viscosity: f64,
    length: f64,
    permeability: f64,
    section: f64,
    flow: f64,
) -> Result<f64, LawError> {
    fluid(viscosity, 1.0, permeability, 1.0)?;
    within("length", length, 0.0, 1e3)?;
    within("section", section, 1e-9, 1e2)?;
    within("flow", flow, 0.0, 1.0)?;
    Ok(viscosity * flow * length / (permeability * section))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_the_length_takes_a_quarter_and_the_reach_comes_back() {
        let t = strip_fill_time(0.3, 0.65, 0.5, 3e-11, 9e4).unwrap();
        let half = strip_fill_time(0.3, 0.65, 0.25, 3e-11, 9e4).unwrap();
        assert!((t / half - 4.0).abs() < 1e-12);
        assert!((strip_fill_time(0.3, 0.65, 0.3, 3e-11, 9e4).unwrap() - 3250.0).abs() < 1e-9);
        assert!((strip_reach(0.3, 0.65, t, 3e-11, 9e4).unwrap() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn speed_is_the_slope_of_the_reach() {
        let reach = |t| strip_reach(0.3, 0.65, t, 3e-11, 9e4).unwrap();
        let slope = (reach(1801.0) - reach(1799.0)) / 2.0;
        let v = front_speed(0.3, 0.65, reach(1800.0), 3e-11, 9e4).unwrap();
        assert!((slope / v - 1.0).abs() < 1e-6);
    }

    #[test]
    fn stretches_of_one_kind_are_one_strip() {
        let part = |length| Stretch {
            length,
            permeability: 3e-11,
            porosity: 0.65,
            thickness: 3e-3,
        };
        let t = series_fill_time(0.3, 9e4, &[part(0.1), part(0.25), part(0.15)]).unwrap();
        assert!((t / (0.3 * 0.65 * 0.25 / (2.0 * 3e-11 * 9e4)) - 1.0).abs() < 1e-12);
        let first = Stretch {
            permeability: 1e-10,
            porosity: 0.8,
            ..part(0.2)
        };
        assert!((series_fill_time(0.3, 9e4, &[first]).unwrap() - 533.33).abs() < 0.01);
    }

    #[test]
    fn says_no_outside_its_range() {
        assert!(strip_fill_time(0.3, 0.65, 0.5, 0.0, 9e4).is_err());
        assert!(strip_fill_time(f64::NAN, 0.65, 0.5, 3e-11, 9e4).is_err());
        assert!(strip_reach(0.3, 0.65, -1.0, 3e-11, 9e4).is_err());
    }
}
