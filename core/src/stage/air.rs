//! The air outside, the pressure left in the bag, and what presses the stack.

use super::bench::Bench;
use super::needle;
use crate::law::{LawError, atmosphere};
use crate::plan::Route;
use crate::plan::fields::{ALTITUDE, BAG_PRESSURE, GAUGE_READING, ROOM_PRESSURE};
use crate::range::Range;
use crate::read::Problem;
use crate::sheet::{Asked, Grade, Origin, Spread};
use crate::units::Unit;

const MBAR: f64 = 100.0;

/// Pressures in the shop [Pa].
pub(crate) struct Air {
    /// In the shop.
    pub(crate) outside: Spread,
    /// Left in the bag; that of the shop without one.
    pub(crate) bag: Spread,
    /// Pressing the stack: outside minus inside; zero without a bag.
    pub(crate) net: Spread,
}

/// Works out the pressures.
///
/// # Errors
/// A problem when the bag holds no vacuum.
pub(crate) fn work(bench: &mut Bench<'_>) -> Result<Air, Vec<Problem>> {
    let beyond = |why: LawError| super::bench::beyond("bag", &why);
    let local = local_pressure(bench).map_err(beyond)?;
    if bench.plan.route == Route::OpenWet {
        return Ok(Air {
            bag: local.clone(),
            outside: local,
            net: Spread::exact(0.0),
        });
    }
    let bag = bag_pressure(bench, &local).map_err(beyond)?;
    let least = 0.05 * local.likely();
    if bag.likely() > local.likely() - least {
        return Err(vec![Problem {
            field: if bench.plan.given(&GAUGE_READING).is_some() {
                GAUGE_READING.key.into()
            } else {
                BAG_PRESSURE.key.into()
            },
            value: bench.desk.say_plain(Unit::Millibar, bag.likely() / MBAR),
            low: Some(0.0),
            high: Some((local.likely() - least) / MBAR),
            sentence: format!(
                "The bag holds {}, and the air in your shop is {}: that is no vacuum. Check which zero your gauge counts from, or choose the open layup.",
                bench.desk.say_plain(Unit::Millibar, bag.likely() / MBAR),
                bench.desk.say_plain(Unit::Millibar, local.likely() / MBAR),
            ),
        }]);
    }
    let net = Spread::from([&local, &bag], |[outside, inside]| {
        (outside - inside).max(least)
    });
    Ok(Air {
        outside: local,
        bag,
        net,
    })
}

fn local_pressure(bench: &mut Bench<'_>) -> Result<Spread, LawError> {
    if bench.plan.given(&ROOM_PRESSURE).is_some() {
        return Ok(bench.take(&ROOM_PRESSURE).times(MBAR));
    }
    let altitude = bench.take(&ALTITUDE);
    let weather = bench.desk.take(Asked {
        key: "room.weather_mbar".into(),
        label: "Weather, high or low pressure".into(),
        unit: Unit::Millibar,
        range: Range::new(-12.0, 0.0, 12.0),
        limits: (-40.0, 40.0),
        origin: Origin::Usual,
        grade: Grade::Judgement,
        sources: vec!["judgement_weather".into()],
    });
    Spread::of([&altitude, &weather], |[height, weather]| {
        Ok(atmosphere::standard_pressure(height)? + weather * MBAR)
    })
}

fn bag_pressure(bench: &mut Bench<'_>, local: &Spread) -> Result<Spread, LawError> {
    if bench.plan.given(&GAUGE_READING).is_none() {
        return Ok(bench.take(&BAG_PRESSURE).times(MBAR));
    }
    let kind = bench.plan.gauge;
    let play = needle::play(kind);
    let reading = bench
        .plan
        .given(&GAUGE_READING)
        .unwrap_or(Range::exact(0.0));
    let range = if reading.is_exact() {
        Range::around(reading.likely, play)
    } else {
        reading
    };
    let reading = bench.desk.take(Asked {
        key: GAUGE_READING.key.into(),
        label: GAUGE_READING.label.into(),
        unit: Unit::One,
        range,
        limits: (0.0, 1100.0),
        origin: Origin::Plan,
        grade: Grade::Own,
        sources: Vec::new(),
    });
    Spread::of([&reading, local], |[reading, local]| {
        needle::absolute(kind, reading, local)
    })
}
