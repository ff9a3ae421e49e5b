//! What comes too late or too soon: off the mould after the moment wanted, touched before it is hard.

use super::super::Mark;
use super::super::open::Hours;
use super::super::timetable::{Timetable, latest_start};
use super::Planned;
use crate::plan::{Closed, Moment};
use crate::sheet::Conflict;
use crate::stage::bench::Bench;

/// Nine of ten jobs would not be off the mould in time.
pub(super) fn too_late(bench: &Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let out_by = bench.plan.out_by?;
    let start = day.table.start?;
    let (_, row) = day.table.find("demould")?;
    let late = start.after(row.end[2]).minutes_since(out_by);
    if late <= 0.0 || start >= out_by {
        return None;
    }
    let likely = start.after(row.end[1]);
    let mut ways = Vec::new();
    if day.table.untouched() {
        let free = Timetable::of(&bench.desk, day.table.steps, None, &[], day.hours);
        if let Some(begin) = latest_start(&bench.desk, &free, out_by, day.hours) {
            ways.push(format!(
                "Begin by {}, {} earlier.",
                begin.spoken(),
                long(start.minutes_since(begin))
            ));
        }
    }
    ways.push(format!(
        "Save {} while it sets: warm the part, or take a faster hardener where the fill allows it.",
        long(late)
    ));
    Some(Conflict {
        key: "too_late",
        step: "demould".into(),
        sentence: if likely > out_by {
            format!(
                "The part is likely off its mould on {}, after {}, when you want it.",
                likely.spoken(),
                out_by.spoken()
            )
        } else {
            format!(
                "The part is likely off its mould in time, on {}, but in one job of ten only after {}.",
                likely.spoken(),
                out_by.spoken()
            )
        },
        ways,
    })
}

/// A length of time in words, up to the next five minutes.
fn long(minutes: f64) -> String {
    // A cast of a rounded number of minutes.
    let minutes = (minutes.max(0.0) / 5.0).ceil() as u64 * 5;
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes}\u{a0}min"),
        (hours, 0) => format!("{hours}\u{a0}h"),
        (hours, minutes) if hours < 12 => format!("{hours}\u{a0}h {minutes}\u{a0}min"),
        (hours, _) => format!("{}\u{a0}h", hours + 1),
    }
}

/// The job begins after the moment at which the part must be off.
pub(super) fn begun_after_the_end(bench: &Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let (out_by, start) = (bench.plan.out_by?, day.table.start?);
    (start >= out_by).then(|| Conflict {
        key: "ends_before_it_begins",
        step: "cut".into(),
        sentence: "The job begins after the moment at which the part must be off its mould.".into(),
        ways: vec!["Change one of the two.".into()],
    })
}

/// It was noted to have left the mould, or to be trimmed, before it is likely hard enough.
pub(super) fn too_soft(bench: &Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let start = day.table.start?;
    let soft = |key: &str| {
        let step = day.table.steps.iter().position(|step| step.key == key)?;
        let at = day.marks.iter().find(|mark| mark.step == step)?.at;
        // As the day would have gone without this note and those after it, the shop open day and night.
        let before: Vec<Mark> = day
            .marks
            .iter()
            .copied()
            .filter(|mark| mark.step < step)
            .collect();
        let never = Closed::default();
        let open = Hours::new(0.0, 1440.0, &never);
        let table = Timetable::of(&bench.desk, day.table.steps, Some(start), &before, &open);
        let ready = start.after(table.rows.get(step)?.begins.likely());
        (at < ready).then_some((at, ready))
    };
    let (key, done, (at, ready)) = soft("trim")
        .map(|found| ("trim", "is trimmed", found))
        .or_else(|| soft("demould").map(|found| ("demould", "leaves its mould", found)))?;
    Some(Conflict {
        key: "too_soft",
        step: key.into(),
        sentence: format!(
            "By your note the part {done} on {}, before it is likely hard enough, on {}.",
            at.spoken(),
            Moment::spoken(ready)
        ),
        ways: vec![format!(
            "Let it lie flat and supported until {}, and try the film beside it before you go on.",
            ready.spoken()
        )],
    })
}
