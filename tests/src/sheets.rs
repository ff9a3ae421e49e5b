//! Finds figures on a sheet by their path, and walks over all of them.

use crate::compare::Got;
use serde_json::Value;

/// The figure at a path such as `stack.thickness_mm`, `trim.grits.0.name` or `notes`.
pub(crate) fn figure(sheet: &Value, path: &str) -> Option<Got> {
    match path {
        "notes" => {
            let notes = sheet["notes"].as_array()?;
            let said = |note: &Value| note["sentence"].as_str().map(str::to_owned);
            return Some(Got::Sentences(notes.iter().filter_map(said).collect()));
        }
        // Fibre mass over laminate mass, from resin per fibre; the more resin, the less fibre.
        "fibre_mass_fraction" => {
            let ratio = &sheet["stack"]["resin_per_fibre_mass"];
            let share = |name: &str| ratio[name].as_f64().map(|r| 1.0 / (1.0 + r));
            return Some(Got::Range(share("high")?, share("likely")?, share("low")?));
        }
        _ => {}
    }
    let mut here = sheet;
    for part in path.split('.') {
        here = match part.parse::<usize>() {
            Ok(index) => here.get(index)?,
            Err(_) => here.get(part)?,
        };
    }
    match here {
        Value::Number(number) => Some(Got::Number(number.as_f64()?)),
        Value::String(text) => Some(Got::Text(text.clone())),
        Value::Bool(switch) => Some(Got::Switch(*switch)),
        Value::Array(list) => Some(Got::Number(list.len() as f64)),
        Value::Object(_) => {
            let part = |name: &str| here.get(name).and_then(Value::as_f64);
            Some(Got::Range(part("low")?, part("likely")?, part("high")?))
        }
        Value::Null => None,
    }
}

/// Calls `seen` with every value of a document and its path.
pub fn walk<'a>(document: &'a Value, seen: &mut impl FnMut(&str, &'a Value)) {
    fn step<'a>(here: &'a Value, path: &mut String, seen: &mut impl FnMut(&str, &'a Value)) {
        seen(path, here);
        let mut enter = |name: &str, value: &'a Value| {
            let length = path.len();
            if length > 0 {
                path.push('.');
            }
            path.push_str(name);
            step(value, path, seen);
            path.truncate(length);
        };
        match here {
            Value::Object(map) => map.iter().for_each(|(name, value)| enter(name, value)),
            Value::Array(list) => list
                .iter()
                .enumerate()
                .for_each(|(i, value)| enter(&i.to_string(), value)),
            _ => {}
        }
    }
    step(document, &mut String::new(), seen);
}

/// Where two documents differ: in shape, in text, or in a number by more than `rel_tol`.
///
/// Numbers that are both within `floor` of zero count as equal.
#[must_use]
pub fn differences(a: &Value, b: &Value, rel_tol: f64, floor: f64) -> Vec<String> {
    fn step(
        path: &str,
        a: &Value,
        b: &Value,
        close: &impl Fn(f64, f64) -> bool,
        out: &mut Vec<String>,
    ) {
        let below = |name: &str| format!("{path}.{name}");
        match (a, b) {
            (Value::Object(a), Value::Object(b)) => {
                let mut names: Vec<&String> = a.keys().chain(b.keys()).collect();
                names.sort();
                names.dedup();
                for name in names {
                    match (a.get(name), b.get(name)) {
                        (Some(a), Some(b)) => step(&below(name), a, b, close, out),
                        _ => out.push(format!("{path}: {name} is on one side only")),
                    }
                }
            }
            (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
                for (i, (a, b)) in a.iter().zip(b).enumerate() {
                    step(&below(&i.to_string()), a, b, close, out);
                }
            }
            (Value::Number(x), Value::Number(y)) => {
                let pair = x.as_f64().zip(y.as_f64());
                if !pair.is_some_and(|(x, y)| close(x, y)) {
                    out.push(format!("{path}: {x} and {y}"));
                }
            }
            _ if a == b => {}
            _ => out.push(format!("{path}: {a} and {b}")),
        }
    }
    let close = |x: f64, y: f64| {
        (x - y).abs() <= rel_tol * x.abs().max(y.abs()) || x.abs().max(y.abs()) <= floor
    };
    let mut out = Vec::new();
    step("", a, b, &close, &mut out);
    out
}
