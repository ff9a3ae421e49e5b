//! How dangerous a pot of resin is when it is left, and the largest pot that stays calm.
//!
//! Speaks of a pot left standing until it has set; a pot poured out in time is another matter.

use super::course::Pot;
use super::pot_course;
use crate::law::cure::{GAS_CONSTANT, Resin, steepest_rate};
use crate::law::{LawError, within};

/// What happens to a pot that is left.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hazard {
    /// Stays below 50 C: it can be held in the hand (our judgement).
    Calm,
    /// 50 to 100 C: too hot to hold, softens cups, sets early (our judgement).
    Warm,
    /// Above 100 C: may foam, smoke, crack or melt its cup. Published: mass left to itself passes 100 to
    /// 200 C with yellowing and smoke (a supplier's glossary, "Exothermic reaction").
    Dangerous,
}

/// Below this it is calm, and above the other dangerous [K].
const CALM_BELOW: f64 = 323.15;
/// See [`Hazard`] [K].
const DANGEROUS_ABOVE: f64 = 373.15;

/// Mass for which 204 C, 400 F, has been published, contained [kg].
///
/// Source: an epoxy maker's safety page on uncontrolled cure; the hardener is not stated.
const PUBLISHED_MASS: f64 = 0.100;
/// Half of it: more than this contained is near enough to be called warm at least (our judgement) [kg].
const NEAR_MASS: f64 = 0.5 * PUBLISHED_MASS;

/// Resin thinner than this, volume over surface, is spread and not contained [m]: about 10 mm in a tray.
///
/// Our judgement; the published advice is "a shallow container" above 100 g, without a depth.
const SPREAD_BELOW: f64 = 0.005;
/// From this on it is as contained as in a cup, where 100 g have 7 mm [m] (our judgement).
const CONTAINED_ABOVE: f64 = 0.006;
/// Heat transfer above this is a cooling bath [W/(m^2 K)]; still air gives about 12 (our judgement).
const COOLED_ABOVE: f64 = 50.0;

/// How near a pot is to the published one: 1 where it is half its mass, or thick enough not to count as spread.
fn nearness(pot: &Pot) -> f64 {
    if pot.heat_transfer > COOLED_ABOVE {
        return 0.0;
    }
    let thick = pot.body.volume / pot.body.surface / SPREAD_BELOW;
    (pot.mass() / NEAR_MASS).cbrt().min(thick)
}

/// What has been published allows no better class than this.
fn published(pot: &Pot) -> Hazard {
    let near = nearness(pot) * (1.0 - 1e-6);
    let thick = pot.body.volume / pot.body.surface;
    if near <= 1.0 {
        Hazard::Calm
    } else if pot.mass() < PUBLISHED_MASS * (1.0 - 1e-6) || thick < CONTAINED_ABOVE {
        Hazard::Warm
    } else {
        Hazard::Dangerous
    }
}

/// Hazard class of a pot that is left standing.
///
/// The worse of two. By the computed peak: calm below 50 C, dangerous above 100 C, warm between, and in still air
/// warm at least where [`heat_share`] is above 1. By what has been published, 204 C for 100 g contained: dangerous from 100 g with V/S of 6 mm on, warm at least from 50 g
/// with V/S of 5 mm on.
///
/// So 100 g or more contained in still air is always dangerous: the model may find a lower peak, but it is
/// not shown as safer than what has been published. Spread (V/S below 5 mm) or cooled (more than
/// 50 W/(m^2 K)), the model decides alone, for it is then far from running away. The resistance of the bulk
/// is always counted here, whatever the pot says, because it makes the pot hotter. The peak is steep in the mass
/// but does not jump: [`heat_share`] tells how near a pot is.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor, ultimate glass transition | |
/// | `pot` | the resin, its cup and its surroundings | see [`Pot`] |
///
/// # Returns
/// The class [-]: [`Hazard`].
/// # Valid for
/// As for [`super::pot_course`]. Fillers, foams and insulated cups are worse.
/// # Errors
/// As for [`super::pot_course`].
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin};
/// use bastwork::law::pot::{Hazard, Pot, cylinder, hazard};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let cup = Pot { body: cylinder(1.0, 1100.0, 0.145)?, ..Pot::default() };
/// let tray = Pot { body: cylinder(1.0, 1100.0, 0.350)?, ..Pot::default() };
/// assert_eq!(hazard(&resin, &cup)?, Hazard::Dangerous);
/// assert_eq!(hazard(&resin, &tray)?, Hazard::Calm);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// 204 C for 100 g contained: an epoxy maker's safety page on uncontrolled cure. The 50 and 100 C limits, half the
/// mass for warm, and what counts as contained: our judgement.
pub fn hazard(resin: &Resin, pot: &Pot) -> Result<Hazard, LawError> {
    let bulk = Pot {
        conductivity: Some(pot.conductivity.unwrap_or(super::CONDUCTIVITY)),
        ..*pot
    };
    // Slow resins peak late: the slowest here within a week.
    let longest = (7.0 * 86_400.0 / resin.speed.max(1e-3)).clamp(3600.0, 60.0 * 86_400.0);
    let peak = pot_course(resin, &bulk, longest)?.peak_temperature;
    let modelled = if peak < CALM_BELOW {
        Hazard::Calm
    } else if peak < DANGEROUS_ABOVE {
        Hazard::Warm
    } else {
        Hazard::Dangerous
    };
    // The peak is so steep that a class between could be missed: beyond the bound it is warm at least.
    let beyond = bulk.heat_transfer <= COOLED_ABOVE && heat_share(resin, &bulk)? > 1.0 + 1e-9;
    let near = if beyond { Hazard::Warm } else { Hazard::Calm };
    Ok(modelled.max(near).max(published(&bulk)))
}

/// How much of what stays calm a pot is, by its bulk.
///
/// The larger of (V/S)/(f B) with B of [`critical_ratio`] at the warmer of resin and room, and, in still air, of the
/// smaller of (m / 50 g)^(1/3) and (V/S)/(5 mm); f = 1.2 in air and 1.1 in a cooling bath.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, heat, speed factor | |
/// | `pot` | the resin, its cup and its surroundings | see [`Pot`] |
///
/// # Returns
/// Share [-]: up to 1 it stays calm, from about 1.3 on it can run away.
/// # Valid for
/// As for [`critical_ratio`].
/// # Errors
/// As for [`critical_ratio`] and [`super::pot_course`].
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin};
/// use bastwork::law::pot::{Pot, heat_share};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let share = heat_share(&resin, &Pot::default())?;
/// assert!(share > 1.2 && share < 1.4, "100 g in a cup at 23 C, arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// [`critical_ratio`] and [`hazard`]; f is our judgement.
pub fn heat_share(resin: &Resin, pot: &Pot) -> Result<f64, LawError> {
    let pot = pot.checked()?;
    let k = Some(pot.conductivity.unwrap_or(super::CONDUCTIVITY));
    let warmest = pot.start_temperature.max(pot.room_temperature);
    let allowance = if pot.heat_transfer > COOLED_ABOVE {
        DEPLETION_COOLED
    } else {
        DEPLETION
    };
    let bound = critical_ratio(resin, warmest, pot.density, pot.heat_transfer, k)?;
    let made = pot.body.volume / pot.body.surface / (allowance * bound);
    Ok(made.max(nearness(pot)))
}

/// How far beyond the bound a pot in air may go: reactants are used up on the way, which the bound ignores.
///
/// Our judgement; the tests hold it against the heat balance, which is calm at the bound times this and
/// nowhere calm at 1.5 times the bound.
const DEPLETION: f64 = 1.2;
/// The same in a cooling bath, where the resistance of the bulk rules and the edge is steeper.
const DEPLETION_COOLED: f64 = 1.1;

/// Largest volume over surface of a body of resin that does not run away (Semenov).
///
/// B/U(B) = R T^2 / (e rho H r E), 1/U = 1/h + 3 B/(5 k), with the steepest rate r and the activation energy
/// E felt there: a quadratic in B. Without k, B = h R T^2/(e rho H r E).
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, heat H, speed factor | |
/// | `temperature` | T, of resin and room | [K] |
/// | `density` | rho | [kg/m^3] |
/// | `heat_transfer` | h, from the surface | [W/(m^2 K)] |
/// | `conductivity` | k, of the resin; `None` leaves the resistance of the bulk out | [W/(m K)] |
///
/// # Returns
/// Volume over surface B [m]; half the depth of a thin tray.
/// # Valid for
/// A screening figure: it ignores that reactants are used up, which allows about a fifth more.
/// # Errors
/// [`LawError::OutOfRange`] for a temperature outside 263..343 K, a density outside 700..2500, a heat transfer
/// outside 0.5..5000, a conductivity outside 0.05..5.
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin};
/// use bastwork::law::pot::critical_ratio;
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let ratio = critical_ratio(&resin, 296.15, 1100.0, 12.0, None)?;
/// assert!((ratio * 1e3 - 5.27).abs() < 0.01, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Semenov 1928, Z. Phys. 48:571 (criterion 1/e, from memory); U as in [`pot_course`].
pub fn critical_ratio(
    resin: &Resin,
    temperature: f64,
    density: f64,
    heat_transfer: f64,
    conductivity: Option<f64>,
) -> Result<f64, LawError> {
    let t = within("temperature", temperature, 263.15, 343.15)?;
    let rho = within("density", density, 700.0, 2500.0)?;
    let h = within("heat_transfer", heat_transfer, 0.5, 5000.0)?;
    let (rate, energy) = steepest_rate(resin, t)?;
    let power = rho * resin.kinetics.heat * rate;
    let c = GAS_CONSTANT * t * t / (std::f64::consts::E * power * energy);
    Ok(match conductivity {
        None => h * c,
        Some(k) => {
            let bulk = 3.0 / (5.0 * within("conductivity", k, 0.05, 5.0)?);
            // The form of the quadratic's root that does not cancel when the bulk term is small.
            2.0 * c / (1.0 / h + (1.0 / (h * h) + 4.0 * bulk * c).sqrt())
        }
    })
}

/// Deepest that resin may stand in a wide tray and stay calm.
///
/// z = 2 f B, with B of [`critical_ratio`] and f = 1.2, and less than 10 mm in any case: beyond that it counts as
/// contained
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, heat, speed factor | |
/// | `temperature` | of resin and room | [K] |
/// | `density` | rho | [kg/m^3] |
/// | `heat_transfer` | h, from both faces | [W/(m^2 K)] |
///
/// # Returns
/// Depth z [m].
/// # Valid for
/// Still air, as for [`critical_ratio`]; a tray much wider than deep.
/// # Errors
/// As for [`critical_ratio`].
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin};
/// use bastwork::law::pot::calm_depth;
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 3.0, tg_ultimate: 364.15 };
/// let depth = calm_depth(&resin, 296.15, 1100.0, 12.0)?;
/// assert!(depth > 0.003 && depth < 0.005, "a fast hardener, arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// [`critical_ratio`]; f and the 10 mm are our judgement.
pub fn calm_depth(
    resin: &Resin,
    temperature: f64,
    density: f64,
    heat_transfer: f64,
) -> Result<f64, LawError> {
    let k = Some(super::CONDUCTIVITY);
    let bound = DEPLETION * critical_ratio(resin, temperature, density, heat_transfer, k)?;
    Ok(2.0 * bound.min(0.99 * SPREAD_BELOW))
}

/// Most resin that stays calm in a round cup or tray, left standing.
///
/// Depth z where V/S = d z/(2 d + 4 z) meets f B: z = 2 f B d/(d - 4 f B), never deeper than d; in water, which does
/// not reach the top, z = f B d/(d - 4 f B); m = rho pi d^2 z/4; f = 1.2 in air and 1.1 in a cooling bath. In still air that is either spread (V/S
/// below 5 mm) or less than 50 g, so that it is never called safer than what has been published; see
/// [`hazard`].
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, heat, speed factor | |
/// | `temperature` | of resin and room | [K] |
/// | `density` | rho | [kg/m^3] |
/// | `heat_transfer` | h, from the surface | [W/(m^2 K)] |
/// | `diameter` | d, of the cup or tray, inside | [m] |
///
/// # Returns
/// Mass [kg].
/// # Valid for
/// As for [`critical_ratio`], with the conductivity of plain epoxy. Resin to be poured out at once may be
/// mixed in larger pots.
/// # Errors
/// As for [`critical_ratio`]; a diameter outside 0.03..2 m.
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin};
/// use bastwork::law::pot::largest_calm_pot;
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let cup = largest_calm_pot(&resin, 296.15, 1100.0, 12.0, 0.060)?;
/// assert!(cup > 0.049 && cup < 0.060, "a 50 g cup is calm, arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Geometry and [`critical_ratio`]; f and the limits in still air are our judgement.
pub fn largest_calm_pot(
    resin: &Resin,
    temperature: f64,
    density: f64,
    heat_transfer: f64,
    diameter: f64,
) -> Result<f64, LawError> {
    let d = within("diameter", diameter, 0.03, 2.0)?;
    let k = Some(super::CONDUCTIVITY);
    let cooled = heat_transfer > COOLED_ABOVE;
    let allowance = if cooled { DEPLETION_COOLED } else { DEPLETION };
    let bound = allowance * critical_ratio(resin, temperature, density, heat_transfer, k)?;
    let filled_to = |ratio: f64| {
        let room = d - 4.0 * ratio;
        let faces = if cooled { 1.0 } else { 2.0 };
        let depth = if room > faces * ratio {
            faces * ratio * d / room
        } else {
            d
        };
        0.25 * density * std::f64::consts::PI * d * d * depth
    };
    if bound < SPREAD_BELOW || cooled {
        return Ok(filled_to(bound));
    }
    let in_a_cup = filled_to(bound).min(0.99 * NEAR_MASS);
    Ok(filled_to(0.99 * SPREAD_BELOW).max(in_a_cup))
}

#[cfg(test)]
mod tests;
