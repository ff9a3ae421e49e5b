//! A heavy function of several inputs, solved at a few points and interpolated for all draws.
//!
//! One solve at the middle and two for every input that has a range. Along each input the function, or
//! its logarithm where it is positive, is a parabola between the outer points and a straight line beyond
//! them; an input that spans a wide positive range enters by its logarithm. The effects of the inputs add
//! up: interactions between them are left out.

/// One input of the stencil: its outer points and its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arm {
    /// Lower point.
    pub low: f64,
    /// Middle.
    pub middle: f64,
    /// Upper point.
    pub high: f64,
}

impl Arm {
    /// Whether the input moves at all.
    ///
    /// An arm that is only the rounding of its middle does not: a slope over it would be the noise of two solves.
    ///
    /// # Returns
    /// Yes or no [-].
    /// # Valid for
    /// Any arm.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::Arm;
    /// assert!(Arm { low: 1.0, middle: 2.0, high: 3.0 }.moves());
    /// assert!(!Arm { low: 2.0, middle: 2.0, high: 2.0 }.moves());
    /// ```
    /// # Source
    /// Definition.
    pub fn moves(&self) -> bool {
        self.high - self.low > STILL * self.middle.abs()
    }

    /// The arm in the coordinate it enters by, and that coordinate of a value.
    fn straightened(&self, x: f64) -> (Self, f64) {
        let wide = self.low > 0.0 && self.high / self.low > WIDE;
        if !wide {
            return (*self, x);
        }
        let [low, middle, high] = [self.low, self.middle, self.high].map(f64::ln);
        // A draw at a limit may be zero; it counts as far below the low point.
        (Self { low, middle, high }, x.max(1e-3 * self.low).ln())
    }
}

/// An arm shorter than this share of its middle, or one side of it than this share of the other, is none.
const STILL: f64 = 1e-6;

/// Beyond this ratio of high to low an input enters by its logarithm.
const WIDE: f64 = 1.6;

/// The interpolant of one function value.
#[derive(Debug, Clone, PartialEq)]
pub struct Stencil {
    arms: Vec<Arm>,
    middle: f64,
    /// Change of the (transformed) value at the low and high point of each arm.
    steps: Vec<(f64, f64)>,
    log: bool,
}

impl Stencil {
    /// Builds the interpolant from the value at the middle and at the outer points of each arm.
    ///
    /// f(x) = f(m) + sum over the inputs of parabola_i(x_i)
    ///
    /// # Returns
    /// The interpolant, in the unit of the values [same unit].
    /// # Valid for
    /// Functions that are smooth over the range of each input; `outer` holds one pair an arm.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::{Arm, Stencil};
    /// // x^2 y is a sum of parabolas in its logarithm, so it is met exactly at the outer points.
    /// let arms = vec![Arm { low: 1.0, middle: 2.0, high: 4.0 }, Arm { low: 1.0, middle: 3.0, high: 9.0 }];
    /// let f = |x: f64, y: f64| x * x * y;
    /// let s = Stencil::new(arms, f(2.0, 3.0), vec![(f(1.0, 3.0), f(4.0, 3.0)), (f(2.0, 1.0), f(2.0, 9.0))]);
    /// assert!((s.value(&[4.0, 9.0]) - 144.0).abs() < 1e-9);
    /// ```
    /// # Source
    /// Lagrange interpolation on three points; our own choice of an additive form.
    pub fn new(arms: Vec<Arm>, middle: f64, outer: Vec<(f64, f64)>) -> Self {
        let log = middle > 0.0 && outer.iter().all(|&(low, high)| low > 0.0 && high > 0.0);
        let shape = |x: f64| if log { x.ln() } else { x };
        let steps = outer
            .into_iter()
            .map(|(low, high)| (shape(low) - shape(middle), shape(high) - shape(middle)))
            .collect();
        Self {
            arms,
            middle: shape(middle),
            steps,
            log,
        }
    }

    /// The interpolated value at a point given by one number an arm.
    ///
    /// # Returns
    /// The value, in the unit of the values it was built from [same unit].
    /// # Valid for
    /// Points between the outer points of each arm; straight on beyond them.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::solve::{Arm, Stencil};
    /// let arms = vec![Arm { low: 10.0, middle: 11.0, high: 12.0 }];
    /// let line = Stencil::new(arms, 0.0, vec![(-2.0, 2.0)]);
    /// assert!((line.value(&[11.25]) - 0.5).abs() < 1e-12);
    /// assert!((line.value(&[13.0]) - 4.0).abs() < 1e-12, "straight on");
    /// ```
    /// # Source
    /// As for [`Stencil::new`].
    pub fn value(&self, at: &[f64]) -> f64 {
        let mut sum = self.middle;
        for ((arm, &(low, high)), &x) in self.arms.iter().zip(&self.steps).zip(at) {
            if arm.moves() {
                let (arm, x) = arm.straightened(x);
                sum += along(arm, low, high, x);
            }
        }
        if self.log { sum.exp() } else { sum }
    }
}

/// The parabola through (low, a), (middle, 0), (high, b), straight beyond its outer points.
fn along(arm: Arm, a: f64, b: f64, x: f64) -> f64 {
    let (h1, h2) = (arm.middle - arm.low, arm.high - arm.middle);
    if h1.min(h2) <= STILL * h1.max(h2) {
        // A one-sided range has no parabola: a straight line to the end that moves.
        let (h, step) = if h1 > h2 { (-h1, a) } else { (h2, b) };
        return step * (x - arm.middle) / h;
    }
    let curve = (b / h2 + a / h1) / (h1 + h2);
    let slope = b / h2 - curve * h2;
    let inside = x.clamp(arm.low, arm.high) - arm.middle;
    let outside = x - arm.middle - inside;
    inside * (slope + curve * inside) + outside * (slope + 2.0 * curve * inside)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn meets_its_points_and_runs_on_straight() {
        let arm = Arm {
            low: 1.0,
            middle: 2.0,
            high: 4.0,
        };
        assert!((along(arm, -3.0, 5.0, 1.0) + 3.0).abs() < 1e-12);
        assert!((along(arm, -3.0, 5.0, 4.0) - 5.0).abs() < 1e-12);
        assert!(along(arm, -3.0, 5.0, 2.0).abs() < 1e-12);
        let beyond = along(arm, -3.0, 5.0, 6.0) - along(arm, -3.0, 5.0, 5.0);
        let further = along(arm, -3.0, 5.0, 7.0) - along(arm, -3.0, 5.0, 6.0);
        assert!((beyond - further).abs() < 1e-12);
    }

    #[test]
    fn the_noise_of_two_solves_is_no_slope() {
        // An input held at its limit in nearly every draw: its outer points are the middle but for rounding.
        let held = Arm {
            low: 1.6 - 2e-15,
            middle: 1.6,
            high: 1.6,
        };
        let s = Stencil::new(vec![held], 100.0, vec![(100.0 + 1e-10, 100.0)]);
        assert!((s.value(&[1.2]) / 100.0 - 1.0).abs() < 1e-9);
        // The same on one side only: the side that moves gives the slope.
        let one_sided = Arm {
            low: 1.0,
            middle: 2.0,
            high: 2.0 + 4e-15,
        };
        assert!((along(one_sided, -3.0, 1e-9, 1.5) + 1.5).abs() < 1e-9);
        assert!((along(one_sided, -3.0, 1e-9, 2.5) - 1.5).abs() < 1e-9);
    }

    #[test]
    fn a_power_law_over_decades_is_met_everywhere() {
        let f = |x: f64| 3.0 * x.powf(-0.8);
        let arm = Arm {
            low: 1e-15,
            middle: 1e-13,
            high: 1e-12,
        };
        let s = Stencil::new(vec![arm], f(1e-13), vec![(f(1e-15), f(1e-12))]);
        for x in [1e-16, 3e-15, 5e-14, 7e-13, 1e-11] {
            assert!((s.value(&[x]) / f(x) - 1.0).abs() < 1e-9, "{x}");
        }
    }

    #[test]
    fn follows_an_arrhenius_law_closely() {
        let f = |t: f64| (6000.0 / t).exp();
        let arm = Arm {
            low: 288.0,
            middle: 293.0,
            high: 298.0,
        };
        let s = Stencil::new(vec![arm], f(293.0), vec![(f(288.0), f(298.0))]);
        for t in [285.0, 290.0, 295.5, 300.0] {
            assert!((s.value(&[t]) / f(t) - 1.0).abs() < 0.01, "{t}");
        }
    }
}
