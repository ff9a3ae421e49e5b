//! When each step begins and ends: one after the other, with ranges, real starts and the hours of the workshop.

use super::Mark;
use super::steps::{Begins, Needs, Step};
use crate::plan::Moment;
use crate::sheet::{Desk, Spread};

const DAY: f64 = 1440.0;
/// How far back a start is looked for, and in what steps [min].
const BACK: (f64, f64) = (14.0 * DAY, 5.0);
/// Somebody must be there so long to set off what then only waits [min].
const SET_OFF: f64 = 30.0;

/// When the workshop is open, in minutes of the day.
pub(super) struct Hours {
    pub(super) from: f64,
    pub(super) to: f64,
}

impl Hours {
    /// How long to wait from a moment until there is time for something that takes so long [min].
    pub(super) fn wait(&self, at: Moment, takes: f64) -> f64 {
        let minute = at.hour() * 60.0;
        // What is longer than a day in the shop begins when the shop opens.
        let room = (self.to - takes.min(self.to - self.from)).max(self.from);
        if minute < self.from {
            self.from - minute
        } else if minute > room {
            DAY - minute + self.from
        } else {
            0.0
        }
    }

    /// Whether a span lies within one day's hours.
    pub(super) fn hold(&self, begins: Moment, takes: f64) -> bool {
        let minute = begins.hour() * 60.0;
        minute >= self.from - 0.5 && minute + takes <= self.to + 0.5
    }
}

/// One step on the clock; minutes after the start.
pub(super) struct Row {
    pub(super) begins: Spread,
    pub(super) ends: Spread,
    /// When it really began.
    pub(super) begun: Option<Moment>,
    /// It was put off until the shop opens.
    pub(super) put_off: bool,
    /// Likely end, and the 10th and 90th percentile.
    pub(super) end: [f64; 3],
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
        hours: &Hours,
    ) -> Self {
        let mut rows: Vec<Row> = Vec::with_capacity(steps.len());
        for (i, step) in steps.iter().enumerate() {
            let begun = marks.iter().find(|mark| mark.step == i).map(|mark| mark.at);
            let mut put_off = false;
            let begins = match begun.zip(start) {
                Some((at, start)) => Spread::exact(at.minutes_since(start)),
                None => {
                    let planned = planned(&step.begins, &rows);
                    match start.filter(|_| step.can_wait) {
                        Some(start) => {
                            let wait = hours.wait(start.after(planned.likely()), there(step));
                            put_off = wait > 0.0;
                            let opens = planned.likely() + wait;
                            if put_off {
                                planned.map(|t| t.max(opens))
                            } else {
                                planned
                            }
                        }
                        None => planned,
                    }
                }
            };
            let ends = Spread::from([&begins, &step.takes], |[begins, takes]| begins + takes);
            let range = desk.range(&ends);
            rows.push(Row {
                begins,
                ends,
                begun,
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
}

/// How long somebody must be there [min].
fn there(step: &Step) -> f64 {
    match step.needs {
        Needs::Hands => step.takes.likely(),
        Needs::Watch | Needs::Nobody => SET_OFF,
    }
}

/// When it begins if nobody has begun it: minutes after the start.
fn planned(begins: &Begins, rows: &[Row]) -> Spread {
    let last = |steps: &[usize]| {
        steps.iter().fold(Spread::exact(0.0), |latest, &step| {
            Spread::from([&latest, &rows[step].ends], |[a, b]| a.max(b))
        })
    };
    match begins {
        Begins::After(steps) => last(steps),
        Begins::From(step, minutes) => Spread::sum([&rows[*step].begins, minutes]),
        Begins::NotBefore(steps, of, minutes) => {
            let (last, of) = (last(steps), &rows[*of].ends);
            Spread::from([&last, of, minutes], |[last, of, minutes]| {
                last.max(of + minutes)
            })
        }
    }
}

/// Whether everything that hands or eyes are needed for, and that cannot wait, lies within the hours.
pub(super) fn within_hours(table: &Timetable<'_>, start: Moment, hours: &Hours) -> bool {
    table.steps.iter().zip(&table.rows).all(|(step, row)| {
        step.needs == Needs::Nobody
            || step.can_wait
            || row.begun.is_some()
            || hours.hold(start.after(row.begins.likely()), step.takes.likely())
    })
}

/// Latest start with which nine of ten jobs are off the mould by a moment, within the shop's hours where that can be.
///
/// `free` is the timetable without a start.
pub(super) fn latest_start(free: &Timetable<'_>, out_by: Moment, hours: &Hours) -> Option<Moment> {
    let (step, row) = free.find("demould")?;
    let (begins, late) = (row.begins.likely(), row.end[2]);
    let takes = step.takes.likely();
    let first = out_by.after(-late);
    // Down to a round five minutes.
    let first = first.after(-(first.hour() * 60.0).rem_euclid(BACK.1));
    let in_time = |start: Moment| {
        let wait = hours.wait(start.after(begins), takes);
        start.after(late.max(begins + wait + takes)) <= out_by
    };
    let mut any = None;
    let mut back = 0.0;
    while back <= BACK.0 {
        let start = first.after(-back);
        if in_time(start) {
            if within_hours(free, start, hours) {
                return Some(start);
            }
            any = any.or(Some(start));
        }
        back += BACK.1;
    }
    any
}
