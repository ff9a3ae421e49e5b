//! The ranges of an oven's inputs, and standard normal unknowns in their place.

use crate::law::{LawError, positive, within};
use crate::solve::Z90;

/// What is known of a drying in an oven before it is weighed: low, likely and high, the 10th, 50th and 90th percentile.
///
/// Two pairs hang together: dry mass is the mass over the area times the area, and the start is the scale times what
/// wood would hold. The wider range of each pair is taken as the narrower one times something of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OvenRanges {
    /// Dry mass of the whole cloth [kg].
    pub dry_mass: [f64; 3],
    /// Isotherm scale [-].
    pub scale: [f64; 3],
    /// Regain as it goes in [-].
    pub start: [f64; 3],
    /// Dry mass of the stack over its plan area [kg/m^2].
    pub areal: [f64; 3],
    /// Height as it lies [m].
    pub height: [f64; 3],
    /// Film coefficient of the oven's air [W/(m^2 K)].
    pub film: [f64; 3],
    /// Resistance of the cloth to vapour over that of still air [-].
    pub resistance: [f64; 3],
    /// Humidity of the room as a fraction [-].
    pub room_activity: [f64; 3],
    /// Temperature of the oven [K].
    pub oven_temperature: [f64; 3],
    /// Until oven and trays are hot again [s].
    pub heat_up: [f64; 3],
    /// How much slower this oven dries than the law has it [-].
    pub factor: [f64; 3],
    /// Temperature of the room and of the cloth as it goes in [K].
    pub room_temperature: f64,
    /// Faces the air reaches: 1 on a mould, 2 hung or on a rack.
    pub faces_open: u8,
    /// Air in a closed oven over the plan area of the cloth; `None` where it breathes [m].
    pub room_per_area: Option<f64>,
}

/// Unknowns: those of a weighing first, then those that the course itself hangs on.
pub(super) const UNKNOWNS: usize = 12;

/// Where to begin: an oven that is hot early, and the likely one. In an oven that is not yet hot no weighing tells of
/// anything but mass, so that from there the way to one that is hot may not be found.
pub(super) const STARTS: [[f64; UNKNOWNS]; 2] = {
    let mut early = [0.0; UNKNOWNS];
    early[1] = -2.5;
    [early, [0.0; UNKNOWNS]]
};

/// Standard deviation of the bend of the course (our judgement, held against stacks followed ply by ply).
const BEND: f64 = 0.1;

/// A range wider than this ratio, all positive, is spread in its logarithm.
const WIDE: f64 = 1.6;

/// A smooth distribution through three percentiles: x = likely + size (e^(skew z) - 1) / skew.
#[derive(Debug, Clone, Copy)]
struct Placed {
    log: bool,
    likely: f64,
    size: f64,
    skew: f64,
    limits: (f64, f64),
}

impl Placed {
    fn new(field: &'static str, range: [f64; 3], limits: (f64, f64)) -> Result<Self, LawError> {
        let likely = within(field, range[1], limits.0, limits.1)?;
        let low = within(field, range[0].max(limits.0), limits.0, likely)?;
        let high = within(field, range[2].min(limits.1), likely, limits.1)?;
        let log = low > 0.0 && high / low > WIDE;
        let scale = |x: f64| if log { x.ln() } else { x };
        let (below, above) = (scale(likely) - scale(low), scale(high) - scale(likely));
        // A range that is open on one side only is taken as steep there.
        let skew = (above.max(0.05 * below) / below.max(0.05 * above)).ln() / Z90;
        let skew = if skew.is_nan() { 0.0 } else { skew };
        let size = if skew.abs() < 1e-6 {
            above / Z90
        } else {
            let side = if above > below { above } else { -below };
            side * skew / ((side.signum() * skew * Z90).exp() - 1.0)
        };
        Ok(Self {
            log,
            likely: scale(likely),
            size,
            skew,
            limits,
        })
    }

    fn value(&self, z: f64) -> f64 {
        let z = z.clamp(-6.0, 6.0);
        let grown = if self.skew.abs() < 1e-6 {
            z
        } else {
            (self.skew * z).exp_m1() / self.skew
        };
        let x = self.likely + self.size * grown;
        let x = if self.log { x.exp() } else { x };
        x.clamp(self.limits.0, self.limits.1)
    }
}

/// The ranges made ready: every unknown a standard normal.
#[derive(Debug, Clone)]
pub(super) struct PlacedRanges {
    inputs: [Placed; UNKNOWNS - 1],
    /// How closely dry mass goes with the mass over the area, and the start with the scale.
    together: [f64; 2],
    pub(super) room_temperature: f64,
    pub(super) faces_open: u8,
    pub(super) room_per_area: Option<f64>,
}

/// One oven out of the ranges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Inputs {
    pub(super) dry_mass: f64,
    pub(super) heat_up: f64,
    pub(super) factor: f64,
    pub(super) bend: f64,
    pub(super) scale: f64,
    pub(super) start: f64,
    pub(super) areal: f64,
    pub(super) height: f64,
    pub(super) film: f64,
    pub(super) resistance: f64,
    pub(super) room_activity: f64,
    pub(super) oven_temperature: f64,
}

impl OvenRanges {
    pub(super) fn placed(&self) -> Result<PlacedRanges, LawError> {
        let room = within("room_temperature", self.room_temperature, 273.15, 378.15)?;
        within("faces_open", f64::from(self.faces_open), 1.0, 2.0)?;
        if let Some(space) = self.room_per_area {
            within("room_per_area", space, 1e-3, 1e9)?;
        }
        for mass in self.dry_mass {
            positive("dry_mass", mass)?;
        }
        for areal in self.areal {
            positive("areal", areal)?;
        }
        // The wider of two is the narrower times something of its own.
        let together = |a: [f64; 3], b: [f64; 3]| {
            let wide = |x: [f64; 3]| (x[2] / x[0].max(1e-3 * x[2])).ln();
            let (a, b) = (wide(a), wide(b));
            let share = a.min(b) / a.max(b);
            if share.is_nan() { 0.0 } else { share }
        };
        // An oven colder than the room is one that is off.
        let oven = self.oven_temperature.map(|t| t.max(room));
        Ok(PlacedRanges {
            inputs: [
                Placed::new("dry_mass", self.dry_mass, (1e-6, 1e5))?,
                Placed::new("heat_up", self.heat_up, (0.0, 1e5))?,
                Placed::new("factor", self.factor, (0.02, 100.0))?,
                Placed::new("scale", self.scale, (0.05, 3.0))?,
                Placed::new("start", self.start, (0.0, 1.0))?,
                Placed::new("areal", self.areal, (1e-6, 1e3))?,
                Placed::new("height", self.height, (1e-5, 0.2))?,
                Placed::new("film", self.film, (0.5, 500.0))?,
                Placed::new("resistance", self.resistance, (1.0, 20.0))?,
                Placed::new("room_activity", self.room_activity, (0.0, 1.0))?,
                Placed::new("oven_temperature", oven, (room, 378.15))?,
            ],
            together: [
                together(self.areal, self.dry_mass),
                together(self.scale, self.start),
            ],
            room_temperature: room,
            faces_open: self.faces_open,
            room_per_area: self.room_per_area,
        })
    }
}

impl PlacedRanges {
    pub(super) fn at(&self, z: &[f64]) -> Inputs {
        let z = |i: usize| z.get(i).copied().unwrap_or(0.0);
        let x = |i: usize| self.inputs[i].value(z(i));
        let with = |i: usize, other: usize, share: f64| {
            let own = (1.0 - share * share).max(0.0).sqrt();
            self.inputs[i].value(share * z(other) + own * z(i))
        };
        Inputs {
            dry_mass: with(0, 5, self.together[0]),
            heat_up: x(1),
            factor: x(2),
            scale: x(3),
            start: with(4, 3, self.together[1]),
            areal: x(5),
            height: x(6),
            film: x(7),
            resistance: x(8),
            room_activity: x(9),
            oven_temperature: x(10),
            bend: BEND * z(11).clamp(-4.0, 4.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_marks_are_met() {
        for range in [
            [1.0, 1.6, 3.0],
            [0.58, 0.70, 0.80],
            [331.0, 333.0, 335.0],
            [5.0, 5.0, 9.0],
            [2.0, 6.0, 6.0],
            [3.0, 3.0, 3.0],
        ] {
            let placed = Placed::new("x", range, (0.0, 1e3)).unwrap();
            let got = [-Z90, 0.0, Z90].map(|z| placed.value(z));
            let width = range[2] - range[0];
            for (got, wanted) in got.into_iter().zip(range) {
                assert!(
                    (got - wanted).abs() <= 0.1 * width + 1e-12,
                    "{range:?}: {got}"
                );
            }
            assert!(placed.value(0.3) >= placed.value(0.1));
        }
        assert!(Placed::new("x", [2.0, 1.0, 3.0], (0.0, 10.0)).is_err());
        assert!(Placed::new("x", [0.0, f64::NAN, 3.0], (0.0, 10.0)).is_err());
    }
}
