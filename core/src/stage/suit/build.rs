//! One material doing the job of the part: how thick, how heavy, of what.

use super::carbon::{self, Lines};
use super::others::{Beside, Other};
use crate::law::micromechanics::Ply;
use crate::law::section::{self, Grows, Section};
use crate::law::{LawError, laminate};
use crate::plan::{Equal, Row};
use crate::sheet::Spread;
use crate::shelf::{Core, Fabric, Family};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::{
    Bending, Deep, Given, Laid, POISSON, Stacked, Stated, core_loss, lay_cloth, lay_core,
    qualities, resin_density,
};
use crate::units::Unit;

/// Key of the stack of the plan itself.
pub(super) const THIS: &str = "this";
/// More plies than anybody lays.
const MOST_PLIES: f64 = 400.0;

/// What every material must match.
pub(super) struct Job {
    pub(super) equal: Equal,
    /// Bending stiffness along the part, per width [N m].
    stiffness: Spread,
    /// Bending moment at first damage, per width [N].
    moment: Spread,
    area: Spread,
    /// The stated load and how far this part gives per bending compliance.
    give: Option<(Stated, f64)>,
}

impl Job {
    pub(super) fn of(
        bench: &mut Bench<'_>,
        stacked: &Stacked,
        deep: &Deep,
    ) -> Result<Self, LawError> {
        let stated = Stated::of(bench);
        let give = match (bench.plan.equal, stated) {
            (Equal::Deflection, Some(stated)) => {
                stated.give(&deep.likely)?.map(|give| (stated, give))
            }
            _ => None,
        };
        Ok(Self {
            equal: match bench.plan.equal {
                Equal::Deflection if give.is_none() => Equal::Stiffness,
                equal => equal,
            },
            stiffness: deep.stiffness.clone(),
            moment: deep.moment.clone(),
            area: stacked.area.clone(),
            give,
        })
    }

    /// What is held equal, in words.
    pub(super) fn basis(&self) -> String {
        match self.equal {
            Equal::Stiffness => "Every material below is as thick as it takes for the same bending stiffness along the part, per width, as this stack has. A thin panel then gives as much under the same load.".into(),
            Equal::Strength => "Every material below is as thick as it takes to bear the same bending moment along the part before first damage.".into(),
            Equal::Deflection => "Every material below is as thick as it takes to give no more than this stack under the load you stated.".into(),
        }
    }
}

/// A material that does the job.
pub(super) struct Built {
    pub(super) key: &'static str,
    pub(super) name: String,
    /// Keys of its cloths and cores.
    pub(super) fabrics: Vec<String>,
    /// [m]
    pub(super) thickness: Spread,
    /// [kg]
    pub(super) mass: Spread,
    pub(super) fibre: Spread,
    pub(super) resin: Spread,
    /// Per width [N m].
    pub(super) stiffness: Spread,
    /// Per width [N].
    pub(super) moment: Spread,
    /// [-]
    pub(super) loss: Spread,
    pub(super) cost: Option<Spread>,
    pub(super) lines: Lines,
    /// Families of its fibres, from the mould up.
    pub(super) families: Vec<Family>,
    /// Modulus [Pa], stress at first damage when pulled [Pa] and density [kg/m3] of its cloth in resin.
    pub(super) alone: Option<[Spread; 3]>,
    /// Whether it is of bast fibre all through.
    pub(super) is_bast: bool,
    plies: Plies,
}

/// What is laid.
enum Plies {
    /// As the plan says.
    Planned(u32),
    /// As many as it takes of one cloth, and what goes with them.
    AsNeeded {
        cloth: String,
        count: f64,
        /// Plies come in pairs when they are faces.
        faces: bool,
        beside: Option<String>,
        beside_count: u32,
        area: f64,
    },
}

impl Built {
    /// Plies to lay, cores included, rounded up.
    pub(super) fn whole_plies(&self) -> u32 {
        match &self.plies {
            Plies::Planned(count) => *count,
            Plies::AsNeeded {
                count,
                faces,
                beside_count,
                ..
            } => rounded_up(*count, *faces) + beside_count,
        }
    }

    /// What would be laid, in words.
    pub(super) fn says(&self, bench: &Bench<'_>) -> String {
        match &self.plies {
            Plies::Planned(count) => format!(
                "{count} {} as planned.",
                if *count == 1 { "ply" } else { "plies" }
            ),
            Plies::AsNeeded {
                cloth,
                count,
                faces,
                beside,
                area,
                ..
            } => {
                let whole = rounded_up(*count, *faces);
                let needed = crate::units::plain((count * 10.0).round() / 10.0);
                let cut = bench.desk.say_plain(
                    Unit::SquareMetre,
                    (f64::from(whole) * area * 100.0).round() / 100.0,
                );
                let with = beside
                    .as_ref()
                    .map_or(String::new(), |beside| format!(", with {beside}"));
                format!(
                    "{needed} plies of {cloth}{with}: lay {whole}, {cut} of it without offcuts."
                )
            }
        }
    }
}

/// Whole plies; an even number when they lie on both faces.
fn rounded_up(count: f64, faces: bool) -> u32 {
    let count = (count - 0.02).clamp(0.0, MOST_PLIES);
    if faces {
        2 * ((count / 2.0).ceil() as u32).max(1)
    } else {
        (count.ceil() as u32).max(1)
    }
}

/// The stack of the plan.
pub(super) fn this(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    deep: &Deep,
) -> Result<Built, LawError> {
    let mut lines = Lines::none();
    let mut solid = Vec::new();
    let mut cost = Some(Spread::exact(0.0));
    let mut families = Vec::new();
    let plan = bench.plan;
    let mut only_bast = true;
    for (row, laid) in plan.stack.iter().zip(&stacked.rows) {
        let count = f64::from(row.count);
        let on_area = |per_area: &Spread| {
            Spread::from([per_area, &stacked.area], |[x, area]| x * area * count)
        };
        let mass = on_area(&laid.solid);
        match &row.fabric {
            Fabric::Cloth(cloth) => {
                lines.add(carbon::of_cloth(bench, &cloth.fibre, &mass)?);
                if let Some(fibre) = bench.shelf.fibre(&cloth.fibre) {
                    only_bast &= fibre.family == Family::Bast;
                    families.push(fibre.family);
                }
            }
            Fabric::Core(core) => lines.add(carbon::of_core(bench, core, &mass)),
        }
        cost = add_cost(
            bench,
            cost,
            &row.fabric.entry().key,
            &stacked.area.times(count),
        );
        solid.push(mass);
    }
    lines.add(carbon::of_resin(bench, &stacked.resin)?);
    let cost = add_cost(bench, cost, &plan.resin.entry.key, &stacked.resin);
    Ok(Built {
        key: THIS,
        name: "This stack".into(),
        fabrics: plan
            .stack
            .iter()
            .map(|row| row.fabric.entry().key.clone())
            .collect(),
        thickness: stacked.thickness.clone(),
        mass: Spread::sum(solid.iter().chain([&stacked.resin])),
        fibre: stacked.fibre.clone(),
        resin: stacked.resin.clone(),
        stiffness: deep.stiffness.clone(),
        moment: deep.moment.clone(),
        loss: deep.loss.clone(),
        cost,
        lines,
        families,
        alone: None,
        is_bast: only_bast,
        plies: Plies::Planned(plan.stack.iter().map(|row| row.count).sum()),
    })
}

/// One cloth, ready to be laid in any number.
struct Ready {
    laid: Laid,
    /// Along the part: modulus [Pa], stress at first damage pulled, and in bending [Pa], loss factor [-].
    modulus: Spread,
    pull: Spread,
    strength: Spread,
    loss: Spread,
    /// For a panel: the ply as laminate theory sees it, with everything likely.
    ply: Ply,
}

fn row_of(bench: &Bench<'_>, key: &str) -> Result<Row, LawError> {
    let fabric = bench.shelf.fabric(key).cloned();
    Ok(Row {
        fabric: fabric.ok_or(LawError::Unsolved {
            what: "a cloth of the shelf",
        })?,
        count: 1,
        angle_deg: 0.0,
    })
}

fn ready(bench: &mut Bench<'_>, air: &Air, key: &str, deep: &Deep) -> Result<Ready, LawError> {
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

/// A material that does the job of the part.
pub(super) fn other(
    bench: &mut Bench<'_>,
    air: &Air,
    job: &Job,
    deep: &Deep,
    other: &Other,
) -> Result<Built, LawError> {
    let main = ready(bench, air, other.cloth, deep)?;
    let mut faces = None;
    let mut core: Option<(Core, Laid, Spread)> = None;
    match other.beside {
        Beside::Nothing => {}
        Beside::OnTheFaces(key) => faces = Some(ready(bench, air, key, deep)?),
        Beside::InTheMiddle(key) => {
            let row = row_of(bench, key)?;
            if let Fabric::Core(found) = &row.fabric {
                let laid = lay_core(bench, 0, &row, found);
                let loss = core_loss(bench, found);
                core = Some((found.clone(), laid, loss));
            }
        }
    }
    let sized = sized(
        job,
        &main,
        faces.as_ref(),
        core.as_ref().map(|(_, laid, loss)| (laid, loss)),
    )?;
    let [grown, stiffness, moment, loss, whole] = &sized;
    let plies = Spread::from([grown, &main.laid.thickness], |[t, ply]| t / ply);
    let on_area = |per_ply: &Spread| {
        Spread::from([per_ply, &plies, &job.area], |[x, plies, area]| {
            x * plies * area
        })
    };
    let mut fibre = on_area(&main.laid.solid);
    let mut resin = on_area(&main.laid.resin);
    let mut lines = carbon::of_cloth(bench, fibre_of(&main), &fibre)?;
    let cloth_area = Spread::from([&plies, &job.area], |[plies, area]| plies * area);
    let mut cost = add_cost(bench, Some(Spread::exact(0.0)), other.cloth, &cloth_area);
    let mut parts = Vec::new();
    let mut says = Vec::new();
    let mut families = vec![family_of(bench, &main)];
    let mut beside_count = 0;
    if let (Some(faces), Beside::OnTheFaces(key)) = (&faces, &other.beside) {
        let both =
            |per_ply: &Spread| Spread::from([per_ply, &job.area], |[x, area]| 2.0 * x * area);
        let mass = both(&faces.laid.solid);
        lines.add(carbon::of_cloth(bench, fibre_of(faces), &mass)?);
        cost = add_cost(bench, cost, key, &job.area.times(2.0));
        fibre = Spread::sum([&fibre, &mass]);
        resin = Spread::sum([&resin, &both(&faces.laid.resin)]);
        says.push(format!("one ply of {} on each face", faces.laid.name));
        beside_count = 2;
        families.insert(0, family_of(bench, faces));
    }
    if let Some((found, laid, _)) = &core {
        let mass = Spread::from([&laid.solid, &job.area], |[x, area]| x * area);
        lines.add(carbon::of_core(bench, found, &mass));
        cost = add_cost(bench, cost, &found.entry.key, &job.area);
        resin = Spread::sum([
            &resin,
            &Spread::from([&laid.resin, &job.area], |[x, area]| x * area),
        ]);
        says.push(format!("{} in the middle", found.entry.name));
        beside_count = 1;
        parts.push(mass);
    }
    lines.add(carbon::of_resin(bench, &resin)?);
    let resin_key = bench.plan.resin.entry.key.clone();
    let cost = add_cost(bench, cost, &resin_key, &resin);
    let area = job.area.likely();
    let density = Spread::from(
        [&main.laid.solid, &main.laid.resin, &main.laid.thickness],
        |[solid, resin, t]| (solid + resin) / t,
    );
    Ok(Built {
        key: other.key,
        name: other.name.into(),
        fabrics: std::iter::once(other.cloth)
            .chain(match other.beside {
                Beside::Nothing => None,
                Beside::OnTheFaces(key) | Beside::InTheMiddle(key) => Some(key),
            })
            .map(str::to_owned)
            .collect(),
        thickness: whole.clone(),
        mass: Spread::sum(parts.iter().chain([&fibre, &resin])),
        fibre,
        resin,
        stiffness: stiffness.clone(),
        moment: moment.clone(),
        loss: loss.clone(),
        cost,
        lines,
        alone: Some([main.modulus.clone(), main.pull.clone(), density]),
        is_bast: families.iter().all(|&family| family == Family::Bast),
        families,
        plies: Plies::AsNeeded {
            cloth: main.laid.name.clone(),
            count: plies.likely(),
            faces: core.is_some(),
            beside: says.pop(),
            beside_count,
            area,
        },
    })
}

fn family_of(bench: &Bench<'_>, ready: &Ready) -> Family {
    let fibre = bench.shelf.fibre(fibre_of(ready));
    fibre.map_or(Family::Bast, |fibre| fibre.family)
}

fn fibre_of(ready: &Ready) -> &str {
    ready.laid.cloth.as_ref().map_or("", |cloth| &cloth.fibre)
}

/// Thickness of the cloth that grows, then stiffness, moment, loss factor and thickness of the whole.
fn sized(
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

/// Adds what a material costs; nothing is known once one price is not.
fn add_cost(bench: &Bench<'_>, cost: Option<Spread>, key: &str, amount: &Spread) -> Option<Spread> {
    let price = bench.shelf.stock(key)?.price?.likely;
    let cost = cost?;
    Some(Spread::from([&cost, amount], |[cost, amount]| {
        cost + amount * price
    }))
}
