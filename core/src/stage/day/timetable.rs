//! When each step begins and ends: one after the other, with ranges, real starts and the hours of the workshop.

use super::Mark;
use super::open::{Hours, minute_of};
use super::steps::{Begins, Needs, Step};
use crate::plan::Moment;
use crate::sheet::{Desk, Spread};
use crate::solve::DRAWS;

const DAY: f64 = 1440.0;
/// How far back a start is looked for, and in what steps [min].
const BACK: (f64, f64) = (14.0 * DAY, 5.0);
/// The same steps where each start is planned through [min].
const COARSE: f64 = 60.0;
/// Somebody must be there so long to set off what then only waits [min].
const SET_OFF: f64 = 30.0;

/// One step on the clock; minutes after the start.
pub(super) struct Row {
    pub(super) begins: Spread,
    pub(super) ends: Spread,
    /// When it really began.
    pub(super) begun: Option<Moment>,
    /// It is over, for one that comes after it has begun.
    pub(super) over: bool,
    /// It was put off until the shop opens.
    pub(super) put_off: bool,
    /// 10th percentile of the end, likely end and 90th percentile.
    pub(super) end: [f64; 3],
}

impl Row {
    /// Whether it still lies ahead as far as the plan knows.
    pub(super) fn ahead(&self) -> bool {
        self.begun.is_none() && !self.over
    }
}

/// All of them.
pub(super) struct Timetable<'a> {
    pub(super) steps: &'a [Step],
    pub(super) rows: Vec<Row>,
    pub(super) start: Option<Moment>,
}

impl<'a> Timetable<'a> {
    pub(super) fn of(
        desk: &Desk,
        steps: &'a [Step],
        start: Option<Moment>,
        marks: &[Mark],
        hours: &Hours<'_>,
    ) -> Self {
        let begun = |i: usize| marks.iter().find(|mark| mark.step == i).map(|mark| mark.at);
        let latest = over_by(steps, start, &begun);
        let mut rows: Vec<Row> = Vec::with_capacity(steps.len());
        for (i, step) in steps.iter().enumerate() {
            let mut put_off = false;
            let begins = match begun(i).zip(start) {
                Some((at, start)) => Spread::exact(at.minutes_since(start)),
                None => {
                    let planned = planned(&step.begins, &rows);
                    match start.filter(|_| step.can_wait && latest[i].is_none()) {
                        Some(start) => {
                            let takes = there(step);
                            let wait = |t: f64| hours.wait_after(start, t, takes);
                            put_off = wait(planned.likely()) > 0.0;
                            planned.map(|t| t + wait(t))
                        }
                        None => planned,
                    }
                }
            };
            let ends = Spread::from([&begins, &step.takes], |[begins, takes]| begins + takes);
            // Whatever the plan said: it was over when the next one began.
            let (begins, ends) = match latest[i] {
                Some(latest) => (begins.map(|t| t.min(latest)), ends.map(|t| t.min(latest))),
                None => (begins, ends),
            };
            let range = desk.range(&ends);
            rows.push(Row {
                begins,
                ends,
                begun: begun(i),
                over: latest[i].is_some(),
                put_off,
                end: [range.low, range.likely, range.high],
            });
        }
        Self { steps, rows, start }
    }

    /// The step with this key, and when.
    pub(super) fn find(&self, key: &str) -> Option<(&'a Step, &Row)> {
        let at = self.steps.iter().position(|step| step.key == key)?;
        Some((&self.steps[at], &self.rows[at]))
    }

    /// A likely moment on the wall's clock.
    pub(super) fn at(&self, minutes: f64) -> Option<Moment> {
        Some(self.start?.after(minutes))
    }

    /// Whether no step was noted to have begun.
    pub(super) fn untouched(&self) -> bool {
        self.rows.iter().all(|row| row.begun.is_none())
    }
}

/// For each step, minutes after the start by which it was over because a later one had begun.
fn over_by(
    steps: &[Step],
    start: Option<Moment>,
    begun: &dyn Fn(usize) -> Option<Moment>,
) -> Vec<Option<f64>> {
    let mut latest: Vec<Option<f64>> = vec![None; steps.len()];
    let Some(start) = start else {
        return latest;
    };
    // None waits for a later one, so that one pass from the end meets each after all that wait for it.
    for (i, step) in steps.iter().enumerate().rev() {
        let at = begun(i).map(|at| at.minutes_since(start)).or(latest[i]);
        let Some(at) = at else {
            continue;
        };
        for &before in step.begins.over() {
            latest[before] = Some(latest[before].map_or(at, |known| known.min(at)));
        }
    }
    latest
}

/// How long somebody must be there [min].
fn there(step: &Step) -> f64 {
    match (step.needs, &step.heated) {
        (Needs::Hands, _) => step.takes.likely(),
        (Needs::Watch | Needs::Nobody, Some(heated)) => heated.likely(),
        (Needs::Watch | Needs::Nobody, None) => SET_OFF,
    }
}

/// When it begins if nobody has begun it: minutes after the start.
fn planned(begins: &Begins, rows: &[Row]) -> Spread {
    let last = |steps: &[usize]| {
        steps.iter().fold(None::<Spread>, |latest, &step| {
            let ends = &rows[step].ends;
            Some(match latest {
                Some(latest) => Spread::from([&latest, ends], |[a, b]| a.max(b)),
                None => ends.clone(),
            })
        })
    };
    match begins {
        Begins::After(steps) => last(steps).unwrap_or(Spread::exact(0.0)),
        Begins::From(step, minutes, steps) => {
            let begins = &rows[*step].begins;
            match last(steps) {
                Some(last) => Spread::from([begins, minutes, &last], |[begins, minutes, last]| {
                    last.max(begins + minutes)
                }),
                None => Spread::sum([begins, minutes]),
            }
        }
        Begins::NotBefore(steps, of, minutes) => {
            let of = &rows[*of].ends;
            match last(steps) {
                Some(last) => Spread::from([&last, of, minutes], |[last, of, minutes]| {
                    last.max(of + minutes)
                }),
                None => Spread::sum([of, minutes]),
            }
        }
    }
}

/// Whether everything that hands or eyes are needed for, and that cannot wait, lies within the hours.
pub(super) fn within_hours(table: &Timetable<'_>, start: Moment, hours: &Hours<'_>) -> bool {
    table.steps.iter().zip(&table.rows).all(|(step, row)| {
        step.needs == Needs::Nobody
            || step.can_wait
            || !row.ahead()
            || hours.hold(start.after(row.begins.likely()), step.takes.likely())
    })
}

/// Latest start with which nine of ten jobs are off the mould by a moment, within the shop's hours where that can be.
///
/// `free` is the timetable without a start.
pub(super) fn latest_start(
    desk: &Desk,
    free: &Timetable<'_>,
    out_by: Moment,
    hours: &Hours<'_>,
) -> Option<Moment> {
    let (step, row) = free.find("demould")?;
    let takes = there(step);
    let (begins, long) = (&row.begins, &step.takes);
    // Off the mould at the 90th percentile if nobody waited for the shop to open: no later start can do.
    let first = out_by.after(-row.end[2]);
    // Down to a round five minutes.
    let first = first.after(-minute_of(first).rem_euclid(BACK.1));
    // So many draws in time, and the 90th percentile between two of them is in time too.
    let wanted = (0.9 * (DRAWS - 1) as f64).ceil() as usize + 1;
    let in_time = |start: Moment| {
        let given = out_by.minutes_since(start);
        let off = |begins: f64, long: f64| begins + hours.wait_after(start, begins, takes) + long;
        let draws = (0..DRAWS).filter(|&k| off(begins.draw(k), long.draw(k)) <= given);
        off(begins.likely(), long.likely()) <= given && draws.count() >= wanted
    };
    // What waits for the shop before the mould makes it later still: then each start is planned through.
    let mut before = free.steps.iter().take_while(|step| step.key != "demould");
    let through = before.any(|step| step.can_wait);
    let planned_in_time = |start: Moment| {
        let table = Timetable::of(desk, free.steps, Some(start), &[], hours);
        let end = table.find("demould").map(|(_, row)| row.end[2]);
        end.is_some_and(|end| start.after(end) <= out_by)
    };
    let mut any = None;
    let mut back = 0.0;
    while back <= BACK.0 {
        let start = first.after(-back);
        // Cheap first: most starts at which the shop is closed fall out here.
        let open = within_hours(free, start, hours);
        let wanted = (open || any.is_none()) && in_time(start);
        if wanted && (!through || planned_in_time(start)) {
            if open {
                return Some(start);
            }
            any = Some(start);
        }
        back += if through { COARSE } else { BACK.1 };
    }
    any
}
