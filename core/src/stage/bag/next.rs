//! What to do after a drop test, first things first.

use super::MBAR;
use super::gauge::about;
use super::tell::Facts;
use crate::law::drop_test::{Course, Verdict};
use crate::law::leak;
use crate::plan::Route;
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Readings that make a good test.
const READINGS: f64 = 12.0;

pub(super) fn next(bench: &Bench<'_>, facts: &Facts<'_>, passes: Option<bool>) -> Vec<String> {
    let tested = facts.tested;
    let judged = &tested.judged;
    let mut out: Vec<String> = Vec::new();
    if let Some((warmer, made)) = tested.drift {
        let way = if warmer > 0.0 { "warmer" } else { "colder" };
        out.push(format!(
            "Repeat the test at an even temperature: the mould got {} {way}, which alone can move the gauge by {}.",
            about(bench, Unit::Kelvin, warmer.abs()),
            about(bench, Unit::Millibar, made / MBAR)
        ));
    }
    if !tested.is_told() {
        out.push(
            "Pump until the gauge stands still, shut the pump off at the bag, and read the gauge at 0, 1, 2, 3, 5, 7, 10 and 15 minutes.".into(),
        );
        return out;
    }
    if judged.falling {
        out.push(
            "Keep sun, heaters and hands off the bag, see that the valve at the pump is shut, and repeat the test.".into(),
        );
        return out;
    }
    if matches!(judged.verdict, Verdict::TooFew | Verdict::Open) {
        out.extend(read_on(bench, facts));
    }
    match tested.course() {
        Some(Course::Leak) => {
            if judged.verdict != Verdict::Leak {
                out.push(WAIT.into());
            }
            search(bench, facts, passes, &mut out);
        }
        Some(Course::Both) => {
            search(bench, facts, passes, &mut out);
            water(bench, &mut out);
        }
        Some(Course::Vapour) => water(bench, &mut out),
        None if judged.verdict == Verdict::Tight => out.push(
            "Leave the pump running, and look at the gauge again just before resin goes in: a clamp or a fold may have moved by then.".into(),
        ),
        None => out.push("Read the gauge to its smallest step, and note the minute with each reading.".into()),
    }
    out.extend(facts.refused.clone());
    out
}

/// Go on with the same test.
fn read_on(bench: &Bench<'_>, facts: &Facts<'_>) -> Option<String> {
    let tested = facts.tested;
    let until = tested.worth_reading_until()?;
    let left = until - tested.started() - tested.span();
    let every = (left / 60.0 / 6.0).round();
    let every = if every > 1.0 {
        bench.desk.say_plain(Unit::Minute, every)
    } else {
        "minute".into()
    };
    Some(format!(
        "Leave the pump shut off and read on, about every {every}, until minute {:.0}.",
        until / 60.0
    ))
}

/// Where to look for a leak, in the order that finds it soonest, and what a hole would do here.
fn search(bench: &Bench<'_>, facts: &Facts<'_>, passes: Option<bool>, out: &mut Vec<String>) {
    if passes == Some(true) {
        out.push("It passes as it is. If you want it tighter, go on as follows.".into());
    }
    out.extend([
        "See whether pump, pot and hoses hold alone. Then clamp each line in turn and read again at the far end: the side that still rises holds the leak, and each clamp halves the search (common practice, no source).".to_owned(),
        "Quiet the room and listen through a tube at your ear: along the tape, then pleats, tube entries and corners, and the film over sharp spots. Press each place hard: where the gauge slows, there it is.".to_owned(),
        "Look for a fibre under the tape. When all of that holds, it may be the mould: bag all round it. Fresh eyes find what hours did not.".to_owned(),
    ]);
    out.extend(holes(bench, facts));
    out.push(format!("Then repeat the test from the same pressure, {READINGS:.0} readings over 20 minutes, and once more just before resin goes in."));
}

/// How fast the gauge of this bag would rise through holes of three sizes.
fn holes(bench: &Bench<'_>, facts: &Facts<'_>) -> Option<String> {
    let (outside, warmth) = (
        facts.job.air.outside.likely(),
        facts.tested.temperature.likely(),
    );
    let volume = facts.sheet.free_volume_l.likely * 1e-3;
    let mut said = Vec::new();
    for micrometre in HOLES {
        let let_in = leak::hole_throughput(micrometre * 1e-6, outside, warmth).ok()?;
        let hole = bench.desk.say_plain(Unit::Millimetre, micrometre / 1000.0);
        let rise = let_in / volume * 60.0 / MBAR;
        // No gauge shows less, whatever the bag.
        if rise < SLOWEST_TOLD {
            continue;
        }
        let rise = about(bench, Unit::MillibarPerMinute, rise);
        said.push(format!("{hole} by {rise}"));
    }
    let last = said.pop()?;
    let all = if said.is_empty() {
        last
    } else {
        format!("{}, and of {last}", said.join(", of "))
    };
    Some(format!(
        "For its size: in this bag one round hole makes the gauge rise, of {all}."
    ))
}

/// Slowest rise that is worth telling [mbar/min].
const SLOWEST_TOLD: f64 = 0.05;

/// Holes to compare with [um].
const HOLES: [f64; 3] = [50.0, 100.0, 300.0];

fn water(bench: &Bench<'_>, out: &mut Vec<String>) {
    if bench.plan.route != Route::Infusion {
        out.push(WAIT.into());
        return;
    }
    out.push(
        "Warm the mould under vacuum, or pump for longer; then repeat the test at today's temperature. A leak keeps its slope, and a rise of water gets smaller.".into(),
    );
    out.push(WAIT.into());
}

/// The test that water has hardly a part in.
const WAIT: &str = "To make sure, leave the pump shut off until the rise has slowed, and read on for as long again: water comes to rest, a leak goes on at the same pace.";
