//! What a stated load does to the part: how far it gives, and how far it is from first damage.

mod core;
mod stated;
mod told;

pub(crate) use self::core::{CoreShear, core_shear};
pub(crate) use stated::{Bending, Stated};
use told::{Found, told};

use super::Stacked;
use super::deepen::Tested;
use crate::law::failure;
use crate::law::{LawError, laminate, sandwich};
use crate::plan::LoadCase;
use crate::sheet::{LoadSheet, Spread};
use crate::stage::bench::Bench;

/// Works the stated load out.
pub(super) fn load(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    tested: &Tested,
    core: &CoreShear,
) -> Result<Option<LoadSheet>, LawError> {
    let Some(stated) = Stated::of(bench) else {
        return Ok(None);
    };
    let edge = stated.case == LoadCase::Edge;
    let (deflection, moments, shear) = if edge {
        let none = Spread::exact(0.0);
        (None, vec![none.clone(); 18], none)
    } else {
        let d = &tested.bending;
        let inputs = [&d[0], &d[1], &d[2], &d[3], &d[6], &core.softness];
        let [w, s, m @ ..]: [Spread; 20] =
            Spread::heavy(inputs, |[d11, d12, d22, d66, strip, softness]| {
                let bent = stated.bend(&Bending {
                    d11,
                    d12,
                    d22,
                    d66,
                    strip,
                    shear: 1.0 / softness.max(0.0),
                })?;
                let mut out = [0.0; 20];
                out[0] = bent.deflection;
                out[1] = bent.shear;
                for (slot, moment) in out[2..].iter_mut().zip(bent.moments.iter().flatten()) {
                    *slot = *moment;
                }
                Ok(out)
            })?;
        (Some(w), m.to_vec(), s)
    };
    // First damage and strain, draw by draw.
    let mut parts: Vec<&Spread> = tested.parts(stacked);
    let layers_end = parts.len();
    parts.extend(&moments);
    let mut weakest = None;
    let mut tagged = super::layers::Tagged::new();
    let [reserve, strain, steepest] = Spread::many(&parts, |values| {
        super::layers::lay(stacked, values, &|_| 1.0, &mut tagged)?;
        let stack = laminate::stiffness(&tagged.layers)?;
        let compliance = laminate::compliance(&stack)?;
        let bears = tested.bears(stacked, values);
        let mut least = f64::INFINITY;
        let (mut largest, mut steepest) = (0.0_f64, 0.0_f64);
        for (place, moment) in values[layers_end..].chunks_exact(3).enumerate() {
            // A corner twists one way or the other; a moment of nothing damages nothing.
            if moment.iter().all(|m| m.abs() < 1e-12) && !(edge && place == 0) {
                continue;
            }
            steepest = steepest.max(moment[0].abs()).max(moment[1].abs());
            let pull = if edge { stated.edge } else { 0.0 };
            for turn in [1.0, -1.0] {
                let forces = [pull, 0.0, 0.0, moment[0], moment[1], turn * moment[2]];
                let strains = laminate::strains(&compliance, &forces);
                for side in [0.5, -0.5] {
                    let at = strains[0] + side * stack.thickness * strains[3];
                    largest = largest.max(at.abs());
                }
                let stresses = laminate::ply_stresses(&tagged.layers, &strains)?;
                for (both, &row) in stresses.iter().zip(&tagged.rows) {
                    let Some(Some(strengths)) = bears.get(row) else {
                        continue;
                    };
                    for stress in both {
                        let factor = failure::tsai_hill(strengths, stress)?;
                        if factor < least {
                            least = factor;
                            if weakest.is_none_or(|(_, _, _, likely)| likely) {
                                let mode = failure::maximum_stress(strengths, stress)?.1;
                                weakest = Some((place, row, mode, true));
                            }
                        }
                    }
                }
                if moment[2].abs() < 1e-12 {
                    break;
                }
            }
        }
        // Only the first pass, with everything likely, names the weakest place.
        if let Some(found) = &mut weakest {
            found.3 = false;
        }
        Ok([least.min(1e6), largest, steepest])
    })?;
    let core_reserve = match (&core.strength, edge) {
        (Some((strength, _)), false) => Some(Spread::of(
            [strength, &shear, &core.between],
            |[strength, shear, between]| {
                let stress = sandwich::core_shear_stress(shear, between)?;
                Ok((strength / stress.abs().max(1e-3)).min(1e6))
            },
        )?),
        _ => None,
    };
    let wrinkling = match (&core.moduli, edge) {
        (Some((through, shear_modulus)), false) => Some(Spread::of(
            [
                &tested.along,
                &stacked.thickness,
                through,
                shear_modulus,
                &steepest,
                &core.between,
                &core.face,
            ],
            |[
                along,
                whole,
                core_modulus,
                core_shear,
                moment,
                between,
                face,
            ]| {
                // What the core adds to the stiffness along is left to the faces; it is next to nothing.
                let modulus = along * whole / (2.0 * face).max(1e-6);
                let wrinkles = sandwich::wrinkling_stress(modulus, core_modulus, core_shear)?;
                let stress = moment / (between * face).max(1e-9);
                Ok((wrinkles / stress.max(1e-3)).min(1e6))
            },
        )?),
        _ => None,
    };
    let weak = weakest.map(|(place, row, mode, _)| (place, row, mode));
    Ok(Some(told(
        bench,
        stacked,
        tested,
        &stated,
        Found {
            deflection,
            reserve,
            strain,
            core_reserve,
            wrinkling,
            weak,
        },
    )))
}
