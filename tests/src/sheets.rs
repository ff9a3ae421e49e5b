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

/// The sheet of a plan on the generic shelf, as a document.
///
/// # Errors
/// The problems, when there is no sheet.
pub fn sheet(plan: &Value) -> Result<Value, String> {
    match bastwork::sheet_from(plan, bastwork::Shelf::generic()) {
        Ok(sheet) => serde_json::to_value(&sheet).map_err(|why| why.to_string()),
        Err(problems) => Err(format!("no sheet: {problems:?}")),
    }
}

/// The likely value of a figure on a sheet.
///
/// # Panics
/// When there is no such figure.
#[must_use]
pub fn likely(sheet: &Value, path: &str) -> f64 {
    match figure(sheet, path) {
        Some(Got::Range(_, likely, _)) => likely,
        other => panic!("{path} is {other:?}, no figure"),
    }
}

/// Low, likely and high of a figure on a sheet.
///
/// # Panics
/// When there is no such figure.
#[must_use]
pub fn figure_at(sheet: &Value, path: &str) -> [f64; 3] {
    match figure(sheet, path) {
        Some(Got::Range(low, likely, high)) => [low, likely, high],
        other => panic!("{path} is {other:?}, no figure"),
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

/// Where two documents differ: in shape, in text, or in a number by more than its path allows, relative.
///
/// Numbers that are both within `floor` of zero count as equal. Texts are equal but for the numbers in them: each may
/// differ as its path allows, and by one in the last digit that is written where a path allows more than rounding.
#[must_use]
pub fn differences(a: &Value, b: &Value, allowed: impl Fn(&str) -> f64, floor: f64) -> Vec<String> {
    let mut out = Vec::new();
    let mut open = vec![(String::new(), a, b)];
    while let Some((path, a, b)) = open.pop() {
        let below = |name: &str| match path.as_str() {
            "" => name.to_owned(),
            path => format!("{path}.{name}"),
        };
        match (a, b) {
            (Value::Object(a), Value::Object(b)) => {
                for name in b.keys().filter(|name| !a.contains_key(*name)) {
                    out.push(format!("{path}: {name} is on the second side only"));
                }
                for (name, a) in a {
                    match b.get(name) {
                        Some(b) => open.push((below(name), a, b)),
                        None => out.push(format!("{path}: {name} is on the first side only")),
                    }
                }
            }
            (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
                let pairs = a.iter().zip(b).enumerate();
                open.extend(pairs.map(|(i, (a, b))| (below(&i.to_string()), a, b)));
            }
            (Value::Number(x), Value::Number(y)) => {
                let close = x.as_f64().zip(y.as_f64()).is_some_and(|(x, y)| {
                    let size = x.abs().max(y.abs());
                    (x - y).abs() <= allowed(&path) * size || size <= floor
                });
                if !close {
                    out.push(format!("{path}: {x} and {y}"));
                }
            }
            _ if a == b => {}
            (Value::String(x), Value::String(y)) if alike(x, y, allowed(&path)) => {}
            _ => out.push(format!("{path}: {a} and {b}")),
        }
    }
    out
}

/// Less than this is rounding.
const ROUNDING: f64 = 1e-7;

/// Whether two texts are the same but for last digits.
fn alike(one: &str, other: &str, allowed: f64) -> bool {
    let (a, b) = (words(one), words(other));
    allowed > ROUNDING && a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| same(a, b, allowed))
}

fn same(one: &str, other: &str, allowed: f64) -> bool {
    let (Ok(x), Ok(y)) = (one.parse::<f64>(), other.parse::<f64>()) else {
        return one == other;
    };
    let decimals = |text: &str| text.split_once('.').map_or(0, |(_, after)| after.len()) as i32;
    let last = 10_f64.powi(-decimals(one).min(decimals(other)));
    (x - y).abs() <= last * (1.0 + 1e-9) + allowed * x.abs().max(y.abs())
}

/// A text cut into numbers and what stands between them.
fn words(text: &str) -> Vec<&str> {
    let number = |c: char| c.is_ascii_digit() || c == '.';
    let mut words = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let end = rest
            .find(|c| number(c) != number(first))
            .unwrap_or(rest.len());
        let (word, after) = rest.split_at(end);
        words.push(word);
        rest = after;
    }
    words
}

#[cfg(test)]
mod tests {
    use super::alike;

    #[test]
    fn texts_may_differ_in_last_digits_only_and_only_where_that_is_allowed() {
        assert!(alike("77 min to 231 min", "78 min to 231 min", 1e-5));
        assert!(!alike("77 min to 231 min", "78 min to 231 min", 1e-9));
        assert!(!alike("77 min to 231 min", "79 min to 231 min", 1e-5));
        assert!(!alike("77 min to 231 min", "77 s to 231 min", 1e-5));
        assert!(alike("1.25 h", "1.24 h", 1e-5) && !alike("1.25 h", "1.2 kg", 1e-5));
        assert!(!alike("liquid", "stays on the mould", 1e-2));
    }
}
