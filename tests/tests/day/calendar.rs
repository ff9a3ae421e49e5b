//! The calendar file, read back by another library.

use super::{moment, plan, with};
use bastwork::{DaySheet, Shelf, calendar, sheet_from};
use bastwork_tests::draw;
use icalendar::parser::{Component, read_calendar, unfold};
use proptest::prelude::*;
use serde_json::{Value, json};

const STAMP: &str = "20261125T193000Z";

proptest! {
    #![proptest_config(draw::config(48))]

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
