//! Fibre, resin and voids of a laminate from the resin it was given.
//!
//! Volumetric interaction: with resin to spare, voids go along with fibre and resin; once the cloth is fully
//! compacted, missing resin turns into voids at unchanged thickness. Does not cover voids from leaks or water.

use super::{LawError, within};

/// What the composition of a fibre assembly in resin depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assembly {
    /// Density of the fibre's cell wall; the lumen belongs to `fibre_porosity` [kg/m3].
    pub fibre_density: f64,
    /// Density of the cured resin [kg/m3].
    pub matrix_density: f64,
    /// Voids that go with the fibre, per volume of fibre: lumen, gaps, dry yarn cores [-].
    pub fibre_porosity: f64,
    /// Voids that go with the resin, per volume of resin: bubbles [-].
    pub matrix_porosity: f64,
    /// Largest fibre volume fraction at the pressure used [-].
    pub most_fibre: f64,
}

/// Volume shares and density of a laminate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Composition {
    /// Fibre share of the volume [-].
    pub fibre: f64,
    /// Resin share of the volume [-].
    pub matrix: f64,
    /// Void share of the volume, all kinds [-].
    pub porosity: f64,
    /// Part of the voids that is there because resin is missing; 0 with resin to spare [-].
    pub structural_porosity: f64,
    /// Density of the laminate [kg/m3].
    pub density: f64,
}

fn check(assembly: &Assembly) -> Result<(), LawError> {
    within("fibre_density", assembly.fibre_density, 100.0, 2e4)?;
    within("matrix_density", assembly.matrix_density, 100.0, 2e4)?;
    within("fibre_porosity", assembly.fibre_porosity, 0.0, 1.0)?;
    within("matrix_porosity", assembly.matrix_porosity, 0.0, 1.0)?;
    // Fibre and its own voids must leave room for some resin.
    let most = 0.99 / (1.0 + assembly.fibre_porosity);
    within("most_fibre", assembly.most_fibre, 0.01, most)?;
    Ok(())
}

/// Fibre mass fraction at which the cloth is just fully compacted and just filled.
///
/// W_t = V rho_f (1 + a_m) / (V rho_f (1 + a_m) - V rho_m (1 + a_f) + rho_m), V = V_max
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `assembly.fibre_density` | rho_f | [kg/m3] |
/// | `assembly.matrix_density` | rho_m | [kg/m3] |
/// | `assembly.fibre_porosity` | a_f | [-] |
/// | `assembly.matrix_porosity` | a_m | [-] |
/// | `assembly.most_fibre` | V_max | [-] |
///
/// # Returns
/// Fibre mass fraction; with more fibre than this the part is short of resin [-].
/// # Valid for
/// Any fibre assembly with a largest fibre fraction at its pressure.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::composition::{Assembly, transition};
/// let flax = Assembly { fibre_density: 1540.0, matrix_density: 1150.0, fibre_porosity: 0.08,
///     matrix_porosity: 0.01, most_fibre: 0.35 };
/// assert!((transition(&flax)? - 0.4322).abs() < 5e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Madsen, Thygesen and Lilholt 2007, Compos. Sci. Technol. 67:1584 (from memory, re-derived).
pub fn transition(assembly: &Assembly) -> Result<f64, LawError> {
    check(assembly)?;
    let fibre = assembly.most_fibre * assembly.fibre_density * (1.0 + assembly.matrix_porosity);
    let room = 1.0 - assembly.most_fibre * (1.0 + assembly.fibre_porosity);
    Ok(fibre / (fibre + assembly.matrix_density * room))
}

/// Shares of fibre, resin and voids at a given fibre mass fraction.
///
/// Up to the transition: V_f = W rho_m / D, V_m = (1 - W) rho_f / D, D = W rho_m (1 + a_f) + (1 - W) rho_f (1 + a_m).
/// Beyond it: V_f = V_max, V_m = V_max (1 - W) / W * rho_f / rho_m. V_p = 1 - V_f - V_m.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `assembly` | rho_f, rho_m [kg/m3], a_f, a_m, V_max | [-] |
/// | `mass_fraction` | W, fibre mass over laminate mass | [-] |
///
/// # Returns
/// The shares [-] and the density [kg/m3].
/// # Valid for
/// Fibre mass fraction 0 to 1.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::composition::{Assembly, at_mass_fraction};
/// let flax = Assembly { fibre_density: 1540.0, matrix_density: 1150.0, fibre_porosity: 0.08,
///     matrix_porosity: 0.01, most_fibre: 0.30 };
/// let starved = at_mass_fraction(&flax, 0.45)?;
/// assert!((starved.porosity - 0.2090).abs() < 5e-5);
/// assert!((starved.structural_porosity - 0.1801).abs() < 5e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Thygesen 2006, PhD thesis, Risø-PhD-11, appendix D pp. 77 and 78 (resin to spare); Madsen, Thygesen and
/// Lilholt 2007, Compos. Sci. Technol. 67:1584 (beyond the transition, from memory, re-derived).
pub fn at_mass_fraction(assembly: &Assembly, mass_fraction: f64) -> Result<Composition, LawError> {
    let turn = transition(assembly)?;
    within("mass_fraction", mass_fraction, 0.0, 1.0)?;
    let Assembly {
        fibre_density,
        matrix_density,
        fibre_porosity,
        matrix_porosity,
        most_fibre,
    } = *assembly;
    let rest = 1.0 - mass_fraction;
    let (fibre, matrix) = if mass_fraction <= turn {
        let volume = mass_fraction * matrix_density * (1.0 + fibre_porosity)
            + rest * fibre_density * (1.0 + matrix_porosity);
        (
            mass_fraction * matrix_density / volume,
            rest * fibre_density / volume,
        )
    } else {
        (
            most_fibre,
            most_fibre * rest / mass_fraction * fibre_density / matrix_density,
        )
    };
    let porosity = 1.0 - fibre - matrix;
    let structural_porosity = if mass_fraction <= turn {
        0.0
    } else {
        (porosity - fibre_porosity * fibre - matrix_porosity * matrix).max(0.0)
    };
    Ok(Composition {
        fibre,
        matrix,
        porosity,
        structural_porosity,
        density: fibre * fibre_density + matrix * matrix_density,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flax(most_fibre: f64) -> Assembly {
        Assembly {
            fibre_density: 1540.0,
            matrix_density: 1150.0,
            fibre_porosity: 0.08,
            matrix_porosity: 0.01,
            most_fibre,
        }
    }

    #[test]
    fn vectors_at_the_transition() {
        // Equations of Madsen, Thygesen and Lilholt evaluated apart from this code (arithmetic check).
        for (most, turn, matrix, voids, density) in [
            (0.30, 0.3751, 0.6693, 0.0307, 1231.7),
            (0.35, 0.4322, 0.6158, 0.0342, 1247.2),
            (0.45, 0.5421, 0.5089, 0.0411, 1278.2),
            (0.53, 0.6264, 0.4234, 0.0466, 1303.1),
            (0.597, 0.6945, 0.3517, 0.0513, 1323.9),
        ] {
            let assembly = flax(most);
            let w = transition(&assembly).unwrap();
            assert!((w - turn).abs() < 6e-5, "{w}");
            let c = at_mass_fraction(&assembly, w).unwrap();
            assert!((c.fibre - most).abs() < 1e-12);
            assert!((c.matrix - matrix).abs() < 6e-5, "{}", c.matrix);
            assert!((c.porosity - voids).abs() < 6e-5, "{}", c.porosity);
            assert!((c.density - density).abs() < 0.06, "{}", c.density);
        }
    }

    #[test]
    fn a_part_short_of_resin_fills_with_voids() {
        let c = at_mass_fraction(&flax(0.30), 0.45).unwrap();
        assert!((c.matrix - 0.4910).abs() < 5e-5);
        assert!((c.density - 1026.7).abs() < 0.05);
        assert_eq!(c.fibre, 0.30);
    }

    #[test]
    fn both_sides_meet_at_the_transition_and_masses_add_up() {
        let assembly = flax(0.35);
        let w = transition(&assembly).unwrap();
        let below = at_mass_fraction(&assembly, w - 1e-9).unwrap();
        let above = at_mass_fraction(&assembly, w + 1e-9).unwrap();
        assert!((below.matrix - above.matrix).abs() < 1e-7);
        assert!(above.structural_porosity < 1e-7);
        for w in [0.0, 0.2, 0.4, 0.5, 0.8, 1.0] {
            let c = at_mass_fraction(&assembly, w).unwrap();
            assert!((c.fibre * 1540.0 / c.density - w).abs() < 1e-12);
            assert!(c.porosity >= -1e-12 && c.matrix >= 0.0);
        }
        assert!(at_mass_fraction(&assembly, 1.1).is_err());
        assert!(transition(&flax(0.95)).is_err());
    }
}
