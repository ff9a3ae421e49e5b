//! Ways out that are ways out: each is laid into the plan, and what stood in the way is gone.

use super::{conflict, day, moment, plan, step, with};
use bastwork::plan::Moment;
use bastwork::{Conflict, DaySheet};
use bastwork_tests::draw;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::{Value, json};

/// The moment that a way out names, such as "Thu 26 Nov 08:30", in 2026.
pub(super) fn named(way: &str) -> Option<Moment> {
    let words: Vec<&str> = way.split([' ', '.', ',']).collect();
    words.windows(4).find_map(|four| {
        let month = 1 + [
            "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
        ]
        .iter()
        .position(|name| *name == four[2])?;
        let date: u8 = four[1].parse().ok()?;
        let clock = four[3].trim_end_matches(':');
        Moment::from_text(&format!("2026-{month:02}-{date:02}T{clock}"))
    })
}

/// The number that stands before a unit in a way out.
fn number(way: &str, unit: &str) -> Option<f64> {
    let words: Vec<&str> = way
        .split([' ', '\u{a0}', ':', ','])
        .map(|word| word.trim_end_matches('.'))
        .collect();
    let place = words.iter().position(|word| *word == unit)?;
    words.get(place.checked_sub(1)?)?.parse().ok()
}

/// A way out, laid into the plan as the person who reads it would; none for those that name no figure.
fn followed(plan: &Value, way: &str) -> Option<Value> {
    if way.starts_with("Begin ") {
        return Some(with(
            plan.clone(),
            &[("day.start", json!(named(way)?.text()))],
        ));
    }
    if way.starts_with("Stop when the bag is tight") {
        return Some(with(
            plan.clone(),
            &[("day.began", json!({ "mix_1": named(way)?.text() }))],
        ));
    }
    if let Some(hours) = way.strip_prefix("Open the workshop from ") {
        let at = |text: &str| {
            let (hour, minute) = text.split_once(':')?;
            Some(hour.parse::<f64>().ok()? + minute.parse::<f64>().ok()? / 60.0)
        };
        let (from, to) = hours.split_once(" to ")?;
        let changes = [
            ("day.from_h", json!(at(from)?)),
            ("day.to_h", json!(at(&to[..5])?)),
        ];
        return Some(with(plan.clone(), &changes));
    }
    if way.starts_with("Put the release on the day before") {
        return Some(with(plan.clone(), &[("day.release_coats", json!(0))]));
    }
    if way.starts_with("Mix ") {
        return Some(with(
            plan.clone(),
            &[("mix.largest_pot_g", json!(number(way, "g")?))],
        ));
    }
    if way.starts_with("Lay the feed so that") {
        return Some(with(
            plan.clone(),
            &[("part.flow_length_mm", json!(number(way, "mm")?))],
        ));
    }
    if way == "Lay a flow mesh on the stack." {
        return Some(with(plan.clone(), &[("bag.flow_mesh", json!(true))]));
    }
    if way.starts_with("Lay a flow mesh on the stack, and the feed") {
        let changes = [
            ("bag.flow_mesh", json!(true)),
            ("part.flow_length_mm", json!(number(way, "mm")?)),
        ];
        return Some(with(plan.clone(), &changes));
    }
    if way.starts_with("Take a slower hardener, with a pot life") {
        return Some(with(
            plan.clone(),
            &[("resin", slower(&plan["resin"], number(way, "min")?))],
        ));
    }
    if way.starts_with("Pour each pot into a flat tray") {
        return Some(with(plan.clone(), &[("mix.pot_kind", json!("tray"))]));
    }
    if way.starts_with("Stand the pot in cold water") {
        return Some(with(plan.clone(), &[("mix.pot_kind", json!("bath"))]));
    }
    if way.starts_with("Dry it under the bag instead") {
        return Some(with(plan.clone(), &[("dry.vacuum_h", json!(6))]));
    }
    if way.starts_with("Warm it while it sets") {
        return Some(with(plan.clone(), &[("cure.temperature_c", json!(40))]));
    }
    if way == "Take a faster hardener." {
        return Some(with(
            plan.clone(),
            &[("resin", json!("infusion_epoxy_fast"))],
        ));
    }
    None
}

/// The resin of a plan with another pot life, as its can would state it.
fn slower(resin: &Value, minutes: f64) -> Value {
    let mut other = match resin {
        Value::Object(_) => resin.clone(),
        _ => json!({
            "name": "A slower one", "hardener_per_100": 30, "density_resin_g_ml": 1.15, "density_hardener_g_ml": 0.95,
            "density_cured_g_cm3": 1.15, "viscosity_mpa_s": 300, "viscosity_at_c": 25, "pot_life_g": 100, "pot_life_c": 25,
            "pot_life_meaning": "gel", "tg_ultimate_c": 90, "modulus_gpa": 3.2,
        }),
    };
    other["pot_life_min"] = json!(minutes);
    other
}

/// Follows every way that can be followed, and tells how many there were.
fn all_lead_out(plan: &Value, found: &DaySheet) -> Result<usize, TestCaseError> {
    let mut count = 0;
    for told in &found.conflicts {
        prop_assert!(
            !told.sentence.is_empty() && !told.ways.is_empty(),
            "{told:?}"
        );
        prop_assert!(
            found.steps.iter().any(|step| step.key == told.step),
            "{told:?}"
        );
        for way in &told.ways {
            let Some(other) = followed(plan, way) else {
                continue;
            };
            count += 1;
            let after = day(&other);
            let left = conflict(&after, told.key);
            prop_assert!(left.is_none(), "{}: {way}\n{left:?}", told.sentence);
        }
    }
    Ok(count)
}

proptest! {
    #![proptest_config(draw::config(32))]

    #[test]
    fn a_way_that_names_a_figure_is_a_way_out(
        minute in 0u32..(3 * 1440),
        celsius in 16.0..30.0_f64,
        resin in select(vec!["infusion_epoxy_slow", "infusion_epoxy_medium", "infusion_epoxy_fast"]),
        route in select(vec!["infusion", "bagged_wet", "open_wet"]),
        out_after in prop::option::of(6.0..90.0_f64),
        mesh in any::<bool>(),
        run_mm in 150.0..900.0_f64,
        pot_g in 200.0..3000.0_f64,
        degas in select(vec![0.0, 10.0]),
    ) {
        let start = moment("2026-06-01T00:00").after(f64::from(minute));
        let mut wanted = with(plan(), &[
            ("day.start", json!(start.text())), ("room.temperature_c", json!(celsius)), ("resin", json!(resin)), ("route", json!(route)),
            ("bag.flow_mesh", json!(mesh)), ("part.flow_length_mm", json!(run_mm)), ("mix.largest_pot_g", json!(pot_g)), ("mix.degas_min", json!(degas)),
        ]);
        if let Some(hours) = out_after {
            wanted = with(wanted, &[("day.out_by", json!(start.after(60.0 * hours).text()))]);
        }
        all_lead_out(&wanted, &day(&wanted))?;
    }
}

/// The conflict that a plan has, with all its ways followed; at least `least` of them name a figure.
fn told(plan: &Value, key: &str, least: usize) -> Conflict {
    let found = day(plan);
    let one = conflict(&found, key).cloned();
    let one = one.unwrap_or_else(|| panic!("{key}: {:?}", found.conflicts));
    let with_figures = one.ways.iter().filter(|way| followed(plan, way).is_some());
    let with_figures = with_figures.count();
    assert!(with_figures >= least, "{one:?}");
    all_lead_out(plan, &found).unwrap_or_else(|why| panic!("{why}"));
    one
}

#[test]
fn each_kind_is_told_with_ways_that_lead_out() {
    let base = || with(plan(), &[("day.start", json!("2026-06-01T08:00"))]);
    // A run without a mesh, much too long.
    let far = with(
        base(),
        &[
            ("bag.flow_mesh", json!(false)),
            ("part.flow_length_mm", json!(700)),
        ],
    );
    let found = told(&far, "gels_first", 1);
    assert!(found.ways[0].starts_with("Lay a flow mesh"));
    assert!(
        conflict(
            &day(&with(far, &[("bag.flow_mesh", json!(true))])),
            "gels_first"
        )
        .is_none()
    );
    // A fast resin under a bag that takes long to close.
    let slow_hands = [
        ("route", json!("bagged_wet")),
        ("resin", json!("infusion_epoxy_fast")),
        ("day.bag_min", json!(200)),
    ];
    let open = with(base(), &slow_hands);
    told(&open, "gels_open", 0);
    assert!(
        conflict(
            &day(&with(
                open,
                &[
                    ("day.bag_min", json!(15)),
                    ("resin", json!("infusion_epoxy_slow"))
                ]
            )),
            "gels_open"
        )
        .is_none()
    );
    // An afternoon start: hands past closing; a release past closing; gel in the night.
    told(
        &with(base(), &[("day.start", json!("2026-06-01T16:30"))]),
        "out_of_hours",
        2,
    );
    told(
        &with(base(), &[("day.start", json!("2026-06-01T18:30"))]),
        "release_overnight",
        2,
    );
    told(
        &with(base(), &[("day.start", json!("2026-06-01T12:00"))]),
        "gel_alone",
        1,
    );
    told(
        &with(base(), &[("room.temperature_c", json!(26))]),
        "at_night",
        0,
    );
    let soon = with(base(), &[("day.out_by", json!("2026-06-02T02:00"))]);
    let late = told(&soon, "too_late", 1);
    assert!(
        late.ways[0].contains("earlier") && late.ways[1].starts_with("Save "),
        "{late:?}"
    );
    // A big pot of a fast resin that is used up slowly.
    let old = with(
        base(),
        &[
            ("bag.flow_mesh", json!(false)),
            ("resin", json!("infusion_epoxy_fast")),
            ("mix.largest_pot_g", json!(5000)),
            ("mix.scale_step_g", json!(0.01)),
            ("mix.stir_min", json!(20)),
            ("mix.degas_min", json!(40)),
        ],
    );
    told(&old, "pot_too_old", 0);
    let cold = with(
        base(),
        &[
            ("room.temperature_c", json!(2)),
            (
                "resin",
                json!({
                    "name": "Slow", "hardener_per_100": 28, "density_resin_g_ml": 1.14, "density_hardener_g_ml": 0.96, "density_cured_g_cm3": 1.15,
                    "viscosity_mpa_s": 310, "viscosity_at_c": 25, "pot_life_min": 2500, "pot_life_g": 100, "pot_life_c": 25, "pot_life_meaning": "gel",
                    "tg_ultimate_c": 92, "modulus_gpa": 3.2,
                }),
            ),
        ],
    );
    told(&cold, "slow_to_harden", 0);
    let warmed = with(cold, &[("cure.temperature_c", json!(40))]);
    assert!(conflict(&day(&warmed), "slow_to_harden").is_none());
    let damp = with(
        base(),
        &[
            ("room.humidity_pct", json!(80)),
            ("day.bag_min", json!(120)),
        ],
    );
    told(&damp, "damp_again", 0);
    assert!(
        conflict(
            &day(&with(damp.clone(), &[("dry.vacuum_h", json!(6))])),
            "damp_again"
        )
        .is_none()
    );
    let wet = with(damp, &[("route", json!("bagged_wet"))]);
    assert!(conflict(&day(&wet), "damp_again").is_none_or(|told| told.step == "wet"));
}

#[test]
fn a_night_that_is_waited_through_moves_the_end_of_every_job() {
    // Ready likely in the evening; one job in ten is not, and waits for the morning.
    let mut latest: Option<f64> = None;
    for hour in 8..20 {
        let found = day(&with(
            plan(),
            &[
                ("day.start", json!(format!("2026-06-01T{hour:02}:00"))),
                ("room.temperature_c", json!(24)),
            ],
        ));
        let off = step(&found, "demould");
        let [_, late] = off.ends_between_min;
        let at = moment("2026-06-01T00:00").after(60.0 * f64::from(hour) + late);
        // Nobody lifts a part between closing and half an hour after opening.
        assert!(
            at.hour() > 8.0 && at.hour() <= 20.5,
            "{hour}: {}",
            at.spoken()
        );
        let end = 60.0 * f64::from(hour) + late;
        assert!(
            latest.is_none_or(|before| end >= before - 1.0),
            "a later start ends no sooner"
        );
        latest = Some(end);
    }
}
