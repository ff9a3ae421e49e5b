//! Whose work is in the core, and under which licence: gathered from what cargo has fetched, so that no list goes stale.
//!
//! The page hands it out as one text, and so does the npm package.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::tools::WASM_TARGET;
use crate::{Result, Trouble, root, run};

/// The text's name in the page and in the package.
pub const FILE: &str = "licences.txt";
/// Ours, in the workspace.
pub const OURS: [&str; 2] = ["LICENSE-MIT", "LICENSE-APACHE"];

/// How the names of files begin that hold a licence, in capitals.
const STARTS: [&str; 6] = [
    "LICENSE",
    "LICENCE",
    "COPYING",
    "COPYRIGHT",
    "NOTICE",
    "UNLICENSE",
];
/// What of the libraries beside Rust's own one is in a module for the browser; the others serve other systems.
const WITH_STD: [&str; 5] = [
    "cfg-if",
    "dlmalloc",
    "foldhash",
    "hashbrown",
    "rustc-demangle",
];

/// A library with its words on who may use it.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Library {
    /// Name, version and licence.
    title: String,
    texts: Vec<String>,
}

/// The whole text: our licences, then those of every library in the core.
///
/// # Errors
/// When cargo does not say what the core is built from, or a licence cannot be read.
pub fn text() -> Result<String> {
    let mut libraries = from_cargo()?;
    libraries.extend(with_rust());
    let mut ours = Vec::new();
    for name in OURS {
        ours.push(read(&root().join(name))?);
    }
    Ok(written(&ours, &libraries))
}

/// Each text once, below everything that it covers.
fn written(ours: &[String], libraries: &[Library]) -> String {
    let mut by_text: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for library in libraries {
        for text in &library.texts {
            by_text.entry(text).or_default().insert(&library.title);
        }
    }
    let mut parts: Vec<(BTreeSet<&str>, &str)> = by_text
        .into_iter()
        .map(|(text, titles)| (titles, text))
        .collect();
    parts.sort();
    let mut out = String::from(
        "Bastwork is under the MIT licence or the Apache licence 2.0, as you like. Both stand here first. Below them stand the \
libraries that are in its core, each with its own licence.\n",
    );
    for text in ours {
        out += &format!("\n{LINE}\nBastwork\n\n{text}\n");
    }
    for (titles, text) in parts {
        let titles: Vec<&str> = titles.into_iter().collect();
        out += &format!("\n{LINE}\n{}\n\n{text}\n", titles.join("\n"));
    }
    out
}

const LINE: &str = "----------------------------------------";

/// Every library that the wasm crate is built from for the browser, ours left out.
fn from_cargo() -> Result<Vec<Library>> {
    let mut metadata = run::cargo();
    metadata.current_dir(root()).args([
        "metadata",
        "--format-version",
        "1",
        "--filter-platform",
        WASM_TARGET,
    ]);
    let told = run::ask(&mut metadata).and_then(|words| serde_json::from_str::<Value>(&words).ok());
    let told = told.ok_or_else(|| {
        Trouble::new("cargo does not say what the core is built from: run `cargo metadata` in this folder and look at its words.")
    })?;
    let wanted = needed(&told);
    let mut found = Vec::new();
    for package in list(&told["packages"]) {
        let (name, id) = (word(&package["name"]), word(&package["id"]));
        if package["source"].is_null() || !wanted.contains(id) {
            continue;
        }
        let licence = word(&package["license"]);
        let manifest = Path::new(word(&package["manifest_path"]));
        let mut texts = licence_files(manifest.parent().unwrap_or(manifest), licence)?;
        if texts.is_empty() {
            texts.push(nameless(package));
        }
        found.push(Library {
            title: title(name, word(&package["version"]), licence),
            texts,
        });
    }
    Ok(found)
}

fn title(name: &str, version: &str, licence: &str) -> String {
    format!("{name} {version} ({licence})")
}

/// The ids of all that the wasm crate needs to be built, in the words of cargo.
fn needed(metadata: &Value) -> BTreeSet<&str> {
    let nodes: BTreeMap<&str, &Value> = list(&metadata["resolve"]["nodes"])
        .map(|node| (word(&node["id"]), node))
        .collect();
    let mut open: Vec<&str> = list(&metadata["packages"])
        .filter(|package| package["name"] == "bastwork-wasm")
        .map(|package| word(&package["id"]))
        .collect();
    let mut seen = BTreeSet::new();
    while let Some(id) = open.pop() {
        if !seen.insert(id) {
            continue;
        }
        let node = nodes.get(id).copied().unwrap_or(&Value::Null);
        for dependency in list(&node["deps"]) {
            // What only a build script or a test asks for has no kind of null.
            if list(&dependency["dep_kinds"]).any(|kind| kind["kind"].is_null()) {
                open.push(word(&dependency["pkg"]));
            }
        }
    }
    seen
}

/// The texts in a library's folder; of licences to choose from, MIT is taken.
fn licence_files(folder: &Path, licence: &str) -> Result<Vec<String>> {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .map_err(Trouble::file("read", folder))?
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.is_file())
        .collect();
    paths.sort();
    let name = |path: &Path| {
        path.file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .to_uppercase()
    };
    let names: Vec<String> = paths.iter().map(|path| name(path)).collect();
    let mut texts = Vec::new();
    for (path, name) in paths.iter().zip(&names) {
        if is_licence(name) && !is_left(name, &names, licence) {
            texts.push(read(path)?);
        }
    }
    Ok(texts)
}

fn is_licence(name: &str) -> bool {
    // The names of scripts begin so too.
    let is_text = !name.contains('.') || name.ends_with(".TXT") || name.ends_with(".MD");
    is_text && STARTS.iter().any(|start| name.starts_with(start))
}

/// Whether a licence is one that we do not choose: MIT stands beside it.
fn is_left(name: &str, all: &[String], licence: &str) -> bool {
    let may_choose = licence.contains(" OR MIT")
        || licence.contains("MIT OR ")
        || licence.contains("MIT/")
        || licence.contains("/MIT");
    let has_mit = all
        .iter()
        .any(|other| is_licence(other) && other.contains("MIT"));
    may_choose && has_mit && (name.contains("APACHE") || name.starts_with("UNLICENSE"))
}

/// For a library that brings no text: who made it, and the name of its licence.
fn nameless(package: &Value) -> String {
    let authors: Vec<&str> = list(&package["authors"]).map(word).collect();
    format!(
        "Copyright {}. It brings no text; its licence is {}.",
        if authors.is_empty() {
            "its authors".to_owned()
        } else {
            authors.join(", ")
        },
        word(&package["license"])
    )
}

/// What rustc puts into every module: its own library and what that is built from, from the words that come with it.
fn with_rust() -> Vec<Library> {
    let folder = run::ask(run::command(Path::new("rustc")).args(["--print", "sysroot"]))
        .map(|sysroot| Path::new(&sysroot).join("share/doc/rust"));
    let page = folder
        .as_ref()
        .and_then(|folder| fs::read_to_string(folder.join("COPYRIGHT-library.html")).ok())
        .unwrap_or_default();
    let mut found = vec![Library {
        title: "The Rust standard library (MIT OR Apache-2.0)".into(),
        texts: vec![
            "Copyright The Rust Project Developers. Used under the Apache licence 2.0, which stands above in full."
                .into(),
        ],
    }];
    found.extend(beside_rust(&page));
    // Tables of characters.
    let unicode =
        folder.and_then(|folder| fs::read_to_string(folder.join("licenses/Unicode-3.0.txt")).ok());
    found.extend(unicode.map(|text| {
        Library {
        title:
            "Tables of the Rust standard library (Unicode-3.0), copyright 1991-2024 Unicode, Inc."
                .into(),
        texts: vec![tidy(&text)],
    }
    }));
    found
}

/// The libraries of [`WITH_STD`] on the page that comes with rustc: a heading, a licence, and texts by the names of their files.
fn beside_rust(page: &str) -> Vec<Library> {
    let sections = page.split("<h3>").skip(1);
    let library = |section: &str| {
        let heading = section.split_once("</h3>")?.0;
        let (name, version) = heading
            .trim_start_matches(|sign: char| !sign.is_ascii_alphanumeric())
            .rsplit_once('-')?;
        let licence = between(section, "<b>License:</b>", "</p>")?.trim();
        let mut files: Vec<(String, String)> = Vec::new();
        for notice in section.split("<summary><code>").skip(1) {
            let file = notice.split_once("</code>")?.0.to_uppercase();
            files.push((file, tidy(&plain(between(notice, "<pre>", "</pre>")?))));
        }
        let names: Vec<String> = files.iter().map(|(name, _)| name.clone()).collect();
        let texts = files
            .into_iter()
            .filter(|(name, _)| is_licence(name) && !is_left(name, &names, licence))
            .map(|(_, text)| text)
            .collect();
        WITH_STD.contains(&name).then(|| Library {
            title: title(name, version, licence),
            texts,
        })
    };
    sections.filter_map(library).collect()
}

fn between<'a>(text: &'a str, start: &str, end: &str) -> Option<&'a str> {
    let (_, rest) = text.split_once(start)?;
    Some(rest.split_once(end)?.0)
}

/// A text of HTML as it reads.
fn plain(html: &str) -> String {
    [
        ("&#60;", "<"),
        ("&lt;", "<"),
        ("&#62;", ">"),
        ("&gt;", ">"),
        ("&#34;", "\""),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&#x27;", "'"),
        ("&#38;", "&"),
        ("&amp;", "&"),
    ]
    .iter()
    .fold(html.to_owned(), |text, (from, to)| text.replace(from, to))
}

/// Without what differs between two copies of one licence and means nothing.
fn tidy(text: &str) -> String {
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    lines.join("\n").trim_matches('\n').to_owned()
}

fn read(path: &Path) -> Result<String> {
    let bytes = fs::read(path).map_err(Trouble::file("read", path))?;
    Ok(tidy(&String::from_utf8_lossy(&bytes)))
}

fn list(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}

fn word(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn of_licences_to_choose_from_mit_is_taken() {
        let both = ["LICENSE-APACHE", "LICENSE-MIT"].map(String::from);
        assert!(is_left("LICENSE-APACHE", &both, "MIT OR Apache-2.0"));
        assert!(!is_left("LICENSE-MIT", &both, "MIT OR Apache-2.0"));
        // Both are asked for.
        assert!(!is_left("LICENSE-APACHE", &both, "MIT AND Apache-2.0"));
        // The only one there.
        let one = ["LICENSE-APACHE".to_owned()];
        assert!(!is_left("LICENSE-APACHE", &one, "MIT OR Apache-2.0"));
        let three = ["COPYING", "LICENSE-MIT", "UNLICENSE"].map(String::from);
        assert!(is_left("UNLICENSE", &three, "Unlicense OR MIT"));
        assert!(!is_left("COPYING", &three, "Unlicense OR MIT"));
        let unicode = "(MIT OR Apache-2.0) AND Unicode-3.0";
        assert!(!is_left("LICENSE-UNICODE", &both, unicode));
        assert!(!is_licence("LICENSES.RS") && is_licence("LICENSE.MD"));
    }

    #[test]
    fn what_builds_and_tests_alone_ask_for_is_not_needed() {
        let kind =
            |name: &str, kind: Value| json!({ "pkg": name, "dep_kinds": [{ "kind": kind }] });
        let told = json!({
            "packages": [{ "name": "bastwork-wasm", "id": "a" }],
            "resolve": { "nodes": [
                { "id": "a", "deps": [kind("b", Value::Null), kind("c", json!("dev")), kind("d", json!("build"))] },
                { "id": "b", "deps": [kind("a", Value::Null), kind("e", Value::Null)] },
                { "id": "c", "deps": [kind("f", Value::Null)] },
                { "id": "e", "deps": [] },
            ] },
        });
        let found: Vec<&str> = needed(&told).into_iter().collect();
        assert_eq!(found, ["a", "b", "e"]);
    }

    #[test]
    fn one_text_stands_once_below_all_it_covers() {
        let library = |title: &str, text: &str| Library {
            title: title.into(),
            texts: vec![text.into()],
        };
        let all = [
            library("b 1 (MIT)", "Same."),
            library("c 1 (MIT)", "Other."),
            library("a 1 (MIT)", "Same."),
        ];
        let text = written(&["Ours.".into()], &all);
        assert_eq!(text.matches("Same.").count(), 1);
        assert!(text.contains("a 1 (MIT)\nb 1 (MIT)\n\nSame.\n"), "{text}");
        assert!(text.find("Ours.") < text.find("Same."));
    }

    #[test]
    fn the_page_that_comes_with_rust_is_read() {
        let page = "<h3>\u{1f4e6} dlmalloc-0.2.11</h3><p><b>License:</b> MIT/Apache-2.0</p>\
<summary><code>LICENSE-APACHE</code></summary><pre>\nApache\n</pre><summary><code>LICENSE-MIT</code></summary><pre>\nCopyright A &#60;a&#62;\n</pre>\
<h3>\u{1f4e6} windows-sys-0.60.2</h3><p><b>License:</b> MIT</p>";
        assert_eq!(
            beside_rust(page),
            [Library {
                title: "dlmalloc 0.2.11 (MIT/Apache-2.0)".into(),
                texts: vec!["Copyright A <a>".into()],
            }]
        );
        assert!(beside_rust("").is_empty());
    }
}
