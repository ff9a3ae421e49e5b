//! How fast the tool may turn, and how fast suits.

use super::property;
use crate::law::{LawError, speed};
use crate::plan::fields::{MARKED_RPM, MARKED_SPEED, TOOL_DIAMETER, TOOL_RPM};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::shelf::{Cited, Tool};
use crate::stage::bench::Bench;
use crate::units::Unit;

/// Speeds of a tool that turns; all zero for one that does not.
pub(super) struct Speeds {
    pub(super) most: Spread,
    pub(super) set: Spread,
    /// At the speed set, or at the one that suits [m/s].
    pub(super) surface: Spread,
    /// Turns a minute that the feed is computed with.
    pub(super) used: Spread,
}

pub(super) fn speeds(bench: &mut Bench<'_>, tool: &Tool) -> Result<Speeds, LawError> {
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
    let most = most_turns(bench, tool, &diameter)?;
    let advised = property(
        bench,
        tool,
        "advised_m_s",
        "Surface speed that suits",
        Unit::MetrePerSecond,
        &tool.advised_m_s,
    );
    let set = Spread::of([&diameter, &advised, &most], |[d, advised, most]| {
        Ok(speed::turns_for_speed(d, advised)?.min(most))
    })?;
    let used = if bench.plan.given(&TOOL_RPM).is_some() {
        bench.take(&TOOL_RPM)
    } else {
        set.clone()
    };
    let surface = Spread::of([&diameter, &used], |[d, rpm]| speed::surface_speed(d, rpm))?;
    Ok(Speeds {
        most,
        set,
        surface,
        used,
    })
}

/// Most turns a minute by marking and class; zero when the tool is unmarked.
pub(super) fn most_turns(
    bench: &mut Bench<'_>,
    tool: &Tool,
    diameter: &Spread,
) -> Result<Spread, LawError> {
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
    let typed = marked_rpm.is_some() || marked_speed.is_some();
    let mut limits: Vec<Spread> = marked_rpm.into_iter().collect();
    let mut rims: Vec<Spread> = marked_speed.into_iter().collect();
    let per_second = Unit::MetrePerSecond;
    if let Some(class) = tool.class_limit_m_s {
        let label = "Speed limit of its class";
        rims.push(marked(
            bench,
            tool,
            "class_limit_m_s",
            label,
            per_second,
            class,
        ));
    }
    // Nothing typed: what such a tool usually has marked on it.
    if let (false, Some(usual)) = (typed, tool.marked_m_s) {
        let label = "Speed usually marked on it";
        rims.push(marked(bench, tool, "marked_m_s", label, per_second, usual));
    }
    for rim in &rims {
        limits.push(Spread::of([diameter, rim], |[d, v]| {
            speed::turns_for_speed(d, v)
        })?);
    }
    if limits.is_empty() && tool.action.is_turning_abrasive() {
        // Neither a marking nor a class: no one can say what it stands.
        return Ok(Spread::exact(0.0));
    }
    if limits.is_empty() {
        limits.push(bench.coefficient(
            "trim.usual_bit_rpm",
            "Lowest speed that is usually marked on small carbide bits, rpm",
            Range::exact(18_000.0),
            Grade::Judgement,
            "judgement_usual",
        ));
    }
    let parts: Vec<&Spread> = limits.iter().collect();
    let [most] = Spread::many(&parts, |limits| {
        // Down to a step that a dial can show, never up.
        Ok([(limits.iter().copied().fold(f64::MAX, f64::min) / 10.0).floor() * 10.0])
    })?;
    Ok(most)
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
    };
    property(bench, tool, name, label, unit, &cited)
}
