//! Time in the oven, and out of it until the cloth is too wet again.

use super::Damp;
use crate::law::{LawError, closed_oven, oven, sorption};
use crate::plan::Faces;
use crate::plan::fields::{HEAT_UP, LIMIT_REGAIN, OVEN, OVEN_VOLUME};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::stage::bench::{Bench, ZERO_C};
use crate::units::Unit;

/// Longest time in the oven that is worth computing [s].
pub(super) const LONGEST_OVEN: f64 = 48.0 * 3600.0;

/// Longest time out of the oven that is worth computing [s].
pub(super) const LONGEST_WAIT: f64 = 48.0 * 3600.0;

/// Drying by less than this share of the start counts as none [-].
const NO_DRIER: f64 = 0.03;

/// Least air over the cloth in a closed oven that is worth computing [m].
const LEAST_AIR: f64 = 2e-3;

/// A target nearer to the floor than this share of the way cannot be waited for.
pub(super) const NEAR_FLOOR: f64 = 0.05;

/// Where drying is taken to end: the target, or a little above a floor that lies higher.
pub(super) fn end_of_drying(start: f64, floor: f64, target: f64) -> f64 {
    target.max(floor + NEAR_FLOOR * (start - floor).max(0.0))
}

/// How many faces of the stack air reaches.
pub(super) fn faces(bench: &Bench<'_>) -> u8 {
    match bench.plan.faces {
        Faces::Two => 2,
        Faces::One => 1,
    }
}

/// The oven and the cloth in it.
#[derive(Clone)]
pub(super) struct Oven {
    /// Temperature [K].
    pub(super) temperature: Spread,
    /// Film coefficient [W/(m2 K)].
    pub(super) film: Spread,
    /// Resistance of cloth to vapour over that of still air [-].
    pub(super) resistance: Spread,
    /// Until oven and trays are hot again [s].
    pub(super) heat_up: Spread,
    /// How much slower it dries than computed [-].
    pub(super) factor: Spread,
    /// Air in it over the plan area of the cloth [m]; zero when it breathes the air of the room.
    pub(super) closed: Spread,
    /// Faces of the stack that air reaches.
    pub(super) faces: u8,
    /// Driest it can get the cloth [-].
    pub(super) floor: Spread,
}

impl Oven {
    /// What the oven of the plan is.
    pub(super) fn of(bench: &mut Bench<'_>, damp: &Damp) -> Result<Self, LawError> {
        let room_t = &damp.room.0;
        let temperature = bench.take(&OVEN).map(|c| (c + ZERO_C).min(378.0));
        let temperature = Spread::from([&temperature, room_t], |[oven, room]| oven.max(room));
        let film = if bench.plan.fan {
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
        let heat_up = bench.take(&HEAT_UP).times(60.0);
        let factor = drying_factor(bench);
        let closed = if bench.plan.closed {
            let litres = bench.take(&OVEN_VOLUME);
            // All cloth is in it at once, whatever lies on top of what.
            Spread::from([&litres, &damp.dry, &damp.areal], |[l, dry, areal]| {
                (l * 1e-3 * areal / dry).max(LEAST_AIR)
            })
        } else {
            Spread::exact(0.0)
        };
        let mut oven = Self {
            temperature,
            film,
            resistance,
            heat_up,
            factor,
            closed,
            faces: faces(bench),
            floor: Spread::exact(0.0),
        };
        oven.settle(damp)?;
        Ok(oven)
    }

    /// Times [s] at which the cloth holds certain regains, by the equations alone: `levels` gives them from start
    /// and floor.
    fn computed<const M: usize>(
        &self,
        damp: &Damp,
        levels: impl Fn(f64, f64) -> [f64; M],
    ) -> Result<[Spread; M], LawError> {
        Spread::heavy(
            [
                &damp.scale,
                &damp.start,
                &damp.areal,
                &damp.height,
                &damp.room.0,
                &damp.room.1,
                &self.temperature,
                &self.film,
                &self.resistance,
                &self.closed,
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
                closed,
            ]| {
                let oven_t = oven_t.max(room_t);
                let layup = oven::Layup {
                    dry_areal_mass: areal,
                    height,
                    faces_open: self.faces,
                    resistance_factor: resistance,
                    scale,
                    start_temperature: room_t,
                    cover: 0.0,
                };
                let air = oven::Air {
                    temperature: oven_t,
                    activity: oven::heated_activity(room_t, room_h, oven_t)?,
                    film_coefficient: film,
                    room_per_area: (closed > 0.0).then_some(closed),
                };
                let floor = floor(scale, room_t, room_h, oven_t, closed, areal, start)?;
                let levels = levels(start, floor);
                if start - floor < NO_DRIER * start || levels.iter().all(|&level| level >= start) {
                    return Ok([0.0; M]);
                }
                let last = levels.iter().copied().fold(start, f64::min);
                let track = oven::drying_track_to(&layup, &air, start, last, LONGEST_OVEN)?;
                Ok(levels.map(|level| {
                    if level >= start {
                        0.0
                    } else {
                        oven::drying_time(&track, level).unwrap_or(LONGEST_OVEN)
                    }
                }))
            },
        )
    }

    /// The same oven with one thing changed.
    pub(super) fn but(
        mut self,
        damp: &Damp,
        change: impl FnOnce(&mut Self),
    ) -> Result<Self, LawError> {
        change(&mut self);
        self.settle(damp)?;
        Ok(self)
    }

    /// Finds the floor of this oven.
    fn settle(&mut self, damp: &Damp) -> Result<(), LawError> {
        self.floor = Spread::of(
            [
                &damp.scale,
                &damp.room.0,
                &damp.room.1,
                &self.temperature,
                &self.closed,
                &damp.areal,
                &damp.start,
            ],
            |[scale, room_t, room_h, oven_t, closed, areal, start]| {
                floor(scale, room_t, room_h, oven_t, closed, areal, start)
            },
        )?;
        Ok(())
    }

    /// A computed time as the shop's clock shows it: slower by the factor, later by the heating up [s].
    fn clock(&self, computed: &Spread) -> Spread {
        Spread::from(
            [computed, &self.factor, &self.heat_up],
            |[computed, factor, heat_up]| computed.max(0.0) * factor + heat_up,
        )
    }

    /// Time until the target, or until a little above a floor that lies higher [s].
    pub(super) fn time(&self, damp: &Damp, target: &Spread) -> Result<Spread, LawError> {
        let wanted = target.likely();
        let [computed] =
            self.computed(damp, |start, floor| [end_of_drying(start, floor, wanted)])?;
        let clock = self.clock(&computed);
        Ok(Spread::from(
            [&clock, &damp.start, target],
            |[clock, start, target]| if start <= target { 0.0 } else { clock },
        ))
    }

    /// Times at which shares of the water that can leave are still there [s].
    pub(super) fn course<const M: usize>(
        &self,
        damp: &Damp,
        shares: [f64; M],
    ) -> Result<[Spread; M], LawError> {
        let computed = self.computed(damp, |start, floor| {
            shares.map(|share| floor + share * (start - floor).max(0.0))
        })?;
        Ok(computed.map(|time| self.clock(&time)))
    }
}

/// Driest an oven gets the cloth, whether it breathes or not [-].
fn floor(
    scale: f64,
    room_t: f64,
    room_h: f64,
    oven_t: f64,
    closed: f64,
    areal: f64,
    start: f64,
) -> Result<f64, LawError> {
    let oven_t = oven_t.max(room_t);
    if closed > 0.0 {
        let heated = oven::heated_activity(room_t, room_h, oven_t)?;
        return closed_oven::closed_floor(scale, oven_t, heated, start, areal, closed);
    }
    oven::oven_floor(scale, room_t, room_h, oven_t)
}

fn drying_factor(bench: &mut Bench<'_>) -> Spread {
    if let Some(range) = bench.shelf.learned.drying_factor {
        return bench.learned(
            "learned.drying_factor",
            "Your oven's drying time, relative to the computed one",
            Unit::One,
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

/// How cloth lies in the room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lying {
    /// Whether it is one ply by itself, or the stack.
    pub(super) single: bool,
    /// Faces that air reaches.
    pub(super) faces: u8,
    /// Whether film lies over it.
    pub(super) covered: bool,
}

/// Time out of the oven until the cloth is too wet again [s].
pub(super) fn out_of_the_oven(
    bench: &mut Bench<'_>,
    damp: &Damp,
    target: &Spread,
    lying: Lying,
) -> Result<Spread, LawError> {
    let limit = bench.take(&LIMIT_REGAIN).times(0.01);
    let factor = bench.coefficient(
        "dry.regain_factor",
        "How much slower or faster a real stack takes up water than the computed one",
        Range::new(0.5, 1.0, 2.0),
        Grade::Judgement,
        "judgement_drying_time",
    );
    let cover = if lying.covered {
        bench.coefficient(
            "dry.cover_m",
            "Still air that loosely laid film is worth, m",
            Range::new(0.1, 0.5, 2.0),
            Grade::Judgement,
            "judgement_cover",
        )
    } else {
        Spread::exact(0.0)
    };
    let plies = if lying.single { damp.together } else { 1.0 };
    let (room_t, room_h) = (&damp.room.0, &damp.room.1);
    let [computed] = Spread::heavy(
        [
            &damp.scale,
            &damp.areal,
            &damp.height,
            room_t,
            room_h,
            &cover,
        ],
        |[scale, areal, height, room_t, room_h, cover]| {
            let (from, to) = (target.likely(), limit.likely());
            if from >= to {
                return Ok([0.0]);
            }
            if sorption::flax_regain(scale, room_t, room_h)? <= to {
                return Ok([LONGEST_WAIT]);
            }
            let layup = oven::Layup {
                dry_areal_mass: areal / plies,
                height: (height / plies).max(2e-5),
                faces_open: lying.faces,
                resistance_factor: oven::VAPOUR_RESISTANCE_FACTOR,
                scale,
                start_temperature: room_t,
                cover,
            };
            let air = oven::Air {
                temperature: room_t,
                activity: room_h,
                film_coefficient: oven::ROOM_AIR_FILM,
                room_per_area: None,
            };
            let time = oven::regain_time(&layup, &air, from, to)?;
            Ok([time.unwrap_or(LONGEST_WAIT)])
        },
    )?;
    Ok(Spread::from([&computed, &factor], |[time, factor]| {
        (time.max(0.0) * factor).min(LONGEST_WAIT)
    }))
}
