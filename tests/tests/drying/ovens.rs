//! Ovens made up for the checks: as the law has it, followed ply by ply, or drying in ways that are none of the judge's.

use super::ways;
use bastwork::law::oven::{Air, Layup, drying_time, drying_track, heated_activity, oven_floor};
use bastwork::law::weighings::{OvenRanges, Weighing};
use bastwork::law::{sorption, water_vapour};
use bastwork::solve::{Step, Track, follow_stiff};
use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};

/// Layers in which a stack is followed.
const LAYERS: usize = 8;

/// Draws for a check, the same ones every time.
pub(crate) struct Draws(TestRng);

impl Draws {
    pub(crate) fn new(seed: u32) -> Self {
        let mut bytes = [0; 32];
        bytes[..4].copy_from_slice(&seed.to_le_bytes());
        Self(TestRng::from_seed(RngAlgorithm::ChaCha, &bytes))
    }

    /// Evenly between two numbers.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn chance(&mut self, share: f64) -> bool {
        self.between(0.0, 1.0) < share
    }

    /// A standard normal number, after Box and Muller.
    pub(crate) fn normal(&mut self) -> f64 {
        let radius = (-2.0 * self.between(1e-12, 1.0).ln()).sqrt();
        radius * self.between(0.0, std::f64::consts::TAU).cos()
    }

    /// A value out of a range as the sheet spreads it: two half-normals, in the logarithm where it is wide.
    pub(crate) fn out_of(&mut self, [low, likely, high]: [f64; 3]) -> f64 {
        let z = self.normal() / 1.281_551_6;
        let log = low > 0.0 && high / low > 1.6;
        let scale = |x: f64| if log { x.ln() } else { x };
        let side = if z < 0.0 { low } else { high };
        let x = scale(likely) + z.abs() * (scale(side) - scale(likely));
        if log { x.exp() } else { x }
    }
}

/// How the water of a made-up oven really leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Truth {
    /// As the law has it: one regain for the whole stack.
    Law,
    /// The same physics followed ply by ply.
    Layers,
    /// Diffusion out of a slab through a resistance at its faces (Crank 1975, The Mathematics of Diffusion, eq. 4.50, from
    /// memory).
    Slab,
    /// exp(-k t^n), as thin layers are commonly fitted (Page 1949, from memory).
    Page,
    /// Many stores side by side, their paces spread evenly about a middle in the logarithm.
    ManyPaces,
    /// A fast and a slow store in an oven that comes back to its heat bit by bit.
    TwoStores,
}

/// One oven with cloth in it: what is thought of it, and how it really dries.
pub(crate) struct Made {
    pub(crate) ranges: OvenRanges,
    pub(crate) target: f64,
    /// Dry mass in truth [kg].
    pub(crate) dry_mass: f64,
    /// When it really ends [s].
    pub(crate) end: f64,
    heat_up: f64,
    factor: f64,
    course: Box<dyn Fn(f64) -> f64>,
}

impl Made {
    /// Mass in truth [kg].
    pub(crate) fn mass(&self, time: f64) -> f64 {
        let computed = ((time - self.heat_up) / self.factor).max(0.0);
        self.dry_mass * (1.0 + (self.course)(computed))
    }

    /// Regain in truth [-].
    pub(crate) fn regain(&self, time: f64) -> f64 {
        self.mass(time) / self.dry_mass - 1.0
    }

    /// As read on a scale, after the cloth has taken up a little of the room's water on its way there.
    pub(crate) fn read(&self, draws: &mut Draws, time: f64, step: f64) -> Weighing {
        let gone = (self.mass(0.0) - self.mass(time)) / self.dry_mass;
        let rewet = draws.between(0.0, 0.04) * gone;
        let mass = (self.mass(time) + rewet * self.dry_mass) * (1.0 + 7e-4 * draws.normal());
        Weighing {
            time,
            mass: (mass / step).round() * step,
        }
    }

    /// As read on a scale with steps of a gram, with a little scatter of handling.
    pub(crate) fn weighed(&self, draws: &mut Draws, time: f64) -> Weighing {
        let mass = self.mass(time) * (1.0 + 1e-3 * draws.normal());
        Weighing {
            time,
            mass: (1e3 * mass).round() / 1e3,
        }
    }
}

fn around(likely: f64, below: f64, above: f64) -> [f64; 3] {
    [likely * (1.0 - below), likely, likely * (1.0 + above)]
}

/// An oven drawn: a workshop's job, its ranges as the sheet states them, and one truth out of these.
pub(crate) fn make(draws: &mut Draws, truth: Truth) -> Made {
    loop {
        let one = attempt(draws, truth);
        if let Some(made) = one {
            return made;
        }
    }
}

fn attempt(draws: &mut Draws, truth: Truth) -> Option<Made> {
    let plies = draws.between(2.0, 16.0).round();
    let ply = draws.between(0.14, 0.40);
    let area = draws.between(0.2, 2.0);
    let hot = 273.15 + draws.between(50.0, 90.0);
    let fan = draws.chance(0.5);
    let room_h = draws.between(0.35, 0.65);
    let kept = draws.between(0.9, 1.1);
    let likely_start = sorption::flax_regain(0.70, 293.15, (room_h * kept).min(0.8)).unwrap();
    let areal = plies * ply;
    let ranges = OvenRanges {
        dry_mass: around(areal * area, 0.063, 0.063),
        scale: [0.58, 0.70, 0.80],
        start: around(likely_start, 0.204, 0.178),
        areal: around(areal, 0.06, 0.06),
        height: around(plies * ply * 2.5e-3, 0.2, 0.3),
        film: if fan {
            [15.0, 20.0, 30.0]
        } else {
            [5.0, 6.0, 7.0]
        },
        resistance: [2.0, 3.0, 4.0],
        room_activity: [room_h - 0.05, room_h, room_h + 0.05],
        oven_temperature: [hot - 4.0, hot, hot + 4.0],
        heat_up: [300.0, 600.0, 1200.0],
        factor: [1.0, 1.6, 3.0],
        room_temperature: 293.15,
        faces_open: if draws.chance(0.5) { 2 } else { 1 },
        room_per_area: None,
    };
    let target = [0.01, 0.02, 0.03][(draws.between(0.0, 3.0) as usize).min(2)];
    let layup = Layup {
        dry_areal_mass: draws.out_of(ranges.areal),
        height: draws.out_of(ranges.height),
        faces_open: ranges.faces_open,
        resistance_factor: draws.out_of(ranges.resistance).max(1.0),
        cover: 0.0,
        scale: draws.out_of(ranges.scale),
        start_temperature: 293.15,
    };
    let temperature = draws.out_of(ranges.oven_temperature).clamp(300.0, 378.0);
    let room_h = draws.out_of(ranges.room_activity);
    let air = Air {
        temperature,
        activity: heated_activity(293.15, room_h, temperature).unwrap(),
        film_coefficient: draws.out_of(ranges.film),
        room_per_area: None,
    };
    // Kept somewhere that is 10 % damper or drier than thought.
    let start = likely_start * layup.scale / 0.70 * draws.out_of([0.9, 1.0, 1.11]);
    let floor = oven_floor(layup.scale, 293.15, room_h, temperature).unwrap();
    let (heat_up, factor) = (draws.out_of(ranges.heat_up), draws.out_of(ranges.factor));
    let dry_mass = layup.dry_areal_mass * area * draws.out_of([0.98, 1.0, 1.02]);
    if start <= target || start <= floor {
        return None;
    }
    let end = target.max(floor + 0.05 * (start - floor));
    let (lasts, course): (f64, Box<dyn Fn(f64) -> f64>) = match truth {
        Truth::Layers => {
            let track = layered(&layup, &air, start, end);
            let last = track.end().0;
            (last, Box::new(move |t| mean(&track.at(t))))
        }
        Truth::Law => {
            let track = drying_track(&layup, &air, start, 1e6).unwrap();
            let last = drying_time(&track, end).unwrap();
            (last, Box::new(move |t| track.at(t)[0]))
        }
        _ => {
            let track = drying_track(&layup, &air, start, 1e6).unwrap();
            let half = drying_time(&track, 0.5 * (start + floor)).unwrap();
            let left = ways::left(draws, truth, half, heat_up / factor);
            let course = move |t: f64| floor + (start - floor) * left(t);
            (first_below(&course, end)?, Box::new(course))
        }
    };
    // Nobody dries for longer than a day.
    if heat_up + factor * lasts > 86_400.0 {
        return None;
    }
    // The oven that warms bit by bit has no dead time of its own.
    let (heat_up, dead) = if truth == Truth::TwoStores {
        (0.0, 0.0)
    } else {
        (heat_up, heat_up)
    };
    Some(Made {
        ranges,
        target,
        dry_mass,
        end: dead + factor * lasts,
        heat_up,
        factor,
        course,
    })
}

/// When a falling course comes to a level; none within a week.
fn first_below(course: &impl Fn(f64) -> f64, level: f64) -> Option<f64> {
    let (mut low, mut high) = (0.0, 604_800.0);
    if course(high) > level {
        return None;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if course(middle) > level {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(high)
}

fn mean(y: &[f64; LAYERS + 1]) -> f64 {
    y[..LAYERS].iter().sum::<f64>() / LAYERS as f64
}

/// The same physics with the stack in layers, one temperature for all: the outer ones dry first.
pub(crate) fn layered(layup: &Layup, air: &Air, start: f64, end: f64) -> Track<{ LAYERS + 1 }> {
    let faces = f64::from(layup.faces_open);
    let thick = layup.height / faces / LAYERS as f64;
    let heavy = layup.dry_areal_mass / faces / LAYERS as f64;
    let hot = air.temperature;
    let outside = air.activity * density(hot);
    let rate = |y: &[f64; LAYERS + 1]| {
        let cloth = y[LAYERS].clamp(274.0, 378.0);
        let middle = 0.5 * (hot + cloth);
        let spreads = water_vapour::diffusivity_in_air(cloth).unwrap() / layup.resistance_factor;
        let full = density(cloth);
        let over: Vec<f64> = y[..LAYERS]
            .iter()
            .map(|m| full * sorption::activity(layup.scale, cloth, m.clamp(0.0, 1.0)).unwrap())
            .collect();
        let film =
            101_325.0 / 287.05 / middle * 1006.0 * 0.87_f64.powf(2.0 / 3.0) / air.film_coefficient;
        let mut out = [0.0; LAYERS + 1];
        let mut leaves = (over[0] - outside) / (film + 0.5 * thick / spreads);
        let all = leaves;
        for i in 0..LAYERS {
            let comes = match over.get(i + 1) {
                Some(inner) => spreads * (inner - over[i]) / thick,
                None => 0.0,
            };
            out[i] = (comes - leaves) / heavy;
            leaves = comes;
        }
        let regain = mean(y);
        let freeing = 2.501e6 - 2370.0 * (cloth - 273.15) + 3e5;
        out[LAYERS] = (air.film_coefficient * (hot - cloth) - all * freeing)
            / (heavy * LAYERS as f64 * (1350.0 + 4190.0 * regain));
        out
    };
    let mut first = [start; LAYERS + 1];
    first[LAYERS] = layup.start_temperature;
    let step = Step {
        relative: 1e-3,
        absolute: 1e-5,
        longest: 1e6,
        most: 20_000,
    };
    follow_stiff(rate, 0.0, first, 1e6, step, |_, y| mean(y) <= end).unwrap()
}

fn density(temperature: f64) -> f64 {
    water_vapour::vapour_density(temperature, 1.0).unwrap()
}
