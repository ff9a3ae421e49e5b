//! The thin boundary between the core and whoever runs WebAssembly: the page, Node, a script.
//!
//! Plain values in, plain values out. Nothing is computed here, and nothing throws on bad input.

// A test may tell a longer story.
#![cfg_attr(not(test), warn(clippy::too_many_lines))]

mod board;

pub use board::{Board, learn, read_file};

use bastwork::{Problem, Shelf, Units};
use serde::Serialize;
use serde_json::Value;
use wasm_bindgen::prelude::{JsValue, wasm_bindgen};

/// The version of Bastwork this module was built from.
#[wasm_bindgen]
#[must_use]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}

/// The sheet of a plan, `{ sheet }`, or every problem at once, `{ problems }`.
#[wasm_bindgen]
#[must_use]
pub fn sheet(plan: JsValue, own: JsValue) -> JsValue {
    let worked = shelf(&own).and_then(|shelf| bastwork::sheet_from(&document(&plan), &shelf));
    match worked {
        Ok(sheet) => give(&Answer { sheet }),
        Err(problems) => give(&Refusal { problems }),
    }
}

/// The stages of the job in shop order: what each is called and asks, and which of its figures the hands need.
#[wasm_bindgen]
#[must_use]
pub fn job() -> JsValue {
    give(&bastwork::JOB)
}

/// Every entry of a plan, group by group in shop order.
#[wasm_bindgen]
#[must_use]
pub fn form(units: &str) -> JsValue {
    give(&bastwork::form(spoken(units)))
}

/// The numeric entries of an own material: `fabrics`, `cores`, `resins` or `tools`.
#[wasm_bindgen]
#[must_use]
pub fn own_entries(table: &str, units: &str) -> JsValue {
    give(&bastwork::own_entries(table, spoken(units)))
}

/// What lies on the shelf, the shop's own entries first.
#[wasm_bindgen(js_name = shelf)]
#[must_use]
pub fn catalogue(own: JsValue) -> JsValue {
    match shelf(&own) {
        Ok(shelf) => give(&bastwork::catalogue(&shelf)),
        // Problems of the own shelf are told by `sheet`; the generic one is always there to choose from.
        Err(_) => give(&bastwork::catalogue(Shelf::generic())),
    }
}

/// Problems of the shop's own shelf; an empty list when there are none.
#[wasm_bindgen]
#[must_use]
pub fn check_shelf(own: JsValue) -> JsValue {
    give(&shelf(&own).err().unwrap_or_default())
}

/// Paths of what stands in a place of another kind in a plan, such as a word where a list belongs.
#[wasm_bindgen]
#[must_use]
pub fn astray(plan: JsValue) -> JsValue {
    give(&bastwork::astray(&document(&plan), Shelf::generic()))
}

/// What was typed into an entry, `{ value }` in metric units, or `{ problem }`.
#[wasm_bindgen]
#[must_use]
pub fn read_entry(key: &str, text: &str, units: &str) -> JsValue {
    match bastwork::read_entry(key, text, spoken(units)) {
        Ok(value) => give(&Typed { value }),
        Err(problem) => give(&Untyped { problem }),
    }
}

/// A metric value as text for an entry.
#[wasm_bindgen]
#[must_use]
pub fn show_entry(key: &str, value: f64, units: &str) -> String {
    bastwork::show_entry(key, value, spoken(units))
}

/// The stacks that do what the plan's target and load ask, `{ back }`, or every problem at once, `{ problems }`.
#[wasm_bindgen]
#[must_use]
pub fn work_back(plan: JsValue, own: JsValue) -> JsValue {
    let worked = shelf(&own).and_then(|shelf| bastwork::work_back(&document(&plan), &shelf));
    match worked {
        Ok(back) => give(&Worked { back }),
        Err(problems) => give(&Refusal { problems }),
    }
}

/// The day of a plan as a calendar file, `{ calendar }`, or every problem at once, `{ problems }`.
///
/// `stamp` is now, in UTC, as `20261125T193000Z`.
#[wasm_bindgen]
#[must_use]
pub fn calendar(plan: JsValue, own: JsValue, stamp: &str) -> JsValue {
    let written = shelf(&own).and_then(|shelf| bastwork::calendar(&document(&plan), &shelf, stamp));
    match written {
        Ok(calendar) => give(&Written { calendar }),
        Err(problems) => give(&Refusal { problems }),
    }
}

#[derive(Serialize)]
struct Written {
    calendar: String,
}

#[derive(Serialize)]
struct Worked {
    back: bastwork::Back,
}

#[derive(Serialize)]
struct Answer {
    sheet: bastwork::Sheet,
}

#[derive(Serialize)]
struct Typed {
    value: f64,
}

#[derive(Serialize)]
struct Untyped {
    problem: Problem,
}

#[derive(Serialize)]
struct Refusal {
    problems: Vec<Problem>,
}

fn spoken(units: &str) -> Units {
    if units == "us" {
        Units::Us
    } else {
        Units::Metric
    }
}

/// A document from JavaScript; what cannot be a document reads as nothing, and the core says so.
///
/// By way of JSON text: its reader stops at a depth that no hostile file can exhaust the stack with.
fn document(value: &JsValue) -> Value {
    js_sys::JSON::stringify(value)
        .ok()
        .and_then(|text| text.as_string())
        .and_then(|text| serde_json::from_str(&text).ok())
        .unwrap_or(Value::Null)
}

fn shelf(own: &JsValue) -> Result<Shelf, Vec<Problem>> {
    if own.is_undefined() || own.is_null() {
        return Ok(Shelf::generic().clone());
    }
    Shelf::generic().and_own(&document(own))
}

fn give(value: &impl Serialize) -> JsValue {
    value
        .serialize(&serde_wasm_bindgen::Serializer::json_compatible())
        .unwrap_or(JsValue::NULL)
}
