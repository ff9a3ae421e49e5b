//! How far a stack of dry cloth closes up under the net pressure of the bag.
//!
//! A power law anchored at one bar, plies that nest, and the swelling of a wet stack where resin pushes the bag up.
//! Does not cover creep.

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

/// How much closer plies lie that nest into each other.
///
/// f = 1 + g (1 - 1/n): one ply has no neighbour, many gain g
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `plies` | n, at least 1 | [-] |
/// | `gain` | g, what an endless stack gains in fibre fraction | [-] |
///
/// # Returns
/// Factor on the fibre volume fraction [-].
/// # Valid for
/// Equal plies laid alike; cloth laid crosswise nests less.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::compaction::nesting;
/// // Three plies of coarse woven flax come out 3.6 mm, one 1.2 mm: no gain at all.
/// assert_eq!(nesting(3.0, 0.0)?, 1.0);
/// assert!((nesting(4.0, 0.04)? - 1.03).abs() < 1e-12);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Form: our judgement. That parallel plies nest and crossed ones less: Xue, Miao and Hu 2011, J. Text. Inst.
/// 102:612. The thickness of one and of three plies: common practice, no source.
pub fn nesting(plies: f64, gain: f64) -> Result<f64, LawError> {
    let plies = within("plies", plies, 1.0, 1e4)?;
    Ok(1.0 + within("gain", gain, 0.0, 0.5)? * (1.0 - 1.0 / plies))
}

/// Thickness of a wet stack where resin stands in it, over its thickness under the whole net pressure.
///
/// h/h₀ = (p / σ)^B, σ = p - p_resin and no less than a twentieth of p
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `net_pressure` | p, ambient pressure less the pressure in the bag | [Pa] |
/// | `resin_pressure` | p_resin, of the resin above the pressure in the bag; p itself at an open feed | [Pa] |
/// | `exponent` | B, of a wet stack that is let go: about half of that of loading | [-] |
///
/// # Returns
/// h/h₀ [-].
/// # Valid for
/// While the vent pulls and the feed is open; once both are shut the thickness evens out.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::compaction::swollen;
/// // At an open feed: 9, 20 and 35 percent thicker for exponents of 0.03, 0.06 and 0.10 (arithmetic check).
/// for (exponent, ratio) in [(0.03, 1.094), (0.06, 1.197), (0.10, 1.349)] {
///     assert!((swollen(1e5, 1e5, exponent)? - ratio).abs() < 1e-3);
/// }
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Correia, Robitaille, Long, Rudd, Šimáček and Advani 2005, Composites A 36:1645 (from memory); the floor of a
/// twentieth is our judgement.
pub fn swollen(net_pressure: f64, resin_pressure: f64, exponent: f64) -> Result<f64, LawError> {
    let p = positive("net_pressure", net_pressure)?;
    let resin = within("resin_pressure", resin_pressure, 0.0, p)?;
    within("exponent", exponent, 0.0, 0.5)?;
    let held = (p - resin).max(p / 20.0);
    Ok((p / held).powf(exponent))
}

/// Fibre volume fraction under a net pressure of cloth that was packed tighter before, while its resin was wet.
///
/// V_f = V₁ (P / P₁)^B with V₁ = V_1bar (P₁ / 1 bar)^b for P below P₁; the law of [`fibre_fraction`] from P₁ on
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `fraction_at_one_bar` | V_1bar, of the dry stack at one bar net | [-] |
/// | `exponent` | b, of loading | [-] |
/// | `wet_exponent` | B, of a wet stack that is let go, no larger than b | [-] |
/// | `reached` | V₁, fibre volume fraction that it was once packed to | [-] |
/// | `net_pressure` | P, ambient pressure less the pressure in the bag | [Pa] |
///
/// # Returns
/// Fibre volume fraction, no more than 0.75 [-].
/// # Valid for
/// Cloth of a prepreg, pressed between rolls when its resin went in.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// use bastwork::law::compaction::{fibre_fraction, once_packed};
/// // Packed by 10 bar, to 0.395, and let go to one bar.
/// let reached = fibre_fraction(0.30, 0.12, 1e6)?;
/// assert!((once_packed(0.30, 0.12, 0.045, reached, 1e5)? - 0.3565).abs() < 5e-4);
/// // What was never packed as tight as the bag packs it follows the bag.
/// assert_eq!(once_packed(0.30, 0.12, 0.045, 0.20, 1e5)?, fibre_fraction(0.30, 0.12, 1e5)?);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Loading as [`fibre_fraction`]; letting go as [`swollen`]; that the two join at the tightest is our judgement.
pub fn once_packed(
    fraction_at_one_bar: f64,
    exponent: f64,
    wet_exponent: f64,
    reached: f64,
    net_pressure: f64,
) -> Result<f64, LawError> {
    let by_the_bag = fibre_fraction(fraction_at_one_bar, exponent, net_pressure)?;
    within("wet_exponent", wet_exponent, 0.0, exponent)?;
    within("reached", reached, 0.0, 1.0)?;
    if reached <= by_the_bag {
        return Ok(by_the_bag);
    }
    let net = net_pressure.max(LEAST_PRESSURE) / ONE_BAR;
    // How far the net pressure lies below what packed it so.
    let let_go = net / (reached / fraction_at_one_bar).powf(1.0 / exponent);
    Ok((reached * let_go.powf(wet_exponent)).min(MOST_FRACTION))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stack_swells_towards_the_feed_and_not_at_the_vent() {
        assert_eq!(swollen(9.5e4, 0.0, 0.05).unwrap(), 1.0);
        let mut last = 1.0;
        for resin in [2e4, 5e4, 8e4, 9e4, 9.5e4] {
            let now = swollen(9.5e4, resin, 0.05).unwrap();
            assert!(now > last);
            last = now;
        }
        assert!(swollen(9.5e4, 9.6e4, 0.05).is_err());
        assert!(nesting(0.5, 0.01).is_err());
        assert!(nesting(100.0, 0.04).unwrap() < 1.04);
    }

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

    #[test]
    fn cloth_that_was_packed_stays_tighter_and_joins_the_loading_law() {
        let at = |reached: f64, net| once_packed(0.30, 0.12, 0.045, reached, net).unwrap();
        let loaded = |p: f64| fibre_fraction(0.30, 0.12, p).unwrap();
        for p in [1e4, 1e5, 2e5] {
            assert!((at(loaded(p), p) - loaded(p)).abs() < 1e-12);
            assert!((at(loaded(p) * (1.0 + 1e-9), p) - loaded(p)).abs() < 1e-8);
            // Written with pressures instead of fractions, evaluated apart from this code.
            let pressures = loaded(8.0 * p) * (1.0_f64 / 8.0).powf(0.045);
            assert!((at(loaded(8.0 * p), p) - pressures).abs() < 1e-9);
        }
        let mut before = 0.0;
        for reached in [0.2, 0.31, 0.35, 0.40, 0.50] {
            let v = at(reached, 1e5);
            assert!(v >= before && v <= reached.max(0.30));
            before = v;
        }
        assert!(once_packed(0.30, 0.12, 0.2, 0.4, 1e5).is_err());
        assert!(once_packed(0.30, 0.12, 0.05, 1.4, 1e5).is_err());
    }
}
