//! Writes many sheets down, and later says where they have changed: for work that must leave every figure as it is.
//!
//!     cargo run --release -p bastwork-tests --example golden -- --write target/golden
//!     cargo run --release -p bastwork-tests --example golden -- --against target/golden
//!
//! The plans are the examples, the case files' own, 300 that are drawn over every field, route and unit, and 40 parts drawn
//! by finger. Each file holds its plan beside the answer, so that an older build's sheets can be held against a newer one's.
//! Numbers may differ by 1e-12 of their size; a text may not differ at all.

use bastwork::{Shelf, sheet_from};
use bastwork_tests::sheets::differences;
use bastwork_tests::{cases, files, fingers, json, plans, root};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::Path;

const CLOSE: f64 = 1e-12;
const SEED: u8 = 41;

fn main() -> Result<(), String> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["--write", folder] => write(Path::new(folder)),
        ["--against", folder] => against(Path::new(folder)),
        _ => Err("Say --write FOLDER or --against FOLDER.".to_owned()),
    }
}

/// Every plan with a name of its own.
fn drawn() -> Vec<(String, Value)> {
    let examples = files(&root().join("examples"), ".json")
        .into_iter()
        .map(|path| {
            (
                path.file_stem()
                    .unwrap_or_default()
                    .to_string_lossy()
                    .into_owned(),
                json(&path),
            )
        });
    let numbered = |kind: &str, plans: Vec<Value>| -> Vec<(String, Value)> {
        let named = plans.into_iter().enumerate();
        named
            .map(|(at, plan)| (format!("{kind}_{at:03}"), plan))
            .collect()
    };
    examples
        .chain(numbered("case", cases::plans()))
        .chain(numbered("any", plans::seeded(300, SEED)))
        .chain(numbered("finger", fingers::seeded(40, SEED)))
        .collect()
}

fn answer(plan: &Value) -> Value {
    match sheet_from(plan, Shelf::generic()) {
        Ok(sheet) => json!({ "sheet": sheet }),
        Err(problems) => json!({ "problems": problems }),
    }
}

fn write(folder: &Path) -> Result<(), String> {
    std::fs::create_dir_all(folder).map_err(|why| why.to_string())?;
    let plans = drawn();
    for (name, plan) in &plans {
        let plan = as_read(plan);
        let kept = json!({ "plan": plan, "answer": answer(&plan) });
        std::fs::write(folder.join(format!("{name}.json")), kept.to_string())
            .map_err(|why| why.to_string())?;
    }
    println!(
        "{} sheets are written to {}.",
        plans.len(),
        folder.display()
    );
    Ok(())
}

/// A plan as it is read back: the last digit of a number may move on its way through text.
fn as_read(plan: &Value) -> Value {
    let mut plan = plan.clone();
    for _ in 0..10 {
        let read = serde_json::from_str(&plan.to_string()).unwrap_or(Value::Null);
        if read == plan {
            break;
        }
        plan = read;
    }
    plan
}

/// A path without the places in its lists, so that what differs alike is counted together.
fn kind_of(difference: &str) -> String {
    let path = difference.split(':').next().unwrap_or_default();
    let named = path.split('.').filter(|part| part.parse::<u32>().is_err());
    named.collect::<Vec<_>>().join(".")
}

/// How far two numbers lie apart, over the larger; without end where it is not two numbers that differ.
fn size_of(difference: &str) -> f64 {
    let numbers = difference.rsplit_once(": ").and_then(|(_, both)| {
        let (one, other) = both.split_once(" and ")?;
        Some((one.parse::<f64>().ok()?, other.parse::<f64>().ok()?))
    });
    numbers.map_or(f64::INFINITY, |(one, other)| {
        (one - other).abs() / one.abs().max(other.abs())
    })
}

/// What differs in one kind of place: how often, and where most.
#[derive(Default)]
struct Kind {
    count: usize,
    most: f64,
    worst: String,
}

fn against(folder: &Path) -> Result<(), String> {
    let mut kinds: BTreeMap<String, Kind> = BTreeMap::new();
    let kept = files(folder, ".json");
    for path in &kept {
        let before = json(path);
        let now: Value = serde_json::from_str(&answer(&before["plan"]).to_string())
            .map_err(|why| why.to_string())?;
        for difference in differences(&before["answer"], &now, |_| CLOSE, 0.0) {
            let name = path.file_stem().unwrap_or_default().to_string_lossy();
            let kind = kinds.entry(kind_of(&difference)).or_default();
            kind.count += 1;
            let size = size_of(&difference);
            if size > kind.most {
                kind.most = size;
                kind.worst = format!("{name}: {difference}");
            }
        }
    }
    if kept.is_empty() {
        return Err(format!("{} holds no sheets.", folder.display()));
    }
    let mut sorted: Vec<_> = kinds.iter().collect();
    sorted.sort_by(|(_, one), (_, other)| one.most.total_cmp(&other.most));
    for (path, Kind { count, most, worst }) in sorted {
        println!("{count:6} {most:8.1e}  {path}\n                 {worst}");
    }
    if kinds.is_empty() {
        println!("{} sheets are as they were.", kept.len());
        return Ok(());
    }
    Err("These sheets have changed.".to_owned())
}
