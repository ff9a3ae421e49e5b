//! A thin rectangular plate with all its bending stiffnesses, slanted ones included: how it buckles when it is pushed,
//! how stiffly it swings, and how much softer it is for bending that turns into twist.
//!
//! Small deflections, no shear through the thickness. A stack that is not the same from both faces goes in with the
//! stiffness of `laminate::free_bending`. Does not cover plates with a free edge.

mod energy;
mod waves;

use super::laminate::Matrix3;
use super::plate::{Load, Moments};
use super::{LawError, positive, within};
use crate::solve::{lowest_mode, solve_symmetric};
use energy::{Energy, MOST_SHAPES, Side};
use std::f64::consts::PI;

/// A thin rectangular plate on four edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thin {
    /// Length, along x [m].
    pub length: f64,
    /// Width, along y [m].
    pub width: f64,
    /// Bending stiffness D11 to D66, D16 and D26 with it [N m].
    pub d: Matrix3,
    /// Whether the edges are held so that they cannot turn; else they rest.
    pub held: bool,
}

/// What the coupling of bending with twist adds to a plate that does without.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Twisted {
    /// Deflection over that of the same plate without D16 and D26 [-].
    pub deflection: f64,
    /// Moments to add, at the places of [`super::plate::Bent`] [N m/m].
    pub moments: [Moments; 6],
}

/// A plate longer than this many waves of its own buckling is taken as this long.
const MOST_WAVES: f64 = 8.0;

/// Push along x, per width, at which a plate on four edges buckles; the edges across x stay straight.
///
/// least N for which the energy of bending equals N/2 times the mean square of the slope along x, over sums of
/// polynomials that keep to the edges; without D16 and D26 and at rest the same as
/// N = min over m of (pi^2/b^2) (D11 (m b/a)^2 + 2 (D12 + 2 D66) + D22 (a/(m b))^2)
///
/// D16 and D26 always bring N down, and never up: N is a concave function of D, and a plate and its mirror image
/// buckle alike.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `plate` | sides [m], D, how its edges are held | [N m] |
///
/// # Returns
/// N [N/m], for a plate that is flat and even; a real one gives way well before.
/// # Valid for
/// All four edges kept from moving out of the plane, the two long ones free to slide. Exact for plates at rest without
/// D16 and D26, from above by 0.5 % with them or held. Plates longer than 8 of their waves are taken as 8 long, then
/// within 1 %.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range; [`LawError::Unsolved`] when the
/// stiffness is not positive.
/// # Example
/// ```
/// use bastwork::law::thin_plate::{Thin, buckles};
/// // A square plate alike in all directions, D = 1, side 1: k pi^2 with k = 4.000 at rest and 10.07 held.
/// let square = Thin { length: 1.0, width: 1.0, d: [[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 0.35]], held: false };
/// let k = |n: f64| n / std::f64::consts::PI.powi(2);
/// assert!((k(buckles(&square)?) - 4.0).abs() < 1e-6);
/// assert!((k(buckles(&Thin { held: true, ..square })?) - 10.07).abs() < 0.01);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Timoshenko and Gere 1961, Theory of Elastic Stability, sections 9.2 and 9.3; Reddy 2004, Mechanics of Laminated
/// Composite Plates and Shells, 2nd ed., sections 5.3 and 5.5 (both from memory). Energy method of Ritz 1909.
pub fn buckles(plate: &Thin) -> Result<f64, LawError> {
    let plate = checked(plate)?;
    if is_straight(&plate) && !plate.held {
        return Ok(least_wave(&plate));
    }
    let plate = &shortened(plate);
    let (x, y) = sides(plate, 0);
    let mut least = f64::INFINITY;
    for odd in [false, true] {
        let energy = Energy::new(&x, &y, odd);
        let mut bent = energy.bending(plate);
        let pushed = energy.pushed(plate);
        least = least.min(lowest_mode(&mut bent, &pushed, energy.len()).ok_or(UNSOLVED)?);
    }
    Ok(least)
}

/// How stiffly a plate on four edges swings in its lowest mode.
///
/// least K for which the energy of bending equals K/2 times the mean square of the deflection; the plate rings at
/// f = (K/m)^(1/2) / (2 pi) with m its mass per area
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `plate` | sides [m], D, how its edges are held | [N m] |
///
/// # Returns
/// K [N/m3].
/// # Valid for
/// As [`buckles`], to 0.1 %; air and what the plate stands on are left out.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range; [`LawError::Unsolved`] when the
/// stiffness is not positive.
/// # Example
/// ```
/// use bastwork::law::thin_plate::{Thin, swings};
/// // A square plate alike in all directions: (K/D)^(1/2) a^2 is 19.74 at rest and 35.99 held.
/// let square = Thin { length: 1.0, width: 1.0, d: [[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 0.35]], held: false };
/// assert!((swings(&square)?.sqrt() - 19.74).abs() < 0.005);
/// assert!((swings(&Thin { held: true, ..square })?.sqrt() - 35.99).abs() < 0.005);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Leissa 1969, Vibration of Plates, NASA SP-160, chapter 4 (from memory). Energy method of Ritz 1909.
pub fn swings(plate: &Thin) -> Result<f64, LawError> {
    let plate = checked(plate)?;
    if is_straight(&plate) && !plate.held {
        return Ok(of_wave(&plate, 1.0));
    }
    let plate = &shortened(plate);
    let (x, y) = sides(plate, 0);
    let energy = Energy::new(&x, &y, false);
    let mut bent = energy.bending(plate);
    lowest_mode(&mut bent, &energy.moved(plate), energy.len()).ok_or(UNSOLVED)
}

/// What D16 and D26 add to a plate that was worked out without them.
///
/// two solutions of the same sums of polynomials, energy of bending least under the load, with D16 and D26 and without
///
/// They always make it softer: the deflection is a convex function of D, and a plate and its mirror image sink alike.
/// How much they matter: both of a tenth of D11 = D22 make a square plate at rest 2 % softer, of a quarter 10 %, of two
/// fifths 38 %.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `plate` | sides [m], D, how its edges are held | [N m] |
/// | `load` | pressure [Pa], or force [N] and patch | [m] |
///
/// # Returns
/// Deflection over the one without [-], and moments to add [N m/m]; of the corners, the one that twists most, read a
/// fortieth of the sides inwards, because the twist grows without end towards its tip.
/// # Valid for
/// As [`buckles`]: deflection to 0.5 %, moments to 3 % of the largest while |D16| and |D26| are below half the root of
/// D11 D22.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range; [`LawError::Unsolved`] when the
/// stiffness is not positive.
/// # Example
/// ```
/// use bastwork::law::plate::Load;
/// use bastwork::law::thin_plate::{Thin, twisted};
/// // Crossed plies have nothing of it; a quarter of D in D16 and D26 makes a square plate a tenth softer.
/// let plate = |slant: f64| Thin { length: 1.0, width: 1.0, held: false,
///     d: [[1.0, 0.3, slant], [0.3, 1.0, slant], [slant, slant, 0.35]] };
/// assert_eq!(twisted(&plate(0.0), &Load::Pressure(1.0))?.deflection, 1.0);
/// let softer = twisted(&plate(0.25), &Load::Pressure(1.0))?.deflection;
/// assert!((softer - 1.104).abs() < 0.002);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Ashton and Whitney 1970, Theory of Laminated Plates, chapter 4 (from memory). Energy method of Ritz 1909.
pub fn twisted(plate: &Thin, load: &Load) -> Result<Twisted, LawError> {
    let plate = &shortened(checked(plate)?);
    let none = Twisted {
        deflection: 1.0,
        moments: [Moments::default(); 6],
    };
    if is_straight(plate) {
        return Ok(none);
    }
    let (pressure, u, v) = match *load {
        Load::Pressure(pressure) => (pressure, plate.length, plate.width),
        Load::Patch {
            force,
            length,
            width,
        } => {
            let u = positive("patch length", length)?.min(plate.length);
            let v = positive("patch width", width)?.min(plate.width);
            (force / (u * v), u, v)
        }
    };
    let (x, y) = sides(plate, 3);
    let energy = Energy::new(&x, &y, false);
    let solve = |plate: &Thin| -> Result<(f64, [Moments; 7]), LawError> {
        let mut sunk = energy.load(plate, pressure, (u, v));
        if !solve_symmetric(&mut energy.bending(plate), &mut sunk) {
            return Err(UNSOLVED);
        }
        Ok(energy.places(plate, &sunk))
    };
    let mut straight = *plate;
    for (i, j) in [(0, 2), (1, 2), (2, 0), (2, 1)] {
        straight.d[i][j] = 0.0;
    }
    let (with, m) = solve(plate)?;
    let (without, plain) = solve(&straight)?;
    if without.abs() <= 0.0 {
        return Ok(none);
    }
    let mut moments: [Moments; 6] = std::array::from_fn(|i| Moments {
        x: m[i].x - plain[i].x,
        y: m[i].y - plain[i].y,
        xy: m[i].xy - plain[i].xy,
    });
    // Of the corners the one that twists most, in the sense of the first; a held corner bends not at all.
    let most = m[3].xy.abs().max(m[6].xy.abs());
    moments[3] = Moments {
        xy: if plate.held {
            0.0
        } else {
            most.copysign(plain[3].xy) - plain[3].xy
        },
        ..Moments::default()
    };
    Ok(Twisted {
        deflection: with / without,
        moments,
    })
}

const UNSOLVED: LawError = LawError::Unsolved {
    what: "the bending of the plate",
};

fn checked(plate: &Thin) -> Result<Thin, LawError> {
    positive("length", plate.length)?;
    positive("width", plate.width)?;
    let d = &plate.d;
    for (i, field) in ["d11", "d22", "d66"].into_iter().enumerate() {
        positive(field, d[i][i])?;
    }
    for (field, (i, j)) in [("d12", (0, 1)), ("d16", (0, 2)), ("d26", (1, 2))] {
        let limit = (d[i][i] * d[j][j]).sqrt();
        within(field, d[i][j], -limit, limit)?;
    }
    Ok(*plate)
}

/// Whether bending makes no twist.
fn is_straight(plate: &Thin) -> bool {
    let d = &plate.d;
    d[0][2].abs().max(d[1][2].abs()) < 1e-6 * (d[0][0] * d[1][1]).sqrt()
}

/// Stiffness of m waves along and one across, of a plate at rest that makes no twist [N/m3].
fn of_wave(plate: &Thin, m: f64) -> f64 {
    let (x, y) = (m * PI / plate.length, PI / plate.width);
    let d = &plate.d;
    let mixed = 2.0 * (d[0][1] + 2.0 * d[2][2]);
    d[0][0] * x.powi(4) + mixed * (x * y).powi(2) + d[1][1] * y.powi(4)
}

/// Least push over the numbers of waves on both sides of the natural one [N/m].
fn least_wave(plate: &Thin) -> f64 {
    let natural = waves_along(plate).floor();
    let push = |m: f64| of_wave(plate, m) * (plate.length / (m * PI)).powi(2);
    push(natural.max(1.0)).min(push(natural + 1.0))
}

/// How many waves of its own buckling fit along a plate.
fn waves_along(plate: &Thin) -> f64 {
    plate.length / plate.width * (plate.d[1][1] / plate.d[0][0]).sqrt().sqrt()
}

fn shortened(mut plate: Thin) -> Thin {
    let waves = waves_along(&plate);
    if waves > MOST_WAVES {
        plate.length *= MOST_WAVES / waves;
    }
    plate
}

fn sides(plate: &Thin, more: usize) -> (Side, Side) {
    let waves = waves_along(plate);
    let count =
        |waves: f64| (1.5 * waves + 7.0).clamp(8.0, (MOST_SHAPES - 3) as f64) as usize + more;
    (
        Side::new(count(waves), plate.held),
        Side::new(count(1.0 / waves), plate.held),
    )
}

#[cfg(test)]
mod tests;
