//! Resin: the pots, the fill or the wetting out, and the bag over wet cloth.

use super::super::Job;
use super::super::hands::Hands;
use super::before::bagged;
use super::{Begins, List, Needs, after};
use crate::law::LawError;
use crate::law::batches::{Draw, mixing_starts};
use crate::plan::fields::{DEGAS, FEED_OPEN, STIR};
use crate::sheet::{Spread, StageName};
use crate::stage::bench::Bench;

/// Most pots that get a step of their own; more are mixed in turn without one.
pub(in crate::stage::day) const MOST_POTS: u32 = 12;

/// Infusion: pots, fill, clamps, and all that follows.
pub(super) fn infuse(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    hands: &Hands,
    list: &mut List,
    ready: Vec<usize>,
) -> Result<(), LawError> {
    let (Some(clock), Some(mixed), Some(time)) = (job.clock, job.mixed, job.fill_time) else {
        return Ok(());
    };
    // Beyond gel nothing flows.
    let fill_min = Spread::from([time, &clock.gel], |[fill, gel]| fill.min(gel) / 60.0);
    let into = (
        "fill",
        "Open the feed and fill",
        StageName::Fill,
        Needs::Watch,
    );
    let (fill, pot) = mixes(bench, mixed.count, list, ready, &fill_min, Draw::Fill, into)?;
    list.0[fill].told = Some(time.times(1.0 / 60.0));
    list.says(
        fill,
        "resin has reached the far edge, clear and without bubbles",
        "Nitrile gloves and goggles, and air the room; wipe drips at once.",
    );
    let open = bench.take(&FEED_OPEN);
    let clamp = list.add(
        "clamp",
        "Clamp the vent, leave the feed open, then clamp it",
        StageName::Cure,
        Needs::Watch,
        Begins::After(vec![fill, pot]),
        open.clone(),
    );
    list.says(clamp, "both are clamped, feed last", "");
    // As it is told after the fill, where it is.
    let gel = match &clock.after_clamp {
        Some(left) => left.times(1.0 / 60.0),
        None => Spread::from([&clock.cure_gel, &open], |[gel, open]| {
            (gel / 60.0 - open).max(0.0)
        }),
    };
    after::cure(bench, job, hands, list, (clamp, fill), (gel, &open));
    Ok(())
}

/// Wet layup: pots, wetting out, bag, and all that follows.
pub(super) fn wet_out(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    hands: &Hands,
    list: &mut List,
    ready: Vec<usize>,
) -> Result<(), LawError> {
    let (Some(clock), Some(mixed)) = (job.clock, job.mixed) else {
        return Ok(());
    };
    let work = mixed.busy.times(1.0 / 60.0);
    let into = (
        "wet",
        "Wet out and lay ply by ply",
        StageName::Stack,
        Needs::Hands,
    );
    let (wet, pot) = mixes(bench, mixed.count, list, ready, &work, Draw::Hands, into)?;
    list.says(
        wet,
        "no ply shows dry or milky",
        "Nitrile gloves, long sleeves and goggles, and air the room.",
    );
    let mut last = wet;
    let mut gone = Spread::exact(0.0);
    if bench.bagged() {
        last = bagged(bench, job, hands, list, vec![wet, pot], false);
        gone = Spread::sum(
            list.0[pot.max(wet) + 1..=last]
                .iter()
                .map(|step| &step.takes),
        );
    }
    // All of it has gelled when the last resin has, some of which was laid on at the end.
    let gel = Spread::from([&clock.cure_gel, &gone], |[gel, gone]| {
        (gel / 60.0 - gone).max(0.0)
    });
    after::cure(bench, job, hands, list, (last, wet), (gel, &gone));
    Ok(())
}

/// The pots, one pair of hands, each ready when the ones before it are used up; and what they go into.
///
/// The first begins when resin may come; feed or hands follow as soon as the others allow. Gives the step that they
/// go into, and the last of them.
fn mixes(
    bench: &mut Bench<'_>,
    count: u32,
    list: &mut List,
    ready: Vec<usize>,
    busy: &Spread,
    draw: Draw,
    into: (&str, &str, StageName, Needs),
) -> Result<(usize, usize), LawError> {
    let takes = mixing(bench);
    let degassed = bench.take(&DEGAS).likely() > 0.0;
    let count = count.clamp(1, 1000);
    let first = list.add(
        "mix_1",
        match (count == 1, degassed) {
            (true, false) => "Weigh and stir the pot",
            (false, false) => "Weigh and stir the first pot",
            (true, true) => "Weigh, stir and degas the pot",
            (false, true) => "Weigh, stir and degas the first pot",
        },
        StageName::Mix,
        Needs::Hands,
        Begins::After(ready),
        takes.clone(),
    );
    list.says(
        first,
        "no streaks at the wall of the pot",
        if degassed { DEGASSED } else { POT_CARE },
    );
    // When each begins, from the moment at which feed or hands begin: on the slow side of the hands, so that the feed
    // does not starve.
    let slow = bench.desk.range(&takes).high.max(0.0);
    let begins = |pot: u32| {
        Spread::of([busy], |[busy]| {
            let begins = mixing_starts(draw, busy.max(1e-6), count, slow)?;
            Ok(begins.get(pot as usize).copied().unwrap_or(0.0))
        })
    };
    let opens = begins(0)?.times(-1.0);
    let (key, name, stage, needs) = into;
    let step = list.add(
        key,
        name,
        stage,
        needs,
        Begins::From(first, opens, vec![first]),
        busy.clone(),
    );
    let mut last = first;
    for pot in 1..count.min(MOST_POTS) {
        let begins = Begins::From(step, begins(pot)?, vec![last]);
        last = list.add(
            &format!("mix_{}", pot + 1),
            if degassed {
                format!("Weigh, stir and degas pot {}", pot + 1)
            } else {
                format!("Weigh and stir pot {}", pot + 1)
            },
            StageName::Mix,
            Needs::Hands,
            begins,
            takes.clone(),
        );
        list.says(
            last,
            "it stands ready before the one before it is empty",
            "Gloves and goggles; a pot that warms goes outdoors.",
        );
    }
    Ok((step, last))
}

const POT_CARE: &str = "Nitrile gloves, goggles and air. A pot that warms goes into a wide tray and outdoors; never seal it.";
const DEGASSED: &str = "Nitrile gloves, goggles and air; degas only in a chamber made for vacuum. A pot that warms goes into a wide tray and outdoors; never seal it.";

/// Time to weigh, stir and degas one pot [min].
fn mixing(bench: &mut Bench<'_>) -> Spread {
    Spread::sum(&[bench.take(&STIR), bench.take(&DEGAS)])
}
