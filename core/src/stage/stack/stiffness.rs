//! Stiffness of the stack in tension and bending, by classical laminate theory.

use super::layers::{Tagged, ingredients, lay};
use super::{STAGE, Stacked};
use crate::law::{LawError, laminate};
use crate::sheet::Spread;
use crate::stage::bench::Bench;

/// Tensile and bending modulus along the part [Pa], by classical laminate theory.
pub(super) fn moduli(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
) -> Result<(Spread, Spread), LawError> {
    let mut likely = None;
    let mut tagged = Tagged::new();
    let [tensile, bending] = Spread::many(&ingredients(stacked), |values| {
        lay(stacked, values, &|_| 1.0, &mut tagged)?;
        let apparent = laminate::apparent(&laminate::stiffness(&tagged.layers)?)?;
        likely.get_or_insert(apparent);
        Ok([apparent.modulus_x, apparent.bending_modulus_x])
    })?;
    if let Some(apparent) = likely {
        if apparent.unsymmetric {
            bench.problem(
                STAGE,
                "The stack is not the same from both faces, so it warps as it cures. Mirror the plies about the middle, or leave it on the mould until it is fully hard and accept some twist.",
            );
        }
        if apparent.unbalanced {
            bench.advice(
                STAGE,
                "Plies at a slant have no mirror image, so the part pulls askew when it is loaded along its length. Lay as many at plus as at minus the angle.",
            );
        }
    }
    Ok((tensile, bending))
}
