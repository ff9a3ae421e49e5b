//! Working backwards against plain enumeration: every symmetric stack laid out, its whole sheet worked out, the best
//! one kept. Nothing of the search is used here but its answer.

#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Sheet, Shelf, sheet_from, work_back};
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
    // Nothing asked: no softer than now as the sheet shows it, a strip that may curl across.
    if least[0] > 0.0 {
        let strip = |sheet: &Sheet| sheet.stack.bending_stiffness_n_m.as_ref().unwrap().likely;
        let now = plan(&rows(&[("flax_twill_300", 0.0); 4]), more);
        let now = sheet_from(&now, shelf).unwrap();
        if strip(&sheet) < strip(&now) * (1.0 - 1e-9) {
            return None;
        }
    }
    // In eight of ten draws, and with everything likely.
    if let Some(load) = &sheet.stack.load {
        let gives = load.deflection_mm.as_ref()?;
        let sinks = gives.likely > 4.0 || gives.tenths[7] > 4.0;
        if sinks || load.reserve.likely < 3.0 || load.reserve.tenths[1] < 3.0 {
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

/// Stitched cloth is mirrored by a quarter turn: every symmetric stack of it, laid out by hand.
#[test]
fn stitched_cloth_is_mirrored() {
    let shelf = Shelf::with_own(&json!({
        "format": 1,
        "stock": { "flax_biaxial_300": { "price": 20.0, "left": 3.0 }, "infusion_epoxy_slow": { "price": 21.0 } },
    }))
    .unwrap();
    let lower = [0.0, 45.0];
    let upper = |angle: f64| {
        if angle > 0.0 {
            angle - 90.0
        } else {
            angle + 90.0
        }
    };
    let mut stacks: Vec<Vec<f64>> = Vec::new();
    for a in lower {
        stacks.push(vec![a, upper(a)]);
        for b in lower {
            stacks.push(vec![a, b, upper(b), upper(a)]);
        }
    }
    let more = json!({ "load": { "case": "pressure", "length_mm": 300, "width_mm": 300, "pressure_kpa": 0.4, "limit_mm": 4 } });
    let lay = |angles: &[f64]| -> Value {
        let row =
            |angle: &f64| json!({ "fabric": "flax_biaxial_300", "count": 1, "angle_deg": angle });
        angles.iter().map(row).collect()
    };
    let good = stacks.iter().filter_map(|angles| {
        let sheet = sheet_from(&plan(&lay(angles), &more), &shelf).unwrap();
        assert!(
            sheet
                .notes
                .iter()
                .all(|note| !note.sentence.contains("warps"))
        );
        assert!(sheet.stack.warp_mm.is_none());
        let load = sheet.stack.load.as_ref()?;
        let gives = load.deflection_mm.as_ref()?;
        let kept = gives.tenths[7].max(gives.likely) <= 4.0
            && load.reserve.tenths[1].min(load.reserve.likely) >= 3.0;
        kept.then_some(sheet.stack.part_mass_g.likely)
    });
    let best = good.fold(f64::INFINITY, f64::min);
    let back = work_back(&plan(&lay(&[0.0, 90.0]), &more), &shelf).unwrap();
    let found = back
        .found
        .iter()
        .find(|one| one.titles.contains(&"lightest"));
    assert!(best.is_finite(), "the case tells nothing");
    assert!(
        (found.unwrap().mass.likely / best - 1.0).abs() < 1e-9,
        "{}",
        back.sentence
    );
}

/// Wishes of many kinds: whatever is found, laid as a plan, keeps every one of them as surely as asked, on its own
/// sheet, and is called askew by nobody.
#[test]
fn no_stack_found_is_disowned_by_its_own_sheet() {
    let mut seed = 16_u64;
    let (mut looked, mut stood) = (0, 0);
    let keys = [
        "flax_twill_300",
        "flax_unidirectional_220",
        "flax_biaxial_300",
        "flax_mat_250",
        "glass_biaxial_300",
        "cork_5",
    ];
    let stock: serde_json::Map<String, Value> = keys
        .map(|key| (key.to_owned(), json!({ "left": 1000 })))
        .into_iter()
        .collect();
    let shop = Shelf::with_own(&json!({ "format": 1, "stock": stock })).unwrap();
    for k in 0..14 {
        // A plain linear generator (Knuth's constants).
        let mut between = |low: f64, high: f64| {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            low * (high / low).powf((seed >> 33) as f64 / (1_u64 << 31) as f64)
        };
        let sure = [50.0, 60.0, 75.0, 80.0, 90.0][k % 5];
        let mut wish = json!({
            "part": { "area_m2": between(0.1, 1.0), "flow_length_mm": 250 },
            "bag": { "pressure_mbar_abs": 15, "flow_mesh": k % 2 == 0 },
            "stack": [{ "fabric": "flax_twill_300", "count": 4 }],
            "target": { "most_plies": 6, "in_stock_only": true, "sure_pct": sure, "glass": k % 3 == 0, "core": k % 4 == 1 },
        });
        let length = between(200.0, 600.0);
        match k % 4 {
            0 => {
                wish["load"] = json!({ "case": "pressure", "length_mm": length, "width_mm": 0.8 * length, "pressure_kpa": between(0.05, 0.5), "limit_mm": between(3.0, 12.0) });
            }
            1 => {
                wish["load"] = json!({ "case": "strip_middle", "length_mm": length, "width_mm": 100, "force_n": between(1.0, 15.0), "limit_mm": between(3.0, 20.0) });
            }
            2 => wish["target"]["bending_n_m"] = json!(between(2.0, 12.0)),
            _ => {
                wish["target"]["least_thickness_mm"] = json!(between(1.5, 2.5));
                wish["target"]["most_thickness_mm"] = json!(between(4.5, 7.0));
            }
        }
        let back = work_back(&wish, &shop).unwrap();
        looked += 1;
        for one in &back.found {
            stood += 1;
            let mut laid = wish.clone();
            let row = |row: &bastwork::BackRow| json!({ "fabric": row.fabric, "count": row.count, "angle_deg": row.angle_deg });
            laid["stack"] = one.rows.iter().map(row).collect();
            let sheet = sheet_from(&laid, &shop).unwrap();
            let text = serde_json::to_string(&sheet.notes).unwrap();
            assert!(!text.contains("warps"), "{} {text}", one.build);
            // Share of draws on the safe side, from the tenths of the figure itself.
            let below = |tenths: &[f64; 9], limit: f64| holds(tenths, limit, sure, false);
            let above = |tenths: &[f64; 9], limit: f64| holds(tenths, limit, sure, true);
            if let Some(load) = &sheet.stack.load {
                assert!(
                    above(&load.reserve.tenths, 3.0),
                    "{}: {}",
                    one.build,
                    load.sentence
                );
                if let (Some(gives), Some(limit)) =
                    (&load.deflection_mm, wish["load"]["limit_mm"].as_f64())
                {
                    assert!(
                        below(&gives.tenths, limit),
                        "{}: {}",
                        one.build,
                        load.sentence
                    );
                }
            }
            let thickness = &sheet.stack.thickness_mm.tenths;
            if let Some(least) = wish["target"]["least_thickness_mm"].as_f64() {
                assert!(above(thickness, least), "{}", one.build);
            }
            if let Some(most) = wish["target"]["most_thickness_mm"].as_f64() {
                assert!(below(thickness, most), "{}", one.build);
            }
            if let (Some(least), Some(bending)) = (
                wish["target"]["bending_n_m"].as_f64(),
                &sheet.stack.bending_stiffness_n_m,
            ) {
                assert!(above(&bending.tenths, least), "{}", one.build);
            }
            if wish["bag"]["flow_mesh"] == false {
                assert!(
                    sheet.fill.as_ref().unwrap().chance >= sure / 100.0 - 1e-9,
                    "{}",
                    one.build
                );
            }
        }
    }
    assert!(
        looked == 14 && stood > 20,
        "{stood} stacks of {looked} wishes"
    );
}

/// Whether a figure keeps a limit in so many of a hundred draws.
fn holds(tenths: &[f64; 9], limit: f64, sure: f64, above: bool) -> bool {
    let share = if above { 100.0 - sure } else { sure };
    let place = share / 10.0 - 1.0;
    let k = (place.floor() as usize).min(7);
    let value = tenths[k] + (place - k as f64) * (tenths[k + 1] - tenths[k]);
    if above {
        value >= limit * (1.0 - 1e-6)
    } else {
        value <= limit * (1.0 + 1e-6)
    }
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
            one.deflection.as_ref().unwrap().tenths[7] <= 6.0 * (1.0 + 1e-9),
            "{}",
            one.build
        );
        assert!(
            one.reserve.as_ref().unwrap().tenths[1] >= 3.0 * (1.0 - 1e-9),
            "{}",
            one.build
        );
    }
}

/// Where a stack falls short by a hair the search goes on past it.
#[test]
fn under_other_loads() {
    for (force, length, held) in [
        (25, 700, "clamped"),
        (50, 400, "resting"),
        (90, 450, "clamped"),
    ] {
        let load = json!({ "load": { "case": "point", "held": held, "length_mm": length, "width_mm": 300, "force_n": force, "patch_mm": 60, "limit_mm": 4 } });
        agree(&load, [0.0, 0.0], 3);
    }
}
