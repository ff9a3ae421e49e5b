//! Fill time of a strip that climbs or falls: resin has weight.

use super::super::{LawError, within};
use super::strip_fill_time;

/// Standard gravity [m/s2].
pub(crate) const GRAVITY: f64 = 9.80665;

/// A strip that rises or falls while it fills.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rise {
    /// Resin viscosity [Pa s].
    pub viscosity: f64,
    /// Porosity [-].
    pub porosity: f64,
    /// Length along the part [m].
    pub length: f64,
    /// Permeability along the flow [m2].
    pub permeability: f64,
    /// Ambient less bag, at the level of the feed [Pa].
    pub pressure: f64,
    /// Density of the liquid resin [kg/m3].
    pub resin_density: f64,
    /// Height gained per length: 1 straight up, 0 level, -1 straight down [-].
    pub slope: f64,
}

/// Fill time of a strip against or with gravity.
///
/// t = mu phi / (K G) * [-L - L_m ln(1 - L / L_m)], G = rho g slope, L_m = dp / G
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `strip` | mu [Pa s], phi [-], L [m], K [m2], dp [Pa], rho [kg/m3] and slope | [-] |
///
/// # Returns
/// Time until the far end is reached [s].
/// # Valid for
/// Rises lower than the pressure can lift, L < L_m (8 m for epoxy).
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::flow::{Rise, rise_fill_time, strip_fill_time};
/// let up = Rise { viscosity: 0.3, porosity: 0.65, length: 0.5, permeability: 3e-11, pressure: 9e4,
///     resin_density: 1100.0, slope: 1.0 };
/// let longer = rise_fill_time(&up)? / strip_fill_time(0.3, 0.65, 0.5, 3e-11, 9e4)?;
/// assert!((longer - 1.042).abs() < 5e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Darcy law with gravity (the Lucas and Washburn form with weight), textbook.
pub fn rise_fill_time(strip: &Rise) -> Result<f64, LawError> {
    let level = strip_fill_time(
        strip.viscosity,
        strip.porosity,
        strip.length,
        strip.permeability,
        strip.pressure,
    )?;
    within("resin_density", strip.resin_density, 500.0, 3000.0)?;
    within("slope", strip.slope, -1.0, 1.0)?;
    let x = strip.resin_density * GRAVITY * strip.slope * strip.length / strip.pressure;
    within("share of the pressure taken by the rise", x, -1e3, 0.999)?;
    // Against the level strip the time is (-x - ln(1 - x)) / (x^2 / 2); the series avoids 0 / 0.
    let factor = if x.abs() < 1e-3 {
        1.0 + x * (2.0 / 3.0 + x * (0.5 + x * 0.4))
    } else {
        (-x - (-x).ln_1p()) / (0.5 * x * x)
    };
    Ok(level * factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rising_takes_longer_and_falling_shorter() {
        // Closed form evaluated apart from this code (arithmetic check).
        let factor = |length, slope| {
            let strip = Rise {
                viscosity: 0.3,
                porosity: 0.65,
                length,
                permeability: 3e-11,
                pressure: 9e4,
                resin_density: 1100.0,
                slope,
            };
            rise_fill_time(&strip).unwrap()
                / strip_fill_time(0.3, 0.65, length, 3e-11, 9e4).unwrap()
        };
        assert!((factor(1.0, 1.0) - 1.088).abs() < 1e-3);
        assert!((factor(0.5, -1.0) - 0.962).abs() < 1e-3);
        assert!((factor(1.0, -1.0) - 0.927).abs() < 1e-3);
        assert_eq!(factor(1.0, 0.0), 1.0);
        // Both branches meet where they join: 1e-3 of the pressure is 8.343 mm of rise.
        let join = 1e-3 * 9e4 / (1100.0 * GRAVITY);
        assert!((factor(join * 0.9999, 1.0) - factor(join * 1.0001, 1.0)).abs() < 1e-6);
    }

    #[test]
    fn no_bag_lifts_epoxy_nine_metres() {
        let tall = Rise {
            viscosity: 0.3,
            porosity: 0.65,
            length: 9.0,
            permeability: 3e-11,
            pressure: 9e4,
            resin_density: 1100.0,
            slope: 1.0,
        };
        assert!(rise_fill_time(&tall).is_err());
    }
}
