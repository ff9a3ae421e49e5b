//! Writes the day's sheet: the steps with their times, and the answer.

use super::STAGE;
use super::steps::{Needs, Step};
use super::timetable::{Row, Timetable};
use crate::plan::Moment;
use crate::sheet::{Basis, Conflict, DaySheet, DayStep, Head, Law, Spread};
use crate::solve::sort::sort_by;
use crate::stage::bench::Bench;
use crate::units::Unit;

pub(super) fn sheet(
    bench: &mut Bench<'_>,
    table: &Timetable<'_>,
    conflicts: Vec<Conflict>,
    latest: Option<Moment>,
) -> DaySheet {
    let off = table
        .find("demould")
        .map(|(_, row)| row.ends.times(1.0 / 60.0));
    let ends = table.rows.iter().fold(Spread::exact(0.0), |last, row| {
        Spread::from([&last, &row.ends], |[a, b]| a.max(b))
    });
    let in_all = ends.times(1.0 / 60.0);
    let busy = table.steps.iter().filter(|step| step.needs == Needs::Hands);
    let work = busy.map(|step| step.work.as_ref().unwrap_or(&step.takes));
    let hands = Spread::sum(work).times(1.0 / 60.0);
    let answer = answer(
        bench,
        table,
        off.as_ref().unwrap_or(&in_all),
        &hands,
        off.is_some(),
    );
    let replanned = table.rows.iter().any(|row| row.begun.is_some());
    let mut order: Vec<usize> = (0..table.steps.len()).collect();
    sort_by(&mut order, |&a, &b| {
        table.rows[a]
            .begins
            .likely()
            .total_cmp(&table.rows[b].begins.likely())
    });
    let set = !settings(table).is_empty();
    let steps = order
        .into_iter()
        .map(|i| step(bench, table, &table.steps[i], &table.rows[i], set))
        .collect();
    let start_from = start_from(bench, table, latest, replanned);
    let desk = &mut bench.desk;
    DaySheet {
        head: Head::new(
            STAGE,
            answer,
            if off.is_some() {
                "until_off_h"
            } else {
                "in_all_h"
            },
        ),
        until_off_h: off.map(|off| {
            desk.estimate(
                "From the first cut to the part off its mould",
                Unit::Hour,
                &off,
                &CLOCK,
            )
        }),
        in_all_h: desk.estimate(
            "From the first step to the last",
            Unit::Hour,
            &in_all,
            &CLOCK,
        ),
        hands_h: desk.estimate("Of which hands are at work", Unit::Hour, &hands, &HANDS),
        start: table.start.map(Moment::text),
        start_from,
        latest_start: latest.map(Moment::text),
        steps,
        conflicts,
        replanned,
    }
}

fn answer(
    bench: &Bench<'_>,
    table: &Timetable<'_>,
    until: &Spread,
    hands: &Spread,
    off: bool,
) -> String {
    let desk = &bench.desk;
    // Minutes say nothing of what takes a day.
    let said = |hours: &Spread| {
        if hours.likely() >= 10.0 {
            desk.say_plain(Unit::Hour, hours.likely().round())
        } else {
            desk.say(Unit::Hour, hours)
        }
    };
    let (long, busy) = (said(until), said(hands));
    let what = if off {
        "from the first cut to the part off its mould"
    } else {
        "from the first step to the last"
    };
    let mut answer =
        format!("About {long} {what}, with about {busy} of work for the hands in all.");
    let row = table.find("demould").map(|(_, row)| row);
    if let (Some(start), Some(row)) = (table.start, row) {
        answer += &format!(
            " Begin on {}, and the part is likely off its mould on {}.",
            start.spoken(),
            start.after(row.end[1]).spoken(),
        );
    } else if table.start.is_none() {
        answer += " Type when you begin, or when it must be out of the mould, and every step gets its time.";
    }
    answer
}

/// How the start was found, in words.
fn start_from(
    bench: &Bench<'_>,
    table: &Timetable<'_>,
    latest: Option<Moment>,
    replanned: bool,
) -> String {
    let plan = bench.plan;
    let kept = plan.start.is_some() && plan.start == table.start;
    let mut said = match (kept.then_some(()), table.start) {
        (Some(()), _) => "The job begins when you typed.".to_owned(),
        (None, Some(_)) if replanned => {
            "The start is reckoned back from the first step that you noted.".to_owned()
        }
        (None, Some(start)) => format!(
            "Reckoned back from when it must be out of the mould: begin by {}, and nine jobs of ten are in time.",
            start.spoken()
        ),
        (None, None) => "No start is typed: times count from the first cut.".to_owned(),
    };
    if replanned {
        said += " What you noted as begun stands as noted, and all that follows is reckoned from there.";
    }
    if let (Some(_), Some(latest)) = (plan.start, latest) {
        said += &format!(
            " Begin by {}, and nine jobs of ten are out of the mould in time.",
            latest.spoken()
        );
    }
    said += " Times are those of the clock on the wall.";
    for (before, after) in settings(table) {
        said += &format!(
            " On {} it is set {} to {}, and they follow it.",
            before.spoken(),
            if after > before { "on" } else { "back" },
            after.clock()
        );
    }
    said
}

/// When the clock on the wall is set between the first step and the last: what it shows just before, and just after.
fn settings(table: &Timetable<'_>) -> Vec<(Moment, Moment)> {
    let minutes = |of: fn(&Row) -> f64| table.rows.iter().map(of);
    let first = minutes(|row| row.begins.likely()).fold(0.0, f64::min);
    let last = minutes(|row| row.end[1]).fold(0.0, f64::max);
    let ends = table.at(first).zip(table.at(last));
    ends.map_or_else(Vec::new, |(from, to)| from.settings_until(to))
}

fn step(bench: &Bench<'_>, table: &Timetable<'_>, step: &Step, row: &Row, set: bool) -> DayStep {
    let desk = &bench.desk;
    let (begins, ends) = (row.begins.likely(), row.end[1]);
    let (at, until) = (table.at(begins), table.at(ends));
    // Long waits read better in hours.
    let cell = |minutes: &Spread| {
        if minutes.likely() >= 180.0 {
            desk.cell(Unit::Hour, &minutes.times(1.0 / 60.0))
        } else {
            desk.cell(Unit::Minute, minutes)
        }
    };
    let mut name = step.name.clone();
    if row.put_off {
        name += ", when the workshop opens";
    }
    let text = |moment: Option<Moment>| moment.map_or_else(String::new, Moment::text);
    let relative = |minutes: f64| {
        // A cast of a rounded number of minutes.
        let all = minutes.round().max(0.0) as u64;
        format!("+{}:{:02}", all / 60, all % 60)
    };
    let spoken = |moment: Option<Moment>, minutes: f64| {
        moment.map_or_else(|| relative(minutes), Moment::spoken)
    };
    let until_text = match at.zip(until) {
        Some((from, to)) if from.midnight() == to.midnight() => to.clock(),
        _ => spoken(until, ends),
    };
    DayStep {
        key: step.key.clone(),
        name,
        stage: step.stage,
        hands: step.needs == Needs::Hands,
        watch: step.needs == Needs::Watch,
        pairs: if step.needs == Needs::Watch {
            step.pairs.max(1)
        } else {
            step.pairs
        },
        begins: cell(&row.begins),
        takes: cell(step.told.as_ref().unwrap_or(&step.takes)),
        begins_min: begins,
        ends_min: ends,
        ends_between_min: [row.end[0], row.end[2]],
        at: text(at),
        at_text: spoken(at, begins),
        until: text(until),
        until_text,
        in_utc: at
            .zip(until)
            .filter(|_| set)
            .and_then(|(at, until)| Some([at.utc_stamp()?, until.utc_stamp()?])),
        began: text(row.begun),
        ends_when: step.ends_when.to_owned(),
        care: step.care.to_owned(),
    }
}

static CLOCK: Law = Law {
    says: "the steps one after the other, the oven beside the release coats, each with its range; put off to the shop's hours where a step can wait",
    basis: Basis::Rule,
    sources: &["judgement_hands", "practice_release"],
};

static HANDS: Law = Law {
    says: "cutting, release, laying, bag, mixing, demoulding and trimming, added up",
    basis: Basis::Rule,
    sources: &["judgement_hands"],
};
