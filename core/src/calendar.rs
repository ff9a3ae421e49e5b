//! The day as a calendar file, for the phone's own calendar: RFC 5545, in the time of the clock on the wall.

use crate::plan::Moment;
use crate::read::Problem;
use crate::sheet::{DaySheet, DayStep};
use crate::shelf::Shelf;
use ics::properties::{Description, DtEnd, DtStart, Duration, Summary, Trigger};
use ics::{Alarm, Event, ICalendar, escape_text};
use serde_json::Value;

/// A wait shorter than this needs no alarm when it ends [min].
const SHORT: f64 = 10.0;
/// Longest line (RFC 5545, 3.1).
const OCTETS: usize = 75;
/// Longest part of a name that goes into an identifier.
const LONGEST_NAME: usize = 40;

/// The steps of a plan document as a calendar file: one event a step, with an alarm where a wait ends.
///
/// Times float: they are those of the clock on the wall, wherever the file is opened (RFC 5545, 3.3.5, form 1). Where that
/// clock is set during the job and the plan tells its zone, they are in UTC (form 2): an hour that comes twice has no other
/// name that every calendar reads alike.
/// `stamp` is when the file is made, in UTC, as `20261125T193000Z`: the core has no clock.
///
/// # Errors
/// Every problem of the document; that no start is given; that the stamp is none.
pub fn calendar(document: &Value, shelf: &Shelf, stamp: &str) -> Result<String, Vec<Problem>> {
    let sheet = crate::sheet_from(document, shelf)?;
    let problem =
        |field: &str, value: &str, sentence: &str| vec![Problem::new(field, value, sentence)];
    if !is_stamp(stamp) {
        return Err(problem(
            "stamp",
            stamp,
            "Say when the file is made, in UTC, like 20261125T193000Z.",
        ));
    }
    let Some(day) = sheet.day.filter(|day| day.start.is_some()) else {
        return Err(problem(
            "day.start",
            "",
            "Type when the job begins, or when the part must be out of its mould: a calendar needs one of the two.",
        ));
    };
    let mut calendar = ICalendar::new("2.0", "-//Bastwork//Bastwork//EN");
    let whose = identity(document, &sheet.name);
    for step in &day.steps {
        calendar.add_event(event(step, &day, &sheet.name, &whose, stamp));
    }
    Ok(folded(&calendar.to_string()))
}

/// The same with no line longer than 75 octets: the library leaves the space before a folded line out of its count.
fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 32);
    for line in text.replace("\r\n ", "").split_inclusive("\r\n") {
        let mut octets = 0;
        for c in line.chars() {
            if octets + c.len_utf8() > OCTETS && c != '\r' && c != '\n' {
                out += "\r\n ";
                octets = 1;
            }
            octets += c.len_utf8();
            out.push(c);
        }
    }
    out
}

/// `20261125T193000Z` and nothing else.
fn is_stamp(text: &str) -> bool {
    let Some((day, clock)) = text.strip_suffix('Z').and_then(|text| text.split_once('T')) else {
        return false;
    };
    let digits =
        |part: &str, count| part.len() == count && part.bytes().all(|b| b.is_ascii_digit());
    if !digits(day, 8) || !digits(clock, 6) {
        return false;
    }
    let spelt = format!(
        "{}-{}-{}T{}:{}",
        &day[..4],
        &day[4..6],
        &day[6..],
        &clock[..2],
        &clock[2..4]
    );
    Moment::from_text(&spelt).is_some() && clock[4..] < *"61"
}

/// What the plan is called in identifiers: the id that the page gave it, or its name.
fn identity(document: &Value, name: &str) -> String {
    let id = document.get("id").and_then(Value::as_str).unwrap_or(name);
    let plain: String = id
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .take(LONGEST_NAME)
        .collect();
    // Names that look alike once they are plain stay apart (FNV-1a, 64 bits).
    let hash = id.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{plain}-{hash:016x}")
}

fn event<'a>(step: &DayStep, day: &DaySheet, part: &str, whose: &str, stamp: &str) -> Event<'a> {
    let uid = format!("{}-{whose}@bastwork", step.key);
    let mut event = Event::new(uid, stamp.to_owned());
    let moment = |text: &str| {
        Moment::from_text(text)
            .map(Moment::stamp)
            .unwrap_or_default()
    };
    let from = step.in_utc.as_ref().map(|[from, _]| from.clone());
    event.push(DtStart::new(from.unwrap_or_else(|| moment(&step.at))));
    // A cast of a rounded number of minutes; as long as both ends say when they are rounded.
    let minutes = (step.ends_min.round() - step.begins_min.round()) as i64;
    if let Some([_, until]) = &step.in_utc {
        event.push(DtEnd::new(until.clone()));
    } else if wall_span(step) == Some(minutes) {
        event.push(DtEnd::new(moment(&step.until)));
    } else {
        // The clock on the wall is set meanwhile: then only the length is plain (RFC 5545, 3.3.6).
        event.push(Duration::new(format!("PT{minutes}M")));
    }
    event.push(Summary::new(text(&format!("{part}: {}", step.name))));
    event.push(Description::new(text(&description(step))));
    let waits = !step.hands && step.ends_min - step.begins_min >= SHORT;
    if waits
        && day
            .steps
            .iter()
            .any(|other| other.begins_min >= step.ends_min - 1.0)
    {
        let mut trigger = Trigger::new("PT0S");
        trigger.add(ics::parameters::Related::End);
        event.add_alarm(Alarm::display(
            trigger,
            Description::new(text(&format!("{} is likely over.", step.name))),
        ));
    }
    event
}

/// Minutes between the two ends as the wall shows them.
fn wall_span(step: &DayStep) -> Option<i64> {
    let (from, to) = (
        Moment::from_text(&step.at)?,
        Moment::from_text(&step.until)?,
    );
    // A cast of whole minutes.
    Some(to.minutes_since(from) as i64)
}

/// What to know at the step: who is needed, how long, what ends it, what to take care of.
fn description(step: &DayStep) -> String {
    let who = match (step.hands, step.watch) {
        _ if step.pairs > 1 => "Needs two pairs of hands.",
        (true, _) => "Needs hands.",
        (_, true) => "Stay beside it.",
        _ => "Only waits.",
    };
    let range = if step.takes.range.is_empty() {
        String::new()
    } else {
        format!(" ({})", step.takes.range)
    };
    let mut said = format!("{who} Takes about {}{range}.", step.takes.text);
    if !step.ends_when.is_empty() {
        said += &format!("\nOver when {}.", step.ends_when);
    }
    if !step.care.is_empty() {
        said += &format!("\nCare: {}", step.care);
    }
    said
}

/// Text as a calendar file holds it.
fn text(plain: &str) -> String {
    let printable: String = plain
        .chars()
        .filter(|c| *c == '\n' || !c.is_control())
        .collect();
    escape_text(printable).into_owned()
}
