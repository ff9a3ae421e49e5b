//! How a laminate sets between mould and bag: its own heat through the thickness, and cure at every depth.
//!
//! One dimension, from mould to bag. Thin laminates follow the air; thick ones and fast hardeners do not. Does not
//! cover heat that runs along the part, a mould that stores heat, or boiling and charring beyond it.

mod corners;
mod course;

pub use corners::corners_of;
pub use course::{LaminateCourse, LaminateMoment};

use super::cure::{Resin, film_start, rate_and_slopes};
use super::{LawError, positive, within};
use crate::solve::{Fineness, Heated, Pace, Shape, Shells, State, Through, conduct};

/// Followed from here on: below, the film's own integral is taken, because the rate starts on an infinite slope.
const FIRST: f64 = 1e-4;

/// Halving all of these moves no gel by more than 0.1 % and no peak by more than 0.2 K (see the tests).
const FINE: Fineness = Fineness {
    heat: 0.02,
    progress: 2e-5,
    stride: 0.02,
    longest: 7200.0,
    corner: 1.0,
    most: 100_000,
};

/// Longest step while the air stays as it is [s].
const STILL_LONGEST: f64 = 86_400.0;

/// Distance between nodes [m], and how few and how many there are.
const NODES: (f64, usize, usize) = (1.2e-3, 3, 61);

/// A slab of wet cloth between mould and bag.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layup {
    /// Thickness [m].
    pub thickness: f64,
    /// Density of cloth and resin together [kg/m^3].
    pub density: f64,
    /// Heat capacity [J/(kg K)].
    pub heat_capacity: f64,
    /// Conductivity through the thickness [W/(m K)].
    pub conductivity: f64,
    /// Mass of resin over that of the slab [-].
    pub resin_share: f64,
    /// Heat transfer on the mould side, to the air behind it [W/(m^2 K)].
    pub to_mould: f64,
    /// Heat transfer on the bag side [W/(m^2 K)].
    pub to_bag: f64,
    /// Temperature when the resin is in [K].
    pub start_temperature: f64,
}

impl Layup {
    fn checked(&self) -> Result<&Self, LawError> {
        within("thickness", self.thickness, 1e-5, 0.1)?;
        within("density", self.density, 300.0, 3000.0)?;
        within("heat_capacity", self.heat_capacity, 500.0, 4000.0)?;
        within("conductivity", self.conductivity, 0.02, 50.0)?;
        within("resin_share", self.resin_share, 0.0, 1.0)?;
        within("to_mould", self.to_mould, 0.0, 1e4)?;
        within("to_bag", self.to_bag, 0.0, 1e4)?;
        within("start_temperature", self.start_temperature, 263.15, 353.15)?;
        Ok(self)
    }
}

/// Follows a laminate from the moment the resin is in.
///
/// rho c dT/dt = d/dz(k dT/dz) + rho w_r H d(alpha)/dt, d(alpha)/dt = rate(alpha, T), -k dT/dz = h (T - T_air)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `resin` | rate constants, speed factor, heat of reaction, ultimate glass transition | |
/// | `layup` | the slab and its two faces | |
/// | `air` | from a time [s] the temperature behind the mould and that over the bag [K] | |
/// | `corners` | when the air jumps or turns a corner, in order; between them it moves over hours; [`corners_of`] finds them | [s] |
/// | `duration` | how long to follow it, at most 400 days | [s] |
///
/// # Returns
/// The coldest and the hottest point [K] and the least and the most conversion [-] against time [s].
/// # Valid for
/// Kinetics from 288 to 343 K, extrapolated outside; slabs to 60 mm; air within 263 to 423 K at both ends of the time.
/// # Errors
/// [`LawError::OutOfRange`] for a slab, duration or air outside its range; [`LawError::Unsolved`] when it cannot be
/// followed, such as with air that is not a number.
/// # Example
/// ```
/// use bastwork::law::cure::{INFUSION_AMINE, Resin};
/// use bastwork::law::laminate_cure::{Layup, laminate_cure};
/// let slow = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
/// let layup = Layup {
///     thickness: 0.010, density: 1250.0, heat_capacity: 1650.0, conductivity: 0.25, resin_share: 0.57,
///     to_mould: 8.0, to_bag: 10.0, start_temperature: 296.15,
/// };
/// let course = laminate_cure(&slow, &layup, |_| (296.15, 296.15), &[], 86_400.0)?;
/// assert!((course.peak_temperature - 273.15 - 31.0).abs() < 0.2, "arithmetic check");
/// assert!((course.when_least(0.577).unwrap() / 3600.0 - 5.6).abs() < 0.1, "arithmetic check");
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Heat balance of a curing slab as in Behzad and Sain 2007, Compos. Sci. Technol. 67:1666 (coupled heat and kinetics,
/// abstract read); kinetics as for [`super::cure::curing_rate`].
pub fn laminate_cure(
    resin: &Resin,
    layup: &Layup,
    air: impl Fn(f64) -> (f64, f64),
    corners: &[f64],
    duration: f64,
) -> Result<LaminateCourse, LawError> {
    positive("duration", duration)?;
    within("duration", duration, 0.0, 400.0 * 86_400.0)?;
    resin.checked()?;
    for at in [0.0, duration] {
        within("air behind the mould", air(at).0, 253.15, 443.15)?;
        within("air over the bag", air(at).1, 253.15, 443.15)?;
    }
    let gap = (layup.checked()?.thickness / NODES.0).ceil();
    // A cast of a small whole number.
    let nodes = (gap as usize + 1).clamp(NODES.1, NODES.2);
    let cut = Cut {
        nodes,
        first: FIRST,
        fine: FINE,
    };
    follow(resin, layup, air, corners, duration, cut)
}

/// How finely the slab and its time are cut.
#[derive(Clone, Copy)]
struct Cut {
    nodes: usize,
    first: f64,
    fine: Fineness,
}

fn follow(
    resin: &Resin,
    layup: &Layup,
    air: impl Fn(f64) -> (f64, f64),
    corners: &[f64],
    duration: f64,
    Cut { nodes, first, fine }: Cut,
) -> Result<LaminateCourse, LawError> {
    let by_volume = layup.density * layup.heat_capacity;
    let through = Through {
        diffusivity: layup.conductivity / by_volume,
        films: [layup.to_mould / by_volume, layup.to_bag / by_volume],
        rise: layup.resin_share * resin.kinetics.heat / layup.heat_capacity,
    };
    let begun = film_start(resin, layup.start_temperature, first)?.min(duration);
    let mut now = State {
        heat: vec![layup.start_temperature + through.rise * first; nodes],
        progress: vec![first; nodes],
    };
    let mut course = LaminateCourse::begun(layup.start_temperature);
    course.keep(begun, &now);
    let pace = |heat: f64, progress: f64| {
        let (rate, by_heat, by_progress) = rate_and_slopes(resin, progress, heat);
        Pace {
            rate,
            by_heat,
            by_progress,
        }
    };
    let outside = |t: f64| {
        let (mould, bag) = air(t);
        [mould, bag]
    };
    let shells = Shells::new(Shape::Slab, layup.thickness, nodes);
    let body = Heated {
        shells: &shells,
        through: &through,
    };
    let mut from = begun;
    for &until in corners.iter().chain([&duration]) {
        let until = until.min(duration);
        if until <= from {
            continue;
        }
        let fine = Fineness {
            longest: if still(&outside, from, until) {
                STILL_LONGEST
            } else {
                fine.longest
            },
            ..fine
        };
        let start = now.clone();
        let span = (from, until);
        let done = conduct(body, start, span, pace, outside, fine, |t, then| {
            course.keep(t, then);
            now.clone_from(then);
            false
        });
        if !done {
            return Err(LawError::Unsolved {
                what: "how this laminate sets",
            });
        }
        from = until;
    }
    Ok(course)
}

/// Whether the air stays as it is from one corner to the next.
fn still(outside: &impl Fn(f64) -> [f64; 2], from: f64, until: f64) -> bool {
    let first = outside(from);
    (1..=16).all(|k| {
        // Just inside the last corner, not on it.
        let there = outside(from + (until - from) * (f64::from(k) / 16.0).min(0.9999));
        (0..2).all(|side| (there[side] - first[side]).abs() < 1e-9)
    })
}

#[cfg(test)]
mod tests;
