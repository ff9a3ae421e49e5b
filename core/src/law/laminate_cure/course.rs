//! The course of a setting laminate, and what can be asked of it.

use crate::solve::State;

/// The slab at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LaminateMoment {
    /// Coldest point [K].
    pub coldest: f64,
    /// Hottest point [K].
    pub hottest: f64,
    /// Conversion where it is least [-].
    pub least: f64,
    /// Conversion where it is most [-].
    pub most: f64,
}

/// The course of the slab, moment by moment.
#[derive(Debug, Clone, PartialEq)]
pub struct LaminateCourse {
    /// Time since the resin is in [s].
    pub time: Vec<f64>,
    /// Coldest point [K].
    pub coldest: Vec<f64>,
    /// Hottest point [K].
    pub hottest: Vec<f64>,
    /// Conversion where it is least [-].
    pub least: Vec<f64>,
    /// Conversion where it is most [-].
    pub most: Vec<f64>,
    /// The hottest it gets anywhere [K].
    pub peak_temperature: f64,
    /// When [s].
    pub peak_time: f64,
}

impl LaminateCourse {
    /// First time at which the slowest point reaches a conversion.
    ///
    /// # Returns
    /// Time since the resin is in [s]; none when it does not get there.
    /// # Valid for
    /// The time that was followed.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::law::cure::{INFUSION_AMINE, Resin};
    /// use bastwork::law::laminate_cure::{Layup, laminate_cure};
    /// let slow = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
    /// let thin = Layup {
    ///     thickness: 1e-4, density: 1250.0, heat_capacity: 1650.0, conductivity: 0.25, resin_share: 0.57,
    ///     to_mould: 8.0, to_bag: 10.0, start_temperature: 296.15,
    /// };
    /// let course = laminate_cure(&slow, &thin, |_| (296.15, 296.15), &[], 86_400.0)?;
    /// assert!((course.when_least(0.577).unwrap() / 3600.0 - 7.68).abs() < 0.05);
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// Read off the course of [`super::laminate_cure`]; figures are an arithmetic check.
    pub fn when_least(&self, conversion: f64) -> Option<f64> {
        self.when(&self.least, conversion)
    }

    /// First time at which the fastest point reaches a conversion.
    ///
    /// # Returns
    /// Time since the resin is in [s]; none when it does not get there.
    /// # Valid for
    /// The time that was followed.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::law::cure::{INFUSION_AMINE, Resin};
    /// use bastwork::law::laminate_cure::{Layup, laminate_cure};
    /// let slow = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
    /// let thin = Layup {
    ///     thickness: 1e-4, density: 1250.0, heat_capacity: 1650.0, conductivity: 0.25, resin_share: 0.57,
    ///     to_mould: 8.0, to_bag: 10.0, start_temperature: 296.15,
    /// };
    /// let course = laminate_cure(&slow, &thin, |_| (296.15, 296.15), &[], 86_400.0)?;
    /// assert!(course.when_most(0.577) <= course.when_least(0.577));
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// Read off the course of [`super::laminate_cure`]; figures are an arithmetic check.
    pub fn when_most(&self, conversion: f64) -> Option<f64> {
        self.when(&self.most, conversion)
    }

    /// The hottest it gets anywhere up to a time.
    ///
    /// # Returns
    /// Temperature [K].
    /// # Valid for
    /// The time that was followed.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::law::cure::{INFUSION_AMINE, Resin};
    /// use bastwork::law::laminate_cure::{Layup, laminate_cure};
    /// let slow = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
    /// let thin = Layup {
    ///     thickness: 1e-4, density: 1250.0, heat_capacity: 1650.0, conductivity: 0.25, resin_share: 0.57,
    ///     to_mould: 8.0, to_bag: 10.0, start_temperature: 296.15,
    /// };
    /// let course = laminate_cure(&slow, &thin, |_| (296.15, 296.15), &[], 86_400.0)?;
    /// assert!(course.hottest_until(86_400.0) < 296.35, "a thin one stays with the air");
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// Read off the course of [`super::laminate_cure`]; figures are an arithmetic check.
    pub fn hottest_until(&self, time: f64) -> f64 {
        let moments = self.time.iter().zip(&self.hottest);
        moments
            .take_while(|&(&t, _)| t <= time)
            .fold(f64::MIN, |most, (_, &hot)| most.max(hot))
    }

    fn when(&self, values: &[f64], wanted: f64) -> Option<f64> {
        let after = values.iter().position(|&value| value >= wanted)?;
        let Some(before) = after.checked_sub(1) else {
            return self.time.first().copied();
        };
        let share = (wanted - values[before]) / (values[after] - values[before]);
        Some(self.time[before] + share * (self.time[after] - self.time[before]))
    }

    /// The slab at a time, between the moments that were kept; before the first and after the last it stays.
    ///
    /// # Returns
    /// Coldest and hottest point [K], least and most conversion [-].
    /// # Valid for
    /// The time that was followed.
    /// # Errors
    /// None.
    /// # Example
    /// ```
    /// use bastwork::law::cure::{INFUSION_AMINE, Resin};
    /// use bastwork::law::laminate_cure::{Layup, laminate_cure};
    /// let slow = Resin { kinetics: INFUSION_AMINE, speed: 1.0, tg_ultimate: 364.15 };
    /// let thin = Layup {
    ///     thickness: 1e-4, density: 1250.0, heat_capacity: 1650.0, conductivity: 0.25, resin_share: 0.57,
    ///     to_mould: 8.0, to_bag: 10.0, start_temperature: 296.15,
    /// };
    /// let course = laminate_cure(&slow, &thin, |_| (296.15, 296.15), &[], 86_400.0)?;
    /// assert!((course.at(86_400.0).least - 0.8395).abs() < 1e-3);
    /// # Ok::<(), bastwork::law::LawError>(())
    /// ```
    /// # Source
    /// Read off the course of [`super::laminate_cure`]; figures are an arithmetic check.
    pub fn at(&self, time: f64) -> LaminateMoment {
        let after = self.time.partition_point(|&t| t < time);
        let last = self.time.len() - 1;
        let (low, high) = (after.saturating_sub(1).min(last), after.min(last));
        let width = self.time[high] - self.time[low];
        let share = if width > 0.0 {
            ((time - self.time[low]) / width).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let of = |values: &[f64]| values[low] + share * (values[high] - values[low]);
        LaminateMoment {
            coldest: of(&self.coldest),
            hottest: of(&self.hottest),
            least: of(&self.least),
            most: of(&self.most),
        }
    }

    /// The slab as the resin comes in.
    pub(super) fn begun(temperature: f64) -> Self {
        Self {
            time: vec![0.0],
            coldest: vec![temperature],
            hottest: vec![temperature],
            least: vec![0.0],
            most: vec![0.0],
            peak_temperature: temperature,
            peak_time: 0.0,
        }
    }

    pub(super) fn keep(&mut self, t: f64, now: &State) {
        let range = |values: &[f64]| {
            values.iter().fold((f64::MAX, f64::MIN), |(low, high), &x| {
                (low.min(x), high.max(x))
            })
        };
        let (coldest, hottest) = range(&now.heat);
        let (least, most) = range(&now.progress);
        self.time.push(t);
        self.coldest.push(coldest);
        self.hottest.push(hottest);
        self.least.push(least.clamp(0.0, 1.0));
        self.most.push(most.clamp(0.0, 1.0));
        if hottest > self.peak_temperature {
            self.peak_temperature = hottest;
            self.peak_time = t;
        }
    }
}
