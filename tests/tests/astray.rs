//! What stands in a place of another kind: a page can hold the rest, nothing is dropped, and every problem is told as before.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::plan::fields;
use bastwork::{Plan, Shelf, astray, sheet_from};
use bastwork_tests::noise::{mutated, tree};
use bastwork_tests::{draw, files, json as read_json, plans, root};
use proptest::prelude::*;
use proptest::sample::{Index, select};
use serde_json::{Value, json};

/// A plan that has something in every list and group which a page shows.
fn full() -> Value {
    json!({
        "format": 1, "id": "roof", "name": "Roof", "note": "for hive 7", "units": "metric", "route": "infusion",
        "part": { "area_m2": 0.2, "flow_length_mm": 400, "matters": "weight",
                  "shape": { "form": "outline", "points_mm": [[0, 0], [500, 0], [500, 400], [0, 400]], "holes_mm": [[[100, 100], [150, 100], [150, 150]]] } },
        "stack": [{ "fabric": "flax_twill_300", "count": 4, "angle_deg": 0 },
                  { "fabric": { "name": "Sail", "fibre": "hemp", "architecture": "plain", "areal_mass_g_m2": 400 }, "count": { "low": 1, "likely": 2, "high": 3 } }],
        "resin": { "name": "Can", "hardener_per_100": 33, "density_resin_g_ml": 1.13, "density_hardener_g_ml": 0.98, "density_cured_g_cm3": 1.14,
                   "viscosity_mpa_s": 420, "pot_life_min": 70, "pot_life_meaning": "ten_degrees", "tg_ultimate_c": 84, "modulus_gpa": 3.0 },
        "bag": { "gauge_kind": "mbar_absolute", "flow_mesh": true, "test": [{ "min": 0, "reading": 20 }, { "min": 5, "reading": 24 }] },
        "dry": { "faces": "two", "fan": true, "weighings": [{ "min": 0, "g": 900 }, { "min": 30, "g": 860 }] },
        "fill": { "feed": "edge",
                  "lines": [{ "does": "feed", "points_mm": [[0, 0], [0, 400]] }, { "does": "vent", "points_mm": [[500, 200]] },
                            { "does": "channel", "section": "gap", "width_mm": 3, "points_mm": [[0, 0], [500, 0]] }],
                  "zones": [{ "lies": "mesh", "points_mm": [[200, 0], [300, 0], [300, 100]] },
                            { "lies": "stack", "stack": [{ "fabric": "flax_twill_300", "count": 2 }], "points_mm": [[0, 200], [100, 200], [100, 300]] }],
                  "front": [{ "min": 4, "mm": 120 }, { "min": 9, "at_mm": [200, 60] }] },
        "trim": { "tool": "cutting_disc_75", "finish_grit": "P240" },
        "day": { "start": "2026-05-01T08:00", "closed": "sat, sun", "began": { "fill": "2026-05-01T09:00" } },
        "stamps": { "bag.test": "2026-05-01T08:00:00Z" }, "load": { "case": "pressure", "length_mm": 400 }
    })
}

fn documents() -> Vec<Value> {
    let mut all: Vec<Value> = files(&root().join("examples"), ".json")
        .iter()
        .map(|path| read_json(path))
        .collect();
    all.extend(plans::seeded(12, 14));
    all.extend(std::iter::repeat_n(full(), all.len()));
    all
}

/// A value of a kind that hardly any place wants.
fn wrong() -> BoxedStrategy<Value> {
    let odd = select(vec![
        Value::Null,
        json!(true),
        json!(7),
        json!(-1e300),
        json!("x"),
        json!("NaN"),
        json!("1e999"),
        json!({}),
        json!([]),
        json!([null]),
        json!([[]]),
        json!([1, 2]),
        json!({ "likely": [] }),
        json!({ "toString": 1, "valueOf": 1 }),
        json!([{ "points_mm": "x" }]),
        json!([{ "points_mm": [[0, 0], [1]] }]),
    ]);
    let deep =
        (1_usize..20).prop_map(|levels| (0..levels).fold(json!(1), |inner, _| json!([inner])));
    prop_oneof![6 => odd, 1 => deep, 1 => tree()].boxed()
}

/// Documents with values of another kind at a few places.
fn of_another_kind() -> BoxedStrategy<Value> {
    let slips = prop::collection::vec((any::<Index>(), wrong()), 1..6);
    (select(documents()), slips)
        .prop_map(|(mut document, slips)| {
            for (index, value) in slips {
                let places = pointers(&document);
                *document
                    .pointer_mut(&places[index.index(places.len())])
                    .unwrap() = value;
            }
            document
        })
        .boxed()
}

/// Every place below the top, as a pointer.
fn pointers(document: &Value) -> Vec<String> {
    let mut found = Vec::new();
    let mut open = vec![(String::new(), document)];
    while let Some((at, here)) = open.pop() {
        let name = |key: &str| format!("{at}/{}", key.replace('~', "~0").replace('/', "~1"));
        match here {
            Value::Object(map) => open.extend(map.iter().map(|(key, value)| (name(key), value))),
            Value::Array(list) => open.extend(
                list.iter()
                    .enumerate()
                    .map(|(k, v)| (name(&k.to_string()), v)),
            ),
            _ => {}
        }
        if !at.is_empty() {
            found.push(at);
        }
    }
    found.sort();
    if found.is_empty() {
        vec![String::new()]
    } else {
        found
    }
}

/// What the views of a page take for granted, said once more and by itself.
fn fits(plan: &Value) -> Result<(), String> {
    let none = |value: &Value| value.is_null();
    let one = |value: &Value| !value.is_array() && !value.is_object();
    let figure = |value: &Value| {
        one(value)
            || value.as_object().is_some_and(|range| {
                ["low", "likely", "high"]
                    .iter()
                    .all(|end| range.get(*end).is_some_and(one))
            })
    };
    let need = |good: bool, at: &str| {
        if good {
            Ok(())
        } else {
            Err(format!("{at} cannot be shown"))
        }
    };
    let Some(plan) = plan.as_object() else {
        return Err("not a group".into());
    };
    let empty = Value::Null;
    let at = |path: &str| {
        path.split('.')
            .try_fold(None, |here: Option<&Value>, step| {
                Some(Some(
                    here.map_or_else(|| plan.get(step), |here| here.get(step))?,
                ))
            })
            .flatten()
            .unwrap_or(&empty)
    };
    for group in [
        "part",
        "room",
        "bag",
        "dry",
        "mix",
        "fill",
        "cure",
        "day",
        "trim",
        "store",
        "measured",
        "load",
        "finish",
        "prepreg",
        "service",
        "target",
        "suit",
        "stamps",
        "part.shape",
        "day.began",
    ] {
        need(none(at(group)) || at(group).is_object(), group)?;
    }
    for word in [
        "name",
        "note",
        "units",
        "route",
        "bag.gauge_kind",
        "bag.flow_mesh",
        "dry.faces",
        "fill.feed",
        "trim.finish_grit",
        "day.start",
        "day.closed",
        "load.case",
        "part.matters",
        "part.shape.form",
    ] {
        need(one(at(word)), word)?;
    }
    for words in ["stamps", "day.began"] {
        need(
            at(words)
                .as_object()
                .is_none_or(|all| all.values().all(Value::is_string)),
            words,
        )?;
    }
    for key in fields::all().map(|field| field.key) {
        need(figure(at(key)), key)?;
    }
    for list in [
        "stack",
        "bag.test",
        "dry.weighings",
        "fill.lines",
        "fill.zones",
        "fill.front",
    ] {
        need(
            none(at(list))
                || at(list)
                    .as_array()
                    .is_some_and(|rows| rows.iter().all(Value::is_object)),
            list,
        )?;
    }
    let rows = |list: &str| at(list).as_array().cloned().unwrap_or_default();
    for (list, members) in [
        ("bag.test", ["min", "reading"]),
        ("dry.weighings", ["min", "g"]),
        ("stack", ["count", "angle_deg"]),
        ("fill.lines", ["width_mm", "does"]),
        ("fill.zones", ["count", "lies"]),
    ] {
        for row in rows(list) {
            need(
                members.iter().all(|name| row.get(*name).is_none_or(figure)),
                list,
            )?;
        }
    }
    for material in rows("stack")
        .iter()
        .filter_map(|row| row.get("fabric"))
        .chain([at("resin"), at("trim.tool")])
    {
        need(
            !material.is_array() && material.get("name").is_none_or(one),
            "a material",
        )?;
    }
    let point = |point: &Value| {
        point
            .as_array()
            .is_some_and(|xy| (2..=3).contains(&xy.len()) && xy.iter().all(Value::is_number))
    };
    let line = |points: &Value| points.as_array().is_some_and(|all| all.iter().all(point));
    for list in ["fill.lines", "fill.zones"] {
        for row in rows(list) {
            need(row.get("points_mm").is_some_and(line), list)?;
        }
    }
    for mark in rows("fill.front") {
        need(
            mark.get("at_mm").is_none_or(|at| none(at) || point(at)),
            "fill.front",
        )?;
    }
    if at("part.shape.form") == "outline" {
        let corners = at("part.shape.points_mm");
        need(none(corners) || line(corners), "part.shape.points_mm")?;
        need(
            none(at("part.shape.holes_mm"))
                || at("part.shape.holes_mm")
                    .as_array()
                    .is_some_and(|all| all.iter().all(line)),
            "part.shape.holes_mm",
        )?;
    }
    Ok(())
}

fn sentences(plan: &Value) -> Vec<String> {
    let told = Plan::read(plan, Shelf::generic()).problems;
    let mut all: Vec<String> = told.into_iter().map(|problem| problem.sentence).collect();
    all.sort();
    all
}

/// Every value of a document, with how often it is there.
fn values(document: &Value) -> Vec<String> {
    let mut all: Vec<String> = pointers(document)
        .iter()
        .filter_map(|at| document.pointer(at))
        .filter(|v| {
            !v.is_array()
                && !v.is_object()
                && !v.is_null()
                && v.as_str().is_none_or(|text| !text.trim().is_empty())
        })
        .map(Value::to_string)
        .collect();
    all.sort();
    all
}

/// What the door of the page does, said once more: what is astray goes beside the plan, rows and groups whole, blanks go.
fn hold(document: &Value, shelf: &Shelf) -> Option<Value> {
    const ROWS: [&str; 5] = [
        "fill.lines",
        "fill.zones",
        "fill.front",
        "bag.test",
        "dry.weighings",
    ];
    const GROUPS: [&str; 3] = ["part.shape", "day.began", "stamps"];
    let mut held = document.clone();
    let blank = |value: &Value| {
        value.is_null() || value.as_str().is_some_and(|text| text.trim().is_empty())
    };
    let words = ["name", "note", "units", "route", "resin"];
    held.as_object_mut()?
        .retain(|key, value| !blank(value) || words.contains(&key.as_str()));
    for path in ROWS.iter().chain(&GROUPS) {
        if held.pointer(&pointer(path)).is_some_and(blank) {
            take(&mut held, path);
        }
    }
    let mut asked = held.clone();
    asked["format"] = json!(1);
    let mut paths: Vec<String> = Vec::new();
    for path in astray(&asked, shelf) {
        let below = |start: &str| Some(path.strip_prefix(start)?.strip_prefix('.')?.to_owned());
        let row = ROWS
            .iter()
            .find_map(|list| Some(format!("{list}.{}", below(list)?.split('.').next()?)));
        let group = GROUPS.iter().find(|group| below(group).is_some());
        let group = group.map(|group| (*group).to_owned());
        let entire = row.or(group).unwrap_or_else(|| path.clone());
        if !paths.contains(&entire) {
            paths.push(entire);
        }
    }
    let mut list: Vec<Value> = paths
        .iter()
        .rev()
        .filter_map(|path| Some(json!([path, take(&mut held, path)?])))
        .collect();
    list.reverse();
    if !list.is_empty() {
        held["astray"] = list.into();
    }
    (held != *document).then_some(held)
}

fn pointer(path: &str) -> String {
    format!("/{}", path.replace('.', "/"))
}

fn take(document: &mut Value, path: &str) -> Option<Value> {
    let (way, last) = path
        .rsplit_once('.')
        .map_or((String::new(), path), |(way, last)| (pointer(way), last));
    match document.pointer_mut(&way)? {
        Value::Object(map) => map.remove(last),
        Value::Array(list) => Some(list.remove(last.parse().ok()?)),
        _ => None,
    }
}

/// What is wrong with holding a document, if anything.
fn faults(document: &Value) -> Result<(), String> {
    let shelf = Shelf::generic();
    if !document.is_object() {
        return Ok(());
    }
    let Some(held) = hold(document, shelf) else {
        return fits(document);
    };
    fits(&held)?;
    if sentences(document) != sentences(&held) {
        return Err(format!(
            "told {:?}, then {:?}",
            sentences(document),
            sentences(&held)
        ));
    }
    let (before, after) = (values(document), values(&held));
    match before.iter().find(|value| !after.contains(value)) {
        Some(lost) => Err(format!("{lost} is lost")),
        None => Ok(()),
    }
}

#[test]
fn a_full_plan_is_held_as_it_is() {
    assert!(
        sheet_from(&full(), Shelf::generic()).is_ok(),
        "{:?}",
        sentences(&full())
    );
    assert_eq!(hold(&full(), Shelf::generic()), None);
    fits(&full()).unwrap();
}

#[test]
fn values_of_another_kind_stay_beside_what_can_be_held() {
    draw::each(4000, &of_another_kind(), |plan| faults(&plan));
}

#[test]
fn plans_with_slips_can_be_held() {
    draw::each(1500, &mutated(documents()), |plan| faults(&plan));
}

#[test]
fn noise_can_be_held() {
    draw::each(1500, &tree(), |plan| faults(&plan));
}

#[test]
fn every_kind_at_every_place() {
    let kinds = [
        json!(true),
        json!("x"),
        json!({}),
        json!([null]),
        json!([[1]]),
    ];
    let full = full();
    let (mut tried, mut beside) = (0, 0);
    for place in pointers(&full) {
        for kind in &kinds {
            let mut plan = full.clone();
            *plan.pointer_mut(&place).unwrap() = kind.clone();
            tried += 1;
            beside += usize::from(hold(&plan, Shelf::generic()).is_some());
            if let Err(what) = faults(&plan) {
                panic!("{place} = {kind}: {what}");
            }
        }
    }
    println!("{tried} tried, {beside} with something beside them, 0 failed");
    assert!(tried > 500 && beside > 200, "{tried} {beside}");
}

#[test]
fn a_problem_of_a_row_is_told_by_the_place_it_has_on_the_page() {
    let mut plan = full();
    plan["fill"]["lines"][0] = json!(null);
    plan["fill"]["lines"][2]["does"] = json!("leak");
    let held = hold(&plan, Shelf::generic()).unwrap();
    assert_eq!(held["fill"]["lines"].as_array().unwrap().len(), 2);
    let told = Plan::read(&held, Shelf::generic()).problems;
    let fields: Vec<&str> = told.iter().map(|problem| problem.field.as_str()).collect();
    assert_eq!(fields, ["astray.0", "fill.lines.1.does"], "{told:?}");
    assert_eq!(
        told[0].sentence,
        "Line 1 holds nothing, where named values belong."
    );
}

#[test]
fn what_is_typed_anew_takes_the_place() {
    let mut plan = full();
    plan["name"] = json!({ "a": 1 });
    plan["fill"]["lines"] = json!(true);
    let mut held = hold(&plan, Shelf::generic()).unwrap();
    assert_eq!(sentences(&held).len(), 2, "{:?}", sentences(&held));
    held["name"] = json!("Roof");
    held["fill"]["lines"] = full()["fill"]["lines"].clone();
    assert!(
        sheet_from(&held, Shelf::generic()).is_ok(),
        "{:?}",
        sentences(&held)
    );
    // What it took the place of is still there.
    assert_eq!(
        held["astray"],
        json!([["name", { "a": 1 }], ["fill.lines", true]])
    );
    // A row that was taken away does not come back with the part of it that was astray.
    let mut plan = full();
    plan["stack"][1]["count"] = json!([2]);
    let mut held = hold(&plan, Shelf::generic()).unwrap();
    held["stack"].as_array_mut().unwrap().pop();
    assert!(
        sheet_from(&held, Shelf::generic()).is_ok(),
        "{:?}",
        sentences(&held)
    );
}

#[test]
fn a_hostile_list_of_what_is_astray_does_no_harm() {
    let deep = vec!["a"; 50_000].join(".");
    for list in [
        json!(true),
        json!([null, 7, [], ["x"], [1, 2]]),
        json!([[deep, 1]]),
        json!([
            ["", {}],
            ["astray", []],
            ["stack.99999999999999999999", 1],
            ["stack.7", {}]
        ]),
        json!([
            ["format", {}],
            ["part.shape.points_mm.0.0", 1],
            ["fill.lines.0", 1],
            ["fill.lines.0", 1],
            ["fill.lines.1.does", {}]
        ]),
    ] {
        let mut plan = full();
        plan["astray"] = list;
        let _ = astray(&plan, Shelf::generic());
        let _ = sheet_from(&plan, Shelf::generic());
    }
}
