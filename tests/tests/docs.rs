//! Every law tells its equation, units, range, example and source, and no word to the user is one we do not use.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot go on should stop loudly"
)]

use bastwork::{Shelf, sheet_from};
use bastwork_tests::{cases, files, json, plans, root, sheets::walk};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Fewer functions than this means that the reader below has lost some.
const LEAST_FUNCTIONS: usize = 80;

fn sources_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_path_buf()];
    while let Some(here) = open.pop() {
        for entry in std::fs::read_dir(&here).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                found.push(path);
            }
        }
    }
    found.sort();
    assert!(!found.is_empty(), "{}", folder.display());
    found
}

/// A file without its tests.
fn product_part(path: &Path) -> String {
    let text = std::fs::read_to_string(path).unwrap();
    let name = path.file_name().unwrap().to_string_lossy();
    if name == "tests.rs" || name.ends_with("_tests.rs") {
        return String::new();
    }
    let end = text.find("#[cfg(test)]\nmod tests {").unwrap_or(text.len());
    text[..end].to_owned()
}

/// Public functions of a file with their documentation.
fn functions(text: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut doc = String::new();
    for line in text.lines() {
        let line = line.trim();
        if let Some(words) = line.strip_prefix("///") {
            doc.push_str(words.trim());
            doc.push('\n');
        } else if line.starts_with("#[") || line.starts_with("//") {
            // Attributes and notes may stand between.
        } else {
            let start = line
                .strip_prefix("pub fn ")
                .or_else(|| line.strip_prefix("pub const fn "));
            if let Some(rest) = start {
                let name = rest.split(['(', '<']).next().unwrap_or(rest);
                found.push((name.to_owned(), std::mem::take(&mut doc)));
            }
            doc.clear();
        }
    }
    found
}

/// Whether something like a unit stands in square brackets, not only links and code.
fn has_a_unit(doc: &str) -> bool {
    doc.split('[').skip(1).any(|rest| {
        let Some((inside, after)) = rest.split_once(']') else {
            return false;
        };
        let link = inside.starts_with('`') || after.starts_with('(') || after.starts_with('[');
        !link && !inside.is_empty() && inside.len() < 40
    })
}

#[test]
fn every_law_is_documented() {
    let core = root().join("core").join("src");
    let mut wrong = Vec::new();
    let mut seen = 0;
    for folder in ["law", "solve"] {
        for path in sources_below(&core.join(folder)) {
            for (name, doc) in functions(&product_part(&path)) {
                seen += 1;
                let headed = |head: &str| doc.lines().any(|line| line == head);
                let mut missing: Vec<&str> = [
                    "# Returns",
                    "# Valid for",
                    "# Errors",
                    "# Example",
                    "# Source",
                ]
                .into_iter()
                .filter(|head| !headed(head))
                .collect();
                if !has_a_unit(&doc) {
                    missing.push("a unit in [brackets]");
                }
                if headed("# Example") && !doc.contains("assert") {
                    missing.push("an example that asserts something");
                }
                if !missing.is_empty() {
                    let file = path.strip_prefix(&core).unwrap().display();
                    wrong.push(format!("{file}: {name} has no {}", missing.join(", ")));
                }
            }
        }
    }
    assert!(seen >= LEAST_FUNCTIONS, "only {seen} functions were seen");
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The texts between quotation marks of a Rust file, comments left out.
fn quoted(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut chars = text.chars().peekable();
    let mut before = ' ';
    while let Some(c) = chars.next() {
        match c {
            '/' if chars.peek() == Some(&'/') => {
                for c in chars.by_ref() {
                    if c == '\n' {
                        break;
                    }
                }
            }
            // A quotation mark as a character, '"'.
            '"' if before == '\'' && chars.peek() == Some(&'\'') => {}
            '"' => {
                let mut one = String::new();
                while let Some(c) = chars.next() {
                    match c {
                        '\\' => {
                            one.push(c);
                            one.extend(chars.next());
                        }
                        '"' => break,
                        c => one.push(c),
                    }
                }
                found.push(one);
            }
            _ => {}
        }
        before = c;
    }
    found
}

/// What is wrong with a text that a person may read.
fn fault(text: &str) -> Option<&'static str> {
    let small = text.to_lowercase();
    let word = |wanted: &str| {
        small
            .split(|c: char| !c.is_alphanumeric())
            .any(|word| word == wanted)
    };
    if text.contains('\u{2014}') || small.contains("\\u{2014}") {
        Some("an em dash")
    } else if word("error") || word("errors") {
        Some("the word error")
    } else if word("invalid") {
        Some("the word invalid")
    } else {
        None
    }
}

#[test]
fn no_word_that_we_do_not_use() {
    assert!(
        fault("An error").is_some() && fault("a \u{2014} b").is_some() && fault("terror").is_none()
    );
    assert_eq!(
        quoted("a(\"b \\\" c\"); // \"d\"\n'\"' \"e\""),
        ["b \\\" c", "e"]
    );
    let mut wrong = Vec::new();
    let mut seen = 0;
    for path in sources_below(&root().join("core").join("src")) {
        for text in quoted(&product_part(&path)) {
            seen += 1;
            if let Some(what) = fault(&text) {
                wrong.push(format!("{}: {what} in {text:?}", path.display()));
            }
        }
    }
    assert!(seen > 1000, "{seen}");
    let mut names = 0;
    for path in files(&root().join("core").join("data"), ".toml") {
        let table: toml::Table = std::fs::read_to_string(&path).unwrap().parse().unwrap();
        walk(&serde_json::to_value(&table).unwrap(), &mut |at, value| {
            if let Some(text) = value.as_str() {
                names += 1;
                if let Some(what) = fault(text) {
                    wrong.push(format!("{} {at}: {what} in {text:?}", path.display()));
                }
            }
        });
    }
    assert!(names > 300, "{names}");
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_cited_source_is_on_the_sheet() {
    let mut documents: Vec<Value> = files(&root().join("examples"), ".json")
        .iter()
        .map(|path| json(path))
        .collect();
    documents.extend(cases::plans());
    documents.extend(plans::seeded(60, 3));
    let mut sheets = 0;
    let mut cited = BTreeSet::new();
    let mut missing = BTreeSet::new();
    for document in &documents {
        let Ok(sheet) = sheet_from(document, Shelf::generic()) else {
            continue;
        };
        sheets += 1;
        let known: BTreeSet<&str> = sheet
            .sources
            .iter()
            .map(|source| source.key.as_str())
            .collect();
        let value = serde_json::to_value(&sheet).unwrap();
        let mut keys = BTreeSet::new();
        walk(&value, &mut |path, value| {
            // Lists of keys, in figures and in inputs; the list of the sources themselves is the other side.
            if path.ends_with(".sources") {
                keys.extend(value.as_array().unwrap().iter().filter_map(Value::as_str));
            }
        });
        missing.extend(
            keys.iter()
                .filter(|key| !known.contains(*key))
                .map(|key| (*key).to_owned()),
        );
        cited.extend(keys.into_iter().map(str::to_owned));
        for input in &sheet.inputs {
            let rests = !input.sources.is_empty();
            let own = matches!(
                input.origin,
                bastwork::Origin::Plan | bastwork::Origin::Measured
            );
            assert!(rests || own, "{} rests on nothing", input.key);
        }
    }
    assert!(sheets > 60, "{sheets}");
    assert!(cited.len() > 60, "{}", cited.len());
    assert!(missing.is_empty(), "{missing:#?}");
}
