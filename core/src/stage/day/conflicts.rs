//! What stands in the way of the day, each with its ways out.

use super::Job;
use super::steps::Needs;
use super::timetable::{Hours, Timetable, latest_start, within_hours};
use crate::law::batches::{Draw, mixing_starts, used_up_at};
use crate::plan::Moment;
use crate::sheet::{Conflict, Spread};
use crate::stage::bench::Bench;
use crate::stage::dry::keeps;
use crate::stage::resin_clock::LONGEST;
use crate::units::Unit;

/// How far an earlier or later start is looked for, and in what steps [min].
const LOOK: (f64, f64) = (1440.0, 15.0);

pub(super) fn conflicts(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    table: &Timetable<'_>,
    hours: &Hours,
) -> Vec<Conflict> {
    let all = [
        gels_first(bench, job),
        pot_too_old(bench, job, table),
        damp_again(bench, job, table),
        never_hard(job),
        out_of_hours(table, hours),
        at_night(table, hours),
        too_late(bench, table, hours),
        begun_after_the_end(bench, table),
    ];
    all.into_iter().flatten().collect()
}

/// The resin gels before the part is full.
fn gels_first(bench: &Bench<'_>, job: &Job<'_>) -> Option<Conflict> {
    let (clock, time) = (job.clock?, job.fill_time?);
    let spare = Spread::from([&clock.gel, time], |[gel, time]| gel - time);
    let chance = spare.share(|x| x < 0.0);
    if chance < 0.1 {
        return None;
    }
    let mut ways = Vec::new();
    if !bench.plan.flow_mesh {
        ways.push("Lay a flow mesh on the stack.".to_owned());
    }
    ways.push("Move the feed nearer to the far edge, or feed along the middle: half the way takes a quarter of the time.".to_owned());
    ways.push("Take a slower hardener.".to_owned());
    ways.push(
        "Fill a strip of this stack first and type how far it ran: that narrows the range most."
            .to_owned(),
    );
    Some(Conflict {
        key: "gels_first",
        step: "fill".into(),
        sentence: if chance >= 0.5 {
            "The resin likely gels before it reaches the far edge.".into()
        } else {
            "The resin may gel before it reaches the far edge.".into()
        },
        ways,
    })
}

/// A pot is past its time before it is empty.
fn pot_too_old(bench: &Bench<'_>, job: &Job<'_>, table: &Timetable<'_>) -> Option<Conflict> {
    let mixed = job.mixed?;
    let (first, _) = table.find("mix_1")?;
    let into = table.find("fill").or_else(|| table.find("wet"))?.0;
    let draw = if into.key == "fill" {
        Draw::Fill
    } else {
        Draw::Hands
    };
    let count = mixed.count.clamp(1, 1000);
    let stands = Spread::of([&into.takes, &first.takes], |[busy, mixing]| {
        let (busy, mixing) = (busy.max(1e-6), mixing.max(0.0));
        let begins = mixing_starts(draw, busy, count, mixing)?;
        let ages = begins.iter().enumerate().map(|(i, begin)| {
            // It ages from the middle of its stirring.
            let empty = used_up_at(draw, busy, (i + 1) as f64, f64::from(count))?;
            Ok(empty - begin - 0.5 * mixing)
        });
        ages.reduce(|a, b| Ok(f64::max(a?, b?))).unwrap_or(Ok(0.0))
    })
    .ok()?;
    let spare = Spread::from([&mixed.use_within, &stands], |[use_by, stands]| {
        use_by / 60.0 - stands
    });
    if spare.share(|x| x < 0.0) < 0.5 {
        return None;
    }
    let desk = &bench.desk;
    let said = |minutes: &Spread| desk.say(Unit::Minute, minutes);
    let mut ways = vec![
        "Mix smaller pots, each when the one before is nearly empty: type the largest pot you want to mix.".to_owned(),
        "Stand the pot in a tray or in cold water, so that it stays cool for longer.".to_owned(),
        "Take a slower hardener.".to_owned(),
    ];
    if into.key == "fill" && !bench.plan.flow_mesh {
        ways.insert(
            0,
            "Lay a flow mesh, so that the fill is over sooner.".to_owned(),
        );
    }
    Some(Conflict {
        key: "pot_too_old",
        step: format!("mix_{}", mixed.count.min(12)),
        sentence: format!(
            "A pot lasts about {} before it is used up, and should be used within {}.",
            said(&stands),
            said(&mixed.use_within.times(1.0 / 60.0)),
        ),
        ways,
    })
}

/// Dried cloth lies out too long before the bag closes over it.
fn damp_again(bench: &mut Bench<'_>, job: &Job<'_>, table: &Timetable<'_>) -> Option<Conflict> {
    let dried = job.dried?;
    let (_, dry) = table.find("dry")?;
    let closed = table.find("pump").or_else(|| table.find("wet"))?.1;
    let out = Spread::from([&closed.begins, &dry.ends], |[closed, dry]| {
        (closed - dry).max(0.0)
    });
    let bare = keeps(bench, dried, false).ok()?;
    let spare = Spread::from([&bare, &out], |[keeps, out]| keeps / 60.0 - out);
    if spare.share(|x| x < 0.0) < 0.5 {
        return None;
    }
    let under_film = keeps(bench, dried, true).ok()?;
    let desk = &bench.desk;
    let said = |minutes: &Spread| desk.say(Unit::Minute, minutes);
    let mut ways = vec![
        "Keep what is dried in a closed bag, and lay it straight from there.".to_owned(),
        format!(
            "Lay film over the stack as soon as it lies, before mesh and lines: under film it keeps for about {}.",
            desk.say(Unit::Hour, &under_film.times(1.0 / 3600.0)),
        ),
    ];
    if bench.bagged() && table.find("pump").is_some() {
        ways.push("Dry it under the bag instead, pump running: type how long it may stay under full vacuum.".to_owned());
    }
    Some(Conflict {
        key: "damp_again",
        step: "lay".into(),
        sentence: format!(
            "From the oven to a closed bag the dried cloth lies out for about {}, and on the mould it is too wet again after {}.",
            said(&out),
            said(&bare.times(1.0 / 60.0)),
        ),
        ways,
    })
}

/// It does not get hard where it lies.
fn never_hard(job: &Job<'_>) -> Option<Conflict> {
    (job.clock?.demould.likely() >= 0.99 * LONGEST).then(|| Conflict {
        key: "never_hard",
        step: "demould".into(),
        sentence: "At these temperatures the part does not get hard enough to leave its mould."
            .into(),
        ways: vec![
            "Warm it while it sets: type the temperature under a lamp, a blanket or in the oven."
                .into(),
            "Take a faster hardener.".into(),
        ],
    })
}

/// Hands or eyes are needed when the shop is closed.
fn out_of_hours(table: &Timetable<'_>, hours: &Hours) -> Option<Conflict> {
    let start = table.start?;
    let (step, row) = table.steps.iter().zip(&table.rows).find(|(step, row)| {
        step.needs != Needs::Nobody
            && !step.can_wait
            && row.begun.is_none()
            && !hours.hold(start.after(row.begins.likely()), step.takes.likely())
    })?;
    let begins = start.after(row.begins.likely());
    let ends = start.after(row.end[1]);
    let mut ways = Vec::new();
    if table.rows.iter().all(|row| row.begun.is_none())
        && let Some(other) = another_start(table, start, hours)
    {
        ways.push(format!("Begin on {} instead.", other.spoken()));
    }
    if let Some((_, pump)) = table.find("test")
        && matches!(step.key.as_str(), "fill" | "clamp") | step.key.starts_with("mix")
    {
        let opens = start.after(pump.end[1]);
        let opens = opens.after(hours.wait(opens, hours.to - hours.from));
        ways.push(format!(
            "Stop when the bag is tight, leave the pump on overnight, which dries the cloth as well (common practice, no source), and begin to mix on {}.",
            opens.spoken()
        ));
    }
    ways.push("Open earlier or close later on that day: type the hours.".to_owned());
    Some(Conflict {
        key: "out_of_hours",
        step: step.key.clone(),
        sentence: format!(
            "\"{}\" likely runs from {} to {}, when the workshop is closed.",
            step.name,
            begins.spoken(),
            if ends.midnight() == begins.midnight() {
                ends.clock()
            } else {
                ends.spoken()
            },
        ),
        ways,
    })
}

/// The nearest start with which everything that cannot wait lies within the hours; later ones before earlier ones.
fn another_start(table: &Timetable<'_>, start: Moment, hours: &Hours) -> Option<Moment> {
    let tries = 1..=(LOOK.0 / LOOK.1) as i32;
    let round = start.after(-(start.hour() * 60.0).rem_euclid(LOOK.1));
    tries
        .flat_map(|k| [f64::from(k) * LOOK.1, f64::from(-k) * LOOK.1])
        .map(|shift| round.after(shift))
        .find(|&other| within_hours(table, other, hours))
}

/// The part may leave its mould while nobody is there.
fn at_night(table: &Timetable<'_>, hours: &Hours) -> Option<Conflict> {
    let start = table.start?;
    let (_, row) = table.find("demould").filter(|(_, row)| row.put_off)?;
    let ready = table
        .find("post")
        .filter(|(step, _)| !step.can_wait)
        .or_else(|| table.find("cure"))?
        .1
        .end[1];
    let ready_at = start.after(ready);
    let lifted = start.after(row.begins.likely());
    let earlier = row.begins.likely() - ready;
    let mut ways = vec![format!(
        "Leave it on the mould until {}: it only gets harder.",
        lifted.spoken()
    )];
    if table.rows.iter().all(|row| row.begun.is_none()) {
        // So much later, and it is ready when the shop opens.
        let later = start.after(earlier);
        if within_hours(table, later, hours) {
            ways.push(format!(
                "Begin on {}, and it is ready when the workshop opens.",
                later.spoken()
            ));
        }
    }
    Some(Conflict {
        key: "at_night",
        step: "demould".into(),
        sentence: format!(
            "The part may likely leave its mould on {}, when the workshop is closed.",
            ready_at.spoken()
        ),
        ways,
    })
}

/// Nine of ten jobs would not be off the mould in time.
fn too_late(bench: &Bench<'_>, table: &Timetable<'_>, hours: &Hours) -> Option<Conflict> {
    let out_by = bench.plan.deep.out_by?;
    let start = table.start?;
    let (_, row) = table.find("demould")?;
    let late = start.after(row.end[2]).minutes_since(out_by);
    if late <= 0.0 {
        return None;
    }
    let likely = start.after(row.end[1]);
    let mut ways = Vec::new();
    if table.rows.iter().all(|row| row.begun.is_none()) {
        let free = Timetable::of(&bench.desk, table.steps, None, &[], hours);
        if let Some(begin) = latest_start(&free, out_by, hours) {
            ways.push(format!("Begin by {}.", begin.spoken()));
        }
    }
    ways.push(
        "Warm the part while it sets, or take a faster hardener where the fill allows it."
            .to_owned(),
    );
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

/// The job begins after the moment at which the part must be off.
fn begun_after_the_end(bench: &Bench<'_>, table: &Timetable<'_>) -> Option<Conflict> {
    let (out_by, start) = (bench.plan.deep.out_by?, table.start?);
    (start >= out_by).then(|| Conflict {
        key: "ends_before_it_begins",
        step: "cut".into(),
        sentence: "The job begins after the moment at which the part must be off its mould.".into(),
        ways: vec!["Change one of the two.".into()],
    })
}
