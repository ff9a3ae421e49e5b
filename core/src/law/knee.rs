//! The knee of flax: stiff at small strain, softer beyond.
//!
//! Two straight lines for a curve that bends over a band of strain. First loading only: unloaded and loaded again,
//! flax comes back stiffer and with a little set.

use super::{LawError, positive, within};

/// A curve of stress over strain with one knee.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knee {
    /// Modulus before the knee [Pa].
    pub initial: f64,
    /// Modulus beyond the knee [Pa].
    pub after: f64,
    /// Strain of the knee [-].
    pub strain: f64,
}

/// Stress at a strain.
///
/// σ = E ε up to ε_k, then σ = E ε_k + E₂ (ε - ε_k); alike in pull and push
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `knee` | E, E₂ [Pa], ε_k | [-] |
/// | `strain` | ε | [-] |
///
/// # Returns
/// σ [Pa].
/// # Valid for
/// First loading along the fibres of bast-fibre laminates, strain below damage, |ε| <= 0.05.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::knee::{Knee, stress};
/// // Unidirectional flax and polyester: knee at 0.12 % and about 32 MPa.
/// let flax = Knee { initial: 26.7e9, after: 19e9, strain: 0.0012 };
/// assert!((stress(&flax, 0.0012)? / 1e6 - 32.0).abs() < 0.1);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Hughes, Carpenter and Hill 2007, J. Mater. Sci. 42:2499 (from memory); two straight lines also in Pitarresi,
/// Tumino and Mancuso 2015, Materials 8:7371.
pub fn stress(knee: &Knee, strain: f64) -> Result<f64, LawError> {
    let initial = positive("initial", knee.initial)?;
    let after = within("after", knee.after, 0.0, initial)?;
    let at = within("strain of the knee", knee.strain, 0.0, 0.05)?;
    let strain = within("strain", strain, -0.05, 0.05)?;
    let size = strain.abs();
    let bent = initial * size.min(at) + after * (size - at).max(0.0);
    Ok(bent.copysign(strain))
}

/// Modulus as a test reads it between two strains.
///
/// E = (σ(ε₂) - σ(ε₁)) / (ε₂ - ε₁)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `knee` | the curve | [Pa], [-] |
/// | `from`, `to` | ε₁, ε₂; 0.0005 and 0.0025 in ISO 527 | [-] |
///
/// # Returns
/// Chord modulus [Pa].
/// # Valid for
/// As [`stress`].
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::knee::{Knee, chord_modulus};
/// // The window of ISO 527 lies across the knee: 0.07 of 0.20 % before it at 20, the rest at 15 GPa.
/// let flax = Knee { initial: 20e9, after: 15e9, strain: 0.0012 };
/// assert!((chord_modulus(&flax, 0.0005, 0.0025)? / 1e9 - 16.75).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// ISO 527-4 and 527-5, chord between 0.05 and 0.25 % strain (from memory).
pub fn chord_modulus(knee: &Knee, from: f64, to: f64) -> Result<f64, LawError> {
    let from = within("from", from, 0.0, 0.05)?;
    let to = within("to", to, from + 1e-9, 0.05)?;
    Ok((stress(knee, to)? - stress(knee, from)?) / (to - from))
}

/// Modulus that a bending test of a laminate with a knee reads.
///
/// E = r k 12 D / h³
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stiffness` | D at small strain, per width | [N m] |
/// | `thickness` | h | [m] |
/// | `kept` | k, chord modulus over initial modulus, pulled | [-] |
/// | `ratio` | r, bending test over tensile test: shear of a short specimen and the pushed side are in it | [-] |
///
/// # Returns
/// E [Pa].
/// # Valid for
/// Bast laminates in three-point bending at the usual spans.
/// # Errors
/// [`LawError::OutOfRange`] for what is not positive.
/// # Example
/// ```
/// // 25 GPa at small strain, 22 as pulled, bent 0.85 of that.
/// let e = bastwork::law::knee::bending_as_tested(25e9 * 8e-9 / 12.0, 0.002, 0.88, 0.85)?;
/// assert!((e / 1e9 - 18.7).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Read side by side: 18 over 26 GPa (Materials 2023, 16:3804, table 1, second-hand), 16.28 over 23.74 (Moudood and
/// others 2019, J. Nat. Fibers 16:209, abstract), 7.45 over 7.69 (Polymers 2021, 13:1323, table 4, second-hand).
pub fn bending_as_tested(
    stiffness: f64,
    thickness: f64,
    kept: f64,
    ratio: f64,
) -> Result<f64, LawError> {
    let h = positive("thickness", thickness)?;
    let kept = within("kept", kept, 0.0, 1.0 + 1e-9)?;
    Ok(positive("ratio", ratio)? * kept * 12.0 * positive("stiffness", stiffness)? / h.powi(3))
}

#[cfg(test)]
mod tests {
    use super::*;

    const FLAX: Knee = Knee {
        initial: 20e9,
        after: 14e9,
        strain: 0.0015,
    };

    #[test]
    fn a_window_on_one_side_of_the_knee_reads_that_side() {
        assert!((chord_modulus(&FLAX, 0.0, 0.001).unwrap() - 20e9).abs() < 1.0);
        assert!((chord_modulus(&FLAX, 0.002, 0.004).unwrap() - 14e9).abs() < 1.0);
        let across = chord_modulus(&FLAX, 0.0005, 0.0025).unwrap();
        assert!((across - 17e9).abs() < 1.0, "{across}");
    }

    #[test]
    fn pull_and_push_mirror_each_other_and_the_curve_is_whole() {
        for strain in [0.0, 0.0007, 0.0015, 0.003] {
            let up = stress(&FLAX, strain).unwrap();
            assert!((up + stress(&FLAX, -strain).unwrap()).abs() < 1e-6);
        }
        let (below, above) = (stress(&FLAX, 0.0015 - 1e-12), stress(&FLAX, 0.0015 + 1e-12));
        assert!((below.unwrap() - above.unwrap()).abs() < 1.0);
        assert!(stress(&FLAX, 0.06).is_err());
        assert!(chord_modulus(&FLAX, 0.002, 0.001).is_err());
    }
}
