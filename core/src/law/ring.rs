//! The note that a struck strip or panel rings at.
//!
//! Lowest mode, in air, nothing resting on it. Does not cover pieces held by soft edges.

use super::{LawError, positive};
use std::f64::consts::PI;

/// How a strip is held while it rings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// Free, hung or laid at 0.224 of its length from each end.
    Free,
    /// On a support at each end.
    Resting,
    /// Kept from turning at both ends.
    Held,
    /// Kept from turning at one end, the other free.
    One,
}

/// How stiffly a strip swings in its lowest mode, per area.
///
/// K = r^4 D / L^4, with r = 4.7300 free or held at both ends, pi resting, 1.8751 held at one end
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bending` | D, of the strip per width | [N m] |
/// | `length` | L | [m] |
/// | `ends` | how it is held | |
///
/// # Returns
/// K [N/m3].
/// # Valid for
/// Slender strips, L/h above 20, without shear.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::ring::{Ends, hertz, strip};
/// // 10 GPa, 1250 kg/m3, 4 mm, 300 mm, free: 129 Hz.
/// let k = strip(10e9 * 0.004_f64.powi(3) / 12.0, 0.3, Ends::Free)?;
/// assert!((hertz(k, 1250.0 * 0.004)? - 129.0).abs() < 0.5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Timoshenko, Young and Weaver 1974, Vibration Problems in Engineering, chapter 5 (from memory; roots solved again).
pub fn strip(bending: f64, length: f64, ends: Ends) -> Result<f64, LawError> {
    let root = match ends {
        Ends::Free | Ends::Held => 4.730_040_7,
        Ends::Resting => PI,
        Ends::One => 1.875_104_1,
    };
    let waves: f64 = root / positive("length", length)?;
    Ok(positive("bending", bending)? * waves.powi(4))
}

/// Frequency of a mode from its stiffness and mass per area.
///
/// f = (K / m)^(1/2) / (2 pi)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stiffness` | K | [N/m3] |
/// | `mass` | m, of the piece | [kg/m2] |
///
/// # Returns
/// f [1/s].
/// # Valid for
/// A mass that is spread evenly.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// assert!((bastwork::law::ring::hertz(39.478, 1.0)? - 1.0).abs() < 1e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition.
pub fn hertz(stiffness: f64, mass: f64) -> Result<f64, LawError> {
    Ok((positive("stiffness", stiffness)? / positive("mass", mass)?).sqrt() / (2.0 * PI))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roots_are_those_of_the_strip() {
        // cos r cosh r = 1 for free and held ends, -1 for one held end.
        let r = strip(1.0, 1.0, Ends::Free).unwrap().powf(0.25);
        assert!((r.cos() * r.cosh() - 1.0).abs() < 1e-4);
        let r = strip(1.0, 1.0, Ends::One).unwrap().powf(0.25);
        assert!((r.cos() * r.cosh() + 1.0).abs() < 1e-6);
        assert!(strip(1.0, 0.0, Ends::One).is_err() && hertz(1.0, 0.0).is_err());
    }
}
