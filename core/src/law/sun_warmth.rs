//! How warm a sheet of material gets that lies in the sun: a balance of sun, sky and air in the steady state.
//!
//! Does not cover heat that runs along the part, rain, or clouds that pass; a thin part follows the sun in minutes.

use super::{LawError, within};
use crate::solve::root;

/// Stefan and Boltzmann's constant [W/(m^2 K^4)].
const SIGMA: f64 = 5.670_374_419e-8;

/// How the part lies, and what the air does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outdoors {
    /// It stands like a wall, and sees half sky and half ground; else it lies level.
    pub wall: bool,
    /// Its back loses heat as well; else it is insulated.
    pub open_back: bool,
    /// Wind [m/s]; none in still air.
    pub wind: Option<f64>,
}

/// Steady temperature of a part in the sun.
///
/// a G = e sigma (T^4 - T_round^4) + h (T - T_air), with on an open back e sigma (T^4 - T_air^4) + h_b (T - T_air) more;
/// T_sky = 0.0552 T_air^1.5; T_round^4 = T_sky^4 level, (T_sky^4 + T_air^4)/2 on a wall;
/// still: h = 1.52 d^(1/3) level, 1.31 d^(1/3) on a wall, h_b = h/2 level and h on a wall, d = T - T_air;
/// wind: h = h_b = 3.0 + 2.8 V, never less than still air
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `absorptance` | a, share of the sun that is taken up | [-] |
/// | `emissivity` | e; 0.9 for paint and bare laminate | [-] |
/// | `sun` | G, on the face | [W/m^2] |
/// | `air` | T_air | [K] |
/// | `how` | level or wall, back, wind V [m/s] | |
///
/// # Returns
/// Temperature of the face [K]; of the whole part where its back is insulated.
/// # Valid for
/// Clear sky, absorptance 0.15 to 0.98. Three outside figures lie 3 K below to 9 K above it: add five to ten kelvin.
/// # Errors
/// [`LawError::OutOfRange`] for shares outside 0.02..1, sun outside 0..1500, air outside 223..333 K, wind outside 0..30.
/// # Example
/// ```
/// use bastwork::law::sun_warmth::{Outdoors, sunlit};
/// let roof = Outdoors { wall: false, open_back: false, wind: None };
/// let black = sunlit(0.95, 0.9, 1000.0, 308.15, roof)? - 273.15;
/// let white = sunlit(0.25, 0.9, 1000.0, 308.15, roof)? - 273.15;
/// assert!((black - 98.0).abs() < 0.6 && (white - 54.0).abs() < 0.6, "by hand");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Heat balance; sky after Swinbank 1963, Q. J. R. Meteorol. Soc. 89:339; still air after McAdams, wind after Jurges, as
/// in solar engineering textbooks (all from memory).
pub fn sunlit(
    absorptance: f64,
    emissivity: f64,
    sun: f64,
    air: f64,
    how: Outdoors,
) -> Result<f64, LawError> {
    let a = within("absorptance", absorptance, 0.02, 1.0)?;
    let e = within("emissivity", emissivity, 0.02, 1.0)?;
    let g = within("sun", sun, 0.0, 1500.0)?;
    let t_air = within("air", air, 223.15, 333.15)?;
    let wind = within("wind", how.wind.unwrap_or(0.0), 0.0, 30.0)?;
    let sky = (0.0552 * t_air.powf(1.5)).powi(4);
    let round = if how.wall {
        0.5 * (sky + t_air.powi(4))
    } else {
        sky
    };
    let blown = how.wind.map_or(0.0, |_| 3.0 + 2.8 * wind);
    let left = |t: f64| {
        let over = t - t_air;
        let still = if how.wall { 1.31 } else { 1.52 } * over.abs().cbrt();
        let behind = if how.wall { still } else { 0.5 * still };
        let back = if how.open_back {
            e * SIGMA * (t.powi(4) - t_air.powi(4)) + blown.max(behind) * over
        } else {
            0.0
        };
        e * SIGMA * (t.powi(4) - round) + blown.max(still) * over + back - a * g
    };
    root(left, 200.0, 460.0, 1e-6).map_err(|_| LawError::Unsolved {
        what: "the temperature in the sun",
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(a: f64, sun: f64, celsius: f64, how: Outdoors) -> f64 {
        sunlit(a, 0.9, sun, celsius + 273.15, how).unwrap() - 273.15
    }

    const LEVEL: Outdoors = Outdoors {
        wall: false,
        open_back: false,
        wind: None,
    };

    #[test]
    fn keeps_the_sums_done_by_hand() {
        // Level at 35 C and 1000 W/m2: still, 3 m/s, 6 m/s, back open; wall at 700 W/m2.
        let windy = |speed| Outdoors {
            wind: Some(speed),
            ..LEVEL
        };
        let open = Outdoors {
            open_back: true,
            ..LEVEL
        };
        let wall = Outdoors {
            wall: true,
            ..LEVEL
        };
        for (a, told) in [
            (0.25, [54.0, 46.0, 43.0, 46.0, 50.0]),
            (0.5, [72.0, 60.0, 52.0, 58.0, 65.0]),
            (0.7, [84.0, 70.0, 59.0, 66.0, 75.0]),
            (0.95, [98.0, 82.0, 68.0, 75.0, 86.0]),
        ] {
            let found = [
                at(a, 1000.0, 35.0, LEVEL),
                at(a, 1000.0, 35.0, windy(3.0)),
                at(a, 1000.0, 35.0, windy(6.0)),
                at(a, 1000.0, 35.0, open),
                at(a, 700.0, 35.0, wall),
            ];
            for (found, told) in found.into_iter().zip(told) {
                assert!((found - told).abs() < 1.1, "{a}: {found} {told}");
            }
        }
    }

    #[test]
    fn without_sun_it_is_colder_than_the_air_and_darker_is_warmer() {
        assert!(at(0.5, 0.0, 20.0, LEVEL) < 20.0);
        let mut before = 0.0;
        for a in [0.1, 0.3, 0.6, 0.9] {
            let now = at(a, 900.0, 25.0, LEVEL);
            assert!(now > before);
            before = now;
        }
        let breeze = Outdoors {
            wind: Some(0.0),
            ..LEVEL
        };
        assert!(at(0.9, 900.0, 25.0, breeze) <= at(0.9, 900.0, 25.0, LEVEL));
        assert!(sunlit(0.9, 0.9, 900.0, 25.0, LEVEL).is_err(), "celsius");
    }
}
