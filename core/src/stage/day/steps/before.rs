//! Up to the resin: cut, release, oven, stack, bag, pump and test.

use super::super::Job;
use super::super::conflicts::PUMP_ALONE;
use super::super::hands::Hands;
use super::{Begins, List, Needs};
use crate::plan::Route;
use crate::plan::fields::{
    BAG_TEMPERATURE, ROOM_TEMPERATURE, TARGET_REGAIN, TEST_MINUTES, VACUUM_HOURS,
};
use crate::sheet::{Spread, StageName};
use crate::stage::bench::Bench;

/// A mould so much warmer than the shop is heated [K].
const HEATED: f64 = 8.0;

/// Cloth and mould; the steps after which resin may come.
pub(super) fn before_resin(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    hands: &Hands,
    list: &mut List,
) -> Vec<usize> {
    let none = || Begins::After(Vec::new());
    let cut = list.add(
        "cut",
        "Cut the cloth",
        StageName::Stack,
        Needs::Hands,
        none(),
        hands.cut.clone(),
    );
    list.says(
        cut,
        "all pieces lie numbered",
        "A mask, a fresh blade, and the other hand out of its way.",
    );
    let mut ready = vec![cut];
    let release = coats(hands, list, vec![cut]);
    ready.extend(release);
    let target = bench.take(&TARGET_REGAIN).likely() / 100.0;
    // Only a dry stack can be dried under its bag.
    let dry_stack = bench.plan.route == Route::Infusion;
    let under_vacuum = dry_stack && bench.plan.given(&VACUUM_HOURS).is_some();
    if let Some(dried) = job.dried.filter(|dried| {
        !under_vacuum && dried.damp.start.likely() > target && dried.oven_time.likely() > 60.0
    }) {
        let takes = dried.oven_time.times(1.0 / 60.0);
        // Out of the oven when the mould is ready, so that it does not lie about.
        let waits = Spread::from([&hands.release, &takes], |[release, oven]| {
            (release - oven).max(0.0)
        });
        let begins = match release {
            Some(coats) => Begins::From(coats, waits, vec![cut]),
            None => Begins::After(vec![cut]),
        };
        let oven = list.add(
            "dry",
            "Dry the cloth in the oven",
            StageName::Dry,
            Needs::Watch,
            begins,
            takes,
        );
        list.says(
            oven,
            "the cloth weighs what the drying stage says, or loses nothing more between two weighings",
            "Stay near an oven full of dry fibre: it can catch fire.",
        );
        ready.push(oven);
    }
    if !dry_stack {
        return ready;
    }
    let lay = list.add(
        "lay",
        "Lay the stack",
        StageName::Stack,
        Needs::Hands,
        Begins::After(ready),
        hands.lay.clone(),
    );
    list.says(lay, "every ply lies as the stack says", "");
    vec![bagged(bench, job, hands, list, vec![lay], under_vacuum)]
}

/// The coats of release, if there are any.
pub(super) fn coats(hands: &Hands, list: &mut List, after: Vec<usize>) -> Option<usize> {
    if hands.coats < 1.0 {
        return None;
    }
    let name = if hands.coats > 1.5 {
        format!("Put {:.0} coats of release on the mould", hands.coats)
    } else {
        "Put a coat of release on the mould".to_owned()
    };
    let coats = list.add(
        "release",
        name,
        StageName::Stack,
        Needs::Hands,
        Begins::After(after),
        hands.release.clone(),
    );
    list.says(
        coats,
        "tape pulls off it without holding; the release's own sheet rules",
        "Nitrile gloves, and air the room: release carries solvent. Its rags dry spread out, outdoors.",
    );
    list.0[coats].work = Some(hands.coating.clone());
    Some(coats)
}

/// Bag, pump and test; the step after which resin may come.
pub(super) fn bagged(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    hands: &Hands,
    list: &mut List,
    before: Vec<usize>,
    under_vacuum: bool,
) -> usize {
    let bag = list.add(
        "bag",
        match bench.plan.route {
            Route::Prepreg => "Breather and bag",
            Route::BaggedWet => "Peel ply, bleeder and bag",
            _ => "Mesh, lines and bag",
        },
        StageName::Bag,
        Needs::Hands,
        Begins::After(before),
        hands.bag.clone(),
    );
    let care = match bench.plan.route {
        Route::BaggedWet => "Nitrile gloves, long sleeves and goggles: the resin is wet.",
        Route::Prepreg => "Nitrile gloves.",
        _ => "",
    };
    list.says(bag, "the tape sits all round, corners pleated", care);
    let Some(pumped) = job.pumped else {
        return bag;
    };
    let takes = Spread::sum([&pumped.time.times(1.0 / 60.0), &hands.hunt]);
    let pump = list.add(
        "pump",
        if bench.plan.route == Route::BaggedWet {
            "Pump the bag down slowly, press the tape, listen for leaks"
        } else {
            "Pump the bag down, press the tape, listen for leaks"
        },
        StageName::Bag,
        Needs::Hands,
        Begins::After(vec![bag]),
        takes,
    );
    list.says(
        pump,
        "the gauge falls no further",
        "A glass or thin pot under vacuum can implode: use one made for it, behind a guard.",
    );
    let minutes = bench.take(&TEST_MINUTES);
    let test = list.add(
        "test",
        "Drop test: pump shut off, read the gauge",
        StageName::Bag,
        Needs::Watch,
        Begins::After(vec![pump]),
        minutes,
    );
    list.says(test, "the bag stage tells leak from water", "");
    if !under_vacuum {
        return test;
    }
    let hours = bench.take(&VACUUM_HOURS).times(60.0);
    let vacuum = list.add(
        "vacuum",
        "Dry under the bag, pump running",
        StageName::Dry,
        Needs::Nobody,
        Begins::After(vec![test]),
        hours.clone(),
    );
    list.says(
        vacuum,
        "the gauge stands as low as over dry cloth",
        PUMP_ALONE,
    );
    // A mould that is warmer than the shop has something under it that heats.
    let shop = bench.take(&ROOM_TEMPERATURE).likely();
    let mould = bench.plan.given(&BAG_TEMPERATURE);
    if mould.is_some_and(|mould| mould.likely > shop + HEATED) {
        list.0[vacuum].heated = Some(hours);
    }
    vacuum
}
