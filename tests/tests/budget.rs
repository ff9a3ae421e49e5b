//! The page's weight: what a first visit downloads stays within `budget.toml`.
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
    cap: usize,
    first_load: usize,
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
fn first_load_is_within_budget() {
    let text =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("budget.toml")).unwrap();
    let budget: Budget = toml::from_str(&text).unwrap();
    let dist = page::build().unwrap();

    let gzip = run::find(&["gzip"]).expect("gzip weighs the page: install it");
    let mut sum = 0;
    let mut lines = String::new();
    for path in files::list(&dist).unwrap() {
        let link = files::as_link(&path);
        if offline::is_later(&link) {
            continue;
        }
        let bytes = gzipped(&gzip, &dist.join(&path));
        sum += bytes;
        lines += &format!("{bytes:>8}  {link}\n");
    }
    // Straight to standard error, so that the weights are seen when the test passes too.
    writeln!(
        io::stderr(),
        "First load, bytes after gzip -9:\n{lines}{sum:>8}  in all, of {}",
        budget.first_load
    )
    .unwrap();

    assert!(
        lines.contains("index.html") && lines.contains(".wasm"),
        "the page is not whole:\n{lines}"
    );
    assert!(
        budget.first_load <= budget.cap,
        "{} is above the cap of {}",
        budget.first_load,
        budget.cap
    );
    assert!(
        sum <= budget.first_load,
        "The first load weighs {sum} bytes, above the {} of tests/budget.toml:\n{lines}",
        budget.first_load
    );
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
    // The first core is asked for by name, on a visit that has no whole one.
    for link in all.iter().filter(|link| *link != "bastwork-wasm.js") {
        assert_eq!(
            offline::is_later(link),
            !first.contains(link),
            "{link}: site/src/offline.rs and what the page imports do not agree"
        );
    }
}
