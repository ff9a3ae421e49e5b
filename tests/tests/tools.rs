//! The tools for those who write the page or publish the package do what we do without them.
//!
//! They are taken from the cache: a computer that was never asked to build them is not kept waiting.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork_site::node::Shrinker;
use bastwork_site::tools::{TRUNK, Tool, WASM_BINDGEN, WASM_PACK};
use bastwork_site::{bare, cache, files, notices, npm, page, run, watch};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Whether all are in the cache; says so where one is not.
fn are_here(tools: &[&Tool]) -> bool {
    let missing: Vec<&str> = tools
        .iter()
        .filter(|tool| !tool.is_here())
        .map(|tool| tool.program)
        .collect();
    if !missing.is_empty() {
        run::say(format_args!(
            "Not tried, since they are not on this computer: {}. `cargo run -- --watch` and `-- --npm` build them.",
            missing.join(", ")
        ));
    }
    missing.is_empty()
}

fn scratch(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    cache::empty(&folder).unwrap();
    folder
}

fn links(folder: &Path) -> BTreeSet<String> {
    let paths = files::list(folder).unwrap();
    paths.iter().map(|path| files::as_link(path)).collect()
}

/// Lines that say something.
fn lines(path: &Path) -> Vec<String> {
    let text = fs::read_to_string(path).unwrap();
    let said = text.lines().filter(|line| !line.trim().is_empty());
    said.map(str::to_owned).collect()
}

#[test]
fn trunk_makes_the_page_that_we_make() {
    if !are_here(&[&TRUNK, &WASM_BINDGEN]) {
        return;
    }
    let ours = page::build().unwrap();
    let theirs = scratch("trunk");
    run::must(
        watch::trunk()
            .unwrap()
            .args(["build", "--dist"])
            .arg(&theirs),
        "trunk did not build the page",
    )
    .unwrap();
    bare::strip(&theirs).unwrap();

    let module = theirs.join("bastwork-wasm_bg.wasm");
    if let Some(shrinker) = Shrinker::get() {
        let keep = scratch("trunk-shrunk").join("web");
        shrinker.shrink(&module, &keep).unwrap();
    }
    page::pack(&module, &scratch("trunk-packed").join("web")).unwrap();

    let (here, there) = (links(&ours), links(&theirs));
    // What is ours alone.
    let more = ["examples/", "_headers", notices::FILE];
    let same: BTreeSet<String> = here
        .into_iter()
        .filter(|link| !more.iter().any(|start| link.starts_with(start)))
        .collect();
    assert_eq!(same, there);
    for link in same {
        let (a, b) = (ours.join(&link), theirs.join(&link));
        if link == "index.html" {
            assert_eq!(lines(&a), lines(&b));
        } else if link != "sw.js" {
            // The worker's lists are filled in by us.
            assert!(fs::read(&a).unwrap() == fs::read(&b).unwrap(), "{link}");
        }
    }
}

#[test]
fn wasm_pack_packs_the_module_that_we_bind() {
    if !are_here(&[&WASM_PACK, &WASM_BINDGEN]) {
        return;
    }
    let script = npm::script(npm::Host::Node).unwrap();
    let package = npm::package(npm::Host::Node).unwrap();
    let module = "bastwork_bg.wasm";
    let ours = fs::read(script.with_file_name(module)).unwrap();
    assert!(ours == fs::read(package.join(module)).unwrap(), "{module}");
    // The package's script begins with a line that says where its types stand.
    let mut theirs = lines(&package.join("bastwork.js"));
    assert!(theirs.remove(0).contains("types"), "{theirs:?}");
    assert_eq!(lines(&script), theirs);
    let told = fs::read_to_string(package.join("package.json")).unwrap();
    let told: Value = serde_json::from_str(&told).unwrap();
    assert_eq!(told["license"], "MIT OR Apache-2.0");
    let published: BTreeSet<&str> = told["files"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_str)
        .collect();
    let wanted = [notices::FILE, "LICENSE-APACHE", "LICENSE-MIT"];
    for name in wanted
        .into_iter()
        .chain(["bastwork.js", "bastwork_bg.wasm"])
    {
        assert!(published.contains(name), "{name}: {published:?}");
        assert!(package.join(name).is_file(), "{name}");
    }
    assert_eq!(
        fs::read_to_string(package.join(notices::FILE)).unwrap(),
        notices::text().unwrap()
    );
}
