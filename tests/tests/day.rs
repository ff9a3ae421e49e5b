//! The day's clock: its order, the shop's hours, ways out that are ways out, and a calendar that another library reads.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::plan::Moment;
use bastwork::{Conflict, DaySheet, DayStep, Shelf, calendar, sheet_from};
use icalendar::parser::{Component, read_calendar, unfold};
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::{Value, json};

const STAMP: &str = "20261125T193000Z";

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

/// The moment that a way out names, such as "Thu 26 Nov 08:30", in 2026.
fn named(way: &str) -> Option<Moment> {
    let words: Vec<&str> = way.split([' ', '.', ',']).collect();
    words.windows(4).find_map(|four| {
        let month = 1 + [
            "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
        ]
        .iter()
        .position(|name| *name == four[2])?;
        let date: u8 = four[1].parse().ok()?;
        Moment::from_text(&format!("2026-{month:02}-{date:02}T{}", four[3]))
    })
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
        ["cut", "release", "dry", "lay", "bag", "pump", "test"]
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
fn what_has_begun_moves_the_rest() {
    let start = ("day.start", json!("2026-11-26T08:00"));
    let before = day(&with(plan(), std::slice::from_ref(&start)));
    let late = day(&with(
        plan(),
        &[
            start.clone(),
            ("day.began", json!({ "fill": "2026-11-26T15:00" })),
        ],
    ));
    assert!(late.replanned && !before.replanned);
    assert_eq!(step(&late, "fill").at, "2026-11-26T15:00");
    assert_eq!(step(&late, "fill").began, "2026-11-26T15:00");
    assert_eq!(
        step(&late, "lay").at,
        step(&before, "lay").at,
        "what came before stays"
    );
    let gel = |day: &DaySheet| step(day, "gel").ends_min - step(day, "fill").begins_min;
    assert!((gel(&late) - gel(&before)).abs() < 1.0);
    // No start typed: reckoned back from the mark.
    let bare = day(&with(
        plan(),
        &[("day.began", json!({ "fill": "2026-11-26T15:00" }))],
    ));
    assert_eq!(step(&bare, "fill").at, "2026-11-26T15:00");
    // What does not fit is kept and told.
    let odd = with(
        plan(),
        &[
            start,
            (
                "day.began",
                json!({ "polish": "2026-11-26T15:00", "lay": "2026-11-26T12:00", "fill": "2026-11-26T11:00" }),
            ),
        ],
    );
    let sheet = sheet_from(&odd, Shelf::generic()).unwrap();
    let told: Vec<&str> = sheet
        .notes
        .iter()
        .map(|note| note.sentence.as_str())
        .filter(|s| s.contains("has begun"))
        .collect();
    assert_eq!(told.len(), 2, "{told:?}");
}

#[test]
fn days_that_are_none_are_told_all_at_once() {
    let wrong = with(
        plan(),
        &[
            ("day.start", json!("tomorrow")),
            ("day.out_by", json!("2026-02-30T10:00")),
            ("day.began", json!({ "fill": "noon" })),
            ("day.from_h", json!(20)),
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

/// A way that names a start, laid into the plan.
fn begun_instead(plan: &Value, way: &str) -> Option<Value> {
    let start = way.starts_with("Begin").then(|| named(way))??;
    Some(with(plan.clone(), &[("day.start", json!(start.text()))]))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_way_that_names_a_start_is_a_way_out(
        minute in 0u32..(3 * 1440),
        celsius in 16.0..30.0_f64,
        resin in select(vec!["infusion_epoxy_slow", "infusion_epoxy_medium", "infusion_epoxy_fast"]),
        route in select(vec!["infusion", "bagged_wet", "open_wet"]),
        out_after in prop::option::of(6.0..90.0_f64),
    ) {
        let start = moment("2026-06-01T00:00").after(f64::from(minute));
        let mut wanted = with(plan(), &[
            ("day.start", json!(start.text())), ("room.temperature_c", json!(celsius)), ("resin", json!(resin)), ("route", json!(route)),
        ]);
        if let Some(hours) = out_after {
            wanted = with(wanted, &[("day.out_by", json!(start.after(60.0 * hours).text()))]);
        }
        for told in day(&wanted).conflicts {
            for way in &told.ways {
                if let Some(other) = begun_instead(&wanted, way) {
                    let after = day(&other);
                    prop_assert!(conflict(&after, told.key).is_none(), "{}: {way}\n{:?}", told.sentence, after.conflicts);
                }
            }
        }
    }

    #[test]
    fn another_library_reads_the_calendar_back(
        name in "[\\PC\n]{0,300}",
        celsius in 12.0..30.0_f64,
        minute in 0u32..1440,
    ) {
        let start = moment("2026-11-26T00:00").after(f64::from(minute)).text();
        let wanted = with(plan(), &[("name", json!(name)), ("day.start", json!(start)), ("room.temperature_c", json!(celsius))]);
        // Too long a name is a problem of the plan, and told there.
        let Ok(sheet) = sheet_from(&wanted, Shelf::generic()) else { return Ok(()); };
        let text = calendar(&wanted, Shelf::generic(), STAMP).unwrap();
        reads_back(&text, &sheet.day.unwrap(), &sheet.name)?;
    }
}

/// The raw value of a property, as the library found it.
fn value(component: &Component<'_>, name: &str) -> String {
    component.find_prop(name).unwrap().val.as_str().to_owned()
}

/// Text unescaped in one pass (RFC 5545, 3.3.11): the library's chain of replacements eats a backslash before a colon.
fn unescaped(raw: &str) -> String {
    let mut plain = String::new();
    let mut letters = raw.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => match letters.next() {
                Some('n' | 'N') => plain.push('\n'),
                Some(other) => plain.push(other),
                None => {}
            },
            other => plain.push(other),
        }
    }
    plain
}

fn reads_back(text: &str, day: &DaySheet, part: &str) -> Result<(), TestCaseError> {
    // RFC 5545, 3.1: lines end in CRLF and are no longer than 75 octets.
    for line in text.split("\r\n") {
        prop_assert!(line.len() <= 75 && !line.contains(['\r', '\n']), "{line:?}");
    }
    let unfolded = unfold(text);
    let read = read_calendar(&unfolded).map_err(TestCaseError::fail)?;
    let property = |name: &str| {
        read.properties
            .iter()
            .find(|p| p.name.as_str() == name)
            .map(|p| p.val.as_str().to_owned())
    };
    prop_assert_eq!(property("VERSION"), Some("2.0".to_owned()));
    prop_assert!(property("PRODID").is_some());
    prop_assert_eq!(read.components.len(), day.steps.len());
    let summaries: Vec<String> = unfolded
        .lines()
        .filter_map(|line| line.strip_prefix("SUMMARY:"))
        .map(unescaped)
        .collect();
    prop_assert_eq!(summaries.len(), day.steps.len());
    let mut seen = std::collections::BTreeSet::new();
    for ((event, step), summary) in read.components.iter().zip(&day.steps).zip(summaries) {
        prop_assert_eq!(event.name.as_str(), "VEVENT");
        prop_assert_eq!(summary, format!("{part}: {}", step.name));
        let (begins, ends) = (value(event, "DTSTART"), value(event, "DTEND"));
        prop_assert_eq!(&begins, &moment(&step.at).stamp());
        prop_assert_eq!(&ends, &moment(&step.until).stamp());
        prop_assert!(begins <= ends);
        prop_assert_eq!(value(event, "DTSTAMP"), STAMP);
        prop_assert!(seen.insert(value(event, "UID")), "each step has its own");
        let description = value(event, "DESCRIPTION");
        prop_assert!(
            description.contains(&step.takes.text) && description.contains(&step.care),
            "{description}"
        );
        for alarm in &event.components {
            prop_assert_eq!(alarm.name.as_str(), "VALARM");
            prop_assert_eq!(value(alarm, "ACTION"), "DISPLAY");
            prop_assert_eq!(value(alarm, "TRIGGER"), "PT0S");
            prop_assert!(!step.hands);
        }
    }
    Ok(())
}

#[test]
fn the_calendar_of_every_example_reads_back() {
    for file in std::fs::read_dir("../examples").unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_none_or(|kind| kind != "json") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let mut plan: Value = serde_json::from_str(&text).unwrap();
        if plan.get("day").is_none() {
            plan["day"] = json!({ "start": "2026-11-26T08:00" });
        }
        let sheet = sheet_from(&plan, Shelf::generic()).unwrap();
        let text = calendar(&plan, Shelf::generic(), STAMP).unwrap();
        reads_back(&text, &sheet.day.unwrap(), &sheet.name)
            .unwrap_or_else(|why| panic!("{}: {why}", path.display()));
        let alarms = text.matches("BEGIN:VALARM").count();
        assert!(
            alarms >= 2,
            "{}: gel and cure end with an alarm: {alarms}",
            path.display()
        );
    }
}

#[test]
fn a_calendar_needs_a_start_and_a_stamp() {
    let fields = |plan: &Value, stamp: &str| -> Vec<String> {
        calendar(plan, Shelf::generic(), stamp)
            .unwrap_err()
            .into_iter()
            .map(|problem| problem.field)
            .collect()
    };
    assert_eq!(fields(&plan(), STAMP), ["day.start"]);
    let started = with(plan(), &[("day.start", json!("2026-11-26T08:00"))]);
    for stamp in [
        "",
        "now",
        "20261125T193000",
        "2026-11-25T19:30:00Z",
        "20261325T193000Z",
    ] {
        assert_eq!(fields(&started, stamp), ["stamp"], "{stamp}");
    }
    assert!(calendar(&started, Shelf::generic(), STAMP).is_ok());
}
