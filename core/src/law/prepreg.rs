//! Masses of a prepreg: fibre and resin from its resin content, before and after a bleeder.
//!
//! Pure mass balance. Does not cover solvent or other volatiles that leave during cure.

use super::{LawError, within};

/// Fibre per area of a prepreg whose mass is stated with its resin.
///
/// w_f = w (1 - r)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `areal_mass` | w, of fibre and resin together | [kg/m2] |
/// | `resin_content` | r, resin mass over prepreg mass | [-] |
///
/// # Returns
/// Fibre per area, as damp as it was impregnated [kg/m2].
/// # Valid for
/// Prepreg without carrier paper and film.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let fibre = bastwork::law::prepreg::fibre_areal_mass(0.300, 0.40)?;
/// assert!((fibre - 0.180).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Mass balance; the resin content of a prepreg by mass as ISO 10352 and ISO 11667 use the words (from memory).
pub fn fibre_areal_mass(areal_mass: f64, resin_content: f64) -> Result<f64, LawError> {
    within("areal_mass", areal_mass, 0.0, 1e3)?;
    within("resin_content", resin_content, 0.0, 0.99)?;
    Ok(areal_mass * (1.0 - resin_content))
}

/// Fibre mass fraction of a laminate of prepreg once a bleeder has taken its share of the resin.
///
/// W = (1 - r) / ((1 - r) + r (1 - s))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin_content` | r, resin mass over prepreg mass | [-] |
/// | `bled` | s, share of the resin that leaves into the bleeder | [-] |
///
/// # Returns
/// Fibre mass over laminate mass [-].
/// # Valid for
/// Resin that only leaves: nothing is added.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::prepreg::fibre_mass_fraction;
/// assert!((fibre_mass_fraction(0.45, 0.0)? - 0.55).abs() < 1e-12);
/// // A fifth of the resin bled: 55 of fibre to 36 of resin.
/// assert!((fibre_mass_fraction(0.45, 0.2)? - 55.0 / 91.0).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Mass balance.
pub fn fibre_mass_fraction(resin_content: f64, bled: f64) -> Result<f64, LawError> {
    within("resin_content", resin_content, 0.0, 0.99)?;
    within("bled", bled, 0.0, 1.0)?;
    let fibre = 1.0 - resin_content;
    Ok(fibre / (fibre + resin_content * (1.0 - bled)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn masses_add_up_and_bleeding_only_takes() {
        for r in [0.0, 0.3, 0.5, 0.7] {
            let fibre = fibre_areal_mass(0.4, r).unwrap();
            let resin = 0.4 - fibre;
            assert!((resin - 0.4 * r).abs() < 1e-15);
            let mut before = 0.0;
            for s in [0.0, 0.1, 0.5, 1.0] {
                let w = fibre_mass_fraction(r, s).unwrap();
                assert!((w - fibre / (fibre + resin * (1.0 - s))).abs() < 1e-12);
                assert!(w >= before);
                before = w;
            }
            assert_eq!(fibre_mass_fraction(r, 1.0).unwrap(), 1.0);
        }
        assert!(fibre_areal_mass(0.4, 1.0).is_err());
        assert!(fibre_mass_fraction(0.4, 1.2).is_err());
    }
}
