//! The pot in hand, left standing: how long it is of use, whether that is long enough, and its sheet.

use super::vessel::{Around, Holder, largest_calm, pot_of};
use super::warms::drawn;
use super::{LONGEST_POT, MINUTE};
use crate::law::pot::{self, Pot, PotCourse};
use crate::law::{LawError, cure};
use crate::plan::fields::{DEGAS, STIR};
use crate::sheet::{Basis, Chart, Desk, Law, PotSheet, Spread};
use crate::stage::bench::Bench;
use crate::stage::mix::STAGE;
use crate::stage::mix::pots::Classes;
use crate::stage::resin_clock::{self, ResinClock};
use crate::units::Unit;

/// A vacuum pot holds the heat in [W/(m2 K)].
const IN_VACUUM: f64 = 5.0;

/// A vessel with what is in it and around it.
pub(super) struct InHand<'a> {
    pub(super) clock: &'a ResinClock,
    pub(super) holder: &'a Holder,
    pub(super) around: &'a Around,
    /// Resin and hardener in it [kg].
    pub(super) mass: &'a Spread,
}

/// What becomes of it.
struct Course {
    /// Until its use is over, it has warmed by ten kelvin, is four times as thick, and gels [s].
    use_by: Spread,
    ten: Spread,
    four: Spread,
    gel: Spread,
    /// The same with everything likely.
    likely: PotCourse,
    classes: Classes,
    /// Its bulk over what stays calm [-], and the most that stays calm in such a vessel [kg].
    share: Spread,
    calm: Spread,
}

/// What is done with it before it is poured.
struct Handled {
    degassed: bool,
    /// How long that takes [s].
    taken: Spread,
}

impl Handled {
    fn of(bench: &mut Bench<'_>) -> Self {
        let degas = bench.take(&DEGAS);
        Self {
            degassed: degas.likely() > 0.0,
            taken: Spread::sum([&bench.take(&STIR), &degas]).times(MINUTE),
        }
    }
}

impl InHand<'_> {
    /// Its sheet, and how long it is of use [s].
    pub(super) fn left_standing(
        &self,
        bench: &mut Bench<'_>,
    ) -> Result<(PotSheet, Spread), LawError> {
        let course = self.course(bench)?;
        let handled = Handled::of(bench);
        let mut sentence = self.said(&bench.desk, &course, &handled);
        if handled.degassed {
            self.degassing(bench, &handled.taken)?;
        }
        let left = Spread::from([&course.use_by, &handled.taken], |[use_by, taken]| {
            (use_by - taken).max(0.0)
        });
        if left.likely() <= 0.0 {
            sentence += " That leaves no time to pour it: mix less at once, or keep it cooler.";
            bench.problem(STAGE, "A pot is past its time before it is stirred and degassed. Mix less at once, degas for less long, or keep it cooler.");
        }
        let temper = course.classes.temper();
        let chart = drawn(bench, &course.likely, temper, &course.use_by);
        let sheet = self.sheet(&mut bench.desk, &course, sentence, chart);
        Ok((sheet, course.use_by))
    }

    fn course(&self, bench: &Bench<'_>) -> Result<Course, LawError> {
        let [use_by, ten, four, gel] = self.times()?;
        let (_, transfer) = self.around.of(self.holder.kind);
        let pot = self.likely(transfer)?;
        let likely = pot::pot_course(&self.likely_resin(), &pot, LONGEST_POT)?;
        let classes = Classes::of(bench, self.clock, &pot)?;
        Ok(Course {
            use_by,
            ten,
            four,
            gel,
            likely,
            classes,
            share: self.share_of_calm()?,
            calm: largest_calm(self.clock, self.holder, self.around, pot.body)?,
        })
    }

    /// Until its use is over, it has warmed by ten kelvin, is four times as thick, and gels [s].
    fn times(&self) -> Result<[Spread; 4], LawError> {
        let (air, transfer) = self.around.of(self.holder.kind);
        let kilograms = self.mass.likely();
        let tg_ultimate = self.clock.tg_ultimate.likely();
        let times: [Spread; 4] = Spread::heavy(
            [
                &self.clock.speed,
                air,
                &self.around.start,
                &self.around.leaves,
            ],
            |[speed, air, start, leaves]| {
                let resin = resin_clock::resin(speed, tg_ultimate);
                let pot = pot_of(self.holder, air, transfer * leaves, kilograms, start)?;
                let course = pot::pot_course(&resin, &pot, LONGEST_POT)?;
                let or_longest = |t: Option<f64>| t.unwrap_or(LONGEST_POT);
                Ok([
                    or_longest(course.use_by()),
                    or_longest(course.ten_degrees),
                    or_longest(course.four_times_as_thick),
                    or_longest(course.gel),
                ])
            },
        )?;
        Ok(times.map(|time| time.map(|t| t.clamp(0.0, LONGEST_POT))))
    }

    /// Its bulk over what stays calm [-].
    fn share_of_calm(&self) -> Result<Spread, LawError> {
        let (air, transfer) = self.around.of(self.holder.kind);
        let kilograms = self.mass.likely();
        let tg_ultimate = self.clock.tg_ultimate.likely();
        let [share] = Spread::heavy(
            [&self.clock.speed, air, &self.around.leaves],
            |[speed, air, leaves]| {
                let resin = resin_clock::resin(speed, tg_ultimate);
                let start = self.around.start.likely();
                let pot = pot_of(self.holder, air, transfer * leaves, kilograms, start)?;
                Ok([pot::heat_share(&resin, &pot)?])
            },
        )?;
        Ok(share.map(|share| share.max(0.0)))
    }

    fn likely_resin(&self) -> cure::Resin {
        resin_clock::resin(self.clock.speed.likely(), self.clock.tg_ultimate.likely())
    }

    /// The pot with everything likely, where heat leaves it so well [W/(m2 K)].
    fn likely(&self, transfer: f64) -> Result<Pot, LawError> {
        let (air, _) = self.around.of(self.holder.kind);
        let (kilograms, start) = (self.mass.likely(), self.around.start.likely());
        pot_of(self.holder, air.likely(), transfer, kilograms, start)
    }

    fn name(&self, desk: &Desk) -> String {
        let grams = desk.say(Unit::Gram, &self.mass.times(1000.0));
        format!("{grams} in {}", self.holder.word())
    }

    fn said(&self, desk: &Desk, course: &Course, handled: &Handled) -> String {
        let minutes = |x: &Spread| desk.say(Unit::Minute, &x.times(1.0 / MINUTE));
        format!(
            "{}: use it up within {}; {} take {} of that. Left standing, it {}. Its bulk is {} times what stays calm.",
            self.name(desk),
            minutes(&course.use_by),
            if handled.degassed {
                "weighing, stirring and the vacuum pot"
            } else {
                "weighing and stirring"
            },
            minutes(&handled.taken),
            course.classes.word(),
            desk.say(Unit::One, &course.share),
        )
    }

    /// Whether the vacuum pot, in which no air takes the heat away, takes too much of its life.
    fn degassing(&self, bench: &mut Bench<'_>, taken: &Spread) -> Result<(), LawError> {
        let shut = self.likely(IN_VACUUM)?;
        let shut = pot::pot_course(&self.likely_resin(), &shut, LONGEST_POT)?
            .use_by()
            .unwrap_or(LONGEST_POT);
        if taken.likely() > 0.25 * shut {
            bench.problem(
                STAGE,
                "Stirring and the vacuum pot take more than a quarter of this pot's life: degas the resin alone first, then mix and degas briefly, or mix less at once.",
            );
        }
        Ok(())
    }

    fn sheet(&self, desk: &mut Desk, course: &Course, sentence: String, chart: Chart) -> PotSheet {
        let in_minutes = |x: &Spread| x.times(1.0 / MINUTE);
        let depth = self
            .mass
            .map(|kg| self.holder.body(kg).map_or(0.0, |body| body.depth));
        let warms = course.ten.likely() < 0.99 * LONGEST_POT;
        PotSheet {
            name: self.name(desk),
            sentence,
            mass_g: desk.estimate("In this pot", Unit::Gram, &self.mass.times(1000.0), &SHARE),
            depth_mm: desk.estimate(
                "It stands so deep",
                Unit::Millimetre,
                &depth.times(1000.0),
                &DEPTH,
            ),
            use_by_min: desk.estimate(
                "Use it up within",
                Unit::Minute,
                &in_minutes(&course.use_by),
                &USE_BY,
            ),
            ten_degrees_min: warms.then(|| {
                desk.estimate(
                    "It has warmed by ten kelvin after",
                    Unit::Minute,
                    &in_minutes(&course.ten),
                    &USE_BY,
                )
            }),
            four_times_min: desk.estimate(
                "It is four times as thick after",
                Unit::Minute,
                &in_minutes(&course.four),
                &USE_BY,
            ),
            gel_min: desk.estimate(
                "It gels in the pot after",
                Unit::Minute,
                &in_minutes(&course.gel),
                &USE_BY,
            ),
            largest_calm_g: desk.estimate(
                "Most that stays calm in such a vessel",
                Unit::Gram,
                &course.calm.times(1000.0),
                &CALM,
            ),
            calm_share: desk.estimate(
                "Its bulk, over what stays calm",
                Unit::One,
                &course.share,
                &CALM,
            ),
            temper: course.classes.temper(),
            chart,
        }
    }
}

static SHARE: Law = Law {
    says: "the batch over the number of pots",
    basis: Basis::Firm,
    sources: &["law_split"],
};

static DEPTH: Law = Law {
    says: "volume over the area of the vessel",
    basis: Basis::Firm,
    sources: &["law_split"],
};

static USE_BY: Law = Law {
    says: "m c dT/dt = m H dα/dt - U S (T - T_air), with the resistance of the resin's own bulk",
    basis: Basis::Rule,
    sources: &["blade_epoxy", "judgement_use_by", "judgement_pot_heat"],
};

static CALM: Law = Law {
    says: "V/S up to h R T²/(e ρ H rate E), a little more because the resin is used up; never above what was published as dangerous",
    basis: Basis::Rule,
    sources: &["blade_epoxy", "judgement_pot_heat", "judgement_calm"],
};
