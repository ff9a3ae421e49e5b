//! Logs in any order, with slips, above saturation, and logs that make no sense.

use super::*;
use bastwork::plan::GAUGE_KINDS;
use bastwork_tests::{draw, plans};
use proptest::prelude::*;
use proptest::sample::select;
use std::cell::Cell;

#[test]
fn the_order_of_readings_does_not_matter() {
    let mut lines = log(|t| water(2.0, 7.0, 5.0)(t) + 0.8 * t, 0.5);
    let straight = tested(&bag(&json!({ "test": lines })));
    lines.as_array_mut().unwrap().reverse();
    lines.as_array_mut().unwrap().swap(2, 9);
    let mixed = tested(&bag(&json!({ "test": lines })));
    for name in [
        "verdict", "sure", "sentence", "passes", "means", "next", "shares",
    ] {
        assert_eq!(straight["test"][name], mixed["test"][name], "{name}");
    }
    assert_eq!(straight["leak_mbar_min"], mixed["leak_mbar_min"]);
    assert_eq!(
        straight["test"]["chart"]["table"],
        mixed["test"]["chart"]["table"]
    );
}

#[test]
fn a_rise_by_more_than_saturation_is_never_water() {
    let logs = (2.0..120.0_f64, 1.2..8.0_f64, 6..40_usize);
    let plans = logs.prop_map(|(start, rate, count)| {
        let lines: Vec<Value> = (0..count)
            .map(|k| {
                let minute = 30.0 * k as f64 / count as f64;
                json!({ "min": minute, "reading": ((start + rate * minute) * 2.0).round() / 2.0 })
            })
            .collect();
        bag(&json!({ "test": lines }))
    });
    draw::each(120, &plans, |bag| {
        let got = tested(&bag);
        let sentence = got["test"]["sentence"].as_str().unwrap_or_default();
        match verdict(&got) {
            "vapour" => Err(format!("called water: {sentence}")),
            _ if sentence.contains("looks like water,") => Err(sentence.into()),
            _ => Ok(()),
        }
    });
}

#[test]
fn no_log_loses_the_sheet() {
    let minute = prop_oneof![Just(0.0), Just(100_000.0), 0.0..60.0_f64];
    let reading = prop_oneof![Just(0.0), Just(1100.0), 0.0..1100.0_f64, 5.0..30.0_f64];
    let step = prop_oneof![
        Just(None),
        Just(Some(0.0001)),
        Just(Some(200.0)),
        (0.01..5.0_f64).prop_map(Some)
    ];
    let plans = (
        prop::collection::vec((minute, reading), 1..60),
        select(GAUGE_KINDS),
        step,
        prop::option::of(0.0..100.0_f64),
        prop::option::of(select(vec![0.001, 1.6, 10.0])),
        select(vec!["infusion", "bagged_wet", "prepreg"]),
    )
        .prop_map(|(lines, kind, step, celsius, class, route)| {
            let test: Vec<Value> = lines
                .iter()
                .map(|(minute, reading)| json!({ "min": minute, "reading": reading }))
                .collect();
            let mut bag = json!({ "pressure_mbar_abs": 15, "gauge_kind": kind, "test": test });
            for (key, value) in [
                ("gauge_step", step),
                ("test_c", celsius),
                ("test_end_c", celsius.map(|c| (c + 3.0).min(100.0))),
                ("gauge_class_pct", class),
            ] {
                if let Some(value) = value {
                    bag[key] = json!(value);
                }
            }
            let mut plan = plan(&bag, &json!({ "altitude_m": 500 }));
            plan["route"] = json!(route);
            plan
        });
    draw::each(300, &plans, |plan| is_sound(&sheet(&plan)?["bag"]));
    // Sixty readings of the same minute, readings of the air outside, and zeros.
    for (reading, words) in [
        (8.0, "all carry the same time"),
        (1100.0, "None of your readings can be used"),
        (0.0, "None of your readings can be used"),
    ] {
        let test = vec![json!({ "min": 3, "reading": reading }); 60];
        let got = tested(&bag(&json!({ "test": test })));
        let sentence = got["test"]["sentence"].as_str().unwrap();
        assert!(sentence.contains(words), "{sentence}");
        assert_eq!(got["head"]["main"], "pump_down_min");
    }
}

/// Figures in order and none below nothing, shares that make one, the main figure in the answer, words that can be read.
fn is_sound(bag: &Value) -> Result<(), String> {
    if bag.is_null() {
        return Err("no bag on the sheet".into());
    }
    let main = bag["head"]["main"].as_str().unwrap();
    let shown = &bag[main]["shown"];
    let unit = shown["unit"].as_str().unwrap();
    let figure = format!("{}\u{a0}{unit}", shown["likely"].as_str().unwrap());
    let answer = bag["head"]["answer"].as_str().unwrap();
    if !answer.contains(&figure) {
        return Err(format!("{figure} is not in {answer:?}"));
    }
    let test = &bag["test"];
    if test.is_null() {
        return Ok(());
    }
    let shares = test["shares"].as_array().unwrap();
    let sum: f64 = shares.iter().map(|s| s["share"].as_f64().unwrap()).sum();
    if !shares.is_empty() && (sum - 1.0).abs() > 1e-6 {
        return Err(format!("shares make {sum}"));
    }
    if test["next"].as_array().unwrap().is_empty() {
        return Err("nothing to do next".into());
    }
    let mut wrong = Vec::new();
    walk(bag, &mut |path, value| {
        let part = |name: &str| value.get(name).and_then(Value::as_f64);
        if let (Some(low), Some(likely), Some(high)) = (part("low"), part("likely"), part("high"))
            && !(0.0 <= low && low <= likely && likely <= high)
        {
            wrong.push(format!("{path}: {low}, {likely}, {high}"));
        }
        if let Some(text) = value.as_str() {
            let odd = ["NaN", "inf ", "error", "invalid", "\u{2014}", "  "];
            if odd.iter().any(|odd| text.contains(odd)) {
                wrong.push(format!("{path} says {text:?}"));
            }
        }
        if value.as_f64().is_some_and(|x| !x.is_finite()) {
            wrong.push(format!("{path} is {value}"));
        }
    });
    wrong.truncate(4);
    if wrong.is_empty() {
        Ok(())
    } else {
        Err(wrong.join("\n"))
    }
}

#[test]
fn any_bagged_plan_has_its_bag() {
    let lines = prop::collection::vec((0.0..40.0_f64, 0.0..100.0_f64), 0..20);
    let plans = (plans::plan(), lines).prop_map(|(mut plan, lines)| {
        let test: Vec<Value> = lines
            .iter()
            .map(|(minute, reading)| json!({ "min": minute, "reading": reading }))
            .collect();
        plans::put(&mut plan, "bag.test", json!(test));
        plan
    });
    let bags = Cell::new(0);
    draw::each(250, &plans, |plan| match sheet(&plan) {
        Ok(whole) if plan["route"] != "open_wet" => {
            bags.set(bags.get() + 1);
            is_sound(&whole["bag"])
        }
        _ => Ok(()),
    });
    assert!(bags.get() > 40, "only {} bags", bags.get());
}

#[test]
fn slips_are_told_and_set_aside() {
    // 13.5 typed as 135.
    let mut lines = log(|t| 8.0 + 1.2 * t, 0.5);
    lines[5]["reading"] = json!(140.0);
    let whole = sheet(&plan(&bag(&json!({ "test": lines })), &steady())).unwrap();
    assert!(says(
        &whole,
        "The reading at 5\u{a0}min stands far off the others"
    ));
    assert_eq!(verdict(&whole["bag"]), "leak");
    close(likely(&whole["bag"], "leak_mbar_min"), 1.2, 0.05, "leak");
    let marks = whole["bag"]["test"]["chart"]["marks"].as_array().unwrap();
    let doubtful = marks.iter().filter(|mark| mark["doubtful"] == true).count();
    assert_eq!(doubtful, 1);
}

#[test]
fn a_mould_that_warms_is_warned_of() {
    let bag = bag(&json!({ "test_end_c": 22, "test": log(|t| 8.0 + 0.1 * t, 0.5) }));
    let got = tested(&bag);
    let next = got["test"]["next"][0].as_str().unwrap();
    // Arithmetic check: two kelvin move 11 mbar of gas by 0.08 mbar, and water up to 11 mbar by 13 percent.
    assert!(
        next.contains("2\u{a0}K warmer") && next.contains("1.5\u{a0}mbar"),
        "{next}"
    );
}
