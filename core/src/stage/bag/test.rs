//! The drop test put to the law: readings against leak and vapour at the temperature of the mould.

use super::STAGE;
use super::gauge::Gauge;
use super::log::{Kept, readings};
use crate::law::drop_test::{Conditions, Course, Judged, Verdict, judge, play};
use crate::law::{LawError, water_vapour};
use crate::plan::fields::{
    BAG_TEMPERATURE, ROOM_TEMPERATURE, TEST_END_TEMPERATURE, TEST_TEMPERATURE,
};
use crate::sheet::Spread;
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::water;
use crate::units::Unit;

/// A leak that brings less than this share of the rise hardly counts.
const NEGLIGIBLE: f64 = 0.2;

/// Warmer or colder by more than this [K], and the test should be made again.
const DRIFT: f64 = 0.5;

/// Longest that a maker is asked to read on [s].
const PATIENCE: f64 = 5400.0;

/// How far the scale of a gauge may be off over a rise of some 20 mbar, as a share of it (our judgement).
const SCALE: f64 = 0.03;

/// What saturation changes for each kelvin, as a share.
const SATURATION_PER_KELVIN: f64 = 0.065;

/// A drop test with its readings.
pub(super) struct Tested {
    pub(super) kept: Kept,
    pub(super) judged: Judged,
    pub(super) conditions: Conditions,
    /// Temperature of the mould [K].
    pub(super) temperature: Spread,
    /// Whether that was typed for the mould, and not taken from the shop.
    pub(super) temperature_known: bool,
    /// Warming from start to end of the test [K], and what it may make [Pa].
    pub(super) drift: Option<(f64, f64)>,
}

/// Judges the readings of the plan; none without any.
pub(super) fn tested(bench: &mut Bench<'_>, gauge: &Gauge) -> Result<Option<Tested>, LawError> {
    if bench.plan.test.is_empty() {
        return Ok(None);
    }
    let kept = readings(bench, gauge);
    let plan = bench.plan;
    let field = [&TEST_TEMPERATURE, &BAG_TEMPERATURE]
        .into_iter()
        .find(|field| plan.given(field).is_some());
    let temperature = water::kelvin(&bench.take(field.unwrap_or(&ROOM_TEMPERATURE)));
    let range = bench.desk.range(&temperature);
    let saturation = water_vapour::saturation_pressure(temperature.likely())?;
    let kelvin = (0.5 * (range.high - range.low)).clamp(0.5, 10.0);
    let conditions = Conditions {
        step: gauge.step.likely(),
        saturation,
        saturation_play: play(saturation, kelvin, SCALE * saturation)?,
        outside: gauge.local,
    };
    let judged = judge(&kept.readings, &conditions)?;
    let drift = drift(bench, &kept, saturation);
    Ok(Some(Tested {
        kept,
        judged,
        conditions,
        temperature,
        temperature_known: field.is_some(),
        drift,
    }))
}

/// How much warmer the mould got, and what that may make of the pressure [Pa].
fn drift(bench: &Bench<'_>, kept: &Kept, saturation: f64) -> Option<(f64, f64)> {
    let start = bench.plan.given(&TEST_TEMPERATURE)?.likely;
    let warmer = bench.plan.given(&TEST_END_TEMPERATURE)?.likely - start;
    let highest = kept.readings.iter().map(|r| r.pressure).fold(0.0, f64::max);
    // The gas itself, and the water that can follow it: no more vapour than there is pressure.
    let gas = highest * warmer.abs() / (start + ZERO_C);
    let vapour = SATURATION_PER_KELVIN * saturation.min(highest) * warmer.abs();
    (warmer.abs() > DRIFT).then_some((warmer, gas + vapour))
}

impl Tested {
    /// Whether there is a fit to speak of.
    pub(super) fn is_told(&self) -> bool {
        !self.judged.fits.is_empty()
    }

    /// When the first reading was taken [s].
    pub(super) fn started(&self) -> f64 {
        let times = self.kept.readings.iter().map(|r| r.time);
        times.reduce(f64::min).unwrap_or(0.0)
    }

    /// Until when it is worth to read on, on the clock of the readings; none where that takes hours or cannot be told [s].
    pub(super) fn worth_reading_until(&self) -> Option<f64> {
        let after = self.judged.settle_after?;
        (after - self.span() <= PATIENCE).then(|| self.started() + after)
    }

    /// Length of the test [s].
    pub(super) fn span(&self) -> f64 {
        self.judged.span
    }

    /// From the lowest to the highest reading that counts [Pa].
    pub(super) fn height(&self) -> f64 {
        let counts = self
            .kept
            .readings
            .iter()
            .enumerate()
            .filter(|(i, _)| !self.judged.doubtful.contains(i))
            .map(|(_, r)| r.pressure);
        let (low, high) = counts.fold((f64::MAX, 0.0_f64), |(low, high), p| {
            (low.min(p), high.max(p))
        });
        (high - low).max(0.0)
    }

    /// What the rise is put down to, for sure or by leaning; none where nothing rises or nothing fits.
    pub(super) fn course(&self) -> Option<Course> {
        match self.judged.verdict {
            Verdict::Leak => Some(Course::Leak),
            Verdict::Both => Some(Course::Both),
            Verdict::Vapour => Some(Course::Vapour),
            Verdict::Tight => None,
            Verdict::TooFew | Verdict::Open => self.judged.leaning.filter(|_| self.is_told()),
        }
    }

    /// The course that is shown as the likely one: what is leaned to while readings are too few to weigh.
    pub(super) fn shown_course(&self) -> Option<Course> {
        match self.judged.verdict {
            Verdict::TooFew => self.judged.leaning,
            _ => self.judged.best.map(|best| Course::ALL[best]),
        }
    }

    /// Whether water is part of what is said.
    pub(super) fn has_vapour(&self) -> bool {
        matches!(self.course(), Some(Course::Vapour | Course::Both))
    }

    /// Whether the leak is too small to matter beside the rise of water.
    pub(super) fn leak_hardly_counts(&self) -> bool {
        self.judged.rate[2] * self.span() < NEGLIGIBLE * self.judged.rise[1]
    }
}

/// Notes on readings that stand out.
pub(super) fn notes(bench: &mut Bench<'_>, tested: &Tested) {
    let judged = &tested.judged;
    let minutes: Vec<String> = judged
        .doubtful
        .iter()
        .filter_map(|&i| tested.kept.places.get(i))
        .map(|&place| {
            let minute = bench.plan.test[place].minute;
            bench.desk.say_plain(Unit::Minute, minute)
        })
        .collect();
    match minutes.as_slice() {
        [] => {}
        [one] => bench.problem(
            STAGE,
            format!("The reading at {one} stands far off the others. Was it mistyped? It is set aside until you mend it or take it out."),
        ),
        many => bench.problem(
            STAGE,
            format!("The readings at {} stand far off the others. Were they mistyped? They are set aside until you mend them or take them out.", many.join(" and ")),
        ),
    }
}
