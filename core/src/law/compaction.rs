//! How far a stack of dry cloth closes up under the net pressure of the bag.
//!
//! A power law anchored at one bar. Does not cover nesting that grows with the number of plies,
//! creep, or the difference between loading and unloading.

use super::{LawError, positive, within};

/// The anchor of the law: one bar [Pa].
pub const ONE_BAR: f64 = 1e5;

/// Below this net pressure the stack keeps the fibre fraction it has at this pressure [Pa].
///
/// The power law alone falls to nothing at no pressure, which cloth lying on a mould does not do. At 5 kPa a
/// woven flax (0.30 at one bar, exponent 0.12) comes to 0.21, inside the 0.18 to 0.28 seen in hand lay-up
/// without a bag (from memory); the floor itself is our judgement.
pub const LEAST_PRESSURE: f64 = 5e3;

/// Largest net pressure the law is used for [Pa].
pub const MOST_PRESSURE: f64 = 2e6;

/// Fibre fraction above which no bast cloth was seen to go.
const MOST_FRACTION: f64 = 0.75;

fn anchor(fraction_at_one_bar: f64, exponent: f64) -> Result<(), LawError> {
    within(
        "fraction_at_one_bar",
        fraction_at_one_bar,
        0.02,
        MOST_FRACTION,
    )?;
    within("exponent", exponent, 0.01, 0.5)?;
    Ok(())
}

/// Fibre volume fraction of a stack under a net pressure.
///
/// V_f = V_1bar * (P / 1 bar)^b, with P no smaller than [`LEAST_PRESSURE`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `fraction_at_one_bar` | V_1bar, fibre volume fraction at one bar net | [-] |
/// | `exponent` | b, 0.12 for woven flax, 0.13 unidirectional, 0.20 mat | [-] |
/// | `net_pressure` | P, ambient pressure less the pressure in the bag | [Pa] |
///
/// # Returns
/// Fibre volume fraction, no more than 0.75 [-].
/// # Valid for
/// Net pressure 0 to 2 MPa; below 5 kPa the answer stays at its 5 kPa value.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::compaction::fibre_fraction;
/// let weak_pump = fibre_fraction(0.30, 0.12, 8e4)? / fibre_fraction(0.30, 0.12, 1e5)?;
/// assert!((weak_pump - 0.974).abs() < 5e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Form: Toll 1998, Polym. Eng. Sci. 38:1337 (from memory), which puts the exponent at 1/5 for a planar random
/// mat and 0.07 to 0.14 for aligned and woven cloth; anchors and exponents per class are our judgement.
pub fn fibre_fraction(
    fraction_at_one_bar: f64,
    exponent: f64,
    net_pressure: f64,
) -> Result<f64, LawError> {
    anchor(fraction_at_one_bar, exponent)?;
    within("net_pressure", net_pressure, 0.0, MOST_PRESSURE)?;
    let ratio = net_pressure.max(LEAST_PRESSURE) / ONE_BAR;
    Ok((fraction_at_one_bar * ratio.powf(exponent)).min(MOST_FRACTION))
}

/// Net pressure that brings a stack to a wanted fibre volume fraction.
///
/// P = 1 bar * (V_f / V_1bar)^(1/b)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `fraction_at_one_bar` | V_1bar, fibre volume fraction at one bar net | [-] |
/// | `exponent` | b | [-] |
/// | `fibre_fraction` | V_f wanted | [-] |
///
/// # Returns
/// Net pressure [Pa].
/// # Valid for
/// Wanted fractions that lie between those at 5 kPa and at 2 MPa.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::compaction::pressure_for;
/// // Flax yarn pressed to 0.530 at 1.67 MPa and 0.597 at 4.10 MPa: 0.365 at one bar, exponent 0.1325.
/// assert!((pressure_for(0.365, 0.1325, 0.530)? - 1.67e6).abs() < 1e4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The inverse of [`fibre_fraction`]; example points: Aslan, Mehmood and Madsen 2013, J. Mater. Sci. 48:3812
/// (from memory).
pub fn pressure_for(
    fraction_at_one_bar: f64,
    exponent: f64,
    fibre_fraction: f64,
) -> Result<f64, LawError> {
    anchor(fraction_at_one_bar, exponent)?;
    let at = |pressure: f64| fraction_at_one_bar * (pressure / ONE_BAR).powf(exponent);
    within(
        "fibre_fraction",
        fibre_fraction,
        at(LEAST_PRESSURE),
        at(MOST_PRESSURE).min(MOST_FRACTION),
    )?;
    Ok(ONE_BAR * (fibre_fraction / fraction_at_one_bar).powf(1.0 / exponent))
}

/// The anchor of the law from one finished part of measured thickness.
///
/// V_1bar = A_w / (rho_f * h) * (1 bar / P)^b, P no smaller than [`LEAST_PRESSURE`]
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `dry_areal_mass` | A_w, dry fibre of all plies together | [kg/m2] |
/// | `fibre_density` | rho_f | [kg/m3] |
/// | `thickness` | h, measured | [m] |
/// | `exponent` | b | [-] |
/// | `net_pressure` | P while the part was made | [Pa] |
///
/// # Returns
/// Fibre volume fraction at one bar net [-].
/// # Valid for
/// One cloth in the whole stack; thickness away from edges and overlaps.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::compaction::fraction_at_one_bar_from;
/// // Four plies of 300 g/m2, 2.67 mm: 0.2996 by thickness (ASTM D3171, method II).
/// assert!((fraction_at_one_bar_from(1.2, 1500.0, 2.67e-3, 0.12, 1e5)? - 0.2996).abs() < 1e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// ASTM D3171 method II for the fraction (formula from memory), then the inverse of [`fibre_fraction`].
pub fn fraction_at_one_bar_from(
    dry_areal_mass: f64,
    fibre_density: f64,
    thickness: f64,
    exponent: f64,
    net_pressure: f64,
) -> Result<f64, LawError> {
    positive("dry_areal_mass", dry_areal_mass)?;
    positive("fibre_density", fibre_density)?;
    positive("thickness", thickness)?;
    within("exponent", exponent, 0.01, 0.5)?;
    within("net_pressure", net_pressure, 0.0, MOST_PRESSURE)?;
    let measured = dry_areal_mass / (fibre_density * thickness);
    within("fibre_fraction", measured, 0.02, MOST_FRACTION)?;
    let anchored = measured * (net_pressure.max(LEAST_PRESSURE) / ONE_BAR).powf(-exponent);
    within("fraction_at_one_bar", anchored, 0.02, MOST_FRACTION)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_published_points_give_the_published_exponent_and_back() {
        // Aslan, Mehmood and Madsen 2013 (from memory): 0.530 at 1.67 MPa, 0.597 at 4.10 MPa.
        let exponent = (0.597_f64 / 0.530).ln() / (4.10_f64 / 1.67).ln();
        assert!((exponent - 0.1325).abs() < 1e-4, "{exponent}");
        let anchor = 0.530 / 16.7_f64.powf(exponent);
        assert!((anchor - 0.365).abs() < 5e-4, "{anchor}");
        assert!((fibre_fraction(anchor, exponent, 1.67e6).unwrap() - 0.530).abs() < 1e-12);
    }

    #[test]
    fn rises_with_pressure_and_rests_on_its_floor() {
        let at = |p: f64| fibre_fraction(0.30, 0.12, p).unwrap();
        let mut last = at(LEAST_PRESSURE);
        assert_eq!(at(0.0), last);
        assert!((last - 0.2094).abs() < 1e-4, "{last}");
        for p in [1e4, 3e4, 6e4, 9e4, 1e5, 2e5] {
            assert!(at(p) > last);
            last = at(p);
        }
        assert!((at(1e5) - 0.30).abs() < 1e-15);
    }

    #[test]
    fn the_inverses_come_back() {
        for p in [6e3, 4e4, 9.5e4, 3e5] {
            let fraction = fibre_fraction(0.33, 0.13, p).unwrap();
            assert!((pressure_for(0.33, 0.13, fraction).unwrap() / p - 1.0).abs() < 1e-10);
            let thickness = 1.2 / (1500.0 * fraction);
            let back = fraction_at_one_bar_from(1.2, 1500.0, thickness, 0.13, p).unwrap();
            assert!((back - 0.33).abs() < 1e-12);
        }
    }

    #[test]
    fn says_no_outside_its_range() {
        assert!(fibre_fraction(0.30, 0.12, -1.0).is_err());
        assert!(fibre_fraction(0.30, 0.12, 3e6).is_err());
        assert!(fibre_fraction(f64::NAN, 0.12, 1e5).is_err());
        assert!(pressure_for(0.30, 0.12, 0.10).is_err());
        assert!(fraction_at_one_bar_from(1.2, 1500.0, 1e-4, 0.12, 1e5).is_err());
    }
}
