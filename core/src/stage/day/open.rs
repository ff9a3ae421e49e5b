//! When somebody is in the workshop: hours, which may run past midnight, closed days, and the night on which clocks change.

use crate::plan::{Closed, Moment};

const DAY: f64 = 1440.0;
/// So many days ahead an open one is looked for.
const AHEAD: i64 = 800;
/// So many days without a closed one between them count as one, where the workshop never closes.
const ROUND: i64 = 60;

/// When the workshop is open, in minutes of the day that the wall shows.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hours<'a> {
    pub(super) from: f64,
    /// More than a day's minutes where it closes after midnight.
    pub(super) to: f64,
    pub(super) closed: &'a Closed,
}

impl<'a> Hours<'a> {
    /// From one minute of the day to another, past midnight where the second comes first.
    pub(super) fn new(from: f64, to: f64, closed: &'a Closed) -> Self {
        let to = if to > from { to } else { to + DAY };
        Self { from, to, closed }
    }

    /// How long it is open on a day [min].
    pub(super) fn long(&self) -> f64 {
        self.to - self.from
    }

    /// When it opens and closes on a day counted from 1 January 1970, in minutes that a clock counts which nobody sets;
    /// `by` knows the wall. None on a closed day.
    fn window(&self, day: i64, by: Moment) -> Option<(f64, f64)> {
        if self.closed.on(day) {
            return None;
        }
        let midnight = day as f64 * DAY;
        let mut to = self.to;
        if self.long() >= DAY {
            let open = (1..ROUND).take_while(|k| !self.closed.on(day + k));
            to += open.count() as f64 * DAY;
        }
        let (opens, closes) = (midnight + self.from, midnight + to);
        Some((by.counted_at(opens), by.counted_at(closes)))
    }

    /// The day that the wall shows so many minutes after a moment.
    fn day(after: f64, of: Moment) -> i64 {
        // A cast of a whole number of days.
        (of.shown_at(of.counted() + after) / DAY).floor() as i64
    }

    /// How long to wait, so many minutes after a moment, until there is time for something that takes so long [min].
    pub(super) fn wait_after(&self, start: Moment, after: f64, takes: f64) -> f64 {
        let at = start.counted() + after;
        let day = Self::day(after, start);
        for day in (day - 1)..(day + AHEAD) {
            let Some((opens, closes)) = self.window(day, start) else {
                continue;
            };
            // What is longer than a day in the shop begins when the shop opens.
            let last = (closes - takes.min(closes - opens)).max(opens);
            if at <= last {
                return (opens - at).max(0.0);
            }
        }
        0.0
    }

    /// The same from a moment.
    pub(super) fn wait(&self, at: Moment, takes: f64) -> f64 {
        self.wait_after(at, 0.0, takes)
    }

    /// Whether a span lies within one stretch of open hours.
    pub(super) fn hold(&self, begins: Moment, takes: f64) -> bool {
        let at = begins.counted();
        let day = Self::day(0.0, begins);
        [day - 1, day].into_iter().any(|day| {
            self.window(day, begins)
                .is_some_and(|(opens, closes)| at >= opens - 0.5 && at + takes <= closes + 0.5)
        })
    }
}

/// Minute of the day that the wall shows.
pub(super) fn minute_of(at: Moment) -> f64 {
    (at.hour() * 60.0).round()
}
