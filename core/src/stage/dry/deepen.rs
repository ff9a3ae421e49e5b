//! Drying beyond its figures: the curve, the ways side by side, and the maker's own weighings.

use super::heat::Oven;
use super::vacuum::stated_hours;
use super::{Damp, Dried, STAGE, curve, isotherm, under_the_bag, voids, ways, weighed};
use crate::law::LawError;
use crate::plan::fields::{OVEN, TARGET_REGAIN};
use crate::read::Problem;
use crate::sheet::{Basis, DrySheet, Law, Spread};
use crate::stage::air::Air;
use crate::stage::bench::{Bench, ZERO_C, beyond};
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// Above this the shortest time counts, because heat costs strength [C].
const HOT: f64 = 90.0;

/// Fills in the curve, the ways and the weighings.
///
/// # Errors
/// A problem where these values lie beyond what can be computed.
pub(crate) fn deepen(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    dried: &Dried,
    sheet: &mut DrySheet,
) -> Result<(), Vec<Problem>> {
    fill_in(bench, air, stacked, dried, sheet).map_err(|why| beyond("dry", &why))
}

fn fill_in(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    dried: &Dried,
    sheet: &mut DrySheet,
) -> Result<(), LawError> {
    let target = bench.take(&TARGET_REGAIN).times(0.01);
    let Dried {
        damp,
        oven,
        oven_time: time,
        bagging,
        ..
    } = dried;
    let bagging = bagging.as_ref();
    sheet.isotherm = Some(isotherm::draw(bench, damp, &target)?);
    let (ways, after) = ways::side_by_side(bench, stacked, damp, &target, oven, time, bagging)?;
    sheet.ways = ways;
    if damp.start.likely() > target.likely() && bench.plan.weighings.is_empty() {
        trade(bench, oven, time, &target, after.as_ref());
    }
    sheet.after_vacuum_pct = after.map(|after| {
        bench.desk.estimate(
            "Water left after the time under vacuum",
            Unit::Percent,
            &after.times(100.0),
            &AFTER_VACUUM,
        )
    });
    sheet.waits = ways::waits(bench, damp, &target)?;
    if bench.bagged() {
        let limit = voids::limit(bench, air, damp, &target)?;
        sheet.largest_regain_pct = Some(bench.desk.estimate(
            "Wettest that will not boil in the resin",
            Unit::Percent,
            &limit.largest.times(100.0),
            &voids::LARGEST,
        ));
        sheet.vapour_at_hottest_mbar = Some(bench.desk.estimate(
            "Vapour over the cloth at its target, at the hottest before gel",
            Unit::Millibar,
            &limit.vapour.times(0.01),
            &voids::VAPOUR,
        ));
    }
    sheet.published = voids::published(bench);
    let narrow = weighed::narrow(bench, damp, oven, &target)?;
    let course = match &narrow {
        Some(narrow) => narrow.course(),
        None => curve::computed(bench, damp, oven)?,
    };
    let chart = curve::draw(bench, damp, oven, &target, &course, narrow.as_ref());
    sheet.curve = Some(chart);
    if let Some(narrow) = narrow {
        weighed::tell(bench, &narrow, &target, sheet);
    }
    cautions(bench);
    if bench.plan.closed {
        shut_in(bench, damp, oven, &target);
    }
    Ok(())
}

/// What a closed oven asks for.
fn shut_in(bench: &mut Bench<'_>, damp: &Damp, oven: &Oven, target: &Spread) {
    // Air over the cloth against the cloth itself.
    if oven.closed.likely() < damp.height.likely() {
        bench.problem(
            STAGE,
            "This much cloth does not fit in that oven: dry it in batches, and say how many plies lie on top of each other.",
        );
    } else if oven.floor.likely() > target.likely() {
        bench.problem(
            STAGE,
            "Shut tight, the oven fills with the cloth's own water and drying stops. Leave the door or a vent open a finger's width.",
        );
    }
}

/// Holds what the trade calls dry against what is computed here.
fn trade(
    bench: &mut Bench<'_>,
    oven: &Oven,
    time: &Spread,
    target: &Spread,
    after: Option<&Spread>,
) {
    let desk = &bench.desk;
    let takes = desk.range(time).map(|seconds| seconds / 60.0);
    let mut sentence = String::new();
    let at_sixty = (oven.temperature.likely() - ZERO_C - 60.0).abs() < 5.0;
    if at_sixty && oven.floor.likely() < target.likely() {
        let two_hours = 120.0;
        let held = desk.say(Unit::Minute, &time.times(1.0 / 60.0));
        sentence = if two_hours >= takes.high {
            format!(
                "The trade's two hours are on the safe side for this stack, which takes about {held}."
            )
        } else if two_hours >= takes.low {
            format!(
                "The trade's two hours are about right for this stack, which takes about {held}."
            )
        } else {
            format!(
                "The trade's two hours are too short for this stack, which takes about {held}: lay it out thinner, open on both sides, or with a fan."
            )
        };
    }
    let five_hours = (stated_hours(bench) - 5.0).abs() < 0.01;
    if let Some(after) = after.filter(|_| five_hours) {
        let left = bench.desk.say(Unit::Percent, &after.times(100.0));
        if !sentence.is_empty() {
            sentence.push(' ');
        }
        sentence += &if after.likely() > 1.15 * target.likely() {
            format!(
                "Its five hours under full vacuum leave about {left} in this layout: that rule needs a warm mould, a short way to the line, or both."
            )
        } else {
            format!(
                "Its five hours under full vacuum leave about {left} in this layout, as the rule says."
            )
        };
    }
    if !sentence.is_empty() {
        bench.advice(STAGE, sentence);
    }
}

fn cautions(bench: &mut Bench<'_>) {
    bench.desk.cite(&["baley_2012", "practice_oven"]);
    bench.advice(
        STAGE,
        "Take it out as soon as it is dry enough: long heat costs flax strength, and dried cloth drapes worse and springs back.",
    );
    if bench.take(&OVEN).likely() > HOT {
        bench.advice(
            STAGE,
            format!(
                "Above {} keep the time short, and lower the heat if the cloth browns or smells: 60 to 80\u{a0}°C does the same work more gently.",
                bench.desk.say_plain(Unit::Celsius, HOT)
            ),
        );
    }
    bench.advice(
        STAGE,
        if under_the_bag(bench) {
            "Lay it up while it is still warm, as a stack, and keep film over it: single plies are damp again within minutes."
        } else {
            "Keep the dried plies in one pile under film, and take each from it only to wet it: a single ply is damp again within minutes."
        },
    );
}

static AFTER_VACUUM: Law = Law {
    says: "slowest of pump, vapour's way to the vent, and heat, followed for the time stated",
    basis: Basis::Rule,
    sources: &["judgement_vapour_path"],
};
