//! One cloth ready to be laid in any number, and how much of it a job takes.

use super::build::Job;
use crate::law::micromechanics::Ply;
use crate::law::section::{self, Grows, Section};
use crate::law::{LawError, laminate, last_load, sandwich};
use crate::plan::{Equal, Row};
use crate::sheet::Spread;
use crate::shelf::{Architecture, Fabric, Family};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::{
    Bending, Deep, Given, Laid, Layered, POISSON, Qualities, bears, lay_cloth, push_strands,
    qualities, resin_density, rises,
};

/// One cloth, ready to be laid in any number.
pub(super) struct Ready {
    pub(super) laid: Laid,
    /// Along the part: modulus [Pa], strength pulled, and in bending [Pa], loss factor [-].
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

/// Whether the plan lays this fibre.
fn planned_fibre(bench: &Bench<'_>, fibre: &str) -> bool {
    let mut rows = bench.plan.stack.iter();
    rows.any(|row| matches!(&row.fabric, Fabric::Cloth(cloth) if cloth.fibre == fibre))
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
        // What was typed of a prepreg holds for its own fibre; others come as they usually do.
        typed: planned_fibre(bench, &cloth.fibre),
        plies: bench.plan.stack.iter().map(|row| row.count).sum(),
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
    let mut likely = None;
    let [modulus] = Spread::several([along, across, shear, &held.crimp], |[e1, e2, g, crimp]| {
        let ply = as_laid(e1, e2, g, crimp)?;
        likely.get_or_insert(ply);
        Ok([ply.modulus_along])
    })?;
    let [pulled, strength] = last_loads(bench, &laid, &qualities)?;
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

/// Last loads of one cloth laid along the part, as stresses: pulled, and bent [Pa].
pub(super) fn last_loads(
    bench: &mut Bench<'_>,
    laid: &Laid,
    qualities: &Qualities,
) -> Result<[Spread; 2], LawError> {
    let Some(held) = &laid.cloth else {
        return Err(LawError::Unsolved { what: "a cloth" });
    };
    let rises = rises(bench);
    let [along, across, shear] = &held.ply;
    let [a, b, c, d, e, f, g, h, i, j] = qualities.figures();
    let inputs = [
        along,
        across,
        shear,
        &held.crimp,
        laid.modulus(),
        &rises,
        a,
        b,
        c,
        d,
        e,
        f,
        g,
        h,
        i,
        j,
    ];
    let angle_deg = if held.architecture == Architecture::Biaxial {
        45.0
    } else {
        0.0
    };
    Spread::heavy(inputs, |values: [f64; 16]| {
        let [along, across, shear, crimp, modulus, rises, rest @ ..] = &values;
        let ply = Ply {
            modulus_along: *along,
            modulus_across: *across,
            poisson: POISSON.0,
            shear_modulus: *shear,
        };
        let layer = Layered {
            architecture: Some(held.architecture),
            angle_deg,
            thickness: 1.0,
            count: 1,
            modulus: *modulus,
            ply: Some((ply, crimp.clamp(0.1, 1.0))),
            bears: Some(bears(rest, qualities.kinks)),
        };
        let mut fibres = Vec::new();
        push_strands(&mut fibres, &layer, 0.0)?;
        let pulled = last_load::course(&fibres, false)?;
        let pushed = last_load::course(&fibres, true)?;
        let moment = last_load::bent(&fibres, &pulled, &pushed, rises.max(1.0))?;
        Ok([pulled.last, section::stress_of_moment(moment, 1.0)?])
    })
}

pub(super) fn family_of(bench: &Bench<'_>, ready: &Ready) -> Family {
    let fibre = bench.shelf.fibre(fibre_of(ready));
    fibre.map_or(Family::Bast, |fibre| fibre.family)
}

pub(super) fn fibre_of(ready: &Ready) -> &str {
    ready.laid.cloth.as_ref().map_or("", |cloth| &cloth.fibre)
}

/// What stays while the cloth grows: the faces of another cloth, or the core in the middle.
pub(super) enum Stays<'a> {
    Nothing,
    Faces(&'a Ready),
    /// The core, its loss factor and its shear modulus [Pa], where that is told.
    Core(&'a Laid, &'a Spread, Option<&'a Spread>),
}

/// What one draw of a section is made of.
struct Made {
    section: Section,
    grows: Grows,
    on_core: bool,
    /// Strengths of inside and faces [Pa].
    bears: (f64, f64),
    losses: (f64, f64),
    /// Shear modulus of the core [Pa]; endless without one.
    shear: f64,
}

impl Stays<'_> {
    /// Modulus, thickness, strength, loss factor and shear modulus of what stays.
    fn inputs<'b>(&'b self, [none, one, endless]: [&'b Spread; 3]) -> [&'b Spread; 5] {
        match self {
            Self::Nothing => [one, none, one, one, endless],
            Self::Faces(faces) => [
                &faces.modulus,
                &faces.laid.thickness,
                &faces.strength,
                &faces.loss,
                endless,
            ],
            Self::Core(core, loss, shear) => [
                core.modulus(),
                &core.thickness,
                one,
                loss,
                shear.unwrap_or(endless),
            ],
        }
    }

    fn is_core(&self) -> bool {
        matches!(self, Self::Core(..))
    }

    /// The section with so much of the cloth that grows [m]; modulus, strength and loss factor of both.
    fn made(&self, [e, x, loss, e2, t2, x2, loss2, shear]: [f64; 8], grown: f64) -> Made {
        let on_core = self.is_core();
        let section = if on_core {
            Section {
                inner_modulus: e2,
                inner: t2,
                face_modulus: e,
                face: 0.5 * grown,
            }
        } else {
            Section {
                inner_modulus: e,
                inner: grown,
                face_modulus: if t2 > 0.0 { e2 } else { e },
                face: t2,
            }
        };
        Made {
            section,
            grows: if on_core { Grows::Faces } else { Grows::Inner },
            on_core,
            bears: if on_core {
                (1e12, x)
            } else {
                (x, if t2 > 0.0 { x2 } else { x })
            },
            losses: (loss, if t2 > 0.0 { loss2 } else { loss }),
            shear,
        }
    }
}

impl Made {
    fn bears(&self, section: &Section) -> Result<f64, LawError> {
        section::damage_moment(section, self.bears.0, self.bears.1)
    }

    /// Stiffness against the load of the job, bending and shear of the core together [N m].
    fn stiffness(&self, section: &Section, sheared: f64) -> Result<f64, LawError> {
        let bending = section::bending_stiffness(section)?;
        if !self.on_core || !self.shear.is_finite() {
            return Ok(bending);
        }
        let c = section.inner;
        let between = (c + section.face).min(3.0 * c);
        let shear = sandwich::shear_stiffness(self.shear, c, between)?;
        sandwich::with_shear(bending, shear, sheared)
    }

    /// The share of the bending energy that each material holds is its share of the stiffness.
    fn loss(&self) -> Result<f64, LawError> {
        let d = section::bending_stiffness(&self.section)?;
        let inner = self.section.inner_modulus * self.section.inner.powi(3) / 12.0;
        let share = if self.on_core {
            1.0 - inner / d
        } else {
            inner / d
        };
        Ok(share * self.losses.0 + (1.0 - share) * self.losses.1)
    }
}

/// Thickness of the cloth that grows until the job is done [m].
pub(super) fn sized(job: &Job, main: &Ready, stays: &Stays<'_>) -> Result<Spread, LawError> {
    let common = [0.0, 1.0, f64::INFINITY].map(Spread::exact);
    let [e2, t2, x2, loss2, shear] = stays.inputs(common.each_ref());
    let lone = matches!(stays, Stays::Nothing);
    let factor = give_factor(job, main)?;
    let inputs = [
        &main.modulus,
        &main.strength,
        e2,
        t2,
        x2,
        loss2,
        shear,
        &job.stiffness,
        &job.moment,
    ];
    Spread::of(
        inputs,
        |[e, x, e2, t2, x2, loss2, shear, stiffness, moment]| {
            let made = stays.made([e, x, 1.0, e2, t2, x2, loss2, shear], 0.0);
            // What this part gives by shear, others may give by bending.
            let target = sandwich::with_shear(stiffness, job.shear, job.sheared)? * factor;
            let found = match (job.equal, lone) {
                (Equal::Strength, true) => return section::thickness_for_moment(x, moment),
                (_, true) => return section::thickness_for_stiffness(e, target),
                (Equal::Strength, false) => {
                    section::grown(&made.section, made.grows, moment, &|s| made.bears(s))?
                }
                (_, false) => section::grown(&made.section, made.grows, target, &|s| {
                    made.stiffness(s, job.sheared)
                })?,
            };
            Ok(if made.on_core {
                2.0 * found.face
            } else {
                found.inner
            })
        },
    )
}

/// So many plies laid: stiffness against the load, moment, loss factor and thickness of the whole.
pub(super) fn as_laid(
    job: &Job,
    main: &Ready,
    stays: &Stays<'_>,
    plies: u32,
) -> Result<[Spread; 4], LawError> {
    let common = [0.0, 1.0, f64::INFINITY].map(Spread::exact);
    let [e2, t2, x2, loss2, shear] = stays.inputs(common.each_ref());
    let inputs = [
        &main.modulus,
        &main.strength,
        &main.loss,
        e2,
        t2,
        x2,
        loss2,
        shear,
        &main.laid.thickness,
    ];
    Spread::several(inputs, |[e, x, loss, e2, t2, x2, loss2, shear, ply]| {
        let grown = f64::from(plies) * ply;
        let made = stays.made([e, x, loss, e2, t2, x2, loss2, shear], grown);
        let section = &made.section;
        Ok([
            made.stiffness(section, job.sheared)?,
            made.bears(section)?,
            made.loss()?,
            section.inner + 2.0 * section.face,
        ])
    })
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
        d16: 0.0,
        d26: 0.0,
        strip: main.ply.modulus_along * d,
        shear: f64::INFINITY,
        skins: 1.0,
    };
    let give = stated.give(&bending)?;
    Ok(give.map_or(1.0, |give| give / this))
}
