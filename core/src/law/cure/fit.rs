//! A published isothermal fit of cure that ends on a plateau.
//!
//! For checks and for comparing a data set with the kinetics of this crate. Does not cover a change of temperature.

use crate::law::{LawError, positive, within};
use crate::solve::{Step, Track, follow};

const STEP: Step = Step {
    relative: 1e-7,
    absolute: 1e-9,
    longest: 300.0,
    most: 100_000,
};

/// Constants of one fit at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KamalMalkin {
    /// Rate that needs no product [1/s].
    pub k1: f64,
    /// Rate that its product speeds up [1/s].
    pub k2: f64,
    /// Exponent of the product [-].
    pub m: f64,
    /// Exponent of what is left, shared by both brackets [-].
    pub n: f64,
    /// Conversion at which it stops [-].
    pub plateau: f64,
}

/// Course of an isothermal cure by a published fit.
///
/// d(alpha)/dt = (k1 + k2 alpha^m) (1 - alpha)^(n/2) (r - alpha)^(n/2)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `fit` | k1, k2 [1/s], m, n, r | |
/// | `duration` | how long to follow it, at most a year | [s] |
///
/// # Returns
/// Conversion [-] against time [s], as a track.
/// # Valid for
/// The temperature the fit was made at.
/// # Errors
/// [`LawError::OutOfRange`] for rates that are negative or both zero, exponents outside 0.1..4, a plateau outside 0.01..1.
/// # Example
/// ```
/// use bastwork::law::cure::{KamalMalkin, kamal_malkin_course};
/// let fit = KamalMalkin { k1: 1.871e-4, k2: 9.864e-4, m: 0.7668, n: 1.3190, plateau: 0.8293 };
/// let half_an_hour = kamal_malkin_course(&fit, 1800.0)?.end().1[0];
/// assert!((half_an_hour - 0.487).abs() < 1e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Form after Kamal and Malkin (from memory); example: Meldrum, open data set epoxy_HPC, commit 52a9046.
pub fn kamal_malkin_course(fit: &KamalMalkin, duration: f64) -> Result<Track<1>, LawError> {
    within("k1", fit.k1, 0.0, 1e3)?;
    within("k2", fit.k2, 0.0, 1e3)?;
    positive("k1 + k2", fit.k1 + fit.k2)?;
    within("m", fit.m, 0.1, 4.0)?;
    within("n", fit.n, 0.1, 4.0)?;
    let plateau = within("plateau", fit.plateau, 0.01, 1.0)?;
    within(
        "duration",
        positive("duration", duration)?,
        0.0,
        366.0 * 86_400.0,
    )?;
    let rate = |_: f64, y: &[f64; 1]| {
        let alpha = y[0].clamp(0.0, plateau);
        let left = (1.0 - alpha) * (plateau - alpha);
        [(fit.k1 + fit.k2 * alpha.powf(fit.m)) * left.powf(0.5 * fit.n)]
    };
    follow(rate, 0.0, [0.0], duration, STEP, |_, _| false).map_err(|_| LawError::Unsolved {
        what: "the course of this fit",
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stops_at_its_plateau_and_refuses_what_is_no_fit() {
        let fit = KamalMalkin {
            k1: 1e-3,
            k2: 1e-2,
            m: 0.5,
            n: 1.2,
            plateau: 0.7,
        };
        let end = kamal_malkin_course(&fit, 1e6).unwrap().end().1[0];
        assert!((end - 0.7).abs() < 1e-3, "{end}");
        assert!(
            kamal_malkin_course(
                &KamalMalkin {
                    plateau: 1.2,
                    ..fit
                },
                1e3
            )
            .is_err()
        );
        assert!(
            kamal_malkin_course(
                &KamalMalkin {
                    k1: 0.0,
                    k2: 0.0,
                    ..fit
                },
                1e3
            )
            .is_err()
        );
        assert!(kamal_malkin_course(&fit, 0.0).is_err());
    }
}
