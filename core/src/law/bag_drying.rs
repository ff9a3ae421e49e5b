//! Drying cloth under a vacuum bag: how dry it gets, how low the pressure goes, how long it takes.
//!
//! The end is firm. The time is not: the path's transmissivity has to be found on the shop's own bag.

use super::oven::{DRY_HEAT_CAPACITY, DryingTrack, WATER_HEAT_CAPACITY};
use super::water_vapour::{self, VAPOUR_GAS_CONSTANT};
use super::wood_curve::Hydrate;
use super::{LawError, positive, sorption, within};
use crate::solve::{Step, follow_stiff, root};

mod path;

use path::swept;
pub use path::{VapourPath, lines};

/// Viscosity of water vapour near room temperature [Pa s] (from memory).
pub const VAPOUR_VISCOSITY: f64 = 9.8e-6;

/// Cloth in a bag with the pump on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bagged {
    /// Dry mass of the cloth [kg].
    pub dry_mass: f64,
    /// Area through which heat comes in [m^2].
    pub area: f64,
    /// Isotherm scale, [`sorption::FLAX_SCALE`] or the shop's own [-].
    pub scale: f64,
    /// Temperature of mould and room, and of the cloth at the start [K].
    pub temperature: f64,
    /// Heat that comes in for each kelvin the cloth is colder, about 10 [W/(m^2 K)] (from memory).
    pub heat_coefficient: f64,
    /// Pumping speed at the bag [m^3/s].
    pub pump_speed: f64,
    /// Lowest pressure the pump reaches alone [Pa].
    pub pump_ultimate: f64,
    /// The vapour's way to the vent; `None` where it is no hindrance.
    pub path: Option<VapourPath>,
    /// Dry air let in at the end far from the vent, which sweeps vapour along; 0 for none [Pa m^3/s].
    pub bleed: f64,
}

/// What holds the drying back most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Slowest {
    /// The pump cannot carry more.
    Pump,
    /// The vapour's way through the bag.
    Path,
    /// Heat for evaporation: warm the mould.
    Heat,
    /// Nothing more leaves: the pump is no lower than the cloth's own vapour.
    AtItsEnd,
}

/// Driest that cloth gets under a bag with a given pressure of water vapour in it.
///
/// R_end = s * M_wood(T, p_v / p_sat(T))
///
/// The same turned to use: the plateau of a tight, shut bag and its temperature tell the regain inside.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `scale` | s, isotherm scale | [-] |
/// | `temperature` | T, of the cloth | [K] |
/// | `vapour_pressure` | p_v; the whole bag pressure at worst | [Pa] |
///
/// # Returns
/// Regain [-]; `None` when water itself would not boil there, so that the cloth may stay wet.
/// # Valid for
/// 273.15 to 378.15 K.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// use bastwork::law::bag_drying::end_regain;
/// assert!((end_regain(0.70, 293.15, 1_000.0)?.unwrap() - 0.057).abs() < 5e-4);
/// assert_eq!(end_regain(0.70, 293.15, 5_000.0)?, None);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Wood Handbook eq. 4-5 and IAPWS SR1-86(1992); arithmetic check.
pub fn end_regain(
    scale: f64,
    temperature: f64,
    vapour_pressure: f64,
) -> Result<Option<f64>, LawError> {
    let t = within("temperature", temperature, 273.15, 378.15)?;
    let p = within("vapour_pressure", vapour_pressure, 0.0, 1e7)?;
    let activity = p / water_vapour::saturation(t);
    if activity >= 1.0 {
        return Ok(None);
    }
    sorption::flax_regain(scale, t, activity).map(Some)
}

/// Lowest pressure a bag comes down to while the cloth gives off vapour.
///
/// p = pu + Q / S + p_v, p_v = h(T, R) * p_sat(T)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `pump_ultimate` | pu, lowest the pump reaches alone | [Pa] |
/// | `leak` | Q, throughput of the leak | [Pa m^3/s] |
/// | `pump_speed` | S | [m^3/s] |
/// | `vapour_pressure` | p_v over the cloth, from [`sorption::vapour_pressure`] | [Pa] |
///
/// # Returns
/// Absolute pressure [Pa].
/// # Valid for
/// As long as the vapour's source lasts; the pressure far from the vent.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// use bastwork::law::{bag_drying::lowest_pressure, sorption::vapour_pressure};
/// let over_cloth = vapour_pressure(0.70, 293.15, 0.05)?;
/// let p = lowest_pressure(100.0, 0.0083, 10.0 / 3600.0, over_cloth)?;
/// assert!((p - 100.0 - 3.0 - 850.0).abs() < 5.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Textbook vacuum technology: pressures of gas load and vapour add; arithmetic check.
pub fn lowest_pressure(
    pump_ultimate: f64,
    leak: f64,
    pump_speed: f64,
    vapour_pressure: f64,
) -> Result<f64, LawError> {
    let ultimate = within("pump_ultimate", pump_ultimate, 0.0, 1.1e5)?;
    let leak = within("leak", leak, 0.0, 1e4)?;
    let vapour = within("vapour_pressure", vapour_pressure, 0.0, 1e7)?;
    Ok(ultimate + leak / positive("pump_speed", pump_speed)? + vapour)
}

impl Bagged {
    fn check(&self) -> Result<(), LawError> {
        positive("dry_mass", self.dry_mass)?;
        positive("area", self.area)?;
        within("scale", self.scale, 0.05, 3.0)?;
        within("temperature", self.temperature, 273.15, 378.15)?;
        within("heat_coefficient", self.heat_coefficient, 0.1, 1e3)?;
        within("pump_speed", self.pump_speed, 1e-7, 1.0)?;
        within("pump_ultimate", self.pump_ultimate, 0.0, 1.1e5)?;
        within("bleed", self.bleed, 0.0, 1e5)?;
        if let Some(path) = self.path {
            within("transmissivity", path.transmissivity, 1e-18, 1e-3)?;
            positive("width", path.width)?;
            positive("length", path.length)?;
        }
        Ok(())
    }

    /// Vapour pressure over the cloth [Pa].
    fn over(&self, regain: f64, cloth: f64) -> f64 {
        Hydrate::at(cloth).activity(regain / self.scale) * water_vapour::saturation(cloth)
    }

    /// Path coefficient in rate = coefficient * (p_cloth^2 - p_vent^2) / (R_v T) [m^3/(s Pa)].
    fn conductance(&self) -> Option<f64> {
        let p = self.path?;
        Some(p.transmissivity * p.width / (2.0 * VAPOUR_VISCOSITY * p.length))
    }

    /// Water that leaves, path and pump one after the other [kg/s]; never back from the pump.
    fn leaving(&self, over: f64, cloth: f64) -> f64 {
        let (s, pu) = (self.pump_speed, self.pump_ultimate);
        let gas = VAPOUR_GAS_CONSTANT * cloth;
        if self.bleed > 0.0 {
            let slow = self.conductance().map_or(0.0, |c| 1.0 / c);
            return swept(over, self.bleed, pu, 1.0 / s, slow) / gas;
        }
        if over <= pu {
            return 0.0;
        }
        let vent = match self.conductance() {
            // c (over^2 - p^2) = s (p - pu), written so that a wide path loses no digits.
            Some(c) => {
                let full = c * over * over + s * pu;
                2.0 * full / (s + (s * s + 4.0 * c * full).sqrt())
            }
            None => over,
        };
        s * (vent - pu) / gas
    }
}

/// Heat that frees one kilogram of water from cloth [J/kg].
fn freeing(cloth: f64) -> f64 {
    water_vapour::latent(cloth) + sorption::HEAT_OF_SORPTION
}

/// Follows regain and temperature of cloth under a bag with the pump on.
///
/// rate = Q / (R_v T_f); p = pu + (Q + Q_a) / S; p_far^2 = p^2 + (Q + Q_a) 2 mu L / (K h w);
/// Q p_far = (Q + Q_a) h(M, T_f) p_sat(T_f), so that without a bleed the vapour over the cloth is p_far itself;
/// dM/dt = -rate / m; m (1350 + 4190 M) dT_f/dt = U A (T - T_f) - rate (L(T_f) + heat of sorption)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bagged` | cloth, surroundings, pump S and pu, path K h, w, L, bleed Q_a | [struct] |
/// | `start_regain` | M at the start | [-] |
/// | `enough` | regain at which to stop; 0 to follow it to its end | [-] |
/// | `duration` | how long to follow it at most | [s] |
///
/// # Returns
/// The track, regain then temperature [s; -, K]; ends early once dry enough, or within 0.2 % of the first gap to its end.
/// Ask it with [`super::oven::drying_time`].
/// # Valid for
/// 273.15 to 378.15 K around it; all gas in the bag is vapour and the bleed's dry air, flowing with the viscosity of
/// vapour; one state for the whole stack, as damp as its far end; no ice.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument; [`LawError::Unsolved`] when 20 000 steps were not enough.
/// # Example
/// ```
/// use bastwork::law::{bag_drying::*, oven::drying_time};
/// let warm = Bagged { dry_mass: 2.77, area: 1.0, scale: 0.70, temperature: 313.15,
///     heat_coefficient: 10.0, pump_speed: 10.0 / 3600.0, pump_ultimate: 100.0,
///     path: Some(VapourPath { transmissivity: 3e-12, width: 1.0, length: 0.5 }), bleed: 0.0 };
/// let track = bag_track(&warm, 0.0649, 0.0, 48.0 * 3600.0)?;
/// let hours = drying_time(&track, 0.02).unwrap() / 3600.0;
/// assert!((hours - 5.8).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Darcy's law for an ideal gas, ideal pump, lumped heat balance; arithmetic check, not a measurement.
pub fn bag_track(
    bagged: &Bagged,
    start_regain: f64,
    enough: f64,
    duration: f64,
) -> Result<DryingTrack, LawError> {
    bagged.check()?;
    let start = within("start_regain", start_regain, 0.0, 1.0)?;
    let enough = within("enough", enough, 0.0, 1.0)?;
    let duration = positive("duration", duration)?;
    let around = bagged.temperature;
    let rate = |y: &[f64; 2]| {
        // A trial step may overshoot; the step control then takes it back.
        let [regain, cloth] = [y[0], y[1].clamp(193.15, 423.15)];
        let leaving = bagged.leaving(bagged.over(regain, cloth), cloth);
        let heat =
            bagged.heat_coefficient * bagged.area * (around - cloth) - leaving * freeing(cloth);
        let capacity = DRY_HEAT_CAPACITY + WATER_HEAT_CAPACITY * regain.max(0.0);
        [
            -leaving / bagged.dry_mass,
            heat / (bagged.dry_mass * capacity),
        ]
    };
    // A bleed of dry air knows no end but dry.
    let end = match bagged.bleed > 0.0 {
        true => 0.0,
        false => end_regain(bagged.scale, around, bagged.pump_ultimate)?.unwrap_or(start),
    };
    let near = 2e-3 * (start - end).max(0.0) + 1e-6;
    // Heat settles within minutes, water within hours: stiff.
    let step = Step {
        relative: 1e-3,
        absolute: 1e-5,
        longest: duration,
        most: 20_000,
    };
    follow_stiff(rate, 0.0, [start, around], duration, step, |_, y| {
        enough >= y[0] || (y[0] - end < near && around - y[1] < 0.2)
    })
    .map_err(|_| LawError::Unsolved {
        what: "drying under the bag",
    })
}

/// Which of pump, path and heat alone would be the slowest at a regain.
///
/// pump: S (p_f - pu) / (R_v T); path: K h w (p_f^2 - pu^2) / (2 mu R_v T L); with a bleed as in [`bag_track`], the
/// path endlessly wide or the pump endlessly fast; heat: U A (T - T_0) / heat, where T_0 is so cold that the cloth's
/// vapour is down to pu
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bagged` | cloth, surroundings, pump and path | [struct] |
/// | `regain` | of the cloth now | [-] |
///
/// # Returns
/// The slowest, and its rate alone [kg/s].
/// # Valid for
/// As [`bag_track`].
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// use bastwork::law::bag_drying::*;
/// let cold = Bagged { dry_mass: 2.77, area: 1.0, scale: 0.70, temperature: 293.15,
///     heat_coefficient: 10.0, pump_speed: 10.0 / 3600.0, pump_ultimate: 100.0, path: None, bleed: 0.0 };
/// assert_eq!(slowest(&cold, 0.02)?.0, Slowest::Pump);
/// let hot = Bagged { temperature: 353.15, ..cold };
/// assert_eq!(slowest(&hot, 0.04)?.0, Slowest::Heat);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The three limits of [`bag_track`], each taken alone.
pub fn slowest(bagged: &Bagged, regain: f64) -> Result<(Slowest, f64), LawError> {
    bagged.check()?;
    let regain = within("regain", regain, 0.0, 1.0)?;
    let (t, pu) = (bagged.temperature, bagged.pump_ultimate);
    let over = bagged.over(regain, t);
    let bleed = bagged.bleed;
    if over <= if bleed > 0.0 { 0.0 } else { pu } {
        return Ok((Slowest::AtItsEnd, 0.0));
    }
    let gas = VAPOUR_GAS_CONSTANT * t;
    let swept = |lag: f64, slow: f64| swept(over, bleed, pu, lag, slow) / gas;
    let pump = match bleed > 0.0 {
        true => swept(1.0 / bagged.pump_speed, 0.0),
        false => bagged.pump_speed * (over - pu) / gas,
    };
    let path = bagged
        .conductance()
        .map_or(f64::INFINITY, |c| match bleed > 0.0 {
            true => swept(0.0, 1.0 / c),
            false => c * (over * over - pu * pu) / gas,
        });
    // Colder than 80 K below the surroundings counts as that: no bag gets there.
    let coldest =
        root(|cold| bagged.over(regain, cold) - pu, t - 80.0, t, 1e-3).unwrap_or(t - 80.0);
    let heat = bagged.heat_coefficient * bagged.area * (t - coldest) / freeing(coldest);
    Ok([(Slowest::Path, path), (Slowest::Heat, heat)]
        .into_iter()
        .fold((Slowest::Pump, pump), |least, next| {
            if next.1 < least.1 { next } else { least }
        }))
}

#[cfg(test)]
#[path = "bag_drying_tests.rs"]
mod tests;
