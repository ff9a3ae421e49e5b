//! The setting as spreads: its course solved again for every draw, and what that comes to.

use super::{DAY, FIGURES, LATER, STOPS};
use crate::law::LawError;
use crate::sheet::Spread;
use crate::stage::cure::hard::{Holds, Judged};
use crate::stage::cure::programme::{Heats, Programme, Warmths};
use crate::stage::cure::solved::Solved;
use crate::stage::resin_clock::{self, LONGEST, ResinClock};

/// How far what later weeks bring is followed [s].
const WEEKS: f64 = 29.0 * DAY;
/// Self-heating above which mould and bag matter [K].
const OWN_HEAT: f64 = 1.5;

/// The setting with everything likely, and the times at which it is looked at.
pub(super) struct Likely<'a> {
    pub(super) solved: Solved<'a>,
    pub(super) heats: &'a Heats,
    pub(super) warmths: Warmths,
    pub(super) judged: Judged<'a>,
    /// From when on it may leave its mould [s], and what holds it there.
    pub(super) off: f64,
    pub(super) holds: Holds,
    /// When it is trimmed [s].
    pub(super) trimmed: f64,
    /// Until when it is drawn [s].
    pub(super) drawn: f64,
}

/// What the setting comes to.
pub(super) struct Spreads {
    /// Until all of it has gelled [s].
    pub(super) gel: Spread,
    /// Hottest point before a post-cure [K].
    pub(super) peak: Spread,
    pub(super) vitrifies: Spread,
    /// From when on it may leave its mould [s].
    pub(super) off: Spread,
    /// Glass transition when it is trimmed, at the stops of the chart, and on later days [K].
    pub(super) tg: Spread,
    pub(super) band: Vec<Spread>,
    pub(super) later: [Spread; LATER.len()],
    /// Least conversion when a post-cure begins [-].
    pub(super) green: Spread,
    /// How far a glass transition may still be off [K].
    pub(super) off_by: Spread,
}

impl Spreads {
    pub(super) fn of(
        likely: &Likely<'_>,
        clock: &ResinClock,
        off_by: Spread,
    ) -> Result<Self, LawError> {
        let figures = likely.figures(clock)?;
        let later = likely.later(clock)?;
        let [gel, peak, vitrifies, off, at_trim, green] =
            std::array::from_fn(|i| figures[i].clone());
        let shifted = |tg: &Spread| shifted(tg, &off_by);
        let bounded = |t: &Spread| t.map(|t| t.clamp(0.0, LONGEST));
        Ok(Self {
            gel: bounded(&gel),
            peak,
            vitrifies: bounded(&vitrifies),
            off: bounded(&off),
            tg: shifted(&at_trim),
            band: figures[FIGURES..].iter().map(shifted).collect(),
            later: later.map(|tg| shifted(&tg)),
            green: green.map(|x| x.clamp(0.0, 1.0)),
            off_by,
        })
    }
}

/// A glass transition with how far it may be off [K].
pub(super) fn shifted(tg: &Spread, off_by: &Spread) -> Spread {
    Spread::from([tg, off_by], |[tg, off]| tg + off)
}

impl Likely<'_> {
    /// When a post-cure begins, or the part is trimmed without one [s].
    pub(super) fn post_from(&self) -> f64 {
        let post = self.solved.programme.post;
        post.map_or(self.trimmed, |post| post.from)
    }

    /// Times at which the chart has a band [s].
    pub(super) fn stops(&self) -> [f64; STOPS] {
        std::array::from_fn(|i| self.drawn * (i + 1) as f64 / STOPS as f64)
    }

    /// Until when the setting counts as such [s]: a post-cure is none.
    fn sets_until(&self) -> f64 {
        let post = self.solved.programme.post;
        post.map_or(f64::MAX, |post| post.from)
    }

    /// As far as most draws need be followed [s]: a day past what the likely one does.
    fn near(&self) -> f64 {
        let post_ends = self.solved.programme.post_ends(&self.warmths);
        (2.0 * self.off)
            .max(self.drawn)
            .max(self.post_from())
            .max(post_ends.unwrap_or(0.0))
            .max(self.trimmed)
            + DAY
    }

    /// How well heat leaves the slab, and how thick it is [m].
    ///
    /// Where the part keeps to the air, how heat leaves it moves nothing, and need not be tried.
    fn heat_ways(&self) -> (Spread, Spread) {
        let slab = self.solved.slab;
        let until = self.sets_until();
        let own_heat = self.judged.course.hottest_until(until)
            - warmest_air(self.solved.programme, &self.warmths, until);
        if own_heat > OWN_HEAT {
            (slab.leaves.clone(), slab.thickness.clone())
        } else {
            (Spread::exact(1.0), Spread::exact(slab.thickness.likely()))
        }
    }

    /// Gel, peak, vitrified, off the mould, glass transition at trimming, conversion at post-cure; then the stops.
    fn figures(&self, clock: &ResinClock) -> Result<[Spread; FIGURES + STOPS], LawError> {
        let (near, offset) = (self.near(), self.judged.offset);
        let (stops, until) = (self.stops(), self.sets_until());
        let (leaves, thickness) = self.heat_ways();
        let inputs = [
            &self.heats.day,
            &clock.pace,
            &clock.late,
            &clock.tg_ultimate,
            &leaves,
            &thickness,
            &self.heats.night,
            &self.heats.warm,
            &self.heats.post,
            &self.heats.lag,
        ];
        Spread::heavy(
            inputs,
            |[
                day,
                speed,
                late,
                tg_ultimate,
                leaves,
                thickness,
                night,
                warm,
                post,
                lag,
            ]| {
                let heat = Warmths {
                    day,
                    night,
                    warm,
                    post,
                    lag,
                };
                let resin = resin_clock::resin(speed, tg_ultimate).with_late(late);
                let (course, off) =
                    self.solved
                        .followed(near, &resin, offset, (&heat, leaves, thickness))?;
                let judged = Judged {
                    course: &course,
                    resin: &resin,
                    offset,
                };
                let mut out = [0.0; FIGURES + STOPS];
                out[0] = judged.gel();
                out[1] = course.hottest_until(until);
                out[2] = judged.vitrifies()?;
                out[3] = off;
                out[4] = judged.tg(self.trimmed)?;
                out[5] = course.at(self.post_from()).least;
                for (stop, to) in stops.iter().zip(&mut out[FIGURES..]) {
                    *to = judged.tg(*stop)?;
                }
                Ok(out)
            },
        )
    }

    /// The glass transition on later days, as the kinetics have it without a post-cure [K].
    fn later(&self, clock: &ResinClock) -> Result<[Spread; LATER.len()], LawError> {
        let offset = self.judged.offset;
        let plain = self.solved.programme.without_post();
        let bare = Solved {
            programme: &plain,
            until: WEEKS,
            ..self.solved
        };
        Spread::heavy(
            [
                &self.heats.day,
                &clock.pace,
                &clock.late,
                &clock.tg_ultimate,
            ],
            |[day, speed, late, tg_ultimate]| {
                let heat = Warmths {
                    day,
                    ..self.warmths
                };
                let resin = resin_clock::resin(speed, tg_ultimate).with_late(late);
                let course = bare.course(&resin, &heat, 1.0, bare.slab.thickness.likely())?;
                let judged = Judged {
                    course: &course,
                    resin: &resin,
                    offset,
                };
                let mut out = [0.0; LATER.len()];
                for (days, to) in LATER.iter().zip(&mut out) {
                    *to = judged.tg(days * DAY)?;
                }
                Ok(out)
            },
        )
    }
}

/// The warmest air up to a time [K]: it only turns at its corners, and by day.
fn warmest_air(programme: &Programme, heat: &Warmths, until: f64) -> f64 {
    let corners = programme.corners(heat);
    let at = corners.iter().filter(|&&t| t <= until);
    at.map(|&t| programme.air(t, heat))
        .fold(programme.air(0.0, heat).max(heat.day), f64::max)
}
