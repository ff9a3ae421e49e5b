//! How fast a laminate stops ringing: its loss factor, from those of its plies.
//!
//! Small vibrations at room temperature. Does not cover air, joints and supports, which often take more.

use super::laminate::{self, Layer};
use super::{LawError, within};

/// Loss factors of one layer in its own axes [-].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Losses {
    /// Along the fibres [-].
    pub along: f64,
    /// Across the fibres [-].
    pub across: f64,
    /// In shear [-].
    pub shear: f64,
}

/// Loss factor of a stack bent along x, free to curl across.
///
/// η = Σ (η1 U1 + η2 U2 + η12 U12) / Σ (U1 + U2 + U12), U1 = ½ σ1 ε1 and so on in ply axes, summed through the stack
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `layers` | the stack, from the mould up | |
/// | `losses` | η1, η2, η12 of each layer | [-] |
///
/// # Returns
/// η [-]. tan δ is the same; damping ratio ζ = η/2; specific damping capacity Ψ = 2 π η.
/// # Valid for
/// Bonded plies, no shear through the thickness: a soft core loses more than this says.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument; what laminate theory refuses.
/// # Example
/// ```
/// use bastwork::law::{damping::{Losses, in_bending}, laminate::Layer, micromechanics::Ply};
/// let ply = Ply { modulus_along: 22.8e9, modulus_across: 4.52e9, poisson: 0.43, shear_modulus: 1.96e9 };
/// let flax = Losses { along: 0.012, across: 0.025, shear: 0.03 };
/// let laid = |degrees: f64| [Layer { ply, angle: degrees.to_radians(), thickness: 2e-3 }];
/// assert!((in_bending(&laid(0.0), &[flax])? - 0.012).abs() < 1e-12);
/// assert!((in_bending(&laid(90.0), &[flax])? - 0.025).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Adams and Bacon 1973, J. Compos. Mater. 7:402; Ni and Adams 1984, J. Compos. Mater. 18:104 (both from memory).
pub fn in_bending(layers: &[Layer], losses: &[Losses]) -> Result<f64, LawError> {
    under(layers, losses, &[0.0, 0.0, 0.0, 1.0, 0.0, 0.0])
}

/// Loss factor of a stack pulled along x, free to narrow and to shear.
///
/// As [`in_bending`], with the energy of a pull
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `layers` | the stack, from the mould up | |
/// | `losses` | η1, η2, η12 of each layer | [-] |
///
/// # Returns
/// η [-].
/// # Valid for
/// As [`in_bending`].
/// # Errors
/// [`LawError::OutOfRange`] naming the argument; what laminate theory refuses.
/// # Example
/// ```
/// use bastwork::law::{damping::{Losses, in_tension}, laminate::Layer, micromechanics::Ply};
/// let ply = Ply { modulus_along: 22.8e9, modulus_across: 4.52e9, poisson: 0.43, shear_modulus: 1.96e9 };
/// let flax = Losses { along: 0.012, across: 0.025, shear: 0.03 };
/// let laid = |degrees: f64| [Layer { ply, angle: degrees.to_radians(), thickness: 2e-3 }];
/// assert!((in_tension(&laid(0.0), &[flax])? - 0.012).abs() < 1e-12);
/// assert!((in_tension(&laid(90.0), &[flax])? - 0.025).abs() < 1e-9);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Adams and Bacon 1973, J. Compos. Mater. 7:402 (from memory).
pub fn in_tension(layers: &[Layer], losses: &[Losses]) -> Result<f64, LawError> {
    under(layers, losses, &[1.0, 0.0, 0.0, 0.0, 0.0, 0.0])
}

/// Loss factor under forces and moments per width.
fn under(layers: &[Layer], losses: &[Losses], forces: &[f64; 6]) -> Result<f64, LawError> {
    within(
        "losses",
        losses.len() as f64,
        layers.len() as f64,
        layers.len() as f64,
    )?;
    let stack = laminate::stiffness(layers)?;
    let strains = laminate::response(&stack, forces)?;
    let (mut held, mut lost) = (0.0, 0.0);
    let mut below = -0.5 * stack.thickness;
    for (layer, losses) in layers.iter().zip(losses) {
        let q = laminate::reduced_stiffness(&layer.ply)?;
        let above = below + layer.thickness;
        // Energy goes with the square of the height: Simpson's rule is exact.
        for (z, weight) in [(below, 1.0), (0.5 * (below + above), 4.0), (above, 1.0)] {
            let here = [0, 1, 2].map(|i| strains[i] + z * strains[i + 3]);
            let e = laminate::in_ply_axes(&here, layer.angle);
            let s = [
                q[0][0] * e[0] + q[0][1] * e[1],
                q[0][1] * e[0] + q[1][1] * e[1],
                q[2][2] * e[2],
            ];
            let share = weight * layer.thickness;
            for (i, loss) in [losses.along, losses.across, losses.shear]
                .into_iter()
                .enumerate()
            {
                let energy = share * s[i] * e[i];
                held += energy;
                lost += within("loss factor", loss, 0.0, 2.0)? * energy;
            }
        }
        below = above;
    }
    Ok(lost / super::positive("energy", held)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::micromechanics::Ply;

    const PLY: Ply = Ply {
        modulus_along: 22.8e9,
        modulus_across: 4.52e9,
        poisson: 0.43,
        shear_modulus: 1.96e9,
    };
    const FLAX: Losses = Losses {
        along: 0.012,
        across: 0.022,
        shear: 0.03,
    };

    fn at(degrees: f64, thickness: f64) -> Layer {
        Layer {
            ply: PLY,
            angle: degrees.to_radians(),
            thickness,
        }
    }

    #[test]
    fn off_axis_plies_lose_most_between_their_axes() {
        // Unidirectional flax loses most near 45 degrees (Rahman and others 2017: 0.02 to 0.07, most at 45).
        let loss = |d: f64| in_bending(&[at(d, 2e-3)], &[FLAX]).unwrap();
        assert!(loss(45.0) > loss(0.0) && loss(45.0) > loss(90.0));
    }

    #[test]
    fn a_ply_pulled_off_its_axes_by_the_closed_form() {
        // Uniaxial stress in ply axes is c², s², cs: energies c²(c² - ν s²)/E1, s²(s²/E2 - ν c²/E1), c²s²/G.
        for degrees in [0.0_f64, 10.0, 30.0, 45.0, 70.0, 90.0] {
            let (s, c) = degrees.to_radians().sin_cos();
            let (cc, ss) = (c * c, s * s);
            let along = cc * (cc - PLY.poisson * ss) / PLY.modulus_along;
            let across = ss * (ss / PLY.modulus_across - PLY.poisson * cc / PLY.modulus_along);
            let shear = cc * ss / PLY.shear_modulus;
            let closed = (FLAX.along * along + FLAX.across * across + FLAX.shear * shear)
                / (along + across + shear);
            let found = in_tension(&[at(degrees, 2e-3)], &[FLAX]).unwrap();
            assert!(
                (found / closed - 1.0).abs() < 1e-9,
                "{degrees}: {found} {closed}"
            );
        }
        // Pulled, all layers count by their own stiffness and thickness, wherever they lie.
        let quiet = Losses {
            along: 0.05,
            across: 0.05,
            shear: 0.05,
        };
        let stack = [at(0.0, 0.5e-3), at(0.0, 1e-3), at(0.0, 0.5e-3)];
        let found = in_tension(&stack, &[quiet, FLAX, quiet]).unwrap();
        assert!((found - 0.5 * (0.05 + 0.012)).abs() < 1e-12, "{found}");
    }

    #[test]
    fn what_lies_outside_decides_in_bending() {
        let quiet = Losses {
            along: 0.05,
            across: 0.05,
            shear: 0.05,
        };
        let stack = [at(0.0, 0.5e-3), at(0.0, 1e-3), at(0.0, 0.5e-3)];
        let outside = in_bending(&stack, &[quiet, FLAX, quiet]).unwrap();
        let inside = in_bending(&stack, &[FLAX, quiet, FLAX]).unwrap();
        // The middle half of a plate holds an eighth of the energy.
        assert!(
            (outside - (0.05 * 0.875 + 0.012 * 0.125)).abs() < 1e-12,
            "{outside}"
        );
        assert!(
            (inside - (0.05 * 0.125 + 0.012 * 0.875)).abs() < 1e-12,
            "{inside}"
        );
        assert!(in_bending(&stack, &[FLAX]).is_err());
    }
}
