//! What a maker's own weighings during drying tell: the end of drying with a narrower range, and whether it is dry.
//!
//! The oven law with every input free within its range, held against the scale. The law has one regain for the whole
//! stack, where in truth outer plies are ahead and part of the water comes at a slower pace; so other ways in which water
//! leaves are weighed against it. Nothing is called dry enough before two weighings some time apart are as good as equal.

mod before;
mod grid;
mod ranges;
mod shapes;
mod told;

use super::{LawError, positive, within};
use before::Before;
use grid::Grid;
pub use ranges::OvenRanges;

/// Scatter of a weighing beside the scale's step, as a share of the mass [-]: cloth cools and takes up water on its
/// way to the scale (our judgement).
const HANDLING: f64 = 1e-3;
/// Scatter of any course beside the scale, as a share of the water that has left [-] (our judgement).
const LAW: f64 = 0.02;

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
    /// Two weighings that differ by no more than this are as good as equal [kg].
    pub equal: f64,
    /// How long two equal weighings must lie apart to show that the cloth is dry enough; none where this scale cannot
    /// show it [s].
    pub pause: Option<f64>,
    /// Dry enough for certain: two weighings that far apart are equal, and the water left lies below the target.
    pub dry: bool,
    /// How surely the water leaves as the law has it, from stores of many paces, from a fast and a slow one [-].
    pub shares: [f64; 3],
    /// Mass to be expected at each weighing [kg].
    pub fitted: Vec<f64>,
}

/// Narrows an oven's ranges by weighings, and tells when drying ends.
///
/// mass(t) = m_dry (1 + M_floor + (M_start - M_floor) g(x)), x = (t - heat_up) / t_half
///
/// g is what is still to leave: the course of [`super::oven::drying_track`], bent by x^p or not; 2^(-x^p), stores of many
/// paces; or (1 - w) g_fast(x) + w 2^(-x/r), a share w of the water at a pace r times slower. t_half has the range that
/// the law and its inputs give it. Each of these ovens counts by Bayes' rule; dry mass and start stay open within their
/// ranges. Scatter^2 = step^2 / 12 + (0.001 mass)^2 + (0.02 of the water that left)^2.
///
/// Drying ends at the target, or at the floor and a twentieth of the way to it where the floor lies higher. Two
/// weighings count as equal within two steps or a thousandth of the mass; the pause between them is that in which cloth
/// just at the target would still lose twice as much, in nine of ten of these ovens.
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
/// As [`super::oven::drying_track`]; none to a hundred weighings. A course that is not that of any oven in the ranges is
/// told as surprising, and its ranges mean little.
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
/// The oven law and Bayes' rule; a Fick series is too slow at first for flax in thin layers (Ghazanfari et al. 2006, Drying
/// Technol., abstract), and fibres take water up as two parallel exponentials (Xie et al. 2011, J. Mater. Sci. 46:479,
/// abstract); shares, paces and scatter are our judgement.
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
    let before = Before::of(ranges)?;
    let scatter = scatters(ranges, weighings, step);
    let grid = Grid::of(&before, weighings, &scatter);
    told::told(&before, &grid, weighings, target, step).ok_or(LawError::Unsolved {
        what: "course of drying behind the weighings",
    })
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

#[cfg(test)]
#[path = "weighings_tests.rs"]
mod tests;
