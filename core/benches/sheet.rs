//! How long the sheet takes: `cargo bench -p bastwork`.
//!
//! Compare rows of one run with each other; seconds differ from machine to machine.

mod search;

use bastwork::{Plan, Shelf, sheet, sheet_from};
use serde_json::Value;

fn main() {
    // The shelf is read once a session; keep that out of the first sample.
    let _ = Shelf::generic();
    divan::main();
}

const DEMOS: [(&str, &str); 4] = [
    ("hive roof", include_str!("../../examples/hive_roof.json")),
    (
        "paddle blade",
        include_str!("../../examples/paddle_blade.json"),
    ),
    (
        "stall counter",
        include_str!("../../examples/stall_counter.json"),
    ),
    (
        "winter hive roof",
        include_str!("../../examples/winter_hive_roof.json"),
    ),
];

fn demo(name: &str) -> Value {
    DEMOS
        .iter()
        .find(|(known, _)| *known == name)
        .and_then(|(_, text)| serde_json::from_str(text).ok())
        .unwrap_or_default()
}

/// The whole way, from document to sheet.
#[divan::bench(args = ["hive roof", "paddle blade", "stall counter", "winter hive roof"])]
fn document_to_sheet(bencher: divan::Bencher<'_, '_>, name: &str) {
    let document = demo(name);
    bencher.bench(|| sheet_from(&document, Shelf::generic()));
}

/// Reading and checking the plan alone: the yardstick for the rest.
#[divan::bench]
fn read_plan(bencher: divan::Bencher<'_, '_>) {
    let document = demo("hive roof");
    bencher.bench(|| Plan::read(&document, Shelf::generic()));
}

/// The sheet of a plan that is read already.
#[divan::bench]
fn plan_to_sheet(bencher: divan::Bencher<'_, '_>) {
    let document = demo("hive roof");
    let plan = Plan::read(&document, Shelf::generic()).plan;
    bencher.bench(|| plan.as_ref().map(|plan| sheet(plan, Shelf::generic())));
}

/// A stack with many rows, all different.
#[divan::bench]
fn thirty_rows(bencher: divan::Bencher<'_, '_>) {
    let mut document = demo("hive roof");
    let rows: Vec<Value> = (0..30)
        .map(
            |i| serde_json::json!({ "fabric": "flax_biaxial_300", "count": 1, "angle_deg": i * 3 }),
        )
        .collect();
    document["stack"] = rows.into();
    bencher.bench(|| sheet_from(&document, Shelf::generic()));
}

/// The sheet as JSON text, as a script reads it.
#[divan::bench]
fn sheet_to_text(bencher: divan::Bencher<'_, '_>) {
    let sheet = sheet_from(&demo("hive roof"), Shelf::generic()).ok();
    bencher.bench(|| serde_json::to_string(&sheet));
}

/// The best stacks of some millions, without and with bounds.
#[divan::bench(args = ["no bounds", "weak bounds", "tight bounds", "hard to please"])]
fn work_back(bencher: divan::Bencher<'_, '_>, question: &str) {
    let (choices, cores) = (search::choices(), search::cores());
    bencher.bench(|| search::ask(question, &choices, &cores));
}

/// Heat and cure through a laminate for three days: thin, thick, thick and fast, and a month of cold nights.
#[divan::bench(args = ["3 mm", "20 mm", "20 mm, fast", "3 mm, nights"])]
fn laminate_sets(bencher: divan::Bencher<'_, '_>, case: &str) {
    use bastwork::law::cure::{INFUSION_AMINE, Resin};
    use bastwork::law::laminate_cure::{Layup, laminate_cure};
    let resin = Resin {
        kinetics: INFUSION_AMINE,
        speed: if case.ends_with("fast") { 3.0 } else { 1.0 },
        tg_ultimate: 364.15,
    };
    let layup = Layup {
        thickness: if case.starts_with("20") { 0.020 } else { 0.003 },
        density: 1250.0,
        heat_capacity: 1650.0,
        conductivity: 0.20,
        resin_share: 0.57,
        to_mould: 8.0,
        to_bag: 10.0,
        start_temperature: 293.15,
    };
    let (swing, days) = if case.ends_with("nights") {
        (5.0, 28.0)
    } else {
        (0.0, 3.0)
    };
    let air = move |t: f64| {
        let air = 293.15 - swing * (1.0 - (t / 86_400.0 * std::f64::consts::TAU).cos());
        (air, air)
    };
    bencher.bench(|| laminate_cure(&resin, &layup, air, &[], days * 86_400.0));
}
