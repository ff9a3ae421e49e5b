//! Whether a stack bears the stated load, and what every stack that does must have.

use super::Found;
use super::asked::Asked;
use super::quick;
use crate::law::LawError;
use crate::law::buckling::with_core;
use crate::law::failure::Strengths;
use crate::law::laminate::{self, Layer};
use crate::plan::{LoadCase, Sides};
use crate::search::{Bounds, Candidate, Middle};
use crate::stage::stack::{BUCKLING_LEFT, Bending, CoreBears, Loaded, judge, shears};

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
    if stated.pushes()
        && quick::buckles_at_most(stated, &candidate.d) * BUCKLING_LEFT.likely
            < asked.reserve * stated.edge.abs()
    {
        return Ok(false);
    }
    if asked
        .limit
        .is_some_and(|limit| quick::surely_sinks(stated, &candidate.d) > limit)
    {
        return Ok(false);
    }
    let (layers, strengths, cores) = laid(found, map, candidate);
    let through = shears(&layers, &cores)?;
    // A quick look that knows of the core: what it lets pass is worked out in full.
    if stated.pushes() {
        let most = with_core(
            quick::buckles_at_most(stated, &candidate.d),
            through.skins,
            through.shear,
        )?;
        if most * BUCKLING_LEFT.likely < asked.reserve * stated.edge.abs() {
            return Ok(false);
        }
    }
    let stack = laminate::stiffness(&layers)?;
    let compliance = laminate::compliance(&stack)?;
    let bending = Bending {
        d11: stack.d[0][0],
        d12: stack.d[0][1],
        d22: stack.d[1][1],
        d66: stack.d[2][2],
        d16: stack.d[0][2],
        d26: stack.d[1][2],
        strip: 1.0 / compliance[3][3],
        shear: through.shear,
        skins: through.skins,
    };
    let edge = stated.case == LoadCase::Edge;
    if stated.pushes()
        && stated.buckles(&bending)? * BUCKLING_LEFT.likely < asked.reserve * stated.edge.abs()
    {
        return Ok(false);
    }
    let (places, shear) = if edge {
        (vec![[0.0; 3]], 0.0)
    } else {
        let bent = stated.bend(&bending)?;
        if asked.limit.is_some_and(|limit| bent.deflection > limit) {
            return Ok(false);
        }
        (bent.moments.to_vec(), bent.shear)
    };
    // The same judge as on the sheet.
    let reserves = judge(&Loaded {
        layers: &layers,
        bears: &strengths,
        cores: &cores,
        sheared: &through.stress,
        places: &places,
        pull: if edge { stated.edge } else { 0.0 },
        shear,
        heel: stated.heel(),
    })?;
    let least = reserves.ply.min(reserves.core);
    Ok(least.min(reserves.wrinkling).min(reserves.crush) >= asked.reserve)
}

/// Layers, what each ply bears and what each core bears.
type Laid = (Vec<Layer>, Vec<Option<Strengths>>, Vec<Option<CoreBears>>);

/// Every layer of a candidate with what it bears, from face to face.
fn laid(found: &Found, map: &[usize], candidate: &Candidate) -> Laid {
    let of = |i: usize| {
        let laying = &found.layings[map[i]];
        let bears = Some(laying.strengths);
        laying.layers.iter().map(move |&layer| (layer, bears, None))
    };
    let outer: Vec<_> = candidate.half.iter().flat_map(|&i| of(i)).collect();
    let middle: Vec<_> = match candidate.middle {
        Middle::Plain => Vec::new(),
        Middle::Ply(i) => of(i).collect(),
        Middle::Core(i) => vec![(found.cores[i].layer, None, found.cores[i].bears)],
    };
    let mut all = Laid::default();
    for &(layer, bears, core) in outer.iter().chain(&middle).chain(outer.iter().rev()) {
        all.0.push(layer);
        all.1.push(bears);
        all.2.push(core);
    }
    all
}

/// Bounds that every stack which bears the load keeps anyway; they spare the search most of its questions.
///
/// A strip needs the bending stiffness that its deflection or its push asks for. A panel is thicker than one that was as stiff in
/// every direction as the stiffest of its layers is in any.
pub(super) fn at_least(found: &Found, map: &[usize], asked: &Asked) -> Result<Bounds, LawError> {
    let mut bounds = asked.bounds;
    let Some(stated) = &asked.stated else {
        return Ok(bounds);
    };
    let push = stated.pushes();
    let limit = asked.limit.filter(|_| stated.case != LoadCase::Edge);
    if limit.is_none() && !push {
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
    let stiff = Bending {
        d11,
        d12: 0.0,
        d22,
        d66,
        d16: 0.0,
        d26: 0.0,
        strip: d11,
        shear: f64::INFINITY,
        skins: 1.0,
    };
    let enough = if push {
        let wanted = asked.reserve * stated.edge.abs() / BUCKLING_LEFT.likely;
        0.99 * wanted / stated.buckles(&stiff)?
    } else {
        // A hair less, for what is cut off the series of the plate.
        0.99 * stated.bend(&stiff)?.deflection / limit.unwrap_or(f64::INFINITY)
    };
    if stated.is_panel() || (push && stated.sides == Sides::Held) {
        bounds.least_thickness = bounds.least_thickness.max(enough.cbrt());
    } else {
        bounds.least_bending[0] = bounds.least_bending[0].max(enough * d11);
    }
    Ok(bounds)
}
