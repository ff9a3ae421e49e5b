//! When a part that heats itself gels where it is hottest: the gel that a fill is held against.

use super::slab;
use crate::law::LawError;
use crate::law::cure::{GEL_CONVERSION, Resin, time_to_conversion};
use crate::law::laminate_cure::laminate_cure;
use crate::read::Problem;
use crate::sheet::{Spread, StageName};
use crate::stage::bench::{Bench, beyond};
use crate::stage::resin_clock::{ResinClock, resin};
use crate::stage::stack::Stacked;
use crate::units::Unit;

/// A part that gels no sooner than this share of a thin layer's time is one [-].
const THIN: f64 = 0.9;
/// From this share on it is worth a sentence [-].
const TOLD: f64 = 0.8;

/// Lets the clock gel as soon as the part does by its own heat, counted from mixing.
///
/// # Errors
/// A problem where these values lie beyond what can be computed.
pub(crate) fn own_heat(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    clock: &mut ResinClock,
) -> Result<(), Vec<Problem>> {
    sooner(bench, stacked, clock).map_err(|why| beyond("cure", &why))
}

fn sooner(
    bench: &mut Bench<'_>,
    stacked: &Stacked,
    clock: &mut ResinClock,
) -> Result<(), LawError> {
    let slab = slab::slab(bench, stacked);
    let share = |resin: &Resin, room: f64, leaves: f64, thickness: f64| -> Result<f64, LawError> {
        let thin = time_to_conversion(resin, room, GEL_CONVERSION)?;
        let layup = slab.layup(thickness, leaves, room);
        let course = laminate_cure(resin, &layup, |_| (room, room), &[], 1.02 * thin)?;
        let gel = course.when_most(GEL_CONVERSION).unwrap_or(thin);
        Ok((gel / thin).min(1.0))
    };
    let (room, thickness) = (clock.room.likely(), slab.thickness.likely());
    let likely = share(&clock.likely(), room, 1.0, thickness)?;
    if likely > THIN {
        return Ok(());
    }
    let tg_ultimate = clock.tg_ultimate.likely();
    let [shares] = Spread::heavy(
        [&clock.room, &clock.pace, &slab.leaves, &slab.thickness],
        |[room, pace, leaves, thickness]| {
            Ok([share(&resin(pace, tg_ultimate), room, leaves, thickness)?])
        },
    )?;
    if likely < TOLD {
        let desk = &bench.desk;
        let said = format!(
            "At {} the part heats itself and gels sooner than a thin one: the fill is held against that.",
            desk.say(Unit::Millimetre, &slab.thickness.times(1000.0)),
        );
        bench.advice(StageName::Fill, said);
    }
    clock.gel = Spread::from([&clock.gel, &shares], |[gel, share]| {
        gel * share.clamp(0.01, 1.0)
    });
    Ok(())
}
