//! How fast still air takes heat from a surface: natural convection and radiation.
//!
//! For cups, trays and bags in a room without a draught. Does not cover fans, water or sunlight.

use super::{LawError, positive, within};

/// Stefan-Boltzmann constant, CODATA 2018 [W/(m^2 K^4)].
const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
const GRAVITY: f64 = 9.806_65;

/// What air is like at a temperature, at one atmosphere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StillAir {
    /// Conductivity [W/(m K)].
    pub conductivity: f64,
    /// Kinematic viscosity [m^2/s].
    pub viscosity: f64,
    /// Prandtl number [-].
    pub prandtl: f64,
}

/// Dry air at one atmosphere.
///
/// mu = 1.458e-6 T^1.5 / (T + 110.4); k = 2.646e-3 T^1.5 / (T + 245.4 10^(-12/T)); rho = p M / (R T); c = 1006 J/(kg K)
///
/// # Returns
/// Conductivity [W/(m K)], kinematic viscosity [m^2/s] and Prandtl number [-].
/// # Valid for
/// 250 to 400 K.
/// # Errors
/// [`LawError::OutOfRange`] outside that.
/// # Example
/// ```
/// let air = bastwork::law::convection::still_air(300.0)?;
/// assert!((air.conductivity - 0.0264).abs() < 2e-4, "CoolProp 8.0: 0.02638");
/// assert!((air.viscosity / 1.576e-5 - 1.0).abs() < 0.01, "CoolProp 8.0: 1.575e-5");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// U.S. Standard Atmosphere 1976, equations 51 and 53.
pub fn still_air(temperature: f64) -> Result<StillAir, LawError> {
    let t = within("temperature", temperature, 250.0, 400.0)?;
    let dynamic = 1.458e-6 * t.powf(1.5) / (t + 110.4);
    let conductivity = 2.646_38e-3 * t.powf(1.5) / (t + 245.4 * 10_f64.powf(-12.0 / t));
    let density = 101_325.0 * 0.028_964_4 / (8.314_32 * t);
    Ok(StillAir {
        conductivity,
        viscosity: dynamic / density,
        prandtl: 1006.0 * dynamic / conductivity,
    })
}

/// Rayleigh number of a surface in air.
fn rayleigh(surface: f64, air: f64, size: f64) -> Result<(f64, StillAir), LawError> {
    let mean =
        0.5 * (within("surface", surface, 250.0, 400.0)? + within("air", air, 250.0, 400.0)?);
    let film = still_air(mean)?;
    let size = positive("size", size)?;
    let number = GRAVITY * (surface - air).abs() * size.powi(3) * film.prandtl
        / (mean * film.viscosity * film.viscosity);
    Ok((number, film))
}

/// Heat transfer from a vertical wall to still air.
///
/// Nu = 0.68 + 0.670 Ra^(1/4) / [1 + (0.492/Pr)^(9/16)]^(4/9), h = Nu k / L
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `surface` | temperature of the wall | [K] |
/// | `air` | temperature of the air | [K] |
/// | `height` | L | [m] |
///
/// # Returns
/// Heat transfer [W/(m^2 K)].
/// # Valid for
/// Laminar flow, Ra to 1e9; it is a little low above.
/// # Errors
/// [`LawError::OutOfRange`] for temperatures outside 250..400 K or a height that is not positive.
/// # Example
/// ```
/// let h = bastwork::law::convection::vertical_wall(336.15, 296.15, 0.08)?;
/// assert!((h - 6.4).abs() < 0.1, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Churchill and Chu 1975, Int. J. Heat Mass Transfer 18:1323, laminar form (from memory).
pub fn vertical_wall(surface: f64, air: f64, height: f64) -> Result<f64, LawError> {
    let (number, film) = rayleigh(surface, air, height)?;
    let prandtl = (1.0 + (0.492 / film.prandtl).powf(9.0 / 16.0)).powf(4.0 / 9.0);
    let nusselt = 0.68 + 0.670 * number.powf(0.25) / prandtl;
    Ok(nusselt * film.conductivity / height)
}

/// Heat transfer from a warm surface that faces up to still air.
///
/// Nu = 0.54 Ra^(1/4) below Ra = 1e7, 0.15 Ra^(1/3) above, h = Nu k / L, L = area over circumference
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `surface` | temperature of the surface, warmer than the air | [K] |
/// | `air` | temperature of the air | [K] |
/// | `length` | L, area over circumference | [m] |
///
/// # Returns
/// Heat transfer [W/(m^2 K)].
/// # Valid for
/// Ra from 1e4 to 1e11.
/// # Errors
/// [`LawError::OutOfRange`] for temperatures outside 250..400 K or a length that is not positive.
/// # Example
/// ```
/// let h = bastwork::law::convection::facing_up(306.15, 296.15, 0.1)?;
/// assert!(h > 4.0 && h < 7.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// McAdams 1954, as in Incropera et al., equations 9.30 and 9.31 (from memory).
pub fn facing_up(surface: f64, air: f64, length: f64) -> Result<f64, LawError> {
    let (number, film) = rayleigh(surface, air, length)?;
    let nusselt = if number < 1e7 {
        0.54 * number.powf(0.25)
    } else {
        0.15 * number.cbrt()
    };
    Ok(nusselt * film.conductivity / length)
}

/// Heat transfer by radiation to walls as warm as the air.
///
/// h = epsilon sigma (Ts^2 + Ta^2)(Ts + Ta)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `surface` | Ts | [K] |
/// | `air` | Ta, of the walls around | [K] |
/// | `emissivity` | epsilon, about 0.9 for resin, plastic and wood | [-] |
///
/// # Returns
/// Heat transfer [W/(m^2 K)].
/// # Valid for
/// A small body in a large room.
/// # Errors
/// [`LawError::OutOfRange`] for temperatures outside 200..600 K or an emissivity outside 0..1.
/// # Example
/// ```
/// let h = bastwork::law::convection::radiation(306.15, 296.15, 0.9)?;
/// assert!((h - 5.6).abs() < 0.05, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Stefan-Boltzmann law; constant from CODATA 2018.
pub fn radiation(surface: f64, air: f64, emissivity: f64) -> Result<f64, LawError> {
    let s = within("surface", surface, 200.0, 600.0)?;
    let a = within("air", air, 200.0, 600.0)?;
    Ok(within("emissivity", emissivity, 0.0, 1.0)? * STEFAN_BOLTZMANN * (s * s + a * a) * (s + a))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_the_arithmetic_check_for_cups_and_bags() {
        // Height [mm], warmer by [K], convection and radiation [W/(m^2 K)], room at 23 C.
        for (mm, warmer, convection, radiated) in [
            (80.0, 10.0, 4.6, 5.6),
            (80.0, 40.0, 6.4, 6.5),
            (100.0, 30.0, 5.6, 6.2),
            (300.0, 10.0, 3.2, 5.6),
            (500.0, 5.0, 2.4, 5.4),
        ] {
            let (air, surface) = (296.15, 296.15 + warmer);
            let h = vertical_wall(surface, air, mm / 1e3).unwrap();
            assert!((h - convection).abs() < 0.11, "{mm} {warmer}: {h}");
            let r = radiation(surface, air, 0.9).unwrap();
            assert!((r - radiated).abs() < 0.06, "{mm} {warmer}: {r}");
        }
    }

    #[test]
    fn refuses_celsius() {
        assert!(vertical_wall(33.0, 23.0, 0.1).is_err());
        assert!(radiation(33.0, 23.0, 0.9).is_err());
        assert!(facing_up(306.0, 296.0, 0.0).is_err());
    }
}
