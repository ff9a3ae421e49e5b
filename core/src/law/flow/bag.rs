//! What a soft bag changes: cloth swells behind the front while filling, and evens out after.

use super::super::{LawError, within};
use super::fluid;
use crate::solve::{Step, follow, root};

/// Fill time under a bag over fill time in a stiff mould, when nothing better is known [-].
///
/// The middle of the factors that [`bag_compaction_factor`] gives for exponents 0.03 to 0.06 (wet, unloading) and
/// fibre fractions 0.35 to 0.45; our judgement.
pub const BAG_FACTOR: f64 = 0.85;

/// Half width of the range of [`BAG_FACTOR`], our judgement [-].
pub const BAG_FACTOR_SPREAD: f64 = 0.07;

/// Fill time under a bag over fill time at the front's own fibre fraction held everywhere.
///
/// Behind the front the film carries less on the cloth, so it is thicker and more open. With s = 1 - p / p_ambient:
/// V_f = V_0 s^B, h = h_0 s^-B, K = K_0 s^(-bB), and dh/dt = d/dx (h K / mu dp/dx), front as sqrt(2 C t):
/// (s^-m u')' + c B s^(-B-1) xi u' = 0, m = B (1 + b), u(1) = 0, u'(1) = -c (1 - V_0), u(0) = share; F = share / (c (1 - V_0))
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `fibre_fraction` | V_0, at the front, where the bag presses fully | [-] |
/// | `exponent` | B, wet and unloading, 0.03 to 0.06 | [-] |
/// | `permeability_exponent` | b, of K in V_f | [-] |
/// | `pressure_share` | u at the feed: ambient less bag over ambient | [-] |
///
/// # Returns
/// F, below one wherever permeability falls steeply with fibre fraction [-].
/// # Valid for
/// One-way flow from a line inlet open to ambient pressure; share up to 0.99, for the law has no thickness at one.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range; [`LawError::Unsolved`] when the
/// numerics fail.
/// # Example
/// ```
/// let f = bastwork::law::flow::bag_compaction_factor(0.35, 0.06, 3.0, 0.95)?;
/// assert!((f - 0.845).abs() < 1e-3);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Same model as Correia, Robitaille, Long, Rudd, Simacek and Advani 2005, Composites A 36:1645 (from memory);
/// similarity form derived for Bastwork and checked against scipy.
pub fn bag_compaction_factor(
    fibre_fraction: f64,
    exponent: f64,
    permeability_exponent: f64,
    pressure_share: f64,
) -> Result<f64, LawError> {
    within("fibre_fraction", fibre_fraction, 0.02, 0.8)?;
    within("exponent", exponent, 0.0, 0.2)?;
    within("permeability_exponent", permeability_exponent, 0.0, 8.0)?;
    within("pressure_share", pressure_share, 0.01, 0.99)?;
    let porosity = 1.0 - fibre_fraction;
    let power = exponent * (1.0 + permeability_exponent);
    // Past the wanted pressure the cloth is held, so that a guess too high stays finite; at the root it never is.
    let least = 0.5 * (1.0 - pressure_share);
    let step = Step {
        relative: 1e-8,
        absolute: 1e-10,
        longest: 0.1,
        most: 4000,
    };
    // From the front (distance 0) back to the feed (distance 1): pressure and flux, both positive.
    let at_feed = |c: f64| {
        let rate = |back: f64, y: &[f64; 2]| {
            let s = (1.0 - y[0]).max(least);
            let slope = y[1] * s.powf(power);
            [
                slope,
                c * exponent * s.powf(-exponent - 1.0) * (1.0 - back) * slope,
            ]
        };
        // A pressure above ambient says all that is needed: the guess was too high.
        follow(rate, 0.0, [0.0, c * porosity], 1.0, step, |_, y| y[0] > 1.0)
            .map_or(f64::NAN, |track| track.end().1[0] - pressure_share)
    };
    let stiff = pressure_share / porosity;
    let unsolved = |_| LawError::Unsolved {
        what: "the bag's factor on the fill time",
    };
    let c = root(at_feed, 0.5 * stiff, 50.0 * stiff, 1e-9 * stiff).map_err(unsolved)?;
    Ok(stiff / c)
}

/// How much thicker the stack is at the feed than at the front while it fills.
///
/// h_feed / h_front = (1 - share)^(-B)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `exponent` | B, wet and unloading | [-] |
/// | `pressure_share` | ambient less bag over ambient | [-] |
///
/// # Returns
/// Ratio of thicknesses, above one [-].
/// # Valid for
/// While the feed is open; it stays if the resin gels before [`equalisation_time`] has gone by.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// assert!((bastwork::law::flow::inlet_thickening(0.06, 0.95)? - 1.197).abs() < 5e-4);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// The power law of compaction; example numbers are an arithmetic check.
pub fn inlet_thickening(exponent: f64, pressure_share: f64) -> Result<f64, LawError> {
    within("exponent", exponent, 0.0, 0.5)?;
    within("pressure_share", pressure_share, 0.0, 0.99)?;
    Ok((1.0 - pressure_share).powf(-exponent))
}

/// Time for the resin pressure to even out after the feed is clamped, vent held.
///
/// t = 4 / pi^2 * ln(8 / (pi^2 r)) * L^2 / D, D = K sigma / (mu B)
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `viscosity` | mu, at that time | [Pa s] |
/// | `length` | L, feed to vent; half of it with vents at both ends | [m] |
/// | `permeability` | K | [m2] |
/// | `load` | sigma, mean pressure carried by the cloth | [Pa] |
/// | `exponent` | B, wet compaction exponent | [-] |
/// | `left` | r, share of the feed's excess pressure still left, 0.05 for t95 | [-] |
///
/// # Returns
/// Time since the feed was clamped [s].
/// # Valid for
/// r from 0.001 to 0.3, where the first term of the series stands for all (within 0.01 %); small changes of thickness.
/// # Errors
/// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
/// # Example
/// ```
/// let t95 = bastwork::law::flow::equalisation_time(0.3, 0.5, 3e-11, 5e4, 0.06, 0.05)?;
/// assert!((t95 - 3387.0).abs() < 1.0);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Diffusion of pressure, Carslaw and Jaeger, Conduction of Heat in Solids (from memory); experiments of the kind:
/// Simacek, Eksik, Heider, Gillespie and Advani 2012, Composites A 43:370 (from memory).
pub fn equalisation_time(
    viscosity: f64,
    length: f64,
    permeability: f64,
    load: f64,
    exponent: f64,
    left: f64,
) -> Result<f64, LawError> {
    use std::f64::consts::PI;
    fluid(viscosity, 1.0, permeability, 1.0)?;
    within("load", load, 1.0, 2e6)?;
    within("length", length, 0.0, 1e3)?;
    within("exponent", exponent, 1e-3, 0.5)?;
    within("left", left, 0.001, 0.3)?;
    let spread = permeability * load / (viscosity * exponent);
    Ok(4.0 / (PI * PI) * (8.0 / (PI * PI * left)).ln() * length * length / spread)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factor_against_a_boundary_value_solver() {
        // scipy 1.17.1, solve_bvp: tests/cases/vectors/make_flow_vectors.py.
        for line in include_str!("../../../../tests/cases/vectors/bag_factor.csv")
            .lines()
            .skip(1)
        {
            let mut cells = line.split(',');
            let mut next = || cells.next().unwrap().parse::<f64>().unwrap();
            let (v, b, k, share, expected) = (next(), next(), next(), next(), next());
            let f = bag_compaction_factor(v, b, k, share).unwrap();
            assert!((f - expected).abs() < 2e-5, "{v} {b} {k}: {f} {expected}");
        }
    }

    #[test]
    fn a_stiff_stack_has_factor_one_and_softness_only_helps() {
        let f = |b| bag_compaction_factor(0.35, b, 4.0, 0.95).unwrap();
        assert!((f(0.0) - 1.0).abs() < 1e-7);
        assert!(f(0.03) < 1.0 && f(0.06) < f(0.03) && f(0.10) < f(0.06));
        assert!(bag_compaction_factor(0.35, 0.06, 4.0, 0.5).unwrap() > f(0.06));
        let spread = BAG_FACTOR - BAG_FACTOR_SPREAD..BAG_FACTOR + BAG_FACTOR_SPREAD;
        assert!(spread.contains(&f(0.04)), "{}", f(0.04));
    }

    #[test]
    fn answers_over_its_whole_range() {
        for v in [0.02, 0.5, 0.8] {
            for b in [0.0, 0.1, 0.2] {
                for k in [0.0, 4.0, 8.0] {
                    for share in [0.01, 0.5, 0.99] {
                        let f = bag_compaction_factor(v, b, k, share).unwrap();
                        assert!(f > 0.0 && f < 1.25, "{v} {b} {k} {share}: {f}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_ends_of_the_range_agree_with_another_integrator() {
        // scipy 1.17.1, solve_ivp LSODA with brentq.
        let f = |v, b, k| bag_compaction_factor(v, b, k, 0.99).unwrap();
        assert!((f(0.02, 0.2, 8.0) - 0.03634).abs() < 2e-5);
        assert!((f(0.8, 0.2, 0.0) - 1.22682).abs() < 2e-5);
    }

    #[test]
    fn evening_out_times() {
        // First term of the series evaluated apart from this code (arithmetic check).
        let t = |left| equalisation_time(0.3, 0.5, 3e-11, 5e4, 0.06, left).unwrap();
        assert!((t(0.10) - 2544.0).abs() < 2.0, "{}", t(0.10));
        // The whole series at the time found leaves what was asked for, even at the upper end of the range.
        let spread = 3e-11 * 5e4 / (0.3 * 0.06);
        for left in [0.05, 0.1, 0.3] {
            let pi2 = std::f64::consts::PI.powi(2);
            let sum: f64 = (0..20)
                .map(|n| f64::from((2 * n + 1) * (2 * n + 1)))
                .map(|m| 8.0 / (m * pi2) * (-m * pi2 * spread * t(left) / (4.0 * 0.25)).exp())
                .sum();
            assert!((sum - left).abs() < 1e-4 * left, "{sum}");
        }
        assert!((inlet_thickening(0.03, 0.95).unwrap() - 1.094).abs() < 5e-4);
        assert!((inlet_thickening(0.10, 0.95).unwrap() - 1.349).abs() < 5e-4);
    }
}
