//! The hours of the shop by hand, and the hour at which resin goes in against the whole timetable.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

use super::fill_hour;
use super::open::{Hours, minute_of};
use crate::plan::{Closed, Moment, Plan};
use crate::shelf::Shelf;
use crate::stage::bench::Bench;
use serde_json::{Value, json};

fn moment(text: &str) -> Moment {
    Moment::from_text(text).unwrap()
}

#[test]
fn a_step_waits_until_there_is_time_for_it() {
    let never = Closed::default();
    let hours = Hours::new(480.0, 1200.0, &never);
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
    let free = Closed::default();
    let closed = Closed::from_text("Sun, 2026-12-01").unwrap();
    for (from, to, closed) in [
        (450.0, 1080.0, &free),
        (1020.0, 120.0, &closed),
        (0.0, 1440.0, &closed),
        (480.0, 1200.0, &closed),
    ] {
        let hours = Hours::new(from, to, closed);
        let mut last = 0.0;
        for minute in 0..(8 * 1440) {
            let at = moment("2026-11-26T00:00").after(f64::from(minute));
            let begins = f64::from(minute) + hours.wait(at, 30.0);
            assert!(begins >= f64::from(minute) && begins >= last);
            assert!(hours.hold(moment("2026-11-26T00:00").after(begins), 30.0));
            last = begins;
        }
    }
}

#[test]
fn hours_run_past_midnight_and_round_closed_days() {
    // Saturday is 28 November 2026, by a wall calendar.
    let closed = Closed::from_text("Sun").unwrap();
    let late = Hours::new(17.0 * 60.0, 2.0 * 60.0, &closed);
    for (at, takes, holds, waits) in [
        ("2026-11-28T23:30", 120.0, true, 0.0),
        ("2026-11-29T01:00", 60.0, true, 0.0),
        ("2026-11-29T01:00", 90.0, false, 40.0 * 60.0),
        ("2026-11-29T18:00", 30.0, false, 23.0 * 60.0),
        ("2026-11-30T01:00", 30.0, false, 16.0 * 60.0),
    ] {
        assert_eq!(late.hold(moment(at), takes), holds, "{at}");
        assert_eq!(late.wait(moment(at), takes), waits, "{at}");
    }
    // The clock goes back at 03:00 on 25 October 2026, and on at 02:00 on 29 March: a longer and a shorter night.
    let never = Closed::default();
    let day = Hours::new(480.0, 1200.0, &never);
    for (at, from, to, eve, night) in [
        ("2026-10-25T03:00", 120, 60, "2026-10-24T22:00", 660.0),
        ("2026-03-29T02:00", 60, 120, "2026-03-28T22:00", 540.0),
    ] {
        let document = plan(
            "infusion",
            &json!({ "day": { "start": eve,
            "zone": [{ "at": at, "from_min": from, "to_min": to }] } }),
        );
        let read = Plan::read(&document, Shelf::generic()).plan.unwrap();
        let eve = read.start.unwrap();
        assert_eq!(day.wait(eve, 30.0), night);
        assert_eq!(eve.after(night).clock(), "08:00");
    }
    let round = Hours::new(0.0, 1440.0, &closed);
    assert!(round.hold(moment("2026-11-27T20:00"), 20.0 * 60.0));
    assert!(!round.hold(moment("2026-11-28T20:00"), 5.0 * 60.0));
    assert_eq!(round.wait(moment("2026-11-28T20:00"), 300.0), 28.0 * 60.0);
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
