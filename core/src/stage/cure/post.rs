//! The post-cure that the plan asks for, and others beside it.

use super::programme::{Heats, Programme, hours_said};
use crate::law::LawError;
use crate::law::cure::{self, Oven};
use crate::sheet::{Axis, Basis, Cell, Chart, Desk, Grid, Law, Line, PostCure, PostRow, Spread};
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::resin_clock;
use crate::units::Unit;

const HOUR: f64 = 3600.0;
/// Usual post-cures: top [C], hours there.
const USUAL: [(f64, f64); 4] = [(40.0, 24.0), (50.0, 16.0), (60.0, 8.0), (70.0, 5.0)];
/// Warming of the usual ones [K/s].
const RAMP: f64 = 10.0 / HOUR;
/// Slowest and fastest warming that is looked at [K/h].
const SLOWEST: f64 = 0.5;
const QUICKEST: f64 = 300.0;
/// A lead of less than this is none: the kinetics are no better [K].
const NO_LEAD: f64 = 0.0;

/// What goes into the oven, as spreads: conversion, speed and ultimate glass transition [K].
pub(super) struct Green<'a> {
    pub(super) conversion: &'a Spread,
    pub(super) pace: &'a Spread,
    pub(super) tg_ultimate: &'a Spread,
    /// What the resin's own sheet adds to the glass transition [K].
    pub(super) offset: f64,
    /// How far the glass transition may be off [K].
    pub(super) off: &'a Spread,
    /// The air it comes from [K].
    pub(super) air: f64,
}

/// Lead, glass transition and fastest ramp for an oven.
fn cured(
    green: &Green<'_>,
    from: f64,
    top: &Spread,
    ramp: f64,
    hold: f64,
) -> Result<[Spread; 3], LawError> {
    let [lead, tg, fastest] = Spread::heavy(
        [green.conversion, green.pace, green.tg_ultimate, top],
        |[conversion, pace, tg_ultimate, top]| {
            let resin = resin_clock::resin(pace, tg_ultimate);
            let top = top.clamp(from, 423.15);
            let oven = Oven {
                from,
                to: top,
                ramp,
                hold,
            };
            let conversion = conversion.clamp(0.0, 1.0);
            let done = cure::post_cure(&resin, conversion, &oven)?;
            let wanted = NO_LEAD - green.offset;
            let fastest = cure::fastest_ramp(&resin, conversion, from, top, wanted)?;
            Ok([done.lead + green.offset, done.tg + green.offset, fastest])
        },
    )?;
    Ok([
        shifted(green, &lead),
        shifted(green, &tg),
        bounded(&fastest),
    ])
}

/// Glass transition [K] and fastest warming [K/s] of each usual post-cure in turn.
type Usual = [Spread; 2 * USUAL.len()];

/// Glass transition and fastest warming of the usual post-cures, in one go.
fn usual(green: &Green<'_>) -> Result<Usual, LawError> {
    let wanted = NO_LEAD - green.offset;
    let from = green.air;
    Spread::heavy(
        [green.conversion, green.pace, green.tg_ultimate],
        |[conversion, pace, tg_ultimate]| {
            let resin = resin_clock::resin(pace, tg_ultimate);
            let conversion = conversion.clamp(0.0, 1.0);
            let mut out = [0.0; 2 * USUAL.len()];
            // The fastest warming to a hotter oven, and where it is tight: a cooler one past that bears the same.
            let mut known: Option<(f64, f64)> = None;
            for (i, (top, hours)) in USUAL.into_iter().enumerate().rev() {
                let to = (top + ZERO_C).max(from);
                let oven = |ramp: f64, hold: f64| Oven {
                    from,
                    to,
                    ramp,
                    hold,
                };
                let done = cure::post_cure(&resin, conversion, &oven(RAMP, hours * HOUR))?;
                let fastest = match known {
                    Some((ramp, tightest)) if tightest < to => ramp,
                    _ => {
                        let ramp = cure::fastest_ramp(&resin, conversion, from, to, wanted)?;
                        let tightest = match ramp * HOUR {
                            hasty if hasty > 0.99 * QUICKEST => 0.0,
                            _ => cure::post_cure(&resin, conversion, &oven(ramp, 1.0))?.tightest,
                        };
                        known = Some((ramp, tightest));
                        ramp
                    }
                };
                out[2 * i] = done.tg + green.offset;
                out[2 * i + 1] = fastest;
            }
            Ok(out)
        },
    )
}

/// The usual post-cures after the time on the mould.
pub(super) fn rows(bench: &mut Bench<'_>, green: &Green<'_>) -> Result<Vec<PostRow>, LawError> {
    let usual = usual(green)?;
    let mut rows = Vec::new();
    for (found, (top, hours)) in usual.chunks_exact(2).zip(USUAL) {
        let [tg, fastest] = found else { continue };
        let top_k = top + ZERO_C;
        // An oven no warmer than the shop cures nothing.
        if top_k < green.air + 5.0 {
            continue;
        }
        let tg = shifted(green, tg);
        let takes = (top_k - green.air) / RAMP + hours * HOUR + (top_k - green.air) / (2.0 * RAMP);
        let desk = &bench.desk;
        rows.push(PostRow {
            name: format!(
                "{} for {}",
                desk.say_plain(Unit::Celsius, top),
                hours_said(hours * HOUR)
            ),
            tg: desk.cell(Unit::Celsius, &tg.map(|t| t - ZERO_C)),
            fastest: warming(desk, &bounded(fastest).times(HOUR)),
            takes: desk.cell(Unit::Hour, &Spread::exact((takes / HOUR).round())),
        });
    }
    bench.desk.cite(POST.sources);
    Ok(rows)
}

/// With what the glass transition may be off by.
fn shifted(green: &Green<'_>, tg: &Spread) -> Spread {
    Spread::from([tg, green.off], |[tg, off]| tg + off)
}

fn bounded(fastest: &Spread) -> Spread {
    fastest.map(|r| r.clamp(SLOWEST / HOUR, QUICKEST / HOUR))
}

/// Fastest warming [K/h] in a table: in words where no warming is slow enough, or none too fast.
fn warming(desk: &Desk, fastest: &Spread) -> Cell {
    let cell = desk.cell(Unit::KelvinPerHour, fastest);
    let likely = fastest.likely();
    let text = if likely < 1.02 * SLOWEST {
        "too soft yet".to_owned()
    } else if likely > 0.98 * QUICKEST {
        "any".to_owned()
    } else {
        cell.text.clone()
    };
    Cell { text, ..cell }
}

/// The plan's own post-cure.
pub(super) fn asked(
    bench: &mut Bench<'_>,
    programme: &Programme,
    heats: &Heats,
    green: &Green<'_>,
    off: &Spread,
) -> Result<Option<PostCure>, LawError> {
    let Some(post) = programme.post else {
        return Ok(None);
    };
    let from = green.air;
    let [lead, tg, fastest] = cured(green, from, &heats.post, post.ramp, post.hold)?;
    let softens = lead.likely() < 0.0;
    let on_mould = bench.plan.deep.post_on_mould;
    let desk = &bench.desk;
    let ends = desk.say(Unit::Celsius, &tg.map(|t| t - ZERO_C));
    let quick = desk.say(Unit::KelvinPerHour, &fastest.times(HOUR));
    let surely = desk.say_low(Unit::KelvinPerHour, &fastest.times(HOUR));
    let slow_enough = fastest.likely() > 1.2 * SLOWEST / HOUR;
    let sentence = match (softens, on_mould) {
        (false, _) if lead.share(|x| x < 0.0) > 0.1 => format!(
            "It ends with a glass transition of about {ends}. On the way the oven may catch up with it: at up to {surely} it would not, or leave the part supported."
        ),
        (false, _) => format!(
            "It ends with a glass transition of about {ends}, and the part stays harder than the oven is hot{}.",
            if fastest.likely() * HOUR < 100.0 {
                format!("; it would stand warming by up to about {quick}")
            } else {
                String::new()
            }
        ),
        (true, false) if slow_enough => format!(
            "Warm more slowly, by no more than about {quick}: at the warming you typed the oven gets ahead of the glass transition, and a part off its mould sags. In the end it reaches about {ends}."
        ),
        (true, false) => format!(
            "Leave it longer at the shop's temperature first, or keep it on the mould: it goes into the oven too soft for any warming. In the end it would reach about {ends}."
        ),
        (true, true) => format!(
            "The oven gets ahead of the glass transition and the part softens, but the mould holds its shape; let it cool on the mould. It ends with a glass transition of about {ends}."
        ),
    };
    if softens && !on_mould {
        bench.problem(
            super::STAGE,
            if slow_enough {
                format!("The post-cure softens the part: warm by no more than about {quick}, or keep it on the mould.")
            } else {
                "The post-cure comes too early: the part is still too soft for any oven. Begin it later, or keep the part on the mould.".to_owned()
            },
        );
    }
    let late = off.share(|t| t > post.from);
    if !on_mould && off.likely() <= post.from && late > 0.1 {
        bench.advice(
            super::STAGE,
            "Test how hard the part is before the post-cure: it may not be ready to leave its mould by then. If so, let the oven wait, or keep the part on the mould.",
        );
    }
    if !on_mould && off.likely() > post.from {
        bench.problem(
            super::STAGE,
            "The part is not hard enough to leave its mould when the post-cure begins. Begin it later, or keep the part on the mould.",
        );
    }
    let chart = drawn(bench, programme, heats, green)?;
    let desk = &mut bench.desk;
    Ok(Some(PostCure {
        sentence,
        softens,
        lead_k: desk.estimate(
            "Smallest lead of the glass transition over the oven",
            Unit::Kelvin,
            &lead,
            &POST,
        ),
        fastest_k_h: desk.estimate(
            "Fastest warming that it keeps ahead of",
            Unit::KelvinPerHour,
            &fastest.times(HOUR),
            &FASTEST,
        ),
        tg_c: desk.estimate(
            "Glass transition after the post-cure",
            Unit::Celsius,
            &tg.map(|t| t - ZERO_C),
            &POST,
        ),
        chart,
    }))
}

/// Oven and glass transition against time, everything likely.
fn drawn(
    bench: &Bench<'_>,
    programme: &Programme,
    heats: &Heats,
    green: &Green<'_>,
) -> Result<Chart, LawError> {
    let desk = &bench.desk;
    let likely = heats.likely();
    let from = programme.post.map_or(0.0, |post| post.from);
    let end = programme.post_ends(&likely).unwrap_or(from + HOUR);
    let resin = resin_clock::resin(green.pace.likely(), green.tg_ultimate.likely());
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

pub(super) static POST: Law = Law {
    says: "the kinetics under a warming oven; lead = smallest Tg - T on the way",
    basis: Basis::Published,
    sources: &[
        "blade_epoxy",
        "laminating_epoxy_tg",
        "judgement_kinetics_spread",
    ],
};

static FASTEST: Law = Law {
    says: "the even warming at which the smallest lead is nothing",
    basis: Basis::Published,
    sources: &["blade_epoxy", "laminating_epoxy_tg"],
};
