//! How much resin and hardener make up a batch, and how well a scale has to weigh them.
//!
//! Takes the stated mixing ratio as given; for what chemistry asks, see [`super::stoichiometry`].

use super::{LawError, positive, within};

/// The two parts of a batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Split {
    /// Resin [kg].
    pub resin: f64,
    /// Hardener [kg].
    pub hardener: f64,
}

fn parts(phr: f64) -> Result<f64, LawError> {
    within("phr", phr, 0.5, 200.0)
}

/// Resin and hardener that make up a batch.
///
/// m_R = 100 M/(100 + p), m_H = p M/(100 + p)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `batch` | M, mass of the mix | [kg] |
/// | `phr` | p, hardener for 100 parts of resin by weight | [-] |
///
/// # Returns
/// Mass of each part [kg].
/// # Valid for
/// Any two-part resin dosed by weight.
/// # Errors
/// [`LawError::OutOfRange`] for a batch not above zero or parts outside 0.5..200.
/// # Example
/// ```
/// let split = bastwork::law::mix::split(0.650, 30.0)?;
/// assert!((split.resin - 0.500).abs() < 1e-12 && (split.hardener - 0.150).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of parts per hundred.
pub fn split(batch: f64, phr: f64) -> Result<Split, LawError> {
    let (batch, p) = (positive("batch", batch)?, parts(phr)?);
    Ok(Split {
        resin: 100.0 * batch / (100.0 + p),
        hardener: p * batch / (100.0 + p),
    })
}

/// Hardener for 100 parts of resin by volume, when the ratio is given by weight.
///
/// p_v = p rho_R / rho_H
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `phr` | p, hardener for 100 parts of resin by weight | [-] |
/// | `resin_density` | rho_R | [kg/m^3] |
/// | `hardener_density` | rho_H | [kg/m^3] |
///
/// # Returns
/// Hardener for 100 parts of resin by volume [-].
/// # Valid for
/// Both densities at the same temperature.
/// # Errors
/// [`LawError::OutOfRange`] for densities outside 700..2500 or parts outside 0.5..200.
/// # Example
/// ```
/// let by_volume = bastwork::law::mix::parts_by_volume(30.0, 1150.0, 950.0)?;
/// assert!((by_volume - 36.3).abs() < 0.05, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of density.
pub fn parts_by_volume(
    phr: f64,
    resin_density: f64,
    hardener_density: f64,
) -> Result<f64, LawError> {
    let resin = within("resin_density", resin_density, 700.0, 2500.0)?;
    let hardener = within("hardener_density", hardener_density, 700.0, 2500.0)?;
    Ok(parts(phr)? * resin / hardener)
}

/// Density of the mix before it cures.
///
/// rho = (100 + p) / (100/rho_R + p/rho_H)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `phr` | p, hardener for 100 parts of resin by weight | [-] |
/// | `resin_density` | rho_R | [kg/m^3] |
/// | `hardener_density` | rho_H | [kg/m^3] |
///
/// # Returns
/// Density of the liquid mix [kg/m^3].
/// # Valid for
/// Ideal mixing: volumes add. Cured resin is a few per cent denser.
/// # Errors
/// [`LawError::OutOfRange`] as for [`parts_by_volume`].
/// # Example
/// ```
/// let density = bastwork::law::mix::mix_density(30.0, 1150.0, 950.0)?;
/// assert!((density - 1097.0).abs() < 0.5, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Sum of volumes.
pub fn mix_density(phr: f64, resin_density: f64, hardener_density: f64) -> Result<f64, LawError> {
    let by_volume = parts_by_volume(phr, resin_density, hardener_density)?;
    Ok(resin_density * (100.0 + phr) / (100.0 + by_volume))
}

/// Smallest batch whose hardener a scale can weigh closely enough.
///
/// M = (delta/epsilon)(100 + p)/p
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `scale_uncertainty` | delta, half the readability plus drift | [kg] |
/// | `tolerance` | epsilon, permitted relative departure of the hardener dose | [-] |
/// | `phr` | p, hardener for 100 parts of resin by weight | [-] |
///
/// # Returns
/// Mass of the smallest batch [kg].
/// # Valid for
/// Hardener as the smaller part; the resin's own weighing adds little, see [`weighing_uncertainty`].
/// # Errors
/// [`LawError::OutOfRange`] for an uncertainty not above zero, a tolerance outside 0.001..0.5, parts outside
/// 0.5..200.
/// # Example
/// ```
/// let batch = bastwork::law::mix::smallest_batch(0.5e-3, 0.02, 30.0)?;
/// assert!((batch - 0.108_333).abs() < 1e-6, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Propagation of one weighing; our judgement that the resin may be left out.
pub fn smallest_batch(scale_uncertainty: f64, tolerance: f64, phr: f64) -> Result<f64, LawError> {
    let delta = positive("scale_uncertainty", scale_uncertainty)?;
    let epsilon = within("tolerance", tolerance, 1e-3, 0.5)?;
    let p = parts(phr)?;
    Ok(delta / epsilon * (100.0 + p) / p)
}

/// Relative uncertainty of the mixing ratio when both parts are weighed on one scale.
///
/// epsilon = sqrt((delta/m_R)^2 + (delta/m_H)^2)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `batch` | mass of the mix | [kg] |
/// | `phr` | hardener for 100 parts of resin by weight | [-] |
/// | `scale_uncertainty` | delta, of one weighing | [kg] |
///
/// # Returns
/// Relative uncertainty of hardener over resin [-].
/// # Valid for
/// Independent weighings with the scale set to zero between them.
/// # Errors
/// [`LawError::OutOfRange`] as for [`split`], or for an uncertainty not above zero.
/// # Example
/// ```
/// let off = bastwork::law::mix::weighing_uncertainty(0.130, 30.0, 0.5e-3)?;
/// assert!((off - (0.005_f64.powi(2) + (1.0_f64 / 60.0).powi(2)).sqrt()).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Propagation of uncertainty, JCGM 100:2008, section 5.1.
pub fn weighing_uncertainty(batch: f64, phr: f64, scale_uncertainty: f64) -> Result<f64, LawError> {
    let split = split(batch, phr)?;
    let delta = positive("scale_uncertainty", scale_uncertainty)?;
    Ok((delta / split.resin).hypot(delta / split.hardener))
}

/// Number of equal pots that keeps each within a largest mass.
///
/// n = ceil(M / m)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `batch` | M, mass to mix in all | [kg] |
/// | `largest_pot` | m, most that one pot may hold | [kg] |
///
/// # Returns
/// Number of pots [-]; each holds `batch / n`.
/// # Valid for
/// Up to ten thousand pots.
/// # Errors
/// [`LawError::OutOfRange`] for masses not above zero or more than ten thousand pots.
/// # Example
/// ```
/// assert_eq!(bastwork::law::mix::equal_pots(1.0, 0.4)?, 3);
/// assert_eq!(bastwork::law::mix::equal_pots(1.2, 0.4)?, 3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arithmetic.
pub fn equal_pots(batch: f64, largest_pot: f64) -> Result<u32, LawError> {
    let pots = positive("batch", batch)? / positive("largest_pot", largest_pot)?;
    // A whole number that rounding has pushed a hair over must not cost a pot.
    let pots = within("pots", (pots * (1.0 - 1e-9)).ceil().max(1.0), 1.0, 1e4)?;
    Ok(pots as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_lost_in_the_split() {
        for phr in [5.0, 27.0, 100.0] {
            let parts = split(0.731, phr).unwrap();
            assert!((parts.resin + parts.hardener - 0.731).abs() < 1e-15);
            assert!((parts.hardener / parts.resin * 100.0 - phr).abs() < 1e-12);
        }
    }

    #[test]
    fn volumes_and_densities_keep_the_arithmetic_check() {
        for (resin, hardener, by_volume, mixed) in [
            (1150.0, 950.0, 36.3, 1097.0),
            (1160.0, 1000.0, 34.8, 1119.0),
            (1120.0, 980.0, 34.3, 1084.0),
        ] {
            assert!((parts_by_volume(30.0, resin, hardener).unwrap() - by_volume).abs() < 0.05);
            let density = mix_density(30.0, resin, hardener).unwrap();
            assert!((density - mixed).abs() < 0.6, "{density}");
            assert!(density < resin && density > hardener);
        }
        assert!(
            parts_by_volume(30.0, 1.15, 0.95).is_err(),
            "g/ml given for kg/m^3"
        );
    }

    #[test]
    fn a_coarse_scale_needs_a_large_batch() {
        assert!((smallest_batch(0.05e-3, 0.02, 30.0).unwrap() - 0.0108).abs() < 1e-4);
        assert!((smallest_batch(1e-3, 0.02, 30.0).unwrap() - 0.217).abs() < 5e-4);
        let batch = smallest_batch(1e-3, 0.02, 30.0).unwrap();
        let off = weighing_uncertainty(batch, 30.0, 1e-3).unwrap();
        assert!(off > 0.02 && off < 0.021, "the resin adds little: {off}");
    }

    #[test]
    fn refuses_no_hardener_and_no_batch() {
        assert!(split(1.0, 0.0).is_err());
        assert!(split(0.0, 30.0).is_err());
        assert!(equal_pots(1.0, f64::NAN).is_err());
        assert_eq!(equal_pots(0.1 + 0.2, 0.1).unwrap(), 3);
        assert_eq!(equal_pots(0.05, 0.4).unwrap(), 1);
    }
}
