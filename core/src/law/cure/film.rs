//! Cure of a thin film or laminate that stays at one temperature.
//!
//! With the temperature fixed the rate depends on the conversion alone, so the time to any conversion is one
//! integral. It is taken over alpha^m, where the integrand is smooth: marching in time instead starts on an
//! infinite slope of the rate (m < 1), and what a coarse first step loses there is never made up.
//! Does not cover self-heating; see `pot`.

use super::glass::{
    conversion_at_glass_transition, glass_transition_slope, glass_transition_unchecked,
};
use super::kinetics::{Resin, constants, unfrozen};
use crate::law::{LawError, positive, within};
use crate::solve::{Track, root};

/// Panels of the integral are no longer than these: in alpha^m (less still
/// at the very start), in kelvin of glass transition
/// once that matters, in the share of what is left to convert. Halving all three moves no time by more than
/// two in a million (see the tests).
const PANEL: (f64, f64, f64) = (0.04, 1.25, 0.08);
/// Where the late hours of a film begin and are there wholly [-], and the longest panel on the way.
const LATE_BEGINS: (f64, f64) = super::late::ONSET;
const LATE_STEP: f64 = 0.01;
/// Full cure is approached, never reached: the integral ends here.
const FULLY_CURED: f64 = 1.0 - 1e-9;
/// More panels than any cure needs (about 300).
const MOST_PANELS: usize = 4000;
/// Nodes and weights of the three-point Gauss rule on -1..1.
const GAUSS: [(f64, f64); 3] = [
    (-0.774_596_669_241_483_4, 5.0 / 9.0),
    (0.0, 8.0 / 9.0),
    (0.774_596_669_241_483_4, 5.0 / 9.0),
];

/// A film of one resin at one temperature, at speed factor 1.
struct Film<'a> {
    resin: &'a Resin,
    temperature: f64,
    k1: f64,
    k2: f64,
    fineness: f64,
}

impl<'a> Film<'a> {
    fn new(resin: &'a Resin, temperature: f64, fineness: f64) -> Result<Self, LawError> {
        within("temperature", temperature, 263.15, 423.15)?;
        positive("m", resin.checked()?.kinetics.m)?;
        let (k1, k2) = constants(&resin.kinetics, temperature);
        Ok(Self {
            resin,
            temperature,
            k1,
            k2,
            fineness,
        })
    }

    /// Rate at a conversion and its m-th power [1/s].
    fn rate(&self, alpha: f64, power: f64) -> f64 {
        (self.k1 + self.k2 * power)
            * (1.0 - alpha).powf(self.resin.kinetics.n)
            * unfrozen(self.resin, alpha, self.temperature)
    }

    /// Time from one conversion to a near one, both given as alpha^m [s].
    fn seconds(&self, from: f64, to: f64) -> f64 {
        let m = self.resin.kinetics.m;
        let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
        let sum: f64 = GAUSS
            .iter()
            .map(|(node, weight)| {
                let power = middle + half * node;
                let alpha = power.powf(1.0 / m);
                weight * alpha / (m * power) / self.rate(alpha, power)
            })
            .sum();
        half * sum
    }

    /// End of the panel that starts at a conversion.
    fn panel_end(&self, alpha: f64) -> f64 {
        let (power_step, kelvin_step, share) = PANEL;
        let m = self.resin.kinetics.m;
        let power = alpha.powf(m);
        let step = power_step.min(0.1 * power_step + 0.25 * power);
        let started = (power + step * self.fineness).powf(1.0 / m);
        let mut end = started.min(alpha + share * self.fineness * (1.0 - alpha));
        if self.resin.kinetics.late != 1.0 && alpha < LATE_BEGINS.1 {
            // No panel lies across gel, and those after it are short.
            let short = LATE_STEP * self.fineness;
            end = if alpha < LATE_BEGINS.0 {
                end.min(LATE_BEGINS.0)
            } else {
                end.min(alpha + short)
            };
        }
        if let Some(glass) = self.resin.kinetics.glass {
            let tg = glass_transition_unchecked(glass, self.resin.tg_ultimate, alpha);
            let near = if self.resin.kinetics.late == 1.0 {
                15.0
            } else {
                65.0
            };
            if tg > self.temperature - near {
                let slope = glass_transition_slope(glass, self.resin.tg_ultimate, alpha);
                end = end.min(alpha + kelvin_step * self.fineness / slope);
            }
        }
        end.min(FULLY_CURED)
    }

    /// Time from nothing to a conversion [s].
    fn time_to(&self, target: f64) -> Result<f64, LawError> {
        let m = self.resin.kinetics.m;
        let (mut alpha, mut power, mut time) = (0.0_f64, 0.0_f64, 0.0_f64);
        for _ in 0..MOST_PANELS {
            if alpha >= target {
                return Ok(time);
            }
            alpha = self.panel_end(alpha).min(target);
            let end = alpha.powf(m);
            time += self.seconds(power, end);
            power = end;
        }
        Err(LawError::Unsolved {
            what: "the time to that conversion",
        })
    }

    /// The whole course until a time [s].
    fn track(&self, duration: f64) -> Result<Track<1>, LawError> {
        let m = self.resin.kinetics.m;
        let mut track = Track {
            t: vec![0.0],
            y: vec![[0.0]],
            slope: vec![[self.rate(0.0, 0.0)]],
        };
        let (mut alpha, mut power, mut time) = (0.0_f64, 0.0_f64, 0.0_f64);
        for _ in 0..MOST_PANELS {
            if time >= duration {
                return Ok(track);
            }
            if alpha >= FULLY_CURED {
                track.t.push(duration);
                track.y.push([alpha]);
                track.slope.push([0.0]);
                return Ok(track);
            }
            alpha = self.panel_end(alpha);
            let mut end = alpha.powf(m);
            let mut ends_at = time + self.seconds(power, end);
            if ends_at > duration {
                let left = duration - time;
                end = root(|x| self.seconds(power, x) - left, power, end, 1e-11).map_err(|_| {
                    LawError::Unsolved {
                        what: "the conversion at that time",
                    }
                })?;
                alpha = end.powf(1.0 / m);
                ends_at = duration;
            }
            (power, time) = (end, ends_at);
            track.t.push(time);
            track.y.push([alpha]);
            track.slope.push([self.rate(alpha, power)]);
        }
        Err(LawError::Unsolved {
            what: "the course of the cure",
        })
    }
}

/// Course of the cure of a film that stays at one temperature.
///
/// t(alpha) = integral from 0 to alpha of d(a)/rate(a, T), with the rate of [`super::curing_rate`].
///
/// Every time scales exactly as 1/s with the speed factor s, gel and glass transition alike, because the
/// whole rate carries s and the temperature does not move. A pot or a thick laminate heats itself and does
/// not scale so.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor s, ultimate glass transition | |
/// | `temperature` | T, of the film, constant | [K] |
/// | `duration` | how long to follow it | [s] |
///
/// # Returns
/// Conversion [-] against time [s], as a track that can be asked when a level was passed.
/// # Valid for
/// Films and laminates thin enough to stay at room temperature, about 5 mm with a slow hardener; 288 to 343 K.
/// # Errors
/// [`LawError::OutOfRange`] for a temperature outside 263..423 K, a duration not above zero, or a resin that
/// [`super::curing_rate`] would not take.
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin, isothermal_cure};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let day = isothermal_cure(&resin, 296.15, 86_400.0)?;
/// assert!((day.end().1[0] - 0.839_469).abs() < 2e-6, "scipy 1.17.1, Radau");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Separation of variables in the rate law; parameters: see [`super::INFUSION_AMINE`].
pub fn isothermal_cure(
    resin: &Resin,
    temperature: f64,
    duration: f64,
) -> Result<Track<1>, LawError> {
    positive("duration", duration)?;
    let mut track = Film::new(resin, temperature, 1.0)?.track(duration * resin.speed)?;
    for t in &mut track.t {
        *t /= resin.speed;
    }
    for slope in &mut track.slope {
        slope[0] *= resin.speed;
    }
    Ok(track)
}

/// Time for a film at one temperature to reach a conversion; with [`super::GEL_CONVERSION`], the time to gel.
///
/// t = (1/s) integral from 0 to alpha of d(a)/[(k1 + k2 a^m)(1 - a)^n f(a)]: exactly proportional to 1/s.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor s, ultimate glass transition | |
/// | `temperature` | T, of the film, constant | [K] |
/// | `conversion` | alpha | [-] |
///
/// # Returns
/// Time from mixing [s].
/// # Valid for
/// As for [`isothermal_cure`].
/// # Errors
/// [`LawError::OutOfRange`] for a conversion outside 0..0.999, or as for [`isothermal_cure`].
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin, time_to_conversion};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let gel = time_to_conversion(&resin, 296.15, 0.577)?;
/// assert!((gel / 3600.0 - 7.667_382).abs() < 1e-5, "scipy 1.17.1, quad");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`isothermal_cure`].
pub fn time_to_conversion(
    resin: &Resin,
    temperature: f64,
    conversion: f64,
) -> Result<f64, LawError> {
    within("conversion", conversion, 0.0, 0.999)?;
    Ok(Film::new(resin, temperature, 1.0)?.time_to(conversion)? / resin.speed)
}

/// Time for a film at one temperature to reach a glass transition.
///
/// The conversion that goes with it, then [`time_to_conversion`].
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor, ultimate glass transition | |
/// | `temperature` | T, of the film, constant | [K] |
/// | `tg` | the glass transition wanted | [K] |
///
/// # Returns
/// Time from mixing [s]; it grows without practical bound when `tg` is far above `temperature`.
/// # Valid for
/// As for [`isothermal_cure`]; a resin whose glass transition law is known.
/// # Errors
/// [`LawError::Unsolved`] for kinetics without a glass transition law; [`LawError::OutOfRange`] for a `tg`
/// below that of the uncured mix or too near the ultimate one, or as for [`isothermal_cure`].
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin, time_to_glass_transition};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let hours = time_to_glass_transition(&resin, 296.15, 318.15)? / 3600.0;
/// assert!((hours - 36.7).abs() < 0.05, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`isothermal_cure`] and [`super::glass_transition`].
pub fn time_to_glass_transition(resin: &Resin, temperature: f64, tg: f64) -> Result<f64, LawError> {
    let glass = resin.kinetics.glass.ok_or(LawError::Unsolved {
        what: "the glass transition of this resin",
    })?;
    let conversion = conversion_at_glass_transition(glass, resin.tg_ultimate, tg)?;
    time_to_conversion(resin, temperature, conversion)
}

/// Time until the glass transition stands a margin above the film's own temperature: hard enough to demould.
///
/// Tg(alpha(t)) = T + margin; a margin of 0 K is the onset of vitrification, 10 K our advice for demoulding.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor, ultimate glass transition | |
/// | `temperature` | T, of the film and the room, constant | [K] |
/// | `margin` | Tg above T, a difference | [K] |
///
/// # Returns
/// Time from mixing [s].
/// # Valid for
/// As for [`isothermal_cure`]. The 10 K are our judgement; strength is known to build only after the onset of
/// vitrification (Moussa, Vassilopoulos et al. 2012, cold-curing structural epoxy, abstract).
/// # Errors
/// As for [`time_to_glass_transition`].
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin, time_to_pass_own_temperature};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let hours = time_to_pass_own_temperature(&resin, 296.15, 10.0)? / 3600.0;
/// assert!((hours - 16.7).abs() < 0.05, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`isothermal_cure`]; the criterion is our judgement.
pub fn time_to_pass_own_temperature(
    resin: &Resin,
    temperature: f64,
    margin: f64,
) -> Result<f64, LawError> {
    time_to_glass_transition(resin, temperature, temperature + margin)
}

/// Time until a film at one temperature reaches a small conversion [s]: where a march in time may begin.
pub(crate) fn film_start(
    resin: &Resin,
    temperature: f64,
    conversion: f64,
) -> Result<f64, LawError> {
    time_to_conversion(resin, temperature, conversion)
}

#[cfg(test)]
mod tests;
