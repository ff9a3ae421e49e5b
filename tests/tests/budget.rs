//! The page's weight stays within `budget.toml`.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop loudly"
)]

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Write};
use std::path::Path;

use bastwork_site::{files, offline, page, run};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Budget {
    module: usize,
    first_load: usize,
    all: usize,
}

/// Size of a file after gzip -9, by the program itself: encoders of the same name differ by two percent.
fn gzipped(gzip: &Path, file: &Path) -> usize {
    let packed = run::command(gzip).arg("-9c").arg(file).output().unwrap();
    assert!(
        packed.status.success(),
        "gzip did not take {}",
        file.display()
    );
    packed.stdout.len()
}

#[test]
fn the_page_weighs_what_its_budget_allows() {
    let text =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("budget.toml")).unwrap();
    let budget: Budget = toml::from_str(&text).unwrap();
    let dist = page::build().unwrap();

    let gzip = run::find(&["gzip"]).expect("gzip weighs the page: install it");
    let mut weights = Vec::new();
    for path in files::list(&dist).unwrap() {
        weights.push((files::as_link(&path), gzipped(&gzip, &dist.join(&path))));
    }
    let sum = |counts: &dyn Fn(&str) -> bool| -> usize {
        let counted = weights.iter().filter(|(link, _)| counts(link));
        counted.map(|(_, bytes)| bytes).sum()
    };
    let found = [
        ("module", sum(&|link| link.ends_with(".bin")), budget.module),
        (
            "first_load",
            sum(&|link| !offline::is_later(link)),
            budget.first_load,
        ),
        ("all", sum(&|link| link != "_headers"), budget.all),
    ];
    // Straight to standard error, so that the weights are seen when the test passes too.
    for (link, bytes) in &weights {
        let when = if offline::is_later(link) {
            "later"
        } else {
            "first"
        };
        writeln!(io::stderr(), "{bytes:>8}  {when}  {link}").unwrap();
    }
    for (what, bytes, most) in found {
        writeln!(io::stderr(), "{bytes:>8}  {what}, of {most}").unwrap();
    }
    assert!(found[0].1 > 100_000, "the page has no module");
    for (what, bytes, most) in found {
        assert!(
            bytes <= most,
            "{what} weighs {bytes} bytes after gzip -9, above the {most} of tests/budget.toml"
        );
    }
}

/// What stands in `text` between each `start` and the next `end`.
fn between<'a>(text: &'a str, start: &'a str, end: char) -> impl Iterator<Item = &'a str> {
    text.split(start)
        .skip(1)
        .filter_map(move |rest| rest.split_once(end).map(|(found, _)| found))
}

/// The scripts that `link` asks for before it runs, itself and those of others included.
fn at_once(dist: &Path, link: &str, found: &mut BTreeSet<String>) {
    if !found.insert(link.to_owned()) {
        return;
    }
    let text = fs::read_to_string(dist.join(link)).unwrap();
    let imports = text
        .lines()
        .filter(|line| line.starts_with("import ") || line.starts_with("export "));
    for line in imports {
        for next in between(line, "'./", '\'').take(1) {
            at_once(dist, next, found);
        }
    }
}

#[test]
fn what_counts_as_the_first_load_is_what_the_page_asks_for_at_once() {
    let dist = page::build().unwrap();
    let html = fs::read_to_string(dist.join("index.html")).unwrap();
    let mut first = BTreeSet::new();
    for link in between(&html, "src=\"", '"').chain(between(&html, "href=\"", '"')) {
        if link.ends_with(".js") {
            at_once(&dist, link, &mut first);
        } else if link.ends_with(".css") {
            first.insert(link.to_owned());
        }
    }
    assert!(first.contains("core.js"), "{first:?}");
    let all: BTreeSet<String> = files::list(&dist)
        .unwrap()
        .iter()
        .map(|path| files::as_link(path))
        .filter(|link| link.ends_with(".js") || link.ends_with(".css"))
        .collect();
    // The core and the worker that works sheets out are asked for by name.
    let named = ["bastwork-wasm.js", "aside-worker.js"];
    for link in all.iter().filter(|link| !named.contains(&link.as_str())) {
        assert_eq!(
            offline::is_later(link),
            !first.contains(link),
            "{link}: site/src/offline.rs and what the page imports do not agree"
        );
    }
}
