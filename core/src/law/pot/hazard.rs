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

/// Published upper bound for 100 g contained: 204 C, 400 F [K].
///
/// Source: an epoxy maker's safety page on uncontrolled cure; the hardener is not stated.
const PUBLISHED_PEAK: f64 = 477.15;
/// The mass that bound is for [kg].
const PUBLISHED_MASS: f64 = 0.100;

/// Resin thinner than this, volume over surface, is spread and not contained [m]: about 10 mm in a tray.
///
/// Our judgement; the published advice is "a shallow container" above 100 g, without a depth.
const SPREAD_BELOW: f64 = 0.005;
/// Heat transfer above this is a cooling bath [W/(m^2 K)]; still air gives about 12 (our judgement).
const COOLED_ABOVE: f64 = 50.0;

/// Whether a pot is of the kind the published bound speaks of.
fn contained(pot: &Pot) -> bool {
    pot.body.volume / pot.body.surface >= SPREAD_BELOW && pot.heat_transfer <= COOLED_ABOVE
}

/// Hazard class of a pot that is left standing.
///
/// The hotter of the computed peak and, for 100 g or more contained, the published 204 C:
/// calm below 50 C, dangerous above 100 C, warm between.
///
/// So 100 g or more contained in still air is always dangerous: the model may find a lower peak, but it is
/// not shown as safer than what has been published. Spread (V/S below 5 mm) or cooled (more than
/// 50 W/(m^2 K)), the model decides alone, for it is then far from running away. The resistance of the bulk
/// is always counted here, whatever the pot says, because it makes the pot hotter.
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
/// 204 C for 100 g contained: an epoxy maker's safety page on uncontrolled cure. The 50 and 100 C limits and
/// what counts as contained: our judgement.
pub fn hazard(resin: &Resin, pot: &Pot) -> Result<Hazard, LawError> {
    let bulk = Pot {
        conductivity: Some(pot.conductivity.unwrap_or(super::CONDUCTIVITY)),
        ..*pot
    };
    // Slow resins peak late: the slowest here within a week.
    let longest = (7.0 * 86_400.0 / resin.speed.max(1e-3)).clamp(3600.0, 60.0 * 86_400.0);
    let modelled = pot_course(resin, &bulk, longest)?.peak_temperature;
    let mass = bulk.mass();
    let published = contained(&bulk) && mass >= PUBLISHED_MASS * (1.0 - 1e-6);
    let peak = if published {
        modelled.max(PUBLISHED_PEAK)
    } else {
        modelled
    };
    Ok(if peak < CALM_BELOW {
        Hazard::Calm
    } else if peak < DANGEROUS_ABOVE {
        Hazard::Warm
    } else {
        Hazard::Dangerous
    })
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

/// Most resin that stays calm in a round cup or tray, left standing.
///
/// Depth z where V/S = d z/(2 d + 4 z) meets f B: z = 2 f B d/(d - 4 f B), never deeper than d;
/// m = rho pi d^2 z/4; f = 1.2 in air and 1.1 in a cooling bath. In still air that is either spread (V/S
/// below 5 mm) or less than 100 g, so that it is never called safer than what has been published; see
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
/// assert!(cup > 0.050 && cup < 0.060, "a 50 g cup is calm, arithmetic check");
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
        let depth = if room > 2.0 * ratio {
            2.0 * ratio * d / room
        } else {
            d
        };
        0.25 * density * std::f64::consts::PI * d * d * depth
    };
    if bound < SPREAD_BELOW || cooled {
        return Ok(filled_to(bound));
    }
    let in_a_cup = filled_to(bound).min(0.99 * PUBLISHED_MASS);
    Ok(filled_to(0.99 * SPREAD_BELOW).max(in_a_cup))
}

#[cfg(test)]
mod tests {
    use super::super::{CUP_IN_AIR, CUP_IN_WATER, cylinder};
    use super::*;
    use crate::law::cure::{INFUSION_AMINE, LOW_REACTIVITY};

    const SLOW: Resin = Resin {
        kinetics: INFUSION_AMINE,
        speed: 1.0,
        tg_ultimate: 364.15,
    };

    fn pot(kilograms: f64, metres: f64, celsius: f64) -> Pot {
        Pot {
            body: cylinder(kilograms, 1100.0, metres).unwrap(),
            start_temperature: celsius + 273.15,
            room_temperature: celsius + 273.15,
            ..Pot::default()
        }
    }

    #[test]
    fn the_bound_divides_calm_from_not() {
        for kinetics in [INFUSION_AMINE, LOW_REACTIVITY] {
            for (h, celsius, speed) in [
                (8.0, 15.0, 1.0),
                (CUP_IN_AIR, 15.0, 0.5),
                (CUP_IN_AIR, 23.0, 1.0),
                (CUP_IN_AIR, 23.0, 6.0),
                (CUP_IN_AIR, 30.0, 3.0),
                (CUP_IN_WATER, 15.0, 1.0),
                (CUP_IN_WATER, 23.0, 3.0),
            ] {
                let resin = Resin {
                    speed,
                    kinetics,
                    ..SLOW
                };
                let t = celsius + 273.15;
                for diameter in [0.06, 0.1, 0.35] {
                    let most = largest_calm_pot(&resin, t, 1100.0, h, diameter).unwrap();
                    let there = Pot {
                        heat_transfer: h,
                        ..pot(most, diameter, celsius)
                    };
                    assert_eq!(
                        hazard(&resin, &there).unwrap(),
                        Hazard::Calm,
                        "{h} {celsius} {most}"
                    );
                }
                let ratio = 1.5 * critical_ratio(&resin, t, 1100.0, h, Some(0.2)).unwrap();
                let depth = 2.0 * ratio * 0.35 / (0.35 - 4.0 * ratio);
                let mass = 1100.0 * std::f64::consts::FRAC_PI_4 * 0.35 * 0.35 * depth;
                let beyond = Pot {
                    heat_transfer: h,
                    ..pot(mass, 0.35, celsius)
                };
                assert!(
                    hazard(&resin, &beyond).unwrap() > Hazard::Calm,
                    "{h} {celsius} {speed}"
                );
            }
        }
    }

    #[test]
    fn a_contained_hundred_grams_is_never_called_safer_than_published() {
        let slowest = Resin {
            speed: 0.2,
            kinetics: LOW_REACTIVITY,
            ..SLOW
        };
        let alone = pot_course(&slowest, &pot(0.1, 0.07, 10.0), 5e6).unwrap();
        assert!(
            alone.peak_temperature < 295.0,
            "the model alone would call it calm"
        );
        assert_eq!(
            hazard(&slowest, &pot(0.1, 0.07, 10.0)).unwrap(),
            Hazard::Dangerous
        );
        assert_eq!(
            hazard(&slowest, &pot(0.05, 0.06, 10.0)).unwrap(),
            Hazard::Calm
        );
        assert!(largest_calm_pot(&slowest, 283.15, 1100.0, CUP_IN_AIR, 0.07).unwrap() < 0.1);
    }

    #[test]
    fn small_pots_in_the_table_are_calm_and_large_ones_are_not() {
        assert_eq!(hazard(&SLOW, &pot(0.05, 0.06, 23.0)).unwrap(), Hazard::Calm);
        assert_eq!(
            hazard(&SLOW, &pot(0.25, 0.09, 23.0)).unwrap(),
            Hazard::Dangerous
        );
        let bath = Pot {
            heat_transfer: CUP_IN_WATER,
            start_temperature: 293.15,
            ..pot(1.0, 0.145, 15.0)
        };
        assert_eq!(hazard(&SLOW, &bath).unwrap(), Hazard::Calm);
        let fast = Resin { speed: 6.0, ..SLOW };
        assert!(hazard(&fast, &pot(0.05, 0.06, 23.0)).unwrap() > Hazard::Calm);
        // Leaving the bulk out does not make the class any better.
        let hollow = Pot {
            conductivity: None,
            ..pot(0.08, 0.06, 23.0)
        };
        let full = Pot {
            conductivity: Some(0.2),
            ..hollow
        };
        assert_eq!(
            hazard(&SLOW, &hollow).unwrap(),
            hazard(&SLOW, &full).unwrap()
        );
    }

    #[test]
    fn keeps_the_screening_figures() {
        // Arithmetic check, made with the energy of the autocatalysed path alone (44.3 kJ/mol): 5.5 and
        // 2.3 mm slow, 1.8 and 0.8 mm three times as fast, 11.1 and 4.6 mm the slowest. The energy felt at
        // the steepest point is 5 % higher, so these are up to 7 % lower.
        let slowest = Resin {
            kinetics: LOW_REACTIVITY,
            ..SLOW
        };
        let fast = Resin { speed: 3.0, ..SLOW };
        for (resin, in_air, in_foam) in [(SLOW, 5.5, 2.3), (fast, 1.8, 0.8), (slowest, 11.1, 4.6)] {
            for (h, expect) in [(12.0, in_air), (5.0, in_foam)] {
                let got = critical_ratio(&resin, 296.15, 1100.0, h, None).unwrap() * 1e3;
                assert!(got < expect && got > 0.9 * expect, "{got} for {expect}");
            }
        }
        let bulk = |k| critical_ratio(&SLOW, 296.15, 1100.0, 12.0, k).unwrap();
        assert!(bulk(Some(0.2)) < bulk(None));
        assert!(
            (bulk(Some(5.0)) / bulk(None) - 1.0).abs() < 0.03,
            "a good conductor has no bulk term"
        );
        assert!(critical_ratio(&SLOW, 23.0, 1100.0, 12.0, None).is_err());
    }
}
