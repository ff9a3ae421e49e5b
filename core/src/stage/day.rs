//! The whole job on a clock: steps, hands, waits and what stands in the way.

mod conflicts;
mod hands;
mod open;
mod pairs;
mod steps;
#[cfg(test)]
mod tests;
mod timetable;
mod told;

use super::bag::Pumped;
use super::bench::{Bench, beyond};
use super::dry::Dried;
use super::mix::Mixed;
use super::resin_clock::ResinClock;
use super::stack::Stacked;
use crate::law::LawError;
use crate::plan::fields::{DEGAS, OPEN_FROM, OPEN_TO, STIR, TEST_MINUTES, VACUUM_HOURS};
use crate::plan::{Moment, Route};
use crate::read::{Field, Problem};
use crate::sheet::{DaySheet, Spread, StageName};
use crate::solve::sort::sort_by_key;
use open::Hours;
use steps::Step;
use timetable::Timetable;

const STAGE: StageName = StageName::Day;

/// What the day is given.
pub(crate) struct Job<'a> {
    /// The stack.
    pub(crate) stacked: &'a Stacked,
    /// Drying; none when nothing is dried.
    pub(crate) dried: Option<&'a Dried>,
    /// The pump; none without a bag.
    pub(crate) pumped: Option<&'a Pumped>,
    /// The resin in time; none when the cloth brings its own.
    pub(crate) clock: Option<&'a ResinClock>,
    /// What is mixed; none when the cloth brings its resin.
    pub(crate) mixed: Option<&'a Mixed>,
    /// Time to fill [s]; none where nothing is filled.
    pub(crate) fill_time: Option<&'a Spread>,
    /// The same with a mesh on all of the stack, where none lies [s].
    pub(crate) meshed: Option<&'a Spread>,
}

/// Hour of the day at which resin likely goes in; none when no start is given.
pub(crate) fn fill_hour(bench: &mut Bench<'_>, dried: Option<&Dried>) -> Option<f64> {
    let plan = bench.plan;
    let begun = plan
        .began
        .iter()
        .find(|(key, _)| key == "fill" || key == "wet");
    if let Some((_, moment)) = begun {
        return Some(moment.hour());
    }
    let start = plan.start?;
    let [cut, release, lay, bag] = hands::likely(plan);
    let set = |field: &Field| {
        let usual = field.usual.map_or(0.0, |usual| usual.range.likely);
        plan.given(field).map_or(usual, |given| given.likely)
    };
    let dry_stack = plan.route == Route::Infusion;
    let under_vacuum = plan.given(&VACUUM_HOURS).filter(|_| dry_stack);
    // The oven runs beside the release coats.
    let oven = match (dried, under_vacuum) {
        (Some(dried), None) => dried.oven_time.likely() / 60.0,
        _ => 0.0,
    };
    let mut lead = cut + release.max(oven) + set(&STIR) + set(&DEGAS);
    if dry_stack {
        let vacuum = under_vacuum.map_or(0.0, |hours| 60.0 * hours.likely);
        lead += lay + bag + set(&TEST_MINUTES) + vacuum;
    }
    Some((start.shown_at(start.counted() + lead) / 60.0).rem_euclid(24.0))
}

/// Works the day out.
///
/// # Errors
/// A problem where these values lie beyond what can be computed.
pub(crate) fn work(bench: &mut Bench<'_>, job: &Job<'_>) -> Result<DaySheet, Vec<Problem>> {
    day(bench, job).map_err(|why| beyond("day", &why))
}

fn day(bench: &mut Bench<'_>, job: &Job<'_>) -> Result<DaySheet, LawError> {
    let (from, to) = (bench.take(&OPEN_FROM), bench.take(&OPEN_TO));
    let closed = &bench.plan.closed_on;
    let hours = Hours::new(60.0 * from.likely(), 60.0 * to.likely(), closed);
    let steps = steps::steps(bench, job)?;
    let marks = marks(bench, &steps);
    let free = Timetable::of(&bench.desk, &steps, None, &[], &hours);
    let (start, latest) = started(bench, &free, &marks, &hours);
    let table = Timetable::of(&bench.desk, &steps, start, &marks, &hours);
    let conflicts = conflicts::conflicts(bench, job, &table, &marks, &hours);
    Ok(told::sheet(bench, &table, conflicts, latest))
}

/// When the job begins and how that was found, and the latest start that keeps the end wanted.
fn started(
    bench: &Bench<'_>,
    free: &Timetable<'_>,
    marks: &[Mark],
    hours: &Hours<'_>,
) -> (Option<Moment>, Option<Moment>) {
    let plan = bench.plan;
    let latest = plan
        .out_by
        .and_then(|out_by| timetable::latest_start(&bench.desk, free, out_by, hours));
    let marked = marks.first().map(|mark| {
        let planned = free
            .rows
            .get(mark.step)
            .map_or(0.0, |row| row.begins.likely());
        mark.at.after(-planned)
    });
    // A step noted before the start that was typed tells that the job began earlier.
    let typed = plan
        .start
        .filter(|start| marks.iter().all(|mark| mark.at >= *start));
    (typed.or(marked).or(plan.start).or(latest), latest)
}

/// A step that was noted to have begun.
#[derive(Clone, Copy)]
struct Mark {
    step: usize,
    at: Moment,
}

/// The notes of real starts that fit this plan, in the order of its steps.
fn marks(bench: &mut Bench<'_>, steps: &[Step]) -> Vec<Mark> {
    let mut found: Vec<Mark> = Vec::new();
    let mut strange: Vec<String> = Vec::new();
    for (key, at) in &bench.plan.began {
        match steps.iter().position(|step| step.key == *key) {
            Some(step) => found.push(Mark { step, at: *at }),
            None => strange.push(key.clone()),
        }
    }
    sort_by_key(&mut found, |mark| mark.step);
    let mut kept: Vec<Mark> = Vec::new();
    for mark in found {
        let late = |other: &Mark| other.at > mark.at && comes_before(steps, other.step, mark.step);
        if kept.iter().any(late) {
            strange.push(steps[mark.step].key.clone());
        } else {
            kept.push(mark);
        }
    }
    for key in strange {
        bench.advice(
            STAGE,
            format!("The plan says that `{key}` has begun, which does not fit its steps or their order. It is kept and not used."),
        );
    }
    kept
}

/// Whether a step must be over before another begins.
fn comes_before(steps: &[Step], first: usize, then: usize) -> bool {
    let mut over = steps[then].begins.over().iter();
    over.any(|&step| step == first || (step > first && comes_before(steps, first, step)))
}
