//! How wet the cloth is, how long to dry it and how, and how long until it is wet again.

mod answer;
mod curve;
mod deepen;
mod heat;
mod isotherm;
mod sealed;
mod vacuum;
mod voids;
mod ways;
mod weighed;

use answer::{answer, dry_already, notes};
use heat::{LONGEST_WAIT, Oven, out_of_the_oven};
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
use crate::sheet::{Basis, DrySheet, Grade, Head, Law, Spread, StageName};
use crate::units::Unit;

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
        damp(bench, air, stacked)
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

fn damp(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
) -> Result<(Option<Dried>, DrySheet), LawError> {
    let damp = gather(bench, stacked)?;
    let target = bench.take(&TARGET_REGAIN).times(0.01);
    let water = Spread::from([&damp.dry, &damp.start], |[dry, start]| dry * start);
    let to_drive = Spread::from([&damp.dry, &damp.start, &target], |[dry, start, target]| {
        dry * (start - target).max(0.0)
    });
    let weigh = |regain: &Spread| Spread::from([&damp.dry, regain], |[dry, r]| dry * (1.0 + r));
    let (weigh_now, weigh_target) = (weigh(&damp.start), weigh(&target));
    let oven = Oven::of(bench, &damp)?;
    let oven_time = oven.time(&damp, &target)?;
    let nothing = Spread::exact(0.0);
    let mut bag_time = nothing.clone();
    let [mut lowest, mut lowest_dry] = [nothing.clone(), nothing.clone()];
    let mut bagging = None;
    if under_the_bag(bench) {
        let bag = Bagging::of(bench, air, stacked, &damp)?;
        bag_time = bag.track(&damp, stacked, &target, None)?.0;
        lowest = bag.lowest(&damp, &damp.start)?;
        lowest_dry = bag.lowest(&damp, &target)?;
        bagging = Some(bag);
    }
    let bagged = bagging.is_some();
    let law = |law: &'static Law| if bagged { law } else { &NO_BAG };
    let laws = [law(&BAG_FLOOR), law(&BAG_TIME), law(&LOWEST)];
    let lying = ways::as_dried(bench);
    let wait = out_of_the_oven(bench, &damp, &target, lying)?;
    let floor = &oven.floor;
    let bag_floor = bagging.as_ref().map(|bag| &bag.floor);
    let over = bagging.as_ref().map(|_| &lowest);
    notes(bench, &damp, &target, floor, bag_floor, over, air);
    let bag_floor = bag_floor.unwrap_or(&nothing);
    let answer = answer(bench, &damp, &water, &target, floor, &oven_time);
    let desk = &mut bench.desk;
    let grams = |x: &Spread| x.times(1000.0);
    let percent = |x: &Spread| x.times(100.0);
    let sheet = DrySheet {
        head: Head::new(STAGE, answer, "oven_min"),
        regain_start_pct: desk.estimate(
            "Water per dry fibre, as kept",
            Unit::Percent,
            &percent(&damp.start),
            &ISOTHERM,
        ),
        water_g: desk.estimate("Water in the cloth", Unit::Gram, &grams(&water), &WATER),
        water_to_drive_g: desk.estimate(
            "Water to drive out",
            Unit::Gram,
            &grams(&to_drive),
            &WATER,
        ),
        weigh_now_g: desk.estimate(
            "The cloth on the scale now",
            Unit::Gram,
            &grams(&weigh_now),
            &WATER,
        ),
        weigh_target_g: desk.estimate(
            "The cloth on the scale when it is dry enough",
            Unit::Gram,
            &grams(&weigh_target),
            &WATER,
        ),
        oven_floor_pct: desk.estimate(
            "Driest this oven can get it",
            Unit::Percent,
            &percent(floor),
            &FLOOR,
        ),
        oven_min: desk.estimate(
            "Time in the oven",
            Unit::Minute,
            &oven_time.times(1.0 / 60.0),
            &OVEN_TIME,
        ),
        bag_floor_pct: desk
            .estimate(
                "Driest this bag can get it",
                Unit::Percent,
                &percent(bag_floor),
                laws[0],
            )
            .only_if(bagged),
        bag_h: desk
            .estimate(
                "Time under vacuum to get there",
                Unit::Hour,
                &bag_time.times(1.0 / 3600.0),
                laws[1],
            )
            .only_if(bagged),
        lowest_pressure_mbar: desk
            .estimate(
                "Lowest the gauge can show over cloth as damp as now",
                Unit::Millibar,
                &lowest.times(0.01),
                laws[2],
            )
            .only_if(bagged),
        lowest_pressure_dry_mbar: desk
            .estimate(
                "The same once the cloth is dry enough",
                Unit::Millibar,
                &lowest_dry.times(0.01),
                laws[2],
            )
            .only_if(bagged),
        out_of_oven_min: desk.estimate(
            "Out of the oven until it is too wet again",
            Unit::Minute,
            &wait.times(1.0 / 60.0),
            &WAIT,
        ),
        dew_point_c: None,
        largest_regain_pct: None,
        vapour_at_hottest_mbar: None,
        after_vacuum_pct: None,
        isotherm: None,
        curve: None,
        ways: Vec::new(),
        waits: Vec::new(),
        weighed: None,
        published: Vec::new(),
    };
    let dried = Dried {
        damp,
        oven,
        oven_time,
        bagging,
    };
    Ok((Some(dried), sheet))
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

static ISOTHERM: Law = Law {
    says: "R = s M_wood(T, h): the wood isotherm, scaled to this fibre",
    basis: Basis::Published,
    sources: &["wood_handbook", "hill_2009"],
};

static WATER: Law = Law {
    says: "dry mass times regain",
    basis: Basis::Firm,
    sources: &["law_regain_definition"],
};

static FLOOR: Law = Law {
    says: "room air heated up: h_oven = h_room p_sat(T_room) / p_sat(T_oven), then the isotherm",
    basis: Basis::Firm,
    sources: &["iapws_sr1_1992", "wood_handbook"],
};

static OVEN_TIME: Law = Law {
    says: "vapour through film and cloth against heat through the film, two equations in time, then a factor for real ovens",
    basis: Basis::Rule,
    sources: &["fourt_harris_1947", "judgement_drying_time"],
};

static BAG_FLOOR: Law = Law {
    says: "the isotherm at the bag's vapour pressure over saturation pressure",
    basis: Basis::Published,
    sources: &["iapws_sr1_1992", "wood_handbook"],
};

static BAG_TIME: Law = Law {
    says: "slowest of pump, vapour's way to the vent, and heat; to the target, or close to what the bag can reach",
    basis: Basis::Rule,
    sources: &["judgement_vapour_path"],
};

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

static WAIT: Law = Law {
    says: "the drying equations run backwards in room air",
    basis: Basis::Rule,
    sources: &["fourt_harris_1947", "judgement_drying_time"],
};
