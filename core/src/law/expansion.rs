//! How a ply shrinks as it cures and cools, along its fibres and across them.

use super::{LawError, positive, within};

/// What a free ply is made of, as far as its shrinking is concerned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shrinking {
    /// Fibre volume fraction [-].
    pub fibre_fraction: f64,
    /// Resin volume fraction [-].
    pub matrix_fraction: f64,
    /// Modulus along the fibre [Pa].
    pub fibre_modulus: f64,
    /// Modulus of the cured resin [Pa].
    pub matrix_modulus: f64,
    /// Poisson ratio of the fibre [-].
    pub fibre_poisson: f64,
    /// Poisson ratio of the resin [-].
    pub matrix_poisson: f64,
}

/// Free strain of a ply, along and across its fibres, from the free strains of fibre and resin.
///
/// e_1 = (V_f E_f f_1 + V_m E_m m) / (V_f E_f + V_m E_m);
/// e_2 = V_f (1 + ν_f) f_2 + V_m (1 + ν_m) m - (V_f ν_f + V_m ν_m) e_1
///
/// The same equations hold for heat (f and m are expansions times the temperature change) and for the resin's
/// shrinking after gel (f = 0).
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `parts` | V [-], E [Pa], ν of fibre and resin | [-] |
/// | `fibre_along` | f_1, free strain along the fibre | [-] |
/// | `fibre_across` | f_2, free strain across the fibre | [-] |
/// | `matrix` | m, free strain of the resin | [-] |
///
/// # Returns
/// Free strain along and across the fibres [-].
/// # Valid for
/// Unidirectional plies, elastic; shrinking before gel is not felt.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::expansion::{Shrinking, free_strain};
/// // E-glass and epoxy at 60 %, per kelvin: 5 and 60 ppm in, 6.6 along and 34 across out (arithmetic check).
/// let parts = Shrinking { fibre_fraction: 0.6, matrix_fraction: 0.4, fibre_modulus: 72e9, matrix_modulus: 3.2e9,
///     fibre_poisson: 0.22, matrix_poisson: 0.35 };
/// let (along, across) = free_strain(&parts, 5e-6, 5e-6, 60e-6)?;
/// assert!((along - 6.582e-6).abs() < 1e-9 && (across - 34.27e-6).abs() < 1e-8);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Schapery 1968, J. Compos. Mater. 2:380 (from memory).
pub fn free_strain(
    parts: &Shrinking,
    fibre_along: f64,
    fibre_across: f64,
    matrix: f64,
) -> Result<(f64, f64), LawError> {
    let vf = within("fibre_fraction", parts.fibre_fraction, 0.0, 1.0)?;
    let vm = within("matrix_fraction", parts.matrix_fraction, 0.0, 1.0)?;
    let ef = vf * positive("fibre_modulus", parts.fibre_modulus)?;
    let em = vm * positive("matrix_modulus", parts.matrix_modulus)?;
    let nuf = within("fibre_poisson", parts.fibre_poisson, 0.0, 0.7)?;
    let num = within("matrix_poisson", parts.matrix_poisson, 0.0, 0.499)?;
    for (name, strain) in [
        ("fibre_along", fibre_along),
        ("fibre_across", fibre_across),
        ("matrix", matrix),
    ] {
        within(name, strain, -0.2, 0.2)?;
    }
    let along = (ef * fibre_along + em * matrix) / positive("stiffness along the ply", ef + em)?;
    let across =
        vf * (1.0 + nuf) * fibre_across + vm * (1.0 + num) * matrix - (vf * nuf + vm * num) * along;
    Ok((along, across))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_material_shrinks_alike_in_all_directions() {
        let parts = Shrinking {
            fibre_fraction: 0.4,
            matrix_fraction: 0.6,
            fibre_modulus: 3e9,
            matrix_modulus: 3e9,
            fibre_poisson: 0.3,
            matrix_poisson: 0.3,
        };
        let (along, across) = free_strain(&parts, -0.004, -0.004, -0.004).unwrap();
        assert!((along + 0.004).abs() < 1e-15 && (across + 0.004).abs() < 1e-15);
    }

    #[test]
    fn stiff_fibres_hold_the_ply_along_them() {
        let parts = Shrinking {
            fibre_fraction: 0.35,
            matrix_fraction: 0.62,
            fibre_modulus: 50e9,
            matrix_modulus: 3.2e9,
            fibre_poisson: 0.3,
            matrix_poisson: 0.35,
        };
        let (along, across) = free_strain(&parts, 0.0, 0.0, -0.007).unwrap();
        assert!(along > -0.0008 && across < -0.005, "{along} {across}");
        assert!(free_strain(&parts, 0.0, 0.0, -0.7).is_err());
    }
}
