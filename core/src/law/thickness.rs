//! Thickness of plies and laminates from their masses, and the fractions that follow from a thickness.
//!
//! Pure geometry and mass balance: exact where the masses, densities and porosity are known.

mod measured;

pub use measured::{
    MassBalance, density_by_immersion, fibre_fraction_by_thickness, mass_balance, void_content,
};

use super::{LawError, positive, within};

fn densities(fibre_density: f64, matrix_density: f64) -> Result<(), LawError> {
    within("fibre_density", fibre_density, 100.0, 2e4)?;
    within("matrix_density", matrix_density, 100.0, 2e4)?;
    Ok(())
}

/// Cured thickness of a ply.
///
/// t = w / (rho_f * V_f)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `dry_areal_mass` | w, dry fibre per area | [kg/m2] |
/// | `fibre_density` | rho_f | [kg/m3] |
/// | `fibre_fraction` | V_f, fibre volume fraction of the cured ply | [-] |
///
/// # Returns
/// Thickness [m].
/// # Valid for
/// Dry mass: cloth weighed at room humidity reads about 7 % heavy.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let t = bastwork::law::thickness::ply_thickness(0.100, 1500.0, 0.30)?;
/// assert!((t - 0.222e-3).abs() < 0.0005e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Definition of the volume fraction; the thickness form of ASTM D3171 method II (from memory).
pub fn ply_thickness(
    dry_areal_mass: f64,
    fibre_density: f64,
    fibre_fraction: f64,
) -> Result<f64, LawError> {
    within("dry_areal_mass", dry_areal_mass, 0.0, 1e3)?;
    within("fibre_density", fibre_density, 100.0, 2e4)?;
    within("fibre_fraction", fibre_fraction, 0.01, 0.95)?;
    Ok(dry_areal_mass / (fibre_density * fibre_fraction))
}

/// Fibre volume fraction from fibre mass fraction.
///
/// V_f = (psi / rho_f) / (psi / rho_f + (1 - psi) / rho_m) * (1 - V_p)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `mass_fraction` | psi, fibre mass over laminate mass | [-] |
/// | `fibre_density` | rho_f | [kg/m3] |
/// | `matrix_density` | rho_m, cured | [kg/m3] |
/// | `porosity` | V_p, void share of the volume | [-] |
///
/// # Returns
/// Fibre volume fraction of the whole, voids counted [-].
/// # Valid for
/// Any two solids.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let v = bastwork::law::thickness::volume_fraction(0.50, 2560.0, 1200.0, 0.0)?;
/// assert!((v - 0.319).abs() < 5e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Mass balance; the example is the mass fraction table that goes with ISO 12215-5:2019 (from memory).
pub fn volume_fraction(
    mass_fraction: f64,
    fibre_density: f64,
    matrix_density: f64,
    porosity: f64,
) -> Result<f64, LawError> {
    within("mass_fraction", mass_fraction, 0.0, 1.0)?;
    densities(fibre_density, matrix_density)?;
    within("porosity", porosity, 0.0, 0.95)?;
    let fibre = mass_fraction / fibre_density;
    let matrix = (1.0 - mass_fraction) / matrix_density;
    Ok(fibre / (fibre + matrix) * (1.0 - porosity))
}

/// Fibre mass fraction from fibre volume fraction.
///
/// psi = V_f rho_f / (V_f rho_f + (1 - V_f - V_p) rho_m)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `fibre_fraction` | V_f, of the whole volume | [-] |
/// | `fibre_density` | rho_f | [kg/m3] |
/// | `matrix_density` | rho_m, cured | [kg/m3] |
/// | `porosity` | V_p, void share of the volume | [-] |
///
/// # Returns
/// Fibre mass over laminate mass [-].
/// # Valid for
/// Any two solids; fibre and voids together no more than the whole.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let psi = bastwork::law::thickness::mass_fraction(0.30, 1500.0, 1150.0, 0.03)?;
/// assert!((psi - 0.369).abs() < 5e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Mass balance.
pub fn mass_fraction(
    fibre_fraction: f64,
    fibre_density: f64,
    matrix_density: f64,
    porosity: f64,
) -> Result<f64, LawError> {
    densities(fibre_density, matrix_density)?;
    within("porosity", porosity, 0.0, 0.95)?;
    within("fibre_fraction", fibre_fraction, 1e-6, 1.0 - porosity)?;
    let fibre = fibre_fraction * fibre_density;
    Ok(fibre / (fibre + (1.0 - fibre_fraction - porosity) * matrix_density))
}

/// Resin in the part for each kilogram of fibre in it.
///
/// r = (1 - V_f - V_p) rho_m / (V_f rho_f)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `fibre_fraction` | V_f, of the whole volume | [-] |
/// | `fibre_density` | rho_f | [kg/m3] |
/// | `matrix_density` | rho_m, cured | [kg/m3] |
/// | `porosity` | V_p, void share of the volume | [-] |
///
/// # Returns
/// Resin mass over dry fibre mass, in the part only [kg/kg].
/// # Valid for
/// What stays in the part; lines, mesh and pot come on top.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let r = bastwork::law::thickness::resin_per_fibre(0.30, 1500.0, 1150.0, 0.03)?;
/// assert!((r - 1.71).abs() < 5e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Mass balance.
pub fn resin_per_fibre(
    fibre_fraction: f64,
    fibre_density: f64,
    matrix_density: f64,
    porosity: f64,
) -> Result<f64, LawError> {
    let fibre = mass_fraction(fibre_fraction, fibre_density, matrix_density, porosity)?;
    Ok((1.0 - fibre) / fibre)
}

/// Void-free thickness from fibre mass and fibre mass fraction, any fibre and resin.
///
/// t = w / (rho_f rho_m) * (rho_f / psi - (rho_f - rho_m))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `dry_areal_mass` | w, dry fibre per area | [kg/m2] |
/// | `mass_fraction` | psi, fibre mass over laminate mass | [-] |
/// | `fibre_density` | rho_f | [kg/m3] |
/// | `matrix_density` | rho_m, cured | [kg/m3] |
///
/// # Returns
/// Thickness without voids [m].
/// # Valid for
/// Any fibre and resin; divide by (1 - V_p) for voids.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let t = bastwork::law::thickness::scantling_thickness(0.300, 0.45, 1500.0, 1150.0)?;
/// assert!((t - 0.519e-3).abs() < 0.0005e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Mass balance; the general form behind the thickness rule of ISO 12215-5:2019 (from memory).
pub fn scantling_thickness(
    dry_areal_mass: f64,
    mass_fraction: f64,
    fibre_density: f64,
    matrix_density: f64,
) -> Result<f64, LawError> {
    within("dry_areal_mass", dry_areal_mass, 0.0, 1e3)?;
    within("mass_fraction", mass_fraction, 0.01, 1.0)?;
    densities(fibre_density, matrix_density)?;
    Ok(dry_areal_mass / (fibre_density * matrix_density)
        * (fibre_density / mass_fraction - (fibre_density - matrix_density)))
}

/// Fibre mass fraction from a void-free thickness: the inverse of [`scantling_thickness`].
///
/// psi = rho_f / (rho_f rho_m t / w + (rho_f - rho_m))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `thickness` | t, without voids | [m] |
/// | `dry_areal_mass` | w, dry fibre per area | [kg/m2] |
/// | `fibre_density` | rho_f | [kg/m3] |
/// | `matrix_density` | rho_m, cured | [kg/m3] |
///
/// # Returns
/// Fibre mass over laminate mass [-].
/// # Valid for
/// Thickness no less than that of the solid fibre alone, w / rho_f.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let psi = bastwork::law::thickness::scantling_mass_fraction(1.224e-3, 1.0, 2560.0, 1200.0)?;
/// assert!((psi - 0.50).abs() < 1e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Mass balance; example from the table that goes with ISO 12215-5:2019 (from memory).
pub fn scantling_mass_fraction(
    thickness: f64,
    dry_areal_mass: f64,
    fibre_density: f64,
    matrix_density: f64,
) -> Result<f64, LawError> {
    positive("dry_areal_mass", dry_areal_mass)?;
    densities(fibre_density, matrix_density)?;
    within("thickness", thickness, dry_areal_mass / fibre_density, 10.0)?;
    Ok(fibre_density
        / (fibre_density * matrix_density * thickness / dry_areal_mass
            + (fibre_density - matrix_density)))
}

/// Thickness of a glass and polyester laminate by the small craft scantling rule.
///
/// t = w / 3.072 * (2.56 / psi - 1.36), w in kg/m2, t in mm
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `glass_areal_mass` | w, glass per area | [kg/m2] |
/// | `mass_fraction` | psi, glass mass over laminate mass | [-] |
///
/// # Returns
/// Thickness [m].
/// # Valid for
/// E-glass (2.56) and polyester (1.20) only; for flax use [`scantling_thickness`].
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let t = bastwork::law::thickness::iso_12215_5_thickness(0.450, 0.30)?;
/// assert!((t - 1.051e-3).abs() < 0.0005e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// ISO 12215-5:2019 (formula from memory).
pub fn iso_12215_5_thickness(glass_areal_mass: f64, mass_fraction: f64) -> Result<f64, LawError> {
    within("glass_areal_mass", glass_areal_mass, 0.0, 1e3)?;
    within("mass_fraction", mass_fraction, 0.01, 1.0)?;
    Ok(1e-3 * glass_areal_mass / 3.072 * (2.56 / mass_fraction - 1.36))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ply_thickness_table() {
        // Arithmetic check, mm per 100 g/m2 at 1500 kg/m3.
        for (fraction, mm) in [
            (0.20, 0.333),
            (0.25, 0.267),
            (0.35, 0.190),
            (0.40, 0.167),
            (0.50, 0.133),
        ] {
            let t = ply_thickness(0.1, 1500.0, fraction).unwrap() * 1e3;
            assert!((t - mm).abs() < 5.1e-4, "{t}");
        }
        // One ply of 550 g/m2 comes to about 1.2 mm when infused (common practice, no source).
        let t = ply_thickness(0.550, 1500.0, 0.30).unwrap();
        assert!((t - 1.2e-3).abs() < 0.05e-3);
    }

    #[test]
    fn the_glass_rule_is_the_general_form_with_its_own_densities() {
        // ISO 12215-5:2019 (from memory), mm per kg/m2.
        for (psi, mm) in [(0.30, 2.335), (0.48, 1.293), (0.50, 1.224), (0.60, 0.946)] {
            let rule = iso_12215_5_thickness(1.0, psi).unwrap();
            let general = scantling_thickness(1.0, psi, 2560.0, 1200.0).unwrap();
            assert!((rule - general).abs() < 1e-15);
            assert!((rule * 1e3 - mm).abs() < 5.1e-4, "{rule}");
            let back = scantling_mass_fraction(rule, 1.0, 2560.0, 1200.0).unwrap();
            assert!((back - psi).abs() < 1e-12);
        }
        let mixed =
            iso_12215_5_thickness(0.45, 0.30).unwrap() + iso_12215_5_thickness(0.80, 0.48).unwrap();
        assert!((mixed - 2.086e-3).abs() < 1e-6, "{mixed}");
    }

    #[test]
    fn flax_thickness_table_and_volume_fraction_agree() {
        // Arithmetic check, resin 1150 kg/m3: mm per kg/m2 and V_f.
        for (density, psi, mm, fraction) in [
            (1400.0, 0.40, 2.019, 0.354),
            (1450.0, 0.50, 1.559, 0.442),
            (1500.0, 0.45, 1.729, 0.385),
            (1540.0, 0.55, 1.361, 0.477),
        ] {
            let t = scantling_thickness(1.0, psi, density, 1150.0).unwrap();
            assert!((t * 1e3 - mm).abs() < 1e-3, "{t}");
            let v = volume_fraction(psi, density, 1150.0, 0.0).unwrap();
            assert!((v - fraction).abs() < 1e-3, "{v}");
            assert!((ply_thickness(1.0, density, v).unwrap() - t).abs() < 1e-12);
        }
    }

    #[test]
    fn mass_and_volume_fractions_come_back() {
        for (v, p) in [(0.25, 0.03), (0.35, 0.0), (0.40, 0.10)] {
            let psi = mass_fraction(v, 1500.0, 1150.0, p).unwrap();
            assert!((volume_fraction(psi, 1500.0, 1150.0, p).unwrap() - v).abs() < 1e-12);
        }
        assert!(mass_fraction(0.98, 1500.0, 1150.0, 0.03).is_err());
    }

    #[test]
    fn fibre_to_resin_by_mass() {
        // Arithmetic check; and glass in the same bag, 1 : 0.45.
        for (v, p, ratio) in [(0.25, 0.03, 2.21), (0.35, 0.03, 1.36), (0.40, 0.02, 1.11)] {
            let r = resin_per_fibre(v, 1500.0, 1150.0, p).unwrap();
            assert!((r - ratio).abs() < 6e-3, "{r}");
        }
        assert!((resin_per_fibre(0.50, 2560.0, 1150.0, 0.0).unwrap() - 0.45).abs() < 5e-3);
    }
}
