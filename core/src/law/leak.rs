//! A leak by other measures: the hole behind it, the air it brings, how it fades, and what a hose does to a pump.
//!
//! Throughput, pressure times volume a second, is the leak itself; how fast a gauge rises depends on the bag's volume
//! as well. Real leaks are cracks and scratches: the hole is a picture of their size, not their shape.

use super::{LawError, positive, within};

/// Gas constant of dry air, 8.314 462 618 / 0.028 965 5 [J/(kg K)].
pub const AIR_GAS_CONSTANT: f64 = 287.05;
/// Ratio of the specific heats of air.
const GAMMA: f64 = 1.4;
/// Jet against hole of a sharp-edged orifice (from memory); a rounded one lets through up to 1.6 times as much.
pub const DISCHARGE: f64 = 0.6;
/// Pressure behind a hole over that before it, below which the flow no longer grows: (2 / 2.4)^3.5.
pub const CHOKED: f64 = 0.528_281_787_717_174;
/// Flow through a choked hole over that of the speed of sound: (2 / 2.4)^3.
const CHOKED_SHARE: f64 = 0.578_703_703_703_703_7;

/// Throughput of one round hole into a bag far below the pressure outside.
///
/// Q = Cd * pi/4 d^2 * p * sqrt(gamma R T) * (2 / (gamma + 1))^((gamma + 1) / (2 (gamma - 1)))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `diameter` | d | [m] |
/// | `outside` | p, of the air outside | [Pa] |
/// | `temperature` | T, of that air | [K] |
///
/// # Returns
/// Throughput, counted at that temperature [Pa m^3/s].
/// # Valid for
/// Bag below 0.528 of the pressure outside; a hole wide against its depth. Cd = 0.6, gamma = 1.4.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// // A hole of 30 um at 20 °C lets in about 0.085 mbar L/s: 1 mbar a minute in 5 litres.
/// let q = bastwork::law::leak::hole_throughput(30e-6, 101_325.0, 293.15)?;
/// assert!((q - 8.5e-3).abs() < 1e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook gas dynamics, isentropic flow through a choked orifice; Cd of a sharp edge from memory.
pub fn hole_throughput(diameter: f64, outside: f64, temperature: f64) -> Result<f64, LawError> {
    let d = within("diameter", diameter, 0.0, 0.1)?;
    Ok(std::f64::consts::FRAC_PI_4 * d * d * through_area(outside, temperature)?)
}

/// Throughput of a square metre of hole [Pa m/s].
fn through_area(outside: f64, temperature: f64) -> Result<f64, LawError> {
    let p = within("outside", outside, 1e4, 1.1e5)?;
    let t = within("temperature", temperature, 253.15, 393.15)?;
    Ok(DISCHARGE * p * (GAMMA * AIR_GAS_CONSTANT * t).sqrt() * CHOKED_SHARE)
}

/// Diameter of the one round hole that lets as much in as a leak.
///
/// d = sqrt(4 Q / (pi Cd p sqrt(gamma R T) (2 / (gamma + 1))^((gamma + 1) / (2 (gamma - 1)))))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `throughput` | Q | [Pa m^3/s] |
/// | `outside` | p, of the air outside | [Pa] |
/// | `temperature` | T, of that air | [K] |
///
/// # Returns
/// Diameter [m].
/// # Valid for
/// As `hole_throughput`.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// use bastwork::law::{leak, pump};
/// // 1 inch of mercury a minute in 5 litres.
/// let q = pump::throughput(0.005, 3386.4 / 60.0)?;
/// let d = leak::equivalent_hole(q, 101_325.0, 293.15)?;
/// assert!((d * 1e6 - 172.0).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// `hole_throughput` turned round; arithmetic check.
pub fn equivalent_hole(throughput: f64, outside: f64, temperature: f64) -> Result<f64, LawError> {
    let q = within("throughput", throughput, 0.0, 1e3)?;
    let area = q / through_area(outside, temperature)?;
    Ok((area / std::f64::consts::FRAC_PI_4).sqrt())
}

/// What a leak goes through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Path {
    /// A hole wide against its depth: the jet is as fast as sound until the bag is near the pressure outside.
    Hole,
    /// A long fine gap, under a wrinkle of sealant: viscous flow.
    Gap,
}

/// How a leak fades as the bag fills: its flow over that into a perfect vacuum.
///
/// gap: 1 - r^2; hole: 1 up to r = 0.528, then sqrt(r^(2/gamma) - r^((gamma+1)/gamma)) over its value at 0.528;
/// r = p / p_outside
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `path` | hole or gap | |
/// | `pressure` | p, in the bag | [Pa] |
/// | `outside` | p_outside | [Pa] |
///
/// # Returns
/// The share, 1 far below the pressure outside, 0 at it [-].
/// # Valid for
/// 0 <= p <= p_outside.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// use bastwork::law::leak::{Path, remaining_share};
/// // Through a gap, 1 percent less at 100 mbar and 9 percent less at 300.
/// assert!((remaining_share(Path::Gap, 1e4, 101_325.0)? - 0.990).abs() < 5e-4);
/// assert!((remaining_share(Path::Gap, 3e4, 101_325.0)? - 0.912).abs() < 5e-4);
/// assert_eq!(remaining_share(Path::Hole, 3e4, 101_325.0)?, 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook: laminar flow of a gas through a capillary; isentropic flow through an orifice. Arithmetic check.
pub fn remaining_share(path: Path, pressure: f64, outside: f64) -> Result<f64, LawError> {
    let outside = within("outside", outside, 1e4, 1.1e5)?;
    let ratio = within("pressure", pressure, 0.0, outside)? / outside;
    let jet = |r: f64| (r.powf(2.0 / GAMMA) - r.powf((GAMMA + 1.0) / GAMMA)).max(0.0);
    Ok(match path {
        Path::Gap => 1.0 - ratio * ratio,
        Path::Hole if ratio <= CHOKED => 1.0,
        Path::Hole => (jet(ratio) / jet(CHOKED)).sqrt().min(1.0),
    })
}

/// Air of the room that comes in through a leak over a time.
///
/// V = Q t / p_outside
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `throughput` | Q | [Pa m^3/s] |
/// | `time` | t | [s] |
/// | `outside` | p_outside | [Pa] |
///
/// # Returns
/// Volume as it was in the room [m^3].
/// # Valid for
/// A bag that stays far below the pressure outside.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// // 1 mbar a minute in 5 litres is 4.9 cm3 of room air a minute.
/// let v = bastwork::law::leak::air_drawn_in(0.005 * 100.0 / 60.0, 60.0, 101_325.0)?;
/// assert!((v * 1e6 - 4.93).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ideal gas law at one temperature; arithmetic check.
pub fn air_drawn_in(throughput: f64, time: f64, outside: f64) -> Result<f64, LawError> {
    let q = within("throughput", throughput, 0.0, 1e3)?;
    let t = within("time", time, 0.0, 1e8)?;
    Ok(q * t / within("outside", outside, 1e4, 1.1e5)?)
}

/// Free volume of a bag, from how far a syringe of room air raises its pressure.
///
/// V = p_outside V_s / dp
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `outside` | p_outside | [Pa] |
/// | `syringe` | V_s, room air let in | [m^3] |
/// | `rise` | dp, of the bag that is shut off | [Pa] |
///
/// # Returns
/// Bag, hoses and pot on the shut side [m^3].
/// # Valid for
/// One temperature; the leak's own rise in that time taken off dp; dp small against p_outside.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// // 60 mL of room air raise a bag by 12 mbar: 5.07 litres.
/// let v = bastwork::law::leak::free_volume(101_325.0, 60e-6, 1_200.0)?;
/// assert!((v * 1e3 - 5.066).abs() < 0.001);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ideal gas law at one temperature; arithmetic check.
pub fn free_volume(outside: f64, syringe: f64, rise: f64) -> Result<f64, LawError> {
    let outside = within("outside", outside, 1e4, 1.1e5)?;
    let syringe = positive("syringe", within("syringe", syringe, 0.0, 1.0)?)?;
    Ok(outside * syringe / positive("rise", within("rise", rise, 0.0, outside)?)?)
}

/// Pumping speed that is left behind a hose.
///
/// 1 / S = 1 / S0 + 1 / C
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `pump_speed` | S0, at the pump | [m^3/s] |
/// | `conductance` | C, of hose and valves at the bag's pressure | [m^3/s] |
///
/// # Returns
/// Speed at the bag, below both [m^3/s].
/// # Valid for
/// Steady flow at one pressure: C itself falls with the pressure.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// // 10 m3/h behind a hose that carries 2.5 m3/h: 2 m3/h.
/// let s = bastwork::law::leak::speed_behind_hose(10.0 / 3600.0, 2.5 / 3600.0)?;
/// assert!((s * 3600.0 - 2.0).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook vacuum technology, conductances in series.
pub fn speed_behind_hose(pump_speed: f64, conductance: f64) -> Result<f64, LawError> {
    let (s, c) = (
        positive("pump_speed", pump_speed)?,
        positive("conductance", conductance)?,
    );
    Ok(1.0 / (1.0 / s + 1.0 / c))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn constants_are_those_of_air() {
        assert!((CHOKED - (2.0_f64 / 2.4).powf(3.5)).abs() < 1e-12);
        assert!((CHOKED_SHARE - (2.0_f64 / 2.4).powi(3)).abs() < 1e-12);
        // Speed of sound in dry air at 20 °C: 343.2 m/s (handbook value, from memory).
        assert!(((GAMMA * AIR_GAS_CONSTANT * 293.15).sqrt() - 343.2).abs() < 0.1);
    }

    #[test]
    fn holes_behind_common_limits() {
        // Arithmetic check, 5 litres: mbar a minute and micrometres.
        for (mbar, um) in [(1.0, 30.0), (6.8, 77.0), (33.9, 172.0)] {
            let q = 0.005 * 100.0 * mbar / 60.0;
            let d = equivalent_hole(q, 101_325.0, 293.15).unwrap();
            assert!((d * 1e6 - um).abs() < 0.6, "{mbar}: {d}");
            let back = hole_throughput(d, 101_325.0, 293.15).unwrap();
            assert!((back / q - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn a_leak_fades_to_nothing_and_never_grows() {
        for path in [Path::Hole, Path::Gap] {
            let mut before = 1.0;
            for k in 0..=100 {
                let p = 101_325.0 * f64::from(k) / 100.0;
                let share = remaining_share(path, p, 101_325.0).unwrap();
                assert!(share <= before, "{path:?} {k}");
                before = share;
            }
            assert!(before.abs() < 1e-9, "{path:?} {before}");
        }
        assert!(remaining_share(Path::Gap, 1.2e5, 101_325.0).is_err());
    }

    #[test]
    fn a_bag_without_a_rise_has_no_volume_to_tell() {
        assert!(free_volume(101_325.0, 60e-6, 0.0).is_err());
        assert!(equivalent_hole(-1.0, 101_325.0, 293.15).is_err());
        assert!(speed_behind_hose(1.0, 0.0).is_err());
    }
}
