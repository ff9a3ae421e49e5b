//! Which plies, how thick and how heavy they come out, and how much of it is fibre, resin and void.

mod answer;
mod cloth;
mod coats;
mod deepen;
mod fit;
mod layers;
mod load;
mod of_fibre;
mod packing;
mod qualities;
mod stiffness;
mod strands;

pub(crate) use cloth::{Given, lay_cloth, lay_core, resin_modulus};
pub(crate) use deepen::{Deep, core_loss, deepen, rises};
pub(crate) use layers::likely_layers;
pub(crate) use load::{BUCKLING_LEFT, Bending, CoreBears, Loaded, Stated, judge, shears};
pub(crate) use qualities::{Qualities, fibre_trait, qualities, resin_trait};
pub(crate) use strands::{Layered, bears, left, push as push_strands};

use answer::{cloth_mean, notes, write};
use fit::squeeze;
use stiffness::moduli;

use super::air::Air;
use super::bench::Bench;
use super::fill::lay_zones;
use super::mix::supply;
use crate::law::LawError;
use crate::plan::Row;
use crate::plan::fields::PART_AREA;
use crate::read::Problem;
use crate::sheet::{Spread, StackSheet, StageName};
use crate::shelf::{Architecture, Fabric, Family};
use crate::units::Unit;

const STAGE: StageName = StageName::Stack;

const GIGA: f64 = 1e9;

/// Poisson ratio of fibre and cured resin; the moduli hardly feel it.
pub(crate) const POISSON: (f64, f64) = (0.3, 0.35);

/// One row of the stack, worked out.
pub(crate) struct Laid {
    key: String,
    pub(crate) name: String,
    pub(crate) count: u32,
    pub(crate) angle_deg: f64,
    /// Thickness of one ply [m].
    pub(crate) thickness: Spread,
    /// What a cloth holds; none for a core.
    pub(crate) cloth: Option<LaidCloth>,
    /// Resin in one ply [kg/m2].
    pub(crate) resin: Spread,
    /// Mass of one ply without resin [kg/m2].
    pub(crate) solid: Spread,
    modulus: Spread,
}

impl Laid {
    /// Key of the cloth or core.
    pub(crate) fn key(&self) -> &str {
        &self.key
    }

    /// Modulus in the plane of a core or mat [Pa].
    pub(crate) fn modulus(&self) -> &Spread {
        &self.modulus
    }
}

/// A row of cloth, worked out.
pub(crate) struct LaidCloth {
    /// Key of its fibre.
    pub(crate) fibre: String,
    pub(crate) family: Family,
    pub(crate) architecture: Architecture,
    /// Dry fibre of one ply [kg/m2].
    pub(crate) dry: Spread,
    /// Fibre volume fraction [-].
    pub(crate) fraction: Spread,
    /// Void fraction [-].
    pub(crate) void: Spread,
    /// Void beyond what fibre and resin always bring: where resin is missing, or bubbles stay [-].
    pub(crate) beyond: Spread,
    /// Resin that one ply takes up when it is rolled [kg/m2]; none where no bag bleeds it.
    pub(crate) resin_by_hand: Option<Spread>,
    /// Moisture relative to wood [-].
    pub(crate) moisture_scale: Spread,
    /// Thickness of one loose dry ply [m].
    pub(crate) loose: Spread,
    /// Permeability along and across at this fibre fraction [m2].
    pub(crate) along: Spread,
    pub(crate) across: Spread,
    pub(crate) may_go_without_mesh: bool,
    /// Moduli of a straight ply along and across, and in shear [Pa].
    pub(crate) ply: [Spread; 3],
    /// Share of stiffness left by crimp [-].
    pub(crate) crimp: Spread,
}

/// The stack, worked out.
pub(crate) struct Stacked {
    pub(crate) rows: Vec<Laid>,
    /// Plan area [m2].
    pub(crate) area: Spread,
    /// Thickness of the part [m].
    pub(crate) thickness: Spread,
    /// Dry fibre [kg].
    pub(crate) fibre: Spread,
    /// Resin in the part [kg].
    pub(crate) resin: Spread,
    /// What zones that are not like the rest add to the part; in both of the above.
    pub(crate) more: More,
    /// The stacks of zones that have their own.
    pub(crate) zones: Vec<Stacked>,
    /// Measured over computed thickness, and the share of resin that is missing.
    squeeze: Option<Spread>,
    missing: Option<Spread>,
}

/// What zones that are not like the rest, and channels, add to a part, less than nought where they take away [kg].
pub(crate) struct More {
    pub(crate) fibre: Spread,
    pub(crate) resin: Spread,
    /// Cloth and core without resin.
    pub(crate) solid: Spread,
}

impl More {
    pub(crate) fn nothing() -> Self {
        Self {
            fibre: Spread::exact(0.0),
            resin: Spread::exact(0.0),
            solid: Spread::exact(0.0),
        }
    }
}

impl Stacked {
    /// The rows of cloth with how many plies each.
    pub(crate) fn cloths(&self) -> impl Iterator<Item = (&Laid, &LaidCloth)> {
        self.rows
            .iter()
            .filter_map(|row| row.cloth.as_ref().map(|cloth| (row, cloth)))
    }

    /// The same part with what a zone or a channel adds.
    pub(crate) fn with(&mut self, more: More) {
        self.fibre = Spread::sum([&self.fibre, &more.fibre]);
        self.resin = Spread::sum([&self.resin, &more.resin]);
        self.more = More {
            fibre: Spread::sum([&self.more.fibre, &more.fibre]),
            resin: Spread::sum([&self.more.resin, &more.resin]),
            solid: Spread::sum([&self.more.solid, &more.solid]),
        };
    }

    /// Dry fibre and resin that it would hold without zones [kg].
    pub(crate) fn plain(&self) -> [Spread; 2] {
        [
            (&self.fibre, &self.more.fibre),
            (&self.resin, &self.more.resin),
        ]
        .map(|(all, more)| Spread::from([all, more], |[all, more]| all - more))
    }

    /// Whether any ply is of a fibre that holds water.
    pub(crate) fn is_damp(&self) -> bool {
        self.cloths()
            .any(|(_, cloth)| cloth.moisture_scale.largest() > 0.0)
    }
}

/// Works the stack out and writes its sheet.
pub(crate) fn work(bench: &mut Bench<'_>, air: &Air) -> Result<(Both, StackSheet), Vec<Problem>> {
    work_with(bench, air, lay_zones)
}

/// The same of the stack alone, whatever zones and channels are drawn.
pub(crate) fn work_plain(
    bench: &mut Bench<'_>,
    air: &Air,
) -> Result<(Both, StackSheet), Vec<Problem>> {
    work_with(bench, air, |_, _, _| Ok(()))
}

fn work_with(
    bench: &mut Bench<'_>,
    air: &Air,
    lay_zones: fn(&mut Bench<'_>, &Air, &mut Stacked) -> Result<(), LawError>,
) -> Result<(Both, StackSheet), Vec<Problem>> {
    let beyond = |why: LawError| super::bench::beyond("stack", &why);
    let lay = |bench: &mut Bench<'_>, missing| {
        let mut stacked = lay(bench, air, missing)?;
        lay_zones(bench, air, &mut stacked)?;
        Ok(stacked)
    };
    let full = lay(bench, None).map_err(beyond)?;
    let supply = supply(bench, &full).map_err(beyond)?;
    let starved = match &supply {
        Some(supply) if supply.share.largest() > 0.0 => {
            Some(lay(bench, Some(&supply.share)).map_err(beyond)?)
        }
        _ => None,
    };
    let both = Both { full, starved };
    if let Some(supply) = supply {
        let void = cloth_mean(both.as_made(), &|cloth| &cloth.void).map_err(beyond)?;
        supply.say(bench, &void);
    }
    notes(bench, both.as_made());
    let sheet = write(bench, air, both.as_made()).map_err(beyond)?;
    Ok((both, sheet))
}

/// The stack as it asks for resin, and as it comes out when there is too little.
pub(crate) struct Both {
    pub(crate) full: Stacked,
    starved: Option<Stacked>,
}

impl Both {
    /// As it comes off the mould.
    pub(crate) fn as_made(&self) -> &Stacked {
        self.starved.as_ref().unwrap_or(&self.full)
    }
}

fn lay(bench: &mut Bench<'_>, air: &Air, missing: Option<&Spread>) -> Result<Stacked, LawError> {
    let area = bench.take(&PART_AREA);
    let resin_density = resin_density(bench);
    let given = |squeeze| Given {
        air,
        resin_density: &resin_density,
        squeeze,
        missing,
        typed: true,
        plies: plies_of(&bench.plan.stack),
    };
    let stack = &bench.plan.stack;
    let mut rows = lay_rows(bench, (0, stack), &given(None))?;
    let squeeze = squeeze(bench, &rows);
    if let Some(squeeze) = &squeeze {
        rows = lay_rows(bench, (0, stack), &given(Some(squeeze)))?;
    }
    Ok(stacked(rows, area, squeeze, missing.cloned()))
}

/// Rows before those of the first zone, and for each zone: apart from any that a stack may have.
const ROWS_OF_ZONE: usize = 1000;

/// Lays the stack of a zone under the bag of the part; a measured thickness packs its cloths as it does the part's.
pub(crate) fn lay_zone(
    bench: &mut Bench<'_>,
    air: &Air,
    part: &Stacked,
    (number, stack): (usize, &[Row]),
) -> Result<Stacked, LawError> {
    let resin_density = resin_density(bench);
    let given = Given {
        air,
        resin_density: &resin_density,
        squeeze: part.squeeze.as_ref(),
        missing: part.missing.as_ref(),
        typed: true,
        plies: plies_of(stack),
    };
    let rows = lay_rows(bench, ((number + 1) * ROWS_OF_ZONE, stack), &given)?;
    Ok(stacked(rows, part.area.clone(), None, None))
}

fn plies_of(stack: &[Row]) -> u32 {
    stack.iter().map(|row| row.count).sum()
}

/// What rows come to on an area.
fn stacked(
    rows: Vec<Laid>,
    area: Spread,
    squeeze: Option<Spread>,
    missing: Option<Spread>,
) -> Stacked {
    let per_area = |each: &dyn Fn(&Laid) -> &Spread| {
        let parts: Vec<Spread> = rows
            .iter()
            .map(|row| each(row).times(f64::from(row.count)))
            .collect();
        Spread::sum(&parts)
    };
    let thickness = per_area(&|row| &row.thickness);
    let resin = per_area(&|row| &row.resin);
    let dry: Vec<Spread> = rows
        .iter()
        .filter_map(|row| {
            let cloth = row.cloth.as_ref()?;
            Some(cloth.dry.times(f64::from(row.count)))
        })
        .collect();
    let whole = |per_area: &Spread| Spread::from([per_area, &area], |[x, area]| x * area);
    Stacked {
        fibre: whole(&Spread::sum(&dry)),
        resin: whole(&resin),
        rows,
        area,
        thickness,
        more: More::nothing(),
        zones: Vec::new(),
        squeeze,
        missing,
    }
}

fn lay_rows(
    bench: &mut Bench<'_>,
    (first, stack): (usize, &[Row]),
    given: &Given<'_>,
) -> Result<Vec<Laid>, LawError> {
    let rows = stack.iter().enumerate();
    rows.map(|(i, row)| match &row.fabric {
        Fabric::Core(core) => Ok(lay_core(bench, first + i, row, core)),
        Fabric::Cloth(cloth) => lay_cloth(bench, first + i, row, cloth, given),
    })
    .collect()
}

/// Density of the cured resin [kg/m3].
pub(crate) fn resin_density(bench: &mut Bench<'_>) -> Spread {
    let resin = &bench.plan.resin;
    let holder = format!("resins.{}", resin.entry.key);
    bench
        .property(
            &holder,
            "density_cured_g_cm3",
            "Density when cured",
            Unit::GramPerMillilitre,
            &resin.entry,
            &resin.density_cured_g_cm3,
        )
        .times(1000.0)
}
