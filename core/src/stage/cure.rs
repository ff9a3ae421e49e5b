//! When it has gelled, when it may come off the mould, and what heat it stands.

mod after_fill;
mod charts;
mod deepen;
mod hard;
mod own_heat;
mod post;
mod programme;
mod service;
mod slab;
mod solved;
mod told;

pub(crate) use deepen::{Settling, deepen};
pub(crate) use own_heat::own_heat;

use super::bench::{Bench, ZERO_C};
use super::resin_clock::ResinClock;
use crate::plan::fields::{CURE_HOURS, POST};
use crate::sheet::{Basis, CureSheet, Head, Law, StageName};
use crate::units::Unit;

const STAGE: StageName = StageName::Cure;
const HOUR: f64 = 3600.0;
/// Below this a thin laminate may stay soft for days [K].
const COLD: f64 = 288.15;

/// Writes the sheet of the cure.
pub(crate) fn work(bench: &mut Bench<'_>, clock: &ResinClock) -> CureSheet {
    notes(bench, clock);
    let hours_given = bench
        .plan
        .given(&CURE_HOURS)
        .map_or(24.0, |range| range.likely);
    let desk = &mut bench.desk;
    let hours = |x: &crate::sheet::Spread| x.times(1.0 / HOUR);
    let celsius = |x: &crate::sheet::Spread| x.map(|t| t - ZERO_C);
    let answer = format!(
        "Leave it on the mould for about {}; it gels after about {}.",
        desk.say(Unit::Hour, &hours(&clock.demould)),
        desk.say(Unit::Hour, &hours(&clock.cure_gel)),
    );
    let tg_label = if (hours_given - 24.0).abs() < 1e-9 {
        "Glass transition after a day"
    } else {
        "Glass transition when you trim it"
    };
    CureSheet {
        head: Head::new(STAGE, answer, "demould_h"),
        gel_h: desk.estimate("Gel", Unit::Hour, &hours(&clock.cure_gel), &GEL),
        demould_h: desk.estimate(
            "Hard enough to leave the mould",
            Unit::Hour,
            &hours(&clock.demould),
            &DEMOULD,
        ),
        tg_c: desk.estimate(tg_label, Unit::Celsius, &celsius(&clock.tg), &TG),
        tg_four_weeks_c: desk.estimate(
            "Glass transition after four weeks in this room",
            Unit::Celsius,
            &celsius(&clock.tg_four_weeks),
            &TG,
        ),
    }
}

fn notes(bench: &mut Bench<'_>, clock: &ResinClock) {
    bench.caution(
        STAGE,
        "Let leftovers harden in thin layers outdoors. Spread rags soaked in resin or solvent out to dry there, then keep them in a closed metal bin: a heap can catch fire. What is not cured is hazardous waste by your local rules, and never goes down a drain.",
    );
    let demould_days = clock.demould.likely() / (24.0 * HOUR);
    if clock.room.likely() < COLD {
        bench.problem(
            STAGE,
            format!(
                "This room is cold for epoxy: below {} a thin laminate may stay soft for days. Warm the part, and do not trust the clock here.",
                bench.desk.say_plain(Unit::Celsius, COLD - ZERO_C),
            ),
        );
    } else if demould_days > 3.0 {
        bench.problem(
            STAGE,
            "At this temperature the resin stays soft for more than three days. Warm the part or choose a faster hardener.",
        );
    }
    bench.advice(
        STAGE,
        "Keep a thin film of the same resin beside the part, not the leftover in the pot: when the film snaps cleanly instead of bending, the part is hard (common practice, no source).",
    );
    // A part that stays in its mould through the oven is not what the trade means.
    if bench.plan.post_on_mould && bench.plan.given(&POST).is_some() {
        return;
    }
    // They agree where the likely time is a day, give or take a quarter.
    let days = clock.demould.likely() / (24.0 * HOUR);
    let and = if days > 1.25 {
        "by these figures that is likely too short here"
    } else if days >= 0.75 {
        "these figures agree"
    } else {
        "by these figures it is likely hard sooner, but leave it the day unless a film beside it snaps"
    };
    bench.advice(
        STAGE,
        format!(
            "The trade leaves room-temperature epoxy 24 hours on the mould (common practice, no source); {and}."
        ),
    );
}

static GEL: Law = Law {
    says: "dα/dt = s (k₁ + k₂ αᵐ)(1 - α)ⁿ f_d, until α = 0.58; s from the data sheet's pot life",
    basis: Basis::Published,
    sources: &["blade_epoxy", "judgement_kinetics_spread"],
};
static DEMOULD: Law = Law {
    says: "until α is over 0.6 and Tg is ten kelvin above the part's temperature; after gel as slow as a thin layer of this resin, or of others with its pot life",
    basis: Basis::Rule,
    sources: &[
        "blade_epoxy",
        "judgement_demould",
        "memory_film_over_pot",
        "practice_demould",
    ],
};
static TG: Law = Law {
    says: "Tg = Tg₀ + (Tg∞ - Tg₀) λ α / (1 - (1 - λ) α), with cure slowing as Tg passes the room",
    basis: Basis::Published,
    sources: &["blade_epoxy", "laminating_epoxy_tg"],
};
