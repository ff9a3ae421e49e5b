//! The examples: each plan gives a sheet a shop person would nod at, each wrong one its sentences.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Shelf, sheet_from};
use bastwork_site::run;
use bastwork_tests::{cases_dir, files, json, root};
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Output;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Demo {
    plan: Vec<DemoPlan>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DemoPlan {
    file: String,
    #[allow(dead_code, reason = "for whoever reads the file")]
    note: String,
    likely: BTreeMap<String, [f64; 2]>,
    equal: BTreeMap<String, toml::Value>,
}

fn demo() -> Vec<DemoPlan> {
    let text = std::fs::read_to_string(cases_dir().join("demo.toml")).unwrap();
    toml::from_str::<Demo>(&text).unwrap().plan
}

fn at<'a>(sheet: &'a Value, path: &str) -> &'a Value {
    path.split('.').fold(sheet, |here, part| &here[part])
}

#[test]
fn each_demo_plan_gives_what_a_shop_expects() {
    let demo = demo();
    let listed: Vec<&str> = demo.iter().map(|plan| plan.file.as_str()).collect();
    for path in files(&root().join("examples"), ".json") {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        assert!(
            listed.contains(&name.as_str()),
            "{name} is not in demo.toml"
        );
    }
    let mut wrong = Vec::new();
    for plan in &demo {
        let document = json(&root().join("examples").join(&plan.file));
        let sheet = sheet_from(&document, Shelf::generic()).unwrap();
        let sheet = serde_json::to_value(&sheet).unwrap();
        assert!(plan.likely.len() >= 5, "{} is hardly checked", plan.file);
        for (path, [low, high]) in &plan.likely {
            let likely = at(&sheet, path)["likely"].as_f64().unwrap_or(f64::NAN);
            if !(*low..=*high).contains(&likely) {
                wrong.push(format!(
                    "{}: {path} is {likely}, not {low} to {high}",
                    plan.file
                ));
            }
        }
        for (path, expected) in &plan.equal {
            let found = at(&sheet, path);
            let good = match (found, expected) {
                (Value::Array(list), toml::Value::Integer(count)) => list.len() as i64 == *count,
                (Value::Object(figure), toml::Value::Integer(exact)) => {
                    figure["likely"].as_f64() == Some(*exact as f64)
                }
                (Value::String(word), toml::Value::String(expected)) => word == expected,
                (Value::Bool(found), toml::Value::Boolean(expected)) => found == expected,
                _ => false,
            };
            if !good {
                wrong.push(format!("{}: {path} is {found}, not {expected}", plan.file));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The problems of a document, a line each.
fn sentences(document: &Value) -> String {
    match sheet_from(document, Shelf::generic()) {
        Ok(_) => "a sheet, no problem\n".into(),
        Err(problems) => problems
            .iter()
            .map(|problem| format!("{}: {}\n", problem.field, problem.sentence))
            .collect(),
    }
}

/// `BASTWORK_WRITE=1` writes the sentences anew; read the difference before you keep it.
#[test]
fn each_wrong_example_gets_its_sentences() {
    let found = files(&root().join("examples").join("wrong"), ".json");
    assert!(found.len() >= 6, "{}", found.len());
    let mut wrong = Vec::new();
    for path in found {
        let got = sentences(&json(&path));
        assert!(!got.starts_with("a sheet"), "{}", path.display());
        let beside = path.with_extension("expected.txt");
        if std::env::var_os("BASTWORK_WRITE").is_some() {
            std::fs::write(&beside, &got).unwrap();
        }
        let expected = std::fs::read_to_string(&beside).unwrap_or_default();
        if got != expected {
            wrong.push(format!(
                "{}\nexpected:\n{expected}got:\n{got}",
                beside.display()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn program(arguments: &[&Path]) -> Output {
    run::cargo()
        .current_dir(root())
        .args([
            "run",
            "--quiet",
            "-p",
            "bastwork",
            "--example",
            "sheet",
            "--",
        ])
        .args(arguments)
        .output()
        .unwrap()
}

#[test]
fn the_program_prints_a_sheet_or_every_problem() {
    let examples = root().join("examples");
    let good = program(&[&examples.join("hive_roof.json")]);
    assert!(good.status.success(), "{good:?}");
    let sheet: Value = serde_json::from_slice(&good.stdout).unwrap();
    assert_eq!(sheet["name"], "Hive roof");

    for path in files(&examples.join("wrong"), ".json") {
        let output = program(&[&path]);
        assert_eq!(output.status.code(), Some(2), "{}", path.display());
        assert!(output.stdout.is_empty(), "{}", path.display());
        let problems: Value = serde_json::from_slice(&output.stderr)
            .unwrap_or_else(|why| panic!("{}: {why}: {output:?}", path.display()));
        let told: String = problems
            .as_array()
            .unwrap()
            .iter()
            .map(|problem| {
                let part = |name: &str| problem[name].as_str().unwrap();
                format!("{}: {}\n", part("field"), part("sentence"))
            })
            .collect();
        assert_eq!(told, sentences(&json(&path)), "{}", path.display());
    }
    for missing in ["nowhere.json", "Cargo.toml"] {
        let output = program(&[Path::new(missing)]);
        assert_eq!(output.status.code(), Some(2), "{missing}");
        let problems: Value = serde_json::from_slice(&output.stderr).unwrap();
        assert_eq!(problems[0]["value"], missing);
    }
}
