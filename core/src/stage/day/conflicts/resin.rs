//! What resin and damp put in the way: it gels first, a pot is too old, the cloth is damp again.

use super::Planned;
use crate::law::LawError;
use crate::law::batches::{Draw, mixing_starts, used_up_at};
use crate::law::cure::Resin;
use crate::law::pot::pot_course;
use crate::law::pot_life::{gel_of_100_g, speed_in_the_cold};
use crate::plan::fields::LARGEST_POT;
use crate::plan::{Feed, PotKind, Route};
use crate::sheet::{Conflict, Spread};
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::dry::{flow_run, keeps};
use crate::stage::mix::{LONGEST_POT, Mixed, Parted, usual_pot};
use crate::stage::resin_clock::{LONGEST, ResinClock, resin};
use crate::units::Unit;

/// From this share of draws on, something is worth telling; from the second on, it is likely.
const TOLD: f64 = 0.1;
const LIKELY: f64 = 0.5;
/// A way out leaves this much over [-].
const MARGIN: f64 = 1.15;
/// And so few draws in which it does not lead out [-].
const SURELY: f64 = 0.08;
/// Longest pot life of any hardener on sale [min].
const LONGEST_LIFE: f64 = 1000.0;
/// No hardener is more than so many times slower than another.
const SLOWER: f64 = 4.0;
/// Steps in which slower hardeners are tried, up to that.
const STEPS: i32 = 24;
/// Temperature to which data sheets state a pot life [°C].
const SHEET_CELSIUS: f64 = 25.0;
/// Longest that a part is left to harden without a thought [s].
const PATIENCE: f64 = 7.0 * 86_400.0;
/// Most pots that anybody would mix for one part.
const MOST_POTS: u32 = 60;

/// The resin gels before the part is full.
pub(super) fn gels_first(bench: &mut Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let (clock, time) = (day.job.clock?, day.job.fill_time?);
    // Counted as if it stayed as thin as it was mixed: fill laws hold in that time.
    let lasts_for = |time: &Spread| {
        Spread::from([&clock.gel, &clock.film_gel, time], |[gel, film, time]| {
            let thin = |t: f64| clock.thickening.thin(t / film.max(1e-6));
            thin(gel) / thin(time).max(1e-9)
        })
    };
    let lasts = lasts_for(time);
    let chance = lasts.share(|x| x < 1.0);
    if chance < TOLD {
        return None;
    }
    // In so much of the time nine fills of ten are over before it gels.
    let share = bench.desk.range(&lasts).low.min(1.0);
    let mut ways = Vec::new();
    if let Some(meshed) = day.job.meshed {
        let lasts = lasts_for(meshed);
        let share = bench.desk.range(&lasts).low.min(1.0);
        if lasts.share(|x| x < 1.0) < SURELY {
            ways.push("Lay a flow mesh on the stack.".to_owned());
        } else {
            let near = run_for(bench, day, share);
            let near = no_more_than(bench, Unit::Millimetre, near, 2);
            ways.push(format!(
                "Lay a flow mesh on the stack, and the feed so that no edge is further from it than {near}."
            ));
        }
    }
    ways.push(nearer(bench, day, share));
    ways.extend(slower(bench, day, share));
    ways.push(
        "Fill a strip of this stack first and type how far it ran: that narrows the range most."
            .to_owned(),
    );
    Some(Conflict {
        key: "gels_first",
        step: "fill".into(),
        sentence: if chance >= LIKELY {
            "The resin likely gels before it reaches the far edge.".into()
        } else {
            "The resin may gel before it reaches the far edge.".into()
        },
        ways,
    })
}

/// How near the feed must lie for a fill in this share of the time.
fn nearer(bench: &mut Bench<'_>, day: &Planned<'_>, share: f64) -> String {
    let near = run_for(bench, day, share);
    let near = no_more_than(bench, Unit::Millimetre, near, 2);
    let middle = match bench.plan.feed {
        Feed::Edge => ", along the middle if need be",
        Feed::CentreLine | Feed::Centre | Feed::AllRound => ", with a second line if need be",
    };
    format!(
        "Lay the feed so that no edge is further from it than {near}{middle}: half the way takes a quarter of the time."
    )
}

/// Run for a fill in this share of the time [mm].
fn run_for(bench: &mut Bench<'_>, day: &Planned<'_>, share: f64) -> f64 {
    // Time goes with the square of the way; a little less for a feed that is no line.
    let near = flow_run(bench, day.job.stacked).likely() * 0.9 * share.sqrt() * 1000.0;
    near.max(5.0)
}

/// A number in the reader's unit, rounded down to so many figures.
fn no_more_than(bench: &Bench<'_>, unit: Unit, value: f64, figures: i32) -> String {
    let units = bench.desk.units;
    let shown = unit.to_shown(value, units);
    // A cast of a small whole number.
    let place = 10.0_f64.powi(shown.max(1e-9).log10().floor() as i32 + 1 - figures);
    let shown = (shown / place).floor() * place;
    bench.desk.say_plain(unit, unit.from_shown(shown, units))
}

/// How much slower a hardener must be, where there is such a one: by the pot life that its can must show.
fn slower(bench: &Bench<'_>, day: &Planned<'_>, share: f64) -> Option<String> {
    let times = MARGIN / share.max(1e-9);
    (times <= SLOWER)
        .then(|| pot_life(day.job.clock?, times))
        .flatten()
        .map(|minutes| said_slower(bench, minutes))
}

/// Pot life of 100 g at 25 degrees [min] of a hardener that is so many times slower in a thin layer.
fn pot_life(clock: &ResinClock, times: f64) -> Option<f64> {
    let slow = resin(clock.pace.likely() / times, clock.tg_ultimate.likely());
    let minutes = gel_of_100_g(&slow, ZERO_C + SHEET_CELSIUS).ok()? / 60.0;
    (minutes < LONGEST_LIFE).then_some(minutes)
}

fn said_slower(bench: &Bench<'_>, minutes: f64) -> String {
    // Rounded up to five minutes.
    let life = bench
        .desk
        .say_plain(Unit::Minute, (minutes / 5.0).ceil() * 5.0);
    let (pot, warm) = (
        bench.desk.say_plain(Unit::Gram, 100.0),
        bench.desk.say_plain(Unit::Celsius, SHEET_CELSIUS),
    );
    format!("Take a slower hardener, with a pot life of {life} or more for {pot} at {warm}.")
}

/// Wet layup: the resin gels before the bag is pressed down on it.
pub(super) fn gels_open(bench: &mut Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let clock = day
        .job
        .clock
        .filter(|_| bench.plan.route == Route::BaggedWet)?;
    let (_, first) = day.table.find("mix_1")?;
    let (_, down) = day.table.find("pump")?;
    let lasts = Spread::from(
        [&clock.gel, &first.begins, &down.ends],
        |[gel, mixed, down]| gel / 60.0 / (down - mixed).max(1e-6),
    );
    let chance = lasts.share(|x| x < 1.0);
    if chance < TOLD {
        return None;
    }
    let share = bench.desk.range(&lasts).low.min(1.0);
    let open = Spread::from([&first.begins, &down.ends], |[mixed, down]| down - mixed);
    let mut ways = vec![
        "Have film, peel ply, mesh and lines cut and the tape on the mould before you mix, and type how long bagging then takes.".to_owned(),
    ];
    ways.extend(slower(bench, day, share));
    ways.push("Let two pairs of hands wet out: type how long it then takes.".to_owned());
    Some(Conflict {
        key: "gels_open",
        step: "bag".into(),
        sentence: format!(
            "From the first pot to a bag that presses it takes about {}, and the resin {} by then.",
            bench.desk.say(Unit::Minute, &open),
            if chance >= LIKELY {
                "likely gels"
            } else {
                "may gel"
            },
        ),
        ways,
    })
}

/// How long the pot that is oldest when it is used up has stood by then [min].
fn oldest(draw: Draw, busy: f64, count: u32, mixing: f64) -> Result<f64, LawError> {
    let (busy, mixing) = (busy.max(1e-6), mixing.max(0.0));
    let mut most = 0.0_f64;
    for (i, begin) in mixing_starts(draw, busy, count, mixing)?.iter().enumerate() {
        // It ages from the middle of its stirring.
        let empty = used_up_at(draw, busy, (i + 1) as f64, f64::from(count))?;
        most = most.max(empty - begin - 0.5 * mixing);
    }
    Ok(most)
}

/// A pot is past its time before it is empty.
pub(super) fn pot_too_old(bench: &Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let mixed = day.job.mixed?;
    let (first, _) = day.table.find("mix_1")?;
    let into = day.table.find("fill").or_else(|| day.table.find("wet"))?.0;
    let draw = match into.key.as_str() {
        "fill" => Draw::Fill,
        _ => Draw::Hands,
    };
    let count = mixed.count.clamp(1, 1000);
    // As the pots are planned: on the slow side of the hands.
    let slow = bench.desk.range(&first.takes).high;
    let now = Spread::of([&into.takes], |[busy]| oldest(draw, busy, count, slow));
    let now = now.ok()?;
    let use_within = mixed.use_within.times(1.0 / 60.0);
    if now.likely() <= use_within.likely() {
        return None;
    }
    let mut ways = Vec::new();
    // A smaller pot keeps for longer, so that this many are enough; where mixing is what takes so long, none are.
    let lasts = |count: u32| {
        let stands = oldest(draw, into.takes.likely(), count, slow);
        stands.is_ok_and(|stands| stands <= use_within.likely())
    };
    // No pot is proposed that does not stay calm, or that the scale cannot weigh.
    let good = |count: u32| {
        let each = mixed.batch.likely() / f64::from(count);
        each >= mixed.smallest.likely() && mixed.calm.is_some_and(|calm| each <= calm)
    };
    let mut more = count + 1..=MOST_POTS;
    let hurried = !more.clone().any(lasts);
    // One more may come of rounding.
    let enough = more.find(|&count| good(count) && lasts(count) && lasts(count + 1));
    if let Some(count) = enough {
        // Rounded down, so that one pot more comes of it rather than one less.
        let each = mixed.batch.likely() * 1000.0 / f64::from(count);
        let each = no_more_than(bench, Unit::Gram, each.max(LARGEST_POT.low), 3);
        ways.push(format!(
            "Mix {count} pots or more, each when the one before is nearly empty: type {each} as the largest pot you want to mix."
        ));
    } else if hurried {
        ways.push("Let a second pair of hands mix: with one, the first pots stand while the others are stirred.".to_owned());
    }
    // Only where a pot in it lasts as long as it must.
    let stands = |kind: PotKind| {
        let found = mixed.elsewhere.iter().find(|(known, _)| *known == kind);
        found.is_some_and(|(_, lasts)| *lasts > 60.0 * MARGIN * now.likely())
    };
    if stands(PotKind::Tray) {
        ways.push("Pour each pot into a flat tray, so that it stays cool for longer.".to_owned());
    }
    if stands(PotKind::Bath) {
        ways.push("Stand the pot in cold water, so that it stays cool for longer.".to_owned());
    }
    if let Some(clock) = day.job.clock
        && let Some(minutes) = slow_enough(bench, clock, mixed, draw, slow)
    {
        ways.push(said_slower(bench, minutes));
    }
    let desk = &bench.desk;
    Some(Conflict {
        key: "pot_too_old",
        step: into.key.clone(),
        sentence: format!(
            "A pot stands about {} until it is used up, and should be used within {}.",
            desk.say(Unit::Minute, &now),
            desk.say(Unit::Minute, &use_within),
        ),
        ways,
    })
}

/// Largest pot that is wanted [kg].
fn largest_pot(bench: &Bench<'_>) -> f64 {
    let typed = bench
        .plan
        .given(&LARGEST_POT)
        .or(LARGEST_POT.usual.map(|usual| usual.range));
    typed.map_or(0.0, |range| range.likely * 1e-3)
}

/// Pot life [min] from which on the pots of another hardener last until they are used up.
///
/// Each hardener is parted into its own pots: with a slower one fewer and larger ones are mixed, and each stands longer.
/// `stirring` is how long one pot takes to mix [min].
fn slow_enough(
    bench: &Bench<'_>,
    clock: &ResinClock,
    mixed: &Mixed,
    draw: Draw,
    stirring: f64,
) -> Option<f64> {
    let room = clock.room.likely();
    let batch = mixed.batch.likely();
    // A resin that thickens later fills sooner.
    let film = clock.film_gel.likely();
    let thin = clock.thickening.thin(mixed.busy.likely() / film) * film;
    let busy = |times: f64| match draw {
        Draw::Fill => clock.thickening.clock(thin / (film * times)) * film * times,
        Draw::Hands => mixed.busy.likely(),
    };
    let life = |times: f64, mass: f64| -> Result<f64, LawError> {
        let slow = resin(clock.pace.likely() / times, clock.tg_ultimate.likely());
        let speed = speed_in_the_cold(&slow, SHEET_CELSIUS + ZERO_C, room)?;
        let cup = usual_pot(mass, mixed.density.likely(), room)?;
        let course = pot_course(&Resin { speed, ..slow }, &cup, LONGEST_POT)?;
        Ok(course.use_by().unwrap_or(LONGEST_POT))
    };
    // Worked out for the usual cup; the vessel in hand may be a worse one.
    let usual = life(1.0, batch / f64::from(mixed.count.max(1))).ok()?;
    let vessel = (mixed.use_within.likely() / usual.max(1.0)).min(1.0);
    let lasts = |times: f64| -> Result<bool, LawError> {
        let (busy, life) = (busy(times), |mass: f64| Ok(vessel * life(times, mass)?));
        // Counted with the fewest pots that may come of it: there each stands longest.
        let pots = Parted::of(
            batch,
            busy,
            largest_pot(bench),
            mixed.smallest.likely(),
            |mass| Ok(MARGIN * life(mass)?),
        )?;
        let stands = oldest(draw, busy / 60.0, pots.count, stirring)?;
        Ok(life(pots.mass)? > 60.0 * MARGIN * stands)
    };
    // A slower one yet may be mixed in fewer pots that stand too long again: all from the one that is named must last.
    let mut least = None;
    for step in (1..=STEPS).rev() {
        let times = SLOWER.powf(f64::from(step) / f64::from(STEPS));
        if !lasts(times).ok()? {
            break;
        }
        least = Some(times);
    }
    pot_life(clock, least?)
}

/// Dried cloth lies out too long before bag or resin closes over it.
pub(super) fn damp_again(bench: &mut Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let dried = day.job.dried?;
    let (_, dry) = day.table.find("dry")?;
    let wet = day.table.find("wet");
    let (step, closed) = wet.or_else(|| day.table.find("pump"))?;
    let out = Spread::from([&closed.begins, &dry.ends], |[closed, dry]| {
        (closed - dry).max(0.0)
    });
    let bare = keeps(bench, dried, false).ok()?;
    if out.likely() <= bare.likely() / 60.0 {
        return None;
    }
    let under_film = keeps(bench, dried, true).ok()?;
    let desk = &bench.desk;
    let film = desk.say(Unit::Hour, &under_film.times(1.0 / 3600.0));
    let said = |minutes: &Spread| desk.say(Unit::Minute, minutes);
    let lies = format!(
        "lies out for about {}, and on the mould it is too wet again after {}.",
        said(&out),
        said(&bare.times(1.0 / 60.0)),
    );
    let (sentence, ways) = if wet.is_some() {
        (
            format!("From the oven to the resin the dried cloth {lies}"),
            vec![
                "Keep what is dried in a closed bag, and take out one ply at a time.".to_owned(),
                format!("Lay film over what is dried: under film it keeps for about {film}."),
            ],
        )
    } else {
        (
            format!("From the oven to a closed bag the dried cloth {lies}"),
            vec![
                "Keep what is dried in a closed bag, and lay it straight from there.".to_owned(),
                format!("Lay film over the stack as soon as it lies, before mesh and lines: under film it keeps for about {film}."),
                "Dry it under the bag instead, pump running: type how long it may stay under full vacuum.".to_owned(),
            ],
        )
    };
    Some(Conflict {
        key: "damp_again",
        step: step.key.clone(),
        sentence,
        ways,
    })
}

/// It takes longer to get hard where it lies than anybody plans for.
pub(super) fn slow_to_harden(bench: &Bench<'_>, day: &Planned<'_>) -> Option<Conflict> {
    let demould = &day.job.clock?.demould;
    if demould.likely() < PATIENCE {
        return None;
    }
    let sentence = if demould.likely() >= 0.99 * LONGEST {
        "At these temperatures the part does not get hard enough to leave its mould.".to_owned()
    } else {
        format!(
            "At these temperatures it takes about {} until the part is hard enough to leave its mould.",
            bench.desk.say(Unit::Hour, &demould.times(1.0 / 3600.0))
        )
    };
    Some(Conflict {
        key: "slow_to_harden",
        step: "cure".into(),
        sentence,
        ways: vec![
            "Warm it while it sets: type the temperature under a lamp, a blanket or in the oven."
                .into(),
            "Take a faster hardener.".into(),
        ],
    })
}
