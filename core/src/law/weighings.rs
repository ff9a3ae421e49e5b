//! What a maker's own weighings during drying tell: the end of drying with a narrower range.
//!
//! The oven law with every input free within its range, held against the scale. The law has one regain for the whole
//! stack, where in truth the outer plies are ahead; how its course may bend for that is one more thing left free.

mod course;
mod ranges;

use super::{LawError, positive, within};
use crate::solve::{Likeliest, Z90, likeliest};
use course::{Asked, Oven};
pub use ranges::OvenRanges;

/// Scatter of a weighing beside the scale's step, as a share of the mass [-]: cloth cools and takes up water on its
/// way to the scale (our judgement).
const HANDLING: f64 = 1e-3;
/// Scatter of the law beside the scale, as a share of the water that has left [-] (our judgement).
const LAW: f64 = 0.02;
/// By how much the ranges are widened once there are weighings at two times or more. Over ovens made up for it the plain
/// ranges held the true end in 8 of 10, as they say; a real oven, with its door opened and its trays, is not one of
/// those, so here they are to hold it in 9 of 10.
pub const WIDENED: f64 = 1.35;
/// A weighing this many of its own scatters off the others is doubtful.
const DOUBTFUL: f64 = 4.5;

/// The cloth on the scale, without a tray.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighing {
    /// Since the cloth went in [s].
    pub time: f64,
    /// Cloth with the water in it [kg].
    pub mass: f64,
}

/// What weighings leave open. Three numbers are low, likely and high: the 10th, 50th and 90th percentile.
#[derive(Debug, Clone, PartialEq)]
pub struct Narrowed {
    /// End of drying since the cloth went in; 0 where it was dry enough before [s].
    pub end: [f64; 3],
    /// Regain at the last weighing [-].
    pub now: [f64; 3],
    /// Dry mass of the whole cloth [kg].
    pub dry_mass: [f64; 3],
    /// Mass of the cloth when it holds the target [kg].
    pub at_target: [f64; 3],
    /// When the cloth comes to hold less and less: regain [-], time since it went in [s].
    pub course: Vec<(f64, [f64; 3])>,
    /// Weighings that stand far off the others, by their place in the list.
    pub doubtful: Vec<usize>,
    /// No oven within the ranges explains these weighings.
    pub surprising: bool,
    /// Mass to be expected at each weighing [kg].
    pub fitted: Vec<f64>,
}

/// Narrows an oven's ranges by weighings, and tells when drying ends.
///
/// mass(t) = m_dry (1 + M(u)), u = u_half (x / u_half)^(1 + b), x = (t - heat_up) / factor, M from
/// [`super::oven::drying_track`] and u_half the time at which half of what can leave has left;
/// the likeliest inputs under the ranges and the weighings, and Laplace's approximation around them. The bend b is
/// 0 +- 0.1. Scatter^2 = step^2 / 12 + (0.001 mass)^2 + (0.02 of the water that left)^2, with heavy tails.
///
/// Drying ends at the target, or at the floor and a twentieth of the way to it where the floor lies higher.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `ranges` | low, likely and high of every input of the oven | [struct] |
/// | `weighings` | in any order, at any times | [s; kg] |
/// | `target` | regain to dry to | [-] |
/// | `step` | smallest step of the scale | [kg] |
///
/// # Returns
/// [`Narrowed`] [s; -; kg].
/// # Valid for
/// As [`super::oven::drying_track`]; none to a hundred weighings. From two on the bands are widened by [`WIDENED`]. A
/// course that is not that of any oven in the ranges is told as surprising, and its ranges mean little.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument; [`LawError::Unsolved`] where no course could be followed.
/// # Example
/// ```
/// use bastwork::law::weighings::{OvenRanges, Weighing, narrow};
/// let ranges = OvenRanges { dry_mass: [2.6, 2.77, 2.95], scale: [0.58, 0.70, 0.80], start: [0.05, 0.065, 0.08],
///     areal: [2.6, 2.77, 2.95], height: [6e-3, 7e-3, 9e-3], film: [5.0, 6.0, 7.0], resistance: [2.0, 3.0, 4.0],
///     room_activity: [0.45, 0.5, 0.55], oven_temperature: [331.0, 333.15, 335.0], heat_up: [300.0, 600.0, 1200.0],
///     factor: [1.0, 1.6, 3.0], room_temperature: 293.15, faces_open: 2, room_per_area: None };
/// let before = narrow(&ranges, &[], 0.02, 1e-3)?.end;
/// let weighings = [(0.0, 2.950), (30.0, 2.897), (60.0, 2.834)]
///     .map(|(minutes, mass)| Weighing { time: 60.0 * minutes, mass });
/// let after = narrow(&ranges, &weighings, 0.02, 1e-3)?.end;
/// assert!(after[2] - after[0] < 0.9 * (before[2] - before[0]));
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The oven law and Bayes' rule; scatter, bend and widening are our judgement.
pub fn narrow(
    ranges: &OvenRanges,
    weighings: &[Weighing],
    target: f64,
    step: f64,
) -> Result<Narrowed, LawError> {
    let target = within("target", target, 0.0, 1.0)?;
    let step = within("step", step, 0.0, 10.0)?;
    within("weighings", weighings.len() as f64, 0.0, 100.0)?;
    for weighing in weighings {
        within("time", weighing.time, 0.0, 3e7)?;
        positive("mass", weighing.mass)?;
    }
    let mut oven = Oven::new(ranges.placed()?);
    let scatter = scatters(ranges, weighings, step);
    let off = |oven: &mut Oven, z: &[f64]| {
        let masses = oven.masses(z, weighings)?;
        let rows = masses.iter().zip(weighings).zip(&scatter);
        Some(rows.map(|((m, w), s)| (m - w.mass) / s).collect())
    };
    let unsolved = LawError::Unsolved {
        what: "course of drying behind the weighings",
    };
    // One way of beginning is as a rule enough.
    let enough = 2.0 + 0.5 * weighings.len() as f64;
    let mut best: Option<Likeliest> = None;
    for start in &ranges::STARTS {
        if best.as_ref().is_some_and(|found| found.cost < enough) {
            break;
        }
        let found = likeliest(|z| off(&mut oven, z), start);
        best = [best, found]
            .into_iter()
            .flatten()
            .min_by(|a, b| a.cost.total_cmp(&b.cost));
    }
    let found = best.ok_or(unsolved.clone())?;
    told(&mut oven, &found, weighings, target).ok_or(unsolved)
}

/// Scatter of each weighing [kg].
fn scatters(ranges: &OvenRanges, weighings: &[Weighing], step: f64) -> Vec<f64> {
    // What has left by then, as far as it is known without any fit: from the heaviest to each.
    let most = weighings.iter().map(|w| w.mass).fold(0.0, f64::max);
    let water = ranges.dry_mass[1] * ranges.start[1];
    weighings
        .iter()
        .map(|w| {
            let left = LAW * (most - w.mass).min(water);
            let handling = HANDLING * w.mass;
            (step * step / 12.0 + handling * handling + left * left).sqrt()
        })
        .collect()
}

fn told(
    oven: &mut Oven,
    found: &Likeliest,
    weighings: &[Weighing],
    target: f64,
) -> Option<Narrowed> {
    let last = weighings.iter().map(|w| w.time).fold(0.0, f64::max);
    let levels = oven.levels(&found.place)?;
    let asked = Asked {
        target,
        last,
        levels: &levels,
    };
    let answers = found.answers(|z| oven.answers(z, &asked))?;
    let [dry, now, end, times @ ..] = answers.as_slice() else {
        return None;
    };
    let first = weighings.first().map(|w| w.time);
    let several = weighings.iter().any(|w| Some(w.time) != first);
    let widened = if several { WIDENED } else { 1.0 };
    let range = |(value, spread): (f64, f64)| {
        let play = widened * Z90 * spread;
        [value - play, value, value + play]
    };
    let dry_mass = range(*dry).map(f64::exp);
    let mut end = range(*end).map(course::time_of);
    if oven.dry_enough(&found.place, target) {
        end = [0.0, 0.0, end[2]];
    }
    let doubtful: Vec<usize> = (0..weighings.len())
        .filter(|&i| found.off[i].abs() > DOUBTFUL)
        .collect();
    Some(Narrowed {
        end,
        now: range(*now).map(|regain| regain.max(0.0)),
        dry_mass,
        at_target: dry_mass.map(|mass| mass * (1.0 + target)),
        course: levels
            .iter()
            .zip(times)
            .map(|(&regain, &time)| (regain, range(time).map(course::time_of)))
            .collect(),
        surprising: surprising(found, &doubtful),
        doubtful,
        fitted: oven.masses(&found.place, weighings)?,
    })
}

/// Whether it takes an unlikely oven to explain the weighings that are not doubtful, or most are.
///
/// For a straight model the least of sum z^2 + sum r^2 is spread as chi squared with one degree of freedom a reading.
fn surprising(found: &Likeliest, doubtful: &[usize]) -> bool {
    let all = found.off.len();
    let good = (0..all).filter(|i| !doubtful.contains(i));
    let readings: f64 = good.map(|i| found.off[i] * found.off[i]).sum();
    let least = readings + found.place.iter().map(|z| z * z).sum::<f64>();
    let count = all as f64 - doubtful.len() as f64;
    if count <= 0.0 {
        return all > 0;
    }
    // One in some ten thousand lies beyond, after Wilson and Hilferty.
    let third = 2.0 / (9.0 * count);
    let most = count * (1.0 - third + 3.9 * third.sqrt()).powi(3);
    least > most || 2 * doubtful.len() > all
}

#[cfg(test)]
#[path = "weighings_tests.rs"]
mod tests;
