//! Whether a stack bears the stated load, and what every stack that does must have.

use super::Found;
use super::asked::Asked;
use super::cloths::Laying;
use super::quick;
use crate::law::LawError;
use crate::law::buckling::with_core;
use crate::law::laminate::{self, Layer};
use crate::law::strand::Strand;
use crate::plan::{LoadCase, Sides};
use crate::search::{Bounds, Candidate, Middle};
use crate::stage::stack::{BUCKLING_LEFT, Bending, CoreBears, Loaded, judge, shears};

/// Share of the reserve asked for below which a rough answer is enough: what little bending turns into twist takes a few
/// tenths of a strain off the middle.
pub(super) const FAR: f64 = 0.6;

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
    if let Some(limit) = asked.limit
        && asked.shapes.surely_sink(stated, &candidate.d)? > limit
    {
        return Ok(false);
    }
    let whole = Whole::of(found, map, candidate);
    let Whole {
        layers,
        worn,
        strands,
        cores,
        ..
    } = &whole;
    let through = shears(layers, cores)?;
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
    let stack = laminate::stiffness(layers)?;
    // The middle alone, about as it bends: most that would break are far from holding, and the whole sheet of what is
    // found has the last word.
    if let Some(moments) = asked.shapes.about_middle(stated, &stack.d)?
        && cores.iter().all(Option::is_none)
        && judge(&Loaded {
            layers,
            worn,
            fibres: strands,
            cores,
            sheared: &through.stress,
            places: &[moments],
            pull: 0.0,
            shear: 0.0,
            heel: None,
        })?
        .ply < FAR * asked.reserve
    {
        return Ok(false);
    }
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
        if let Some(limit) = asked.limit
            && stated.sinks_at_least(&bending)? > limit
        {
            return Ok(false);
        }
        let bent = stated.bend(&bending)?;
        if asked.limit.is_some_and(|limit| bent.deflection > limit) {
            return Ok(false);
        }
        (bent.moments.to_vec(), bent.shear)
    };
    // The same judge as on the sheet.
    let reserves = judge(&Loaded {
        layers,
        worn,
        fibres: strands,
        cores,
        sheared: &through.stress,
        places: &places,
        pull: if edge { stated.edge } else { 0.0 },
        shear,
        heel: stated.heel(),
    })?;
    let least = reserves.ply.min(reserves.core);
    Ok(least.min(reserves.wrinkling).min(reserves.crush) >= asked.reserve)
}

/// A candidate from face to face.
#[derive(Default)]
struct Whole {
    /// Its layers at small strain, and what each core among them bears.
    layers: Vec<Layer>,
    cores: Vec<Option<CoreBears>>,
    /// The same layers with the stiffness that is left at first cracking.
    worn: Vec<Layer>,
    /// Their fibres, direction by direction.
    strands: Vec<Strand>,
    height: f64,
}

impl Whole {
    fn of(found: &Found, map: &[usize], candidate: &Candidate) -> Self {
        let mut whole = Self {
            height: -0.5 * candidate.thickness,
            ..Self::default()
        };
        for &i in &candidate.half {
            whole.lay(&found.layings[map[i]], false);
        }
        match candidate.middle {
            Middle::Plain => {}
            Middle::Ply(i) => whole.lay(&found.layings[map[i]], false),
            Middle::Core(i) => {
                let core = &found.cores[i];
                whole.layers.push(core.layer);
                whole.worn.push(core.layer);
                whole.cores.push(core.bears);
                whole.height += core.layer.thickness;
            }
        }
        for &i in candidate.half.iter().rev() {
            whole.lay(&found.layings[map[i]], true);
        }
        whole
    }

    fn lay(&mut self, laying: &Laying, mirrored: bool) {
        let (from, to) = (self.height, self.height + laying.thickness);
        self.strands.extend(laying.strands.iter().map(|strand| {
            let (below, above) = if mirrored {
                (to - strand.above, to - strand.below)
            } else {
                (from + strand.below, from + strand.above)
            };
            Strand {
                below,
                above,
                ..*strand
            }
        }));
        for (out, layers) in [
            (&mut self.layers, &laying.layers),
            (&mut self.worn, &laying.worn),
        ] {
            if mirrored {
                out.extend(layers.iter().rev());
            } else {
                out.extend(layers);
            }
        }
        self.cores.resize(self.layers.len(), None);
        self.height = to;
    }
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
    let stiff = Bending::solid(&[[d11, 0.0, 0.0], [0.0, d22, 0.0], [0.0, 0.0, d66]]);
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
