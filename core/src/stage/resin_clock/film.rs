//! How a thin layer hardens after gel: by the time that is typed, or by what data sheets say side by side.

use super::{HARD_MARGIN, HOUR, resin};
use crate::law::LawError;
use crate::law::cure::{late_for, time_to_pass_own_temperature};
use crate::law::film_time::{FILM_OVER_POT, film_time};
use crate::law::pot_life::gel_of_100_g;
use crate::plan::fields::{FILM_AT, FILM_OFF, FILM_SET};
use crate::range::Range;
use crate::sheet::{Grade, Spread, StageName};
use crate::stage::bench::{Bench, ZERO_C};
use crate::units::Unit;

/// Temperature at which data sheets were set side by side [K].
const SIDE_BY_SIDE: f64 = 298.15;
/// Least that [`late_for`] answers [-], a little above it.
const LEAST_LATE: f64 = 0.401;

/// How a thin layer hardens.
pub(super) struct Hardens {
    /// Speed of the kinetics in a film, raised where a typed time asks for it [-].
    pub(super) pace: Spread,
    /// How many times slower it is between gel and hard [-].
    pub(super) late: Spread,
    /// What that stands on, in words.
    pub(super) told: String,
}

/// A time that somebody stated.
struct Stated {
    time: Spread,
    at: f64,
    set: bool,
}

/// The plan's own time, or that of the resin's sheet.
fn stated(bench: &mut Bench<'_>) -> Option<Stated> {
    let plan = bench.plan;
    let typed = [(&FILM_OFF, false), (&FILM_SET, true)];
    let typed = typed
        .into_iter()
        .find(|(field, _)| plan.given(field).is_some());
    if let Some((field, set)) = typed {
        return Some(Stated {
            time: bench.take(field).times(HOUR),
            at: bench.take(&FILM_AT).likely() + ZERO_C,
            set,
        });
    }
    let film = plan.resin.film.as_ref()?;
    let holder = format!("resins.{}", plan.resin.entry.key);
    let name = if film.set { "film_set_h" } else { "film_off_h" };
    let time = bench.property(
        &holder,
        name,
        "A thin layer is hard",
        Unit::Hour,
        &plan.resin.entry,
        &film.hours,
    );
    Some(Stated {
        time: time.times(HOUR),
        at: film.at_c + ZERO_C,
        set: film.set,
    })
}

/// From the speed that the pot life gives, with and without what the kinetics may be off by.
pub(super) fn hardens(
    bench: &mut Bench<'_>,
    speed: &Spread,
    pace: Spread,
    tg_ultimate: &Spread,
) -> Result<Hardens, LawError> {
    match stated(bench) {
        Some(stated) => by_sheet(bench, &stated, pace, tg_ultimate),
        None => by_others(bench, speed, pace, tg_ultimate),
    }
}

/// The resin's own time wins.
fn by_sheet(
    bench: &mut Bench<'_>,
    stated: &Stated,
    pace: Spread,
    tg_ultimate: &Spread,
) -> Result<Hardens, LawError> {
    let margin = if stated.set { 0.0 } else { HARD_MARGIN };
    let at = stated.at;
    // Soonest that a film of this pot life can be hard, at speed one.
    let one = resin(1.0, tg_ultimate.likely()).with_late(LEAST_LATE);
    let soonest = time_to_pass_own_temperature(&one, at, margin)?;
    let raised = Spread::from([&pace, &stated.time], |[pace, time]| {
        pace.max(soonest / time.max(60.0)).min(99.0)
    });
    if raised.likely() > 1.02 * pace.likely() {
        bench.problem(
            StageName::Mix,
            "By its pot life this resin cannot be hard so soon in a thin layer. Look both times up again; until then the thin layer's is believed, and pots are taken to be faster than their sheet says.",
        );
    }
    let [late] = Spread::heavy(
        [&raised, &stated.time, tg_ultimate],
        |[pace, time, tg_ultimate]| {
            Ok([late_for(
                &resin(pace, tg_ultimate),
                at,
                time.max(60.0),
                margin,
            )?])
        },
    )?;
    let desk = &bench.desk;
    let told = format!(
        "A thin layer {} after {} at {}, by its own sheet: hardness in the part follows that.",
        if stated.set {
            "is set"
        } else {
            "may leave its mould"
        },
        desk.say(Unit::Hour, &stated.time.times(1.0 / HOUR)),
        desk.say_plain(Unit::Celsius, at - ZERO_C),
    );
    Ok(Hardens {
        pace: raised,
        late: late.map(|x| x.clamp(0.35, 900.0)),
        told,
    })
}

/// Without one, what the sheets of other hardeners say.
fn by_others(
    bench: &mut Bench<'_>,
    speed: &Spread,
    pace: Spread,
    tg_ultimate: &Spread,
) -> Result<Hardens, LawError> {
    let (low, likely, high) = FILM_OVER_POT;
    let ratio = bench.coefficient(
        "cure.film_over_pot",
        "How much longer a thin layer takes to get hard than 100 g take to gel",
        Range::new(low, likely, high),
        Grade::Memory,
        "memory_film_over_pot",
    );
    let [late, time] = Spread::heavy(
        [speed, &ratio, tg_ultimate],
        |[speed, ratio, tg_ultimate]| {
            let resin = resin(speed, tg_ultimate);
            let pot = gel_of_100_g(&resin, SIDE_BY_SIDE)?;
            let alone = time_to_pass_own_temperature(&resin, SIDE_BY_SIDE, HARD_MARGIN)?;
            let time = film_time(pot, alone, ratio.clamp(5.1, 190.0))?;
            Ok([late_for(&resin, SIDE_BY_SIDE, time, HARD_MARGIN)?, time])
        },
    )?;
    let desk = &bench.desk;
    let told = format!(
        "A pot heats itself and a thin layer does not, so its pot life does not tell when a thin layer is hard. By the sheets of other hardeners that is after about {} at {}; type what its own sheet says, and that counts.",
        desk.say(Unit::Hour, &time.map(|t| t.max(0.0) / HOUR)),
        desk.say_plain(Unit::Celsius, SIDE_BY_SIDE - ZERO_C),
    );
    Ok(Hardens {
        pace,
        late: late.map(|x| x.clamp(0.35, 900.0)),
        told,
    })
}
