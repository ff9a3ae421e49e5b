//! The day's clock: its order, the shop's hours, ways out that are ways out, and a calendar that another library reads.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

#[path = "day/began.rs"]
mod began;
#[path = "day/calendar.rs"]
mod calendar_file;
#[path = "day/closed.rs"]
mod closed;
#[path = "day/ways.rs"]
mod ways;
#[path = "day/zone.rs"]
mod zone;

use bastwork::plan::Moment;
use bastwork::{Conflict, DaySheet, DayStep, Shelf, sheet_from};
use serde_json::{Value, json};

fn plan() -> Value {
    json!({
        "format": 1, "name": "Hive roof", "part": { "area_m2": 0.62, "flow_length_mm": 300 }, "route": "infusion",
        "stack": [{ "fabric": "flax_twill_300", "count": 4, "angle_deg": 0 }],
        "room": { "temperature_c": 20, "humidity_pct": 55 },
        "bag": { "pressure_mbar_abs": 15, "flow_mesh": true }, "resin": "infusion_epoxy_slow",
    })
}

fn with(mut plan: Value, changes: &[(&str, Value)]) -> Value {
    for (path, value) in changes {
        let (group, name) = path.split_once('.').unwrap_or(("", path));
        if group.is_empty() {
            plan[name] = value.clone();
        } else {
            if plan.get(group).is_none() {
                plan[group] = json!({});
            }
            plan[group][name] = value.clone();
        }
    }
    plan
}

fn day(plan: &Value) -> DaySheet {
    sheet_from(plan, Shelf::generic()).unwrap().day.unwrap()
}

fn step<'a>(day: &'a DaySheet, key: &str) -> &'a DayStep {
    day.steps.iter().find(|step| step.key == key).unwrap()
}

fn conflict<'a>(day: &'a DaySheet, key: &str) -> Option<&'a Conflict> {
    day.conflicts.iter().find(|found| found.key == key)
}

fn moment(text: &str) -> Moment {
    Moment::from_text(text).unwrap()
}

#[test]
fn steps_come_in_the_order_of_the_shop() {
    let order = |route: &str| -> Vec<String> {
        let day = day(&with(plan(), &[("route", json!(route))]));
        let mut keys: Vec<String> = day.steps.iter().map(|step| step.key.clone()).collect();
        keys.retain(|key| !key.starts_with("mix_") || key == "mix_1");
        keys
    };
    let infusion = [
        "cut", "release", "dry", "lay", "bag", "pump", "test", "mix_1", "fill", "clamp", "gel",
        "cure", "demould", "trim",
    ];
    assert_eq!(order("infusion"), infusion);
    let bagged = [
        "cut", "release", "dry", "mix_1", "wet", "bag", "pump", "test", "gel", "cure", "demould",
        "trim",
    ];
    assert_eq!(order("bagged_wet"), bagged);
    let open = [
        "cut", "release", "dry", "mix_1", "wet", "gel", "cure", "demould", "trim",
    ];
    assert_eq!(order("open_wet"), open);
    assert_eq!(
        order("prepreg"),
        [
            "thaw",
            "release",
            "cut",
            "lay",
            "bag",
            "pump",
            "test",
            "oven_cure",
            "demould",
            "trim"
        ]
    );
}

#[test]
fn nothing_begins_before_what_it_waits_for() {
    let day = day(&with(plan(), &[("day.start", json!("2026-11-26T08:00"))]));
    let end = |key: &str| step(&day, key).ends_min;
    let begin = |key: &str| step(&day, key).begins_min;
    for (before, after) in [
        ("cut", "release"),
        ("cut", "dry"),
        ("dry", "lay"),
        ("release", "lay"),
        ("lay", "bag"),
        ("bag", "pump"),
        ("pump", "test"),
        ("test", "mix_1"),
        ("mix_1", "fill"),
        ("fill", "clamp"),
        ("clamp", "gel"),
        ("gel", "cure"),
        ("cure", "demould"),
        ("demould", "trim"),
    ] {
        assert!(begin(after) >= end(before) - 1e-6, "{before} {after}");
    }
    // The oven runs beside the release, and the cloth comes out when the mould is ready.
    assert!(begin("dry") < end("release") && (end("dry") - end("release")).abs() < 1.0);
    for step in &day.steps {
        assert!(
            step.ends_between_min[0] <= step.ends_min + 1e-6
                && step.ends_min <= step.ends_between_min[1] + 1e-6
        );
        assert!(
            (moment(&step.at).minutes_since(moment("2026-11-26T08:00")) - step.begins_min).abs()
                <= 0.5 + 1e-6
        );
    }
}

#[test]
fn pots_never_overlap_and_none_comes_late() {
    // A slow fill in many pots: each is mixed while the one before runs in.
    let day = day(&with(
        plan(),
        &[
            ("bag.flow_mesh", json!(false)),
            ("mix.largest_pot_g", json!(200)),
        ],
    ));
    let fill = step(&day, "fill");
    let pots: Vec<&DayStep> = day
        .steps
        .iter()
        .filter(|step| step.key.starts_with("mix_"))
        .collect();
    assert!(pots.len() > 4);
    for pair in pots.windows(2) {
        assert!(
            pair[0].ends_min <= pair[1].begins_min + 1e-6,
            "one pair of hands"
        );
    }
    let long = fill.ends_min - fill.begins_min;
    for (used, pot) in pots.iter().enumerate() {
        // The root law of a line-fed fill.
        let wanted = fill.begins_min + long * (used as f64 / pots.len() as f64).powi(2);
        assert!(
            pot.ends_min <= wanted + 1e-6,
            "{}: {} {wanted}",
            pot.key,
            pot.ends_min
        );
    }
}

#[test]
fn what_can_wait_waits_for_the_shop_to_open() {
    let night = day(&with(
        plan(),
        &[
            ("day.start", json!("2026-11-26T08:00")),
            ("room.temperature_c", json!(26)),
        ],
    ));
    let lift = step(&night, "demould");
    assert!(
        lift.at.ends_with("T08:00") && lift.name.contains("when the workshop opens"),
        "{lift:?}"
    );
    let told = conflict(&night, "at_night").unwrap();
    assert!(told.sentence.contains("closed") && !told.ways.is_empty());
    let whole_day = day(&with(
        plan(),
        &[
            ("day.start", json!("2026-11-26T08:00")),
            ("room.temperature_c", json!(26)),
            ("day.from_h", json!(0)),
            ("day.to_h", json!(24)),
        ],
    ));
    assert!(
        conflict(&whole_day, "at_night").is_none()
            && conflict(&whole_day, "out_of_hours").is_none()
    );
}

#[test]
fn a_start_that_was_reckoned_back_is_in_time() {
    for out_by in ["2026-11-27T18:00", "2026-11-28T09:30", "2026-12-01T12:00"] {
        for resin in ["infusion_epoxy_slow", "infusion_epoxy_fast"] {
            let wanted = with(
                plan(),
                &[("day.out_by", json!(out_by)), ("resin", json!(resin))],
            );
            let found = day(&wanted);
            let start = found.start.clone().unwrap();
            assert_eq!(found.latest_start.as_ref(), Some(&start));
            let off = step(&found, "demould");
            let late = moment(&start).after(off.ends_between_min[1]);
            assert!(
                late <= moment(out_by),
                "{out_by} {resin}: {}",
                late.spoken()
            );
            assert!(conflict(&found, "too_late").is_none());
            // Half a day later nine of ten are no longer in time, unless the night is waited for anyway.
            let later = moment(&start).after(720.0).text();
            let later = day(&with(wanted, &[("day.start", json!(later))]));
            let off = step(&later, "demould");
            let late = moment(later.start.as_ref().unwrap()).after(off.ends_between_min[1]);
            assert!(
                late > moment(out_by) || off.name.contains("opens"),
                "{out_by} {resin}"
            );
        }
    }
}

#[test]
fn days_that_are_none_are_told_all_at_once() {
    let wrong = with(
        plan(),
        &[
            ("day.start", json!("tomorrow")),
            ("day.out_by", json!("2026-02-30T10:00")),
            ("day.began", json!({ "fill": "noon" })),
            ("day.from_h", json!(8)),
            ("day.to_h", json!(8)),
        ],
    );
    let problems = sheet_from(&wrong, Shelf::generic()).unwrap_err();
    for field in ["day.start", "day.out_by", "day.began.fill", "day.to_h"] {
        assert!(
            problems.iter().any(|problem| problem.field == field),
            "{field}: {problems:?}"
        );
    }
}
