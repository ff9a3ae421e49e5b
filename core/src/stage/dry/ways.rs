//! Oven and bag side by side, and what a change to either would bring.

use super::heat::{Lying, Oven, faces, out_of_the_oven};
use super::vacuum::{Bagging, LONGEST_BAG, stated_hours};
use super::{Damp, under_the_bag};
use crate::law::LawError;
use crate::law::bag_drying::Slowest;
use crate::plan::fields::BLEED;
use crate::sheet::{Spread, Wait, Way};
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// Mould that counts as warm [K].
const WARM_MOULD: f64 = 40.0 + ZERO_C;
/// Oven that counts as hot enough [K].
const HOT_OVEN: f64 = 80.0 + ZERO_C;
/// A trickle of dry air [Pa m3/s]: half a litre a minute at 1000 mbar.
const TRICKLE: f64 = 1e5 * 0.5e-3 / 60.0;

/// Every way worth telling, the plan's own first of its kind. `time` is what the plan's oven takes [s].
pub(super) fn side_by_side(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    damp: &Damp,
    target: &Spread,
    oven: &Oven,
    time: &Spread,
    bagging: Option<&Bagging>,
) -> Result<(Vec<Way>, Option<Spread>), LawError> {
    let mut ways = vec![in_oven(bench, "oven", oven, time, target, true)];
    if oven.temperature.likely() < HOT_OVEN - 2.0 {
        let hot = oven.clone().but(damp, |other| {
            other.temperature = Spread::exact(HOT_OVEN);
        })?;
        let time = hot.time(damp, target)?;
        ways.push(in_oven(bench, "hot_oven", &hot, &time, target, false));
    }
    let Some(bagging) = bagging else {
        return Ok((ways, None));
    };
    let hours = stated_hours(bench);
    let (time, after) = bagging.track(damp, stacked, target, Some(hours))?;
    let stated = Stated {
        target: target.likely(),
        hours,
    };
    ways.push(under_bag(
        bench,
        "bag",
        bagging,
        damp,
        stacked,
        (&time, &after),
        &stated,
        true,
    )?);
    let mut others: Vec<(&'static str, Bagging)> =
        vec![("more_lines", bagging.but(damp, |other| other.lines += 1)?)];
    if bagging.temperature.likely() < WARM_MOULD - 2.0 {
        let warm = bagging.but(damp, |other| other.temperature = Spread::exact(WARM_MOULD))?;
        others.push(("warm_mould", warm));
    }
    if bench.plan.given(&BLEED).is_none() {
        let swept = bagging.but(damp, |other| other.bleed = Spread::exact(TRICKLE))?;
        others.push(("trickle", swept));
    }
    for (key, other) in &others {
        let (time, after) = other.track(damp, stacked, target, Some(hours))?;
        ways.push(under_bag(
            bench,
            key,
            other,
            damp,
            stacked,
            (&time, &after),
            &stated,
            false,
        )?);
    }
    Ok((ways, Some(after)))
}

/// What every bag is asked.
struct Stated {
    target: f64,
    hours: f64,
}

fn in_oven(
    bench: &Bench<'_>,
    key: &'static str,
    oven: &Oven,
    time: &Spread,
    target: &Spread,
    this: bool,
) -> Way {
    let desk = &bench.desk;
    let at = desk.say_plain(Unit::Celsius, (oven.temperature.likely() - ZERO_C).round());
    let gets_there = oven.floor.likely() < target.likely();
    let name = match (this, bench.plan.fan) {
        (true, true) => format!("Oven with a fan at {at}"),
        (true, false) => format!("Oven at {at}"),
        (false, _) => format!("The same oven at {at}"),
    };
    let held_back = if !gets_there && bench.plan.closed {
        "The cloth's own water stays in the oven: leave a gap for it to go."
    } else if !gets_there {
        "The damp of the room's air, warmed up, sets the floor: go hotter, or dry the room."
    } else if bench.plan.fan {
        "Vapour must get out of the stack: lay it open on both sides, in thinner stacks."
    } else {
        "Still air carries heat and vapour slowly: a fan, or thinner stacks, shortens it."
    };
    Way {
        key,
        name,
        this,
        time: gets_there.then(|| desk.cell(Unit::Minute, &time.times(1.0 / 60.0))),
        reaches: desk.cell(Unit::Percent, &oven.floor.times(100.0)),
        after: "however long".into(),
        held_back: held_back.into(),
    }
}

#[allow(
    clippy::too_many_arguments,
    reason = "one row of a table, written in one place"
)]
fn under_bag(
    bench: &Bench<'_>,
    key: &'static str,
    bagging: &Bagging,
    damp: &Damp,
    stacked: &Stacked,
    (time, after): (&Spread, &Spread),
    stated: &Stated,
    this: bool,
) -> Result<Way, LawError> {
    let desk = &bench.desk;
    let at = desk.say_plain(
        Unit::Celsius,
        (bagging.temperature.likely() - ZERO_C).round(),
    );
    let lines = bagging.lines;
    let name = match key {
        "bag" if lines == 1 => format!("Vacuum bag at {at}, one line"),
        "bag" => format!("Vacuum bag at {at}, {lines} lines"),
        "more_lines" if lines == 2 => "The same with a line at each end".into(),
        "more_lines" => format!("The same with {lines} lines, at both ends and between"),
        "warm_mould" => format!("The same on a mould of {at}"),
        _ => "The same with a trickle of dry air, half a litre a minute".into(),
    };
    let middle = 0.5 * (damp.start.likely() + stated.target).min(2.0 * damp.start.likely());
    let held_back = match bagging.slowest(damp, stacked, middle)? {
        Slowest::Pump => "The pump carries no more vapour at so low a pressure.",
        Slowest::Path => {
            "Vapour's way through the bag to the line: shorter ways count squared, and a mesh or a spiral opens them."
        }
        Slowest::Heat => {
            "Heat for the water to boil off: the cloth cools itself, so warm the mould."
        }
        _ => "Nothing more leaves: warm the mould.",
    };
    let gets_there = bagging.floor.likely() < stated.target && time.likely() < 0.99 * LONGEST_BAG;
    Ok(Way {
        key,
        name,
        this,
        time: gets_there.then(|| desk.cell(Unit::Hour, &time.times(1.0 / 3600.0))),
        reaches: desk.cell(Unit::Percent, &after.times(100.0)),
        after: format!("after {}", desk.say_plain(Unit::Hour, stated.hours)),
        held_back: held_back.into(),
    })
}

/// How long dried cloth may wait, by how it lies.
pub(super) fn waits(
    bench: &mut Bench<'_>,
    damp: &Damp,
    target: &Spread,
) -> Result<Vec<Wait>, LawError> {
    let stack = |faces, covered| Lying {
        single: false,
        faces,
        covered,
    };
    let ply = |faces| Lying {
        single: true,
        faces,
        covered: false,
    };
    let mut ways = vec![("one ply, hung up", ply(2)), ("one ply, laid down", ply(1))];
    if damp.together > 1.0 {
        ways.push(("the stack, air on both sides", stack(2, false)));
        ways.push(("the stack, laid down", stack(1, false)));
    }
    ways.push(("the stack, laid down under film", stack(1, true)));
    ways.into_iter()
        .map(|(name, lying)| {
            let time = out_of_the_oven(bench, damp, target, lying)?;
            let time = bench.desk.cell(Unit::Minute, &time.times(1.0 / 60.0));
            Ok(Wait { name, time })
        })
        .collect()
}

/// How long the dried stack may lie on the mould, bare or under film [s].
pub(super) fn on_the_mould(
    bench: &mut Bench<'_>,
    damp: &Damp,
    target: &Spread,
    covered: bool,
) -> Result<Spread, LawError> {
    let lying = Lying {
        single: false,
        faces: 1,
        covered,
    };
    out_of_the_oven(bench, damp, target, lying)
}

/// How the plan's stack lies when it comes out of the oven.
pub(super) fn as_dried(bench: &Bench<'_>) -> Lying {
    Lying {
        single: false,
        // Plies that wait on the bench to be wetted lie on it.
        faces: if under_the_bag(bench) {
            faces(bench)
        } else {
            1
        },
        covered: false,
    }
}
