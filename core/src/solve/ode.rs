//! Follows an ordinary differential equation with error control and keeps the whole track.
//!
//! Explicit, so for systems that are not stiff at the step allowed. The track can be asked when a
//! quantity first passed a level.

use std::fmt;

/// How finely to step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Error allowed per step, relative to the size of each component.
    pub relative: f64,
    /// Error allowed per step, absolute, in the unit of each component.
    pub absolute: f64,
    /// Longest step, in the unit of the independent variable.
    pub longest: f64,
    /// Most steps before giving up.
    pub most: usize,
}

/// The integration stopped before its end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OdeStopped {
    /// Where it had got to.
    pub at: f64,
    /// Steps accepted by then.
    pub steps: usize,
}

impl fmt::Display for OdeStopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "stopped at {:.3e} after {} steps", self.at, self.steps)
    }
}

impl std::error::Error for OdeStopped {}

/// A solution: the accepted steps, with their slopes.
#[derive(Debug, Clone, PartialEq)]
pub struct Track<const N: usize> {
    /// Independent variable, rising.
    pub t: Vec<f64>,
    /// State at each `t`.
    pub y: Vec<[f64; N]>,
    /// Slope at each `t`.
    pub slope: Vec<[f64; N]>,
}

impl<const N: usize> Track<N> {
    /// The last point of the track.
    ///
    /// # Returns
    /// Independent variable and state [units of the caller]; zeros for an empty track.
    /// # Valid for
    /// Any track.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::{Step, follow};
    /// let step = Step { relative: 1e-9, absolute: 1e-12, longest: 0.1, most: 1000 };
    /// let decay = follow(|_, y: &[f64; 1]| [-y[0]], 0.0, [1.0], 3.0, step, |_, _| false)?;
    /// assert!((decay.end().0 - 3.0).abs() < 1e-12 && (decay.end().1[0] - 0.049_787).abs() < 1e-6);
    /// # Ok::<(), bastwork::solve::OdeStopped>(())
    /// ```
    /// # Source
    /// Definition.
    pub fn end(&self) -> (f64, [f64; N]) {
        match (self.t.last(), self.y.last()) {
            (Some(&t), Some(&y)) => (t, y),
            _ => (0.0, [0.0; N]),
        }
    }

    /// The state at `t`, by the cubic through both ends of its step; held at the ends outside the track.
    ///
    /// y = y0 + s^2 (3 - 2 s)(y1 - y0) + s (1 - s) h ((1 - s) y0' - s y1'), s = (t - t0) / h
    ///
    /// # Returns
    /// The state [units of the caller].
    /// # Valid for
    /// Steps short enough for the state to be nearly a cubic in each.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::{Step, follow};
    /// let step = Step { relative: 1e-9, absolute: 1e-12, longest: 0.1, most: 1000 };
    /// let decay = follow(|_, y: &[f64; 1]| [-y[0]], 0.0, [1.0], 3.0, step, |_, _| false)?;
    /// assert!((decay.at(1.234)[0] - 0.291_125).abs() < 1e-6);
    /// assert_eq!(decay.at(-1.0)[0], 1.0);
    /// # Ok::<(), bastwork::solve::OdeStopped>(())
    /// ```
    /// # Source
    /// Cubic Hermite interpolation, as in textbooks (from memory).
    pub fn at(&self, t: f64) -> [f64; N] {
        let right = self.t.partition_point(|&known| known < t);
        if right == 0 {
            return self.y.first().copied().unwrap_or([0.0; N]);
        }
        if right >= self.t.len() {
            return self.end().1;
        }
        self.inside(right - 1, t)
    }

    /// First `t` at which `what(state)` rises or falls through `level`; `None` when it never does.
    ///
    /// what(y(t)) = level, by [`super::root`] within the first step over which its sign turns
    ///
    /// # Returns
    /// The independent variable [unit of the caller].
    /// # Valid for
    /// Quantities that pass the level at most once in a step.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::{Step, follow};
    /// let step = Step { relative: 1e-9, absolute: 1e-12, longest: 0.1, most: 1000 };
    /// let decay = follow(|_, y: &[f64; 1]| [-y[0]], 0.0, [1.0], 3.0, step, |_, _| false)?;
    /// assert!((decay.when(|y| y[0], 0.25).unwrap() - 1.386_294).abs() < 1e-6);
    /// assert_eq!(decay.when(|y| y[0], 2.0), None);
    /// # Ok::<(), bastwork::solve::OdeStopped>(())
    /// ```
    /// # Source
    /// Definition.
    pub fn when(&self, what: impl Fn(&[f64; N]) -> f64, level: f64) -> Option<f64> {
        let gap = |y: &[f64; N]| what(y) - level;
        let first = gap(self.y.first()?);
        if first == 0.0 {
            return self.t.first().copied();
        }
        let i = (1..self.t.len()).find(|&i| gap(&self.y[i]) * first <= 0.0)?;
        let (a, b) = (self.t[i - 1], self.t[i]);
        super::root(
            |t| gap(&self.inside(i - 1, t)),
            a,
            b,
            1e-9 * (b - a).max(1e-9),
        )
        .ok()
        .or(Some(b))
    }

    fn inside(&self, i: usize, t: f64) -> [f64; N] {
        let h = self.t[i + 1] - self.t[i];
        let s = ((t - self.t[i]) / h).clamp(0.0, 1.0);
        let (a, b) = (s * s * (3.0 - 2.0 * s), s * (1.0 - s));
        std::array::from_fn(|k| {
            let (y0, y1) = (self.y[i][k], self.y[i + 1][k]);
            let (m0, m1) = (h * self.slope[i][k], h * self.slope[i + 1][k]);
            y0 + a * (y1 - y0) + b * ((1.0 - s) * m0 - s * m1)
        })
    }
}

/// Follows `y' = rate(t, y)` from `(t0, y0)` to `t_end`, or until `stop` is true after a step.
///
/// Fifth-order steps with an embedded fourth-order estimate of the error (Dormand and Prince).
///
/// # Returns
/// The [`Track`] of accepted steps [units of the caller].
/// # Valid for
/// Systems that are not stiff; the rate must be finite along the way.
/// # Errors
/// [`OdeStopped`] when `step.most` steps were not enough or the rate was not finite.
/// # Example
/// ```
/// use bastwork::solve::{Step, follow};
/// let step = Step { relative: 1e-9, absolute: 1e-12, longest: 1.0, most: 1000 };
/// let track = follow(|_, y: &[f64; 1]| [-y[0]], 0.0, [1.0], 5.0, step, |_, _| false)?;
/// assert!((track.end().1[0] - 0.006_737_947).abs() < 1e-9);
/// assert!((track.when(|y| y[0], 0.5).unwrap() - 0.693_147).abs() < 1e-5);
/// # Ok::<(), bastwork::solve::OdeStopped>(())
/// ```
/// # Source
/// Dormand and Prince 1980, J. Comput. Appl. Math. 6:19, the pair RK5(4)7M (from memory).
pub fn follow<const N: usize>(
    mut rate: impl FnMut(f64, &[f64; N]) -> [f64; N],
    t0: f64,
    y0: [f64; N],
    t_end: f64,
    step: Step,
    mut stop: impl FnMut(f64, &[f64; N]) -> bool,
) -> Result<Track<N>, OdeStopped> {
    go(&mut rate, t0, y0, t_end, step, &mut stop)
}

/// The steps themselves; not generic over the functions, so that they stand in the program once for each `N`.
fn go<const N: usize>(
    rate: &mut dyn FnMut(f64, &[f64; N]) -> [f64; N],
    t0: f64,
    y0: [f64; N],
    t_end: f64,
    step: Step,
    stop: &mut dyn FnMut(f64, &[f64; N]) -> bool,
) -> Result<Track<N>, OdeStopped> {
    const NODES: [f64; 6] = [0.2, 0.3, 0.8, 8.0 / 9.0, 1.0, 1.0];
    const STAGES: [[f64; 6]; 6] = [
        [0.2, 0.0, 0.0, 0.0, 0.0, 0.0],
        [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
        [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
        [
            19372.0 / 6561.0,
            -25360.0 / 2187.0,
            64448.0 / 6561.0,
            -212.0 / 729.0,
            0.0,
            0.0,
        ],
        [
            9017.0 / 3168.0,
            -355.0 / 33.0,
            46732.0 / 5247.0,
            49.0 / 176.0,
            -5103.0 / 18656.0,
            0.0,
        ],
        [
            35.0 / 384.0,
            0.0,
            500.0 / 1113.0,
            125.0 / 192.0,
            -2187.0 / 6784.0,
            11.0 / 84.0,
        ],
    ];
    const ERROR: [f64; 7] = [
        71.0 / 57600.0,
        0.0,
        -71.0 / 16695.0,
        71.0 / 1920.0,
        -17253.0 / 339_200.0,
        22.0 / 525.0,
        -1.0 / 40.0,
    ];
    let mut slope = [[0.0; N]; 7];
    slope[0] = rate(t0, &y0);
    let mut track = Track {
        t: vec![t0],
        y: vec![y0],
        slope: vec![slope[0]],
    };
    let (mut t, mut y) = (t0, y0);
    let mut h = step.longest.min(t_end - t0) * 1e-3;
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
        let mut next = y;
        for (stage, (row, node)) in STAGES.iter().zip(NODES).enumerate() {
            next = std::array::from_fn(|k| {
                y[k] + h * (0..=stage).map(|j| row[j] * slope[j][k]).sum::<f64>()
            });
            slope[stage + 1] = rate(t + node * h, &next);
        }
        let mut worst = 0.0_f64;
        let mut finite = true;
        for k in 0..N {
            let error = h * (0..7).map(|j| ERROR[j] * slope[j][k]).sum::<f64>();
            let scale = step.absolute + step.relative * y[k].abs().max(next[k].abs());
            worst = worst.max((error / scale).abs());
            finite &= next[k].is_finite() && slope[6][k].is_finite();
        }
        if !finite || !worst.is_finite() {
            h *= 0.1;
            continue;
        }
        if worst <= 1.0 {
            t = if h >= t_end - t { t_end } else { t + h };
            y = next;
            slope[0] = slope[6];
            track.t.push(t);
            track.y.push(y);
            track.slope.push(slope[0]);
            if stop(t, &y) {
                break;
            }
        }
        h *= (0.9 * worst.max(1e-10).powf(-0.2)).clamp(0.2, 5.0);
    }
    Ok(track)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FINE: Step = Step {
        relative: 1e-10,
        absolute: 1e-12,
        longest: 1.0,
        most: 100_000,
    };

    #[test]
    fn an_oscillator_comes_back_to_where_it_started() {
        let turn = std::f64::consts::TAU;
        let track = follow(
            |_, y: &[f64; 2]| [y[1], -y[0]],
            0.0,
            [1.0, 0.0],
            turn,
            FINE,
            |_, _| false,
        )
        .unwrap();
        let (_, y) = track.end();
        assert!((y[0] - 1.0).abs() < 1e-8 && y[1].abs() < 1e-8, "{y:?}");
        let quarter = track.when(|y| y[0], 0.0).unwrap();
        assert!((quarter - turn / 4.0).abs() < 1e-5, "{quarter}");
    }

    #[test]
    fn gives_up_with_a_reason_instead_of_looping() {
        let hopeless = follow(
            |_, y: &[f64; 1]| [y[0] * y[0]],
            0.0,
            [1.0],
            2.0,
            FINE,
            |_, _| false,
        );
        assert!(hopeless.is_err(), "the solution blows up at t = 1");
        assert!(
            follow(
                |_, _: &[f64; 1]| [f64::NAN],
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
