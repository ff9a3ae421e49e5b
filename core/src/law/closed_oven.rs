//! How dry cloth gets in an oven that does not breathe: its own water fills the air until both are in balance.

use super::{LawError, oven, positive, sorption, within};
use crate::solve::root;

/// Driest that cloth gets in an oven that is shut tight, however long it stays.
///
/// R = s * M_wood(T, h) with h = h_0 + (R_0 - R) * m / (L * rho_sat(T)), at most 1
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `scale` | s, isotherm scale | [-] |
/// | `oven_temperature` | T | [K] |
/// | `heated` | h_0, humidity once the air is hot, before any water left the cloth, from [`oven::heated_activity`] | [-] |
/// | `start_regain` | R_0 | [-] |
/// | `dry_areal_mass` | m, dry cloth over its plan area | [kg/m^2] |
/// | `room_per_area` | L, air in the oven over the same area | [m] |
///
/// # Returns
/// Regain, the start at most [-].
/// # Valid for
/// 273.15 to 378.15 K; a tight oven of one temperature. A real one leaks, and gets the cloth drier than this.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument; [`LawError::Unsolved`] when no balance was found.
/// # Example
/// ```
/// use bastwork::law::{closed_oven::closed_floor, oven::{heated_activity, oven_floor}};
/// let heated = heated_activity(293.15, 0.5, 333.15)?;
/// // 2.77 kg/m2 of cloth under half a metre of air: 65 g of water leave for air that holds 65 g/m2 at most.
/// let shut = closed_floor(0.70, 333.15, heated, 0.0649, 2.77, 0.5)?;
/// let open = oven_floor(0.70, 293.15, 0.5, 333.15)?;
/// assert!(shut > 4.0 * open && shut < 0.0649);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Water balance with the Wood Handbook's eq. 4-5 and the ideal gas law; arithmetic.
pub fn closed_floor(
    scale: f64,
    oven_temperature: f64,
    heated: f64,
    start_regain: f64,
    dry_areal_mass: f64,
    room_per_area: f64,
) -> Result<f64, LawError> {
    let start = within("start_regain", start_regain, 0.0, 1.0)?;
    let mass = positive("dry_areal_mass", dry_areal_mass)?;
    let room = positive("room_per_area", room_per_area)?;
    let over = |regain: f64| {
        let left = mass * (start - regain).max(0.0);
        let h = oven::closed_activity(heated, oven_temperature, left, room)?;
        sorption::flax_regain(scale, oven_temperature, h)
    };
    // Checks scale, temperature and humidity; what cannot dry stays as it is.
    if over(start)? >= start {
        return Ok(start);
    }
    root(
        |regain| over(regain).map_or(f64::NAN, |balance| balance - regain),
        0.0,
        start,
        1e-9,
    )
    .map_err(|_| LawError::Unsolved {
        what: "balance of a closed oven",
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn floor(room: f64) -> f64 {
        closed_floor(0.70, 333.15, 0.0586, 0.0649, 2.77, room).unwrap()
    }

    #[test]
    fn water_is_conserved() {
        // What left the cloth is what the air holds more than before; saturated vapour at 60 °C weighs 0.1304 kg/m3
        // (CoolProp 8.0.0), half a per cent more than an ideal gas.
        let regain = floor(1.0);
        let left = 2.77 * (0.0649 - regain);
        let h = sorption::activity(0.70, 333.15, regain).unwrap();
        let held = (h - 0.0586) * 0.1304;
        assert!((left / held - 1.0).abs() < 0.007, "{left} {held}");
    }

    #[test]
    fn a_large_oven_is_like_one_that_breathes_and_a_small_one_dries_nothing() {
        let open = oven::oven_floor(0.70, 293.15, 0.5, 333.15).unwrap();
        assert!((floor(1e5) - open).abs() < 1e-4);
        assert!(floor(1e-3) > 0.06);
        assert!(floor(0.2) > floor(0.4) && floor(0.4) > floor(2.0));
    }

    #[test]
    fn cloth_drier_than_the_air_stays_as_it_is() {
        assert_eq!(
            closed_floor(0.70, 313.15, 0.9, 0.01, 2.0, 0.5).unwrap(),
            0.01
        );
        assert!(closed_floor(0.70, 313.15, 0.9, 0.01, 0.0, 0.5).is_err());
    }
}
