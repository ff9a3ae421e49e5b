//! The example that stands in the page while the core is on its way is what the core says of it.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Shelf, sheet_from};
use bastwork_tests::root;
use serde_json::Value;
use std::fs;

const FROM: &str = "<!-- What the core says of the example: BASTWORK_WRITE=1 cargo test -p bastwork-tests --test sample -->\n";
const TO: &str = "      <!-- so far -->\n";
/// The stages in shop order.
const STAGES: [&str; 9] = [
    "suit", "stack", "bag", "dry", "mix", "fill", "cure", "trim", "day",
];

/// The example as it stands in the page's own script.
fn example() -> Value {
    let script = fs::read_to_string(root().join("site/page/main.js")).unwrap();
    let (_, rest) = script.split_once("const EXAMPLE = ").unwrap();
    let (text, _) = rest.split_once(";\n").unwrap();
    serde_json::from_str(text).unwrap()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;")
}

/// The closed ticket: each stage in a line, with its answer and the figure that matters most, with its range.
fn written(sheet: &Value) -> String {
    let lines = STAGES.iter().filter_map(|stage| {
        let head = &sheet[stage]["head"];
        let main = &sheet[stage][head["main"].as_str()?];
        let shown = |name: &str| main["shown"][name].as_str().unwrap_or_default();
        let value = [shown("likely"), shown("unit")].join(" ");
        Some(format!(
            "      <div><dt>{}</dt><dd>{} <small>{}: {}, {}.</small></dd></div>\n",
            escaped(head["short"].as_str()?),
            escaped(head["answer"].as_str()?),
            escaped(main["label"].as_str()?),
            escaped(value.trim()),
            escaped(shown("range")),
        ))
    });
    lines.collect()
}

#[test]
fn the_example_in_the_page_is_what_the_core_says() {
    let plan = example();
    let sheet = serde_json::to_value(sheet_from(&plan, Shelf::generic()).unwrap()).unwrap();
    let lines = written(&sheet);
    assert_eq!(lines.matches("<dt>").count(), STAGES.len());
    let path = root().join("site/page/index.html");
    let html = fs::read_to_string(&path).unwrap();
    let (before, rest) = html.split_once(FROM).unwrap();
    let (held, after) = rest.split_once(TO).unwrap();
    if std::env::var_os("BASTWORK_WRITE").is_some() {
        fs::write(&path, format!("{before}{FROM}{lines}{TO}{after}")).unwrap();
    } else {
        assert_eq!(held, lines, "the core says other things of the example now");
    }
}
