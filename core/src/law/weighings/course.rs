//! The course of one oven out of the ranges, asked forwards for masses and backwards for times.

use super::Weighing;
use super::ranges::{Inputs, PlacedRanges};
use crate::law::closed_oven::closed_floor;
use crate::law::oven::{self, Air, DryingTrack, Layup, drying_time, drying_track};

/// Longest that a course is followed [s].
const LONGEST: f64 = 3e6;
/// A target nearer to the floor than this share of the way cannot be waited for.
const NEAR_FLOOR: f64 = 0.05;
/// Times are compared in their logarithm above about this, and as they are below [s].
const SHORT: f64 = 300.0;
/// Shares of the water that can leave, at which times are told.
const SHARES: [f64; 12] = [
    1.0, 0.95, 0.85, 0.75, 0.65, 0.55, 0.45, 0.35, 0.25, 0.15, 0.1, 0.05,
];

/// What is asked of a course.
pub(super) struct Asked<'a> {
    pub(super) target: f64,
    pub(super) last: f64,
    pub(super) levels: &'a [f64],
}

/// An oven with its inputs free; keeps the course that it followed last, which many questions share.
pub(super) struct Oven {
    ranges: PlacedRanges,
    known: Option<(Inputs, Course)>,
}

/// How the law has one oven, before heating up and its factor.
struct Course {
    track: DryingTrack,
    /// Driest it gets, the start at most [-].
    floor: f64,
    /// When half of what can leave has left [s].
    half: f64,
}

impl Oven {
    pub(super) fn new(ranges: PlacedRanges) -> Self {
        Self {
            ranges,
            known: None,
        }
    }

    /// The oven at these unknowns, with its course followed.
    fn at(&mut self, z: &[f64]) -> Option<(Inputs, &Course)> {
        let inputs = self.ranges.at(z);
        // What only stretches or weighs the course leaves it as it is.
        let key = Inputs {
            dry_mass: 0.0,
            heat_up: 0.0,
            factor: 0.0,
            bend: 0.0,
            ..inputs
        };
        if self.known.as_ref().is_none_or(|(known, _)| *known != key) {
            self.known = Some((key, self.follow(&inputs)?));
        }
        self.known.as_ref().map(|(_, course)| (inputs, course))
    }

    fn follow(&self, inputs: &Inputs) -> Option<Course> {
        let (room, hot) = (self.ranges.room_temperature, inputs.oven_temperature);
        let activity = oven::heated_activity(room, inputs.room_activity, hot).ok()?;
        let layup = Layup {
            dry_areal_mass: inputs.areal,
            height: inputs.height,
            faces_open: self.ranges.faces_open,
            resistance_factor: inputs.resistance,
            cover: 0.0,
            scale: inputs.scale,
            start_temperature: room,
        };
        let air = Air {
            temperature: hot,
            activity,
            film_coefficient: inputs.film,
            room_per_area: self.ranges.room_per_area,
        };
        let floor = match self.ranges.room_per_area {
            None => oven::oven_floor(inputs.scale, room, inputs.room_activity, hot).ok()?,
            Some(space) => {
                let (scale, start) = (inputs.scale, inputs.start);
                closed_floor(scale, hot, activity, start, inputs.areal, space).ok()?
            }
        };
        let floor = floor.min(inputs.start);
        let track = drying_track(&layup, &air, inputs.start, LONGEST).ok()?;
        let middle = 0.5 * (inputs.start + floor);
        let half = drying_time(&track, middle).unwrap_or(SHORT).max(1.0);
        Some(Course { track, floor, half })
    }

    /// Mass at each weighing [kg].
    pub(super) fn masses(&mut self, z: &[f64], weighings: &[Weighing]) -> Option<Vec<f64>> {
        let (inputs, course) = self.at(z)?;
        let masses = weighings
            .iter()
            .map(|w| inputs.dry_mass * (1.0 + regain(&inputs, course, w.time)));
        Some(masses.collect())
    }

    /// Regains at which the times of the course are told [-].
    pub(super) fn levels(&mut self, z: &[f64]) -> Option<Vec<f64>> {
        let (inputs, course) = self.at(z)?;
        let floor = course.floor;
        let levels = SHARES.map(|share| floor + share * (inputs.start - floor));
        Some(levels.to_vec())
    }

    /// Whether the cloth is dry enough as it goes in.
    pub(super) fn dry_enough(&self, z: &[f64], target: f64) -> bool {
        self.ranges.at(z).start <= target
    }

    /// Logarithm of the dry mass, regain at the last weighing, and the times of the end and of the levels, as
    /// [`time_of`] reads them.
    pub(super) fn answers(&mut self, z: &[f64], asked: &Asked<'_>) -> Option<Vec<f64>> {
        let (inputs, course) = self.at(z)?;
        let now = regain(&inputs, course, asked.last);
        let near = course.floor + NEAR_FLOOR * (inputs.start - course.floor);
        let end = when(&inputs, course, asked.target.max(near));
        let mut answers = vec![inputs.dry_mass.ln(), now, (end / SHORT).asinh()];
        answers.extend(asked.levels.iter().map(|&level| {
            let time = when(&inputs, course, level.max(near));
            (time / SHORT).asinh()
        }));
        Some(answers)
    }
}

/// A time out of the scale in which times are nearly straight [s].
pub(super) fn time_of(scaled: f64) -> f64 {
    (SHORT * scaled.sinh()).max(0.0)
}

fn regain(inputs: &Inputs, course: &Course, time: f64) -> f64 {
    let computed = ((time - inputs.heat_up) / inputs.factor).max(0.0);
    let bent = course.half * (computed / course.half).powf(1.0 + inputs.bend);
    course.track.at(bent)[0]
}

/// When the cloth comes to hold a regain [s]; before the oven is hot where it was drier all along, by as much as it is.
fn when(inputs: &Inputs, course: &Course, level: f64) -> f64 {
    let gap = inputs.start - level;
    if gap <= 0.0 {
        let pace = (0.5 * (inputs.start - course.floor)).max(1e-4) / course.half;
        return inputs.heat_up + inputs.factor * gap / pace;
    }
    let bent = drying_time(&course.track, level).unwrap_or(course.track.end().0);
    let computed = course.half * (bent / course.half).powf(1.0 / (1.0 + inputs.bend));
    inputs.heat_up + inputs.factor * computed
}
