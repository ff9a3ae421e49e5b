//! Whether a stack bears the stated load, and what every stack that does must have.

use super::Found;
use super::asked::Asked;
use super::quick;
use crate::law::failure::{Strengths, tsai_hill};
use crate::law::laminate::{self, Layer};
use crate::law::{LawError, sandwich};
use crate::plan::LoadCase;
use crate::search::{Bounds, Candidate, Middle};
use crate::stage::stack::Bending;

/// Whether a stack bears the stated load and gives no more than allowed, with everything likely.
pub(super) fn bears(
    found: &Found,
    map: &[usize],
    asked: &Asked,
    candidate: &Candidate,
) -> Result<bool, LawError> {
    // The bounds of the search hold a plate; what is shown, and asked for, is a strip that may curl across.
    if asked.strip > 0.0 && laminate::strip_bending(&candidate.d)? < asked.strip {
        return Ok(false);
    }
    let Some(stated) = &asked.stated else {
        return Ok(true);
    };
    if asked
        .limit
        .is_some_and(|limit| quick::surely_sinks(stated, &candidate.d) > limit)
    {
        return Ok(false);
    }
    let (layers, strengths) = laid(found, map, candidate);
    let stack = laminate::stiffness(&layers)?;
    let compliance = laminate::compliance(&stack)?;
    let core = match candidate.middle {
        Middle::Core(i) => found.cores.get(i),
        Middle::Plain | Middle::Ply(_) => None,
    };
    let c = core.map_or(0.0, |core| core.core.layer.thickness);
    let between = (0.5 * (candidate.thickness + c)).clamp(c, (3.0 * c).max(c + 1e-9));
    let shear = match core.and_then(|core| core.shear) {
        Some((modulus, _)) => sandwich::shear_stiffness(modulus, c, between)?,
        None => f64::INFINITY,
    };
    let (places, pull, across) = if stated.case == LoadCase::Edge {
        (vec![[0.0; 3]], stated.edge, 0.0)
    } else {
        let bent = stated.bend(&Bending {
            d11: stack.d[0][0],
            d12: stack.d[0][1],
            d22: stack.d[1][1],
            d66: stack.d[2][2],
            strip: 1.0 / compliance[3][3],
            shear,
        })?;
        if asked.limit.is_some_and(|limit| bent.deflection > limit) {
            return Ok(false);
        }
        (bent.moments.to_vec(), 0.0, bent.shear)
    };
    if let Some(core) = core.filter(|_| stated.case != LoadCase::Edge) {
        let face = 0.5 * (candidate.thickness - c);
        if let Some((modulus, strength)) = core.shear {
            let along = 1.0 / (compliance[0][0] * 2.0 * face);
            let wrinkles = sandwich::wrinkling_stress(along, core.through, modulus)?;
            let steepest = places
                .iter()
                .fold(0.0_f64, |most, m| most.max(m[0].abs()).max(m[1].abs()));
            let pressed = steepest / (between * face);
            let sheared = sandwich::core_shear_stress(across, between)?.abs();
            if sheared * asked.reserve > strength || pressed * asked.reserve > wrinkles {
                return Ok(false);
            }
        }
    }
    for m in places {
        for turn in [1.0, -1.0] {
            let forces = [pull, 0.0, 0.0, m[0], m[1], turn * m[2]];
            let strains = laminate::strains(&compliance, &forces);
            for (stresses, bears) in laminate::ply_stresses(&layers, &strains)?
                .iter()
                .zip(&strengths)
            {
                let Some(bears) = bears else { continue };
                for stress in stresses {
                    if tsai_hill(bears, stress)? < asked.reserve {
                        return Ok(false);
                    }
                }
            }
        }
    }
    Ok(true)
}

/// Every layer of a candidate with what it bears, from face to face; a core bears by its shear alone.
fn laid(
    found: &Found,
    map: &[usize],
    candidate: &Candidate,
) -> (Vec<Layer>, Vec<Option<Strengths>>) {
    let of = |i: usize| {
        let laying = &found.layings[map[i]];
        let bears = Some(laying.strengths);
        laying.layers.iter().map(move |&layer| (layer, bears))
    };
    let outer: Vec<_> = candidate.half.iter().flat_map(|&i| of(i)).collect();
    let middle: Vec<_> = match candidate.middle {
        Middle::Plain => Vec::new(),
        Middle::Ply(i) => of(i).collect(),
        Middle::Core(i) => vec![(found.cores[i].layer, None)],
    };
    outer
        .iter()
        .chain(&middle)
        .chain(outer.iter().rev())
        .copied()
        .unzip()
}

/// Bounds that every stack which bears the load keeps anyway; they spare the search most of its questions.
///
/// A strip needs the bending stiffness that its deflection asks for. A panel is thicker than one that was as stiff in
/// every direction as the stiffest of its layers is in any.
pub(super) fn at_least(found: &Found, map: &[usize], asked: &Asked) -> Result<Bounds, LawError> {
    let mut bounds = asked.bounds;
    let (Some(stated), Some(limit)) = (&asked.stated, asked.limit) else {
        return Ok(bounds);
    };
    if stated.case == LoadCase::Edge {
        return Ok(bounds);
    }
    let layers = map.iter().flat_map(|&i| &found.layings[i].choice.layers);
    let cores = found.cores.iter().map(|core| &core.core.layer);
    let mut stiffest = [0.0_f64; 3];
    for layer in layers.chain(cores) {
        let q = &layer.stiffness;
        // Coupling of the two bendings helps by no more than it adds to each.
        let most = [q[0][0] + q[0][1].abs(), q[1][1] + q[0][1].abs(), q[2][2]];
        stiffest = std::array::from_fn(|i| stiffest[i].max(most[i]));
    }
    let [d11, d22, d66] = stiffest.map(|q| q / 12.0);
    let bent = stated.bend(&Bending {
        d11,
        d12: 0.0,
        d22,
        d66,
        strip: d11,
        shear: f64::INFINITY,
    })?;
    // A hair less, for what is cut off the series of the plate.
    let enough = 0.99 * bent.deflection / limit;
    if stated.is_panel() {
        bounds.least_thickness = bounds.least_thickness.max(enough.cbrt());
    } else {
        bounds.least_bending[0] = bounds.least_bending[0].max(enough * d11);
    }
    Ok(bounds)
}
