//! What a bag can reach, how long it takes, and what the gauge can show.

use super::{Damp, flow_run};
use crate::law::{LawError, bag_drying, oven, sorption};
use crate::plan::fields::{BAG_TEMPERATURE, BLEED, PUMP, PUMP_LOWEST, VACUUM_HOURS, VACUUM_LINES};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::stage::stack::Stacked;
use crate::stage::water;

/// Longest time under vacuum that is worth computing [s].
pub(super) const LONGEST_BAG: f64 = 500.0 * 3600.0;

/// Under a bag the last tenth of the way to its floor is not waited for.
const NEAR_BAG_FLOOR: f64 = 0.1;

/// Drying by less than this share of the start counts as none.
const NO_LESS: f64 = 0.97;

/// Less water than this is not told apart from none [-].
const TRACE: f64 = 1e-4;

/// Heat that comes in from mould and room [W/(m2 K)].
const HEAT_IN: f64 = 10.0;

/// Pa m3/s of one litre a minute at one millibar.
const LITRE_MINUTE_MBAR: f64 = 1e-3 / 60.0 * 100.0;

/// The bag over the cloth, with the pump on.
#[derive(Clone)]
pub(super) struct Bagging {
    /// Temperature of mould and bag [K].
    pub(super) temperature: Spread,
    /// Lowest the pump reaches alone [Pa].
    pub(super) ultimate: Spread,
    /// Pump [m3/s].
    pump: Spread,
    /// How easily vapour runs along the stack [m3].
    path: Spread,
    /// How far it runs to one line at one edge [m].
    run: Spread,
    /// Vacuum lines.
    pub(super) lines: u32,
    /// Dry air let in [Pa m3/s]; zero for none.
    pub(super) bleed: Spread,
    /// Vapour left in the bag in the end [Pa].
    vapour: Spread,
    /// Driest the bag can get the cloth [-].
    pub(super) floor: Spread,
}

impl Bagging {
    /// What the bag of the plan is.
    pub(super) fn of(
        bench: &mut Bench<'_>,
        air: &Air,
        stacked: &Stacked,
        damp: &Damp,
    ) -> Result<Self, LawError> {
        let temperature = if bench.plan.given(&BAG_TEMPERATURE).is_some() {
            water::kelvin(&bench.take(&BAG_TEMPERATURE))
        } else {
            damp.room.0.clone()
        };
        let ultimate = bench.take(&PUMP_LOWEST).times(100.0);
        let vapour_share = bench.coefficient(
            "dry.vapour_share",
            "Share of the bag's pressure that is water vapour",
            Range::new(0.1, 0.5, 1.0),
            Grade::Judgement,
            "judgement_vapour_share",
        );
        let bleed = if bench.plan.given(&BLEED).is_some() {
            let litres = bench.take(&BLEED);
            Spread::from([&litres, &air.outside], |[l, outside]| {
                l * LITRE_MINUTE_MBAR * outside / 100.0
            })
        } else {
            Spread::exact(0.0)
        };
        let vapour = Spread::from([&vapour_share, &air.bag], |[share, bag]| {
            share.min(1.0) * bag
        });
        let mut bagging = Self {
            temperature,
            ultimate,
            pump: bench.take(&PUMP).times(1.0 / 3600.0),
            path: vapour_path(bench, stacked),
            run: flow_run(bench, stacked),
            // Checked to be whole and between 1 and 20.
            lines: bench.take(&VACUUM_LINES).likely() as u32,
            bleed,
            vapour,
            floor: Spread::exact(0.0),
        };
        bagging.settle(damp)?;
        Ok(bagging)
    }

    /// The floor of this bag. A bleed of dry air sweeps vapour out until next to none is left.
    fn settle(&mut self, damp: &Damp) -> Result<(), LawError> {
        let swept = self.bleed.likely() > 0.0;
        self.floor = Spread::of(
            [&damp.scale, &self.temperature, &self.vapour, &damp.start],
            |[scale, t, vapour, start]| {
                let vapour = if swept { 0.0 } else { vapour };
                Ok(bag_drying::end_regain(scale, t, vapour)?
                    .unwrap_or(start)
                    .min(start))
            },
        )?;
        Ok(())
    }

    /// The same bag with one thing changed.
    pub(super) fn but(
        &self,
        damp: &Damp,
        change: impl FnOnce(&mut Self),
    ) -> Result<Self, LawError> {
        let mut other = self.clone();
        change(&mut other);
        other.settle(damp)?;
        Ok(other)
    }

    /// The bag as the law takes it.
    fn law(
        &self,
        [dry, area, scale, temperature, pump, path, run, bleed]: [f64; 8],
        rests_at: f64,
    ) -> Result<bag_drying::Bagged, LawError> {
        Ok(bag_drying::Bagged {
            dry_mass: dry,
            area,
            scale,
            temperature,
            heat_coefficient: HEAT_IN,
            pump_speed: pump,
            pump_ultimate: rests_at,
            path: Some(bag_drying::lines(path, run, area, self.lines)?),
            bleed,
        })
    }

    /// What holds the drying back at a regain, with every input likely.
    pub(super) fn slowest(
        &self,
        damp: &Damp,
        stacked: &Stacked,
        regain: f64,
    ) -> Result<bag_drying::Slowest, LawError> {
        let likely = [
            &damp.dry,
            &stacked.area,
            &damp.scale,
            &self.temperature,
            &self.pump,
            &self.path,
            &self.run,
            &self.bleed,
        ]
        .map(Spread::likely);
        let bagged = self.law(likely, self.ultimate.likely())?;
        Ok(bag_drying::slowest(&bagged, regain)?.0)
    }

    /// Time until the target, or close to what the bag can reach [s], and water left after a stated time [-].
    ///
    /// Mass, area and way of the part hardly move the answer beside the rest; where many bags are compared, they
    /// stand at their likely values.
    pub(super) fn track(
        &self,
        damp: &Damp,
        stacked: &Stacked,
        target: &Spread,
        hours: Option<f64>,
    ) -> Result<(Spread, Spread), LawError> {
        // How long it takes hardly depends on how low the floor lies, so one floor serves for all draws.
        let resting = (self.floor.likely() / damp.start.likely()).min(NO_LESS);
        let swept = self.bleed.likely() > 0.0;
        let ultimate = self.ultimate.likely();
        let steady = |spread: &Spread| match hours {
            Some(_) => Spread::exact(spread.likely()),
            None => spread.clone(),
        };
        let (dry, area) = (steady(&damp.dry), steady(&stacked.area));
        let temperature = steady(&self.temperature);
        let [computed, after] = Spread::heavy(
            [
                &dry,
                &area,
                &damp.scale,
                &temperature,
                &self.pump,
                &self.path,
                &self.run,
                &self.bleed,
                &damp.start,
            ],
            |[dry, area, scale, temperature, pump, path, run, bleed, start]| {
                let floor = resting * start;
                let end = target
                    .likely()
                    .min(NO_LESS * start)
                    .max(floor + NEAR_BAG_FLOOR * (start - floor));
                let rests_at = if swept {
                    ultimate
                } else {
                    sorption::vapour_pressure(scale, temperature, floor)?
                };
                let bagged = self.law(
                    [dry, area, scale, temperature, pump, path, run, bleed],
                    rests_at,
                )?;
                let track = bag_drying::bag_track(&bagged, start, 0.999 * end, LONGEST_BAG)?;
                let time = oven::drying_time(&track, end).unwrap_or(LONGEST_BAG);
                let after = match hours.map(|hours| hours * 3600.0) {
                    None => start,
                    Some(stated) if stated < track.end().0 => track.at(stated)[0],
                    // Dry enough before that: it goes on drying.
                    Some(stated) => bag_drying::bag_track(&bagged, start, 0.0, stated)?.end().1[0],
                };
                Ok([time, after])
            },
        )?;
        let time = Spread::from([&computed, &damp.start, target], |[time, start, target]| {
            if start <= target {
                0.0
            } else {
                time.clamp(0.0, LONGEST_BAG)
            }
        });
        let after = Spread::from(
            [&after, &damp.start, &self.floor],
            |[after, start, floor]| {
                let left = after.clamp(floor.min(start), start);
                if left < TRACE { 0.0 } else { left }
            },
        );
        Ok((time, after))
    }

    /// Lowest pressure over cloth of a regain [Pa].
    pub(super) fn lowest(&self, damp: &Damp, regain: &Spread) -> Result<Spread, LawError> {
        Spread::of(
            [&self.ultimate, &damp.scale, &self.temperature, regain],
            |[ultimate, scale, t, regain]| {
                let over = sorption::vapour_pressure(scale, t, regain)?;
                bag_drying::lowest_pressure(ultimate, 0.0, 1.0, over)
            },
        )
    }
}

/// Hours under vacuum that the plan states.
pub(super) fn stated_hours(bench: &mut Bench<'_>) -> f64 {
    bench.take(&VACUUM_HOURS).likely()
}

/// How easily vapour runs along the stack under the bag, permeability times height [m3].
fn vapour_path(bench: &mut Bench<'_>, stacked: &Stacked) -> Spread {
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
