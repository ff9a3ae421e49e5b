//! The nights on which the clock is set, in zones that do it in different ways: every time that is shown against plain
//! arithmetic in UTC.

use super::{day, moment, plan, with};
use bastwork::{Shelf, calendar, sheet_from};
use serde_json::{Value, json};

/// When a zone's clock is set: a name, the wall just before, minutes ahead of UTC before and after.
///
/// The rules are those of the tz database (public domain, 2025), by hand: Europe on the last Sundays of March and October at
/// 01:00 UTC, the United States on the second Sunday of March and the first of November at 02:00 on the wall, Lord Howe
/// Island by half an hour, Havana at midnight.
const NIGHTS: [(&str, &str, i64, i64); 6] = [
    ("Berlin, spring", "2026-03-29T02:00", 60, 120),
    ("Berlin, autumn", "2026-10-25T03:00", 120, 60),
    ("New York, spring", "2026-03-08T02:00", -300, -240),
    ("New York, autumn", "2026-11-01T02:00", -240, -300),
    ("Lord Howe, autumn", "2026-04-05T02:00", 660, 630),
    ("Havana, spring", "2026-03-08T00:00", -300, -240),
];

fn zone(&(_, at, from, to): &(&str, &str, i64, i64)) -> Value {
    json!([{ "at": at, "from_min": from, "to_min": to }])
}

#[test]
fn every_time_of_such_a_night_is_the_wall_s_own() {
    for night in &NIGHTS {
        let &(name, at, from, to) = night;
        // The evening before, so that the resin sets through the night.
        let start = moment(at).after(-600.0);
        let hours = [("day.from_h", json!(0)), ("day.to_h", json!(24))];
        let document = with(plan(), &hours);
        let document = with(
            document,
            &[
                ("day.start", json!(start.text())),
                ("day.zone", zone(night)),
            ],
        );
        let found = day(&document);
        let set_at = moment(at).after(-from as f64);
        let mut across = 0;
        for step in &found.steps {
            let shown = |minutes: f64| {
                let utc = start.after(-from as f64 + minutes.round());
                let ahead = if utc < set_at { from } else { to };
                utc.after(ahead as f64).text()
            };
            assert_eq!(
                step.at,
                shown(step.begins_min),
                "{name}: {} begins",
                step.key
            );
            assert_eq!(
                step.until,
                shown(step.ends_min),
                "{name}: {} ends",
                step.key
            );
            across += usize::from(moment(&step.at) < moment(at) && step.ends_min > 600.0);
        }
        assert!(across > 0, "{name}: something goes on meanwhile");
        let told = format!("is set {} to", if to > from { "on" } else { "back" });
        assert!(
            found.start_from.contains(&told),
            "{name}: {}",
            found.start_from
        );

        // In the calendar file every step stands in UTC, as long as it is.
        let text = calendar(&document, Shelf::generic(), "20260101T080000Z").unwrap();
        let text = text.replace("\r\n ", "");
        let stamps = |start: &str| -> Vec<String> {
            let lines = text.lines().filter_map(|line| line.strip_prefix(start));
            lines.map(str::to_owned).collect()
        };
        let utc = |minutes: f64| start.after(-from as f64 + minutes.round()).stamp() + "Z";
        let wanted: Vec<_> = found
            .steps
            .iter()
            .map(|step| utc(step.begins_min))
            .collect();
        assert_eq!(stamps("DTSTART:"), wanted, "{name}");
        let wanted: Vec<_> = found.steps.iter().map(|step| utc(step.ends_min)).collect();
        assert_eq!(stamps("DTEND:"), wanted, "{name}");
    }
}

#[test]
fn a_day_without_such_a_night_is_as_if_nothing_were_said() {
    let plain = with(plan(), &[("day.start", json!("2026-06-10T08:00"))]);
    let told = with(plain.clone(), &[("day.zone", zone(&NIGHTS[1]))]);
    assert_eq!(day(&plain), day(&told));
    assert_eq!(
        day(&plain),
        day(&with(plain.clone(), &[("day.zone", json!([]))]))
    );
    let [a, b] =
        [&plain, &told].map(|plan| calendar(plan, Shelf::generic(), "20260101T080000Z").unwrap());
    assert_eq!(a, b);
}

#[test]
fn a_step_begun_in_the_second_of_two_equal_hours_is_an_hour_later() {
    let night = &NIGHTS[1];
    let given = [
        ("day.from_h", json!(0)),
        ("day.to_h", json!(24)),
        ("day.start", json!("2026-10-24T22:00")),
        ("day.zone", zone(night)),
    ];
    let begun = |text: &str| {
        day(&with(
            with(plan(), &given),
            &[("day.began", json!({ "fill": text }))],
        ))
    };
    let of = |text: &str| {
        begun(text)
            .steps
            .iter()
            .find(|step| step.key == "fill")
            .unwrap()
            .begins_min
    };
    assert_eq!(of("2026-10-25T02:30+02:00"), 270.0);
    assert_eq!(of("2026-10-25T02:30+01:00"), 330.0);
    assert_eq!(of("2026-10-25T02:30"), 270.0);
}

#[test]
fn what_a_zone_says_wins_over_what_was_typed_and_a_zone_that_cannot_be_is_told() {
    let typed = [
        ("day.start", json!("2026-10-24T20:00")),
        ("day.clock_at", json!("2026-10-25T03:00")),
        ("day.clock_goes", json!("back")),
    ];
    let document = with(plan(), &typed);
    let known = with(document.clone(), &[("day.zone", zone(&NIGHTS[1]))]);
    let ends = |document: &Value| {
        day(document)
            .steps
            .iter()
            .map(|step| step.until.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(ends(&document), ends(&known));
    let never = with(document, &[("day.zone", json!([]))]);
    let plain = with(plan(), &typed[..1]);
    assert_eq!(ends(&never), ends(&plain));

    let line = zone(&NIGHTS[1])[0].clone();
    for wrong in [
        json!(true),
        json!({ "at": 1 }),
        json!([null]),
        json!([{ "at": "soon", "from_min": 1, "to_min": 2 }]),
        json!([{ "at": "2026-10-25T03:00" }]),
        json!([line, line]),
        json!(vec![line.clone(); 20]),
    ] {
        let problems = sheet_from(
            &with(plain.clone(), &[("day.zone", wrong.clone())]),
            Shelf::generic(),
        )
        .unwrap_err();
        assert!(
            problems
                .iter()
                .any(|problem| problem.field.starts_with("day.zone")
                    && problem.sentence.contains("List the days")),
            "{wrong}: {problems:?}"
        );
    }
}
