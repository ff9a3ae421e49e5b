//! What trimming says: the grits, the sentence and the notes.

use super::edge::easy_pace;
use super::speeds::Marking;
use super::{STAGE, Speeds};
use crate::law::{LawError, grit};
use crate::plan::fields::{HAND_FEED, TOOL_RPM};
use crate::sheet::{GritStep, Spread, Weight};
use crate::shelf::{Action, Tool};
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::dust::Dust;
use crate::stage::resin_clock::ResinClock;
use crate::units::Unit;

/// So far below what four weeks bring, it is half cured [K].
const HALF_CURED: f64 = 8.0;

/// Grit after a toothed cutter, which leaves no grit of its own.
pub(super) const FIRST_GRIT: u32 = 80;
/// Flax degrades from just above this temperature [°C].
const SCORCH: f64 = 160.0;
/// From this on, the heat of a way of working is worth telling; from the second on, it spoils the edge.
const WARMER: f64 = 1.3;
const MUCH_WARMER: f64 = 2.0;

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
    feed: Option<&Spread>,
    oversize: &Spread,
    grits: &[GritStep],
) -> String {
    let desk = &bench.desk;
    let sanding: Vec<&str> = grits.iter().map(|step| step.name.as_str()).collect();
    let sanding = sanding.join(", ");
    let leave = format!(
        "Leave {} outside the net line.",
        desk.say(Unit::Millimetre, oversize)
    );
    let where_to_look = if tool.action == Action::Router {
        "on its shank, its packet or its maker's sheet"
    } else {
        "on the tool in your hand"
    };
    match (speeds.marking, &speeds.set, &speeds.most) {
        (Marking::Missing, _, _) => format!(
            "{leave} Do not run this tool: no speed is marked on it, and nobody can say what it stands. Take one that is marked."
        ),
        (Marking::Wanted, Some(set), _) => format!(
            "{leave} Read the speed marked {where_to_look} and type it: that is the limit, and nothing here knows it. About {} suits, if the marking allows it. Then sand with {sanding}.",
            desk.say(Unit::Rpm, set),
        ),
        (Marking::Known, Some(set), Some(most)) => {
            let pace = feed.map_or_else(String::new, |feed| {
                let pace = desk.say(Unit::MillimetrePerSecond, &feed.times(1000.0));
                format!(" at {pace} or more")
            });
            format!(
                "Run it near {}, never above {}, and keep moving{pace}. Then sand with {sanding}.",
                desk.say(Unit::Rpm, set),
                desk.say(Unit::Rpm, most),
            )
        }
        _ => format!(
            "Use the {}, keep it moving, and sand with {sanding}.",
            lower(&tool.entry.name)
        ),
    }
}

/// The name as it stands within a sentence; a first letter beyond ASCII stays, since the tables of those weigh ten kilobytes.
pub(super) fn lower(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        format!("{}{}", first.to_ascii_lowercase(), letters.as_str())
    })
}

pub(super) fn notes(
    bench: &mut Bench<'_>,
    tool: &Tool,
    speeds: &Speeds,
    heat: Option<&Spread>,
    feed: Option<&(Spread, Spread)>,
    clock: Option<&ResinClock>,
    natural: bool,
) {
    if tool.action.is_turning_abrasive() {
        bench.caution(
            STAGE,
            "A wheel that is cracked, too fast or unmarked can burst: ring it or look it over, keep the guard on, stand aside, and obey the speed marked on it and on the machine.",
        );
    } else if tool.action == Action::Router {
        bench.caution(
            STAGE,
            "A bit that is chipped, loose or too fast can break and fly: obey its own marking, clamp the part, and keep the guard on.",
        );
    }
    let dust = Dust::of(bench.plan, bench.shelf);
    bench.caution(STAGE, dust.at_trimming());
    limits(bench, speeds);
    pace(bench, speeds, heat, feed);
    if !bench.plan.sharp {
        bench.advice(
            STAGE,
            "Change the blunt tool: tests on carbon laminates found a sharp burr cool and a worn one above the resin's limit.",
        );
    }
    let resin = clock.map(|clock| {
        let tg = bench.desk.say(Unit::Celsius, &clock.tg.map(|t| t - ZERO_C));
        format!("this resin smears and clogs from about {tg}")
    });
    let scorch = bench.desk.say_plain(Unit::Celsius, SCORCH);
    let limit = match (natural, resin) {
        (true, Some(resin)) => Some(format!(
            "Flax begins to scorch just above {scorch}, and {resin}"
        )),
        (true, None) => Some(format!("Flax begins to scorch just above {scorch}")),
        (false, resin) => resin.map(|resin| format!("At the edge {resin}")),
    };
    if natural {
        bench.desk.cite(&["flax_heat_2013"]);
    }
    if let Some(limit) = limit {
        bench.advice(
            STAGE,
            format!(
                "{limit}. High speed, slow travel, deep passes and blunt tools burn the edge: take coarse teeth or grit, pass lightly, and lift the tool when it smells (common practice, no source)."
            ),
        );
    }
    if let Some(clock) = clock {
        let young = clock.tg_four_weeks.likely() - clock.tg.likely() > HALF_CURED;
        let said = if young {
            format!(
                "With a glass transition of about {} it is only half cured when you trim it: cut what must be cut, with suction and gloves, and leave sanding until it is harder. Its dust carries free hardener, which sensitises.",
                bench.desk.say(Unit::Celsius, &clock.tg.map(|t| t - ZERO_C)),
            )
        } else {
            "Cured in the shop alone it is never quite through: its dust still carries some free hardener, which sensitises. Suction, mask and gloves.".to_owned()
        };
        bench.caution(STAGE, said);
    }
}

/// What is wrong with speed and marking.
fn limits(bench: &mut Bench<'_>, speeds: &Speeds) {
    if speeds.marking == Marking::Missing {
        bench.problem(STAGE, "Unmarked means no: put this tool away.");
    }
    if speeds.over_class {
        bench.problem(
            STAGE,
            "What you typed as marked is more than such tools are made for: read the marking again. Until then this counts with the limit of the class.",
        );
    }
    if let (Some(used), Some(most), true) = (
        &speeds.used,
        &speeds.most,
        bench.plan.given(&TOOL_RPM).is_some(),
    ) && used.likely() > most.likely() * 1.0001
    {
        bench.problem(
            STAGE,
            format!(
                "The machine turns faster than this tool may: {} set, {} allowed. Slow it down or take a smaller tool.",
                bench.desk.say(Unit::Rpm, used),
                bench.desk.say(Unit::Rpm, most),
            ),
        );
    }
}

/// Speed and pace that heat the edge.
fn pace(
    bench: &mut Bench<'_>,
    speeds: &Speeds,
    heat: Option<&Spread>,
    feed: Option<&(Spread, Spread)>,
) {
    let hand = bench.plan.given(&HAND_FEED);
    if let (Some((feed, chip)), Some(hand)) = (feed, hand)
        && hand.likely < 1000.0 * feed.likely()
    {
        bench.problem(
            STAGE,
            format!(
                "At this pace each edge takes {} and rubs rather than cuts: move at {} or more, or slow the tool.",
                bench.desk.say(Unit::Millimetre, &chip.times(1000.0)),
                bench.desk.say(Unit::MillimetrePerSecond, &feed.times(1000.0)),
            ),
        );
    }
    let Some(heat) = heat.filter(|heat| heat.likely() > WARMER) else {
        return;
    };
    let mut ways: Vec<&str> = Vec::new();
    if speeds.surface.likely() > 1.02 * speeds.suits.likely() {
        ways.push("slow the tool");
    }
    if hand.is_some_and(|hand| hand.likely < 980.0 * easy_pace()) {
        ways.push("move faster");
    }
    if !bench.plan.sharp {
        ways.push("take a sharp tool");
    }
    if ways.is_empty() {
        return;
    }
    let weight = if heat.likely() > MUCH_WARMER {
        Weight::Problem
    } else {
        Weight::Advice
    };
    let sentence = format!(
        "Used so, it warms the edge about {} times as much as a sharp tool at {} and {}: {}.",
        bench.desk.say(Unit::One, heat),
        bench.desk.say_plain(
            Unit::MetrePerSecond,
            (10.0 * speeds.suits.likely()).round() / 10.0
        ),
        bench
            .desk
            .say_plain(Unit::MillimetrePerSecond, 1000.0 * easy_pace()),
        ways.join(", or "),
    );
    bench.desk.note(STAGE, weight, sentence);
}
