//! What trimming says: the grits, the sentence and the notes.

use super::{SCORCH, STAGE, Speeds};
use crate::law::{LawError, grit};
use crate::plan::fields::{HAND_FEED, MARKED_RPM, MARKED_SPEED, TOOL_RPM};
use crate::sheet::{GritStep, Spread, Weight};
use crate::shelf::Tool;
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::resin_clock::ResinClock;
use crate::units::Unit;

/// Grit after a toothed cutter, which leaves no grit of its own.
pub(super) const FIRST_GRIT: u32 = 80;

/// The grits from the first cut to the finish.
pub(super) fn grits(bench: &mut Bench<'_>, tool: &Tool) -> Result<Vec<GritStep>, LawError> {
    let number = |name: &str| {
        let digits: String = name.chars().filter(char::is_ascii_digit).collect();
        digits.parse::<u32>().ok()
    };
    let finish = number(bench.plan.finish_grit).unwrap_or(240);
    let known = |n: u32| grit::grit(grit::Series::P, n).is_ok();
    let first = tool
        .grit
        .as_deref()
        .and_then(number)
        .filter(|&n| known(n))
        .unwrap_or(FIRST_GRIT);
    let steps = if first >= finish {
        vec![finish]
    } else {
        grit::sequence(first, finish)?
    };
    steps
        .into_iter()
        .map(|n| {
            let found = grit::grit(grit::Series::P, n)?;
            Ok(GritStep {
                name: format!("P{n}"),
                micrometre: (found.grain * 1e7).round() / 10.0,
            })
        })
        .collect()
}

pub(super) fn answer(
    bench: &Bench<'_>,
    tool: &Tool,
    speeds: &Speeds,
    feed: &Spread,
    grits: &[GritStep],
) -> String {
    let desk = &bench.desk;
    let sanding: Vec<&str> = grits.iter().map(|step| step.name.as_str()).collect();
    let sanding = sanding.join(", ");
    if tool.action.turns() && speeds.most.likely() <= 0.0 {
        return "Do not run this tool: it has no marked speed, and no one can say what it stands. Take one that is marked.".into();
    }
    if !tool.action.turns() {
        return format!(
            "Use the {}, keep it moving, and sand with {sanding}.",
            lower(&tool.entry.name)
        );
    }
    let pace = desk.say(Unit::MillimetrePerSecond, &feed.times(1000.0));
    format!(
        "Run it near {}, never above {}, and keep moving at {pace} or more. Then sand with {sanding}.",
        desk.say(Unit::Rpm, &speeds.set),
        desk.say(Unit::Rpm, &speeds.most),
    )
}

pub(super) fn lower(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}

pub(super) fn notes(
    bench: &mut Bench<'_>,
    tool: &Tool,
    speeds: &Speeds,
    edge: &Spread,
    clock: Option<&ResinClock>,
    natural: bool,
) {
    if tool.action.is_turning_abrasive() {
        bench.caution(
            STAGE,
            "A wheel that is cracked, too fast or unmarked can burst: ring it or look it over, keep the guard on, stand aside, and obey the speed marked on it and on the machine.",
        );
    }
    bench.caution(
        STAGE,
        "Dust of flax, glass and half-cured resin harms lungs, and flax dust can explode: extract at the tool, wear a P3 mask, goggles and ear defenders, and never mix sparks with the dust.",
    );
    let over = bench.plan.given(&TOOL_RPM).is_some()
        && speeds.used.likely() > speeds.most.likely() * 1.0001;
    if tool.action.turns() && speeds.most.likely() <= 0.0 {
        bench.problem(STAGE, "Unmarked means no: put this tool away.");
    } else if over && tool.action.turns() {
        bench.problem(
            STAGE,
            format!(
                "The machine turns faster than this tool may: {} set, {} allowed. Slow it down or take a smaller tool.",
                bench.desk.say(Unit::Rpm, &speeds.used),
                bench.desk.say(Unit::Rpm, &speeds.most),
            ),
        );
    }
    if tool.action.turns()
        && speeds.most.likely() > 0.0
        && bench.plan.given(&MARKED_RPM).is_none()
        && bench.plan.given(&MARKED_SPEED).is_none()
    {
        bench.advice(
            STAGE,
            "Read the speed marked on the tool in your hand and type it in; until then this counts with what such tools usually carry.",
        );
    }
    let shown = bench.desk.say(Unit::Celsius, &edge.map(|t| t - ZERO_C));
    let tg = clock.map(|clock| clock.tg.likely());
    // Nobody said how fast the hand moves: then this is worth knowing, not a fault of the plan.
    let weight = if bench.plan.given(&HAND_FEED).is_some() {
        Weight::Problem
    } else {
        Weight::Advice
    };
    if natural && edge.likely() > SCORCH {
        bench.desk.note(
            STAGE,
            weight,
            format!(
                "The fresh edge may reach {shown}, and flax browns from about 160\u{a0}°C. Ease the pressure, move faster, or slow the tool; a sharp or coarser one runs cooler."
            ),
        );
    } else if let Some(tg) = tg
        && edge.likely() > tg
    {
        bench.desk.note(
            STAGE,
            weight,
            format!(
                "The fresh edge may reach {shown}, above what the resin stands now: it smears and clogs. Ease the pressure, move faster, or wait until it has cured further."
            ),
        );
    }
    if !bench.plan.sharp {
        bench.advice(
            STAGE,
            "Change the blunt tool: tests on carbon laminates found a sharp burr cool and a worn one above the resin's limit.",
        );
    }
    if natural {
        bench.advice(
            STAGE,
            "Take coarser teeth or grit than for glass, press lightly, and keep moving: flax scorches much as plywood does (common practice, no source).",
        );
    }
    bench.advice(
        STAGE,
        "Sand only what is fully cured; before that the dust carries unreacted hardener.",
    );
}
