//! The same fill a little warmer, at less vacuum, and with or without a mesh.

use crate::law::LawError;
use crate::plan::Plan;
use crate::sheet::{Desk, Fact};
use crate::shelf::Shelf;
use crate::stage::fill::board::Scene;
use crate::stage::fill::pace::{Paced, paced};
use crate::units::Unit;
use serde_json::{Value, json};

/// The same fill a little warmer, at less vacuum, and with or without a mesh.
pub(super) fn what_if(
    scene: &mut Scene,
    document: &Value,
    shelf: &Shelf,
    desk: &Desk,
) -> Result<Vec<Fact>, LawError> {
    let ends = scene.ends()?;
    let plan = &scene.plan;
    let mut facts = Vec::new();
    let mut other = |label: String, group: &str, key: &str, value: f64| {
        let mut changed = document.clone();
        if let Some(document) = changed.as_object_mut() {
            let group = document.entry(group).or_insert_with(|| json!({}));
            if let Some(group) = group.as_object_mut() {
                group.insert(key.into(), json!(value));
                // A reading of the gauge would outvote the pressure.
                group.remove("gauge_reading");
            }
        }
        let Some(plan) = Plan::read(&changed, shelf).plan else {
            return;
        };
        if let Ok(Paced { pace, .. }) = paced(&plan, shelf)
            && let Ok(time) = pace.time(&ends)
        {
            let cell = desk.cell(Unit::Minute, &time.times(1.0 / 60.0));
            let gels = desk.say(Unit::Minute, &pace.gel.times(1.0 / 60.0));
            facts.push(Fact {
                label,
                text: cell.text,
                range: format!("{}; gels after {gels}", cell.range),
            });
        }
    };
    let room = plan
        .given(&crate::plan::fields::ROOM_TEMPERATURE)
        .map_or(20.0, |t| t.likely);
    let three = desk.say_plain(Unit::Kelvin, 3.0);
    other(
        format!("In a shop {three} warmer"),
        "room",
        "temperature_c",
        room + 3.0,
    );
    other(
        format!("In a shop {three} cooler"),
        "room",
        "temperature_c",
        room - 3.0,
    );
    let mbar = scene.pace.net.likely();
    let bag = plan
        .given(&crate::plan::fields::BAG_PRESSURE)
        .map_or(20.0, |p| p.likely);
    if mbar > 3e4 {
        other(
            format!(
                "With {} more left in the bag",
                desk.say_plain(Unit::Millibar, 100.0)
            ),
            "bag",
            "pressure_mbar_abs",
            bag + 100.0,
        );
    }
    let meshed = plan.flow_mesh;
    if !scene
        .plan
        .drawing
        .zones
        .iter()
        .any(|z| matches!(z.lies, crate::plan::Lies::Mesh | crate::plan::Lies::Break))
    {
        let mut changed = document.clone();
        if let Some(document) = changed.as_object_mut() {
            let bag = document.entry("bag").or_insert_with(|| json!({}));
            if let Some(bag) = bag.as_object_mut() {
                bag.insert("flow_mesh".into(), json!(!meshed));
            }
        }
        if let Some(plan) = Plan::read(&changed, shelf).plan
            && let Ok(Paced {
                ground, gain, pace, ..
            }) = paced(&plan, shelf)
        {
            let ends = scene.laid.ends(&ground, &scene.lines, &gain)?;
            let time = pace.time(&ends)?;
            let cell = desk.cell(Unit::Minute, &time.times(1.0 / 60.0));
            facts.push(Fact {
                label: if meshed {
                    "Without the flow mesh"
                } else {
                    "With a flow mesh on the whole part"
                }
                .into(),
                text: cell.text,
                range: cell.range,
            });
        }
    }
    Ok(facts)
}
