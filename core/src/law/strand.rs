//! Fibres that lie one way in a layer: what the strength of every cloth is worked out from.
//!
//! A weave is two of them that share one thickness, a mat four, a straight or stitched layer one: one law for all.

use super::failure::{Laid, Mode, Strengths, Stress, maximum_stress, tsai_hill};
use super::laminate::{in_ply_axes, reduced_stiffness};
use super::micromechanics::Ply;
use super::{LawError, positive, within};

/// What a strand bears, and how it bends its curve on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bears {
    /// Strengths of the strand as a straight ply [Pa].
    pub strengths: Strengths,
    /// Strain of the knee along the fibres; nothing for a straight line [-].
    pub knee: f64,
    /// Stiffness beyond the knee when pushed, over that before it [-].
    pub after: f64,
    /// Strain at which pulled fibres break; beyond the knee their curve runs straight to it [-].
    pub breaks: f64,
    /// Pushed fibres that kink hold their stress: the modulus that resin still adds [Pa], and the strain at which it
    /// gives way as well [-]. None for fibres that snap.
    pub kinks: Option<(f64, f64)>,
}

/// Fibres of one layer that lie one way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strand {
    /// Its constants as a straight ply [Pa].
    pub ply: Ply,
    /// From the part's x axis to the fibres [rad].
    pub angle: f64,
    /// Lower side of the layer, from the middle of the stack [m].
    pub below: f64,
    /// Its upper side [m].
    pub above: f64,
    /// Share of the layer [-].
    pub share: f64,
    /// None for a core, which is looked at by itself.
    pub bears: Option<Bears>,
}

/// Directions of the fibres in a layer, and the share of each.
///
/// straight: one; woven: warp and weft, half each; random: every 45 degrees, a quarter each
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `laid` | how the fibres lie | |
///
/// # Returns
/// Pairs of angle to the layer's own direction [rad] and share [-].
/// # Valid for
/// Balanced weaves; mats that are alike in every direction.
/// # Errors
/// None.
/// # Example
/// ```
/// use bastwork::law::{failure::Laid, strand::directions};
/// let shares: f64 = directions(Laid::Random).iter().map(|(_, share)| share).sum();
/// assert!((shares - 1.0).abs() < 1e-12);
/// ```
/// # Source
/// Four directions stand for all: they are isotropic in the plane (Kaw 2006, Mechanics of Composite Materials, 2nd
/// ed., section 5.2.2, from memory).
#[must_use]
pub fn directions(laid: Laid) -> &'static [(f64, f64)] {
    use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};
    match laid {
        Laid::Straight => &[(0.0, 1.0)],
        Laid::Woven => &[(0.0, 0.5), (FRAC_PI_2, 0.5)],
        Laid::Random => &[
            (0.0, 0.25),
            (FRAC_PI_4, 0.25),
            (FRAC_PI_2, 0.25),
            (-FRAC_PI_4, 0.25),
        ],
    }
}

/// Constants of the fibres of a layer as a straight ply, so that the layer keeps the stiffness it has.
///
/// straight: E1 c; woven: E1' = c (E1 + E2) - E2, of which half and half give c (E1 + E2) / 2; random: all moduli in one
/// ratio, so that four directions give E
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `laid` | how the fibres lie | |
/// | `ply` | E1, E2, ν12, G12 of straight fibre | [Pa] |
/// | `crimp` | c, share of stiffness left by crimp | [-] |
/// | `modulus` | E of a mat, in its plane | [Pa] |
///
/// # Returns
/// The constants [Pa].
/// # Valid for
/// Balanced weaves.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::{failure::Laid, micromechanics::Ply, strand::straightened};
/// let ply = Ply { modulus_along: 19e9, modulus_across: 4e9, poisson: 0.3, shear_modulus: 1.6e9 };
/// let warp = straightened(Laid::Woven, &ply, 0.9, 0.0)?;
/// assert!((warp.modulus_along - 16.7e9).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arithmetic on classical laminate theory; four directions: the invariants of Tsai and Pagano (Kaw 2006, Mechanics of
/// Composite Materials, 2nd ed., section 2.7, from memory).
pub fn straightened(laid: Laid, ply: &Ply, crimp: f64, modulus: f64) -> Result<Ply, LawError> {
    let crimp = within("crimp", crimp, 0.1, 1.0)?;
    let (along, across) = (ply.modulus_along, ply.modulus_across);
    Ok(match laid {
        Laid::Straight => Ply {
            modulus_along: along * crimp,
            ..*ply
        },
        Laid::Woven => Ply {
            modulus_along: (crimp * (along + across) - across).max(0.1 * along),
            ..*ply
        },
        Laid::Random => {
            let q = reduced_stiffness(ply)?;
            let ends = q[0][0] + q[1][1];
            let direct = (3.0 * ends + 2.0 * q[0][1] + 4.0 * q[2][2]) / 8.0;
            let coupled = (ends + 6.0 * q[0][1] - 4.0 * q[2][2]) / 8.0;
            let all_round = direct - coupled * coupled / direct;
            let ratio = positive("modulus", modulus)? / all_round;
            Ply {
                modulus_along: along * ratio,
                modulus_across: across * ratio,
                poisson: ply.poisson,
                shear_modulus: ply.shear_modulus * ratio,
            }
        }
    })
}

/// Stress in a strand at a strain of its place.
///
/// σ = Q T ε
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `strand` | the strand | |
/// | `strain` | x, y and shear strain in the axes of the part | [-] |
///
/// # Returns
/// Stress in the axes of the strand [Pa].
/// # Valid for
/// Small strain, before the knee.
/// # Errors
/// [`LawError::OutOfRange`] for constants that are not positive.
/// # Example
/// ```
/// use bastwork::law::{micromechanics::Ply, strand::{Strand, stress}};
/// let ply = Ply { modulus_along: 20e9, modulus_across: 4e9, poisson: 0.0, shear_modulus: 2e9 };
/// let strand = Strand { ply, angle: 0.0, below: -1e-3, above: 1e-3, share: 0.5, bears: None };
/// assert!((stress(&strand, &[1e-3, 0.0, 0.0])?.along - 20e6).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Classical laminate theory: Kaw 2006, Mechanics of Composite Materials, 2nd ed., section 4.3 (from memory).
pub fn stress(strand: &Strand, strain: &[f64; 3]) -> Result<Stress, LawError> {
    let q = reduced_stiffness(&strand.ply)?;
    let e = in_ply_axes(strain, strand.angle);
    Ok(Stress {
        along: q[0][0] * e[0] + q[0][1] * e[1],
        across: q[1][0] * e[0] + q[1][1] * e[1],
        shear: q[2][2] * e[2],
    })
}

/// First damage: what it comes to, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct First {
    /// Damage comes when all strains have grown by this factor [-].
    pub factor: f64,
    /// Which strand.
    pub strand: usize,
    /// How.
    pub mode: Mode,
}

/// First damage of a stack: the first strand that cracks across, shears, or gives way along its fibres.
///
/// R = min over all strands, at both sides of their layer, of the factor of Azzi, Tsai and Hill
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `strands` | the stack | |
/// | `strains` | ε0 [-] and κ of the stack under its load | [1/m] |
///
/// # Returns
/// The factor, the strand and the mode; a stack that bears nothing by itself has an endless factor.
/// # Valid for
/// As [`tsai_hill`]; a stack of flax goes in with the stiffness it has left at first damage ([`secant`]).
/// # Errors
/// [`LawError::OutOfRange`] for a strength or constant that is not positive.
/// # Example
/// ```
/// use bastwork::law::{failure::{Mode, Strengths}, micromechanics::Ply, strand::{Bears, Strand, first_damage}};
/// let ply = Ply { modulus_along: 37e9, modulus_across: 10e9, poisson: 0.28, shear_modulus: 4e9 };
/// let strengths = Strengths { along_tension: 1100e6, along_compression: 600e6, across_tension: 35e6,
///     across_compression: 120e6, shear: 60e6 };
/// let bears = Some(Bears { strengths, knee: 0.0, after: 1.0, breaks: 0.0, kinks: None });
/// // Warp and weft of one weave, pulled: the weft cracks at about 35 MPa / 10 GPa, long before the warp breaks.
/// let weave = [0.0, std::f64::consts::FRAC_PI_2].map(|angle| Strand { ply, angle, below: -1e-3, above: 1e-3, share: 0.5, bears });
/// let first = first_damage(&weave, &[1e-3, 0.0, 0.0, 0.0, 0.0, 0.0])?;
/// assert!(first.strand == 1 && first.mode == Mode::AcrossTension && (first.factor - 3.5).abs() < 0.2);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Azzi and Tsai 1965, Exp. Mech. 5:283 (from memory), held to the fibres of each direction.
pub fn first_damage(strands: &[Strand], strains: &[f64; 6]) -> Result<First, LawError> {
    let mut first = First {
        factor: f64::INFINITY,
        strand: 0,
        mode: Mode::AlongTension,
    };
    for (i, strand) in strands.iter().enumerate() {
        let Some(bears) = &strand.bears else { continue };
        for z in [strand.below, strand.above] {
            let here = [0, 1, 2].map(|k| strains[k] + z * strains[k + 3]);
            let stress = stress(strand, &here)?;
            let factor = tsai_hill(&bears.strengths, &stress)?;
            if factor < first.factor {
                first = First {
                    factor,
                    strand: i,
                    mode: maximum_stress(&bears.strengths, &stress)?.1,
                };
            }
        }
    }
    Ok(first)
}

/// Stiffness along the fibres beyond the knee when pulled, over that before it.
///
/// (X - E ε_k) / ((ε_b - ε_k) E): straight from the knee to the strain at which the fibres break
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bears` | X, ε_k, ε_b | [Pa], [-] |
/// | `modulus` | E along the fibres before the knee | [Pa] |
///
/// # Returns
/// Ratio, 1 without a knee [-].
/// # Valid for
/// Bast fibres.
/// # Errors
/// [`LawError::OutOfRange`] for a strain outside 0 to 0.2.
/// # Example
/// ```
/// use bastwork::law::{failure::Strengths, strand::{Bears, beyond_knee}};
/// let strengths = Strengths { along_tension: 282e6, along_compression: 110e6, across_tension: 25e6,
///     across_compression: 80e6, shear: 38e6 };
/// // Flax at 0.40: 25 GPa to a knee at 0.17 %, broken at 1.6 %: two thirds of the stiffness are left.
/// let flax = Bears { strengths, knee: 0.0017, after: 0.72, breaks: 0.016, kinks: None };
/// assert!((beyond_knee(&flax, 25.1e9)? - 0.667).abs() < 2e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Two straight lines: Pitarresi, Tumino and Mancuso 2015, Materials 8:7371.
pub fn beyond_knee(bears: &Bears, modulus: f64) -> Result<f64, LawError> {
    let knee = within("strain of the knee", bears.knee, 0.0, 0.2)?;
    let breaks = within("strain at break", bears.breaks, 0.0, 0.2)?;
    let rest = bears.strengths.along_tension - modulus * knee;
    if knee <= 0.0 || breaks <= knee * 1.01 || rest <= 0.0 {
        return Ok(1.0);
    }
    Ok((rest / ((breaks - knee) * modulus)).min(1.0))
}

/// Stiffness along the fibres that is left at first cracking across, over that at small strain.
///
/// s = (ε_k + a (ε - ε_k)) / ε, ε = Y / E2 the strain at which plies across crack, a as [`beyond_knee`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bears` | knee, Y | [-], [Pa] |
/// | `ply` | E1, E2 | [Pa] |
///
/// # Returns
/// s, 1 without a knee [-].
/// # Valid for
/// Stacks whose plies strain alike.
/// # Errors
/// As [`beyond_knee`].
/// # Example
/// ```
/// use bastwork::law::{failure::Strengths, micromechanics::Ply, strand::{Bears, secant}};
/// let strengths = Strengths { along_tension: 282e6, along_compression: 110e6, across_tension: 25e6,
///     across_compression: 80e6, shear: 38e6 };
/// let ply = Ply { modulus_along: 25.1e9, modulus_across: 4.4e9, poisson: 0.3, shear_modulus: 1.7e9 };
/// let flax = Bears { strengths, knee: 0.0017, after: 0.72, breaks: 0.016, kinks: None };
/// assert!((secant(&flax, &ply)? - 0.767).abs() < 2e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Arithmetic on [`beyond_knee`].
pub fn secant(bears: &Bears, ply: &Ply) -> Result<f64, LawError> {
    let strain = bears.strengths.across_tension / ply.modulus_across;
    if bears.knee <= 0.0 || strain <= bears.knee {
        return Ok(1.0);
    }
    let after = beyond_knee(bears, ply.modulus_along)?;
    Ok((bears.knee + after * (strain - bears.knee)) / strain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mat_keeps_its_modulus_in_the_four_directions_that_stand_for_all() {
        // Plane stress turned by hand, no invariants: Q summed over the directions, E = A11 - A12^2 / A22.
        for (along, across, poisson, shear) in [
            (19e9, 4e9, 0.3, 1.6e9),
            (60e9, 5e9, 0.28, 4e9),
            (30e9, 12e9, 0.35, 0.9e9),
        ] {
            let ply = Ply {
                modulus_along: along,
                modulus_across: across,
                poisson,
                shear_modulus: shear,
            };
            let made = straightened(Laid::Random, &ply, 1.0, 7.4e9).unwrap();
            let round =
                1.0 - made.poisson * made.poisson * made.modulus_across / made.modulus_along;
            let (q11, q22) = (made.modulus_along / round, made.modulus_across / round);
            let (q12, q66) = (made.poisson * q22, made.shear_modulus);
            let mut a = [0.0; 3];
            for &(angle, share) in directions(Laid::Random) {
                let (s, c) = f64::sin_cos(angle);
                let (ss, cc) = (s * s, c * c);
                let both = 2.0 * (q12 + 2.0 * q66) * ss * cc;
                a[0] += share * (q11 * cc * cc + q22 * ss * ss + both);
                a[1] += share * (q11 * ss * ss + q22 * cc * cc + both);
                a[2] += share * ((q11 + q22 - 4.0 * q66) * ss * cc + q12 * (ss * ss + cc * cc));
            }
            let modulus = a[0] - a[2] * a[2] / a[1];
            assert!((modulus / 7.4e9 - 1.0).abs() < 1e-9, "{modulus}");
        }
    }
}
