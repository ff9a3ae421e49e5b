//! A post-cure: an oven that warms evenly, and a part that must stay harder than the oven is hot.
//!
//! For thin parts that are as warm as the oven. Does not cover what the part rests on.

use super::glass::glass_transition_unchecked;
use super::kinetics::{Resin, rate_unchecked};
use crate::law::{LawError, positive, within};
use crate::solve::{NoRoot, Step, follow, root};

/// Slowest and fastest warming looked at [K/s]: 0.5 and 300 K an hour.
const RAMPS: (f64, f64) = (0.5 / 3600.0, 300.0 / 3600.0);

/// An oven's course: up, and hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Oven {
    /// Where it begins [K].
    pub from: f64,
    /// Where it holds [K].
    pub to: f64,
    /// Warming [K/s].
    pub ramp: f64,
    /// Time at the top [s].
    pub hold: f64,
}

/// What a post-cure comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PostCured {
    /// Smallest lead of the glass transition over the oven on the way [K]; negative where the part softens.
    pub lead: f64,
    /// Where the oven is when the lead is smallest [K].
    pub tightest: f64,
    /// Conversion at the end [-].
    pub conversion: f64,
    /// Glass transition at the end [K].
    pub tg: f64,
}

/// Follows a part through its post-cure.
///
/// d(alpha)/dt = rate(alpha, T), T = min(from + ramp t, to); lead = min(Tg(alpha) - T)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor, ultimate glass transition; one with a glass transition | |
/// | `start_conversion` | when it goes into the oven | [-] |
/// | `oven` | from, to [K], warming [K/s], time at the top [s] | |
///
/// # Returns
/// Smallest lead [K] and where the oven is then [K]; conversion [-] and glass transition [K] at the end.
/// # Valid for
/// Thin parts; 288 to 353 K.
/// # Errors
/// [`LawError::OutOfRange`] for a conversion outside 0..1, temperatures outside 263..423 K, an oven that does not warm or hold;
/// [`LawError::Unsolved`] for a resin without a glass transition.
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Oven, Resin, post_cure};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let oven = Oven { from: 294.15, to: 323.15, ramp: 10.0 / 3600.0, hold: 16.0 * 3600.0 };
/// let done = post_cure(&resin, 0.826, &oven)?;
/// assert!((done.tg - 273.15 - 72.5).abs() < 0.2, "arithmetic check; 73 published for another resin");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As for [`super::curing_rate`]; that 10 K/h keeps a part hard agrees with a maker's sheet as builders quote it.
pub fn post_cure(resin: &Resin, start_conversion: f64, oven: &Oven) -> Result<PostCured, LawError> {
    within("start_conversion", start_conversion, 0.0, 1.0)?;
    let from = within("from", oven.from, 263.15, 423.15)?;
    let to = within("to", oven.to, from, 423.15)?;
    positive("ramp", oven.ramp)?;
    positive("hold", oven.hold)?;
    let glass = resin.checked()?.kinetics.glass.ok_or(LawError::Unsolved {
        what: "the glass transition of this resin",
    })?;
    let tg =
        |alpha: f64| glass_transition_unchecked(glass, resin.tg_ultimate, alpha.clamp(0.0, 1.0));
    let unsolved = LawError::Unsolved {
        what: "the course of the post-cure",
    };
    let climb = (to - from) / oven.ramp;
    let mut lead = tg(start_conversion) - from;
    let mut tightest = from;
    let mut alpha = start_conversion;
    let fine = |longest: f64| Step {
        relative: 1e-4,
        absolute: 1e-6,
        longest,
        most: 10_000,
    };
    if climb > 0.0 {
        let rate = |t: f64, y: &[f64; 1]| [rate_unchecked(resin, y[0], from + oven.ramp * t)];
        // Points close enough for the smallest lead between them.
        let track = follow(rate, 0.0, [alpha], climb, fine(climb / 12.0), |_, _| false)
            .map_err(|_| unsolved.clone())?;
        for (t, y) in track.t.iter().zip(&track.y) {
            let warm = from + oven.ramp * t;
            let now = tg(y[0]) - warm;
            if now < lead {
                (lead, tightest) = (now, warm);
            }
        }
        alpha = track.end().1[0];
    }
    let rate = |_: f64, y: &[f64; 1]| [rate_unchecked(resin, y[0], to)];
    let track = follow(rate, 0.0, [alpha], oven.hold, fine(oven.hold), |_, _| false)
        .map_err(|_| unsolved)?;
    let conversion = track.end().1[0].clamp(0.0, 1.0);
    Ok(PostCured {
        lead,
        tightest,
        conversion,
        tg: tg(conversion),
    })
}

/// Fastest even warming that the glass transition keeps ahead of.
///
/// min(Tg(alpha) - T) = lead, by the root of the ramp
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | as for [`post_cure`] | |
/// | `start_conversion` | when it goes into the oven | [-] |
/// | `from`, `to` | the oven | [K] |
/// | `lead` | least lead wanted | [K] |
///
/// # Returns
/// Warming [K/s]; at most 300 K an hour, at least 0.5, which is then too fast still when the part begins too soft.
/// # Valid for
/// As for [`post_cure`].
/// # Errors
/// As for [`post_cure`].
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin, fastest_ramp};
/// let resin = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let ramp = fastest_ramp(&resin, 0.826, 294.15, 333.15, 0.0)? * 3600.0;
/// assert!(ramp > 10.0 && ramp < 14.0, "{ramp} K an hour: 10 stays hard");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Derived for Bastwork from [`post_cure`].
pub fn fastest_ramp(
    resin: &Resin,
    start_conversion: f64,
    from: f64,
    to: f64,
    lead: f64,
) -> Result<f64, LawError> {
    let spare = |log_ramp: f64| {
        let oven = Oven {
            from,
            to,
            ramp: log_ramp.exp(),
            hold: 1.0,
        };
        post_cure(resin, start_conversion, &oven).map(|done| done.lead - lead)
    };
    let (low, high) = (RAMPS.0.ln(), RAMPS.1.ln());
    spare(high)?;
    match root(|x| spare(x).unwrap_or(f64::NAN), low, high, 1e-2) {
        Ok(log_ramp) => Ok(log_ramp.exp()),
        // Hard enough for the fastest, or too soft for the slowest.
        Err(NoRoot::NotBracketed { at_high, .. }) if at_high > 0.0 => Ok(RAMPS.1),
        Err(NoRoot::NotBracketed { at_low, .. }) if at_low < 0.0 => Ok(RAMPS.0),
        Err(_) => Err(LawError::Unsolved {
            what: "the fastest warming",
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::cure::{INFUSION_AMINE, LOW_REACTIVITY, isothermal_cure};

    const SLOW: Resin = Resin {
        kinetics: INFUSION_AMINE,
        speed: 1.0,
        tg_ultimate: 364.15,
    };

    fn oven(top: f64, per_hour: f64, hours: f64) -> Oven {
        Oven {
            from: 294.15,
            to: top + 273.15,
            ramp: per_hour / 3600.0,
            hold: hours * 3600.0,
        }
    }

    #[test]
    fn keeps_the_arithmetic_check_after_a_day_at_21() {
        let green = isothermal_cure(&SLOW, 294.15, 86_400.0).unwrap().end().1[0];
        for (top, hold, tg) in [(50.0, 16.0, 72.5), (60.0, 8.0, 78.4), (70.0, 5.0, 83.9)] {
            let done = post_cure(&SLOW, green, &oven(top, 10.0, hold)).unwrap();
            assert!((done.tg - 273.15 - tg).abs() < 0.15, "{top}: {}", done.tg);
            assert!(done.lead > 0.9 && done.lead < 1.3, "{top}: {}", done.lead);
        }
        let hasty = post_cure(&SLOW, green, &oven(80.0, 60.0, 1.0)).unwrap();
        assert!((hasty.lead + 25.0).abs() < 1.0, "{}", hasty.lead);
    }

    #[test]
    fn the_fastest_ramp_just_keeps_ahead() {
        let green = isothermal_cure(&SLOW, 294.15, 86_400.0).unwrap().end().1[0];
        for top in [50.0, 70.0] {
            let ramp = fastest_ramp(&SLOW, green, 294.15, top + 273.15, 0.0).unwrap();
            let lead = |factor: f64| {
                let oven = oven(top, ramp * factor * 3600.0, 1.0);
                post_cure(&SLOW, green, &oven).unwrap().lead
            };
            assert!(lead(0.97) > 0.0 && lead(1.03) < 0.0, "{top}");
        }
        // Fresh resin softens in any oven; what is nearly cured stands any warming below its glass transition.
        assert!(fastest_ramp(&SLOW, 0.3, 294.15, 333.15, 0.0).unwrap() < 0.51 / 3600.0);
        assert!(fastest_ramp(&SLOW, 0.97, 294.15, 333.15, 0.0).unwrap() > 299.0 / 3600.0);
    }

    #[test]
    fn a_lower_oven_that_is_past_the_tight_place_bears_the_same_warming() {
        let green = isothermal_cure(&SLOW, 294.15, 86_400.0).unwrap().end().1[0];
        let to_70 = fastest_ramp(&SLOW, green, 294.15, 343.15, 0.0).unwrap();
        let tightest = post_cure(&SLOW, green, &oven(70.0, to_70 * 3600.0, 1.0))
            .unwrap()
            .tightest;
        assert!(tightest > 300.0 && tightest < 333.0, "{tightest}");
        let to_60 = fastest_ramp(&SLOW, green, 294.15, 333.15, 0.0).unwrap();
        assert!((to_60 / to_70 - 1.0).abs() < 0.02, "{to_60} {to_70}");
        // One that ends before that place bears more.
        let to_40 = fastest_ramp(&SLOW, green, 294.15, 313.15, 0.0).unwrap();
        assert!(to_40 > 1.02 * to_70, "{to_40} {to_70}");
    }

    #[test]
    fn refuses_what_is_no_post_cure() {
        assert!(post_cure(&SLOW, 1.2, &oven(50.0, 10.0, 1.0)).is_err());
        assert!(
            post_cure(&SLOW, 0.8, &oven(10.0, 10.0, 1.0)).is_err(),
            "an oven colder than the shop"
        );
        assert!(post_cure(&SLOW, 0.8, &oven(50.0, 0.0, 1.0)).is_err());
        let none = Resin {
            kinetics: LOW_REACTIVITY,
            ..SLOW
        };
        assert!(post_cure(&none, 0.8, &oven(50.0, 10.0, 1.0)).is_err());
    }
}
