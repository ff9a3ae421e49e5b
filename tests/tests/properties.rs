//! What must hold for any plan: every figure sane, mass kept, texts read back, the same answer twice.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Fabric, Shelf, Units, read_entry, sheet_from, show_entry};
use bastwork_tests::sane::{every_figure_is_sane, sentences_are_good};
use bastwork_tests::sheets::{likely, sheet};
use bastwork_tests::{draw, plans};
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::Value;

#[test]
fn any_plan_gives_a_sane_sheet_or_good_sentences() {
    draw::each(400, &plans::plan(), |plan| {
        match sheet_from(&plan, Shelf::generic()) {
            Ok(sheet) => every_figure_is_sane(&serde_json::to_value(&sheet).unwrap()),
            Err(problems) => sentences_are_good(&problems),
        }
    });
}

#[test]
fn most_plans_give_a_sheet() {
    let plans = plans::seeded(200, 5);
    let mut why = std::collections::BTreeMap::<String, usize>::new();
    let mut good = 0;
    for plan in &plans {
        match sheet_from(plan, Shelf::generic()) {
            Ok(_) => good += 1,
            Err(problems) => {
                for problem in problems {
                    *why.entry(problem.field).or_default() += 1;
                }
            }
        }
    }
    assert!(good >= 140, "only {good} of 200: {why:?}");
}

/// What lies between fibre and resin in the plan's stack [g].
fn core_mass(plan: &Value, area: f64) -> f64 {
    let mut mass = 0.0;
    for row in plan["stack"].as_array().unwrap() {
        let count = row["count"].as_f64().unwrap();
        let fabric = &row["fabric"];
        if let Some(Fabric::Core(core)) =
            fabric.as_str().and_then(|key| Shelf::generic().fabric(key))
        {
            mass += count * core.thickness_mm.range.likely * core.density_g_cm3.range.likely;
        } else if fabric["kind"] == "core" {
            let of = |name: &str| fabric[name].as_f64().unwrap();
            mass += count * of("thickness_mm") * of("density_g_cm3");
        }
    }
    mass * 1000.0 * area
}

#[test]
fn mass_in_is_mass_out() {
    draw::each(200, &plans::plan(), |mut plan| {
        // Weighings change what the scale should show, whatever the cloth was thought to hold.
        if let Some(dry) = plan.get_mut("dry").and_then(Value::as_object_mut) {
            dry.remove("weighings");
        }
        let Ok(sheet) = sheet(&plan) else {
            return Ok(());
        };
        let of = |path: &str| likely(&sheet, path);
        let equal = |a: f64, b: f64, what: &str| {
            if (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1e-3) {
                Ok(())
            } else {
                Err(format!("{what}: {a} and {b}"))
            }
        };
        let area = &plan["part"]["area_m2"];
        let area = area.as_f64().or_else(|| area["likely"].as_f64()).unwrap();
        // Short of resin, the part weighs what it got; the mix still says what it would need.
        if plan["mix"]["on_hand_g"].is_null() {
            equal(
                of("stack.part_mass_g"),
                of("stack.fibre_mass_g") + of("mix.resin_in_part_g") + core_mass(&plan, area),
                "part = fibre + resin + cores",
            )?;
        }
        if plan["route"] == "prepreg" {
            return equal(of("mix.resin_to_mix_g"), 0.0, "prepreg needs no mix");
        }
        equal(
            of("mix.resin_g") + of("mix.hardener_g"),
            of("mix.resin_to_mix_g"),
            "resin + hardener = mix",
        )?;
        let losses: f64 = sheet["mix"]["losses"]
            .as_array()
            .unwrap()
            .iter()
            .map(|loss| loss["grams"]["likely"].as_f64().unwrap())
            .sum();
        equal(
            of("mix.resin_in_part_g") + losses,
            of("mix.resin_to_mix_g"),
            "part + losses = mix",
        )?;
        let pots = sheet["mix"]["pots"].as_array().unwrap();
        // A long list of pots is cut short.
        if pots.len() < 60 {
            let poured: f64 = pots
                .iter()
                .map(|pot| pot["total_g"]["likely"].as_f64().unwrap())
                .sum();
            equal(poured, of("mix.resin_to_mix_g"), "pots = mix")?;
        }
        equal(
            of("dry.weigh_now_g") - of("dry.weigh_target_g"),
            of("dry.water_to_drive_g"),
            "the scale shows the water driven out",
        )
        .or_else(|what| {
            // Cloth drier than the target has nothing to lose.
            if of("dry.water_to_drive_g") == 0.0 {
                Ok(())
            } else {
                Err(what)
            }
        })
    });
}

#[test]
fn entries_survive_the_way_to_text_and_back() {
    let keys = plans::entry_keys();
    assert!(keys.len() > 60, "{}", keys.len());
    let limits = |key: &str| -> (f64, f64) {
        // The refusal of something far too large names the range.
        let problem = read_entry(key, "1e300", Units::Metric).unwrap_err();
        (problem.low.unwrap(), problem.high.unwrap())
    };
    let strategy = (select(keys), 0.001..0.999_f64, any::<bool>());
    draw::each(4000, &strategy, |((key, counts), place, us)| {
        let units = if us { Units::Us } else { Units::Metric };
        let (low, high) = limits(&key);
        let decades = low > 0.0 && high / low > 100.0;
        let mut value = if decades {
            low * (high / low).powf(place)
        } else {
            low + place * (high - low)
        };
        if counts {
            value = value.round().max(1.0);
        }
        let text = show_entry(&key, value, units);
        let back =
            read_entry(&key, &text, units).map_err(|why| format!("{key} {text:?}: {why:?}"))?;
        // Six figures of a temperature in Fahrenheit are counted from another zero.
        let size = value
            .abs()
            .max(if key.ends_with("_c") { 20.0 } else { 0.0 });
        if (back - value).abs() <= 1e-5 * size {
            Ok(())
        } else {
            Err(format!("{key}: {value} became {text:?}, then {back}"))
        }
    });
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    draw::each(40, &plans::plan(), |plan| {
        let text = |plan: &Value| match sheet_from(plan, Shelf::generic()) {
            Ok(sheet) => serde_json::to_string(&sheet).unwrap(),
            Err(problems) => serde_json::to_string(&problems).unwrap(),
        };
        // Read twice from text, so that nothing of the first time is left.
        let read = || -> Value { serde_json::from_str(&plan.to_string()).unwrap() };
        if text(&read()) == text(&read()) {
            Ok(())
        } else {
            Err("two different answers".into())
        }
    });
}
