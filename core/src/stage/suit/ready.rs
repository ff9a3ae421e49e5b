//! One cloth ready to be laid in any number, and how much of it a job takes.

use super::build::Job;
use crate::law::micromechanics::Ply;
use crate::law::section::{self, Grows, Section};
use crate::law::{LawError, laminate};
use crate::plan::{Equal, Row};
use crate::sheet::Spread;
use crate::shelf::{Fabric, Family};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::{
    Bending, Deep, Given, Laid, POISSON, lay_cloth, qualities, resin_density,
};

/// One cloth, ready to be laid in any number.
pub(super) struct Ready {
    pub(super) laid: Laid,
    /// Along the part: modulus [Pa], stress at first damage pulled, and in bending [Pa], loss factor [-].
    pub(super) modulus: Spread,
    pub(super) pull: Spread,
    pub(super) strength: Spread,
    pub(super) loss: Spread,
    /// For a panel: the ply as laminate theory sees it, with everything likely.
    pub(super) ply: Ply,
}

pub(super) fn row_of(bench: &Bench<'_>, key: &str) -> Result<Row, LawError> {
    let fabric = bench.shelf.fabric(key).cloned();
    Ok(Row {
        fabric: fabric.ok_or(LawError::Unsolved {
            what: "a cloth of the shelf",
        })?,
        count: 1,
        angle_deg: 0.0,
    })
}

pub(super) fn ready(
    bench: &mut Bench<'_>,
    air: &Air,
    key: &str,
    deep: &Deep,
) -> Result<Ready, LawError> {
    let row = row_of(bench, key)?;
    let Fabric::Cloth(cloth) = &row.fabric else {
        return Err(LawError::Unsolved { what: "a cloth" });
    };
    let density = resin_density(bench);
    let given = Given {
        air,
        resin_density: &density,
        squeeze: None,
        missing: None,
    };
    let laid = lay_cloth(bench, 0, &row, cloth, &given)?;
    let Some(held) = &laid.cloth else {
        return Err(LawError::Unsolved { what: "a cloth" });
    };
    let qualities = qualities(bench, held, &deep.resin)?;
    let woven = held.architecture.is_woven();
    let as_laid = |along: f64, across: f64, shear: f64, crimp: f64| {
        let crimp = crimp.clamp(0.1, 1.0);
        let ply = Ply {
            modulus_along: along,
            modulus_across: across,
            poisson: POISSON.0,
            shear_modulus: shear,
        };
        if woven {
            laminate::woven_ply(&ply, 0.5, crimp)
        } else {
            Ok(Ply {
                modulus_along: along * crimp,
                ..ply
            })
        }
    };
    let [along, across, shear] = &held.ply;
    let [pull, push, ..] = &qualities.strengths;
    let parts = [along, across, shear, &held.crimp, pull, push];
    let mut likely = None;
    let [modulus, pulled, strength] = Spread::several(parts, |[e1, e2, g, crimp, xt, xc]| {
        let ply = as_laid(e1, e2, g, crimp)?;
        likely.get_or_insert(ply);
        Ok([ply.modulus_along, xt, xt.min(xc)])
    })?;
    // Bent along its fibres, a ply holds its energy there alone.
    let [loss, ..] = qualities.losses;
    let ply = likely.ok_or(LawError::Unsolved { what: "a ply" })?;
    Ok(Ready {
        laid,
        pull: pulled,
        modulus,
        strength,
        loss,
        ply,
    })
}

pub(super) fn family_of(bench: &Bench<'_>, ready: &Ready) -> Family {
    let fibre = bench.shelf.fibre(fibre_of(ready));
    fibre.map_or(Family::Bast, |fibre| fibre.family)
}

pub(super) fn fibre_of(ready: &Ready) -> &str {
    ready.laid.cloth.as_ref().map_or("", |cloth| &cloth.fibre)
}

/// Thickness of the cloth that grows, then stiffness, moment, loss factor and thickness of the whole.
pub(super) fn sized(
    job: &Job,
    main: &Ready,
    faces: Option<&Ready>,
    core: Option<(&Laid, &Spread)>,
) -> Result<[Spread; 5], LawError> {
    let none = Spread::exact(0.0);
    let one = Spread::exact(1.0);
    // What stays: the faces of another cloth, or the core.
    let (other_e, other_t, other_x, other_loss) = match (faces, core) {
        (Some(faces), _) => (
            &faces.modulus,
            &faces.laid.thickness,
            &faces.strength,
            &faces.loss,
        ),
        (None, Some((core, loss))) => (core.modulus(), &core.thickness, &one, loss),
        (None, None) => (&one, &none, &one, &one),
    };
    let on_core = faces.is_none() && core.is_some();
    let lone = faces.is_none() && core.is_none();
    let factor = give_factor(job, main)?;
    let inputs = [
        &main.modulus,
        &main.strength,
        &main.loss,
        other_e,
        other_t,
        other_x,
        other_loss,
        &job.stiffness,
        &job.moment,
    ];
    Spread::several(
        inputs,
        |[e, x, loss, e2, t2, x2, loss2, stiffness, moment]| {
            let start = if on_core {
                Section {
                    inner_modulus: e2,
                    inner: t2,
                    face_modulus: e,
                    face: 0.0,
                }
            } else {
                Section {
                    inner_modulus: e,
                    inner: 0.0,
                    face_modulus: if t2 > 0.0 { e2 } else { e },
                    face: t2,
                }
            };
            let grows = if on_core { Grows::Faces } else { Grows::Inner };
            let (inner_x, face_x) = if on_core {
                (1e12, x)
            } else {
                (x, if t2 > 0.0 { x2 } else { x })
            };
            let bears = |s: &Section| section::damage_moment(s, inner_x, face_x);
            let target = stiffness * factor;
            let alone = |inner: f64| Section { inner, ..start };
            let found = match (job.equal, lone) {
                (Equal::Strength, true) => alone(section::thickness_for_moment(x, moment)?),
                (_, true) => alone(section::thickness_for_stiffness(e, target)?),
                (Equal::Strength, false) => section::grown(&start, grows, moment, &bears)?,
                (_, false) => section::grown(&start, grows, target, &section::bending_stiffness)?,
            };
            let d = section::bending_stiffness(&found)?;
            let grown = if on_core {
                2.0 * found.face
            } else {
                found.inner
            };
            // The share of the bending energy that each material holds is its share of the stiffness.
            let inner = found.inner_modulus * found.inner.powi(3) / 12.0;
            let share = if on_core { 1.0 - inner / d } else { inner / d };
            let lost = if t2 > 0.0 {
                share * loss + (1.0 - share) * loss2
            } else {
                loss
            };
            Ok([
                grown,
                d,
                bears(&found)?,
                lost,
                found.inner + 2.0 * found.face,
            ])
        },
    )
}

/// How much stiffer along the part a material must be to give no more under the stated load: panels of cloth that
/// is soft across give more than their stiffness along tells.
fn give_factor(job: &Job, main: &Ready) -> Result<f64, LawError> {
    let Some((stated, this)) = &job.give else {
        return Ok(1.0);
    };
    let q = laminate::reduced_stiffness(&main.ply)?;
    let d = job.stiffness.likely() / main.ply.modulus_along;
    let bending = Bending {
        d11: q[0][0] * d,
        d12: q[0][1] * d,
        d22: q[1][1] * d,
        d66: q[2][2] * d,
        strip: main.ply.modulus_along * d,
        shear: f64::INFINITY,
    };
    Ok(stated.give(&bending)?.map_or(1.0, |give| give / this))
}
