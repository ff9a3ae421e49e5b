//! The resin setting in the part, in depth: a programme of temperatures, heat through the thickness, post-cure.

use super::hard::{Judged, expected};
use super::post::{self, Green};
use super::programme::{self, Programme, Warmths, hours_said};
use super::slab;
use super::solved::Solved;
use super::{after_fill, charts, service, told};
use crate::law::LawError;
use crate::plan::fields::CURE_HOURS;
use crate::read::Problem;
use crate::sheet::{Basis, LaterTg, Law, SettingSheet, Spread};
use crate::shelf::properties::{TG_AFTER, TG_AFTER_CURE, TG_AFTER_HOURS};
use crate::stage::air::Air;
use crate::stage::bench::{Bench, ZERO_C, beyond};
use crate::stage::fill::Filled;
use crate::stage::resin_clock::{self, LONGEST, ResinClock};
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
/// And for what later weeks bring [s].
const WEEKS: f64 = 29.0 * DAY;
/// Self-heating above which mould and bag matter [K].
const OWN_HEAT: f64 = 1.5;
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
    let hours = bench.take(&CURE_HOURS).likely() * HOUR;
    let solved = Solved {
        programme: &programme,
        slab: &slab,
        on_mould: bench.plan.post_on_mould,
        until: if programme.swings() {
            let ends = programme.post_ends(&heats.likely()).unwrap_or(0.0);
            NIGHTS.max(ends + 2.0 * DAY).max(hours + DAY).min(LONGEST)
        } else {
            LONGEST
        },
    };
    let likely = heats.likely();
    let resin = clock.likely();
    let course = solved.course(&resin, &likely, 1.0, slab.thickness.likely())?;
    let judged = Judged {
        course: &course,
        resin: &resin,
        offset,
    };
    let (off, holds) = solved.off(&judged, &likely, 1.0, slab.thickness.likely())?;
    let post_from = programme.post.map_or(hours, |post| post.from);
    let post_from_or_end = programme.post.map_or(f64::MAX, |post| post.from);
    let drawn = charts::drawn_to(off, judged.gel(), programme.post_ends(&likely));
    let stops: [f64; STOPS] = std::array::from_fn(|i| drawn * (i + 1) as f64 / STOPS as f64);
    // As far as most need be followed: a day past what the likely one does.
    let near = (2.0 * off)
        .max(drawn)
        .max(post_from)
        .max(programme.post_ends(&likely).unwrap_or(0.0))
        .max(hours)
        + DAY;
    let plain = programme.without_post();
    let bare = Solved {
        programme: &plain,
        until: WEEKS,
        ..solved
    };
    // Where the part keeps to the air, how heat leaves it moves nothing, and need not be tried.
    let own_heat =
        course.hottest_until(post_from_or_end) - warmest_air(&programme, &likely, post_from_or_end);
    let (leaves, thickness) = if own_heat > OWN_HEAT {
        (slab.leaves.clone(), slab.thickness.clone())
    } else {
        (Spread::exact(1.0), Spread::exact(slab.thickness.likely()))
    };
    let inputs = [
        &heats.day,
        &clock.pace,
        &clock.late,
        &clock.tg_ultimate,
        &leaves,
        &thickness,
        &heats.night,
        &heats.warm,
        &heats.post,
        &heats.lag,
    ];
    let figures: [Spread; FIGURES + STOPS] = Spread::heavy(
        inputs,
        |[
            day,
            speed,
            late,
            tg_ultimate,
            leaves,
            thickness,
            night,
            warm,
            post,
            lag,
        ]| {
            let heat = Warmths {
                day,
                night,
                warm,
                post,
                lag,
            };
            let resin = resin_clock::resin(speed, tg_ultimate).with_late(late);
            let (course, off) =
                solved.followed(near, &resin, offset, (&heat, leaves, thickness))?;
            let judged = Judged {
                course: &course,
                resin: &resin,
                offset,
            };
            let mut out = [0.0; FIGURES + STOPS];
            out[0] = judged.gel();
            out[1] = course.hottest_until(post_from_or_end);
            out[2] = judged.vitrifies()?;
            out[3] = off;
            out[4] = judged.tg(hours)?;
            out[5] = course.at(post_from).least;
            for (stop, to) in stops.iter().zip(&mut out[FIGURES..]) {
                *to = judged.tg(*stop)?;
            }
            Ok(out)
        },
    )?;
    let off_by = own_range(bench, clock);
    let shifted = |tg: &Spread| Spread::from([tg, &off_by], |[tg, off]| tg + off);
    let bounded = |t: &Spread| t.map(|t| t.clamp(0.0, LONGEST));
    let [gel, peak, vitrifies, off_spread, at_trim, green] =
        std::array::from_fn(|i| figures[i].clone());
    let (gel, vitrifies, off_spread) = (bounded(&gel), bounded(&vitrifies), bounded(&off_spread));
    // A part that keeps to the shop gels as it does for the fill: one gel, one range.
    let shop_alone = programme.plain() && !programme::elsewhere(bench);
    let same = (judged.gel() / clock.gel.likely() - 1.0).abs() < ONE_GEL;
    let gel = if shop_alone && same {
        clock.gel.clone()
    } else {
        gel
    };
    let band: Vec<Spread> = figures[FIGURES..].iter().map(shifted).collect();
    let later: [Spread; LATER.len()] = Spread::heavy(
        [&heats.day, &clock.pace, &clock.late, &clock.tg_ultimate],
        |[day, speed, late, tg_ultimate]| {
            let heat = Warmths { day, ..likely };
            let resin = resin_clock::resin(speed, tg_ultimate).with_late(late);
            let course = bare.course(&resin, &heat, 1.0, slab.thickness.likely())?;
            let judged = Judged {
                course: &course,
                resin: &resin,
                offset,
            };
            let mut out = [0.0; LATER.len()];
            for (days, to) in LATER.iter().zip(&mut out) {
                *to = judged.tg(days * DAY)?;
            }
            Ok(out)
        },
    )?;
    let later = later.map(|tg| shifted(&tg));
    clock.cure_gel.clone_from(&gel);
    clock.demould.clone_from(&off_spread);
    clock.tg = shifted(&at_trim);
    if let Some(last) = later.last() {
        clock.tg_four_weeks.clone_from(last);
    }
    let greenness = Green {
        conversion: &green.map(|x| x.clamp(0.0, 1.0)),
        pace: &clock.pace,
        late: &clock.late,
        tg_ultimate: &clock.tg_ultimate,
        offset,
        off: &off_by,
        air: programme.shop(post_from, &likely),
    };
    let asked = post::asked(bench, &programme, &heats, &greenness, &off_spread)?;
    let (post, post_tg) = asked.unzip();
    let (posts, done) = post::rows(bench, &greenness)?;
    let hardness = service::Hardness {
        trimmed: &clock.tg,
        four_weeks: &clock.tg_four_weeks,
        post: post_tg.as_ref(),
        usual: &done,
        most: &shifted(&clock.tg_ultimate.map(|t| t + offset)),
    };
    let service = service::service(bench, &hardness, settling.gives)?;
    let after = match settling.filled {
        Some(filled) => Some(after_fill::after_fill(bench, settling.air, filled, clock)?),
        None => None,
    };
    told::notes(bench, &slab, &peak, holds, off, programme.plain());
    told::cold(bench, &programme, &likely, judged.gel(), off);
    let warms = told::warms(bench, &slab, &course, &programme, &likely, &peak);
    let temperatures = charts::temperatures(bench, &course, &programme, &likely, drawn);
    let hardness = charts::hardness(
        bench,
        &judged,
        &charts::Hardness {
            drawn,
            off,
            stops: &stops,
            band: &band,
        },
    )?;
    let heard = programme.told(bench, &heats, settling.hour.is_some());
    let decides = told::decides(bench, holds, off);
    let another_day = told::another_day(bench, &later);
    let desk = &mut bench.desk;
    let celsius = |x: &Spread| x.map(|t| t - ZERO_C);
    let in_hours = |x: &Spread| x.times(1.0 / HOUR);
    let names = LATER.map(|days| hours_or_days(days * DAY));
    Ok(SettingSheet {
        programme: heard,
        gel_h: desk.estimate(
            "Until all of it has gelled",
            Unit::Hour,
            &in_hours(&gel),
            &GEL,
        ),
        peak_c: desk.estimate(
            "Hottest point while it sets",
            Unit::Celsius,
            &celsius(&peak),
            &HEAT,
        ),
        warms,
        vitrifies_h: desk.estimate(
            "Cure all but stops at this temperature after",
            Unit::Hour,
            &in_hours(&vitrifies),
            &VITRIFIES,
        ),
        demould_h: desk.estimate(
            "May leave the mould after",
            Unit::Hour,
            &in_hours(&off_spread),
            &OFF,
        ),
        decides,
        temperatures,
        hardness,
        later: names
            .into_iter()
            .zip(&later)
            .map(|(after, tg)| LaterTg {
                after,
                tg: desk.cell(Unit::Celsius, &celsius(tg)),
            })
            .collect(),
        another_day,
        post,
        posts,
        after_fill: after,
        proof: told::proof(),
        service,
    })
}

/// The warmest air up to a time [K]: it only turns at its corners, and by day.
fn warmest_air(programme: &Programme, heat: &Warmths, until: f64) -> f64 {
    let corners = programme.corners(heat);
    let at = corners.iter().filter(|&&t| t <= until);
    at.map(|&t| programme.air(t, heat))
        .fold(programme.air(0.0, heat).max(heat.day), f64::max)
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
