//! Pressure of the standard atmosphere at an altitude, for a workshop without a barometer.
//!
//! Weather moves the real pressure by some 30 hPa either way; a barometer in the room beats this.

use super::{LawError, within};

/// Pressure of the standard atmosphere at sea level [Pa].
pub const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;
/// How far weather commonly moves the local pressure from the standard one, either way [Pa]
/// (common practice, no source).
pub const WEATHER_SPREAD_PA: f64 = 3_000.0;

const SEA_LEVEL_TEMPERATURE: f64 = 288.15;
const LAPSE_RATE: f64 = 0.0065;
const EXPONENT: f64 = 5.255_88;

/// Station pressure of the standard atmosphere, not reduced to sea level.
///
/// p = 101325 * (1 - 0.0065 * H / 288.15)^5.25588
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `altitude_m` | H, geopotential altitude; within 0.2 % of height above the sea | [m] |
///
/// # Returns
/// Absolute air pressure [Pa].
/// # Valid for
/// -500 to 11 000 m.
/// # Errors
/// [`LawError::OutOfRange`] naming `altitude_m`.
/// # Example
/// ```
/// let p = bastwork::law::atmosphere::standard_pressure(1000.0)?;
/// assert!((p - 89_875.0).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// ISO 2533:1975 and US Standard Atmosphere 1976, constants of the lowest layer.
pub fn standard_pressure(altitude_m: f64) -> Result<f64, LawError> {
    let altitude = within("altitude_m", altitude_m, -500.0, 11_000.0)?;
    Ok(
        SEA_LEVEL_PRESSURE_PA
            * (1.0 - LAPSE_RATE * altitude / SEA_LEVEL_TEMPERATURE).powf(EXPONENT),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_the_published_table() {
        // ISO 2533 arithmetic at geopotential altitudes, hPa; 1000 m and 2000 m also from PsychroLib 2.5.0.
        for (h, hpa) in [
            (0.0, 1013.25),
            (200.0, 989.45),
            (500.0, 954.61),
            (1000.0, 898.75),
            (1500.0, 845.56),
            (2000.0, 794.95),
            (3000.0, 701.09),
        ] {
            let p = standard_pressure(h).unwrap();
            assert!((p - 100.0 * hpa).abs() < 1.0, "{h} m: {p}");
        }
        // Tropopause of the US Standard Atmosphere 1976: 226.32 hPa at 11 km.
        assert!((standard_pressure(11_000.0).unwrap() - 22_632.0).abs() < 3.0);
    }

    #[test]
    fn refuses_what_is_outside_the_lowest_layer() {
        assert!(standard_pressure(-501.0).is_err());
        assert!(standard_pressure(11_001.0).is_err());
        assert!(standard_pressure(f64::NAN).is_err());
    }
}
