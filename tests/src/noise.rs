//! Noise: any JSON at all, and documents with slips in them.

use crate::plans;
use proptest::prelude::*;
use proptest::sample::{Index, select};
use serde_json::{Value, json};

/// Names that the core looks for, so that noise lands where it hurts.
fn known_name() -> BoxedStrategy<String> {
    let mut names: Vec<String> = [
        "format",
        "name",
        "units",
        "route",
        "stack",
        "resin",
        "fabric",
        "count",
        "angle_deg",
        "fill",
        "feed",
        "low",
        "likely",
        "high",
        "kind",
        "fibre",
        "architecture",
        "mass_basis",
        "sources",
        "grade",
        "tool",
        "fabrics",
        "resins",
        "tools",
        "fibres",
        "weaves",
        "sundries",
        "learned",
        "moisture_scale",
        "drying_factor",
        "flow_mesh",
        "peel_ply",
        "gauge_kind",
        "faces",
        "fan",
        "sharp",
        "unmarked",
        "finish_grit",
        "grit",
        "teeth",
        "action",
        "family",
        "pot_life_meaning",
    ]
    .map(str::to_owned)
    .to_vec();
    for (key, _) in plans::entry_keys() {
        names.extend(key.split('.').map(str::to_owned));
    }
    select(names).boxed()
}

fn leaf() -> BoxedStrategy<Value> {
    prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        any::<f64>().prop_map(|x| json!(x)),
        (-1000.0..1000.0_f64).prop_map(|x| json!(x)),
        select(vec![0.0, -0.0, 1e308, -1e308, 5e-324, 1e-300, f64::MAX]).prop_map(|x| json!(x)),
        ".{0,12}".prop_map(Value::from),
        "[0-9.,'eE+ -]{0,10}".prop_map(Value::from),
        known_name().prop_map(Value::from),
        select(vec![
            "infusion",
            "open_wet",
            "flax_twill_300",
            "balsa_10",
            "cutting_disc_75",
            "us",
            "inhg_below",
            "\u{0}",
            "\u{202e}2.9",
            "\u{1f33f}",
            "1e999",
            "-0",
            "١٢",
            "NaN",
            "Infinity",
        ])
        .prop_map(Value::from),
        Just(Value::from("x".repeat(20_000))),
    ]
    .boxed()
}

/// Any JSON at all, with names that the core knows.
pub fn tree() -> BoxedStrategy<Value> {
    leaf()
        .prop_recursive(5, 60, 8, |inner| {
            let name = prop_oneof![3 => known_name(), 1 => ".{0,8}".boxed()];
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..8).prop_map(Value::from),
                prop::collection::vec((name, inner), 0..8)
                    .prop_map(|pairs| Value::Object(pairs.into_iter().collect())),
            ]
        })
        .boxed()
}

/// Every place in a document, as a path of keys and indices.
fn places(document: &Value) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    let mut open = vec![(Vec::new(), document)];
    while let Some((path, here)) = open.pop() {
        let below = |name: String| {
            let mut path: Vec<String> = path.clone();
            path.push(name);
            path
        };
        match here {
            Value::Object(map) => {
                open.extend(map.iter().map(|(name, value)| (below(name.clone()), value)))
            }
            Value::Array(list) => {
                open.extend(
                    list.iter()
                        .enumerate()
                        .map(|(i, value)| (below(i.to_string()), value)),
                );
            }
            _ => {}
        }
        found.push(path);
    }
    found.sort();
    found
}

/// Puts noise at a few places of a document, or takes things out of it.
fn mutate(mut document: Value, changes: Vec<(Index, Option<Value>)>) -> Value {
    for (index, noise) in changes {
        let all = places(&document);
        let path = &all[index.index(all.len())];
        let mut here = &mut document;
        let Some((last, way)) = path.split_last() else {
            document = noise.unwrap_or(Value::Null);
            continue;
        };
        for part in way {
            here = match here {
                Value::Array(list) => &mut list[part.parse::<usize>().unwrap()],
                other => &mut other[part.as_str()],
            };
        }
        match (here, noise) {
            (Value::Array(list), Some(noise)) => list[last.parse::<usize>().unwrap()] = noise,
            (Value::Array(list), None) => {
                list.remove(last.parse::<usize>().unwrap());
            }
            (Value::Object(map), Some(noise)) => {
                map.insert(last.clone(), noise);
            }
            (Value::Object(map), None) => {
                map.remove(last);
            }
            _ => {}
        }
    }
    document
}

/// Documents with a few slips in them.
pub fn mutated(documents: Vec<Value>) -> BoxedStrategy<Value> {
    let noise =
        prop_oneof![3 => leaf().prop_map(Some), 1 => tree().prop_map(Some), 1 => Just(None)];
    (
        select(documents),
        prop::collection::vec((any::<Index>(), noise), 1..5),
    )
        .prop_map(|(document, changes)| mutate(document, changes))
        .boxed()
}
