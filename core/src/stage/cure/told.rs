//! What is said about the setting part.

use super::STAGE;
use super::hard::{COOL_WITHIN, Holds};
use super::programme::{Programme, Warmths, elsewhere};
use super::slab::Slab;
use crate::law::laminate_cure::LaminateCourse;
use crate::sheet::Spread;
use crate::stage::bench::{Bench, ZERO_C};
use crate::stage::resin_clock::{HARD_MARGIN, LONGEST};
use crate::units::Unit;

/// Flax loses strength quickly above this, and begins to degrade a little below [C].
const FLAX_LIMIT: f64 = 160.0;
/// A part that stays within this of the air is as good as the air [K].
const FOLLOWS: f64 = 3.0;
/// Most room-temperature hardeners are made for so much and more [K]; common practice, no source.
const LEAST: f64 = 283.15;
/// Steps in which the air is looked at [s].
const LOOK: f64 = 900.0;
/// So many steps pass until warmth has come.
const COMES: u32 = 4;
/// A gain of less than this is none [K].
const NEXT_TO_NOTHING: f64 = 0.5;

/// What its own heat does to the part.
pub(super) fn warms(
    bench: &Bench<'_>,
    slab: &Slab,
    course: &LaminateCourse,
    programme: &Programme,
    heat: &Warmths,
    peak: &Spread,
) -> String {
    let desk = &bench.desk;
    // Against the warmest air so far: a part that cools more slowly than the air does not heat itself.
    let (mut warmest, mut above) = (f64::MIN, 0.0_f64);
    for (&t, hottest) in course.time.iter().zip(&course.hottest) {
        warmest = warmest.max(programme.air(t, heat));
        above = above.max(hottest - warmest);
    }
    let thick = desk.say(Unit::Millimetre, &slab.thickness.times(1000.0));
    let core = if slab.beside_core {
        ", with the core holding the heat in on one side"
    } else {
        ""
    };
    if above < FOLLOWS {
        format!(
            "At {thick} the part stays within a few degrees of the air around it: cure follows the shop, and a cold shop is the danger, not heat."
        )
    } else {
        format!(
            "At {thick}{core} the part gets warmer than the air around it, likely up to about {}: it gels and hardens sooner inside than a thin part would.",
            desk.say(Unit::Celsius, &peak.map(|t| t - ZERO_C)),
        )
    }
}

/// What decides when it may leave its mould.
pub(super) fn decides(bench: &Bench<'_>, holds: Holds, off: f64) -> String {
    let kelvin = |k: f64| bench.desk.say_plain(Unit::Kelvin, k);
    let what = match holds {
        Holds::Set => {
            "Setting throughout decides: the slowest point must be solid before the mould is left."
                .to_owned()
        }
        Holds::Soft => format!(
            "Hardness decides: the part is solid long before its glass transition stands {} clear of its own temperature. Fresh off the mould it softens in the sun or by a heater: keep it cool and supported for the first days.",
            kelvin(HARD_MARGIN)
        ),
        Holds::Warm => format!(
            "Heat decides: the part must cool to within {} of the shop before it leaves its shape.",
            kelvin(COOL_WITHIN)
        ),
    };
    if off < LONGEST {
        what
    } else {
        match holds {
            Holds::Warm => {
                "It never cools before what follows; leave it on the mould to the end.".to_owned()
            }
            _ => "At these temperatures it does not get hard enough to leave its mould: warm it."
                .to_owned(),
        }
    }
}

/// Cautions and ways out.
pub(super) fn notes(
    bench: &mut Bench<'_>,
    slab: &Slab,
    peak: &Spread,
    holds: Holds,
    off: f64,
    plain: bool,
) {
    let limit = bench.desk.say_plain(Unit::Celsius, FLAX_LIMIT);
    let hot = peak.share(|t| t - ZERO_C > FLAX_LIMIT);
    let thick = bench
        .desk
        .say(Unit::Millimetre, &slab.thickness.times(1000.0));
    if hot > 0.1 {
        bench.problem(
            STAGE,
            format!("At {thick} its own heat may take the inside past {limit}, where flax begins to degrade. Lay and fill it in two goes, take a slower hardener, or use a mould that draws heat away."),
        );
        bench.desk.cite(&["flax_heat_2013"]);
    } else if peak.share(|t| t - ZERO_C > 80.0) > 0.1 {
        bench.problem(
            STAGE,
            format!("At {thick} the part heats itself well beyond the air around it, and may distort or boil. Lay and fill it in two goes, take a slower hardener, or a mould that draws heat away; keep a hand's breadth off it while it sets."),
        );
    }
    if off >= LONGEST && holds != Holds::Warm && !plain {
        bench.problem(
            STAGE,
            "With these temperatures the part does not get hard enough to leave its mould. Warm it for longer, or choose a faster hardener.",
        );
    }
    if elsewhere(bench) || !plain {
        bench.advice(
            STAGE,
            "Hang the thermometer where the part lies, under its cover or lamp, not at the door.",
        );
    }
    if !plain {
        bench.caution(
            STAGE,
            "Warm with a thermostat you can trust, stay near it, and keep lamps and heaters off film, tape and solvent: a dry bag, or an oven with dry fibre or anything soaked in solvent inside, can catch fire.",
        );
        bench.advice(
            STAGE,
            "Core, mould, bag and tape stand only so much heat: look their limits up on their own sheets before you warm the part.",
        );
    }
}

/// The air gets colder than the resin is made for while it sets.
pub(super) fn cold(
    bench: &mut Bench<'_>,
    programme: &Programme,
    heat: &Warmths,
    gel: f64,
    off: f64,
) {
    // A steady cold shop is told of where the resin sets.
    if !programme.swings() {
        return;
    }
    let coldest = |until: f64| {
        let steps = (until.min(LONGEST) / LOOK).ceil();
        // A cast of a number of quarters of an hour.
        let times =
            (COMES..=steps.max(f64::from(COMES)) as u32).map(|k| (LOOK * f64::from(k)).min(until));
        times
            .map(|t| programme.air(t, heat))
            .fold(f64::MAX, f64::min)
    };
    let at = |kelvin: f64| {
        bench
            .desk
            .say_plain(Unit::Celsius, (kelvin - ZERO_C).round())
    };
    let least = at(LEAST);
    let (liquid, soft) = (coldest(gel), coldest(off));
    if liquid < LEAST {
        let sentence = format!(
            "While the resin is liquid the air around the part falls to about {}: most room-temperature hardeners are made for {least} and more, and colder they stop, cloud or stay sticky for good (common practice, no source; its own sheet rules). Keep the part above {least} until it has set, or begin when the nights are milder.",
            at(liquid)
        );
        bench.problem(STAGE, sentence);
    } else if soft < LEAST {
        let sentence = format!(
            "Before it may leave the mould the air around it falls to about {}: it all but stops hardening there and goes on when it is warm.",
            at(soft)
        );
        bench.advice(STAGE, sentence);
    }
}

/// What more days buy.
pub(super) fn another_day(bench: &Bench<'_>, later: &[Spread]) -> String {
    let desk = &bench.desk;
    let [first, second, .., last] = later else {
        return String::new();
    };
    let rise = |a: &Spread, b: &Spread| {
        let gain = Spread::from([a, b], |[a, b]| (b - a).max(0.0));
        if gain.likely() < NEXT_TO_NOTHING {
            "next to nothing".to_owned()
        } else {
            format!("about {}", desk.say(Unit::Kelvin, &gain))
        }
    };
    format!(
        "A second day in this shop lifts the glass transition by {}; four weeks by {} in all. After that it all but stands still, and only warmth takes it further.",
        rise(first, second),
        rise(first, last),
    )
}

/// How to tell that it has set.
pub(super) fn proof() -> Vec<String> {
    vec![
        "The film beside the part counts only if it lay as warm as the part; what is left in the cup is ahead of it and proves nothing.".to_owned(),
        "With a hardness tester, take nine tenths of the full-cure figure on the resin's own sheet as the sign to go on, at five places or more.".to_owned(),
        "A fingernail leaves no mark in the edge.".to_owned(),
    ]
}
