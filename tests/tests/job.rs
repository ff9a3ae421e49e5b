//! The job's own list of stages against what sheets hold: every figure it names is there, and absent ones have a reason.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{JOB, Shelf, sheet_from};
use bastwork_tests::{cases, files, json, plans, root};
use serde_json::{Value, json as json_of};
use std::collections::BTreeSet;

/// The sheets of the examples, the cases and some drawn plans.
fn sheets() -> Vec<Value> {
    let mut documents: Vec<Value> = files(&root().join("examples"), ".json")
        .iter()
        .map(|path| json(path))
        .collect();
    documents.extend(cases::plans());
    documents.extend(plans::seeded(20, 9));
    documents
        .iter()
        .filter_map(|document| sheet_from(document, Shelf::generic()).ok())
        .map(|sheet| serde_json::to_value(sheet).unwrap())
        .collect()
}

#[test]
fn every_figure_that_the_job_names_is_on_some_sheet_and_every_input_it_rests_on_is_listed() {
    let sheets = sheets();
    assert!(sheets.len() > 60, "{}", sheets.len());
    let mut there = BTreeSet::new();
    for sheet in &sheets {
        let listed = sheet["inputs"].as_array().unwrap().len() as u64;
        for card in &JOB {
            let stage = json_of!(card.stage).as_str().unwrap().to_owned();
            let Some(found) = sheet[&stage].as_object() else {
                continue;
            };
            assert_eq!(found["head"]["hands"], json_of!(card.hands), "{stage}");
            let main = found["head"]["main"].as_str().unwrap();
            assert!(found[main]["likely"].is_number(), "{stage}.{main}");
            // A figure that only a reading gives is null until there is one.
            there.extend(found.keys().map(|name| format!("{stage}.{name}")));
            for (name, figure) in found.iter().filter(|(_, one)| one["law"].is_string()) {
                let drivers = figure["drivers"].as_array().unwrap();
                let places = figure["inputs"].as_array().unwrap().iter();
                for place in places.chain(drivers.iter().map(|driver| &driver["input"])) {
                    assert!(place.as_u64().unwrap() < listed, "{stage}.{name}");
                }
                if figure["absent"] == true {
                    assert_eq!(figure["high"], 0.0, "{stage}.{name}");
                    assert_ne!(name, main, "{stage} answers with what is not there");
                }
            }
        }
    }
    for card in &JOB {
        let stage = json_of!(card.stage).as_str().unwrap().to_owned();
        for name in card.hands {
            assert!(there.contains(&format!("{stage}.{name}")), "{stage}.{name}");
        }
    }
}

#[test]
fn what_a_job_does_not_have_is_absent_and_what_it_has_is_not() {
    let plan = |route: &str, fabric: &str| {
        json_of!({
            "format": 1, "part": { "area_m2": 0.62, "flow_length_mm": 420 }, "route": route,
            "stack": [{ "fabric": fabric, "count": 4 }], "prepreg": { "resin_pct": 50 },
        })
    };
    let absent = |route: &str, fabric: &str| -> BTreeSet<String> {
        let sheet = sheet_from(&plan(route, fabric), Shelf::generic()).unwrap();
        let sheet = serde_json::to_value(sheet).unwrap();
        let mut found = BTreeSet::new();
        for stage in ["stack", "dry", "mix"] {
            for (name, figure) in sheet[stage].as_object().unwrap() {
                if figure["absent"] == true {
                    found.insert(name.clone());
                }
            }
        }
        found
    };
    let bag = [
        "bag_floor_pct",
        "bag_h",
        "lowest_pressure_dry_mbar",
        "lowest_pressure_mbar",
    ];
    assert_eq!(absent("infusion", "flax_twill_300"), BTreeSet::new());
    let open = absent("open_wet", "flax_twill_300");
    assert!(bag.iter().all(|name| open.contains(*name)) && open.contains("net_pressure_mbar"));
    assert!(!open.contains("resin_g"));
    let prepreg = absent("prepreg", "flax_twill_300");
    assert!(prepreg.contains("resin_g") && prepreg.contains("smallest_batch_g"));
    assert!(!prepreg.contains("net_pressure_mbar"));
}
