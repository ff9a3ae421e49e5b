//! What a vacuum pump does to a bag: how long to empty it, what it can carry, what a leak amounts to.
//!
//! Constant pumping speed and an open hose; a throttled hose, water or a leak makes it slower.

use super::water_vapour::VAPOUR_GAS_CONSTANT;
use super::{LawError, positive, within};

/// Time to pump a tight, dry volume down.
///
/// t = V / S * ln((p0 - pu) / (p1 - pu))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `volume` | V, bag, hoses and catch pot | [m^3] |
/// | `pump_speed` | S, at the bag | [m^3/s] |
/// | `start_pressure` | p0, absolute | [Pa] |
/// | `target_pressure` | p1, absolute | [Pa] |
/// | `ultimate_pressure` | pu, lowest the pump reaches alone | [Pa] |
///
/// # Returns
/// Time [s]. Ten times longer in the shop means water, a leak or a throttled hose.
/// # Valid for
/// pu < p1 <= p0, no water and no leak.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// // 10 litres, 3 m3/h, down to 10 mbar.
/// let t = bastwork::law::pump::pump_down_time(0.010, 3.0 / 3600.0, 101_325.0, 1_000.0, 0.0)?;
/// assert!((t - 55.4).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook vacuum technology: V dp/dt = -S (p - pu); arithmetic check.
pub fn pump_down_time(
    volume: f64,
    pump_speed: f64,
    start_pressure: f64,
    target_pressure: f64,
    ultimate_pressure: f64,
) -> Result<f64, LawError> {
    let ultimate = within("ultimate_pressure", ultimate_pressure, 0.0, 1.1e5)?;
    let start = within("start_pressure", start_pressure, ultimate, 1.1e5)?;
    let target = within("target_pressure", target_pressure, ultimate, start)?;
    let down = positive("target_pressure", target - ultimate)?;
    let emptying = positive("volume", volume)? / positive("pump_speed", pump_speed)?;
    Ok(emptying * ((start - ultimate) / down).ln())
}

/// Gas that comes into a shut volume, from how fast its pressure rises.
///
/// Q = V * dp/dt
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `volume` | V, bag, hoses and catch pot on the shut side | [m^3] |
/// | `pressure_rate` | dp/dt | [Pa/s] |
///
/// # Returns
/// Throughput [Pa m^3/s]; 1 mbar L/s is 0.1 of it.
/// # Valid for
/// One temperature; counts leak and vapour together.
/// # Errors
/// [`LawError::OutOfRange`] naming `volume` or `pressure_rate`.
/// # Example
/// ```
/// // 1 mbar a minute in 5 litres is 0.083 mbar L/s.
/// let q = bastwork::law::pump::throughput(0.005, 100.0 / 60.0)?;
/// assert!((q / 0.1 - 0.0833).abs() < 1e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ideal gas law at constant temperature.
pub fn throughput(volume: f64, pressure_rate: f64) -> Result<f64, LawError> {
    let rate = within("pressure_rate", pressure_rate, -1e6, 1e6)?;
    Ok(positive("volume", volume)? * rate)
}

/// Water a pump carries as vapour when nothing else is in the bag.
///
/// rate = S * p / (R_v * T)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `pump_speed` | S | [m^3/s] |
/// | `pressure` | p, of vapour at the pump | [Pa] |
/// | `temperature` | T, of the vapour | [K] |
///
/// # Returns
/// Water a second [kg/s].
/// # Valid for
/// Vapour that does not condense in the pump (warm, gas ballast open).
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// // 10 m3/h at 20 mbar and 20 °C.
/// let rate = bastwork::law::pump::water_carried(10.0 / 3600.0, 2_000.0, 293.15)?;
/// assert!((rate * 3.6e6 - 148.0).abs() < 0.5, "148 g an hour");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ideal gas law; arithmetic check.
pub fn water_carried(pump_speed: f64, pressure: f64, temperature: f64) -> Result<f64, LawError> {
    let p = within("pressure", pressure, 0.0, 1.1e5)?;
    let t = within("temperature", temperature, 253.15, 393.15)?;
    Ok(positive("pump_speed", pump_speed)? * p / (VAPOUR_GAS_CONSTANT * t))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pump_down_matches_the_arithmetic_and_its_own_equation() {
        let t = pump_down_time(0.030, 10.0 / 3600.0, 101_325.0, 1_000.0, 0.0).unwrap();
        assert!((t - 49.9).abs() < 0.1, "{t}");
        // Stepping V dp/dt = -S (p - pu) for that long lands on the target.
        let (v, s, pu) = (0.02, 1e-3, 300.0);
        let t = pump_down_time(v, s, 9e4, 1_000.0, pu).unwrap();
        let n = 200_000;
        let mut p = 9e4;
        for _ in 0..n {
            p -= s / v * (p - pu) * t / f64::from(n);
        }
        assert!((p - 1_000.0).abs() < 0.5, "{p}");
    }

    #[test]
    fn never_reaches_its_own_ultimate() {
        assert!(pump_down_time(0.01, 1e-3, 1e5, 500.0, 500.0).is_err());
        assert!(pump_down_time(0.01, 1e-3, 1e3, 2e3, 0.0).is_err());
    }

    #[test]
    fn water_a_pump_carries() {
        // Arithmetic check: 10 m3/h at 20 °C, mbar and g/h.
        for (mbar, grams) in [(20.0, 148.0), (10.0, 74.0), (5.0, 37.0), (2.0, 15.0)] {
            let rate = water_carried(10.0 / 3600.0, 100.0 * mbar, 293.15).unwrap();
            assert!((rate * 3.6e6 - grams).abs() < 0.5, "{mbar}: {rate}");
        }
    }
}
