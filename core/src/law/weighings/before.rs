//! What is thought of a drying before it is weighed: how long half of the water takes, the floor, the dry mass.

use super::OvenRanges;
use super::ranges::Placed;
use crate::law::closed_oven::closed_floor;
use crate::law::oven::{self, Air, DryingTrack, Layup, drying_time, drying_track};
use crate::law::{LawError, positive, within};
use crate::solve::Z90;

/// Longest that a course is followed [s].
const LONGEST: f64 = 3e6;
/// A half time shorter than this is none [s].
const SHORTEST: f64 = 1.0;

/// Inputs of the course itself, in the order of [`OvenRanges`].
const INPUTS: usize = 8;

/// Before any weighing.
pub(super) struct Before {
    /// How the law dries the likely cloth in the likely oven: share still to leave against times of its half time.
    pub(super) course: Vec<(f64, f64)>,
    /// Time in which the likely oven drives out half of what can leave, its factor in it [s].
    pub(super) half: f64,
    /// Spread of the logarithm of that time, to shorter and to longer ones [-].
    pub(super) spread: [f64; 2],
    /// Dry mass and how far it is open, as a standard deviation [kg].
    pub(super) dry_mass: (f64, f64),
    /// Regain as it goes in, likewise [-].
    pub(super) start: (f64, f64),
    /// Driest it gets: low, likely, high [-].
    pub(super) floor: [f64; 3],
    pub(super) heat_up: Placed,
}

/// One course: half time without the factor, floor, and the track.
struct Dried {
    half: f64,
    floor: f64,
    track: DryingTrack,
}

impl Before {
    pub(super) fn of(ranges: &OvenRanges) -> Result<Self, LawError> {
        let room = within("room_temperature", ranges.room_temperature, 273.15, 378.15)?;
        within("faces_open", f64::from(ranges.faces_open), 1.0, 2.0)?;
        if let Some(space) = ranges.room_per_area {
            within("room_per_area", space, 1e-3, 1e9)?;
        }
        for mass in ranges.dry_mass {
            positive("dry_mass", mass)?;
        }
        // An oven colder than the room is one that is off.
        let hot = ranges.oven_temperature.map(|t| t.max(room));
        let placed = [
            Placed::new("scale", ranges.scale, (0.05, 3.0))?,
            Placed::new("start", ranges.start, (0.0, 1.0))?,
            Placed::new("areal", ranges.areal, (1e-6, 1e3))?,
            Placed::new("height", ranges.height, (1e-5, 0.2))?,
            Placed::new("film", ranges.film, (0.5, 500.0))?,
            Placed::new("resistance", ranges.resistance, (1.0, 20.0))?,
            Placed::new("room_activity", ranges.room_activity, (0.0, 1.0))?,
            Placed::new("oven_temperature", hot, (room, 378.15))?,
        ];
        let factor = Placed::new("factor", ranges.factor, (0.02, 100.0))?;
        let dry_mass = Placed::new("dry_mass", ranges.dry_mass, (1e-6, 1e5))?;
        let heat_up = Placed::new("heat_up", ranges.heat_up, (0.0, 1e5))?;
        let likely = placed.map(|input| input.value(0.0));
        let middle = dried(ranges, &likely)?;
        let (mut halves, mut floors) = ([0.0_f64; 2], [0.0_f64; 2]);
        let count = |side: f64, sides: &mut [f64; 2]| {
            sides[usize::from(side > 0.0)] += side * side;
        };
        for (i, input) in placed.iter().enumerate() {
            for z in [-Z90, Z90] {
                let mut values = likely;
                values[i] = input.value(z);
                if values[i] == likely[i] {
                    continue;
                }
                let other = dried(ranges, &values)?;
                count((other.half / middle.half).ln(), &mut halves);
                count(other.floor - middle.floor, &mut floors);
            }
        }
        for z in [-Z90, Z90] {
            count((factor.value(z) / factor.value(0.0)).ln(), &mut halves);
        }
        let sd = |placed: &Placed| (placed.value(Z90) - placed.value(-Z90)) / (2.0 * Z90);
        let [below, above] = floors.map(f64::sqrt);
        Ok(Self {
            course: course(&middle, likely[1]),
            half: middle.half * factor.value(0.0),
            spread: halves.map(|squares| (squares.sqrt() / Z90).max(0.05)),
            dry_mass: (dry_mass.value(0.0), sd(&dry_mass).max(1e-6)),
            start: (likely[1], sd(&placed[1]).max(1e-4)),
            floor: [
                (middle.floor - below).max(0.0),
                middle.floor,
                middle.floor + above,
            ],
            heat_up,
        })
    }
}

fn dried(ranges: &OvenRanges, values: &[f64; INPUTS]) -> Result<Dried, LawError> {
    let [
        scale,
        start,
        areal,
        height,
        film,
        resistance,
        room_activity,
        hot,
    ] = *values;
    let room = ranges.room_temperature;
    let activity = oven::heated_activity(room, room_activity, hot)?;
    let layup = Layup {
        dry_areal_mass: areal,
        height,
        faces_open: ranges.faces_open,
        resistance_factor: resistance,
        cover: 0.0,
        scale,
        start_temperature: room,
    };
    let air = Air {
        temperature: hot,
        activity,
        film_coefficient: film,
        room_per_area: ranges.room_per_area,
    };
    let floor = match ranges.room_per_area {
        None => oven::oven_floor(scale, room, room_activity, hot)?,
        Some(space) => closed_floor(scale, hot, activity, start, areal, space)?,
    };
    let floor = floor.min(start);
    let track = drying_track(&layup, &air, start, LONGEST)?;
    let half = drying_time(&track, 0.5 * (start + floor)).unwrap_or(SHORTEST);
    Ok(Dried {
        half: half.max(SHORTEST),
        floor,
        track,
    })
}

/// The likely course on the scale of its half time, for as long as it was followed.
fn course(likely: &Dried, start: f64) -> Vec<(f64, f64)> {
    const POINTS: u32 = 120;
    let end = (likely.track.end().0 / likely.half).clamp(2.0, 200.0);
    let gap = (start - likely.floor).max(1e-9);
    let mut least = 1.0_f64;
    (0..=POINTS)
        .map(|k| {
            let x = end * (f64::from(k) / f64::from(POINTS)).powi(2);
            let left = (likely.track.at(x * likely.half)[0] - likely.floor) / gap;
            least = least.min(left.clamp(0.0, 1.0));
            (x, least)
        })
        .collect()
}
