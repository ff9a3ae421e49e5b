//! How fast the tool may turn, and how fast suits.

use super::property;
use crate::law::{LawError, speed};
use crate::plan::fields::{MARKED_RPM, MARKED_SPEED, TOOL_DIAMETER, TOOL_RPM};
use crate::range::Range;
use crate::sheet::{Grade, Spread};
use crate::shelf::Tool;
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
pub(super) fn most_turns(
    bench: &mut Bench<'_>,
    tool: &Tool,
    diameter: f64,
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
                "Lowest speed that is usually marked on small carbide bits, rpm",
                Range::exact(18_000.0),
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
