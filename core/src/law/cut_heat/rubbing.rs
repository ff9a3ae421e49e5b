//! How much more one way of rubbing along an edge heats it than another: speed, pace, depth and wear against each other.
//!
//! The force itself is never known of work by hand, and it cancels here. Does not give a temperature.

use super::{Contact, GRAIN_CONTACT, heat_share, temperature_rise};
use crate::law::{LawError, positive};

/// A tool that rubs along an edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rubbing {
    /// Speed of the rim or blade over the edge [m/s].
    pub surface_speed: f64,
    /// Length of the contact in the direction of travel [m]; [`super::contact_length`] of a deeper pass is longer.
    pub length: f64,
    /// Speed of travel along the edge [m/s].
    pub travel: f64,
    /// Friction against that of a sharp, clean tool [-].
    pub wear: f64,
}

/// How many times as much one way of rubbing warms the surface as another.
///
/// x = dT_1/dT_2, with the flux into the work q = R(v_s) w tau v_s and dT of a moving band
///
/// Friction makes heat with force times speed; tau, the friction per area of contact, is the same for both.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `way` | surface speed v_s, contact length, travel, wear w of the one | |
/// | `against` | the same of the other | |
/// | `tool_conductivity` | of the grain or edge, as in [`heat_share`] | [W/(m K)] |
/// | `conductivity` | k, of the work | [W/(m K)] |
/// | `effusivity` | e, of the work | [W s^0.5/(m^2 K)] |
///
/// # Returns
/// Ratio of the two rises of temperature [-].
/// # Valid for
/// The same tool, pressed as hard, on the same laminate; the heat of the chip leaves with the chip.
/// # Errors
/// [`LawError::OutOfRange`] for values not above zero, or beyond [`temperature_rise`].
/// # Example
/// ```
/// use bastwork::law::cut_heat::{Rubbing, relative_rise};
/// let calm = Rubbing { surface_speed: 20.0, length: 0.015, travel: 0.02, wear: 1.0 };
/// let slow = Rubbing { travel: 0.005, ..calm };
/// // Long contacts: as the square root of the pace, so twice at a quarter (arithmetic check).
/// let ratio = relative_rise(&slow, &calm, 35.0, 0.30, 726.0)?;
/// assert!((ratio - 2.0).abs() < 0.05);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Jaeger 1942, J. Proc. R. Soc. N.S.W. 76:203, with the share of Hahn 1962 and Rowe 2001 (from memory). The directions
/// agree with Zhang et al. 2021, BioResources 16(4):6993: hotter with speed and depth, cooler with feed (abstract).
pub fn relative_rise(
    way: &Rubbing,
    against: &Rubbing,
    tool_conductivity: f64,
    conductivity: f64,
    effusivity: f64,
) -> Result<f64, LawError> {
    let rise = |rubbing: &Rubbing| {
        let speed = positive("surface_speed", rubbing.surface_speed)?;
        let share = heat_share(tool_conductivity, effusivity, GRAIN_CONTACT, speed)?;
        // One pascal of friction on a metre of width: both cancel.
        let contact = Contact {
            power: share * positive("wear", rubbing.wear)? * speed * rubbing.length,
            length: rubbing.length,
            width: 1.0,
            travel: rubbing.travel,
        };
        temperature_rise(&contact, conductivity, effusivity)
    };
    Ok(rise(way)? / rise(against)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::cut_heat::contact_length;

    const CALM: Rubbing = Rubbing {
        surface_speed: 20.0,
        length: 0.015,
        travel: 0.02,
        wear: 1.0,
    };

    fn ratio(way: Rubbing) -> f64 {
        relative_rise(&way, &CALM, 35.0, 0.30, 726.0).unwrap()
    }

    #[test]
    fn each_lever_pulls_the_right_way() {
        let mut last = [0.0, f64::MAX, 0.0, 0.0];
        for step in 1..=40 {
            let x = 0.1 * f64::from(step);
            let depth = contact_length(x * 1e-3, 0.125).unwrap();
            let now = [
                ratio(Rubbing {
                    surface_speed: 20.0 * x,
                    ..CALM
                }),
                ratio(Rubbing {
                    travel: 0.02 * x,
                    ..CALM
                }),
                ratio(Rubbing { wear: x, ..CALM }),
                ratio(Rubbing {
                    length: depth,
                    ..CALM
                }),
            ];
            assert!(now[0] > last[0], "a faster tool is hotter: {x}");
            assert!(now[1] < last[1], "a faster hand is cooler: {x}");
            assert!(now[2] > last[2], "a blunter tool is hotter: {x}");
            assert!(now[3] > last[3], "a deeper pass is hotter: {x}");
            last = now;
        }
        assert!((ratio(CALM) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_grid_of_heat_that_moves_says_the_same() {
        // Not Jaeger's integral: a thick body in steps through depth, each spot of its surface heated from when the
        // band comes until it has gone. It lacks heat along the surface, which these contacts hardly have.
        let peak = |way: &Rubbing| {
            let (k, e) = (0.30_f64, 726.0_f64);
            let (diffusivity, share) = (
                (k / e).powi(2),
                heat_share(35.0, e, GRAIN_CONTACT, way.surface_speed).unwrap(),
            );
            let flux = share * way.wear * way.surface_speed;
            let time = way.length / way.travel;
            let step = (diffusivity * time).sqrt() / 40.0;
            let tick = 0.4 * step * step / diffusivity;
            let mut body = vec![0.0_f64; 400];
            let mut at = 0.0;
            while at < time {
                let before = body.clone();
                body[0] += 2.0 * tick * (flux * step / k + before[1] - before[0]) * diffusivity
                    / (step * step);
                for i in 1..399 {
                    body[i] += tick * diffusivity / (step * step)
                        * (before[i - 1] - 2.0 * before[i] + before[i + 1]);
                }
                at += tick;
            }
            body[0]
        };
        let calm = peak(&CALM);
        for way in [
            Rubbing {
                surface_speed: 60.0,
                ..CALM
            },
            Rubbing {
                travel: 0.006,
                ..CALM
            },
            Rubbing {
                surface_speed: 7.0,
                length: 0.04,
                travel: 0.05,
                wear: 2.0,
            },
        ] {
            let (law, grid) = (ratio(way), peak(&way) / calm);
            assert!((law / grid - 1.0).abs() < 0.02, "{way:?}: {law} {grid}");
        }
    }

    #[test]
    fn what_rubs_nothing_is_refused() {
        for way in [
            Rubbing {
                surface_speed: 0.0,
                ..CALM
            },
            Rubbing {
                travel: 0.0,
                ..CALM
            },
            Rubbing {
                length: -1.0,
                ..CALM
            },
            Rubbing { wear: 0.0, ..CALM },
        ] {
            assert!(relative_rise(&way, &CALM, 35.0, 0.30, 726.0).is_err());
        }
    }
}
