//! The batches in turn: what to weigh into each, when to mix it, when it goes to the feed and when it must be empty.

use super::deepen::Places;
use super::{Mixed, STAGE};
use crate::law::batches::{Draw, mixing_starts, used_up_at};
use crate::law::cure::GEL_CONVERSION;
use crate::law::resin_ages::fill_in_turn;
use crate::law::{LawError, cure, mix, viscosity};
use crate::plan::fields::{DEGAS, SCALE_STEP, STIR};
use crate::sheet::{Basis, Batch, Cell, Estimate, Law, Spread};
use crate::stage::bench::Bench;
use crate::stage::resin_clock::{self, ResinClock};
use crate::units::Unit;

const MINUTE: f64 = 60.0;
/// Most batches listed one by one.
const MOST: u32 = 24;

/// The batches, in figures and words.
pub(super) struct Turn {
    pub(super) batches: Vec<Batch>,
    pub(super) said: Vec<String>,
    /// Time to fill with resin of several ages.
    pub(super) fill: Option<Estimate>,
}

pub(super) fn in_turn(
    bench: &mut Bench<'_>,
    places: &Places<'_>,
    mixed: &Mixed,
    fill_time: Option<&Spread>,
) -> Result<Turn, LawError> {
    let clock = places.clock;
    let draw = if fill_time.is_some() {
        Draw::Fill
    } else {
        Draw::Hands
    };
    let count = mixed.count.clamp(1, 1000);
    let mixing = Spread::sum(&[bench.take(&STIR), bench.take(&DEGAS)]).times(MINUTE);
    // Beyond gel nothing is drawn any more.
    let busy = Spread::from([&mixed.busy, &clock.gel], |[busy, gel]| {
        busy.min(gel).max(1e-3)
    });
    // Planned on the slow side, so that slow hands do not starve the feed.
    let slow = bench.desk.range(&mixing).high.max(0.0);
    let shown = count.min(MOST) as usize;
    let mut batches = Vec::with_capacity(shown);
    let masses = to_the_step(bench, mixed.batch.likely() * 1000.0, count);
    let mut late = false;
    for (k, (resin, hardener)) in masses.into_iter().take(shown).enumerate() {
        let [mix_at, pour_at, empty_at] = Spread::several([&busy], |[busy]| {
            let begins = mixing_starts(draw, busy, count, slow)?;
            let used = |batches: usize| used_up_at(draw, busy, batches as f64, f64::from(count));
            Ok([begins[k], used(k)?, used(k + 1)?])
        })?;
        // It ages from the middle of its stirring.
        let use_by = Spread::from(
            [&mix_at, &mixing, &mixed.use_within],
            |[at, mixing, use_by]| at + 0.5 * mixing + use_by,
        );
        let over = Spread::from([&use_by, &empty_at], |[use_by, empty]| use_by - empty);
        let note = if over.share(|t| t < 0.0) >= 0.5 {
            late = true;
            format!(
                "It would stand about {} longer than it should.",
                bench
                    .desk
                    .say(Unit::Minute, &over.times(-1.0 / MINUTE).map(|t| t.max(0.0)))
            )
        } else {
            String::new()
        };
        let grams = |grams: f64| bench.desk.say_plain(Unit::Gram, grams);
        batches.push(Batch {
            // A count that fits.
            number: k as u32 + 1,
            resin: grams(resin),
            hardener: grams(hardener),
            total: grams(resin + hardener),
            mix_at: told(bench, draw, &mix_at),
            pour_at: told(bench, draw, &pour_at),
            empty_by: told(bench, draw, &use_by),
            note,
        });
    }
    let turn = InTurn {
        draw,
        mixing: &mixing,
        slow,
        busy: &busy,
        late,
    };
    let said = said(bench, places, mixed, &turn)?;
    let fill = match fill_time {
        Some(_) if count > 1 => ages(bench, clock, &busy, slow, &mixing, count, fill_time)?,
        _ => None,
    };
    Ok(Turn {
        batches,
        said,
        fill,
    })
}

/// Resin and hardener of each batch in the steps of the scale [g]; together they come to the whole.
fn to_the_step(bench: &mut Bench<'_>, batch: f64, count: u32) -> Vec<(f64, f64)> {
    let step = bench.take(&SCALE_STEP).likely();
    let phr = bench.plan.resin.hardener_per_100;
    let Ok(split) = mix::split(batch / 1000.0, phr) else {
        return Vec::new();
    };
    let steps = |grams: f64| (grams / step).round();
    let share = |whole: f64, k: u32| {
        let until = |k: u32| steps(whole * f64::from(k) / f64::from(count));
        // Whole steps, so that no digit is left over from a subtraction.
        tidy((until(k + 1) - until(k)) * step)
    };
    (0..count.min(MOST))
        .map(|k| {
            (
                share(split.resin * 1000.0, k),
                share(split.hardener * 1000.0, k),
            )
        })
        .collect()
}

/// Without what a binary fraction leaves behind.
pub(super) fn tidy(grams: f64) -> f64 {
    (grams * 1e6).round() / 1e6
}

/// A moment in words: before or after the feed is opened, or the hands begin.
fn told(bench: &Bench<'_>, draw: Draw, at: &Spread) -> Cell {
    let minutes = at.times(1.0 / MINUTE);
    let mut cell = bench.desk.cell(Unit::Minute, &minutes);
    let likely = minutes.likely();
    let since = match draw {
        Draw::Fill => "the feed opens",
        Draw::Hands => "you begin",
    };
    let amount = bench.desk.say(Unit::Minute, &minutes.map(f64::abs));
    cell.text = if likely.abs() < 0.5 {
        format!("when {since}")
    } else if likely < 0.0 {
        format!("{amount} before {since}")
    } else {
        format!("{amount} after")
    };
    // A range that crosses zero reads badly beside words; it stays in the figures.
    if cell.low < 0.0 {
        cell.range = String::new();
    }
    cell
}

/// The batches as they are planned.
struct InTurn<'a> {
    draw: Draw,
    /// Time to weigh, stir and degas one [s], and the slow side of it, by which they are planned.
    mixing: &'a Spread,
    slow: f64,
    busy: &'a Spread,
    /// Some batch is past its time before it is empty.
    late: bool,
}

fn said(
    bench: &mut Bench<'_>,
    places: &Places<'_>,
    mixed: &Mixed,
    turn: &InTurn<'_>,
) -> Result<Vec<String>, LawError> {
    let &InTurn {
        draw,
        mixing,
        slow,
        busy,
        late,
    } = turn;
    let likely = mixing.likely();
    let desk = &bench.desk;
    let minutes = |x: &Spread| desk.say(Unit::Minute, &x.times(1.0 / MINUTE));
    let about = |seconds: f64| desk.say_about(Unit::Minute, seconds / MINUTE);
    let spare = format!(
        "about {} to mix, and {} to spare for slow hands",
        about(likely),
        about(slow - likely)
    );
    let count = mixed.count.clamp(1, 1000);
    // Those that are stirred by the time the feed opens.
    let begins = mixing_starts(draw, busy.likely(), count, slow)?;
    let ready = begins.iter().filter(|begin| **begin + slow <= 1e-6).count();
    let mut said = vec![match (count, draw) {
        (1, _) => format!(
            "One batch. Weighing, stirring and degassing take about {}: allow {}.",
            minutes(mixing),
            about(slow)
        ),
        (_, Draw::Fill) => format!(
            "{count} batches for a fill of about {}: the first goes in fast, the last slowly, because half the way takes a quarter of the time. Each is begun {} before the one before it is empty: {spare}.",
            minutes(busy),
            about(slow),
        ),
        (_, Draw::Hands) => format!(
            "{count} batches for about {} of work by hand, each begun {} before it is wanted: {spare}. Two people: one mixes while the other works. Alone, mix each when the one before it is used up, and allow {} more in all.",
            minutes(busy),
            about(slow),
            minutes(&mixing.times(f64::from(count - 1))),
        ),
    }];
    // A tray lets fewer and larger ones stand.
    let twice = 2.0 * mixed.batch.likely() / f64::from(count);
    let tray = places.calm_in(bench, &places.tray, twice)?;
    let in_trays = places.depth(bench).filter(|_| tray);
    if count > 1 && draw == Draw::Fill {
        let all = ready == count as usize;
        let which = if all {
            format!("All {count} of them")
        } else {
            format!("{ready} of them")
        };
        if ready > 1 {
            let mut way = format!(
                "{which} must stand mixed when the feed opens, because the fill draws them faster than one pair of hands mixes. Weigh both parts of each beforehand"
            );
            if let Some(depth) = &in_trays {
                way += &format!(
                    ", or mix fewer and larger ones and pour them at once into flat trays, no deeper than {depth}, where they stay calm"
                );
            }
            said.push(way + ".");
        }
        if mixed.in_turn && !all {
            bench.advice(
                STAGE,
                if ready > 1 {
                    format!("Have {ready} pots mixed when the feed opens and no more: mix the others in turn, so that the feed never runs dry and none grows old. Where the front runs ahead of the plan, begin the next one sooner.")
                } else {
                    "Do not mix the pots at once: mix them in turn, so that the feed never runs dry and none grows old. Where the front runs ahead of the plan, begin the next one sooner.".to_owned()
                },
            );
        }
    }
    if late {
        // Smaller batches would take even longer to mix.
        let hurried = ready > 1;
        let mut way = if hurried {
            "weigh all of it out beforehand, mix with a second pair of hands, or take a slower hardener".to_owned()
        } else {
            "mix smaller batches, stand them in cold water, or take a slower hardener".to_owned()
        };
        if let Some(depth) = &in_trays {
            way += &format!("; in flat trays, no deeper than {depth}, they keep for longer");
        }
        bench.problem(
            STAGE,
            format!("A batch would be past its time before it is used up: {way}."),
        );
        said.push(format!(
            "Some batch would be past its time before it is empty: {way}."
        ));
    }
    if mixed.count > MOST {
        said.push(format!(
            "The first {MOST} are listed; the others go on alike."
        ));
    }
    Ok(said)
}

/// Time to fill with resin of several ages.
fn ages(
    bench: &mut Bench<'_>,
    clock: &ResinClock,
    busy: &Spread,
    slow: f64,
    mixing: &Spread,
    count: u32,
    fill_time: Option<&Spread>,
) -> Result<Option<Estimate>, LawError> {
    let Some(time) = fill_time else {
        return Ok(None);
    };
    let law = viscosity::INFUSION_EPOXY;
    let tg_ultimate = clock.tg_ultimate.likely();
    let room = clock.room.likely();
    let speed = clock.pace.likely();
    let resin = resin_clock::resin(speed, tg_ultimate);
    // One course for all ages; the gel time carries the range of the speed.
    let gel = cure::time_to_conversion(&resin, room, GEL_CONVERSION)?;
    let track = cure::isothermal_cure(&resin, room, gel * 1.05)?;
    let [took] = Spread::heavy(
        [time, &clock.film_gel, mixing, busy],
        |[time, gel_now, mixing, busy]| {
            let stretch = gel / gel_now.max(1.0);
            let thin = clock.thickening.thin((time / gel_now).min(0.999)) * gel_now;
            let rise = |age: f64| {
                let conversion = track.at((age * stretch).max(0.0))[0];
                if conversion < 0.595 {
                    viscosity::rise(law, conversion.max(0.0)).unwrap_or(f64::INFINITY)
                } else {
                    f64::INFINITY
                }
            };
            let mixed: Vec<f64> = mixing_starts(Draw::Fill, busy.max(1e-3), count, slow)?
                .into_iter()
                .map(|begins| begins + 0.5 * mixing)
                .collect();
            let found = fill_in_turn(thin.max(1e-3), rise, &mixed)?;
            // What gels on its way takes as long as gel, at least.
            Ok([found.unwrap_or(gel_now).max(1e-3)])
        },
    )?;
    let likely_fills = time.likely() < clock.gel.likely();
    Ok(likely_fills.then(|| {
        bench.desk.estimate(
            "Time to fill with these batches, each of its own age",
            Unit::Minute,
            &took.map(|t| t.max(0.0) / MINUTE),
            &AGES,
        )
    }))
}

static AGES: Law = Law {
    says: "dt/dy = 2 T Σ r(t - mₖ) lₖ(y): every batch thickens from its own mixing, wherever it is in the part",
    basis: Basis::Published,
    sources: &["law_darcy_fill", "blade_epoxy"],
};
