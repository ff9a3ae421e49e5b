//! One solve of the setting part under its programme, and when it may leave its mould.

use super::hard::{Holds, Judged};
use super::programme::{Programme, Warmths};
use super::slab::Slab;
use crate::law::LawError;
use crate::law::cure::Resin;
use crate::law::laminate_cure::{LaminateCourse, laminate_cure};
use crate::stage::resin_clock::LONGEST;

const DAY: f64 = 86_400.0;

/// One solve and what it needs to be judged.
pub(super) struct Solved<'a> {
    pub(super) programme: &'a Programme,
    pub(super) slab: &'a Slab,
    /// Whether the part stays in its mould through the post-cure.
    pub(super) on_mould: bool,
    /// How far to follow it [s].
    pub(super) until: f64,
}

impl Solved<'_> {
    pub(super) fn course(
        &self,
        resin: &Resin,
        heat: &Warmths,
        leaves: f64,
        thickness: f64,
    ) -> Result<LaminateCourse, LawError> {
        let start = self.programme.shop(0.0, heat);
        let layup = self.slab.layup(thickness, leaves, start);
        let air = |t: f64| {
            let air = self.programme.air(t, heat).clamp(253.15, 443.15);
            (air, air)
        };
        laminate_cure(
            resin,
            &layup,
            air,
            &self.programme.corners(heat),
            self.until,
        )
    }

    /// From when on it may leave its mould [s], and what held it.
    pub(super) fn off(
        &self,
        judged: &Judged<'_>,
        heat: &Warmths,
        leaves: f64,
        thickness: f64,
    ) -> Result<(f64, Holds), LawError> {
        let shop = |t: f64| self.programme.shop(t, heat);
        let free = self.programme.post.filter(|_| !self.on_mould);
        let Some(post) = free else {
            return judged.off_the_mould(shop, f64::MAX);
        };
        // A part that goes into the oven free must be hard before; where it is not, the oven waits for it.
        let before = judged.off_the_mould(shop, post.from)?;
        if before.0 < LONGEST {
            return Ok(before);
        }
        let programme = self.programme.without_post();
        let waits = Solved {
            programme: &programme,
            slab: self.slab,
            on_mould: self.on_mould,
            until: self.until,
        };
        let course = waits.course(judged.resin, heat, leaves, thickness)?;
        let judged = Judged {
            course: &course,
            ..*judged
        };
        judged.off_the_mould(shop, f64::MAX)
    }

    /// The course, and from when on it may leave its mould [s]: followed until `near`, or as far as need be.
    pub(super) fn followed(
        &self,
        near: f64,
        resin: &Resin,
        offset: f64,
        (heat, leaves, thickness): (&Warmths, f64, f64),
    ) -> Result<(LaminateCourse, f64), LawError> {
        let solve = |until: f64| -> Result<(LaminateCourse, f64), LawError> {
            let solved = Self { until, ..*self };
            let course = solved.course(resin, heat, leaves, thickness)?;
            let judged = Judged {
                course: &course,
                resin,
                offset,
            };
            let (off, _) = solved.off(&judged, heat, leaves, thickness)?;
            Ok((course, off))
        };
        if near < self.until {
            let found = solve(near)?;
            // Not without a whole day after it in which it stays so.
            if found.1 + DAY <= near {
                return Ok(found);
            }
        }
        solve(self.until)
    }
}
