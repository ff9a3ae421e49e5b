//! How much more a part gives under a load that stays on it.
//!
//! Well below damage, at one temperature and humidity. Does not cover loads that come and go, or swings of humidity,
//! which make it worse.

use super::{LawError, positive, within};

/// Most of its strength that a load may use when it stays: flax/epoxy yields near a fifth (Polymers 2023, 15:766,
/// abstract read) [-]. Our judgement.
pub const STANDING: f64 = 0.2;
/// When the first reading is taken [s].
const FIRST: f64 = 60.0;
/// A year of 365.25 days [s].
pub const YEAR: f64 = 31_557_600.0;

/// Give after a time over the give in the first minute.
///
/// w(t)/w(1 min) = (t / 1 min)^n
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `time` | t, since the load came on | [s] |
/// | `exponent` | n | [-] |
///
/// # Returns
/// w(t)/w(1 min) [-].
/// # Valid for
/// One minute to some ten years, which nobody has measured: the years are extrapolated.
/// # Errors
/// [`LawError::OutOfRange`] for a time under a minute or over a hundred years, and for n outside 0..0.5.
/// # Example
/// ```
/// use bastwork::law::creep::{YEAR, grown};
/// assert!((grown(1000.0 * 3600.0, 0.05)? - 1.73).abs() < 0.01, "by hand");
/// assert!((grown(10.0 * YEAR, 0.05)? - 2.17).abs() < 0.01, "by hand");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Power law of creep, Findley, Lai and Onaran 1976, Creep and Relaxation of Nonlinear Viscoelastic Materials (from
/// memory), with the part that comes at once in it.
pub fn grown(time: f64, exponent: f64) -> Result<f64, LawError> {
    let t = within("time", time, FIRST, 100.0 * YEAR)?;
    let n = within("exponent", exponent, 0.0, 0.5)?;
    Ok((t / FIRST).powf(n))
}

/// Exponent of that law from how much the give has grown by a time.
///
/// n = ln(w(t)/w(1 min)) / ln(t / 1 min)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `growth` | w(t)/w(1 min) | [-] |
/// | `time` | t, since the load came on | [s] |
///
/// # Returns
/// n [-].
/// # Valid for
/// As [`grown`].
/// # Errors
/// [`LawError::OutOfRange`] for a growth below one, and a time under two minutes or over a hundred years.
/// # Example
/// ```
/// use bastwork::law::creep::{YEAR, exponent, grown};
/// let n = exponent(1.7, 10.0 * YEAR)?;
/// assert!((n - 0.0343).abs() < 1e-4 && (grown(10.0 * YEAR, n)? - 1.7).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// As [`grown`], turned round.
pub fn exponent(growth: f64, time: f64) -> Result<f64, LawError> {
    let t = within("time", time, 2.0 * FIRST, 100.0 * YEAR)?;
    let w = within("growth", positive("growth", growth)?, 1.0, 100.0)?;
    Ok(w.ln() / (t / FIRST).ln())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn longer_never_gives_less() {
        // Powers worked out by hand, at 1000 h and ten years.
        for (n, at_1000_h, ten_years) in [
            (0.02, 1.25, 1.36),
            (0.03, 1.39, 1.59),
            (0.05, 1.73, 2.17),
            (0.08, 2.41, 3.45),
        ] {
            assert!((grown(3.6e6, n).unwrap() - at_1000_h).abs() < 0.006);
            assert!((grown(10.0 * YEAR, n).unwrap() - ten_years).abs() < 0.006);
        }
        let mut before = 1.0;
        for k in 0..25 {
            let now = grown(60.0 * 2.0_f64.powi(k), 0.034).unwrap();
            assert!(now >= before);
            before = now;
        }
        assert!(grown(30.0, 0.03).is_err() && exponent(0.9, YEAR).is_err());
        assert!((exponent(1.0, YEAR).unwrap()).abs() < 1e-12);
    }
}
