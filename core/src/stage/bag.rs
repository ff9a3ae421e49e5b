//! Is the bag tight? What its gauge says, how long the pump needs, and the drop test: a leak or water.

mod answer;
mod chart;
mod gauge;
mod leaking;
mod log;
mod meter;
mod next;
mod pumping;
mod tell;
mod test;
mod volume;

use super::air::Air;
use super::bench::Bench;
use super::dry::Damp;
use super::resin_clock::ResinClock;
use super::stack::Stacked;
use crate::law::LawError;
use crate::plan::Route;
use crate::plan::fields::ROOM_PRESSURE;
use crate::read::Problem;
use crate::sheet::{BagSheet, Basis, Law, Spread, StageName};
use crate::units::Unit;

const STAGE: StageName = StageName::Bag;

/// One millibar [Pa].
const MBAR: f64 = 100.0;

/// From a rise in pascals a second to one in millibars a minute.
const MBAR_MIN: f64 = 60.0 / MBAR;

/// Works the bag out.
///
/// # Errors
/// A problem where these values lie beyond what can be computed.
pub(crate) fn work(
    bench: &mut Bench<'_>,
    air: &Air,
    stacked: &Stacked,
    damp: Option<&Damp>,
    clock: Option<&ResinClock>,
) -> Result<(Pumped, BagSheet), Vec<Problem>> {
    let job = Job {
        air,
        stacked,
        damp,
        clock,
    };
    bag(bench, &job).map_err(|why| super::bench::beyond("bag", &why))
}

/// What the bag leaves for the day's clock.
pub(crate) struct Pumped {
    /// Time the pump needs over dry cloth in a tight bag [s].
    pub(crate) time: Spread,
}

/// What the stage is given.
struct Job<'a> {
    air: &'a Air,
    stacked: &'a Stacked,
    damp: Option<&'a Damp>,
    clock: Option<&'a ResinClock>,
}

fn bag(bench: &mut Bench<'_>, job: &Job<'_>) -> Result<(Pumped, BagSheet), LawError> {
    let air = job.air;
    let gauge = gauge::gauge(bench, air);
    let volume = volume::free(bench, job, &gauge)?;
    let pumping = pumping::pumping(bench, air, &volume.free)?;
    let tested = test::tested(bench, &gauge)?;
    let outside_law = if bench.plan.given(&ROOM_PRESSURE).is_some() {
        &TYPED
    } else {
        &STANDARD
    };
    let air_outside_mbar = bench.desk.estimate(
        "Air pressure in the shop",
        Unit::Millibar,
        &air.outside.times(1.0 / MBAR),
        outside_law,
    );
    let bag_pressure_mbar = bench.desk.estimate(
        "Pressure left in the bag, above a perfect vacuum",
        Unit::Millibar,
        &air.bag.times(1.0 / MBAR),
        &LEFT,
    );
    let free_volume_l = bench.desk.estimate(
        "Free volume of bag, hoses and pot",
        Unit::Litre,
        &volume.free.times(1000.0),
        volume.law,
    );
    let pump_down_min = bench.desk.estimate(
        if bench.plan.route == Route::Infusion {
            "Time the pump needs, over dry cloth in a tight bag"
        } else {
            "Time the pump needs, in a tight bag"
        },
        Unit::Minute,
        &pumping.time.times(1.0 / 60.0),
        &pumping::PUMP_DOWN_LAW,
    );
    let slowest_told_mbar_min = gauge.slowest_told(bench);
    let leak = leaking::leaking(bench, job, &volume.free, &pumping, tested.as_ref())?;
    let meter = meter::read(bench, job, &gauge, tested.as_ref())?;
    let mut sheet = BagSheet {
        head: answer::head(bench.plan.route, &pump_down_min, &bag_pressure_mbar),
        air_outside_mbar,
        bag_pressure_mbar,
        free_volume_l,
        pump_down_min,
        slowest_told_mbar_min,
        leak_mbar_min: leak.rate,
        leak_throughput_mbar_l_s: leak.throughput,
        leak_ml_each_min: leak.each_minute,
        hole_um: leak.hole,
        air_until_gel_ml: leak.until_gel,
        lowest_with_leak_mbar: leak.lowest,
        vapour_rise_mbar: meter.rise,
        plateau_mbar: meter.rest,
        humidity_pct: meter.humidity,
        regain_left_pct: meter.regain,
        test: None,
        gauges: gauge::shown_everywhere(bench, air),
    };
    pumping::notes(bench, air, &pumping);
    gauge.notes(bench, tested.as_ref());
    if let Some(tested) = &tested {
        let facts = tell::Facts {
            job,
            gauge: &gauge,
            tested,
            lines: &bench.plan.test,
            sheet: &sheet,
            share_of_resin: leak.share_of_resin,
            refused: meter.refused.filter(|_| job.damp.is_some()),
        };
        let said = tell::tell(bench, &facts);
        test::notes(bench, tested);
        sheet.head = said.head;
        sheet.test = Some(said.test);
    }
    answer::cautions(bench, job);
    let pumped = Pumped { time: pumping.time };
    Ok((pumped, sheet))
}

static TYPED: Law = Law {
    says: "as you typed it",
    basis: Basis::Firm,
    sources: &[],
};

static STANDARD: Law = Law {
    says: "p = 1013.25 (1 - 0.0065 h / 288.15)^5.2559 at your height, and the weather",
    basis: Basis::Firm,
    sources: &["us_standard_atmosphere_1976", "judgement_weather"],
};

static LEFT: Law = Law {
    says: "as given, or the air outside less what the gauge shows",
    basis: Basis::Firm,
    sources: &["law_gauge_pressure"],
};
