//! The resin setting in the part, in depth: a programme of temperatures, heat through the thickness, post-cure.

mod spreads;

use spreads::{Likely, Spreads, shifted};

use super::hard::{Judged, expected};
use super::post::{self, Green};
use super::programme::{self, Programme, Warmths, hours_said};
use super::slab;
use super::solved::Solved;
use super::{after_fill, charts, service, told};
use crate::law::LawError;
use crate::plan::fields::CURE_HOURS;
use crate::read::Problem;
use crate::sheet::{
    AfterFill, Basis, LaterTg, Law, PostCure, PostRow, ServiceSheet, SettingSheet, Spread,
};
use crate::shelf::properties::{TG_AFTER, TG_AFTER_CURE, TG_AFTER_HOURS};
use crate::stage::air::Air;
use crate::stage::bench::{Bench, ZERO_C, beyond};
use crate::stage::fill::Filled;
use crate::stage::resin_clock::{LONGEST, ResinClock};
use crate::stage::stack::Stacked;
use crate::units::Unit;

const HOUR: f64 = 3600.0;
const DAY: f64 = 86_400.0;
/// Days after which the glass transition is told.
const LATER: [f64; 6] = [1.0, 2.0, 3.0, 7.0, 14.0, 28.0];
/// Times at which the chart has a band.
pub(super) const STOPS: usize = 12;
/// How far a shop that cools at night is followed for what happens on the mould [s]; a steady one as far as need be.
const NIGHTS: f64 = 10.0 * DAY;
/// Gel where it is slowest and where it is fastest are one within this share [-].
const ONE_GEL: f64 = 0.15;
/// Figures of one solve: gel, peak, vitrified, off the mould, at trimming, conversion at post-cure.
const FIGURES: usize = 6;

/// What the setting is given.
pub(crate) struct Settling<'a> {
    /// Pressures.
    pub(crate) air: &'a Air,
    /// The fill; none where nothing is filled.
    pub(crate) filled: Option<&'a Filled>,
    /// Hour of the day at which resin goes in; none when no start of the day is given.
    pub(crate) hour: Option<f64>,
    /// How far the part gives under the stated load [m].
    pub(crate) gives: Option<&'a Spread>,
}

/// Works the setting out and lets the clock follow it: gel, hardness and demould.
///
/// # Errors
/// A problem where these values lie beyond what can be computed.
pub(crate) fn deepen(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    settling: &Settling<'_>,
    clock: &mut ResinClock,
) -> Result<SettingSheet, Vec<Problem>> {
    set(bench, stacked, settling, clock).map_err(|why| beyond("cure", &why))
}

fn set(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    settling: &Settling<'_>,
    clock: &mut ResinClock,
) -> Result<SettingSheet, LawError> {
    let (programme, heats) = programme::programme(bench, settling.hour);
    let slab = slab::slab(bench, stacked);
    let offset = own_offset(bench, clock)?;
    let trimmed = bench.take(&CURE_HOURS).likely() * HOUR;
    let warmths = heats.likely();
    let solved = Solved {
        programme: &programme,
        slab: &slab,
        on_mould: bench.plan.post_on_mould,
        until: followed_until(&programme, &warmths, trimmed),
    };
    let resin = clock.likely();
    let course = solved.course(&resin, &warmths, 1.0, slab.thickness.likely())?;
    let judged = Judged {
        course: &course,
        resin: &resin,
        offset,
    };
    let (off, holds) = solved.off(&judged, &warmths, 1.0, slab.thickness.likely())?;
    let drawn = charts::drawn_to(off, judged.gel(), programme.post_ends(&warmths));
    let likely = Likely {
        solved,
        heats: &heats,
        warmths,
        judged,
        off,
        holds,
        trimmed,
        drawn,
    };
    let mut spreads = Spreads::of(&likely, clock, own_range(bench, clock))?;
    if gels_as_filled(bench, &likely, clock) {
        spreads.gel.clone_from(&clock.gel);
    }
    clock.cure_gel.clone_from(&spreads.gel);
    clock.demould.clone_from(&spreads.off);
    clock.tg.clone_from(&spreads.tg);
    if let Some(last) = spreads.later.last() {
        clock.tg_four_weeks.clone_from(last);
    }
    let follows = follows(bench, settling, clock, &likely, &spreads)?;
    told::notes(bench, &slab, &spreads.peak, holds, off, programme.plain());
    told::cold(bench, &programme, &warmths, likely.judged.gel(), off);
    sheet(bench, settling, &likely, &spreads, follows)
}

/// How far the setting is followed at most [s].
fn followed_until(programme: &Programme, heat: &Warmths, trimmed: f64) -> f64 {
    if programme.swings() {
        let ends = programme.post_ends(heat).unwrap_or(0.0);
        NIGHTS.max(ends + 2.0 * DAY).max(trimmed + DAY).min(LONGEST)
    } else {
        LONGEST
    }
}

/// Whether a part that keeps to the shop gels as it does for the fill: one gel, one range.
fn gels_as_filled(bench: &Bench<'_>, likely: &Likely<'_>, clock: &ResinClock) -> bool {
    let shop_alone = likely.solved.programme.plain() && !programme::elsewhere(bench);
    let same = (likely.judged.gel() / clock.gel.likely() - 1.0).abs() < ONE_GEL;
    shop_alone && same
}

/// What comes after the fill, after the mould, and in service.
struct Follows {
    post: Option<PostCure>,
    posts: Vec<PostRow>,
    service: Option<ServiceSheet>,
    after_fill: Option<AfterFill>,
}

fn follows(
    bench: &mut Bench<'_>,
    settling: &Settling<'_>,
    clock: &mut ResinClock,
    likely: &Likely<'_>,
    spreads: &Spreads,
) -> Result<Follows, LawError> {
    let programme = likely.solved.programme;
    let offset = likely.judged.offset;
    let green = Green {
        conversion: &spreads.green,
        pace: &clock.pace,
        late: &clock.late,
        tg_ultimate: &clock.tg_ultimate,
        offset,
        off: &spreads.off_by,
        air: programme.shop(likely.post_from(), &likely.warmths),
    };
    let asked = post::asked(bench, programme, likely.heats, &green, &spreads.off)?;
    let (post, post_tg) = asked.unzip();
    let (posts, done) = post::rows(bench, &green)?;
    let hardness = service::Hardness {
        trimmed: &clock.tg,
        four_weeks: &clock.tg_four_weeks,
        post: post_tg.as_ref(),
        usual: &done,
        most: &shifted(&clock.tg_ultimate.map(|t| t + offset), &spreads.off_by),
    };
    let service = service::service(bench, &hardness, settling.gives)?;
    let after_fill = match settling.filled {
        Some(filled) => Some(after_fill::after_fill(bench, settling.air, filled, clock)?),
        None => None,
    };
    Ok(Follows {
        post,
        posts,
        service,
        after_fill,
    })
}

fn sheet(
    bench: &mut Bench<'_>,
    settling: &Settling<'_>,
    likely: &Likely<'_>,
    spreads: &Spreads,
    follows: Follows,
) -> Result<SettingSheet, LawError> {
    let Solved {
        programme, slab, ..
    } = likely.solved;
    let (judged, warmths) = (&likely.judged, &likely.warmths);
    let warms = told::warms(
        bench,
        slab,
        judged.course,
        programme,
        warmths,
        &spreads.peak,
    );
    let temperatures = charts::temperatures(bench, judged.course, programme, warmths, likely.drawn);
    let hardness = charts::hardness(
        bench,
        judged,
        &charts::Hardness {
            drawn: likely.drawn,
            off: likely.off,
            stops: &likely.stops(),
            band: &spreads.band,
        },
    )?;
    let heard = programme.told(bench, likely.heats, settling.hour.is_some());
    let decides = told::decides(bench, likely.holds, likely.off);
    let another_day = told::another_day(bench, &spreads.later);
    let desk = &mut bench.desk;
    let celsius = |x: &Spread| x.map(|t| t - ZERO_C);
    let in_hours = |x: &Spread| x.times(1.0 / HOUR);
    Ok(SettingSheet {
        programme: heard,
        gel_h: desk.estimate(
            "Until all of it has gelled",
            Unit::Hour,
            &in_hours(&spreads.gel),
            &GEL,
        ),
        peak_c: desk.estimate(
            "Hottest point while it sets",
            Unit::Celsius,
            &celsius(&spreads.peak),
            &HEAT,
        ),
        warms,
        vitrifies_h: desk.estimate(
            "Cure all but stops at this temperature after",
            Unit::Hour,
            &in_hours(&spreads.vitrifies),
            &VITRIFIES,
        ),
        demould_h: desk.estimate(
            "May leave the mould after",
            Unit::Hour,
            &in_hours(&spreads.off),
            &OFF,
        ),
        decides,
        temperatures,
        hardness,
        later: LATER
            .iter()
            .zip(&spreads.later)
            .map(|(days, tg)| LaterTg {
                after: hours_or_days(days * DAY),
                tg: desk.cell(Unit::Celsius, &celsius(tg)),
            })
            .collect(),
        another_day,
        post: follows.post,
        posts: follows.posts,
        after_fill: follows.after_fill,
        proof: told::proof(),
        service: follows.service,
    })
}

fn hours_or_days(seconds: f64) -> String {
    let days = (seconds / DAY).round();
    match days {
        _ if seconds < DAY => hours_said(seconds),
        d if d < 1.5 => "a day".to_owned(),
        d if d < 6.5 => format!("{d:.0} days"),
        d if d < 7.5 => "a week".to_owned(),
        d => format!("{:.0} weeks", d / 7.0),
    }
}

/// What the resin's own sheet, with a glass transition after a stated cure, adds to what the kinetics expect [K].
fn own_offset(bench: &mut Bench<'_>, clock: &ResinClock) -> Result<f64, LawError> {
    let Some((seen, cure, hours)) = own_cure(bench) else {
        return Ok(0.0);
    };
    let resin = clock.likely();
    let expected = expected(&resin, cure + ZERO_C, hours * HOUR)?;
    Ok((seen + ZERO_C - expected).clamp(-40.0, 40.0))
}

/// The glass transition [C] after a stated cure [C], [h], where the resin has one.
fn own_cure(bench: &Bench<'_>) -> Option<(f64, f64, f64)> {
    let get = |field| {
        let found = bench.plan.resin.properties.get(field);
        found.map(|cited| cited.range.likely)
    };
    Some((get(&TG_AFTER)?, get(&TG_AFTER_CURE)?, get(&TG_AFTER_HOURS)?))
}

/// How far the glass transition may still be off [K].
fn own_range(bench: &mut Bench<'_>, clock: &ResinClock) -> Spread {
    if own_cure(bench).is_none() {
        return clock.tg_off.clone();
    }
    // Three kelvin instead of seven: what is left of one measurement on another cure.
    clock.tg_off.times(3.0 / 7.0)
}

static GEL: Law = Law {
    says: "heat balance through the thickness with the kinetics, until α = 0.58 where it is least",
    basis: Basis::Published,
    sources: &["blade_epoxy", "hemp_cure_2007", "judgement_kinetics_spread"],
};

static HEAT: Law = Law {
    says: "ρc ∂T/∂t = ∂/∂z(k ∂T/∂z) + ρ w H dα/dt, with heat leaving to mould and bag",
    basis: Basis::Rule,
    sources: &[
        "hemp_cure_2007",
        "blade_epoxy",
        "judgement_heat_leaves",
        "bark_cloth_2014",
    ],
};

static VITRIFIES: Law = Law {
    says: "first time at which Tg(α) passes the part's own temperature",
    basis: Basis::Published,
    sources: &["blade_epoxy", "cold_cure_2012"],
};

static OFF: Law = Law {
    says: "from when on α > 0.6, Tg is ten kelvin above the part and the part within five of the shop",
    basis: Basis::Rule,
    sources: &["blade_epoxy", "judgement_demould", "practice_demould"],
};

#[cfg(test)]
mod tests;
