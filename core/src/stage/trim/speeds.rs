//! How fast the tool may turn, and how fast suits.

use super::property;
use crate::law::{LawError, speed};
use crate::plan::fields::{MARKED_RPM, MARKED_SPEED, TOOL_DIAMETER, TOOL_RPM};
use crate::range::Range;
use crate::sheet::Spread;
use crate::shelf::{Cited, Tool};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// What is known of the speed that a tool may turn at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Marking {
    /// It does not turn.
    NeedsNone,
    /// It was typed.
    Known,
    /// Nobody typed it yet.
    Wanted,
    /// The tool carries none.
    Missing,
}

/// Speeds of a tool; none of turning for one that does not turn.
pub(super) struct Speeds {
    pub(super) marking: Marking,
    /// Most turns a minute; none where nobody typed a marking.
    pub(super) most: Option<Spread>,
    /// Turns a minute that suit.
    pub(super) set: Option<Spread>,
    /// At the speed set, or at the one that suits [m/s].
    pub(super) surface: Spread,
    /// At the one that suits [m/s].
    pub(super) suits: Spread,
    /// Turns a minute that the feed is computed with.
    pub(super) used: Option<Spread>,
    /// The marking claims more than such tools are made for.
    pub(super) over_class: bool,
}

pub(super) fn speeds(bench: &mut Bench<'_>, tool: &Tool) -> Result<Speeds, LawError> {
    let turns = tool.action.turns();
    let label = if turns {
        "Surface speed that suits"
    } else {
        "Speed that suits"
    };
    let advised = property(
        bench,
        tool,
        "advised_m_s",
        label,
        Unit::MetrePerSecond,
        &tool.advised_m_s,
    );
    let still = |marking, advised: &Spread| Speeds {
        marking,
        most: None,
        set: None,
        surface: advised.clone(),
        suits: advised.clone(),
        used: None,
        over_class: false,
    };
    if !turns {
        return Ok(still(Marking::NeedsNone, &advised));
    }
    if bench.plan.unmarked {
        return Ok(still(Marking::Missing, &advised));
    }
    let diameter = if bench.plan.given(&TOOL_DIAMETER).is_some() {
        bench.take(&TOOL_DIAMETER)
    } else {
        marked(
            bench,
            tool,
            "diameter_mm",
            "Diameter",
            Unit::Millimetre,
            tool.diameter_mm,
        )
    };
    let diameter = diameter.map(|mm| mm.clamp(0.5, 400.0) / 1000.0);
    let limits = limits(bench, tool, &diameter)?;
    let set = Spread::of([&diameter, &advised], |[d, advised]| {
        speed::turns_for_speed(d, advised)
    })?;
    let set = match &limits.most {
        Some(most) => Spread::from([&set, most], |[set, most]| set.min(most)),
        None => set,
    };
    let used = if bench.plan.given(&TOOL_RPM).is_some() {
        bench.take(&TOOL_RPM)
    } else {
        set.clone()
    };
    let at_rim =
        |rpm: &Spread| Spread::of([&diameter, rpm], |[d, rpm]| speed::surface_speed(d, rpm));
    Ok(Speeds {
        marking: if limits.most.is_some() {
            Marking::Known
        } else {
            Marking::Wanted
        },
        surface: at_rim(&used)?,
        suits: at_rim(&set)?,
        most: limits.most,
        set: Some(set),
        used: Some(used),
        over_class: limits.over_class,
    })
}

/// What bounds the turns of a tool.
struct Limits {
    most: Option<Spread>,
    over_class: bool,
}

/// Most turns a minute by the marking that was typed, and never above the class; none without a marking.
fn limits(bench: &mut Bench<'_>, tool: &Tool, diameter: &Spread) -> Result<Limits, LawError> {
    let per_second = Unit::MetrePerSecond;
    let typed = |bench: &mut Bench<'_>, field| {
        let given = bench.plan.given(field).is_some();
        given.then(|| bench.take(field))
    };
    let turns = typed(bench, &MARKED_RPM);
    let mut rims: Vec<Spread> = typed(bench, &MARKED_SPEED).into_iter().collect();
    // What the shop wrote down of its own tool.
    if let (Some(own), None, true) = (tool.marked_m_s, &turns, rims.is_empty()) {
        let label = "Speed marked on it";
        rims.push(marked(bench, tool, "marked_m_s", label, per_second, own));
    }
    let mut limits: Vec<Spread> = turns.into_iter().collect();
    for rim in &rims {
        limits.push(Spread::of([diameter, rim], |[d, v]| {
            speed::turns_for_speed(d, v)
        })?);
    }
    if limits.is_empty() {
        return Ok(Limits {
            most: None,
            over_class: false,
        });
    }
    let lowest = |limits: &[Spread]| limits.iter().map(Spread::likely).fold(f64::MAX, f64::min);
    let mut over_class = false;
    if let Some(class) = tool.class_limit_m_s {
        let label = "Speed limit of its class";
        let class = marked(bench, tool, "class_limit_m_s", label, per_second, class);
        let class = Spread::of([diameter, &class], |[d, v]| speed::turns_for_speed(d, v))?;
        over_class = lowest(&limits) > 1.02 * class.likely();
        limits.push(class);
    }
    let parts: Vec<&Spread> = limits.iter().collect();
    let [most] = Spread::many(&parts, |limits| {
        // Down to a step that a dial can show, never up.
        Ok([(limits.iter().copied().fold(f64::MAX, f64::min) / 10.0).floor() * 10.0])
    })?;
    Ok(Limits {
        most: Some(most),
        over_class,
    })
}

/// A plain number of the tool's entry, as an input of the sheet.
fn marked(
    bench: &mut Bench<'_>,
    tool: &Tool,
    name: &str,
    label: &str,
    unit: Unit,
    value: f64,
) -> Spread {
    let cited = Cited {
        range: Range::exact(value),
        grade: tool.entry.grade,
        sources: tool.entry.sources.clone(),
        limits: (value, value),
    };
    property(bench, tool, name, label, unit, &cited)
}
