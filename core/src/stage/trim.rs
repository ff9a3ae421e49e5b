//! How to cut and sand the edge without scorching it, and without running a tool beyond its marking.

mod answer;
mod edge;
mod speeds;

use answer::{answer, grits, notes};
use edge::{feeds, heat};
use speeds::{Speeds, speeds};

use super::bench::Bench;
use super::resin_clock::ResinClock;
use super::stack::Stacked;
use crate::law::LawError;
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Basis, Desk, Grade, Head, Law, Spread, StageName, TrimSheet};
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
    let (kerf, oversize) = cut_width(bench, tool);
    let heat = heat(bench, tool, &speeds)?;
    let feed = feeds(bench, tool, &speeds)?;
    let grits = grits(bench, tool)?;
    let natural = stacked.is_damp();
    notes(
        bench,
        tool,
        &speeds,
        heat.as_ref(),
        feed.as_ref(),
        clock,
        natural,
    );
    let pace = feed.as_ref().map(|(feed, _)| feed);
    let answer = answer(bench, tool, &speeds, pace, &oversize, &grits);
    // Without a marking nobody knows the limit: then what is known comes first.
    let main = match speeds.most {
        Some(_) => "max_rpm",
        None => "oversize_mm",
    };
    let desk = &mut bench.desk;
    let rpm = |desk: &mut Desk, label, turns: &Option<Spread>, law| {
        turns
            .as_ref()
            .map(|turns| desk.estimate(label, Unit::Rpm, turns, law))
    };
    let thousand = |spread: &Spread| spread.times(1000.0);
    Ok(TrimSheet {
        head: Head::new(STAGE, answer, main),
        max_rpm: rpm(desk, "Never faster than", &speeds.most, &LIMIT),
        set_rpm: rpm(desk, "Speed that suits", &speeds.set, &SUITS),
        surface_speed_m_s: desk.estimate(
            "Surface speed",
            Unit::MetrePerSecond,
            &speeds.surface,
            &SURFACE,
        ),
        feed_mm_s: feed.as_ref().map(|(feed, _)| {
            desk.estimate(
                "Move along the edge no slower than",
                Unit::MillimetrePerSecond,
                &thousand(feed),
                &FEED,
            )
        }),
        chip_load_mm: feed.as_ref().map(|(_, chip)| {
            desk.estimate(
                "Advance per cutting edge",
                Unit::Millimetre,
                &thousand(chip),
                &CHIP,
            )
        }),
        // A tool that hardly moves heats nothing that a ratio could tell.
        heat_ratio: heat
            .as_ref()
            .filter(|heat| heat.likely() >= 0.01)
            .map(|heat| {
                desk.estimate(
                "Heat at the edge, against a sharp tool at the speed that suits and an easy pace",
                Unit::One,
                heat,
                &HEAT,
            )
            }),
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

/// Width of the cut, and what to leave outside the net line for it [mm].
fn cut_width(bench: &mut Bench<'_>, tool: &Tool) -> (Spread, Spread) {
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
    (kerf, oversize)
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
    says: "n = min(marked rpm, 60 min(marked, class) / (π d)); without a marking there is none",
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
    says: "half the good advance per turn: slower than that an edge rubs more than it cuts",
    basis: Basis::Rule,
    sources: &["carbide_catalogue"],
};

static CHIP: Law = Law {
    says: "f_z = v_f / (z n)",
    basis: Basis::Firm,
    sources: &["law_surface_speed"],
};

static HEAT: Law = Law {
    says: "friction makes heat with force times speed, a share of it enters the part (Hahn, Rowe), and it spreads as under a moving band (Jaeger); the hand presses as hard in both",
    basis: Basis::Rule,
    sources: &["law_moving_band", "rowe_heat_share"],
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
