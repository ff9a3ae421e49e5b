//! How fast an epoxy-amine reacts at a conversion and temperature.
//!
//! Two published parameter sets, a speed factor for the hardener, and a factor that all but stops the
//! reaction when the glass transition passes the temperature.

use super::glass::{Glass, glass_transition_slope, glass_transition_unchecked};
use super::late::late_share;
use crate::law::{LawError, positive, within};
use crate::solve::root;

/// Molar gas constant [J/(mol K)], exact since 2019 (CODATA 2018, rounded to ten digits).
pub const GAS_CONSTANT: f64 = 8.314_462_618;

/// Conversion at which an amine-cured epoxy gels, likely value [-]; 0.55 to 0.65 in practice.
///
/// Flory gives 0.577 for a difunctional epoxy and a diamine; real systems gel a little later (from memory).
pub const GEL_CONVERSION: f64 = 0.58;

/// How far the glass transition stands above the temperature when the reaction is half stopped [K].
///
/// Offset and width of the vitrification factor are our judgement, best of four pairs against two published
/// glass transitions of another laminating epoxy (58 C after 28 days at 21 C, 73 C after 16 h at 50 C).
const VITRIFIED_ABOVE: f64 = 10.0;
/// Width of the vitrification factor [K]; see [`VITRIFIED_ABOVE`].
const VITRIFIED_WIDTH: f64 = 5.0;

/// Rate constants of a Kamal-Sourour reaction with Arrhenius temperature dependence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kinetics {
    /// Frequency factor of the uncatalysed path [1/s].
    pub a1: f64,
    /// Activation energy of the uncatalysed path [J/mol].
    pub e1: f64,
    /// Frequency factor of the autocatalysed path [1/s].
    pub a2: f64,
    /// Activation energy of the autocatalysed path [J/mol].
    pub e2: f64,
    /// Exponent of the conversion [-].
    pub m: f64,
    /// Exponent of what is left to convert [-].
    pub n: f64,
    /// Heat set free from nothing to full conversion [J/kg].
    pub heat: f64,
    /// How the glass transition grows; without it the reaction is not slowed by vitrification.
    pub glass: Option<Glass>,
    /// How many times slower between gel and hard than up to gel, in a film [-]; see [`super::late_for`].
    pub late: f64,
}

/// A DGEBA infusion epoxy with an amine hardener, wind-blade type.
///
/// Source: Thermochim. Acta, doi 10.1016/j.tca.2015.11.014, Table 5, seen where it is quoted (second-hand). Its own diffusion term is left out: below about 40 C it stops the
/// reaction from the start.
pub const INFUSION_AMINE: Kinetics = Kinetics {
    a1: 35_982.0,
    e1: 54_960.0,
    a2: 3_574.1,
    e2: 44_289.0,
    m: 0.398_45,
    n: 1.536_1,
    heat: 460e3,
    glass: Some(Glass {
        uncured: 216.15,
        lambda: 0.369_03,
    }),
    late: 1.0,
};

/// A low-reactivity infusion epoxy of the slow end of what is sold, to try the laws on. No sheet rests on it.
///
/// Source: a fit seen second-hand, of which no paper is known (our judgement that it is fit to try laws on). No glass
/// transition law is known for it.
pub const LOW_REACTIVITY: Kinetics = Kinetics {
    a1: 200_000.0,
    e1: 63_268.0,
    a2: 118_000.4,
    e2: 55_158.0,
    m: 0.304_5,
    n: 1.617_42,
    heat: 450e3,
    glass: None,
    late: 1.0,
};

/// A mixed resin as the cure laws see it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resin {
    /// Rate constants.
    pub kinetics: Kinetics,
    /// Hardener factor on every rate [-]: 1 slow, about 3 fast, 6 very fast.
    pub speed: f64,
    /// Glass transition when fully cured [K].
    pub tg_ultimate: f64,
}

impl Resin {
    /// The resin itself when its speed and ultimate glass transition make sense.
    pub(crate) fn checked(&self) -> Result<&Self, LawError> {
        within("speed", self.speed, 0.01, 100.0)?;
        within("late", self.kinetics.late, 0.1, 1000.0)?;
        within("tg_ultimate", self.tg_ultimate, 303.15, 523.15)?;
        Ok(self)
    }
}

/// Both rate constants at a temperature, speed factor not applied [1/s].
pub(super) fn constants(kinetics: &Kinetics, temperature: f64) -> (f64, f64) {
    let rt = GAS_CONSTANT * temperature;
    (
        kinetics.a1 * (-kinetics.e1 / rt).exp(),
        kinetics.a2 * (-kinetics.e2 / rt).exp(),
    )
}

/// Share of the chemical rate that vitrification and the late hours of a film leave [-].
pub(super) fn unfrozen(resin: &Resin, conversion: f64, temperature: f64) -> f64 {
    match resin.kinetics.glass {
        None => 1.0,
        Some(glass) => {
            let tg = glass_transition_unchecked(glass, resin.tg_ultimate, conversion);
            let lead = tg - temperature;
            late_share(resin.kinetics.late, conversion, temperature, (lead, 0.0)).0
                * vitrified(lead)
        }
    }
}

/// Share of the rate that a glass transition so far above the temperature leaves [-].
fn vitrified(lead: f64) -> f64 {
    1.0 / (1.0 + ((lead - VITRIFIED_ABOVE) / VITRIFIED_WIDTH).exp())
}

/// The rate with its slopes by temperature and by conversion, without looking at the arguments.
pub(crate) fn rate_and_slopes(resin: &Resin, conversion: f64, temperature: f64) -> (f64, f64, f64) {
    let k = &resin.kinetics;
    let alpha = conversion.clamp(1e-9, 1.0 - 1e-9);
    let (k1, k2) = constants(k, temperature);
    let catalysed = k2 * alpha.powf(k.m);
    let (mut rate, mut by_heat, mut by_progress) = (
        resin.speed * (k1 + catalysed) * (1.0 - alpha).powf(k.n),
        (k1 * k.e1 + catalysed * k.e2)
            / ((k1 + catalysed) * GAS_CONSTANT * temperature * temperature),
        k.m * catalysed / (alpha * (k1 + catalysed)) - k.n / (1.0 - alpha),
    );
    if let Some(glass) = k.glass {
        let lead = glass_transition_unchecked(glass, resin.tg_ultimate, alpha) - temperature;
        let slope = glass_transition_slope(glass, resin.tg_ultimate, alpha);
        let open = vitrified(lead);
        let (late, late_by_heat, late_by_progress) =
            late_share(k.late, alpha, temperature, (lead, slope));
        rate *= open * late;
        by_heat += (1.0 - open) / VITRIFIED_WIDTH + late_by_heat;
        by_progress += late_by_progress - (1.0 - open) / VITRIFIED_WIDTH * slope;
    }
    (rate, rate * by_heat, rate * by_progress)
}

/// [`curing_rate`] without the checks, the conversion held between 0 and 1.
pub(crate) fn rate_unchecked(resin: &Resin, conversion: f64, temperature: f64) -> f64 {
    let k = &resin.kinetics;
    let (k1, k2) = constants(k, temperature);
    let alpha = conversion.clamp(0.0, 1.0);
    resin.speed
        * (k1 + k2 * alpha.powf(k.m))
        * (1.0 - alpha).powf(k.n)
        * unfrozen(resin, alpha, temperature)
}

/// Rate of cure at a conversion and a temperature.
///
/// d(alpha)/dt = s (k1 + k2 alpha^m) (1 - alpha)^n f / g, k_i = A_i exp(-E_i/(R T)),
/// f = 1/(1 + exp[(Tg(alpha) - T - 10 K)/5 K]); g = 1 but for a film after gel, see [`super::late_for`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor s, ultimate glass transition | |
/// | `conversion` | alpha, share of the epoxide that has reacted | [-] |
/// | `temperature` | T | [K] |
///
/// # Returns
/// Rate of conversion [1/s].
/// # Valid for
/// 288 to 343 K, where the set was fitted or met published glass transitions; elsewhere extrapolated.
/// # Errors
/// [`LawError::OutOfRange`] for a conversion outside 0..1, a temperature outside 263..573 K, a speed outside
/// 0.01..100, an ultimate glass transition outside 303..523 K.
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin, curing_rate};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let rate = curing_rate(&resin, 0.17, 296.15)?;
/// assert!((rate * 460e3 - 11.9).abs() < 0.05, "11.9 W/kg at 23 C, arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kamal and Sourour 1973, Polym. Eng. Sci. 13:59 (rate form, from memory); parameters: see
/// [`INFUSION_AMINE`]; vitrification factor: our judgement.
pub fn curing_rate(resin: &Resin, conversion: f64, temperature: f64) -> Result<f64, LawError> {
    within("conversion", conversion, 0.0, 1.0)?;
    within("temperature", temperature, 263.15, 573.15)?;
    Ok(rate_unchecked(resin.checked()?, conversion, temperature))
}

/// Steepest chemical rate at one temperature, and the activation energy felt there.
///
/// Maximum over alpha of s (k1 + k2 alpha^m)(1 - alpha)^n, where
/// k2 m alpha^(m-1) (1 - alpha) = n (k1 + k2 alpha^m); E = (k1 E1 + k2 alpha^m E2)/(k1 + k2 alpha^m).
/// Vitrification is left out: it comes long after.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor s | |
/// | `temperature` | T | [K] |
///
/// # Returns
/// The rate [1/s] and the activation energy [J/mol].
/// # Valid for
/// Autocatalysed kinetics with 0 < m < 1.
/// # Errors
/// [`LawError::OutOfRange`] as for [`curing_rate`]; [`LawError::Unsolved`] when the rate has no maximum.
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin, steepest_rate};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let (rate, _) = steepest_rate(&resin, 296.15)?;
/// assert!((rate - 2.59e-5).abs() < 0.005e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arithmetic on the rate form of [`curing_rate`].
pub fn steepest_rate(resin: &Resin, temperature: f64) -> Result<(f64, f64), LawError> {
    within("temperature", temperature, 263.15, 573.15)?;
    let k = resin.checked()?.kinetics;
    positive("m", k.m)?;
    let (k1, k2) = constants(&k, temperature);
    let slope = |alpha: f64| {
        k2 * k.m * alpha.powf(k.m - 1.0) * (1.0 - alpha) - k.n * (k1 + k2 * alpha.powf(k.m))
    };
    let alpha = root(slope, 1e-9, 1.0, 1e-9).map_err(|_| LawError::Unsolved {
        what: "the steepest rate of cure",
    })?;
    let catalysed = k2 * alpha.powf(k.m);
    let rate = resin.speed * (k1 + catalysed) * (1.0 - alpha).powf(k.n);
    let energy = (k1 * k.e1 + catalysed * k.e2) / (k1 + catalysed);
    Ok((rate, energy))
}

#[cfg(test)]
mod tests {
    use super::*;

    const SLOW: Resin = Resin {
        kinetics: INFUSION_AMINE,
        speed: 1.0,
        tg_ultimate: 364.15,
    };

    #[test]
    fn nothing_is_faster_than_the_steepest_rate() {
        for celsius in [5.0, 23.0, 60.0] {
            let temperature = celsius + 273.15;
            let (steepest, energy) = steepest_rate(&SLOW, temperature).unwrap();
            let best = (0..=1000)
                .map(|i| rate_unchecked(&SLOW, f64::from(i) / 1000.0, temperature))
                .fold(0.0, f64::max);
            assert!(best <= steepest * 1.000_001 && best > 0.995 * steepest);
            assert!(energy > INFUSION_AMINE.e2 && energy < INFUSION_AMINE.e1);
        }
    }

    #[test]
    fn the_glass_stops_the_reaction_and_warmth_starts_it_again() {
        let frozen = curing_rate(&SLOW, 0.9, 288.15).unwrap();
        let warm = curing_rate(&SLOW, 0.9, 333.15).unwrap();
        let bare = Resin {
            kinetics: Kinetics {
                glass: None,
                ..INFUSION_AMINE
            },
            ..SLOW
        };
        assert!(frozen < 0.01 * curing_rate(&bare, 0.9, 288.15).unwrap());
        assert!(warm > 0.5 * curing_rate(&bare, 0.9, 333.15).unwrap());
    }

    #[test]
    fn asks_for_what_makes_sense() {
        assert!(curing_rate(&SLOW, 1.2, 296.15).is_err());
        assert!(
            curing_rate(&SLOW, 0.2, 23.0).is_err(),
            "celsius given for kelvin"
        );
        assert!(curing_rate(&Resin { speed: 0.0, ..SLOW }, 0.2, 296.15).is_err());
        assert!(
            steepest_rate(
                &Resin {
                    tg_ultimate: 91.0,
                    ..SLOW
                },
                296.15
            )
            .is_err()
        );
    }

    #[test]
    fn the_slopes_are_those_of_the_rate() {
        let slow = Resin {
            kinetics: INFUSION_AMINE,
            speed: 1.7,
            tg_ultimate: 364.15,
        };
        let slowest = Resin {
            kinetics: LOW_REACTIVITY,
            ..slow
        };
        let late = slow.with_late(6.0);
        for resin in [slow, slowest, late] {
            // Before gel, near the steepest point, and while the glass transition passes the temperature.
            for (alpha, t) in [
                (0.02, 288.15),
                (0.2, 296.15),
                (0.6, 296.15),
                (0.63, 330.15),
                (0.80, 293.15),
                (0.86, 296.15),
            ] {
                let (rate, by_heat, by_progress) = rate_and_slopes(&resin, alpha, t);
                let at = |alpha: f64, t: f64| rate_unchecked(&resin, alpha, t);
                assert!((rate / at(alpha, t) - 1.0).abs() < 1e-12, "{alpha} {t}");
                let (dt, da) = (1e-3, 1e-6);
                let heat = (at(alpha, t + dt) - at(alpha, t - dt)) / (2.0 * dt);
                let progress = (at(alpha + da, t) - at(alpha - da, t)) / (2.0 * da);
                assert!(
                    (by_heat / heat - 1.0).abs() < 1e-5,
                    "{alpha} {t}: {by_heat} {heat}"
                );
                assert!(
                    (by_progress / progress - 1.0).abs() < 1e-5,
                    "{alpha} {t}: {by_progress} {progress}"
                );
            }
        }
    }
}
