//! Slips in documents: values at their edges, of another kind, doubled, moved, nested, or taken from another document.

use super::bytes;
use super::dice::{Dice, EDGES};
use bastwork::plan::fields;
use serde_json::{Map, Value, json};

/// Texts that readers stumble over.
const TEXTS: &[&str] = &[
    "",
    " ",
    "0",
    "1e999",
    "-0",
    "NaN",
    "Infinity",
    "1,5",
    "1'000",
    "1.000,5",
    "\u{0}",
    "\u{202e}2.9",
    "\u{1f33f}",
    "\u{661}\u{662}",
    "\u{2212}3",
    "e\u{301}",
    "<b>x</b>",
    "infusion",
    "open_wet",
    "bagged_wet",
    "prepreg",
    "flax_twill_300",
    "balsa_10",
    "us",
    "metric",
    "inhg_below",
    "infusion_epoxy_slow",
    "rectangle",
    "outline",
    "shell",
    "disc",
    "feed",
    "vent",
    "channel",
    "when_wet",
    "plies",
    "stack",
    "mesh",
    "insert",
    "break",
    "2026-03-29T02:30",
    "2026-13-45T99:99",
    "9999-12-31T23:59",
    "Sun",
    "__proto__",
    "constructor",
];

/// The way to a value: names and indices.
type Way = Vec<String>;

/// Every place in a document.
pub(super) fn places(document: &Value) -> Vec<Way> {
    let mut found = Vec::new();
    let mut open = vec![(Vec::new(), document)];
    while let Some((way, here)) = open.pop() {
        let below = |name: String| {
            let mut way: Way = way.clone();
            way.push(name);
            way
        };
        match here {
            Value::Object(map) => {
                open.extend(map.iter().map(|(name, of)| (below(name.clone()), of)))
            }
            Value::Array(list) => open.extend(
                list.iter()
                    .enumerate()
                    .map(|(i, of)| (below(i.to_string()), of)),
            ),
            _ => {}
        }
        found.push(way);
    }
    found.sort();
    found
}

/// The way to some place: down from the top, each part below as likely as the next, now and then less far.
fn somewhere(dice: &mut Dice, document: &Value) -> Way {
    let mut way = Way::new();
    let mut here = document;
    loop {
        let count = match here {
            Value::Object(map) => map.len(),
            Value::Array(list) => list.len(),
            _ => 0,
        };
        if count == 0 || dice.once_in(6) {
            return way;
        }
        let k = dice.below(count);
        match here {
            Value::Object(map) => {
                let Some((name, below)) = map.iter().nth(k) else {
                    return way;
                };
                way.push(name.clone());
                here = below;
            }
            Value::Array(list) => {
                way.push(k.to_string());
                here = &list[k];
            }
            _ => return way,
        }
    }
}

/// The way to some place where a value of one kind stands; none when none is met soon.
fn some_of(dice: &mut Dice, document: &mut Value, kind: fn(&Value) -> bool) -> Option<Way> {
    (0..12).find_map(|_| {
        let way = somewhere(dice, document);
        at(document, &way)
            .is_some_and(|here| kind(here))
            .then_some(way)
    })
}

/// What stands at a place.
pub(super) fn at<'a>(document: &'a mut Value, way: &[String]) -> Option<&'a mut Value> {
    let mut here = document;
    for step in way {
        here = match here {
            Value::Array(list) => list.get_mut(step.parse::<usize>().ok()?)?,
            Value::Object(map) => map.get_mut(step)?,
            _ => return None,
        };
    }
    Some(here)
}

/// Takes what stands at a place out of the document.
pub(super) fn take(document: &mut Value, way: &[String]) -> Option<Value> {
    let (last, above) = way.split_last()?;
    match at(document, above)? {
        Value::Array(list) => {
            let i = last.parse::<usize>().ok().filter(|i| *i < list.len())?;
            Some(list.remove(i))
        }
        Value::Object(map) => map.remove(last),
        _ => None,
    }
}

/// The field of a place, whatever row it stands in.
fn field_at(way: &[String]) -> Option<&'static bastwork::Field> {
    let names: Vec<&str> = way
        .iter()
        .map(String::as_str)
        .filter(|step| step.parse::<usize>().is_err())
        .collect();
    let names = match names.split_last() {
        Some((&("low" | "likely" | "high"), rest)) => rest.join("."),
        _ => names.join("."),
    };
    fields::all().find(|field| field.key == names)
}

/// The nearest numbers to one on both sides, and the number.
fn beside(dice: &mut Dice, x: f64) -> f64 {
    match dice.below(4) {
        0 => x.next_up(),
        1 => x.next_down(),
        _ => x,
    }
}

/// A number for a place: in the range of its field more often than not.
fn number(dice: &mut Dice, way: &[String], was: Option<f64>) -> Value {
    let field = field_at(way);
    let x = match (dice.below(10), field, was) {
        (0..=4, Some(field), _) => {
            let (low, high, share) = (field.low, field.high, dice.share());
            if low > 0.0 && high / low > 100.0 {
                (low * (high / low).powf(share)).clamp(low, high)
            } else {
                low + share * (high - low)
            }
        }
        (5..=6, Some(field), _) => {
            let end = if dice.once_in(2) {
                field.low
            } else {
                field.high
            };
            beside(dice, end)
        }
        (7, _, Some(was)) => beside(dice, was),
        (8, _, Some(was)) => -was,
        (3..=6, None, Some(was)) => was * (1.0 + 0.2 * (dice.share() - 0.5)),
        (0..=2, None, Some(was)) => was * 10_f64.powi(dice.below(9) as i32 - 4),
        _ => return edge(dice),
    };
    if x == x.trunc() && x.abs() < 1e15 && dice.once_in(2) {
        json!(x as i64)
    } else {
        json!(x)
    }
}

fn edge(dice: &mut Dice) -> Value {
    let text = *dice.of(EDGES);
    serde_json::from_str(text).unwrap_or(Value::Null)
}

/// A value of any kind.
fn noise(dice: &mut Dice, levels: usize) -> Value {
    match dice.below(if levels == 0 { 6 } else { 9 }) {
        0 => Value::Null,
        1 => Value::Bool(dice.once_in(2)),
        2 | 3 => edge(dice),
        4 => json!(dice.of(TEXTS)),
        5 => json!("x".repeat(dice.many(3000))),
        6 => (0..dice.below(4))
            .map(|_| noise(dice, levels - 1))
            .collect(),
        7 => {
            let mut three = [dice.share(), dice.share(), dice.share()].map(|x| 100.0 * x);
            if dice.once_in(2) {
                three.sort_by(f64::total_cmp);
            }
            json!({ "low": three[0], "likely": three[1], "high": three[2] })
        }
        _ => {
            let mut map = Map::new();
            for _ in 0..dice.below(4) {
                let name = *dice.of(TEXTS);
                map.insert(name.to_owned(), noise(dice, levels - 1));
            }
            Value::Object(map)
        }
    }
}

/// A document with a few slips, perhaps with a part of another one.
pub(super) fn slipped(dice: &mut Dice, document: &Value, other: &Value) -> Value {
    if dice.once_in(24) {
        // By bytes: what still reads as a document is one.
        let text = |of: &Value| serde_json::to_vec(of).unwrap_or_default();
        let bytes = bytes::slipped(dice, &text(document), &text(other));
        if let Ok(read) = serde_json::from_slice(&bytes) {
            return read;
        }
    }
    let mut document = document.clone();
    for _ in 0..dice.few() {
        slip(dice, &mut document, other);
    }
    document
}

fn slip(dice: &mut Dice, document: &mut Value, other: &Value) {
    let way = somewhere(dice, document);
    match dice.below(20) {
        0..=7 => numeric(dice, document),
        8 | 9 => {
            take(document, &way);
        }
        10 | 11 => graft(dice, document, &way, other),
        12 => {
            // A list longer than it was, now and then much longer.
            if let Some(way) = some_of(dice, document, Value::is_array)
                && let Some(Value::Array(list)) = at(document, &way)
                && !list.is_empty()
            {
                let row = list[dice.below(list.len())].clone();
                let times = dice.many(300);
                let place = dice.below(list.len() + 1);
                list.splice(place..place, std::iter::repeat_n(row, times));
            }
        }
        13 => {
            if let Some(Value::Array(list)) = at(document, &way)
                && list.len() > 1
            {
                let (a, b) = (dice.below(list.len()), dice.below(list.len()));
                list.swap(a, b);
            }
        }
        14 => {
            // A field that is not there yet.
            let Some(field) = fields::all().nth(dice.below(fields::all().count())) else {
                return;
            };
            let way: Way = field.key.split('.').map(str::to_owned).collect();
            let value = number(dice, &way, None);
            put(document, &way, value);
        }
        15 => {
            // Three numbers in the place of one.
            if let Some(here) = at(document, &way)
                && let Some(x) = here.as_f64()
            {
                let [a, b] = [dice.share(), dice.share()].map(|s| s * s);
                *here = json!({ "low": x * (1.0 - a), "likely": x, "high": x * (1.0 + b) });
            }
        }
        16 => {
            // Nested, at most as deep as a reader of JSON goes.
            if let Some(here) = at(document, &way) {
                for _ in 0..dice.many(60) {
                    let inner = here.take();
                    *here = if dice.once_in(2) {
                        json!([inner])
                    } else {
                        json!({ "likely": inner })
                    };
                }
            }
        }
        17 => {
            if let Some(here) = at(document, &way)
                && here.is_string()
            {
                *here = json!(dice.of(TEXTS));
            }
        }
        18 => {
            // The same under another name.
            if let Some(Value::Object(map)) = at(document, &way)
                && !map.is_empty()
            {
                let names: Vec<String> = map.keys().cloned().collect();
                let value = map[dice.of(&names)].clone();
                let name = if dice.once_in(2) {
                    dice.of(&names).clone()
                } else {
                    (*dice.of(TEXTS)).to_owned()
                };
                map.insert(name, value);
            }
        }
        _ => {
            let value = noise(dice, 2);
            if let Some(here) = at(document, &way) {
                *here = value;
            }
        }
    }
}

/// Another number in the place of one.
fn numeric(dice: &mut Dice, document: &mut Value) {
    let Some(way) = some_of(dice, document, Value::is_number) else {
        return;
    };
    if let Some(here) = at(document, &way) {
        let was = here.as_f64();
        *here = number(dice, &way, was);
    }
}

/// What stands at the same place of another document, or anywhere in it.
fn graft(dice: &mut Dice, document: &mut Value, way: &Way, other: &Value) {
    let mut other = other.clone();
    let same = at(&mut other, way).map(|value| value.take());
    let value = match same {
        Some(value) if dice.once_in(2) => value,
        _ => {
            let from = somewhere(dice, &other);
            let Some(value) = at(&mut other, &from).map(|value| value.take()) else {
                return;
            };
            if dice.once_in(2) {
                // A group or row goes to where it came from.
                return put(document, &from, value);
            }
            value
        }
    };
    if !way.is_empty()
        && let Some(here) = at(document, way)
    {
        *here = value;
    }
}

/// Writes a value at a place, making groups on the way; not where something of another kind stands in it.
fn put(document: &mut Value, way: &[String], value: Value) {
    let Some((last, above)) = way.split_last() else {
        return;
    };
    let mut here = document;
    for step in above {
        here = match here {
            Value::Object(map) => map.entry(step.clone()).or_insert_with(|| json!({})),
            Value::Array(list) => match step.parse::<usize>().ok().and_then(|i| list.get_mut(i)) {
                Some(row) => row,
                None => return,
            },
            _ => return,
        };
    }
    match here {
        Value::Object(map) => {
            map.insert(last.clone(), value);
        }
        Value::Array(list) if list.len() < 500 => list.push(value),
        _ => {}
    }
}
