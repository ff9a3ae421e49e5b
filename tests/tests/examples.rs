//! The examples: each plan gives a sheet a shop person would nod at, each wrong one its sentences.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Shelf, sheet_from};
use bastwork_site::run;
use bastwork_tests::{cases_dir, files, json as read_json, root};
use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Output, Stdio};

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
        let document = read_json(&root().join("examples").join(&plan.file));
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
                (Value::Null, toml::Value::String(word)) => word == "none",
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
        let got = sentences(&read_json(&path));
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

fn program(name: &str, arguments: &[&Path]) -> Output {
    run::cargo()
        .current_dir(root())
        .args(["run", "--quiet", "-p", "bastwork", "--example", name, "--"])
        .args(arguments)
        .output()
        .unwrap()
}

/// Whoever reads what a program prints may close the pipe before it is done, as `head` does.
#[test]
fn a_reader_that_has_enough_does_no_harm() {
    let mesh = std::env::temp_dir().join(format!("bastwork-pipe-{}.json", std::process::id()));
    let even = json!({
        "vertices_m": [[0, 0, 0], [1, 0, 0], [0, 1, 0]], "triangles": [[0, 1, 2]], "feed_nodes": [0], "permeability_m2": 1e-10,
        "porosity": 0.5, "thickness_m": 0.003, "viscosity_pa_s": 0.3, "driving_pressure_pa": 9e4,
    });
    std::fs::write(&mesh, even.to_string()).unwrap();
    for (name, file) in [
        ("fill_map", mesh.clone()),
        ("sheet", root().join("examples/hive_roof.json")),
    ] {
        let mut child = run::cargo()
            .current_dir(root())
            .args(["run", "--quiet", "-p", "bastwork", "--example", name, "--"])
            .arg(file)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success() && told.is_empty(), "{name}: {told}");
    }
    std::fs::remove_file(&mesh).unwrap();
}

#[test]
fn the_program_prints_a_sheet_or_every_problem() {
    let examples = root().join("examples");
    let good = program("sheet", &[&examples.join("hive_roof.json")]);
    assert!(good.status.success(), "{good:?}");
    let sheet: Value = serde_json::from_slice(&good.stdout).unwrap();
    assert_eq!(sheet["name"], "Hive roof");

    for path in files(&examples.join("wrong"), ".json") {
        let output = program("sheet", &[&path]);
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
        assert_eq!(told, sentences(&read_json(&path)), "{}", path.display());
    }
    for missing in ["nowhere.json", "Cargo.toml"] {
        let output = program("sheet", &[Path::new(missing)]);
        assert_eq!(output.status.code(), Some(2), "{missing}");
        let problems: Value = serde_json::from_slice(&output.stderr).unwrap();
        assert_eq!(problems[0]["value"], missing);
    }
}

/// What the program of the map prints for a mesh, or the sentences it refuses with.
fn mapped(mesh: &Value) -> Result<Value, String> {
    let file = std::env::temp_dir().join(format!("bastwork-mesh-{}.json", std::process::id()));
    std::fs::write(&file, mesh.to_string()).unwrap();
    let output = program("fill_map", &[&file]);
    std::fs::remove_file(&file).unwrap();
    if output.status.success() {
        return Ok(serde_json::from_slice(&output.stdout).unwrap());
    }
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    assert!(output.stdout.is_empty());
    let problems: Vec<Value> = serde_json::from_slice(&output.stderr).unwrap();
    let all = problems
        .iter()
        .map(|problem| problem["sentence"].as_str().unwrap());
    Err(all.collect::<Vec<_>>().join("\n"))
}

/// A mesh of which every triangle has corners of its own: resin fills the one that is fed, and that is told.
fn unwelded(mesh: &Value) {
    let mut soup = mesh.clone();
    let corners: Vec<usize> = serde_json::from_value::<Vec<[usize; 3]>>(mesh["triangles"].clone())
        .unwrap()
        .concat();
    let vertices: Vec<&Value> = corners.iter().map(|&i| &mesh["vertices_m"][i]).collect();
    let triangles: Vec<[usize; 3]> = (0..corners.len() / 3)
        .map(|i| [3 * i, 3 * i + 1, 3 * i + 2])
        .collect();
    soup["vertices_m"] = json!(vertices);
    soup["triangles"] = json!(triangles);
    soup["vent_nodes"] = json!([]);
    let file = std::env::temp_dir().join(format!("bastwork-soup-{}.json", std::process::id()));
    std::fs::write(&file, soup.to_string()).unwrap();
    let output = program("fill_map", &[&file]);
    std::fs::remove_file(&file).unwrap();
    assert_eq!(output.status.code(), Some(3), "{output:?}");
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    // One triangle of eighty.
    assert!((found["reached_share"].as_f64().unwrap() - 1.0 / 80.0).abs() < 1e-9);
    let says = found["problems"][0]["sentence"].as_str().unwrap();
    assert!(
        says.contains("of the part") && says.contains("237 of its 240 points"),
        "{says}"
    );
    let told: Value = serde_json::from_slice(&output.stderr).unwrap();
    assert_eq!(told, found["problems"]);
}

#[test]
fn the_program_of_the_map_gives_times_or_every_problem() {
    // A strip of half a metre: mu phi L^2 / (2 K dp) = 9027.8 s.
    let mut vertices: Vec<[f64; 3]> = (0..=40)
        .flat_map(|i| [0.0, 0.05].map(|y| [0.5 * f64::from(i) / 40.0, y, 0.0]))
        .collect();
    // On no triangle, and never wet.
    vertices.push([3.0, 3.0, 3.0]);
    let triangles: Vec<[u32; 3]> = (0..40)
        .flat_map(|i| [[2 * i, 2 * i + 2, 2 * i + 3], [2 * i, 2 * i + 3, 2 * i + 1]])
        .collect();
    let strip = json!({
        "vertices_m": vertices, "triangles": triangles, "feed_nodes": [0, 1], "vent_nodes": [80, 81],
        "permeability_m2": 3e-11, "viscosity_pa_s": 0.3, "porosity": 0.65, "driving_pressure_pa": 9e4, "thickness_m": 0.003
    });
    let found = mapped(&strip).unwrap();
    assert!(
        (found["fill_time_s"].as_f64().unwrap() / 9027.8 - 1.0).abs() < 2e-3,
        "{found}"
    );
    assert!([80, 81].contains(&found["last_node"].as_u64().unwrap()));
    assert_eq!(found["arrival_s"].as_array().unwrap().len(), 83);
    assert!(found["arrival_s"][82].is_null());
    assert!(found["milliseconds"]["map"].as_f64() >= found["milliseconds"]["fill_time"].as_f64());
    assert_eq!(found["reached_share"], 1.0);
    assert_eq!(found["problems"], json!([]));
    // The map tells how far it is off: times against L^2, within what it says.
    let off = |of: &str| found["off_share"][of].as_f64().unwrap();
    assert!(off("rms") < 0.01 && off("worst") < 0.05, "{found}");
    for (i, t) in (0..81).zip(found["arrival_s"].as_array().unwrap()) {
        let exact = f64::from(i / 2) / 40.0;
        let by = t.as_f64().unwrap() / 9027.8 - exact * exact;
        assert!(by.abs() < off("worst"), "{i}: {by}");
    }
    // Two feeds on one edge are a line. One alone is a hole: here a fifth of the root of its cell.
    assert_eq!(found["feeds_of_one_node"], json!([]));
    let mut alone = strip.clone();
    alone["feed_nodes"] = json!([40]);
    let told = mapped(&alone).unwrap()["feeds_of_one_node"].clone();
    // Three triangles over half a turn.
    let cell = (2.0 * 3.0 * 0.0125 * 0.05 / 6.0_f64).sqrt();
    assert_eq!(told[0]["node"], 40);
    let radius = told[0]["hole_radius_m"].as_f64().unwrap();
    assert!((radius / (0.2 * cell) - 1.0).abs() < 1e-9, "{told}");
    unwelded(&strip);

    let with = |key: &str, value: Value| {
        let mut mesh = strip.clone();
        mesh[key] = value;
        mapped(&mesh).unwrap_err()
    };
    for (key, value, says) in [
        ("feed_nodes", json!([]), "Name at least one corner"),
        ("feed_nodes", json!([82]), "resin comes nowhere"),
        ("vent_nodes", json!([83]), "vent_nodes, entry 0"),
        ("triangles", json!([[0, 1, 83]]), "triangles, entry 0"),
        ("triangles", json!([[0, 2, 4]]), "no triangle with an area"),
        ("vertices_m", json!([[0, 0, null]]), "vertices_m, entry 0"),
        ("porosity", json!(1.2), "a share, up to 1"),
        (
            "viscosity_pa_s",
            json!("thin"),
            "viscosity_pa_s needs a number",
        ),
    ] {
        let told = with(key, value);
        assert!(told.contains(says), "{key}: {told}");
        for word in ["error", "invalid", "expected", "panic"] {
            assert!(!told.to_lowercase().contains(word), "{key}: {told}");
        }
    }
    let empty = mapped(&json!({})).unwrap_err();
    assert_eq!(empty.lines().count(), 8, "{empty}");
}

/// The figures that the README shows are those of the sheet, in the order of its table.
#[test]
fn the_readme_shows_what_the_sheet_says() {
    const FIGURES: [&str; 8] = [
        "stack.thickness_mm",
        "dry.oven_min",
        "suit.mass_over_glass",
        "stack.first_cracking_mpa",
        "stack.tensile_strength_mpa",
        "mix.resin_to_mix_g",
        "mix.resin_in_part_g",
        "cure.demould_h",
    ];
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let lines = readme.lines().skip_while(|line| *line != "|---|---|---|");
    let rows: Vec<Vec<&str>> = lines
        .skip(1)
        .take_while(|line| line.starts_with('|'))
        .map(|line| line.split('|').map(str::trim).collect())
        .collect();
    assert_eq!(rows.len(), FIGURES.len());
    let plan = read_json(&root().join("examples/hive_roof.json"));
    let sheet = sheet_from(&plan, Shelf::generic()).unwrap();
    let sheet = serde_json::to_value(sheet).unwrap();
    for (row, figure) in rows.iter().zip(FIGURES) {
        let shown = &at(&sheet, figure)["shown"];
        let [value, unit, range] =
            ["likely", "unit", "range"].map(|part| shown[part].as_str().unwrap_or(""));
        let likely = format!("{value} {unit}");
        assert_eq!(row[2..4], [likely.trim(), range], "{figure}");
    }
}
