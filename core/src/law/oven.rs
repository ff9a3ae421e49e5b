//! Drying a stack of cloth in warm air, and how fast it takes water up again in the room.
//!
//! One temperature and one regain for the whole stack: outer plies are ahead of the mean. Folded or
//! rolled cloth, oven power and heating a mould are not in it. Trust times to a factor of three until a
//! stack has been weighed in the shop's own oven.

mod reach;

pub use reach::{drying_time, drying_track_to, regain_time};

use super::water_vapour::{self, VAPOUR_GAS_CONSTANT};
use super::wood_curve::Hydrate;
use super::{LawError, positive, sorption, within};
use crate::solve::{Step, Track, follow, root};

/// Resistance of cloth to vapour over that of still air as thick [-]: 2 to 4 in ordinary fabrics, 4 to 8
/// in the tightest weaves (Fourt and Harris 1947).
pub const VAPOUR_RESISTANCE_FACTOR: f64 = 3.0;
/// Film coefficient of still oven air [W/(m^2 K)], 5 to 7 (from memory).
pub const STILL_AIR_FILM: f64 = 6.0;
/// Film coefficient of fan-driven oven air [W/(m^2 K)], 15 to 30 (from memory).
pub const FAN_AIR_FILM: f64 = 20.0;
/// Film coefficient of the air in a quiet room [W/(m^2 K)] (from memory).
pub const ROOM_AIR_FILM: f64 = 5.0;

/// Heat capacity of dry flax [J/(kg K)] (from memory).
pub(crate) const DRY_HEAT_CAPACITY: f64 = 1350.0;
/// Heat capacity of the water in it [J/(kg K)] (from memory).
pub(crate) const WATER_HEAT_CAPACITY: f64 = 4190.0;
/// Time a fibre itself needs at 20 °C [s] and how it shortens with warmth [K]; our judgement.
const FIBRE_TIME: f64 = 180.0;
const FIBRE_WARMTH: f64 = 3000.0;
/// Dry air at sea level: pressure over gas constant [kg K/m^3], heat capacity [J/(kg K)], and
/// Le^(2/3) for Le = 0.87 (from memory).
const AIR_DENSITY_BY_TEMPERATURE: f64 = 101_325.0 / 287.05;
const AIR_HEAT_CAPACITY: f64 = 1006.0;
const LEWIS_POWER: f64 = 0.911_338;
/// A track stops when this share of the first gap to balance is left.
const LEFT_AT_BALANCE: f64 = 2e-3;

/// A stack of cloth as it lies in the oven or in the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layup {
    /// Dry mass of the whole stack over its plan area [kg/m^2].
    pub dry_areal_mass: f64,
    /// Height as it lies, not pressed together [m].
    pub height: f64,
    /// Faces the air reaches: 1 on a mould, 2 hung or on a rack.
    pub faces_open: u8,
    /// Resistance of the cloth to vapour over that of still air, [`VAPOUR_RESISTANCE_FACTOR`] [-].
    pub resistance_factor: f64,
    /// Still air that a film laid over each open face is worth to vapour; 0 for none [m].
    pub cover: f64,
    /// Isotherm scale, [`sorption::FLAX_SCALE`] or the shop's own [-].
    pub scale: f64,
    /// Temperature of the cloth at the start [K].
    pub start_temperature: f64,
}

/// The air around a stack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Temperature [K].
    pub temperature: f64,
    /// Relative humidity as a fraction [-]; for an oven that breathes room air, from [`heated_activity`].
    pub activity: f64,
    /// Film coefficient for heat, h_c [W/(m^2 K)].
    pub film_coefficient: f64,
    /// Air in a closed oven over the plan area of the cloth: what left the cloth stays in it, and makes the
    /// air damper. `None` where it breathes the room's air and `activity` holds [m].
    pub room_per_area: Option<f64>,
}

/// How regain (first) and cloth temperature (second) go with time.
pub type DryingTrack = Track<2>;

/// Relative humidity of room air once an oven has heated it.
///
/// h_oven = h_room * p_sat(T_room) / p_sat(T_oven)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `room_temperature` | T_room | [K] |
/// | `room_activity` | h_room, relative humidity as a fraction | [-] |
/// | `oven_temperature` | T_oven | [K] |
///
/// # Returns
/// Activity in the oven, 1 at most [-].
/// # Valid for
/// 273.15 to 378.15 K; an oven that breathes the room's air.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// let h = bastwork::law::oven::heated_activity(293.15, 0.5, 333.15)?;
/// assert!((h - 0.5 * 23.393 / 199.46).abs() < 1e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Same vapour pressure, warmer air; pressures in the example from CoolProp 8.0.0.
pub fn heated_activity(
    room_temperature: f64,
    room_activity: f64,
    oven_temperature: f64,
) -> Result<f64, LawError> {
    let room = within("room_temperature", room_temperature, 273.15, 378.15)?;
    let h = within("room_activity", room_activity, 0.0, 1.0)?;
    let oven = within("oven_temperature", oven_temperature, 273.15, 378.15)?;
    Ok((h * water_vapour::saturation(room) / water_vapour::saturation(oven)).min(1.0))
}

/// Relative humidity in an oven that does not breathe, once water has left the cloth into it.
///
/// h = h_heated + m_w * R_v * T_oven / (V * p_sat(T_oven))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `heated` | h_heated, before any water left the cloth, from [`heated_activity`] | [-] |
/// | `oven_temperature` | T_oven | [K] |
/// | `water_mass` | m_w, water that has left the cloth | [kg] |
/// | `oven_volume` | V, air in the oven | [m^3] |
///
/// # Returns
/// Activity, 1 at most: then water runs down the walls [-].
/// # Valid for
/// 273.15 to 378.15 K; a tight oven.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// // 6 g of water fill 60 litres of air at 60 °C to 77 %.
/// let h = bastwork::law::oven::closed_activity(0.0, 333.15, 6e-3, 0.060)?;
/// assert!((h - 6e-3 / 0.060 / 0.1304).abs() < 0.008);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ideal gas law; saturated vapour at 60 °C weighs 0.1304 kg/m3 (CoolProp 8.0.0).
pub fn closed_activity(
    heated: f64,
    oven_temperature: f64,
    water_mass: f64,
    oven_volume: f64,
) -> Result<f64, LawError> {
    let h = within("heated", heated, 0.0, 1.0)?;
    let water = within("water_mass", water_mass, 0.0, f64::MAX)?;
    let full = positive("oven_volume", oven_volume)?
        * water_vapour::vapour_density(oven_temperature, 1.0)?;
    Ok((h + water / full).min(1.0))
}

/// Driest that cloth gets in an oven that breathes the room's air, however long it stays.
///
/// R_floor = s * M_wood(T_oven, h_room * p_sat(T_room) / p_sat(T_oven))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `scale` | s, isotherm scale | [-] |
/// | `room_temperature` | T_room | [K] |
/// | `room_activity` | h_room, relative humidity as a fraction | [-] |
/// | `oven_temperature` | T_oven | [K] |
///
/// # Returns
/// Regain [-]; below 0.01 read it as "below about 1 %".
/// # Valid for
/// 273.15 to 378.15 K.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument.
/// # Example
/// ```
/// let floor = bastwork::law::oven::oven_floor(0.70, 293.15, 0.5, 313.15)?;
/// assert!((floor - 0.024).abs() < 5e-4, "40 °C never dries to 2 %");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Wood Handbook eq. 4-5 and IAPWS SR1-86(1992); arithmetic check.
pub fn oven_floor(
    scale: f64,
    room_temperature: f64,
    room_activity: f64,
    oven_temperature: f64,
) -> Result<f64, LawError> {
    let h = heated_activity(room_temperature, room_activity, oven_temperature)?;
    sorption::flax_regain(scale, oven_temperature, h)
}

/// Follows regain and temperature of a stack in air, drying or taking water up.
///
/// R = 1/h_m + (f L / 3 + L_c) / D, L = H / faces, h_m = h_c / (rho c_p Le^(2/3));
/// j = (rho_v(h(M, T_f), T_f) - rho_air) / R;
/// rho_air = rho_v(h_air, T), and in a closed oven rho_v(h_air, T) + m (M_0 - M) / room, at most rho_v(1, T);
/// dM/dt = -N j / m, no faster than |M - M_eq| / tau_f, tau_f = 180 s * exp(3000 (1/T_f - 1/293.15));
/// m (1350 + 4190 M) dT_f/dt = N h_c (T - T_f) + m dM/dt (L(T_f) + heat of sorption)
///
/// Scaling, checked by a test: at the same height, time goes as dry mass, exactly while the fibre is not
/// the limit (ten plies; up to 10 % off for a single ply). One face open is twice the mass and height with
/// two, exactly, where the oven breathes. With start and target as shares of the scale, time is a straight line in the scale within
/// 0.1 % from 0.58 to 0.80; plain proportion is off by +3.3 % at 0.58 and -2.0 % at 0.80 from 0.70.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `layup` | m, H, N, f, cover L_c, scale and starting temperature | [struct] |
/// | `air` | T, h_air, h_c, room | [struct] |
/// | `start_regain` | M_0 | [-] |
/// | `duration` | how long to follow it at most | [s] |
///
/// # Returns
/// The track [s; -, K]. It ends early once the cloth is as good as in balance (0.2 % of the first gap).
/// # Valid for
/// Sea-level air, 273.15 to 378.15 K; stacks laid flat, up to 0.2 m high. Times to a factor of 1 to 3.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument; [`LawError::Unsolved`] when 20 000 steps were not enough.
/// # Example
/// ```
/// use bastwork::law::oven::*;
/// let ten_plies = Layup { dry_areal_mass: 2.77, height: 7e-3, faces_open: 2,
///     resistance_factor: VAPOUR_RESISTANCE_FACTOR, cover: 0.0, scale: 0.70,
///     start_temperature: 293.15 };
/// let oven = Air { temperature: 333.15, activity: heated_activity(293.15, 0.5, 333.15)?,
///     film_coefficient: STILL_AIR_FILM, room_per_area: None };
/// let track = drying_track(&ten_plies, &oven, 0.0649, 4.0 * 3600.0)?;
/// let minutes = drying_time(&track, 0.02).unwrap() / 60.0;
/// assert!((minutes - 35.0).abs() < 0.5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Film and layer in series, Lewis relation (from memory); resistance of cloth after Fourt and Harris 1947;
/// fibre time our judgement. The example is an arithmetic check, not a measurement.
pub fn drying_track(
    layup: &Layup,
    air: &Air,
    start_regain: f64,
    duration: f64,
) -> Result<DryingTrack, LawError> {
    track(layup, air, start_regain, duration, |_| false)
}

/// The same, stopped as soon as `enough` holds of the regain.
fn track(
    layup: &Layup,
    air: &Air,
    start_regain: f64,
    duration: f64,
    enough: impl Fn(f64) -> bool,
) -> Result<DryingTrack, LawError> {
    let mass = positive("dry_areal_mass", layup.dry_areal_mass)?;
    let height = within("height", layup.height, 1e-5, 0.2)?;
    let faces = within("faces_open", f64::from(layup.faces_open), 1.0, 2.0)?;
    let factor = within("resistance_factor", layup.resistance_factor, 1.0, 20.0)?;
    let cover = within("cover", layup.cover, 0.0, 1e3)?;
    let scale = within("scale", layup.scale, 0.05, 3.0)?;
    let start_temperature = within("start_temperature", layup.start_temperature, 273.15, 378.15)?;
    let hot = within("temperature", air.temperature, 273.15, 378.15)?;
    let most = water_vapour::saturation(hot);
    let outside = within("activity", air.activity, 0.0, 1.0)? * most;
    let room = match air.room_per_area {
        Some(room) => within("room_per_area", room, 1e-3, 1e9)?,
        None => f64::INFINITY,
    };
    let film = within("film_coefficient", air.film_coefficient, 0.5, 500.0)?;
    let start = within("start_regain", start_regain, 0.0, 1.0)?;
    let duration = positive("duration", duration)?;

    let gas = VAPOUR_GAS_CONSTANT * hot;
    // Vapour pressure of the air around once the cloth holds `regain`; what it cannot hold runs down the walls.
    let around = |regain: f64| {
        let all = outside + gas * mass * (start - regain) / room;
        all.clamp(0.0, most)
    };
    let path = factor * height / (3.0 * faces) + cover;
    let film_resistance = AIR_DENSITY_BY_TEMPERATURE * AIR_HEAT_CAPACITY * LEWIS_POWER / film;
    let rate = |_: f64, y: &[f64; 2]| {
        // A trial step may overshoot; the step control then takes it back.
        let [regain, cloth] = [y[0], y[1].clamp(223.15, 423.15)];
        let middle = 0.5 * (hot + cloth);
        let curve = Hydrate::at(cloth);
        let full = water_vapour::saturation(cloth);
        let over = curve.activity(regain / scale) * full / (VAPOUR_GAS_CONSTANT * cloth);
        let resistance = film_resistance / middle + path / water_vapour::diffusivity(middle);
        let around = around(regain);
        let balance = scale * curve.regain((around / full).min(1.0));
        let fibre = FIBRE_TIME * (FIBRE_WARMTH * (1.0 / cloth - 1.0 / 293.15)).exp();
        let fastest = (regain - balance).abs() / fibre;
        let drying = (-faces * (over - around / gas) / (resistance * mass))
            .max(-fastest)
            .min(fastest);
        let heat = water_vapour::latent(cloth) + sorption::HEAT_OF_SORPTION;
        let warming = (faces * film * (hot - cloth) / mass + drying * heat)
            / (DRY_HEAT_CAPACITY + WATER_HEAT_CAPACITY * regain);
        [drying, warming]
    };
    let settled = Hydrate::at(hot);
    let over_air = |regain: f64| scale * settled.regain(around(regain) / most);
    let end = match air.room_per_area {
        // The wetter the cloth stays, the drier the air: one crossing.
        Some(_) => root(|regain| over_air(regain) - regain, 0.0, 2.0, 1e-9)
            .map_err(|_| LawError::Unsolved { what: "drying" })?,
        None => over_air(start),
    };
    let near = LEFT_AT_BALANCE * (start - end).abs() + 1e-6;
    let step = Step {
        relative: 1e-5,
        absolute: 1e-6,
        longest: duration,
        most: 20_000,
    };
    follow(
        rate,
        0.0,
        [start, start_temperature],
        duration,
        step,
        |_, y| enough(y[0]) || (y[0] - end).abs() < near && (y[1] - hot).abs() < 0.2,
    )
    .map_err(|_| LawError::Unsolved { what: "drying" })
}

#[cfg(test)]
#[path = "oven_tests.rs"]
mod tests;
