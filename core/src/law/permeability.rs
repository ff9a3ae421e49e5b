//! How easily resin runs through cloth, how that changes with fibre fraction, angle and stack.
//!
//! Does not cover swelling of damp fibre, capillary suction or channels along an edge.

use super::{LawError, positive, within};

/// Exponent of the power law in fibre fraction when nothing better is known.
///
/// The local slope of Kozeny and Carman, 2 + 3 V_f / (1 - V_f), runs from 3.3 to 5.0 between V_f 0.30 and 0.50
/// (arithmetic); 4 is the middle and our judgement.
pub const EXPONENT: f64 = 4.0;

/// Permeability in the plane of a sheet, as a tensor in the part's axes [m2].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InPlane {
    /// Along the part's x axis [m2].
    pub xx: f64,
    /// Along the part's y axis [m2].
    pub yy: f64,
    /// Off the diagonal [m2].
    pub xy: f64,
}

/// One layer of a stack, for the average of the stack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlowLayer {
    /// Thickness [m].
    pub thickness: f64,
    /// Permeability in the part's axes [m2].
    pub permeability: InPlane,
}

/// How fibres are packed in Gebart's model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Packing {
    /// On a square grid.
    Square,
    /// On a hexagonal grid.
    Hexagonal,
}

/// Permeability carried from one fibre fraction to another by a power law.
///
/// K = K_ref * (V_f / V_ref)^(-b)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `reference` | K_ref, known permeability | [m2] |
/// | `reference_fraction` | V_ref, fibre fraction it is known at | [-] |
/// | `fibre_fraction` | V_f, fibre fraction wanted | [-] |
/// | `exponent` | b, see [`EXPONENT`] | [-] |
///
/// # Returns
/// Permeability [m2].
/// # Valid for
/// Fibre fractions 0.05 to 0.75, and not far from the reference.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let k = bastwork::law::permeability::at_fraction(4e-11, 0.30, 0.36, 4.0)?;
/// assert!((k - 1.929e-11).abs() < 1e-14);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Power-law form common in the field (from memory); default exponent see [`EXPONENT`].
pub fn at_fraction(
    reference: f64,
    reference_fraction: f64,
    fibre_fraction: f64,
    exponent: f64,
) -> Result<f64, LawError> {
    positive("reference", reference)?;
    within("reference_fraction", reference_fraction, 0.05, 0.75)?;
    within("fibre_fraction", fibre_fraction, 0.05, 0.75)?;
    within("exponent", exponent, 0.0, 12.0)?;
    Ok(reference * (fibre_fraction / reference_fraction).powf(-exponent))
}

/// Permeability of a woven cloth from that of a heavier or lighter one of the same weave.
///
/// K = K_ref * (w / w_ref)^n
///
/// Resin runs between the yarns. At one weave, cover and fibre fraction everything grows with the yarn: the gaps with
/// its diameter d, permeability with the square of the gaps. Threads per length go as 1 / d and yarn mass as d^2, so
/// areal mass goes as d, and permeability as its square: n = 2. Lighter cloth of the same yarn is more open, cloth
/// that is beaten up closer less, so real families scatter about that.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `reference` | K_ref, known permeability | [m2] |
/// | `reference_mass` | w_ref, areal mass of the cloth it is known of | [kg/m2] |
/// | `mass` | w, areal mass of the cloth wanted | [kg/m2] |
/// | `exponent` | n, 2 where only the size of the yarn changes | [-] |
///
/// # Returns
/// Permeability [m2].
/// # Valid for
/// Cloths of one fibre and weave at one fibre fraction, areal masses within a factor of four of the reference.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// // Three fifths of the mass, 0.36 of the permeability.
/// let k = bastwork::law::permeability::at_mass(3e-10, 0.50, 0.30, 2.0)?;
/// assert!((k - 1.08e-10).abs() < 1e-15);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// K in proportion to the square of the fibre or yarn radius: Gebart 1992, J. Compos. Mater. 26:1100 (from memory).
/// That areal mass goes as the diameter of the yarn: geometry of one weave, our judgement for real cloth.
pub fn at_mass(
    reference: f64,
    reference_mass: f64,
    mass: f64,
    exponent: f64,
) -> Result<f64, LawError> {
    positive("reference", reference)?;
    positive("reference_mass", reference_mass)?;
    positive("mass", mass)?;
    within("exponent", exponent, 0.0, 6.0)?;
    Ok(reference * (mass / reference_mass).powf(exponent))
}

/// Permeability of a fibre bed by Kozeny and Carman.
///
/// K = R^2 / (4 k) * (1 - V_f)^3 / V_f^2
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `radius` | R, fibre or bundle radius | [m] |
/// | `constant` | k, about 0.5 to 0.7 along fibres, 11 across | [-] |
/// | `fibre_fraction` | V_f | [-] |
///
/// # Returns
/// Permeability [m2].
/// # Valid for
/// Fibre fractions 0.05 to 0.85; fit the constant to one measured point.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// // Fibre grown by a tenth at fixed thickness (0.35 to 0.385) leaves 0.70 of the permeability.
/// use bastwork::law::permeability::kozeny_carman;
/// let left = kozeny_carman(8e-6, 0.6, 0.385)? / kozeny_carman(8e-6, 0.6, 0.35)?;
/// assert!((left - 0.70).abs() < 5e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Kozeny 1927, Carman 1937, in the form used for fibre beds (constants from memory).
pub fn kozeny_carman(radius: f64, constant: f64, fibre_fraction: f64) -> Result<f64, LawError> {
    within("radius", radius, 1e-7, 1e-2)?;
    positive("constant", constant)?;
    within("fibre_fraction", fibre_fraction, 0.05, 0.85)?;
    let pores = 1.0 - fibre_fraction;
    Ok(radius * radius / (4.0 * constant) * pores.powi(3) / (fibre_fraction * fibre_fraction))
}

/// Permeability along and across parallel fibres.
///
/// K_along = 8 R^2 / c * (1 - V_f)^3 / V_f^2; K_across = C1 * (sqrt(V_max / V_f) - 1)^(5/2) * R^2
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `radius` | R, fibre radius | [m] |
/// | `fibre_fraction` | V_f | [-] |
/// | `packing` | sets c, C1 and V_max: square 57, 16/(9 pi sqrt 2), pi/4; hexagonal 53, 16/(9 pi sqrt 6), pi/(2 sqrt 3) | [-] |
///
/// # Returns
/// Along, then across the fibres [m2].
/// # Valid for
/// Fibre fractions from 0.05 up to the packing's own limit, 0.785 or 0.907.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::permeability::{Packing, gebart};
/// let (along, across) = gebart(8e-6, 0.4, Packing::Square)?;
/// assert!((along - 1.21e-11).abs() < 1e-13 && (across - 2.61e-12).abs() < 1e-14);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Gebart 1992, J. Compos. Mater. 26:1100 (constants from memory).
pub fn gebart(radius: f64, fibre_fraction: f64, packing: Packing) -> Result<(f64, f64), LawError> {
    use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI, SQRT_2};
    let (shape, across, most) = match packing {
        Packing::Square => (57.0, 16.0 / (9.0 * PI * SQRT_2), FRAC_PI_4),
        Packing::Hexagonal => (
            53.0,
            16.0 / (9.0 * PI * 6.0_f64.sqrt()),
            FRAC_PI_2 / 3.0_f64.sqrt(),
        ),
    };
    within("radius", radius, 1e-7, 1e-2)?;
    within("fibre_fraction", fibre_fraction, 0.05, most)?;
    let square = radius * radius;
    let pores = 1.0 - fibre_fraction;
    Ok((
        8.0 * square / shape * pores.powi(3) / (fibre_fraction * fibre_fraction),
        across * ((most / fibre_fraction).sqrt() - 1.0).max(0.0).powf(2.5) * square,
    ))
}

/// Permeability of a cloth laid at an angle, in the part's axes.
///
/// K_xx = K1 cos^2 + K2 sin^2, K_yy = K1 sin^2 + K2 cos^2, K_xy = (K1 - K2) sin cos
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `along` | K1, along the cloth's warp | [m2] |
/// | `across` | K2, across it | [m2] |
/// | `angle` | from the part's x axis to the warp | [rad] |
///
/// # Returns
/// The tensor in the part's axes [m2].
/// # Valid for
/// Any angle; orthotropic cloth.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let k = bastwork::law::permeability::turned(4e-11, 1e-11, std::f64::consts::FRAC_PI_4)?;
/// assert!((k.xx - 2.5e-11).abs() < 1e-22 && (k.xy - 1.5e-11).abs() < 1e-22);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Rotation of a symmetric second-order tensor, textbook.
pub fn turned(along: f64, across: f64, angle: f64) -> Result<InPlane, LawError> {
    positive("along", along)?;
    positive("across", across)?;
    within("angle", angle, -100.0, 100.0)?;
    let (s, c) = crate::solve::sin_cos(angle);
    Ok(InPlane {
        xx: along * c * c + across * s * s,
        yy: along * s * s + across * c * c,
        xy: (along - across) * s * c,
    })
}

/// Permeability of a stitched cloth of two layers, one turned 45 degrees to each side.
///
/// K = (K(angle + 45) + K(angle - 45)) / 2: K_xx = K_yy = (K1 + K2) / 2, K_xy = 0 at any angle
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `along` | K1, along the fibres of one layer | [m2] |
/// | `across` | K2, across them | [m2] |
/// | `angle` | from the part's x axis to the cloth's length | [rad] |
///
/// # Returns
/// The tensor in the part's axes [m2].
/// # Valid for
/// Two layers alike, so thin that they fill together.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let k = bastwork::law::permeability::biaxial(4e-11, 1e-11, 0.0)?;
/// assert!((k.xx - 2.5e-11).abs() < 1e-22 && (k.yy - 2.5e-11).abs() < 1e-22 && k.xy.abs() < 1e-26);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Parallel flow in two layers, each turned as [`turned`], textbook.
pub fn biaxial(along: f64, across: f64, angle: f64) -> Result<InPlane, LawError> {
    let side = |turn: f64| {
        Ok(FlowLayer {
            thickness: 1.0,
            permeability: turned(along, across, angle + turn)?,
        })
    };
    let turn = std::f64::consts::FRAC_PI_4;
    of_stack(&[side(turn)?, side(-turn)?])
}

/// Permeability of a whole stack in its plane.
///
/// K = sum(h_i K_i) / sum(h_i), each K_i already turned into the part's axes
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `layers` | thickness h_i and permeability K_i of each layer | [m], [m2] |
///
/// # Returns
/// The tensor of the stack [m2].
/// # Valid for
/// Layers that fill together: flow between layers quick against flow along them.
/// # Errors
/// [`LawError::OutOfRange`] when there is no layer or a thickness is not above zero.
/// # Example
/// ```
/// use bastwork::law::permeability::{FlowLayer, of_stack, turned};
/// let layer = |angle| -> Result<_, bastwork::law::LawError> {
///     Ok(FlowLayer { thickness: 1e-3, permeability: turned(4e-11, 1e-11, angle)? })
/// };
/// let k = of_stack(&[layer(0.0)?, layer(std::f64::consts::FRAC_PI_2)?])?;
/// assert!((k.xx - 2.5e-11).abs() < 1e-22 && (k.yy - 2.5e-11).abs() < 1e-22);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Parallel flow in layers, textbook; Advani and Sozer, Process Modeling in Composites Manufacturing (from memory).
pub fn of_stack(layers: &[FlowLayer]) -> Result<InPlane, LawError> {
    let mut sum = InPlane {
        xx: 0.0,
        yy: 0.0,
        xy: 0.0,
    };
    let mut thickness = 0.0;
    for layer in layers {
        let h = positive("thickness", layer.thickness)?;
        thickness += h;
        sum.xx += h * layer.permeability.xx;
        sum.yy += h * layer.permeability.yy;
        sum.xy += h * layer.permeability.xy;
    }
    positive("thickness", thickness)?;
    Ok(InPlane {
        xx: sum.xx / thickness,
        yy: sum.yy / thickness,
        xy: sum.xy / thickness,
    })
}

/// Permeability from your own strip test.
///
/// K = m * mu * phi / (2 * dp), with m the slope of front distance squared against time
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `slope` | m, L^2 / t of the strip | [m2/s] |
/// | `viscosity` | mu during the test | [Pa s] |
/// | `porosity` | phi = 1 - V_f | [-] |
/// | `pressure` | dp, ambient less bag | [Pa] |
///
/// # Returns
/// Unsaturated permeability along the strip, bag compaction and suction absorbed in it [m2].
/// # Valid for
/// A strip without mesh, fed along one edge, resin not yet thickening.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let k = bastwork::law::permeability::from_strip_test(0.25 / 9027.78, 0.3, 0.65, 9e4)?;
/// assert!((k - 3e-11).abs() < 1e-16);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The one-dimensional Darcy law turned round, textbook.
pub fn from_strip_test(
    slope: f64,
    viscosity: f64,
    porosity: f64,
    pressure: f64,
) -> Result<f64, LawError> {
    positive("slope", slope)?;
    positive("viscosity", viscosity)?;
    within("porosity", porosity, 0.05, 0.99)?;
    within("pressure", pressure, 1.0, 2e6)?;
    Ok(slope * viscosity * porosity / (2.0 * pressure))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gebart_table_to_three_figures() {
        // Gebart 1992 formulas evaluated apart from this code (arithmetic check), R = 8 um.
        let table = [
            (0.3, 3.42e-11, 7.69e-12, 6.93e-12),
            (0.4, 1.21e-11, 2.61e-12, 2.69e-12),
            (0.5, 4.49e-12, 8.27e-13, 1.05e-12),
            (0.6, 1.60e-12, 2.02e-13, 3.73e-13),
        ];
        for (fraction, along, square, hexagonal) in table {
            let (a, s) = gebart(8e-6, fraction, Packing::Square).unwrap();
            let (_, h) = gebart(8e-6, fraction, Packing::Hexagonal).unwrap();
            assert!((a / along - 1.0).abs() < 4e-3, "{a}");
            assert!((s / square - 1.0).abs() < 4e-3, "{s}");
            assert!((h / hexagonal - 1.0).abs() < 4e-3, "{h}");
        }
        assert!(gebart(8e-6, 0.79, Packing::Square).is_err());
    }

    #[test]
    fn swelling_cuts_permeability_as_the_pore_space_does() {
        // Arithmetic check of (1-V)^3/V^2 at V 0.35 grown by 5, 10 and 20 %.
        let k = |fraction| kozeny_carman(2e-5, 0.6, fraction).unwrap();
        for (growth, left) in [(1.05, 0.84), (1.10, 0.70), (1.20, 0.49)] {
            assert!((k(0.35 * growth) / k(0.35) - left).abs() < 5.5e-3);
        }
    }

    #[test]
    fn the_default_exponent_is_the_local_slope_at_forty_percent() {
        let k = |fraction| kozeny_carman(1e-5, 0.6, fraction).unwrap();
        let slope = -(k(0.4004) / k(0.3996)).ln() / (0.4004_f64 / 0.3996).ln();
        assert!((slope - EXPONENT).abs() < 1e-4, "{slope}");
    }

    #[test]
    fn turning_keeps_trace_and_determinant() {
        for angle in [0.0, 0.3, 1.1, -2.0] {
            let k = turned(4e-11, 1e-11, angle).unwrap();
            assert!(((k.xx + k.yy) / 5e-11 - 1.0).abs() < 1e-12);
            assert!(((k.xx * k.yy - k.xy * k.xy) / 4e-22 - 1.0).abs() < 1e-12);
        }
        assert!(turned(4e-11, 1e-11, 0.4).unwrap().xy > 0.0);
    }

    #[test]
    fn a_balanced_cloth_has_no_favourite_diagonal() {
        for angle in [0.0, 0.4, -1.3, std::f64::consts::FRAC_PI_4] {
            let k = biaxial(4e-11, 1e-11, angle).unwrap();
            assert!((k.xx / 2.5e-11 - 1.0).abs() < 1e-12 && (k.yy / 2.5e-11 - 1.0).abs() < 1e-12);
            assert!(k.xy.abs() < 1e-24, "{}", k.xy);
        }
    }

    #[test]
    fn a_mesh_rules_the_stack_by_its_share_of_thickness() {
        let flat = |k: f64| turned(k, k, 0.0).unwrap();
        let k = of_stack(&[
            FlowLayer {
                thickness: 1e-3,
                permeability: flat(2e-9),
            },
            FlowLayer {
                thickness: 4e-3,
                permeability: flat(3e-11),
            },
        ])
        .unwrap();
        assert!((k.xx - 4.24e-10).abs() < 1e-20);
        assert!(of_stack(&[]).is_err());
    }
}
