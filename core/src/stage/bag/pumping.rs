//! How long the pump needs to get there, and what it means when it took longer.

use super::{MBAR, STAGE};
use crate::law::{LawError, leak, pump};
use crate::plan::fields::{PUMP, PUMP_DOWN, PUMP_LOWEST};
use crate::range::Range;
use crate::sheet::{Asked, Basis, Grade, Law, Origin, Spread};
use crate::stage::air::Air;
use crate::stage::bench::Bench;
use crate::units::Unit;

/// A pump is taken to come no nearer to its own lowest pressure than this.
const NEAR: f64 = 1.05;

/// The pump at this bag.
pub(super) struct Pumping {
    /// Until the bag's pressure is reached, dry and tight [s].
    pub(super) time: Spread,
    /// What of the pump's speed reaches the bag [m3/s].
    pub(super) speed: Spread,
    /// Lowest pressure the pump reaches alone [Pa].
    pub(super) lowest: Spread,
}

pub(super) fn pumping(
    bench: &mut Bench<'_>,
    air: &Air,
    free: &Spread,
) -> Result<Pumping, LawError> {
    let own = bench.take(&PUMP).times(1.0 / 3600.0);
    let lowest = bench.take(&PUMP_LOWEST).times(MBAR);
    let hose = bench.desk.take(Asked {
        key: "bag.hose_m3_h".into(),
        label: "What the hose lets through".into(),
        unit: Unit::CubicMetrePerHour,
        range: Range::new(8.0, 25.0, 80.0),
        limits: (0.1, 1e4),
        origin: Origin::Usual,
        grade: Grade::Judgement,
        sources: vec!["judgement_hose".into()],
    });
    let speed = Spread::of([&own, &hose], |[own, hose]| {
        leak::speed_behind_hose(own, hose / 3600.0)
    })?;
    let time = Spread::of(
        [free, &speed, &air.outside, &air.bag, &lowest],
        |[free, speed, outside, bag, lowest]| {
            let lowest = lowest.min(0.8 * outside);
            let target = bag.min(0.99 * outside).max(NEAR * lowest);
            pump::pump_down_time(free, speed, outside, target, lowest)
        },
    )?;
    Ok(Pumping {
        time,
        speed,
        lowest,
    })
}

/// Whether the pump can get there, and how the time it took compares.
pub(super) fn notes(bench: &mut Bench<'_>, air: &Air, pumping: &Pumping) {
    if air.bag.likely() < pumping.lowest.likely() {
        let bag = bench.desk.say(Unit::Millibar, &air.bag.times(1.0 / MBAR));
        let own = bench
            .desk
            .say(Unit::Millibar, &pumping.lowest.times(1.0 / MBAR));
        bench.problem(
            STAGE,
            format!("Check the gauge, or type what your pump reaches alone: the bag is to hold {bag}, and this pump gets no lower than {own}. The time is worked out to just above that."),
        );
    }
    let Some(took) = bench.plan.given(&PUMP_DOWN) else {
        return;
    };
    let time = pumping.time.times(1.0 / 60.0);
    let range = bench.desk.range(&time);
    let ratio = took.likely / range.likely.max(1e-9);
    let took_text = bench.desk.say_plain(Unit::Minute, took.likely);
    let should = bench.desk.say(Unit::Minute, &time);
    let within = (range.low..=range.high).contains(&took.likely);
    if within || (0.5..=2.0).contains(&ratio) {
        bench.advice(
            STAGE,
            format!("The pump took {took_text}; a dry, tight bag of this volume takes about {should}. That is about right."),
        );
    } else if ratio < 1.0 {
        bench.advice(
            STAGE,
            format!("The pump took {took_text}, less than the {should} worked out: the free volume is likely smaller than given, or the pump stronger. A syringe of air tells the volume."),
        );
    } else if ratio <= 10.0 {
        bench.problem(
            STAGE,
            format!("The pump took {took_text}, about {ratio:.0} times what a dry, tight bag takes ({should}). Look for water in the cloth, a throttled hose, or a leak; the drop test tells which."),
        );
    } else {
        bench.problem(
            STAGE,
            format!("The pump took {took_text}, more than ten times what a dry, tight bag takes ({should}): do not let resin in yet. Dry the cloth, look for a pinched hose, and make the drop test."),
        );
    }
}

pub(super) static PUMP_DOWN_LAW: Law = Law {
    says: "t = V / S ln((p_outside - p_lowest) / (p_bag - p_lowest)), with 1/S = 1/S_pump + 1/C_hose",
    basis: Basis::Firm,
    sources: &["law_pump_down"],
};
