//! What forces and moments do to a stack: strains, and the stresses in every ply.

use super::{LawError, Layer, Matrix3, Stiffness, compliance, reduced_stiffness};
use crate::law::failure::Stress;
use crate::law::{positive, within};

/// Strains and curvatures of a stack under forces and moments.
///
/// [ε0; κ] = [A B; B D]^-1 [N; M]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | A, B, D | [N/m], [N], [N m] |
/// | `forces` | Nx, Ny, Nxy per width [N/m], Mx, My, Mxy per width | [N] |
///
/// # Returns
/// Mid-plane strains x, y, xy [-] and curvatures x, y, xy [1/m].
/// # Valid for
/// Small strains, bonded plies.
/// # Errors
/// [`LawError::Unsolved`] for a stack without stiffness in some direction.
/// # Example
/// ```
/// use bastwork::law::laminate::{Layer, response, stiffness};
/// use bastwork::law::micromechanics::Ply;
/// let ply = Ply { modulus_along: 181e9, modulus_across: 10.3e9, poisson: 0.28, shear_modulus: 7.17e9 };
/// let layers = [0.0_f64, 30.0, -45.0].map(|d| Layer { ply, angle: d.to_radians(), thickness: 5e-3 });
/// let found = response(&stiffness(&layers)?, &[1000.0, 1000.0, 0.0, 0.0, 0.0, 0.0])?;
/// assert!((found[0] - 3.123e-7).abs() < 1e-10 && (found[5] - 4.101e-4).abs() < 1e-7);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kaw 2006, Mechanics of Composite Materials, 2nd ed., example 4.3 (from memory).
pub fn response(stack: &Stiffness, forces: &[f64; 6]) -> Result<[f64; 6], LawError> {
    Ok(strains(&compliance(stack)?, forces))
}

/// Strains and curvatures from a compliance that is known already: see [`response`].
pub(crate) fn strains(compliance: &[[f64; 6]; 6], forces: &[f64; 6]) -> [f64; 6] {
    std::array::from_fn(|i| compliance[i].iter().zip(forces).map(|(c, f)| c * f).sum())
}

/// Strain in the plane, seen in the axes of a ply.
pub(crate) fn in_ply_axes(strain: &[f64; 3], angle: f64) -> [f64; 3] {
    let (s, c) = crate::solve::sin_cos(angle);
    let [x, y, xy] = *strain;
    [
        c * c * x + s * s * y + s * c * xy,
        s * s * x + c * c * y - s * c * xy,
        2.0 * s * c * (y - x) + (c * c - s * s) * xy,
    ]
}

/// Stresses at the lower and upper side of every layer, in the axes of its ply.
///
/// σ = Q T (ε0 + z κ), with T turning the strain into the axes of the ply
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `layers` | the stack, from the mould up | |
/// | `strains` | ε0 [-] and κ, as [`response`] gives them | [1/m] |
///
/// # Returns
/// For every layer, the stress at its lower and at its upper side [Pa].
/// # Valid for
/// As [`response`].
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::laminate::{Layer, ply_stresses, response, stiffness};
/// use bastwork::law::micromechanics::Ply;
/// let ply = Ply { modulus_along: 181e9, modulus_across: 10.3e9, poisson: 0.28, shear_modulus: 7.17e9 };
/// let layers = [0.0_f64, 30.0, -45.0].map(|d| Layer { ply, angle: d.to_radians(), thickness: 5e-3 });
/// let strains = response(&stiffness(&layers)?, &[1000.0, 1000.0, 0.0, 0.0, 0.0, 0.0])?;
/// // Top of the 30 degree ply: 9.973e4 Pa along, 4.348e4 across, 1.890e4 in shear.
/// let top = ply_stresses(&layers, &strains)?[1][0];
/// assert!((top.along - 9.973e4).abs() < 20.0 && (top.across - 4.348e4).abs() < 20.0);
/// assert!((top.shear - 1.890e4).abs() < 20.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kaw 2006, Mechanics of Composite Materials, 2nd ed., example 4.3 (from memory).
pub fn ply_stresses(layers: &[Layer], strains: &[f64; 6]) -> Result<Vec<[Stress; 2]>, LawError> {
    let thickness: f64 = layers.iter().map(|layer| layer.thickness).sum();
    let mut below = -0.5 * thickness;
    let mut found = Vec::with_capacity(layers.len());
    for layer in layers {
        let q: Matrix3 = reduced_stiffness(&layer.ply)?;
        let above = below + layer.thickness;
        found.push([below, above].map(|z| {
            let here = [0, 1, 2].map(|i| strains[i] + z * strains[i + 3]);
            let e = in_ply_axes(&here, layer.angle);
            Stress {
                along: q[0][0] * e[0] + q[0][1] * e[1],
                across: q[1][0] * e[0] + q[1][1] * e[1],
                shear: q[2][2] * e[2],
            }
        }));
        below = above;
    }
    Ok(found)
}

/// Modulus of a stack in its plane, pulled in any direction.
///
/// 1/E(θ) = t (a11 c⁴ + a22 s⁴ + (2 a12 + a66) s² c² + 2 a16 c³ s + 2 a26 c s³)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `compliance` | upper left block a of the compliance of the stack | [m/N] |
/// | `thickness` | t | [m] |
/// | `angle` | θ, from the length of the part | [rad] |
///
/// # Returns
/// E(θ) [Pa].
/// # Valid for
/// As [`response`]; an unsymmetric stack is free to bow.
/// # Errors
/// [`LawError::OutOfRange`] for a thickness that is not positive, or an angle beyond a full turn.
/// # Example
/// ```
/// use bastwork::law::laminate::{Layer, compliance, modulus_at, stiffness};
/// use bastwork::law::micromechanics::Ply;
/// let ply = Ply { modulus_along: 22.8e9, modulus_across: 4.52e9, poisson: 0.43, shear_modulus: 1.96e9 };
/// let c = compliance(&stiffness(&[Layer { ply, angle: 0.0, thickness: 1e-3 }])?)?;
/// assert!((modulus_at(&c, 1e-3, 90_f64.to_radians())? - 4.52e9).abs() < 1e3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Rotation of the compliance: Kaw 2006, Mechanics of Composite Materials, 2nd ed., section 2.6 (from memory).
pub fn modulus_at(compliance: &[[f64; 6]; 6], thickness: f64, angle: f64) -> Result<f64, LawError> {
    let t = positive("thickness", thickness)?;
    let (s, c) = crate::solve::sin_cos(within("angle", angle, -6.3, 6.3)?);
    let a = compliance;
    let turned = a[0][0] * c.powi(4)
        + a[1][1] * s.powi(4)
        + (2.0 * a[0][1] + a[2][2]) * s * s * c * c
        + 2.0 * c * s * (a[0][2] * c * c + a[1][2] * s * s);
    Ok(1.0 / (t * turned))
}
