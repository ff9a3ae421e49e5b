//! Every kind of gauge, and the gauge as a moisture meter.

use super::*;
use bastwork::plan::GAUGE_KINDS;

#[test]
fn where_the_gauge_comes_to_rest_tells_the_water() {
    // Arithmetic check: 8.5 mbar over flax at 20 °C go with 5 % regain.
    let rest = tested(&bag(&json!({ "test": log(water(0.5, 8.0, 4.0), 0.5) })));
    assert_eq!(verdict(&rest), "vapour", "{}", rest["test"]["sentence"]);
    close(likely(&rest, "plateau_mbar"), 8.5, 0.06, "plateau");
    let [low, likely, high] = figure_at(&rest, "regain_left_pct");
    assert!((likely - 5.0).abs() < 0.4, "{likely}");
    assert!(low < 4.6 && high > 5.4, "{low} to {high}: an honest range");
    // Drier cloth comes to rest lower.
    let drier = tested(&bag(&json!({ "test": log(water(0.5, 4.0, 4.0), 0.5) })));
    assert!(figure_at(&drier, "regain_left_pct")[1] < 0.7 * likely);
}

#[test]
fn a_gauge_that_cannot_know_refuses_to_tell() {
    let below = |minute| 1013.25 - water(0.5, 8.0, 4.0)(minute);
    let dial = json!({
        "gauge_kind": "mbar_below", "gauge_reading": 990, "gauge_step": 0.5, "test_c": 20, "test": log(below, 0.5),
    });
    let refused = |bag: &Value, words: &str| {
        let got = tested(bag);
        assert_eq!(verdict(&got), "vapour");
        assert!(got["regain_left_pct"].is_null() && got["humidity_pct"].is_null());
        let next = got["test"]["next"].to_string();
        assert!(
            next.contains("To read the water left") && next.contains(words),
            "{next}"
        );
    };
    // Class 1.6 over 1000 mbar: 16 mbar, most of what water can reach at all.
    let classed = with(dial.clone(), &json!({ "gauge_class_pct": 1.6 }));
    refused(&classed, "a gauge that is true to");
    // A fine class and today's air will do.
    let fine = with(dial, &json!({ "gauge_class_pct": 0.1 }));
    assert!(!tested(&fine)["regain_left_pct"].is_null());
    // Without the temperature of the mould, not even an absolute gauge.
    let mut cold = bag(&json!({ "test": log(water(0.5, 8.0, 4.0), 0.5) }));
    cold.as_object_mut().unwrap().remove("test_c");
    refused(&cold, "the temperature of the mould");
}

/// What a kind of gauge shows, and its unit in mbar.
fn on_gauge(kind: &str, mbar: f64) -> (f64, f64) {
    let air = 1013.25;
    match kind {
        "mbar_absolute" => (mbar, 1.0),
        "kpa_absolute" => (mbar / 10.0, 10.0),
        "mbar_below" => (air - mbar, 1.0),
        "kpa_below" => ((air - mbar) / 10.0, 10.0),
        "inhg_below" => ((air - mbar) / 33.863_89, 33.863_89),
        _ => (100.0 * (1.0 - mbar / air), air / 100.0),
    }
}

#[test]
fn every_gauge_gives_the_same_verdict_for_the_same_bag() {
    let leaky = |t: f64| 8.0 + 1.3 * t;
    let wet = water(2.0, 7.0, 4.0);
    let both = |t: f64| water(2.0, 7.0, 4.0)(t) + 2.0 * t;
    let cases: [(&str, &dyn Fn(f64) -> f64); 3] =
        [("leak", &leaky), ("vapour", &wet), ("both", &both)];
    for (wanted, pressure) in cases {
        for kind in GAUGE_KINDS {
            let test: Vec<Value> = MINUTES
                .iter()
                .map(|&t| {
                    let mbar = (pressure(t) / 0.5).round() * 0.5;
                    json!({ "min": t, "reading": on_gauge(kind, mbar).0 })
                })
                .collect();
            let (reading, unit) = on_gauge(kind, 8.0);
            let got = tested(&json!({
                "gauge_kind": kind, "gauge_reading": reading, "gauge_step": 0.5 / unit,
                "test_c": 20, "test": test,
            }));
            assert_eq!(verdict(&got), wanted, "{kind}: {}", got["test"]["sentence"]);
            let gauges = got["gauges"].as_array().unwrap();
            assert_eq!(gauges.len(), GAUGE_KINDS.len());
        }
    }
}

#[test]
fn the_bag_is_shown_on_every_gauge() {
    // Arithmetic check: 25.25 mbar at 1013.25 mbar outside.
    let got =
        tested(&json!({ "pressure_mbar_abs": { "low": 25.25, "likely": 25.25, "high": 25.25 } }));
    let text = |k: usize| got["gauges"][k]["text"].as_str().unwrap().to_owned();
    assert!(text(0).starts_with("25.2"), "{}", text(0));
    assert!(text(1).starts_with("2.52"), "{}", text(1));
    assert!(text(2).starts_with("988"), "{}", text(2));
    assert!(text(3).starts_with("98.8"), "{}", text(3));
    assert!(text(4).starts_with("29.18"), "{}", text(4));
    assert!(text(5).starts_with("97.5"), "{}", text(5));
    assert!(text(6).starts_with("97.5"), "{}", text(6));
    // On a hill the two conventions of percent part.
    let hill = plan(
        &json!({ "pressure_mbar_abs": 20 }),
        &json!({ "pressure_mbar": 800 }),
    );
    let hill = sheet(&hill).unwrap();
    let percent = |k: usize| {
        hill["bag"]["gauges"][k]["text"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    assert!(
        percent(5).starts_with("97.5") && percent(6).starts_with("77"),
        "{} {}",
        percent(5),
        percent(6)
    );
}
