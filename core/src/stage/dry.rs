//! How wet the cloth is, how long to dry it and how, and how long until it is wet again.

mod answer;
mod curve;
mod damp;
mod deepen;
mod heat;
mod isotherm;
mod sealed;
mod vacuum;
mod voids;
mod ways;
mod weighed;

use answer::dry_already;
use heat::{LONGEST_WAIT, Oven};
use vacuum::Bagging;

pub(crate) use deepen::deepen;

use super::air::Air;
use super::bench::{Bench, Fallback};
use super::stack::Stacked;
use super::water;
use crate::law::{LawError, sorption};
use crate::plan::Route;
use crate::plan::fields::{
    FLOW_LENGTH, PLIES_DRIED_TOGETHER, ROOM_HUMIDITY, ROOM_TEMPERATURE, TARGET_REGAIN,
};
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Basis, DrySheet, Grade, Law, Spread, StageName};

const STAGE: StageName = StageName::Dry;

/// The damp part of the stack.
pub(crate) struct Damp {
    /// Dry mass of the damp fibre [kg].
    pub(crate) dry: Spread,
    /// Dry mass per area of what is dried together [kg/m2].
    areal: Spread,
    /// Height of what is dried together, loose [m].
    height: Spread,
    /// Plies of it, as they lie on top of each other.
    together: f64,
    /// Moisture relative to wood, mean over the damp fibre [-].
    pub(crate) scale: Spread,
    /// Air in the shop [K], [-].
    room: (Spread, Spread),
    /// Regain in store [-].
    pub(crate) start: Spread,
}

/// The cloth with the oven and the bag of the plan, as they were worked out.
pub(crate) struct Dried {
    pub(crate) damp: Damp,
    oven: Oven,
    /// Time in the oven [s].
    pub(crate) oven_time: Spread,
    /// Drying under the bag; only a dry stack can be.
    bagging: Option<Bagging>,
}

/// Whether the cloth can be dried under its bag, before resin comes.
fn under_the_bag(bench: &Bench<'_>) -> bool {
    bench.plan.route == Route::Infusion
}

/// How long the dried stack may lie on the mould, bare or under film [s].
pub(crate) fn keeps(
    bench: &mut Bench<'_>,
    dried: &Dried,
    covered: bool,
) -> Result<Spread, LawError> {
    let target = bench.take(&TARGET_REGAIN).times(0.01);
    ways::on_the_mould(bench, &dried.damp, &target, covered)
}

/// Works the drying out and writes its sheet.
pub(crate) fn work(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
) -> Result<(Option<Dried>, DrySheet), Vec<Problem>> {
    let result = if bench.plan.route == Route::Prepreg {
        sealed::sealed(bench, stacked).map(|sheet| (None, sheet))
    } else if stacked.is_damp() {
        damp::damp(bench, air, stacked)
    } else {
        dry_already(bench, air, stacked).map(|sheet| (None, sheet))
    };
    result.map_err(|why| super::bench::beyond("dry", &why))
}

fn gather(bench: &mut Bench<'_>, stacked: &Stacked) -> Result<Damp, LawError> {
    let plies: Vec<(f64, &Spread, &Spread, &Spread)> = stacked
        .cloths()
        .filter(|(_, cloth)| cloth.moisture_scale.largest() > 0.0)
        .map(|(row, cloth)| {
            (
                f64::from(row.count),
                &cloth.dry,
                &cloth.loose,
                &cloth.moisture_scale,
            )
        })
        .collect();
    let all: f64 = plies.iter().map(|ply| ply.0).sum();
    let together = bench.take_or(&PLIES_DRIED_TOGETHER, Fallback::judged(Range::exact(all)));
    let parts: Vec<&Spread> = plies.iter().flat_map(|p| [p.1, p.2, p.3]).collect();
    let [areal, height, scale] = Spread::many(&parts, |values| {
        let (mut mass, mut loose, mut water) = (0.0, 0.0, 0.0);
        for (ply, (count, ..)) in values.chunks_exact(3).zip(&plies) {
            mass += count * ply[0];
            loose += count * ply[1];
            water += count * ply[0] * ply[2];
        }
        Ok([mass, loose, (water / mass).clamp(0.05, 2.0)])
    })?;
    let (temperature, humidity) = water::store(bench);
    let room = (
        water::kelvin(&bench.take(&ROOM_TEMPERATURE)),
        water::activity(&bench.take(&ROOM_HUMIDITY)),
    );
    let start = Spread::of([&scale, &temperature, &humidity], |[s, t, h]| {
        sorption::flax_regain(s, t, h)
    })?;
    let share =
        |whole: &Spread| Spread::from([whole, &together], |[whole, plies]| whole * plies / all);
    Ok(Damp {
        dry: Spread::from([&areal, &stacked.area], |[w, area]| w * area),
        areal: share(&areal),
        height: share(&height).map(|h| h.clamp(2e-5, 0.2)),
        together: together.likely().clamp(1.0, all.max(1.0)),
        scale,
        room,
        start,
    })
}

/// How far vapour and resin must run [m]: as given, or as if the part were a square fed from one edge.
pub(crate) fn flow_run(bench: &mut Bench<'_>, stacked: &Stacked) -> Spread {
    let side = 1000.0 * stacked.area.likely().sqrt();
    let square = Range::new(0.7 * side, side, 1.6 * side).map(|x| x.clamp(5.0, 20_000.0));
    bench
        .take_or(
            &FLOW_LENGTH,
            Fallback {
                range: square,
                grade: Grade::Judgement,
                sources: &["judgement_square_part"],
            },
        )
        .times(1e-3)
}

static LOWEST: Law = Law {
    says: "pump's own lowest + vapour pressure over the damp cloth",
    basis: Basis::Published,
    sources: &["iapws_sr1_1992", "wood_handbook"],
};

static NO_BAG: Law = Law {
    says: "on this way of moulding no bag lies over dry cloth",
    basis: Basis::Firm,
    sources: &[],
};
