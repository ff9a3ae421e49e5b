//! What stands in the way of the day, each with its ways out.

mod alone;
mod clock;
mod resin;
mod wall;

pub(super) use wall::PUMP_ALONE;

use super::open::Hours;
use super::timetable::Timetable;
use super::{Job, Mark};
use crate::sheet::Conflict;
use crate::stage::bench::Bench;

/// The day as planned, to look for what stands in its way.
struct Planned<'a> {
    job: &'a Job<'a>,
    table: &'a Timetable<'a>,
    marks: &'a [Mark],
    hours: &'a Hours<'a>,
}

/// All that stands in the way, what would spoil the part first.
pub(super) fn conflicts(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    table: &Timetable<'_>,
    marks: &[Mark],
    hours: &Hours<'_>,
) -> Vec<Conflict> {
    let day = Planned {
        job,
        table,
        marks,
        hours,
    };
    let all = [
        resin::gels_first(bench, &day),
        resin::gels_open(bench, &day),
        resin::pot_too_old(bench, &day),
        resin::damp_again(bench, &day),
        resin::slow_to_harden(bench, &day),
        clock::too_soft(bench, &day),
        wall::out_of_hours(bench, &day),
        wall::gel_alone(bench, &day),
        wall::at_night(&day),
        alone::heated(bench, &day),
        alone::too_few(bench, &day),
        clock::too_late(bench, &day),
        clock::begun_after_the_end(bench, &day),
    ];
    let ahead = |found: &Conflict| table.find(&found.step).is_none_or(|(_, row)| !row.over);
    all.into_iter().flatten().filter(ahead).collect()
}
