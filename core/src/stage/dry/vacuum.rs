//! What a bag can reach, how long it takes, and what the gauge can show.

use super::{Damp, flow_run};
use crate::law::{LawError, bag_drying, oven, sorption};
use crate::plan::fields::{BAG_TEMPERATURE, PUMP};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;
use crate::stage::water;

/// Longest time under vacuum that is worth computing [s].
pub(super) const LONGEST_BAG: f64 = 500.0 * 3600.0;

/// Under a bag the last tenth of the way to its floor is not waited for.
pub(super) const NEAR_BAG_FLOOR: f64 = 0.1;

/// Drying by less than this share of the start counts as none.
pub(super) const NO_LESS: f64 = 0.97;

/// Driest the bag can get it [-], time to get there [s], lowest pressure now and when dry [Pa].
pub(super) fn under_the_bag(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    damp: &Damp,
    target: &Spread,
) -> Result<(Spread, Spread, Spread, Spread), LawError> {
    let temperature = if bench.plan.given(&BAG_TEMPERATURE).is_some() {
        water::kelvin(&bench.take(&BAG_TEMPERATURE))
    } else {
        damp.room.0.clone()
    };
    let ultimate = bench.coefficient(
        "dry.pump_ultimate_mbar",
        "Lowest pressure the pump reaches alone, mbar",
        Range::new(0.5, 2.0, 5.0),
        Grade::Judgement,
        "judgement_pump",
    );
    let vapour_share = bench.coefficient(
        "dry.vapour_share",
        "Share of the bag's pressure that is water vapour",
        Range::new(0.1, 0.5, 1.0),
        Grade::Judgement,
        "judgement_vapour_share",
    );
    let pump = bench.take(&PUMP).times(1.0 / 3600.0);
    let path = vapour_path(bench, stacked);
    let run = flow_run(bench, stacked);
    let floor = Spread::of(
        [
            &damp.scale,
            &temperature,
            &vapour_share,
            &air.bag,
            &damp.start,
        ],
        |[scale, t, share, bag, start]| {
            let vapour = share.min(1.0) * bag;
            Ok(bag_drying::end_regain(scale, t, vapour)?
                .unwrap_or(start)
                .min(start))
        },
    )?;
    // How long it takes hardly depends on how low the floor lies, so one floor serves for all draws.
    let resting = (floor.likely() / damp.start.likely()).min(NO_LESS);
    let [computed] = Spread::heavy(
        [
            &damp.dry,
            &stacked.area,
            &damp.scale,
            &temperature,
            &pump,
            &path,
            &run,
            &damp.start,
        ],
        |[dry, area, scale, temperature, pump, path, run, start]| {
            let floor = resting * start;
            let end = target
                .likely()
                .min(NO_LESS * start)
                .max(floor + NEAR_BAG_FLOOR * (start - floor));
            let bagged = bag_drying::Bagged {
                dry_mass: dry,
                area,
                scale,
                temperature,
                heat_coefficient: 10.0,
                pump_speed: pump,
                pump_ultimate: sorption::vapour_pressure(scale, temperature, floor)?,
                path: Some(bag_drying::VapourPath {
                    transmissivity: path,
                    width: (area / run).max(0.01),
                    length: run,
                }),
            };
            let track = bag_drying::bag_track(&bagged, start, 0.999 * end, LONGEST_BAG)?;
            Ok([oven::drying_time(&track, end).unwrap_or(LONGEST_BAG)])
        },
    )?;
    let time = Spread::from([&computed, &damp.start, target], |[time, start, target]| {
        if start <= target {
            0.0
        } else {
            time.clamp(0.0, LONGEST_BAG)
        }
    });
    let lowest = |regain: &Spread| {
        Spread::of(
            [&ultimate, &damp.scale, &temperature, regain],
            |[ultimate, scale, t, regain]| {
                let over = sorption::vapour_pressure(scale, t, regain)?;
                bag_drying::lowest_pressure(ultimate * 100.0, 0.0, 1.0, over)
            },
        )
    };
    let now = lowest(&damp.start)?;
    let dry = lowest(target)?;
    Ok((floor, time, now, dry))
}

/// How easily vapour runs along the stack under the bag, permeability times height [m3].
pub(super) fn vapour_path(bench: &mut Bench<'_>, stacked: &Stacked) -> Spread {
    if bench.plan.flow_mesh {
        return bench.coefficient(
            "dry.path_mesh_m3",
            "How easily vapour runs through the flow mesh",
            Range::new(1e-12, 3e-12, 1e-11),
            Grade::Judgement,
            "judgement_vapour_path",
        );
    }
    let gaps = bench.coefficient(
        "dry.path_gaps",
        "How much more vapour runs through peel ply, folds and edges than through the cloth",
        Range::new(2.0, 6.0, 20.0),
        Grade::Judgement,
        "judgement_vapour_path",
    );
    let parts: Vec<Spread> = stacked
        .cloths()
        .map(|(row, cloth)| {
            let count = f64::from(row.count);
            Spread::from([&cloth.along, &row.thickness], |[k, t]| k * t * count)
        })
        .collect();
    Spread::from([&Spread::sum(&parts), &gaps], |[kh, gaps]| {
        (kh * gaps).clamp(1e-16, 1e-9)
    })
}
