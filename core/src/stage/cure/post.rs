//! The post-cure that the plan asks for, and others beside it.

mod chart;
mod told;

use told::Asked;

use super::programme::{Heats, Programme, hours_said};
use crate::law::LawError;
use crate::law::cure::{self, Oven};
use crate::sheet::{Basis, Cell, Desk, Law, PostCure, PostRow, Spread};
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
/// A lead that a way out leaves over [K].
const SPARE: f64 = 0.5;

/// What goes into the oven, as spreads: conversion, speed and ultimate glass transition [K].
pub(super) struct Green<'a> {
    pub(super) conversion: &'a Spread,
    pub(super) pace: &'a Spread,
    pub(super) late: &'a Spread,
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
        [
            green.conversion,
            green.pace,
            green.late,
            green.tg_ultimate,
            top,
        ],
        |[conversion, pace, late, tg_ultimate, top]| {
            let resin = resin_clock::resin(pace, tg_ultimate).with_late(late);
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
        [green.conversion, green.pace, green.late, green.tg_ultimate],
        |[conversion, pace, late, tg_ultimate]| {
            let resin = resin_clock::resin(pace, tg_ultimate).with_late(late);
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
                // As slowly as it bears, and no faster than usual.
                let warming = fastest.min(RAMP);
                let done = cure::post_cure(&resin, conversion, &oven(warming, hours * HOUR))?;
                out[2 * i] = done.tg + green.offset;
                out[2 * i + 1] = fastest;
            }
            Ok(out)
        },
    )
}

/// A usual post-cure, and the glass transition that it ends with [K].
pub(super) struct Done {
    pub(super) name: String,
    pub(super) tg: Spread,
    /// Whether the part is hard enough for any warming that an oven can hold.
    pub(super) bears: bool,
}

/// The usual post-cures after the time on the mould.
pub(super) fn rows(
    bench: &mut Bench<'_>,
    green: &Green<'_>,
) -> Result<(Vec<PostRow>, Vec<Done>), LawError> {
    let usual = usual(green)?;
    let (mut rows, mut all) = (Vec::new(), Vec::new());
    for (found, (top, hours)) in usual.chunks_exact(2).zip(USUAL) {
        let [tg, fastest] = found else { continue };
        let top_k = top + ZERO_C;
        // An oven no warmer than the shop cures nothing.
        if top_k < green.air + 5.0 {
            continue;
        }
        let tg = shifted(green, tg);
        let fastest = bounded(fastest);
        let rise = top_k - green.air;
        // At the warming that stands beside it, or the usual one where it bears more.
        let ramp = fastest.likely().min(RAMP);
        let takes = rise / ramp + hours * HOUR + rise / (2.0 * RAMP);
        let bears = fastest.likely() * HOUR > 1.02 * SLOWEST;
        let desk = &bench.desk;
        let name = format!(
            "{} for {}",
            desk.say_plain(Unit::Celsius, top),
            hours_said(hours * HOUR)
        );
        let mut lasts = desk.cell(Unit::Hour, &Spread::exact((takes / HOUR).round()));
        if !bears {
            "not yet".clone_into(&mut lasts.text);
        }
        rows.push(PostRow {
            name: name.clone(),
            tg: desk.cell(Unit::Celsius, &tg.map(|t| t - ZERO_C)),
            fastest: warming(desk, &fastest.times(HOUR)),
            takes: lasts,
        });
        all.push(Done { name, tg, bears });
    }
    bench.desk.cite(POST.sources);
    Ok((rows, all))
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
) -> Result<Option<(PostCure, Spread)>, LawError> {
    let Some(post) = programme.post else {
        return Ok(None);
    };
    let [lead, tg, fastest] = cured(green, green.air, &heats.post, post.ramp, post.hold)?;
    let asked = Asked {
        green,
        post,
        top: heats.post.likely(),
        on_mould: bench.plan.post_on_mould,
        lead,
        tg,
        fastest,
    };
    let sentence = asked.sentence(bench)?;
    asked.notes(bench, off);
    let chart = chart::drawn(bench, programme, heats, green)?;
    let desk = &mut bench.desk;
    let sheet = PostCure {
        sentence,
        softens: asked.softens(),
        lead_k: desk.estimate(
            "Smallest lead of the glass transition over the oven",
            Unit::Kelvin,
            &asked.lead,
            &POST,
        ),
        fastest_k_h: desk.estimate(
            "Fastest warming that it keeps ahead of",
            Unit::KelvinPerHour,
            &asked.fastest.times(HOUR),
            &FASTEST,
        ),
        tg_c: desk.estimate(
            "Glass transition after the post-cure",
            Unit::Celsius,
            &asked.tg.map(|t| t - ZERO_C),
            &POST,
        ),
        chart,
    };
    Ok(Some((sheet, asked.tg)))
}

/// The hottest oven below this one that a free part bears [C], in steps of five, and the fastest warming to it [K/h].
fn cooler(green: &Green<'_>, from: f64, top: f64) -> Result<Option<(f64, f64)>, LawError> {
    let resin = green.likely();
    let start = green.conversion.likely().clamp(0.0, 1.0);
    let most = top.min(resin.tg_ultimate + green.offset) - ZERO_C;
    let mut celsius = (most / 5.0).ceil() * 5.0 - 5.0;
    while celsius + ZERO_C > from + 5.0 {
        let to = celsius + ZERO_C;
        let ramp = cure::fastest_ramp(&resin, start, from, to, SPARE - green.offset)? * HOUR;
        if ramp > 2.0 * SLOWEST {
            // Rounded down to half a kelvin, and no faster than anybody warms.
            return Ok(Some((celsius, ((2.0 * ramp).floor() / 2.0).min(20.0))));
        }
        celsius -= 5.0;
    }
    Ok(None)
}

impl Green<'_> {
    /// The resin with everything likely.
    fn likely(&self) -> cure::Resin {
        resin_clock::resin(self.pace.likely(), self.tg_ultimate.likely())
            .with_late(self.late.likely())
    }
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
