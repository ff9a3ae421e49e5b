//! From clock time to thin-resin time and back, for a resin that thickens while it flows.
//!
//! Every constant-pressure fill law holds with the integral of one over viscosity in place of time, when all
//! the resin has the same age. Does not cover resin mixed in turns.

use super::{LawError, positive, within};

/// The map between the two times, from the moment the feed opens.
#[derive(Debug, Clone, PartialEq)]
pub struct Thickening {
    /// Viscosity that thin-resin time is counted in [Pa s].
    reference: f64,
    /// Clock since the feed opened, rising from 0 [s].
    clock: Vec<f64>,
    /// Viscosity at each clock time [Pa s].
    viscosity: Vec<f64>,
    /// Thin-resin time at each clock time, rising from 0 [s].
    thin: Vec<f64>,
}

/// Thin-resin time gone by after `time` in a stretch whose viscosity starts at `start` and grows at `rate` per second.
fn gone(reference: f64, start: f64, rate: f64, time: f64) -> f64 {
    let x = rate * time;
    // (1 - e^-x) / x, which is 1 when the viscosity stands still.
    let share = if x.abs() < 1e-12 {
        1.0
    } else {
        -(-x).exp_m1() / x
    };
    reference / start * time * share
}

impl Thickening {
    /// The map from samples of a viscosity track.
    ///
    /// theta = integral from the opening of the feed of mu_ref / mu dt, with ln(mu) straight between samples
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `time` | clock of the samples, rising | [s] |
    /// | `viscosity` | mu at each of them | [Pa s] |
    /// | `opened` | when the feed opens, on the same clock | [s] |
    /// | `reference` | mu_ref, the viscosity given to the fill law | [Pa s] |
    ///
    /// # Returns
    /// The map; clock and thin-resin time are both zero when the feed opens [s].
    /// # Valid for
    /// Tracks that end at the gel point or where flow has stopped for all that matters.
    /// # Errors
    /// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
    /// # Example
    /// ```
    /// use bastwork::law::thickening::Thickening;
    /// // Viscosity that doubles every 600 s: half an hour of it is worth 757.4 s of the resin as it started.
    /// let map = Thickening::from_samples(&[0.0, 600.0, 1200.0, 1800.0], &[0.3, 0.6, 1.2, 2.4], 0.0, 0.3)?;
    /// assert!((map.thin(1800.0) - 757.4).abs() < 0.05);
    /// assert!((map.clock(757.4) - 1800.0).abs() < 0.5);
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// Darcy law with a viscosity that depends on time alone, textbook; the example is (1 - 1/8) 600 / ln 2.
    pub fn from_samples(
        time: &[f64],
        viscosity: &[f64],
        opened: f64,
        reference: f64,
    ) -> Result<Self, LawError> {
        positive("reference", reference)?;
        let samples = time.len().min(viscosity.len());
        // A count is small enough for an f64.
        within("number of samples", samples as f64, 2.0, 1e7)?;
        within(
            "number of times",
            time.len() as f64,
            samples as f64,
            samples as f64,
        )?;
        within(
            "number of viscosities",
            viscosity.len() as f64,
            samples as f64,
            samples as f64,
        )?;
        for pair in time.windows(2) {
            within("time", pair[1], pair[0], f64::MAX)?;
            positive("time between samples", pair[1] - pair[0])?;
        }
        for &mu in viscosity {
            within("viscosity", mu, 1e-6, 1e12)?;
        }
        let end = time[samples - 1];
        within("opened", opened, time[0], end)?;
        positive("track left after the feed opens", end - opened)?;
        let next = time.partition_point(|&t| t <= opened).clamp(1, samples - 1);
        let share = (opened - time[next - 1]) / (time[next] - time[next - 1]);
        let start = viscosity[next - 1] * (viscosity[next] / viscosity[next - 1]).powf(share);
        let mut map = Self {
            reference,
            clock: vec![0.0],
            viscosity: vec![start],
            thin: vec![0.0],
        };
        let (mut before, mut mu, mut thin) = (opened, start, 0.0);
        for (&t, &after) in time[next..].iter().zip(&viscosity[next..]) {
            let step = t - before;
            thin += gone(reference, mu, (after / mu).ln() / step, step);
            map.clock.push(t - opened);
            map.viscosity.push(after);
            map.thin.push(thin);
            (before, mu) = (t, after);
        }
        Ok(map)
    }

    /// The map from a viscosity given as a function of time.
    ///
    /// theta = integral of mu_ref / mu dt over even steps
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `viscosity` | mu at a clock time since the feed opened [s] | [Pa s] |
    /// | `end` | the gel point, or where to stop looking | [s] |
    /// | `steps` | number of even steps | [-] |
    /// | `reference` | mu_ref | [Pa s] |
    ///
    /// # Returns
    /// The map [s].
    /// # Valid for
    /// Enough steps that ln(mu) is nearly straight within each; 200 does for a smooth cure.
    /// # Errors
    /// [`LawError::OutOfRange`] naming the argument, its value and the permitted range.
    /// # Example
    /// ```
    /// use bastwork::law::thickening::Thickening;
    /// let map = Thickening::from_law(|t| 0.3 * (t / 900.0).exp(), 3600.0, 200, 0.3)?;
    /// assert!((map.thin(3600.0) - 883.5).abs() < 0.05);
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// As [`Thickening::from_samples`]; the example is 900 (1 - e^-4).
    pub fn from_law(
        viscosity: impl Fn(f64) -> f64,
        end: f64,
        steps: usize,
        reference: f64,
    ) -> Result<Self, LawError> {
        positive("end", end)?;
        within("steps", steps as f64, 1.0, 1e6)?;
        let time: Vec<f64> = (0..=steps).map(|i| end * i as f64 / steps as f64).collect();
        let mu: Vec<f64> = time.iter().map(|&t| viscosity(t)).collect();
        Self::from_samples(&time, &mu, 0.0, reference)
    }

    /// Thin-resin time that a clock time is worth.
    ///
    /// theta(t) = integral from 0 to t of mu_ref / mu dt; past the end of the track theta(end) + (t - end)
    ///
    /// Past the end the resin has gelled and does not flow. The map goes on second for second all the same, so that
    /// a fill time is always a finite number that grows with length and ranges can be drawn through it; whether
    /// the part was filled is [`Thickening::flows_until`]'s to say.
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `clock` | t, since the feed opened; below 0 counts as 0 | [s] |
    ///
    /// # Returns
    /// Thin-resin time [s].
    /// # Valid for
    /// Any time.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::law::thickening::Thickening;
    /// let map = Thickening::from_samples(&[0.0, 1000.0], &[0.6, 0.6], 0.0, 0.3)?;
    /// assert_eq!(map.thin(800.0), 400.0);
    /// assert_eq!(map.thin(1100.0), 600.0);
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// As [`Thickening::from_samples`]; going on past the end is our judgement.
    pub fn thin(&self, clock: f64) -> f64 {
        let clock = clock.max(0.0);
        let (last, end) = self.end();
        if clock >= end {
            return self.thin[last] + (clock - end);
        }
        let i = self.clock.partition_point(|&t| t <= clock).clamp(1, last) - 1;
        self.thin[i]
            + gone(
                self.reference,
                self.viscosity[i],
                self.rate(i),
                clock - self.clock[i],
            )
    }

    /// Clock time at which a thin-resin time is used up: the inverse of [`Thickening::thin`].
    ///
    /// t with theta(t) = `thin`; past the end of the track end + (theta - theta(end))
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `thin` | theta, what a fill law with mu_ref returned; below 0 counts as 0 | [s] |
    ///
    /// # Returns
    /// Clock time since the feed opened [s].
    /// # Valid for
    /// Any time.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::law::thickening::Thickening;
    /// let map = Thickening::from_samples(&[0.0, 1000.0], &[0.6, 0.6], 0.0, 0.3)?;
    /// assert_eq!(map.clock(400.0), 800.0);
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// As [`Thickening::from_samples`].
    pub fn clock(&self, thin: f64) -> f64 {
        let thin = thin.max(0.0);
        let (last, end) = self.end();
        if thin >= self.thin[last] {
            return end + (thin - self.thin[last]);
        }
        let i = self.thin.partition_point(|&t| t <= thin).clamp(1, last) - 1;
        let straight = (thin - self.thin[i]) * self.viscosity[i] / self.reference;
        let rate = self.rate(i);
        let x = rate * straight;
        let time = if x.abs() < 1e-12 {
            straight
        } else {
            -(-x).ln_1p() / rate
        };
        self.clock[i] + time.clamp(0.0, self.clock[i + 1] - self.clock[i])
    }

    /// The last moment at which the resin still flows.
    ///
    /// (end, theta(end))
    ///
    /// A fill that needs more thin-resin time [s] than this stays dry at its far end.
    ///
    /// # Returns
    /// Clock time since the feed opened, then thin-resin time [s].
    /// # Valid for
    /// Any map.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::law::thickening::Thickening;
    /// let map = Thickening::from_samples(&[0.0, 600.0, 1600.0], &[0.6, 0.6, 0.6], 600.0, 0.3)?;
    /// assert_eq!(map.flows_until(), (1000.0, 500.0));
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// As [`Thickening::from_samples`].
    pub fn flows_until(&self) -> (f64, f64) {
        let (last, end) = self.end();
        (end, self.thin[last])
    }

    fn end(&self) -> (usize, f64) {
        let last = self.clock.len() - 1;
        (last, self.clock[last])
    }

    fn rate(&self, i: usize) -> f64 {
        (self.viscosity[i + 1] / self.viscosity[i]).ln() / (self.clock[i + 1] - self.clock[i])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cure() -> Thickening {
        Thickening::from_law(
            |t| 0.3 * (t / 900.0).exp() * (1.0 - 0.4 * (-t / 300.0).exp()),
            5400.0,
            150,
            0.3,
        )
        .unwrap()
    }

    #[test]
    fn exponential_growth_in_closed_form_however_few_the_samples() {
        let law = |t: f64| 0.3 * (t / 900.0).exp();
        for steps in [1, 7, 100] {
            let map = Thickening::from_law(law, 3600.0, steps, 0.3).unwrap();
            for t in [10.0, 777.0, 2000.0, 3600.0] {
                let exact = 900.0 * (1.0 - (-t / 900.0_f64).exp());
                assert!((map.thin(t) - exact).abs() < 1e-8, "{steps} {t}");
            }
        }
    }

    #[test]
    fn there_and_back_and_always_rising() {
        let map = cure();
        let (mut last, end) = (-1.0, map.flows_until().0);
        for i in 0..400 {
            let t = f64::from(i) * 20.0;
            let theta = map.thin(t);
            assert!(theta > last);
            last = theta;
            assert!((map.clock(theta) - t).abs() < 1e-5 * (1.0 + t), "{t}");
        }
        assert!((map.thin(end + 100.0) - map.thin(end) - 100.0).abs() < 1e-9);
        assert_eq!(map.thin(-5.0), 0.0);
        assert_eq!(map.clock(-5.0), 0.0);
    }

    #[test]
    fn the_integral_against_simpson_sums() {
        let law = |t: f64| 0.3 * (t / 900.0).exp() * (1.0 - 0.4 * (-t / 300.0).exp());
        let n = 20_000;
        let h = 5400.0 / f64::from(n);
        let sum: f64 = (0..=n)
            .map(|i| {
                let weight = if i == 0 || i == n {
                    1.0
                } else if i % 2 == 1 {
                    4.0
                } else {
                    2.0
                };
                weight * 0.3 / law(f64::from(i) * h)
            })
            .sum();
        let exact = sum * h / 3.0;
        let off = |steps| {
            let map = Thickening::from_law(law, 5400.0, steps, 0.3).unwrap();
            (map.flows_until().1 / exact - 1.0).abs()
        };
        // Straight pieces of ln(mu): four times closer with twice the pieces.
        assert!(off(150) < 5e-4, "{}", off(150));
        assert!(
            (off(150) / off(300) - 4.0).abs() < 0.1,
            "{}",
            off(150) / off(300)
        );
    }

    #[test]
    fn opening_later_leaves_less() {
        let time = [0.0, 600.0, 1200.0, 1800.0];
        let mu = [0.3, 0.6, 1.2, 2.4];
        let whole = Thickening::from_samples(&time, &mu, 0.0, 0.3).unwrap();
        let late = Thickening::from_samples(&time, &mu, 450.0, 0.3).unwrap();
        let (end, left) = late.flows_until();
        assert!((end - 1350.0).abs() < 1e-9);
        assert!((left - (whole.thin(1800.0) - whole.thin(450.0))).abs() < 1e-9);
        assert!((late.thin(300.0) - (whole.thin(750.0) - whole.thin(450.0))).abs() < 1e-9);
    }

    #[test]
    fn says_no_to_tracks_it_cannot_use() {
        let make =
            |time: &[f64], mu: &[f64], opened| Thickening::from_samples(time, mu, opened, 0.3);
        assert!(make(&[0.0], &[0.3], 0.0).is_err());
        assert!(make(&[0.0, 1.0], &[0.3], 0.0).is_err());
        assert!(make(&[0.0, 1.0, 2.0], &[0.3, 0.4], 0.0).is_err());
        assert!(make(&[0.0, 0.0], &[0.3, 0.4], 0.0).is_err());
        assert!(make(&[0.0, 1.0], &[0.3, -0.4], 0.0).is_err());
        assert!(make(&[0.0, 1.0], &[0.3, 0.4], 1.0).is_err());
        assert!(make(&[0.0, f64::NAN], &[0.3, 0.4], 0.0).is_err());
    }
}
