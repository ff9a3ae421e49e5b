//! After the resin is in: gel, cure, off the mould, post-cure and trimming.

use super::super::Job;
use super::super::hands::Hands;
use super::{Begins, List, Needs};
use crate::plan::fields::{
    CURE_HOURS, POST, POST_AFTER, POST_HOURS, POST_RAMP, ROOM_TEMPERATURE, WARM, WARM_AFTER,
    WARM_HOURS,
};
use crate::sheet::{Spread, StageName};
use crate::stage::bench::Bench;
use crate::stage::dust::Dust;

/// An oven that is switched off cools at least this fast [K/h].
const COOLS: f64 = 20.0;

/// Gel, cure, the mould, post-cure and trimming; with the step before gel and the one that brings the resin, and in
/// minutes how long gel takes after the one and how long that began after the other.
pub(super) fn cure(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    hands: &Hands,
    list: &mut List,
    (after, resin_in): (usize, usize),
    (gel, gone): (Spread, &Spread),
) {
    let Some(clock) = job.clock else {
        return;
    };
    // Hardness counts from the moment resin is in, and so much of that is gone when it gels.
    let off = Spread::from([&clock.demould, &gel, gone], |[off, gel, gone]| {
        (off / 60.0 - gel - gone).max(0.0)
    });
    let gels = list.add(
        "gel",
        if bench.bagged() {
            "Until it gels: look at gauge and bag now and then"
        } else {
            "Until it gels: look at it now and then"
        },
        StageName::Cure,
        Needs::Nobody,
        Begins::After(vec![after]),
        gel,
    );
    list.says(
        gels,
        "a drop of the same resin beside the part no longer draws a thread",
        "",
    );
    let sets = list.add(
        "cure",
        "Sets on the mould",
        StageName::Cure,
        Needs::Nobody,
        Begins::After(vec![gels]),
        off,
    );
    list.says(sets, "a thin film kept beside the part snaps cleanly", "");
    warmth(bench, list, resin_in);
    let post = post_cure(bench);
    let on_mould = bench.plan.post_on_mould;
    let mut before_off = vec![sets];
    if let (Some((from, takes, heated)), true) = (&post, on_mould) {
        let oven = list.add(
            "post",
            "Post-cure on the mould",
            StageName::Cure,
            Needs::Nobody,
            Begins::NotBefore(vec![gels], resin_in, from.clone()),
            takes.clone(),
        );
        list.says(
            oven,
            "it has cooled to the shop, still on the mould",
            OVEN_CARE,
        );
        list.0[oven].can_wait = true;
        list.0[oven].heated = Some(heated.clone());
        before_off.push(oven);
    }
    let demould = lift(bench, hands, list, before_off);
    let mut hard = vec![demould];
    if let (Some((from, takes, heated)), false) = (post, on_mould) {
        let oven = list.add(
            "post",
            "Post-cure in the oven",
            StageName::Cure,
            Needs::Nobody,
            Begins::NotBefore(vec![demould], resin_in, from),
            takes,
        );
        list.says(
            oven,
            "it has cooled to the shop, still supported",
            OVEN_CARE,
        );
        list.0[oven].can_wait = true;
        list.0[oven].heated = Some(heated);
        hard.push(oven);
    }
    let hours = bench.take(&CURE_HOURS).times(60.0);
    trim(bench, hands, list, Begins::NotBefore(hard, resin_in, hours));
}

/// Off the mould, and the edge: what cured in an oven may be trimmed once it is cold.
pub(super) fn off_and_trim(bench: &Bench<'_>, hands: &Hands, list: &mut List, cured: usize) {
    let demould = lift(bench, hands, list, vec![cured]);
    trim(bench, hands, list, Begins::After(vec![demould]));
}

fn lift(bench: &Bench<'_>, hands: &Hands, list: &mut List, after: Vec<usize>) -> usize {
    let demould = list.add(
        "demould",
        if bench.bagged() {
            "Strip the bag and lift the part"
        } else {
            "Lift the part"
        },
        StageName::Cure,
        Needs::Hands,
        Begins::After(after),
        hands.demould.clone(),
    );
    list.says(
        demould,
        "",
        "Gloves and goggles: cured edges are sharp and splinter.",
    );
    list.0[demould].can_wait = true;
    demould
}

fn trim(bench: &Bench<'_>, hands: &Hands, list: &mut List, begins: Begins) {
    let trim = list.add(
        "trim",
        "Trim and sand the edge",
        StageName::Trim,
        Needs::Hands,
        begins,
        hands.trim.clone(),
    );
    list.says(trim, "", Dust::of(bench.plan, bench.shelf).in_short());
    list.0[trim].can_wait = true;
}

const OVEN_CARE: &str =
    "Stay near the oven while it heats, and put nothing wet with solvent inside.";

/// Lamp, blanket or oven around the part while it sets, where the plan has one.
fn warmth(bench: &mut Bench<'_>, list: &mut List, resin_in: usize) {
    if bench.plan.given(&WARM).is_none() {
        return;
    }
    let begins = Begins::From(resin_in, bench.take(&WARM_AFTER).times(60.0), Vec::new());
    let takes = bench.take(&WARM_HOURS).times(60.0);
    let warm = list.add(
        "warm",
        "Keep the part warm",
        StageName::Cure,
        Needs::Nobody,
        begins,
        takes.clone(),
    );
    // It runs beside gel and setting, and nothing waits for it.
    list.says(
        warm,
        "the thermometer on the part has kept the warmth for that long",
        "Stay near it, and keep lamp and heater off film, tape and solvent.",
    );
    list.0[warm].heated = Some(takes);
}

/// Post-cure: not before, how long, and how long of it the oven heats, in minutes; none when none is asked for.
fn post_cure(bench: &mut Bench<'_>) -> Option<(Spread, Spread, Spread)> {
    bench.plan.given(&POST)?;
    let from = match bench.plan.given(&POST_AFTER) {
        Some(_) => bench.take(&POST_AFTER),
        None => bench.take(&CURE_HOURS),
    };
    let parts = [
        &bench.take(&POST),
        &bench.take(&ROOM_TEMPERATURE),
        &bench.take(&POST_RAMP),
        &bench.take(&POST_HOURS),
    ];
    let takes = Spread::from(parts, |[top, shop, ramp, hold]| {
        let rise = (top - shop).max(0.0);
        60.0 * (rise / ramp + hold + rise / ramp.max(COOLS))
    });
    let heats = Spread::from(parts, |[top, shop, ramp, hold]| {
        60.0 * ((top - shop).max(0.0) / ramp + hold)
    });
    Some((from.times(60.0), takes, heats))
}
