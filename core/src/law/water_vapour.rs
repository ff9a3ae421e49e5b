//! Water and its vapour: saturation pressure, boiling, latent heat, diffusion in air.
//!
//! Over liquid water only: below 0 °C ice has a lower pressure, which is not given here.

use super::{LawError, within};
use crate::solve::root;

/// Gas constant of water vapour, 8.314 462 618 / 0.018 015 268 [J/(kg K)].
pub const VAPOUR_GAS_CONSTANT: f64 = 461.523;
/// Water's critical temperature [K].
pub const CRITICAL_TEMPERATURE: f64 = 647.096;
/// Water's critical pressure [Pa].
pub const CRITICAL_PRESSURE: f64 = 22.064e6;

/// The saturation equation without its range check, for laws that keep the range themselves.
pub(crate) fn saturation(temperature: f64) -> f64 {
    let tau = 1.0 - temperature / CRITICAL_TEMPERATURE;
    let half = tau.sqrt();
    let (tau3, tau4) = (tau.powi(3), tau.powi(4));
    let sum = -7.859_517_83 * tau + 1.844_082_59 * tau * half - 11.786_649_7 * tau3
        + 22.680_741_1 * tau3 * half
        - 15.961_871_9 * tau4
        + 1.801_225_02 * tau4 * tau3 * half;
    CRITICAL_PRESSURE * (CRITICAL_TEMPERATURE / temperature * sum).exp()
}

/// The latent heat without its range check.
pub(crate) fn latent(temperature: f64) -> f64 {
    2.501e6 - 2.37e3 * (temperature - 273.15)
}

/// The diffusivity without its range check.
pub(crate) fn diffusivity(temperature: f64) -> f64 {
    2.26e-5 * (temperature / 273.15).powf(1.81)
}

/// Pressure of vapour in balance with liquid water.
///
/// ln(p / pc) = (Tc / T) * (a1 tau + a2 tau^1.5 + a3 tau^3 + a4 tau^3.5 + a5 tau^4 + a6 tau^7.5),
/// tau = 1 - T / Tc
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `temperature` | T | [K] |
///
/// # Returns
/// Saturation pressure [Pa].
/// # Valid for
/// 273.15 to 647 K.
/// # Errors
/// [`LawError::OutOfRange`] naming `temperature`.
/// # Example
/// ```
/// let p = bastwork::law::water_vapour::saturation_pressure(373.1243)?;
/// assert!((p - 101_325.0).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// IAPWS SR1-86(1992), Revised supplementary release on saturation properties of ordinary water
/// substance, eq. 1 (coefficients from memory; checked against CoolProp 8.0.0).
pub fn saturation_pressure(temperature: f64) -> Result<f64, LawError> {
    Ok(saturation(within(
        "temperature",
        temperature,
        273.15,
        647.0,
    )?))
}

/// Temperature at which water boils under a pressure.
///
/// saturation_pressure(T) = p, solved for T
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `pressure` | p, absolute | [Pa] |
///
/// # Returns
/// Boiling temperature [K].
/// # Valid for
/// 611.3 Pa to 22 MPa; below that, water freezes.
/// # Errors
/// [`LawError::OutOfRange`] naming `pressure`; [`LawError::Unsolved`] never in range.
/// # Example
/// ```
/// let t = bastwork::law::water_vapour::boiling_temperature(2_000.0)?;
/// assert!((t - 273.15 - 17.49).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// IAPWS SR1-86(1992), eq. 1, turned round; 17.49 °C is from CoolProp 8.0.0.
pub fn boiling_temperature(pressure: f64) -> Result<f64, LawError> {
    let p = within("pressure", pressure, 611.3, 2.2e7)?;
    root(|t| (saturation(t) / p).ln(), 273.15, 647.0, 1e-9).map_err(|_| LawError::Unsolved {
        what: "boiling temperature",
    })
}

/// Temperature at which dew settles out of damp air.
///
/// p_sat(T_dew) = h p_sat(T)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `temperature` | T, of the air | [K] |
/// | `activity` | h, its relative humidity | [-] |
///
/// # Returns
/// T_dew [K]; none where the vapour settles only as frost, below the triple point.
/// # Valid for
/// 273.15 to 378.15 K, activity 0 to 1.
/// # Errors
/// [`LawError::OutOfRange`] naming `temperature` or `activity`.
/// # Example
/// ```
/// // 20 °C and 60 % of humidity: dew at 12.0 °C.
/// let t = bastwork::law::water_vapour::dew_point(293.15, 0.60)?;
/// assert!(t.is_some_and(|t| (t - 273.15 - 12.0).abs() < 0.05));
/// assert_eq!(bastwork::law::water_vapour::dew_point(293.15, 0.20)?, None);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of the dew point with [`saturation_pressure`]; 12.0 °C from psychrometric tables (from memory).
pub fn dew_point(temperature: f64, activity: f64) -> Result<Option<f64>, LawError> {
    let t = within("temperature", temperature, 273.15, 378.15)?;
    let vapour = within("activity", activity, 0.0, 1.0)? * saturation(t);
    if vapour < 611.3 {
        return Ok(None);
    }
    boiling_temperature(vapour).map(Some)
}

/// Heat that evaporates liquid water.
///
/// L = 2501 - 2.37 * t kJ/kg, t in °C
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `temperature` | t + 273.15 | [K] |
///
/// # Returns
/// Latent heat [J/kg].
/// # Valid for
/// 273.15 to 378.15 K, within 0.5 % of CoolProp 8.0.0.
/// # Errors
/// [`LawError::OutOfRange`] naming `temperature`.
/// # Example
/// ```
/// let l = bastwork::law::water_vapour::latent_heat(293.15)?;
/// assert!((l - 2.4536e6).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Straight line through steam-table values (from memory).
pub fn latent_heat(temperature: f64) -> Result<f64, LawError> {
    Ok(latent(within("temperature", temperature, 273.15, 378.15)?))
}

/// How fast water vapour spreads in still air at sea-level pressure.
///
/// D = 2.26e-5 * (T / 273.15)^1.81
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `temperature` | T | [K] |
///
/// # Returns
/// Diffusivity [m^2/s].
/// # Valid for
/// 253.15 to 393.15 K at 101 325 Pa; it goes as 1 / pressure.
/// # Errors
/// [`LawError::OutOfRange`] naming `temperature`.
/// # Example
/// ```
/// let d = bastwork::law::water_vapour::diffusivity_in_air(298.15)?;
/// assert!((d - 2.648e-5).abs() < 1e-8);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Power law used in building physics (from memory).
pub fn diffusivity_in_air(temperature: f64) -> Result<f64, LawError> {
    Ok(diffusivity(within(
        "temperature",
        temperature,
        253.15,
        393.15,
    )?))
}

/// Mass of water vapour in a volume of air.
///
/// rho = a * p_sat(T) / (R_v * T)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `temperature` | T | [K] |
/// | `activity` | a, relative humidity as a fraction | [-] |
///
/// # Returns
/// Vapour density [kg/m^3].
/// # Valid for
/// 273.15 to 378.15 K, activity 0 to 1; ideal gas, within 2 % of CoolProp 8.0.0.
/// # Errors
/// [`LawError::OutOfRange`] naming `temperature` or `activity`.
/// # Example
/// ```
/// let rho = bastwork::law::water_vapour::vapour_density(293.15, 1.0)?;
/// assert!((rho - 0.01729).abs() < 1e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ideal gas law; saturation after IAPWS SR1-86(1992). Steam tables give 0.01731 at 20 °C (CoolProp 8.0.0).
pub fn vapour_density(temperature: f64, activity: f64) -> Result<f64, LawError> {
    let t = within("temperature", temperature, 273.15, 378.15)?;
    let a = within("activity", activity, 0.0, 1.0)?;
    Ok(a * saturation(t) / (VAPOUR_GAS_CONSTANT * t))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn saturation_pressure_agrees_with_the_reference_equation_of_state() {
        // CoolProp 8.0.0 (IAPWS-95), °C and Pa.
        for (c, pa) in [
            (5.0, 872.575),
            (15.0, 1705.793),
            (20.0, 2339.318),
            (25.0, 3169.929),
            (40.0, 7384.938),
            (60.0, 19946.434),
            (80.0, 47414.474),
            (100.0, 101417.997),
            (120.0, 198674.42),
            (150.0, 476164.538),
        ] {
            let p = saturation_pressure(c + 273.15).unwrap();
            assert!((p / pa - 1.0).abs() < 1.5e-4, "{c} °C: {p}");
        }
        // Triple point as the release itself gives it.
        assert!((saturation_pressure(273.16).unwrap() - 611.657).abs() < 0.001);
    }

    #[test]
    fn boiling_temperature_agrees_with_the_reference_equation_of_state() {
        // CoolProp 8.0.0, mbar and °C.
        for (mbar, c) in [
            (10.0, 6.97),
            (20.0, 17.49),
            (50.0, 32.87),
            (100.0, 45.81),
            (200.0, 60.06),
            (500.0, 81.32),
            (1013.25, 99.97),
        ] {
            let t = boiling_temperature(100.0 * mbar).unwrap() - 273.15;
            assert!((t - c).abs() < 0.006, "{mbar} mbar: {t}");
        }
    }

    #[test]
    fn latent_heat_and_density_stay_close_to_the_reference() {
        // CoolProp 8.0.0: °C, J/kg, kg/m^3 of saturated vapour.
        for (c, l, rho) in [
            (5.0, 2489042.0, 0.006802),
            (20.0, 2453519.0, 0.017314),
            (40.0, 2405977.0, 0.051242),
            (60.0, 2357655.0, 0.130425),
            (80.0, 2308004.0, 0.293672),
            (100.0, 2256404.0, 0.59817),
        ] {
            assert!(
                (latent_heat(c + 273.15).unwrap() / l - 1.0).abs() < 0.004,
                "{c}"
            );
            let ours = vapour_density(c + 273.15, 1.0).unwrap();
            assert!((ours / rho - 1.0).abs() < 0.016, "{c}: {ours}");
        }
    }

    #[test]
    fn vapour_spreads_faster_when_warm() {
        let (cold, warm) = (
            diffusivity_in_air(293.15).unwrap(),
            diffusivity_in_air(333.15).unwrap(),
        );
        assert!((warm / cold - (333.15_f64 / 293.15).powf(1.81)).abs() < 1e-12);
        assert!((cold - 2.57e-5).abs() < 2e-7);
    }

    #[test]
    fn refuses_ice_and_the_critical_point() {
        assert!(saturation_pressure(272.0).is_err());
        assert!(saturation_pressure(647.1).is_err());
        assert!(boiling_temperature(600.0).is_err());
        assert!(vapour_density(300.0, 1.01).is_err());
    }
}
