//! Reads what a plan says of its day: when it begins, how the clock on the wall is set, closed days, steps that have begun.

use super::clock::WallClock;
use super::closed::Closed;
use super::moment::Moment;
use super::words::{CLOCK_GOES, ClockGoes, Words};
use super::{MOST_READINGS, ZONE_FROM, ZONE_TO};
use crate::read::Reader;
use serde_json::Value;

/// What a plan says of its day.
#[derive(Default)]
pub(super) struct Day {
    pub(super) start: Option<Moment>,
    pub(super) out_by: Option<Moment>,
    pub(super) closed: Closed,
    pub(super) began: Vec<(String, Moment)>,
}

impl Day {
    pub(super) fn read(day: &Reader<'_>) -> Self {
        let clock = read_clock(day);
        Self {
            start: read_moment(day, "start", clock),
            out_by: read_moment(day, "out_by", clock),
            closed: read_closed(day),
            began: read_began(day, clock),
        }
    }
}

/// A day and a time of day.
fn read_moment(reader: &Reader<'_>, key: &'static str, clock: WallClock) -> Option<Moment> {
    let text = reader.text(key).filter(|text| !text.is_empty())?;
    let moment = Moment::read(&text, clock);
    if moment.is_none() {
        let found = Value::from(text.as_str());
        reader.problem(key, &found, Moment::WANTED);
    }
    moment
}

/// How the clock on the wall is set in these days: by the rules of its zone where a page tells them, else as typed.
fn read_clock(day: &Reader<'_>) -> WallClock {
    let typed = read_change(day);
    match day.value("zone") {
        Some(zone) => read_zone(day, zone),
        None => typed.unwrap_or_default(),
    }
}

/// When the clock on the wall is set, and which way; none where nothing was said.
fn read_change(day: &Reader<'_>) -> Option<WallClock> {
    let plain = WallClock::default();
    let at = read_moment(day, "clock_at", plain);
    let goes = day.choice("clock_goes", "How the clock is set", CLOCK_GOES);
    if at.is_some() != goes.is_some() && (at.is_some() || day.value("clock_at").is_none()) {
        let key = if at.is_some() {
            "clock_goes"
        } else {
            "clock_at"
        };
        day.missing(
            key,
            "A night on which the clock is set needs two entries: what it shows just before, and whether it goes forward or back.",
        );
    }
    let by = match ClockGoes::from_word(goes?)? {
        ClockGoes::Forward => 60,
        ClockGoes::Back => -60,
    };
    plain.set(at?.minutes(), by)
}

/// The changes of a zone's clock, in their order: what it shows just before, and how far it is ahead of UTC then and after.
fn read_zone(day: &Reader<'_>, zone: &Value) -> WallClock {
    let Some(lines) = zone.as_array() else {
        day.problem("zone", zone, ZONE_WANTED);
        return WallClock::default();
    };
    let mut clock = WallClock::default();
    let mut last = None;
    for (i, value) in lines.iter().enumerate() {
        let line = day.below(&format!("zone.{i}"), value);
        let at = read_moment(&line, "at", WallClock::default());
        // A cast of minutes within a day.
        let minutes = |field| line.number(field).map(|read| read.round() as i64);
        let (from, to) = (minutes(&ZONE_FROM), minutes(&ZONE_TO));
        line.finish();
        let set = at.zip(from).zip(to).and_then(|((at, from), to)| {
            match last {
                None => clock = WallClock::ahead_of_utc(Some(from)),
                // Nobody sets a clock between two of them.
                Some(last) if last != from => return None,
                Some(_) => {}
            }
            last = Some(to);
            clock.set(at.minutes(), to - from)
        });
        match set {
            Some(set) => clock = set,
            None => {
                day.problem("zone", zone, ZONE_WANTED);
                break;
            }
        }
    }
    clock
}

/// What a zone must hold.
const ZONE_WANTED: &str = "List the days on which the clock is set, the first in front and eight at most, each as `at`, what it shows just before, `from_min` and `to_min`, minutes ahead of UTC.";

/// Days on which nobody is there.
fn read_closed(day: &Reader<'_>) -> Closed {
    let Some(text) = day.text("closed") else {
        return Closed::default();
    };
    let found = Value::from(text.as_str());
    match Closed::from_text(&text) {
        Some(closed) if closed.always() => {
            day.problem(
                "closed",
                &found,
                "Every day of the week is closed. Leave out a day on which somebody is there.",
            );
            Closed::default()
        }
        Some(closed) => closed,
        None => {
            day.problem("closed", &found, Closed::WANTED);
            Closed::default()
        }
    }
}

/// Steps that have begun: an object with a moment for each.
fn read_began(reader: &Reader<'_>, clock: WallClock) -> Vec<(String, Moment)> {
    let Some(found) = reader.value("began") else {
        return Vec::new();
    };
    let Some(steps) = found.as_object() else {
        reader.another_kind("began", found, "the steps that have begun belong");
        return Vec::new();
    };
    let read = steps.iter().take(MOST_READINGS).filter_map(|(step, at)| {
        let moment = at.as_str().and_then(|text| Moment::read(text, clock));
        if moment.is_none() {
            if !at.is_string() {
                reader.astray("began", None);
            }
            reader.problem(&format!("began.{step}"), at, Moment::WANTED);
        }
        Some((step.clone(), moment?))
    });
    read.collect()
}
