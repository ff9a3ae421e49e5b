//! What falls outside the hours of the workshop, and when to begin instead.

use super::super::open::{Hours, minute_of};
use super::super::steps::{Needs, Step};
use super::super::timetable::{Row, within_hours};
use super::Planned;
use crate::plan::fields::TEST_MINUTES;
use crate::plan::{Moment, Route};
use crate::sheet::Conflict;
use crate::stage::bench::Bench;
use crate::units::Unit;

const DAY: f64 = 1440.0;
/// What a pump asks that nobody watches.
pub(in crate::stage::day) const PUMP_ALONE: &str =
    "A pump that runs alone must be made for it and stand clear of all that burns.";
/// How far an earlier or later start is looked for, and in what steps [min].
const LOOK: (f64, f64) = (8.0 * DAY, 15.0);

/// Hands or eyes are needed when the shop is closed.
pub(super) fn out_of_hours(bench: &Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let start = day.table.start?;
    let (step, row) = timed(day).find(|(step, row)| !holds(step, row, start, day.hours))?;
    let (begins, ends) = (start.after(row.begins.likely()), start.after(row.end[1]));
    let mut ways = Vec::new();
    if let Some(other) = another_start(bench, day, start, |_| true) {
        ways.push(format!("Begin on {} instead.", other.spoken()));
    }
    let release = step.key == "release";
    if release {
        ways.push("Put the release on the day before, lay clean film over the mould overnight (common practice, no source), and type no coats here.".to_owned());
    }
    if let Some((mix, _)) = overnight(bench, day, start) {
        ways.push(format!(
            "Stop when the bag is tight, leave the pump on overnight, which dries the cloth as well (common practice, no source), and begin to mix on {}. {PUMP_ALONE}",
            mix.spoken()
        ));
    }
    if let Some(open) = longer(day, start) {
        ways.push(format!(
            "Open the workshop {} on that day, and type these hours.",
            said(&open)
        ));
    }
    if ways.is_empty() {
        let rests = match bench.plan.route {
            Route::Infusion => "after cutting, after the release, or when the bag is tight",
            Route::BaggedWet | Route::OpenWet => "after cutting, or after the release",
            Route::Prepreg => "while the sealed prepreg warms up, or after the release",
        };
        ways.push(format!(
            "Part the job over two days where it can rest: {rests}."
        ));
    }
    let until = if ends.midnight() == begins.midnight() {
        ends.clock()
    } else {
        ends.spoken()
    };
    Some(Conflict {
        key: if release {
            "release_overnight"
        } else {
            "out_of_hours"
        },
        step: step.key.clone(),
        sentence: format!(
            "\"{}\" likely runs from {} to {until}, when the workshop is closed.",
            step.name,
            begins.spoken(),
        ),
        ways,
    })
}

/// The steps that hands or eyes are needed for, that cannot wait, and that lie ahead.
fn timed<'a>(day: &'a Planned<'_>) -> impl Iterator<Item = (&'a Step, &'a Row)> {
    let rows = day.table.steps.iter().zip(&day.table.rows);
    rows.filter(|(step, row)| step.needs != Needs::Nobody && !step.can_wait && row.ahead())
}

fn holds(step: &Step, row: &Row, start: Moment, hours: &Hours<'_>) -> bool {
    hours.hold(start.after(row.begins.likely()), step.takes.likely())
}

/// The nearest start with which everything that cannot wait lies within the hours; later ones before earlier ones.
pub(super) fn another_start(
    bench: &Bench<'_>,
    day: &Planned<'_>,
    start: Moment,
    also: impl Fn(Moment) -> bool,
) -> Option<Moment> {
    if !day.table.untouched() {
        return None;
    }
    let tries = 1..=(LOOK.0 / LOOK.1) as i32;
    let round = start.after(-minute_of(start).rem_euclid(LOOK.1));
    tries
        .flat_map(|k| [f64::from(k) * LOOK.1, f64::from(-k) * LOOK.1])
        .map(|shift| round.after(shift))
        .find(|&other| {
            let later = other.minutes_since(start);
            within_hours(day.table, other, day.hours)
                && also(other)
                && no_later_than_wanted(bench, day, start, later)
        })
}

/// When to mix after a night under the bag, if all from the pots on then lies within the hours; and how much later that is.
fn overnight(bench: &Bench<'_>, day: &Planned<'_>, start: Moment) -> Option<(Moment, f64)> {
    let (_, test) = day.table.find("test")?;
    let first = day
        .table
        .steps
        .iter()
        .position(|step| step.key == "mix_1")?;
    let mix = day.table.rows.get(first).filter(|row| row.ahead())?;
    // In a wet layup the bag comes after the pots.
    if test.begins.likely() > mix.begins.likely() {
        return None;
    }
    let tight = start.after(test.end[1]);
    let opens = tight.after(day.hours.wait(tight, day.hours.long()));
    let later = opens.minutes_since(start) - mix.begins.likely();
    let all_hold = timed(day).all(|(step, row)| {
        let place = day
            .table
            .steps
            .iter()
            .position(|other| other.key == step.key);
        let shift = if place >= Some(first) { later } else { 0.0 };
        holds(step, row, start.after(shift), day.hours)
    });
    let in_time = no_later_than_wanted(bench, day, start, later);
    (later > 0.0 && all_hold && in_time).then_some((opens, later))
}

/// Whether a job that ends so much later is still off its mould when it is wanted, if a moment is given.
fn no_later_than_wanted(bench: &Bench<'_>, day: &Planned<'_>, start: Moment, later: f64) -> bool {
    let off = day.table.find("demould").map(|(_, row)| row.end[2] + later);
    let wanted = bench.plan.out_by.zip(off);
    // What is too late already is told by itself.
    wanted.is_none_or(|(out_by, off)| later <= 0.0 || start.after(off) <= out_by)
}

/// Hours within which everything lies as it is planned, where one day's hours can hold it.
fn longer<'a>(day: &Planned<'a>, start: Moment) -> Option<Hours<'a>> {
    let steps = timed(day).map(|(step, row)| (row.begins.likely(), step.takes.likely()));
    stretched(day.hours, start, steps).filter(|open| within_hours(day.table, start, open))
}

/// The hours stretched to take these spans in, by their minutes after the start; none where a day cannot hold them.
pub(super) fn stretched<'a>(
    hours: &Hours<'a>,
    start: Moment,
    spans: impl Iterator<Item = (f64, f64)>,
) -> Option<Hours<'a>> {
    let mut open = *hours;
    for (begins, takes) in spans {
        let mut begins = minute_of(start.after(begins));
        // Small hours belong to the evening before, where that stretches it less.
        if begins < open.from && begins + DAY - open.to < open.from - begins {
            begins += DAY;
        }
        open.from = open.from.min((begins / 15.0).floor() * 15.0);
        open.to = open.to.max(((begins + takes) / 15.0).ceil() * 15.0);
    }
    (open.long() < DAY).then_some(open)
}

/// Hours in words: "from 08:00 to 01:30".
pub(super) fn said(open: &Hours<'_>) -> String {
    format!("from {} to {}", clock(open.from), clock(open.to))
}

/// Minutes of the day as the clock on the wall shows them.
fn clock(minute: f64) -> String {
    let minute = if minute > DAY { minute - DAY } else { minute };
    // A cast of a rounded number of minutes.
    let minute = minute.round().max(0.0) as u64;
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// How long before the workshop closes a way out has it gelled [min].
const SPARE: f64 = 15.0;

/// It gels under its bag while nobody is there to hear a leak.
pub(super) fn gel_alone(bench: &mut Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let start = day.table.start.filter(|_| bench.bagged())?;
    let (_, row) = day.table.find("gel")?;
    let gels = row.end[1];
    let seen = |moment: Moment| day.hours.hold(moment, 0.0);
    let at = start.after(gels);
    if seen(at) {
        return None;
    }
    // A way out leaves some minutes over: on a new day the shop's air moves gel a little.
    let seen = |moment: Moment| day.hours.hold(moment, SPARE);
    let mut ways = Vec::new();
    if let Some(other) = another_start(bench, day, start, |other| seen(other.after(gels))) {
        ways.push(format!(
            "Begin on {} instead: it then gels by about {}.",
            other.spoken(),
            other.after(gels).clock()
        ));
    }
    if let Some((mix, later)) = overnight(bench, day, start)
        && seen(at.after(later))
    {
        ways.push(format!(
            "Stop when the bag is tight, leave the pump on overnight, which dries the cloth as well (common practice, no source), and begin to mix on {}: it then gels by about {}.",
            mix.spoken(),
            at.after(later).clock()
        ));
    }
    let test = bench.take(&TEST_MINUTES);
    ways.push(format!(
        "Go only from a bag that is tight: shut the pump off for {}, read the gauge, and leave the pump running again. {PUMP_ALONE}",
        bench.desk.say(Unit::Minute, &test)
    ));
    Some(Conflict {
        key: "gel_alone",
        step: "gel".into(),
        sentence: format!(
            "It likely gels on {}, when nobody is there: a leak until then draws air into the part.",
            at.spoken()
        ),
        ways,
    })
}

/// The part may leave its mould while nobody is there.
pub(super) fn at_night(day: &Planned<'_>) -> Option<Conflict> {
    let start = day.table.start?;
    let (_, row) = day.table.find("demould").filter(|(_, row)| row.put_off)?;
    let place = |key: &str| day.table.steps.iter().position(|step| step.key == key);
    // A post-cure on the mould comes before.
    let post = place("post").filter(|&post| Some(post) < place("demould"));
    let ready = day.table.rows.get(post.or(place("cure"))?)?.end[1];
    let lifted = start.after(row.begins.likely());
    let mut ways = vec![format!(
        "Leave it on the mould until {}: it only gets harder.",
        lifted.spoken()
    )];
    // So much later, and it is ready when the shop opens; a post-cure that waits for hands moves otherwise.
    let later = start.after(row.begins.likely() - ready);
    // Up to a round five minutes, and never a second too soon.
    let later = later.after(1.0);
    let later = later.after((-minute_of(later)).rem_euclid(5.0));
    if post.is_none() && day.table.untouched() && within_hours(day.table, later, day.hours) {
        ways.push(format!(
            "Begin on {}, and it is ready when the workshop opens.",
            later.spoken()
        ));
    }
    Some(Conflict {
        key: "at_night",
        step: "demould".into(),
        sentence: format!(
            "The part may likely leave its mould on {}, {}.",
            start.after(ready).spoken(),
            if day.hours.hold(start.after(ready), 0.0) {
                "too late to lift it before the workshop closes"
            } else {
                "when the workshop is closed"
            },
        ),
        ways,
    })
}
