//! Simulated drop tests of which the truth is known: the bag, its leak and water, the gauge, and a tired hand.

use bastwork::law::drop_test::{Conditions, Reading, play};
use bastwork::law::leak::{Path, remaining_share};
use bastwork::law::water_vapour::saturation_pressure;

const MBAR: f64 = 100.0;
const OUTSIDE: f64 = 101_325.0;

/// Draws that are the same on every machine (SplitMix64).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Even on a scale of ratios.
    fn ratio(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.unit())
    }

    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }

    fn below(&mut self, count: usize) -> usize {
        ((self.unit() * count as f64) as usize).min(count - 1)
    }
}

/// A log of which the truth is known.
pub(crate) struct Known {
    pub(crate) kind: usize,
    pub(crate) gauge: usize,
    /// How the vapour comes, see [`WAYS`].
    pub(crate) way: usize,
    /// Air that the pump left in the bag [Pa].
    pub(crate) air: f64,
    pub(crate) readings: Vec<Reading>,
    pub(crate) conditions: Conditions,
    /// Into a perfect vacuum [Pa/s].
    pub(crate) leak: f64,
    pub(crate) mistyped: Option<usize>,
    /// How far off that reading is [Pa].
    pub(crate) slip: f64,
}

impl Known {
    pub(crate) fn span(&self) -> f64 {
        self.readings.last().unwrap().time - self.readings[0].time
    }

    pub(crate) fn has_vapour(&self) -> bool {
        matches!(self.kind, 1 | 2)
    }

    /// A leak whose rise over the record is more than two steps of the gauge.
    pub(crate) fn leak_can_be_told(&self) -> bool {
        self.leak * self.span() > 2.0 * self.conditions.step
    }
}

/// Ways in which vapour comes.
pub(crate) const WAYS: [&str; 4] = [
    "one store",
    "two stores",
    "out of a slab",
    "stretched over many paces",
];

/// Part of the vapour that has come at a time, for one of the ways of drying.
fn come(way: usize, share: f64, ratio: f64, t: f64, tau: f64) -> f64 {
    match way {
        0 => 1.0 - (-t / tau).exp(),
        // The power runs from 0.35 to 0.87 over the draws of the share.
        3 => 1.0 - (-(t / tau).powf(1.3 * share - 0.04)).exp(),
        1 => share * (1.0 - (-t / tau).exp()) + (1.0 - share) * (1.0 - (-t / (ratio * tau)).exp()),
        // Diffusion out of a slab: as the square root of time at first.
        _ => {
            let odd = |m: u32| f64::from((2 * m + 1).pow(2));
            let left: f64 = (0..60).map(|m| (-odd(m) * t / tau).exp() / odd(m)).sum();
            1.0 - left / (0..60).map(|m| 1.0 / odd(m)).sum::<f64>()
        }
    }
}

/// One log: the bag, its leak and water, the gauge, and whoever writes the readings down, so many times longer.
pub(crate) fn simulate(seed: usize, longer: f64) -> Known {
    let mut dice = Dice(seed as u64 * 7919 + 17);
    let (kind, gauge) = (seed % 4, seed / 4 % 3);
    // The fine gauge is read often and for long.
    let (few, least, most) = if gauge == 2 {
        (20, 30.0, 120.0)
    } else {
        (5, 3.0, 60.0)
    };
    let count = ((few + dice.below(61 - few)) as f64 * longer).ceil() as usize;
    let span = 60.0 * dice.ratio(least, most) * longer;
    let celsius = dice.between(15.0, 40.0);
    let saturation = saturation_pressure(celsius + 273.15).unwrap();
    let has = |kinds: [usize; 2]| kinds.contains(&kind);
    let leak = if has([0, 2]) {
        dice.ratio(0.1, 20.0) * MBAR / 60.0
    } else {
        0.0
    };
    // What the pump left: some vapour, and in half of the bags hardly any air, in the others up to 40 mbar of it.
    let vapour = dice.between(0.0, 0.3) * saturation;
    let air_left = if dice.below(2) == 0 {
        dice.between(1.0, 3.0)
    } else {
        dice.between(3.0, 40.0)
    } * MBAR;
    let start = air_left + vapour;
    let rise = if has([1, 2]) {
        dice.between(2.0, 22.0).min((saturation - vapour) / MBAR) * MBAR
    } else {
        0.0
    };
    let tau = 60.0 * dice.ratio(1.0, 30.0);
    let (way, share, ratio) = (
        dice.below(4),
        dice.between(0.3, 0.7),
        dice.between(3.0, 10.0),
    );
    let path = [Path::Hole, Path::Gap][dice.below(2)];
    // The bag creeps in the first minute, and the shop warms or cools a little: saturation moves 6 percent a kelvin.
    let creep = dice.between(-0.4, 0.4) * MBAR;
    let warmer = dice.between(-0.3, 0.3);
    let mut gaps: Vec<f64> = (1..count).map(|_| dice.between(0.5, 1.5)).collect();
    let all: f64 = gaps.iter().sum();
    gaps.iter_mut().for_each(|gap| *gap *= span / all);
    let (step, noise, zero, gain) = if gauge == 0 {
        let zero = dice.between(-0.5, 0.5) * MBAR;
        (0.5 * MBAR, dice.between(0.05, 0.3) * MBAR, zero, 1.0)
    } else if gauge == 2 {
        let zero = dice.between(-0.5, 0.5) * MBAR;
        (0.1 * MBAR, dice.between(0.02, 0.08) * MBAR, zero, 1.0)
    } else {
        // Class 1.6 over 1000 mbar: 16 mbar at most, and a scale that is off by up to 3 percent hereabouts.
        let zero = dice.between(-16.0, 16.0) * MBAR;
        (
            5.0 * MBAR,
            dice.between(0.2, 1.5) * MBAR,
            zero,
            dice.between(0.97, 1.03),
        )
    };
    let mut air = 0.0;
    let mut time = dice.between(0.0, 3600.0).round();
    let began = time;
    let mut readings = Vec::new();
    for k in 0..count {
        if k > 0 {
            // Small steps, because the leak fades as the bag fills.
            for _ in 0..20 {
                let pressure = (start + air).min(OUTSIDE);
                air +=
                    leak * remaining_share(path, pressure, OUTSIDE).unwrap() * gaps[k - 1] / 20.0;
            }
            time += gaps[k - 1];
        }
        let t = time - began;
        let vapour = rise * come(way, share, ratio, t, tau) * (1.0 + 0.06 * warmer * t / span);
        let moved = creep * (1.0 - (-t / 30.0).exp());
        let shown = (start + air + vapour + moved) * gain + zero + noise * dice.normal();
        readings.push(Reading {
            time: time.round(),
            pressure: step * (shown / step).round().max(0.0),
        });
    }
    let mistyped = (dice.below(10) == 0).then(|| dice.below(count));
    let mut slip = 0.0;
    if let Some(place) = mistyped {
        let off = [10.0, 0.1, 1.5][dice.below(3)];
        let typed = (off * (readings[place].pressure + step)).round();
        slip = (typed - readings[place].pressure).abs();
        readings[place].pressure = typed;
    }
    let told = saturation_pressure(celsius + 273.15 + dice.between(-1.0, 1.0)).unwrap();
    // A scale that may be off by so much over a rise as large as saturation.
    let offset = if gauge == 1 { 0.03 * told } else { 0.0 };
    Known {
        kind,
        gauge,
        way,
        air: air_left,
        readings,
        conditions: Conditions {
            step,
            saturation: told,
            saturation_play: play(told, 1.0, offset).unwrap(),
            outside: OUTSIDE,
        },
        leak,
        mistyped,
        slip,
    }
}
