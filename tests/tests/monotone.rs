//! More of one thing moves the figures the way physics says.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork_tests::sheets::{likely, sheet};
use bastwork_tests::{draw, plans};
use serde_json::{Value, json};

/// Changes one thing of an ordinary plan and compares a figure before and after.
fn moves(
    path: &'static str,
    change: impl Fn(&mut Value),
    figures: &[&str],
    holds: impl Fn(f64, f64) -> bool,
) {
    draw::each(60, &plans::ordinary(), |plan| {
        let before = sheet(&plan)?;
        let mut changed = plan.clone();
        change(&mut changed);
        let after = sheet(&changed)?;
        for figure in figures {
            let (a, b) = (likely(&before, figure), likely(&after, figure));
            if !holds(a, b) {
                return Err(format!("{path} changed, {figure} went from {a} to {b}"));
            }
        }
        Ok(())
    });
}

fn add(plan: &mut Value, path: &str, by: f64) {
    let (group, name) = path.split_once('.').unwrap();
    let old = plan[group][name].as_f64().unwrap();
    plans::put(plan, path, json!(old + by));
}

#[test]
fn more_plies_are_thicker_heavier_and_thirstier() {
    moves(
        "plies",
        |plan| {
            let count = plan["stack"][0]["count"].as_u64().unwrap();
            plan["stack"][0]["count"] = json!(count + 1);
        },
        &[
            "stack.thickness_mm",
            "stack.part_mass_g",
            "stack.fibre_mass_g",
            "mix.resin_in_part_g",
            "mix.resin_to_mix_g",
            "dry.water_g",
        ],
        |before, after| after > before,
    );
}

#[test]
fn a_larger_part_takes_more_of_everything() {
    moves(
        "area",
        |plan| add(plan, "part.area_m2", 0.3),
        &["stack.part_mass_g", "mix.resin_to_mix_g", "dry.water_g"],
        |before, after| after > before,
    );
}

#[test]
fn a_damper_store_means_more_water() {
    moves(
        "humidity",
        |plan| add(plan, "room.humidity_pct", 10.0),
        &[
            "dry.water_g",
            "dry.regain_start_pct",
            "dry.lowest_pressure_mbar",
            "dry.oven_floor_pct",
        ],
        |before, after| after > before,
    );
    moves(
        "store",
        |plan| {
            let damp = plan["room"]["humidity_pct"].as_f64().unwrap() + 8.0;
            plan["store"] = json!({ "humidity_pct": damp });
        },
        &["dry.water_g"],
        |before, after| after > before,
    );
}

#[test]
fn a_hotter_oven_dries_deeper() {
    moves(
        "oven",
        |plan| plan["dry"] = json!({ "oven_c": 80 }),
        &["dry.oven_floor_pct"],
        |before, after| after < before,
    );
}

#[test]
fn a_longer_run_fills_later() {
    // Along one feed line: a part of the same area that is shorter and wider has more spiral to go along.
    draw::each(60, &plans::ordinary(), |mut plan| {
        plans::put(&mut plan, "bag.spiral_m", json!(1));
        let before = likely(&sheet(&plan)?, "fill.time_min");
        add(&mut plan, "part.flow_length_mm", 60.0);
        let after = likely(&sheet(&plan)?, "fill.time_min");
        if after > before {
            Ok(())
        } else {
            Err(format!("a longer run took {after} after {before}"))
        }
    });
}

#[test]
fn a_warmer_shop_gels_and_hardens_earlier() {
    moves(
        "room",
        |plan| add(plan, "room.temperature_c", 4.0),
        &[
            "fill.gel_min",
            "cure.gel_h",
            "cure.demould_h",
            "mix.use_within_min",
            "fill.viscosity_mpa_s",
        ],
        |before, after| after < before,
    );
}

#[test]
fn a_lower_bag_pressure_never_makes_it_thicker() {
    moves(
        "bag",
        |plan| plan["bag"]["pressure_mbar_abs"] = json!(5),
        &[
            "stack.thickness_mm",
            "mix.resin_in_part_g",
            "stack.resin_per_fibre_mass",
        ],
        |before, after| after <= before,
    );
}

#[test]
fn a_weak_pump_never_makes_it_thinner() {
    moves(
        "bag",
        |plan| plan["bag"]["pressure_mbar_abs"] = json!(300),
        &["stack.thickness_mm", "fill.time_min"],
        |before, after| after > before,
    );
}

#[test]
fn a_larger_marked_speed_turns_faster() {
    let at = |speed: f64| {
        let plan = json!({
            "part": { "area_m2": 1 }, "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
            "trim": { "tool": "cutting_disc_125", "marked_m_s": speed }
        });
        likely(&sheet(&plan).unwrap(), "trim.max_rpm")
    };
    assert!(at(40.0) < at(50.0) && at(50.0) < at(80.0));
    assert!(
        at(120.0) <= at(80.0),
        "no marking lifts the limit of the class"
    );
}
