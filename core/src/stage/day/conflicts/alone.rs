//! What runs while nobody is there: heat without eyes, and steps with too few hands.

use super::super::pairs;
use super::super::steps::Step;
use super::super::timetable::Row;
use super::Planned;
use super::wall::{another_start, said, stretched};
use crate::plan::Moment;
use crate::plan::fields::{HANDS, POST_HOURS};
use crate::sheet::{Conflict, Spread};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// A way out leaves so much over [min].
const SPARE: f64 = 6.0;

/// Something heats while nobody is there.
pub(super) fn heated(bench: &Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let start = day.table.start?;
    let hot = day.table.steps.iter().zip(&day.table.rows);
    let mut hot = hot.filter_map(|(step, row)| Some((step, row, step.heated.as_ref()?)));
    let (step, row, heat) = hot.find(|(_, row, heat)| {
        !row.over
            && !day
                .hours
                .hold(start.after(row.begins.likely()), heat.likely())
    })?;
    let begins = start.after(row.begins.likely());
    let ends = begins.after(heat.likely());
    let mut ways = Vec::new();
    if step.key == "warm"
        && let Some(other) = another_start(bench, day, start, |other| {
            let begins = other.after(row.begins.likely() - SPARE);
            day.hours.hold(begins, heat.likely() + 2.0 * SPARE)
        })
    {
        ways.push(format!("Begin on {} instead.", other.spoken()));
    }
    ways.extend(moved(bench, day, step, row, heat, start));
    let span = std::iter::once((row.begins.likely(), heat.likely()));
    if let Some(open) = stretched(day.hours, start, span)
        && open.hold(begins, heat.likely())
    {
        ways.push(format!(
            "Have somebody there {} on that day, and type these hours.",
            said(&open)
        ));
    }
    ways.push(
        "Leave the heat off until somebody stays near it: a timer or a cut-out is nobody.".into(),
    );
    Some(Conflict {
        key: match &*step.key {
            "post" => "post_alone",
            "warm" => "warm_alone",
            _ => "heat_alone",
        },
        step: step.key.clone(),
        sentence: format!(
            "\"{}\" heats from {} to {}, when nobody is there to see it smoke.",
            step.name,
            begins.spoken(),
            ends.spoken(),
        ),
        ways,
    })
}

/// The same heat when somebody is there: later, and shorter where a day in the shop is too short for it.
fn moved(
    bench: &Bench<'_>,
    day: &Planned<'_>,
    step: &Step,
    row: &Row,
    heat: &Spread,
    start: Moment,
) -> Option<String> {
    let hours = |minutes: f64| {
        bench
            .desk
            .say_plain(Unit::Hour, (minutes / 6.0).floor() / 10.0)
    };
    let room = day.hours.long() - 2.0 * SPARE;
    if row.begun.is_some() {
        return None;
    }
    match &*step.key {
        "warm" => {
            let (_, resin) = ["fill", "wet"].iter().find_map(|key| day.table.find(key))?;
            let takes = heat.likely().min(room);
            let begins = start.after(row.begins.likely());
            let waits = day.hours.wait(begins, takes + SPARE);
            let after = row.begins.likely() + waits - resin.begins.likely();
            // Up to a tenth of an hour, and never before the shop opens.
            let after = bench
                .desk
                .say_plain(Unit::Hour, (after / 6.0).ceil() / 10.0);
            let shorter = if takes < heat.likely() {
                format!(" and {} for how long it lasts", hours(takes))
            } else {
                String::new()
            };
            Some(format!(
                "Begin the warmth on {}, when somebody is there: type {after} after the fill{shorter}.",
                begins.after(waits).spoken()
            ))
        }
        "post" => {
            let held = bench.plan.given(&POST_HOURS).map_or_else(
                || POST_HOURS.usual.map_or(0.0, |usual| usual.range.likely),
                |held| held.likely,
            );
            let left = 60.0 * held - (heat.likely() - room);
            (heat.likely() > room && left >= 60.0).then(|| {
                format!(
                    "Hold the heat for {}, so that it is over before the workshop closes; two days of it add up.",
                    hours(left)
                )
            })
        }
        _ => None,
    }
}

/// A step takes more hands than there are.
pub(super) fn too_few(bench: &mut Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    // Nobody is counted who was not typed.
    let there = bench.plan.given(&HANDS)?.likely.round();
    let rows = day.table.steps.iter().zip(&day.table.rows);
    let mut short = rows.filter(|(step, row)| row.ahead() && f64::from(step.pairs) > there);
    let (step, _) = short.next()?;
    let more: Vec<String> = short
        .map(|(step, _)| format!("\"{}\"", step.name))
        .collect();
    let also = if more.is_empty() {
        String::new()
    } else {
        format!(" So does {}.", more.join(", and "))
    };
    let why = pairs::why(step).unwrap_or("one alone cannot hold it all");
    Some(Conflict {
        key: "too_few_hands",
        step: step.key.clone(),
        sentence: format!(
            "\"{}\" takes two pairs of hands: {why} (our judgement).{also}",
            step.name
        ),
        ways: vec!["Have a second pair of hands there for it, and type 2.".into()],
    })
}
