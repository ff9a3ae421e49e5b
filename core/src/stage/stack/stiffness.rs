//! Stiffness of the stack in tension and bending, by classical laminate theory.

use super::{Laid, POISSON, STAGE, Stacked};
use crate::law::micromechanics::Ply;
use crate::law::{LawError, laminate};
use crate::sheet::Spread;
use crate::shelf::Architecture;
use crate::stage::bench::Bench;

/// Tensile and bending modulus along the part [Pa], by classical laminate theory.
pub(super) fn moduli(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
) -> Result<(Spread, Spread), LawError> {
    let mut parts: Vec<&Spread> = Vec::new();
    for row in &stacked.rows {
        parts.extend([&row.thickness, &row.modulus]);
        if let Some(cloth) = &row.cloth {
            parts.extend(&cloth.ply);
            parts.push(&cloth.crimp);
        }
    }
    let mut unsymmetric = false;
    let mut first = true;
    let mut layers = Vec::new();
    let [tensile, bending] = Spread::many(&parts, |values| {
        layers.clear();
        let mut values = values.iter().copied();
        let mut next = || values.next().unwrap_or(0.0);
        for row in &stacked.rows {
            let (t, isotropic) = (next(), next());
            let architecture = row.cloth.as_ref().map(|cloth| cloth.architecture);
            let ply = if row.cloth.is_some() {
                let (along, across, shear, crimp) = (next(), next(), next(), next());
                // A draw may lie beyond what a cloth can do: no crimp makes it stiffer.
                let crimp = crimp.clamp(0.1, 1.0);
                Some((
                    Ply {
                        modulus_along: along,
                        modulus_across: across,
                        poisson: POISSON.0,
                        shear_modulus: shear,
                    },
                    crimp,
                ))
            } else {
                None
            };
            push_layers(&mut layers, row, architecture, t, isotropic, ply)?;
        }
        let apparent = laminate::apparent(&laminate::stiffness(&layers)?)?;
        if std::mem::take(&mut first) {
            unsymmetric = apparent.unsymmetric;
        }
        Ok([apparent.modulus_x, apparent.bending_modulus_x])
    })?;
    if unsymmetric {
        bench.problem(
            STAGE,
            "The stack is not the same from both faces, so it warps as it cures. Mirror the plies about the middle, or leave it on the mould until it is fully hard and accept some twist.",
        );
    }
    Ok((tensile, bending))
}

/// Layers of one row for laminate theory.
pub(super) fn push_layers(
    layers: &mut Vec<laminate::Layer>,
    row: &Laid,
    architecture: Option<Architecture>,
    thickness: f64,
    isotropic: f64,
    ply: Option<(Ply, f64)>,
) -> Result<(), LawError> {
    let angle = row.angle_deg.to_radians();
    let count = f64::from(row.count);
    let same_all_round = Ply {
        modulus_along: isotropic,
        modulus_across: isotropic,
        poisson: POISSON.0,
        shear_modulus: isotropic / (2.0 * (1.0 + POISSON.0)),
    };
    match (architecture, ply) {
        (Some(Architecture::Biaxial), Some((ply, crimp))) => {
            // Two straight layers at plus and minus 45 degrees to the roll.
            let ply = softened(ply, crimp);
            for _ in 0..row.count {
                for turn in [45.0_f64, -45.0] {
                    layers.push(laminate::Layer {
                        ply,
                        angle: angle + turn.to_radians(),
                        thickness: thickness / 2.0,
                    });
                }
            }
        }
        (Some(Architecture::Twill | Architecture::Plain), Some((ply, crimp))) => {
            layers.push(laminate::Layer {
                ply: laminate::woven_ply(&ply, 0.5, crimp)?,
                angle,
                thickness: thickness * count,
            });
        }
        (Some(Architecture::Unidirectional), Some((ply, crimp))) => {
            layers.push(laminate::Layer {
                ply: softened(ply, crimp),
                angle,
                thickness: thickness * count,
            });
        }
        _ => layers.push(laminate::Layer {
            ply: same_all_round,
            angle,
            thickness: thickness * count,
        }),
    }
    Ok(())
}

pub(super) fn softened(ply: Ply, crimp: f64) -> Ply {
    Ply {
        modulus_along: ply.modulus_along * crimp,
        ..ply
    }
}
