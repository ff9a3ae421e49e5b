//! Working backwards against plain enumeration: every symmetric stack laid out, its whole sheet worked out, the best
//! one kept. Nothing of the search is used here but its answer.

#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Shelf, sheet_from, work_back};
use serde_json::{Value, json};

/// A shop with two cloths in store, and nothing else.
fn shop() -> Shelf {
    Shelf::with_own(&json!({
        "format": 1,
        "stock": {
            "flax_twill_300": { "price": 18.0, "left": 3.0 },
            "flax_unidirectional_300": { "price": 26.0, "left": 1.3 },
            "infusion_epoxy_slow": { "price": 21.0 },
        },
        "currency": "EUR",
    }))
    .unwrap()
}

fn plan(stack: &Value, more: &Value) -> Value {
    let mut plan = json!({
        "part": { "area_m2": 0.6, "flow_length_mm": 300 },
        "bag": { "pressure_mbar_abs": 15, "flow_mesh": true },
        "resin": "infusion_epoxy_slow",
        "stack": stack,
        "target": { "in_stock_only": true, "most_plies": 5 },
    });
    for (key, value) in more.as_object().unwrap() {
        if let (Some(old), Some(new)) = (plan[key].as_object_mut(), value.as_object()) {
            old.extend(new.clone());
        } else {
            plan[key] = value.clone();
        }
    }
    plan
}

/// Ways to lay the two cloths: plies from the face inwards.
const WAYS: [&[(&str, f64)]; 5] = [
    &[("flax_twill_300", 0.0)],
    &[("flax_twill_300", 45.0)],
    &[("flax_unidirectional_300", 0.0)],
    &[("flax_unidirectional_300", 90.0)],
    &[
        ("flax_unidirectional_300", 45.0),
        ("flax_unidirectional_300", -45.0),
    ],
];

/// Every symmetric stack of up to five plies that the store is good for, from face to face.
fn stacks() -> Vec<Vec<(&'static str, f64)>> {
    let mut halves: Vec<Vec<(&str, f64)>> = vec![Vec::new()];
    let mut grown = halves.clone();
    while !grown.is_empty() {
        grown = grown
            .iter()
            .flat_map(|half| WAYS.iter().map(|way| [half.clone(), way.to_vec()].concat()))
            .filter(|half| half.len() <= 2)
            .collect();
        halves.extend(grown.clone());
    }
    let mut all = Vec::new();
    for half in &halves {
        let mirrored: Vec<_> = half.iter().rev().copied().collect();
        all.push([half.clone(), mirrored.clone()].concat());
        for way in WAYS.iter().filter(|way| way.len() == 1) {
            all.push([half.clone(), way.to_vec(), mirrored.clone()].concat());
        }
    }
    // Three square metres of twill are five plies of 0.6, 1.3 of the other two.
    all.retain(|stack| {
        let of = |key: &str| stack.iter().filter(|(cloth, _)| *cloth == key).count();
        !stack.is_empty()
            && stack.len() <= 5
            && of("flax_twill_300") <= 5
            && of("flax_unidirectional_300") <= 2
    });
    all
}

fn rows(stack: &[(&str, f64)]) -> Value {
    stack
        .iter()
        .map(|(fabric, angle)| json!({ "fabric": fabric, "count": 1, "angle_deg": angle }))
        .collect()
}

/// Mass, cost, fossil carbon, thickness and fill time, when a stack does what was asked; each from its own sheet.
fn figures(
    stack: &[(&str, f64)],
    more: &Value,
    shelf: &Shelf,
    least: [f64; 2],
) -> Option<[f64; 5]> {
    let sheet = sheet_from(&plan(&rows(stack), more), shelf).unwrap();
    let this = sheet.suit.as_ref()?.rows.iter().find(|row| row.this)?;
    let d = &sheet.stack.stiffness_matrices.as_ref()?.d_n_mm;
    if d[0][0] < least[0] || d[1][1] < least[1] {
        return None;
    }
    if let Some(load) = &sheet.stack.load {
        let sinks = load.deflection_mm.as_ref()?.likely > 4.0;
        if sinks || load.reserve.likely < 3.0 {
            return None;
        }
    }
    Some([
        sheet.stack.part_mass_g.likely,
        this.cost.as_ref()?.likely,
        this.fossil.likely,
        sheet.stack.thickness_mm.likely,
        sheet.fill.as_ref()?.time_min.likely,
    ])
}

fn agree(more: &Value, least: [f64; 2], at_least: usize) {
    let shelf = shop();
    let start = rows(&[("flax_twill_300", 0.0); 4]);
    let back = work_back(&plan(&start, more), &shelf).unwrap();
    let all = stacks();
    assert_eq!(
        back.candidates,
        all.len() as u64,
        "every stack is counted once"
    );
    assert!(back.whole);
    let good: Vec<[f64; 5]> = all
        .iter()
        .filter_map(|stack| figures(stack, more, &shelf, least))
        .collect();
    assert!(good.len() >= at_least, "only {} do it", good.len());
    for (goal, title) in ["lightest", "cheapest", "least fossil carbon", "thinnest"]
        .into_iter()
        .enumerate()
    {
        let best = good
            .iter()
            .map(|figures| figures[goal])
            .fold(f64::INFINITY, f64::min);
        let found = back
            .found
            .iter()
            .find(|one| one.titles.contains(&title))
            .unwrap();
        let said = [
            found.mass.likely,
            found.cost.as_ref().unwrap().likely,
            found.fossil.as_ref().unwrap().likely,
            found.thickness.likely,
        ][goal];
        assert!(
            (said / best - 1.0).abs() < 1e-9,
            "{title}: {said}, by hand {best}"
        );
    }
}

#[test]
fn as_stiff_as_now() {
    let start = sheet_from(
        &plan(&rows(&[("flax_twill_300", 0.0); 4]), &json!({})),
        &shop(),
    )
    .unwrap();
    let d = start.stack.stiffness_matrices.unwrap().d_n_mm[0][0];
    agree(&json!({}), [d * (1.0 - 1e-9), 0.2 * d * (1.0 - 1e-9)], 10);
}

#[test]
fn under_a_load() {
    let load = json!({ "load": { "case": "point", "held": "clamped", "length_mm": 500, "width_mm": 300, "force_n": 60, "patch_mm": 60, "limit_mm": 4 } });
    agree(&load, [0.0, 0.0], 10);
}

#[test]
fn on_a_strip() {
    let load = json!({ "load": { "case": "strip_middle", "length_mm": 300, "width_mm": 100, "force_n": 8, "limit_mm": 4 } });
    agree(&load, [0.0, 0.0], 10);
}

#[test]
fn what_cannot_be_done_is_said_with_the_way_out() {
    let shelf = shop();
    let start = rows(&[("flax_twill_300", 0.0); 4]);
    let heavy = json!({ "target": { "bending_n_m": 10.0, "most_mass_g": 600 } });
    let back = work_back(&plan(&start, &heavy), &shelf).unwrap();
    assert!(
        back.found.is_empty() && back.sentence.contains("Allow it to be heavier"),
        "{}",
        back.sentence
    );
    let dear = json!({ "target": { "bending_n_m": 5.0, "most_cost": 1.0 } });
    let back = work_back(&plan(&start, &dear), &shelf).unwrap();
    assert!(
        back.found.is_empty() && back.sentence.contains("cost more"),
        "{}",
        back.sentence
    );
}

#[test]
fn a_million_stacks_of_the_whole_shelf() {
    let text =
        std::fs::read_to_string(bastwork_tests::root().join("examples/hive_stand.json")).unwrap();
    let plan: Value = serde_json::from_str(&text).unwrap();
    let back = work_back(&plan, Shelf::generic()).unwrap();
    assert!(
        back.candidates > 1_000_000 && back.whole,
        "{}",
        back.sentence
    );
    assert!(!back.found.is_empty());
    for one in &back.found {
        assert!(
            one.deflection.as_ref().unwrap().likely <= 6.0 * (1.0 + 1e-9),
            "{}",
            one.build
        );
        assert!(
            one.reserve.as_ref().unwrap().likely >= 3.0 * (1.0 - 1e-9),
            "{}",
            one.build
        );
    }
}
