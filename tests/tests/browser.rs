//! Runs every `browser/*.test.mjs` with Node, against the built page in a real browser.

use std::fs;
use std::path::{Path, PathBuf};

use bastwork_site::{node, page, run, serve, system};

#[test]
fn page_in_a_browser() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("browser");
    let mut tests: Vec<PathBuf> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    tests.retain(|path| path.to_string_lossy().ends_with(".test.mjs"));
    tests.sort();
    assert!(
        !tests.is_empty(),
        "no browser tests in {}",
        folder.display()
    );

    let dist = page::build().unwrap();
    node::packages(&folder).unwrap();
    let serving = serve::serve_dir(&dist, 0).unwrap();

    let mut node = run::command(&node::node().unwrap());
    node.args(["--test", "--test-concurrency=1", "--test-reporter=spec"])
        .args(&tests);
    node.env("SITE_DIR", &dist)
        .env("SITE_URL", serving.url())
        .env("CHROMIUM", system::chromium().unwrap());
    let output = node.output().unwrap();
    let words = format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    assert!(output.status.success(), "browser tests failed:\n{words}");
    println!("{words}");
}
