//! One gel for one question, and one range for one figure, wherever on the sheet it stands.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork_tests::sheets::sheet;
use bastwork_tests::{draw, plans};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Low, likely and high of an estimate or a cell, in minutes where `factor` says so.
fn range(of: &Value, factor: f64) -> Option<[f64; 3]> {
    let part = |name: &str| of.get(name)?.as_f64().map(|x| x * factor);
    Some([part("low")?, part("likely")?, part("high")?])
}

fn same(a: [f64; 3], b: [f64; 3]) -> bool {
    a.iter()
        .zip(b)
        .all(|(a, b)| (a - b).abs() <= 1e-6 * (1.0 + b.abs()))
}

/// A step's own time in minutes: long ones are told in hours.
fn takes(sheet: &Value, key: &str, long: bool) -> Option<[f64; 3]> {
    let steps = sheet["day"]["steps"].as_array()?;
    let step = steps.iter().find(|step| step["key"] == key)?;
    range(&step["takes"], if long { 60.0 } else { 1.0 })
}

/// Every estimate under its name.
fn estimates<'a>(value: &'a Value, found: &mut BTreeMap<&'a str, Vec<&'a Value>>) {
    match value {
        Value::Object(map) => {
            if let (Some(label), true) = (value["label"].as_str(), map.contains_key("likely")) {
                found.entry(label).or_default().push(value);
            }
            // Each batch has its own mass, each loss its own kind, each material its own stack.
            for (name, inner) in map {
                if !["inputs", "pots", "losses", "suit"].contains(&name.as_str()) {
                    estimates(inner, found);
                }
            }
        }
        Value::Array(list) => {
            for inner in list {
                estimates(inner, found);
            }
        }
        _ => {}
    }
}

fn one_range_each(sheet: &Value) -> Result<(), String> {
    let mut found = BTreeMap::new();
    estimates(sheet, &mut found);
    for (label, all) in found {
        let first = range(all[0], 1.0).unwrap();
        if let Some(other) = all
            .iter()
            .find(|one| !same(range(one, 1.0).unwrap(), first))
        {
            return Err(format!("{label}: {first:?} and {:?}", range(other, 1.0)));
        }
    }
    Ok(())
}

fn one_clock(plan: &Value) -> Result<bool, String> {
    let found = sheet(plan)?;
    one_range_each(&found)?;
    let (cure, setting, fill) = (&found["cure"], &found["setting"], &found["fill"]);
    if setting.is_null() {
        return Ok(false);
    }
    let told = |of: &Value, factor: f64, what: &str| {
        range(of, factor).ok_or_else(|| format!("{what} is not there"))
    };
    for name in ["gel_h", "demould_h"] {
        let (a, b) = (
            told(&cure[name], 1.0, name)?,
            told(&setting[name], 1.0, name)?,
        );
        if !same(a, b) {
            return Err(format!("{name}: {a:?} in cure and {b:?} in setting"));
        }
    }
    if fill.is_null() {
        return Ok(false);
    }
    let time = told(&fill["time_min"], 1.0, "time")?;
    if let Some(step) = takes(&found, "fill", time[1] >= 180.0)
        && !same(step, time)
    {
        return Err(format!("fill: {time:?}, and {step:?} in the day"));
    }
    let left = told(&setting["after_fill"]["left_min"], 1.0, "left")?;
    if let Some(step) = takes(&found, "gel", left[1] >= 180.0)
        && !same(step, left)
    {
        return Err(format!("clamp to gel: {left:?}, and {step:?} in the day"));
    }
    // The first of it gels no later than all of it.
    let (first, all) = (
        told(&fill["gel_min"], 1.0, "first gel")?,
        told(&cure["gel_h"], 60.0, "gel")?,
    );
    let shop_alone = [
        "cure.temperature_c",
        "cure.night_c",
        "cure.warm_c",
        "cure.post_c",
    ]
    .iter()
    .all(|path| {
        let (group, name) = path.split_once('.').unwrap();
        plan[group][name].is_null()
    });
    if shop_alone && first[1] > all[1] * 1.02 {
        return Err(format!("first gel {first:?} after all of it {all:?}"));
    }
    let thin = shop_alone && (first[1] / all[1] - 1.0).abs() < 0.02;
    if thin && !same(first, all) {
        return Err(format!("one gel with two ranges: {first:?} and {all:?}"));
    }
    // What gels first decides whether it fills.
    let fills = found["fill"]["reaches_end"].as_bool().unwrap();
    if fills != (time[1] <= first[1]) {
        return Err(format!(
            "fills in {time:?}, gels in {first:?}, told {fills}"
        ));
    }
    Ok(true)
}

#[test]
fn one_figure_has_one_range() {
    let mut plans_with_all = 0;
    draw::each(60, &plans::ordinary(), |plan| {
        one_clock(&plan)?;
        Ok(())
    });
    for (count, celsius, resin, mesh, run) in [
        (1, 18.0, "infusion_epoxy_slow", false, 150.0),
        (4, 23.0, "infusion_epoxy_slow", false, 400.0),
        (12, 23.0, "infusion_epoxy_medium", true, 500.0),
        (30, 25.0, "infusion_epoxy_medium", true, 600.0),
        (30, 23.0, "infusion_epoxy_fast", true, 500.0),
        (40, 20.0, "infusion_epoxy_slow", true, 900.0),
        (20, 30.0, "infusion_epoxy_slow", true, 300.0),
    ] {
        let plan = json!({
            "part": { "area_m2": 0.6, "flow_length_mm": run }, "room": { "temperature_c": celsius }, "resin": resin,
            "bag": { "flow_mesh": mesh }, "stack": [{ "fabric": "flax_twill_300", "count": count }],
        });
        if one_clock(&plan).unwrap_or_else(|why| panic!("{count} plies, {resin}: {why}")) {
            plans_with_all += 1;
        }
    }
    assert!(plans_with_all >= 7);
}

#[test]
fn a_thick_part_is_filled_against_its_own_heat() {
    let gel = |count: u32| {
        let found = sheet(&json!({
            "part": { "area_m2": 0.5, "flow_length_mm": 600 }, "room": { "temperature_c": 23 }, "resin": "infusion_epoxy_fast",
            "bag": { "flow_mesh": true }, "stack": [{ "fabric": "flax_twill_300", "count": count }],
        }))
        .unwrap();
        (
            range(&found["fill"]["gel_min"], 1.0).unwrap()[1],
            range(&found["setting"]["gel_h"], 60.0).unwrap()[1],
        )
    };
    let mut before = f64::MAX;
    for count in [1, 4, 10, 20, 30] {
        let (first, all) = gel(count);
        assert!(
            first < before * 1.001 && first <= all * 1.02,
            "{count}: {first} {all}"
        );
        before = first;
    }
    // Explicit finite volumes, integrated elsewhere: 20 mm with a fast hardener gels throughout after 0.6 h at 23 degrees.
    let (first, all) = gel(33);
    assert!(first < 50.0 && all < 60.0, "{first} {all}");
}
