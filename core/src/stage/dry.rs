//! How wet the cloth is, how long to dry it and how, and how long until it is wet again.

use super::air::Air;
use super::bench::{Bench, Fallback, ZERO_C};
use super::stack::Stacked;
use super::water;
use crate::law::{LawError, bag_drying, oven, sorption, water_vapour};
use crate::plan::fields::{
    BAG_TEMPERATURE, FLOW_LENGTH, LIMIT_REGAIN, OVEN, PLIES_DRIED_TOGETHER, PUMP, ROOM_HUMIDITY,
    ROOM_TEMPERATURE, TARGET_REGAIN,
};
use crate::plan::{Faces, Route};
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Basis, DrySheet, Grade, Head, Law, Spread, StageName};
use crate::units::Unit;

const STAGE: StageName = StageName::Dry;
/// Longest time in the oven that is worth computing [s].
const LONGEST_OVEN: f64 = 48.0 * 3600.0;
/// Longest time under vacuum that is worth computing [s].
const LONGEST_BAG: f64 = 500.0 * 3600.0;
/// Longest time out of the oven that is worth computing [s].
const LONGEST_WAIT: f64 = 48.0 * 3600.0;
/// A target nearer to the floor than this share of the way cannot be waited for.
const NEAR_FLOOR: f64 = 0.05;
/// Under a bag the last tenth of the way to its floor is not waited for.
const NEAR_BAG_FLOOR: f64 = 0.1;
/// Drying by less than this share of the start counts as none.
const NO_LESS: f64 = 0.97;
/// Hottest that flax is dried [C].
const HOTTEST: f64 = 105.0;

/// The damp part of the stack.
struct Damp {
    /// Dry mass of the damp fibre [kg].
    dry: Spread,
    /// Dry mass per area of what is dried together [kg/m2].
    areal: Spread,
    /// Height of what is dried together, loose [m].
    height: Spread,
    /// Moisture relative to wood, mean over the damp fibre [-].
    scale: Spread,
    /// Air in the shop [K], [-].
    room: (Spread, Spread),
    /// Regain in store [-].
    start: Spread,
}

/// Works the drying out and writes its sheet.
pub(crate) fn work(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
) -> Result<DrySheet, Vec<Problem>> {
    let result = if stacked.is_damp() {
        damp(bench, air, stacked)
    } else {
        dry_already(bench, air, stacked)
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
        scale,
        room,
        start,
    })
}

fn damp(bench: &mut Bench<'_>, air: &Air, stacked: &Stacked) -> Result<DrySheet, LawError> {
    let damp = gather(bench, stacked)?;
    let target = bench.take(&TARGET_REGAIN).times(0.01);
    let water = Spread::from([&damp.dry, &damp.start], |[dry, start]| dry * start);
    let to_drive = Spread::from([&damp.dry, &damp.start, &target], |[dry, start, target]| {
        dry * (start - target).max(0.0)
    });
    let weigh = |regain: &Spread| Spread::from([&damp.dry, regain], |[dry, r]| dry * (1.0 + r));
    let (weigh_now, weigh_target) = (weigh(&damp.start), weigh(&target));
    let (floor, oven_time) = in_the_oven(bench, &damp, &target)?;
    let (bag_floor, bag_time, lowest, lowest_dry) =
        under_the_bag(bench, air, stacked, &damp, &target)?;
    let wait = out_of_the_oven(bench, &damp, &target)?;
    notes(bench, &damp, &target, &floor, &bag_floor, &lowest, air);
    let answer = answer(bench, &damp, &water, &target, &floor, &oven_time);
    let desk = &mut bench.desk;
    let grams = |x: &Spread| x.times(1000.0);
    let percent = |x: &Spread| x.times(100.0);
    Ok(DrySheet {
        head: Head {
            stage: STAGE,
            short: "Dry",
            question: "How wet is the cloth?",
            answer,
            main: "oven_min",
        },
        regain_start_pct: desk.estimate(
            "Water per dry fibre, as kept",
            Unit::Percent,
            &percent(&damp.start),
            &ISOTHERM,
        ),
        water_g: desk.estimate("Water in the cloth", Unit::Gram, &grams(&water), &WATER),
        water_to_drive_g: desk.estimate("Water to drive out", Unit::Gram, &grams(&to_drive), &WATER),
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
            &percent(&floor),
            &FLOOR,
        ),
        oven_min: desk.estimate(
            "Time in the oven",
            Unit::Minute,
            &oven_time.times(1.0 / 60.0),
            &OVEN_TIME,
        ),
        bag_floor_pct: desk.estimate(
            "Driest this bag can get it",
            Unit::Percent,
            &percent(&bag_floor),
            &BAG_FLOOR,
        ),
        bag_h: desk.estimate(
            "Time under vacuum to get there",
            Unit::Hour,
            &bag_time.times(1.0 / 3600.0),
            &BAG_TIME,
        ),
        lowest_pressure_mbar: desk.estimate(
            "Lowest the gauge can show over cloth as damp as now",
            Unit::Millibar,
            &lowest.times(0.01),
            &LOWEST,
        ),
        lowest_pressure_dry_mbar: desk.estimate(
            "The same once the cloth is dry enough",
            Unit::Millibar,
            &lowest_dry.times(0.01),
            &LOWEST,
        ),
        out_of_oven_min: desk.estimate(
            "Out of the oven until it is too wet again",
            Unit::Minute,
            &wait.times(1.0 / 60.0),
            &WAIT,
        ),
    })
}

/// Where drying is taken to end: the target, or a little above a floor that lies higher.
fn end_of_drying(start: f64, floor: f64, target: f64) -> f64 {
    target.max(floor + NEAR_FLOOR * (start - floor).max(0.0))
}

/// Driest the oven can get it [-], and the time in it [s].
fn in_the_oven(
    bench: &mut Bench<'_>,
    damp: &Damp,
    target: &Spread,
) -> Result<(Spread, Spread), LawError> {
    let fan = bench.plan.fan;
    let faces = match bench.plan.faces {
        Faces::Two => 2,
        Faces::One => 1,
    };
    let oven_temperature = bench.take(&OVEN).map(|c| (c + ZERO_C).min(378.0));
    let film = if fan {
        Range::new(15.0, oven::FAN_AIR_FILM, 30.0)
    } else {
        Range::new(5.0, oven::STILL_AIR_FILM, 7.0)
    };
    let film = bench.coefficient(
        "dry.film",
        "How well the oven's air carries heat and vapour",
        film,
        Grade::Memory,
        "memory_film_coefficient",
    );
    let resistance = bench.coefficient(
        "dry.resistance",
        "How much cloth hinders vapour, against still air",
        Range::new(2.0, oven::VAPOUR_RESISTANCE_FACTOR, 4.0),
        Grade::Read,
        "fourt_harris_1947",
    );
    let heat_up = bench.coefficient(
        "dry.heat_up_min",
        "Minutes until oven and trays are hot again",
        Range::new(5.0, 10.0, 20.0),
        Grade::Judgement,
        "judgement_drying_time",
    );
    let factor = drying_factor(bench);
    let (room_t, room_h) = (&damp.room.0, &damp.room.1);
    let floor = Spread::of(
        [&damp.scale, room_t, room_h, &oven_temperature],
        |[s, t, h, oven_t]| oven::oven_floor(s, t, h, oven_t.max(t)),
    )?;
    let [computed] = Spread::heavy(
        [
            &damp.scale,
            &damp.start,
            &damp.areal,
            &damp.height,
            room_t,
            room_h,
            &oven_temperature,
            &film,
            &resistance,
            target,
        ],
        |[
            scale,
            start,
            areal,
            height,
            room_t,
            room_h,
            oven_t,
            film,
            resistance,
            target,
        ]| {
            let oven_t = oven_t.max(room_t);
            let layup = oven::Layup {
                dry_areal_mass: areal,
                height,
                faces_open: faces,
                resistance_factor: resistance,
                scale,
                start_temperature: room_t,
            };
            let oven_air = oven::Air {
                temperature: oven_t,
                activity: oven::heated_activity(room_t, room_h, oven_t)?,
                film_coefficient: film,
            };
            let floor = oven::oven_floor(scale, room_t, room_h, oven_t)?;
            let end = end_of_drying(start, floor, target);
            if end >= start {
                return Ok([0.0]);
            }
            let track = oven::drying_track(&layup, &oven_air, start, LONGEST_OVEN)?;
            Ok([oven::drying_time(&track, end).unwrap_or(LONGEST_OVEN)])
        },
    )?;
    let time = Spread::from(
        [&computed, &factor, &heat_up, &damp.start, target],
        |[computed, factor, heat_up, start, target]| {
            if start <= target {
                0.0
            } else {
                computed.max(0.0) * factor + heat_up * 60.0
            }
        },
    );
    Ok((floor, time))
}

fn drying_factor(bench: &mut Bench<'_>) -> Spread {
    if let Some(range) = bench.shelf.learned.drying_factor {
        return bench.learned(
            "learned.drying_factor",
            "Your oven's drying time, relative to the computed one",
            range,
        );
    }
    bench.coefficient(
        "dry.time_factor",
        "How much slower a real oven dries than the computed one",
        Range::new(1.0, 1.6, 3.0),
        Grade::Judgement,
        "judgement_drying_time",
    )
}

/// Driest the bag can get it [-], time to get there [s], lowest pressure now and when dry [Pa].
fn under_the_bag(
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

/// Time out of the oven until the cloth is too wet again [s].
fn out_of_the_oven(
    bench: &mut Bench<'_>,
    damp: &Damp,
    target: &Spread,
) -> Result<Spread, LawError> {
    let limit = bench.take(&LIMIT_REGAIN).times(0.01);
    let factor = bench.coefficient(
        "dry.regain_factor",
        "How much slower or faster a real stack takes up water than the computed one",
        Range::new(0.5, 1.0, 2.0),
        Grade::Judgement,
        "judgement_drying_time",
    );
    let faces = match bench.plan.faces {
        Faces::Two => 2,
        Faces::One => 1,
    };
    let (room_t, room_h) = (&damp.room.0, &damp.room.1);
    let [computed] = Spread::heavy(
        [&damp.scale, &damp.areal, &damp.height, room_t, room_h],
        |[scale, areal, height, room_t, room_h]| {
            let (from, to) = (target.likely(), limit.likely());
            if from >= to {
                return Ok([0.0]);
            }
            if sorption::flax_regain(scale, room_t, room_h)? <= to {
                return Ok([LONGEST_WAIT]);
            }
            let layup = oven::Layup {
                dry_areal_mass: areal,
                height,
                faces_open: faces,
                resistance_factor: oven::VAPOUR_RESISTANCE_FACTOR,
                scale,
                start_temperature: room_t,
            };
            let air = oven::Air {
                temperature: room_t,
                activity: room_h,
                film_coefficient: oven::ROOM_AIR_FILM,
            };
            let time = oven::regain_time(&layup, &air, from, to)?;
            Ok([time.unwrap_or(LONGEST_WAIT)])
        },
    )?;
    Ok(Spread::from([&computed, &factor], |[time, factor]| {
        (time.max(0.0) * factor).min(LONGEST_WAIT)
    }))
}

fn answer(
    bench: &Bench<'_>,
    damp: &Damp,
    water: &Spread,
    target: &Spread,
    floor: &Spread,
    time: &Spread,
) -> String {
    let desk = &bench.desk;
    let holds = format!(
        "the cloth holds {} of water, {} of its dry mass",
        desk.say(Unit::Gram, &water.times(1000.0)),
        desk.say(Unit::Percent, &damp.start.times(100.0)),
    );
    if damp.start.likely() <= target.likely() {
        return format!("Dry enough as it lies: {holds}.");
    }
    let oven = bench
        .plan
        .given(&OVEN)
        .or(OVEN.usual.map(|usual| usual.range))
        .map_or(60.0, |range| range.likely);
    let oven = desk.say_plain(Unit::Celsius, oven);
    if floor.likely() > target.likely() {
        return format!(
            "At {oven} it never gets below {}: {holds}. Use a hotter oven.",
            desk.say(Unit::Percent, &floor.times(100.0)),
        );
    }
    format!(
        "Dry it for about {} at {oven}: {holds}.",
        desk.say(Unit::Minute, &time.times(1.0 / 60.0)),
    )
}

fn notes(
    bench: &mut Bench<'_>,
    damp: &Damp,
    target: &Spread,
    floor: &Spread,
    bag_floor: &Spread,
    lowest: &Spread,
    air: &Air,
) {
    bench.caution(
        STAGE,
        "Dry fibre in a hot oven can catch fire: keep it away from bare elements, stay with it, and never leave it overnight.",
    );
    let hottest = bench.desk.say_plain(Unit::Celsius, HOTTEST);
    let oven = bench.plan.given(&OVEN).map_or(60.0, |range| range.likely);
    if oven > HOTTEST {
        bench.problem(
            STAGE,
            format!("Stay at or below {hottest}: a day at that heat already costs flax strength, and hotter is worse. This sheet computes with {hottest}."),
        );
    }
    bench.advice(
        STAGE,
        "Trust the scale more than the clock: weigh the whole stack, dry, and weigh again until it reaches the mass given for dry enough.",
    );
    bench.desk.cite(&["practice_oven", "practice_bag_drying"]);
    bench.advice(
        STAGE,
        "The trade gives two hours at 60 °C, or about five hours under full vacuum, and calls that dry (common practice, no source).",
    );
    if floor.likely() > target.likely() {
        bench.problem(
            STAGE,
            "This oven cannot reach the target, because the room's own damp sets a floor. Raise its temperature or dry the room's air.",
        );
    }
    if !bench.bagged() {
        return;
    }
    bench.caution(
        STAGE,
        "A vacuum pot or trap can implode: use one made for full vacuum, without cracks, and cover glass with tape.",
    );
    if bag_floor.likely() > target.likely() && bench.plan.route == Route::Infusion {
        bench.advice(
            STAGE,
            format!(
                "Do not leave the drying to the bag: vacuum alone stops near {} at this temperature and pressure. Use the oven first, or warm the mould.",
                bench.desk.say(Unit::Percent, &bag_floor.times(100.0)),
            ),
        );
    }
    let wet = damp.start.likely() > target.likely();
    if wet && lowest.likely() > air.bag.likely() {
        bench.advice(
            STAGE,
            format!(
                "A tight bag over this cloth cannot show less than about {} until it dries: a slow gauge may be water, not a leak.",
                bench.desk.say(Unit::Millibar, &lowest.times(0.01)),
            ),
        );
    }
}

/// A stack without bast fibre holds next to no water.
fn dry_already(bench: &mut Bench<'_>, air: &Air, stacked: &Stacked) -> Result<DrySheet, LawError> {
    let nothing = Spread::exact(0.0);
    let mass = stacked.fibre.times(1000.0);
    let room = water::kelvin(&bench.take(&ROOM_TEMPERATURE));
    // Whatever the bag holds then is air, or vapour of some water that was spilt.
    let lowest = Spread::of([&air.bag, &room], |[bag, t]| {
        Ok(bag.min(water_vapour::saturation_pressure(t)?))
    })?;
    let desk = &mut bench.desk;
    let mut zero = |label, unit| desk.estimate(label, unit, &nothing, &NO_WATER);
    let regain_start_pct = zero("Water per dry fibre, as kept", Unit::Percent);
    let water_g = zero("Water in the cloth", Unit::Gram);
    let water_to_drive_g = zero("Water to drive out", Unit::Gram);
    let oven_floor_pct = zero("Driest this oven can get it", Unit::Percent);
    let oven_min = zero("Time in the oven", Unit::Minute);
    let bag_floor_pct = zero("Driest this bag can get it", Unit::Percent);
    let bag_h = zero("Time under vacuum to get there", Unit::Hour);
    let out_of_oven_min = desk.estimate(
        "Out of the oven until it is too wet again",
        Unit::Minute,
        &Spread::exact(LONGEST_WAIT / 60.0),
        &NO_WATER,
    );
    Ok(DrySheet {
        head: Head {
            stage: STAGE,
            short: "Dry",
            question: "How wet is the cloth?",
            answer: "Dry as it is: glass, carbon and cores hold next to no water. Keep dust and damp off it.".into(),
            main: "water_g",
        },
        weigh_now_g: desk.estimate("The cloth on the scale now", Unit::Gram, &mass, &NO_WATER),
        weigh_target_g: desk.estimate(
            "The cloth on the scale when it is dry enough",
            Unit::Gram,
            &mass,
            &NO_WATER,
        ),
        lowest_pressure_mbar: desk.estimate(
            "Lowest the gauge can show over this cloth",
            Unit::Millibar,
            &lowest.times(0.01),
            &LOWEST,
        ),
        lowest_pressure_dry_mbar: desk.estimate(
            "The same once the cloth is dry enough",
            Unit::Millibar,
            &lowest.times(0.01),
            &LOWEST,
        ),
        regain_start_pct,
        water_g,
        water_to_drive_g,
        oven_floor_pct,
        oven_min,
        bag_floor_pct,
        bag_h,
        out_of_oven_min,
    })
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
static WAIT: Law = Law {
    says: "the drying equations run backwards in room air",
    basis: Basis::Rule,
    sources: &["fourt_harris_1947", "judgement_drying_time"],
};
static NO_WATER: Law = Law {
    says: "mineral fibre takes up no water from air",
    basis: Basis::Firm,
    sources: &["memory_synthetic_fibres"],
};
