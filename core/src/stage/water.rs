//! How much water each fibre takes from the air: the shop's own weighing first, then what it learned, then the shelf.

use super::bench::{Bench, ZERO_C};
use crate::law::{LawError, sorption};
use crate::plan::fields::{
    ROOM_HUMIDITY, ROOM_TEMPERATURE, STORE_HUMIDITY, STORE_TEMPERATURE, SWATCH_DRIED, SWATCH_KEPT,
};
use crate::range::Range;
use crate::sheet::{Grade, Spread, StageName};
use crate::shelf::{Family, Fibre};
use crate::units::Unit;

/// Highest relative humidity the isotherm is used at; beyond it the curve runs away.
pub(crate) const DAMPEST: f64 = 0.95;

/// Where the cloth is kept: temperature [K] and relative humidity [-]; the shop itself unless the plan says otherwise.
pub(crate) fn store(bench: &mut Bench<'_>) -> (Spread, Spread) {
    let plan = bench.plan;
    let temperature = if plan.given(&STORE_TEMPERATURE).is_some() {
        bench.take(&STORE_TEMPERATURE)
    } else {
        bench.take(&ROOM_TEMPERATURE)
    };
    let humidity = if plan.given(&STORE_HUMIDITY).is_some() {
        bench.take(&STORE_HUMIDITY)
    } else {
        bench.take(&ROOM_HUMIDITY)
    };
    (kelvin(&temperature), activity(&humidity))
}

/// Celsius to kelvin, not below freezing, where the isotherm ends.
pub(crate) fn kelvin(celsius: &Spread) -> Spread {
    celsius.map(|c| c.max(0.02) + ZERO_C)
}

/// Percent relative humidity to water activity.
pub(crate) fn activity(percent: &Spread) -> Spread {
    percent.map(|p| (p / 100.0).clamp(0.0, DAMPEST))
}

/// Moisture of a fibre relative to wood [-].
pub(crate) fn scale(bench: &mut Bench<'_>, fibre: &Fibre) -> Result<Spread, LawError> {
    if fibre.family == Family::Bast {
        if let (Some(kept), Some(dried)) = (
            bench.plan.given(&SWATCH_KEPT),
            bench.plan.given(&SWATCH_DRIED),
        ) {
            return weighed(bench, kept, dried);
        }
        if let Some(range) = bench.shelf.learned.moisture_scale {
            return Ok(bench.learned(
                "learned.moisture_scale",
                "Moisture your cloth takes up, relative to wood",
                Unit::One,
                range,
            ));
        }
    }
    let holder = format!("fibres.{}", fibre.entry.key);
    Ok(bench.property(
        &holder,
        "moisture_scale",
        "Moisture taken up, relative to wood",
        Unit::One,
        &fibre.entry,
        &fibre.moisture_scale,
    ))
}

/// Moisture relative to wood that a swatch may tell: no bast fibre lies outside.
const BELIEVED: (f64, f64) = (0.2, 1.6);

/// The scale from one swatch, weighed as kept and again when dry.
fn weighed(bench: &mut Bench<'_>, kept: Range, dried: Range) -> Result<Spread, LawError> {
    let (temperature, humidity) = store(bench);
    let weighing = bench.coefficient(
        "dry.swatch_weighing",
        "The weighing of your swatch, and how evenly it was kept",
        Range::new(0.92, 1.0, 1.08),
        Grade::Judgement,
        "judgement_swatch",
    );
    let regain = sorption::weighed_regain(kept.likely / 1000.0, dried.likely / 1000.0)?;
    let scale = Spread::of(
        [&weighing, &temperature, &humidity],
        |[weighing, temperature, humidity]| {
            // A swatch says little in air so dry that there was no water to lose, or nearly wet.
            let humidity = humidity.clamp(0.2, 0.9);
            let wood = sorption::wood_moisture(temperature, humidity)?;
            Ok((regain * weighing / wood).clamp(BELIEVED.0, BELIEVED.1))
        },
    )?;
    if scale.likely() <= BELIEVED.0 || scale.likely() >= BELIEVED.1 {
        bench.problem(
            StageName::Dry,
            "The swatch held far more or far less water than the air it was kept in explains. Weigh both again, and type the humidity of that place; until then this counts with the nearest value that makes sense.",
        );
    }
    Ok(scale)
}
