//! Time in the oven, and out of it until the cloth is too wet again.

use super::Damp;
use crate::law::{LawError, oven, sorption};
use crate::plan::Faces;
use crate::plan::fields::{LIMIT_REGAIN, OVEN};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::stage::bench::{Bench, ZERO_C};

/// Longest time in the oven that is worth computing [s].
pub(super) const LONGEST_OVEN: f64 = 48.0 * 3600.0;

/// Longest time out of the oven that is worth computing [s].
pub(super) const LONGEST_WAIT: f64 = 48.0 * 3600.0;

/// A target nearer to the floor than this share of the way cannot be waited for.
pub(super) const NEAR_FLOOR: f64 = 0.05;

/// Where drying is taken to end: the target, or a little above a floor that lies higher.
pub(super) fn end_of_drying(start: f64, floor: f64, target: f64) -> f64 {
    target.max(floor + NEAR_FLOOR * (start - floor).max(0.0))
}

/// Driest the oven can get it [-], and the time in it [s].
pub(super) fn in_the_oven(
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

pub(super) fn drying_factor(bench: &mut Bench<'_>) -> Spread {
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

/// Time out of the oven until the cloth is too wet again [s].
pub(super) fn out_of_the_oven(
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
