//! How to cut and sand the edge without scorching it, and without running a tool beyond its marking.

mod answer;
mod edge;
mod speeds;

use answer::{answer, grits, notes};
use edge::{SCORCH, feeds, heat};
use speeds::{Speeds, speeds};

use super::bench::{Bench, ZERO_C};
use super::resin_clock::ResinClock;
use super::stack::Stacked;
use crate::law::LawError;
use crate::plan::fields::{HAND_FEED, ROOM_TEMPERATURE};
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Basis, Grade, Head, Law, Spread, StageName, TrimSheet};
use crate::shelf::{Cited, Tool};
use crate::units::Unit;

const STAGE: StageName = StageName::Trim;

/// Works the trimming out and writes its sheet.
pub(crate) fn work(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    clock: Option<&ResinClock>,
) -> Result<TrimSheet, Vec<Problem>> {
    trim(bench, stacked, clock).map_err(|why| super::bench::beyond("trim", &why))
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
    notes(bench, tool, &speeds, &edge, clock, stacked.is_damp());
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
    says: "abrasives: contact length over the longest contact that stays below 160\u{a0}°C; routers: half the good advance per turn",
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
