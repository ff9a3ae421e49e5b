//! Cure of a thin film or laminate whose temperature follows a programme: a cooling night, an oven ramp.
//!
//! Does not cover self-heating; the temperature is given, not computed.

use super::kinetics::{Resin, rate_unchecked};
use crate::law::{LawError, positive, within};
use crate::solve::{Step, Track, follow};

/// The rate starts on an infinite slope (m < 1), where a loose tolerance is paid for all the way to the gel.
/// Halving these moves no time by more than one in a million (see the tests). Steps of ten minutes at most,
/// so that no short warm spell is stepped over.
const STEP: Step = Step {
    relative: 1e-7,
    absolute: 1e-10,
    longest: 600.0,
    most: 200_000,
};

/// Course of the cure of a film whose temperature is given as a function of time.
///
/// d(alpha)/dt = rate(alpha, T(t)), with the rate of [`super::curing_rate`].
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor, ultimate glass transition | |
/// | `temperature` | T(t) [K] at a time [s] from the start | |
/// | `start_conversion` | alpha at the start, 0 when freshly mixed | [-] |
/// | `duration` | how long to follow it, at most 400 days | [s] |
///
/// # Returns
/// Conversion [-] against time [s], as a track.
/// # Valid for
/// 288 to 343 K; extrapolated outside. Warm spells shorter than about ten minutes may be blurred.
/// # Errors
/// [`LawError::OutOfRange`] for a start outside 0..1, a duration outside its range, a temperature at either
/// end outside 263..423 K; [`LawError::Unsolved`] when the temperature is not a number on the way.
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin, programme_cure};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let day = programme_cure(&resin, |_| 296.15, 0.0, 86_400.0)?;
/// assert!((day.end().1[0] - 0.839_469).abs() < 2e-6, "scipy 1.17.1, Radau");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`super::curing_rate`].
pub fn programme_cure(
    resin: &Resin,
    temperature: impl Fn(f64) -> f64,
    start_conversion: f64,
    duration: f64,
) -> Result<Track<1>, LawError> {
    positive("duration", duration)?;
    within("duration", duration, 0.0, 400.0 * 86_400.0)?;
    within("start_conversion", start_conversion, 0.0, 1.0)?;
    for at in [0.0, duration] {
        within("temperature", temperature(at), 263.15, 423.15)?;
    }
    resin.checked()?;
    course(resin, temperature, start_conversion, duration, STEP)
}

fn course(
    resin: &Resin,
    temperature: impl Fn(f64) -> f64,
    start: f64,
    duration: f64,
    step: Step,
) -> Result<Track<1>, LawError> {
    follow(
        |t, y: &[f64; 1]| [rate_unchecked(resin, y[0], temperature(t))],
        0.0,
        [start],
        duration,
        step,
        |_, _| false,
    )
    .map_err(|_| LawError::Unsolved {
        what: "the course of the cure",
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::cure::{INFUSION_AMINE, glass_transition, isothermal_cure};

    const SLOW: Resin = Resin {
        kinetics: INFUSION_AMINE,
        speed: 1.0,
        tg_ultimate: 364.15,
    };

    fn tg_c(alpha: f64) -> f64 {
        glass_transition(SLOW.kinetics.glass.unwrap(), SLOW.tg_ultimate, alpha).unwrap() - 273.15
    }

    /// From 21 C at `per_hour` to `top`, then `hold` hours there; start after a day at 21 C.
    fn post_cure(per_hour: f64, top: f64, hold: f64) -> (f64, f64) {
        let green = isothermal_cure(&SLOW, 294.15, 86_400.0).unwrap().end().1[0];
        let ramp = (top - 21.0) / per_hour * 3600.0;
        let oven = |t: f64| 273.15 + (21.0 + per_hour * t / 3600.0).min(top);
        let track = programme_cure(&SLOW, oven, green, ramp + hold * 3600.0).unwrap();
        let lead = |(t, y): (&f64, &[f64; 1])| tg_c(y[0]) - (oven(*t) - 273.15);
        let least = track
            .t
            .iter()
            .zip(&track.y)
            .map(lead)
            .fold(f64::MAX, f64::min);
        (tg_c(track.end().1[0]), least)
    }

    #[test]
    fn slow_ramps_stay_hard_and_fast_ramps_soften() {
        // Arithmetic check. That 10 K/h keeps the part hard agrees with the maker's rule quoted by builders.
        for (top, hold, tg) in [(50.0, 16.0, 72.5), (60.0, 8.0, 78.4), (70.0, 5.0, 83.9)] {
            let (end, least) = post_cure(10.0, top, hold);
            assert!((end - tg).abs() < 0.1, "{top}: {end}");
            assert!(least > 0.9 && least < 1.3, "{top}: {least}");
        }
        let (_, least) = post_cure(60.0, 80.0, 1.0);
        assert!((least + 25.0).abs() < 1.0, "{least}");
    }

    #[test]
    fn agrees_with_the_integral_and_with_half_the_tolerance() {
        let half = Step {
            relative: 0.5 * STEP.relative,
            absolute: 0.5 * STEP.absolute,
            longest: 0.5 * STEP.longest,
            ..STEP
        };
        for celsius in [15.0, 23.0, 50.0] {
            let t = celsius + 273.15;
            let a = course(&SLOW, |_| t, 0.0, 2e5, STEP).unwrap();
            let b = course(&SLOW, |_| t, 0.0, 2e5, half).unwrap();
            let c = isothermal_cure(&SLOW, t, 2e5).unwrap();
            for level in [0.1, 0.577, 0.75] {
                let when = |track: &Track<1>| track.when(|y| y[0], level).unwrap();
                assert!(
                    (when(&a) / when(&b) - 1.0).abs() < 1e-6,
                    "{celsius} {level}"
                );
                assert!(
                    (when(&a) / when(&c) - 1.0).abs() < 2e-5,
                    "{celsius} {level}"
                );
            }
        }
    }

    #[test]
    fn refuses_a_programme_in_celsius() {
        assert!(programme_cure(&SLOW, |_| 23.0, 0.0, 3600.0).is_err());
        assert!(programme_cure(&SLOW, |_| 296.15, 1.1, 3600.0).is_err());
        let lost = |t: f64| {
            if t > 0.0 && t < 3600.0 {
                f64::NAN
            } else {
                296.15
            }
        };
        assert!(programme_cure(&SLOW, lost, 0.0, 3600.0).is_err());
    }
}
