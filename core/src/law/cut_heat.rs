//! How hot the cut edge gets under a disc, pad or belt, and how fast to keep it moving.
//!
//! A band of heat sliding over a thick body. Heat carried off with the dust is left out, so the estimate is
//! on the hot side, and good to a factor of two (our judgement). Does not cover blunt teeth that rub below
//! the surface.

mod band;
mod bessel;
mod rubbing;

pub use band::{band_peak, band_peak_position, peclet_half};
pub use rubbing::{Rubbing, relative_rise};

use super::{LawError, positive, within};
use std::f64::consts::PI;

/// Thermal effusivity of a flax/epoxy laminate, likely value [W s^0.5/(m^2 K)]; 550 to 955 (from memory).
pub const FLAX_EPOXY_EFFUSIVITY: f64 = 726.0;
/// Contact radius of an abrasive grain [m]; 15 to 50 micrometres (from memory).
pub const GRAIN_CONTACT: f64 = 15e-6;
/// Heat conductivity of aluminium oxide grain [W/(m K)] (from memory).
pub const ALUMINA: f64 = 35.0;
/// Heat conductivity of silicon carbide grain [W/(m K)] (from memory).
pub const SILICON_CARBIDE: f64 = 100.0;
/// Heat conductivity of diamond grain [W/(m K)] (from memory).
pub const DIAMOND: f64 = 1000.0;

/// How readily a body takes up heat at its surface.
///
/// e = sqrt(k rho c)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `conductivity` | k, through the surface | [W/(m K)] |
/// | `density` | rho | [kg/m^3] |
/// | `heat_capacity` | c | [J/(kg K)] |
///
/// # Returns
/// Thermal effusivity [W s^0.5/(m^2 K)].
/// # Valid for
/// Any solid.
/// # Errors
/// [`LawError::OutOfRange`] for values not above zero.
/// # Example
/// ```
/// let e = bastwork::law::cut_heat::effusivity(0.30, 1300.0, 1350.0)?;
/// assert!((e - 726.0).abs() < 0.5, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Carslaw and Jaeger 1959, Conduction of Heat in Solids, section 2.9 (from memory).
pub fn effusivity(conductivity: f64, density: f64, heat_capacity: f64) -> Result<f64, LawError> {
    let k = positive("conductivity", conductivity)?;
    let rho = positive("density", density)?;
    Ok((k * rho * positive("heat_capacity", heat_capacity)?).sqrt())
}

/// Length over which a disc touches an edge.
///
/// l_c = sqrt(a d)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `depth` | a, taken off in a pass | [m] |
/// | `diameter` | d, of the disc | [m] |
///
/// # Returns
/// Contact length [m]; for a pad or belt take the length of the pad.
/// # Valid for
/// a much smaller than d.
/// # Errors
/// [`LawError::OutOfRange`] for a depth not above zero or above a quarter of the diameter.
/// # Example
/// ```
/// let length = bastwork::law::cut_heat::contact_length(0.8e-3, 0.125)?;
/// assert!((length - 0.010).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry of a chord; the usual contact length of grinding (from memory).
pub fn contact_length(depth: f64, diameter: f64) -> Result<f64, LawError> {
    let d = positive("diameter", diameter)?;
    let a = within("depth", positive("depth", depth)?, 0.0, 0.25 * d)?;
    Ok((a * d).sqrt())
}

/// Share of the heat of grinding that goes into the work (Hahn; Rowe).
///
/// R = 1 / (1 + k_g/(e sqrt(r_0 v_s)))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `grain_conductivity` | k_g; [`ALUMINA`], [`SILICON_CARBIDE`], [`DIAMOND`] | [W/(m K)] |
/// | `effusivity` | e, of the work | [W s^0.5/(m^2 K)] |
/// | `grain_contact` | r_0; [`GRAIN_CONTACT`] | [m] |
/// | `surface_speed` | v_s, of the tool | [m/s] |
///
/// # Returns
/// Share of the power that heats the work [-].
/// # Valid for
/// A clean, sharp abrasive; a clogged one sends nearly all the heat into the work.
/// # Errors
/// [`LawError::OutOfRange`] for values not above zero.
/// # Example
/// ```
/// use bastwork::law::cut_heat::{ALUMINA, GRAIN_CONTACT, heat_share};
/// let share = heat_share(ALUMINA, 726.0, GRAIN_CONTACT, 20.0)?;
/// assert!((share - 0.26).abs() < 0.005, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Hahn 1962; Rowe 2001, Principles of Modern Grinding Technology (from memory).
pub fn heat_share(
    grain_conductivity: f64,
    effusivity: f64,
    grain_contact: f64,
    surface_speed: f64,
) -> Result<f64, LawError> {
    let k = positive("grain_conductivity", grain_conductivity)?;
    let e = positive("effusivity", effusivity)?;
    let r = positive("grain_contact", grain_contact)?;
    let v = positive("surface_speed", surface_speed)?;
    Ok(1.0 / (1.0 + k / (e * (r * v).sqrt())))
}

/// A tool pressed on an edge and moved along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Power that goes into the work [W]: share of the heat times the power at the contact.
    pub power: f64,
    /// Length of the contact, in the direction of travel [m].
    pub length: f64,
    /// Width of the contact, across the direction of travel [m].
    pub width: f64,
    /// Speed of travel along the edge [m/s].
    pub travel: f64,
}

/// How much hotter the surface gets under a moving tool.
///
/// dT = (2 q a/(pi k v)) theta_max(L), q = P/(l b), L = v l/(4 a), a = (k/e)^2
///
/// For L above 5 this is 1.128 q sqrt(l/v)/e within 4 %: heating for the time of contact.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `contact` | power P [W] into the work, length l, width b [m], travel v [m/s] | |
/// | `conductivity` | k, of the work | [W/(m K)] |
/// | `effusivity` | e, of the work | [W s^0.5/(m^2 K)] |
///
/// # Returns
/// Highest rise of the surface above its surroundings, a difference [K].
/// # Valid for
/// A body much thicker than the heated skin; nothing carried away with the dust; a factor of two either way.
/// # Errors
/// [`LawError::OutOfRange`] for values not above zero, or a travel so slow or fast that L leaves 1e-4..1e6.
/// # Example
/// ```
/// use bastwork::law::cut_heat::{Contact, temperature_rise};
/// // q = 1e5 W/m^2, 5 mm/s, 4 mm long, a = 1.7e-7 m^2/s: L = 29, 139 K (arithmetic check).
/// let contact = Contact { power: 1.2, length: 0.004, width: 0.003, travel: 0.005 };
/// let rise = temperature_rise(&contact, 0.30, 726.0)?;
/// assert!((rise - 137.7).abs() < 0.5, "the large-L form gives 139");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Jaeger 1942, J. Proc. R. Soc. N.S.W. 76:203; Carslaw and Jaeger 1959, section 10.7; model restated in
/// Math. Probl. Eng. 2017, 1856523.
pub fn temperature_rise(
    contact: &Contact,
    conductivity: f64,
    effusivity: f64,
) -> Result<f64, LawError> {
    let flux = flux(contact)?;
    let k = positive("conductivity", conductivity)?;
    let e = positive("effusivity", effusivity)?;
    let diffusivity = (k / e).powi(2);
    let travel = positive("travel", contact.travel)?;
    let theta = band_peak(peclet_half(travel, contact.length, diffusivity)?)?;
    Ok(2.0 * flux * diffusivity / (PI * k * travel) * theta)
}

/// Heat flux into the work under a contact [W/m^2].
fn flux(contact: &Contact) -> Result<f64, LawError> {
    let area = positive("length", contact.length)? * positive("width", contact.width)?;
    Ok(positive("power", contact.power)? / area)
}

/// Longest time one spot may lie under a heat flux before it has warmed by a difference.
///
/// t = (pi/4) (e dT/q)^2
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `flux` | q, into the work | [W/m^2] |
/// | `rise` | dT, permitted, a difference | [K] |
/// | `effusivity` | e, of the work | [W s^0.5/(m^2 K)] |
///
/// # Returns
/// Time [s].
/// # Valid for
/// Heating straight into a thick body; on the safe side for short contacts.
/// # Errors
/// [`LawError::OutOfRange`] for values not above zero.
/// # Example
/// ```
/// let time = bastwork::law::cut_heat::longest_contact(8.667e4, 60.0, 726.0)?;
/// assert!((time - 0.198).abs() < 0.001, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Carslaw and Jaeger 1959, section 2.9, constant flux into a half-space (from memory).
pub fn longest_contact(flux: f64, rise: f64, effusivity: f64) -> Result<f64, LawError> {
    let q = positive("flux", flux)?;
    let ratio = positive("effusivity", effusivity)? * positive("rise", rise)? / q;
    Ok(0.25 * PI * ratio * ratio)
}

/// Slowest travel that keeps the edge below a rise of temperature.
///
/// v = l/t, t = (pi/4) (e dT/q)^2, q = P/(l b): half the power, a quarter of the speed.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `contact` | power P [W] into the work, length l and width b [m]; its own travel is not used | |
/// | `rise` | dT, permitted, a difference | [K] |
/// | `effusivity` | e, of the work | [W s^0.5/(m^2 K)] |
///
/// # Returns
/// Speed of travel [m/s].
/// # Valid for
/// As for [`longest_contact`].
/// # Errors
/// [`LawError::OutOfRange`] for values not above zero.
/// # Example
/// ```
/// use bastwork::law::cut_heat::{Contact, slowest_travel};
/// // 30 W at a 3 mm edge, 26 % of it into the work, 10 mm long: 83 mm/s for 140 K (arithmetic check).
/// let contact = Contact { power: 0.26 * 30.0, length: 0.010, width: 0.003, travel: 0.0 };
/// assert!((slowest_travel(&contact, 140.0, 726.0)? - 0.083).abs() < 0.001);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`longest_contact`].
pub fn slowest_travel(contact: &Contact, rise: f64, effusivity: f64) -> Result<f64, LawError> {
    Ok(contact.length / longest_contact(flux(contact)?, rise, effusivity)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pressed(power: f64) -> Contact {
        Contact {
            power: 0.26 * power,
            length: 0.010,
            width: 0.003,
            travel: 0.05,
        }
    }

    #[test]
    fn keeps_the_table_of_powers() {
        // Arithmetic check: power, then slowest travel in mm/s for 60 K and for 140 K.
        for (power, soft, scorched) in [
            (10.0, 50.0, 9.0),
            (30.0, 454.0, 83.0),
            (100.0, 5046.0, 927.0),
        ] {
            for (rise, expect) in [(60.0, soft), (140.0, scorched)] {
                let got = slowest_travel(&pressed(power), rise, 726.0).unwrap() * 1e3;
                assert!(
                    (got / expect - 1.0).abs() < 0.03,
                    "{power} W {rise} K: {got}"
                );
            }
        }
    }

    #[test]
    fn the_slowest_travel_gives_the_rise_it_was_asked_for() {
        for power in [10.0, 30.0] {
            let travel = slowest_travel(&pressed(power), 140.0, 726.0).unwrap();
            let contact = Contact {
                travel,
                ..pressed(power)
            };
            let rise = temperature_rise(&contact, 0.30, 726.0).unwrap();
            assert!(rise < 140.0 && rise > 0.95 * 140.0, "{rise}");
        }
    }

    #[test]
    fn slow_travel_is_below_the_large_form() {
        // Arithmetic check: at 0.5 mm/s, L = 2.9, large-L form 440 K, exact about 0.94 of it, 413 K.
        let contact = Contact {
            power: 1.2,
            length: 0.004,
            width: 0.003,
            travel: 0.0005,
        };
        let rise = temperature_rise(&contact, 0.30, 726.0).unwrap();
        assert!((rise / 413.0 - 1.0).abs() < 0.01, "{rise}");
        let faster = Contact {
            travel: 0.001,
            ..contact
        };
        assert!(temperature_rise(&faster, 0.30, 726.0).unwrap() < rise);
    }

    #[test]
    fn grain_and_effusivity() {
        // Arithmetic check: alumina 0.26, silicon carbide 0.11, diamond 0.012.
        for (grain, share) in [(ALUMINA, 0.26), (SILICON_CARBIDE, 0.11), (DIAMOND, 0.012)] {
            let got = heat_share(grain, 726.0, GRAIN_CONTACT, 20.0).unwrap();
            assert!((got / share - 1.0).abs() < 0.05, "{got}");
        }
        assert!((effusivity(0.20, 1300.0, 1350.0).unwrap() - 592.0).abs() < 1.0);
        assert!(contact_length(0.05, 0.1).is_err());
        assert!(
            temperature_rise(
                &Contact {
                    travel: 0.0,
                    ..pressed(10.0)
                },
                0.3,
                726.0
            )
            .is_err()
        );
    }
}
