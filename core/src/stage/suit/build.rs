//! One material doing the job of the part: how thick, how heavy, of what.

use super::carbon::{self, Lines};
use crate::law::LawError;
use crate::plan::Equal;
use crate::sheet::Spread;
use crate::shelf::{Fabric, Family};
use crate::stage::bench::Bench;
use crate::stage::stack::{Deep, Stacked, Stated};
use crate::units::Unit;

/// Key of the stack of the plan itself.
pub(super) const THIS: &str = "this";
/// More plies than anybody lays.
const MOST_PLIES: f64 = 400.0;

/// What every material must match.
pub(super) struct Job {
    pub(super) equal: Equal,
    /// Whether the same give was wanted and no load is there to give under.
    wants_load: bool,
    /// Bending stiffness along the part, per width [N m].
    pub(super) stiffness: Spread,
    /// Bending moment that it bears before it breaks, per width [N].
    pub(super) moment: Spread,
    pub(super) area: Spread,
    /// The stated load and how far this part gives per bending compliance.
    pub(super) give: Option<(Stated, f64)>,
    /// How much the shear of a core counts [1/m2], and the shear stiffness of this part [N/m].
    pub(super) sheared: f64,
    pub(super) shear: f64,
    /// Over what span the give is equal, in words.
    over: String,
}

/// Pressed evenly on two supports, a strip gives 9.6 / L^2 of its shear compliance for each of its bending compliance.
const EVENLY: f64 = 9.6;

impl Job {
    pub(super) fn of(
        bench: &mut Bench<'_>,
        stacked: &Stacked,
        deep: &Deep,
    ) -> Result<Self, LawError> {
        let stated = Stated::of(bench);
        let of_load = match &stated {
            Some(stated) => stated.sheared(&deep.likely)?,
            None => None,
        };
        let span = stacked.area.likely().max(1e-4).sqrt();
        let over = match of_load {
            Some(_) => "under your load".to_owned(),
            None => format!(
                "pressed evenly over a span of {}, as long as a square part of this area",
                bench
                    .desk
                    .say_plain(Unit::Millimetre, (span * 100.0).round() * 10.0)
            ),
        };
        let give = match (bench.plan.equal, stated) {
            (Equal::Deflection, Some(stated)) => {
                stated.give(&deep.likely)?.map(|give| (stated, give))
            }
            _ => None,
        };
        Ok(Self {
            wants_load: bench.plan.equal == Equal::Deflection && give.is_none(),
            equal: match bench.plan.equal {
                Equal::Deflection if give.is_none() => Equal::Stiffness,
                equal => equal,
            },
            stiffness: deep.stiffness.clone(),
            moment: deep.moment.clone(),
            area: stacked.area.clone(),
            sheared: of_load.unwrap_or(EVENLY / (span * span)),
            // Under a stated load what this part gives by shear is in its give.
            shear: if give.is_some() {
                f64::INFINITY
            } else {
                deep.likely.shear
            },
            over,
            give,
        })
    }

    /// What is held equal, in words.
    pub(super) fn basis(&self) -> String {
        const WHOLE: &str = "All are in plies that can be laid, so most come out a little stiffer than they need be.";
        match self.equal {
            Equal::Stiffness if self.wants_load => format!("No load is stated yet, so materials are compared at the same bending stiffness instead. State a load under Stack to compare by how far it gives. {WHOLE}"),
            Equal::Stiffness => format!("Every material below is as thick as it takes to give no more than this stack along the part, {}; a core's shear is counted. {WHOLE}", self.over),
            Equal::Strength => "Every material below is as thick as it takes to bear the same bending moment along the part before it breaks.".into(),
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
    /// Modulus [Pa], strength when pulled [Pa] and density [kg/m3] of its cloth in resin.
    pub(super) alone: Option<[Spread; 3]>,
    /// Whether it is of bast fibre all through.
    pub(super) is_bast: bool,
    pub(super) plies: Plies,
}

/// What is laid.
pub(super) enum Plies {
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
pub(super) fn rounded_up(count: f64, faces: bool) -> u32 {
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
    // What other materials are held against has no zones.
    let [fibre, resin] = stacked.plain();
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
    lines.add(carbon::of_resin(bench, &resin)?);
    let cost = add_cost(bench, cost, &plan.resin.entry.key, &resin);
    Ok(Built {
        key: THIS,
        name: "This stack".into(),
        fabrics: plan
            .stack
            .iter()
            .map(|row| row.fabric.entry().key.clone())
            .collect(),
        thickness: stacked.thickness.clone(),
        mass: Spread::sum(solid.iter().chain([&resin])),
        fibre,
        resin,
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

/// Adds what a material costs; nothing is known once one price is not.
pub(super) fn add_cost(
    bench: &Bench<'_>,
    cost: Option<Spread>,
    key: &str,
    amount: &Spread,
) -> Option<Spread> {
    let price = bench.shelf.stock(key)?.price?.likely;
    let cost = cost?;
    Some(Spread::from([&cost, amount], |[cost, amount]| {
        cost + amount * price
    }))
}
