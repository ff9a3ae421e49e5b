//! Follows a stiff ordinary differential equation: fast and slow changes side by side.
//!
//! Linearly implicit, so a fast change that has died out no longer limits the step. For a few unknowns.

use super::ode::{OdeStopped, Step, Track};

/// Follows `y' = rate(y)` from `(t0, y0)` to `t_end`, or until `stop` is true after a step.
///
/// (I - h J) k = h f(y); one step of h and two of h/2 are extrapolated to second order, and their
/// difference is the error that sets the step.
///
/// # Returns
/// The [`Track`] of accepted steps [units of the caller].
/// # Valid for
/// A handful of unknowns and a rate without time in it; the slopes of the rate are taken numerically.
/// # Errors
/// [`OdeStopped`] when `step.most` steps were not enough or the rate was not finite.
/// # Example
/// ```
/// use bastwork::solve::{Step, follow_stiff};
/// let step = Step { relative: 1e-4, absolute: 1e-7, longest: 10.0, most: 10_000 };
/// // A fast component on the heels of a slow one: an explicit method would need 100 000 steps.
/// let rate = |y: &[f64; 2]| [-y[0], -1e4 * (y[1] - y[0])];
/// let track = follow_stiff(rate, 0.0, [1.0, 0.0], 10.0, step, |_, _| false)?;
/// assert!(track.t.len() < 1000);
/// assert!((track.when(|y| y[0], 0.5).unwrap() - 0.693_147).abs() < 1e-3);
/// # Ok::<(), bastwork::solve::OdeStopped>(())
/// ```
/// # Source
/// Deuflhard 1985, SIAM Review 27:505, extrapolated linearly implicit Euler (from memory).
pub fn follow_stiff<const N: usize>(
    mut rate: impl FnMut(&[f64; N]) -> [f64; N],
    t0: f64,
    y0: [f64; N],
    t_end: f64,
    step: Step,
    mut stop: impl FnMut(f64, &[f64; N]) -> bool,
) -> Result<Track<N>, OdeStopped> {
    let (mut t, mut y) = (t0, y0);
    let mut f = rate(&y);
    let mut track = Track {
        t: vec![t],
        y: vec![y],
        slope: vec![f],
    };
    let mut h = step.longest.min(t_end - t0) * 1e-6;
    let mut tries = 0;
    while t < t_end {
        tries += 1;
        if tries > step.most {
            return Err(OdeStopped {
                at: t,
                steps: track.t.len() - 1,
            });
        }
        h = h.min(step.longest).min(t_end - t);
        let slopes = slopes(&mut rate, &y, &f);
        let Some((next, worst)) = extrapolated(&mut rate, &y, &f, &slopes, h, &step) else {
            h *= 0.1;
            continue;
        };
        if worst <= 1.0 {
            t = if h >= t_end - t { t_end } else { t + h };
            y = next;
            f = rate(&y);
            track.t.push(t);
            track.y.push(y);
            track.slope.push(f);
            if stop(t, &y) {
                break;
            }
        }
        h *= (0.9 * worst.max(1e-8).powf(-0.5)).clamp(0.2, 4.0);
    }
    Ok(track)
}

/// Slopes of the rate with each unknown, by forward differences.
fn slopes<const N: usize>(
    rate: &mut impl FnMut(&[f64; N]) -> [f64; N],
    y: &[f64; N],
    f: &[f64; N],
) -> [[f64; N]; N] {
    let mut columns = [[0.0; N]; N];
    for (k, column) in columns.iter_mut().enumerate() {
        // Far coarser than the root of the machine's precision, which would let the last digit of one
        // computer's logarithm show in the fifth of the answer; the step control mends what curvature costs.
        let nudge = 1e-5 * y[k].abs().max(1e-4);
        let mut there = *y;
        there[k] += nudge;
        let g = rate(&there);
        *column = std::array::from_fn(|i| (g[i] - f[i]) / nudge);
    }
    columns
}

/// One step of `h` and two of `h/2`, extrapolated, with the error relative to what is allowed.
fn extrapolated<const N: usize>(
    rate: &mut impl FnMut(&[f64; N]) -> [f64; N],
    y: &[f64; N],
    f: &[f64; N],
    slopes: &[[f64; N]; N],
    h: f64,
    step: &Step,
) -> Option<([f64; N], f64)> {
    let whole = implicit(slopes, f, h)?;
    let half = implicit(slopes, f, h / 2.0)?;
    let middle: [f64; N] = std::array::from_fn(|k| y[k] + half[k]);
    let second = implicit(slopes, &rate(&middle), h / 2.0)?;
    let mut worst = 0.0_f64;
    let next: [f64; N] = std::array::from_fn(|k| {
        let (coarse, fine) = (y[k] + whole[k], middle[k] + second[k]);
        let scale = step.absolute + step.relative * y[k].abs().max(fine.abs());
        worst = worst.max(((fine - coarse) / scale).abs());
        2.0 * fine - coarse
    });
    (worst.is_finite() && next.iter().all(|x| x.is_finite())).then_some((next, worst))
}

/// Solves (I - h J) k = h f by elimination with row exchange; none when it is singular.
fn implicit<const N: usize>(columns: &[[f64; N]; N], f: &[f64; N], h: f64) -> Option<[f64; N]> {
    let mut a: [[f64; N]; N] =
        std::array::from_fn(|i| std::array::from_fn(|k| f64::from(i == k) - h * columns[k][i]));
    let mut b: [f64; N] = std::array::from_fn(|i| h * f[i]);
    for k in 0..N {
        let pivot = (k..N).max_by(|&i, &j| a[i][k].abs().total_cmp(&a[j][k].abs()))?;
        if a[pivot][k] == 0.0 || !a[pivot][k].is_finite() {
            return None;
        }
        a.swap(k, pivot);
        b.swap(k, pivot);
        for i in k + 1..N {
            let factor = a[i][k] / a[k][k];
            let pivot_row = a[k];
            for (entry, above) in a[i].iter_mut().zip(pivot_row).skip(k) {
                *entry -= factor * above;
            }
            b[i] -= factor * b[k];
        }
    }
    for k in (0..N).rev() {
        let known: f64 = (k + 1..N).map(|j| a[k][j] * b[j]).sum();
        b[k] = (b[k] - known) / a[k][k];
    }
    Some(b)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FINE: Step = Step {
        relative: 1e-6,
        absolute: 1e-9,
        longest: 1e6,
        most: 100_000,
    };

    #[test]
    fn agrees_with_the_explicit_method_where_both_work() {
        let rate = |y: &[f64; 2]| [y[1], (1.0 - y[0] * y[0]) * y[1] - y[0]];
        let stiff = follow_stiff(rate, 0.0, [2.0, 0.0], 5.0, FINE, |_, _| false).unwrap();
        let explicit =
            super::super::follow(|_, y| rate(y), 0.0, [2.0, 0.0], 5.0, FINE, |_, _| false).unwrap();
        for k in 0..2 {
            let (a, b) = (stiff.end().1[k], explicit.end().1[k]);
            assert!((a - b).abs() < 2e-3, "{a} {b}");
        }
    }

    #[test]
    fn robertsons_reaction() {
        // Robertson 1966, y at t = 40: 0.7158, 9.185e-6, 0.2842 (textbook value, from memory).
        let rate = |y: &[f64; 3]| {
            let (a, b, c) = (0.04 * y[0], 1e4 * y[1] * y[2], 3e7 * y[1] * y[1]);
            [b - a, a - b - c, c]
        };
        let track = follow_stiff(rate, 0.0, [1.0, 0.0, 0.0], 40.0, FINE, |_, _| false).unwrap();
        let y = track.end().1;
        assert!((y[0] - 0.7158).abs() < 2e-3, "{y:?}");
        assert!((y[1] / 9.185e-6 - 1.0).abs() < 0.01, "{y:?}");
    }

    #[test]
    fn stops_with_a_reason() {
        assert!(
            follow_stiff(
                |_: &[f64; 1]| [f64::NAN],
                0.0,
                [1.0],
                1.0,
                FINE,
                |_, _| false
            )
            .is_err()
        );
    }
}
