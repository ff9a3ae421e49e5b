//! Another material doing the job of the part: one cloth in as many plies as it takes, and what goes with it.

use super::build::{Built, Job, Plies, add_cost, rounded_up};
use super::carbon::{self, Lines};
use super::others::{Beside, Other};
use super::ready::{Ready, Stays, as_laid, family_of, fibre_of, ready, row_of, sized};
use crate::law::LawError;
use crate::sheet::Spread;
use crate::shelf::properties::CORE_SHEAR;
use crate::shelf::{Core, Fabric, Family};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::{Deep, Laid, core_loss, lay_core};

/// A material that does the job of the part.
pub(super) fn other(
    bench: &mut Bench<'_>,
    air: &Air,
    job: &Job,
    deep: &Deep,
    other: &Other,
) -> Result<Built, LawError> {
    let kit = Kit::of(bench, air, deep, other)?;
    let main = &kit.main;
    let stays = kit.stays();
    let needed = sized(job, main, &stays)?.likely() / main.laid.thickness.likely();
    let whole_plies = rounded_up(needed, kit.core.is_some());
    let [stiffness, moment, loss, thickness] = as_laid(job, main, &stays, whole_plies)?;
    let bill = kit.bill(bench, job, whole_plies)?;
    let families = kit.families(bench);
    let (beside_count, beside) = kit.beside().unzip();
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
        thickness,
        mass: Spread::sum(bill.core.iter().chain([&bill.fibre, &bill.resin])),
        fibre: bill.fibre,
        resin: bill.resin,
        stiffness,
        moment,
        loss,
        cost: bill.cost,
        lines: bill.lines,
        alone: Some([main.modulus.clone(), main.pull.clone(), kit.density()]),
        is_bast: families.iter().all(|&family| family == Family::Bast),
        families,
        plies: Plies::AsNeeded {
            cloth: main.laid.name.clone(),
            count: needed,
            faces: kit.core.is_some(),
            beside,
            beside_count: beside_count.unwrap_or(0),
            area: job.area.likely(),
        },
    })
}

/// The cloth of which there are as many plies as it takes, and what stays as it is beside it.
struct Kit<'a> {
    other: &'a Other,
    main: Ready,
    faces: Option<Ready>,
    core: Option<InTheMiddle>,
}

/// A core, its loss factor and its shear modulus [Pa], where that is told.
struct InTheMiddle {
    core: Core,
    laid: Laid,
    loss: Spread,
    shear: Option<Spread>,
}

/// What it takes of everything, for the whole part.
struct Bill {
    /// Masses [kg]; those of the cloths together.
    fibre: Spread,
    resin: Spread,
    core: Option<Spread>,
    lines: Lines,
    cost: Option<Spread>,
}

impl InTheMiddle {
    fn of(bench: &mut Bench<'_>, key: &str) -> Result<Option<Self>, LawError> {
        let row = row_of(bench, key)?;
        let Fabric::Core(core) = &row.fabric else {
            return Ok(None);
        };
        let laid = lay_core(bench, 0, &row, core);
        let loss = core_loss(bench, core);
        let shear = core.properties.get(&CORE_SHEAR).map(|cited| {
            let of_core = bench.property_of("fabrics", &core.entry, &CORE_SHEAR, cited);
            of_core.times(1e6)
        });
        Ok(Some(Self {
            core: core.clone(),
            laid,
            loss,
            shear,
        }))
    }
}

impl<'a> Kit<'a> {
    fn of(
        bench: &mut Bench<'_>,
        air: &Air,
        deep: &Deep,
        other: &'a Other,
    ) -> Result<Self, LawError> {
        let main = ready(bench, air, other.cloth, deep)?;
        let (faces, core) = match other.beside {
            Beside::Nothing => (None, None),
            Beside::OnTheFaces(key) => (Some(ready(bench, air, key, deep)?), None),
            Beside::InTheMiddle(key) => (None, InTheMiddle::of(bench, key)?),
        };
        Ok(Self {
            other,
            main,
            faces,
            core,
        })
    }

    fn stays(&self) -> Stays<'_> {
        match (&self.faces, &self.core) {
            (Some(faces), _) => Stays::Faces(faces),
            (None, Some(middle)) => Stays::Core(&middle.laid, &middle.loss, middle.shear.as_ref()),
            (None, None) => Stays::Nothing,
        }
    }

    fn bill(&self, bench: &mut Bench<'_>, job: &Job, plies: u32) -> Result<Bill, LawError> {
        let main = &self.main;
        let plies = Spread::exact(f64::from(plies));
        let on_area = |per_ply: &Spread| {
            Spread::from([per_ply, &plies, &job.area], |[x, plies, area]| {
                x * plies * area
            })
        };
        let mut fibre = on_area(&main.laid.solid);
        let mut resin = on_area(&main.laid.resin);
        let mut lines = carbon::of_cloth(bench, fibre_of(main), &fibre)?;
        let cloth_area = Spread::from([&plies, &job.area], |[plies, area]| plies * area);
        let nothing = Some(Spread::exact(0.0));
        let mut cost = add_cost(bench, nothing, self.other.cloth, &cloth_area);
        let mut core = None;
        if let (Some(faces), Beside::OnTheFaces(key)) = (&self.faces, &self.other.beside) {
            let both =
                |per_ply: &Spread| Spread::from([per_ply, &job.area], |[x, area]| 2.0 * x * area);
            let mass = both(&faces.laid.solid);
            lines.add(carbon::of_cloth(bench, fibre_of(faces), &mass)?);
            cost = add_cost(bench, cost, key, &job.area.times(2.0));
            fibre = Spread::sum([&fibre, &mass]);
            resin = Spread::sum([&resin, &both(&faces.laid.resin)]);
        }
        if let Some(middle) = &self.core {
            let once =
                |per_area: &Spread| Spread::from([per_area, &job.area], |[x, area]| x * area);
            let mass = once(&middle.laid.solid);
            lines.add(carbon::of_core(bench, &middle.core, &mass));
            cost = add_cost(bench, cost, &middle.core.entry.key, &job.area);
            resin = Spread::sum([&resin, &once(&middle.laid.resin)]);
            core = Some(mass);
        }
        lines.add(carbon::of_resin(bench, &resin)?);
        let cost = add_cost(bench, cost, &bench.plan.resin.entry.key, &resin);
        Ok(Bill {
            fibre,
            resin,
            core,
            lines,
            cost,
        })
    }

    /// Plies that stay as they are, and what they are in words.
    fn beside(&self) -> Option<(u32, String)> {
        match (&self.faces, &self.core) {
            (Some(faces), _) => Some((2, format!("one ply of {} on each face", faces.laid.name))),
            (None, Some(middle)) => Some((1, format!("{} in the middle", middle.core.entry.name))),
            (None, None) => None,
        }
    }

    /// Families of its fibres, from the mould up.
    fn families(&self, bench: &Bench<'_>) -> Vec<Family> {
        let cloths = self.faces.iter().chain([&self.main]);
        cloths.map(|cloth| family_of(bench, cloth)).collect()
    }

    /// Density of the cloth that grows, in resin [kg/m3].
    fn density(&self) -> Spread {
        let laid = &self.main.laid;
        Spread::from(
            [&laid.solid, &laid.resin, &laid.thickness],
            |[solid, resin, t]| (solid + resin) / t,
        )
    }
}
