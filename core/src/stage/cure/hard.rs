//! What a course of cure comes to: gel, hardness, and the moment from which the part may leave its mould.

use crate::law::LawError;
use crate::law::cure::{self, GEL_CONVERSION, Resin};
use crate::law::laminate_cure::LaminateCourse;
use crate::stage::resin_clock::{HARD_MARGIN, LONGEST, glass};

/// Least conversion at which a part is solid enough [-].
const SOLID: f64 = 0.6;
/// A part that is warmer than the shop by more than this is left to cool [K].
pub(super) const COOL_WITHIN: f64 = 5.0;

/// What holds a part on its mould longest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Holds {
    /// It has not set throughout.
    Set,
    /// It is softer than its own temperature asks.
    Soft,
    /// It is still warm.
    Warm,
}

/// A course with what it needs to be judged.
pub(super) struct Judged<'a> {
    pub(super) course: &'a LaminateCourse,
    pub(super) resin: &'a Resin,
    /// What the resin's own sheet adds to the glass transition [K].
    pub(super) offset: f64,
}

impl Judged<'_> {
    /// Glass transition at the least conversion [K].
    pub(super) fn tg(&self, time: f64) -> Result<f64, LawError> {
        self.tg_of(self.course.at(time).least)
    }

    fn tg_of(&self, conversion: f64) -> Result<f64, LawError> {
        Ok(glass(conversion.clamp(0.0, 1.0), self.resin.tg_ultimate)? + self.offset)
    }

    /// Gel at the slowest point [s].
    pub(super) fn gel(&self) -> f64 {
        self.course.when_least(GEL_CONVERSION).unwrap_or(LONGEST)
    }

    /// First time at which the glass transition passes the part's own temperature [s].
    pub(super) fn vitrifies(&self) -> Result<f64, LawError> {
        let lead = |i: usize| Ok(self.tg_of(self.course.least[i])? - self.course.hottest[i]);
        let mut before: Option<(f64, f64)> = None;
        for (i, &t) in self.course.time.iter().enumerate() {
            let now: f64 = lead(i)?;
            if now >= 0.0 {
                let Some((from, was)) = before else {
                    return Ok(t);
                };
                return Ok(from + (t - from) * -was / (now - was));
            }
            before = Some((t, now));
        }
        Ok(LONGEST)
    }

    /// From when on the part may leave its mould, looking no further than `until`, and what held it longest.
    ///
    /// Solid, its glass transition ten kelvin above its own temperature, and no warmer than the shop by five; from
    /// then on for good, so that no cool hour before a warm one counts.
    pub(super) fn off_the_mould(
        &self,
        shop: impl Fn(f64) -> f64,
        until: f64,
    ) -> Result<(f64, Holds), LawError> {
        let ceiling = self.resin.tg_ultimate + self.offset - 3.0;
        let margins = |i: usize| -> Result<[(f64, Holds); 3], LawError> {
            let (hot, least) = (self.course.hottest[i], self.course.least[i]);
            let wanted = (hot + HARD_MARGIN).min(ceiling);
            let shop = shop(self.course.time[i]);
            Ok([
                // In kelvin as well, so that they compare.
                ((least - SOLID) * 100.0, Holds::Set),
                (self.tg_of(least)? - wanted, Holds::Soft),
                (shop + COOL_WITHIN - hot, Holds::Warm),
            ])
        };
        let worst = |i: usize| -> Result<(f64, Holds), LawError> {
            let all = margins(i)?;
            Ok(all
                .into_iter()
                .fold(all[0], |a, b| if b.0 < a.0 { b } else { a }))
        };
        let last = self.course.time.partition_point(|&t| t <= until);
        let mut later: Option<(usize, f64)> = None;
        for i in (0..last).rev() {
            let (now, why) = worst(i)?;
            if now < 0.0 {
                let Some((after, margin)) = later else {
                    return Ok((LONGEST, why));
                };
                let (from, to) = (self.course.time[i], self.course.time[after]);
                return Ok((from + (to - from) * -now / (margin - now), why));
            }
            later = Some((i, now));
        }
        Ok((0.0, Holds::Set))
    }
}

/// The glass transition that the kinetics expect after a stated cure [K].
pub(super) fn expected(resin: &Resin, temperature: f64, time: f64) -> Result<f64, LawError> {
    let course = cure::isothermal_cure(resin, temperature, time)?;
    glass(course.at(time)[0].clamp(0.0, 1.0), resin.tg_ultimate)
}
