//! The leak that the readings tell, by every measure: rise, throughput, air each minute, hole, and what it does.

use super::pumping::Pumping;
use super::test::Tested;
use super::{Job, MBAR, MBAR_MIN};
use crate::law::{LawError, leak, pump};
use crate::range::Range;
use crate::sheet::{Asked, Basis, Estimate, Grade, Law, Origin, Spread};
use crate::stage::bench::Bench;
use crate::stage::stack::resin_density;
use crate::units::Unit;

/// One millibar litre a second [Pa m3/s].
const MBAR_LITRE: f64 = 0.1;

/// Largest throughput that is worked with [Pa m3/s].
const MOST: f64 = 900.0;

/// The leak; nothing without readings, or while they fall.
#[derive(Default)]
pub(super) struct Leaking {
    pub(super) rate: Option<Estimate>,
    pub(super) throughput: Option<Estimate>,
    pub(super) each_minute: Option<Estimate>,
    pub(super) hole: Option<Estimate>,
    pub(super) until_gel: Option<Estimate>,
    pub(super) lowest: Option<Estimate>,
    /// Air until gel as a share of the part's resin, by volume [-].
    pub(super) share_of_resin: Option<Spread>,
}

/// What the readings say of the leak, entered as one measured input.
pub(super) fn leaking(
    bench: &mut Bench<'_>,
    job: &Job<'_>,
    free: &Spread,
    pumping: &Pumping,
    tested: Option<&Tested>,
) -> Result<Leaking, LawError> {
    let Some(tested) = tested.filter(|tested| tested.is_told() && !tested.judged.falling) else {
        return Ok(Leaking::default());
    };
    let [low, likely, high] = tested.judged.rate.map(|rate| rate * MBAR_MIN);
    let rate = bench.desk.take(Asked {
        key: "bag.test".into(),
        label: "Leak told by your readings".into(),
        unit: Unit::MillibarPerMinute,
        range: Range::new(low, likely, high),
        limits: (0.0, 1e6),
        origin: Origin::Measured,
        grade: Grade::Own,
        sources: vec!["rise_test_notes".into(), "memory_akaike".into()],
    });
    let throughput = Spread::of([free, &rate], |[free, rate]| {
        Ok(pump::throughput(free, (rate / MBAR_MIN).min(1e6))?.min(MOST))
    })?;
    let outside = &job.air.outside;
    let drawn = |time: &Spread| {
        Spread::of([&throughput, time, outside], |[q, time, outside]| {
            leak::air_drawn_in(q, time, outside)
        })
    };
    let each_minute = drawn(&Spread::exact(60.0))?;
    let hole = Spread::of(
        [&throughput, outside, &tested.temperature],
        |[q, outside, t]| leak::equivalent_hole(q, outside, t),
    )?;
    let lowest = Spread::from(
        [&pumping.lowest, &throughput, &pumping.speed, outside],
        |[lowest, q, speed, outside]| (lowest + q / speed).min(outside),
    );
    let until_gel = job.clock.map(|clock| drawn(&clock.gel)).transpose()?;
    let density = resin_density(bench);
    let share_of_resin = until_gel
        .as_ref()
        .filter(|_| job.stacked.resin.smallest() > 0.0)
        .map(|air| {
            Spread::from(
                [air, &job.stacked.resin, &density],
                |[air, resin, density]| air * density / resin,
            )
        });
    let desk = &mut bench.desk;
    let millilitres = |volume: &Spread| volume.times(1e6);
    Ok(Leaking {
        rate: Some(desk.estimate(
            "Leak, as a rise of the gauge",
            Unit::MillibarPerMinute,
            &rate,
            &RATE,
        )),
        throughput: Some(desk.estimate(
            "Leak, whatever the size of the bag",
            Unit::MillibarLitrePerSecond,
            &throughput.times(1.0 / MBAR_LITRE),
            &THROUGHPUT,
        )),
        each_minute: Some(desk.estimate(
            "Air of the shop that comes in each minute",
            Unit::Millilitre,
            &millilitres(&each_minute),
            &DRAWN,
        )),
        hole: Some(desk.estimate(
            "One round hole that lets as much in",
            Unit::Micrometre,
            &hole.times(1e6),
            &HOLE,
        )),
        until_gel: until_gel.map(|air| {
            desk.estimate(
                "Air of the shop that comes in until the resin gels",
                Unit::Millilitre,
                &millilitres(&air),
                &DRAWN,
            )
        }),
        lowest: Some(desk.estimate(
            "Lowest that pump and leak allow",
            Unit::Millibar,
            &lowest.times(1.0 / MBAR),
            &LOWEST,
        )),
        share_of_resin,
    })
}

static RATE: Law = Law {
    says: "p = p0 + L t + B (1 - exp(-t/τ)): L over the courses that your readings leave open, each by its weight",
    basis: Basis::Firm,
    sources: &["rise_test_notes", "rise_test_maker", "memory_akaike"],
};

static THROUGHPUT: Law = Law {
    says: "Q = V L",
    basis: Basis::Firm,
    sources: &["law_boyle"],
};

static DRAWN: Law = Law {
    says: "volume = Q t / p_outside",
    basis: Basis::Firm,
    sources: &["law_boyle"],
};

static HOLE: Law = Law {
    says: "Q = 0.6 A p_outside times the speed of a choked jet",
    basis: Basis::Firm,
    sources: &["law_choked_hole"],
};

static LOWEST: Law = Law {
    says: "p = p_lowest + Q / S, with S what reaches the bag",
    basis: Basis::Firm,
    sources: &["law_pump_down"],
};
