//! One root of a continuous function in a bracket.
//!
//! Interpolate, truncate and project: never worse than bisection, and superlinear on smooth functions.

use std::fmt;

/// Why no root was returned.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum NoRoot {
    /// The function has the same sign at both ends: widen the bracket.
    NotBracketed {
        /// Function value at the left end.
        at_low: f64,
        /// Function value at the right end.
        at_high: f64,
    },
    /// The bracket did not shrink to the tolerance: the function is not finite somewhere inside.
    NotConverged {
        /// Evaluations made.
        evaluations: usize,
        /// Width of the bracket that was left.
        width: f64,
    },
}

impl fmt::Display for NoRoot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotBracketed { at_low, at_high } => {
                write!(
                    f,
                    "no change of sign between the ends ({at_low} and {at_high})"
                )
            }
            Self::NotConverged { evaluations, width } => {
                write!(f, "still {width:.3e} wide after {evaluations} evaluations")
            }
        }
    }
}

impl std::error::Error for NoRoot {}

/// Most evaluations spent on one root: bisection alone needs about 60 for any pair of finite numbers.
const MOST_EVALUATIONS: usize = 120;

/// The place where `f` changes sign between `low` and `high`, to within `tolerance`.
///
/// The bracket is kept at every step, so the answer lies within `tolerance` of a change of sign.
///
/// # Returns
/// The abscissa, in the unit of `low` and `high` [same unit].
/// # Valid for
/// A function that is finite on the bracket and has opposite signs at its ends; `tolerance` > 0.
/// # Errors
/// [`NoRoot::NotBracketed`] when the signs are equal; [`NoRoot::NotConverged`] when the function is not finite.
/// # Example
/// ```
/// let x = bastwork::solve::root(|x| x * x - 2.0, 0.0, 2.0, 1e-12)?;
/// assert!((x - 1.414_213_562_373).abs() < 1e-11);
/// # Ok::<(), bastwork::solve::NoRoot>(())
/// ```
/// # Source
/// Oliveira and Takahashi 2020, ACM Trans. Math. Softw. 47(1):5, algorithm ITP with k1 = 0.2/(b - a),
/// k2 = 2, n0 = 1 (from memory).
pub fn root(
    mut f: impl FnMut(f64) -> f64,
    low: f64,
    high: f64,
    tolerance: f64,
) -> Result<f64, NoRoot> {
    search(&mut f, low, high, tolerance)
}

/// The search itself; not generic, so that it stands in the program once.
fn search(
    f: &mut dyn FnMut(f64) -> f64,
    low: f64,
    high: f64,
    tolerance: f64,
) -> Result<f64, NoRoot> {
    let (mut a, mut b) = (low, high);
    let (mut ya, mut yb) = (f(a), f(b));
    if ya == 0.0 {
        return Ok(a);
    }
    if yb == 0.0 {
        return Ok(b);
    }
    // False also when either end is not a number.
    let bracketed = ya * yb < 0.0;
    if !bracketed {
        return Err(NoRoot::NotBracketed {
            at_low: ya,
            at_high: yb,
        });
    }
    let sign = if ya < 0.0 { 1.0 } else { -1.0 };
    ya *= sign;
    yb *= sign;
    let k1 = 0.2 / (b - a);
    let bisections = ((b - a) / (2.0 * tolerance)).log2().ceil().max(0.0);
    let mut slack = tolerance * (bisections + 1.0).exp2();
    let mut evaluations = 2;
    while b - a > 2.0 * tolerance {
        if evaluations >= MOST_EVALUATIONS {
            return Err(NoRoot::NotConverged {
                evaluations,
                width: b - a,
            });
        }
        let middle = 0.5 * (a + b);
        let reach = slack - 0.5 * (b - a);
        let secant = (yb * a - ya * b) / (yb - ya);
        let toward = (middle - secant).signum();
        let nudge = k1 * (b - a) * (b - a);
        let truncated = if nudge <= (middle - secant).abs() {
            secant + toward * nudge
        } else {
            middle
        };
        let x = if (truncated - middle).abs() <= reach {
            truncated
        } else {
            middle - toward * reach
        };
        let y = sign * f(x);
        evaluations += 1;
        if y > 0.0 {
            b = x;
            yb = y;
        } else if y < 0.0 {
            a = x;
            ya = y;
        } else if y == 0.0 {
            return Ok(x);
        } else {
            return Err(NoRoot::NotConverged {
                evaluations,
                width: b - a,
            });
        }
        slack *= 0.5;
    }
    Ok(0.5 * (a + b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_a_flat_and_a_steep_root() {
        let flat = root(|x: f64| (x - 0.3).powi(9), -1.0, 2.0, 1e-9).unwrap();
        assert!((flat - 0.3).abs() < 1e-8, "{flat}");
        let steep = root(|x: f64| (1e6 * (x - 0.7)).tanh(), 0.0, 1.0, 1e-12).unwrap();
        assert!((steep - 0.7).abs() < 1e-11, "{steep}");
    }

    #[test]
    fn refuses_what_has_no_root_and_what_is_not_a_number() {
        assert!(matches!(
            root(|x| x * x + 1.0, -1.0, 1.0, 1e-9),
            Err(NoRoot::NotBracketed { .. })
        ));
        assert!(root(|_| f64::NAN, -1.0, 1.0, 1e-9).is_err());
        assert!(
            root(
                |x| if x.abs() < 0.5 { f64::NAN } else { x },
                -1.0,
                1.0,
                1e-9
            )
            .is_err()
        );
    }
}
