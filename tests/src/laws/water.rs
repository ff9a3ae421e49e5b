//! Water, air and vacuum.

use super::{Entry, one};
use crate::compare::Got;
use bastwork::law::{
    atmosphere, bag_drying, gauge, oven, pump, sorption, void_limit, water_vapour,
};

pub(super) const LAWS: &[Entry] = &[
    ("saturation_pressure", |g| {
        one(water_vapour::saturation_pressure(g.x("temperature")))
    }),
    ("boiling_temperature", |g| {
        one(water_vapour::boiling_temperature(g.x("pressure")))
    }),
    ("latent_heat", |g| {
        one(water_vapour::latent_heat(g.x("temperature")))
    }),
    ("vapour_density", |g| {
        one(water_vapour::vapour_density(
            g.x("temperature"),
            g.x("activity"),
        ))
    }),
    ("standard_pressure", |g| {
        one(atmosphere::standard_pressure(g.x("altitude_m")))
    }),
    ("absolute_pressure", |g| {
        let (reading, local) = (g.x("reading"), g.x("local"));
        one(gauge::absolute_pressure(
            marking(g.word("marking")),
            reading,
            local,
        ))
    }),
    ("gauge_shown", |g| {
        let (pressure, local) = (g.x("pressure"), g.x("local"));
        one(gauge::shown(marking(g.word("marking")), pressure, local))
    }),
    ("gauge_class_limit", |g| {
        one(gauge::class_limit(g.x("class"), g.x("span")))
    }),
    ("pump_down_time", |g| {
        one(pump::pump_down_time(
            g.x("volume"),
            g.x("pump_speed"),
            g.x("start"),
            g.x("target"),
            g.maybe("ultimate").unwrap_or(0.0),
        ))
    }),
    ("water_carried", |g| {
        one(pump::water_carried(
            g.x("pump_speed"),
            g.x("pressure"),
            g.x("temperature"),
        ))
    }),
    ("moisture_content", |g| {
        one(sorption::moisture_content(g.x("regain")))
    }),
    ("regain_from_content", |g| {
        one(sorption::regain_from_content(g.x("content")))
    }),
    ("dry_mass_from_regain", |g| {
        one(sorption::dry_mass_from_regain(g.x("mass"), g.x("regain")))
    }),
    ("wood_moisture", |g| {
        one(sorption::wood_moisture(g.x("temperature"), g.x("humidity")))
    }),
    ("flax_regain", |g| {
        one(sorption::flax_regain(
            g.x("scale"),
            g.x("temperature"),
            g.x("humidity"),
        ))
    }),
    ("oven_floor", |g| {
        one(oven::oven_floor(
            g.x("scale"),
            g.x("room"),
            g.x("humidity"),
            g.x("oven"),
        ))
    }),
    ("heated_activity", |g| {
        one(oven::heated_activity(
            g.x("room"),
            g.x("humidity"),
            g.x("oven"),
        ))
    }),
    ("bag_end_regain", |g| {
        let end = bag_drying::end_regain(g.x("scale"), g.x("temperature"), g.x("vapour_pressure"))?;
        Ok(vec![match end {
            Some(regain) => ("value", Got::Number(regain)),
            None => ("value", Got::Text("stays wet".into())),
        }])
    }),
    ("vapour_over_cloth", |g| {
        one(sorption::vapour_pressure(
            g.x("scale"),
            g.x("temperature"),
            g.x("regain"),
        ))
    }),
    ("largest_regain", |g| {
        let most = void_limit::largest_regain(g.x("scale"), g.x("resin_pressure"), g.x("hottest"))?;
        one(Ok(most.unwrap_or(f64::INFINITY)))
    }),
];

fn marking(word: &str) -> gauge::Marking {
    match word {
        "mbar_below" => gauge::Marking::MbarBelowLocal,
        "inhg_below" => gauge::Marking::InHgBelowLocal,
        "percent_of_local" => gauge::Marking::PercentOfLocal,
        "percent_of_standard" => gauge::Marking::PercentOfReference {
            full_pa: atmosphere::SEA_LEVEL_PRESSURE_PA,
        },
        other => panic!("there is no gauge marking {other}"),
    }
}
