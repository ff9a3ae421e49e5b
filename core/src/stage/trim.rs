//! How to cut and sand the edge without scorching it, and without running a tool beyond its marking.

use super::bench::{Bench, ZERO_C};
use super::resin_clock::ResinClock;
use super::stack::Stacked;
use crate::law::{LawError, cut_heat, grit, speed};
use crate::plan::fields::{
    HAND_FEED, MARKED_RPM, MARKED_SPEED, ROOM_TEMPERATURE, TOOL_DIAMETER, TOOL_RPM,
};
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Basis, Grade, GritStep, Head, Law, Spread, StageName, TrimSheet, Weight};
use crate::shelf::{Action, Cited, Tool};
use crate::units::Unit;

const STAGE: StageName = StageName::Trim;
/// Flax degrades from just above this temperature [K].
const SCORCH: f64 = 160.0 + ZERO_C;
/// Grit after a toothed cutter, which leaves no grit of its own.
const FIRST_GRIT: u32 = 80;

/// Works the trimming out and writes its sheet.
pub(crate) fn work(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    clock: Option<&ResinClock>,
) -> Result<TrimSheet, Vec<Problem>> {
    trim(bench, stacked, clock).map_err(|why| super::bench::beyond("trim", &why))
}

/// Speeds of a tool that turns; all zero for one that does not.
struct Speeds {
    most: Spread,
    set: Spread,
    /// At the speed set, or at the one that suits [m/s].
    surface: Spread,
    /// Turns a minute that the feed is computed with.
    used: Spread,
}

fn trim(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    clock: Option<&ResinClock>,
) -> Result<TrimSheet, LawError> {
    let tool = &bench.plan.tool;
    let speeds = speeds(bench, tool)?;
    let kerf = property(
        bench,
        tool,
        "kerf_mm",
        "Width of the cut",
        Unit::Millimetre,
        &tool.kerf_mm,
    );
    let wander = property(
        bench,
        tool,
        "wander_mm",
        "How far a hand-held cut wanders",
        Unit::Millimetre,
        &tool.wander_mm,
    );
    let finish = bench.coefficient(
        "trim.finish_stock_mm",
        "What sanding takes off the edge, mm",
        Range::new(0.5, 0.75, 1.0),
        Grade::Practice,
        "practice_trim_margin",
    );
    let oversize = Spread::from([&kerf, &wander, &finish], |[kerf, wander, finish]| {
        kerf / 2.0 + wander + finish
    });
    let room = bench.take(&ROOM_TEMPERATURE).map(|c| c + ZERO_C);
    let hand = bench.take(&HAND_FEED).times(1e-3);
    let (edge, slowest) = heat(bench, tool, stacked, &room, &hand)?;
    let (feed, chip) = feeds(bench, tool, &speeds, &hand, slowest)?;
    let grits = grits(bench, tool)?;
    notes(bench, tool, &speeds, &edge, clock);
    let answer = answer(bench, tool, &speeds, &feed, &grits);
    let desk = &mut bench.desk;
    Ok(TrimSheet {
        head: Head {
            stage: STAGE,
            short: "Trim",
            question: "How to trim it without scorching?",
            answer,
            main: if tool.action.turns() {
                "max_rpm"
            } else {
                "oversize_mm"
            },
        },
        max_rpm: desk.estimate("Never faster than", Unit::Rpm, &speeds.most, &LIMIT),
        set_rpm: desk.estimate("Speed that suits", Unit::Rpm, &speeds.set, &SUITS),
        surface_speed_m_s: desk.estimate(
            "Surface speed",
            Unit::MetrePerSecond,
            &speeds.surface,
            &SURFACE,
        ),
        feed_mm_s: desk.estimate(
            "Move along the edge no slower than",
            Unit::MillimetrePerSecond,
            &feed.times(1000.0),
            &FEED,
        ),
        chip_load_mm: desk.estimate(
            "Advance per cutting edge",
            Unit::Millimetre,
            &chip.times(1000.0),
            &CHIP,
        ),
        edge_c: desk.estimate(
            "Fresh edge, at your pace",
            Unit::Celsius,
            &edge.map(|t| t - ZERO_C),
            &EDGE,
        ),
        kerf_mm: desk.estimate("Width of the cut", Unit::Millimetre, &kerf, &KERF),
        oversize_mm: desk.estimate(
            "Leave outside the net line",
            Unit::Millimetre,
            &oversize,
            &OVERSIZE,
        ),
        grits,
    })
}

fn property(
    bench: &mut Bench<'_>,
    tool: &Tool,
    name: &str,
    label: &str,
    unit: Unit,
    cited: &Cited,
) -> Spread {
    let holder = format!("tools.{}", tool.entry.key);
    bench.property(&holder, name, label, unit, &tool.entry, cited)
}

fn speeds(bench: &mut Bench<'_>, tool: &Tool) -> Result<Speeds, LawError> {
    let nothing = Spread::exact(0.0);
    if !tool.action.turns() {
        return Ok(Speeds {
            most: nothing.clone(),
            set: nothing.clone(),
            surface: property(
                bench,
                tool,
                "advised_m_s",
                "Speed that suits",
                Unit::MetrePerSecond,
                &tool.advised_m_s,
            ),
            used: nothing,
        });
    }
    let diameter = bench
        .plan
        .given(&TOOL_DIAMETER)
        .map_or(tool.diameter_mm, |range| range.likely);
    let diameter = diameter.clamp(0.5, 400.0) / 1000.0;
    let most = most_turns(bench, tool, diameter)?;
    let advised = property(
        bench,
        tool,
        "advised_m_s",
        "Surface speed that suits",
        Unit::MetrePerSecond,
        &tool.advised_m_s,
    );
    let set = Spread::of([&advised, &most], |[advised, most]| {
        Ok(speed::turns_for_speed(diameter, advised)?.min(most))
    })?;
    let used = if bench.plan.given(&TOOL_RPM).is_some() {
        bench.take(&TOOL_RPM)
    } else {
        set.clone()
    };
    let surface = Spread::of([&used], |[rpm]| speed::surface_speed(diameter, rpm))?;
    Ok(Speeds {
        most,
        set,
        surface,
        used,
    })
}

/// Most turns a minute by marking and class; zero when the tool is unmarked.
fn most_turns(bench: &mut Bench<'_>, tool: &Tool, diameter: f64) -> Result<Spread, LawError> {
    if bench.plan.unmarked {
        return Ok(Spread::exact(0.0));
    }
    let marked_rpm = bench
        .plan
        .given(&MARKED_RPM)
        .map(|_| bench.take(&MARKED_RPM));
    let marked_speed = bench
        .plan
        .given(&MARKED_SPEED)
        .map(|_| bench.take(&MARKED_SPEED));
    let mut limits: Vec<Spread> = Vec::new();
    limits.extend(marked_rpm);
    if let Some(speed) = &marked_speed {
        limits.push(Spread::of([speed], |[v]| {
            speed::turns_for_speed(diameter, v)
        })?);
    }
    if let Some(class) = tool.class_limit_m_s {
        limits.push(Spread::exact(speed::turns_for_speed(diameter, class)?));
    }
    if limits.is_empty() || (marked_speed.is_none() && bench.plan.given(&MARKED_RPM).is_none()) {
        // Nothing typed: what such a tool usually has marked on it.
        if let Some(usual) = tool.marked_m_s {
            limits.push(Spread::exact(speed::turns_for_speed(diameter, usual)?));
        } else if limits.is_empty() {
            limits.push(bench.coefficient(
                "trim.usual_bit_rpm",
                "Speed that small carbide bits usually allow, rpm",
                Range::new(18_000.0, 24_000.0, 30_000.0),
                Grade::Judgement,
                "judgement_usual",
            ));
        }
    }
    let parts: Vec<&Spread> = limits.iter().collect();
    let [most] = Spread::many(&parts, |limits| {
        // Down to a step that a dial can show, never up.
        Ok([(limits.iter().copied().fold(f64::MAX, f64::min) / 10.0).floor() * 10.0])
    })?;
    Ok(most)
}

/// Temperature of the fresh edge [K], and the slowest travel that does not scorch it [m/s].
fn heat(
    bench: &mut Bench<'_>,
    tool: &Tool,
    stacked: &Stacked,
    room: &Spread,
    hand: &Spread,
) -> Result<(Spread, Option<Spread>), LawError> {
    let (Some(power), Some(share), Some(contact)) = (
        &tool.contact_power_w,
        &tool.heat_into_part,
        &tool.contact_mm,
    ) else {
        return Ok((room.clone(), None));
    };
    let power = property(
        bench,
        tool,
        "contact_power_w",
        "Power into the edge",
        Unit::Watt,
        power,
    );
    let share = property(
        bench,
        tool,
        "heat_into_part",
        "Share of the heat that enters the part",
        Unit::One,
        share,
    );
    let contact = property(
        bench,
        tool,
        "contact_mm",
        "Length of contact",
        Unit::Millimetre,
        contact,
    );
    let blunt = if bench.plan.sharp {
        Spread::exact(1.0)
    } else {
        bench.coefficient(
            "trim.blunt_factor",
            "How much more heat a worn tool makes",
            Range::new(1.5, 2.5, 4.0),
            Grade::Judgement,
            "burr_trimming",
        )
    };
    let model = bench.coefficient(
        "trim.heat_factor",
        "How far the heat estimate may be off",
        Range::new(0.5, 1.0, 2.0),
        Grade::Judgement,
        "judgement_heat_share",
    );
    let conductivity = bench.coefficient(
        "trim.conductivity_w_mk",
        "Heat conductivity of the laminate, W/mK",
        Range::new(0.2, 0.3, 0.45),
        Grade::Memory,
        "memory_laminate_heat",
    );
    let effusivity = bench.coefficient(
        "trim.effusivity",
        "How fast the laminate soaks up heat, W s½/m²K",
        Range::new(590.0, cut_heat::FLAX_EPOXY_EFFUSIVITY, 900.0),
        Grade::Memory,
        "memory_laminate_heat",
    );
    let at = |[power, share, contact, width, blunt, travel]: [f64; 6]| cut_heat::Contact {
        power: (power * share.min(1.0) * blunt).max(1e-6),
        length: contact / 1000.0,
        width: width.max(1e-4),
        travel: travel.max(1e-5),
    };
    let width = &stacked.thickness;
    let [rise] = Spread::several(
        [
            &power,
            &share,
            &contact,
            width,
            &blunt,
            hand,
            &conductivity,
            &effusivity,
        ],
        |[power, share, contact, width, blunt, travel, k, e]| {
            let contact = at([power, share, contact, width, blunt, travel]);
            Ok([cut_heat::temperature_rise(&contact, k, e)?])
        },
    )?;
    // Above this nothing in the estimate holds: the edge smokes and the tool clogs.
    let edge = Spread::from([room, &rise, &model], |[room, rise, model]| {
        room + (rise * model).min(600.0)
    });
    let slowest = Spread::of(
        [
            &power,
            &share,
            &contact,
            width,
            &blunt,
            hand,
            &effusivity,
            room,
        ],
        |[power, share, contact, width, blunt, travel, e, room]| {
            let contact = at([power, share, contact, width, blunt, travel]);
            cut_heat::slowest_travel(&contact, SCORCH - room, e)
        },
    )?;
    Ok((edge, Some(slowest)))
}

/// Slowest good travel [m/s] and advance per cutting edge [m].
fn feeds(
    bench: &mut Bench<'_>,
    tool: &Tool,
    speeds: &Speeds,
    hand: &Spread,
    slowest: Option<Spread>,
) -> Result<(Spread, Spread), LawError> {
    let nothing = Spread::exact(0.0);
    if let (Action::Router, Some(bite)) = (tool.action, &tool.bite_mm_per_rev) {
        let bite = property(
            bench,
            tool,
            "bite_mm_per_rev",
            "Advance per turn",
            Unit::Millimetre,
            bite,
        );
        let edges = tool.edges.unwrap_or(2.0);
        // Half of the good advance already rubs more than it cuts.
        let feed = Spread::from([&bite, &speeds.used], |[bite, rpm]| {
            0.5 * bite / 1000.0 * rpm / 60.0
        });
        let chip = Spread::of([hand, &speeds.used], |[travel, rpm]| {
            speed::chip_load(travel, edges, rpm.max(1.0))
        })?;
        return Ok((feed, chip));
    }
    Ok((slowest.unwrap_or_else(|| nothing.clone()), nothing))
}

/// The grits from the first cut to the finish.
fn grits(bench: &mut Bench<'_>, tool: &Tool) -> Result<Vec<GritStep>, LawError> {
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

fn answer(
    bench: &Bench<'_>,
    tool: &Tool,
    speeds: &Speeds,
    feed: &Spread,
    grits: &[GritStep],
) -> String {
    let desk = &bench.desk;
    let sanding: Vec<&str> = grits.iter().map(|step| step.name.as_str()).collect();
    let sanding = sanding.join(", ");
    if bench.plan.unmarked && tool.action.turns() {
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

fn lower(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}

fn notes(
    bench: &mut Bench<'_>,
    tool: &Tool,
    speeds: &Speeds,
    edge: &Spread,
    clock: Option<&ResinClock>,
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
    if bench.plan.unmarked && tool.action.turns() {
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
        && !bench.plan.unmarked
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
    if edge.likely() > SCORCH {
        bench.desk.note(
            STAGE,
            weight,
            format!(
                "The fresh edge may reach {shown}, and flax browns from about 160 °C. Ease the pressure, move faster, or slow the tool; a sharp or coarser one runs cooler."
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
    bench.advice(
        STAGE,
        "Take coarser teeth or grit than for glass, press lightly, and keep moving: flax scorches much as plywood does (common practice, no source).",
    );
    bench.advice(
        STAGE,
        "Sand only what is fully cured; before that the dust carries unreacted hardener.",
    );
}

static LIMIT: Law = Law {
    says: "n = min(marked rpm, 60 min(marked, class) / (π d)); unmarked means no",
    basis: Basis::Firm,
    sources: &["en_12413", "en_13743", "memory_abrasive_speeds"],
};
static SUITS: Law = Law {
    says: "n = 60 v / (π d), with the surface speed that suits, never above the limit",
    basis: Basis::Rule,
    sources: &["judgement_advised_speed"],
};
static SURFACE: Law = Law {
    says: "v = π d n / 60",
    basis: Basis::Firm,
    sources: &["law_surface_speed"],
};
static FEED: Law = Law {
    says: "abrasives: contact length over the longest contact that stays below 160 °C; routers: half the good advance per turn",
    basis: Basis::Rule,
    sources: &["law_moving_band", "carbide_catalogue"],
};
static CHIP: Law = Law {
    says: "f_z = v_f / (z n)",
    basis: Basis::Firm,
    sources: &["law_surface_speed"],
};
static EDGE: Law = Law {
    says: "moving band of heat on the edge (Jaeger); an estimate within a factor of two of the rise",
    basis: Basis::Rule,
    sources: &["law_moving_band", "memory_laminate_heat"],
};
static KERF: Law = Law {
    says: "what the tool is wide, and a little more by hand",
    basis: Basis::Rule,
    sources: &["memory_kerf"],
};
static OVERSIZE: Law = Law {
    says: "half the cut + wander + what sanding takes",
    basis: Basis::Rule,
    sources: &["practice_trim_margin"],
};
