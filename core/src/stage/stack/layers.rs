//! The stack as laminate theory sees it: one list of layers for every draw.

use super::{Laid, POISSON, Stacked};
use crate::law::LawError;
use crate::law::laminate::{self, Layer};
use crate::law::micromechanics::Ply;
use crate::sheet::Spread;
use crate::shelf::Architecture;

/// What the layers are made from, row by row; [`lay`] reads one draw of it back in the same order.
pub(super) fn ingredients(stacked: &Stacked) -> Vec<&Spread> {
    let mut parts: Vec<&Spread> = Vec::new();
    for row in &stacked.rows {
        parts.extend([&row.thickness, &row.modulus]);
        if let Some(cloth) = &row.cloth {
            parts.extend(&cloth.ply);
            parts.push(&cloth.crimp);
        }
    }
    parts
}

/// One layer and the row of the stack it belongs to.
pub(super) struct Tagged {
    pub(super) layers: Vec<Layer>,
    pub(super) rows: Vec<usize>,
}

impl Tagged {
    pub(super) fn new() -> Self {
        Self {
            layers: Vec::new(),
            rows: Vec::new(),
        }
    }
}

/// Rebuilds the layers from one draw of the ingredients. `soften` multiplies the stiffness along the fibres of a
/// row: 1 at small strain, less beyond a knee.
pub(super) fn lay(
    stacked: &Stacked,
    values: &[f64],
    soften: &dyn Fn(usize) -> f64,
    out: &mut Tagged,
) -> Result<(), LawError> {
    out.layers.clear();
    out.rows.clear();
    let mut values = values.iter().copied();
    let mut next = || values.next().unwrap_or(0.0);
    for (i, row) in stacked.rows.iter().enumerate() {
        let (t, isotropic) = (next(), next());
        let architecture = row.cloth.as_ref().map(|cloth| cloth.architecture);
        let keep = soften(i);
        let ply = row.cloth.as_ref().map(|_| {
            let (along, across, shear, crimp) = (next(), next(), next(), next());
            // A draw may lie beyond what a cloth can do: no crimp makes it stiffer.
            let crimp = crimp.clamp(0.1, 1.0);
            let ply = Ply {
                modulus_along: along * keep,
                modulus_across: across,
                poisson: POISSON.0,
                shear_modulus: shear,
            };
            (ply, crimp)
        });
        push(
            &mut out.layers,
            (row.angle_deg, row.count),
            architecture,
            t,
            isotropic * keep,
            ply,
        )?;
        out.rows.resize(out.layers.len(), i);
    }
    Ok(())
}

/// The layers of one ply of a row laid at any angle, with everything likely and a share of the stiffness along its
/// fibres left.
pub(crate) fn likely_layers(row: &Laid, angle_deg: f64, keep: f64) -> Result<Vec<Layer>, LawError> {
    let architecture = row.cloth.as_ref().map(|cloth| cloth.architecture);
    let ply = row.cloth.as_ref().map(|cloth| {
        let [along, across, shear] = cloth.ply.each_ref().map(Spread::likely);
        let ply = Ply {
            modulus_along: along * keep,
            modulus_across: across,
            poisson: POISSON.0,
            shear_modulus: shear,
        };
        (ply, cloth.crimp.likely().clamp(0.1, 1.0))
    });
    let mut layers = Vec::new();
    let (t, modulus) = (row.thickness.likely(), row.modulus.likely() * keep);
    push(&mut layers, (angle_deg, 1), architecture, t, modulus, ply)?;
    Ok(layers)
}

/// Layers of one row for laminate theory.
fn push(
    layers: &mut Vec<Layer>,
    (angle_deg, count): (f64, u32),
    architecture: Option<Architecture>,
    thickness: f64,
    isotropic: f64,
    ply: Option<(Ply, f64)>,
) -> Result<(), LawError> {
    let angle = angle_deg.to_radians();
    let whole = thickness * f64::from(count);
    match (architecture, ply) {
        (Some(Architecture::Biaxial), Some((ply, crimp))) => {
            // Two straight layers at plus and minus 45 degrees to the roll.
            let ply = softened(ply, crimp);
            for _ in 0..count {
                for turn in [45.0_f64, -45.0] {
                    layers.push(Layer {
                        ply,
                        angle: angle + turn.to_radians(),
                        thickness: thickness / 2.0,
                    });
                }
            }
        }
        (Some(Architecture::Twill | Architecture::Plain), Some((ply, crimp))) => {
            layers.push(Layer {
                ply: laminate::woven_ply(&ply, 0.5, crimp)?,
                angle,
                thickness: whole,
            });
        }
        (Some(Architecture::Unidirectional), Some((ply, crimp))) => layers.push(Layer {
            ply: softened(ply, crimp),
            angle,
            thickness: whole,
        }),
        _ => layers.push(Layer {
            ply: same_all_round(isotropic),
            angle,
            thickness: whole,
        }),
    }
    Ok(())
}

/// A mat or a core: the same in every direction of its plane.
fn same_all_round(modulus: f64) -> Ply {
    Ply {
        modulus_along: modulus,
        modulus_across: modulus,
        poisson: POISSON.0,
        shear_modulus: modulus / (2.0 * (1.0 + POISSON.0)),
    }
}

fn softened(ply: Ply, crimp: f64) -> Ply {
    Ply {
        modulus_along: ply.modulus_along * crimp,
        ..ply
    }
}
