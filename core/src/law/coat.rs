//! How heavy a coat is, from its thickness.
//!
//! The dry, cured film. Does not cover what a spray gun loses or a rough face drinks.

use super::{LawError, positive, within};

/// Mass of a coat per area.
///
/// m = t rho; in the trade's units g/m2 = µm x g/cm3
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `thickness` | t, of the dry film | [m] |
/// | `density` | rho | [kg/m3] |
///
/// # Returns
/// Mass per area [kg/m2].
/// # Valid for
/// Even coats.
/// # Errors
/// [`LawError::OutOfRange`] for a negative thickness or one over 50 mm, and a density that is not positive.
/// # Example
/// ```
/// use bastwork::law::coat::areal_mass;
/// assert!((areal_mass(0.5e-3, 1200.0)? - 0.6).abs() < 1e-12, "gelcoat of half a millimetre");
/// assert!((areal_mass(50e-6, 1300.0)? - 0.065).abs() < 1e-12, "a topcoat");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of density.
pub fn areal_mass(thickness: f64, density: f64) -> Result<f64, LawError> {
    Ok(within("thickness", thickness, 0.0, 0.05)? * positive("density", density)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gelcoat_is_the_heavy_coat() {
        // A gallon of 3.785 l on 100 square feet of 0.0929 m2 is 0.407 mm; at 1.2 g/cm3 that is 489 g/m2.
        let gallon = areal_mass(3.785e-3 / 9.290_304, 1200.0).unwrap();
        assert!((gallon - 0.489).abs() < 5e-4, "{gallon}");
        assert!(areal_mass(-1e-6, 1200.0).is_err() && areal_mass(1e-4, 0.0).is_err());
    }
}
