//! The bag stage on the whole sheet: logs of known leaks and known water, on every kind of gauge.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

#[path = "bag/gauges.rs"]
mod gauges;
#[path = "bag/logs.rs"]
mod logs;

use bastwork_tests::sheets::{figure_at, likely, sheet, walk};
use serde_json::{Value, json};

/// Minutes at which a patient maker reads.
const MINUTES: [f64; 15] = [
    0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 18.0, 20.0, 25.0, 30.0,
];

fn plan(bag: &Value, room: &Value) -> Value {
    json!({
        "part": { "area_m2": 0.62, "flow_length_mm": 420 },
        "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
        "resin": "infusion_epoxy_slow",
        "room": room,
        "bag": bag,
    })
}

fn with(mut bag: Value, more: &Value) -> Value {
    for (key, value) in more.as_object().unwrap() {
        bag[key] = value.clone();
    }
    bag
}

/// A log of a pressure in mbar as a gauge shows it, rounded to its step.
fn log(at: impl Fn(f64) -> f64, step: f64) -> Value {
    MINUTES
        .iter()
        .map(|&minute| json!({ "min": minute, "reading": (at(minute) / step).round() * step }))
        .collect()
}

fn steady() -> Value {
    json!({ "temperature_c": 20, "humidity_pct": 55, "pressure_mbar": 1013.25 })
}

fn bag(more: &Value) -> Value {
    with(
        json!({ "pressure_mbar_abs": 8, "gauge_step": 0.5, "test_c": 20 }),
        more,
    )
}

fn tested(bag: &Value) -> Value {
    sheet(&plan(bag, &steady())).unwrap()["bag"].take()
}

fn verdict(bag: &Value) -> &str {
    bag["test"]["verdict"].as_str().unwrap()
}

fn close(got: f64, wanted: f64, share: f64, what: &str) {
    assert!(
        (got / wanted - 1.0).abs() <= share,
        "{what}: got {got}, expected {wanted}"
    );
}

/// Water that comes to rest, by 1 - exp(-t / tau).
fn water(start: f64, rise: f64, tau: f64) -> impl Fn(f64) -> f64 {
    move |minute| start + rise * (1.0 - (-minute / tau).exp())
}

#[test]
fn the_published_passing_test_looks_like_water_and_asks_for_more() {
    // An infusion supplier's training page: inches of mercury at 0 to 5 minutes. Recomputed: a rise of 4.00 mbar.
    let inches = [29.20, 29.17, 29.15, 29.13, 29.12, 29.11];
    let test: Vec<Value> = (0..6)
        .map(|k| json!({ "min": k, "reading": inches[k] }))
        .collect();
    let bag = json!({
        "gauge_kind": "inhg_below", "gauge_reading": 29.1, "gauge_step": 0.01, "test": test,
    });
    let sheet = sheet(&plan(&bag, &json!({ "altitude_m": 0 }))).unwrap();
    let bag = &sheet["bag"];
    assert_eq!(verdict(bag), "too_few");
    close(likely(bag, "vapour_rise_mbar"), 4.0, 0.15, "rise");
    assert_eq!(bag["head"]["main"], "vapour_rise_mbar");
    let sentence = bag["test"]["sentence"].as_str().unwrap();
    assert!(
        sentence.contains("looks like water") && sentence.contains("few more, until about minute"),
        "{sentence}"
    );
    assert!(bag["test"]["sure"].as_f64().unwrap() < 0.95);
    // Under 1 inHg in five minutes passes there, and does so here: not even a straight line reaches 1 mbar a minute.
    assert_eq!(bag["test"]["passes"], true);
    assert!(bag["regain_left_pct"].is_null(), "a dial refuses to tell");
}

#[test]
fn one_millibar_a_minute_in_five_litres() {
    // Arithmetic check: 0.083 mbar l/s, 4.9 ml a minute at 1013 mbar, a hole of about 30 µm.
    let bag = tested(&bag(
        &json!({ "free_volume_l": 5, "test": log(|t| 8.0 + t, 0.5) }),
    ));
    assert_eq!(verdict(&bag), "leak");
    close(likely(&bag, "leak_mbar_min"), 1.0, 0.02, "leak");
    close(
        likely(&bag, "leak_throughput_mbar_l_s"),
        0.0833,
        0.02,
        "throughput",
    );
    close(likely(&bag, "leak_ml_each_min"), 4.93, 0.02, "air");
    close(likely(&bag, "hole_um"), 30.0, 0.05, "hole");
    // The same air for as long as the resin takes to gel.
    let all = tested(&bag_plan(8.0));
    let [minute, until] = ["leak_ml_each_min", "air_until_gel_ml"].map(|name| likely(&all, name));
    let whole = sheet(&plan(&bag_plan(8.0), &steady())).unwrap();
    let gel = likely(&whole, "fill.gel_min");
    close(until, minute * gel, 1e-6, "air until gel");
}

fn bag_plan(start: f64) -> Value {
    bag(&json!({ "free_volume_l": 5, "test": log(|t| start + t, 0.5) }))
}

#[test]
fn limits_are_held_against_the_whole_range() {
    let of = |limit: f64| {
        let bag = with(bag_plan(8.0), &json!({ "leak_limit_mbar_min": limit }));
        tested(&bag)["test"]["passes"].clone()
    };
    assert_eq!(of(2.0), true);
    assert_eq!(of(0.5), false);
    assert_eq!(of(0.98), Value::Null);
}

#[test]
fn a_small_pump_empties_ten_litres_in_a_minute() {
    // Arithmetic check: 10 l, 3 m3/h, 1013 to 10 mbar, no lowest pressure of its own: 55 s. The hose is half open here.
    let bag = json!({
        "pressure_mbar_abs": 10, "free_volume_l": 10, "pump_lowest_mbar": 0.01, "pump_down_min": 1,
    });
    let mut plan = plan(&bag, &steady());
    plan["dry"] = json!({ "pump_m3_h": 3 });
    let whole = sheet(&plan).unwrap();
    let [low, likely, high] = figure_at(&whole, "bag.pump_down_min");
    let behind_hose = 1.0 + 3.0 / 25.0;
    close(
        likely,
        55.4 / 60.0 * behind_hose,
        0.005,
        "behind a hose of 25 m3/h",
    );
    assert!(low < 55.4 / 60.0 && high > 55.4 / 60.0 * behind_hose);
    assert!(says(&whole, "about right"));
    for (took, words) in [
        (4.0, "Look for water in the cloth"),
        (30.0, "do not let resin in yet"),
        (0.1, "A syringe of air tells the volume"),
    ] {
        plan["bag"]["pump_down_min"] = json!(took);
        assert!(says(&sheet(&plan).unwrap(), words), "{took}: {words}");
    }
    plan["bag"]["pump_lowest_mbar"] = json!(20);
    assert!(says(&sheet(&plan).unwrap(), "gets no lower than"));
}

fn says(sheet: &Value, words: &str) -> bool {
    let notes = sheet["notes"].as_array().unwrap();
    notes
        .iter()
        .any(|note| note["sentence"].as_str().unwrap().contains(words))
}

#[test]
fn a_syringe_tells_the_volume() {
    // Boyle: 100 ml of 1013.25 mbar that raise the bag by 16 mbar spread over 6.33 l.
    let bag = tested(&bag(
        &json!({ "syringe_ml": 100, "syringe_rise_mbar": 16, "gauge_step": 0.1 }),
    ));
    let [low, likely, high] = figure_at(&bag, "free_volume_l");
    close(likely, 6.333, 0.002, "volume");
    assert!(low > 5.7 && high < 7.0, "{low} {high}");
    // A volume that was typed comes first.
    let typed = tested(&json!({ "free_volume_l": 4, "syringe_ml": 100, "syringe_rise_mbar": 16 }));
    close(figure_at(&typed, "free_volume_l")[1], 4.0, 1e-9, "typed");
}

#[test]
fn open_layup_has_no_bag() {
    let mut open = plan(&json!({}), &steady());
    open["route"] = json!("open_wet");
    assert!(sheet(&open).unwrap()["bag"].is_null());
    let bagged = tested(&json!({}));
    assert!(bagged["test"].is_null() && bagged["leak_mbar_min"].is_null());
}

#[test]
fn every_source_of_the_stage_is_on_the_sheet() {
    let whole = sheet(&plan(
        &bag(&json!({ "test": log(water(0.5, 8.0, 4.0), 0.5) })),
        &steady(),
    ))
    .unwrap();
    let known: Vec<&str> = whole["sources"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s["key"].as_str().unwrap())
        .collect();
    let mut estimates = 0;
    walk(&whole["bag"], &mut |path, value| {
        if let Some(law) = value.get("law").and_then(Value::as_str) {
            estimates += 1;
            assert!(!law.is_empty(), "{path}");
            for key in value["sources"].as_array().unwrap() {
                assert!(known.contains(&key.as_str().unwrap()), "{path}: {key}");
            }
        }
    });
    assert_eq!(estimates, 15, "every figure of the stage");
}
