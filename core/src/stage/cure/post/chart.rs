//! Draws the post-cure that the plan asks for.

use super::super::programme::{Heats, Programme, hours_said};
use super::{Green, HOUR};
use crate::law::LawError;
use crate::law::cure;
use crate::sheet::{Axis, Chart, Grid, Line};
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::resin_clock;
use crate::units::Unit;

/// Oven and glass transition against time, everything likely.
pub(super) fn drawn(
    bench: &Bench<'_>,
    programme: &Programme,
    heats: &Heats,
    green: &Green<'_>,
) -> Result<Chart, LawError> {
    let desk = &bench.desk;
    let likely = heats.likely();
    let from = programme.post.map_or(0.0, |post| post.from);
    let end = programme.post_ends(&likely).unwrap_or(from + HOUR);
    let resin = green.likely();
    let air = |t: f64| programme.air(from + t, &likely);
    let start = green.conversion.likely().clamp(0.0, 1.0);
    let track = cure::programme_cure(&resin, air, start, end - from)?;
    let shown = |kelvin: f64| Unit::Celsius.to_shown(kelvin - ZERO_C, desk.units);
    let mut oven = Vec::new();
    let mut hard = Vec::new();
    let mut rows = Vec::new();
    for k in 0..=32 {
        let t = (end - from) * f64::from(k) / 32.0;
        let tg =
            resin_clock::glass(track.at(t)[0].clamp(0.0, 1.0), resin.tg_ultimate)? + green.offset;
        let hours = (from + t) / HOUR;
        oven.push([hours, shown(air(t))]);
        hard.push([hours, shown(tg)]);
        if k % 4 == 0 {
            let said = |kelvin: f64| desk.say_plain(Unit::Celsius, (kelvin - ZERO_C).round());
            rows.push(vec![
                hours_said(from + t),
                said(air(t)),
                said(tg),
                desk.say_plain(Unit::Kelvin, (tg - air(t)).round()),
            ]);
        }
    }
    Ok(Chart {
        label: "Post-cure",
        sentence: "The oven, and the glass transition that must stay above it.".into(),
        across: Axis {
            label: "After the fill",
            unit: Unit::Hour.symbol(),
        },
        up: Axis {
            label: "Temperature",
            unit: Unit::Celsius.symbol_in(desk.units),
        },
        bands: Vec::new(),
        lines: vec![
            Line {
                name: "glass transition".into(),
                likely: true,
                points: hard,
            },
            Line {
                name: "oven".into(),
                likely: false,
                points: oven,
            },
        ],
        marks: Vec::new(),
        levels: Vec::new(),
        table: Grid {
            heads: ["After the fill", "Oven", "Glass transition", "Lead"]
                .map(String::from)
                .into(),
            rows,
        },
    })
}
