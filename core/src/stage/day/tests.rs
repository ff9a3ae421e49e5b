//! The hours of the shop by hand, and the hour at which resin goes in against the whole timetable.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

use super::fill_hour;
use super::timetable::{Hours, minute_of};
use crate::plan::{Moment, Plan};
use crate::shelf::Shelf;
use crate::stage::bench::Bench;
use serde_json::{Value, json};

fn moment(text: &str) -> Moment {
    Moment::from_text(text).unwrap()
}

#[test]
fn a_step_waits_until_there_is_time_for_it() {
    let hours = Hours {
        from: 480.0,
        to: 1200.0,
    };
    // By the clock on the wall: open from 8 to 20, half an hour of work.
    for (at, waits) in [
        ("2026-11-26T07:00", 60.0),
        ("2026-11-26T08:00", 0.0),
        ("2026-11-26T19:30", 0.0),
        ("2026-11-26T19:31", 749.0),
        ("2026-11-26T23:00", 540.0),
        ("2026-11-27T00:00", 480.0),
    ] {
        assert_eq!(hours.wait(moment(at), 30.0), waits, "{at}");
    }
    // What takes longer than a day in the shop begins when it opens, and at no other time.
    assert_eq!(hours.wait(moment("2026-11-26T08:00"), 2000.0), 0.0);
    assert_eq!(hours.wait(moment("2026-11-26T09:00"), 2000.0), 1380.0);
    assert!(hours.hold(moment("2026-11-26T08:00"), 720.0));
    assert!(!hours.hold(moment("2026-11-26T08:00"), 722.0));
    assert!(!hours.hold(moment("2026-11-26T07:58"), 5.0));
    assert!(!hours.hold(moment("2026-11-26T19:00"), 90.0));
    assert_eq!(minute_of(moment("2026-11-26T07:05")), 425.0);
}

#[test]
fn waiting_brings_no_step_forward_and_none_before_another() {
    let hours = Hours {
        from: 450.0,
        to: 1080.0,
    };
    let mut last = 0.0;
    for minute in 0..(3 * 1440) {
        let at = moment("2026-11-26T00:00").after(f64::from(minute));
        let begins = f64::from(minute) + hours.wait(at, 30.0);
        assert!(begins >= f64::from(minute) && begins >= last);
        assert!(hours.hold(moment("2026-11-26T00:00").after(begins), 30.0));
        last = begins;
    }
}

fn plan(route: &str, more: &Value) -> Value {
    let mut plan = json!({
        "format": 1, "name": "Hive roof", "part": { "area_m2": 0.62, "flow_length_mm": 300 }, "route": route,
        "stack": [{ "fabric": "glass_twill_300", "count": 4, "angle_deg": 0 }],
        "room": { "temperature_c": 20, "humidity_pct": 55 },
        "bag": { "pressure_mbar_abs": 15, "flow_mesh": true }, "resin": "infusion_epoxy_slow",
        "day": { "start": "2026-11-26T08:00" },
    });
    for (group, values) in more.as_object().unwrap() {
        for (name, value) in values.as_object().unwrap() {
            plan[group][name] = value.clone();
        }
    }
    plan
}

#[test]
fn the_hour_of_the_fill_is_that_of_the_timetable() {
    for (route, more) in [
        ("infusion", json!({})),
        ("infusion", json!({ "dry": { "vacuum_h": 14 } })),
        (
            "infusion",
            json!({ "day": { "cut_min": 90, "lay_min": 200, "bag_min": 20, "release_coats": 1 } }),
        ),
        ("bagged_wet", json!({})),
        (
            "open_wet",
            json!({ "mix": { "degas_min": 10, "stir_min": 12 } }),
        ),
    ] {
        let document = plan(route, &more);
        let shelf = Shelf::generic();
        let read = Plan::read(&document, shelf).plan.unwrap();
        let found = fill_hour(&mut Bench::new(&read, shelf), None).unwrap();
        let day = crate::sheet_from(&document, shelf).unwrap().day.unwrap();
        let step = day
            .steps
            .iter()
            .find(|step| step.key == "fill" || step.key == "wet")
            .unwrap();
        let off = (found - moment(&step.at).hour()).abs();
        // Pots that are mixed one after the other before a quick fill are left out of it.
        assert!(off < 0.5, "{route} {more}: {found} {}", step.at);
    }
    let mut bare = plan("infusion", &json!({}));
    bare["day"] = json!({});
    let read = Plan::read(&bare, Shelf::generic()).plan.unwrap();
    assert_eq!(
        fill_hour(&mut Bench::new(&read, Shelf::generic()), None),
        None
    );
    bare["day"] = json!({ "began": { "fill": "2026-11-26T15:30" } });
    let read = Plan::read(&bare, Shelf::generic()).plan.unwrap();
    assert_eq!(
        fill_hour(&mut Bench::new(&read, Shelf::generic()), None),
        Some(15.5)
    );
}
