//! Closed days, hours past midnight, the night on which clocks change, heat that nobody watches, and hands.

use super::{conflict, day, moment, plan, step, with};
use bastwork::{Shelf, calendar, sheet_from};
use bastwork_tests::draw;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::{Value, json};

fn begins(start: &str, more: &[(&str, Value)]) -> Value {
    let plan = with(plan(), &[("day.start", json!(start))]);
    with(plan, more)
}

proptest! {
    #![proptest_config(draw::config(16))]

    #[test]
    fn whole_weeks_shift_everything_and_nothing_lies_in_closed_time_untold(
        minute in 0u32..(7 * 1440),
        celsius in 16.0..28.0_f64,
        from in select(vec![0.0, 7.5, 14.0, 20.0]),
        long in select(vec![6.0, 10.0, 24.0]),
        closed in select(vec!["", "Sun", "Sat, Sun", "Tue, Thu, Sat, Sun"]),
        post in any::<bool>(),
    ) {
        let to: f64 = if long >= 24.0 { 24.0 } else { (from + long) % 24.0 };
        let from: f64 = if long >= 24.0 { 0.0 } else { from };
        let mut more = vec![
            ("room.temperature_c", json!(celsius)), ("day.from_h", json!(from)), ("day.to_h", json!(if to == 0.0 { 24.0 } else { to })), ("day.closed", json!(closed)),
        ];
        if post {
            more.push(("cure.post_c", json!(50)));
            more.push(("cure.post_h", json!(3)));
            more.push(("cure.post_after_h", json!(20)));
        }
        let start = moment("2026-06-01T00:00").after(f64::from(minute));
        let now = day(&begins(&start.text(), &more));
        let later = day(&begins(&start.after(3.0 * 7.0 * 1440.0).text(), &more));
        let weeks = moment(later.start.as_deref().unwrap()).minutes_since(moment(now.start.as_deref().unwrap()));
        prop_assert_eq!(weeks, 3.0 * 7.0 * 1440.0);
        prop_assert_eq!(now.steps.len(), later.steps.len());
        for (a, b) in now.steps.iter().zip(&later.steps) {
            prop_assert_eq!(&a.key, &b.key);
            prop_assert!((a.begins_min - b.begins_min).abs() < 1e-6 && (a.ends_min - b.ends_min).abs() < 1e-6, "{a:?} {b:?}");
        }
        let keys = |day: &bastwork::DaySheet| day.conflicts.iter().map(|told| told.key).collect::<Vec<_>>();
        prop_assert_eq!(keys(&now), keys(&later));
        // By hand: whether a minute lies in the shop's hours. 1 June 2026 is a Monday.
        let open = |at: f64| {
            if long >= 24.0 {
                // A step that waits for midnight may be told a hair before it: as wide a hair as the hours below have.
                return [-1.2, 0.0, 1.2].iter().any(|hair| {
                    let date = ((at + hair) / 1440.0).floor();
                    !closed.contains(["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"][date.rem_euclid(7.0) as usize])
                });
            }
            [0.0, 1440.0].iter().any(|back| {
                let at = at - back;
                let (date, hour) = ((at / 1440.0).floor(), at.rem_euclid(1440.0) / 60.0 + back / 60.0);
                let name = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"][date.rem_euclid(7.0) as usize];
                !closed.contains(name) && hour >= from - 0.02 && hour <= from + long + 0.02
            })
        };
        let told = |keys: &[&str]| keys.iter().any(|key| conflict(&now, key).is_some());
        for step in now.steps.iter().filter(|step| step.hands || step.watch) {
            let ends = [step.begins_min, step.ends_min];
            let inside = ends.iter().all(|end| open(f64::from(minute) + end));
            let waits = matches!(&*step.key, "demould" | "trim" | "post");
            // What waits for the shop begins in it; it may take longer than a day there.
            let good = inside || (waits && open(f64::from(minute) + step.begins_min));
            prop_assert!(good || told(&["out_of_hours", "release_overnight"]), "{step:?}");
        }
    }
}

#[test]
fn nobody_begins_on_a_closed_sunday() {
    let sunday = begins("2026-11-29T08:00", &[("day.closed", json!("Sat, Sun"))]);
    let found = day(&sunday);
    let told = conflict(&found, "out_of_hours").unwrap();
    assert!(told.ways[0].starts_with("Begin on Mon 30 Nov"), "{told:?}");
    let monday = day(&begins(
        "2026-11-30T08:00",
        &[("day.closed", json!("Sat, Sun"))],
    ));
    assert!(conflict(&monday, "out_of_hours").is_none());
    // A part that is ready on Saturday waits for Monday.
    let friday = begins("2026-11-27T08:00", &[("day.closed", json!("Sat, Sun"))]);
    assert!(
        step(&day(&friday), "demould")
            .at
            .starts_with("2026-11-30T08"),
        "{}",
        step(&day(&friday), "demould").at
    );
    let dated = begins(
        "2026-11-30T08:00",
        &[("day.closed", json!("2026-11-30 to 2026-12-02"))],
    );
    assert!(conflict(&day(&dated), "out_of_hours").unwrap().ways[0].contains("Sun 29 Nov"));
}

#[test]
fn what_cannot_be_read_is_told_at_once() {
    let wrong = begins(
        "2026-11-29T08:00",
        &[
            ("day.closed", json!("Sundaes")),
            ("day.clock_at", json!("2026-10-25T03:00")),
            ("day.from_h", json!(8)),
            ("day.to_h", json!(8)),
        ],
    );
    let problems = sheet_from(&wrong, Shelf::generic()).unwrap_err();
    let fields: Vec<&str> = problems
        .iter()
        .map(|problem| problem.field.as_str())
        .collect();
    for field in ["day.closed", "day.clock_goes", "day.to_h"] {
        assert!(fields.contains(&field), "{fields:?}");
    }
    let never = begins(
        "2026-11-29T08:00",
        &[("day.closed", json!("Mon,Tue,Wed,Thu,Fri,Sat,Sun"))],
    );
    assert!(
        sheet_from(&never, Shelf::generic()).unwrap_err()[0]
            .sentence
            .contains("Leave out a day")
    );
}

#[test]
fn the_night_of_the_change_is_counted_and_shown() {
    // Summer time ends on 25 October 2026 at 03:00, by a wall calendar.
    let late = [("day.from_h", json!(14)), ("day.to_h", json!(2))];
    let plain = day(&begins("2026-10-24T14:00", &late));
    let back = [
        ("day.from_h", json!(14)),
        ("day.to_h", json!(2)),
        ("day.clock_at", json!("2026-10-25T03:00")),
        ("day.clock_goes", json!("back")),
    ];
    let document = begins("2026-10-24T14:00", &back);
    let found = day(&document);
    for (a, b) in plain.steps.iter().zip(&found.steps) {
        if a.name.contains("opens") || b.name.contains("opens") {
            continue;
        }
        assert!((a.begins_min - b.begins_min).abs() < 1e-9, "{}", a.key);
        let shift = moment(&a.until).minutes_since(moment(&b.until));
        let after = moment(&a.until) >= moment("2026-10-25T03:00");
        assert_eq!(shift, if after { 60.0 } else { 0.0 }, "{}", a.key);
    }
    // In the calendar file a step across the change has its length.
    let text = calendar(&document, Shelf::generic(), "20261001T080000Z").unwrap();
    let (eve, morning) = (moment("2026-10-25T02:00"), moment("2026-10-25T03:00"));
    let mut steps = found.steps.iter();
    let across = steps
        .find(|step| moment(&step.at) < eve && moment(&step.until) >= morning)
        .unwrap();
    let minutes = across.ends_min.round() - across.begins_min.round();
    assert!(
        text.contains(&format!("DURATION:PT{minutes:.0}M")),
        "{text}"
    );
}

/// A way out of heat that nobody watches, laid into the plan as its reader would.
fn followed(plan: &Value, way: &str) -> Option<Value> {
    let words: Vec<&str> = way.split([' ', '\u{a0}']).collect();
    let hours = |place: usize| words.get(place)?.parse::<f64>().ok();
    if way.starts_with("Begin on ") {
        return Some(with(
            plan.clone(),
            &[("day.start", json!(super::ways::named(way)?.text()))],
        ));
    }
    if way.starts_with("Begin the warmth on ") {
        let typed = words.iter().position(|word| *word == "type")?;
        let mut changes = vec![("cure.warm_after_h", json!(hours(typed + 1)?))];
        if let Some(lasts) = words
            .iter()
            .position(|word| *word == "and")
            .filter(|_| way.contains("how long it lasts"))
        {
            changes.push(("cure.warm_h", json!(hours(lasts + 1)?)));
        }
        return Some(with(plan.clone(), &changes));
    }
    if way.starts_with("Hold the heat for ") {
        return Some(with(plan.clone(), &[("cure.post_h", json!(hours(4)?))]));
    }
    if let Some(open) = way.strip_prefix("Have somebody there from ") {
        let at = |text: &str| {
            let (hour, minute) = text.split_once(':')?;
            Some(hour.parse::<f64>().ok()? + minute.parse::<f64>().ok()? / 60.0)
        };
        let (from, to) = open.split_once(" to ")?;
        return Some(with(
            plan.clone(),
            &[
                ("day.from_h", json!(at(from)?)),
                ("day.to_h", json!(at(&to[..5])?)),
            ],
        ));
    }
    if way.starts_with("Have a second pair") {
        return Some(with(plan.clone(), &[("day.hands", json!(2))]));
    }
    way.starts_with("Leave the heat off").then(|| {
        let mut plan = plan.clone();
        for name in ["post_c", "warm_c"] {
            plan["cure"].as_object_mut().unwrap().remove(name);
        }
        plan
    })
}

proptest! {
    #![proptest_config(draw::config(20))]

    #[test]
    fn heat_that_nobody_watches_is_told_with_ways_that_lead_out(
        hour in 6u32..20,
        warm_after in 0.0..20.0_f64,
        lasts in 1.0..30.0_f64,
        post_after in 12.0..60.0_f64,
        held in 1.0..20.0_f64,
        kind in select(vec!["warm", "post"]),
        open in 8.0..14.0_f64,
    ) {
        let more = if kind == "warm" {
            vec![("cure.warm_c", json!(35)), ("cure.warm_after_h", json!(warm_after)), ("cure.warm_h", json!(lasts))]
        } else {
            vec![("cure.post_c", json!(50)), ("cure.post_after_h", json!(post_after)), ("cure.post_h", json!(held))]
        };
        let hours = [("day.from_h", json!(8)), ("day.to_h", json!(8.0 + open))];
        let wanted = with(begins(&format!("2026-06-01T{hour:02}:00"), &more), &hours);
        let found = day(&wanted);
        let heats = step(&found, kind);
        let (key, takes) = match kind {
            "warm" => ("warm_alone", 60.0 * lasts),
            // 20 degrees in the shop, 10 an hour, by hand.
            _ => ("post_alone", 60.0 * (held + 3.0)),
        };
        let begins = (f64::from(hour) * 60.0 + heats.begins_min).rem_euclid(1440.0);
        let watched = begins >= 479.0 && begins + takes <= 481.0 + 60.0 * open;
        prop_assert_eq!(conflict(&found, key).is_none(), watched, "{:?}", found.conflicts);
        // A post-cure waits for a day that can hold it.
        prop_assert!(kind == "warm" || watched == (held + 3.0 <= open + 0.01), "{} {}", held, open);
        if let Some(told) = conflict(&found, key) {
            prop_assert!(told.ways.len() >= 2 || kind == "post", "{told:?}");
            for way in &told.ways {
                let other = followed(&wanted, way);
                prop_assert!(other.is_some(), "{}", way);
                let after = day(&other.unwrap());
                prop_assert!(conflict(&after, key).is_none(), "{}: {way}\n{:?}", told.sentence, conflict(&after, key));
            }
        }
    }
}

#[test]
fn too_few_hands_are_told_where_they_were_counted() {
    let large = |more: &[(&str, Value)]| {
        day(&with(
            begins("2026-06-01T08:00", &[("part.area_m2", json!(1.6))]),
            more,
        ))
    };
    let quiet = large(&[]);
    assert!(conflict(&quiet, "too_few_hands").is_none() && step(&quiet, "bag").pairs == 2);
    let one = large(&[("day.hands", json!(1))]);
    let told = conflict(&one, "too_few_hands").unwrap();
    assert!(
        told.step == "bag" && told.ways[0].contains("type 2"),
        "{told:?}"
    );
    assert!(conflict(&large(&[("day.hands", json!(2))]), "too_few_hands").is_none());
    let small = day(&begins(
        "2026-06-01T08:00",
        &[
            ("day.hands", json!(1)),
            ("part.area_m2", json!(0.2)),
            ("mix.largest_pot_g", json!(5000)),
        ],
    ));
    assert!(
        conflict(&small, "too_few_hands").is_none(),
        "{:?}",
        small.conflicts
    );
    let pots = day(&begins(
        "2026-06-01T08:00",
        &[
            ("day.hands", json!(1)),
            ("part.area_m2", json!(0.9)),
            ("mix.largest_pot_g", json!(300)),
        ],
    ));
    assert_eq!(conflict(&pots, "too_few_hands").unwrap().step, "fill");
}

#[test]
fn a_pump_that_runs_alone_is_told() {
    let alone = begins("2026-06-01T08:00", &[("dry.vacuum_h", json!(14))]);
    assert!(step(&day(&alone), "vacuum").care.contains("runs alone"));
    let late = day(&begins("2026-06-01T12:00", &[]));
    let told = conflict(&late, "gel_alone").unwrap();
    assert!(
        told.ways
            .iter()
            .any(|way| way.contains("A pump that runs alone must be made for it")),
        "{told:?}"
    );
    let heated = day(&begins(
        "2026-06-01T08:00",
        &[("dry.vacuum_h", json!(14)), ("dry.bag_c", json!(45))],
    ));
    assert!(conflict(&heated, "heat_alone").is_some());
}

#[test]
fn a_night_colder_than_the_resin_is_made_for_is_told() {
    let says = |night: f64, more: &[(&str, Value)]| {
        let plan = with(
            begins("2026-11-26T08:00", &[("cure.night_c", json!(night))]),
            more,
        );
        let sheet = sheet_from(&plan, Shelf::generic()).unwrap();
        sheet.notes.iter().any(|note| {
            note.sentence
                .contains("most room-temperature hardeners are made for")
        })
    };
    assert!(says(0.0, &[]) && says(-5.0, &[]) && !says(17.0, &[]));
    let warmed = [
        ("cure.warm_c", json!(25)),
        ("cure.warm_after_h", json!(0)),
        ("cure.warm_h", json!(20)),
    ];
    assert!(!says(-5.0, &warmed));
}
