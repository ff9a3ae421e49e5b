//! Whatever is thrown at the core comes back as a sheet or as sentences, never as a panic.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{
    Board, Problem, Shelf, Units, catalogue, read_entry, sheet_from, show_entry, watched,
};
use bastwork_tests::noise::{mutated, tree};
use bastwork_tests::{cases_dir, draw, files, json as read_json, plans, root};
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::{Map, Value, json};

fn good(problems: &[Problem]) -> Result<(), String> {
    if problems.is_empty() {
        return Err("neither an answer nor a problem".into());
    }
    match problems
        .iter()
        .find(|problem| problem.sentence.trim().len() < 10)
    {
        Some(problem) => Err(format!("{problem:?}")),
        None => Ok(()),
    }
}

fn survives(plan: &Value, shelf: &Shelf) -> Result<(), String> {
    match sheet_from(plan, shelf) {
        Ok(sheet) => serde_json::to_string(&sheet)
            .map(|_| ())
            .map_err(|why| why.to_string()),
        Err(problems) => good(&problems),
    }
}

fn demo_plans() -> Vec<Value> {
    files(&root().join("examples"), ".json")
        .iter()
        .map(|path| read_json(path))
        .collect()
}

fn own_shelf() -> Value {
    json!({
        "format": 1,
        "fabrics": {
            "sail": { "name": "Old sail", "kind": "cloth", "fibre": "hemp", "architecture": "plain",
                      "areal_mass_g_m2": { "low": 380, "likely": 400, "high": 420 }, "mass_basis": "dry",
                      "fibre_fraction_at_1_bar": 0.33, "compaction_exponent": 0.1, "permeability_m2": 3e-11 },
            "plank": { "name": "Paulownia", "kind": "core", "thickness_mm": 6, "density_g_cm3": 0.28,
                       "modulus_gpa": 0.3, "resin_uptake_g_m2": 250 }
        },
        "resins": { "can": { "name": "From the can", "hardener_per_100": 33, "density_resin_g_ml": 1.13,
                     "density_hardener_g_ml": 0.98, "density_cured_g_cm3": 1.14, "viscosity_mpa_s": 420,
                     "viscosity_at_c": 20, "second_viscosity_mpa_s": 260, "second_viscosity_at_c": 25,
                     "pot_life_min": 70, "pot_life_g": 150, "pot_life_c": 20, "pot_life_meaning": "ten_degrees",
                     "tg_ultimate_c": 84, "modulus_gpa": 3.0 } },
        "tools": { "blade": { "name": "Diamond blade", "action": "cutting_wheel", "diameter_mm": 76,
                     "advised_m_s": 25, "kerf_mm": 1.1, "wander_mm": 0.8 } },
        "learned": { "moisture_scale": 0.66, "drying_factor": 1.4, "cloths": { "flax_twill_300": { "permeability_m2": 5e-11 } } }
    })
}

/// A plan that uses everything of the own shelf.
fn plan_on_own_shelf() -> Value {
    json!({
        "part": { "area_m2": 0.8, "flow_length_mm": 300 },
        "stack": [{ "fabric": "sail", "count": 2 }, { "fabric": "plank", "count": 1 }, { "fabric": "sail", "count": 2 }],
        "resin": "can", "trim": { "tool": "blade" }
    })
}

#[test]
fn the_own_shelf_of_these_tests_works() {
    let shelf = Shelf::with_own(&own_shelf()).unwrap();
    let sheet = sheet_from(&plan_on_own_shelf(), &shelf).unwrap();
    assert!(sheet.stack.thickness_mm.likely > 6.0);
}

#[test]
fn noise_as_a_plan() {
    draw::each(1500, &tree(), |plan| survives(&plan, Shelf::generic()));
}

#[test]
fn noise_as_an_own_shelf() {
    draw::each(1500, &tree(), |own| match Shelf::with_own(&own) {
        Ok(shelf) => survives(&plan_on_own_shelf(), &shelf),
        Err(problems) => good(&problems),
    });
}

#[test]
fn demo_plans_with_slips() {
    draw::each(1500, &mutated(demo_plans()), |plan| {
        survives(&plan, Shelf::generic())
    });
}

#[test]
fn own_shelves_with_slips() {
    draw::each(
        1000,
        &mutated(vec![own_shelf()]),
        |own| match Shelf::with_own(&own) {
            Ok(shelf) => {
                let _ = catalogue(&shelf);
                survives(&plan_on_own_shelf(), &shelf)
            }
            Err(problems) => good(&problems),
        },
    );
}

/// A drawn part whose front was watched in every way there is.
fn watched_plan() -> Value {
    json!({
        "part": { "shape": { "form": "ell", "length_mm": 500, "width_mm": 400, "arm_mm": 150 } },
        "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
        "resin": "infusion_epoxy_slow",
        "fill": {
            "lines": [{ "does": "feed", "points_mm": [[0, 0], [0, 400]] }, { "does": "vent", "points_mm": [[500, 0]] }],
            "zones": [{ "lies": "plies", "count": 1, "points_mm": [[100, 0], [200, 0], [200, 100]] }],
            "front": [{ "min": 4, "mm": 120 }, { "min": 9, "at_mm": [200, 60] }, { "min": 70, "ended": true }]
        }
    })
}

#[test]
fn drawn_parts_and_watched_fronts_with_slips() {
    let plan = watched_plan();
    assert!(
        watched(&plan, Shelf::generic())
            .unwrap()
            .unwrap()
            .cloths
            .len()
            == 1
    );
    draw::each(250, &mutated(vec![plan]), |plan| {
        let mut board = Board::new(&plan, Shelf::generic());
        if board.drawn().is_none() {
            good(board.problems())?;
        }
        match watched(&plan, Shelf::generic()) {
            Ok(_) => Ok(()),
            Err(problems) => good(&problems),
        }
    });
}

#[test]
fn plans_with_everything_written_out_and_slips() {
    draw::each(500, &mutated(plans::seeded(20, 9)), |plan| {
        survives(&plan, Shelf::generic())
    });
}

fn entry_keys() -> Vec<String> {
    plans::entry_keys()
        .into_iter()
        .map(|(key, _)| key)
        .collect()
}

#[test]
fn any_text_in_any_entry() {
    let mut keys = entry_keys();
    keys.extend(
        [
            "",
            ".",
            "stack.",
            "fabrics",
            "fabrics.x",
            "x.y.z",
            "\u{1f33f}",
        ]
        .map(str::to_owned),
    );
    let text = prop_oneof![".{0,30}", "[0-9.,'eE+\u{2212} -]{0,14}", "-?[0-9]{1,400}"];
    let key = prop_oneof![5 => select(keys), 1 => ".{0,20}".boxed()];
    draw::each(20_000, &(key, text, any::<bool>()), |(key, text, us)| {
        let units = if us { Units::Us } else { Units::Metric };
        match read_entry(&key, &text, units) {
            Ok(value) if value.is_finite() => Ok(()),
            Ok(value) => Err(format!("{value}")),
            Err(problem) => good(&[problem]),
        }
    });
}

#[test]
fn any_number_in_any_entry() {
    draw::each(
        20_000,
        &(select(entry_keys()), any::<f64>(), any::<bool>()),
        |(key, value, us)| {
            let text = show_entry(&key, value, if us { Units::Us } else { Units::Metric });
            if text.is_empty() {
                Err("no text".into())
            } else {
                Ok(())
            }
        },
    );
    for value in [
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        0.0,
        -0.0,
        5e-324,
        f64::MAX,
    ] {
        for key in entry_keys() {
            let _ = show_entry(&key, value, Units::Us);
        }
    }
}

#[test]
fn documents_that_are_far_too_large() {
    let row = json!({ "fabric": "flax_twill_300", "count": 1 });
    let mut many = json!({ "part": { "area_m2": 1 }, "stack": vec![row; 10_000] });
    survives(&many, Shelf::generic()).unwrap();
    assert!(
        sheet_from(&many, Shelf::generic()).is_err(),
        "ten thousand rows are no stack"
    );

    many["stack"] = json!([{ "fabric": "flax_twill_300", "count": 1 }]);
    for i in 0..10_000 {
        many[format!("unknown {i}")] = json!(i);
    }
    survives(&many, Shelf::generic()).unwrap();

    let mut deep = json!(1);
    for _ in 0..2_000 {
        deep = json!({ "stack": [deep] });
    }
    survives(&deep, Shelf::generic()).unwrap();
    let _ = Shelf::with_own(&deep);

    let table: Map<String, Value> = (0..10_000)
        .map(|i| (format!("cloth{i}"), json!({ "areal_mass_g_m2": 300 })))
        .collect();
    match Shelf::with_own(&json!({ "fabrics": table })) {
        Ok(shelf) => survives(&demo_plans()[0], &shelf).unwrap(),
        Err(problems) => good(&problems).unwrap(),
    }
}

/// Documents that once did harm: a plan, perhaps an own shelf, and whether a sheet must come of it.
#[test]
fn what_once_did_harm_does_no_more() {
    let found = files(&cases_dir().join("crashes"), ".json");
    assert!(!found.is_empty());
    for path in found {
        let document = read_json(&path);
        let part = |name: &str| document.get(name).cloned().unwrap_or(Value::Null);
        let (plan, own) = (part("plan"), part("own"));
        let told = match Shelf::with_own(&own) {
            Ok(shelf) if document["gives_a_sheet"] == true => sheet_from(&plan, &shelf)
                .map(|_| ())
                .map_err(|problems| format!("{problems:?}")),
            Ok(shelf) => survives(&plan, &shelf),
            Err(problems) => good(&problems),
        };
        if let Err(what) = told {
            panic!("{}: {what}", path.display());
        }
    }
}
