//! Stiffness of a stack of plies: classical laminate theory.
//!
//! Thin, flat, bonded plies; no shear through the thickness. Does not cover sandwich cores that shear.

mod free;
mod free_bending;
mod invert;
mod respond;

use super::micromechanics::Ply;
use super::{LawError, positive, within};
use invert::inverse;

pub use free::{free_shape, rise};
pub use free_bending::{free_bending, strip_bending};
pub(crate) use respond::{in_ply_axes, strains};
pub use respond::{modulus_at, ply_stresses, response};

/// A symmetric three by three matrix, rows and columns x, y, xy.
pub type Matrix3 = [[f64; 3]; 3];

/// One layer of a stack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// Its elastic constants in its own axes [Pa].
    pub ply: Ply,
    /// From the part's x axis to the fibres, turning from x to y [rad].
    pub angle: f64,
    /// Thickness [m].
    pub thickness: f64,
}

/// Stiffness of a stack, first layer at the most negative z, z measured from mid thickness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stiffness {
    /// Thickness of the stack [m].
    pub thickness: f64,
    /// A, stretching [Pa m].
    pub a: Matrix3,
    /// B, coupling of stretching and bending [Pa m2].
    pub b: Matrix3,
    /// D, bending [Pa m3].
    pub d: Matrix3,
}

/// Moduli of the stack as if it were one material, and what it does besides stretching straight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apparent {
    /// Ex, tensile modulus along x [Pa].
    pub modulus_x: f64,
    /// Ey, tensile modulus along y [Pa].
    pub modulus_y: f64,
    /// Gxy, shear modulus in the plane [Pa].
    pub shear_modulus: f64,
    /// nu_xy, strain along y per strain along x when pulled along x [-].
    pub poisson: f64,
    /// Bending modulus along x [Pa].
    pub bending_modulus_x: f64,
    /// Bending modulus along y [Pa].
    pub bending_modulus_y: f64,
    /// The stack is not symmetric: it warps when pulled, cooled or cured.
    pub unsymmetric: bool,
    /// The stack is not balanced: it shears when pulled.
    pub unbalanced: bool,
}

/// Coupling terms smaller than this share of the stiffness count as none.
const COUPLING: f64 = 1e-3;

/// Stiffness of a ply in its own axes under plane stress.
///
/// Q11 = E1 / (1 - nu12 nu21), Q22 = E2 / (1 - nu12 nu21), Q12 = nu12 Q22, Q66 = G12, nu21 = nu12 E2 / E1
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `ply` | E1, E2, nu12, G12 | [Pa] |
///
/// # Returns
/// Q [Pa].
/// # Valid for
/// nu12 smaller than sqrt(E1 / E2).
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::{laminate::reduced_stiffness, micromechanics::Ply};
/// let q = reduced_stiffness(&Ply { modulus_along: 181e9, modulus_across: 10.3e9, poisson: 0.28, shear_modulus: 7.17e9 })?;
/// assert!((q[0][0] - 181.81e9).abs() < 5e6 && (q[0][1] - 2.897e9).abs() < 5e5 && (q[1][1] - 10.346e9).abs() < 1e6);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kaw 2006, Mechanics of Composite Materials, 2nd ed., example 4.2 (from memory, recomputed).
pub fn reduced_stiffness(ply: &Ply) -> Result<Matrix3, LawError> {
    let e1 = positive("modulus_along", ply.modulus_along)?;
    let e2 = positive("modulus_across", ply.modulus_across)?;
    let g = positive("shear_modulus", ply.shear_modulus)?;
    let limit = 0.999 * (e1 / e2).sqrt();
    let nu = within("poisson", ply.poisson, -limit, limit)?;
    let q22 = e2 / (1.0 - nu * nu * e2 / e1);
    let q12 = nu * q22;
    Ok([[q22 * e1 / e2, q12, 0.0], [q12, q22, 0.0], [0.0, 0.0, g]])
}

/// Stiffness of a ply turned into the part's axes.
///
/// Q-bar = T^-1 Q T^-T, written out in powers of cosine and sine of the angle
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `q` | Q of the ply in its own axes | [Pa] |
/// | `angle` | from x to the fibres | [rad] |
///
/// # Returns
/// Q-bar, for engineering shear strain [Pa].
/// # Valid for
/// Any angle; orthotropic plies.
/// # Errors
/// None.
/// # Example
/// ```
/// use bastwork::law::{laminate::{reduced_stiffness, turned}, micromechanics::Ply};
/// let q = reduced_stiffness(&Ply { modulus_along: 181e9, modulus_across: 10.3e9, poisson: 0.28, shear_modulus: 7.17e9 })?;
/// let bar = turned(&q, 30.0_f64.to_radians());
/// assert!((bar[0][0] - 109.38e9).abs() < 5e6 && (bar[0][2] - 54.193e9).abs() < 1e6);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kaw 2006, Mechanics of Composite Materials, 2nd ed., example 4.2 (from memory, recomputed).
pub fn turned(q: &Matrix3, angle: f64) -> Matrix3 {
    let (s, c) = crate::solve::sin_cos(angle);
    let (cc, ss, cs) = (c * c, s * s, c * s);
    let (q11, q12, q22, q66) = (q[0][0], q[0][1], q[1][1], q[2][2]);
    let mixed = 2.0 * (q12 + 2.0 * q66) * cs * cs;
    let b11 = q11 * cc * cc + mixed + q22 * ss * ss;
    let b22 = q11 * ss * ss + mixed + q22 * cc * cc;
    let b12 = (q11 + q22 - 4.0 * q66) * cs * cs + q12 * (cc * cc + ss * ss);
    let b66 = (q11 + q22 - 2.0 * q12) * cs * cs + q66 * (cc - ss) * (cc - ss);
    // Of a ply that is alike in all directions, rounding would leave a trace of shear.
    let rounding = 1e-14 * q11.max(q22);
    let beyond_alike = |q: f64| {
        let x = q - q12 - 2.0 * q66;
        if x.abs() <= rounding { 0.0 } else { x }
    };
    let (along, across) = (beyond_alike(q11), beyond_alike(q22));
    let b16 = cs * (along * cc - across * ss);
    let b26 = cs * (along * ss - across * cc);
    [[b11, b12, b16], [b12, b22, b26], [b16, b26, b66]]
}

/// Stiffness of a stack of layers.
///
/// A = sum Qbar (z_k - z_k-1), B = 1/2 sum Qbar (z_k^2 - z_k-1^2), D = 1/3 sum Qbar (z_k^3 - z_k-1^3)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `layers` | plies [Pa], angles [rad] and thicknesses, from the mould side | [m] |
///
/// # Returns
/// A [Pa m], B [Pa m2], D [Pa m3] and the thickness [m].
/// # Valid for
/// At least one layer; thin plates.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::{laminate::{Layer, stiffness}, micromechanics::Ply};
/// let ply = Ply { modulus_along: 181e9, modulus_across: 10.3e9, poisson: 0.28, shear_modulus: 7.17e9 };
/// let layer = |degrees: f64| Layer { ply, angle: degrees.to_radians(), thickness: 5e-3 };
/// let s = stiffness(&[layer(0.0), layer(30.0), layer(-45.0)])?;
/// assert!((s.a[0][0] - 1.7392e9).abs() < 1e5 && (s.d[0][0] - 3.3432e4).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kaw 2006, Mechanics of Composite Materials, 2nd ed., example 4.2 (from memory, recomputed); Nettles 1994,
/// NASA RP-1351.
pub fn stiffness(layers: &[Layer]) -> Result<Stiffness, LawError> {
    let mut thickness = 0.0;
    for layer in layers {
        thickness += positive("thickness", layer.thickness)?;
    }
    positive("thickness", thickness)?;
    let (mut a, mut b, mut d) = ([[0.0; 3]; 3], [[0.0; 3]; 3], [[0.0; 3]; 3]);
    let mut below = -0.5 * thickness;
    for layer in layers {
        within("angle", layer.angle, -100.0, 100.0)?;
        let q = turned(&reduced_stiffness(&layer.ply)?, layer.angle);
        let above = below + layer.thickness;
        let middle = 0.5 * (below + above);
        let h = layer.thickness;
        let (first, second) = (h * middle, h * (middle * middle + h * h / 12.0));
        for i in 0..3 {
            for j in 0..3 {
                a[i][j] += q[i][j] * h;
                b[i][j] += q[i][j] * first;
                d[i][j] += q[i][j] * second;
            }
        }
        below = above;
    }
    Ok(Stiffness { thickness, a, b, d })
}

/// Strains and curvatures per load: the inverse of the whole stiffness.
///
/// [e0; k] = [A B; B D]^-1 [N; M]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | A [Pa m], B [Pa m2], D [Pa m3], h | [m] |
///
/// # Returns
/// The six by six compliance; its upper left block in [1/(Pa m)], lower right in [1/(Pa m3)].
/// # Valid for
/// Any real stack, symmetric or not.
/// # Errors
/// [`LawError::Unsolved`] when the stiffness is not positive.
/// # Example
/// ```
/// use bastwork::law::{laminate::{Layer, compliance, stiffness}, micromechanics::Ply};
/// let ply = Ply { modulus_along: 181e9, modulus_across: 10.3e9, poisson: 0.28, shear_modulus: 7.17e9 };
/// let layer = |degrees: f64| Layer { ply, angle: degrees.to_radians(), thickness: 5e-3 };
/// let c = compliance(&stiffness(&[layer(0.0), layer(30.0), layer(-45.0)])?)?;
/// let strain_x = 1000.0 * (c[0][0] + c[0][1]);
/// assert!((strain_x - 3.1229e-7).abs() < 1e-11);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kaw 2006, Mechanics of Composite Materials, 2nd ed., example 4.3 (from memory, recomputed).
pub fn compliance(stack: &Stiffness) -> Result<[[f64; 6]; 6], LawError> {
    // Curvatures scaled by the thickness, so that all entries are of one size.
    let h = stack.thickness;
    let mut m = [[0.0; 6]; 6];
    for i in 0..3 {
        for j in 0..3 {
            m[i][j] = stack.a[i][j];
            m[i][j + 3] = stack.b[i][j] / h;
            m[i + 3][j] = stack.b[i][j] / h;
            m[i + 3][j + 3] = stack.d[i][j] / (h * h);
        }
    }
    let mut c = inverse(&m).ok_or(LawError::Unsolved {
        what: "the compliance of the stack",
    })?;
    for (i, row) in c.iter_mut().enumerate() {
        for (j, value) in row.iter_mut().enumerate() {
            *value /= h.powi(i32::from(i > 2) + i32::from(j > 2));
        }
    }
    Ok(c)
}

/// Apparent moduli of a stack, and whether it warps or shears when pulled.
///
/// Ex = 1 / (h a11), Gxy = 1 / (h a66), nu_xy = -a12 / a11, bending Ex = 12 / (h^3 d11), all from the full inverse
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `stack` | A [Pa m], B [Pa m2], D [Pa m3], h | [m] |
///
/// # Returns
/// Moduli [Pa], Poisson ratio [-] and the two flags; couplings below a thousandth of the stiffness count as none.
/// # Valid for
/// Pieces free to warp and shear while pulled or bent.
/// # Errors
/// [`LawError::Unsolved`] when the stiffness is not positive.
/// # Example
/// ```
/// use bastwork::law::{laminate::{Layer, apparent, stiffness}, micromechanics::Ply};
/// let ply = Ply { modulus_along: 22.8e9, modulus_across: 4.52e9, poisson: 0.43, shear_modulus: 1.96e9 };
/// let stack: Vec<Layer> = [0.0, 90.0, 0.0, 90.0, 0.0, 90.0, 90.0, 0.0, 90.0, 0.0, 90.0, 0.0].iter()
///     .map(|d: &f64| Layer { ply, angle: d.to_radians(), thickness: 0.25e-3 }).collect();
/// let e = apparent(&stiffness(&stack)?)?;
/// assert!((e.modulus_x - 13.893e9).abs() < 1e6 && (e.bending_modulus_x - 16.207e9).abs() < 1e6);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kaw 2006, Mechanics of Composite Materials, 2nd ed., section 4.4 (from memory).
pub fn apparent(stack: &Stiffness) -> Result<Apparent, LawError> {
    let c = compliance(stack)?;
    let h = stack.thickness;
    let largest = |m: &Matrix3| {
        m.iter()
            .flatten()
            .fold(0.0_f64, |most, v| most.max(v.abs()))
    };
    let stretch = largest(&stack.a);
    let skew = stack.a[0][2].abs().max(stack.a[1][2].abs());
    Ok(Apparent {
        modulus_x: 1.0 / (h * c[0][0]),
        modulus_y: 1.0 / (h * c[1][1]),
        shear_modulus: 1.0 / (h * c[2][2]),
        poisson: -c[0][1] / c[0][0],
        bending_modulus_x: 12.0 / (h.powi(3) * c[3][3]),
        bending_modulus_y: 12.0 / (h.powi(3) * c[4][4]),
        unsymmetric: largest(&stack.b) > COUPLING * stretch * h,
        unbalanced: skew > COUPLING * stretch,
    })
}

/// A weave as one ply: warp and weft as two unidirectional part-plies that share the same thickness.
///
/// Q = s Q(0) + (1 - s) Q(90), then E1 and E2 times the crimp factor
///
/// The two share one thickness because warp and weft interlace. Laid one on the other they would warp
/// and bend in a way no weave does.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `ply` | the cloth's yarn as a unidirectional ply | [Pa] |
/// | `warp_share` | s, share of the fibre in the warp, 0.5 when balanced | [-] |
/// | `crimp_factor` | left of the modulus after crimp: twill 0.85 to 0.95, plain 0.75 to 0.90 | [-] |
///
/// # Returns
/// Constants of the weave, warp along [Pa].
/// # Valid for
/// Two-direction weaves; not for braids off 90 degrees.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::{laminate::woven_ply, micromechanics::Ply};
/// let yarn = Ply { modulus_along: 22.8e9, modulus_across: 4.52e9, poisson: 0.43, shear_modulus: 1.96e9 };
/// let weave = woven_ply(&yarn, 0.5, 1.0)?;
/// assert!((weave.modulus_along - 13.893e9).abs() < 1e6 && (weave.poisson - 0.1423).abs() < 5e-5);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Classical laminate theory of crossed plies; crimp factors from memory, unsure.
pub fn woven_ply(ply: &Ply, warp_share: f64, crimp_factor: f64) -> Result<Ply, LawError> {
    within("warp_share", warp_share, 0.0, 1.0)?;
    within("crimp_factor", crimp_factor, 0.1, 1.0)?;
    let q = reduced_stiffness(ply)?;
    let weft = 1.0 - warp_share;
    let q11 = warp_share * q[0][0] + weft * q[1][1];
    let q22 = warp_share * q[1][1] + weft * q[0][0];
    let q12 = q[0][1];
    Ok(Ply {
        modulus_along: crimp_factor * (q11 - q12 * q12 / q22),
        modulus_across: crimp_factor * (q22 - q12 * q12 / q11),
        poisson: q12 / q22,
        shear_modulus: q[2][2],
    })
}

#[cfg(test)]
mod tests;
