//! The shape that a free stack takes as its plies shrink unequally.

use super::respond::strains;
use super::{LawError, Layer, compliance, reduced_stiffness, stiffness, turned};
use crate::law::within;

/// Strains and curvatures of a free stack whose layers would shrink or grow each by itself.
///
/// N = ∫ Q̄ e dz, M = ∫ Q̄ e z dz, [ε0; κ] = [A B; B D]^-1 [N; M], with e the free strain of the layer in the axes of
/// the part
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `layers` | the stack, from the mould up | |
/// | `free` | free strain of each layer along and across its fibres | [-] |
///
/// # Returns
/// Mid-plane strains x, y, xy [-] and curvatures x, y, xy [1/m].
/// # Valid for
/// Small, elastic, no creep and no mould that holds; the largest free stacks snap into one of two rolls instead of a
/// saddle.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument; [`LawError::Unsolved`] for a stack without stiffness.
/// # Example
/// ```
/// use bastwork::law::laminate::{Layer, free_shape};
/// use bastwork::law::micromechanics::Ply;
/// // Two strips of one material, one of which grows by 0.001: κ = 1.5 * 0.001 / h (Timoshenko 1925).
/// let ply = Ply { modulus_along: 10e9, modulus_across: 10e9, poisson: 0.0, shear_modulus: 5e9 };
/// let layer = Layer { ply, angle: 0.0, thickness: 1e-3 };
/// let shape = free_shape(&[layer, layer], &[(0.0, 0.0), (0.001, 0.001)])?;
/// assert!((shape[3] - 1.5 * 0.001 / 2e-3).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Timoshenko 1925, J. Opt. Soc. Am. 11:233; laminates: Kaw 2006, Mechanics of Composite Materials, 2nd ed., section
/// 4.5 (both from memory).
pub fn free_shape(layers: &[Layer], free: &[(f64, f64)]) -> Result<[f64; 6], LawError> {
    within(
        "free",
        free.len() as f64,
        layers.len() as f64,
        layers.len() as f64,
    )?;
    let stack = stiffness(layers)?;
    let mut forces = [0.0; 6];
    let mut below = -0.5 * stack.thickness;
    for (layer, &(along, across)) in layers.iter().zip(free) {
        let along = within("free strain along", along, -0.2, 0.2)?;
        let across = within("free strain across", across, -0.2, 0.2)?;
        let q = turned(&reduced_stiffness(&layer.ply)?, layer.angle);
        let (s, c) = crate::solve::sin_cos(layer.angle);
        let e = [
            c * c * along + s * s * across,
            s * s * along + c * c * across,
            2.0 * s * c * (along - across),
        ];
        let above = below + layer.thickness;
        let middle = 0.5 * (below + above);
        for i in 0..3 {
            let pull: f64 = (0..3).map(|j| q[i][j] * e[j]).sum::<f64>() * layer.thickness;
            forces[i] += pull;
            forces[i + 3] += pull * middle;
        }
        below = above;
    }
    Ok(strains(&compliance(&stack)?, &forces))
}

/// How far the middle of a bowed part stands off a flat table.
///
/// w = κ L² / 8
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `curvature` | κ | [1/m] |
/// | `length` | L | [m] |
///
/// # Returns
/// w [m], of the sign of κ.
/// # Valid for
/// Shallow arcs, w below a tenth of L.
/// # Errors
/// None.
/// # Example
/// ```
/// assert!((bastwork::law::laminate::rise(0.5, 0.4) - 0.01).abs() < 1e-15);
/// ```
/// # Source
/// Geometry of a shallow arc.
#[must_use]
pub fn rise(curvature: f64, length: f64) -> f64 {
    curvature * length * length / 8.0
}
