//! A fill from a line with resin of several ages: pots mixed one after the other.
//!
//! What enters first is at the front and oldest; every pot ages from its own mixing, wherever it is. Does not cover
//! mixing of one pot's resin with the next on its way, or the warmth of the pots.

use super::{LawError, positive, within};

/// Steps over the length; halving them moves the time by less than one in a thousand (see the tests).
const STEPS: usize = 96;

/// Time to fill a strip whose resin comes from several pots.
///
/// dt/dy = 2 T sum over pots of r(t - m_k) l_k(y), l_k the part of the filled length that holds pot k
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `thin` | T, time to fill with resin that stays as thin as when mixed | [s] |
/// | `rise` | r, times as thick at an age [s]; infinite beyond gel | [-] |
/// | `mixed_at` | m, when each of the equal pots was mixed, the feed opening at zero | [s] |
///
/// # Returns
/// Time to the far edge [s]; none when the resin gels on its way.
/// # Valid for
/// One-dimensional fill at constant pressure; equal pots, used up one after the other.
/// # Errors
/// [`LawError::OutOfRange`] for a time that is not positive, no pot at all or more than a thousand.
/// # Example
/// ```
/// use bastwork::law::resin_ages::fill_in_turn;
/// // Resin that never thickens: the ages do not matter.
/// let t = fill_in_turn(3600.0, |_| 1.0, &[-300.0, 600.0])?.unwrap();
/// assert!((t - 3600.0).abs() < 1e-6);
/// # Ok::<(), bastwork::law::LawError>(())
/// ```
/// # Source
/// Darcy's law along a strip with a viscosity that varies along it (from memory); derived for Bastwork, checked against scipy.
pub fn fill_in_turn(
    thin: f64,
    rise: impl Fn(f64) -> f64,
    mixed_at: &[f64],
) -> Result<Option<f64>, LawError> {
    positive("thin", thin)?;
    // A count is small enough for an f64.
    let pots = within("pots", mixed_at.len() as f64, 1.0, 1000.0)?;
    let share = 1.0 / pots;
    let slope = |y: f64, t: f64| {
        let mut thick = 0.0;
        for (k, mixed) in mixed_at.iter().enumerate() {
            let length = (y - k as f64 * share).clamp(0.0, share);
            if length > 0.0 {
                thick += rise(t - mixed) * length;
            }
        }
        2.0 * thin * thick
    };
    // Steps that end where one pot does, so that no kink lies within one.
    let each = STEPS.div_ceil(mixed_at.len()).max(4);
    let h = share / each as f64;
    let mut t = 0.0;
    for step in 0..each * mixed_at.len() {
        let y = step as f64 * h;
        let k1 = slope(y, t);
        let k2 = slope(y + 0.5 * h, t + 0.5 * h * k1);
        let k3 = slope(y + 0.5 * h, t + 0.5 * h * k2);
        let k4 = slope(y + h * (1.0 - 1e-12), t + h * k3);
        t += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
        if !t.is_finite() {
            return Ok(None);
        }
    }
    Ok(Some(t))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::thickening::Thickening;

    /// Doubles in thickness every so many seconds, gels at an age.
    fn doubling(every: f64, gel: f64) -> impl Fn(f64) -> f64 {
        move |age: f64| {
            if age < gel {
                (age.max(0.0) / every).exp2()
            } else {
                f64::INFINITY
            }
        }
    }

    #[test]
    fn one_pot_is_the_thickening_law() {
        for (thin, every) in [(600.0, 3000.0), (3600.0, 3600.0), (1000.0, 900.0)] {
            let gel = 12.0 * every;
            let law =
                Thickening::from_law(|t| doubling(every, 2.0 * gel)(t), gel, 4000, 1.0).unwrap();
            let found = fill_in_turn(thin, doubling(every, gel), &[0.0])
                .unwrap()
                .unwrap();
            assert!(
                (found / law.clock(thin) - 1.0).abs() < 5e-3,
                "{thin} {every}: {found} {}",
                law.clock(thin)
            );
        }
    }

    #[test]
    fn agrees_with_scipy() {
        // scipy 1.17.1, solve_ivp in time with the square of the length: tests/cases/vectors/make_resin_ages.py.
        for line in include_str!("../../../tests/cases/vectors/resin_ages.csv")
            .lines()
            .skip(1)
        {
            let mut cells = line.split(',');
            let mut next = || cells.next().unwrap().parse::<f64>().unwrap();
            let (thin, every, known) = (next(), next(), next());
            let mixed: Vec<f64> = cells.map(|cell| cell.parse().unwrap()).collect();
            let found = fill_in_turn(thin, doubling(every, f64::INFINITY), &mixed)
                .unwrap()
                .unwrap();
            assert!((found / known - 1.0).abs() < 1e-3, "{line}: {found}");
        }
    }

    #[test]
    fn fresh_pots_are_quicker_than_one_and_slower_than_none_that_ages() {
        let thin = 1500.0;
        let one = fill_in_turn(thin, doubling(1500.0, 1e9), &[0.0])
            .unwrap()
            .unwrap();
        let mut last = one;
        for pots in 2..6 {
            // Each mixed when the one before is used up, if the fill took as long as with thin resin.
            let mixed: Vec<f64> = (0..pots)
                .map(|k| thin * (f64::from(k) / f64::from(pots)).powi(2))
                .collect();
            let turn = fill_in_turn(thin, doubling(1500.0, 1e9), &mixed)
                .unwrap()
                .unwrap();
            assert!(turn < last && turn > thin, "{pots}: {turn}");
            last = turn;
        }
        let old = fill_in_turn(thin, doubling(1500.0, 1e9), &[-300.0, -300.0])
            .unwrap()
            .unwrap();
        assert!(old > one);
    }

    #[test]
    fn what_gels_does_not_arrive() {
        assert_eq!(
            fill_in_turn(3600.0, doubling(600.0, 1800.0), &[0.0]).unwrap(),
            None
        );
        assert!(fill_in_turn(3600.0, |_| 1.0, &[]).is_err());
        assert!(fill_in_turn(0.0, |_| 1.0, &[0.0]).is_err());
    }
}
