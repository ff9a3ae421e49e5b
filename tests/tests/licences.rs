//! What the product is built from: every library may be used as we use it, comes from the one registry, and is pinned.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork_site::{files, notices, page, run, tools::WASM_TARGET};
use flate2::read::GzDecoder;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::io::Read;
use std::path::Path;
use std::process::Command;

/// Licences that ask for no more than their text, by their SPDX names.
const ALLOWED: [&str; 12] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BlueOak-1.0.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Besides, for tools of the tests that are never handed out: it asks for the source of files that were changed.
const FOR_TESTS: &str = "MPL-2.0";

/// Whether an SPDX expression can be met with licences of a list: `OR` needs one side, `AND` both.
fn met(expression: &str, allowed: &[&str]) -> bool {
    // The few nested ones hold an `OR` in brackets before an `AND`.
    if let Some((left, right)) = bracketed(expression) {
        return met(left, allowed) && met(right, allowed);
    }
    let plain = expression.replace('/', " OR ");
    plain.split(" OR ").any(|side| {
        side.split(" AND ")
            .all(|name| allowed.contains(&name.trim()))
    })
}

/// `(A OR B) AND C` in its two halves.
fn bracketed(expression: &str) -> Option<(&str, &str)> {
    let inner = expression.strip_prefix('(')?;
    let (left, rest) = inner.split_once(')')?;
    Some((left, rest.trim().strip_prefix("AND ")?))
}

#[test]
fn expressions_are_read_as_their_standard_has_them() {
    // SPDX specification 2.3, annex D: AND binds closer than OR.
    let allowed = ["MIT", "Zlib"];
    for (expression, wanted) in [
        ("MIT", true),
        ("GPL-3.0-only", false),
        ("MIT OR GPL-3.0-only", true),
        ("GPL-3.0-only/MIT", true),
        ("MIT AND GPL-3.0-only", false),
        ("MIT AND Zlib", true),
        ("GPL-3.0-only AND Zlib OR MIT", true),
        ("(MIT OR GPL-3.0-only) AND Zlib", true),
        ("(MIT OR GPL-3.0-only) AND ISC", false),
        ("(GPL-3.0-only OR ISC) AND MIT", false),
        ("", false),
    ] {
        assert_eq!(met(expression, &allowed), wanted, "{expression}");
    }
}

/// Every package that the lock names, whatever the platform; the lock itself is not touched.
fn packages() -> Vec<Value> {
    let ask = |more: &[&str]| {
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let mut command = Command::new(cargo);
        command.current_dir(bastwork_site::root());
        command.args(["metadata", "--locked", "--format-version", "1"]);
        command.args(more).output().unwrap()
    };
    let mut said = ask(&["--offline"]);
    if !said.status.success() {
        // Libraries of other platforms may not be on this computer yet.
        said = ask(&[]);
    }
    let words = String::from_utf8_lossy(&said.stderr).into_owned();
    assert!(said.status.success(), "{words}");
    let found: Value = serde_json::from_slice(&said.stdout).unwrap();
    found["packages"].as_array().unwrap().clone()
}

#[test]
fn every_library_may_be_used_and_comes_from_the_one_registry() {
    let packages = packages();
    assert!(packages.len() > 100, "{}", packages.len());
    let mut sources: Vec<&str> = Vec::new();
    for package in &packages {
        let name = package["name"].as_str().unwrap();
        let licence = package["license"].as_str().unwrap_or_default();
        assert!(met(licence, &ALLOWED), "{name} is under {licence:?}");
        if let Some(source) = package["source"].as_str() {
            sources.push(source);
        } else {
            assert!(name.starts_with("bastwork"), "{name} is not ours");
        }
    }
    sources.dedup();
    assert_eq!(sources.len(), 1, "{sources:?}");
    assert!(sources[0].starts_with("registry+"), "{sources:?}");
}

#[test]
fn every_library_in_the_lock_is_pinned_by_what_it_holds() {
    let text = std::fs::read_to_string(bastwork_site::root().join("Cargo.lock")).unwrap();
    let lock: toml::Value = toml::from_str(&text).unwrap();
    for package in lock["package"].as_array().unwrap() {
        let name = package["name"].as_str().unwrap();
        let from_far = package.get("source").is_some();
        assert_eq!(package.get("checksum").is_some(), from_far, "{name}");
    }
}

#[test]
fn the_tools_of_the_browser_tests_may_be_used_and_are_pinned() {
    let path = bastwork_site::root().join("tests/browser/package-lock.json");
    let lock: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let allowed: Vec<&str> = ALLOWED.into_iter().chain([FOR_TESTS]).collect();
    let mut count = 0;
    for (name, package) in lock["packages"].as_object().unwrap() {
        if name.is_empty() {
            continue;
        }
        count += 1;
        let licence = package["license"].as_str().unwrap_or_default();
        assert!(met(licence, &allowed), "{name} is under {licence:?}");
        assert!(
            package["integrity"]
                .as_str()
                .is_some_and(|sum| sum.starts_with("sha512-")),
            "{name}"
        );
    }
    assert!(count > 2);
}

/// The notices, each as the libraries it covers and their text.
fn told() -> Vec<(BTreeSet<String>, String)> {
    let path = page::build().unwrap().join(notices::FILE);
    let text = fs::read_to_string(path).unwrap();
    let parts = text.split("\n----------------------------------------\n");
    parts
        .skip(1)
        .map(|part| {
            let (titles, text) = part.split_once("\n\n").unwrap();
            (titles.lines().map(str::to_owned).collect(), words(text))
        })
        .collect()
}

/// A text without what lies between its words.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether a text grants what its licence grants, by words that each of them holds.
fn grants(text: &str) -> bool {
    [
        "Permission is hereby granted, free of charge",
        "Apache License",
        "Permission is granted to anyone to use this software",
        "This is free and unencumbered software",
    ]
    .iter()
    .any(|words| text.contains(words))
}

#[test]
fn the_notices_hold_the_licence_of_every_library_that_the_core_is_built_from() {
    let mut tree = run::cargo();
    tree.current_dir(bastwork_site::root());
    tree.args(["tree", "--locked", "--package", "bastwork-wasm"]);
    tree.args(["--target", WASM_TARGET, "--edges", "normal"]);
    tree.args(["--prefix", "none", "--format", "{p}|{l}|"]);
    let tree = run::ask(&mut tree).unwrap();
    let packages = packages();
    let told = told();
    let mut seen = BTreeSet::new();
    for line in tree.lines() {
        let parts: Vec<&str> = line.split('|').collect();
        let mut name = parts[0].split(' ');
        let (name, version) = (name.next().unwrap(), name.next().unwrap());
        let version = version.trim_start_matches('v');
        if name.starts_with("bastwork") {
            continue;
        }
        let title = format!("{name} {version} ({})", parts[1]);
        let texts: Vec<&String> = told
            .iter()
            .filter(|(titles, _)| titles.contains(&title))
            .map(|(_, text)| text)
            .collect();
        assert!(texts.iter().any(|text| grants(text)), "{title}: {texts:?}");
        // Its own words, as they lie in its folder.
        let package = packages
            .iter()
            .find(|package| package["name"] == name && package["version"] == version)
            .unwrap();
        let folder = Path::new(package["manifest_path"].as_str().unwrap());
        let own: Vec<String> = fs::read_dir(folder.parent().unwrap())
            .unwrap()
            .filter_map(|entry| fs::read_to_string(entry.unwrap().path()).ok())
            .map(|text| words(&text))
            .collect();
        assert!(texts.iter().all(|text| own.contains(text)), "{title}");
        seen.insert(title);
    }
    assert!(seen.len() > 30, "{seen:?}");
}

/// The libraries that a module names where it says in which file it stopped.
fn named_in(module: &[u8]) -> BTreeSet<String> {
    let text = String::from_utf8_lossy(module);
    let mut found = BTreeSet::new();
    for (start, above) in [("/registry/src/", 1), ("/rust/deps/", 0)] {
        for rest in text.split(start).skip(1) {
            let folder = rest.split('/').nth(above).unwrap();
            let (name, version) = folder.rsplit_once('-').unwrap();
            found.insert(format!("{name} {version} ("));
        }
    }
    found
}

#[test]
fn no_library_is_in_the_modules_that_the_notices_do_not_name() {
    let dist = page::build().unwrap();
    let titles: Vec<String> = told().into_iter().flat_map(|(titles, _)| titles).collect();
    let mut named = BTreeSet::new();
    for path in files::list(&dist).unwrap() {
        if path.extension().is_some_and(|ending| ending == "bin") {
            let packed = fs::File::open(dist.join(path)).unwrap();
            let mut module = Vec::new();
            GzDecoder::new(packed).read_to_end(&mut module).unwrap();
            named.extend(named_in(&module));
        }
    }
    assert!(named.len() > 3, "{named:?}");
    for start in named {
        assert!(
            titles.iter().any(|title| title.starts_with(&start)),
            "{start}: {titles:?}"
        );
    }
}

#[test]
fn our_own_licences_stand_first() {
    let told = told();
    for (part, name) in told.iter().zip(notices::OURS) {
        let ours = fs::read_to_string(bastwork_site::root().join(name)).unwrap();
        assert!(part.0.contains("Bastwork"));
        assert_eq!(part.1, words(&ours));
    }
}
