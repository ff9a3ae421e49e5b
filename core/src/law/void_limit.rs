//! When water in the cloth boils up as bubbles in liquid resin, and how dry it must be not to.
//!
//! Vapour alone: air drawn in, gas dissolved in the resin and gas from its reaction are not in it.

use super::{LawError, bag_drying, sorption};

/// Whether bubbles of vapour can grow beside cloth of a regain while the resin is still liquid.
///
/// grows when h(T, R) * p_sat(T) > p_resin
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `scale` | isotherm scale | [-] |
/// | `hottest_temperature` | T, hottest before the gel: heating and exotherm count | [K] |
/// | `regain` | R of the cloth | [-] |
/// | `resin_pressure` | p_resin, absolute, where it is lowest | [Pa] |
///
/// # Returns
/// `true` when the vapour is the stronger [yes/no].
/// # Valid for
/// 273.15 to 378.15 K; surface tension, which helps, is left out.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// use bastwork::law::void_limit::bubbles_grow;
/// assert!(bubbles_grow(0.70, 333.15, 0.05, 5_000.0)?);
/// assert!(!bubbles_grow(0.70, 293.15, 0.05, 5_000.0)?);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Criterion of Kardos (from memory), with IAPWS SR1-86(1992) in place of its exponential, which is 22 %
/// high at 20 °C.
pub fn bubbles_grow(
    scale: f64,
    hottest_temperature: f64,
    regain: f64,
    resin_pressure: f64,
) -> Result<bool, LawError> {
    let resin = super::within("resin_pressure", resin_pressure, 0.0, 1e7)?;
    Ok(sorption::vapour_pressure(scale, hottest_temperature, regain)? > resin)
}

/// Most water the cloth may hold so that no vapour bubble grows before the gel.
///
/// R_max = s * M_wood(T, p_resin / p_sat(T))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `scale` | s, isotherm scale | [-] |
/// | `resin_pressure` | p_resin, absolute, where it is lowest | [Pa] |
/// | `hottest_temperature` | T, hottest before the gel: heating and exotherm count | [K] |
///
/// # Returns
/// Largest regain [-]; `None` when even liquid water does not boil at that pressure.
/// # Valid for
/// 273.15 to 378.15 K.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// use bastwork::law::void_limit::largest_regain;
/// let most = largest_regain(0.70, 5_000.0, 333.15)?.unwrap();
/// assert!((most - 0.030).abs() < 5e-4);
/// assert_eq!(largest_regain(0.70, 5_000.0, 293.15)?, None);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Criterion of Kardos (from memory) and Wood Handbook eq. 4-5; arithmetic check.
pub fn largest_regain(
    scale: f64,
    resin_pressure: f64,
    hottest_temperature: f64,
) -> Result<Option<f64>, LawError> {
    let resin = super::within("resin_pressure", resin_pressure, 0.0, 1e7)?;
    bag_drying::end_regain(scale, hottest_temperature, resin)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_limits() {
        // Arithmetic check: mbar, °C, % regain.
        for (mbar, c, pct) in [(50.0, 60.0, 3.0), (20.0, 60.0, 1.3), (50.0, 80.0, 1.1)] {
            let most = largest_regain(0.70, 100.0 * mbar, c + 273.15)
                .unwrap()
                .unwrap();
            assert!((100.0 * most - pct).abs() < 0.05, "{mbar} {c}: {most}");
        }
    }

    #[test]
    fn the_limit_is_where_bubbles_begin() {
        for (p, t) in [(1_000.0, 303.15), (5_000.0, 333.15), (20_000.0, 363.15)] {
            let most = largest_regain(0.66, p, t).unwrap().unwrap();
            assert!(!bubbles_grow(0.66, t, most * 0.999, p).unwrap());
            assert!(bubbles_grow(0.66, t, most * 1.001, p).unwrap());
        }
    }

    #[test]
    fn warmer_resin_or_less_pressure_asks_for_drier_cloth() {
        let most = |p: f64, c: f64| largest_regain(0.7, p, c + 273.15).unwrap().unwrap();
        assert!(most(5e3, 80.0) < most(5e3, 60.0));
        assert!(most(2e3, 60.0) < most(5e3, 60.0));
        assert!(largest_regain(0.7, -1.0, 300.0).is_err());
    }
}
